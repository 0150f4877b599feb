#include "flight/radial_fix.hpp"

#include <algorithm>
#include <cmath>
#include <string_view>

#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "flight/route.hpp"

namespace omniway::flight {

using base::Length;
using navdata::StationId;

namespace {

const navdata::VorAzimuth* vor_at(const navdata::Snapshot& world, const navdata::Point& point) {
    const auto* station = std::get_if<StationId>(&point);
    return station != nullptr ? navdata::vor(world[*station]) : nullptr;
}

}  // namespace

procedure::PlacedFix radial_fix(const navdata::Snapshot& world, const earth::MagneticModel& model,
                                earth::DecimalYear today, const navdata::Point& point,
                                base::MagneticBearing bearing, Length distance) {
    const earth::Position origin = world.position(point);
    const auto* vor = vor_at(world, point);
    const base::TrueBearing line =
        vor != nullptr ? base::to_true(base::Radial::degrees(bearing.degrees()), vor->declination)
                       : base::to_true(bearing, model.variation(origin, today));
    const RouteElement word{{}, RouteBearingDistance{world.ident(point), bearing, distance}};
    return {to_text(word), earth::destination(origin, line, distance), std::nullopt, true};
}

std::optional<procedure::PlacedFix> nearest_radial_fix(const navdata::Snapshot& world,
                                                       const earth::MagneticModel& model,
                                                       earth::DecimalYear today, StationId aid,
                                                       earth::Position place) {
    const navdata::Point point = aid;
    const earth::Geodesic line = earth::geodesic(world.position(point), place);
    const double miles = std::round(line.distance.nautical_miles());
    if (miles < 1.0 || miles > 999.0) {
        return std::nullopt;
    }
    const auto* vor = vor_at(world, point);
    const double bearing_deg =
        vor != nullptr
            ? base::to_radial(line.initial, vor->declination).degrees()
            : base::to_magnetic(line.initial, model.variation(world.position(point), today)).degrees();
    return radial_fix(world, model, today, point, base::MagneticBearing::degrees(std::round(bearing_deg)),
                      Length::nautical_miles(miles));
}

std::vector<StationId> named_from(const navdata::Snapshot& world, const procedure::PlacedFix& fix) {
    constexpr std::size_t figures = 6;  // three of the bearing, three of the distance
    const std::string_view name = fix.ident;
    std::vector<StationId> aids;
    if (fix.point || name.size() <= figures ||
        name.substr(name.size() - figures).find_first_not_of("0123456789") != std::string_view::npos) {
        return aids;
    }
    const Length named = Length::nautical_miles(std::stod(std::string(name.substr(name.size() - 3))));
    for (const navdata::Point& point : world.named(name.substr(0, name.size() - figures))) {
        const auto* id = std::get_if<StationId>(&point);
        if (id != nullptr &&
            abs(earth::distance(world.position(point), fix.position) - named) < earth::same_place) {
            aids.push_back(*id);
        }
    }
    std::stable_partition(aids.begin(), aids.end(),
                          [&](StationId id) { return navdata::vor(world[id]) != nullptr; });
    return aids;
}

}  // namespace omniway::flight
