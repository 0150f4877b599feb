#include "flight/protected_area.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <utility>

#include "aircraft/performance.hpp"
#include "earth/geodesic.hpp"
#include "flight/step_line.hpp"
#include "navdata/landing_threshold.hpp"
#include "procedure/hold_limits.hpp"

namespace omniway::flight {

using earth::PlanePoint;

namespace {

constexpr double chord_m = 2.0 * 1852.0;
constexpr double chord_rad = 5.0 * std::numbers::pi / 180.0;

// A place on the line of a step, and the way to its right there.
struct Station {
    PlanePoint place;
    PlanePoint right;
};

std::size_t parts_of(double whole, double part) {
    return static_cast<std::size_t>(std::max(std::ceil(std::abs(whole) / part), 1.0));
}

std::vector<Station> along_line(const StepLine& line, double before_m, double beyond_m) {
    const double east = line.finish.east_m - line.start.east_m;
    const double north = line.finish.north_m - line.start.north_m;
    const double length = std::hypot(east, north);
    std::vector<Station> stations;
    if (length < 1.0) {
        return stations;
    }
    const PlanePoint ahead{east / length, north / length};
    const std::size_t parts = parts_of(length + before_m + beyond_m, chord_m);
    for (std::size_t i = 0; i <= parts; ++i) {
        const double at =
            -before_m + (length + before_m + beyond_m) * static_cast<double>(i) / static_cast<double>(parts);
        stations.push_back({{line.start.east_m + ahead.east_m * at, line.start.north_m + ahead.north_m * at},
                            {ahead.north_m, -ahead.east_m}});
    }
    return stations;
}

std::vector<Station> along_arc(const StepLine& line, bool clockwise, double before_m, double beyond_m) {
    const auto direction = [&](PlanePoint place) {
        return std::atan2(place.east_m - line.centre.east_m, place.north_m - line.centre.north_m);
    };
    std::vector<Station> stations;
    if (line.radius_m < 1.0) {
        return stations;
    }
    const double turn = clockwise ? 1.0 : -1.0;
    const double first = direction(line.start);
    double swept = turn * (direction(line.finish) - first);
    swept -= 2.0 * std::numbers::pi * std::floor(swept / (2.0 * std::numbers::pi));
    const double before = before_m / line.radius_m;
    const double whole = swept + before + beyond_m / line.radius_m;
    const std::size_t parts = parts_of(whole, chord_rad);
    for (std::size_t i = 0; i <= parts; ++i) {
        const double at =
            first + turn * (whole * static_cast<double>(i) / static_cast<double>(parts) - before);
        const PlanePoint out{std::sin(at), std::cos(at)};
        // Clockwise about it, the antenna lies to the right.
        stations.push_back({{line.centre.east_m + out.east_m * line.radius_m,
                             line.centre.north_m + out.north_m * line.radius_m},
                            {-turn * out.east_m, -turn * out.north_m}});
    }
    return stations;
}

std::vector<Station> stations_of(const StepLine& line, const procedure::Guidance& guidance, double before_m) {
    const auto* arc = std::get_if<procedure::OnArc>(&guidance);
    return arc != nullptr ? along_arc(line, arc->clockwise, before_m, line.end_allowed_m)
                          : along_line(line, before_m, line.end_allowed_m);
}

// Where a localizer's area narrows, where one guides.
std::optional<PlanePoint> narrowest_at(const Circumstances& in, const StepLine& line,
                                       const earth::LocalFrame& frame) {
    if (!line.station || navdata::localizer(in.world[*line.station]) == nullptr) {
        return std::nullopt;
    }
    const navdata::Station& station = in.world[*line.station];
    return frame.to_plane(navdata::landing_threshold(in.world, station).value_or(navdata::site(station)));
}

double localizer_half_m(PlanePoint narrowest, PlanePoint place) {
    constexpr double foot_m = 0.3048;
    constexpr double begins_m = 200.0 * foot_m;
    constexpr double narrowest_half_m = 500.0 * foot_m;
    constexpr double splay = 0.15;
    const double away_m = std::hypot(place.east_m - narrowest.east_m, place.north_m - narrowest.north_m);
    return narrowest_half_m + splay * std::max(away_m - begins_m, 0.0);
}

// Down the right side and back up the left one.
std::vector<earth::Position> corners_about(const StepLine& line, const std::vector<Station>& stations,
                                           std::optional<PlanePoint> localizer_at, radio::Criteria criteria,
                                           const earth::LocalFrame& frame) {
    std::vector<earth::Position> right;
    std::vector<earth::Position> left;
    for (const Station& at : stations) {
        const double half_m = localizer_at ? localizer_half_m(*localizer_at, at.place)
                                           : aside(line, at.place, criteria).primary_m;
        const auto beside = [&](double by_m) {
            return frame.to_position(
                {at.place.east_m + at.right.east_m * by_m, at.place.north_m + at.right.north_m * by_m});
        };
        right.push_back(beside(half_m));
        left.push_back(beside(-half_m));
    }
    right.insert(right.end(), left.rbegin(), left.rend());
    return right;
}

std::vector<earth::Position> around_hold(const procedure::HoldingArea& area, const earth::LocalFrame& frame) {
    std::vector<earth::Position> corners;
    for (const PlanePoint& corner : area.around()) {
        corners.push_back(frame.to_position(corner));
    }
    return corners;
}

std::vector<earth::Position> around_reversal(earth::Position fix, base::Length within) {
    constexpr double corner_every_deg = 5.0;
    std::vector<earth::Position> corners;
    for (double look_deg = 0.0; look_deg < 360.0; look_deg += corner_every_deg) {
        corners.push_back(earth::destination(fix, base::TrueBearing::degrees(look_deg), within));
    }
    return corners;
}

}  // namespace

procedure::HoldingArea holding_area(const Circumstances& circumstances, const TrackStep& step,
                                    const FlyHold& hold, const earth::LocalFrame& frame,
                                    base::Length fix_error) {
    earth::Position fix = step.finish;
    if (step.ending) {
        if (const auto* at = std::get_if<procedure::AtHold>(&*step.ending)) {
            fix = at->fix.position;
        }
    }
    const PlanePoint on_plane = frame.to_plane(fix);
    const radio::Criteria criteria = circumstances.settings.criteria;
    const base::Speed fastest = procedure::fastest_hold(
        step.altitude, criteria,
        aircraft::approach_category(circumstances.aircraft.performance.approach_speed));
    const base::Duration outbound = hold.outbound_time.value_or(
        hold.outbound_reading ? *hold.outbound_reading / fastest
                              : procedure::hold_time(step.altitude, criteria).time);
    const double inbound_rad = base::to_true(hold.inbound, step.variation).from_north().radians() +
                               frame.convergence(on_plane).radians();
    return procedure::HoldingArea({on_plane, inbound_rad, hold.side, outbound, fastest,
                                   procedure::holding_wind(step.altitude), fix_error});
}

std::vector<ProtectedArea> protected_areas(const Circumstances& circumstances, const Flight& flight,
                                           const Compiled& compiled) {
    const FlightTrack& track = compiled.track;
    std::vector<ProtectedArea> areas;
    if (track.steps.empty()) {
        return areas;
    }
    const earth::LocalFrame frame = plane_of(track);
    double told_within_m = 0.0;  // of the fix at which the step begins
    const auto corners_of = [&](const TrackStep& step, const Step& on_card,
                                bool missed) -> std::vector<earth::Position> {
        const StepLine line = step_line(circumstances, flight, step, missed, frame);
        const double before_m = std::exchange(told_within_m, line.end_allowed_m);
        if (const auto* hold = std::get_if<FlyHold>(&on_card.guidance)) {
            return around_hold(
                holding_area(circumstances, step, *hold, frame, base::Length::metres(line.end_allowed_m)),
                frame);
        }
        if (const auto* reverse = std::get_if<ReverseCourse>(&on_card.guidance)) {
            return around_reversal(step.start, reverse->within);
        }
        return corners_about(line, stations_of(line, step.guidance, before_m),
                             narrowest_at(circumstances, line, frame), circumstances.settings.criteria,
                             frame);
    };
    const auto add = [&](const TrackStep& step, const Step& on_card, bool missed) {
        if (auto corners = corners_of(step, on_card, missed); !corners.empty()) {
            areas.push_back({step.number, std::move(corners)});
        }
    };
    for (std::size_t i = 0; i < track.steps.size(); ++i) {
        add(track.steps[i], compiled.card.steps[i], false);
    }
    for (std::size_t i = 0; i < track.missed.size(); ++i) {
        add(track.missed[i], compiled.card.missed[i], true);
    }
    return areas;
}

}  // namespace omniway::flight
