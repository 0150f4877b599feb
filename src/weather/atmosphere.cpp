#include "weather/atmosphere.hpp"

#include <cmath>

#include "base/contract.hpp"

namespace omniway::weather {

namespace {

// ISO 2533, table 1 and clause 2: the constants that define the standard atmosphere.
constexpr double sea_level_k = 288.15;
constexpr double sea_level_pa = 101325.0;
constexpr double lapse_k_per_m = 0.0065;
constexpr double tropopause_m = 11000.0;
constexpr double tropopause_k = sea_level_k - lapse_k_per_m * tropopause_m;
constexpr double gravity = 9.80665;
constexpr double gas_constant = 287.05287;
constexpr double heat_ratio = 1.4;

constexpr double lowest_m = -5000.0;   // ISO 2533 goes down to -5 km
constexpr double highest_m = 20000.0;  // above 20 km the temperature rises again

double metres_in_domain(base::PressureAltitude level) {
    OMNIWAY_EXPECTS(level.metres() >= lowest_m && level.metres() <= highest_m);
    return level.metres();
}

double pressure_ratio(double height_m) {
    const double exponent = gravity / (gas_constant * lapse_k_per_m);
    if (height_m <= tropopause_m) {
        return std::pow(1.0 - lapse_k_per_m * height_m / sea_level_k, exponent);
    }
    return std::pow(tropopause_k / sea_level_k, exponent) *
           std::exp(-gravity * (height_m - tropopause_m) / (gas_constant * tropopause_k));
}

}  // namespace

base::Temperature standard_temperature(base::PressureAltitude level) {
    const double height_m = metres_in_domain(level);
    return base::Temperature::kelvin(height_m <= tropopause_m ? sea_level_k - lapse_k_per_m * height_m
                                                              : tropopause_k);
}

base::Pressure standard_pressure(base::PressureAltitude level) {
    return base::Pressure::pascals(sea_level_pa * pressure_ratio(metres_in_domain(level)));
}

double density_ratio(base::PressureAltitude level, base::Temperature temperature) {
    return pressure_ratio(metres_in_domain(level)) * sea_level_k / temperature.kelvin();
}

base::Speed speed_of_sound(base::Temperature temperature) {
    return base::Speed::metres_per_second(std::sqrt(heat_ratio * gas_constant * temperature.kelvin()));
}

base::Speed true_airspeed(Mach mach, base::Temperature temperature) {
    return mach.number() * speed_of_sound(temperature);
}

base::Speed true_airspeed(CalibratedAirspeed airspeed, base::PressureAltitude level,
                          base::Temperature temperature) {
    const double sound_at_sea_level =
        speed_of_sound(base::Temperature::kelvin(sea_level_k)).metres_per_second();
    const double share = airspeed.metres_per_second() / sound_at_sea_level;
    OMNIWAY_EXPECTS(share >= 0.0 && share <= 1.0);
    // Trade-facts 7.5: impact pressure over sea-level pressure, then over the pressure here, then back to
    // Mach.
    const double impact = std::pow(1.0 + 0.2 * share * share, 3.5) - 1.0;
    const double here = impact / pressure_ratio(metres_in_domain(level));
    const double mach = std::sqrt(5.0 * (std::pow(here + 1.0, 2.0 / 7.0) - 1.0));
    return true_airspeed(Mach::number(mach), temperature);
}

}  // namespace omniway::weather
