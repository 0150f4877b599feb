#pragma once

#include <span>
#include <string>

#include "earth/magnetic_model.hpp"
#include "rehearsal/stage.hpp"
#include "rehearsal/trial.hpp"

namespace omniway::writers {

/// One rehearsed flight as a track that other programs read.
///   Model     GPX 1.1: one track of one segment, a point a moment with its height above mean sea level and its time; the take-off begins at
///             12:00 UTC of the day.
///   Domain    moments of that stage.
///   Accuracy  as writers/track_gpx.hpp.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    as writers/track_gpx.hpp.
std::string rehearsal_gpx(const rehearsal::Stage& stage, std::span<const rehearsal::Moment> moments,
                          const std::string& name, earth::DecimalYear day);

}  // namespace omniway::writers
