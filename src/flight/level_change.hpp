#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "flight/leg.hpp"
#include "flight/settings.hpp"
#include "flight/top_of_descent.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::flight {

struct Flight;

/// The level cruised at along a leg.
base::Altitude level_of(const Flight& flight, const Leg& leg);

/// The level from which the flight descends to its approach.
base::Altitude last_level(const Flight& flight);

/// The highest level of the flight.
base::Altitude highest_level(const Flight& flight);

/// A fix at which the flight goes over to another level.
///   Model     a climb ends there, so that the next leg's level is flown over all of it: it begins where the profile last left the lower
///             level behind it. A descent begins there. Where there is no room for the climb, or a maximum stands before it, it
///             ends beyond the fix, and the judge says so (altitude.level_late).
///   Domain    legs before the approach.
///   Accuracy  as the profile.
///   Cost      tens of microseconds.
///   Fails     never.
///   Source    docs/methods/vertical.md; ICAO Doc 4444 appendix 2, item 15 (c) 4.
struct LevelChange {
    std::size_t leg = 0;  // the first that is cruised along at the new level
    std::string at;       // the fix at its beginning
    base::Altitude from;
    base::Altitude to;
    base::Length fix_along;     // from take-off
    base::Length begins;        // where the old level is left
    base::Length ends;          // where the new one is reached
    base::Speed true_airspeed;  // cruised with at the new level
    std::optional<DescentMark>
        mark;  // by what the cockpit tells where a climb begins; none: it begins at the fix
    bool is_climb() const { return to > from; }
};

/// The changes of level of a flight with its profile, in order.
std::vector<LevelChange> level_changes(const navdata::Snapshot& world, const radio::Ground& ground,
                                       const aircraft::Aircraft& aircraft, const Settings& settings,
                                       const weather::WindsAloft& winds, const Flight& flight);

/// What is asked of a climb that is to end at a fix.
struct ClimbQuestion {
    std::span<const Leg> legs;  // that lead to the fix, in order: one at least
    base::Altitude cruise;      // level of those that name none
    base::Altitude at_start;    // flown at the beginning of the first
    base::Altitude next;        // level of what follows the fix
};

/// Where a climb to the next level would begin, and whether there is room for it.
struct ClimbBefore {
    base::Length begins;    // so far before the fix, over the ground
    base::Altitude at_fix;  // the next level; less where there is no room, or a maximum stands in the way
};

/// The climb to the next leg's level, before there is a whole flight: by it a search refuses a level that cannot be reached in time.
///   Model     as the profile of the flight has it (flight/flight.hpp): the aircraft's own climb in the wind, back from the fix over as many
///             legs as it takes, no higher than the maximum of any of them.
///   Domain    levels up to the ceiling.
///   Accuracy  by pieces of 500 ft; within 0.1 NM of a climb reckoned by hand (level_change_test.cpp).
///   Cost      some microseconds for each 500 ft.
///   Fails     never: no room is an altitude at the fix below the next level.
///   Source    docs/methods/vertical.md.
ClimbBefore climb_before(const aircraft::Aircraft& aircraft, const weather::WindsAloft& winds,
                         const ClimbQuestion& question);

}  // namespace omniway::flight
