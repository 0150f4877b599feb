#include "procedure/turning.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"

namespace omniway::procedure {

using base::Angle;
using base::Length;
using base::TrueBearing;
using navdata::Turn;

namespace {

constexpr double pi = std::numbers::pi;
// Less than a turn's coded side is worth: courses are coded to 0.1 degree, declinations to one.
constexpr double side_matters_rad = 5.0 * pi / 180.0;
constexpr double on_the_line_m = 3.0;
// A line approached at so small an angle is turned to if it is farther ahead than that: common practice, no source.
constexpr double shallow_rad = 10.0 * pi / 180.0;
constexpr double longest_shallow_m = 3.0 * 1852.0;
constexpr double on_the_track_rad = 0.1 * pi / 180.0;

double wrapped(double angle_rad) {
    return std::remainder(angle_rad, 2.0 * pi);
}

double turned_between(double from_rad, double to_rad, Turn side) {
    const double shorter = wrapped(to_rad - from_rad);
    if (std::abs(shorter) < side_matters_rad) {
        return shorter;
    }
    if (side == Turn::right && shorter < 0.0) {
        return shorter + 2.0 * pi;
    }
    if (side == Turn::left && shorter > 0.0) {
        return shorter - 2.0 * pi;
    }
    return shorter;
}

// A place in a plane that touches the earth: along its axis, and to the right of it.
struct Spot {
    double along_m = 0.0;
    double right_m = 0.0;
};

Spot operator+(Spot a, Spot b) {
    return {a.along_m + b.along_m, a.right_m + b.right_m};
}

Spot toward(double direction_rad, double length_m) {
    return {length_m * std::cos(direction_rad), length_m * std::sin(direction_rad)};
}

// The plane that touches the earth at a place, with an axis: every direction in it counts from the axis, the wind too. Meridians
// converge, so the same direction bears otherwise at another place of the plane; the wind is turned with it, so that what is
// solved here holds there.
class Plane {
public:
    Plane(earth::Position origin, TrueBearing axis, const Motion& motion)
        : origin_(origin),
          axis_(axis),
          motion_(motion),
          wind_from_rad_(wrapped((motion.wind.from - axis).radians())),
          wind_mps_(motion.wind.speed.metres_per_second()),
          airspeed_mps_(motion.true_airspeed.metres_per_second()) {}

    struct Aircraft {
        Spot spot;
        double track_rad = 0.0;
    };

    Aircraft of(const OnTrack& on) const {
        const earth::Geodesic line = earth::geodesic(origin_, on.place);
        if (line.distance < Length::metres(0.5)) {
            return {{}, wrapped((on.track - axis_).radians())};
        }
        const Angle turned = line.arrival - line.initial;
        return {toward((line.initial - axis_).radians(), line.distance.metres()),
                wrapped((on.track - axis_).radians() - turned.radians())};
    }

    Spot of(earth::Position place) const {
        const earth::Geodesic line = earth::geodesic(origin_, place);
        return toward((line.initial - axis_).radians(), line.distance.metres());
    }

    OnTrack on(Spot spot, double track_rad) const {
        const Length away = Length::metres(std::hypot(spot.along_m, spot.right_m));
        const TrueBearing local = axis_ + Angle::radians(track_rad);
        if (away < Length::metres(0.5)) {
            return {origin_, local};
        }
        const TrueBearing out = axis_ + Angle::radians(std::atan2(spot.right_m, spot.along_m));
        const earth::Position place = earth::destination(origin_, out, away);
        return {place, local + (earth::geodesic(origin_, place).arrival - out)};
    }

    // The heading that holds a track, as a direction of the plane.
    std::optional<double> heading_of(double track_rad) const {
        const double across = wind_mps_ * std::sin(wind_from_rad_ - track_rad) / airspeed_mps_;
        if (std::abs(across) >= 1.0) {
            return std::nullopt;
        }
        const double correction = std::asin(across);
        const double groundspeed =
            airspeed_mps_ * std::cos(correction) - wind_mps_ * std::cos(wind_from_rad_ - track_rad);
        return groundspeed > 0.0 ? std::optional(track_rad + correction) : std::nullopt;
    }

