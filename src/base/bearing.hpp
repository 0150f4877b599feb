#pragma once

#include <cmath>

#include "base/quantity.hpp"

namespace omniway::base {

/// How far east of true north a magnetic compass points at a place, at a date.
///   Model     an angle, east positive ("variation east, magnetic least").
///   Domain    any; kept as given.
///   Accuracy  exact; how true the value is belongs to its source.
///   Cost      one double.
///   Fails     never.
///   Source    trade-facts 15: AIM and ARINC 424 field text on variation and station declination.
class Variation {
public:
    constexpr Variation() = default;
    static constexpr Variation east(Angle a) { return Variation(a); }
    constexpr Angle east() const { return east_; }
    friend constexpr bool operator==(Variation, Variation) = default;

private:
    explicit constexpr Variation(Angle east) : east_(east) {}
    Angle east_;
};

/// How far east of true north a station's own zero radial points, as last aligned.
/// Not today's variation at the place: the two drift apart by degrees, and only this one places radials.
class Declination {
public:
    constexpr Declination() = default;
    static constexpr Declination east(Angle a) { return Declination(a); }
    constexpr Angle east() const { return east_; }
    friend constexpr bool operator==(Declination, Declination) = default;

private:
    explicit constexpr Declination(Angle east) : east_(east) {}
    Angle east_;
};

/// A direction clockwise from a named north: true, magnetic (compass), or a station's own zero radial.
///   Model     a point on a circle; the difference of two is an Angle in (-180, 180]; two never add.
///   Domain    any finite angle, brought to [0, 360).
///   Accuracy  one rounding of fmod: below 1e-13 degrees for inputs under 1e4 degrees.
///   Cost      one double.
///   Fails     never; mixing norths does not compile (tests/refused/bearings.cpp).
///   Source    trade-facts 15.
template <class North>
class Bearing {
public:
    constexpr Bearing() = default;
    static Bearing degrees(double d) { return Bearing(wrapped(d)); }
    static Bearing from_north(Angle a) { return degrees(a.degrees()); }
    constexpr double degrees() const { return degrees_; }
    Angle from_north() const { return Angle::degrees(degrees_); }
    Bearing reciprocal() const { return degrees(degrees_ + 180.0); }

    friend Bearing operator+(Bearing b, Angle a) { return degrees(b.degrees_ + a.degrees()); }
    friend Bearing operator-(Bearing b, Angle a) { return degrees(b.degrees_ - a.degrees()); }
    /// The turn from b to a, in (-180, 180]; positive is clockwise (right).
    friend Angle operator-(Bearing a, Bearing b) {
        const double turn = wrapped(a.degrees_ - b.degrees_);
        return Angle::degrees(turn > 180.0 ? turn - 360.0 : turn);
    }
    friend constexpr bool operator==(Bearing, Bearing) = default;

private:
    explicit constexpr Bearing(double d) : degrees_(d) {}
    static double wrapped(double d) {
        const double rest = std::fmod(d, 360.0);
        const double positive = rest < 0.0 ? rest + 360.0 : rest;
        // -1e-20 + 360 rounds to 360; and what is left of -360 is -0, which would be printed with its sign.
        return positive >= 360.0 || positive == 0.0 ? 0.0 : positive;
    }
    double degrees_ = 0.0;
};

struct TrueNorth {};
struct MagneticNorth {};
struct StationNorth {};
using TrueBearing = Bearing<TrueNorth>;
using MagneticBearing = Bearing<MagneticNorth>;
/// A radial, or a course set against one: measured from the zero radial of the station it belongs to.
using Radial = Bearing<StationNorth>;

inline TrueBearing to_true(MagneticBearing b, Variation v) {
    return TrueBearing::degrees(b.degrees() + v.east().degrees());
}
inline MagneticBearing to_magnetic(TrueBearing b, Variation v) {
    return MagneticBearing::degrees(b.degrees() - v.east().degrees());
}
inline TrueBearing to_true(Radial r, Declination d) {
    return TrueBearing::degrees(r.degrees() + d.east().degrees());
}
inline Radial to_radial(TrueBearing b, Declination d) {
    return Radial::degrees(b.degrees() - d.east().degrees());
}

}  // namespace omniway::base
