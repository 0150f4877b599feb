#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "debrief/samples.hpp"
#include "flight/flight_track.hpp"
#include "flight/step_line.hpp"
#include "procedure/holding_area.hpp"

namespace omniway::debrief {

/// Where a step is flown on the plane, holds and course reversals too: what a flown track is laid against.
struct StepPath {
    flight::StepLine line;
    bool clockwise = false;                        // of an arc
    std::optional<procedure::HoldingArea> area{};  // of a hold
    std::vector<earth::PlanePoint> circuit{};      // of a hold: its entry and once round, as a line
    earth::PlanePoint fix{};                       // of a hold or course reversal
    double outbound_rad = 0.0;                     // of a course reversal, grid
    double within_m = 0.0;                         // of its fix
    std::optional<base::Altitude> ends_at{};       // where an altitude ends it, wherever that is reached
    bool ends_anywhere = false;  // by a clock or a needle: its end on the plane is a reckoning
};

/// Where a place stands to the path of a step: how far from the line between its ends, from the arc, from a hold's circuit and entry, from the side of the
/// fix on which a course is reversed; and where the path leads there, which holds and reversals do not say.
struct FromPath {
    double metres = 0.0;
    std::optional<double> leads_rad;  // grid
};
FromPath from_path(const StepPath& step, earth::PlanePoint place);

/// Which step each sample belongs to: the steps in their order, none flown twice, with the least sum over time of how far the track is from the step's
/// path and how much it leads another way.
///   Model     dynamic programming over samples and steps. A sample costs its distance, 8 NM at most (of a hold a quarter of the first six), and a mile for a track at
///             right angles to the step's. From one sample to the next a step is left for the one after it, or beyond as far as could be passed meanwhile, half a mile for
///             a second each; a mile off where the two meet counts as a mile off the line for twenty seconds, for a minute over the fix of a hold, or where a
///             reversal begins; where an altitude ends a step, 300 ft off it are the mile; where a clock or a needle does, the twenty seconds are five; across a gap of the record for any. A track that begins within 3 NM of the first step begins with it, any other where it
///             fits; it ends where it fits, but the missed approach is begun only where that saves a mile for half a minute.
///   Domain    one step at least; samples in the order of their times; `missed` is the index of the first step of the missed approach.
///   Accuracy  exact: no other such order is cheaper (alignment_test.cpp, against all orders of small cases).
///   Cost      samples times steps; a second for 20,000 and 60.
///   Fails     never.
///   Source    R. Bellman's principle; the weights: common practice, no source.
std::vector<std::size_t> align(std::span<const StepPath> steps, std::span<const Sample> samples,
                               std::size_t missed);

/// What an order of steps costs by these rules, infinite where they do not allow it: what align() makes least.
double cost_of_order(std::span<const StepPath> steps, std::span<const Sample> samples, std::size_t missed,
                     std::span<const std::size_t> order);

}  // namespace omniway::debrief