    double groundspeed_mps(double track_rad) const {
        const double across = wind_mps_ * std::sin(wind_from_rad_ - track_rad) / airspeed_mps_;
        return airspeed_mps_ * std::sqrt(std::max(0.0, 1.0 - across * across)) -
               wind_mps_ * std::cos(wind_from_rad_ - track_rad);
    }

    double track_of(double heading_rad) const {
        return std::atan2(airspeed_mps_ * std::sin(heading_rad) - wind_mps_ * std::sin(wind_from_rad_),
                          airspeed_mps_ * std::cos(heading_rad) - wind_mps_ * std::cos(wind_from_rad_));
    }

    // Where a turn ends that begins at the origin of the plane.
    Spot moved(double heading_rad, double turned_rad) const {
        const AirTurn turn{origin_,
                           TrueBearing::from_north(Angle::radians(heading_rad)),
                           Angle::radians(turned_rad),
                           motion_.turn.rate,
                           motion_.true_airspeed,
                           {TrueBearing::from_north(Angle::radians(wind_from_rad_)), motion_.wind.speed}};
        const Displacement all = displacement(turn, time_of(turn));
        return {all.north.metres(), all.east.metres()};
    }

    AirTurn turn(const OnTrack& begins, double track_rad, double heading_rad, double turned_rad) const {
        const Angle to_here = begins.track - (axis_ + Angle::radians(track_rad));
        weather::Wind wind = motion_.wind;
        wind.from = wind.from + to_here;
        return {begins.place,
                axis_ + Angle::radians(heading_rad) + to_here,
                Angle::radians(turned_rad),
                motion_.turn.rate,
                motion_.true_airspeed,
                wind};
    }

private:
    earth::Position origin_;
    TrueBearing axis_;
    const Motion& motion_;
    double wind_from_rad_;
    double wind_mps_;
    double airspeed_mps_;
};

// Where a continuous function that changes its sign between two places is zero: regula falsi, with the half weight of an end that
// stays (Illinois), to a tenth of a metre.
template <class Function>
double zero_between(const Function& f, double low, double f_low, double high, double f_high) {
    constexpr double close_enough_m = 0.05;
    if (std::abs(f_low) < close_enough_m) {
        return low;
    }
    for (int i = 0; i < 60 && std::abs(f_high) >= close_enough_m; ++i) {
        const double middle = low + (high - low) * f_low / (f_low - f_high);
        const double f_middle = f(middle);
        if ((f_middle < 0.0) == (f_high < 0.0)) {
            f_low *= 0.5;
        } else {
            low = high;
            f_low = f_high;
        }
        high = middle;
        f_high = f_middle;
    }
    return high;
}

}  // namespace

Motion motion_at(base::Speed true_airspeed, const weather::Wind& wind) {
    return {true_airspeed, wind, aircraft::planned_turn(true_airspeed)};
}

GroundVelocity over_ground(TrueBearing heading, const Motion& motion) {
    const Angle wind_toward = motion.wind.from.reciprocal().from_north();
    const double airspeed = motion.true_airspeed.metres_per_second();
    const double wind = motion.wind.speed.metres_per_second();
    const double north = airspeed * base::cos(heading.from_north()) + wind * base::cos(wind_toward);
    const double east = airspeed * base::sin(heading.from_north()) + wind * base::sin(wind_toward);
    return {TrueBearing::from_north(Angle::radians(std::atan2(east, north))),
            base::Speed::metres_per_second(std::hypot(north, east))};
}

std::optional<AirTurn> turn_to_heading(const OnTrack& from, TrueBearing heading, Turn side,
                                       const Motion& motion) {
    const auto held = aircraft::hold_course(from.track, motion.true_airspeed, motion.wind);
    if (!held) {
        return std::nullopt;
    }
    const double turned =
        turned_between(held->heading.from_north().radians(), heading.from_north().radians(), side);
    return AirTurn{from.place,       held->heading,        Angle::radians(turned),
                   motion.turn.rate, motion.true_airspeed, motion.wind};
}

std::optional<AirTurn> turn_to_track(const OnTrack& from, TrueBearing track, Turn side,
                                     const Motion& motion) {
    const auto held = aircraft::hold_course(track, motion.true_airspeed, motion.wind);
    return held ? turn_to_heading(from, held->heading, side, motion) : std::nullopt;
}

std::optional<AirTurn> turn_direct(const OnTrack& from, earth::Position fix, Turn side,
                                   const Motion& motion) {
    const Plane plane(from.place, from.track, motion);
    const Spot goal = plane.of(fix);
    const auto heading = plane.heading_of(0.0);
    if (!heading || std::hypot(goal.along_m, goal.right_m) < on_the_line_m) {
        return std::nullopt;
    }
    struct Off {
        double across_m;
        double ahead_m;
    };
    const auto off = [&](double turned) {
        const Spot moved = plane.moved(*heading, turned);
        const double track = plane.track_of(*heading + turned);
        const double along = goal.along_m - moved.along_m;
        const double right = goal.right_m - moved.right_m;
        return Off{right * std::cos(track) - along * std::sin(track),
                   along * std::cos(track) + right * std::sin(track)};
    };
    const Off now = off(0.0);
    if (std::abs(std::atan2(now.across_m, now.ahead_m)) < on_the_track_rad) {
        return plane.turn(from, 0.0, *heading, 0.0);
    }
    const auto one_way = [&](double sign) -> std::optional<double> {
        constexpr double step = 10.0 * pi / 180.0;
        double before = 0.0;
        Off at_before = now;
        for (int i = 1; i <= 39; ++i) {
            const double after = sign * step * i;
            const Off at_after = off(after);
            // The nose sweeps over the fix from the side turned away from.
            if (at_before.across_m * sign > 0.0 && at_after.across_m * sign <= 0.0 &&
                at_after.ahead_m > 0.0) {
                return zero_between([&](double turned) { return off(turned).across_m; }, before,
                                    at_before.across_m, after, at_after.across_m);
            }
            before = after;
            at_before = at_after;
        }
        return std::nullopt;
    };
    const bool nearly_ahead = std::abs(std::atan2(now.across_m, now.ahead_m)) < side_matters_rad;
    const auto right = side == Turn::left && !nearly_ahead ? std::nullopt : one_way(1.0);
    const auto left = side == Turn::right && !nearly_ahead ? std::nullopt : one_way(-1.0);
    if (!right && !left) {
        return std::nullopt;
    }
    const double turned = !left || (right && *right <= -*left) ? *right : *left;
    return plane.turn(from, 0.0, *heading, turned);
}

// The place P + a u1 + D has to lie on the line, with u1 along the track now and D what the turn moves.
std::optional<TurnOntoLine> turn_onto_line(const OnTrack& from, const Line& line, Turn side,
                                           const Motion& motion) {
    const Plane plane(line.through, line.track, motion);
    const Plane::Aircraft now = plane.of(from);
    const auto before = plane.heading_of(now.track_rad);
    const auto after = plane.heading_of(0.0);
    if (!before || !after || std::abs(std::sin(now.track_rad)) < 1e-3) {
        return std::nullopt;
    }
    const double turned = turned_between(*before, *after, side);
    const Spot moved = plane.moved(*before, turned);
    const double ahead_m = -(now.spot.right_m + moved.right_m) / std::sin(now.track_rad);
    const Spot begins = now.spot + toward(now.track_rad, ahead_m);
    return TurnOntoLine{Length::metres(ahead_m),
                        plane.turn(plane.on(begins, now.track_rad), now.track_rad, *before, turned),
                        Length::metres((begins + moved).along_m)};
}

namespace {

// Turn, straight, turn: from somewhere onto the axis of a plane.
class Joiner {
public:
    Joiner(const Plane& plane, const Plane::Aircraft& now, const OnTrack& from, const JoinRule& rule)
        : plane_(plane), now_(now), from_(from), rule_(rule) {}

