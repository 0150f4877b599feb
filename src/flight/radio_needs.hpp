#pragma once

#include <optional>
#include <vector>

#include "flight/circumstances.hpp"
#include "flight/detail/descent_mark.hpp"
#include "flight/flown_step.hpp"
#include "flight/observed_end.hpp"
#include "flight/radio_schedule.hpp"
#include "flight/step.hpp"

namespace omniway::flight {

/// What a flight asks of the radios aboard, with the check that each need of one would be.
struct AskedOfRadios {
    RadioQuestion question;
    std::vector<std::optional<StepCheck>> checks;  // of the needs, in their order; none of guidance and ends
};

/// What must be tuned and identified, from when to when, in the time of the flight track.
///   Model     guidance over its whole step. What tells an end: the last two minutes of its step; in a step so short that it cannot be
///             identified by then, from when it can at the earliest, yet the last half minute at least. What guides next and comes alive
///             is not asked for before it can be identified. Checks: the last half minute, and only where they cost the pilot little: of
///             an aid that the step before or after is guided or ended by; else by an ADF or own DME that is idle for two minutes; else
///             by a receiver that is idle for five. After the final fix, in the missed approach, and by what guides or ends the step
///             itself none. A station is heard from where it is heard along the path flown (the cone overhead counts as heard); on a
///             published leg, which is flight-checked, in time to be identified before it. Guidance off the procedures may begin up to a
///             minute late (and the turn onto it), while the heading is held, where only one set of its kind is aboard, where guiding to
///             and telling the end before takes them all, or where its station cannot be heard sooner. No set is retuned in turns (off
///             procedures, nor on the event at which one begins), below 500 ft above the field, and from 2 minutes before the final fix
///             to the missed approach point.
///   Domain    steps in order, the missed approach after the approach.
///   Accuracy  as the track's times; ends of hearing within 0.1 NM.
///   Cost      10 to 50 microseconds a need: the last four minutes before each are walked.
///   Fails     never.
///   Source    design section 3, Radios; the minute, the half minute, the two minutes of an end and when a check is
///             worth its turns: common practice, no source.
AskedOfRadios radio_needs(const Circumstances& circumstances, const Flight& flight, const FlightTrack& track,
                          const std::vector<FlownStep>& steps, const ObservedEnds& ends,
                          const std::vector<detail::AltitudeLeft>& left);

}  // namespace omniway::flight
