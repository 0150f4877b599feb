#pragma once

#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "base/finding.hpp"
#include "cockpit/equipment.hpp"
#include "flight/leg.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "radio/along_path.hpp"
#include "radio/ground.hpp"

namespace omniway::flight {

/// A leg, or why there is none.
struct LegOrReason {
    std::optional<Leg> leg;
    std::optional<base::Finding> refused;
};

/// What a leg off the airways goes by.
inline constexpr std::string_view direct_via = "direct";

/// The straight leg off the airways from one place to another, with nothing yet that guides along it.
Leg straight_leg(const procedure::PlacedFix& from, const procedure::PlacedFix& to);

/// What an airway segment offers in one direction at an altitude.
///   Model     guidance is the aid at either end of its stretch whose radial it lies on; the changeover is at the bend, else
///             midway between the two aids. Refused by name: area navigation, the wrong direction, below the minimum, above
///             the maximum, outside the band of its letter, no recorded aid.
///   Domain    segment `index` of the airway, flown forward (as coded) or backward.
///   Accuracy  geodesic.
///   Cost      tens of microseconds.
///   Fails     "no" is a finding.
///   Source    design section 3; 14 CFR 95.8001 (changeover), trade-facts 9.
LegOrReason airway_leg(const navdata::Snapshot& world, const cockpit::Equipment& aboard,
                       const navdata::Airway& airway, std::size_t index, bool forward,
                       base::Altitude altitude);

/// How much is asked of a leg's minimum.
enum class Minimum { whole, for_a_search };

/// A straight leg off the airways between two places, guided by the aid behind, the aid ahead, or both with a changeover, and
/// by dead reckoning for no more than the settings allow where neither is heard. The aids are those at its ends; where no end is one,
/// those on whose one radial or bearing all of it lies. Where it begins at a place named from an aid (flight/radial_fix.hpp) and goes on
/// along that aid's line, that aid guides there: as the aid behind, or, toward it, alone.
///   Model     refused where it lies in the cones of silence of the aids at its ends. The aid behind guides from where it stands until it is first lost, the aid ahead from where it is lost last;
///             reception decides the changeover, as near midway as it allows. Its minimum is the user's, else the highest published grid minimum it crosses (which
///             already contains its clearance), else not known; Minimum::for_a_search takes it only as far as the altitude has to be told
///             from it (flight/off_airway_minimum.hpp, minimum_for).
///   Domain    any two places.
///   Accuracy  geodesic; reception as radio/along_path.hpp.
///   Cost      tens of microseconds, more between two fixes (bench/own_legs_bench.cpp); 100 where grid minimums are published, some hundreds over terrain.
///   Fails     "no" is a finding with the gap.
///   Source    design section 3.
LegOrReason direct_leg(const navdata::Snapshot& world, const radio::Ground& ground,
                       const cockpit::Equipment& aboard, const Settings& settings,
                       const procedure::PlacedFix& from, const procedure::PlacedFix& to,
                       base::Altitude altitude, base::Speed groundspeed, Minimum minimum = Minimum::whole);

/// Between two passages the course is met again, after a turn over the first: about a minute. Common practice, no source.
constexpr base::Length shortest_guided = base::Length::nautical_miles(2.0);

/// Whether a leg from over one aid to over another is so short that less than that lies between their cones of silence. `path` is its line with
/// the heights flown.
bool lies_in_cones(const navdata::Snapshot& world, const radio::Ground& ground, const Leg& leg,
                   std::span<const radio::PathPoint> path);

/// direct_leg() before its minimum is asked for: what guides along the straight leg.
LegOrReason guided_leg(const navdata::Snapshot& world, const radio::Ground& ground,
                       const cockpit::Equipment& aboard, const Settings& settings,
                       const procedure::PlacedFix& from, const procedure::PlacedFix& to,
                       base::Altitude altitude, base::Speed groundspeed);

/// Whether a leg goes straight on from the one before under the same aid, at the same level: the point between them needs no telling.
bool goes_straight_on(const Leg& before, const Leg& after);

/// The highest published grid minimum along a line, none if any cell of it is not published.
std::optional<base::Altitude> grid_minimum_along(const navdata::Snapshot& world, earth::Position from,
                                                 earth::Position to);

/// The longest stretch the settings allow by heading and time at a groundspeed.
base::Length dead_reckoning_limit(const Settings& settings, base::Speed groundspeed);

}  // namespace omniway::flight
