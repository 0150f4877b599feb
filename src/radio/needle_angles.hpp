#pragma once

#include <cmath>

#include "base/quantity.hpp"
#include "cockpit/indicator.hpp"

namespace omniway::radio {

/// How far an aircraft whose bearing from a point is `off` right of a line through it stands off that line, ahead or behind: right of it, as
/// seen along the line, is positive. A course needle stands as far to the other side.
///   Domain    -180 to 180 degrees.
///   Source    trade-facts 4.
inline base::Angle off_line(base::Angle off) {
    constexpr base::Angle right_angle = base::Angle::degrees(90.0);
    constexpr base::Angle half_turn = base::Angle::degrees(180.0);
    if (off > right_angle) {
        return half_turn - off;
    }
    return off < -right_angle ? -half_turn - off : off;
}

/// TO or FROM at a bearing so far off the course set. "Within a degree or two of 90" the arrows change (trade-facts 4): two.
inline cockpit::ToFrom to_from(base::Angle off) {
    constexpr base::Angle right_angle = base::Angle::degrees(90.0);
    constexpr base::Angle ambiguity = base::Angle::degrees(2.0);
    if (abs(abs(off) - right_angle) <= ambiguity) {
        return cockpit::ToFrom::neither;
    }
    return abs(off) < right_angle ? cockpit::ToFrom::from : cockpit::ToFrom::to;
}

/// Full scale of a glideslope needle. trade-facts 4: total 1.4 degrees [seen]; Annex 10 asks 0.24 of the angle, 0.72 at 3 degrees (from memory).
inline constexpr base::Angle glideslope_full_scale = base::Angle::degrees(0.7);

/// Above the horizontal at a point, of a place so far away over the ground and so much higher, over a 4/3 earth.
inline base::Angle elevation_angle(base::Length distance, base::Length above) {
    constexpr double effective_earth_radius_m = 4.0 / 3.0 * 6'371'008.8;
    const double sunk_m = distance.metres() * distance.metres() / (2.0 * effective_earth_radius_m);
    return base::Angle::radians(std::atan2(above.metres() - sunk_m, distance.metres()));
}

}  // namespace omniway::radio
