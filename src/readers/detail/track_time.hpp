#pragma once

#include <string>
#include <string_view>

#include "base/result.hpp"
#include "readers/detail/track_flights.hpp"

namespace omniway::readers::detail {

/// A moment as recorders write it: "2026-11-26T14:07:30.5Z", or "14:07:30.5" without a date.
///   Model     ISO 8601 in full; a blank may stand for the T, an offset as +02:00 for the Z; without either it is UTC, as GPX 1.1 has
///             it. 24:00:00 ends a day, and a second of 60 is that of a leap.
///   Domain    1900 to 2100.
///   Accuracy  a microsecond.
///   Cost      one pass.
///   Fails     track.time_form, read.out_of_range.
///   Source    ISO 8601; W3C XML Schema part 2, 3.2.7 (dateTime); GPX 1.1, time.
base::Result<WrittenMoment> written_moment(std::string_view text);

/// Seconds since 1970 of midnight on that date; none where the calendar has no such date from 1900 to 2100.
std::optional<double> midnight_s(int year, int month, int day);

}  // namespace omniway::readers::detail
