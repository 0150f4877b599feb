#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "flight/phase.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/path.hpp"

namespace omniway::flight {

/// Part of a leg under one guidance, by distance from the leg's start.
struct Stretch {
    base::Length from;
    base::Length to;
    procedure::Guidance guidance;
};

/// Where a leg's lowest altitude comes from.
enum class MinimumFrom {
    published_airway,
    published_unknown,
    published_grid,
    ground,
    given_by_user,
    coded_procedure,
    not_known
};

/// An altitude that the ground asks for, and how it comes about (flight/off_airway_minimum.hpp).
struct GroundAsks {
    base::Altitude altitude;  // ground, allowance and clearance, in whole hundreds of feet
    base::Altitude ground;
    earth::Position where;
    base::Length allowance;  // for obstacles that no terrain shows
    base::Length clearance;
};

struct LegMinimum {
    MinimumFrom from = MinimumFrom::not_known;
    std::optional<base::Altitude> altitude;
    std::optional<GroundAsks> ground = std::nullopt;
    bool ground_unknown = false;  // there is terrain, but not under all of the leg
};

/// One leg of a flight: from a place to a place (or to whatever ends it), with what guides it and what ends it.
///   Model     `published` legs (airways, procedures) are flight-checked: their signal is taken as heard at their altitude.
///   Domain    stretches cover the leg without gap or overlap.
///   Accuracy  lengths and tracks are geodesic.
///   Cost      about a kilobyte.
///   Fails     never.
///   Source    design sections 2 and 3.
struct Leg {
    Phase phase = Phase::en_route;
    std::string via;  // "V16", "direct", "ILS RW22L"
    bool published = false;
    std::optional<procedure::PlacedFix> from;
    std::optional<procedure::PlacedFix> to;
    earth::Position start;
    earth::Position finish;
    base::TrueBearing track;    // at the start
    base::TrueBearing arrival;  // at the finish
    base::Length length;
    std::vector<Stretch> stretches;
    std::optional<procedure::Ending> ending;  // none: a point on a line that goes straight on
    LegMinimum minimum;
    std::optional<base::Altitude> maximum;
    std::optional<base::Altitude> level;  // cruised at along it; none: the flight's own (flight/flight.hpp)
    const navdata::Leg* coded = nullptr;
};

}  // namespace omniway::flight
