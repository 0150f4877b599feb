#pragma once

#include <vector>

#include "app/plan_flight.hpp"
#include "base/finding.hpp"
#include "base/result.hpp"
#include "navdata/snapshot.hpp"
#include "routing/constraints.hpp"

namespace omniway::app::detail {

/// What was typed of a way, as points and areas of the world, and where a name was understood one way of several.
struct ConstraintsAsked {
    routing::Constraints constraints;
    std::vector<base::Finding> said;
};

/// Reads what is asked of a way between two airports.
///   Model     a name that several points have is all of them where it is avoided, and the one with the least detour where it is flown over;
///             both are said. An area is PLACE/NM, its place a name or coordinates as item 15 writes them. What cannot be had together is
///             told before anything is planned.
///   Domain    areas of 0.1 to 200 NM; ways as long as the search looks at (routing/constraints.hpp, longest_way).
///   Accuracy  as typed.
///   Cost      some look-ups.
///   Fails     with every fault: app.unknown_ident, app.unknown_airway, app.area_form, app.via_too_far, app.contradiction.
///   Source    none: how it is typed is this project's own.
ConstraintsAsked constraints_asked(std::vector<base::Error>& faults, const navdata::Snapshot& world,
                                   navdata::AirportId from, navdata::AirportId to,
                                   const PlanQuestion& question);

}  // namespace omniway::app::detail