    std::optional<LineJoin> result() {
        const auto before = plane_.heading_of(now_.track_rad);
        const auto on_line = plane_.heading_of(0.0);
        if (!before || !on_line) {
            return std::nullopt;
        }
        before_ = *before;
        on_line_ = *on_line;
        if (std::abs(now_.spot.right_m) < on_the_line_m && std::abs(now_.track_rad) < on_the_track_rad) {
            return within(LineJoin{{}, Length::metres(now_.spot.along_m), Angle()});
        }
        if (auto one = by_one_turn()) {
            return one;
        }
        return by_two_turns();
    }

private:
    struct TwoTurns {
        double intercept_rad;
        double heading_rad;  // on the intercept
        double first_rad;
        double second_rad;
        Spot first_moved;
        Spot second_moved;
        double right_m;  // of the line, where the second turn ends if it follows the first at once
    };

    std::optional<LineJoin> within(LineJoin join) const {
        if (rule_.not_beyond && join.along > *rule_.not_beyond + Length::metres(1.0)) {
            return std::nullopt;
        }
        return join;
    }

    std::optional<LineJoin> by_one_turn() const {
        const double off = now_.track_rad;
        const double turned = turned_between(before_, on_line_, rule_.side);
        if (std::abs(off) > rule_.steepest.radians() + 1e-9 || std::abs(std::sin(off)) < 1e-3 ||
            std::abs(turned) > pi) {
            return std::nullopt;
        }
        const Spot moved = plane_.moved(before_, turned);
        const double ahead_m = -(now_.spot.right_m + moved.right_m) / std::sin(off);
        const bool shallow = std::abs(off) < shallow_rad && ahead_m > longest_shallow_m;
        if (ahead_m < -0.5 || shallow) {
            return std::nullopt;
        }
        LineJoin join{{}, {}, Angle::radians(std::abs(off))};
        const Spot begins = now_.spot + toward(off, ahead_m);
        add_straight(join, now_.spot, off, ahead_m);
        join.pieces.push_back(plane_.turn(plane_.on(begins, off), off, before_, turned));
        join.along = Length::metres((begins + moved).along_m);
        return within(std::move(join));
    }

