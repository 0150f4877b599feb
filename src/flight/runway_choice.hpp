#pragma once

#include <optional>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/finding.hpp"
#include "navdata/snapshot.hpp"
#include "weather/wind.hpp"

namespace omniway::flight {

/// How a runway fits the aircraft and the wind.
///   Model     components at the wind's speed; limits held against the gust.
///   Domain    runways with a known direction.
///   Accuracy  a knot.
///   Cost      O(1).
///   Fails     never: what does not fit is a finding that blocks.
///   Source    common practice, no source; components as trade-facts 7.1.
struct RunwayFit {
    navdata::RunwayId runway;
    std::optional<base::TrueBearing> direction;
    base::Speed headwind;   // negative is a tailwind
    base::Speed crosswind;  // from the right positive
    std::vector<base::Finding> findings;
    bool fits() const;
};

RunwayFit runway_fit(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                     const weather::Wind& wind, navdata::RunwayId runway, bool departing);

/// Every runway of an airport that fits, most headwind first, the longer first where the wind does not care; those that do not
/// fit follow, with why not.
std::vector<RunwayFit> rank_runways(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                                    const weather::Wind& wind, navdata::AirportId airport, bool departing);

/// True direction of a runway: from its thresholds, else as published.
std::optional<base::TrueBearing> runway_direction(const navdata::Snapshot& world, navdata::RunwayId runway);

}  // namespace omniway::flight
