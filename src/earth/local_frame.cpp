#include "earth/local_frame.hpp"

#include <cmath>
#include <numbers>

#include <GeographicLib/TransverseMercator.hpp>

namespace omniway::earth {

struct LocalFrame::Projection {
    GeographicLib::TransverseMercator on_wgs84{GeographicLib::Constants::WGS84_a(),
                                               GeographicLib::Constants::WGS84_f(), 1.0};
};

LocalFrame::LocalFrame(Position centre)
    : projection_(std::make_shared<const Projection>()), central_meridian_deg_(centre.longitude_deg()) {
    const double f = GeographicLib::Constants::WGS84_f();
    const double e2 = f * (2.0 - f);
    const double sine = std::sin(centre.latitude_deg() * std::numbers::pi / 180.0);
    const double w2 = 1.0 - e2 * sine * sine;
    const double a = GeographicLib::Constants::WGS84_a();
    // M N = a^2 (1 - e^2) / (1 - e^2 sin^2)^2
    inverse_radius_squared_ = w2 * w2 / (a * a * (1.0 - e2));
}

PlanePoint LocalFrame::to_plane(Position place) const {
    PlanePoint on_plane;
    projection_->on_wgs84.Forward(central_meridian_deg_, place.latitude_deg(), place.longitude_deg(),
                                  on_plane.east_m, on_plane.north_m);
    return on_plane;
}

Position LocalFrame::to_position(PlanePoint place) const {
    double latitude = 0.0;
    double longitude = 0.0;
    projection_->on_wgs84.Reverse(central_meridian_deg_, place.east_m, place.north_m, latitude, longitude);
    return Position::degrees(latitude, longitude);
}

base::Angle LocalFrame::convergence(PlanePoint place) const {
    double latitude = 0.0;
    double longitude = 0.0;
    double gamma_deg = 0.0;
    double k = 0.0;
    projection_->on_wgs84.Reverse(central_meridian_deg_, place.east_m, place.north_m, latitude, longitude,
                                  gamma_deg, k);
    // The library's is the bearing of grid north.
    return base::Angle::degrees(-gamma_deg);
}

base::TrueBearing LocalFrame::to_true(double grid_rad, PlanePoint place) const {
    return base::TrueBearing::from_north(base::Angle::radians(grid_rad) - convergence(place));
}

}  // namespace omniway::earth
