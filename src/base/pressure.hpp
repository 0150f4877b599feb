#pragma once

#include "base/quantity.hpp"

namespace omniway::base {

/// Static pressure of air.
///   Model     an amount, held in pascals.
///   Domain    any finite value; an inch of mercury is the conventional one, at 0 degrees Celsius.
///   Accuracy  one rounding: 1 inHg = 3386.389 Pa.
///   Cost      one double.
///   Fails     never.
///   Source    ICAO Annex 5, table 3-4 (pascal); NIST SP 811, appendix B.8 (inch of mercury) [from memory].
class Pressure : public Quantity<Pressure> {
    friend class Quantity<Pressure>;

public:
    static constexpr Pressure pascals(double v) { return from_si(v); }
    static constexpr Pressure hectopascals(double v) { return from_si(v * 100.0); }
    static constexpr Pressure inches_of_mercury(double v) { return from_si(v * 3386.389); }
    constexpr double pascals() const { return si_; }
    constexpr double hectopascals() const { return si_ / 100.0; }
    constexpr double inches_of_mercury() const { return si_ / 3386.389; }
};

}  // namespace omniway::base
