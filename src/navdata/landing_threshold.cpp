#include "navdata/landing_threshold.hpp"

namespace omniway::navdata {

const Runway* runway_served(const Snapshot& world, const Station& station) {
    const LocalizerAzimuth* azimuth = localizer(station);
    if (azimuth == nullptr) {
        return nullptr;
    }
    for (const RunwayId id : world.runways_of(station.airport)) {
        const Runway& runway = world[id];
        const bool serves =
            azimuth->runway.empty() ? runway.localizer == station.ident : runway.ident == azimuth->runway;
        if (serves) {
            return &runway;
        }
    }
    return nullptr;
}

std::optional<earth::Position> landing_threshold(const Snapshot& world, const Station& station) {
    const Runway* runway = runway_served(world, station);
    return runway != nullptr ? runway->threshold : std::nullopt;
}

}  // namespace omniway::navdata
