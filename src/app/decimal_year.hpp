#pragma once

#include <chrono>
#include <string>

#include "base/result.hpp"
#include "earth/magnetic_model.hpp"

namespace omniway::app {

/// A day as magnetic models count time: 2 July 2026 is 2026.5.
///   Model     the share of the calendar year that has passed at the day's beginning, UTC.
///   Domain    any day.
///   Accuracy  exact to rounding.
///   Cost      O(1).
///   Fails     never, but day_of().
///   Source    The US/UK World Magnetic Model for 2025-2030, section 1 (decimal years).
earth::DecimalYear decimal_year(std::chrono::sys_days day);

/// The same of a day as it is typed, YYYY-MM-DD, from 1900 to 2100; else cli.date.
base::Result<earth::DecimalYear> day_of(const std::string& text, std::string where);

}  // namespace omniway::app
