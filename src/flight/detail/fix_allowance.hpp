#pragma once

#include <optional>

#include "base/quantity.hpp"
#include "flight/leg.hpp"

namespace omniway::flight::detail {

/// How far along the track the fix at the end of a leg may really be: the final fix a mile, others of a procedure and the one at which it
/// is entered half the segment that follows; none where the criteria name no error. TERPS 8260.3B para 287 (trade-facts 3.2, 21).
std::optional<base::Length> fix_allowance(const Leg& leg, const Leg* after);

}  // namespace omniway::flight::detail
