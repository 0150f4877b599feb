#pragma once

#include "base/quantity.hpp"

namespace omniway::aircraft {

/// How fast a heading changes.
class TurnRate : public base::Quantity<TurnRate> {
    friend class base::Quantity<TurnRate>;

public:
    static constexpr TurnRate degrees_per_second(double v) {
        return from_si(base::Angle::degrees(v).radians());
    }
    static constexpr TurnRate radians_per_second(double v) { return from_si(v); }
    constexpr double degrees_per_second() const { return base::Angle::radians(si_).degrees(); }
    constexpr double radians_per_second() const { return si_; }
};

constexpr base::Duration operator/(base::Angle turned, TurnRate rate) {
    return base::Duration(turned.radians() / rate.radians_per_second());
}

/// 360 degrees in two minutes.
inline constexpr TurnRate standard_rate = TurnRate::degrees_per_second(3.0);

/// A steady level turn: bank, rate and radius that belong together.
///   Model     level, coordinated, no wind: tan(bank) = speed times rate over gravity; radius = speed over
///             rate.
///   Domain    true airspeed above zero; bank above 0 and below 90 degrees; rate above zero.
///   Accuracy  rounding; gravity 9.80665 m/s2.
///   Cost      one arctangent or tangent.
///   Fails     breaks the contract outside the domain.
///   Source    trade-facts 7.2.
struct Turn {
    base::Angle bank;
    TurnRate rate;
    base::Length radius;
};

Turn turn_at_rate(base::Speed true_airspeed, TurnRate rate);
Turn turn_at_bank(base::Speed true_airspeed, base::Angle bank);

/// The turn a flight is planned with: standard rate, or 25 degrees of bank where that is less (above 170 kt).
/// ICAO Doc 8168 volume II, I-2-3-2 and table I-2-3-1: 25 degrees, and never more than 3 degrees a second
/// (trade-facts 7.2).
Turn planned_turn(base::Speed true_airspeed);

}  // namespace omniway::aircraft
