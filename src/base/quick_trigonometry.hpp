#pragma once

#include <cmath>
#include <cstdint>
#include <numbers>

namespace omniway::base {

struct SineCosine {
    double sine = 0.0;
    double cosine = 0.0;
};

namespace detail {

// An angle within an eighth of a turn, by Taylor's series: what is left off is below x^12 / 12!.
inline SineCosine within_an_eighth(double x) {
    const double y = x * x;
    const double sine =
        x + x * y *
                (-1.0 / 6.0 +
                 y * (1.0 / 120.0 + y * (-1.0 / 5040.0 + y * (1.0 / 362880.0 + y * (-1.0 / 39916800.0)))));
    const double cosine =
        1.0 + y * (-1.0 / 2.0 +
                   y * (1.0 / 24.0 + y * (-1.0 / 720.0 + y * (1.0 / 40320.0 + y * (-1.0 / 3628800.0)))));
    return {sine, cosine};
}

// An arc tangent of up to tan(pi / 8): its polynomial in t^2 through the six nodes of Chebyshev in [0, tan^2(pi / 8)].
inline double arc_of(double t) {
    const double u = t * t;
    const double v = u * u;
    const double low = 0.9999999993712282 + u * -0.33333306893048514;
    const double middle = 0.19998183041083206 + u * -0.14239532669648974;
    const double high = 0.10569828806414448 + u * -0.06026305227658459;
    return t * (low + v * (middle + v * high));
}

}  // namespace detail

/// An angle brought within half a turn to either side, in the unit in which `turn` is a whole one.
///   Model     nearly always it lies within a turn and a half, and the rounding, a call of the C library, is not needed.
///   Domain    finite angles.
///   Accuracy  that of a subtraction (quick_trigonometry_test.cpp, against std::remainder).
///   Cost      two comparisons.
///   Fails     never.
///   Source    -
inline double quick_wrapped(double angle, double turn) {
    if (std::abs(angle) <= turn / 2.0) {
        return angle;
    }
    if (std::abs(angle) < turn * 1.5) {
        return angle - std::copysign(turn, angle);
    }
    return angle - turn * std::nearbyint(angle / turn);
}

/// Sine and cosine where their cost matters and a nanoradian does not: the inner loops of simulations.
///   Model     the angle less whole quarters of a turn, and Taylor's series to the eleventh power.
///   Domain    a million radians to either side.
///   Accuracy  within 1e-9 (quick_trigonometry_test.cpp, against the C library).
///   Cost      some thirty operations in line, no call, no table.
///   Fails     never.
///   Source    Abramowitz and Stegun 4.3.65 and 4.3.66, from memory.
inline SineCosine quick_sine_cosine(double rad) {
    constexpr double quarter = std::numbers::pi / 2.0;
    const double quarters = rad * (1.0 / quarter);
    const auto whole = static_cast<std::int64_t>(quarters + std::copysign(0.5, quarters));
    const SineCosine rest = detail::within_an_eighth(rad - static_cast<double>(whole) * quarter);
    const bool swapped = (whole & 1) != 0;
    const double sine = swapped ? rest.cosine : rest.sine;
    const double cosine = swapped ? rest.sine : rest.cosine;
    return {(whole & 2) != 0 ? -sine : sine, ((whole + 1) & 2) != 0 ? -cosine : cosine};
}

/// The direction of an arrow from the first axis toward the second, -pi to pi, as std::atan2(second, first), with the same aim.
///   Model     the arc brought within pi / 8 by taking pi / 4 off, and a polynomial.
///   Domain    finite arrows; one without length points along the first axis.
///   Accuracy  within 1e-9 radians (quick_trigonometry_test.cpp, against the C library).
///   Cost      some thirty operations in line, no call, no table.
///   Fails     never.
///   Source    Abramowitz and Stegun 4.4.34, from memory; the polynomial by Chebyshev's interpolation.
inline double quick_direction(double second, double first) {
    constexpr double pi = std::numbers::pi;
    constexpr double tan_of_an_eighth = std::numbers::sqrt2 - 1.0;
    const double across = std::abs(second);
    const double along = std::abs(first);
    const bool steep = across > along;
    const double less = steep ? along : across;
    const double more = steep ? across : along;
    if (!(more > 0.0)) {
        return 0.0;
    }
    const bool far = less > more * tan_of_an_eighth;
    const double t = far ? (less - more) / (less + more) : less / more;
    const double arc = detail::arc_of(t) + (far ? pi / 4.0 : 0.0);
    const double right = steep ? pi / 2.0 - arc : arc;
    return std::copysign(first < 0.0 ? pi - right : right, second);
}

}  // namespace omniway::base
