#include "procedure/guidance.hpp"

#include <algorithm>
#include <cmath>

#include "earth/geodesic.hpp"

namespace omniway::procedure {

using base::Length;
using navdata::StationId;

namespace {

constexpr Length line_tolerance = Length::nautical_miles(0.1);
const double line_tolerance_sine = base::sin(base::Angle::degrees(0.6));

Length tolerance_at(Length from_station) {
    return std::max(line_tolerance, from_station * line_tolerance_sine);
}

std::optional<Guidance> along_localizer(const navdata::LocalizerAzimuth& azimuth, StationId station,
                                        earth::Position from, earth::Position to) {
    const base::TrueBearing front = base::to_true(azimuth.course, azimuth.declination).reciprocal();
    const auto off_course = [&](earth::Position place) {
        const earth::Geodesic line = earth::geodesic(azimuth.position, place);
        const base::Angle turn = line.initial - front;
        return std::pair{line.distance, turn};
    };
    const auto [d_from, turn_from] = off_course(from);
    const auto [d_to, turn_to] = off_course(to);
    const bool from_is_front = std::abs(turn_from.degrees()) < 90.0;
    const bool to_is_front = std::abs(turn_to.degrees()) < 90.0;
    if (from_is_front != to_is_front) {
        return std::nullopt;
    }
    for (const auto& [distance, turn] : {std::pair{d_from, turn_from}, std::pair{d_to, turn_to}}) {
        if (std::abs(distance.metres() * base::sin(turn)) > tolerance_at(distance).metres()) {
            return std::nullopt;
        }
    }
    return OnLocalizer{station, d_to < d_from, !from_is_front};
}

}  // namespace

std::optional<navdata::StationId> station_of(const Guidance& guidance) {
    struct Of {
        std::optional<StationId> operator()(const OnHeading&) const { return std::nullopt; }
        std::optional<StationId> operator()(const OnRadial& g) const { return g.station; }
        std::optional<StationId> operator()(const OnBeacon& g) const { return g.station; }
        std::optional<StationId> operator()(const OnLocalizer& g) const { return g.station; }
        std::optional<StationId> operator()(const OnArc& g) const { return g.station; }
    };
    return std::visit(Of{}, guidance);
}

std::optional<Guidance> guidance_along(const navdata::Snapshot& world, StationId id, earth::Position from,
                                       earth::Position to) {
    const navdata::Station& station = world[id];
    if (const auto* azimuth = navdata::localizer(station)) {
        return along_localizer(*azimuth, id, from, to);
    }
    const bool is_vor = navdata::vor(station) != nullptr;
    if (!is_vor && navdata::ndb(station) == nullptr) {
        return std::nullopt;
    }
    const earth::Position site = navdata::site(station);
    const Length d_from = earth::distance(site, from);
    const Length d_to = earth::distance(site, to);
    const bool toward = d_to < d_from;
    const earth::Position far = toward ? from : to;
    const earth::Position near = toward ? to : from;
    const Length d_near = std::min(d_from, d_to);
    if (std::max(d_from, d_to) < Length::nautical_miles(0.2)) {
        return std::nullopt;
    }
    if (d_near > Length::nautical_miles(0.05)) {
        const earth::AlongAcross place = earth::along_across(site, far, near);
        if (place.along < Length() - line_tolerance || abs(place.across) > tolerance_at(d_near)) {
            return std::nullopt;
        }
    }
    if (is_vor) {
        const base::Radial radial = *navdata::radial_of(station, far);
        return OnRadial{id, toward, toward ? radial.reciprocal() : radial};
    }
    const base::TrueBearing out = earth::bearing(site, far);
    return OnBeacon{id, toward, toward ? out.reciprocal() : out};
}

bool can_follow(const navdata::Snapshot& world, const cockpit::Equipment& aboard, const Guidance& guidance) {
    struct Can {
        const navdata::Snapshot& world;
        const cockpit::Equipment& aboard;
        bool operator()(const OnHeading&) const { return true; }
        bool operator()(const OnRadial&) const { return !aboard.receivers.empty(); }
        bool operator()(const OnBeacon&) const { return aboard.adf.has_value(); }
        bool operator()(const OnLocalizer&) const { return aboard.has_localizer(); }
        bool operator()(const OnArc& arc) const {
            return aboard.dme.has_value() && !aboard.receivers.empty() && world[arc.station].dme.has_value();
        }
    };
    return std::visit(Can{world, aboard}, guidance);
}

std::string lack_text(const navdata::Snapshot& world, const Guidance& guidance) {
    struct Lack {
        const navdata::Snapshot& world;
        std::string operator()(const OnHeading&) const { return "needs nothing"; }
        std::string operator()(const OnRadial&) const { return "needs a VOR receiver"; }
        std::string operator()(const OnBeacon& g) const {
            return "needs an ADF for NDB " + world[g.station].ident;
        }
        std::string operator()(const OnLocalizer& g) const {
            return "needs a localizer receiver for " + world[g.station].ident;
        }
        std::string operator()(const OnArc& arc) const {
            return world[arc.station].dme
                       ? "needs a DME for the arc about " + world[arc.station].ident
                       : "is an arc about " + world[arc.station].ident + ", which has no DME";
        }
    };
    return std::visit(Lack{world}, guidance);
}

GuidanceSearch find_guidance(const navdata::Snapshot& world, const cockpit::Equipment& aboard,
                             std::span<const StationId> candidates, earth::Position from,
                             earth::Position to) {
    GuidanceSearch search;
    for (const StationId id : candidates) {
        const auto guidance = guidance_along(world, id, from, to);
        if (!guidance) {
            continue;
        }
        if (can_follow(world, aboard, *guidance)) {
            search.guidance = guidance;
            return search;
        }
        if (!search.unfollowed) {
            search.unfollowed = guidance;
        }
    }
    return search;
}

}  // namespace omniway::procedure
