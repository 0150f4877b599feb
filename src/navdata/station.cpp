#include "navdata/station.hpp"

#include <fmt/format.h>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"

namespace omniway::navdata {

namespace {

std::string localizer_text(const LocalizerAzimuth& azimuth) {
    switch (kind_of(azimuth)) {
        case LocalizerKind::directional_aid:
            return azimuth.glideslope ? "LDA/GS" : "LDA";
        case LocalizerKind::simplified:
            return azimuth.glideslope ? "SDF/GS" : "SDF";
        case LocalizerKind::aligned:
            break;
    }
    return azimuth.glideslope ? "ILS" : "LOC";
}

}  // namespace

const VorAzimuth* vor(const Station& station) {
    return std::get_if<VorAzimuth>(&station.azimuth);
}

const NdbAzimuth* ndb(const Station& station) {
    return std::get_if<NdbAzimuth>(&station.azimuth);
}

const LocalizerAzimuth* localizer(const Station& station) {
    return std::get_if<LocalizerAzimuth>(&station.azimuth);
}

earth::Position site(const Station& station) {
    if (const auto* azimuth = vor(station)) {
        return azimuth->position;
    }
    if (const auto* azimuth = std::get_if<TacanAzimuth>(&station.azimuth)) {
        return azimuth->position;
    }
    if (const auto* azimuth = ndb(station)) {
        return azimuth->position;
    }
    if (const auto* azimuth = localizer(station)) {
        return azimuth->position;
    }
    OMNIWAY_EXPECTS(station.dme.has_value());
    return station.dme->position;
}

LocalizerKind kind_of(const LocalizerAzimuth& azimuth) {
    const char letter = azimuth.category.empty() ? ' ' : azimuth.category.front();
    switch (letter) {
        case 'L':
        case 'A':
            return LocalizerKind::directional_aid;
        case 'S':
        case 'F':
            return LocalizerKind::simplified;
        default:
            return LocalizerKind::aligned;
    }
}

bool has_back_course(const LocalizerAzimuth& azimuth) {
    return kind_of(azimuth) == LocalizerKind::aligned;
}

std::string kind_text(const Station& station) {
    const bool distance = station.dme.has_value();
    if (vor(station) != nullptr) {
        return distance ? "VOR/DME" : "VOR";
    }
    if (std::holds_alternative<TacanAzimuth>(station.azimuth)) {
        return "TACAN";
    }
    if (ndb(station) != nullptr) {
        return distance ? "NDB/DME" : "NDB";
    }
    if (const auto* azimuth = localizer(station)) {
        const std::string kind = localizer_text(*azimuth);
        return distance ? kind + "/DME" : kind;
    }
    return "DME";
}

std::string frequency_text(const Station& station) {
    if (ndb(station) != nullptr) {
        const double khz = station.frequency.kilohertz();
        return khz == static_cast<double>(static_cast<long>(khz)) ? fmt::format("{:.0f}", khz)
                                                                  : fmt::format("{:.1f}", khz);
    }
    return fmt::format("{:.2f}", station.frequency.megahertz());
}

std::optional<base::Radial> radial_of(const Station& station, earth::Position place) {
    if (const auto* azimuth = vor(station)) {
        return base::to_radial(earth::bearing(azimuth->position, place), azimuth->declination);
    }
    if (const auto* azimuth = localizer(station)) {
        return base::to_radial(earth::bearing(azimuth->position, place), azimuth->declination);
    }
    return std::nullopt;
}

}  // namespace omniway::navdata
