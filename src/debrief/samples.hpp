#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "base/altitude.hpp"
#include "earth/flown_track.hpp"
#include "earth/local_frame.hpp"

namespace omniway::debrief {

/// A moment of a flown track on the plane of its flight.
struct Sample {
    double time_s = 0.0;  // as the track counts
    earth::PlanePoint place;
    std::optional<base::Altitude> altitude;
    double track_rad = 0.0;  // over the ground, from grid north
    double speed_mps = 0.0;
    double lasts_s = 0.0;    // until the next; zero before a gap
    bool after_gap = false;  // nothing was recorded before it for longer than a gap may last
};

/// The part of a track that was flown, thinned to what can matter.
///   Model     from the first to the last place faster than 30 kt; one moment a second at most, 20,000 in all. Direction and speed over the ground
///             over eight seconds about each, never across a gap.
///   Domain    tracks of earth/flown_track.hpp.
///   Accuracy  places as recorded.
///   Cost      one pass.
///   Fails     never: fewer than two where nothing was flown.
///   Source    30 kt: common practice, no source.
std::vector<Sample> samples_of(const earth::FlownTrack& track, const earth::LocalFrame& frame,
                               base::Duration longest_gap);

}  // namespace omniway::debrief
