#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace omniway::readers {

/// One of the 28-day cycles in which navigation data is published all over the world.
///   Model     cycles follow each other every 28 days through 2 January 2020 (2001); the first one that takes effect in a
///             year is its number 01, so that some years have a fourteenth.
///   Domain    "YYnn" with YY 64 to 99 for the last century (the first ones took effect in 1964) and 00 to 63 for this one.
///   Accuracy  exact to the day.
///   Cost      a few integer operations.
///   Fails     parse(): nothing for text that is not four digits, or a number the year does not have.
///   Source    ICAO Annex 15, 6.2 and Doc 8126 (28-day system; number 01 is the first of the year); dates from memory.
class AiracCycle {
public:
    static std::optional<AiracCycle> parse(std::string_view text);
    /// The cycle in effect on a day.
    static AiracCycle on(std::chrono::sys_days day);

    std::chrono::sys_days effective() const { return effective_; }
    std::chrono::sys_days last_day() const { return effective_ + std::chrono::days(27); }
    /// "2101"
    std::string text() const;
    friend auto operator<=>(AiracCycle, AiracCycle) = default;

private:
    explicit AiracCycle(std::chrono::sys_days effective) : effective_(effective) {}
    std::chrono::sys_days effective_;
};

/// A day as magnetic models count time: the year and its elapsed part.
double decimal_year(std::chrono::sys_days day);

/// "2021-01-28" (ISO 8601).
std::string to_text(std::chrono::sys_days day);

}  // namespace omniway::readers
