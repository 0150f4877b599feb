#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "flight/en_route.hpp"
#include "procedure/departure_ways.hpp"

namespace omniway::flight {

/// What every own departure begins with: along the runway to the turn height.
struct StraightAhead {
    base::TrueBearing track;
    base::Length length;      // over the ground, in the aircraft's climb
    base::Altitude altitude;  // at its end: 400 ft above the field
};

/// Of an own departure from a runway, in this climb and wind. Source: 400 ft: AIM 5-2-9, from memory (trade-facts 21).
StraightAhead straight_ahead(const procedure::TakeOff& take_off);

/// The leg that it is.
Leg along_the_runway(earth::Position departure, const std::string& name, const StraightAhead& ahead);

/// Legs, or why there are none.
struct LegsOrReason {
    std::vector<Leg> legs;
    std::optional<base::Finding> refused;
};

/// The climb as an own departure is laid out in it, by the distance flown from the departure.
struct Climbing {
    std::function<base::Altitude(base::Length)> altitude;
    /// Along a track from one distance to another: slower than in the cruise, and in the wind.
    std::function<base::Duration(base::TrueBearing, base::Length from, base::Length to)> time;
};

/// An own departure: along the runway to the turn height, a turn toward a VOR or NDB, a heading until the aid is heard, then to it.
///   Model     straight from where the turn begins to the aid; the turn takes no room, the first half mile after it is flown by heading.
///             Reception is that of radio/along_path.hpp in the climb, and once heard it must stay. Both headings together are dead reckoning:
///             as long as the settings allow, no longer, in the time that the climb takes. Without `ahead` (a runway whose direction is not known) straight for the aid.
///   Domain    aids within 60 NM.
///   Accuracy  0.1 NM in where the aid comes alive.
///   Cost      under a millisecond.
///   Fails     "no" is a finding with the distance at which the aid would be heard.
///   Source    design section 3 ("airport to the first station", "own departure").
LegsOrReason departure_legs(const navdata::Snapshot& world, const radio::Ground& ground,
                            const cockpit::Equipment& aboard, const Settings& settings,
                            earth::Position departure, const std::string& departure_name,
                            const std::optional<StraightAhead>& ahead, const procedure::PlacedFix& first,
                            const Climbing& climb);

}  // namespace omniway::flight
