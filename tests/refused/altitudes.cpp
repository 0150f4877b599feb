// Levels above different surfaces that must not meet (base/altitude.hpp). The control holds, under the number of each wrong
// snippet, the right code next to it. Form: tools/refused_to_compile.py.

#include "base/altitude.hpp"

namespace omniway::base {

constexpr Altitude above_sea = Altitude::feet(3500.0);
constexpr Height above_ground = Height::feet(1000.0);
constexpr PressureAltitude flight_level = PressureAltitude::feet(18000.0);

constexpr Altitude highest(Altitude altitude) {
    return altitude;
}

#if SNIPPET == 0
constexpr Length right_1 = above_sea - Altitude::feet(500.0);
constexpr bool right_2 = above_sea < Altitude::feet(5000.0);
constexpr bool right_3 = above_sea == Altitude::feet(3500.0);
constexpr Altitude right_4 = above_sea + 1000_ft;
constexpr Altitude right_5 = Altitude::feet(3000.0);
constexpr Altitude right_6 = Altitude::above_datum(3000_ft);
constexpr Altitude right_7 = highest(above_sea);
constexpr Length right_8 = above_sea.above_datum();
constexpr Altitude right_9 = Altitude::feet(2.0 * above_sea.feet());
constexpr Height right_10 = Height::above_datum(above_sea - Altitude::feet(2500.0));
constexpr double right_11 = above_sea.feet();
constexpr Length right_12 = flight_level - PressureAltitude::feet(10000.0);

#elif SNIPPET == 1  // above the sea and above the ground have no difference; says: no match for 'operator-'
constexpr Length wrong = above_sea - above_ground;

#elif SNIPPET == 2  // nor is one less than the other; says: no match for 'operator<'
constexpr bool wrong = above_sea < above_ground;

#elif SNIPPET == 3  // an altitude does not equal a pressure altitude; says: no match for 'operator=='
constexpr bool wrong = above_sea == flight_level;

#elif SNIPPET == 4  // two altitudes do not add; says: no match for 'operator+'
constexpr auto wrong = above_sea + above_sea;

#elif SNIPPET == 5  // a bare number is no altitude; says: conversion from 'double' to non-scalar type
constexpr Altitude wrong = 3000.0;

#elif SNIPPET == 6  // a length is no altitude: above what?; says: conversion from
constexpr Altitude wrong = 3000_ft;

#elif SNIPPET == 7  // a pressure altitude is not taken for an altitude; says: could not convert
constexpr Altitude wrong = highest(flight_level);

#elif SNIPPET == 8  // an altitude is no length; says: conversion from
constexpr Length wrong = above_sea;

#elif SNIPPET == 9  // an altitude is not doubled; says: no match for 'operator*'
constexpr auto wrong = 2.0 * above_sea;

#elif SNIPPET == 10  // an altitude is not taken for a height; says: conversion from
constexpr Height wrong = above_sea;

#elif SNIPPET == 11  // an altitude does not become a bare number unasked; says: to 'const double'
constexpr double wrong = above_sea;

#elif SNIPPET == 12  // a flight level less an altitude is no length; says: no match for 'operator-'
constexpr Length wrong = flight_level - above_sea;

#endif

}  // namespace omniway::base
