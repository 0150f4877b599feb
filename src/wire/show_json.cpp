#include "wire/show_json.hpp"

#include <cmath>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "procedure/marker_check.hpp"
#include "radio/frequency_check.hpp"
#include "radio/identification.hpp"
#include "radio/service_volume.hpp"
#include "wire/detail/parts.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using detail::feet;
using detail::hundredths;
using detail::Json;
using detail::kind_word;
using detail::place;
using detail::tenths;
using detail::thousandths;
using detail::turn_word;
using navdata::Snapshot;

constexpr base::Length radials_within = base::Length::nautical_miles(60.0);

Json nautical_miles(base::Length length) {
    return thousandths(length.nautical_miles());
}

std::string line_of(const Snapshot& world, const navdata::Origin& origin) {
    return fmt::format("{}:{}", world.sources()[origin.source.index].file, origin.line);
}

Json lines_of(const Snapshot& world, const std::vector<navdata::Origin>& origins) {
    Json list = Json::array();
    for (const navdata::Origin& origin : origins) {
        list.push_back(line_of(world, origin));
    }
    return list;
}

// The words of docs/service-classes.md.
std::string_view class_word(navdata::ServiceClass service) {
    using navdata::ServiceClass;
    switch (service) {
        case ServiceClass::unknown:
            break;
        case ServiceClass::terminal:
            return "terminal";
        case ServiceClass::low:
            return "low";
        case ServiceClass::high:
            return "high";
        case ServiceClass::vor_low:
            return "vor_low";
        case ServiceClass::vor_high:
            return "vor_high";
        case ServiceClass::dme_low:
            return "dme_low";
        case ServiceClass::dme_high:
            return "dme_high";
        case ServiceClass::compass_locator:
            return "compass_locator";
        case ServiceClass::ndb_medium:
            return "ndb_medium";
        case ServiceClass::ndb:
            return "ndb";
        case ServiceClass::ndb_high:
            return "ndb_high";
        case ServiceClass::localizer:
            return "localizer";
    }
    return "unknown";
}

Json volume_json(navdata::ServiceClass service, radio::AidKind kind) {
    Json bands = Json::array();
    for (const radio::VolumeBand& band : radio::service_bands(radio::known_or_smallest(service, kind))) {
        bands.push_back({{"from_above_aid_ft", std::round(band.from.feet())},
                         {"to_above_aid_ft", band.to ? Json(std::round(band.to->feet())) : Json(nullptr)},
                         {"to_included", band.to_included},
                         {"radius_nm", band.radius ? nautical_miles(*band.radius) : Json(nullptr)}});
    }
    return bands;
}

void add_radio(Json& json, const navdata::Station& station) {
    const cockpit::Identification heard = radio::identification_of(station);
    json["morse_time_s"] = tenths(cockpit::keying_time(station.ident, heard.speed).count());
    json["identifies_again_within_s"] = std::round(heard.again_within.count());
    if (const auto fault = radio::frequency_fault(station)) {
        json["frequency_fault"] = *fault;
    }
    if (const auto channel = radio::channel_of(station)) {
        json["dme_channel"] = cockpit::to_text(*channel);
    }
    if (const auto glideslope = radio::glideslope_frequency_of(station)) {
        json["glideslope"]["frequency_mhz"] = hundredths(glideslope->megahertz());
    }
}

void add_azimuth(Json&, std::monostate) {}

void add_azimuth(Json& json, const navdata::VorAzimuth& azimuth) {
    json["declination_east_deg"] = hundredths(azimuth.declination.east().degrees());
    json["declination_from"] =
        azimuth.declination_from == navdata::DeclinationFrom::record ? "record" : "model_at_source_date";
    json["service_class"] = class_word(azimuth.service);
    json["service_volume"] = volume_json(azimuth.service, radio::AidKind::vor);
}

void add_azimuth(Json& json, const navdata::TacanAzimuth& azimuth) {
    json["declination_east_deg"] = hundredths(azimuth.declination.east().degrees());
}

void add_azimuth(Json& json, const navdata::NdbAzimuth& azimuth) {
    json["variation_east_deg"] = hundredths(azimuth.variation.east().degrees());
    json["service_class"] = class_word(azimuth.service);
    json["service_volume"] = volume_json(azimuth.service, radio::AidKind::ndb);
}

