#include "radio/reception.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "radio/line_of_sight.hpp"
#include "radio/service_volume.hpp"

namespace omniway::radio {

using base::Angle;
using base::Length;
using navdata::ServiceClass;

namespace {

// A stretch may be drawn to the very edge of a volume, and rounding in a geodesic must not decide whether it is heard there.
constexpr Length edge = Length::metres(0.1);

Length elevation_of(const navdata::Station& station) {
    if (station.dme && station.dme->elevation) {
        return station.dme->elevation->above_datum();
    }
    return Length();
}

Reception within_volume(ServiceClass service, Length distance, Length above_transmitter, Length elevation,
                        base::Altitude altitude) {
    const auto radius = service_radius(service, above_transmitter);
    if (!radius) {
        return {Silence::outside_service_heights, distance, Length()};
    }
    if (distance > *radius + edge) {
        return {Silence::beyond_service_volume, distance, *radius};
    }
    const Length horizon = line_of_sight(altitude.above_datum(), elevation);
    if (distance > horizon + edge) {
        return {Silence::below_horizon, distance, horizon};
    }
    return {Silence::none, distance, std::min(*radius, horizon)};
}

ServiceClass assumed(ServiceClass service, AidKind kind) {
    return service == ServiceClass::unknown ? smallest_of(kind) : service;
}

// PANS-OPS I-2-2 (trade-facts 2): half-angles from the vertical.
constexpr Angle vor_cone = Angle::degrees(50.0);
constexpr Angle ndb_cone = Angle::degrees(40.0);

bool is_overhead(Length distance, Length above, Angle half_angle) {
    return above > Length() && distance.metres() < above.metres() * base::tan(half_angle);
}

Reception hear(const navdata::Station&, std::monostate, earth::Position, base::Altitude) {
    return {};
}

Reception hear(const navdata::Station&, const navdata::TacanAzimuth&, earth::Position, base::Altitude) {
    return {};  // no civil receiver aboard shows it
}

Reception hear(const navdata::Station& station, const navdata::VorAzimuth& azimuth, earth::Position place,
               base::Altitude altitude) {
    const Length elevation = elevation_of(station);
    const Length above = altitude.above_datum() - elevation;
    const Length distance = earth::distance(azimuth.position, place);
    if (is_overhead(distance, above, vor_cone)) {
        return {Silence::overhead, distance, Length::metres(above.metres() * base::tan(vor_cone))};
    }
    return within_volume(assumed(azimuth.service, AidKind::vor), distance, above, elevation, altitude);
}

Reception hear(const navdata::Station& station, const navdata::NdbAzimuth& azimuth, earth::Position place,
               base::Altitude altitude) {
    const Length distance = earth::distance(azimuth.position, place);
    const Length above = altitude.above_datum() - elevation_of(station);
    if (is_overhead(distance, above, ndb_cone)) {
        return {Silence::overhead, distance, Length::metres(above.metres() * base::tan(ndb_cone))};
    }
    const Length radius = *service_radius(assumed(azimuth.service, AidKind::ndb), above);
    // A beacon's wave follows the ground: no horizon.
    return {distance > radius + edge ? Silence::beyond_service_volume : Silence::none, distance, radius};
}

// Closer to its antenna than this the direction in which a localizer is seen is that of the survey, not of the aircraft. Common
// practice, no source.
constexpr Length localizer_overhead = Length::nautical_miles(0.1);

Reception hear(const navdata::Station&, const navdata::LocalizerAzimuth& azimuth, earth::Position place,
               base::Altitude altitude) {
    const earth::Geodesic line = earth::geodesic(azimuth.position, place);
    if (line.distance < localizer_overhead) {
        return {Silence::overhead, line.distance, localizer_overhead};
    }
    const base::TrueBearing front = base::to_true(azimuth.course, azimuth.declination).reciprocal();
    const double off_front = std::abs((line.initial - front).degrees());
    const Angle off_course = Angle::degrees(std::min(off_front, 180.0 - off_front));
    const auto outside = [&](Angle sector) {
        return off_course > sector && line.distance * base::sin(off_course - sector) > edge;
    };
    if (outside(Angle::degrees(35.0))) {
        return {Silence::outside_sector, line.distance, Length()};
    }
    const Length radius = Length::nautical_miles(outside(Angle::degrees(10.0)) ? 10.0 : 18.0);
    if (line.distance > radius + edge) {
        return {Silence::beyond_service_volume, line.distance, radius};
    }
    const Length horizon = line_of_sight(altitude.above_datum(), Length());
    return {line.distance > horizon + edge ? Silence::below_horizon : Silence::none, line.distance,
            std::min(radius, horizon)};
}

}  // namespace

Reception hear_azimuth(const navdata::Station& station, earth::Position place, base::Altitude altitude) {
    return std::visit([&](const auto& azimuth) { return hear(station, azimuth, place, altitude); },
                      station.azimuth);
}

Reception hear_distance(const navdata::Station& station, earth::Position place, base::Altitude altitude) {
    if (!station.dme) {
        return {};
    }
    const Length elevation = elevation_of(station);
    return within_volume(assumed(station.dme->service, AidKind::distance),
                         earth::distance(station.dme->position, place), altitude.above_datum() - elevation,
                         elevation, altitude);
}

std::optional<Length> azimuth_reach(const navdata::Station& station, base::Altitude altitude) {
    const Length above = altitude.above_datum() - elevation_of(station);
    if (const auto* azimuth = navdata::vor(station)) {
        const auto radius = service_radius(assumed(azimuth->service, AidKind::vor), above);
        if (!radius) {
            return std::nullopt;
        }
        return std::min(*radius, line_of_sight(altitude.above_datum(), elevation_of(station)));
    }
    if (const auto* azimuth = navdata::ndb(station)) {
        return service_radius(assumed(azimuth->service, AidKind::ndb), above);
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
        case Silence::overhead:
            return fmt::format("in the cone overhead ({:.1f} NM wide each side)", limit);
        case Silence::outside_sector:
            return "outside the 35 degrees either side of its course";
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
