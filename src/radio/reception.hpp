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

/// DME shows slant range: straight through the air from its antenna to the aircraft.
///   Model     a chord between two heights over a sphere of the mean radius. On a flat earth the answer would be short by half
///             the mean height over the radius: 0.03 NM at 70 NM and 16,000 ft, 0.3 NM at 200 NM and 60,000 ft.
///   Domain    ground distances up to 250 NM; antenna and aircraft up to 60,000 ft above sea level.
///   Accuracy  within 0.003 NM of the straight line on WGS 84 (reception_test.cpp).
///   Cost      a sine and a square root.
///   Fails     never.
///   Source    law of cosines; the table and the published triangle of trade-facts 5 are its test.
struct DmeHeights {
    base::Altitude aircraft;
    base::Altitude antenna;
};
base::Length slant_range(base::Length over_ground, const DmeHeights& heights);

}  // namespace omniway::radio
