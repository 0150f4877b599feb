#include "procedure/reversal_rules.hpp"

#include <algorithm>
#include <cmath>

#include "earth/geodesic.hpp"

namespace omniway::procedure {

using aircraft::ApproachCategory;
using base::Angle;
using base::Length;
using base::TrueBearing;
using base::VerticalSpeed;

namespace {

constexpr Angle entry_sector = Angle::degrees(30.0);        // PANS-OPS II I-4-3-5
constexpr Angle turn_without_lead = Angle::degrees(70.0);   // PANS-OPS II figure I-4-3-1
constexpr Length least_lead = Length::nautical_miles(2.0);  // the same
constexpr Angle least_crossing =
    Angle::degrees(30.0);  // between lines of position, as en route (trade-facts 21)

// Why the reversal is, or is not, flown under either criteria.
ReversalReason reason_of(const ReversalCase& known) {
    if (known.coded == CodedReversal::none) {
        return ReversalReason::none_coded;
    }
    if (known.entry_says_no_turn) {
        return ReversalReason::no_turn_routing;
    }
    if (known.by_arc) {
        return ReversalReason::arc_leads_in;
    }
    if (known.coded == CodedReversal::hold_in_lieu) {
        return ReversalReason::hold_in_lieu;
    }
    return known.published_entry ? ReversalReason::published_turn : ReversalReason::not_published_entry;
}

bool is_flown(ReversalReason reason) {
    return reason == ReversalReason::hold_in_lieu || reason == ReversalReason::published_turn ||
           reason == ReversalReason::not_published_entry;
}

}  // namespace

ReversalVerdict course_reversal(const ReversalCase& known) {
    ReversalVerdict verdict{
        .flown = false, .entry_allowed = true, .reason = reason_of(known), .off_outbound = std::nullopt};
    verdict.flown = is_flown(verdict.reason);
    if (!verdict.flown && known.arriving && known.final_course &&
        turn_at_fix(*known.arriving, *known.final_course).allowed == TurnAllowed::never) {
        verdict.entry_allowed = false;
        verdict.reason = ReversalReason::turns_too_far;
    }
    if (!verdict.flown || !known.arriving || !known.outbound) {
        return verdict;
    }
    verdict.off_outbound = abs(*known.arriving - *known.outbound);
    const bool sector_binds =
        known.criteria == radio::Criteria::pans_ops && known.coded != CodedReversal::hold_in_lieu;
    if (sector_binds && *verdict.off_outbound > entry_sector) {
        verdict.entry_allowed = false;
        verdict.reason = ReversalReason::outside_entry_sector;
    }
    return verdict;
}

std::string to_text(ReversalReason reason) {
    switch (reason) {
        case ReversalReason::none_coded:
            return "straight in: no course reversal on this way";
        case ReversalReason::no_turn_routing:
            return "not flown: the routing is NoPT";
        case ReversalReason::arc_leads_in:
            return "not flown: the DME arc leads onto the course";
        case ReversalReason::hold_in_lieu:
            return "required: hold in lieu of a procedure turn, as depicted";
        case ReversalReason::published_turn:
            return "required: published course reversal";
        case ReversalReason::not_published_entry:
            return "required: the way does not begin at a published initial fix";
        case ReversalReason::outside_entry_sector:
            return "arrives more than 30 degrees off the outbound track: a hold or racetrack comes first";
        case ReversalReason::turns_too_far:
            return "no course reversal, and more than 120 degrees to turn onto the course";
    }
    return {};
}

TurnAtFix turn_at_fix(TrueBearing arriving, TrueBearing leaving) {
    const Angle turn = abs(leaving - arriving);
    // Coded courses carry tenths of a degree; a turn of exactly 120 degrees must not be lost to rounding.
    constexpr Angle rounding = Angle::degrees(0.05);
    if (turn > largest_turn_at_fix + rounding) {
        return {TurnAllowed::never, turn};
    }
    return {turn > turn_without_lead + rounding ? TurnAllowed::with_lead_radial : TurnAllowed::by_itself,
            turn};
}

std::optional<LeadRadial> lead_radial(earth::Position fix, TrueBearing arriving, TrueBearing leaving,
                                      earth::Position aid, const Motion& motion) {
    const Angle turn = abs(leaving - arriving);
    if (turn > largest_turn_at_fix + Angle::degrees(0.05)) {
        return std::nullopt;
    }
    // A circle that touches both tracks leaves the first one radius times the tangent of half the turn before they meet.
    const Length of_turn = motion.turn.radius * base::tan(turn * 0.5);
    const Length lead = std::max(least_lead, of_turn);
    const earth::Position place = earth::destination(fix, arriving, -lead);
    const TrueBearing bearing = earth::bearing(aid, place);
    const double off = std::abs((bearing - earth::bearing(place, fix)).degrees());
    const Angle crossing = Angle::degrees(std::min(off, 180.0 - off));
    if (crossing < least_crossing) {
        return std::nullopt;
    }
    return LeadRadial{bearing, place, lead, crossing};
}

ReversalDescent reversal_descent(ApproachCategory category) {
    const bool slow = category == ApproachCategory::a || category == ApproachCategory::b;
    const auto fpm = [](double rate) { return VerticalSpeed::feet_per_minute(rate); };
    return slow ? ReversalDescent{fpm(804.0), fpm(655.0), fpm(394.0)}
                : ReversalDescent{fpm(1197.0), fpm(1000.0), fpm(590.0)};
}

}  // namespace omniway::procedure
