#pragma once

// Geodesics, heights and slant ranges for the checkers of cards: GeographicLib directly, nothing of src/.

#include <algorithm>
#include <array>
#include <cmath>

#include <GeographicLib/Geocentric.hpp>
#include <GeographicLib/Geodesic.hpp>

#include "directions.hpp"

namespace independent {

constexpr double feet_per_nm = metres_per_nm / metres_per_foot;

inline Line between(Place a, Place b) {
    double metres = 0.0, out = 0.0, in = 0.0;
    GeographicLib::Geodesic::WGS84().Inverse(a.latitude, a.longitude, b.latitude, b.longitude, metres, out,
                                             in);
    return {metres / metres_per_nm, around(out), around(in)};
}

inline Place beyond(Place from, double true_deg, double nm) {
    Place there;
    GeographicLib::Geodesic::WGS84().Direct(from.latitude, from.longitude, true_deg, nm * metres_per_nm,
                                            there.latitude, there.longitude);
    return there;
}

// Straight through the air.
inline double slant_nm(Place a, double a_ft, Place b, double b_ft) {
    const auto centred = [](Place p, double feet) {
        std::array<double, 3> at{};
        GeographicLib::Geocentric::WGS84().Forward(p.latitude, p.longitude, feet * metres_per_foot, at[0],
                                                   at[1], at[2]);
        return at;
    };
    const auto from = centred(a, a_ft), to = centred(b, b_ft);
    return std::hypot(from[0] - to[0], from[1] - to[1], from[2] - to[2]) / metres_per_nm;
}

// 0 to 90: how two lines cross.
inline double crossing(double a_deg, double b_deg) {
    const double angle = std::abs(apart(a_deg, b_deg));
    return std::min(angle, 180.0 - angle);
}

}  // namespace independent
