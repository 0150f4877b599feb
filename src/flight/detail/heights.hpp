#pragma once

#include "flight/circumstances.hpp"
#include "flight/flown_step.hpp"
#include "flight/step.hpp"

namespace omniway::flight::detail {

/// How high a step is flown: what its coded end binds (procedure/vertical.hpp), its minimum and where that comes from, the rate.
StepHeights heights_of(const Circumstances& circumstances, const FlightTrack& track, const FlownStep& step);

/// "8,000".
std::string thousands(base::Altitude altitude);

}  // namespace omniway::flight::detail
