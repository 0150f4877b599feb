#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "readers/track_reading.hpp"

namespace omniway::readers {

/// A flight recorded as a table.
///   Model     RFC 4180 (readers/csv.hpp) with a header row, columns in any order (docs/track-file.md): time_utc, perhaps with
///             date_utc beside it, or time_of_day_s; latitude_deg; longitude_deg; perhaps altitude_ft or altitude_m, above mean sea
///             level. Other columns are passed over, and said so. A name without its unit is refused.
///   Domain    a million rows.
///   Accuracy  as written; times to a microsecond.
///   Cost      one pass.
///   Fails     read.column_missing, read.column_unknown, track.column_without_unit, track.too_many_points, read.file_empty and what
///             readers/detail/track_flights.hpp refuses. As diagnostics: read.wrong_field_count, read.value_missing,
///             read.not_a_number, read.out_of_range, read.quote_not_closed, read.text_after_quote, track.time_form,
///             remark.altitude_left_out, remark.column_not_used, and what is left out there.
///   Source    RFC 4180; ISO 8601 (times).
base::Result<TrackReading> read_track_csv(std::string_view bytes, const std::string& name,
                                          const TrackSetting& setting = {});

/// Whether a line may be the header row of such a table: it names a latitude.
bool begins_as_track_csv(std::string_view line);

}  // namespace omniway::readers
