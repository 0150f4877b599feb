#include "readers/detail/track_time.hpp"

#include <charconv>
#include <chrono>

#include <fmt/format.h>

#include "base/in_quotes.hpp"

namespace omniway::readers::detail {

namespace {

/// Takes text from the front, or remembers that it could not.
class Taker {
public:
    explicit Taker(std::string_view text) : rest_(text) {}

    int figures(std::size_t count) {
        int value = 0;
        if (rest_.size() < count) {
            good_ = false;
            return 0;
        }
        for (const char c : rest_.substr(0, count)) {
            good_ = good_ && c >= '0' && c <= '9';
            value = value * 10 + (c - '0');
        }
        rest_.remove_prefix(count);
        return good_ ? value : 0;
    }
    bool takes(char wanted) {
        if (!rest_.starts_with(wanted)) {
            return false;
        }
        rest_.remove_prefix(1);
        return true;
    }
    void must_take(char wanted) { good_ = takes(wanted) && good_; }
    /// ".25" as 0.25; nothing as 0.
    double fraction() {
        if (!takes('.')) {
            return 0.0;
        }
        std::size_t count = 0;
        while (count < rest_.size() && rest_[count] >= '0' && rest_[count] <= '9') {
            ++count;
        }
        good_ = good_ && count > 0;
        double value = 0.0;
        const std::string digits = "0." + std::string(rest_.substr(0, count));
        std::from_chars(digits.data(), digits.data() + digits.size(), value);
        rest_.remove_prefix(count);
        return value;
    }
    std::string_view rest() const { return rest_; }
    bool is_good() const { return good_; }

private:
    std::string_view rest_;
    bool good_ = true;
};

bool has_date(std::string_view text) {
    return text.size() > 4 && text[4] == '-';
}

}  // namespace

std::optional<double> midnight_s(int year, int month, int day) {
    const std::chrono::year_month_day date{std::chrono::year(year),
                                           std::chrono::month(static_cast<unsigned>(month)),
                                           std::chrono::day(static_cast<unsigned>(day))};
    if (year < 1900 || year > 2100 || !date.ok()) {
        return std::nullopt;
    }
    return static_cast<double>(std::chrono::sys_days(date).time_since_epoch().count()) * 86'400.0;
}

base::Result<WrittenMoment> written_moment(std::string_view text) {
    Taker taker(text);
    WrittenMoment moment;
    moment.dated = has_date(text);
    std::optional<double> midnight = 0.0;
    if (moment.dated) {
        const int year = taker.figures(4);
        taker.must_take('-');
        const int month = taker.figures(2);
        taker.must_take('-');
        const int day = taker.figures(2);
        midnight = midnight_s(year, month, day);
        if (!taker.takes(' ')) {
            taker.must_take('T');
        }
    }
    const int hour = taker.figures(2);
    taker.must_take(':');
    const int minute = taker.figures(2);
    taker.must_take(':');
    const int second = taker.figures(2);
    const double part = taker.fraction();
    int ahead_min = 0;
    bool offset_in_range = true;
    if (!taker.rest().empty() && !taker.takes('Z')) {
        const bool east = taker.takes('+');
        if (!east) {
            taker.must_take('-');
        }
        const int hours = taker.figures(2);
        taker.must_take(':');
        const int minutes = taker.figures(2);
        offset_in_range = hours <= 14 && minutes <= 59;
        ahead_min = (east ? 1 : -1) * (hours * 60 + minutes);
    }
    // A time of the day in another zone would need the date to be turned into UTC.
    if (!taker.is_good() || !taker.rest().empty() || (!moment.dated && ahead_min != 0)) {
        return base::failure(
            "track.time_form",
            fmt::format(
                "{} is no time: 2026-11-26T14:07:30.5Z is expected, or 14:07:30.5 where there is no date",
                base::in_quotes(text)));
    }
    const bool ends_the_day = hour == 24 && minute == 0 && second == 0 && part == 0.0;
    if (!midnight || (hour > 23 && !ends_the_day) || minute > 59 || second > 60 || !offset_in_range) {
        return base::failure(
            "read.out_of_range",
            fmt::format("the time is {}; allowed are dates from 1900-01-01 to 2100-12-31 and 00:00:00 "
                        "to 23:59:59, offsets to 14:00",
                        base::in_quotes(text)));
    }
    moment.seconds = *midnight + hour * 3600.0 + (minute - ahead_min) * 60.0 + second + part;
    return moment;
}

}  // namespace omniway::readers::detail
