#pragma once

#include <optional>
#include <span>
#include <vector>

#include "aircraft/performance.hpp"
#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "flight/flight.hpp"
#include "flight/leg.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::flight::detail {

/// How far over the ground an aircraft climbs and descends along a leg, in the wind of the altitude midway.
class Slopes {
public:
    Slopes(const aircraft::Performance& performance, const weather::WindsAloft& winds)
        : performance_(performance), winds_(winds) {}

    base::Length climb(const Leg& leg, base::Altitude low, base::Altitude high) const;
    base::Length descent(const Leg& leg, base::Altitude high, base::Altitude low) const;

private:
    const aircraft::Performance& performance_;
    const weather::WindsAloft& winds_;
};

/// How high a leg is cruised along, and within what.
struct Cruised {
    base::Altitude level;
    std::optional<base::Altitude> floor;    // not to be left before its end; none: it has none
    std::optional<base::Altitude> maximum;  // none: none, or its own level is above it
};

/// The levels of legs one after the other, with the climbs that end where the higher level begins.
class LevelLine {
public:
    /// One `cruised` for each of the first legs; what follows them is not cruised.
    LevelLine(Slopes slopes, std::span<const Leg> legs, std::vector<Cruised> cruised);

    /// What would be flown by one who is level at the start: a climb ends at the fix where the higher level begins, at most at the
    /// maximum of each leg it runs over; a descent begins at the fix where the lower one begins, before it only where the leg behind it has
    /// a maximum that asks for it. What cannot be had stands as a step. `next`: the level of what follows.
    std::vector<ProfilePoint> wanted(std::optional<base::Altitude> next = std::nullopt) const;

    /// That line as it is reached from an altitude at its beginning by the aircraft's own climb and descent, held down by what a
    /// departure crosses at or below.
    std::vector<ProfilePoint> flown(const std::vector<ProfilePoint>& wanted, base::Altitude from) const;

private:
    const Leg& leg_at(base::Length along) const;
    void run_back(std::size_t leg, std::vector<ProfilePoint>& back) const;
    base::Altitude at_end(std::size_t leg, base::Altitude after) const;
    std::optional<ProfilePoint> cap_ahead_of(base::Length along) const;
    ProfilePoint climbed(const ProfilePoint& here, base::Altitude goal) const;
    ProfilePoint descended(const ProfilePoint& here, base::Altitude goal) const;

    Slopes slopes_;
    std::span<const Leg> legs_;
    std::vector<Cruised> cruised_;
    std::vector<base::Length> ends_;  // of each leg
};

}  // namespace omniway::flight::detail
