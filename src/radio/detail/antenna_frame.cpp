#include "radio/detail/antenna_frame.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace omniway::radio::detail {

namespace {

// WGS 84 (NIMA TR8350.2, table 3.1).
constexpr double equatorial_radius_m = 6378137.0;
constexpr double flattening = 1.0 / 298.257223563;
constexpr double squared_eccentricity = flattening * (2.0 - flattening);
constexpr double radian = std::numbers::pi / 180.0;

double transverse_radius_m(double sine_latitude) {
    return equatorial_radius_m / std::sqrt(1.0 - squared_eccentricity * sine_latitude * sine_latitude);
}

}  // namespace

AntennaFrame::AntennaFrame(earth::Position antenna)
    : longitude_deg_(antenna.longitude_deg()),
      sine_(std::sin(antenna.latitude_deg() * radian)),
      cosine_(std::cos(antenna.latitude_deg() * radian)) {
    const double transverse_m = transverse_radius_m(sine_);
    x_m_ = transverse_m * cosine_;
    z_m_ = transverse_m * (1.0 - squared_eccentricity) * sine_;
    curvature_east_per_m_ = 1.0 / transverse_m;
    curvature_north_per_m_ =
        (1.0 - squared_eccentricity * sine_ * sine_) / (transverse_m * (1.0 - squared_eccentricity));
}

AntennaFrame::Polar AntennaFrame::polar(earth::Position place) const {
    const double latitude = place.latitude_deg() * radian;
    const double longitude = (place.longitude_deg() - longitude_deg_) * radian;
    const double sine = std::sin(latitude);
    const double transverse_m = transverse_radius_m(sine);
    const double parallel_m = transverse_m * std::cos(latitude);
    const double x_m = parallel_m * std::cos(longitude) - x_m_;
    const double y_m = parallel_m * std::sin(longitude);
    const double z_m = transverse_m * (1.0 - squared_eccentricity) * sine - z_m_;

    const double north_m = cosine_ * z_m - sine_ * x_m;
    const double level_square = north_m * north_m + y_m * y_m;
    const double chord_m = std::sqrt(x_m * x_m + y_m * y_m + z_m * z_m);
    if (!(level_square > 0.0)) {
        return {chord_m, 0.0};
    }
    const double share_north = north_m * north_m / level_square;
    const double curvature_per_m =
        curvature_east_per_m_ + (curvature_north_per_m_ - curvature_east_per_m_) * share_north;  // Euler
    const double half = std::min(0.5 * chord_m * curvature_per_m, 1.0);
    const double direction = std::atan2(y_m, north_m);
    return {2.0 * std::asin(half) / curvature_per_m,
            direction < 0.0 ? direction + 2.0 * std::numbers::pi : direction};
}

}  // namespace omniway::radio::detail
