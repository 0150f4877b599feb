#include "wire/telling_json.hpp"

#include <cmath>

#include "base/contract.hpp"
#include "plan/wording.hpp"
#include "wire/detail/parts.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using detail::hundredths;
using detail::Json;
using detail::place;
using detail::tenths;
using navdata::Snapshot;

std::string_view obstacle_word(fixing::Obstacle obstacle) {
    using fixing::Obstacle;
    switch (obstacle) {
        case Obstacle::not_heard:
            break;
        case Obstacle::dme_not_heard:
            return "dme_not_heard";
        case Obstacle::crosses_too_shallow:
            return "crosses_too_shallow";
        case Obstacle::off_the_track:
            return "off_the_track";
        case Obstacle::error_too_large:
            return "error_too_large";
        case Obstacle::off_its_course:
            return "off_its_course";
        case Obstacle::lines_run_together:
            return "lines_run_together";
        case Obstacle::other_end_in_use:
            return "other_end_in_use";
        case Obstacle::ring_closes:
            return "ring_closes";
        case Obstacle::no_second_receiver:
            return "no_second_receiver";
        case Obstacle::no_localizer_receiver:
            return "no_localizer_receiver";
        case Obstacle::no_dme:
            return "no_dme";
        case Obstacle::no_free_dme:
            return "no_free_dme";
        case Obstacle::no_adf:
            return "no_adf";
        case Obstacle::no_second_adf:
            return "no_second_adf";
        case Obstacle::no_marker_records:
            return "no_marker_records";
    }
    return "not_heard";
}

std::string_view use_word(fixing::FixUse use) {
    switch (use) {
        case fixing::FixUse::en_route:
            break;
        case fixing::FixUse::terminal:
            return "terminal";
        case fixing::FixUse::holding:
            return "holding";
    }
    return "en_route";
}

Json refusal_json(const Snapshot& world, const fixing::Refusal& refusal) {
    Json json{{"code", obstacle_word(refusal.obstacle)},
              {"station", detail::station_json(world[refusal.station])},
              {"text", fixing::to_text(world, refusal)}};
    if (refusal.angle) {
        json["angle_deg"] = tenths(refusal.angle->degrees());
    }
    if (refusal.angle_limit) {
        json["angle_limit_deg"] = tenths(refusal.angle_limit->degrees());
    }
    if (refusal.error) {
        json["error_nm"] = hundredths(refusal.error->nautical_miles());
    }
    if (refusal.error_limit) {
        json["error_limit_nm"] = hundredths(refusal.error_limit->nautical_miles());
    }
    return json;
}

Json area_json(const fixing::ToleranceArea& area) {
    Json corners = Json::array();
    for (const earth::Position corner : area.corners) {
        corners.push_back(place(corner));
    }
    return {{"short_of_nm", hundredths(area.short_of.nautical_miles())},
            {"beyond_nm", hundredths(area.beyond.nautical_miles())},
            {"left_nm", hundredths(area.left.nautical_miles())},
            {"right_nm", hundredths(area.right.nautical_miles())},
            {"along_half_size_nm", hundredths(area.along_half_size().nautical_miles())},
            {"across_half_size_nm", hundredths(area.across_half_size().nautical_miles())},
            {"size_square_nm", hundredths(area.square_nm)},
            {"corners", std::move(corners)}};
}

Json way_json(const Snapshot& world, const plan::ReachedOn& line, std::size_t i) {
    const fixing::CataloguedWay& way = line.catalogue.ways[i];
    Json json = detail::telling_json(world, way.telling);
    json["text"] = plan::way_text(world, way.telling.way);
    json["needs"] = {{"another_receiver", way.needs.receiver},
                     {"localizer", way.needs.localizer},
                     {"dme", way.needs.dme},
                     {"dme_apart_from_guiding_receiver", way.needs.free_dme},
                     {"adf", way.needs.adf}};
    json["area"] = way.area ? area_json(*way.area) : Json(nullptr);
    if (!line.lacks.empty()) {
        json["lacks"] = line.lacks[i] ? Json(obstacle_word(*line.lacks[i])) : Json(nullptr);
        json["used_by_plan"] = line.used == i;
    }
    return json;
}

Json line_json(const Snapshot& world, const plan::ReachedOn& line) {
    Json json{{"airways", line.airways},
              {"from", line.from},
              {"track_true_deg", hundredths(line.track.degrees())},
              {"course_magnetic_deg", tenths(line.course.degrees())},
              {"altitude_msl_ft", std::round(line.altitude.feet())},
              {"guided_by", line.question.guided_by ? detail::station_json(world[*line.question.guided_by])
                                                    : Json(nullptr)},
              {"text", plan::line_text(world, line)},
              {"ways", Json::array()},
              {"refused", Json::array()}};
    for (std::size_t i = 0; i < line.catalogue.ways.size(); ++i) {
        json["ways"].push_back(way_json(world, line, i));
    }
    for (const fixing::Refusal& refusal : line.catalogue.refused) {
        json["refused"].push_back(refusal_json(world, refusal));
    }
    return json;
}

Json report_json(const Snapshot& world, const plan::FixReport& report) {
    const plan::FixRequest& request = report.request;
    Json json{{"ident", world.ident(request.point)},
              {"point", std::holds_alternative<navdata::StationId>(request.point) ? "station" : "fix"},
              {"place", place(world.position(request.point))},
              {"lines", Json::array()}};
    json["two_lines"] = nullptr;
    if (const auto& two = report.two_lines) {
        json["two_lines"] = {{"lowest_altitude_msl_ft", std::ceil(two->altitude.feet())},
                             {"stations", {world[two->one].ident, world[two->other].ident}},
                             {"crossing_deg", std::round(two->crossing.degrees() * 10.0) / 10.0},
                             {"ground_known", two->ground_known}};
    }
    for (const plan::ReachedOn& line : report.lines) {
        json["lines"].push_back(line_json(world, line));
    }
    return json;
}

}  // namespace

std::string telling_json(const Snapshot& world, const std::vector<plan::FixReport>& reports) {
    OMNIWAY_EXPECTS(!reports.empty());
    const plan::FixRequest& request = reports.front().request;
    Json json{{"schema_version", schema_version},
              {"kind", "telling"},
              {"criteria", request.criteria == radio::Criteria::terps ? "terps" : "pans_ops"},
              {"use", use_word(request.use)},
              {"aircraft", request.aircraft ? Json(request.aircraft->name) : Json(nullptr)},
              {"points", Json::array()}};
    for (const plan::FixReport& report : reports) {
        json["points"].push_back(report_json(world, report));
    }
    return json.dump(2);
}

}  // namespace omniway::wire
