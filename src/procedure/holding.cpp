#include "procedure/holding.hpp"

#include <algorithm>
#include <cmath>

#include "aircraft/wind_triangle.hpp"
#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "procedure/detail/hold_entry_track.hpp"
#include "procedure/detail/plane_track.hpp"

namespace omniway::procedure {

using base::Angle;
using base::Duration;
using base::Length;
using base::Speed;
using base::TrueBearing;
using detail::PlaneTrack;
using detail::Way;

namespace {

// Headings are read to a degree: within half of one they are the same heading.
constexpr double same_heading_deg = 0.5;
constexpr double either_entry_deg = 5.0;  // AIM 5-3-8

// Stronger, and turns drift farther than legs are long: nothing a person would fly.
constexpr double strongest_wind = 0.75;  // of the true airspeed
constexpr Angle largest_correction = Angle::degrees(75.0);
constexpr Duration longest_inbound = base::minutes(30.0);

Way way_of(navdata::Turn side) {
    return side == navdata::Turn::left ? Way::left : Way::right;
}

// Heading less inbound course in (-180, 180], mirrored so that the hold turns right.
double mirrored_theta_deg(TrueBearing heading, TrueBearing inbound, navdata::Turn side) {
    const double theta = (heading - inbound).degrees();
    return way_of(side) == Way::right ? theta : -theta;
}

bool near_reciprocal(double theta_deg, double within_deg) {
    return 180.0 - std::abs(theta_deg) < within_deg;
}

// The motion and the course of a hold, and everything of a circuit that follows from how long its inbound leg is.
class CircuitSolver {
public:
    CircuitSolver(const Hold& hold, const Motion& motion, const aircraft::CourseHeld& inbound)
        : hold_(hold), motion_(motion), inbound_(inbound), way_(way_of(hold.side)) {}

    struct Shape {
        Duration inbound;
        Duration outbound;  // wings level
        TrueBearing outbound_heading;
    };

    /// The two turns make a circle through the air, in which only the wind moves the aircraft. What is left, the outbound
    /// straight through the air, undoes it: |D - w t| = V t with D = -(inbound leg + circle's drift), a quadratic in t.
    Shape shape(Duration inbound) const {
        const double v = motion_.true_airspeed.metres_per_second();
        const double w = motion_.wind.speed.metres_per_second();
        const double circle_s = (Angle::degrees(360.0) / motion_.turn.rate).count();
        const double leg_m = (inbound_.groundspeed * inbound).metres();
        const double course = hold_.inbound.from_north().radians();
        const double toward = motion_.wind.from.reciprocal().from_north().radians();
        const double wn = w * std::cos(toward);
        const double we = w * std::sin(toward);
        const double dn = -(leg_m * std::cos(course) + wn * circle_s);
        const double de = -(leg_m * std::sin(course) + we * circle_s);
        const double a = v * v - w * w;
        const double b = dn * wn + de * we;
        const double t = (-b + std::sqrt(b * b + a * (dn * dn + de * de))) / a;
        return {inbound, Duration(t),
                TrueBearing::from_north(Angle::radians(std::atan2(de - we * t, dn - wn * t)))};
    }

    Angle outbound_correction(const Shape& shape) const {
        return shape.outbound_heading - hold_.inbound.reciprocal();
    }

    PlaneTrack flown(const Shape& shape) const {
        PlaneTrack track = to_inbound_turn(shape);
        track.turn(inbound_.heading, way_);
        track.fly(shape.inbound);
        return track;
    }

    PlaneTrack to_inbound_turn(const Shape& shape) const {
        PlaneTrack track(hold_.fix, motion_, inbound_.heading);
        track.turn(shape.outbound_heading, way_);
        track.fly(shape.outbound);
        return track;
    }

    Length outbound_end(const Shape& shape) const { return -to_inbound_turn(shape).along(hold_.inbound); }

    /// What a clock started abeam the fix, or at the end of the turn where that is later, shows at the end of the straight.
    Duration timed_outbound(const Shape& shape) const {
        PlaneTrack track(hold_.fix, motion_, inbound_.heading);
        track.turn(shape.outbound_heading, way_);
        return shape.outbound - std::min(shape.outbound, detail::until_abeam(track, hold_.inbound));
    }

    /// How much of what was asked a circuit has: grows with its inbound time.
    double attained(const Shape& shape) const {
        if (const auto* length = std::get_if<Length>(&hold_.leg)) {
            return outbound_end(shape) / *length;
        }
        const Duration asked = std::get<Duration>(hold_.leg);
        return (hold_.timed == TimedLeg::inbound ? shape.inbound : timed_outbound(shape)) / asked;
    }

    bool flyable(const Shape& shape) const { return abs(outbound_correction(shape)) <= largest_correction; }

    /// The inbound time at which a condition that holds for long ones begins to hold.
    template <class Condition>
    Duration shortest(Condition&& holds) const {
        Duration low(0.0);
        Duration high = longest_inbound;
        if (holds(shape(low))) {
            return low;
        }
        for (int i = 0; i < 50; ++i) {
            const Duration middle = 0.5 * (low + high);
            (holds(shape(middle)) ? high : low) = middle;
        }
        return high;
    }

