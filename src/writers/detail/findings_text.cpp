#include "writers/detail/findings_text.hpp"

#include <algorithm>
#include <map>

#include <fmt/format.h>

namespace omniway::writers::detail {

using base::Finding;
using base::Grade;

std::string wrapped(const std::string& text, std::size_t width, const std::string& indent) {
    std::string out;
    std::size_t column = 0;
    for (std::size_t at = 0; at < text.size();) {
        const std::size_t end = std::min(text.find(' ', at), text.size());
        const std::size_t length = end - at;
        if (column > 0 && column + 1 + length > width) {
            out += "\n" + indent;
            column = indent.size();
        } else if (at > 0) {
            out += ' ';
            ++column;
        }
        out.append(text, at, length);
        column += length;
        at = end + 1;
    }
    return out;
}

std::string finding_text(const Finding& finding, bool with_step) {
    const std::string before =
        with_step && finding.step ? fmt::format("step {}, ", *finding.step) : std::string();
    return fmt::format(
        "  {:<7} {}\n", base::to_text(finding.grade),
        wrapped(fmt::format("{}{}: {}{}", before, finding.about, finding.text,
                            finding.remedy.empty() ? std::string() : " (" + finding.remedy + ")"),
                90, "          "));
}

std::string findings_text(const std::vector<Finding>& findings, bool everything) {
    std::string text;
    std::map<Grade, std::size_t> said;
    std::map<Grade, std::size_t> kept;
    for (const Finding& finding : findings) {
        if (!everything && said[finding.grade] >= 3) {
            ++kept[finding.grade];
            continue;
        }
        ++said[finding.grade];
        text += finding_text(finding, true);
    }
    for (const auto& [grade, number] : kept) {
        text += fmt::format("  and {} more that {} (--why shows all)\n", number,
                            number == 1 ? base::to_text(grade)
                                        : base::to_text(grade).substr(0, base::to_text(grade).size() - 1));
    }
    return text;
}

}  // namespace omniway::writers::detail
