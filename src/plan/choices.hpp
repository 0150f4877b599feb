#pragma once

#include <string>
#include <vector>

#include "plan/plan.hpp"

namespace omniway::plan {

// Less than this is no difference to a pilot. Common practice, no source.
inline constexpr base::Duration equal_time = base::minutes(0.25);
inline constexpr double equal_work = 0.5;
inline constexpr double equal_margin = 0.01;

/// Which of several flights are worth offering beside the first.
///   Model     one that is not admitted is no choice; nor one that the first or another dominates (flight/costs.hpp), or that is nowhere better by what
///             counts than one offered that is somewhere better by that much; nor one that flies 70 % or
///             more of its distance before the approach where the first or a choice taken before it flies too, on the same approach. Of what is
///             left the quickest, up to `most`.
///   Domain    flights that answer one request.
///   Accuracy  exact in costs; the distance shared on the sphere, to 2 NM where two ways part.
///   Cost      microseconds.
///   Fails     never.
///   Source    the 70 %: the issue of the router; common practice, no source.
std::vector<Choice> worth_offering(const Choice& first, std::vector<Choice> found, std::size_t most);

/// How much of a flight's distance before its approach is flown by another too: 0 to 1. By the lines on the ground, within 2 NM and in the same
/// direction, however the legs are cut and named; every 2 NM is looked at. Holds do not count.
double shared_distance(const flight::Flight& flight, const flight::Flight& other);

/// How one differs from the first in a plain sentence: "4 min longer, 6 points less work, ILS RW25 instead of VOR RW07, 30 NM more off the airways".
std::string difference_of(const Choice& first, const Choice& other);

}  // namespace omniway::plan
