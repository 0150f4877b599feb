#include "earth/intersection.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include <GeographicLib/Geodesic.hpp>
#include <GeographicLib/GeodesicLine.hpp>

#include "earth/geodesic.hpp"

namespace omniway::earth {

using base::Angle;
using base::Length;
using base::TrueBearing;

namespace {

// NIMA TR8350.2: the mean radius of the three semi-axes of WGS 84. Only first guesses rest on it.
constexpr double mean_radius_m = 6371008.8;
// Lines this close to parallel have no meeting that a bearing of any instrument could tell.
constexpr Angle parallel = Angle::degrees(0.01);
// Farther than any station is heard; a quarter of the earth, where all lines bend together, begins at 5,400 NM.
constexpr Length farthest = Length::nautical_miles(5000.0);
// A place this near a station is on every ray of it.
constexpr Length at_station = Length::metres(1.0);
// Lines that miss each other by less touch: no reading tells them apart, and roundings make as much.
constexpr Length touching = Length::metres(5e-4);
// Newton's steps square the error: one below this leaves nothing that a double can hold.
constexpr double close_enough_m = 1e-4;
// Four or five suffice where lines cross well; lines that all but touch halve the error at each step.
constexpr int most_steps = 60;

const GeographicLib::Geodesic& wgs84() {
    return GeographicLib::Geodesic::WGS84();
}

GeographicLib::GeodesicLine line_from(Position station, TrueBearing bearing) {
    return wgs84().Line(station.latitude_deg(), station.longitude_deg(), bearing.degrees());
}

/// How a place stands against the ray from a station.
struct Offset {
    Length from_station;
    Angle off_ray;          // at the station, right positive
    Length across;          // from the ray's line, right positive; to first order in the angle
    TrueBearing direction;  // of that line where it passes the place
};

Offset offset(Position station, TrueBearing ray, Position place) {
    double metres = 0.0;
    double initial = 0.0;
    double arrival = 0.0;
    double reduced_m = 0.0;
    double scale = 0.0;
    double scale_back = 0.0;
    wgs84().Inverse(station.latitude_deg(), station.longitude_deg(), place.latitude_deg(),
                    place.longitude_deg(), metres, initial, arrival, reduced_m, scale, scale_back);
    const Angle off = TrueBearing::degrees(initial) - ray;
    // Turning a ray by a small angle moves it sideways by the reduced length (Karney 2013, section 3); the scale does for
    // the direction what the cosine of the distance does on a sphere.
    const Angle turn = Angle::radians(std::atan2(scale * base::sin(off), base::cos(off)));
    return {Length::metres(metres), off, Length::metres(reduced_m * base::sin(off)),
            TrueBearing::degrees(arrival) - turn};
}

bool is_on_ray(const Offset& place) {
    return place.from_station < at_station ||
           (abs(place.off_ray) < Angle::degrees(90.0) && place.from_station <= farthest);
}

bool are_parallel(TrueBearing a, TrueBearing b) {
    return std::abs(base::sin(a - b)) < base::sin(parallel);
}

}  // namespace

std::optional<Position> intersect(Position first, TrueBearing first_bearing, Position second,
                                  TrueBearing second_bearing) {
    const Geodesic between = geodesic(first, second);
    if (between.distance < Length::metres(1e-3)) {
        return are_parallel(first_bearing, second_bearing) ? std::nullopt : std::optional(first);
    }
    // The guess: a spherical triangle on the true base line, of which one side and the angles at its ends are known (the
    // four-part formula). Angles taken from the base line itself keep the guess near even for lines that cross narrowly.
    const Angle at_first = first_bearing - between.initial;
    const Angle at_second = between.arrival.reciprocal() - second_bearing;
    const Angle base_line = Angle::radians(between.distance.metres() / mean_radius_m);
    const double numerator = base::sin(base_line) * base::sin(at_second);
    const double denominator = base::cos(base_line) * base::cos(at_first) * base::sin(at_second) +
                               base::sin(at_first) * base::cos(at_second);
    if (std::hypot(numerator, denominator) < 1e-12) {
        return std::nullopt;  // both stations on one line
    }
    const double sign = denominator < 0.0 ? -1.0 : 1.0;
    Position guess =
        destination(first, first_bearing,
                    Length::metres(mean_radius_m * std::atan2(sign * numerator, sign * denominator)));
    // Newton on the ellipsoid, in the plane that touches it at the guess: step off both lines at once.
    for (int step = 0; step < most_steps; ++step) {
        const Offset one = offset(first, first_bearing, guess);
        const Offset two = offset(second, second_bearing, guess);
        if (are_parallel(one.direction, two.direction)) {
            return std::nullopt;
        }
        // East and north parts of each line's right-hand side.
        const Angle direction_1 = one.direction.from_north();
        const Angle direction_2 = two.direction.from_north();
        const double east_1 = base::cos(direction_1);
        const double north_1 = -base::sin(direction_1);
        const double east_2 = base::cos(direction_2);
        const double north_2 = -base::sin(direction_2);
        const double determinant = east_1 * north_2 - north_1 * east_2;
        const double across_1_m = one.across.metres();
        const double across_2_m = two.across.metres();
        const double east_m = (across_2_m * north_1 - across_1_m * north_2) / determinant;
        const double north_m = (across_1_m * east_2 - across_2_m * east_1) / determinant;
        const double move_m = std::hypot(east_m, north_m);
        guess = destination(guess, TrueBearing::from_north(Angle::radians(std::atan2(east_m, north_m))),
                            Length::metres(move_m));
        if (move_m < close_enough_m) {
            const bool meets = is_on_ray(offset(first, first_bearing, guess)) &&
                               is_on_ray(offset(second, second_bearing, guess));
            return meets ? std::optional(guess) : std::nullopt;
        }
    }
    return std::nullopt;
}

std::vector<Position> intersect(Position station, TrueBearing bearing, Position centre, Length range) {
    const AlongAcross foot =
        along_across(station, destination(station, bearing, Length::nautical_miles(60.0)), centre);
    if (range <= Length() || abs(foot.across) > range + touching) {
        return {};
    }
    if (abs(foot.across) > range - touching) {
        return foot.along < Length() ? std::vector<Position>()
                                     : std::vector{destination(station, bearing, foot.along)};
    }
    // The guess: half the chord on a sphere, cos(half) = cos(range) / cos(across), in the form that stays exact for short
    // chords. Then Newton on the distance from the centre.
    const double radius = range.metres() / mean_radius_m;
    const double across = abs(foot.across).metres() / mean_radius_m;
    const double square =
        std::sin((radius + across) / 2.0) * std::sin((radius - across) / 2.0) / std::cos(across);
    const double half_m = 2.0 * mean_radius_m * std::asin(std::sqrt(std::clamp(square, 0.0, 1.0)));
    const GeographicLib::GeodesicLine line = line_from(station, bearing);
    std::vector<Position> found;
    for (const double side : {-1.0, 1.0}) {
        double along_m = foot.along.metres() + side * half_m;
        Position place;
        for (int step = 0; step < most_steps; ++step) {
            double latitude = 0.0;
            double longitude = 0.0;
            double direction = 0.0;
            line.Position(along_m, latitude, longitude, direction);
            place = Position::degrees(latitude, longitude);
            const Geodesic from_centre = geodesic(centre, place);
            const double slope = base::cos(TrueBearing::degrees(direction) - from_centre.arrival);
            const double miss_m = (range - from_centre.distance).metres();
            if (std::abs(miss_m) <= close_enough_m * std::abs(slope)) {
                break;
            }
            along_m += std::clamp(miss_m / slope, -half_m - 1000.0, half_m + 1000.0);
        }
        if (along_m >= -close_enough_m) {
            found.push_back(place);
        }
    }
    return found;
}

std::vector<Position> intersect(Position first, Length first_range, Position second, Length second_range) {
    const Geodesic between = geodesic(first, second);
    if (first_range <= Length() || second_range <= Length() || between.distance <= touching ||
        between.distance > first_range + second_range + touching ||
        between.distance < abs(first_range - second_range) - touching) {
        return {};
    }
    if (between.distance > first_range + second_range - touching) {
        return {destination(first, between.initial, first_range)};
    }
    if (between.distance < abs(first_range - second_range) + touching) {
        const bool is_inside = first_range < second_range;
        return {destination(first, is_inside ? between.initial.reciprocal() : between.initial, first_range)};
    }
    // The guess: the angle at `first` of the spherical triangle with the two ranges and the base line for sides (half-angle
    // formula). Then Newton on the distance from `second`, turning the ray at `first`.
    const double a = first_range.metres() / mean_radius_m;
    const double b = second_range.metres() / mean_radius_m;
    const double c = between.distance.metres() / mean_radius_m;
    const double half = (a + b + c) / 2.0;
    const double square = std::sin(half - a) * std::sin(half - c) / (std::sin(a) * std::sin(c));
    const Angle opening = Angle::radians(2.0 * std::asin(std::sqrt(std::clamp(square, 0.0, 1.0))));
    std::vector<Position> found;
    for (const double side : {-1.0, 1.0}) {
        TrueBearing out = between.initial + side * opening;
        Position place;
        for (int step = 0; step < most_steps; ++step) {
            double latitude = 0.0;
            double longitude = 0.0;
            double direction = 0.0;
            double reduced_m = 0.0;
            double scale = 0.0;
            double scale_back = 0.0;
            line_from(first, out)
                .Position(first_range.metres(), latitude, longitude, direction, reduced_m, scale, scale_back);
            place = Position::degrees(latitude, longitude);
            const Geodesic from_second = geodesic(second, place);
            // Turning the ray to the right moves its end to the right, by the reduced length.
            const double slope =
                base::cos(TrueBearing::degrees(direction) + Angle::degrees(90.0) - from_second.arrival);
            const double miss_m = (second_range - from_second.distance).metres();
            if (std::abs(miss_m) <= close_enough_m * std::abs(slope)) {
                break;
            }
            out = out + Angle::radians(std::clamp(miss_m / slope / reduced_m, -0.5, 0.5));
        }
        found.push_back(place);
    }
    return found;
}

}  // namespace omniway::earth
