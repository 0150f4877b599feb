#include "app/detail/find_words.hpp"

#include <algorithm>
#include <array>
#include <charconv>

#include <fmt/format.h>

#include "base/in_quotes.hpp"

namespace omniway::app {

namespace {

constexpr std::array<FindOption, 21> options{{
    {"--vor",
     "VOR: STATION=RADIAL (XAB=123), or the course that centres the needle with its arrow (XAB=303TO, "
     "XAB=123FROM)",
     true},
    {"--dme", "DME: STATION=NM (XAB=20.5)", true},
    {"--ndb",
     "NDB: STATION=MAGNETIC BEARING TO IT (XNB=045), or by the pointer relative to the nose (XNB=R330)",
     true},
    {"--loc", "Localizer: which way its needle stands (IXMR=left, centred or right)", true},
    {"--over", "Station passage (XAB)", true},
    {"--silent", "Tuned and nothing heard (XAB; XAB/dme: its distance)", true},
    {"--heading", "Magnetic heading held, from a time on (090@14:00), or all along (090)", true},
    {"--airspeed", "True airspeed in knots (else the aircraft's cruise)"},
    {"--wind", "Wind from true north, DDD/FF in knots (else the card's, else not known)"},
    {"--winds", "Winds by level: \"3000 270/20, 9000 290/35\"", true},
    {"--wind-error",
     "How wrong the wind may be: one standard deviation, in knots (else 10; of no wind given 20)"},
    {"--altitude", "Altitude in feet above sea level"},
    {"--now", "What time it is, UTC, 14:12 (else the latest time given)"},
    {"--last", "Last known place: XAB, XAB090012, N4430W07215 or LAT,LON; with a time, XAB@14:00"},
    {"--last-within", "How well that was known: NM, 95 % (else 2)"},
    {"--keep", "Stays tuned as it is: vor, dme or adf", true},
    {"--aircraft", "Aircraft file, or trainer, single, twin, jet"},
    {"--reception", "Who is heard by: volume, horizon or terrain (else terrain where the atlas has it)"},
    {"--criteria", "Whose tolerances the readings have: terps (the default) or pans-ops"},
    {"--fuel", "Fuel on board in pounds (else what the card has there, or all that is usable)"},
    {"--card", "Somewhere on the way of this card (a file, as plan --card writes it)", false, false},
}};

}  // namespace

std::span<const FindOption> find_options() {
    return options;
}

namespace detail {

using base::Duration;
using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr double lowest_altitude_ft = 0.0;
constexpr double highest_altitude_ft = 60000.0;

std::optional<ReadingOption> reading_option(std::string_view name) {
    constexpr std::array<std::string_view, 6> names{"--vor", "--dme", "--ndb", "--loc", "--over", "--silent"};
    const auto found = std::find(names.begin(), names.end(), name);
    return found == names.end() ? std::nullopt
                                : std::optional(static_cast<ReadingOption>(found - names.begin()));
}

class Reader {
public:
    tl::expected<FindTyped, Faults> read(const FindQuestion& question) {
        for (const FindWord& word : question.words) {
            take(word);
        }
        if (!faults_.empty()) {
            return tl::unexpected(std::move(faults_));
        }
        return std::move(typed_);
    }

private:
    void take(const FindWord& word) {
        if (const auto option = reading_option(word.option)) {
            keep(parse_reading(*option, word.text, word.where), [&](ReadingWords words) {
                typed_.readings.push_back({*option, std::move(words), word.where});
            });
        } else if (word.option == "--heading") {
            keep(parse_heading(word.text, word.where), [&](const HeadingWords& words) {
                typed_.headings.push_back({words, word.where});
            });
        } else if (word.option == "--now") {
            keep(parse_now(word.text, word.where), [&](Duration now) { typed_.now = now; });
        } else if (word.option == "--last") {
            keep(parse_timed(word.text, word.where), [&](TimedWords words) {
                typed_.last = FindTyped::Last{std::move(words), word.where};
            });
        } else if (word.option == "--aircraft") {
            typed_.aircraft = word;
        } else if (!take_number(word) && !take_wind(word)) {
            take_name(word);
        }
    }

    bool take_number(const FindWord& word) {
        if (word.option == "--airspeed") {
            number(word, "true airspeed", "kt", {20.0, 700.0}, typed_.airspeed_kt);
        } else if (word.option == "--wind-error") {
            number(word, "error of the wind", "kt", {0.0, 100.0}, typed_.wind_error_kt);
        } else if (word.option == "--altitude") {
            number(word, "altitude", "ft", {lowest_altitude_ft, highest_altitude_ft}, typed_.altitude_ft);
        } else if (word.option == "--last-within") {
            number(word, "distance", "NM", {0.1, 100.0}, typed_.last_within_nm);
        } else if (word.option == "--fuel") {
            number(word, "fuel", "lb", {0.0, 1000000.0}, typed_.fuel_lb);
        } else {
            return false;
        }
        return true;
    }

    bool take_wind(const FindWord& word) {
        if (word.option == "--wind") {
            keep(weather::parse_wind(word.text, word.where),
                 [&](const weather::Wind&) { typed_.winds.wind = word.text; });
        } else if (word.option == "--winds") {
            keep(weather::parse_winds_aloft(word.text, word.where),
                 [&](const std::vector<weather::WindAt>&) { typed_.winds.winds.push_back(word.text); });
        } else {
            return false;
        }
        typed_.wind_known = true;
        return true;
    }

    void take_name(const FindWord& word) {
        if (word.option == "--reception") {
            keep(parse_reception(word.text, word.where),
                 [&](radio::ReceptionMode mode) { typed_.reception = mode; });
        } else if (word.option == "--criteria") {
            keep(parse_criteria(word.text, word.where),
                 [&](radio::Criteria criteria) { typed_.criteria = criteria; });
        } else if (word.option == "--keep") {
            take_kept(word);
        }
    }

    void take_kept(const FindWord& word) {
        bool* const radio = word.text == "vor"   ? &typed_.free.vor
                            : word.text == "dme" ? &typed_.free.dme
                            : word.text == "adf" ? &typed_.free.adf
                                                 : nullptr;
        if (radio != nullptr) {
            *radio = false;
        } else {
            faults_.push_back({"app.unknown_word",
                               fmt::format("{} is no radio to keep tuned; allowed: vor, dme, adf",
                                           base::in_quotes(word.text)),
                               word.where});
        }
    }

    struct Range {
        double low;
        double high;
    };
    void number(const FindWord& word, std::string_view what, std::string_view unit, Range range,
                std::optional<double>& value) {
        double read = 0.0;
        const char* const end = word.text.data() + word.text.size();
        const auto [stop, problem] = std::from_chars(word.text.data(), end, read);
        if (problem != std::errc() || stop != end || !(read >= range.low && read <= range.high)) {
            faults_.push_back({"app.out_of_range",
                               fmt::format("{} {} {} is outside {} to {} {}", what,
                                           base::in_quotes(word.text), unit, range.low, range.high, unit),
                               word.where});
            return;
        }
        value = read;
    }

    template <class Value, class Take>
    void keep(base::Result<Value> read, const Take& take) {
        if (read) {
            take(std::move(*read));
        } else {
            faults_.push_back(std::move(read.error()));
        }
    }

    FindTyped typed_;
    Faults faults_;
};

}  // namespace

tl::expected<FindTyped, Faults> find_words_read(const FindQuestion& question) {
    return Reader().read(question);
}

}  // namespace detail

}  // namespace omniway::app
