#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/clock.hpp"
#include "base/finding.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/flight.hpp"
#include "flight/flight_track.hpp"
#include "flight/pace.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::plan {

/// One row of a nav log: from where the row before ended to the next point.
struct NavLogRow {
    int step = 0;     // of the card, in which it lies
    std::string via;  // "V14", "direct"
    std::string
        to;  // a fix; "TOC", "TOD" (top of climb, of descent), "BOC", "BOD" (the bottoms); what else ends the step
    flight::Manner manner = flight::Manner::level;
    bool hold = false;        // round and round: it makes its airspeed good on no course
    base::Altitude altitude;  // at its end
    base::Length distance;
    base::Length total;      // from the take-off
    base::Length remaining;  // to the end
    weather::Wind wind;      // at the altitude midway
    base::Speed true_airspeed;
    base::MassFlow fuel_flow;
    base::TrueBearing track;
    std::optional<base::Angle>
        correction;  // of the heading for the wind, right positive; none where no heading holds the track
    base::Variation variation;
    base::MagneticBearing course;
    std::optional<base::MagneticBearing> heading;
    std::optional<base::Speed> groundspeed;
    std::optional<base::Duration> time;
    std::optional<base::Duration> elapsed;  // since the take-off
    std::optional<base::Instant> arriving;  // where a take-off or a passage is known
    base::Mass fuel;
    base::Mass fuel_used;  // since the start, taxi included
    base::Mass fuel_left;
    std::optional<base::Instant> passed;          // as flown
    std::optional<base::Speed> groundspeed_made;  // since the passage before
};

/// What is said of an alternate: 14 CFR 91.169 asks for one unless from an hour before to an hour after the arrival the ceiling
/// is 2,000 ft and the visibility 3 SM at least (trade-facts 11.3).
enum class AlternateAsked { not_said, not_needed, given };

/// The fuel on board against what it is for. What is usable is taken to be on board.
struct FuelTable {
    base::Mass taxi;
    base::Mass trip;  // from the take-off to the missed approach point
    AlternateAsked alternate_asked = AlternateAsked::not_said;
    std::optional<base::Mass> alternate;  // from there; none: not given, or no flight leads there
    base::Mass reserve;
    base::Mass needed;
    base::Mass usable;
    base::Mass extra;  // negative: too little
};

/// A wind found in flight from what was made good between two passages.
struct WindFound {
    std::size_t rows_from = 0;  // of the stretch
    std::size_t rows_to = 0;    // past its last row
    weather::Wind wind;         // on its last row
    weather::Wind change;       // from what had been reckoned with, carried on to all rows after it
    bool across_found = false;  // from a drift given; else what blows across the stretch is as forecast
};

/// A flight as a pilot keeps it by the clock: every figure of every row, the fuel, and columns for what comes of it.
///   Model     a row for each step of the flight track, parted where climb, level and descent meet (flight/tops.hpp); each flown at one airspeed in one
///             wind, those of the altitude midway (flight/pace.hpp), along its track at its start. A climb in a hold takes its time at
///             its airspeed. The flight track has the same totals, with one mean airspeed a step.
///   Domain    a flight and its track, in the same winds.
///   Accuracy  within 1 kt, 1 degree, 0.1 min a row and 1 lb of a log worked by hand (tests/reference/nav_log.csv).
///   Cost      some ten microseconds a row.
///   Fails     never: where no heading holds a track, times end there.
///   Source    PHAK and IFH nav logs (trade-facts 7); 14 CFR 91.167, 91.169.
struct NavLog {
    std::vector<NavLogRow> rows;
    std::optional<base::Instant> take_off;
    base::Length distance;
    std::optional<base::Duration> time;
    FuelTable fuel;
    std::vector<WindFound> found;
    std::vector<base::Finding> findings;  // of its own: the alternate, fuel that no longer suffices
};

struct NavLogQuestion {
    AlternateAsked alternate = AlternateAsked::not_said;
    std::string alternate_ident;
    std::optional<base::Instant> take_off;
};

NavLog nav_log(const aircraft::Aircraft& aircraft, const earth::MagneticModel& model,
               earth::DecimalYear today, const weather::WindsAloft& winds, const flight::Flight& flight,
               const flight::FlightTrack& track, const NavLogQuestion& question);

/// That one was over the end of a row at a time: row 0 is the take-off, row 1 the end of the first row.
struct Passage {
    std::size_t row = 0;
    base::Instant at;
    std::optional<base::Angle> drift;  // seen there, right positive; none: not looked at
};

/// Why a passage is not believed.
struct ImplausiblePassage {
    std::size_t which = 0;  // of the passages
    base::Speed groundspeed;
    base::Speed airspeed;  // mean of the stretch
};

/// No wind is believed that differs by more than this from what was forecast. Common practice, no source.
inline constexpr base::Speed greatest_change_of_wind = base::Speed::knots(100.0);

/// The log with what was flown: groundspeeds made good, the wind found, and all that is ahead reckoned with it.
///   Model     between two passages the wind is changed everywhere by one vector. Only the time is known: of all vectors that explain it
///             the one along the line from the first passage to the second is taken, so that what blows across it stays as forecast; where a drift
///             was seen on the last row, the vector that explains both. The rows after it are reckoned with the wind of
///             their own altitude and the same change. Holds take the time they were reckoned with.
///   Domain    passages in order of rows and of time, rows of the log; time between two of them.
///   Accuracy  0.01 kt.
///   Cost      some ten microseconds a row and passage.
///   Fails     the passage that asks for a change of wind of more than greatest_change_of_wind.
///   Source    trade-facts 7.1 (wind finding).
std::variant<NavLog, ImplausiblePassage> as_flown(NavLog log, const std::vector<Passage>& passages);

}  // namespace omniway::plan
