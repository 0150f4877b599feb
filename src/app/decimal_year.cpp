#include "app/decimal_year.hpp"

namespace omniway::app {

earth::DecimalYear decimal_year(std::chrono::sys_days day) {
    const std::chrono::year year = std::chrono::year_month_day(day).year();
    const auto first = std::chrono::sys_days(year / 1 / 1);
    const auto next = std::chrono::sys_days((year + std::chrono::years(1)) / 1 / 1);
    const double share =
        static_cast<double>((day - first).count()) / static_cast<double>((next - first).count());
    return {static_cast<double>(static_cast<int>(year)) + share};
}

}  // namespace omniway::app
