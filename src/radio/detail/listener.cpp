#include "radio/detail/listener.hpp"

#include <limits>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"

namespace omniway::radio::detail {

using base::Altitude;
using base::Angle;
using base::Length;
using navdata::ServiceClass;

namespace {

// PANS-OPS I-2-2 (trade-facts 2): half-angles from the vertical.
constexpr Angle vor_cone = Angle::degrees(50.0);
constexpr Angle ndb_cone = Angle::degrees(40.0);

// Closer to its antenna than this the direction in which a localizer is seen is that of the survey, not of the aircraft. Common
// practice, no source.
constexpr Length localizer_overhead = Length::nautical_miles(0.1);

// AIM 1-1-9 (trade-facts 1.3): the sides and reaches of localizer_radius() and glideslope_volume().
constexpr Angle localizer_sector = Angle::degrees(35.0);
constexpr Angle localizer_inner_sector = Angle::degrees(10.0);
constexpr Angle glideslope_sector = Angle::degrees(8.0);
constexpr Length glideslope_range = Length::nautical_miles(10.0);

// No class promises anything above it.
constexpr Altitude top_of_volumes = Altitude::feet(60000.0);

constexpr Length without_end = Length::metres(std::numeric_limits<double>::infinity());

ServiceClass assumed(ServiceClass service, AidKind kind) {
    return service == ServiceClass::unknown ? smallest_of(kind) : service;
}

// How far a class reaches at the height where it reaches farthest: as far as its horizon is asked for.
Length farthest(ServiceClass service) {
    Length reach;
    for (const double height_ft : {1000.0, 5000.0, 12000.0, 12899.0, 14500.0, 17999.0, 30000.0}) {
        reach = std::max(reach, service_radius(service, Length::feet(height_ft)).value_or(Length()));
    }
    return reach;
}

// Parts on one site share one horizon, computed as far as the farther of them reaches.
Length horizon_radius(const navdata::Station& station) {
    Length radius;
    if (const auto* azimuth = navdata::vor(station)) {
        radius = farthest(assumed(azimuth->service, AidKind::vor));
    } else if (navdata::localizer(station) != nullptr) {
        radius = *localizer_radius(Angle());
    }
    if (station.dme) {
        radius = std::max(radius, farthest(assumed(station.dme->service, AidKind::distance)));
    }
    // A little farther: what is heard to the very edge ends a hair beyond it.
    return radius + Length::nautical_miles(0.5);
}

}  // namespace

Listener::Listener(const navdata::Station& station, Part part, const Ground& ground) : mode_(ground.mode) {
    const auto* localizer = navdata::localizer(station);
    if (part == Part::distance) {
        if (station.dme) {
            kind_ = Kind::distance;
            service_ = assumed(station.dme->service, AidKind::distance);
        }
    } else if (part == Part::glideslope) {
        kind_ = localizer != nullptr && localizer->glideslope ? Kind::glideslope : Kind::nothing;
    } else if (const auto* vor = navdata::vor(station)) {
        kind_ = Kind::vor;
        service_ = assumed(vor->service, AidKind::vor);
    } else if (const auto* ndb = navdata::ndb(station)) {
        kind_ = Kind::ndb;
        service_ = assumed(ndb->service, AidKind::ndb);
    } else if (localizer != nullptr) {
        kind_ = Kind::localizer;
    }
    if (kind_ == Kind::nothing) {
        return;
    }
    const AntennaSite site = antenna_site(station, part, ground.terrain);
    antenna_ = site.antenna;
    ground_ = site.ground;
    ground_is_known_ = site.ground_from != SiteGround::not_known;
    if (localizer != nullptr) {
        front_ = base::to_true(localizer->course, localizer->declination).reciprocal();
        glideslope_angle_ = localizer->glideslope ? localizer->glideslope->angle : Angle();
    }
    if (mode_ == ReceptionMode::terrain && kind_ != Kind::ndb) {
        OMNIWAY_EXPECTS(ground.horizons != nullptr);
        horizon_ = ground.horizons->of(antenna_, horizon_radius(station));
    }
}

Length Listener::cone_radius(Altitude altitude) const {
    const Length above = std::max(altitude - ground_, Length());
    switch (kind_) {
        case Kind::vor:
            return above * base::tan(vor_cone);
        case Kind::ndb:
            return above * base::tan(ndb_cone);
        case Kind::localizer:
            return localizer_overhead;
        default:
            return Length();
    }
}

std::optional<Length> Listener::radius_at(Altitude altitude) const {
    return service_radius(service_, altitude - ground_);
}

Reception Listener::within_volume(Length distance, Altitude altitude) const {
    Reception reception;
    reception.distance = distance;
    reception.altitude = altitude;
    if (kind_ == Kind::nothing) {
        return reception;
    }
    reception.site_known = ground_is_known_;
    const auto radius = radius_at(altitude);
    const Length cone = cone_radius(altitude);
    reception.in_cone = distance < cone;
    if (!radius || *radius <= Length()) {  // nothing is promised at and below the transmitter
        reception.silence = Silence::outside_service_heights;
        return reception;
    }
    if (reception.in_cone) {
        reception.silence = Silence::overhead;
        reception.limit = cone;
        return reception;
    }
    reception.limit = *radius;
    reception.silence = distance > *radius + edge ? Silence::beyond_service_volume : Silence::none;
    return reception;
}

FromAntenna Listener::seen(earth::Position place) const {
    const earth::Geodesic line = earth::geodesic(antenna_.position, place);
    return {line.distance, line.initial};
}

Reception Listener::within_sector(const FromAntenna& place, Altitude altitude) const {
    const bool is_localizer = kind_ == Kind::localizer;
    Reception reception;
    reception.distance = place.distance;
    reception.altitude = altitude;
    reception.site_known = ground_is_known_;
    reception.sector = is_localizer ? localizer_sector : glideslope_sector;
    if (is_localizer && place.distance < localizer_overhead) {
        reception.in_cone = true;
        reception.silence = Silence::overhead;
        reception.limit = localizer_overhead;
        return reception;
    }
    const double off_front = std::abs((place.bearing - front_).degrees());
    const Angle off_course =
        Angle::degrees(is_localizer ? std::min(off_front, 180.0 - off_front) : off_front);
    const auto outside = [&](Angle sector) {
        return off_course > sector && place.distance * base::sin(off_course - sector) > edge;
    };
    if (outside(reception.sector)) {
        reception.silence = Silence::outside_sector;
        return reception;
    }
    reception.limit = !is_localizer                     ? glideslope_range
                      : outside(localizer_inner_sector) ? *localizer_radius(localizer_sector)
                                                        : *localizer_radius(Angle());
    if (place.distance > reception.limit + edge) {
        reception.silence = Silence::beyond_service_volume;
    } else if (!within_heights(place.distance, altitude)) {
        reception.silence = Silence::outside_service_heights;
    } else {
        reception.silence = Silence::none;
    }
    return reception;
}

// Bounds above the site hold only where the site's height is known. The lower bound of a localizer's volume, 1,000 ft above the
// highest terrain on its course, is not one of hearing: every final is flown below it, and the line of sight decides there.
bool Listener::within_heights(Length distance, Altitude altitude) const {
    if (!ground_is_known_) {
        return true;
    }
    if (kind_ == Kind::localizer) {
        return altitude <= localizer_altitudes(antenna_.altitude, std::nullopt).highest + edge;
    }
    // The earth falls away under the horizontal at the antenna.
    constexpr double earth_m = 6371008.8 * 4.0 / 3.0;
    const double away_m = std::max(distance.metres(), 1.0);
    const double up_m = (altitude - antenna_.altitude).metres() - away_m * away_m / (2.0 * earth_m);
    const GlideslopePlace place{distance, Angle(), Angle::radians(std::atan2(up_m, away_m))};
    const GlideslopeVolume side = glideslope_volume(place, glideslope_angle_);
    return side != GlideslopeVolume::below && side != GlideslopeVolume::above;
}

Altitude Listener::lowest_over_smooth_earth(Length distance) const {
    // line_of_sight() solved for the aircraft's height.
    const double reach_of_antenna_nm =
        line_of_sight(antenna_.altitude.above_datum(), Length()).nautical_miles();
    const double rest_nm = std::max(distance.nautical_miles() - reach_of_antenna_nm, 0.0);
    const double of_one_foot_nm = line_of_sight(Length::feet(1.0), Length()).nautical_miles();
    return Altitude::feet((rest_nm / of_one_foot_nm) * (rest_nm / of_one_foot_nm));
}

Reception Listener::above_smooth_earth(Reception reception) const {
    const Length horizon = line_of_sight(reception.altitude.above_datum(), antenna_.altitude.above_datum());
    reception.lowest = lowest_over_smooth_earth(reception.distance);
    if (reception.distance > horizon + edge) {
        reception.silence = Silence::below_horizon;
        reception.limit = horizon;
    } else {
        reception.limit = std::min(reception.limit, horizon);
    }
    return reception;
}

Reception Listener::above_terrain(Reception reception, const LowestSight& sight) const {
    reception.ground_known = sight.ground_known;
    reception.lowest = std::max(*reception.lowest, sight.altitude);
    if (sight.limit == SightLimit::terrain) {
        reception.obstacle = sight.obstacle;
    }
    if (reception.altitude < sight.altitude - edge) {
        const bool shaded = sight.limit == SightLimit::terrain;
        reception.silence = shaded ? Silence::behind_terrain : Silence::below_horizon;
        // The two formulas of a smooth earth differ by 0.1 %: what ends here ends at this distance.
        reception.limit = shaded ? reception.limit : std::min(reception.limit, reception.distance);
    }
    return reception;
}

Reception Listener::at(earth::Position place, Altitude altitude) const {
    if (kind_ == Kind::nothing) {
        return {};
    }
    if (!by_distance_alone()) {
        return with_sight(within_sector(seen(place), altitude), [place] { return place; });
    }
    return at(earth::distance(antenna_.position, place), altitude, [place] { return place; });
}

Reception Listener::at(const FromAntenna& place, Altitude altitude) const {
    if (kind_ == Kind::nothing) {
        return {};
    }
    return with_sight(
        by_distance_alone() ? within_volume(place.distance, altitude) : within_sector(place, altitude),
        [&place] { return place; });
}

Length Listener::room(const Reception& reception) const {
    const Length to_limit = abs(reception.limit - reception.distance);
    const Length to_cone = abs(cone_radius(reception.altitude) - reception.distance);
    // The edge of a shadow rises no faster than the ground that throws it: 45 degrees, one along for one up.
    const Length to_sight =
        reception.lowest && horizon_ ? abs(reception.altitude - *reception.lowest) : without_end;
    switch (reception.silence) {
        case Silence::no_such_part:
            return without_end;
        case Silence::none:
            return std::min({to_limit, to_cone, to_sight});
        case Silence::beyond_service_volume:
        case Silence::below_horizon:
            return reception.limit > Length() ? std::min(to_limit, to_cone) : to_cone;
        case Silence::behind_terrain:
            return std::min(to_cone, to_sight);
        case Silence::overhead:
        case Silence::outside_service_heights:
        case Silence::outside_sector:
            return to_cone;
    }
    return Length();
}

std::optional<Altitude> Listener::lowest(earth::Position place, bool& ground_known) const {
    ground_known = true;
    if (kind_ == Kind::nothing) {
        return std::nullopt;
    }
    const Length distance = earth::distance(antenna_.position, place);
    Altitude in_sight = ground_;
    if (needs_sight()) {
        in_sight = lowest_over_smooth_earth(distance);
        if (horizon_) {
            const LowestSight sight = horizon_->lowest_seen(place);
            ground_known = sight.ground_known;
            in_sight = std::max(in_sight, sight.altitude);
        }
    }
    if (!by_distance_alone()) {
        if (kind_ == Kind::glideslope && ground_is_known_) {
            constexpr double usable_share = 0.45;  // of its angle, as glideslope_volume()
            constexpr double earth_m = 6371008.8 * 4.0 / 3.0;
            const double away_m = distance.metres();
            in_sight =
                std::max(in_sight, antenna_.altitude +
                                       Length::metres(away_m * base::tan(glideslope_angle_ * usable_share) +
                                                      away_m * away_m / (2.0 * earth_m)) +
                                       edge);
        }
        const Reception in_sector = within_sector(seen(place), in_sight);
        return in_sector.heard() || in_sector.silence == Silence::overhead ? std::optional(in_sight)
                                                                           : std::nullopt;
    }
    const auto promised = [&](Altitude altitude) {
        const auto radius = radius_at(altitude);
        return radius && distance <= *radius + edge;
    };
    in_sight = std::max(in_sight, kind_ == Kind::ndb ? Altitude() : ground_);
    // Bands of a class begin and end at whole 100 ft; a curve below 1,000 ft is bisected.
    constexpr Length step = Length::feet(100.0);
    for (Altitude below = in_sight, here = in_sight; here <= ground_ + top_of_volumes.above_datum();
         here = here + step) {
        if (promised(here)) {
            for (Altitude silent = below; here - silent > Length::feet(0.5);) {
                const Altitude middle = silent + (here - silent) * 0.5;
                (promised(middle) ? here : silent) = middle;
            }
            return here;
        }
        below = here;
    }
    return std::nullopt;
}

}  // namespace omniway::radio::detail
