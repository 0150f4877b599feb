#include "procedure/hold_limits.hpp"

#include "base/contract.hpp"

namespace omniway::procedure {

using aircraft::ApproachCategory;
using base::Altitude;
using weather::CalibratedAirspeed;
using weather::Mach;

namespace {

bool slow(ApproachCategory category) {
    return category == ApproachCategory::a || category == ApproachCategory::b;
}

HoldSpeed faa_speed(Altitude altitude) {
    const double knots = altitude <= Altitude::feet(6000.0)    ? 200.0
                         : altitude <= Altitude::feet(14000.0) ? 230.0
                                                               : 265.0;
    return {.indicated = CalibratedAirspeed::knots(knots), .mach = std::nullopt};
}

HoldSpeed icao_speed(Altitude altitude, ApproachCategory category, Air air) {
    const bool rough = air == Air::turbulent;
    if (altitude <= Altitude::feet(14000.0)) {
        const double knots = slow(category) ? 170.0 : rough ? 280.0 : 230.0;
        return {.indicated = CalibratedAirspeed::knots(knots), .mach = std::nullopt};
    }
    if (altitude > Altitude::feet(34000.0)) {
        return {.indicated = std::nullopt, .mach = Mach::number(0.83)};
    }
    if (rough) {
        return {.indicated = CalibratedAirspeed::knots(280.0), .mach = Mach::number(0.80)};
    }
    return {.indicated = CalibratedAirspeed::knots(altitude <= Altitude::feet(20000.0) ? 240.0 : 265.0),
            .mach = std::nullopt};
}

}  // namespace

HoldTime hold_time(Altitude altitude, radio::Criteria criteria) {
    return {.time = base::minutes(altitude <= Altitude::feet(14000.0) ? 1.0 : 1.5),
            .leg = criteria == radio::Criteria::terps ? TimedLeg::inbound : TimedLeg::outbound};
}

HoldSpeed hold_speed(Altitude altitude, radio::Criteria criteria, ApproachCategory category, Air air) {
    return criteria == radio::Criteria::terps ? faa_speed(altitude) : icao_speed(altitude, category, air);
}

aircraft::Turn hold_turn(base::Speed true_airspeed, radio::Criteria criteria, FlightDirector director) {
    const bool steep = criteria == radio::Criteria::terps && director == FlightDirector::absent;
    const base::Angle bank = base::Angle::degrees(steep ? 30.0 : 25.0);
    const aircraft::Turn standard = aircraft::turn_at_rate(true_airspeed, aircraft::standard_rate);
    return standard.bank <= bank ? standard : aircraft::turn_at_bank(true_airspeed, bank);
}

base::Angle tripled_correction(base::Angle inbound_correction) {
    return inbound_correction * -3.0;
}

}  // namespace omniway::procedure
