#pragma once

#include "earth/magnetic_model.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "plan/what_would_do.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// Which of the refusals of an answer mattered for this request: those without which it would be another one.
///   Model     a refusal is lifted by one change, and everything is planned anew: an airway refused for its direction, its maximum or as
///             area navigation is flown both ways, without a maximum, as a conventional one; a fixed cruising altitude is left free; the
///             dead-reckoning allowance is 25 NM and 15 minutes; runways are of any length in any wind; one more set is aboard (DME,
///             localizer, glideslope, second receiver, ADF). It mattered where the flight answered then is another one - route, approach,
///             runway or altitude -, sooner or less work, and the refusal is gone. Airways in the order of how little they lead aside. Not lifted: area
///             navigation of approaches, turns onto an entry and fixes that nothing aboard could tell, procedures that are not whole in the
///             data; and altitudes where none was asked for, for all were tried.
///   Domain    an answer and the request it answers; at most `request.most_lifts` changes are tried.
///   Accuracy  as the plan.
///   Cost      a plan each, and for an airway a world.
///   Fails     "no" is an empty list, with how many were tried and how many were left.
///   Source    common practice, no source.
void what_mattered(const navdata::Snapshot& world, const radio::Ground& ground,
                   const earth::MagneticModel& model, const Request& request, const PlanOnce& plan_once,
                   Answer& answer);

}  // namespace omniway::plan
