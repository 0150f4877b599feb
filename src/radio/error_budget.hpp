#pragma once

#include <optional>

#include "base/quantity.hpp"
#include "radio/aid_kind.hpp"

namespace omniway::radio {

/// Whose criteria judge: the FAA's (Order 8260.3, TERPS) or ICAO's (Doc 8168, PANS-OPS).
enum class Criteria { terps, pans_ops };

/// What a line of position is used for: the aircraft follows it, or crosses it.
enum class Line { tracking, crossing };

/// Where the line is flown: at a fix of a procedure, or along a route, where the needle is held less closely.
enum class Phase { procedure, en_route };

/// What a bearing errs by, part by part.
///   Model     independent parts, each the 95 % (2 SD) bound; sums are roots of summed squares. A line that is only crossed is not
///             flown, so its flight technical part is left out.
///   Domain    VOR, NDB and localizer.
///   Accuracy  sums within 0.05 degrees of the totals that the criteria print (error_budget_test.cpp).
///   Cost      a square root.
///   Fails     never.
///   Source    trade-facts 3.1; docs/methods/error-budget.md.
struct BearingBudget {
    base::Angle ground;
    base::Angle receiver;
    base::Angle flight_technical;
    base::Angle monitor;  // what a ground station may drift before its monitor takes it off the air

    base::Angle crossing() const;
    base::Angle tracking() const;
    friend bool operator==(const BearingBudget&, const BearingBudget&) = default;
};

/// The parts, where the criteria give them; none where they give totals only (all of TERPS).
std::optional<BearingBudget> bearing_budget(AidKind aid, Criteria criteria, Phase phase);

/// How far, in 95 %, an aircraft may be off a line of position that its instruments show: the fix tolerance of the criteria.
///   Domain    VOR, NDB, localizer; a distance has no bearing and is a contract violation.
///   Accuracy  as printed. TERPS crossing VOR [seen], other TERPS cells and the PANS-OPS localizer from memory.
///   Cost      O(1).
///   Fails     never.
///   Source    TERPS 8260.3B para 286-287, PANS-OPS II I-2-2 and II-3-1 (trade-facts 3.2).
base::Angle bearing_tolerance(AidKind aid, Line line, Criteria criteria);

/// How far, in 95 %, a DME reading may be off the slant range: 0.25 NM + 1.25 % of it, by both criteria as they stand today.
/// Source: PANS-OPS I I-2-2 2.4.2 (trade-facts 3.2, [seen]).
base::Length dme_tolerance(base::Length slant_range, Criteria criteria);

/// What was allowed before, and what AIM 1-1-7 still says of a reading: 0.5 NM or 3 %, whichever is greater.
base::Length older_dme_tolerance(base::Length slant_range);

/// A line of position that crosses the track: how far away its station is, under which angle (0 to 90 degrees), how true.
struct CrossingLine {
    base::Length range;
    base::Angle crossing;
    base::Angle tolerance;
};

/// How far along the track the crossing may really be: short of it towards the side where the lines meet less steeply, `far`; on
/// the other, `near`.
///   Model     D sin e / sin(g -+ e), the law of sines on a plane.
///   Domain    range from zero, crossing above 0 to 90 degrees, tolerance below 90.
///   Accuracy  exact on a plane; the table of trade-facts 3.2 within its last digit.
///   Cost      three sines.
///   Fails     "no" is an infinite far side: within the tolerance the lines could be parallel.
///   Source    trade-facts 3.2.
struct CrossingError {
    base::Length near;
    base::Length far;
};
CrossingError crossing_error(const CrossingLine& line);

/// How far to a side an aircraft may be that follows a line with this tolerance, so far from the aid along it.
base::Length cross_track_spread(base::Length from_aid, base::Angle tolerance);

/// The half-width that is protected about a track flown by an aid, so far from it.
///   Model     constant abeam the aid; farther out as wide as the splay from the aid, once that is wider.
///   Domain    VOR and NDB; others are a contract violation. Distances from zero, up to the changeover.
///   Accuracy  as printed; marks and contradictions in docs/methods/error-budget.md.
///   Cost      two tangents.
///   Fails     never.
///   Source    IPH ch. 2, Canadian AIM RAC 2.7.1, PANS-OPS II II-3-1 (trade-facts 3.3).
struct ProtectedHalfWidth {
    base::Length primary;
    base::Length total;  // with the secondary (TERPS) or buffer (PANS-OPS) area
};
ProtectedHalfWidth protected_half_width(AidKind aid, Criteria criteria, base::Length from_aid);

/// How much of the traffic along VORs up to 150 NM apart stays inside: the columns of the Annex 11 table.
enum class Containment { percent_95, percent_96, percent_97, percent_98, percent_99, percent_99_5 };

/// The half-width that holds it: A up to 25 NM from the VOR, growing evenly to B at 75 NM.
/// Domain: up to 75 NM, half of 150; the growth is carried on beyond. Source: Annex 11 Att. A (trade-facts 3.3, [seen]).
base::Length containment_half_width(Containment share, base::Length from_vor);

}  // namespace omniway::radio
