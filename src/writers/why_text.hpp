#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/hand_made.hpp"
#include "plan/why.hpp"

namespace omniway::writers {

/// Why a way is not the one offered, as text: the sentences, the costs side by side, the legs that differ, what blocks.
///   Model     at most 100 columns; the first of the flights offered, three of what blocks, unless `everything`.
///   Domain    of the same snapshot.
///   Accuracy  as printed.
///   Cost      some strings.
///   Fails     never.
///   Source    plan/why.hpp.
std::string why_text(const navdata::Snapshot& world, const plan::HandMadeRequest& request,
                     const plan::Option& by_hand, const plan::Why& why, const std::string& reception,
                     bool everything);

}  // namespace omniway::writers
