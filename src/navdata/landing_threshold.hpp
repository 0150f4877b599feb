#pragma once

#include <optional>

#include "earth/position.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::navdata {

/// The runway that a localizer serves, and its landing threshold: what its width is tailored to (radio/indication.hpp).
///   Model     the runway of its airport that its record names; where it names none, the one whose record names the localizer.
///   Domain    any station; of one that is no localizer, and where the runway is not known, none; no threshold where it has none.
///   Accuracy  as published.
///   Cost      a look-up by name.
///   Fails     never.
///   Source    ARINC 424-18, PI records: runway identifier (from memory).
const Runway* runway_served(const Snapshot& world, const Station& station);
std::optional<earth::Position> landing_threshold(const Snapshot& world, const Station& station);

}  // namespace omniway::navdata
