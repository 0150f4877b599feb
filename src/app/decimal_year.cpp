#include "app/decimal_year.hpp"

#include <cstdio>

#include <fmt/format.h>

#include "base/in_quotes.hpp"

namespace omniway::app {

earth::DecimalYear decimal_year(std::chrono::sys_days day) {
    const std::chrono::year year = std::chrono::year_month_day(day).year();
    const auto first = std::chrono::sys_days(year / 1 / 1);
    const auto next = std::chrono::sys_days((year + std::chrono::years(1)) / 1 / 1);
    const double share =
        static_cast<double>((day - first).count()) / static_cast<double>((next - first).count());
    return {static_cast<double>(static_cast<int>(year)) + share};
}

base::Result<earth::DecimalYear> day_of(const std::string& text, std::string where) {
    int year = 0;
    unsigned month = 0;
    unsigned day = 0;
    char rest = ' ';
    const bool read = std::sscanf(text.c_str(), "%4d-%2u-%2u%c", &year, &month, &day, &rest) == 3;
    const std::chrono::year_month_day parsed{std::chrono::year(year), std::chrono::month(month),
                                             std::chrono::day(day)};
    if (!read || !parsed.ok() || year < 1900 || year > 2100) {
        return base::failure(
            "cli.date",
            fmt::format("{} is no date from 1900-01-01 to 2100-12-31, as YYYY-MM-DD", base::in_quotes(text)),
            std::move(where));
    }
    return decimal_year(std::chrono::sys_days(parsed));
}

}  // namespace omniway::app