    std::optional<TwoTurns> two_turns(double intercept_rad, Turn side) const {
        const auto heading = plane_.heading_of(intercept_rad);
        if (!heading) {
            return std::nullopt;
        }
        TwoTurns two{};
        two.intercept_rad = intercept_rad;
        two.heading_rad = *heading;
        // Counted on from the turn onto the line itself, so that it grows evenly with the intercept.
        two.first_rad = turned_between(before_, on_line_, side) + wrapped(*heading - on_line_);
        two.second_rad = wrapped(on_line_ - *heading);
        two.first_moved = plane_.moved(before_, two.first_rad);
        two.second_moved = plane_.moved(*heading, two.second_rad);
        two.right_m = now_.spot.right_m + two.first_moved.right_m + two.second_moved.right_m;
        return two;
    }

    // Where much is turned the side is one for all intercepts, or the shorter way would change between them: both are tried.
    std::optional<LineJoin> by_two_turns() const {
        const bool coded = rule_.side == Turn::left || rule_.side == Turn::right;
        if (coded || std::abs(wrapped(on_line_ - before_)) < pi / 2) {
            return by_two_turns(rule_.side);
        }
        auto left = by_two_turns(Turn::left);
        auto right = by_two_turns(Turn::right);
        if (!left || !right) {
            return left ? left : right;
        }
        return flown(*left) <= flown(*right) ? left : right;
    }

    static base::Duration flown(const LineJoin& join) {
        base::Duration all(0.0);
        for (const TrackPiece& piece : join.pieces) {
            all += time_of(piece);
        }
        return all;
    }

