#pragma once

#include <compare>

namespace omniway::base {

/// How hot it is: a point on the Celsius scale, not an amount; two temperatures never add.
///   Model     kelvin above absolute zero.
///   Domain    any finite value above absolute zero.
///   Accuracy  one rounding: 0 degrees Celsius is 273.15 K.
///   Cost      one double.
///   Fails     never.
///   Source    ICAO Annex 5, table 3-1 and attachment (degree Celsius).
class Temperature {
public:
    constexpr Temperature() = default;
    static constexpr Temperature kelvin(double v) { return Temperature(v); }
    static constexpr Temperature celsius(double v) { return Temperature(v + 273.15); }
    constexpr double kelvin() const { return kelvin_; }
    constexpr double celsius() const { return kelvin_ - 273.15; }
    friend constexpr auto operator<=>(Temperature, Temperature) = default;

private:
    explicit constexpr Temperature(double kelvin) : kelvin_(kelvin) {}
    double kelvin_ = 273.15;
};

}  // namespace omniway::base
