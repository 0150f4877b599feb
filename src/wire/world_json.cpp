#include "wire/world_json.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "cockpit/morse.hpp"
#include "radio/marker_fan.hpp"
#include "wire/detail/parts.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using detail::hundredths;
using detail::Json;
using detail::place;
using detail::thousandths;
using navdata::Snapshot;

Json document(const char* kind) {
    return {{"schema_version", schema_version}, {"kind", kind}, {"caution", detail::caution}};
}

// Which symbol stands for it: by its parts, whatever a source calls it.
std::string_view symbol_word(const navdata::Station& station) {
    const bool dme = station.dme.has_value();
    if (navdata::vor(station) != nullptr) {
        const std::string kind = navdata::kind_text(station);
        return kind == "VORTAC" ? "vortac" : dme ? "vor_dme" : "vor";
    }
    if (navdata::ndb(station) != nullptr) {
        return dme ? "ndb_dme" : "ndb";
    }
    if (navdata::localizer(station) != nullptr) {
        return "localizer";
    }
    return std::holds_alternative<navdata::TacanAzimuth>(station.azimuth) ? "tacan" : "dme";
}

// To which its rose is turned; what has no rose has none.
Json rose_zero(const navdata::Station& station) {
    if (const auto* azimuth = navdata::vor(station)) {
        return hundredths(azimuth->declination.east().degrees());
    }
    if (const auto* azimuth = std::get_if<navdata::TacanAzimuth>(&station.azimuth)) {
        return hundredths(azimuth->declination.east().degrees());
    }
    return nullptr;
}

Json station_json(const navdata::Station& station) {
    const auto* localizer = navdata::localizer(station);
    return {{"ident", station.ident},
            {"name", station.name},
            {"kind", symbol_word(station)},
            {"says", navdata::kind_text(station)},
            {"frequency", navdata::frequency_text(station)},
            {"morse", cockpit::morse(station.ident)},
            {"place", place(navdata::site(station))},
            {"airport", station.airport},
            {"rose_zero_true_deg", rose_zero(station)},
            {"front_course_true_deg",
             localizer != nullptr
                 ? Json(hundredths(std::fmod(
                       localizer->course.degrees() + localizer->declination.east().degrees() + 360.0, 360.0)))
                 : Json(nullptr)}};
}

Json marker_json(const Snapshot& world, const navdata::Marker& marker) {
    const auto axis = radio::minor_axis(world, marker);
    return {{"kind", detail::marker_word(marker.kind)},
            {"airport", marker.airport},
            {"localizer", marker.localizer},
            {"place", place(marker.position)},
            {"minor_axis_true_deg", axis ? Json(hundredths(axis->degrees())) : Json(nullptr)}};
}

Json course(const std::optional<base::Radial>& radial) {
    return radial ? Json(hundredths(radial->degrees())) : Json(nullptr);
}

Json minimum(const navdata::PublishedMinimum& published) {
    const auto* altitude = std::get_if<base::Altitude>(&published);
    return altitude != nullptr ? Json(std::round(altitude->feet())) : Json(nullptr);
}

Json airway_json(const Snapshot& world, const plan::ChartAirway& airway) {
    const navdata::AirwaySegment& segment = airway.segment;
    return {
        {"designator", airway.designator},
        {"area_navigation_only", airway.area_navigation_only},
        {"from", world.ident(segment.from)},
        {"to", world.ident(segment.to)},
        {"from_place", place(world.position(segment.from))},
        {"to_place", place(world.position(segment.to))},
        {"course_magnetic_deg", course(segment.outbound_course)},
        {"back_course_magnetic_deg",
         course(segment.inbound_course ? std::optional(segment.inbound_course->reciprocal()) : std::nullopt)},
        {"distance_nm", thousandths(segment.distance.nautical_miles())},
        {"minimum_msl_ft", minimum(segment.minimum_forward)},
        {"back_minimum_msl_ft", minimum(segment.minimum_backward)},
        {"maximum_msl_ft", detail::feet(segment.maximum)},
        {"one_way", segment.direction != navdata::AirwayDirection::both}};
}

