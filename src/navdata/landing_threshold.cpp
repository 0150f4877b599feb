#include "navdata/landing_threshold.hpp"

namespace omniway::navdata {

std::optional<earth::Position> landing_threshold(const Snapshot& world, const Station& station) {
    const LocalizerAzimuth* azimuth = localizer(station);
    if (azimuth == nullptr) {
        return std::nullopt;
    }
    for (const RunwayId id : world.runways_of(station.airport)) {
        const Runway& runway = world[id];
        const bool serves =
            azimuth->runway.empty() ? runway.localizer == station.ident : runway.ident == azimuth->runway;
        if (serves) {
            return runway.threshold;
        }
    }
    return std::nullopt;
}

}  // namespace omniway::navdata
