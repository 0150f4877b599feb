#pragma once

#include "base/quantity.hpp"

namespace omniway::earth {

/// Nearer than this two positions are one place, and a leg this short has no course.
///   Model     a distance alone.
///   Domain    positions of navigation data and of flights laid out from them.
///   Accuracy  the coordinates of ARINC 424 are whole hundredths of a second, 0.3 m, and coded fixes stand farther apart than this:
///             common practice, no source.
///   Cost      none.
///   Fails     never.
///   Source    none.
constexpr base::Length same_place = base::Length::metres(50.0);

}  // namespace omniway::earth
