#pragma once

#include <vector>

#include "earth/position.hpp"
#include "flight/circumstances.hpp"
#include "flight/flight.hpp"
#include "flight/flight_track.hpp"

namespace omniway::flight {

/// Where an aircraft may be that flies a step by its needle.
struct ProtectedArea {
    int step = 0;
    std::vector<earth::Position> corners;  // around it, the first not repeated
};

/// The areas that are protected about the steps of a flight: what a pilot who flies by needle stays in, 95 %.
///   Model     the primary half-width of flight/step_line.hpp to either side of the step's line or arc: of an aid's bearing 4 NM and beyond some 51 NM
///             the splay of the criteria (TERPS 4.5 degrees), of a heading the corridor that splays by 15. Longer at either end by how far the fix there may
///             be told wrongly.
///   Domain    a compiled flight; a hold or a course reversal has no line of its own, and no area here.
///   Accuracy  as radio/error_budget.hpp; drawn in chords of 2 NM, of arcs 5 degrees.
///   Cost      some microseconds a corner.
///   Fails     never.
///   Source    trade-facts 3.3, by radio::protected_half_width(); design section 3.
std::vector<ProtectedArea> protected_areas(const Circumstances& circumstances, const Flight& flight,
                                           const FlightTrack& track);

}  // namespace omniway::flight
