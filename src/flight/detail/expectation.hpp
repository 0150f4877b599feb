#pragma once

#include "flight/circumstances.hpp"
#include "flight/flown_step.hpp"
#include "flight/observed_end.hpp"
#include "flight/step.hpp"

namespace omniway::flight::detail {

/// What a step's figures and signals will be: as paper holds it.
StepExpected expectation(const Circumstances& circumstances, const FlownStep& step, const ObservedEnd& end);

/// What is said of an aid whose distance is read for a check at the step's end, where it is not said yet.
void note_reading(const Circumstances& circumstances, const FlownStep& step, navdata::StationId read,
                  StepExpected& expected);
void note_bearing(const navdata::Station& beacon, StepExpected& expected);

}  // namespace omniway::flight::detail
