#include "aircraft/turn.hpp"

#include <cmath>

#include "base/contract.hpp"

namespace omniway::aircraft {

namespace {

constexpr double gravity = 9.80665;  // m/s2, standard
constexpr base::Angle planned_bank = base::Angle::degrees(25.0);

}  // namespace

Turn turn_at_rate(base::Speed true_airspeed, TurnRate rate) {
    OMNIWAY_EXPECTS(true_airspeed > base::Speed() && rate > TurnRate());
    const double v = true_airspeed.metres_per_second();
    const double omega = rate.radians_per_second();
    return {.bank = base::Angle::radians(std::atan(v * omega / gravity)),
            .rate = rate,
            .radius = base::Length::metres(v / omega)};
}

Turn turn_at_bank(base::Speed true_airspeed, base::Angle bank) {
    OMNIWAY_EXPECTS(true_airspeed > base::Speed());
    OMNIWAY_EXPECTS(bank > base::Angle() && bank < base::Angle::degrees(90.0));
    const double v = true_airspeed.metres_per_second();
    const double omega = gravity * base::tan(bank) / v;
    return {
        .bank = bank, .rate = TurnRate::radians_per_second(omega), .radius = base::Length::metres(v / omega)};
}

Turn planned_turn(base::Speed true_airspeed) {
    const Turn standard = turn_at_rate(true_airspeed, standard_rate);
    return standard.bank <= planned_bank ? standard : turn_at_bank(true_airspeed, planned_bank);
}

}  // namespace omniway::aircraft
