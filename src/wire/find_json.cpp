#include "wire/find_json.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "earth/terrain.hpp"
#include "wire/detail/parts.hpp"
#include "wire/detail/what_now_json.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::hundredths;
using detail::Json;
using detail::place;
using detail::tenths;
using detail::thousandths;

namespace {

Json miles(base::Length length) {
    return thousandths(length.nautical_miles());
}

Json minutes(base::Duration time) {
    return hundredths(base::in_minutes(time));
}

// A chance of a millionth is still told.
Json share(double probability) {
    return std::round(probability * 1e6) / 1e6;
}

Json stations_json(const navdata::Snapshot& world, const fixing::Candidates& stations) {
    Json list = Json::array();
    for (const navdata::StationId id : stations) {
        list.push_back(detail::station_json(world[id]));
    }
    return list;
}

std::string_view needle_word(fixing::NeedleStands needle) {
    constexpr std::array<std::string_view, 3> words = {"left", "centred", "right"};
    return words[static_cast<std::size_t>(needle)];
}

const fixing::Candidates& stations_of(const fixing::Reading& reading) {
    return std::visit([](const auto& shown) -> const fixing::Candidates& { return shown.stations; },
                      reading.shown);
}

void write_shown(Json& json, const fixing::Shown& shown) {
    struct Write {
        Json& json;
        void operator()(const fixing::RadialRead& read) const {
            json["kind"] = "radial";
            json["radial_deg"] = hundredths(read.radial.degrees());
        }
        void operator()(const fixing::DistanceRead& read) const {
            json["kind"] = "distance";
            json["slant_range_nm"] = thousandths(read.slant_range.nautical_miles());
        }
        void operator()(const fixing::BearingRead& read) const {
            json["kind"] = "bearing";
            json["bearing_to_station_magnetic_deg"] = hundredths(read.to_station.degrees());
            json["by_heading"] = read.by_heading;
        }
        void operator()(const fixing::LocalizerRead& read) const {
            json["kind"] = "localizer";
            json["needle"] = needle_word(read.needle);
        }
        void operator()(const fixing::PassageRead&) const { json["kind"] = "passage"; }
        void operator()(const fixing::SilenceRead& read) const {
            json["kind"] = "silence";
            json["part"] = read.part == radio::Part::distance ? "distance" : "azimuth";
        }
    };
    std::visit(Write{json}, shown);
}

Json readings_json(const PositionTold& told, const fixing::Belief* belief) {
    const fixing::BeliefQuestion& asked = told.question;
    Json list = Json::array();
    for (std::size_t i = 0; i < asked.readings.size(); ++i) {
        const fixing::Reading& reading = asked.readings[i];
        Json json{{"number", i + 1}, {"says", reading.words}};
        write_shown(json, reading.shown);
        json["before_min"] = minutes(reading.before);
        json["read_at"] = plan::read_at_text(told.setting, reading.before);
        json["stations"] = stations_json(asked.world, stations_of(reading));
        json["as_read_share"] =
            belief != nullptr && i < belief->as_read.size() ? share(belief->as_read[i]) : Json(nullptr);
        list.push_back(std::move(json));
    }
    return list;
}

Json ellipse_json(base::Length major, base::Length minor, base::TrueBearing axis) {
    return {{"major_nm", miles(major)},
            {"minor_nm", miles(minor)},
            {"major_axis_true_deg", tenths(axis.degrees())}};
}

Json by_station_json(const navdata::Snapshot& world, const std::optional<plan::ByStation>& by) {
    if (!by) {
        return nullptr;
    }
    return {{"station", detail::station_json(world[by->station])},
            {"radial_deg", tenths(by->radial.degrees())},
            {"over_ground_nm", miles(by->over_ground)},
            {"slant_range_nm", by->slant_range ? miles(*by->slant_range) : Json(nullptr)}};
}

Json on_card_json(const std::optional<plan::AgainstCard>& on_card) {
    if (!on_card) {
        return nullptr;
    }
    return {{"step", on_card->step},
            {"to", on_card->to},
            {"aside_right_nm", miles(on_card->aside)},
            {"to_end_nm", miles(on_card->to_end)}};
}

Json least_squares_json(const std::optional<fixing::LeastSquaresFix>& fix) {
    if (!fix) {
        return nullptr;
    }
    return {{"place", place(fix->place)},
            {"one_deviation", ellipse_json(fix->major, fix->minor, fix->major_axis)},
            {"chi_squared", thousandths(fix->chi_squared)},
            {"degrees_of_freedom", fix->degrees_of_freedom},
            {"crossing_deg", tenths(fix->crossing_deg)}};
}

// Which station each reading is taken for there; of silence none is.
Json taken_for_json(const fixing::BeliefQuestion& asked, const fixing::Mode& mode) {
    Json list = Json::array();
    for (std::size_t i = 0; i < asked.readings.size() && i < mode.stations.size(); ++i) {
        const fixing::Candidates& stations = stations_of(asked.readings[i]);
        if (!std::holds_alternative<fixing::SilenceRead>(asked.readings[i].shown) &&
            mode.stations[i] < stations.size()) {
            list.push_back({{"reading", i + 1},
                            {"station", detail::station_json(asked.world[stations[mode.stations[i]]])}});
        }
    }
    return list;
}

Json places_json(const PositionTold& told, const fixing::Belief& belief) {
    Json list = Json::array();
    for (std::size_t i = 0; i < belief.modes.size(); ++i) {
        const fixing::Mode& mode = belief.modes[i];
        const plan::PlaceReport& report = told.report.places[i];
        list.push_back({{"place", place(mode.place)},
                        {"probability_share", share(mode.probability)},
                        {"is_mean", mode.is_mean},
                        {"one_deviation", ellipse_json(mode.major, mode.minor, mode.major_axis)},
                        {"by_station", by_station_json(told.question.world, report.by)},
                        {"on_card", on_card_json(report.on_card)},
                        {"taken_for", taken_for_json(told.question, mode)},
                        {"least_squares", least_squares_json(report.fix)}});
    }
    return list;
}

Json region_json(const fixing::BelievedRegion& region, base::Length extent) {
    Json rings = Json::array();
    for (const auto& ring : region.rings) {
        Json corners = Json::array();
        for (const earth::Position corner : ring) {
            corners.push_back(place(corner));
        }
        rings.push_back(std::move(corners));
    }
    return {{"probability_share", share(region.probability)},
            {"area_square_nm", hundredths(region.square_nm)},
            {"greatest_extent_nm", miles(extent)},
            {"rings", std::move(rings)}};
}

Json suspicions_json(const PositionTold& told, const fixing::Belief& belief) {
    constexpr std::array<std::string_view, 4> words = {"reciprocal", "nothing", "heading_off", "station"};
    const navdata::Snapshot& world = told.question.world;
    Json list = Json::array();
    for (const fixing::Suspicion& each : belief.suspicions) {
        list.push_back(
            {{"wrong", words[static_cast<std::size_t>(each.wrong)]},
             {"reading", each.reading ? Json(*each.reading + 1) : Json(nullptr)},
             {"probability_share", share(each.probability)},
             {"by_deg", each.by ? Json(tenths(each.by->degrees())) : Json(nullptr)},
             {"station", each.station ? detail::station_json(world[*each.station]) : Json(nullptr)},
             {"says", plan::suspicion_text(world, told.question.readings, each)}});
    }
    return list;
}

Json next_json(const PositionTold& told) {
    constexpr std::array<std::string_view, 3> kinds = {"radial", "distance", "bearing"};
    const navdata::Snapshot& world = told.question.world;
    Json list = Json::array();
    for (const fixing::NextReading& each : told.report.next) {
        list.push_back({{"station", detail::station_json(world[each.station])},
                        {"kind", kinds[static_cast<std::size_t>(each.kind)]},
                        {"heard_share", share(each.heard)},
                        {"area_now_square_nm", hundredths(each.square_nm_now)},
                        {"area_expected_square_nm", hundredths(each.square_nm_expected)},
                        {"expected_places", hundredths(each.places_expected)},
                        {"says", plan::next_text(world, each)}});
    }
    return list;
}

Json contradiction_json(const fixing::Contradiction* contradiction) {
    if (contradiction == nullptr) {
        return nullptr;
    }
    Json numbers = Json::array();
    for (const std::size_t reading : contradiction->readings) {
        numbers.push_back(reading + 1);
    }
    return {{"readings", std::move(numbers)},
            {"too_little_read", contradiction->too_little},
            {"says", contradiction->why}};
}

Json asked_json(const PositionTold& told) {
    const fixing::BeliefQuestion& asked = told.question;
    const radio::Ground& ground = asked.ground;
    Json json{{"aircraft", told.setting.aircraft},
              {"date_decimal_year", thousandths(asked.today.value)},
              {"reception",
               detail::reception_json(ground.mode, ground.terrain != nullptr && !ground.terrain->empty())},
              {"criteria", told.setting.criteria == radio::Criteria::terps ? "terps" : "pans_ops"},
              {"now", told.setting.now ? Json(plan::read_at_text(told.setting, base::Duration(0.0)))
                                       : Json(nullptr)},
              {"altitude_msl_ft", detail::feet(asked.altitude)},
              {"wind", weather::to_text(weather::Wind{asked.air.from, asked.air.speed})},
              {"wind_known", told.setting.wind_known},
              {"wind_error_kt", tenths(asked.air.uncertainty.knots())},
              {"flown", Json::array()},
              {"last_known", nullptr},
              {"card", nullptr}};
    for (const fixing::HeadingFlown& each : asked.flown) {
        json["flown"].push_back({{"heading_magnetic_deg", hundredths(each.heading.degrees())},
                                 {"true_airspeed_kt", tenths(each.true_airspeed.knots())},
                                 {"before_min", minutes(each.before)}});
    }
    if (asked.last_known) {
        json["last_known"] = {{"place", place(asked.last_known->place)},
                              {"before_min", minutes(asked.last_known->before)},
                              {"within_nm", miles(asked.last_known->within)}};
    }
    if (asked.on_the_way) {
        json["card"] = {{"file", told.setting.card}, {"within_nm", miles(asked.on_the_way->within)}};
    }
    return json;
}

Json document(const PositionTold& told, std::optional<std::size_t> line) {
    const auto* belief = std::get_if<fixing::Belief>(&told.report.belief);
    Json json{{"schema_version", schema_version}, {"kind", "find"}};
    if (line) {
        json["line"] = *line;
    }
    json["caution"] = detail::caution;
    json.update(asked_json(told));
    json["readings"] = readings_json(told, belief);
    json["contradiction"] = contradiction_json(std::get_if<fixing::Contradiction>(&told.report.belief));
    json["places"] = belief != nullptr ? places_json(told, *belief) : Json::array();
    json["half"] = belief != nullptr ? region_json(belief->half, told.report.half_extent) : Json(nullptr);
    json["most"] = belief != nullptr ? region_json(belief->most, told.report.most_extent) : Json(nullptr);
    json["cell_m"] = belief != nullptr ? Json(tenths(belief->cell_m)) : Json(nullptr);
    json["suspicions"] = belief != nullptr ? suspicions_json(told, *belief) : Json::array();
    json["next"] = next_json(told);
    json["what_now"] =
        told.now != nullptr ? detail::what_now_json(*told.now_world, *told.now) : Json(nullptr);
    json["sources"] = detail::sources_json(told.question.world.sources());
    return json;
}

}  // namespace

std::string find_json(const PositionTold& told) {
    return document(told, std::nullopt).dump(2);
}

std::string find_line_json(std::size_t line, const PositionTold& told) {
    return document(told, line).dump();
}

std::string errors_line_json(std::size_t line, const std::vector<base::Error>& errors) {
    Json json = Json::parse(errors_json(errors));
    json["line"] = line;
    return json.dump();
}

}  // namespace omniway::wire
