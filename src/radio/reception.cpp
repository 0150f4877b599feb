#include "radio/reception.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "radio/detail/listener.hpp"
#include "radio/line_of_sight.hpp"
#include "radio/service_volume.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Length;
using navdata::ServiceClass;

namespace {

// Common practice, no source.
constexpr Length usual_antenna_height = Length::metres(5.0);
constexpr Length localizer_antenna_height = Length::metres(3.0);

// Parts surveyed no farther apart than this stand on one ground: 80 m is what counts as collocated (Annex 10, trade-facts 10);
// a localizer and its glideslope or DME share an aerodrome and are taken as one ground as well.
constexpr Length one_site = Length::metres(80.0);

std::optional<Altitude> recorded_ground(const navdata::Station& station, Part part, earth::Position place) {
    const auto* localizer = navdata::localizer(station);
    if (part == Part::glideslope && localizer != nullptr && localizer->glideslope &&
        localizer->glideslope->elevation) {
        return localizer->glideslope->elevation;
    }
    if (station.dme && station.dme->elevation &&
        (part == Part::distance || localizer != nullptr || station.dme->position == place ||
         earth::distance(station.dme->position, place) <= one_site)) {
        return station.dme->elevation;
    }
    if (localizer != nullptr && localizer->glideslope) {
        return localizer->glideslope->elevation;
    }
    return std::nullopt;
}

earth::Position position_of(const navdata::Station& station, Part part) {
    if (part == Part::distance && station.dme) {
        return station.dme->position;
    }
    const auto* localizer = navdata::localizer(station);
    if (part == Part::glideslope && localizer != nullptr && localizer->glideslope) {
        return localizer->glideslope->position;
    }
    return navdata::site(station);
}

std::string with_commas(double feet) {
    const long whole = std::lround(feet);
    return std::abs(whole) < 1000 ? fmt::format("{}", whole)
                                  : fmt::format("{},{:03}", whole / 1000, std::abs(whole % 1000));
}

}  // namespace

std::optional<Length> Reception::above_sight() const {
    return lowest ? std::optional(altitude - *lowest) : std::nullopt;
}

std::optional<Length> Reception::within_limit() const {
    return limit > Length() && silence != Silence::overhead ? std::optional(limit - distance) : std::nullopt;
}

AntennaSite antenna_site(const navdata::Station& station, Part part, const earth::Terrain* terrain) {
    AntennaSite site;
    site.antenna.position = position_of(station, part);
    const auto recorded = recorded_ground(station, part, site.antenna.position);
    const auto raster = terrain != nullptr ? terrain->elevation(site.antenna.position) : std::nullopt;
    if (recorded) {
        site.ground = raster ? std::max(*recorded, *raster) : *recorded;
        site.ground_from = SiteGround::record;
    } else if (raster) {
        site.ground = *raster;
        site.ground_from = SiteGround::terrain;
    }
    const bool is_localizer = part == Part::azimuth && navdata::localizer(station) != nullptr;
    site.antenna.altitude = site.ground + (is_localizer ? localizer_antenna_height : usual_antenna_height);
    return site;
}

Antenna antenna_of(const navdata::Station& station, Part part, const earth::Terrain* terrain) {
    return antenna_site(station, part, terrain).antenna;
}

Reception hear(const navdata::Station& station, Part part, earth::Position place, Altitude altitude,
               const Ground& ground) {
    return detail::Listener(station, part, ground).at(place, altitude);
}

std::optional<Length> azimuth_reach(const navdata::Station& station, Altitude altitude,
                                    const Ground& ground) {
    const AntennaSite site = antenna_site(station, Part::azimuth, ground.terrain);
    const Length above = altitude - site.ground;
    if (const auto* azimuth = navdata::vor(station)) {
        const auto radius = service_radius(
            azimuth->service == ServiceClass::unknown ? smallest_of(AidKind::vor) : azimuth->service, above);
        if (!radius || ground.mode == ReceptionMode::volume) {
            return radius;
        }
        return std::min(*radius, line_of_sight(altitude.above_datum(), site.antenna.altitude.above_datum()));
    }
    if (const auto* azimuth = navdata::ndb(station)) {
        return service_radius(
            azimuth->service == ServiceClass::unknown ? smallest_of(AidKind::ndb) : azimuth->service, above);
    }
    return std::nullopt;
}

bool class_is_assumed(const navdata::Station& station) {
    if (const auto* azimuth = navdata::vor(station)) {
        return azimuth->service == ServiceClass::unknown;
    }
    if (const auto* azimuth = navdata::ndb(station)) {
        return azimuth->service == ServiceClass::unknown;
    }
    return false;
}

std::string to_text(const Reception& reception) {
    const double away = reception.distance.nautical_miles();
    const double limit = reception.limit.nautical_miles();
    switch (reception.silence) {
        case Silence::none:
            return fmt::format("heard at {:.1f} NM", away);
        case Silence::no_such_part:
            return "has no such signal";
        case Silence::beyond_service_volume:
            return fmt::format("beyond its {:.0f} NM service volume ({:.1f} NM away)", limit, away);
        case Silence::outside_service_heights:
            return fmt::format("outside the heights of its service volume ({:.1f} NM away)", away);
        case Silence::below_horizon:
            return fmt::format("below the horizon ({:.1f} NM away, line of sight ends at {:.1f} NM)", away,
                               limit);
        case Silence::behind_terrain:
            // Never two equal figures: what is needed is rounded above what is flown.
            return fmt::format(
                "behind the ground at {:.1f} NM from it ({:.1f} NM away: {} ft needed, {} flown)",
                reception.obstacle.nautical_miles(), away,
                with_commas(std::max(std::round(reception.lowest->feet()),
                                     std::round(reception.altitude.feet()) + 1.0)),
                with_commas(reception.altitude.feet()));
        case Silence::overhead:
            return fmt::format("in the cone overhead ({:.1f} NM wide each side)", limit);
        case Silence::outside_sector:
            return fmt::format("outside the {:.0f} degrees either side of its course",
                               reception.sector.degrees());
    }
    return {};
}

std::string to_text(Silence silence) {
    switch (silence) {
        case Silence::none:
            return "heard";
        case Silence::no_such_part:
            return "has no such signal";
        case Silence::beyond_service_volume:
            return "beyond its service volume";
        case Silence::outside_service_heights:
            return "outside the heights of its service volume";
        case Silence::below_horizon:
            return "below the horizon";
        case Silence::behind_terrain:
            return "behind the ground";
        case Silence::overhead:
            return "in the cone overhead";
        case Silence::outside_sector:
            return "outside its sector";
    }
    return {};
}

base::Length slant_range(base::Length over_ground, const DmeHeights& heights) {
    constexpr double radius_m = 6'371'008.8;  // mean radius of WGS 84
    const double from_m = radius_m + heights.antenna.above_datum().metres();
    const double to_m = radius_m + heights.aircraft.above_datum().metres();
    // The law of cosines with 1 - cos written as a sine of half the angle, which does not cancel close in.
    const double half_chord = std::sin(over_ground.metres() / radius_m * 0.5);
    return Length::metres(std::hypot(to_m - from_m, 2.0 * half_chord * std::sqrt(from_m * to_m)));
}

}  // namespace omniway::radio
