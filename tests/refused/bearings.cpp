// Norths that must not meet (base/bearing.hpp). The control holds, under the number of each wrong snippet, the right code next to
// it. Form: tools/refused_to_compile.py.

#include "base/bearing.hpp"

namespace omniway::base {

inline const TrueBearing true_course = TrueBearing::degrees(80.0);
inline const MagneticBearing compass = MagneticBearing::degrees(94.0);
inline const Radial radial = Radial::degrees(92.0);
inline const Variation variation = Variation::east(-14_deg);
inline const Declination declination = Declination::east(-12_deg);

#if SNIPPET == 0
inline const Angle right_1 = true_course - to_true(compass, variation);
inline const TrueBearing right_2 = true_course + 30_deg;
inline const TrueBearing right_3 = to_true(compass, variation);
inline const MagneticBearing right_4 = to_magnetic(true_course, variation);
inline const TrueBearing right_5 = to_true(radial, declination);
inline const TrueBearing right_6 = to_true(compass, variation);
inline const TrueBearing right_7 = to_true(compass, variation);
inline const TrueBearing right_8 = TrueBearing::degrees(90.0);
inline const TrueBearing right_9 = TrueBearing::from_north(90_deg);
inline const bool right_10 = true_course - TrueBearing::degrees(90.0) < 30_deg;
inline const bool right_11 = true_course == to_true(compass, variation);
inline const TrueBearing right_12 = to_true(compass, Variation::east(4_deg));
inline const Variation right_13 = Variation::east(variation.east() + 1_deg);
inline const Angle right_14 = 2.0 * (true_course - TrueBearing::degrees(70.0));
inline const double right_15 = sin(true_course.from_north());
inline const Radial right_16 = to_radial(true_course, declination);
inline const Radial right_17 = to_radial(to_true(compass, variation), declination);
inline const Declination right_18 = Declination::east(-12_deg);
inline const double right_19 = true_course.degrees();

#elif SNIPPET == 1  // a true and a magnetic bearing have no angle between; says: no match for 'operator-'
inline const Angle wrong = true_course - compass;

#elif SNIPPET == 2  // two bearings do not add; says: no match for 'operator+'
inline const auto wrong = true_course + true_course;

#elif SNIPPET == 3  // what the compass shows is no true bearing; says: conversion from
inline const TrueBearing wrong = compass;

#elif SNIPPET == 4  // nor is a true bearing what the compass shows; says: conversion from
inline const MagneticBearing wrong = true_course;

#elif SNIPPET == \
    5  // today's variation does not place a station's radial; says: no matching function for call to 'to_true
inline const TrueBearing wrong = to_true(radial, variation);

#elif SNIPPET == \
    6  // a station's declination does not correct a compass; says: no matching function for call to 'to_true
inline const TrueBearing wrong = to_true(compass, declination);

#elif SNIPPET == 7  // a radial is not what the compass shows; says: invalid initialization of reference
inline const MagneticBearing& wrong = radial;

#elif SNIPPET == \
    8  // a bare number is no bearing: from which north?; says: conversion from 'double' to non-scalar type
inline const TrueBearing wrong = 90.0;

#elif SNIPPET == 9  // an angle is no bearing; says: conversion from
inline const TrueBearing wrong = 90_deg;

#elif SNIPPET == 10  // no bearing is less than another, on a circle; says: no match for 'operator<'
inline const bool wrong = true_course < TrueBearing::degrees(90.0);

#elif SNIPPET == 11  // a true and a magnetic bearing are never equal; says: no match for 'operator=='
inline const bool wrong = true_course == compass;

#elif SNIPPET == \
    12  // an angle is no variation: east or west?; says: no matching function for call to 'to_true
inline const TrueBearing wrong = to_true(compass, 4_deg);

#elif SNIPPET == 13  // a variation and a declination do not add; says: no match for 'operator+'
inline const auto wrong = variation + declination;

#elif SNIPPET == 14  // a bearing is not doubled; says: no match for 'operator*'
inline const auto wrong = 2.0 * true_course;

#elif SNIPPET == 15  // a bearing has no sine, only its angle from north has; says: could not convert
inline const double wrong = omniway::base::sin(true_course);

#elif SNIPPET == \
    16  // a true bearing is no radial before the station's declination is off; says: conversion from
inline const Radial wrong = true_course;

#elif SNIPPET == 17  // a magnetic bearing is no radial at any station; says: conversion from
inline const Radial wrong = compass;

#elif SNIPPET == 18  // today's variation is no station's declination; says: conversion from
inline const Declination wrong = variation;

#elif SNIPPET == 19  // a bearing does not become a bare number unasked; says: to 'const double'
inline const double wrong = true_course;

#endif

}  // namespace omniway::base
