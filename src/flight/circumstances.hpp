#pragma once

#include "aircraft/aircraft.hpp"
#include "earth/magnetic_model.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::flight {

/// In what a flight is compiled and judged: the world, the aircraft, the day and its wind. It refers to what must outlive it.
struct Circumstances {
    const navdata::Snapshot& world;
    const radio::Ground& ground;
    const earth::MagneticModel& model;
    earth::DecimalYear today;
    const aircraft::Aircraft& aircraft;
    const Settings& settings;
    const weather::WindsAloft& winds;
};

}  // namespace omniway::flight
