#include "wire/procedure_json.hpp"

#include <algorithm>
#include <cmath>

#include "procedure/track_piece.hpp"
#include "wire/detail/parts.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using detail::caution;
using detail::feet;
using detail::hundredths;
using detail::Json;
using detail::kind_word;
using detail::place;
using detail::tenths;
using detail::thousandths;
using navdata::Snapshot;

Json text_or_null(const std::string& text) {
    return text.empty() ? Json(nullptr) : Json(text);
}

Json turn_json(navdata::Turn turn) {
    return turn == navdata::Turn::unspecified ? Json(nullptr) : Json(detail::turn_word(turn));
}

Json need_json(plan::Need need) {
    switch (need) {
        case plan::Need::receiver:
            return "vor_receiver";
        case plan::Need::second_receiver:
            return "second_receiver";
        case plan::Need::localizer_receiver:
            return "localizer_receiver";
        case plan::Need::glideslope_receiver:
            return "glideslope_receiver";
        case plan::Need::dme:
            return "dme";
        case plan::Need::adf:
            break;
    }
    return "adf";
}

Json geometry_json(const std::vector<procedure::TrackPiece>& pieces) {
    Json line = Json::array();
    for (const earth::Position& at : procedure::drawn(pieces)) {
        line.push_back(
            {std::round(at.latitude_deg() * 1e7) / 1e7, std::round(at.longitude_deg() * 1e7) / 1e7});
    }
    return line;
}

void add_coded(Json& json, const navdata::Leg& leg) {
    json["sequence"] = leg.sequence;
    json["path_terminator"] = navdata::to_text(leg.terminator);
    json["fix"] = leg.fix ? Json(leg.fix->ident) : Json(nullptr);
    json["final_fix"] = leg.is_final_approach_fix();
    json["missed_approach_point"] = leg.is_missed_approach_point();
    json["coded_distance_nm"] =
        leg.distance ? Json(thousandths(leg.distance->nautical_miles())) : Json(nullptr);
    json["coded_time_s"] = leg.time ? Json(tenths(leg.time->count())) : Json(nullptr);
    json["turn"] = turn_json(leg.turn);
    json["speed_limit_kt"] = leg.speed_limit ? Json(std::round(leg.speed_limit->knots())) : Json(nullptr);
    json["vertical_angle_deg"] =
        leg.vertical_angle ? Json(hundredths(leg.vertical_angle->degrees())) : Json(nullptr);
}

Json leg_json(const Snapshot& world, const plan::ProcedureReport& report, const plan::ReportedLeg& leg,
              std::size_t number) {
    const auto step = plan::step_of(world, report, leg);
    const bool has_track = !leg.flown.pieces.empty();
    Json json{{"number", number}, {"missed", leg.missed}};
    if (leg.coded != nullptr) {
        add_coded(json, *leg.coded);
    }
    json["placed"] = leg.placed.has_value();
    json["says"] = text_or_null(plan::guidance_text(world, report, leg));
    json["until"] = text_or_null(plan::ending_text(world, report, leg));
    json["paper"] = plan::paper_text(world, report, leg);
    json["guidance"] = step ? detail::guidance_json(world, *step) : Json(nullptr);
    json["end"] = step ? detail::ending_json(world, *step) : Json(nullptr);
    json["from"] = leg.placed && leg.placed->from ? Json(leg.placed->from->ident) : Json(nullptr);
    json["to"] = leg.placed && leg.placed->to ? Json(leg.placed->to->ident) : Json(nullptr);
    json["to_place"] = leg.placed && leg.placed->to ? place(leg.placed->to->position) : Json(nullptr);
    json["to_rebuilt"] = leg.placed && leg.placed->to && leg.placed->to->rebuilt;
    json["track_true_deg"] = step ? Json(hundredths(leg.placed->track.degrees())) : Json(nullptr);
    json["course_magnetic_deg"] = step ? Json(hundredths(step->course.degrees())) : Json(nullptr);
    json["lowest_at_end_msl_ft"] = feet(leg.lowest);
    json["highest_at_end_msl_ft"] = feet(leg.highest);
    json["flown_distance_nm"] = thousandths(leg.flown.length().nautical_miles());
    json["flown_time_s"] = tenths(leg.flown.time().count());
    json["flown_from_msl_ft"] = std::round(leg.flown.at_start.feet());
    json["flown_to_msl_ft"] = std::round(leg.flown.at_end.feet());
    json["start"] = has_track ? place(procedure::start_of(leg.flown.pieces.front()).place) : Json(nullptr);
    json["finish"] = has_track ? place(procedure::finish_of(leg.flown.pieces.back()).place) : Json(nullptr);
    json["track"] = geometry_json(leg.flown.pieces);
    json["drawn_simpler"] =
        leg.flown.fallback ? Json(procedure::to_text(*leg.flown.fallback)) : Json(nullptr);
    json["needs"] = Json::array();
    for (const plan::Need need : leg.needs) {
        json["needs"].push_back(need_json(need));
    }
    json["flyable"] = leg.flyable();
    json["findings"] = detail::findings_json(leg.findings);
    return json;
}

