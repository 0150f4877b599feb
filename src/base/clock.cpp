#include "base/clock.hpp"

#include <cmath>

#include <fmt/format.h>

#include "base/in_quotes.hpp"

namespace omniway::base {

namespace {

using std::chrono::days;
using std::chrono::sys_days;

tl::unexpected<Error> wrong_form(std::string_view text, std::string where) {
    return failure(
        "base.clock_form",
        fmt::format(
            "{} is no time: hours and minutes in UTC are expected, as 14:07, 14:07:30 or 2026-11-26T14:07Z",
            in_quotes(text)),
        std::move(where));
}

/// Takes so many figures from the front; empty where they are not there.
std::optional<int> take_figures(std::string_view& text, std::size_t count) {
    if (text.size() < count) {
        return std::nullopt;
    }
    int value = 0;
    for (const char c : text.substr(0, count)) {
        if (c < '0' || c > '9') {
            return std::nullopt;
        }
        value = value * 10 + (c - '0');
    }
    text.remove_prefix(count);
    return value;
}

bool take(std::string_view& text, char wanted) {
    if (text.empty() || text.front() != wanted) {
        return false;
    }
    text.remove_prefix(1);
    return true;
}

struct Date {
    int year = 0;
    int month = 0;
    int day = 0;
};

std::optional<Date> take_date(std::string_view& text) {
    std::string_view rest = text;
    const auto year = take_figures(rest, 4);
    const bool first = take(rest, '-');
    const auto month = take_figures(rest, 2);
    const bool second = take(rest, '-');
    const auto day = take_figures(rest, 2);
    if (!year || !first || !month || !second || !day || !take(rest, 'T')) {
        return std::nullopt;
    }
    text = rest;
    return Date{*year, *month, *day};
}

}  // namespace

Result<ClockTime> parse_clock_time(std::string_view text, std::string where) {
    std::string_view rest = text;
    const std::optional<Date> date = take_date(rest);
    const auto hour = take_figures(rest, 2);
    const bool first = take(rest, ':');
    const auto minute = take_figures(rest, 2);
    std::optional<int> second = 0;
    if (take(rest, ':')) {
        second = take_figures(rest, 2);
    }
    const bool zulu = take(rest, 'Z') || take(rest, 'z');
    if (!hour || !first || !minute || !second || !rest.empty() || (date && !zulu)) {
        return wrong_form(text, std::move(where));
    }
    if (*hour > 23 || *minute > 59 || *second > 59) {
        return failure("base.clock_out_of_range",
                       fmt::format("{} is outside the allowed range 00:00 to 23:59:59", in_quotes(text)),
                       std::move(where));
    }
    ClockTime time;
    time.since_midnight = Duration(*hour * 3600.0 + *minute * 60.0 + *second);
    if (date) {
        using namespace std::chrono;
        const year_month_day day{year(date->year), month(static_cast<unsigned>(date->month)),
                                 std::chrono::day(static_cast<unsigned>(date->day))};
        if (!day.ok() || date->year < 1900 || date->year > 2100) {
            return failure(
                "base.clock_out_of_range",
                fmt::format("the date in {} is none from 1900-01-01 to 2100-12-31", in_quotes(text)),
                std::move(where));
        }
        time.day = sys_days(day);
    }
    return time;
}

Instant instant_of(const ClockTime& time, sys_days day) {
    return Instant(time.day.value_or(day)) + time.since_midnight;
}

Instant first_not_before(const ClockTime& time, Instant earliest) {
    if (time.day) {
        return instant_of(time, *time.day);
    }
    const Instant same_day = instant_of(time, day_of(earliest));
    return same_day < earliest ? same_day + days(1) : same_day;
}

sys_days day_of(Instant instant) {
    return std::chrono::floor<days>(instant);
}

std::string elapsed_text(Duration time) {
    const long seconds = std::lround(time.count());
    return seconds >= 3600 ? fmt::format("{}:{:02}:{:02}", seconds / 3600, seconds / 60 % 60, seconds % 60)
                           : fmt::format("{}:{:02}", seconds / 60, seconds % 60);
}

std::string clock_text(Instant instant) {
    const long long minutes = std::llround(instant.time_since_epoch().count() / 60.0);
    const long long of_day = ((minutes % 1440) + 1440) % 1440;
    return fmt::format("{:02}:{:02}Z", of_day / 60, of_day % 60);
}

std::string date_and_clock_text(Instant instant) {
    const auto second = std::chrono::round<std::chrono::seconds>(instant);
    const sys_days day = std::chrono::floor<days>(second);
    const std::chrono::year_month_day date(day);
    const auto of_day = (second - day).count();
    return fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}Z", static_cast<int>(date.year()),
                       static_cast<unsigned>(date.month()), static_cast<unsigned>(date.day()), of_day / 3600,
                       of_day / 60 % 60, of_day % 60);
}

}  // namespace omniway::base
