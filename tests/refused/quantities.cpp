// Amounts of two kinds that must not meet (base/quantity.hpp, base/pressure.hpp, base/temperature.hpp). The control holds, under
// the number of each wrong snippet, the right code next to it. Form: tools/refused_to_compile.py.

#include "base/pressure.hpp"
#include "base/quantity.hpp"
#include "base/temperature.hpp"

namespace omniway::base {

constexpr Length twice(Length length) {
    return 2.0 * length;
}

#if SNIPPET == 0
constexpr auto right_1 = 3_nm + 500_ft;
constexpr Length right_2 = Length::nautical_miles(12.0);
constexpr Length right_3 = twice(Length::nautical_miles(12.0));
constexpr double right_4 = (12_nm).nautical_miles();
constexpr auto right_5 = Speed::knots(90.0) - Speed::knots(10.0);
constexpr double right_6 = 6_nm / 3_nm;
constexpr Length right_7 = 90_kt * minutes(2.0);
constexpr bool right_8 = 3_nm < 5000_m;
constexpr bool right_9 = 3_nm == Length::nautical_miles(3.0);
constexpr VerticalSpeed right_10 = VerticalSpeed::feet_per_minute(500.0);
constexpr Length right_11 = twice(30_nm);
constexpr Mass right_12 = Mass::pounds(40.0) + MassFlow::pounds_per_hour(60.0) * minutes(10.0);
constexpr auto right_13 = minutes(3.0) + 2_nm / 90_kt;
constexpr Length right_14() {
    Length sum = 3_nm;
    return sum += 90_kt * minutes(2.0);
}
constexpr Duration right_15 = 10_nm / 120_kt;
constexpr Frequency right_16 = Frequency::megahertz(113.5);
constexpr auto right_17 = Pressure::hectopascals(1013.25) - Pressure::inches_of_mercury(29.0);
constexpr bool right_18 = Temperature::celsius(15.0) > Temperature::celsius(13.0);
inline const double right_19 = sin(30_deg);

#elif SNIPPET == 1  // a speed cannot be added to a length; says: no match for 'operator+'
constexpr auto wrong = 3_nm + 500_kt;

#elif SNIPPET == \
    2  // a bare number is no length: of what unit?; says: conversion from 'double' to non-scalar type
constexpr Length wrong = 12.0;

#elif SNIPPET == 3  // nor where a length is asked for; says: could not convert '1.2e+1' from 'double' to
constexpr Length wrong = twice(12.0);

#elif SNIPPET == 4  // nor does a length become a bare number unasked; says: to 'const double'
constexpr double wrong = 12_nm;

#elif SNIPPET == 5  // speed over the ground and rate of climb do not subtract; says: no match for 'operator-'
constexpr auto wrong = Speed::knots(90.0) - VerticalSpeed::feet_per_minute(10.0);

#elif SNIPPET == \
    6  // a length times a length is no length, and no flight needs areas; says: no match for 'operator*'
constexpr auto wrong = 6_nm * 3_nm;

#elif SNIPPET == 7  // a speed times a speed neither; says: no match for 'operator*'
constexpr auto wrong = 90_kt * 90_kt;

#elif SNIPPET == 8  // a length is not less than a speed; says: no match for 'operator<'
constexpr bool wrong = 3_nm < 5000_kt;

#elif SNIPPET == 9  // a length does not equal a bare number; says: no match for 'operator=='
constexpr bool wrong = 3_nm == 3.0;

#elif SNIPPET == 10  // a rate of climb is not given in knots; says: conversion from
constexpr VerticalSpeed wrong = Speed::knots(500.0);

#elif SNIPPET == 11  // an angle is no length; says: could not convert
constexpr Length wrong = twice(30_deg);

#elif SNIPPET == 12  // fuel and fuel flow do not add; says: no match for 'operator+'
constexpr Mass wrong = Mass::pounds(40.0) + MassFlow::pounds_per_hour(60.0);

#elif SNIPPET == 13  // a distance is no time; says: no match for 'operator+'
constexpr auto wrong = minutes(3.0) + 2_nm;

#elif SNIPPET == 14  // a speed cannot be added onto a length; says: no match for 'operator+='
constexpr Length wrong() {
    Length sum = 3_nm;
    return sum += 90_kt;
}

#elif SNIPPET == 15  // a speed over a length is no time; says: no match for 'operator/'
constexpr Duration wrong = 120_kt / 10_nm;

#elif SNIPPET == \
    16  // a frequency is not a bare number of some hertz; says: conversion from 'double' to non-scalar type
constexpr Frequency wrong = 113.5;

#elif SNIPPET == 17  // a pressure and a height do not subtract; says: no match for 'operator-'
constexpr auto wrong = Pressure::hectopascals(1013.25) - 29_ft;

#elif SNIPPET == \
    18  // two temperatures do not add: they are points on a scale; says: no match for 'operator+'
constexpr auto wrong = Temperature::celsius(15.0) + Temperature::celsius(13.0);

#elif SNIPPET == 19  // a bare number has no sine here: degrees or radians?; says: could not convert
inline const double wrong = omniway::base::sin(30.0);

#endif

}  // namespace omniway::base
