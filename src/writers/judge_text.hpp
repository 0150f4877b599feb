#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/hand_made.hpp"

namespace omniway::writers {

/// What the judge says of a flight, as text: the verdict, the way in a line, each step with what was found at it, then the findings ranked.
///   Model     at most 100 columns; three findings of each weight in the ranking unless `everything`, the rest counted. A step at which
///             nothing was found says "ok".
///   Domain    options of the same snapshot.
///   Accuracy  as printed.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 3.
std::string judge_text(const navdata::Snapshot& world, const plan::HandMadeRequest& request,
                       const plan::Option& option, const std::string& reception, bool everything);

}  // namespace omniway::writers