Json airport_json(const Snapshot& world, const navdata::Airport& airport) {
    const navdata::Runway* longest = nullptr;
    for (const navdata::RunwayId id : world.runways_of(airport.ident)) {
        if (longest == nullptr || world[id].length > longest->length) {
            longest = &world[id];
        }
    }
    Json direction = nullptr;
    if (longest != nullptr && longest->true_bearing) {
        direction = hundredths(longest->true_bearing->degrees());
    } else if (longest != nullptr && longest->bearing && airport.variation) {
        direction = hundredths(base::to_true(*longest->bearing, *airport.variation).degrees());
    }
    return {
        {"ident", airport.ident},
        {"name", airport.name},
        {"place", place(airport.position)},
        {"elevation_msl_ft", detail::feet(airport.elevation)},
        {"longest_runway_true_deg", direction},
        {"longest_runway_ft", longest != nullptr ? Json(std::round(longest->length.feet())) : Json(nullptr)}};
}

double ten_thousandths(double value) {
    return std::round(value * 1e4) / 1e4;
}

void put_area(Json& json, const plan::ChartArea& area) {
    json["west_deg"] = ten_thousandths(area.west_deg);
    json["south_deg"] = ten_thousandths(area.south_deg);
    json["east_deg"] = ten_thousandths(area.east_deg);
    json["north_deg"] = ten_thousandths(area.north_deg);
}

/// A thing that was found: its kind, its ident, its name, where it is.
struct Found {
    const Snapshot& world;
    Json operator()(navdata::StationId id) const {
        const navdata::Station& station = world[id];
        return of("station", station.ident, station.name, place(navdata::site(station)),
                  navdata::kind_text(station));
    }
    Json operator()(navdata::FixId id) const {
        const navdata::Fix& fix = world[id];
        return of("fix", fix.ident, fix.name, place(fix.position),
                  fix.airport.empty() ? "fix" : "fix of " + fix.airport);
    }
    Json operator()(navdata::AirportId id) const {
        const navdata::Airport& airport = world[id];
        return of("airport", airport.ident, airport.name, place(airport.position), "airport");
    }
    Json operator()(navdata::RunwayId id) const {
        const navdata::Runway& runway = world[id];
        return of("runway", runway.airport + "/" + runway.ident, "",
                  runway.threshold ? place(*runway.threshold) : Json(nullptr), "runway");
    }
    // Where its middle is.
    Json operator()(navdata::AirwayId id) const {
        const navdata::Airway& airway = world.airways()[id.index];
        const navdata::AirwaySegment& middle = airway.segments[airway.segments.size() / 2];
        return of("airway", airway.designator, "", place(world.position(middle.from)),
                  airway.area_navigation ? "RNAV airway" : "airway");
    }
    Json operator()(navdata::ProcedureId id) const {
        const navdata::Procedure& procedure = world.procedures()[id.index];
        return of("procedure", procedure.airport + "/" + procedure.ident, "", nullptr, "procedure");
    }
    static Json of(const char* kind, const std::string& ident, const std::string& name, Json where,
                   const std::string& says) {
        return {
            {"kind", kind}, {"ident", ident}, {"name", name}, {"place", std::move(where)}, {"says", says}};
    }
};

}  // namespace

