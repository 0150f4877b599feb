#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"

namespace omniway::app::detail {

/// Tells a number that was typed and lies outside its allowed range, as app.out_of_range; one that was not typed passes.
void check_range(std::vector<base::Error>& faults, const std::optional<double>& value, double low,
                 double high, const std::string& what, const std::string& unit, const std::string& where);

}  // namespace omniway::app::detail
