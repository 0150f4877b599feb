#pragma once

#include <cstddef>
#include <functional>
#include <string>
#include <vector>

#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"

namespace omniway::plan {

/// The question asked once, of this world or another, without asking for changes again.
using PlanOnce = std::function<Answer(const navdata::Snapshot&, const Request&)>;

/// The smallest changes that make a request flyable that is not.
///   Model     one thing changed, and only where nothing alone does two, then three of the equipment. In this order, the one that asks the
///             least of the person first: another cruising altitude (with the one that would be flown); what was asked for and can be left
///             away (a runway, approach, SID, STAR, each thing avoided, each constraint); a longer dead-reckoning allowance, up to 25 NM
///             and 15 minutes, with the least that does by bisection; a station back in service, of those out of service near the way, the
///             nearest first; equipment. In pairs the allowance is named by its bound. What is asked is planned anew each time.
///   Domain    requests whose answer is not flyable.
///   Accuracy  the least allowance to 0.5 NM and half a minute, as far as what does with less does with more.
///   Cost      a plan each try, at most `most_tries` and what the bisections ask.
///   Fails     "no" is no changes, with how many were tried, and how many were left for the bound.
///   Source    design section 3: the smallest change that would unblock. The order: common practice, no source.
struct WouldDo {
    std::vector<std::string> changes;  // "another cruising altitude (8000 ft)", "a DME and an ADF"
    std::size_t tried = 0;
    std::size_t not_tried = 0;
};
WouldDo what_would_do(const navdata::Snapshot& world, const Request& request, const PlanOnce& plan_once,
                      std::size_t most_tries = 60);

}  // namespace omniway::plan