    std::optional<LineJoin> by_two_turns(Turn side) const {
        const auto at_none = two_turns(0.0, side);
        if (!at_none) {
            return std::nullopt;
        }
        if (std::abs(at_none->right_m) < 1.0) {
            return pieces_of(*at_none, 0.0);
        }
        const double steepest = at_none->right_m > 0.0 ? -rule_.steepest.radians() : rule_.steepest.radians();
        const auto at_steepest = two_turns(steepest, side);
        if (!at_steepest) {
            return std::nullopt;
        }
        const double straight_m = -at_steepest->right_m / std::sin(steepest);
        if (straight_m >= 0.0) {
            return pieces_of(*at_steepest, straight_m);
        }
        const double intercept = zero_between(
            [&](double angle) {
                const auto two = two_turns(angle, side);
                return two ? two->right_m : at_none->right_m;
            },
            0.0, at_none->right_m, steepest, at_steepest->right_m);
        const auto two = two_turns(intercept, side);
        return two ? pieces_of(*two, 0.0) : std::nullopt;
    }

    std::optional<LineJoin> pieces_of(const TwoTurns& two, double straight_m) const {
        LineJoin join{{}, {}, Angle::radians(std::abs(two.intercept_rad))};
        const Spot rolled_out = now_.spot + two.first_moved;
        const Spot rolls_in = rolled_out + toward(two.intercept_rad, straight_m);
        join.along = Length::metres((rolls_in + two.second_moved).along_m);
        if (!within(join)) {
            return std::nullopt;
        }
        if (std::abs(two.first_rad) > 1e-4) {
            join.pieces.push_back(plane_.turn(from_, now_.track_rad, before_, two.first_rad));
        }
        add_straight(join, rolled_out, two.intercept_rad, straight_m);
        if (std::abs(two.second_rad) > 1e-4) {
            join.pieces.push_back(plane_.turn(plane_.on(rolls_in, two.intercept_rad), two.intercept_rad,
                                              two.heading_rad, two.second_rad));
        }
        return join;
    }

    void add_straight(LineJoin& join, Spot from, double track_rad, double length_m) const {
        if (length_m > 0.5) {
            const OnTrack begins = plane_.on(from, track_rad);
            join.pieces.push_back(
                Straight{begins.place, begins.track, Length::metres(length_m),
                         base::Speed::metres_per_second(plane_.groundspeed_mps(track_rad))});
        }
    }

