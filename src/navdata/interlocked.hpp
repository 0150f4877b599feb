#pragma once

#include <vector>

#include "navdata/snapshot.hpp"

namespace omniway::navdata {

/// The other localizers that share a localizer's frequency at its airport: of them one at a time is on the air, the one of the runway in use,
/// and its DME with it.
///   Model     localizers of that frequency within 5 NM: no two airports so near are given one frequency.
///   Domain    any station; of one that is no localizer, and of a localizer that has its frequency alone, none.
///   Accuracy  as published.
///   Cost      a look at the stations within 5 NM.
///   Fails     never.
///   Source    ICAO Annex 10 Vol I 3.1.2.7 (interlocks), from memory.
std::vector<StationId> interlocked_with(const Snapshot& world, StationId station);

}  // namespace omniway::navdata
