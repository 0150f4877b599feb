#pragma once

#include <optional>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "flight/circumstances.hpp"
#include "flight/flight.hpp"
#include "routing/search.hpp"

namespace omniway::plan {

/// Where an aircraft is in the air, and what it has to go on with.
struct InFlight {
    flight::InTheAir at;
    bool climbing_out = false;  // on its way up from the runway: what follows is an own departure
    std::vector<flight::Leg>
        ahead;  // the rest of what it is flying, up to the first point that can be told; may be empty
    std::optional<base::Altitude> level;  // to which it climbs; none: it stays at the present one
    base::Mass fuel;                      // left on board
};

/// So long everything stays as it is while the radios are set and identified: the longest that identifying takes
/// (flight/identify_times.hpp).
inline constexpr base::Duration to_set_the_radios = base::minutes(1.0);

/// How one can go on from a place in the air: as starts of the search (routing/search.hpp).
///   Model     on along what is being flown to the first point that can be told, and from the place to each VOR and NDB. To an aid: the
///             heading of its bearing for a minute at least, in which the radios are set and identified, and until it is heard, as
///             far as dead reckoning may go; then to it. Over an aid its radial outbound guides after that minute; over one, or so near that it
///             is reached in that minute and a half, once round in a hold over it too, right turns, on one of four inbound courses (in its outbound half
///             nothing is needed of the radios), in which a climb may go on (flight/climb_overhead.hpp). Reception is that of
///             the present altitude, of one that climbs out from the field that of its climb. Where no dead reckoning is asked for, nothing
///             but that minute is by heading.
///   Domain    aids within 130 NM; the minimum off the airways must not stand above the present altitude but in the climb from
///             the field.
///   Accuracy  as flight/en_route.hpp and flight/departure.hpp.
///   Cost      some tens of microseconds an aid, some hundreds over terrain.
///   Fails     "no" is an empty list.
///   Source    design section 3; the minute: docs/station-loss.md.
std::vector<routing::Chain> ways_on(const flight::Circumstances& day, const InFlight& now,
                                    const routing::Constraints& asked);

/// The rest of a flight's own legs from a distance on, up to the first point that can be told in this world, which may lack
/// stations of the one that the flight was made in: what they guided is flown by heading, what they told is told by others.
///   Model     legs of airways, off the airways and of departures; where what guides is a localizer or an arc, or no point can be
///             told by the last of them, there is none.
///   Domain    a flight of the world `made_in`; `along` within its legs.
///   Accuracy  geodesic.
///   Cost      some tens of microseconds.
///   Fails     "no" is an empty list.
///   Source    none: geometry.
std::vector<flight::Leg> rest_of_way(const flight::Circumstances& day, const navdata::Snapshot& made_in,
                                     const flight::Flight& flight, base::Length along);

/// The same station in another snapshot of the same records: by its ident, kind and place.
std::optional<navdata::StationId> same_station(const navdata::Snapshot& made_in, navdata::StationId station,
                                               const navdata::Snapshot& world);

/// What is asked of a way, in another snapshot of the same records: a point that is not in it any more is left out.
routing::Constraints in_world(const navdata::Snapshot& made_in, routing::Constraints asked,
                              const navdata::Snapshot& world);

}  // namespace omniway::plan