void add_azimuth(Json& json, const navdata::LocalizerAzimuth& azimuth) {
    json["declination_east_deg"] = hundredths(azimuth.declination.east().degrees());
    json["runway"] = azimuth.runway;
    json["category"] = azimuth.category;
    json["course_to_set_deg"] = hundredths(azimuth.course.degrees());
    json["width_deg"] = azimuth.width ? Json(hundredths(azimuth.width->degrees())) : Json(nullptr);
    if (azimuth.glideslope) {
        const navdata::Glideslope& glideslope = *azimuth.glideslope;
        json["glideslope"] = {{"site", place(glideslope.position)},
                              {"angle_deg", hundredths(glideslope.angle.degrees())},
                              {"elevation_msl_ft", feet(glideslope.elevation)},
                              {"threshold_crossing_height_ft",
                               glideslope.threshold_crossing_height
                                   ? Json(std::round(glideslope.threshold_crossing_height->feet()))
                                   : Json(nullptr)}};
    }
}

Json marker_json(const Snapshot& world, const navdata::Marker& marker) {
    const procedure::MarkerCheck check = procedure::marker_check(world, marker);
    return {
        {"kind", detail::marker_word(marker.kind)},
        {"localizer", marker.localizer},
        {"runway", marker.runway},
        {"place", place(marker.position)},
        {"minor_axis_true_deg",
         marker.minor_axis ? Json(hundredths(marker.minor_axis->degrees())) : Json(nullptr)},
        {"elevation_msl_ft", feet(marker.elevation)},
        {"before_threshold_nm", check.before_threshold ? nautical_miles(*check.before_threshold) : nullptr},
        {"glideslope_msl_ft", feet(check.on_glide_path)},
        {"read_from", Json::array({line_of(world, marker.origin)})}};
}

Json record_json(const Snapshot& world, navdata::StationId id) {
    const navdata::Station& station = world[id];
    Json json = detail::station_json(station);
    json["name"] = station.name;
    json["region"] = station.region;
    std::visit([&](const auto& azimuth) { add_azimuth(json, azimuth); }, station.azimuth);
    if (navdata::localizer(station) != nullptr) {
        json["markers"] = Json::array();
        for (const navdata::Marker* marker : world.markers_of(station.airport, station.ident)) {
            json["markers"].push_back(marker_json(world, *marker));
        }
    }
    if (station.dme) {
        json["dme_service_class"] = class_word(station.dme->service);
        json["dme_service_volume"] = volume_json(station.dme->service, radio::AidKind::distance);
        json["dme_bias_nm"] = nautical_miles(station.dme->bias);
    }
    add_radio(json, station);
    json["out_of_service"] = station.out_of_service;
    json["read_from"] = lines_of(world, station.origins);
    return {{"kind", "station"}, {"station", json}};
}

Json record_json(const Snapshot& world, navdata::FixId id) {
    const navdata::Fix& fix = world[id];
    Json json{{"ident", fix.ident}, {"region", fix.region},         {"airport", fix.airport},
              {"name", fix.name},   {"place", place(fix.position)}, {"radials", Json::array()}};
    for (const navdata::StationId near : world.stations_within(fix.position, radials_within)) {
        if (navdata::vor(world[near]) != nullptr) {
            json["radials"].push_back(
                {{"station", world[near].ident},
                 {"radial_deg", hundredths(navdata::radial_of(world[near], fix.position)->degrees())},
                 {"distance_nm", nautical_miles(earth::distance(navdata::site(world[near]), fix.position))}});
        }
    }
    json["read_from"] = Json::array({line_of(world, fix.origin)});
    return {{"kind", "fix"}, {"fix", json}};
}

Json runway_json(const Snapshot& world, const navdata::Runway& runway) {
    return {{"airport", runway.airport},
            {"ident", runway.ident},
            {"length_ft", std::round(runway.length.feet())},
            {"direction_magnetic_deg",
             runway.bearing ? Json(hundredths(runway.bearing->degrees())) : Json(nullptr)},
            {"direction_true_deg",
             runway.true_bearing ? Json(hundredths(runway.true_bearing->degrees())) : Json(nullptr)},
            {"threshold", runway.threshold ? place(*runway.threshold) : Json(nullptr)},
            {"far_threshold", runway.far_end ? place(*runway.far_end) : Json(nullptr)},
            {"threshold_elevation_msl_ft", feet(runway.elevation)},
            {"displaced_ft", std::round(runway.displaced.feet())},
            {"localizer", runway.localizer},
            {"read_from", Json::array({line_of(world, runway.origin)})}};
}

Json record_json(const Snapshot& world, navdata::RunwayId id) {
    return {{"kind", "runway"}, {"runway", runway_json(world, world[id])}};
}

