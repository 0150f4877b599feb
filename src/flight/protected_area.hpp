#pragma once

#include <vector>

#include "earth/position.hpp"
#include "flight/circumstances.hpp"
#include "flight/compile.hpp"
#include "flight/flight.hpp"
#include "flight/step.hpp"
#include "procedure/holding_area.hpp"

namespace omniway::flight {

/// Where an aircraft may be that flies a step by its needle.
struct ProtectedArea {
    int step = 0;
    std::vector<earth::Position> corners;  // around it, the first not repeated
};

/// That of a hold on a card, about the fix of its step: as carelessly as the criteria allow for (procedure/holding_area.hpp), its
/// passage told within `fix_error`.
procedure::HoldingArea holding_area(const Circumstances& circumstances, const TrackStep& step,
                                    const FlyHold& hold, const earth::LocalFrame& frame,
                                    base::Length fix_error);

/// The areas that are protected about the steps of a flight: what a pilot who flies by needle stays in, 95 %.
///   Model     the primary half-width of flight/step_line.hpp to either side of the step's line or arc: of an aid's bearing 4 NM and beyond some 51 NM
///             the splay of the criteria (TERPS 4.5 degrees), of a heading the corridor that splays by 15. Longer at either end by how far the fix there may
///             be told wrongly. About a localizer's line 500 ft to either side at 200 ft before the threshold of the runway that it serves, and from there
///             outward 15 % of the distance more, by either criteria; where that runway is not known, from the antenna. A hold's is its holding area; a
///             course reversal's is the distance about its fix in which the chart wants it flown.
///   Domain    a compiled flight with its card. The rehearsal judges a localizer by the width about a VOR's radial, which is wider, and no hold or reversal.
///   Accuracy  as radio/error_budget.hpp; drawn in chords of 2 NM, of arcs 5 degrees.
///   Cost      some microseconds a corner.
///   Fails     never.
///   Source    trade-facts 3.3, by radio::protected_half_width(); design section 3. Localizer: 2.78 NM at 18 NM and some 5,000 ft at the final fix
///             (IPH App. B, fig. B-5, trade-facts 3.4 [seen]), which this trapezoid of TERPS (8260.3B, from memory) makes good. "Remain within":
///             AIM 5-4-9.
std::vector<ProtectedArea> protected_areas(const Circumstances& circumstances, const Flight& flight,
                                           const Compiled& compiled);

}  // namespace omniway::flight
