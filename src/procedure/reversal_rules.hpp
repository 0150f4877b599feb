#pragma once

#include <optional>
#include <string>

#include "aircraft/performance.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "procedure/motion.hpp"
#include "radio/error_budget.hpp"
#include "weather/atmosphere.hpp"

namespace omniway::procedure {

/// The fastest a procedure turn may be flown, from first overheading its fix. Source: AIM 5-4-9 (trade-facts 8.4).
inline constexpr weather::CalibratedAirspeed reversal_speed_limit = weather::CalibratedAirspeed::knots(200.0);

enum class CodedReversal { none, procedure_turn, base_turn, hold_in_lieu };

/// What a way through a procedure knows of how it comes to its course reversal.
struct ReversalCase {
    CodedReversal coded = CodedReversal::none;
    radio::Criteria criteria = radio::Criteria::terps;
    bool published_entry = true;      // the way begins at a published initial fix or transition
    bool entry_says_no_turn = false;  // NoPT beside its routing, or a transition coded without the turn
    bool by_arc = false;              // a DME arc leads onto the final or intermediate course
    std::optional<base::TrueBearing> arriving = std::nullopt;      // track over the fix
    std::optional<base::TrueBearing> outbound = std::nullopt;      // of the reversal
    std::optional<base::TrueBearing> final_course = std::nullopt;  // what it leads onto
};

enum class ReversalReason {
    none_coded,           // straight in: the way holds no reversal
    no_turn_routing,      // NoPT: not flown without clearance
    arc_leads_in,         // the arc ends aligned
    hold_in_lieu,         // flown as depicted
    published_turn,       // required
    not_published_entry,  // comes from no published initial fix: required
    outside_entry_sector,  // ICAO: more than 30 degrees off the outbound track; a hold or racetrack comes first
    turns_too_far          // no reversal, and more than 120 degrees to turn onto the course
};

/// Whether the reversal is flown, and why.
///   Model     a coded reversal is flown unless the routing says NoPT or an arc leads in; a hold in lieu is flown as depicted.
///             ICAO: a reversal is entered within 30 degrees of its outbound track, else after a hold or racetrack. Without a
///             reversal the turn onto the course is at most 120 degrees.
///   Domain    any.
///   Accuracy  exact.
///   Cost      comparisons.
///   Fails     never; what is not known (no arriving track) does not refuse.
///   Source    AIM 5-4-9; PANS-OPS II I-4-3-5, figure I-4-3-1 (trade-facts 8.4).
struct ReversalVerdict {
    bool flown = false;
    bool entry_allowed = true;
    ReversalReason reason = ReversalReason::none_coded;
    std::optional<base::Angle> off_outbound;  // arriving track less outbound track, size
};
ReversalVerdict course_reversal(const ReversalCase& known);
/// "required: published procedure turn", "not flown: the routing is NoPT" ...
std::string to_text(ReversalReason reason);

/// The turn from one segment onto the next at an initial or intermediate fix.
///   Model     up to 70 degrees by itself; above, a lead radial at least 2 NM before the fix; above 120 not allowed.
///   Domain    any two tracks at the fix.
///   Accuracy  exact.
///   Cost      a subtraction.
///   Fails     never.
///   Source    PANS-OPS II figure I-4-3-1 (trade-facts 8.4, 21).
constexpr base::Angle largest_turn_at_fix = base::Angle::degrees(120.0);
enum class TurnAllowed { by_itself, with_lead_radial, never };
struct TurnAtFix {
    TurnAllowed allowed = TurnAllowed::by_itself;
    base::Angle turn;  // size
};
TurnAtFix turn_at_fix(base::TrueBearing arriving, base::TrueBearing leaving);

/// Where such a turn begins: a bearing from an aid that the arriving track crosses at least 2 NM before the fix, earlier where
/// the turn itself (in still air) needs more.
struct LeadRadial {
    base::TrueBearing bearing;  // from the aid
    earth::Position place;
    base::Length lead;     // before the fix, along the arriving track
    base::Angle crossing;  // between the bearing and the arriving track, up to 90 degrees
};
/// Empty where the aid stands within 30 degrees of the arriving track: the bearing would not tell the place.
std::optional<LeadRadial> lead_radial(earth::Position fix, base::TrueBearing arriving,
                                      base::TrueBearing leaving, earth::Position aid, const Motion& motion);

/// How steeply a reversal or racetrack may descend. Source: PANS-OPS table I-4-3-1 (trade-facts 8.4).
struct ReversalDescent {
    base::VerticalSpeed outbound_most;
    base::VerticalSpeed inbound_most;
    base::VerticalSpeed inbound_least;  // what the procedure is designed for at least
};
ReversalDescent reversal_descent(aircraft::ApproachCategory category);

}  // namespace omniway::procedure
