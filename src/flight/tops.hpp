#pragma once

#include <vector>

#include "base/quantity.hpp"
#include "flight/flight.hpp"

namespace omniway::flight {

/// What a flight does where it begins or ends to be level: "TOC", "BOC", "TOD", "BOD".
enum class TopKind { of_climb, bottom_of_climb, of_descent, bottom_of_descent };
struct Top {
    base::Length along;  // from the take-off
    TopKind kind = TopKind::of_climb;
};

/// Where a flight changes between climb, level and descent in cruise.
///   Model     at one level: where the profile reaches its highest altitude and where it leaves it, within 1 ft; a flight that never is
///             level has one top, that of the climb. With changes of level both ends of every stretch cruised at a level.
///   Domain    any profile.
///   Accuracy  as its points.
///   Cost      two passes.
///   Fails     never: none where it begins, or ends, at the top.
///   Source    none: what the words mean. The bottoms: common practice, no source.
std::vector<Top> tops_of(const Flight& flight);

/// A part of a step shorter than this is flown as the rest of it: a top so near a fix is at the fix.
inline constexpr base::Length shortest_part = base::Length::nautical_miles(0.1);

/// The tops within a step, each `along` as a distance into it.
std::vector<Top> tops_within(const std::vector<Top>& tops, base::Length begin, base::Length length);

}  // namespace omniway::flight
