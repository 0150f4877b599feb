#include "earth/intersection.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

#include "earth/geodesic.hpp"

namespace omniway::earth {

using base::Angle;
using base::Length;
using base::TrueBearing;

namespace {

constexpr double mean_radius_m = 6371008.8;
// Rays this close to parallel have no meeting that a bearing of any instrument could tell.
constexpr double parallel_deg = 0.01;
constexpr int most_steps = 40;
constexpr double close_enough_m = 1e-4;

using Vector = std::array<double, 3>;

Vector cross(const Vector& a, const Vector& b) {
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

double norm(const Vector& a) {
    return std::sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]);
}

Position place_of(const Vector& v) {
    constexpr double degree = 180.0 / std::numbers::pi;
    return Position::degrees(std::atan2(v[2], std::hypot(v[0], v[1])) * degree,
                             std::atan2(v[1], v[0]) * degree);
}

// The pole of the great circle through a place on a bearing.
Vector circle_pole(Position place, TrueBearing bearing) {
    const Position ahead = destination(place, bearing, Length::nautical_miles(60.0));
    return cross(unit_vector(place), unit_vector(ahead));
}

bool is_on_ray(Position station, TrueBearing ray, Position place) {
    const Geodesic line = geodesic(station, place);
    return line.distance < Length::metres(1.0) || std::abs((line.initial - ray).degrees()) < 90.0;
}

}  // namespace

std::optional<Position> intersect(Position first, TrueBearing first_bearing, Position second,
                                  TrueBearing second_bearing) {
    const Vector pole_1 = circle_pole(first, first_bearing);
    const Vector pole_2 = circle_pole(second, second_bearing);
    Vector meeting = cross(pole_1, pole_2);
    if (norm(meeting) / (norm(pole_1) * norm(pole_2)) < std::sin(parallel_deg * std::numbers::pi / 180.0)) {
        return std::nullopt;
    }
    Position guess = place_of(meeting);
    if (!is_on_ray(first, first_bearing, guess)) {
        guess = place_of({-meeting[0], -meeting[1], -meeting[2]});
    }
    // Newton on the ellipsoid in the tangent plane at the guess: the offset from each ray's geodesic is what to remove.
    for (int step = 0; step < most_steps; ++step) {
        const auto residual = [&](Position station, TrueBearing ray) {
            const AlongAcross place =
                along_across(station, destination(station, ray, Length::nautical_miles(60.0)), guess);
            const Position foot = destination(station, ray, place.along);
            const TrueBearing direction =
                place.along > Length::metres(1.0) ? geodesic(station, foot).arrival : ray;
            return std::pair{place.across.metres(), direction};
        };
        const auto [off_1, direction_1] = residual(first, first_bearing);
        const auto [off_2, direction_2] = residual(second, second_bearing);
        // Right-hand normals of the two lines, east and north parts.
        const double n1_east = base::cos(direction_1.from_north());
        const double n1_north = -base::sin(direction_1.from_north());
        const double n2_east = base::cos(direction_2.from_north());
        const double n2_north = -base::sin(direction_2.from_north());
        const double determinant = n1_east * n2_north - n1_north * n2_east;
        if (std::abs(determinant) < std::sin(parallel_deg * std::numbers::pi / 180.0)) {
            return std::nullopt;
        }
        const double east = (-off_1 * n2_north + off_2 * n1_north) / determinant;
        const double north = (-off_2 * n1_east + off_1 * n2_east) / determinant;
        const double move = std::hypot(east, north);
        guess = destination(guess, TrueBearing::from_north(Angle::radians(std::atan2(east, north))),
                            Length::metres(move));
        if (move < close_enough_m) {
            break;
        }
    }
    if (!is_on_ray(first, first_bearing, guess) || !is_on_ray(second, second_bearing, guess)) {
        return std::nullopt;
    }
    return guess;
}

std::vector<Position> intersect(Position station, TrueBearing bearing, Position centre, Length range) {
    const AlongAcross foot =
        along_across(station, destination(station, bearing, Length::nautical_miles(60.0)), centre);
    if (abs(foot.across) > range) {
        return {};
    }
    // Half the chord on the sphere, then Newton on the geodesic distance from the centre.
    const double cosine =
        std::cos(range.metres() / mean_radius_m) / std::cos(foot.across.metres() / mean_radius_m);
    const double half = mean_radius_m * std::acos(std::clamp(cosine, -1.0, 1.0));
    std::vector<Position> found;
    for (const double side : {-1.0, 1.0}) {
        double along = foot.along.metres() + side * half;
        for (int step = 0; step < most_steps && half > 0.0; ++step) {
            const Position place = destination(station, bearing, Length::metres(along));
            const Geodesic from_centre = geodesic(centre, place);
            const TrueBearing direction = std::abs(along) > 1.0
                                              ? (along > 0.0 ? geodesic(station, place).arrival
                                                             : geodesic(station, place).arrival.reciprocal())
                                              : bearing;
            const double slope = base::cos(direction - from_centre.arrival);
            if (std::abs(slope) < 1e-9) {
                break;
            }
            const double move = (range - from_centre.distance).metres() / slope;
            along += std::clamp(move, -half - 1000.0, half + 1000.0);
            if (std::abs(move) < close_enough_m) {
                break;
            }
        }
        if (along >= -close_enough_m) {
            found.push_back(destination(station, bearing, Length::metres(along)));
        }
        if (half <= 0.0) {
            break;
        }
    }
    return found;
}

std::vector<Position> intersect(Position first, Length first_range, Position second, Length second_range) {
    const Geodesic base_line = geodesic(first, second);
    const double a = first_range.metres() / mean_radius_m;
    const double b = second_range.metres() / mean_radius_m;
    const double c = base_line.distance.metres() / mean_radius_m;
    if (c <= 0.0 || base_line.distance > first_range + second_range ||
        base_line.distance < abs(first_range - second_range)) {
        return {};
    }
    const double cosine = (std::cos(b) - std::cos(a) * std::cos(c)) / (std::sin(a) * std::sin(c));
    const double opening = std::acos(std::clamp(cosine, -1.0, 1.0));
    std::vector<Position> found;
    for (const double side : {-1.0, 1.0}) {
        TrueBearing out = base_line.initial + Angle::radians(side * opening);
        for (int step = 0; step < most_steps; ++step) {
            const Position place = destination(first, out, first_range);
            const Geodesic from_second = geodesic(second, place);
            // Turning the ray at `first` moves its end sideways by reduced length, close to sin(a) R.
            const TrueBearing sideways = geodesic(first, place).arrival + Angle::degrees(90.0);
            const double slope = base::cos(sideways - from_second.arrival);
            if (std::abs(slope) < 1e-9) {
                break;
            }
            const double move = (second_range - from_second.distance).metres() / slope;
            out = out + Angle::radians(move / (mean_radius_m * std::sin(a)));
            if (std::abs(move) < close_enough_m) {
                break;
            }
        }
        found.push_back(destination(first, out, first_range));
    }
    return found;
}

}  // namespace omniway::earth