    const Plane& plane_;
    const Plane::Aircraft& now_;
    const OnTrack& from_;
    const JoinRule& rule_;
    double before_ = 0.0;
    double on_line_ = 0.0;
};

}  // namespace

std::optional<LineJoin> join_line(const OnTrack& from, const Line& line, const JoinRule& rule,
                                  const Motion& motion) {
    const Plane plane(line.through, line.track, motion);
    return Joiner(plane, plane.of(from), from, rule).result();
}

// The end of the turn lies on the circle where its track is the circle's: that place less what the turn moves has to lie on the
// track flown before.
std::optional<TurnOntoCircle> turn_onto_circle(const OnTrack& from, const Circle& circle, const Reach& ahead,
                                               const Motion& motion) {
    const Plane plane(from.place, from.track, motion);
    const Spot centre = plane.of(circle.centre);
    const auto before = plane.heading_of(0.0);
    if (!before) {
        return std::nullopt;
    }
    const double quarter = circle.clockwise ? pi / 2 : -pi / 2;
    struct Try {
        double right_m;
        double ahead_m;
        double out_rad;
    };
    const auto attempt = [&](double turned) {
        const double out = plane.track_of(*before + turned) - quarter;
        const Spot end = centre + toward(out, circle.radius.metres());
        const Spot moved = plane.moved(*before, turned);
        return Try{end.right_m - moved.right_m, end.along_m - moved.along_m, out};
    };
    std::optional<double> best;
    const auto look = [&](double sign) {
        constexpr double step = 5.0 * pi / 180.0;
        double low = 0.0;
        Try at_low = attempt(0.0);
        for (int i = 1; i <= 34; ++i) {
            const double high = sign * step * i;
            const Try at_high = attempt(high);
            if ((at_low.right_m < 0.0) != (at_high.right_m < 0.0)) {
                const double turned = zero_between([&](double angle) { return attempt(angle).right_m; }, low,
                                                   at_low.right_m, high, at_high.right_m);
                const Length begins = Length::metres(attempt(turned).ahead_m);
                if (begins >= ahead.least && begins <= ahead.most &&
                    (!best || std::abs(turned) < std::abs(*best))) {
                    best = turned;
                }
            }
            low = high;
            at_low = at_high;
        }
    };
    look(1.0);
    look(-1.0);
    if (!best) {
        return std::nullopt;
    }
    const Try found = attempt(*best);
    const Spot end = toward(found.out_rad, circle.radius.metres()) + centre;
    return TurnOntoCircle{Length::metres(found.ahead_m),
                          plane.turn(plane.on({found.ahead_m, 0.0}, 0.0), 0.0, *before, *best),
                          earth::bearing(circle.centre, plane.on(end, 0.0).place)};
}

std::optional<TurnOffCircle> turn_off_circle(const Circle& circle, TrueBearing about, const Line& line,
                                             Turn side, const Motion& motion) {
    const Plane plane(line.through, line.track, motion);
    // Bearings from the centre count in its own plane; the two planes are turned against each other by what the meridians converge.
    const earth::Geodesic to_centre = earth::geodesic(line.through, circle.centre);
    const double turned_over = (to_centre.arrival - to_centre.initial).radians();
    const Spot centre = toward((to_centre.initial - line.track).radians(), to_centre.distance.metres());
    const auto after = plane.heading_of(0.0);
    if (!after) {
        return std::nullopt;
    }
    const double quarter = circle.clockwise ? pi / 2 : -pi / 2;
    struct Try {
        Spot begins;
        double track_rad;
        double heading_rad;
        double turned_rad;
        Spot ends;
    };
    const auto attempt = [&](double out) -> std::optional<Try> {
        const double track = out + quarter;
        const auto heading = plane.heading_of(track);
        if (!heading) {
            return std::nullopt;
        }
        const Spot begins = centre + toward(out, circle.radius.metres());
        const double turned = turned_between(*heading, *after, side);
        return Try{begins, track, *heading, turned, begins + plane.moved(*heading, turned)};
    };
    const double middle = (about - line.track).radians() - turned_over;
    const auto seek = [&](double back, int steps) -> std::optional<double> {
        constexpr double step = 2.0 * pi / 180.0;
        auto at_low = attempt(middle);
        double low = middle;
        for (int i = 1; i <= steps && at_low; ++i) {
            const double high = middle + back * step * i;
            const auto at_high = attempt(high);
            // A jump where the shorter way changes sides is no meeting.
            if (at_high && (at_low->ends.right_m < 0.0) != (at_high->ends.right_m < 0.0) &&
                std::abs(at_low->turned_rad - at_high->turned_rad) < pi / 2) {
                return zero_between(
                    [&](double out) {
                        const auto now = attempt(out);
                        return now ? now->ends.right_m : 0.0;
                    },
                    low, at_low->ends.right_m, high, at_high->ends.right_m);
            }
            low = high;
            at_low = at_high;
        }
        return std::nullopt;
    };
    const double against = circle.clockwise ? -1.0 : 1.0;
    auto out = seek(against, 40);
    if (!out) {
        out = seek(-against, 10);
    }
    const auto found = out ? attempt(*out) : std::nullopt;
    if (!found) {
        return std::nullopt;
    }
    const OnTrack begins = plane.on(found->begins, found->track_rad);
    return TurnOffCircle{line.track + Angle::radians(*out + turned_over),
                         plane.turn(begins, found->track_rad, found->heading_rad, found->turned_rad),
                         Length::metres(found->ends.along_m)};
}

}  // namespace omniway::procedure
