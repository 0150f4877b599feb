#include "procedure/base_turn.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "base/contract.hpp"

namespace omniway::procedure {

using base::Angle;
using base::Duration;
using base::Length;
using base::Speed;

namespace {

// The published lines shorten and lengthen the outbound time by these.
constexpr Duration too_early = Duration(5.0);
constexpr Duration too_late = Duration(21.0);

// PANS-OPS II I-2-1 appendix: TAS = K IAS; h in feet, temperature by standard lapse and a deviation.
double speed_factor(base::Altitude altitude, double above_standard_k) {
    const double sigma = 288.0 - 0.00198 * altitude.feet();
    return 171233.0 * std::sqrt(288.0 + above_standard_k - 0.00198 * altitude.feet()) /
           std::pow(sigma, 2.628);
}

// R = 3431 tan(bank) / (pi V) degrees a second at 25 degrees of bank.
aircraft::TurnRate rate_at_25_degrees(Speed true_airspeed) {
    const double rate = 3431.0 * base::tan(Angle::degrees(25.0)) / (std::numbers::pi * true_airspeed.knots());
    return aircraft::TurnRate::degrees_per_second(rate);
}

Length overhead_tolerance(const BaseTurnCase& known) {
    const Length above = std::max(known.altitude - known.aid_elevation, Length());
    return above * base::tan(Angle::degrees(known.aid == OverheadAid::ndb ? 40.0 : 50.0));
}

}  // namespace

Angle base_turn_angle(Speed true_airspeed, Duration outbound) {
    OMNIWAY_EXPECTS(outbound > Duration(0.0));
    const double t = base::in_minutes(outbound);
    const double knots = true_airspeed.knots();
    return Angle::degrees(knots <= 170.0 ? 36.0 / t : 0.215 * knots / t);
}

BaseTurnLines base_turn_lines(const BaseTurnCase& known) {
    BaseTurnLines lines;
    lines.speed_factor = speed_factor(known.altitude, known.above_standard_k);
    lines.true_airspeed = Speed::knots(lines.speed_factor * known.indicated.knots());
    lines.rate_at_bank = rate_at_25_degrees(lines.true_airspeed);
    lines.rate = std::min(lines.rate_at_bank, aircraft::standard_rate);
    lines.radius = Length::metres(lines.true_airspeed.metres_per_second() / lines.rate.radians_per_second());
    lines.wind = Speed::knots(2.0 * known.altitude.feet() / 1000.0 + 47.0);
    lines.drift_for_degree = lines.wind * (Angle::degrees(1.0) / lines.rate);
    lines.angle = base_turn_angle(lines.true_airspeed, known.outbound);
    lines.overhead_tolerance = overhead_tolerance(known);
    lines.outbound_length = lines.true_airspeed * known.outbound;
    OMNIWAY_EXPECTS(lines.true_airspeed > lines.wind);
    lines.shortest =
        (lines.true_airspeed - lines.wind) * (known.outbound - too_early) - lines.overhead_tolerance;
    lines.farthest =
        (lines.true_airspeed + lines.wind) * (known.outbound + too_late) + lines.overhead_tolerance;
    return lines;
}

Length BaseTurnLines::drift(Angle turned) const {
    return drift_for_degree * turned.degrees();
}

}  // namespace omniway::procedure
