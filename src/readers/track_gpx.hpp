#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "readers/track_reading.hpp"

namespace omniway::readers {

/// A flight recorded as GPX.
///   Model     each <trk> is a flight, all its <trkseg> in a row; of each <trkpt> the place, <ele> (metres, taken as above mean sea
///             level) and <time> are used, and of the track its <name>. Routes and waypoints are no tracks. Extensions are passed
///             over. No entity is ever expanded and no file fetched: a document type, which GPX has none of, is refused.
///   Domain    GPX 1.1 and 1.0, in UTF-8, UTF-16, ISO 8859-1 or ASCII; a million points; elements 100 deep.
///   Accuracy  as written; times to a microsecond.
///   Cost      one pass, about four microseconds a point; a file is not kept as a tree.
///   Fails     track.not_xml, track.document_type, track.not_gpx, track.no_track, track.too_many_points and what
///             readers/detail/track_flights.hpp refuses. As diagnostics: track.no_time, track.time_form, remark.track_cut_short,
///             read.value_missing, read.not_a_number, read.out_of_range, remark.altitude_left_out, and what is left out there.
///   Source    GPX 1.1 schema, topografix.com/GPX/1/1; XML 1.0.
base::Result<TrackReading> read_track_gpx(std::string_view bytes, const std::string& name,
                                          const TrackSetting& setting = {});

}  // namespace omniway::readers
