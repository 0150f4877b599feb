#pragma once

#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "app/judge_flight.hpp"
#include "plan/why.hpp"

namespace omniway::app {

/// A way that a person named, judged, beside what is offered.
struct Explained {
    Judged judged;
    plan::Why why;
};

/// Why not this way? Judges a route as app/judge_flight.hpp does, and compares it with what a plan between the same airports offers.
///   Model     the question is that of judge_flight(), its airports given; runways, approach and transition asked for are those of the
///             route by hand, and what is offered is free to choose its own.
///   Domain    as app/judge_flight.hpp.
///   Accuracy  as plan/why.hpp.
///   Cost      opening the atlas, one flight and one plan.
///   Fails     as judge_flight().
///   Source    plan/why.hpp.
tl::expected<Explained, std::vector<base::Error>> why_route(const std::string& atlas, const Shipped& shipped,
                                                            const JudgeQuestion& question);

}  // namespace omniway::app
