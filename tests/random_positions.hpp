#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

#include <rapidcheck.h>

#include "earth/position.hpp"

namespace omniway::testing {

/// A number evenly between two, in steps of a 2^-30 part of the way: whole range from the first try on, and it shrinks
/// toward `from`.
inline rc::Gen<double> between(double from, double to) {
    constexpr std::int64_t steps = std::int64_t{1} << 30;
    return rc::gen::map(rc::gen::resize(rc::kNominalSize, rc::gen::inRange<std::int64_t>(0, steps + 1)),
                        [=](std::int64_t step) {
                            return from +
                                   (to - from) * static_cast<double>(step) / static_cast<double>(steps);
                        });
}

/// A place anywhere on the earth, all areas alike likely.
inline rc::Gen<earth::Position> anywhere() {
    return rc::gen::apply(
        [](double sine, double longitude) {
            return earth::Position::degrees(std::asin(sine) * 180.0 / std::numbers::pi, longitude);
        },
        between(-1.0, 1.0), between(-180.0, 180.0));
}

/// A place within half a degree of longitude of the antimeridian.
inline rc::Gen<earth::Position> near_the_antimeridian() {
    return rc::gen::apply(
        [](double latitude, double east) { return earth::Position::degrees(latitude, 180.0 + east); },
        between(-75.0, 75.0), between(-0.5, 0.5));
}

/// A place within one degree of a pole, the pole included.
inline rc::Gen<earth::Position> near_a_pole() {
    return rc::gen::apply(
        [](bool north, double off, double longitude) {
            return earth::Position::degrees(north ? 90.0 - off : off - 90.0, longitude);
        },
        rc::gen::arbitrary<bool>(), between(0.0, 1.0), between(-180.0, 180.0));
}

inline rc::Gen<earth::Position> anywhere_and_at_the_edges() {
    return rc::gen::oneOf(anywhere(), near_the_antimeridian(), near_a_pole());
}

}  // namespace omniway::testing

namespace rc {

inline void showValue(const omniway::earth::Position& position, std::ostream& out) {
    out << position.latitude_deg() << ' ' << position.longitude_deg();
}

}  // namespace rc
