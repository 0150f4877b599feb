#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "base/clock.hpp"
#include "base/result.hpp"
#include "earth/flown_track.hpp"
#include "readers/reading.hpp"

namespace omniway::readers {

enum class TrackForm { gpx, nmea, csv };
/// "GPX", "NMEA 0183", "CSV".
const char* form_text(TrackForm form);

/// What is wanted of a file of flown tracks.
struct TrackSetting {
    std::optional<std::size_t> flight = {};  // which of its flights, the first is 1; none: the only one
    base::Duration longest_gap{60.0};        // a longer one is told
};

/// One flight out of a file, together with all that was noticed and not used.
///   Model     a row of the counts is a point, or a line that gives none; of the points of other flights in the file nothing is
///             counted. A row that is not used has a diagnostic with its place, for the first thousand of them; a diagnostic
///             remark.* is about what is used all the same.
///   Domain    two points at least.
///   Accuracy  counts are exact.
///   Cost      the track and up to a thousand diagnostics.
///   Fails     never.
///   Source    docs/track-file.md.
struct TrackReading : base::Loaded<earth::FlownTrack> {
    TrackForm form = TrackForm::gpx;
    std::size_t flight = 1;   // which of the file's
    std::size_t flights = 1;  // how many it has
    std::vector<earth::TrackGap> gaps;
    ReadCounts counts;
};

}  // namespace omniway::readers
