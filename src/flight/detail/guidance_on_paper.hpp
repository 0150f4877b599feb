#pragma once

#include <vector>

#include "flight/circumstances.hpp"
#include "flight/flown_step.hpp"
#include "flight/step.hpp"

namespace omniway::flight::detail {

/// What an ADF shows of a bearing: relative to the nose on a fixed card (magnetic bearing less magnetic heading), else the bearing itself
/// under the head of the pointer. Source: trade-facts 4, MH + RB = MB.
base::Angle pointer_of(cockpit::AdfIndicator indicator, base::MagneticBearing to_station,
                       base::MagneticBearing heading);

/// The guidance of a step as paper holds it; a hold is entered by the heading with which the step before ends.
StepGuidance guidance_on_paper(const Circumstances& circumstances, const FlightTrack& track,
                               const FlownStep& step, const FlownStep* before);

/// Whether a step is flown down a glideslope.
bool on_glideslope(const FlightTrack& track, const TrackStep& step);

}  // namespace omniway::flight::detail
