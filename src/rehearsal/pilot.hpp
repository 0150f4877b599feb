#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <vector>

#include "base/quantity.hpp"
#include "base/random.hpp"
#include "cockpit/controls.hpp"
#include "cockpit/panel.hpp"
#include "flight/card.hpp"

namespace omniway::rehearsal {

/// How well the pilot flies, as settings of a rehearsal.
///   Model     a person who looks, waits a moment, and turns: the figures of a careful instrument pilot flying alone.
///   Domain    times from zero, looks at most 3 s apart; intercept from 10 to 90 degrees; blunders 0 to 1.
///   Accuracy  -
///   Cost      a few numbers.
///   Fails     never.
///   Source    common practice, no source; 20 degrees at first and halving: IFH 7-14 (trade-facts 4); 45 and 30 degrees of intercept: trade-facts 21.
struct Skill {
    base::Duration reaction = base::Duration(2.0);           // from seeing the end of a step to acting on it
    base::Duration tuning = base::Duration(8.0);             // a frequency
    base::Duration setting_course = base::Duration(4.0);     // a course or a switch
    base::Angle intercept = base::Angle::degrees(30.0);      // at most, while the needle is alive
    base::Angle far_intercept = base::Angle::degrees(45.0);  // while it is at full scale
    base::Duration heading_reset =
        base::minutes(15.0);                    // between settings of the heading indicator to the compass
    base::Duration scan = base::Duration(0.0);  // between looks at the panel; zero: as often as it changes
    /// Share of the actions that go wrong, each by itself: a frequency left as it was, an ident not listened to, a course with two digits
    /// swapped or reversed, an altitude set 1,000 ft off.
    double blunders = 0.0;
};

/// What comes over a pilot that the panel does not show.
struct Whim {
    double wander_deg = 0.0;  // where the pilot is content with the needle: flight technical error
};

enum class Trouble : std::uint8_t {
    none,
    end_not_seen,  // what ends the step did not come in half as much time again as the card gives, and three minutes
};

/// What a pilot carries from one moment to the next: where on the card, what was done on the radios, what the needles showed before.
///   Model     memory only; nothing in it knows where the aircraft is.
///   Cost      some hundred bytes.
struct Mind {
    struct Set {
        base::Frequency tuned;
        double tuned_at_s = 0.0;
        bool identified = false;
        bool unheard = false;  // taken for it without having listened
    };
    /// A knob that was not turned as it is believed, and not noticed so far.
    struct Slip {
        bool open = false;
        base::Frequency frequency;  // that should stand there
        base::Radial course;
        double shows_s = 0.0;  // for how long the needle has contradicted
    };
    std::size_t step = 0;   // of the card's, then of the missed approach
    bool finished = false;  // the last step of the card, or of the missed approach, has ended
    Trouble trouble = Trouble::none;
    double begun_s = 0.0;      // the step
    double stopwatch_s = 0.0;  // started then
    double end_seen_s = -1.0;
    double knobs_free_s = 0.0;
    std::size_t work_step = 0;  // whose work is being done: that of a short step is ended in the next
    std::size_t work = 0;       // of it, done so far
    bool began = false;         // the step's first look is over
    int guiding = 0;            // receiver, by number; 0: none said yet
    std::array<Set, 3> receivers;
    Set adf;
    int dme_follows = 0;     // receiver; 0: its own channel or HOLD
    base::Frequency dme_of;  // whose distance is shown
    bool dme_identified = false;
    std::array<Slip, 3> frequency_slips;  // of the receivers
    Slip distance_slip;
    double distance_tuned_s = 0.0;
    Slip adf_slip;
    std::array<Slip, 3> course_slips;
    double altitude_off_ft = 0.0;  // what was set, less what the card has
    bool unidentified = false;     // what guides was not identified by ear, now
    base::Random luck{base::Seed{0}};
    double adf_silent_s = 0.0;       // since when the ident of its beacon is not heard any more
    double compass_differs_s = 0.0;  // for how long the heading indicator has
    bool by_compass = false;         // the heading indicator was given up
    double slope_flagged_s = 0.0;    // for how long the glideslope that the card is flown by has been flagged
    bool gives_up = false;           // the approach, for want of its glideslope
    double from_aid_nm = 0.0;        // reckoned distance from the aid that guides
    double learned_deg = 0.0;        // drift beyond the card's, felt by the needle
    double last_look_s = 0.0;
    int phase = 0;         // of a hold or reversal
    double phase_s = 0.0;  // since when
    double last_reading_nm = -1.0;
    double last_needle_deg = 0.0;
    bool last_needle_alive = false;
    int last_to_from = 0;  // 1 TO, -1 FROM
    double from_shows_s = 0.0;
    double flagged_s = 0.0;  // for how long the needle of what is to be passed has been dead
    double last_pointer_deg = 0.0;
    bool pointer_known = false;
    double pointer_stood_deg = 0.0;  // on its dial, when it last moved
    double pointer_stood_heading_deg = 0.0;
    bool pointer_stands = false;  // while the aircraft turned
    double arc_turned_deg = 0.0;
    double reset_s = 0.0;
    bool dead_needle = false;  // what guides was flagged, off the cone, now
};

/// A step of the card, or beyond them of its missed approach.
const flight::Step& step_at(const flight::Card& card, std::size_t at);

/// The needle pilot: what the hands do next, from the panel and the card alone.
///   Model     a step at a time: its radio work in order, its guidance by the needle with a reckoned distance (from the DME where it shows the
///             guiding aid, else by the card's groundspeed and the stopwatch), its height by its rate, its end by what the card names. An aid that
///             was not identified is not followed. On a heading, in the cone and without a signal the card's heading is held, with the drift
///             that was learned. An ADF has no flag: its beacon's ident is listened to all along. A heading indicator that stands far off the
///             compass is given up for it. An approach whose glideslope is flagged is given up for the missed approach.
///   Domain    a card of flight/card.hpp; looks at most 3 s apart.
///   Accuracy  -
///   Cost      about 0.1 microseconds a look.
///   Fails     never: what goes wrong is in Mind::trouble.
///   Source    design section 2, idea 3; handbook figures as Skill. docs/methods/rehearsal.md.
class Pilot {
public:
    Pilot(const flight::Card& card, const Skill& skill);

    /// At the beginning of the take-off run, every knob as the card has it lined up.
    Mind lined_up() const;
    cockpit::Controls look(Mind& mind, const cockpit::Panel& panel, const Whim& whim) const;
    /// At the end of the card's steps the runway is not in sight: the missed approach is begun. False where the card has none, or it was flown.
    bool goes_around(Mind& mind) const;
    const flight::Step& step_of(const Mind& mind) const;

private:
    const flight::Card& card_;
    Skill skill_;
};

}  // namespace omniway::rehearsal
