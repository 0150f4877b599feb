#pragma once

#include <optional>
#include <string>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/station.hpp"

namespace omniway::radio {

/// Why a station is not heard at a place.
enum class Silence {
    none,
    no_such_part,
    beyond_service_volume,
    outside_service_heights,
    below_horizon,
    overhead,
    outside_sector
};

/// Whether one part of a station (its azimuth, or its distance) is heard at a place, with the figures that decide.
///   Model     standard service volume of its class and smooth 4/3-earth line of sight; the cone overhead (VOR 50 degrees,
///             NDB 40 degrees from the vertical) is silence for an azimuth; a localizer is heard within 18 NM inside 10
///             degrees of its course and 10 NM inside 35 degrees, front and back. Transmitter elevation as recorded, mean sea
///             level where the record has none.
///   Domain    any place and altitude.
///   Accuracy  as the published volumes; terrain is not considered yet.
///   Cost      one geodesic, under 2 microseconds.
///   Fails     never: silence is an answer and names its reason.
///   Source    trade-facts 1 and 2 (AIM 1-1-8, 1-1-9; PANS-OPS I-2-2 for the cones).
struct Reception {
    Silence silence = Silence::no_such_part;
    base::Length distance;  // over the ground
    base::Length limit;     // the one that decides; zero where there is none

    bool heard() const { return silence == Silence::none; }
};

Reception hear_azimuth(const navdata::Station& station, earth::Position place, base::Altitude altitude);
Reception hear_distance(const navdata::Station& station, earth::Position place, base::Altitude altitude);

/// The ground distance within which a VOR's or NDB's azimuth is heard at an altitude, the cone overhead aside: the same in
/// every direction while no terrain is considered. None where it is heard nowhere at that altitude.
std::optional<base::Length> azimuth_reach(const navdata::Station& station, base::Altitude altitude);

/// Whether its class had to be taken as the smallest of its kind.
bool class_is_assumed(const navdata::Station& station);

/// "beyond its 40 NM service volume (46.2 NM away)".
std::string to_text(const Reception& reception);

/// DME shows slant range: from a ground distance at a height above the antenna. Exact on a flat local earth, which over
/// 200 NM and below 60,000 ft differs from the true slant by less than 0.02 NM. Source: trade-facts 5.
base::Length slant_range(base::Length over_ground, base::Length above_antenna);

}  // namespace omniway::radio
