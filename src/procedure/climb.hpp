#pragma once

#include "aircraft/performance.hpp"
#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::procedure {

/// A climb over the ground: what the air gives, carried along by the wind.
///   Model     the climb of aircraft/performance.hpp in pieces of 100 ft, each at the groundspeed along one track; 1 kt where no
///             heading holds the track.
///   Domain    from any altitude below the ceiling; a climb ends at the ceiling.
///   Accuracy  0.1 % of still-air climbs (climb_test.cpp).
///   Cost      some microseconds a thousand feet.
///   Fails     never.
///   Source    trade-facts 7.1, 7.3.
struct ClimbInWind {
    const aircraft::Performance* performance = nullptr;
    weather::WindsAloft winds;
};

/// How far over the ground until `to` is reached.
base::Length distance_to_climb(const ClimbInWind& climb, base::TrueBearing track, base::Altitude from,
                               base::Altitude to);

/// The altitude after so much ground.
base::Altitude altitude_after(const ClimbInWind& climb, base::TrueBearing track, base::Altitude from,
                              base::Length flown);

/// How much a distance asks: what is gained in each nautical mile.
double feet_per_nautical_mile(base::Length gained, base::Length flown);

/// No turn below this height above the field on an own departure. Source: AIM 5-2-9, from memory (trade-facts 21).
inline constexpr base::Length lowest_turn = base::Length::feet(400.0);

/// Over how much of the climb the standard gradient is held. Common practice, no source.
inline constexpr base::Length first_climb = base::Length::feet(1500.0);

/// What the first of a climb gains in each nautical mile along a track.
double first_gradient_ft_per_nm(const ClimbInWind& climb, base::TrueBearing track, base::Altitude field);

/// How long a climb over a fix takes in whole circuits of a hold with outbound legs of one minute (a minute and a half above
/// 14,000 ft) and turns at standard rate: so the fix is left over the fix. Source: trade-facts 8.2.
base::Duration circuit_time(base::Altitude altitude);

}  // namespace omniway::procedure
