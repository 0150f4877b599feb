#include "procedure/airport_variation.hpp"

#include <algorithm>
#include <vector>

#include "earth/geodesic.hpp"

namespace omniway::procedure {

using base::Angle;
using base::Variation;

namespace {

constexpr base::Length near = base::Length::nautical_miles(60.0);
// A published bearing farther from the runway's own direction is no rounding: the row is wrong, or is a true bearing near a pole.
constexpr Angle largest_variation = Angle::degrees(60.0);

std::optional<Variation> variation_of_nearest_aid(const navdata::Snapshot& world, earth::Position place) {
    std::optional<Variation> found;
    base::Length nearest = near;
    for (const navdata::StationId id : world.stations_within(place, near)) {
        const base::Length away = earth::distance(place, navdata::site(world[id]));
        if (away > nearest) {
            continue;
        }
        if (const auto* vor = navdata::vor(world[id])) {
            found = Variation::east(vor->declination.east());
            nearest = away;
        } else if (const auto* ndb = navdata::ndb(world[id])) {
            found = ndb->variation;
            nearest = away;
        }
    }
    return found;
}

}  // namespace

std::optional<Variation> variation_by_runways(const navdata::Snapshot& world,
                                              const navdata::Airport& airport) {
    std::vector<Angle> each;
    for (const navdata::RunwayId id : world.runways_of(airport.ident)) {
        const navdata::Runway& runway = world[id];
        if (!runway.bearing || !runway.threshold || !runway.far_end) {
            continue;
        }
        const Angle east =
            earth::bearing(*runway.threshold, *runway.far_end) - base::to_true(*runway.bearing, Variation());
        if (abs(east) < largest_variation) {
            each.push_back(east);
        }
    }
    if (each.empty()) {
        return std::nullopt;
    }
    const auto middle = each.begin() + static_cast<std::ptrdiff_t>(each.size() / 2);
    std::nth_element(each.begin(), middle, each.end());
    return Variation::east(*middle);
}

std::optional<Variation> variation_of(const navdata::Snapshot& world, const navdata::Airport& airport) {
    if (airport.variation) {
        return airport.variation;
    }
    const auto by_runways = variation_by_runways(world, airport);
    return by_runways ? by_runways : variation_of_nearest_aid(world, airport.position);
}

}  // namespace omniway::procedure
