#pragma once

#include <optional>

#include "procedure/detail/plane_track.hpp"
#include "procedure/holding.hpp"

namespace omniway::procedure::detail {

/// How long until the aircraft is abeam the fix flying against a course; zero where it is past it.
base::Duration until_abeam(const PlaneTrack& track, base::TrueBearing course);

/// The entry of a hold or racetrack (holding.hpp). `longest_offset`: how long the 30 degrees of an offset entry are kept before
/// it flies parallel to the outbound course; none: as long as outbound takes.
std::optional<EntryTrack> hold_entry_track(const Hold& hold, HoldEntry entry, const Motion& motion,
                                           base::TrueBearing arriving_track,
                                           std::optional<base::Duration> longest_offset);

}  // namespace omniway::procedure::detail
