#pragma once

#include <algorithm>
#include <cmath>

#include "base/bearing.hpp"

namespace omniway::radio {

/// At what angle two lines of position cross, whichever way along them their bearings are: 0 to 90 degrees.
inline base::Angle crossing_angle(base::TrueBearing a, base::TrueBearing b) {
    const double turn = std::abs((a - b).degrees());
    return base::Angle::degrees(std::min(turn, 180.0 - turn));
}

}  // namespace omniway::radio
