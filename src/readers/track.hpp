#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "base/result.hpp"
#include "readers/track_reading.hpp"

namespace omniway::readers {

/// Which form a file of a flown track has, told by what stands in it and not by its name; none where it has none of them.
std::optional<TrackForm> form_of_track(std::string_view bytes);

/// A flight from a file as a recorder wrote it: GPX, NMEA 0183 or CSV.
///   Model     readers/track_gpx.hpp, readers/track_nmea.hpp, readers/track_csv.hpp.
///   Domain    64 MB, a million points.
///   Accuracy  as written.
///   Cost      one pass; about 200 bytes of memory a point beside the file.
///   Fails     track.form_unknown, read.file_empty, read.file_missing, read.not_a_file, read.file_too_large, read.file_unreadable, and
///             what the reader of its form refuses.
///   Source    docs/track-file.md.
base::Result<TrackReading> read_track(std::string_view bytes, const std::string& name,
                                      const TrackSetting& setting = {});
base::Result<TrackReading> read_track_file(const std::string& path, const TrackSetting& setting = {});

}  // namespace omniway::readers
