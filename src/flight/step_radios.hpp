#pragma once

#include <vector>

#include "flight/circumstances.hpp"
#include "flight/flown_step.hpp"
#include "flight/observed_end.hpp"
#include "flight/radio_schedule.hpp"
#include "flight/step.hpp"

namespace omniway::flight {

/// Work with the moment at which it is done.
struct TimedWork {
    base::Duration at{0.0};
    StepWork work;
};

/// A radio schedule as the card tells it: how the sets stand at each step's beginning, and each turn between two events.
///   Model     every turn is made as early as it may. On the event that begins a step, a course or switch of the DME for that step, and a
///             frequency that guides it at once, are its first work and shown done in its radios; what is handed over or begins late is not.
///             Tuned and identified comes before "guides from here", and that before the receiver let go is turned. A receiver's role is that
///             of what it is on. What it is put on next waits in standby from when it was last retuned. A movable card is turned to the
///             heading with which the step begins.
///   Domain    a schedule of the question; step numbers count from 1 without a hole.
///   Accuracy  slack is rounded down to seconds.
///   Cost      O(steps times turns).
///   Fails     never.
///   Source    design section 3, Radios.
struct StepsRadios {
    StepRadios lined_up;
    std::vector<StepRadios> at_begin;          // of each step
    std::vector<std::vector<TimedWork>> work;  // of each step, in the order of time
};
StepsRadios radios_of_steps(const Circumstances& circumstances, const std::vector<FlownStep>& steps,
                            const ObservedEnds& ends, const RadioQuestion& question,
                            const RadioSchedule& schedule);

}  // namespace omniway::flight
