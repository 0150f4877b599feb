#include "flight/runway_choice.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"

namespace omniway::flight {

using base::Finding;
using base::Grade;

bool RunwayFit::fits() const {
    return base::verdict_of(findings) != base::Verdict::not_flyable;
}

std::optional<base::TrueBearing> runway_direction(const navdata::Snapshot& world, navdata::RunwayId id) {
    const navdata::Runway& runway = world[id];
    if (runway.threshold && runway.far_end) {
        return earth::bearing(*runway.threshold, *runway.far_end);
    }
    if (runway.true_bearing) {
        return runway.true_bearing;
    }
    const auto airport = world.airport(runway.airport);
    if (runway.bearing && airport && world[*airport].variation) {
        return base::to_true(*runway.bearing, *world[*airport].variation);
    }
    return std::nullopt;
}

RunwayFit runway_fit(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                     const weather::Wind& wind, navdata::RunwayId id, bool departing) {
    const navdata::Runway& runway = world[id];
    const std::string about = runway.airport + " " + runway.ident;
    RunwayFit fit;
    fit.runway = id;
    fit.direction = runway_direction(world, id);
    const base::Length need = departing ? aircraft.runway_need.take_off : aircraft.runway_need.landing;
    const base::Length have = departing ? runway.length : runway.length - runway.displaced;
    fit.usable = have;
    fit.needed = need;
    fit.crosswind_limit = aircraft.wind_limits.crosswind;
    fit.tailwind_limit = aircraft.wind_limits.tailwind;
    if (have < need) {
        fit.findings.push_back(
            {Grade::blocks, "runway.too_short", about,
             fmt::format("{:.0f} ft usable, {} needs {:.0f} ft", have.feet(), aircraft.name, need.feet()),
             ""});
    }
    if (!fit.direction) {
        fit.findings.push_back(
            {Grade::blocks, "runway.direction_unknown", about, "its direction is not in the data", ""});
        return fit;
    }
    const aircraft::RunwayWind steady = aircraft::runway_wind(*fit.direction, wind);
    const aircraft::RunwayWind peak = aircraft::runway_wind(*fit.direction, weather::at_the_gust(wind));
    fit.headwind = steady.headwind;
    fit.crosswind = steady.crosswind;
    if (wind.gust) {
        fit.headwind_in_gusts = peak.headwind;
        fit.crosswind_in_gusts = peak.crosswind;
    }
    const std::string gusts = wind.gust ? " in gusts" : "";
    const double across = std::abs(peak.crosswind.knots());
    if (across > aircraft.wind_limits.crosswind.knots()) {
        fit.findings.push_back({Grade::blocks, "runway.crosswind", about,
                                fmt::format("crosswind {:.0f} kt{}, the limit is {:.0f} kt", across, gusts,
                                            aircraft.wind_limits.crosswind.knots()),
                                ""});
    }
    const double behind = -peak.headwind.knots();
    if (behind > aircraft.wind_limits.tailwind.knots()) {
        fit.findings.push_back({Grade::blocks, "runway.tailwind", about,
                                fmt::format("tailwind {:.0f} kt{}, the limit is {:.0f} kt", behind, gusts,
                                            aircraft.wind_limits.tailwind.knots()),
                                ""});
    } else if (behind > 0.5) {
        fit.findings.push_back({Grade::warns, "runway.tailwind", about,
                                fmt::format("tailwind {:.0f} kt{}, within the limit of {:.0f} kt", behind,
                                            gusts, aircraft.wind_limits.tailwind.knots()),
                                ""});
    }
    return fit;
}

std::vector<RunwayFit> rank_runways(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                                    const weather::Wind& wind, navdata::AirportId airport, bool departing) {
    std::vector<RunwayFit> fits;
    for (const navdata::RunwayId id : world.runways_of(world[airport].ident)) {
        fits.push_back(runway_fit(world, aircraft, wind, id, departing));
    }
    std::stable_sort(fits.begin(), fits.end(), [&](const RunwayFit& a, const RunwayFit& b) {
        if (a.fits() != b.fits()) {
            return a.fits();
        }
        const long wind_a = std::lround(a.headwind.knots());
        const long wind_b = std::lround(b.headwind.knots());
        return wind_a != wind_b ? wind_a > wind_b : world[a.runway].length > world[b.runway].length;
    });
    return fits;
}

std::string why_behind(const RunwayFit& first, const RunwayFit& other) {
    if (!other.fits()) {
        const auto blocks =
            std::find_if(other.findings.begin(), other.findings.end(),
                         [](const Finding& finding) { return finding.grade == Grade::blocks; });
        return blocks->text;
    }
    const long ahead = std::lround(first.headwind.knots());
    const long here = std::lround(other.headwind.knots());
    if (here < 0) {
        return fmt::format("tailwind {} kt", -here);
    }
    if (here < ahead) {
        return fmt::format("{} kt less headwind", ahead - here);
    }
    if (other.usable < first.usable) {
        return fmt::format("{:.0f} ft shorter", (first.usable - other.usable).feet());
    }
    return here == ahead ? "no better" : fmt::format("{} kt more headwind", here - ahead);
}

}  // namespace omniway::flight
