#pragma once

#include <variant>

#include "flight/leg.hpp"
#include "procedure/path.hpp"

namespace omniway::flight {

/// Whether a leg is a course reversal or a hold: over its beginning one turns as one likes (AIM 5-4-9), onto any other leg of an approach by
/// 120 degrees at most (PANS-OPS II figure I-4-3-1, trade-facts 8.4).
inline bool is_reversal_leg(const Leg& leg) {
    return leg.ending && (std::holds_alternative<procedure::AtCourseReversed>(*leg.ending) ||
                          std::holds_alternative<procedure::AtHold>(*leg.ending));
}

}  // namespace omniway::flight
