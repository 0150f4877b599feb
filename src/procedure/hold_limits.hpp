#pragma once

#include <optional>

#include "aircraft/performance.hpp"
#include "aircraft/turn.hpp"
#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "procedure/holding.hpp"
#include "radio/error_budget.hpp"
#include "weather/atmosphere.hpp"

namespace omniway::procedure {

/// How long the timed leg of a hold is flown, and which leg that is: 1 minute to 14,000 ft inclusive, 1 1/2 above; inbound by
/// the FAA, outbound by ICAO. Source: AIM 5-3-8, PANS-OPS (trade-facts 8.2).
struct HoldTime {
    base::Duration time;
    TimedLeg leg = TimedLeg::inbound;
};
HoldTime hold_time(base::Altitude altitude, radio::Criteria criteria);

enum class Air { calm, turbulent };

/// The fastest a hold may be flown: an indicated airspeed, and where ICAO gives one a Mach number; the lesser binds.
///   Model     FAA: 200 KIAS to 6,000 ft, 230 to 14,000, 265 above, in any air. ICAO: by level, by category A and B against the
///             others up to 14,000 ft, by turbulence.
///   Domain    any altitude.
///   Accuracy  exact.
///   Cost      comparisons.
///   Fails     never; at least one of the two is given.
///   Source    AIM 5-3-8; PANS-OPS as in AIPs (trade-facts 8.3). A charted or coded lower limit overrides.
struct HoldSpeed {
    std::optional<weather::CalibratedAirspeed> indicated;
    std::optional<weather::Mach> mach;
};
HoldSpeed hold_speed(base::Altitude altitude, radio::Criteria criteria, aircraft::ApproachCategory category,
                     Air air = Air::calm);

/// The turn of a hold: standard rate, or the bank limit where that is less: 30 degrees, 25 with a flight director (FAA); 25
/// (ICAO). Source: AIM 5-3-8, PANS-OPS (trade-facts 8.2).
enum class FlightDirector { absent, used };
aircraft::Turn hold_turn(base::Speed true_airspeed, radio::Criteria criteria,
                         FlightDirector director = FlightDirector::absent);

/// The outbound drift correction by rule: three times the inbound one, to the other side (8 left inbound, 24 right outbound).
/// Source: AIM 5-3-8 (trade-facts 8.2). The circuit's own correction is computed from the wind.
base::Angle tripled_correction(base::Angle inbound_correction);

}  // namespace omniway::procedure
