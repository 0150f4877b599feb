#pragma once

#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "earth/position.hpp"
#include "flight/leg.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/climb.hpp"

namespace omniway::flight {

/// Ends each climb by heading to an altitude where this aircraft reaches it in this wind, and not after the nominal length with which
/// it was placed; a heading to intercept ends where it meets the course that follows.
///   Model     what follows begins there: straight to the aid where it homes on one; on its coded course to its fix, where that
///             runs from there or the heading meets it. A climb to an altitude that is reached already is left out. Whatever lies
///             elsewhere leaves the climb as it was.
///   Domain    legs of a published missed approach, in order, from an altitude at its beginning.
///   Accuracy  as procedure/climb.hpp; turns take no room.
///   Cost      some geodesics a leg.
///   Fails     never: what does not fit is left as it was.
///   Source    trade-facts 7.3, 11.1 (CA, VA, DF, VI).
void lay_missed_climb(const navdata::Snapshot& world, const procedure::ClimbInWind& climb,
                      base::Altitude from, std::vector<Leg>& missed);

/// Puts the way to the aid before a missed approach whose first course begins at its aid, where the missed approach point stands a
/// little before the aid: no row says it, and yet it is flown.
///   Model     straight to the aid, until it is passed.
///   Domain    a missed approach point not more than 1 NM before the aid, within 45 degrees of the course arriving.
///   Accuracy  a geodesic's.
///   Cost      some geodesics.
///   Fails     never: what does not fit is left as it was.
///   Source    trade-facts 11.1 (CF: its distance counts from where the leg before was left).
void lead_to_the_aid(const navdata::Snapshot& world, earth::Position missed_point, base::TrueBearing arriving,
                     std::vector<Leg>& missed);

}  // namespace omniway::flight
