#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

#include "base/quantity.hpp"
#include "base/result.hpp"

namespace omniway::base {

/// A moment, UTC.
///   Model     seconds since 1970-01-01 without leap seconds, as sys_time counts.
///   Domain    1900 to 2100.
///   Accuracy  a microsecond.
///   Cost      one double.
///   Fails     never.
///   Source    ISO 8601 for the text.
using Instant = std::chrono::sys_time<Duration>;

/// What was typed of a moment: a time of the day, perhaps with its date.
struct ClockTime {
    std::optional<std::chrono::sys_days> day;
    Duration since_midnight{0.0};
    friend bool operator==(const ClockTime&, const ClockTime&) = default;
};

/// "14:07", "14:07:30", "14:07Z", "2026-11-26T14:07Z": hours and minutes, perhaps seconds, UTC with or without its Z. Fails with
/// base.clock_form, base.clock_out_of_range.
Result<ClockTime> parse_clock_time(std::string_view text, std::string where);

/// On its own date, or else on that day.
Instant instant_of(const ClockTime& time, std::chrono::sys_days day);
/// The first moment at that time of the day which is not before `earliest`.
Instant first_not_before(const ClockTime& time, Instant earliest);
std::chrono::sys_days day_of(Instant instant);

/// A time that has passed, to the second: "3:11", or "1:03:11" from an hour on.
std::string elapsed_text(Duration time);

/// "14:07Z", to the nearest minute.
std::string clock_text(Instant instant);
/// "2026-11-26T14:07:30Z", to the nearest second.
std::string date_and_clock_text(Instant instant);

}  // namespace omniway::base
