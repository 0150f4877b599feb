#pragma once

#include <optional>
#include <string>
#include <variant>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "base/result.hpp"
#include "fixing/reading.hpp"

namespace omniway::app {

/// How a person names the station that was read.
struct StationByIdent {
    std::string letters;  // capitals and figures; '?' stands for one that was not made out
    friend bool operator==(const StationByIdent&, const StationByIdent&) = default;
};
struct StationByFrequency {
    base::Frequency frequency;
    friend bool operator==(const StationByFrequency&, const StationByFrequency&) = default;
};
struct StationByMorse {
    std::string letters;  // that were heard
    friend bool operator==(const StationByMorse&, const StationByMorse&) = default;
};
using StationWords = std::variant<StationByIdent, StationByFrequency, StationByMorse>;

/// When something was read: now, at a time of the day in UTC, or so long before now.
struct ReadNow {
    friend bool operator==(const ReadNow&, const ReadNow&) = default;
};
struct ReadAtClock {
    base::Duration since_midnight{0.0};
    friend bool operator==(const ReadAtClock&, const ReadAtClock&) = default;
};
struct ReadBefore {
    base::Duration before{0.0};
    friend bool operator==(const ReadBefore&, const ReadBefore&) = default;
};
using TimeWords = std::variant<ReadNow, ReadAtClock, ReadBefore>;

/// What was read, as the words of a cockpit have it.
enum class Arrow { to, from };
struct RadialWords {  // without an arrow the radial, with one the course that centres the needle
    double degrees = 0.0;
    std::optional<Arrow> arrow;
    base::Radial radial() const;
    friend bool operator==(const RadialWords&, const RadialWords&) = default;
};
struct DistanceWords {
    base::Length slant_range;
    friend bool operator==(const DistanceWords&, const DistanceWords&) = default;
};
struct BearingWords {
    double degrees = 0.0;
    bool relative = false;  // to the nose; else magnetic
    friend bool operator==(const BearingWords&, const BearingWords&) = default;
};
struct NeedleWords {
    fixing::NeedleStands needle = fixing::NeedleStands::centred;
    friend bool operator==(const NeedleWords&, const NeedleWords&) = default;
};
struct PassageWords {
    friend bool operator==(const PassageWords&, const PassageWords&) = default;
};
struct SilenceWords {
    bool distance = false;  // of its distance part
    friend bool operator==(const SilenceWords&, const SilenceWords&) = default;
};
using ShownWords =
    std::variant<RadialWords, DistanceWords, BearingWords, NeedleWords, PassageWords, SilenceWords>;

/// The options that tell a reading, each with its words.
enum class ReadingOption { vor, dme, ndb, loc, over, silent };

struct ReadingWords {
    StationWords station;
    ShownWords shown;
    TimeWords time;
    friend bool operator==(const ReadingWords&, const ReadingWords&) = default;
};

/// Reads what was typed of a reading: STATION=VALUE, perhaps with @TIME; passage and silence have no value.
///   Model     a station is an ident (XAB), a frequency (113.20, 365) or Morse (".- -...", letters by blanks); a value 123, 123TO, 123FROM of a
///             VOR, 20.5 of a DME, 045 or R330 of a beacon, left, centred or right of a localizer; a time 14:07 in UTC or -6, in minutes
///             before now. Letters may be small.
///   Domain    frequencies 108 to 117.95 MHz and 190 to 1,750 kHz (trade-facts 10.1); degrees 0 to 360; slant
///             ranges 0 to 300 NM; 0 to 120 minutes.
///   Accuracy  as typed.
///   Cost      linear.
///   Fails     app.find_form, app.find_station, app.find_morse, app.find_time, app.out_of_range, base.clock_*, at `where`.
///   Source    none: how it is typed is this project's own.
base::Result<ReadingWords> parse_reading(ReadingOption option, const std::string& text,
                                         const std::string& where);

/// A heading that was held, "090" or "090@14:00"; without a time from the beginning.
struct HeadingWords {
    base::MagneticBearing heading;
    TimeWords time;
    friend bool operator==(const HeadingWords&, const HeadingWords&) = default;
};
base::Result<HeadingWords> parse_heading(const std::string& text, const std::string& where);

/// A time of the day alone, "14:12".
base::Result<base::Duration> parse_now(const std::string& text, const std::string& where);

/// What stands before an @ and when that was; without one, now.
struct TimedWords {
    std::string what;
    TimeWords time;
};
base::Result<TimedWords> parse_timed(const std::string& text, const std::string& where);

/// The words that are read as the same reading: "XAB=123TO@14:07".
std::string to_text(const ReadingWords& reading);
/// "XAB", "113.20 MHz", "365 kHz", "-..- .- -... (XAB)".
std::string to_text(const StationWords& station);
/// As a sentence names it: "XAB radial 123 at 14:07Z", "bearing 045 to XNB 6 min ago".
std::string phrase(const ReadingWords& reading);

}  // namespace omniway::app
