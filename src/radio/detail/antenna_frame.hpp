#pragma once

#include "earth/position.hpp"

namespace omniway::radio::detail {

/// Distance and true direction of places from one antenna, cheaply: the chord on the WGS 84 ellipsoid and its direction in
/// the plane of the horizon, the chord bent to an arc of the ellipsoid's radius in that direction. Exact at the antenna;
/// no care needed at poles and at the date line. Errors against the geodesic: antenna_frame_test.cpp.
class AntennaFrame {
public:
    explicit AntennaFrame(earth::Position antenna);

    struct Polar {
        double distance_m;
        double direction_rad;  // clockwise from true north, [0, 2 pi)
    };
    Polar polar(earth::Position place) const;

private:
    double longitude_deg_;
    double sine_;
    double cosine_;
    double x_m_;
    double z_m_;
    double curvature_north_per_m_;
    double curvature_east_per_m_;
};

}  // namespace omniway::radio::detail
