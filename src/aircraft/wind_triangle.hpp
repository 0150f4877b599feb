#pragma once

#include <optional>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "weather/wind.hpp"

namespace omniway::aircraft {

/// The heading that holds a course in a wind, and how fast the ground goes by.
///   Model     plane vectors: air velocity plus wind is ground velocity, along the course.
///   Domain    any course and wind, true airspeed above zero.
///   Accuracy  rounding.
///   Cost      two sines, one arcsine.
///   Fails     hold_course: empty where no heading holds the course forward - the wind across is stronger
///             than the airspeed, or the wind ahead stops the aircraft. A gust is not used.
///   Source    trade-facts 7.1.
struct CourseHeld {
    base::TrueBearing heading;
    base::Angle correction;  // heading less course; positive is to the right
    base::Speed groundspeed;
};

std::optional<CourseHeld> hold_course(base::TrueBearing course, base::Speed true_airspeed,
                                      const weather::Wind& wind);

/// A wind split along and across a runway.
struct RunwayWind {
    base::Speed headwind;   // negative is a tailwind
    base::Speed crosswind;  // positive is from the right
};

/// At the wind's speed, not its gust: give weather::at_the_gust(wind) to hold a limit against the peak.
RunwayWind runway_wind(base::TrueBearing runway, const weather::Wind& wind);

}  // namespace omniway::aircraft
