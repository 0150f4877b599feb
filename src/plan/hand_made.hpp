#pragma once

#include <optional>
#include <string>
#include <vector>

#include <tl/expected.hpp>

#include "base/result.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/route.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// The words of a route that may be its airports: the first and the last, where they name a point.
struct RouteEnds {
    std::optional<flight::RouteToken> from;
    std::optional<flight::RouteToken> to;
};
RouteEnds ends_of(const flight::Route& route);

/// A point of a route whose name others bear too, told from them.
struct PointMeant {
    std::string ident;
    std::string kind;  // "VOR/DME", "NDB", "fix"
    earth::Position place;
    friend bool operator==(const PointMeant&, const PointMeant&) = default;
};
/// Those of a flight, in the order flown: with its route's text (plan.hpp) they name its points again.
std::vector<PointMeant> points_meant(const navdata::Snapshot& world, const flight::Flight& flight);

/// A route that a person named, with what else is fixed about the flight.
struct HandMadeRequest {
    flight::Route route;
    std::string name = "ROUTE";  // what its words stand in, for errors
    Request
        flight;  // from, to, runways, approach, aircraft, wind, settings; its cruise outranks the route's own
    std::optional<procedure::Landing> landing;
    std::optional<procedure::ApproachMinimum> minimum;  // of that approach, beside those of the request
    std::vector<PointMeant> meant;                      // by a card, where a name alone leaves it open
};

/// A route compiled into a flight and judged: how one builds by hand and has it checked.
///   Model     the blocks of the planner: airway and direct legs (flight/en_route.hpp), departures and arrivals
///             (plan/departure_choice.hpp), approaches in the planner's order (plan/approach_choice.hpp), of which the first that the judge
///             admits is taken where none is named, else the one with the fewest findings that block. What those blocks refuse is
///             laid out all the same and judged, so that every leg is judged and not only the first that fails. Of several points of
///             one name the one that is meant, else the one on the airway named, else the nearest to the point before; a bearing and distance is counted from a
///             VOR's own zero, elsewhere from magnetic north. An RNAV airway is refused as such and its track judged off the airways.
///             Without an altitude the lowest thousand that the judge admits, levels of the semicircular rule first.
///   Domain    from the runway of one airport to that of another. A change of level after a point is flown: a climb ends there, a
///             descent begins there (flight/flight.hpp).
///   Accuracy  as flight/flight.hpp.
///   Cost      some tens of milliseconds.
///   Fails     with every fault, each at its word: route.unknown_point, route.unknown_airway, route.not_on_airway,
///             route.airway_not_whole, route.airway_without_point, route.procedure_without_point, route.out_of_reach,
///             route.no_runway. What cannot be flown is no error: it is a finding of the judge.
///   Source    design section 3; ICAO Doc 4444 appendix 2, item 15 (trade-facts 12).
tl::expected<Option, std::vector<base::Error>> hand_made(const navdata::Snapshot& world,
                                                         const radio::Ground& ground,
                                                         const earth::MagneticModel& model,
                                                         const HandMadeRequest& request);

}  // namespace omniway::plan
