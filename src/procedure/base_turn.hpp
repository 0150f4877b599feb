#pragma once

#include "aircraft/turn.hpp"
#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "weather/atmosphere.hpp"

namespace omniway::procedure {

/// The angle between the outbound track of a base turn and the reciprocal of its inbound track: 36/t degrees up to 170 kt of
/// true airspeed, 0.215 TAS/t above, t in minutes. Source: PANS-OPS II table I-4-3-App C-1 (trade-facts 8.4).
base::Angle base_turn_angle(base::Speed true_airspeed, base::Duration outbound);

/// What a base turn's area is calculated from.
enum class OverheadAid {
    ndb,
    vor
};  // whose cone of 40 or 50 degrees from the vertical tells when it was passed
struct BaseTurnCase {
    weather::CalibratedAirspeed indicated;
    base::Altitude altitude;
    double above_standard_k = 15.0;  // temperature above standard
    base::Duration outbound;
    OverheadAid aid = OverheadAid::ndb;
    base::Altitude aid_elevation;
};

/// The published calculation of a base turn, line by line.
///   Model     the PANS-OPS speed factor K (no compressibility), 25 degrees of bank, at most 3 degrees a second, the ICAO wind.
///   Domain    altitudes to 40,000 ft; outbound 1 to 3 minutes.
///   Accuracy  agrees with every line of the published example as printed.
///   Cost      a few dozen operations.
///   Fails     breaks the contract where the true airspeed is not above the wind.
///   Source    PANS-OPS II table I-4-3-App C-1 (trade-facts 7.2, 8.4); VOR cone 50 degrees (trade-facts 2).
struct BaseTurnLines {
    double speed_factor = 1.0;                     // K
    base::Speed true_airspeed;                     // TAS = K times IAS
    aircraft::TurnRate rate_at_bank;               // R before its limit
    aircraft::TurnRate rate;                       // R, at most 3 degrees a second
    base::Length radius;                           // r
    base::Speed wind;                              // w
    base::Length drift_for_degree;                 // E, while the heading turns one degree
    base::Angle angle;                             // phi
    base::Length overhead_tolerance;               // zN
    base::Length outbound_length;                  // L
    base::Length shortest;                         // outbound: (t - 5 s)(v - w) - zN
    base::Length farthest;                         // outbound: (t + 21 s)(v + w) + zN
    base::Length drift(base::Angle turned) const;  // of the wind, while that is turned
};
BaseTurnLines base_turn_lines(const BaseTurnCase& known);

}  // namespace omniway::procedure
