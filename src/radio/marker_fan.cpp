#include "radio/marker_fan.hpp"

#include <cmath>

#include "earth/geodesic.hpp"

namespace omniway::radio {

namespace {

using navdata::MarkerKind;

constexpr double glide_path_slope = 0.0524077793;  // of three degrees
constexpr double crossing_height_m = 15.0;         // of the glide path over the threshold
constexpr double across_to_along = 4200.0 / 2400.0;
constexpr double highest_to_usual = 3.0 / 1.5;  // mV/m

struct Published {
    double along_m;             // on the glide path
    double before_threshold_m;  // where it usually stands
};

Published published(MarkerKind kind) {
    switch (kind) {
        case MarkerKind::middle:
            return {300.0, 1050.0};
        case MarkerKind::inner:
            return {150.0, 300.0};
        case MarkerKind::outer:
        case MarkerKind::back_course:
            break;
    }
    return {600.0, 3.9 * 1852.0};
}

double usual_height_m(const Published& of) {
    return of.before_threshold_m * glide_path_slope + crossing_height_m;
}

std::optional<base::Altitude> site(const navdata::Snapshot& world, const navdata::Marker& marker) {
    if (marker.elevation) {
        return marker.elevation;
    }
    for (const navdata::RunwayId id : world.runways_of(marker.airport)) {
        if (world[id].ident == marker.runway && world[id].elevation) {
            return world[id].elevation;
        }
    }
    const auto airport = world.airport(marker.airport);
    return airport ? world[*airport].elevation : std::nullopt;
}

}  // namespace

std::optional<base::TrueBearing> minor_axis(const navdata::Snapshot& world, const navdata::Marker& marker) {
    if (marker.minor_axis) {
        return marker.minor_axis;
    }
    const auto station = world.localizer_of(marker.airport, marker.localizer);
    if (!station) {
        return std::nullopt;
    }
    const navdata::LocalizerAzimuth& course = *navdata::localizer(world[*station]);
    return base::to_true(course.course, course.declination);
}

std::optional<MarkerFan> MarkerFan::of(const navdata::Snapshot& world, const navdata::Marker& marker) {
    const auto axis = minor_axis(world, marker);
    const auto height = site(world, marker);
    return axis && height ? std::optional(MarkerFan(marker, *axis, *height)) : std::nullopt;
}

bool MarkerFan::reaches(earth::Position place, base::Altitude altitude) const {
    const Published usual = published(marker_->kind);
    const double share = (altitude - site_).metres() / usual_height_m(usual);
    if (share <= 0.0 || share > highest_to_usual) {
        return false;
    }
    const double half_along_m = usual.along_m / 2.0 * share;
    const double half_across_m = half_along_m * across_to_along;
    // A degree of latitude is 110.5 km at least.
    if (std::abs(place.latitude_deg() - marker_->position.latitude_deg()) * 110500.0 > half_across_m) {
        return false;
    }
    const earth::Geodesic there = earth::geodesic(marker_->position, place);
    const double angle = (there.initial - minor_axis_).radians();
    const double distance_m = there.distance.metres();
    return std::hypot(distance_m * std::cos(angle) / half_along_m,
                      distance_m * std::sin(angle) / half_across_m) <= 1.0;
}

std::vector<MarkerFan> marker_fans(const navdata::Snapshot& world) {
    std::vector<MarkerFan> fans;
    for (const navdata::Marker& marker : world.markers()) {
        if (const auto fan = MarkerFan::of(world, marker)) {
            fans.push_back(*fan);
        }
    }
    return fans;
}

}  // namespace omniway::radio
