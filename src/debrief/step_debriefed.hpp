#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "cockpit/indicator.hpp"
#include "flight/named_aid.hpp"
#include "radio/reception.hpp"

namespace omniway::debrief {

/// How something stood over a time: on the average with its sign, what 95 % of the time kept within, and at its worst with its sign.
template <class Quantity>
struct Held {
    Quantity mean{};
    Quantity within_95{};
    Quantity worst{};
};

/// To the side of a step's line, positive to the right of it (of an arc: outside), from when it was established on it.
struct SideFlown {
    bool of_an_arc = false;
    base::Duration established{0.0};  // after the step began; all of it where it never was
    base::Duration established_allowed{
        0.0};  // a turn, and a cut of 30 degrees from where it began; common practice, no source
    bool was_established = false;
    base::Length overshot;  // on joining: how far beyond, to the other side
    Held<base::Length> aside;
    std::optional<Held<base::Angle>> degrees;  // seen from the aid that guides
    std::optional<Held<double>>
        of_full_scale;  // of the needle, which stands on the other side: -1 left, 1 right
    base::Duration beyond_three_quarters{0.0};  // of full scale
    double inside_primary = 1.0;                // shares of the time inside what is protected
    double inside_total = 1.0;
    base::Angle led_off;   // the track over the ground less the line's, on the average
    base::Length drifted;  // farther from the line at the end than when it was established; zero: nearer
    std::optional<Held<double>> glideslope_of_full_scale;  // the needle of a step on the glideslope, 1 is up
};

struct HeightsFlown {
    base::Altitude lowest;
    base::Altitude highest;
    base::Altitude at_end;
    base::Length at_end_off;                      // less the card's at its end
    std::optional<Held<base::Length>> off_level;  // of a level step, once within 100 ft of it
    base::Duration off_by_100_ft{0.0};
    base::Length below_minimum;             // at worst; zero: never
    base::Duration below_minimum_for{0.0};  // by more than 100 ft
};

/// What guided, over the step.
struct GuideShown {
    flight::NamedAid aid;
    double heard_share = 1.0;
    radio::Silence silence = radio::Silence::none;  // the first reason that it was not, overhead apart
    double arrows_share = 1.0;                      // of the time heard, TO and FROM as the card has them
};

/// One instrument at the beginning of a step, its set standing as the card has it.
struct ShownAt {
    std::string set;  // "NAV1", "DME", "ADF"
    flight::NamedAid aid;
    std::optional<base::Radial> course;
    cockpit::Indication shows;
};

// What ended the step, as its instruments showed it when the next was begun.
struct ReadingEnd {
    flight::NamedAid aid;
    base::Length meant;
    base::Length shown;
};
struct
    LineEnd {  // a radial, a bearing or a localizer: how far off the line of position stood, as an angle at the aid
    flight::NamedAid aid;
    base::Angle off;
};
struct TimeEnd {
    base::Duration meant{0.0};
    base::Duration taken{0.0};
};
struct AltitudeEnd {
    base::Altitude meant;
    base::Altitude shown;
};
using EndShown = std::variant<ReadingEnd, LineEnd, TimeEnd, AltitudeEnd>;

/// A fix at the end of a step, and how it was passed.
struct FixPassed {
    base::Duration at{0.0};  // nearest to it, or abeam
    base::Length missed_by;
    base::Length aside;          // of the step's line there, positive to the right
    double allowed_share = 0.0;  // of what the fix may be told by
    /// The turn onto the next step: begun so long after the fix was passed, negative before it. None where there is no turn of 20 degrees.
    std::optional<base::Duration> turned_after;
    base::Duration turn_allowed{0.0};  // after it: ten seconds, and what the fix is told by on its way
};

struct HoldFlown {
    std::size_t circuits = 0;             // returned over the fix inbound
    std::vector<base::Duration> inbound;  // wings level toward the fix, each time
    std::optional<base::Duration> inbound_meant;
    base::Length farthest;  // from the fix
    base::Length outside;   // of its protected area, at worst; zero: inside
    double inside_share = 1.0;
};

struct ReversalFlown {
    base::Length farthest;             // from the fix
    base::Length within;               // which may not be left
    base::Length to_the_turning_side;  // of the outbound course, at most
    base::Length to_the_other_side;
};

/// One step of the card as it was flown.
struct StepDebriefed {
    int number = 0;
    bool missed = false;  // of the missed approach
    std::string to;       // the fix at its end; may be empty
    bool flown = false;   // the rest says nothing where it was not
    base::Duration began{0.0};
    base::Duration ended{0.0};
    base::Duration unrecorded{0.0};  // of it, in gaps
    base::Length distance;           // over the ground, where recorded
    std::optional<base::Duration> time_on_card;
    std::optional<base::Speed> groundspeed;
    std::optional<base::Speed> groundspeed_on_card;
    std::optional<SideFlown> side;
    std::optional<HeightsFlown> heights;
    std::optional<GuideShown> guide;
    std::vector<ShownAt> shown;
    std::optional<EndShown> end;
    std::optional<FixPassed> fix;
    std::optional<HoldFlown> hold;
    std::optional<ReversalFlown> reversal;
};

}  // namespace omniway::debrief
