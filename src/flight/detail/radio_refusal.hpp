#pragma once

#include "flight/detail/radio_search.hpp"

namespace omniway::flight::detail {

/// Why a need cannot be met, by the set that comes nearest to it.
///   Model     of all states in which what is needed before is met, and all sets that could meet the need, the one that would have
///             it identified first.
///   Domain    a dead end of cheapest_choices() for the same question.
///   Accuracy  the missing seconds are exact for that set.
///   Cost      a look at each state.
///   Fails     never.
///   Source    flight/radio_schedule.hpp.
NoSchedule refusal(const RadioQuestion& question, const RadioProblem& problem, const DeadEnd& dead_end);

}  // namespace omniway::flight::detail
