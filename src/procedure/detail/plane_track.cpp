#include "procedure/detail/plane_track.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "aircraft/wind_triangle.hpp"
#include "base/contract.hpp"
#include "earth/geodesic.hpp"

namespace omniway::procedure::detail {

using base::Angle;
using base::Duration;
using base::Length;
using base::Speed;
using base::TrueBearing;

namespace {

// A turn of a whole circle less this is no turn at all, but rounding.
constexpr Angle no_turn = Angle::degrees(1e-7);
// A roll-out this near the course is on it: tangents are solved to a tenth of it.
constexpr double on_course_m = 0.05;

double signed_radians(Angle turn, Way way) {
    return way == Way::right ? turn.radians() : -turn.radians();
}

// Along a course and to the right of it.
std::pair<double, double> against(Place place, TrueBearing course) {
    const double rad = course.from_north().radians();
    return {place.north_m * std::cos(rad) + place.east_m * std::sin(rad),
            place.east_m * std::cos(rad) - place.north_m * std::sin(rad)};
}

}  // namespace

Angle sweep(TrueBearing from, TrueBearing to, Way way) {
    const double right = std::fmod(to.degrees() - from.degrees() + 720.0, 360.0);
    const double turn = way == Way::right ? right : std::fmod(360.0 - right, 360.0);
    return Angle::degrees(turn > 360.0 - no_turn.degrees() ? 0.0 : turn);
}

Way shorter_way(TrueBearing from, TrueBearing to, Way at_180) {
    const Angle turn = to - from;
    if (abs(turn) > Angle::degrees(179.5)) {
        return at_180;
    }
    return turn < Angle() ? Way::left : Way::right;
}

PlaneTrack::PlaneTrack(earth::Position fix, const Motion& motion, TrueBearing heading)
    : fix_(fix), motion_(motion), heading_(heading) {
    OMNIWAY_EXPECTS(motion.true_airspeed > Speed() && motion.turn.rate > aircraft::TurnRate());
    const Angle toward = motion.wind.from.reciprocal().from_north();
    const double wind = motion.wind.speed.metres_per_second();
    wind_ = {wind * base::cos(toward), wind * base::sin(toward)};
}

Place PlaneTrack::velocity(TrueBearing heading) const {
    const double v = motion_.true_airspeed.metres_per_second();
    const double rad = heading.from_north().radians();
    return {v * std::cos(rad) + wind_.north_m, v * std::sin(rad) + wind_.east_m};
}

Place PlaneTrack::moved(const Step& step, Duration since_start) const {
    const double t = since_start.count();
    if (step.turned == Angle()) {
        const Place v = velocity(step.heading);
        return {step.from.north_m + v.north_m * t, step.from.east_m + v.east_m * t};
    }
    const double rate = motion_.turn.rate.radians_per_second() * (step.turned < Angle() ? -1.0 : 1.0);
    const double start = step.heading.from_north().radians();
    const double end = start + rate * t;
    const double radius_m = motion_.true_airspeed.metres_per_second() / rate;
    return {step.from.north_m + radius_m * (std::sin(end) - std::sin(start)) + wind_.north_m * t,
            step.from.east_m + radius_m * (std::cos(start) - std::cos(end)) + wind_.east_m * t};
}

void PlaneTrack::add(Step step) {
    here_ = moved(step, step.time);
    heading_ = step.heading + step.turned;
    time_ += step.time;
    steps_.push_back(step);
}

PlaneTrack::Step PlaneTrack::turn_from(Point start, TrueBearing to, Way way) const {
    const Angle turn = sweep(start.heading, to, way);
    return {start.here, start.heading, Angle::radians(signed_radians(turn, way)), turn / motion_.turn.rate};
}

PlaneTrack::Point PlaneTrack::after(Point start, TrueBearing to, Way way) const {
    const Step step = turn_from(start, to, way);
    return {moved(step, step.time), to};
}

void PlaneTrack::turn(TrueBearing to, Way way) {
    const Step step = turn_from({here_, heading_}, to, way);
    if (abs(step.turned) > no_turn) {
        add(step);
    }
    heading_ = to;
}

void PlaneTrack::fly(Duration time) {
    if (time > Duration(1e-6)) {
        add({here_, heading_, Angle(), time});
    }
}

std::optional<PlaneTrack> PlaneTrack::joined_by(TrueBearing track, TrueBearing course, Way way) const {
    const auto intercept = aircraft::hold_course(track, motion_.true_airspeed, motion_.wind);
    const auto on_course = aircraft::hold_course(course, motion_.true_airspeed, motion_.wind);
    if (!intercept || !on_course) {
        return std::nullopt;
    }
    PlaneTrack joining = *this;
    joining.turn(intercept->heading, way);
    const Way last = shorter_way(intercept->heading, on_course->heading, way);
    // The last turn is the same wherever it begins: what it leaves across the course, the straight must cross.
    const Point at_once = after({joining.here_, joining.heading_}, on_course->heading, last);
    const double across_mps = intercept->groundspeed.metres_per_second() * base::sin(track - course);
    const double missing_m = -against(at_once.here, course).second;
    if (std::abs(across_mps) < 1e-6) {
        return std::nullopt;
    }
    const double time_s = missing_m / across_mps;
    if (time_s < 0.0 && std::abs(missing_m) > on_course_m) {
        return std::nullopt;
    }
    joining.fly(Duration(std::max(time_s, 0.0)));
    joining.turn(on_course->heading, last);
    return joining;
}

// The turn is ended at an angle so small that the turn the other way rolls out on the course with no straight between.
std::optional<PlaneTrack> PlaneTrack::tangent(TrueBearing course, double side, Way way) const {
    const auto on_course = aircraft::hold_course(course, motion_.true_airspeed, motion_.wind);
    if (!on_course) {
        return std::nullopt;
    }
    const auto between = [&](double off_rad) { return on_course->heading + Angle::radians(side * off_rad); };
    const auto across_m = [&](double off_rad) {
        const Point turning = after({here_, heading_}, between(off_rad), way);
        const Way last = shorter_way(turning.heading, on_course->heading, way);
        return against(after(turning, on_course->heading, last).here, course).second;
    };
    double low = 0.0;
    // Of heading: in a wind up to 15 degrees more than the 30 of track from which on there is a straight between.
    double high = Angle::degrees(45.0).radians();
    double at_low = across_m(low);
    double at_high = across_m(high);
    if (at_low * at_high > 0.0) {
        return std::nullopt;
    }
    // False position, the end that stays weighed less each time (Illinois); bisected while it does not shrink.
    double middle = low;
    for (int i = 0; i < 60; ++i) {
        middle = i % 4 == 3 ? 0.5 * (low + high) : (low * at_high - high * at_low) / (at_high - at_low);
        const double at_middle = across_m(middle);
        if (std::abs(at_middle) < 0.1 * on_course_m) {
            break;
        }
        if (at_middle * at_low > 0.0) {
            low = middle;
            at_low = at_middle;
            at_high *= 0.5;
        } else {
            high = middle;
            at_high = at_middle;
            at_low *= 0.5;
        }
    }
    // Where the first turn passes its own beginning the offset jumps instead of crossing zero.
    if (std::abs(across_m(middle)) > on_course_m) {
        return std::nullopt;
    }
    PlaneTrack track = *this;
    track.turn(between(middle), way);
    track.turn(on_course->heading, shorter_way(track.heading_, on_course->heading, way));
    return track;
}

std::optional<PlaneTrack> PlaneTrack::joined(TrueBearing course, Way way, Length no_farther) const {
    std::optional<PlaneTrack> best;
    const auto consider = [&](const std::optional<PlaneTrack>& track) {
        if (track && track->along(course) <= no_farther && (!best || track->time() < best->time())) {
            best = track;
        }
    };
    for (const double side : {-1.0, 1.0}) {
        consider(tangent(course, side, way));
    }
    for (const double off : {30.0, 45.0, 60.0, 75.0, 90.0}) {
        for (const double side : {-1.0, 1.0}) {
            consider(joined_by(course + Angle::degrees(side * off), course, way));
        }
        if (best) {
            break;
        }
    }
    return best;
}

Length PlaneTrack::along(TrueBearing course) const {
    return Length::metres(against(here_, course).first);
}

Length PlaneTrack::across(TrueBearing course) const {
    return Length::metres(against(here_, course).second);
}

Speed PlaneTrack::along_speed(TrueBearing course) const {
    return Speed::metres_per_second(against(velocity(heading_), course).first);
}

Length PlaneTrack::farthest() const {
    double most_m = std::hypot(here_.north_m, here_.east_m);
    for (const Step& step : steps_) {
        most_m = std::max(most_m, farthest_m(step));
    }
    return Length::metres(most_m);
}

// A straight is farthest at an end of it. A turn is looked at every 5 degrees, and at the top of the parabola through three
// looks: within a decimetre.
double PlaneTrack::farthest_m(const Step& step) const {
    const auto away_m = [&](double part) {
        const Place place = moved(step, step.time * part);
        return std::hypot(place.north_m, place.east_m);
    };
    const int parts = 1 + static_cast<int>(std::abs(step.turned.degrees()) / 5.0);
    double before = away_m(0.0);
    double most = before;
    double here = away_m(1.0 / parts);
    for (int i = 1; i < parts; ++i) {
        const double next = away_m((i + 1.0) / parts);
        if (here >= before && here >= next) {
            const double curve = before - 2.0 * here + next;
            const double rise = curve < 0.0 ? -(next - before) * (next - before) / (8.0 * curve) : 0.0;
            most = std::max(most, here + rise);
        }
        before = here;
        here = next;
    }
    return most;
}

std::vector<TrackPiece> PlaneTrack::pieces() const {
    std::vector<TrackPiece> pieces;
    for (const Step& step : steps_) {
        const double away_m = std::hypot(step.from.north_m, step.from.east_m);
        earth::Position from = fix_;
        // Meridians converge: what is parallel in the plane bears otherwise away from the fix.
        Angle convergence;
        if (away_m > 0.01) {
            const TrueBearing out =
                TrueBearing::from_north(Angle::radians(std::atan2(step.from.east_m, step.from.north_m)));
            from = earth::destination(fix_, out, Length::metres(away_m));
            convergence = earth::geodesic(fix_, from).arrival - out;
        }
        if (step.turned == Angle()) {
            const Place v = velocity(step.heading);
            const double ground_mps = std::hypot(v.north_m, v.east_m);
            const TrueBearing track =
                TrueBearing::from_north(Angle::radians(std::atan2(v.east_m, v.north_m)));
            const Speed groundspeed = Speed::metres_per_second(ground_mps);
            pieces.emplace_back(Straight{from, track + convergence, groundspeed * step.time, groundspeed});
        } else {
            weather::Wind wind = motion_.wind;
            wind.from = wind.from + convergence;
            pieces.emplace_back(AirTurn{from, step.heading + convergence, step.turned, motion_.turn.rate,
                                        motion_.true_airspeed, wind});
        }
    }
    return pieces;
}

}  // namespace omniway::procedure::detail
