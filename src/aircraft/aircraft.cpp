#include "aircraft/aircraft.hpp"

namespace omniway::aircraft {

base::Mass reserve_fuel(const Aircraft& aircraft, base::Altitude cruise) {
    return fuel_flow_cruise(aircraft.performance, cruise) * aircraft.fuel.reserve;
}

}  // namespace omniway::aircraft
