#include "aircraft/wind_finding.hpp"

#include <cmath>

namespace omniway::aircraft {

namespace {

// Toward where, in knots.
struct Drift {
    double north_kt = 0.0;
    double east_kt = 0.0;
};

Drift velocity(base::TrueBearing direction, base::Speed speed) {
    return {speed.knots() * base::cos(direction.from_north()),
            speed.knots() * base::sin(direction.from_north())};
}

weather::Wind wind_of(const Drift& drift) {
    const double speed_kt = std::hypot(drift.north_kt, drift.east_kt);
    // Below what anything measures, a direction would be the noise of rounding.
    if (speed_kt < 1e-9) {
        return {};
    }
    return {base::TrueBearing::from_north(base::Angle::radians(std::atan2(-drift.east_kt, -drift.north_kt))),
            base::Speed::knots(speed_kt)};
}

}  // namespace

weather::Wind found_wind(base::TrueBearing heading, base::Speed true_airspeed, base::TrueBearing track,
                         base::Speed groundspeed) {
    const Drift air = velocity(heading, true_airspeed);
    const Drift ground = velocity(track, groundspeed);
    return wind_of({ground.north_kt - air.north_kt, ground.east_kt - air.east_kt});
}

weather::Wind added(const weather::Wind& wind, const weather::Wind& more) {
    const Drift a = velocity(wind.from.reciprocal(), wind.speed);
    const Drift b = velocity(more.from.reciprocal(), more.speed);
    return wind_of({a.north_kt + b.north_kt, a.east_kt + b.east_kt});
}

}  // namespace omniway::aircraft
