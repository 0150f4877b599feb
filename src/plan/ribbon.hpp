#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "flight/circumstances.hpp"
#include "flight/compile.hpp"
#include "flight/flight.hpp"
#include "flight/flown_step.hpp"
#include "flight/strip.hpp"
#include "weather/wind.hpp"

namespace omniway::plan {

/// A moment of a flight on its ribbon: so far along it, so long after lining up.
struct RibbonPlace {
    base::Length along;
    base::Duration time{0.0};
};
struct RibbonStretch {
    RibbonPlace begins;
    RibbonPlace ends;
};

/// Where along a flight, and when, by its steps.
///   Model     each step at one groundspeed, as its card has it; where a flight stays at one place along (a hold) time passes alone, and of
///             the moments there an earlier and a later are told apart. The missed approach counts on from the end of the approach.
///   Domain    steps of flight/flown_step.hpp, one at least; beyond its ends the first and the last moment.
///   Accuracy  as the flight track.
///   Cost      logarithmic in the steps.
///   Fails     never.
///   Source    design section 6.
class Timetable {
public:
    explicit Timetable(const std::vector<flight::FlownStep>& steps);
    RibbonPlace first_at(base::Length along) const;
    RibbonPlace last_at(base::Length along) const;
    RibbonPlace at(base::Duration time) const;

private:
    std::vector<RibbonPlace> ends_;  // of the steps, after the beginning of the first
};

/// What guides along a step, by which a line is drawn.
enum class RibbonGuidance { radial, bearing, localizer, arc, dead_reckoning, runway, hold, course_reversal };
std::string_view word_of(RibbonGuidance guidance);

struct RibbonStep {
    int number = 0;
    flight::Phase phase = flight::Phase::en_route;
    bool missed = false;
    std::string via;
    std::string from;
    std::string to;
    std::string says;
    std::string until;
    RibbonGuidance guidance = RibbonGuidance::dead_reckoning;
    RibbonStretch where;
};

/// What is left of the strength of what is heard there (flight::strength): 0 at its limit to 1.
struct StrengthAt {
    base::Length along;
    double share = 0.0;
};

/// One unbroken stretch in which a part of a station is heard, with what ends it on either side.
struct HeardSpan {
    RibbonStretch where;
    radio::Silence before = radio::Silence::none;
    radio::Silence after = radio::Silence::none;
    std::string
        begins_because;  // "the flight begins", "before it beyond its 40 NM service volume (40.0 NM away)"
    std::string ends_because;
    std::vector<StrengthAt> margins;  // straight between them, within 0.02
    bool published =
        false;  // not by what is computed: it is needed here on a published leg, which is flight-checked
};
struct HearingLane {
    navdata::StationId station;
    radio::Part part = radio::Part::azimuth;
    bool needed = false;  // to guide, to tell an end, or as a check that is taken
    bool used = false;    // and a set stands on it for that; without a schedule none does
    std::vector<HeardSpan> spans;
};

/// One set with one thing in one of its windows.
struct SetSpan {
    RibbonStretch where;
    flight::NamedAid aid;
    bool standby = false;
    std::optional<base::Radial> course;
    std::optional<base::Duration>
        identify_by;  // when it is needed first; none: heard and known before lining up, or needed no more
};
/// What it is needed for.
struct SetUse {
    RibbonStretch where;
    flight::RadioUse use = flight::RadioUse::guides;
    navdata::StationId station;
    int step = 0;
};
struct Retune {
    RibbonPlace at;  // the earliest
    flight::NamedAid to;
    base::Duration slack{0.0};  // so much later is still in time
};
struct SetLane {
    flight::RadioSet set;
    std::vector<SetSpan> spans;
    std::vector<SetUse> uses;
    std::vector<Retune> retunes;
};

struct HeightAt {
    RibbonPlace where;
    base::Altitude altitude;
    std::optional<base::Altitude> minimum;
    std::optional<base::Altitude> ground;
};
struct RibbonWind {
    RibbonPlace where;
    weather::Wind wind;
};
/// A point of the line of the flight.
struct RibbonPoint {
    RibbonPlace where;
    earth::Position place;
    int step = 0;
};
/// What is to be done or to come, at its earliest.
struct RibbonEvent {
    RibbonPlace at;
    int step = 0;
    std::string says;
};

/// A whole flight drawn out straight: who can be heard, what each set is on, its steps, heights, winds and times.
///   Model     hearing of flight/strip.hpp, and where a published leg needs what that does not hear, spans of their own (design section 2, idea 1); sets as the card has them, each turn as early as it may; heights of the profile. A lane for every part
///             of every station that is heard anywhere on the flight: those that are needed first, in the order in which they are.
///             A hold over a station is a span of its own: the cone, through which it passes, is flown about.
///             Distances and times are the card's: the flight track's along its lines.
///   Domain    a compiled flight in its circumstances; beyond `length` comes the missed approach, of which no minimums are known.
///   Accuracy  ends of hearing 0.1 NM; margins 0.02; times as the flight track.
///   Cost      that of its strip.
///   Fails     never: without a schedule the sets are empty.
///   Source    design section 6, "the ribbon".
struct Ribbon {
    base::Length length;
    base::Duration time{0.0};
    base::Length length_with_missed;
    base::Duration time_with_missed{0.0};
    std::vector<RibbonStep> steps;
    std::vector<HearingLane> hearing;
    std::vector<SetLane> sets;
    std::vector<HeightAt> heights;
    std::vector<RibbonWind> winds;
    std::vector<RibbonPoint> line;
    std::vector<RibbonPoint> missed_line;
    std::vector<RibbonEvent> events;  // ascending in time
    std::vector<flight::StripMark> marks;
    radio::ReceptionMode reception = radio::ReceptionMode::horizon;
};
Ribbon ribbon_of(const flight::Circumstances& circumstances, const flight::Flight& flight,
                 const flight::Compiled& compiled);

/// Its steps, sets and events alone, for what is laid along its axis and not drawn on it: what takes a strip - hearing, heights, winds, line and
/// marks - is empty.
Ribbon ribbon_without_hearing(const flight::Circumstances& circumstances, const flight::Flight& flight,
                              const flight::Compiled& compiled);

}  // namespace omniway::plan
