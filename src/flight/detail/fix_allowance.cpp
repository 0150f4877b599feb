#include "flight/detail/fix_allowance.hpp"

#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"

namespace omniway::flight::detail {

using base::Length;

namespace {

constexpr Length final_fix_error = Length::nautical_miles(1.0);

}  // namespace

std::optional<Length> fix_allowance(const Leg& leg, const Leg* after) {
    if (leg.coded != nullptr && leg.coded->is_final_approach_fix()) {
        return final_fix_error;
    }
    const bool into_procedure =
        after != nullptr && after->coded != nullptr && after->to && after->phase != Phase::missed;
    const bool holds =
        into_procedure && after->ending && std::holds_alternative<procedure::AtHold>(*after->ending);
    if (!into_procedure || holds) {
        return std::nullopt;
    }
    const Length next = earth::distance(leg.finish, after->finish);
    return next > earth::same_place ? std::optional(next * 0.5) : std::nullopt;
}

}  // namespace omniway::flight::detail
