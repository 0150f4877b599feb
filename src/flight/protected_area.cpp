#include "flight/protected_area.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include "flight/step_line.hpp"

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
    if (line.shape == StepLine::Shape::turning) {
        return {};
    }
    const auto* arc = std::get_if<procedure::OnArc>(&guidance);
    return arc != nullptr ? along_arc(line, arc->clockwise, before_m, line.end_allowed_m)
                          : along_line(line, before_m, line.end_allowed_m);
}

// Down the right side and back up the left one.
std::vector<earth::Position> corners_about(const StepLine& line, const std::vector<Station>& stations,
                                           radio::Criteria criteria, const earth::LocalFrame& frame) {
    std::vector<earth::Position> right;
    std::vector<earth::Position> left;
    for (const Station& at : stations) {
        const double half_m = aside(line, at.place, criteria).primary_m;
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

}  // namespace

std::vector<ProtectedArea> protected_areas(const Circumstances& circumstances, const Flight& flight,
                                           const FlightTrack& track) {
    std::vector<ProtectedArea> areas;
    if (track.steps.empty()) {
        return areas;
    }
    const earth::LocalFrame frame = plane_of(track);
    double told_within_m = 0.0;  // of the fix at which the step begins
    const auto add = [&](const TrackStep& step, bool missed) {
        const StepLine line = step_line(circumstances, flight, step, missed, frame);
        const auto stations = stations_of(line, step.guidance, told_within_m);
        told_within_m = line.end_allowed_m;
        if (!stations.empty()) {
            areas.push_back(
                {step.number, corners_about(line, stations, circumstances.settings.criteria, frame)});
        }
    };
    for (const TrackStep& step : track.steps) {
        add(step, false);
    }
    for (const TrackStep& step : track.missed) {
        add(step, true);
    }
    return areas;
}

}  // namespace omniway::flight
