#pragma once

#include <vector>

#include "base/altitude.hpp"
#include "flight/leg.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/climb.hpp"

namespace omniway::flight {

/// Ends each climb by heading to an altitude where this aircraft reaches it in this wind, and not after the nominal length with which
/// it was placed.
///   Model     what follows begins there: straight to the aid where it homes on one; on its coded course to its fix, where that
///             runs from there. Whatever lies elsewhere leaves the climb as it was.
///   Domain    legs of a published missed approach, in order, from an altitude at its beginning.
///   Accuracy  as procedure/climb.hpp; turns take no room.
///   Cost      some geodesics a leg.
///   Fails     never: what does not fit is left as it was.
///   Source    trade-facts 7.3, 11.1 (CA, VA, DF).
void lay_missed_climb(const navdata::Snapshot& world, const procedure::ClimbInWind& climb,
                      base::Altitude from, std::vector<Leg>& missed);

}  // namespace omniway::flight
