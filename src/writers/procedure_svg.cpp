#include "writers/procedure_svg.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "writers/detail/caution.hpp"
#include "writers/detail/procedure_lines.hpp"

namespace omniway::writers {

namespace {

using detail::Anchor;
using detail::Box;
using detail::caution;
using detail::Drawing;
using detail::LinePattern;
using detail::Point;

constexpr double page_px = 1480.0;
constexpr Box plan_box{24.0, 84.0, 924.0, 704.0};
constexpr Box profile_box{24.0, 752.0, 924.0, 1012.0};
constexpr double table_px = 948.0;
constexpr double row_px = 12.0;
constexpr double small_px = 9.0;

// Words in lines of at most so many letters.
std::vector<std::string> wrapped(const std::string& words, std::size_t most) {
    std::vector<std::string> lines;
    std::string line;
    std::size_t at = 0;
    while (at < words.size()) {
        const std::size_t end = std::min(words.find(' ', at), words.size());
        const std::string word = words.substr(at, end - at);
        if (!line.empty() && line.size() + 1 + word.size() > most) {
            lines.push_back(line);
            line.clear();
        }
        line += (line.empty() ? "" : " ") + word;
        at = end + 1;
    }
    if (!line.empty()) {
        lines.push_back(line);
    }
    return lines;
}

std::string minutes_text(base::Duration time) {
    const long seconds = std::lround(time.count());
    return fmt::format("{}:{:02}", seconds / 60, seconds % 60);
}

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (const std::string& part : parts) {
        text += part.empty() ? "" : (text.empty() ? "" : "; ") + part;
    }
    return text;
}

class Page {
public:
    Page(const navdata::Snapshot& world, const plan::ProcedureReport& report)
        : world_(world), report_(report) {}

    std::string draw() {
        const navdata::Procedure& procedure = world_.procedures()[report_.request.procedure.index];
        const std::string title =
            fmt::format("{} {}, {}", procedure.airport, procedure.ident, plan::kind_text(procedure));
        drawing_.text({24.0, 34.0}, title, 18.0, Anchor::start, "font-weight=\"bold\"");
        drawing_.text({24.0, 54.0},
                      fmt::format("flown by {}, wind {}; {}", report_.request.aircraft.name,
                                  weather::to_text(report_.request.wind), verdict_text()),
                      11.0);
        drawing_.open("class=\"plan\"");
        drawing_.append(detail::procedure_plan(world_, report_, plan_box));
        drawing_.close();
        if (!report_.ways.empty()) {
            const plan::ReportedWay& way = report_.ways.front();
            drawing_.text({24.0, profile_box.top_px - 12.0}, "profile of " + way.name, 11.0);
            drawing_.open("class=\"profile\"");
            drawing_.append(detail::procedure_profile(world_, report_, way, profile_box));
            drawing_.close();
        }
        const double height = std::max(legend(profile_box.bottom_px + 26.0), table());
        return fmt::format(
                   "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                   "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0:.0f}\" height=\"{1:.0f}\" "
                   "viewBox=\"0 0 {0:.0f} {1:.0f}\" role=\"img\" font-family=\"DejaVu Sans Mono, "
                   "monospace\">\n"
                   "<title>{2}</title>\n<desc>{3}</desc>\n"
                   "<rect width=\"100%\" height=\"100%\" fill=\"white\"/>\n",
                   page_px, height, detail::escaped(title), detail::escaped(description())) +
               drawing_.body() + "</svg>\n";
    }

private:
    std::string verdict_text() const {
        std::size_t flyable = 0;
        for (const plan::ReportedWay& way : report_.ways) {
            flyable += way.flyable() ? 1 : 0;
        }
        return fmt::format("{} of {} way{} flyable without area navigation", flyable, report_.ways.size(),
                           report_.ways.size() == 1 ? "" : "s");
    }

    std::string description() const {
        std::string text;
        for (const plan::ReportedWay& way : report_.ways) {
            text += fmt::format("{}: {} legs, {:.1f} NM, {}. ", way.name, way.legs.size(),
                                way.length.nautical_miles(), way.flyable() ? "flyable" : "not flyable");
        }
        return text + caution;
    }

    std::string figures_text(const plan::ReportedLeg& leg) const {
        std::vector<std::string> parts{plan::altitude_text(leg)};
        if (leg.flown.length() > base::Length()) {
            parts.push_back(fmt::format("{:.1f} NM, {}", leg.flown.length().nautical_miles(),
                                        minutes_text(leg.flown.time())));
        }
        std::string needs;
        for (const plan::Need need : leg.needs) {
            needs += (needs.empty() ? "" : ", ") + std::string(plan::to_text(need));
        }
        parts.push_back(needs);
        return joined(parts);
    }

