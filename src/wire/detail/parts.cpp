#include "wire/detail/parts.hpp"

#include <cmath>

#include "cockpit/morse.hpp"

namespace omniway::wire::detail {

// Decimal units are not exact in binary: rounding to hundredths by division prints "12.34", by multiplication "12.340000000000002".
double tenths(double value) {
    return std::round(value * 10.0) / 10.0;
}
double hundredths(double value) {
    return std::round(value * 100.0) / 100.0;
}
double thousandths(double value) {
    return std::round(value * 1000.0) / 1000.0;
}

Json place(earth::Position position) {
    return {{"latitude_deg", std::round(position.latitude_deg() * 1e7) / 1e7},
            {"longitude_deg", std::round(position.longitude_deg() * 1e7) / 1e7}};
}

Json station_json(const navdata::Station& station) {
    Json json{{"ident", station.ident}, {"kind", navdata::kind_text(station)}};
    if (navdata::ndb(station) != nullptr) {
        json["frequency_khz"] = tenths(station.frequency.kilohertz());
    } else {
        json["frequency_mhz"] = hundredths(station.frequency.megahertz());
    }
    json["morse"] = cockpit::morse(station.ident);
    json["site"] = place(navdata::site(station));
    if (!station.airport.empty()) {
        json["airport"] = station.airport;
    }
    if (station.dme) {
        json["dme_site"] = place(station.dme->position);
        if (station.dme->elevation) {
            json["dme_elevation_msl_ft"] = std::round(station.dme->elevation->feet());
        }
    }
    return json;
}

Json sources_json(std::span<const navdata::Source> sources) {
    Json list = Json::array();
    for (const navdata::Source& source : sources) {
        list.push_back({{"file", source.file},
                        {"format", source.format},
                        {"cycle", source.cycle},
                        {"validity", source.validity},
                        {"checksum", source.checksum}});
    }
    return list;
}

}  // namespace omniway::wire::detail
