#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "debrief/step_debriefed.hpp"

namespace omniway::debrief {

/// What a pilot trains on its own.
enum class Exercise : std::uint8_t {
    hold_the_line,   // the needle near the middle
    allow_for_wind,  // the heading that keeps it there
    join_the_line,   // the turn on to it, the cut, without going beyond
    tell_the_fix,    // pass over it, turn when it is there
    hold_the_altitude,
    keep_the_minimum,
    fly_the_arc,
    fly_the_hold,
    reverse_course,
    follow_the_glideslope,
    follow_the_card  // a step left out
};
std::string to_text(Exercise exercise);

/// One thing to practise, with the step in which it is seen best.
struct Practice {
    Exercise exercise = Exercise::hold_the_line;
    double times_allowed = 0.0;  // the largest deviation, in units of what a test of skill allows
    std::vector<int> steps;      // where it is seen, by number
    std::string says;            // the deviation with its figures, and what to do about it
};

/// The three exercises with the largest deviations beyond what is allowed; fewer where fewer are.
///   Model     allowed: three quarters of a needle's full scale, 100 ft, 1 NM on an arc (IFR test standards, from memory: FAA-S-ACS-8, tasks of
///             tracking, arcs and altitude); a fix by twice its tolerance and half a mile, and ten seconds for its turn beyond the tolerance; an inbound leg of a hold 15 seconds; two degrees of drift not allowed for over five miles and more; what is protected for holds and reversals. Where no source is named: common practice.
///   Cost      a pass over the steps.
///   Fails     never.
///   Source    as said.
std::vector<Practice> to_practise(std::span<const StepDebriefed> steps);

}  // namespace omniway::debrief
