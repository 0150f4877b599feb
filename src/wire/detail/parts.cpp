#include "wire/detail/parts.hpp"

#include <array>
#include <cmath>

#include "base/clock.hpp"
#include "cockpit/morse.hpp"
#include "plan/wording.hpp"

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

Json feet(const std::optional<base::Altitude>& altitude) {
    return altitude ? Json(std::round(altitude->feet())) : Json(nullptr);
}

std::string_view kind_word(navdata::ProcedureKind kind) {
    switch (kind) {
        case navdata::ProcedureKind::departure:
            return "departure";
        case navdata::ProcedureKind::arrival:
            return "arrival";
        case navdata::ProcedureKind::approach:
            break;
    }
    return "approach";
}

std::string_view marker_word(navdata::MarkerKind kind) {
    switch (kind) {
        case navdata::MarkerKind::outer:
            break;
        case navdata::MarkerKind::middle:
            return "middle";
        case navdata::MarkerKind::inner:
            return "inner";
        case navdata::MarkerKind::back_course:
            return "back_course";
    }
    return "outer";
}

std::string_view turn_word(navdata::Turn turn) {
    switch (turn) {
        case navdata::Turn::unspecified:
            break;
        case navdata::Turn::left:
            return "left";
        case navdata::Turn::right:
            return "right";
        case navdata::Turn::either:
            return "either";
    }
    return "unspecified";
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

Json telling_json(const navdata::Snapshot& world, const fixing::Telling& telling) {
    struct Write {
        const navdata::Snapshot& world;
        Json operator()(const fixing::Overhead& way) const {
            return {{"kind", "overhead"}, {"station", station_json(world[way.station])}};
        }
        Json operator()(const fixing::DmeReading& way) const {
            return {{"kind", "dme"},
                    {"station", station_json(world[way.station])},
                    {"slant_range_nm", thousandths(way.slant_range.nautical_miles())}};
        }
        Json operator()(const fixing::CrossingRadial& way) const {
            return {{"kind", "crossing_radial"},
                    {"station", station_json(world[way.station])},
                    {"radial_deg", hundredths(way.radial.degrees())}};
        }
        Json operator()(const fixing::CrossingBearing& way) const {
            return {{"kind", "crossing_bearing"},
                    {"station", station_json(world[way.station])},
                    {"bearing_to_station_true_deg", hundredths(way.to_station.degrees())}};
        }
        Json operator()(const fixing::CrossingLocalizer& way) const {
            return {{"kind", "crossing_localizer"}, {"station", station_json(world[way.station])}};
        }
    };
    Json json = std::visit(Write{world}, telling.way);
    json["along_error_nm"] = hundredths(telling.along_error.nautical_miles());
    json["crossing_deg"] = tenths(telling.crossing.degrees());
    return json;
}

Json winds_aloft_json(const weather::WindsAloft& winds) {
    Json levels = Json::array();
    for (std::size_t i = 1; i < winds.levels().size(); ++i) {
        const weather::WindAt& level = winds.levels()[i];
        levels.push_back({{"altitude_msl_ft", feet(level.altitude)}, {"wind", weather::to_text(level.wind)}});
    }
    return levels;
}

Json level_changes_json(const flight::Flight& flight) {
    Json list = Json::array();
    for (const flight::LevelChange& change : flight.level_changes) {
        list.push_back({{"at", change.at},
                        {"from_msl_ft", feet(change.from)},
                        {"to_msl_ft", feet(change.to)},
                        {"fix_from_start_nm", thousandths(change.fix_along.nautical_miles())},
                        {"begins_from_start_nm", thousandths(change.begins.nautical_miles())},
                        {"ends_from_start_nm", thousandths(change.ends.nautical_miles())}});
    }
    return list;
}

Json costs_json(const flight::Costs& costs) {
    const flight::Margin& margin = costs.margin;
    return {{"time_min", hundredths(base::in_minutes(costs.time))},
            {"work_points", hundredths(costs.work)},
            {"margin_share", thousandths(margin.least())},
            {"reception_share", thousandths(margin.reception)},
            {"reception_at", margin.reception_at},
            {"fix_share", thousandths(margin.fix)},
            {"fix_at", margin.fix_at},
            {"width_share", thousandths(margin.width)},
            {"width_at", margin.width_at}};
}

Json reception_json(radio::ReceptionMode mode, bool terrain_known) {
    constexpr std::array<std::string_view, 3> modes = {"volume", "horizon", "terrain"};
    return {{"mode", modes[static_cast<std::size_t>(mode)]},
            {"terrain_in_atlas", terrain_known},
            {"says", plan::reception_text(mode, terrain_known)}};
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
