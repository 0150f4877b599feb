#pragma once

#include <chrono>
#include <cmath>
#include <compare>
#include <numbers>

namespace omniway::base {

/// A measured amount of one kind, held as one double in SI units.
///   Model     an amount (a displacement, not a point); kinds never mix, units sit in named makers and getters.
///   Domain    any finite double; checks of range belong to whoever reads the outside world.
///   Accuracy  conversions are exact to one rounding: 1 NM = 1852 m, 1 ft = 0.3048 m, 1 lb = 0.45359237 kg.
///   Cost      one double; no overhead over a bare double at -O2.
///   Fails     never; wrong mixes do not compile (tests/refused/quantities.cpp).
///   Source    ICAO Annex 5, table 3-3 and 3-4 (units and conversion factors).
template <class Kind>
class Quantity {
public:
    constexpr Quantity() = default;

    friend constexpr Kind operator+(Kind a, Kind b) { return Kind::from_si(a.si_ + b.si_); }
    friend constexpr Kind operator-(Kind a, Kind b) { return Kind::from_si(a.si_ - b.si_); }
    friend constexpr Kind operator-(Kind a) { return Kind::from_si(-a.si_); }
    friend constexpr Kind operator*(Kind a, double factor) { return Kind::from_si(a.si_ * factor); }
    friend constexpr Kind operator*(double factor, Kind a) { return Kind::from_si(a.si_ * factor); }
    friend constexpr Kind operator/(Kind a, double divisor) { return Kind::from_si(a.si_ / divisor); }
    friend constexpr double operator/(Kind a, Kind b) { return a.si_ / b.si_; }
    friend constexpr Kind& operator+=(Kind& a, Kind b) { return a = a + b; }
    friend constexpr Kind& operator-=(Kind& a, Kind b) { return a = a - b; }
    friend constexpr auto operator<=>(Kind a, Kind b) { return a.si_ <=> b.si_; }
    friend constexpr bool operator==(Kind a, Kind b) { return a.si_ == b.si_; }
    friend constexpr Kind abs(Kind a) { return Kind::from_si(a.si_ < 0 ? -a.si_ : a.si_); }

protected:
    static constexpr Kind from_si(double si) {
        Kind kind;
        kind.si_ = si;
        return kind;
    }
    double si_ = 0.0;
};

class Length : public Quantity<Length> {
    friend class Quantity<Length>;

public:
    static constexpr Length metres(double v) { return from_si(v); }
    static constexpr Length nautical_miles(double v) { return from_si(v * 1852.0); }
    static constexpr Length feet(double v) { return from_si(v * 0.3048); }
    constexpr double metres() const { return si_; }
    constexpr double nautical_miles() const { return si_ / 1852.0; }
    constexpr double feet() const { return si_ / 0.3048; }
};

class Speed : public Quantity<Speed> {
    friend class Quantity<Speed>;

public:
    static constexpr Speed metres_per_second(double v) { return from_si(v); }
    static constexpr Speed knots(double v) { return from_si(v * 1852.0 / 3600.0); }
    constexpr double metres_per_second() const { return si_; }
    constexpr double knots() const { return si_ * 3600.0 / 1852.0; }
};

class VerticalSpeed : public Quantity<VerticalSpeed> {
    friend class Quantity<VerticalSpeed>;

public:
    static constexpr VerticalSpeed feet_per_minute(double v) { return from_si(v * 0.3048 / 60.0); }
    static constexpr VerticalSpeed metres_per_second(double v) { return from_si(v); }
    constexpr double feet_per_minute() const { return si_ / 0.3048 * 60.0; }
    constexpr double metres_per_second() const { return si_; }
};

class Angle : public Quantity<Angle> {
    friend class Quantity<Angle>;

public:
    static constexpr Angle radians(double v) { return from_si(v); }
    static constexpr Angle degrees(double v) { return from_si(v * (std::numbers::pi / 180.0)); }
    constexpr double radians() const { return si_; }
    constexpr double degrees() const { return si_ * (180.0 / std::numbers::pi); }
};

class Mass : public Quantity<Mass> {
    friend class Quantity<Mass>;

public:
    static constexpr Mass kilograms(double v) { return from_si(v); }
    static constexpr Mass pounds(double v) { return from_si(v * 0.45359237); }
    constexpr double kilograms() const { return si_; }
    constexpr double pounds() const { return si_ / 0.45359237; }
};

/// Fuel burnt in a time.
class MassFlow : public Quantity<MassFlow> {
    friend class Quantity<MassFlow>;

public:
    static constexpr MassFlow pounds_per_hour(double v) { return from_si(v * 0.45359237 / 3600.0); }
    constexpr double pounds_per_hour() const { return si_ / 0.45359237 * 3600.0; }
    constexpr double kilograms_per_second() const { return si_; }
};

class Frequency : public Quantity<Frequency> {
    friend class Quantity<Frequency>;

public:
    static constexpr Frequency megahertz(double v) { return from_si(v * 1e6); }
    static constexpr Frequency kilohertz(double v) { return from_si(v * 1e3); }
    constexpr double megahertz() const { return si_ / 1e6; }
    constexpr double kilohertz() const { return si_ / 1e3; }
};

using Duration = std::chrono::duration<double>;
constexpr Duration minutes(double v) {
    return Duration(v * 60.0);
}
constexpr double in_minutes(Duration d) {
    return d.count() / 60.0;
}

// The closed list of products that mean something in flight.
constexpr Length operator*(Speed v, Duration t) {
    return Length::metres(v.metres_per_second() * t.count());
}
constexpr Length operator*(Duration t, Speed v) {
    return v * t;
}
constexpr Duration operator/(Length s, Speed v) {
    return Duration(s.metres() / v.metres_per_second());
}
constexpr Speed operator/(Length s, Duration t) {
    return Speed::metres_per_second(s.metres() / t.count());
}
constexpr Duration operator/(Length h, VerticalSpeed v) {
    return Duration(h.metres() / v.metres_per_second());
}
constexpr Mass operator*(MassFlow f, Duration t) {
    return Mass::kilograms(f.kilograms_per_second() * t.count());
}

inline double sin(Angle a) {
    return std::sin(a.radians());
}
inline double cos(Angle a) {
    return std::cos(a.radians());
}
inline double tan(Angle a) {
    return std::tan(a.radians());
}

inline namespace literals {
constexpr Length operator""_nm(long double v) {
    return Length::nautical_miles(static_cast<double>(v));
}
constexpr Length operator""_nm(unsigned long long v) {
    return Length::nautical_miles(static_cast<double>(v));
}
constexpr Length operator""_ft(long double v) {
    return Length::feet(static_cast<double>(v));
}
constexpr Length operator""_ft(unsigned long long v) {
    return Length::feet(static_cast<double>(v));
}
constexpr Length operator""_m(long double v) {
    return Length::metres(static_cast<double>(v));
}
constexpr Length operator""_m(unsigned long long v) {
    return Length::metres(static_cast<double>(v));
}
constexpr Speed operator""_kt(long double v) {
    return Speed::knots(static_cast<double>(v));
}
constexpr Speed operator""_kt(unsigned long long v) {
    return Speed::knots(static_cast<double>(v));
}
constexpr Angle operator""_deg(long double v) {
    return Angle::degrees(static_cast<double>(v));
}
constexpr Angle operator""_deg(unsigned long long v) {
    return Angle::degrees(static_cast<double>(v));
}
constexpr Frequency operator""_mhz(long double v) {
    return Frequency::megahertz(static_cast<double>(v));
}
constexpr Frequency operator""_khz(unsigned long long v) {
    return Frequency::kilohertz(static_cast<double>(v));
}
}  // namespace literals

}  // namespace omniway::base
