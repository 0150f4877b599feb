#pragma once

#include <chrono>

#include "earth/magnetic_model.hpp"

namespace omniway::app {

/// A day as magnetic models count time: 2 July 2026 is 2026.5.
///   Model     the share of the calendar year that has passed at the day's beginning, UTC.
///   Domain    any day.
///   Accuracy  exact to rounding.
///   Cost      O(1).
///   Fails     never.
///   Source    The US/UK World Magnetic Model for 2025-2030, section 1 (decimal years).
earth::DecimalYear decimal_year(std::chrono::sys_days day);

}  // namespace omniway::app
