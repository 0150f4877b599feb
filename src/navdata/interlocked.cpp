#include "navdata/interlocked.hpp"

namespace omniway::navdata {

namespace {

constexpr base::Length one_airport = base::Length::nautical_miles(5.0);

}  // namespace

std::vector<StationId> interlocked_with(const Snapshot& world, StationId station) {
    if (localizer(world[station]) == nullptr) {
        return {};
    }
    std::vector<StationId> others = world.stations_within(site(world[station]), one_airport);
    std::erase_if(others, [&](StationId other) {
        return other == station || localizer(world[other]) == nullptr ||
               world[other].frequency != world[station].frequency;
    });
    return others;
}

}  // namespace omniway::navdata
