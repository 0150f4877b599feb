#pragma once

#include <optional>

#include "base/bearing.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::procedure {

/// The variation by which the magnetic courses of an airport's procedures are meant, where no aid gives them its own zero.
///   Model     as recorded; where it is not, what its runways' true directions are more than their published magnetic bearings
///             (the middle one), else that of the nearest VOR (its declination) or NDB within 60 NM.
///   Domain    airports of the snapshot.
///   Accuracy  from runways within half a degree of what is recorded, at each of 14 airports (RealData test); an aid's own
///             zero may have aged by some degrees.
///   Cost      a geodesic a runway.
///   Fails     "no" is an empty answer: nothing recorded tells it.
///   Source    trade-facts 13.3 (runway bearings are magnetic), 15.
std::optional<base::Variation> variation_of(const navdata::Snapshot& world, const navdata::Airport& airport);

/// From its runways alone.
std::optional<base::Variation> variation_by_runways(const navdata::Snapshot& world,
                                                    const navdata::Airport& airport);

}  // namespace omniway::procedure
