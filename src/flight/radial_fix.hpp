#pragma once

#include <optional>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/magnetic_model.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/path.hpp"

namespace omniway::flight {

/// A place without a record of its own, named by where it stands from a point: "XKE184023", 23 NM on the radial 184 of XKE.
///   Model     counted from a VOR's own zero, elsewhere from magnetic north of the day; the distance is over the ground, which a
///             DME reads the higher the nearer it is. Its name is its word in item 15, and names the same place when read again.
///   Domain    bearings in whole degrees, distances in whole miles from 1 to 999.
///   Accuracy  geodesic.
///   Cost      one geodesic; 3 us more where the magnetic model is asked.
///   Fails     never.
///   Source    ICAO Doc 4444 appendix 2, item 15 (trade-facts 12).
procedure::PlacedFix radial_fix(const navdata::Snapshot& world, const earth::MagneticModel& model,
                                earth::DecimalYear today, const navdata::Point& point,
                                base::MagneticBearing bearing, base::Length distance);

/// The one of an aid that stands nearest to a place; none within half a mile of the aid or beyond 999 NM.
std::optional<procedure::PlacedFix> nearest_radial_fix(const navdata::Snapshot& world,
                                                       const earth::MagneticModel& model,
                                                       earth::DecimalYear today, navdata::StationId aid,
                                                       earth::Position place);

/// The aids that a place of that kind may be named from, by its name and its distance: one, but where aids of one name stand at one
/// place; a VOR before a beacon. None of a place that has a record or another name.
std::vector<navdata::StationId> named_from(const navdata::Snapshot& world, const procedure::PlacedFix& fix);

}  // namespace omniway::flight
