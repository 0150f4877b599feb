#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/reading_words.hpp"
#include "base/result.hpp"

namespace omniway::app {

/// How old a reading may be.
inline constexpr base::Duration oldest_reading = base::minutes(120.0);

/// A moment that was typed, and where.
struct TypedTime {
    TimeWords time;
    std::string where;
};

/// Now, and how long before it each moment was.
struct ReadingTimes {
    std::optional<base::Duration> now;  // since midnight UTC; none: no time of the day was given
    std::vector<base::Duration> before;
};

/// Lays times of the day and minutes ago along one line that ends now.
///   Model     now is as given, else the latest of the times of the day: that one before which all the others lie nearest. A day has 24 hours,
///             and nothing is older than two: so 23:58 is four minutes before 00:02.
///   Domain    times up to two hours before now.
///   Accuracy  as typed.
///   Cost      the number of times, squared.
///   Fails     app.find_too_old, at the time that is.
///   Source    fixing/belief.hpp for the two hours.
base::Result<ReadingTimes> times_before_now(const std::optional<base::Duration>& now,
                                            const std::vector<TypedTime>& times);

}  // namespace omniway::app
