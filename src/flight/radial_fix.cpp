#include "flight/radial_fix.hpp"

#include <cmath>

#include "earth/geodesic.hpp"
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

}  // namespace omniway::flight
