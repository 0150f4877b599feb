#pragma once

#include <optional>
#include <vector>

#include "base/quantity.hpp"
#include "flight/flight.hpp"

namespace omniway::flight {

/// Where a profile reaches its highest altitude and where it leaves it, from the take-off.
///   Model     within 1 ft of the highest. A flight that never is level has one top, that of the climb.
///   Domain    any profile.
///   Accuracy  as its points.
///   Cost      two passes.
///   Fails     none where it begins, or ends, at the top.
///   Source    none: what the words mean.
struct Tops {
    std::optional<base::Length> of_climb;
    std::optional<base::Length> of_descent;
};
Tops tops_of(const std::vector<ProfilePoint>& profile);

/// A part of a step shorter than this is flown as the rest of it: a top so near a fix is at the fix.
inline constexpr base::Length shortest_part = base::Length::nautical_miles(0.1);

/// The tops within a step, as distances into it.
std::vector<base::Length> tops_within(const Tops& tops, base::Length begin, base::Length length);

}  // namespace omniway::flight
