#include "debrief/instruments.hpp"

#include "earth/geodesic.hpp"
#include "navdata/landing_threshold.hpp"

namespace omniway::debrief {

using radio::Silence;

std::optional<navdata::StationId> Instruments::named(const flight::NamedAid& aid,
                                                     earth::Position near) const {
    constexpr base::Length within = base::Length::nautical_miles(250.0);
    for (const navdata::StationId id : circumstances_.world.stations_within(near, within)) {
        const navdata::Station& station = circumstances_.world[id];
        if (station.ident == aid.ident && station.frequency == aid.frequency) {
            return id;
        }
    }
    return std::nullopt;
}

Silence Instruments::silence(navdata::StationId station, radio::Part part, const Moment& moment,
                             bool published) {
    const std::pair key{station.index, part};
    auto found = prepared_.find(key);
    if (found == prepared_.end()) {
        found = prepared_
                    .emplace(key, radio::PreparedReception(circumstances_.world[station], part,
                                                           circumstances_.ground))
                    .first;
    }
    const Silence silence = found->second.at(moment.place, moment.altitude).silence;
    switch (silence) {
        case Silence::none:
        case Silence::no_such_part:
        case Silence::overhead:
        case Silence::outside_sector:
            return silence;
        case Silence::beyond_service_volume:
        case Silence::outside_service_heights:
        case Silence::below_horizon:
        case Silence::behind_terrain:
            break;
    }
    return published ? Silence::none : silence;
}

cockpit::Indication Instruments::shows(navdata::StationId station, Silence silence,
                                       const cockpit::IndicatorSetting& setting, const Moment& moment) const {
    const base::Variation variation = circumstances_.model.variation(moment.place, circumstances_.today);
    const navdata::Station& record = circumstances_.world[station];
    radio::Tuned tuned{record, silence, navdata::landing_threshold(circumstances_.world, record)};
    const auto part = std::holds_alternative<cockpit::DistanceSetting>(setting)     ? radio::Part::distance
                      : std::holds_alternative<cockpit::GlideslopeSetting>(setting) ? radio::Part::glideslope
                                                                                    : radio::Part::azimuth;
    if (part != radio::Part::azimuth && silence == Silence::none) {
        tuned.antenna = radio::antenna_site(record, part, circumstances_.ground.terrain).antenna.altitude;
    }
    return radio::indication(
        tuned, setting,
        {moment.place, moment.altitude, base::to_magnetic(moment.track, variation), variation});
}

base::MagneticBearing Instruments::magnetic(base::TrueBearing bearing, earth::Position place) const {
    return base::to_magnetic(bearing, circumstances_.model.variation(place, circumstances_.today));
}

}  // namespace omniway::debrief