std::string chart_json(const Snapshot& world, const plan::ChartFeatures& features) {
    Json json = document("chart");
    put_area(json, features.area);
    const auto list = [&json](const char* name) -> Json& { return json[name] = Json::array(); };
    Json& stations = list("stations");
    for (const navdata::StationId id : features.stations) {
        stations.push_back(station_json(world[id]));
    }
    Json& airways = list("airways");
    for (const plan::ChartAirway& airway : features.airways) {
        airways.push_back(airway_json(world, airway));
    }
    Json& fixes = list("fixes");
    for (const navdata::FixId id : features.fixes) {
        fixes.push_back({{"ident", world[id].ident}, {"place", place(world[id].position)}});
    }
    Json& airports = list("airports");
    for (const navdata::AirportId id : features.airports) {
        airports.push_back(airport_json(world, world[id]));
    }
    Json& markers = list("markers");
    for (const navdata::Marker* marker : features.markers) {
        markers.push_back(marker_json(world, *marker));
    }
    Json& coast = list("coast");
    for (const earth::CoastlineRing& ring : features.coast) {
        Json line = Json::array();
        for (const earth::Position& vertex : ring.vertices) {
            line.push_back({ten_thousandths(vertex.longitude_deg()), ten_thousandths(vertex.latitude_deg())});
        }
        coast.push_back(std::move(line));
    }
    json["left_out"] = {{"fixes", features.fixes_left_out}};
    json["sources"] = detail::sources_json(world.sources());
    return json.dump();
}

std::string about_json(const AboutAtlas& about) {
    Json json = document("about");
    json["version"] = about.version;
    json["counts"] = Json::object();
    for (const auto& [kind, number] : about.counts) {
        json["counts"][kind] = number;
    }
    json["terrain_in_atlas"] = about.terrain;
    json["sources"] = detail::sources_json(about.sources);
    const plan::ChartFrame& frame = about.frame;
    Json chart{{"standard_parallels_deg",
                {ten_thousandths(frame.first_parallel_deg), ten_thousandths(frame.second_parallel_deg)}},
               {"centre",
                {{"latitude_deg", ten_thousandths(frame.centre_latitude_deg)},
                 {"longitude_deg", ten_thousandths(frame.centre_longitude_deg)}}}};
    put_area(chart, frame.area);
    json["chart"] = std::move(chart);
    json["first_question"] = about.first ? Json{{"from", about.first->from},
                                                {"to", about.first->to},
                                                {"aircraft", about.first->aircraft},
                                                {"wind", about.first->wind}}
                                         : Json(nullptr);
    json["aircraft"] = about.aircraft;
    return json.dump(2);
}

std::string search_json(const Snapshot& world, const std::string& asked,
                        const std::vector<navdata::RecordId>& found, bool only_near) {
    Json json{{"schema_version", schema_version},
              {"kind", "search"},
              {"asked", asked},
              {"only_near", only_near},
              {"found", Json::array()}};
    for (const navdata::RecordId& record : found) {
        json["found"].push_back(std::visit(Found{world}, record));
    }
    return json.dump(2);
}

namespace {

Json airway_on_json(const Snapshot& world, const plan::AirwayOn& on) {
    Json json{{"designator", on.designator},
              {"area_navigation_only", on.area_navigation},
              {"course_deg", course(on.course)},
              {"points", Json::array()}};
    for (const plan::PointAlong& along : on.points) {
        json["points"].push_back({{"ident", world.ident(along.point)},
                                  {"place", place(world.position(along.point))},
                                  {"distance_nm", thousandths(along.distance.nautical_miles())},
                                  {"minimum_msl_ft", detail::feet(along.minimum)},
                                  {"against_one_way", along.against_one_way}});
    }
    return json;
}

Json procedures_json(const std::vector<plan::ProcedureMet>& procedures) {
    Json list = Json::array();
    for (const plan::ProcedureMet& each : procedures) {
        list.push_back({{"ident", each.ident},
                        {"transition", each.transition},
                        {"name", each.name},
                        {"fix", each.where.ident},
                        {"place", place(each.where.position)},
                        {"why_not", each.why_not}});
    }
    return list;
}

}  // namespace

std::string next_json(const Snapshot& world, const std::string& at, const plan::NextOnRoute& next) {
    Json json = document("next");
    json["at"] = at;
    json["airways"] = Json::array();
    for (const plan::AirwayOn& on : next.airways) {
        json["airways"].push_back(airway_on_json(world, on));
    }
    json["departures"] = procedures_json(next.departures);
    json["arrivals"] = procedures_json(next.arrivals);
    json["approaches"] = procedures_json(next.approaches);
    json["sources"] = detail::sources_json(world.sources());
    return json.dump();
}

}  // namespace omniway::wire
