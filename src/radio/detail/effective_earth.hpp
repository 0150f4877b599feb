#pragma once

#include <cmath>

namespace omniway::radio::detail {

/// A straight ray over the effective earth: a sphere of 4/3 of the mean radius, on which a ray that a standard
/// atmosphere bends is straight. Equation numbers are those of docs/methods/line-of-sight.md.
inline constexpr double effective_radius_m = 4.0 / 3.0 * 6371008.8;

/// How a distance along the earth enters the slope of a ray that ends there.
struct ArcTerms {
    double drop_m;            // R (1 - cos theta)
    double reciprocal_per_m;  // 1 / (R sin theta)
};

inline ArcTerms arc_terms(double distance_m) {
    const double half_sine = std::sin(0.5 * distance_m / effective_radius_m);
    return {2.0 * effective_radius_m * half_sine * half_sine,
            1.0 / (effective_radius_m * std::sin(distance_m / effective_radius_m))};
}

/// (2) The slope (tangent of the elevation angle) from an antenna to ground, both in metres above sea level. Dividing by
/// 1 + x is multiplying by 1 - x: x is below 0.0011 for any ground, which leaves a millionth of the slope.
inline double slope_to(double ground_m, double antenna_m, const ArcTerms& arc) {
    const double share = ground_m / effective_radius_m;
    return (ground_m - antenna_m - arc.drop_m * (1.0 + share)) * arc.reciprocal_per_m * (1.0 - share);
}

/// (3) The altitude above sea level that a ray reaches at a distance: `rise_m` is its slope times the distance.
inline double altitude_on_ray(double rise_m, double distance_m, double antenna_m) {
    const double angle = distance_m / effective_radius_m;
    const double square = angle * angle;
    const double versed = square * (0.5 - square * (1.0 / 24.0 - square / 720.0));  // 1 - cos
    const double sine_by_distance =
        (1.0 - square * (1.0 / 6.0 - square / 120.0)) / effective_radius_m;  // sin / distance
    const double lost = versed + rise_m * sine_by_distance;
    return antenna_m + (effective_radius_m + antenna_m) * lost / (1.0 - lost);
}

}  // namespace omniway::radio::detail
