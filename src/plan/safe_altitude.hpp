#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "earth/local_frame.hpp"
#include "earth/magnetic_model.hpp"
#include "earth/terrain.hpp"
#include "flight/leg.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::plan {

/// What says how high is high enough: a minimum sector altitude, the grid minimums, or the ground itself.
enum class SafeBy { sector, grid, ground };

/// One of them, over a region.
struct SafeCandidate {
    SafeBy by = SafeBy::ground;
    std::optional<base::Altitude> altitude;  // none: it says nothing there
    bool covers = false;  // all of the region, and it does not contradict the ground: it may be offered
    std::string says;     // with its figures; where it does not cover, why
    std::optional<flight::GroundAsks> ground = std::nullopt;
};

/// How high an aircraft is safe that may be anywhere in a region.
struct SafeAltitude {
    std::optional<SafeBy> by;                // none: no safe altitude is known there
    std::optional<base::Altitude> altitude;  // offered
    std::optional<base::Altitude> at_least;  // where none is: no lower than that, and it may not do
    std::vector<SafeCandidate> looked_at;    // sector, grid, ground
    std::optional<base::Length>
        above;  // the present altitude less the one or the other; none: nothing is known

    const SafeCandidate* taken() const;
};

/// The region as the rule of safe_altitude() takes it: rings of corners on a plane (fixing/belief.hpp).
struct RegionAsked {
    const earth::LocalFrame& frame;
    const std::vector<std::vector<earth::Position>>& rings;
};

/// The lowest altitude that is safe over all of a region, by what is published or by the ground.
///   Model     a minimum sector altitude counts only where every corner of the region lies within its circle: the highest of the sectors that the
///             region touches, seen from the centre, each three degrees wider than coded; a hole between them refuses it. The grid minimums: the
///             highest of all cells that it touches, where each of them has one. The ground: flight/region_minimum.hpp, where all of it is
///             known. The lowest of those that cover is offered; a published one that stands lower than 1,000 ft over the known ground of the region is not. None covers:
///             the highest of the known ground's and the known cells' is a lower bound and no more.
///   Domain    regions within the domain of their plane, of three corners a ring; no rings: nothing is known.
///   Accuracy  never below what it is taken from; squares of a quarter of a mile, or an 800th of a larger region, stand for it
///             (earth/squared_region.hpp). What an altimeter errs by, in cold air above all, is not in it.
///   Cost      some tens of microseconds a square mile with terrain.
///   Fails     never: "no" is an altitude that is not there, and why.
///   Source    design section 3; MSA: trade-facts 9.3 and 13.11 (1,000 ft within its circle, bearings to the centre, for emergencies); grid minimums contain
///             their clearance (9.3); which is offered, and the three degrees for a magnetic north that is not said: common practice, no source.
SafeAltitude safe_altitude(const navdata::Snapshot& world, const earth::Terrain* terrain,
                           const earth::MagneticModel& model, earth::DecimalYear today,
                           const RegionAsked& region, base::Altitude present, base::Length allowance);

}  // namespace omniway::plan
