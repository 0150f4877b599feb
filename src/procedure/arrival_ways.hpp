#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/finding.hpp"
#include "cockpit/equipment.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/path.hpp"
#include "radio/ground.hpp"

namespace omniway::procedure {

/// One way through a published arrival (STAR): from the fix it begins at to the last fix it reaches.
struct ArrivalWay {
    const navdata::Procedure* procedure = nullptr;
    std::string
        transition;      // an enroute transition's name; empty: from the first fix of the part that all share
    std::string runway;  // "RW09" where its end is for that runway alone; empty: for any
    std::vector<PlacedLeg> legs;  // without the IF that opens it
    PlacedFix entry;
    base::TrueBearing first_track;
    PlacedFix end;
    bool ends_in_vectors = false;  // in the publication: left out here, behind `end`
    base::Length length;
    std::vector<base::Finding> findings;  // any that blocks: not flown

    bool flyable() const;
    /// "LENDY6", "PWL2 via ALB".
    std::string name() const;
};

/// Every way through every STAR of an airport, flown or refused with the leg and the reason.
///   Model     an enroute transition, the part that all share, a runway transition, placed and judged by path.hpp. Radar vectors at
///             its end are left out and said so: whether its last fix leads on to an approach is for the plan to find. Vectors before
///             another fix refuse it.
///   Domain    route types 1, 2, 3; area navigation (4, 5, 6, F, M, S) and profile descents (7, 8, 9) are refused by name.
///   Accuracy  as path.hpp.
///   Cost      under a millisecond a way.
///   Fails     never: what is refused has a finding that blocks.
///   Source    trade-facts 11.1, 13.9.
std::vector<ArrivalWay> arrival_ways(const navdata::Snapshot& world, const radio::Ground& ground,
                                     const cockpit::Equipment& aboard, navdata::AirportId airport,
                                     radio::Criteria criteria = radio::Criteria::terps);

}  // namespace omniway::procedure
