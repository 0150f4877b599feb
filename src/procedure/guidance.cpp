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

// Where a place stands in a localizer's own frame: along its course line (front course positive) and off it.
struct OffLocalizer {
    Length along;
    Length across;
    Length distance;
};

OffLocalizer off_localizer(const navdata::LocalizerAzimuth& azimuth, earth::Position place) {
    const base::TrueBearing front = base::to_true(azimuth.course, azimuth.declination).reciprocal();
    const earth::Geodesic line = earth::geodesic(azimuth.position, place);
    const base::Angle turn = line.initial - front;
    return {line.distance * base::cos(turn), line.distance * base::sin(turn), line.distance};
}

// A localizer's two courses are one line through its antenna, and nothing in the cockpit marks the antenna: neither a flag nor
// TO/FROM. A line over it is flown on one needle from end to end, whose sense does not change there, and is named after the
// side on which the most of it lies. So flown are the final of a back course, whose antenna stands before the threshold it leads
// to, and a missed approach straight on over the antenna of the front course.
std::optional<Guidance> along_localizer(const navdata::LocalizerAzimuth& azimuth, StationId station,
                                        earth::Position from, earth::Position to) {
    const OffLocalizer start = off_localizer(azimuth, from);
    const OffLocalizer end = off_localizer(azimuth, to);
    if (std::max(start.distance, end.distance) < Length::nautical_miles(0.2)) {
        return std::nullopt;
    }
    for (const OffLocalizer& place : {start, end}) {
        if (abs(place.across) > tolerance_at(place.distance)) {
            return std::nullopt;
        }
    }
    if (!navdata::has_back_course(azimuth) && std::min(start.along, end.along) < Length() - line_tolerance) {
        return std::nullopt;
    }
    const bool flown_inward = end.along < start.along;  // the way the front course leads
    const bool back_course = start.along + end.along < Length();
    return OnLocalizer{station, flown_inward != back_course, back_course};
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
            return "needs a localizer receiver for " + navdata::kind_text(world[g.station]) + " " +
                   world[g.station].ident;
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
