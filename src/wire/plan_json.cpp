#include "wire/plan_json.hpp"

#include <array>
#include <cmath>
#include <string_view>

#include <nlohmann/json.hpp>

#include "plan/wording.hpp"
#include "wire/detail/parts.hpp"

namespace omniway::wire {

using Json = nlohmann::ordered_json;

namespace {

using detail::hundredths;
using detail::place;
using detail::station_json;
using detail::telling_json;
using detail::tenths;
using detail::thousandths;

Json finding_json(const base::Finding& finding) {
    Json json{{"grade", base::to_text(finding.grade)},
              {"code", finding.code},
              {"about", finding.about},
              {"text", finding.text}};
    if (!finding.remedy.empty()) {
        json["remedy"] = finding.remedy;
    }
    return json;
}

Json findings_json(const std::vector<base::Finding>& findings) {
    Json list = Json::array();
    for (const base::Finding& finding : findings) {
        list.push_back(finding_json(finding));
    }
    return list;
}

Json guidance_json(const navdata::Snapshot& world, const flight::Step& step) {
    struct Write {
        const navdata::Snapshot& world;
        const flight::Step& step;
        Json operator()(const procedure::OnRadial& g) const {
            return {{"kind", "radial"},
                    {"direction", g.toward ? "to" : "from"},
                    {"station", station_json(world[g.station])},
                    {"course_to_set_deg", hundredths(g.course.degrees())},
                    {"radial_deg", hundredths((g.toward ? g.course.reciprocal() : g.course).degrees())}};
        }
        Json operator()(const procedure::OnBeacon& g) const {
            return {{"kind", "beacon"},
                    {"direction", g.toward ? "to" : "from"},
                    {"station", station_json(world[g.station])},
                    {"track_true_deg", hundredths(g.track.degrees())}};
        }
        Json operator()(const procedure::OnLocalizer& g) const {
            return {
                {"kind", g.back_course ? "localizer_back_course" : "localizer"},
                {"direction", g.toward ? "to" : "from"},
                {"station", station_json(world[g.station])},
                {"course_to_set_deg", hundredths(navdata::localizer(world[g.station])->course.degrees())}};
        }
        Json operator()(const procedure::OnArc& g) const {
            return {{"kind", "arc"},
                    {"direction", g.clockwise ? "clockwise" : "anticlockwise"},
                    {"station", station_json(world[g.station])},
                    {"radius_nm", thousandths(g.radius.nautical_miles())}};
        }
        Json operator()(const procedure::OnHeading& g) const {
            return {{"kind", "heading"}, {"track_true_deg", hundredths(g.track.degrees())}};
        }
    };
    return std::visit(Write{world, step}, step.guidance);
}

Json ending_json(const navdata::Snapshot& world, const flight::Step& step) {
    if (!step.ending) {
        return {{"kind", std::holds_alternative<procedure::OnHeading>(step.guidance) ? "needle_alive"
                                                                                     : "changeover"}};
    }
    struct Write {
        const navdata::Snapshot& world;
        static Json fix(const char* kind, const procedure::PlacedFix& fix) {
            return {
                {"kind", kind}, {"fix", fix.ident}, {"place", place(fix.position)}, {"rebuilt", fix.rebuilt}};
        }
        Json operator()(const procedure::AtFix& e) const {
            Json json = fix("fix", e.fix);
            json["told_by"] = telling_json(world, e.telling);
            return json;
        }
        Json operator()(const procedure::AtAltitude& e) const {
            return {{"kind", "altitude"}, {"altitude_msl_ft", std::round(e.altitude.feet())}};
        }
        Json operator()(const procedure::AtDistance& e) const {
            return {{"kind", "dme"},
                    {"station", station_json(world[e.station])},
                    {"slant_range_nm", thousandths(e.shown.nautical_miles())}};
        }
        Json operator()(const procedure::AtRadial& e) const {
            return {{"kind", "radial"},
                    {"station", station_json(world[e.station])},
                    {"radial_deg", hundredths(e.radial.degrees())}};
        }
        Json operator()(const procedure::AtIntercept&) const { return {{"kind", "intercept"}}; }
        Json operator()(const procedure::AtCourseReversed&) const { return {{"kind", "course_reversed"}}; }
        Json operator()(const procedure::AtGlideslopeIntercept& e) const {
            Json json = fix("glideslope_intercept", e.fix);
            if (e.altitude) {
                json["altitude_msl_ft"] = std::round(e.altitude->feet());
            }
            return json;
        }
        Json operator()(const procedure::AtDecisionAltitude&) const {
            return {{"kind", "decision_altitude"}};
        }
        Json operator()(const procedure::AtMissedApproachPoint& e) const {
            Json json = fix("missed_approach_point", e.fix);
            json["told_by"] =
                e.telling ? telling_json(world, *e.telling) : Json{{"kind", "time_from_final_fix"}};
            return json;
        }
        Json operator()(const procedure::AtHold& e) const { return fix("hold", e.fix); }
    };
    return std::visit(Write{world}, *step.ending);
}

Json step_json(const navdata::Snapshot& world, const flight::Step& step) {
    Json json{{"number", step.number},
              {"phase", plan::to_text(step.phase)},
              {"via", step.via},
              {"says", plan::guidance_text(world, step)},
              {"until", plan::ending_text(world, step)},
              {"guidance", guidance_json(world, step)},
              {"end", ending_json(world, step)},
              {"from", step.from},
              {"to", step.to},
              {"start", place(step.start)},
              {"finish", place(step.finish)},
              {"distance_nm", thousandths(step.length.nautical_miles())},
              {"track_true_deg", hundredths(step.track.degrees())},
              {"course_magnetic_deg", hundredths(step.course.degrees())},
              {"variation_east_deg", hundredths(step.variation.east().degrees())},
              {"altitude_msl_ft", std::round(step.altitude.feet())},
              {"true_airspeed_kt", tenths(step.true_airspeed.knots())}};
    json["heading_magnetic_deg"] = step.heading ? Json(hundredths(step.heading->degrees())) : Json(nullptr);
    json["groundspeed_kt"] = step.groundspeed ? Json(tenths(step.groundspeed->knots())) : Json(nullptr);
    json["time_min"] = step.time ? Json(hundredths(base::in_minutes(*step.time))) : Json(nullptr);
    json["fuel_lb"] = tenths(step.fuel.pounds());
    json["minimum_msl_ft"] =
        step.minimum.altitude ? Json(std::round(step.minimum.altitude->feet())) : Json(nullptr);
    if (step.minimum_at_end) {
        json["minimum_at_end_msl_ft"] = std::round(step.minimum_at_end->feet());
        json["minimum_at_end_from"] = step.minimum_at_end_from;
    }
    json["minimum_from"] = plan::minimum_text(step.minimum);
    return json;
}

Json runway_json(const navdata::Snapshot& world, const flight::RunwayFit& fit) {
    return {
        {"ident", world[fit.runway].ident},
        {"direction_true_deg", fit.direction ? Json(hundredths(fit.direction->degrees())) : Json(nullptr)},
        {"length_ft", std::round(world[fit.runway].length.feet())},
        {"headwind_kt", tenths(fit.headwind.knots())},
        {"crosswind_from_right_kt", tenths(fit.crosswind.knots())},
        {"fits", fit.fits()},
        {"findings", findings_json(fit.findings)}};
}

Json airport_json(const navdata::Snapshot& world, navdata::AirportId id) {
    return {{"ident", world[id].ident}, {"name", world[id].name}, {"place", place(world[id].position)}};
}

Json option_json(const navdata::Snapshot& world, const plan::Option& option) {
    Json json{{"route", plan::route_text(world, option.flight)},
              {"departure_runway", runway_json(world, option.departure_runway)},
              {"arrival_runway",
               option.arrival_runway ? runway_json(world, *option.arrival_runway) : Json(nullptr)},
              {"approach", option.flight.approach},
              {"cruise_altitude_msl_ft", std::round(option.flight.cruise.feet())},
              {"distance_nm", thousandths(option.card.length.nautical_miles())},
              {"time_min",
               option.card.time ? Json(hundredths(base::in_minutes(*option.card.time))) : Json(nullptr)},
              {"fuel_lb", tenths(option.card.fuel.pounds())},
              {"fuel_needed_lb", tenths(option.card.fuel_needed.pounds())},
              {"steps", Json::array()},
              {"missed_approach", Json::array()}};
    for (const flight::Step& step : option.card.steps) {
        json["steps"].push_back(step_json(world, step));
    }
    for (const flight::Step& step : option.card.missed) {
        json["missed_approach"].push_back(step_json(world, step));
    }
    return json;
}

Json reception_json(const plan::Answer& answer) {
    constexpr std::array<std::string_view, 3> modes = {"volume", "horizon", "terrain"};
    return {{"mode", modes[static_cast<std::size_t>(answer.reception)]},
            {"terrain_in_atlas", answer.terrain_known},
            {"says", plan::reception_text(answer.reception, answer.terrain_known)}};
}

}  // namespace

std::string plan_json(const navdata::Snapshot& world, const plan::Request& request,
                      const plan::Answer& answer) {
    Json json{
        {"schema_version", schema_version},
        {"kind", "plan"},
        {"caution",
         "For simulation and training. Not for real-world navigation: current official charts, local rules "
         "and licensed practice come first."},
        {"from", airport_json(world, request.from)},
        {"to", airport_json(world, request.to)},
        {"aircraft", request.aircraft.name},
        {"wind", weather::to_text(request.wind)},
        {"date_decimal_year", thousandths(request.today.value)},
        {"reception", reception_json(answer)},
        {"verdict", base::to_text(answer.verdict)},
        {"findings", findings_json(answer.findings)},
        {"would_unblock", answer.would_unblock},
        {"flight", answer.option ? option_json(world, *answer.option) : Json(nullptr)},
        {"approaches", Json::array()},
        {"refused", findings_json(answer.refused)},
        {"routes_considered", answer.routes_considered},
        {"sources", detail::sources_json(world.sources())}};
    for (const plan::ApproachConsidered& approach : answer.approaches) {
        json["approaches"].push_back(
            {{"name", approach.name}, {"flyable", approach.flyable}, {"why_not", approach.why_not}});
    }
    return json.dump(2);
}

std::string errors_json(const std::vector<base::Error>& errors) {
    Json json{{"schema_version", schema_version}, {"kind", "errors"}, {"errors", Json::array()}};
    for (const base::Error& error : errors) {
        json["errors"].push_back({{"code", error.code}, {"message", error.message}, {"where", error.where}});
    }
    return json.dump(2);
}

}  // namespace omniway::wire
