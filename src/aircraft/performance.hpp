#pragma once

#include <optional>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "weather/atmosphere.hpp"

namespace omniway::aircraft {

/// How the aircraft climbs: at one indicated airspeed (up to a Mach number, where one is given) and at a rate
/// that falls evenly from sea level to the service ceiling.
struct Climb {
    weather::CalibratedAirspeed airspeed;
    std::optional<weather::Mach> mach_limit;
    base::VerticalSpeed rate_at_sea_level;
    base::VerticalSpeed rate_at_ceiling;
    base::MassFlow fuel_flow;
    friend bool operator==(const Climb&, const Climb&) = default;
};

/// How the aircraft cruises at one altitude.
struct CruisePoint {
    base::Altitude altitude;
    base::Speed true_airspeed;
    base::MassFlow fuel_flow;
    friend bool operator==(const CruisePoint&, const CruisePoint&) = default;
};

/// How the aircraft descends: at one indicated airspeed (up to a Mach number, where one is given) and one
/// rate.
struct Descent {
    weather::CalibratedAirspeed airspeed;
    std::optional<weather::Mach> mach_limit;
    base::VerticalSpeed rate;
    base::MassFlow fuel_flow;
    friend bool operator==(const Descent&, const Descent&) = default;
};

/// How an aircraft climbs, cruises, descends and approaches, as its owner wrote it down.
///   Model     standard day, still air, one weight; climb and descent at constant indicated airspeed or Mach,
///             whichever is the slower; climb rate linear in altitude; cruise linear between its points,
///             constant beyond the first and last.
///   Domain    cruise: at least one point, altitudes ascending; rates and speeds above zero; altitudes up to
///             the ceiling.
///   Accuracy  of the model: time in closed form, distance by Simpson's rule over time (a step for each 250
///             ft) within 0.01 %, or 0.02 % of a short climb in which airspeed hands over to Mach. How true
///             the model is to one aircraft depends on the figures written down.
///   Cost      some microseconds a climb.
///   Fails     climb_between, descent_between: break the contract when asked to go the wrong way or above the
///             ceiling.
///   Source    trade-facts 7.3 to 7.5; the linear fall of the climb rate is common practice, no source.
struct Performance {
    Climb climb;
    std::vector<CruisePoint> cruise;
    Descent descent;
    weather::CalibratedAirspeed approach_speed;  // over the threshold, in landing configuration
    base::Altitude service_ceiling;
    friend bool operator==(const Performance&, const Performance&) = default;
};

/// A climb or descent: how long it takes, how far through the air, and what it burns.
struct Passage {
    base::Duration time{0.0};
    base::Length distance;
    base::Mass fuel;
};

Passage climb_between(const Performance& performance, base::Altitude low, base::Altitude high);
Passage descent_between(const Performance& performance, base::Altitude high, base::Altitude low);

base::VerticalSpeed climb_rate(const Performance& performance, base::Altitude altitude);
base::Speed true_airspeed_climb(const Performance& performance, base::Altitude altitude);
base::Speed true_airspeed_cruise(const Performance& performance, base::Altitude altitude);
base::Speed true_airspeed_descent(const Performance& performance, base::Altitude altitude);
base::Speed true_airspeed_approach(const Performance& performance, base::Altitude altitude);
base::MassFlow fuel_flow_cruise(const Performance& performance, base::Altitude altitude);

/// The group of aircraft whose minima and protected areas an approach gives.
enum class ApproachCategory { a, b, c, d, e };

/// By the speed over the threshold: below 91 kt A, below 121 B, below 141 C, below 166 D, else E.
///   Model     14 CFR 97.3 gives whole knots; a speed between two of them belongs to the lower group.
///   Domain    any.
///   Accuracy  exact.
///   Cost      four comparisons.
///   Fails     never.
///   Source    trade-facts 11.2 [memory].
ApproachCategory approach_category(weather::CalibratedAirspeed approach_speed);
char letter(ApproachCategory category);

}  // namespace omniway::aircraft
