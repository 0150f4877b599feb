#pragma once

#include "aircraft/aircraft.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::testing {

/// An invented light twin for tests: 150 kt, 18,000 ft, six hours of fuel, with the radios asked for.
inline aircraft::Aircraft aircraft_with(const Aboard& aboard) {
    using base::Altitude;
    using base::MassFlow;
    using base::Speed;
    using base::VerticalSpeed;
    using weather::CalibratedAirspeed;
    aircraft::Aircraft all;
    all.name = "drawn twin";
    all.equipment = equipment(aboard);
    all.performance.climb = {.airspeed = CalibratedAirspeed::knots(110),
                             .mach_limit = std::nullopt,
                             .rate_at_sea_level = VerticalSpeed::feet_per_minute(1500),
                             .rate_at_ceiling = VerticalSpeed::feet_per_minute(100),
                             .fuel_flow = MassFlow::pounds_per_hour(150)};
    all.performance.cruise = {{.altitude = Altitude::feet(4000),
                               .true_airspeed = Speed::knots(150),
                               .fuel_flow = MassFlow::pounds_per_hour(120)}};
    all.performance.descent = {.airspeed = CalibratedAirspeed::knots(140),
                               .mach_limit = std::nullopt,
                               .rate = VerticalSpeed::feet_per_minute(800),
                               .fuel_flow = MassFlow::pounds_per_hour(80)};
    all.performance.approach_speed = CalibratedAirspeed::knots(90);
    all.performance.service_ceiling = Altitude::feet(18000);
    all.fuel.usable = base::Mass::pounds(720);
    all.fuel.taxi = base::Mass::pounds(10);
    all.fuel.reserve = base::minutes(45);
    all.runway_need.take_off = base::Length::feet(3000);
    all.runway_need.landing = base::Length::feet(3000);
    all.wind_limits.crosswind = Speed::knots(20);
    all.wind_limits.tailwind = Speed::knots(5);
    return all;
}

}  // namespace omniway::testing
