#include "procedure/holding_area.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>

namespace omniway::procedure {

using earth::PlanePoint;

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double between_s = 2.0;  // of the places that are kept of a track
constexpr double to_bank_s = 5.0;
constexpr double reaction_s = 6.0;
constexpr std::array<double, 3> heading_off_deg{-5.0, 0.0, 5.0};
constexpr std::array<double, 2> timed_off_s{-10.0, 10.0};
constexpr std::array<double, 2> before_turning_s{0.0, to_bank_s + reaction_s};

double wrapped(double rad) {
    return std::remainder(rad, 2.0 * std::numbers::pi);
}

/// A flight in still air from over the fix, leaving a disc every few seconds.
class StillAir {
public:
    StillAir(const HoldingAreaFor& made_for, double heading_rad, std::vector<HoldingArea::Disc>& discs)
        : for_(made_for),
          speed_(made_for.true_airspeed.metres_per_second()),
          rate_(aircraft::planned_turn(made_for.true_airspeed).rate.radians_per_second()),
          place_(made_for.fix),
          heading_(heading_rad),
          discs_(discs) {
        keep();
    }

    void straight(double seconds) {
        for (double left = seconds; left > 1e-9; left -= between_s) {
            go(std::min(left, between_s), 0.0);
        }
    }
    /// Through so much, positive to the right.
    void turn(double through_rad) {
        const double sign = through_rad < 0.0 ? -1.0 : 1.0;
        for (double left = std::abs(through_rad); left > 1e-9;) {
            const double part = std::min(left, rate_ * between_s);
            go(part / rate_, sign * part);
            left -= part;
        }
    }
    /// To a heading, to the side that is said.
    void turn_to(double heading_rad, double side) {
        double through = wrapped(heading_rad - heading_) * side;
        through = through < -1e-9 ? through + 2.0 * std::numbers::pi : through;
        turn(through * side);
    }
    /// To a heading the shorter way.
    void turn_to(double heading_rad) { turn(wrapped(heading_rad - heading_)); }
    /// The wind is made good from here: on until abeam the fix.
    void inbound() {
        constexpr double longest_s = 900.0;
        const double drifted_s = time_;
        const auto before = [&] {
            return (for_.fix.east_m - place_.east_m) * std::sin(for_.inbound_grid_rad) +
                   (for_.fix.north_m - place_.north_m) * std::cos(for_.inbound_grid_rad);
        };
        for (double gone = 0.0; gone < longest_s && before() > 0.0; gone += between_s) {
            go(std::min(between_s, before() / speed_ + 1e-3), 0.0);
            time_ = drifted_s;
        }
    }

private:
    void go(double seconds, double turned_rad) {
        // The chord of the turn.
        const double half = turned_rad / 2.0;
        const double chord = speed_ * seconds * (half == 0.0 ? 1.0 : std::sin(half) / half);
        place_.east_m += chord * std::sin(heading_ + half);
        place_.north_m += chord * std::cos(heading_ + half);
        heading_ += turned_rad;
        time_ += seconds;
        keep();
    }
    void keep() {
        discs_.push_back({place_, for_.wind.metres_per_second() * time_ + for_.fix_error.metres()});
    }

    const HoldingAreaFor& for_;
    double speed_;
    double rate_;
    PlanePoint place_;
    double heading_;
    double time_ = 0.0;
    std::vector<HoldingArea::Disc>& discs_;
};

}  // namespace

base::Speed fastest_hold(base::Altitude altitude, radio::Criteria criteria,
                         aircraft::ApproachCategory category) {
    constexpr double warmer_c = 15.0;
    const HoldSpeed fastest = hold_speed(altitude, criteria, category);
    const base::PressureAltitude level = weather::on_a_standard_day(altitude);
    const auto air = base::Temperature::kelvin(weather::standard_temperature(level).kelvin() + warmer_c);
    base::Speed speed = base::Speed::knots(1e6);
    if (fastest.indicated) {
        speed = std::min(speed, weather::true_airspeed(*fastest.indicated, level, air));
    }
    if (fastest.mach) {
        speed = std::min(speed, weather::true_airspeed(*fastest.mach, air));
    }
    return speed;
}

base::Speed holding_wind(base::Altitude altitude) {
    return base::Speed::knots(47.0 + 2.0 * std::max(altitude.feet(), 0.0) / 1000.0);
}

HoldingArea::HoldingArea(const HoldingAreaFor& made_for) {
    const double inbound = made_for.inbound_grid_rad;
    const double outbound = inbound + std::numbers::pi;
    const double side = made_for.side == navdata::Turn::left ? -1.0 : 1.0;
    const auto arriving = [&](double off_deg) { return inbound + side * off_deg * degree; };
    for (const double early : before_turning_s) {
        for (const double off_deg : heading_off_deg) {
            for (const double off_s : timed_off_s) {
                const double out_s = std::max(made_for.outbound.count() + off_s, 0.0);
                const double away = outbound + off_deg * degree;
                // Direct, the circuit among them (0): by the 70-degree line (trade-facts 8.1).
                for (const double off : {-70.0, -35.0, 0.0, 35.0, 70.0, 110.0}) {
                    StillAir flown(made_for, arriving(off), discs_);
                    flown.straight(early);
                    flown.turn_to(away, side);
                    flown.straight(out_s + early);
                    flown.turn_to(inbound, side);
                    flown.inbound();
                }
                for (const double off : {110.0, 145.0, 180.0}) {  // offset
                    StillAir flown(made_for, arriving(off), discs_);
                    flown.straight(early);
                    flown.turn_to(away - side * 30.0 * degree);
                    flown.straight(out_s + early);
                    flown.turn_to(inbound, side);
                    flown.inbound();
                }
                for (const double off : {-180.0, -125.0, -70.0}) {  // parallel
                    StillAir flown(made_for, arriving(off), discs_);
                    flown.straight(early);
                    flown.turn_to(away);
                    flown.straight(out_s + early);
                    flown.turn_to(inbound + side * 30.0 * degree, -side);
                    flown.inbound();
                }
            }
        }
    }
}

base::Length HoldingArea::beyond(PlanePoint place) const {
    double least = 1e12;
    for (const Disc& disc : discs_) {
        least = std::min(least,
                         std::hypot(place.east_m - disc.centre.east_m, place.north_m - disc.centre.north_m) -
                             disc.radius_m);
    }
    return base::Length::metres(least);
}

std::vector<PlanePoint> HoldingArea::around() const {
    constexpr int sides = 72;
    constexpr double apart = 2.0 * std::numbers::pi / sides;
    // How far the area reaches each way; two ways' lines, square to them, meet in a corner.
    std::array<double, sides> reach_m{};
    for (std::size_t i = 0; i < reach_m.size(); ++i) {
        const double look = apart * static_cast<double>(i);
        double farthest_m = -1e12;
        for (const Disc& disc : discs_) {
            farthest_m = std::max(farthest_m, disc.centre.east_m * std::sin(look) +
                                                  disc.centre.north_m * std::cos(look) + disc.radius_m);
        }
        reach_m[i] = farthest_m;
    }
    std::vector<PlanePoint> corners;
    for (int i = 0; i < sides; ++i) {
        const double here_m = reach_m[static_cast<std::size_t>(i)];
        const double next_m = reach_m[static_cast<std::size_t>((i + 1) % sides)];
        const double on = (next_m - here_m * std::cos(apart)) / std::sin(apart);
        const double look = apart * i;
        corners.push_back(
            {here_m * std::sin(look) + on * std::cos(look), here_m * std::cos(look) - on * std::sin(look)});
    }
    return corners;
}

}  // namespace omniway::procedure
