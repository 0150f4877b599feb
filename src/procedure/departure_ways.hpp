#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/finding.hpp"
#include "cockpit/equipment.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/climb.hpp"
#include "procedure/path.hpp"
#include "radio/ground.hpp"

namespace omniway::procedure {

/// From where a departure is flown: over the far end of a runway, along it, in the climb.
struct TakeOff {
    navdata::RunwayId runway;
    earth::Position place;
    base::TrueBearing track;
    base::Altitude elevation;
    ClimbInWind climb;
};

/// One way through a published departure (SID): from a runway, by its own legs, to the last fix it reaches.
struct DepartureWay {
    const navdata::Procedure* procedure = nullptr;
    navdata::RunwayId runway;
    std::string transition;  // an enroute transition's name; empty: to the end of the part that all share
    std::vector<PlacedLeg>
        legs;  // `coded` is null for what no row says: straight ahead to 400 ft, a heading onto a course
    PlacedFix end;
    base::TrueBearing end_track;
    base::Length length;
    base::Altitude end_altitude;          // as the aircraft climbs, under every "at or below" of the way
    std::vector<base::Finding> findings;  // any that blocks: not flown as published

    bool flyable() const;
    /// "HOCUT5", "HOCUT5 via FOT".
    std::string name() const;
};

/// Every way through every SID of an airport from one runway, flown or refused with the leg and the reason.
///   Model     a runway transition of this runway (or of both of its parallels, or of all), the part that all share, each enroute transition; placed
///             and judged by path.hpp, then laid out in the climb: legs to an altitude end where the aircraft reaches it in
///             this wind, a course that follows is joined at 45 degrees (60 or 90 where that is too far out). A way that begins with no heading of its
///             own, or turns more than 15 degrees off the runway, begins straight ahead to 400 ft. Legs behind the last fix that
///             is reached (radar vectors above all) are left out, said so; where none is reached, or vectors lead to a fix in the middle, it is refused.
///   Domain    route types 1, 2, 3; area navigation (4, 5, 6, F, M, S), radar vectors (T, V) and engine failure (0) are refused by name.
///   Accuracy  as path.hpp; turns take no room.
///   Cost      under a millisecond a way.
///   Fails     never: what is refused has a finding that blocks.
///   Source    trade-facts 11.1, 13.9; 45 degrees: design section 3; 15 degrees: PANS-OPS straight departures, from memory.
std::vector<DepartureWay> departure_ways(const navdata::Snapshot& world, const radio::Ground& ground,
                                         const cockpit::Equipment& aboard, navdata::AirportId airport,
                                         const TakeOff& take_off,
                                         radio::Criteria criteria = radio::Criteria::terps);

}  // namespace omniway::procedure
