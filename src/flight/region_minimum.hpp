#pragma once

#include <optional>

#include "base/quantity.hpp"
#include "earth/squared_region.hpp"
#include "earth/terrain.hpp"
#include "flight/leg.hpp"

namespace omniway::flight {

/// What the ground asks of an aircraft that may be anywhere in a region.
struct RegionAsks {
    std::optional<GroundAsks> most;         // of the ground that is known; none where nothing is
    double unknown = 0.0;                   // share of the region whose ground is not known
    std::optional<base::Altitude> highest;  // ground in it
};

/// The rule of a leg off the airways (flight/off_airway_minimum.hpp), over a region in place of a corridor.
///   Model     for each square of the region its highest ground, an allowance and a clearance of 1,000 ft, or 2,000 ft in mountains: where the ground
///             of ten miles by ten that hold the square, the ground about the region too, changes by more than 3,000 ft, or where some of that is
///             not known.
///   Domain    any region; an empty one asks nothing.
///   Accuracy  never below what the ground in the region asks; that of earth/squared_region.hpp above it; in whole hundreds of feet, rounded up.
///   Cost      some tens of microseconds a square mile once its tiles are in memory.
///   Fails     never: unknown ground is said, and never taken for sea.
///   Source    as flight/off_airway_minimum.hpp; that unknown ground about it counts as mountains: common practice, no source.
RegionAsks region_minimum(const earth::Terrain& terrain, const earth::SquaredRegion& region,
                          base::Length allowance);

}  // namespace omniway::flight
