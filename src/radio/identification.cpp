#include "radio/identification.hpp"

namespace omniway::radio {

using cockpit::IdentifiedAid;

cockpit::Identification identification_of(const navdata::Station& station) {
    if (navdata::vor(station) != nullptr) {
        return cockpit::identification(IdentifiedAid::vor);
    }
    if (navdata::localizer(station) != nullptr) {
        return cockpit::identification(IdentifiedAid::localizer);
    }
    return cockpit::identification(navdata::ndb(station) != nullptr ? IdentifiedAid::ndb
                                                                    : IdentifiedAid::dme);
}

std::optional<cockpit::DmeChannel> channel_of(const navdata::Station& station) {
    if (!station.dme) {
        return std::nullopt;
    }
    const auto paired = cockpit::paired_channel(station.frequency);
    return paired ? paired : cockpit::stand_in_channel(station.frequency);
}

std::optional<base::Frequency> glideslope_frequency_of(const navdata::Station& station) {
    const auto* azimuth = navdata::localizer(station);
    return azimuth != nullptr && azimuth->glideslope ? cockpit::paired_glideslope(station.frequency)
                                                     : std::nullopt;
}

}  // namespace omniway::radio
