#pragma once

#include <functional>
#include <optional>
#include <string>

#include "flight/circumstances.hpp"
#include "flight/departure.hpp"

namespace omniway::flight {

struct DepartureInterceptQuestion {
    earth::Position departure;
    std::string departure_name;
    std::optional<StraightAhead> ahead;
    procedure::PlacedFix first;
    base::Altitude cruise;
    std::function<base::Altitude(base::Length)> climb;  // the altitude by distance flown
};

/// The own departure to a fix that is no aid: along the runway until a turn is allowed, by a heading that intercepts a radial or bearing
/// which leads over the fix, and along that to it.
///   Model     departure.hpp for the runway, intercept.hpp for the rest, its reception in the climb; what is flown by heading counts from
///             the take-off. Of the aids within reach of the fix the line that makes the shortest way; its end is told by whoever
///             takes it.
///   Domain    fixes some tens of miles away; an aid is departure_legs()'s business, which flies straight to it.
///   Accuracy  geodesic.
///   Cost      as intercept_legs(), for at most six lines.
///   Fails     "no" is a finding: departure.no_aid where no line leads over the fix, else the nearest miss of the intercept.
///   Source    design section 3 ("an intercept of a radial from a heading", "own departure").
LegsOrReason departure_intercept(const Circumstances& circumstances,
                                 const DepartureInterceptQuestion& question);

}  // namespace omniway::flight
