#pragma once

#include <vector>

#include "earth/corridor.hpp"
#include "earth/terrain.hpp"
#include "flight/leg.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"

namespace omniway::flight {

/// How wide the ground must be looked at along a leg: 4 NM either side, more where the aid that guides is far, and more where
/// nothing guides.
///   Model     4 NM; beyond 51 NM from the guiding aid its accuracy line of 4.5 degrees; along a heading 15 degrees more each
///             side from where guidance was lost.
///   Domain    a leg's stretches, in order.
///   Accuracy  exact at the points given, straight between them.
///   Cost      one geodesic an aid.
///   Fails     never.
///   Source    14 CFR 91.177 (4 NM), FAA Instrument Procedures Handbook (4.5 degrees from 51 NM), PANS-OPS II-3-1 (15 degrees):
///             trade-facts 3.3 and 9.3, [seen].
std::vector<earth::HalfWidth> corridor_of(const navdata::Snapshot& world, earth::Position start,
                                          earth::Position finish, const std::vector<Stretch>& stretches);

/// Whether ground that changes so much within 10 NM is mountains.
bool is_mountainous(base::Altitude highest, base::Altitude lowest);

/// What ground asks of a flight above it, mountains or not.
GroundAsks asks_over(base::Altitude ground, earth::Position where, base::Length allowance, bool mountains);

/// What the ground asks of a flight above it: the highest ground, an allowance for what stands on it, and a clearance.
///   Model     ground + allowance + 1,000 ft, or 2,000 ft in mountains: where the ground changes by more than 3,000 ft within 10
///             NM along the corridor. The most that any mile asks counts.
///   Domain    slices of one corridor; none of the ground may be unknown for an answer.
///   Accuracy  that of the terrain; the result is in whole hundreds of feet, rounded up.
///   Cost      linear.
///   Fails     "no" is an empty answer: some of the ground is not known.
///   Source    14 CFR 91.177; "mountains" as in Canadian and ICAO usage, from memory (trade-facts 21); the allowance is common
///             practice, no source.
std::optional<GroundAsks> ground_asks(const std::vector<earth::GroundSlice>& slices, base::Length allowance);

/// The lowest altitude of a leg off the airways.
///   Model     What the user gives; else what the ground asks, where all of it is known; else the highest published grid minimum it
///             crosses, which already contains its clearance; else not known.
///   Domain    legs between two places.
///   Accuracy  as its source.
///   Cost      as earth/corridor.hpp.
///   Fails     "no" is MinimumFrom::not_known, with whether ground without data is why.
///   Source    design section 3.
LegMinimum off_airway_minimum(const navdata::Snapshot& world, const radio::Ground& ground,
                              const Settings& settings, earth::Position start, earth::Position finish,
                              const std::vector<Stretch>& stretches);

/// The same as far as one altitude has to be told from it: where a coarse look at the ground (earth/corridor.hpp, ground_about) shows that the
/// altitude clears all of it, MinimumFrom::ground with no ground named, at an altitude that the minimum does not exceed; else as
/// off_airway_minimum().
LegMinimum minimum_for(base::Altitude altitude, const navdata::Snapshot& world, const radio::Ground& ground,
                       const Settings& settings, earth::Position start, earth::Position finish,
                       const std::vector<Stretch>& stretches);
/// Whether it is one that says no more than that.
bool is_rough(const LegMinimum& minimum);

}  // namespace omniway::flight
