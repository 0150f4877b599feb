#pragma once

#include <vector>

#include "flight/detail/radio_search.hpp"

namespace omniway::flight::detail {

/// The schedule that a list of choices is: where each need is met, and each turn with the time it may be done in.
///   Model     the choices are carried out again at their earliest; then, from the last turn back, each is put off as far as what
///             depends on it allows.
///   Domain    choices of cheapest_choices() for the same question.
///   Accuracy  exact.
///   Cost      one pass each way.
///   Fails     never.
///   Source    flight/radio_schedule.hpp.
RadioSchedule schedule_of(const RadioQuestion& question, const RadioProblem& problem,
                          const CheapestChoices& cheapest);

}  // namespace omniway::flight::detail
