#include "app/detail/check_range.hpp"

#include <fmt/format.h>

namespace omniway::app::detail {

void check_range(std::vector<base::Error>& faults, const std::optional<double>& value, double low,
                 double high, const std::string& what, const std::string& unit, const std::string& where) {
    if (value && !(*value >= low && *value <= high)) {
        faults.push_back({"app.out_of_range",
                          fmt::format("{} {} {} is outside {} to {} {}", what, *value, unit, low, high, unit),
                          where});
    }
}

}  // namespace omniway::app::detail