    Shape solved() const {
        const bool timed_inbound =
            std::holds_alternative<Duration>(hold_.leg) && hold_.timed == TimedLeg::inbound;
        const Duration asked = timed_inbound ? std::get<Duration>(hold_.leg)
                                             : shortest([&](const Shape& s) { return attained(s) >= 1.0; });
        const Shape wanted = shape(asked);
        return flyable(wanted)
                   ? wanted
                   : shape(shortest([&](const Shape& s) { return flyable(s) && s.inbound >= asked; }));
    }

    Way way() const { return way_; }

private:
    const Hold& hold_;
    const Motion& motion_;
    aircraft::CourseHeld inbound_;
    Way way_;
};

bool wind_allows(const Motion& motion) {
    return motion.wind.speed <= motion.true_airspeed * strongest_wind;
}

}  // namespace

std::string to_text(HoldEntry entry) {
    switch (entry) {
        case HoldEntry::direct:
            return "direct";
        case HoldEntry::parallel:
            return "parallel";
        case HoldEntry::offset:
            return "teardrop";
    }
    return {};
}

HoldEntry hold_entry(TrueBearing heading, TrueBearing inbound, navdata::Turn side) {
    const double theta = mirrored_theta_deg(heading, inbound, side);
    if (near_reciprocal(theta, same_heading_deg) || theta > 110.0 - same_heading_deg) {
        return HoldEntry::offset;
    }
    return theta < -70.0 + same_heading_deg ? HoldEntry::parallel : HoldEntry::direct;
}

std::optional<HoldEntry> also_acceptable(TrueBearing heading, TrueBearing inbound, navdata::Turn side) {
    const double theta = mirrored_theta_deg(heading, inbound, side);
    const HoldEntry chosen = hold_entry(heading, inbound, side);
    const auto other = [&](HoldEntry one, HoldEntry two) { return chosen == one ? two : one; };
    if (near_reciprocal(theta, either_entry_deg)) {
        return other(HoldEntry::offset, HoldEntry::parallel);
    }
    if (std::abs(theta - 110.0) < either_entry_deg) {
        return other(HoldEntry::offset, HoldEntry::direct);
    }
    if (std::abs(theta + 70.0) < either_entry_deg) {
        return other(HoldEntry::parallel, HoldEntry::direct);
    }
    return std::nullopt;
}

std::optional<HoldCircuit> circuit(const Hold& hold, const Motion& motion) {
    const auto inbound = aircraft::hold_course(hold.inbound, motion.true_airspeed, motion.wind);
    if (!inbound || !wind_allows(motion)) {
        return std::nullopt;
    }
    const CircuitSolver solver(hold, motion, *inbound);
    const auto shape = solver.solved();
    const PlaneTrack track = solver.flown(shape);
    constexpr double rounding = 1e-6;
    return HoldCircuit{.pieces = track.pieces(),
                       .inbound_heading = inbound->heading,
                       .outbound_heading = shape.outbound_heading,
                       .inbound_correction = inbound->correction,
                       .outbound_correction = solver.outbound_correction(shape),
                       .inbound = shape.inbound,
                       .outbound = solver.timed_outbound(shape),
                       .outbound_end = solver.outbound_end(shape),
                       .farthest = track.farthest(),
                       .as_asked = std::abs(solver.attained(shape) - 1.0) < rounding};
}

std::optional<EntryTrack> entry_pieces(const Hold& hold, HoldEntry entry, const Motion& motion,
                                       TrueBearing arriving_track) {
    return detail::hold_entry_track(hold, entry, motion, arriving_track, std::nullopt);
}

std::optional<int> circuits_to_climb(const HoldCircuit& one, Length to_climb, base::VerticalSpeed rate) {
    if (to_climb <= Length()) {
        return 1;
    }
    if (rate <= base::VerticalSpeed()) {
        return std::nullopt;
    }
    Duration around(0.0);
    for (const TrackPiece& piece : one.pieces) {
        around += time_of(piece);
    }
    // A climb that ends with a circuit does not begin another for want of a rounding.
    return std::max(1, static_cast<int>(std::ceil(to_climb / rate / around - 1e-6)));
}

std::string to_text(CourseSense sense) {
    switch (sense) {
        case CourseSense::toward_aid:
            return "toward the aid";
        case CourseSense::away_from_aid:
            return "away from the aid: FROM on the inbound course";
        case CourseSense::across:
            return "across the bearing of the aid";
    }
    return {};
}

CourseSense course_sense(const Hold& hold, earth::Position aid) {
    constexpr Length at_the_aid = Length::nautical_miles(0.2);
    const earth::Geodesic to_aid = earth::geodesic(hold.fix, aid);
    if (to_aid.distance < at_the_aid) {
        return CourseSense::toward_aid;
    }
    const double off = std::abs((to_aid.initial - hold.inbound).degrees());
    return off <= 30.0    ? CourseSense::toward_aid
           : off >= 150.0 ? CourseSense::away_from_aid
                          : CourseSense::across;
}

}  // namespace omniway::procedure
