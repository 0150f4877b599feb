#pragma once

#include "base/altitude.hpp"
#include "base/pressure.hpp"
#include "base/quantity.hpp"
#include "base/temperature.hpp"

namespace omniway::weather {

/// The speed an airspeed indicator without error shows; a true airspeed is a Speed, and the two never mix.
///   Model     sea-level standard calibration of the impact pressure.
///   Domain    0 to 661 kt (subsonic).
///   Accuracy  the errors of instrument and static source are left out: indicated is taken as calibrated.
///   Cost      one double.
///   Fails     never.
///   Source    trade-facts 7.5.
class CalibratedAirspeed : public base::Quantity<CalibratedAirspeed> {
    friend class base::Quantity<CalibratedAirspeed>;

public:
    static constexpr CalibratedAirspeed knots(double v) { return from_si(v * 1852.0 / 3600.0); }
    constexpr double knots() const { return si_ * 3600.0 / 1852.0; }
    constexpr double metres_per_second() const { return si_; }
};

/// A true airspeed as a share of the speed of sound around.
class Mach : public base::Quantity<Mach> {
    friend class base::Quantity<Mach>;

public:
    static constexpr Mach number(double v) { return from_si(v); }
    constexpr double number() const { return si_; }
};

/// Air at a pressure altitude in the International Standard Atmosphere.
///   Model     ISO 2533: 15 degrees Celsius and 1013.25 hPa at sea level, 6.5 K less a kilometre up to 11 km,
///             then constant.
///   Domain    -16 000 to 65 616 ft.
///   Accuracy  defining constants, exact to rounding; agrees with trade-facts 7.4 in every digit printed
///             there.
///   Cost      one power or exponential.
///   Fails     breaks the contract outside the domain.
///   Source    ISO 2533 / ICAO Doc 7488 (constants from memory); table trade-facts 7.4.
base::Temperature standard_temperature(base::PressureAltitude level);
base::Pressure standard_pressure(base::PressureAltitude level);

/// The share of the sea-level standard density of dry air at a pressure altitude and temperature.
double density_ratio(base::PressureAltitude level, base::Temperature temperature);

base::Speed speed_of_sound(base::Temperature temperature);
base::Speed true_airspeed(Mach mach, base::Temperature temperature);

/// True airspeed from the airspeed indicator.
///   Model     compressible, subsonic (Saint-Venant): impact pressure at sea level, then at the level;
///             trade-facts 7.5.
///   Domain    0 to 661 kt calibrated, where the true airspeed stays below the speed of sound.
///   Accuracy  that of the formula, rounding only; agrees with trade-facts 7.5 within 0.06 kt.
///   Cost      three powers.
///   Fails     breaks the contract for a negative or supersonic calibrated airspeed.
///   Source    trade-facts 7.5.
base::Speed true_airspeed(CalibratedAirspeed airspeed, base::PressureAltitude level,
                          base::Temperature temperature);

/// The pressure altitude of an altitude on a standard day (1013.25 hPa at sea level): the same figure.
constexpr base::PressureAltitude on_a_standard_day(base::Altitude altitude) {
    return base::PressureAltitude::above_datum(altitude.above_datum());
}

}  // namespace omniway::weather
