#include "aircraft/wind_triangle.hpp"

#include <cmath>

#include "base/contract.hpp"

namespace omniway::aircraft {

std::optional<CourseHeld> hold_course(base::TrueBearing course, base::Speed true_airspeed,
                                      const weather::Wind& wind) {
    OMNIWAY_EXPECTS(true_airspeed > base::Speed());
    // Trade-facts 7.1: WCA = asin(W/TAS sin(wind direction - course)); GS = TAS cos WCA - W cos(wind
    // direction - course).
    const base::Angle off_course = wind.from - course;
    const double across = wind.speed / true_airspeed * base::sin(off_course);
    if (std::abs(across) > 1.0) {
        return std::nullopt;
    }
    const base::Angle correction = base::Angle::radians(std::asin(across));
    const base::Speed groundspeed =
        true_airspeed * base::cos(correction) - wind.speed * base::cos(off_course);
    if (groundspeed <= base::Speed()) {
        return std::nullopt;
    }
    return CourseHeld{.heading = course + correction, .correction = correction, .groundspeed = groundspeed};
}

RunwayWind runway_wind(base::TrueBearing runway, const weather::Wind& wind) {
    const base::Angle off_runway = wind.from - runway;
    return {.headwind = wind.speed * base::cos(off_runway), .crosswind = wind.speed * base::sin(off_runway)};
}

}  // namespace omniway::aircraft
