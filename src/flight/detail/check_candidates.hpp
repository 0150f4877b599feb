#pragma once

#include <set>
#include <vector>

#include "flight/circumstances.hpp"
#include "flight/flown_step.hpp"
#include "flight/observed_end.hpp"
#include "flight/radio_schedule.hpp"
#include "flight/step.hpp"

namespace omniway::flight::detail {

/// A check that the sky offers at the end of a step, and the set it takes.
struct CheckCandidate {
    StepCheck check;
    SetKind kind = SetKind::receiver;
    navdata::StationId station;
    std::optional<base::Radial> course;
};

/// The best few independent checks at the end of a step, best first.
///   Model     of every aid that neither guides nor ends the step and is heard there: the distance of a DME, the radial of a VOR, the
///             bearing of an NDB, each with the tolerance of the criteria. Good is what tells best how far along the track one is;
///             what neighbouring steps use anyway counts as twice as good. At a changeover the needle of the next aid is a check. At
///             most two of a kind of set, so that more aboard never takes one away. A localizer's DME that shares its frequency with the other
///             end's is none unless the flight flies by that localizer.
///   Domain    steps that end at a place: a fix, a changeover, a time.
///   Accuracy  as paper.
///   Cost      some geodesics and looks into reception for each aid within 60 NM.
///   Fails     "no" is an empty list.
///   Source    tolerances radio/error_budget.hpp (trade-facts 3.2); the order: common practice, no source.
std::vector<CheckCandidate> check_candidates(const Circumstances& circumstances,
                                             const std::vector<FlownStep>& steps, std::size_t index,
                                             const ObservedEnd& end);

/// The glideslope's height over the final fix, where a step on the localizer ends there otherwise than by the glideslope itself.
std::optional<StepCheck> glideslope_check(const Circumstances& circumstances, const FlightTrack& track,
                                          const FlownStep& step, const ObservedEnd& end);

}  // namespace omniway::flight::detail
