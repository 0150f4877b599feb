#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/finding.hpp"
#include "navdata/snapshot.hpp"
#include "weather/wind.hpp"

namespace omniway::flight {

/// How a runway fits the aircraft and the wind.
///   Model     components at the wind's speed and at its gust; limits held against the gust. A landing begins at the displaced
///             threshold; a take-off may use what lies before it.
///   Domain    runways with a known direction.
///   Accuracy  a knot.
///   Cost      O(1).
///   Fails     never: what does not fit is a finding that blocks.
///   Source    common practice, no source; components as trade-facts 7.1.
struct RunwayFit {
    navdata::RunwayId runway;
    std::optional<base::TrueBearing> direction;
    base::Speed headwind;                          // negative is a tailwind
    base::Speed crosswind;                         // from the right positive
    std::optional<base::Speed> headwind_in_gusts;  // none: no gust is given
    std::optional<base::Speed> crosswind_in_gusts;
    base::Length usable;
    base::Length needed;
    base::Speed crosswind_limit;
    base::Speed tailwind_limit;
    std::vector<base::Finding> findings;
    bool fits() const;
};

RunwayFit runway_fit(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                     const weather::Wind& wind, navdata::RunwayId runway, bool departing);

/// Every runway of an airport that fits, most headwind first, the longer first where the wind does not care; those that do not
/// fit follow, with why not.
std::vector<RunwayFit> rank_runways(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                                    const weather::Wind& wind, navdata::AirportId airport, bool departing);

/// Why a runway stands behind the one ranked first, in a plain sentence of difference: "12 kt less headwind", "tailwind 4 kt",
/// "1,200 ft shorter"; or the first thing that forbids it.
std::string why_behind(const RunwayFit& first, const RunwayFit& other);

/// True direction of a runway: from its thresholds, else as published.
std::optional<base::TrueBearing> runway_direction(const navdata::Snapshot& world, navdata::RunwayId runway);

}  // namespace omniway::flight