Json final_json(const procedure::FinalSegment& final) {
    Json json{{"final_fix", final.final_fix.ident},
              {"end", final.end.ident},
              {"length_nm", thousandths(final.length.nautical_miles())},
              {"on_glideslope", final.on_glideslope},
              {"timed", final.timed},
              {"angle_deg", final.angle ? Json(hundredths(final.angle->degrees())) : Json(nullptr)},
              {"gradient_ft_per_nm",
               final.gradient ? Json(tenths(final.gradient->feet_per_nautical_mile())) : Json(nullptr)},
              {"glideslope_at_final_fix_msl_ft", feet(final.glideslope_at_fix)},
              {"glideslope_published_at_final_fix_msl_ft", feet(final.published_at_fix)},
              {"step_downs", Json::array()},
              {"time_table", Json::array()}};
    for (const procedure::StepDown& step : final.step_downs) {
        json["step_downs"].push_back({{"fix", step.fix.ident},
                                      {"before_end_nm", thousandths(step.before_end.nautical_miles())},
                                      {"lowest_msl_ft", feet(step.window.at_or_above)}});
    }
    for (const procedure::TimeAtSpeed& each : procedure::time_table(final.length)) {
        json["time_table"].push_back({{"groundspeed_kt", std::round(each.groundspeed.knots())},
                                      {"time_s", tenths(each.time.count())}});
    }
    return json;
}

Json head_of_way(const Snapshot& world, const plan::ReportedWay& way) {
    const base::Finding* blocked = way.blocked_by();
    return {{"name", way.name},
            {"transition", text_or_null(way.transition)},
            {"runway", way.runway ? Json(world[*way.runway].ident) : Json(nullptr)},
            {"flyable", way.flyable()},
            {"blocked_by", blocked != nullptr ? detail::finding_json(*blocked) : Json(nullptr)},
            {"distance_nm", thousandths(way.length.nautical_miles())},
            {"time_s", tenths(way.time.count())}};
}

Json airport_json(const Snapshot& world, navdata::AirportId id) {
    return {{"ident", world[id].ident}, {"name", world[id].name}, {"place", place(world[id].position)}};
}

void add_procedure(Json& json, const Snapshot& world, const plan::ProcedureReport& report) {
    const navdata::Procedure& procedure = world.procedures()[report.request.procedure.index];
    json["procedure"] = procedure.ident;
    json["procedure_kind"] = kind_word(procedure.kind);
    json["type"] = plan::kind_text(procedure);
    json["area_navigation"] = report.area_navigation;
    json["flyable"] = report.flyable();
}

void add_flown_by(Json& json, const plan::ProcedureRequest& request) {
    json["aircraft"] = request.aircraft.name;
    json["wind"] = weather::to_text(request.wind);
    json["reversal"] =
        request.reversal == procedure::ReversalManner::fortyfive_oneeighty ? "45/180" : "80/260";
}

}  // namespace

std::string procedure_json(const Snapshot& world, const plan::ProcedureReport& report) {
    Json json{{"schema_version", schema_version},
              {"kind", "procedure"},
              {"caution", caution},
              {"airport", airport_json(world, report.airport)}};
    add_procedure(json, world, report);
    add_flown_by(json, report.request);
    json["ways"] = Json::array();
    for (const plan::ReportedWay& way : report.ways) {
        Json entry = head_of_way(world, way);
        entry["findings"] = detail::findings_json(way.findings);
        entry["final"] = way.final ? final_json(*way.final) : Json(nullptr);
        entry["legs"] = Json::array();
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            entry["legs"].push_back(leg_json(world, report, way.legs[i], i + 1));
        }
        json["ways"].push_back(std::move(entry));
    }
    json["sources"] = detail::sources_json(world.sources());
    return json.dump(2);
}

std::string procedures_json(const Snapshot& world, navdata::AirportId airport,
                            const plan::ProcedureRequest& request,
                            const std::vector<plan::ProcedureReport>& reports) {
    Json json{{"schema_version", schema_version},
              {"kind", "procedures"},
              {"caution", caution},
              {"airport", airport_json(world, airport)}};
    add_flown_by(json, request);
    json["procedures"] = Json::array();
    for (const plan::ProcedureReport& report : reports) {
        Json entry = Json::object();
        add_procedure(entry, world, report);
        entry["ways"] = Json::array();
        for (const plan::ReportedWay& way : report.ways) {
            Json line = head_of_way(world, way);
            line["legs"] = way.legs.size();
            line["legs_drawn_simpler"] =
                std::count_if(way.legs.begin(), way.legs.end(),
                              [](const plan::ReportedLeg& leg) { return leg.flown.fallback.has_value(); });
            entry["ways"].push_back(std::move(line));
        }
        json["procedures"].push_back(std::move(entry));
    }
    json["sources"] = detail::sources_json(world.sources());
    return json.dump(2);
}

}  // namespace omniway::wire
