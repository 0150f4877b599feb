#include "procedure/marker_check.hpp"

#include "earth/geodesic.hpp"
#include "navdata/landing_threshold.hpp"
#include "procedure/vertical.hpp"

namespace omniway::procedure {

MarkerCheck marker_check(const navdata::Snapshot& world, const navdata::Marker& marker) {
    const auto id = world.localizer_of(marker.airport, marker.localizer);
    if (!id) {
        return {};
    }
    const navdata::Station& station = world[*id];
    MarkerCheck check;
    if (const auto threshold = navdata::landing_threshold(world, station)) {
        check.before_threshold = earth::distance(*threshold, marker.position);
    }
    const auto& glideslope = navdata::localizer(station)->glideslope;
    // Over a back course marker there is no glide path.
    if (glideslope && marker.kind != navdata::MarkerKind::back_course) {
        if (const auto path = glide_path(*glideslope, navdata::runway_served(world, station))) {
            check.on_glide_path = altitude_on(*path, earth::distance(path->foot, marker.position));
        }
    }
    return check;
}

}  // namespace omniway::procedure