// An approach's own part tells its type; the part that its transitions lead to has none of their names.
std::string type_of(const navdata::Procedure& procedure) {
    for (const navdata::Branch& branch : procedure.branches) {
        if (procedure.kind == navdata::ProcedureKind::approach && branch.transition.empty()) {
            return navdata::approach_type_text(branch.route_type);
        }
    }
    return {};
}

Json record_json(const Snapshot& world, navdata::AirportId id) {
    const navdata::Airport& airport = world[id];
    Json json{{"ident", airport.ident},
              {"region", airport.region},
              {"name", airport.name},
              {"place", place(airport.position)},
              {"elevation_msl_ft", feet(airport.elevation)},
              {"variation_east_deg",
               airport.variation ? Json(hundredths(airport.variation->east().degrees())) : Json(nullptr)},
              {"runways", Json::array()},
              {"approaches", Json::array()},
              {"markers", Json::array()},
              {"communications", Json::array()}};
    for (const navdata::RunwayId runway : world.runways_of(airport.ident)) {
        json["runways"].push_back(runway_json(world, world[runway]));
    }
    for (const navdata::Procedure* approach : world.approaches_of(airport.ident)) {
        json["approaches"].push_back({{"ident", approach->ident}, {"type", type_of(*approach)}});
    }
    for (const navdata::Marker& marker : world.markers()) {
        if (marker.airport == airport.ident) {
            json["markers"].push_back(marker_json(world, marker));
        }
    }
    for (const navdata::Communication& voice : world.communications()) {
        if (voice.airport == airport.ident) {
            json["communications"].push_back({{"type", voice.type},
                                              {"name", voice.name},
                                              {"frequency_mhz", thousandths(voice.frequency.megahertz())}});
        }
    }
    json["read_from"] = lines_of(world, airport.origins);
    return {{"kind", "airport"}, {"airport", json}};
}

std::string_view direction_word(navdata::AirwayDirection direction) {
    switch (direction) {
        case navdata::AirwayDirection::both:
            break;
        case navdata::AirwayDirection::forward_only:
            return "forward_only";
        case navdata::AirwayDirection::backward_only:
            return "backward_only";
    }
    return "both";
}

Json minimum_json(const navdata::PublishedMinimum& minimum) {
    const auto* altitude = std::get_if<base::Altitude>(&minimum);
    return {{"published", altitude != nullptr                                  ? "altitude"
                          : std::holds_alternative<navdata::NotKnown>(minimum) ? "unknown"
                                                                               : "nothing"},
            {"altitude_msl_ft", altitude != nullptr ? Json(std::round(altitude->feet())) : Json(nullptr)}};
}

Json radial(const std::optional<base::Radial>& course) {
    return course ? Json(hundredths(course->degrees())) : Json(nullptr);
}

// A letter of ARINC 424, or nothing for a blank.
std::string letter(char code) {
    return code == ' ' ? std::string() : std::string(1, code);
}

Json record_json(const Snapshot& world, navdata::AirwayId id) {
    const navdata::Airway& airway = world.airways()[id.index];
    Json json{{"designator", airway.designator},           {"area", airway.area},
              {"route_type", letter(airway.route_type)},   {"level", letter(airway.level)},
              {"area_navigation", airway.area_navigation}, {"segments", Json::array()}};
    for (const navdata::AirwaySegment& segment : airway.segments) {
        json["segments"].push_back({{"from", world.ident(segment.from)},
                                    {"to", world.ident(segment.to)},
                                    {"distance_nm", nautical_miles(segment.distance)},
                                    {"outbound_course_deg", radial(segment.outbound_course)},
                                    {"inbound_course_deg", radial(segment.inbound_course)},
                                    {"direction", direction_word(segment.direction)},
                                    {"minimum_forward", minimum_json(segment.minimum_forward)},
                                    {"minimum_backward", minimum_json(segment.minimum_backward)},
                                    {"maximum_msl_ft", feet(segment.maximum)},
                                    {"read_from", line_of(world, segment.origin)}});
    }
    return {{"kind", "airway"}, {"airway", json}};
}

