#pragma once

#include <cstdint>
#include <optional>

#include "earth/local_frame.hpp"
#include "flight/circumstances.hpp"
#include "flight/flight.hpp"
#include "flight/flight_track.hpp"
#include "radio/aid_kind.hpp"

namespace omniway::flight {

/// Where a step of the card should be flown, on the plane of its flight, and what its width is reckoned by.
///   Model     the straight line or the arc of the flight track; a hold or a course reversal has no line of its own. Where an aid's bearing guides,
///             the protected width grows with the distance from it; on a heading the corridor splays by 15 degrees (design section 3).
///   Domain    steps of a compiled flight.
///   Accuracy  earth/local_frame.hpp.
///   Cost      a few projections.
///   Fails     never.
///   Source    design sections 2 and 3; radio/error_budget.hpp for the widths.
struct StepLine {
    struct Guide {
        earth::PlanePoint site;
        radio::AidKind kind = radio::AidKind::vor;
    };
    enum class Shape : std::uint8_t { line, arc, turning };  // turning: a hold or course reversal

    int number = 0;
    Shape shape = Shape::line;
    earth::PlanePoint start;
    earth::PlanePoint finish;
    earth::PlanePoint centre;  // of an arc
    double radius_m = 0.0;
    std::optional<navdata::StationId> station;  // that guides
    std::optional<Guide> guide;                 // the same, where it guides by its bearing
    bool published = false;
    bool ends_at_fix = false;
    double end_allowed_m = 0.0;  // how far from the fix its end may be told
    double wide_m = 0.0;         // protected half-width of a line without an aid
    double reckoned_deg = 0.0;   // and its splay
};
StepLine step_line(const Circumstances& circumstances, const Flight& flight, const TrackStep& step,
                   bool missed, const earth::LocalFrame& frame);

/// How far to the side of its line an aircraft is on a step, positive to the right of a line and to the outside of an arc, and the protected
/// half-widths there.
struct Aside {
    double aside_m = 0.0;
    double primary_m = 0.0;
    double total_m = 0.0;
};
Aside aside(const StepLine& step, earth::PlanePoint place, radio::Criteria criteria);

/// The plane of a flight, about its middle.
earth::LocalFrame plane_of(const FlightTrack& track);

}  // namespace omniway::flight
