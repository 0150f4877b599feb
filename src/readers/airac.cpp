#include "readers/airac.hpp"

#include <fmt/format.h>

namespace omniway::readers {

namespace {

using std::chrono::days;
using std::chrono::sys_days;
using std::chrono::year;
using std::chrono::year_month_day;

constexpr sys_days cycle_2001 = year(2020) / 1 / 2;
constexpr days cycle_length(28);

/// The first day of a cycle on or after `day`.
sys_days first_from(sys_days day) {
    const auto since = (day - cycle_2001).count();
    const auto length = cycle_length.count();
    const auto remainder = ((since % length) + length) % length;
    return remainder == 0 ? day : day + days(length - remainder);
}

sys_days first_of_year(year y) {
    return first_from(y / 1 / 1);
}

}  // namespace

std::optional<AiracCycle> AiracCycle::parse(std::string_view text) {
    if (text.size() != 4) {
        return std::nullopt;
    }
    for (const char c : text) {
        if (c < '0' || c > '9') {
            return std::nullopt;
        }
    }
    const int in_century = (text[0] - '0') * 10 + (text[1] - '0');
    const int number = (text[2] - '0') * 10 + (text[3] - '0');
    if (number < 1) {
        return std::nullopt;
    }
    const year in_year(in_century >= 64 ? 1900 + in_century : 2000 + in_century);
    const sys_days effective = first_of_year(in_year) + cycle_length * (number - 1);
    if (year_month_day(effective).year() != in_year) {
        return std::nullopt;
    }
    return AiracCycle(effective);
}

AiracCycle AiracCycle::on(sys_days day) {
    return AiracCycle(first_from(day - (cycle_length - days(1))));
}

std::string AiracCycle::text() const {
    const year in_year = year_month_day(effective_).year();
    const auto number = (effective_ - first_of_year(in_year)) / cycle_length + 1;
    return fmt::format("{:02}{:02}", static_cast<int>(in_year) % 100, number);
}

double decimal_year(sys_days day) {
    const year in_year = year_month_day(day).year();
    const sys_days first = in_year / 1 / 1;
    const sys_days next = (in_year + std::chrono::years(1)) / 1 / 1;
    return static_cast<double>(static_cast<int>(in_year)) +
           static_cast<double>((day - first).count()) / static_cast<double>((next - first).count());
}

std::string to_text(sys_days day) {
    const year_month_day date(day);
    return fmt::format("{:04}-{:02}-{:02}", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()));
}

}  // namespace omniway::readers
