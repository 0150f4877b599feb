#include "app/reading_words.hpp"

#include <algorithm>
#include <cctype>
#include <charconv>
#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "base/in_quotes.hpp"
#include "cockpit/morse.hpp"

namespace omniway::app {

using base::Result;

namespace {

constexpr double lowest_mhz = 108.0;
constexpr double highest_mhz = 117.95;
constexpr double lowest_khz = 190.0;
constexpr double highest_khz = 1750.0;
constexpr double longest_slant_range_nm = 300.0;
constexpr double oldest_min = 120.0;
constexpr std::size_t longest_ident = 5;

std::string_view without_blanks(std::string_view text) {
    const auto is_blank = [](char c) { return c == ' ' || c == '\t'; };
    while (!text.empty() && is_blank(text.front())) {
        text.remove_prefix(1);
    }
    while (!text.empty() && is_blank(text.back())) {
        text.remove_suffix(1);
    }
    return text;
}

std::string in_capitals(std::string_view text) {
    std::string capitals(text);
    std::transform(capitals.begin(), capitals.end(), capitals.begin(),
                   [](unsigned char c) { return static_cast<char>(std::toupper(c)); });
    return capitals;
}

bool only(std::string_view text, std::string_view allowed) {
    return !text.empty() && text.find_first_not_of(allowed) == std::string_view::npos;
}

// Figures, perhaps with a point among them; no sign, no exponent.
std::optional<double> figures(std::string_view text) {
    double value = 0.0;
    if (!only(text, "0123456789.")) {
        return std::nullopt;
    }
    const auto [end, fault] = std::from_chars(text.data(), text.data() + text.size(), value);
    return fault == std::errc() && end == text.data() + text.size() ? std::optional(value) : std::nullopt;
}

tl::unexpected<base::Error> out_of_range(const std::string& what, std::string_view text,
                                         const std::string& range, const std::string& where) {
    return base::failure(
        "app.out_of_range",
        fmt::format("{} {} is outside the allowed range {}", what, base::in_quotes(text), range), where);
}

Result<StationWords> frequency_of(double number, std::string_view text, const std::string& where) {
    // A millionth: figures of a display are not exact in binary.
    if (number >= lowest_mhz - 1e-6 && number <= highest_mhz + 1e-6) {
        return StationByFrequency{base::Frequency::megahertz(number)};
    }
    if (number >= lowest_khz && number <= highest_khz) {
        return StationByFrequency{base::Frequency::kilohertz(number)};
    }
    return out_of_range(
        "frequency", text,
        fmt::format("{:.2f} to {} MHz of VORs, DMEs and localizers or {} to {} kHz of beacons", lowest_mhz,
                    highest_mhz, lowest_khz, highest_khz),
        where);
}

Result<StationWords> station_of(std::string_view given, const std::string& where) {
    const std::string_view text = without_blanks(given);
    if (const auto number = figures(text)) {
        return frequency_of(*number, text, where);
    }
    if (only(text, ".-? \t") && text.find_first_of(".-") != std::string_view::npos) {
        const auto letters = cockpit::letters_heard(text);
        if (!letters || letters->size() > longest_ident) {
            return base::failure(
                "app.find_morse",
                fmt::format("{} is no ident in Morse: dots and dashes of one to five letters or figures are "
                            "expected, letters by blanks, as '.- -...', '?' for one not made out",
                            base::in_quotes(text)),
                where);
        }
        return StationByMorse{*letters};
    }
    const std::string letters = in_capitals(text);
    if (letters.size() > longest_ident || !only(letters, "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789?")) {
        return base::failure(
            "app.find_station",
            fmt::format("{} names no station: its ident (XAB), its frequency (113.20, 365) or the Morse that "
                        "is heard (\".- -...\") is expected",
                        base::in_quotes(text)),
            where);
    }
    return StationByIdent{letters};
}

Result<TimeWords> time_of(std::string_view text, const std::string& where) {
    if (text.starts_with('-')) {
        const auto minutes = figures(text.substr(1));
        if (!minutes) {
            return base::failure(
                "app.find_time",
                fmt::format("{} is no time: a time of the day in UTC is expected (@14:07), or minutes before "
                            "now (@-6)",
                            base::in_quotes(text)),
                where);
        }
        if (*minutes > oldest_min) {
            return out_of_range("time", text, fmt::format("-{} to 0 minutes from now", oldest_min), where);
        }
        return ReadBefore{base::minutes(*minutes)};
    }
    return parse_now(std::string(text), where).transform([](base::Duration since_midnight) {
        return TimeWords(ReadAtClock{since_midnight});
    });
}

struct Form {
    std::string_view option;
    std::string_view expected;
};
Form form_of(ReadingOption option) {
    switch (option) {
        case ReadingOption::vor:
            break;
        case ReadingOption::dme:
            return {"--dme", "STATION=NM, as XAB=20.5"};
        case ReadingOption::ndb:
            return {"--ndb",
                    "STATION=DEGREES, as XNB=045 (magnetic, to the beacon) or XNB=R330 (to the right of the "
                    "nose)"};
        case ReadingOption::loc:
            return {"--loc", "LOCALIZER=left, centred or right: which way its needle stands"};
        case ReadingOption::over:
            return {"--over", "STATION alone, as XAB or XAB@14:07"};
        case ReadingOption::silent:
            return {"--silent", "STATION alone, as XAB, or XAB/dme for its distance"};
    }
    return {"--vor", "STATION=DEGREES, as XAB=123 (radial), XAB=123FROM or XAB=303TO"};
}

tl::unexpected<base::Error> wrong_form(ReadingOption option, std::string_view text,
                                       const std::string& where) {
    const Form form = form_of(option);
    return base::failure(
        "app.find_form",
        fmt::format("{} is nothing that {} reads: {} is expected, perhaps with @14:07 or @-6 behind it",
                    base::in_quotes(text), form.option, form.expected),
        where);
}

Result<double> degrees_of(std::string_view text, const std::string& what, const std::string& where) {
    const auto degrees = figures(text);
    if (!degrees || *degrees > 360.0) {
        return out_of_range(what, text, "001 to 360 degrees", where);
    }
    return *degrees == 0.0 ? 360.0 : *degrees;
}

// Takes the ending off where it is there.
bool take_ending(std::string& text, std::string_view ending) {
    if (!text.ends_with(ending)) {
        return false;
    }
    text.resize(text.size() - ending.size());
    return true;
}

Result<ShownWords> radial_shown(std::string value, const std::string& where) {
    const bool from = take_ending(value, "FROM");
    const bool to = !from && take_ending(value, "TO");
    const std::optional<Arrow> arrow = to     ? std::optional(Arrow::to)
                                       : from ? std::optional(Arrow::from)
                                              : std::nullopt;
    return degrees_of(without_blanks(value), arrow ? "course" : "radial", where)
        .transform([&](double degrees) {
            return ShownWords(RadialWords{degrees, arrow});
        });
}

Result<ShownWords> distance_shown(std::string value, const std::string& where) {
    take_ending(value, "NM");
    const auto distance = figures(without_blanks(value));
    if (!distance || *distance > longest_slant_range_nm) {
        return out_of_range("distance", value, fmt::format("0 to {:.0f} NM", longest_slant_range_nm), where);
    }
    return DistanceWords{base::Length::nautical_miles(*distance)};
}

Result<ShownWords> bearing_shown(std::string_view value, const std::string& where) {
    const bool relative = value.starts_with('R');
    const auto degrees =
        degrees_of(relative ? value.substr(1) : value, relative ? "relative bearing" : "bearing", where);
    return degrees.transform([&](double d) { return ShownWords(BearingWords{d, relative}); });
}

std::optional<ShownWords> needle_shown(std::string_view value) {
    using fixing::NeedleStands;
    if (value == "LEFT" || value == "L") {
        return NeedleWords{NeedleStands::left};
    }
    if (value == "RIGHT" || value == "R") {
        return NeedleWords{NeedleStands::right};
    }
    if (value == "CENTRED" || value == "CENTERED" || value == "C") {
        return NeedleWords{NeedleStands::centred};
    }
    return std::nullopt;
}

Result<ShownWords> shown_of(ReadingOption option, const std::string& value, std::string_view whole,
                            const std::string& where) {
    switch (option) {
        case ReadingOption::vor:
            return radial_shown(value, where);
        case ReadingOption::dme:
            return distance_shown(value, where);
        case ReadingOption::ndb:
            return bearing_shown(value, where);
        default:
            break;
    }
    const auto needle = needle_shown(value);
    if (!needle) {
        return wrong_form(option, whole, where);
    }
    return *needle;
}

std::string_view needle_word(fixing::NeedleStands needle) {
    switch (needle) {
        case fixing::NeedleStands::left:
            return "left";
        case fixing::NeedleStands::right:
            return "right";
        case fixing::NeedleStands::centred:
            break;
    }
    return "centred";
}

std::string frequency_words(base::Frequency frequency) {
    return frequency.megahertz() > 100.0 ? fmt::format("{:.2f}", frequency.megahertz())
                                         : fmt::format("{:g}", frequency.kilohertz());
}

// With the figures that are needed to read the same again, three before the point.
std::string degrees_words(double degrees) {
    const std::string text = fmt::format("{}", degrees);
    const std::size_t whole = std::min(text.find('.'), text.size());
    return std::string(whole < 3 ? 3 - whole : 0, '0') + text;
}

std::string seconds_words(base::Duration since_midnight) {
    const long seconds = std::lround(since_midnight.count());
    const std::string text = fmt::format("{:02}:{:02}", seconds / 3600, seconds / 60 % 60);
    return seconds % 60 == 0 ? text : fmt::format("{}:{:02}", text, seconds % 60);
}

struct ValueWords {
    std::string operator()(const RadialWords& shown) const {
        return "=" + degrees_words(shown.degrees) +
               (!shown.arrow                ? ""
                : *shown.arrow == Arrow::to ? "TO"
                                            : "FROM");
    }
    std::string operator()(const DistanceWords& shown) const {
        return fmt::format("={}", std::round(shown.slant_range.nautical_miles() * 1e6) / 1e6);
    }
    std::string operator()(const BearingWords& shown) const {
        return (shown.relative ? "=R" : "=") + degrees_words(shown.degrees);
    }
    std::string operator()(const NeedleWords& shown) const {
        return fmt::format("={}", needle_word(shown.needle));
    }
    std::string operator()(const PassageWords&) const { return ""; }
    std::string operator()(const SilenceWords& shown) const { return shown.distance ? "/dme" : ""; }
};

struct WhenWords {
    std::string operator()(const ReadNow&) const { return ""; }
    std::string operator()(const ReadAtClock& time) const { return "@" + seconds_words(time.since_midnight); }
    std::string operator()(const ReadBefore& time) const {
        return fmt::format("@-{}", std::round(base::in_minutes(time.before) * 1e6) / 1e6);
    }
};

struct StationTyped {
    std::string operator()(const StationByIdent& station) const { return station.letters; }
    std::string operator()(const StationByFrequency& station) const {
        return frequency_words(station.frequency);
    }
    std::string operator()(const StationByMorse& station) const {
        std::string code;
        for (const char letter : station.letters) {
            code += (code.empty() ? "" : " ") +
                    (letter == '?' ? std::string("?") : cockpit::morse(std::string(1, letter)));
        }
        return code;
    }
};

}  // namespace

base::Radial RadialWords::radial() const {
    const base::Radial course = base::Radial::degrees(degrees);
    return arrow == Arrow::to ? course.reciprocal() : course;
}

Result<base::Duration> parse_now(const std::string& text, const std::string& where) {
    return base::parse_clock_time(text, where)
        .and_then([&](const base::ClockTime& time) -> Result<base::Duration> {
            if (time.day) {
                return base::failure(
                    "app.find_time",
                    fmt::format("{} has a date: a time of the day alone is expected, as 14:07",
                                base::in_quotes(text)),
                    where);
            }
            return time.since_midnight;
        });
}

Result<TimedWords> parse_timed(const std::string& text, const std::string& where) {
    const std::size_t at = text.find('@');
    std::string what(without_blanks(std::string_view(text).substr(0, at)));
    if (at == std::string::npos) {
        return TimedWords{std::move(what), ReadNow{}};
    }
    return time_of(without_blanks(std::string_view(text).substr(at + 1)), where)
        .transform([&](TimeWords time) {
            return TimedWords{std::move(what), time};
        });
}

Result<HeadingWords> parse_heading(const std::string& text, const std::string& where) {
    return parse_timed(text, where).and_then([&](const TimedWords& timed) {
        return degrees_of(timed.what, "heading", where).transform([&](double degrees) {
            return HeadingWords{base::MagneticBearing::degrees(degrees), timed.time};
        });
    });
}

Result<ReadingWords> parse_reading(ReadingOption option, const std::string& text, const std::string& where) {
    const auto timed = parse_timed(text, where);
    if (!timed) {
        return tl::unexpected(timed.error());
    }
    std::string named = timed->what;
    const bool bare = option == ReadingOption::over || option == ReadingOption::silent;
    const std::size_t equals = named.find('=');
    if (bare != (equals == std::string::npos)) {
        return wrong_form(option, text, where);
    }
    ShownWords shown = PassageWords{};
    if (option == ReadingOption::silent) {
        std::string capitals = in_capitals(named);
        const bool distance = take_ending(capitals, "/DME");
        named.resize(capitals.size());
        shown = SilenceWords{distance};
    } else if (!bare) {
        const std::string value = in_capitals(without_blanks(std::string_view(named).substr(equals + 1)));
        named.resize(equals);
        auto read = shown_of(option, value, text, where);
        if (!read) {
            return tl::unexpected(read.error());
        }
        shown = *read;
    }
    return station_of(named, where).transform([&](StationWords station) {
        return ReadingWords{std::move(station), shown, timed->time};
    });
}

std::string to_text(const ReadingWords& reading) {
    return std::visit(StationTyped{}, reading.station) + std::visit(ValueWords{}, reading.shown) +
           std::visit(WhenWords{}, reading.time);
}

std::string phrase(const ReadingWords& reading) {
    const std::string station = to_text(reading.station);
    struct Say {
        const std::string& station;
        std::string operator()(const RadialWords& shown) const {
            return fmt::format("{} {} {}{}", station, shown.arrow ? "course" : "radial",
                               degrees_words(shown.degrees),
                               !shown.arrow                ? ""
                               : *shown.arrow == Arrow::to ? " TO"
                                                           : " FROM");
        }
        std::string operator()(const DistanceWords& shown) const {
            return fmt::format("{} DME {:.1f}", station, shown.slant_range.nautical_miles());
        }
        std::string operator()(const BearingWords& shown) const {
            return fmt::format("{}bearing {} to {}", shown.relative ? "relative " : "",
                               degrees_words(shown.degrees), station);
        }
        std::string operator()(const NeedleWords& shown) const {
            return fmt::format("{} needle {}", station, needle_word(shown.needle));
        }
        std::string operator()(const PassageWords&) const { return "over " + station; }
        std::string operator()(const SilenceWords& shown) const {
            return fmt::format("{}{} not heard", station, shown.distance ? " DME" : "");
        }
    };
    struct When {
        std::string operator()(const ReadNow&) const { return ""; }
        std::string operator()(const ReadAtClock& time) const {
            return fmt::format(" at {}Z", seconds_words(time.since_midnight));
        }
        std::string operator()(const ReadBefore& time) const {
            return fmt::format(" {:g} min ago", std::round(base::in_minutes(time.before) * 100.0) / 100.0);
        }
    };
    return std::visit(Say{station}, reading.shown) + std::visit(When{}, reading.time);
}

std::string to_text(const StationWords& station) {
    if (const auto* tuned = std::get_if<StationByFrequency>(&station)) {
        return frequency_words(tuned->frequency) + (tuned->frequency.megahertz() > 100.0 ? " MHz" : " kHz");
    }
    if (const auto* heard = std::get_if<StationByMorse>(&station)) {
        return fmt::format("{} ({})", StationTyped{}(*heard), heard->letters);
    }
    return std::get<StationByIdent>(station).letters;
}

}  // namespace omniway::app
