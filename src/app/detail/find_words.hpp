#pragma once

#include <optional>
#include <string>
#include <vector>

#include "app/find_position.hpp"
#include "app/reading_words.hpp"
#include "fixing/next_reading.hpp"

namespace omniway::app::detail {

/// What was typed to find a place, word by word, still without a world.
///   Model     of an option that is not repeatable the last word holds.
///   Domain    the options of find_options().
///   Accuracy  as typed.
///   Cost      linear.
///   Fails     find_words_read(): with every fault found, at its word: app.find_*, app.out_of_range, app.unknown_word, app.unknown_reception, base.clock_*, weather.*.
///   Source    none: how it is typed is this project's own.
struct FindTyped {
    struct Read {
        ReadingOption option = ReadingOption::vor;
        ReadingWords words;
        std::string where;
    };
    struct Held {
        HeadingWords words;
        std::string where;
    };
    struct Last {
        TimedWords words;
        std::string where;
    };
    std::vector<Read> readings;
    std::vector<Held> headings;
    std::optional<double> airspeed_kt;
    std::optional<double> wind_error_kt;
    std::optional<double> altitude_ft;
    std::optional<double> last_within_nm;
    std::optional<double> fuel_lb;
    std::optional<base::Duration> now;
    std::optional<Last> last;
    std::optional<radio::ReceptionMode> reception;
    radio::Criteria criteria = radio::Criteria::terps;
    std::optional<FindWord> aircraft;
    PlanQuestion winds;
    bool wind_known = false;
    fixing::FreeRadios free;
};
tl::expected<FindTyped, std::vector<base::Error>> find_words_read(const FindQuestion& question);

}  // namespace omniway::app::detail
