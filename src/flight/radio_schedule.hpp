#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"
#include "flight/radio_setting.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::flight {

/// What a set is used for while it is needed.
enum class RadioUse { guides, tells, checks };

/// One use of one set, by time from lining up.
struct RadioNeed {
    RadioUse use = RadioUse::guides;
    SetKind kind = SetKind::receiver;  // a receiver's azimuth, the DME's distance, the ADF's bearing
    navdata::StationId station;
    std::optional<base::Radial> course;  // to be set on the receiver; none: whatever stands there
    bool localizer = false;              // only a receiver that takes localizers (or a DME that follows one)
    bool glideslope = false;             // and that drives a glideslope needle
    base::Duration from{0.0};
    base::Duration to{0.0};
    base::Duration heard_from{0.0};   // its ident is heard from here to `to`; 0 or less: heard on the ground
    base::Duration to_identify{0.0};  // from tuning to identified
    base::Duration may_begin_late{
        0.0};  // guidance that the heading may stand in for, so long at most (one receiver at a changeover)
    std::optional<int> one_of;  // checks: at most one of those of the same number is taken
    int step = 0;               // to which it belongs
};

/// A time in which no set is retuned: a turn, below 500 ft, the last 2 minutes before the final fix.
struct NoRetuning {
    base::Duration from{0.0};
    base::Duration to{0.0};
    std::string why;
};

struct RadioQuestion {
    cockpit::Equipment aboard;
    std::vector<RadioNeed> needs;  // ascending by `from`
    std::vector<NoRetuning> no_retuning;
};

/// How well a schedule does, the first first.
struct RadioCost {
    int late = 0;           // guidance that begins late
    int checks_missed = 0;  // groups of which none is met
    int out_of_role = 0;    // see RadioSchedule
    int turns = 0;          // of a knob or switch after lining up
    friend auto operator<=>(const RadioCost&, const RadioCost&) = default;
};

/// Where one need is met, when every turn is made at its earliest.
struct RadioMet {
    std::size_t need = 0;
    RadioSet set;
    std::optional<int> first_by_receiver;  // guidance that is handed over: by this one until `handed_over`
    std::optional<base::Duration> handed_over;
    std::optional<base::Duration> begins_late;  // how late
    DistanceFrom distance_from =
        DistanceFrom::own_channel;  // of the DME; held where HOLD is selected before the need ends
    int follows = 0;  // the receiver it follows when the need begins, or followed when it was held
};

/// One turn of a knob or switch, with the time it may be done in: exactly one of `tuned`, `course` and `distance` is there.
struct RadioTurn {
    RadioSet set;
    std::optional<navdata::StationId> tuned;  // a frequency
    std::optional<base::Radial> course;       // a course
    std::optional<DistanceFrom> distance;     // the DME's switch
    int follows = 0;               // of the switch: the receiver it follows, or followed when it was held
    base::Duration earliest{0.0};  // after what was needed before
    base::Duration latest{0.0};    // and still identified in time
    std::size_t before_need = 0;   // the first need that it serves
    base::Duration slack() const { return latest - earliest; }
};

/// When each set is put on what: exactly the best there is.
///   Model     Each receiver stands on one station and one course at a time, an ADF on one station, a DME on one channel. A set meets
///             a need where it stands on its station (and course) from the beginning of the need to its end and the station is
///             identified at the beginning. Needs that touch do not overlap; at one instant a set serves them in their order.
///             *Retuning* (a receiver's, the ADF's or the own DME's frequency) takes no time and may be done at any instant but inside a
///             stretch of no_retuning; its two ends are not inside, and stretches that overlap or touch are one. Before lining up (0)
///             everything may be set, free of cost: so the first station, course and position of each knob.
///             *Identified* is a station on a set tuned at t when, for some need n of the same station and kind in the question (met or
///             not), max(t, n.heard_from) + n.to_identify has come, no later than n.to; tuned before lining up and n.heard_from <= 0,
///             always. It stays so while the set stays on it.
///             *Course*: turned at any instant between two needs that ask for different ones, also inside no_retuning; compared
///             to the whole degree. A need without a course suffers any.
///             *Late*: guidance with may_begin_late may begin at the first instant at which it is identified and its course can be
///             set, before its end and no more than so much after `from`.
///             *Handover*: guidance by a receiver that is not the guiding one (the first HSI, else the first) may be handed over to that
///             once, at an instant at which that stands on the same station and course, identified, before the need ends.
///             *DME* with its own control: a set like the ADF. One that follows has a switch, turned at any instant and in no time: its
///             channel is that of the receiver (one that takes localizers, where the need says so) to which the switch points, or, with
///             HOLD, the one it was on when HOLD was selected, which had to be identified then (on the ground too, where heard there).
///             It is identified as if tuned when its channel came on that station, whichever position of the switch gives it.
///             In this order the fewest: guidance that begins late; checks of which none is met (those with one number in one_of
///             count once and at most one is taken); uses of receivers out of role (guidance never on the guiding receiver 2,
///             handed over 1; telling or checking on the guiding receiver 1); turns after lining up (each frequency, course, switch).
///             Guidance and telling must be met.
///   Domain    up to 3 receivers; any number of needs, 0 <= from <= to.
///   Accuracy  exact: no schedule costs less (BruteRadioSchedule in radio_schedule_brute_test.cpp searches 500 random cases instant by
///             instant). Turns: `earliest` is the first allowed instant after the last use before it, `latest` the last at which all that
///             it serves is still in time (late guidance: by what it may), where all later turns are made at their latest. Where
///             one turn waits for another (a retune for a handover or for HOLD) their order is kept.
///   Cost      about a millisecond for a flight of two receivers, 7 of three (bench/schedule_bench.cpp).
///   Fails     NoSchedule: the first need that cannot be met whatever is done before it, and why.
///   Source    design section 3, Radios; trade-facts 21 (times to identify); docs/methods/radio-schedule.md.
struct RadioSchedule {
    std::vector<RadioMet> met;  // in the order of the needs; a check that is not met has none
    std::vector<RadioTurn>
        lined_up;  // how each knob that is used stands before the take-off: no turns, all at 0
    std::vector<RadioTurn> turns;  // after that, ascending by `earliest`
    RadioCost cost;
};

enum class NoScheduleCause {
    nothing_aboard,  // no set of the kind, or no receiver that takes localizers or drives a glideslope needle
    not_heard,       // not even a set tuned before lining up would have identified it in time
    set_needed,      // the best set is needed for another station (or course) too long
    no_retuning,     // the best set is free, but inside a stretch in which nothing is retuned
};
struct NoSchedule {
    std::size_t need = 0;
    NoScheduleCause cause = NoScheduleCause::nothing_aboard;
    std::optional<RadioSet> set;            // the best there would be: it comes nearest to meeting the need
    std::optional<std::size_t> blocked_by;  // the need for which it stands on something else
    std::optional<base::Duration> blocked_until;
    std::optional<std::size_t> stretch;     // of no_retuning
    std::optional<base::Duration> missing;  // so much earlier it would have to be identified; none: never
    std::string why;                        // in words, without the names of stations
};
using RadioAnswer = std::variant<RadioSchedule, NoSchedule>;

RadioAnswer schedule(const RadioQuestion& question);

}  // namespace omniway::flight
