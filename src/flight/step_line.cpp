#include "flight/step_line.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "radio/error_budget.hpp"

namespace omniway::flight {

using earth::PlanePoint;

namespace {

constexpr double nm = 1852.0;

double distance_m(PlanePoint a, PlanePoint b) {
    const double east = a.east_m - b.east_m;
    const double north = a.north_m - b.north_m;
    return std::sqrt(east * east + north * north);
}

}  // namespace

StepLine step_line(const Circumstances& circumstances, const Flight& flight, const TrackStep& step,
                   bool missed, const earth::LocalFrame& frame) {
    StepLine line;
    line.number = step.number;
    line.start = frame.to_plane(step.start);
    line.finish = frame.to_plane(step.finish);
    const auto& legs = missed ? flight.missed : flight.legs;
    line.published = step.leg < legs.size() && legs[step.leg].published;
    line.station = procedure::station_of(step.guidance);
    if (line.station) {
        const navdata::Station& station = circumstances.world[*line.station];
        const PlanePoint site = frame.to_plane(navdata::site(station));
        if (navdata::ndb(station) != nullptr) {
            line.guide = {site, radio::AidKind::ndb};
        } else if (navdata::vor(station) != nullptr || navdata::localizer(station) != nullptr) {
            line.guide = {site, radio::AidKind::vor};
        }
        if (std::holds_alternative<procedure::OnArc>(step.guidance)) {
            line.shape = StepLine::Shape::arc;
            line.centre = station.dme ? frame.to_plane(station.dme->position) : site;
            line.radius_m = frame.sight(line.centre, line.finish).distance_m;
        }
    }
    if (step.ending) {
        if (std::holds_alternative<procedure::AtHold>(*step.ending) ||
            std::holds_alternative<procedure::AtCourseReversed>(*step.ending)) {
            line.shape = StepLine::Shape::turning;
        }
        if (const auto* fix = std::get_if<procedure::AtFix>(&*step.ending)) {
            line.ends_at_fix = true;
            line.end_allowed_m = fix->telling.along_error.metres();
            if (std::holds_alternative<fixing::Overhead>(fix->telling.way)) {
                // Passage shows when the cone is left: 50 degrees of the height over a VOR (trade-facts 2), 40 over a beacon.
                const base::Altitude ground =
                    circumstances.world[flight.departure].elevation.value_or(base::Altitude());
                line.end_allowed_m += std::max((step.altitude - ground).metres(), 0.0) * 1.2;
            }
        }
    }
    // Where nothing guides the corridor splays by 15 degrees (design section 3).
    line.wide_m = 4.0 * nm;
    line.reckoned_deg = std::holds_alternative<procedure::OnHeading>(step.guidance) ? 15.0 : 0.0;
    return line;
}

Aside aside(const StepLine& step, PlanePoint place, radio::Criteria criteria) {
    Aside aside;
    double along_m = 0.0;
    if (step.shape == StepLine::Shape::arc) {
        aside.aside_m = distance_m(step.centre, place) - step.radius_m;
    } else {
        const double east = step.finish.east_m - step.start.east_m;
        const double north = step.finish.north_m - step.start.north_m;
        const double length = distance_m(step.start, step.finish);
        const double de = place.east_m - step.start.east_m;
        const double dn = place.north_m - step.start.north_m;
        if (length > 1.0) {
            aside.aside_m = (de * north - dn * east) / length;
            along_m = (de * east + dn * north) / length;
        } else {
            aside.aside_m = distance_m(step.start, place);
        }
    }
    if (step.guide) {
        const auto width = radio::protected_half_width(
            step.guide->kind, criteria, base::Length::metres(distance_m(step.guide->site, place)));
        aside.primary_m = width.primary.metres();
        aside.total_m = width.total.metres();
    } else {
        const double splay_m =
            std::max(along_m, 0.0) * std::tan(step.reckoned_deg * std::numbers::pi / 180.0);
        aside.primary_m = step.wide_m + splay_m;
        aside.total_m = aside.primary_m * 1.5;
    }
    return aside;
}

earth::LocalFrame plane_of(const FlightTrack& track) {
    double south = 90.0;
    double north = -90.0;
    double west = 360.0;
    double east = -360.0;
    const double about = track.steps.front().start.longitude_deg();
    for (const TrackStep& step : track.steps) {
        for (const earth::Position& place : {step.start, step.finish}) {
            const double longitude = about + std::remainder(place.longitude_deg() - about, 360.0);
            south = std::min(south, place.latitude_deg());
            north = std::max(north, place.latitude_deg());
            west = std::min(west, longitude);
            east = std::max(east, longitude);
        }
    }
    return earth::LocalFrame(earth::Position::degrees((south + north) / 2.0, (west + east) / 2.0));
}

}  // namespace omniway::flight
