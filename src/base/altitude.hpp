#pragma once

#include <compare>

#include "base/quantity.hpp"

namespace omniway::base {

/// A level above a named datum: mean sea level, the ground below, or the standard pressure surface.
///   Model     a point on a vertical axis; the difference of two on one datum is a Length.
///   Domain    any finite value.
///   Accuracy  exact to one rounding.
///   Cost      one double.
///   Fails     never; mixing datums does not compile (tests/refused/altitudes.cpp).
///   Source    ICAO Annex 2, definitions of altitude, height and flight level.
template <class Datum>
class Level {
public:
    constexpr Level() = default;
    static constexpr Level feet(double v) { return Level(Length::feet(v)); }
    static constexpr Level metres(double v) { return Level(Length::metres(v)); }
    static constexpr Level above_datum(Length v) { return Level(v); }
    constexpr double feet() const { return above_.feet(); }
    constexpr double metres() const { return above_.metres(); }
    constexpr Length above_datum() const { return above_; }

    friend constexpr Length operator-(Level a, Level b) { return a.above_ - b.above_; }
    friend constexpr Level operator+(Level a, Length l) { return Level(a.above_ + l); }
    friend constexpr Level operator-(Level a, Length l) { return Level(a.above_ - l); }
    friend constexpr auto operator<=>(Level a, Level b) { return a.above_ <=> b.above_; }
    friend constexpr bool operator==(Level a, Level b) { return a.above_ == b.above_; }

private:
    explicit constexpr Level(Length above) : above_(above) {}
    Length above_;
};

struct MeanSeaLevel {};
struct GroundBelow {};
struct StandardPressure {};
using Altitude = Level<MeanSeaLevel>;
using Height = Level<GroundBelow>;
using PressureAltitude = Level<StandardPressure>;

}  // namespace omniway::base