    double table_line(double y, double indent, const std::string& words, std::string_view more = {}) {
        const double room = page_px - 20.0 - table_px - indent;
        for (const std::string& line : wrapped(words, static_cast<std::size_t>(room / (0.602 * small_px)))) {
            drawing_.text({table_px + indent, y}, line, small_px, Anchor::start, more);
            y += row_px;
        }
        return y;
    }

    double table() {
        double y = plan_box.top_px + 8.0;
        std::set<const navdata::Leg*> listed;
        for (const plan::ReportedWay& way : report_.ways) {
            y = table_line(y, 0.0,
                           fmt::format("{}: {:.1f} NM, {}; {}", way.name, way.length.nautical_miles(),
                                       minutes_text(way.time), way.flyable() ? "flyable" : "not flyable"),
                           "font-weight=\"bold\"");
            for (const base::Finding& finding : way.findings) {
                y = table_line(y, 14.0, fmt::format("{}: {}", base::to_text(finding.grade), finding.text));
            }
            y = rows(way, listed, y) + 8.0;
        }
        return y + 10.0;
    }

    double rows(const plan::ReportedWay& way, std::set<const navdata::Leg*>& listed, double y) {
        bool missed = false;
        bool above = false;
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            const plan::ReportedLeg& leg = way.legs[i];
            if (leg.coded != nullptr && !listed.insert(leg.coded).second) {
                above = true;
                continue;
            }
            if (leg.missed && !missed) {
                y = table_line(y + 2.0, 0.0, "missed approach");
            }
            missed = leg.missed;
            y = row(leg, i + 1, y);
        }
        if (above) {
            return table_line(y, 14.0, "and then as above");
        }
        if (way.final) {
            for (const std::string& words : plan::final_text(*way.final)) {
                y = table_line(y, 0.0, words);
            }
        }
        return y;
    }

    double row(const plan::ReportedLeg& leg, std::size_t number, double y) {
        constexpr double label_px = 132.0;
        drawing_.text({table_px, y}, fmt::format("{} {}", number, detail::leg_label(leg)), small_px,
                      Anchor::start, "font-weight=\"bold\"");
        y = std::max(y + row_px, table_line(y, label_px, plan::guidance_text(world_, report_, leg)));
        const std::string ending = plan::ending_text(world_, report_, leg);
        y = table_line(y, 22.0, ending.empty() ? ending : "until " + ending);
        y = table_line(y, 22.0, figures_text(leg));
        for (const std::string& words : plan::paper_text(world_, report_, leg)) {
            y = table_line(y, 22.0, words);
        }
        if (leg.flown.fallback) {
            y = table_line(y, 22.0, "drawn simpler: " + procedure::to_text(*leg.flown.fallback));
        }
        for (const base::Finding& finding : leg.findings) {
            y = table_line(y, 22.0,
                           fmt::format("{}: {}",
                                       finding.grade == base::Grade::blocks ? "\u00d7 not flyable"
                                                                            : base::to_text(finding.grade),
                                       finding.text));
        }
        return y + 2.0;
    }

    double legend(double y) {
        std::set<LinePattern> used;
        bool missed = false;
        bool blocked = false;
        for (const detail::DrawnLeg& each : detail::drawn_legs(report_)) {
            used.insert(detail::pattern_of(each.leg->placed->guidance));
            missed = missed || each.leg->missed;
            blocked = blocked || !each.leg->flyable();
        }
        double x = 24.0;
        const auto entry = [&](const std::string& words, const auto& sample) {
            const double width = 46.0 + detail::text_width_px(words, small_px) + 18.0;
            if (x + width > plan_box.right_px) {
                x = 24.0;
                y += 18.0;
            }
            sample(Point{x, y - 3.0});
            drawing_.text({x + 46.0, y}, words, small_px);
            x += width;
        };
        for (const LinePattern pattern : used) {
            entry(std::string(detail::words_of(pattern)), [&](Point at) {
                detail::draw_leg(drawing_, {at, {at.x_px + 38.0, at.y_px}}, pattern, false, "", "");
            });
        }
        if (missed) {
            entry("missed approach: thin and broken", [&](Point at) {
                detail::draw_leg(drawing_, {at, {at.x_px + 38.0, at.y_px}}, LinePattern::radial, true, "",
                                 "");
            });
        }
        if (blocked) {
            entry("cannot be flown: why stands beside", [&](Point at) {
                drawing_.text({at.x_px + 19.0, at.y_px + 4.0}, "\u00d7", 15.0, Anchor::middle);
            });
        }
        y += 20.0;
        drawing_.text({24.0, y}, caution, 10.0, Anchor::start, "font-style=\"italic\"");
        return y + 18.0;
    }

    const navdata::Snapshot& world_;
    const plan::ProcedureReport& report_;
    Drawing drawing_;
};

}  // namespace

std::string procedure_svg(const navdata::Snapshot& world, const plan::ProcedureReport& report) {
    return Page(world, report).draw();
}

}  // namespace omniway::writers
