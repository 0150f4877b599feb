#pragma once

#include <optional>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "flight/circumstances.hpp"
#include "flight/departure.hpp"
#include "procedure/guidance.hpp"
#include "procedure/path.hpp"

namespace omniway::flight {

/// Two aids' lines, the one flown out along and the one flown on along.
struct RadialTurnQuestion {
    procedure::PlacedFix from;  // an aid, or a place on whose line from an aid the turn stands
    std::optional<base::TrueBearing> arriving;
    procedure::Guidance onto;  // a radial or bearing as flown up to `to`
    procedure::PlacedFix to;
    base::Altitude altitude;
    base::Length before;  // so far before `to` the lines are to cross, about
};

/// Two legs: along one aid's radial to a place of its own making, and from there along another's.
///   Model     the place stands at a whole mile and a whole radial: of the aid behind where that has a DME and both lines pass there
///             all the same, else of the aid ahead. It is told there on the first line, by the guiding aid's own DME or by the second
///             line crossing it (fixing/telling.hpp: the crossing angle rule). Turns at it and at its beginning of at most 120
///             degrees; each line is heard over all of its leg.
///   Domain    lines within 130 NM of their aids.
///   Accuracy  a line is taken as passing where it does by half a degree.
///   Cost      as two direct legs and one telling.
///   Fails     "no" is a finding: turn.no_place, turn.too_great, turn.not_told, or what direct_leg() says.
///   Source    design section 3; trade-facts 8.4 (120 degrees), 21 (crossing angle).
LegsOrReason radial_turn_legs(const Circumstances& circumstances, const RadialTurnQuestion& question);

}  // namespace omniway::flight
