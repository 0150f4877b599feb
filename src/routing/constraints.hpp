#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/finding.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "fixing/telling.hpp"
#include "flight/leg.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::routing {

/// An area that a way keeps out of.
struct Circle {
    std::string name;  // as it was asked for: "XKE/15"
    earth::Position centre;
    base::Length radius;
};

/// What the person asks of a way beyond that it can be flown.
///   Model     `via` is flown over in this order. What is avoided is neither flown over (within 0.1 NM), nor flown along, nor used to tell a
///             fix or to guide; an airway is avoided by its designator, the same line under another name or direct is not it. An area is
///             kept out of by every leg as it is drawn on the chart, procedures included: arcs as arcs, a hold by a racetrack of 230 kt
///             (or its coded length), a procedure turn by its course out to the limit and 3 NM on the side of its barb. A station that is
///             out of service is no matter of this type: it is not in the snapshot (navdata/snapshot.hpp, without()).
///   Domain    points, airways and stations of the snapshot.
///   Accuracy  an area within 0.05 NM (constraints_test.cpp, closed forms).
///   Cost      empty it costs nothing; else some geodesics a leg for each point and area.
///   Fails     never.
///   Source    design section 3; the 0.1 NM and what is drawn of holds and reversals: common practice, no source.
struct Constraints {
    std::vector<navdata::Point> via = {};
    std::vector<navdata::Point> avoid = {};  // fixes and stations
    std::vector<std::string> avoid_airways = {};
    std::vector<Circle> avoid_areas = {};
    std::optional<base::Altitude> highest = std::nullopt;  // cruising altitude
    bool no_beacon = false;                                // no NDB guides or tells a fix
    bool no_dead_reckoning =
        false;  // but the legs of a procedure and the turn after take-off or missed approach

    /// Whether anything is asked of legs: all but `via`.
    bool asks_of_legs() const;
};

/// Why a leg does not keep to what is asked, with its figures; none: it does. Its ends, its airway, the stations that guide along it and
/// tell its end, its line, its level are looked at, in this order; the first that is broken is named (constraint.*).
std::optional<base::Finding> broken_by(const Constraints& constraints, const navdata::Snapshot& world,
                                       const flight::Leg& leg);

/// Whether a leg keeps to what is asked.
bool allows(const Constraints& constraints, const navdata::Snapshot& world, const flight::Leg& leg);

/// The best way of telling a fix that keeps to what is asked; none where none does.
std::optional<fixing::Telling> allowed_telling(const Constraints& constraints, const navdata::Snapshot& world,
                                               const std::vector<fixing::Telling>& ways);

/// The points of `via` that legs do not fly over in the order asked, from the first that is missed.
std::vector<navdata::Point> not_flown_over(const Constraints& constraints, const navdata::Snapshot& world,
                                           const std::vector<flight::Leg>& legs);

/// How long a way over one point may be, of the straight line between two airports, to be looked at.
///   Source    common practice, no source.
base::Length longest_way(base::Length direct);

}  // namespace omniway::routing