std::string_view rule_word(navdata::AltitudeRule rule) {
    using navdata::AltitudeRule;
    switch (rule) {
        case AltitudeRule::none:
            break;
        case AltitudeRule::at:
            return "at";
        case AltitudeRule::at_or_above:
            return "at_or_above";
        case AltitudeRule::at_or_below:
            return "at_or_below";
        case AltitudeRule::between:
            return "between";
        case AltitudeRule::at_or_above_second:
            return "at_or_above_second";
        case AltitudeRule::glideslope_at:
            return "glideslope_at";
        case AltitudeRule::glideslope_at_or_above:
            return "glideslope_at_or_above";
        case AltitudeRule::step_down:
            return "step_down";
    }
    return "none";
}

// Columns 40-43 say what the fix of a leg is (trade-facts 13.8).
Json roles_of(const navdata::Leg& leg) {
    Json roles = Json::array();
    const auto add = [&](bool holds, const char* word) {
        if (holds) {
            roles.push_back(word);
        }
    };
    add(leg.is_initial_approach_fix(), "initial_approach_fix");
    add(leg.is_final_approach_course_fix(), "final_approach_course_fix");
    add(leg.is_final_approach_fix(), "final_approach_fix");
    add(leg.is_missed_approach_point(), "missed_approach_point");
    add(leg.begins_missed_approach(), "begins_missed_approach");
    add(leg.is_flown_over(), "flown_over");
    return roles;
}

Json leg_json(const Snapshot& world, const navdata::Leg& leg) {
    Json json{{"sequence", leg.sequence},
              {"path_terminator", navdata::to_text(leg.terminator)},
              {"fix", leg.fix ? leg.fix->ident : std::string()},
              {"fix_roles", roles_of(leg)},
              {"recommended_station", leg.recommended ? leg.recommended->ident : std::string()}};
    if (leg.theta) {
        json[leg.theta->is_true ? "theta_true_deg" : "theta_deg"] = tenths(leg.theta->degrees);
    }
    if (leg.rho) {
        json["rho_nm"] = nautical_miles(*leg.rho);
    }
    if (leg.course) {
        json[leg.course->is_true ? "course_true_deg" : "course_deg"] = tenths(leg.course->degrees);
    }
    if (leg.distance) {
        json["distance_nm"] = nautical_miles(*leg.distance);
    }
    if (leg.time) {
        json["time_min"] = tenths(base::in_minutes(*leg.time));
    }
    if (leg.arc_radius) {
        json["arc_radius_nm"] = nautical_miles(*leg.arc_radius);
    }
    if (leg.centre) {
        json["arc_centre"] = leg.centre->ident;
    }
    json["turn"] = turn_word(leg.turn);
    json["altitude_rule"] = rule_word(leg.altitude_rule);
    if (leg.altitude_1) {
        json["altitude_1_msl_ft"] = std::round(leg.altitude_1->feet());
    }
    if (leg.altitude_2) {
        json["altitude_2_msl_ft"] = std::round(leg.altitude_2->feet());
    }
    if (leg.speed_limit) {
        json["speed_limit_ias_kt"] = std::round(leg.speed_limit->knots());
    }
    if (leg.vertical_angle) {
        json["vertical_angle_deg"] = hundredths(leg.vertical_angle->degrees());
    }
    json["read_from"] = line_of(world, leg.origin);
    return json;
}

Json record_json(const Snapshot& world, navdata::ProcedureId id) {
    const navdata::Procedure& procedure = world.procedures()[id.index];
    Json json{{"airport", procedure.airport},
              {"ident", procedure.ident},
              {"kind", kind_word(procedure.kind)},
              {"type", type_of(procedure)},
              {"branches", Json::array()}};
    for (const navdata::Branch& branch : procedure.branches) {
        Json legs = Json::array();
        for (const navdata::Leg& leg : branch.legs) {
            legs.push_back(leg_json(world, leg));
        }
        json["branches"].push_back(
            {{"transition", branch.transition}, {"route_type", letter(branch.route_type)}, {"legs", legs}});
    }
    return {{"kind", "procedure"}, {"procedure", json}};
}

}  // namespace

std::string show_json(const Snapshot& world, const std::string& asked,
                      const std::vector<std::pair<navdata::RecordId, ReadAs>>& found) {
    Json json{
        {"schema_version", schema_version}, {"kind", "show"}, {"asked", asked}, {"found", Json::array()}};
    for (const auto& [record, words] : found) {
        Json each = std::visit([&](auto id) { return record_json(world, id); }, record);
        each["title"] = words.title;
        each["figures"] = Json::array();
        for (const auto& [label, value] : words.figures) {
            each["figures"].push_back({{"label", label}, {"value", value}});
        }
        json["found"].push_back(std::move(each));
    }
    return json.dump(2);
}

}  // namespace omniway::wire
