#pragma once

#include <string>
#include <vector>

#include "base/finding.hpp"
#include "flight/departure.hpp"
#include "flight/runway_choice.hpp"
#include "plan/plan.hpp"
#include "routing/search.hpp"

namespace omniway::plan {

/// How a flight may leave: the own departure of the best runway, and the ways through the SIDs of every runway that fits.
///   Model     procedure/departure_ways.hpp as starts of the search; a runway with less headwind than the best costs 0.3 NM a knot.
///             Request::departure names one SID, or "own" for none. One that does not keep to Request::constraints is refused by name.
///   Domain    runways that fit, most headwind first; the direction of a runway that is not known leaves its SIDs out.
///   Accuracy  as procedure/departure_ways.hpp.
///   Cost      a millisecond or so a SID and runway.
///   Fails     never: what is not flown stands in `considered` with the reason.
///   Source    design section 3; the 0.3 NM: common practice, no source.
struct Departures {
    struct Start {
        std::string sid;  // its ident
        flight::RunwayFit runway;
        std::vector<base::Finding> findings;  // what the SID asks or warns of
    };
    std::optional<flight::StraightAhead> straight_ahead;
    bool own_departure = true;
    std::vector<routing::Chain> chains;  // one each start
    std::vector<Start> starts;
    std::vector<ProcedureConsidered> considered;
    std::vector<base::Finding> refused;  // constraint.*
};

Departures choose_departures(const navdata::Snapshot& world, const radio::Ground& ground,
                             const Request& request, const std::vector<flight::RunwayFit>& runways);

/// How a flight may arrive: the ways through the STARs that lead on to an approach.
///   Model     procedure/arrival_ways.hpp to the last fix, and to every fix of it that is an entry of an approach that can be flown. One
///             whose last fix is no such entry is used where a legal leg leads from there to one (flight/en_route.hpp, at the cruising
///             altitude or the entry's own), and not used where none does. Request::arrival names one STAR, or "none".
///   Domain    `entries`: those of the approaches that can be flown.
///   Accuracy  as procedure/arrival_ways.hpp.
///   Cost      a millisecond or so a STAR.
///   Fails     never: what is not used stands in `considered` with the reason.
///   Source    design section 3.
struct Arrivals {
    std::vector<routing::Chain> chains;
    std::vector<std::string> stars;                    // its ident, one each chain
    std::vector<std::vector<base::Finding>> findings;  // one list each chain
    std::vector<ProcedureConsidered> considered;
    std::vector<base::Finding> refused;  // constraint.*
};

Arrivals choose_arrivals(const navdata::Snapshot& world, const radio::Ground& ground, const Request& request,
                         const std::vector<routing::Entry>& entries);

}  // namespace omniway::plan
