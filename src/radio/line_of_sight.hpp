#pragma once

#include "base/quantity.hpp"

namespace omniway::radio {

/// The farthest ground distance at which two antennas see each other over a smooth earth.
///   Model     4/3 effective earth radius; no terrain (a later floor's business).
///   Domain    heights above one common level; below it counts as zero.
///   Accuracy  d = 1.23 (sqrt h1 + sqrt h2), d in NM, h in feet: within 0.1 % of the exact 4/3-earth coefficient 1.22873.
///   Cost      two square roots.
///   Fails     never.
///   Source    EASA question bank and Canadian notes (trade-facts 2, [seen]).
base::Length line_of_sight(base::Length one_height, base::Length other_height);

}  // namespace omniway::radio
