#include "wire/plan_json.hpp"

#include <cmath>
#include <string_view>

#include <nlohmann/json.hpp>

#include "plan/comparison.hpp"
#include "plan/wording.hpp"
#include "wire/detail/card_part.hpp"
#include "wire/detail/chance.hpp"
#include "wire/detail/parts.hpp"
#include "wire/detail/request_part.hpp"
#include "wire/detail/steps.hpp"

namespace omniway::wire {

using Json = nlohmann::ordered_json;

namespace {

using detail::hundredths;
using detail::place;
using detail::station_json;
using detail::telling_json;
using detail::tenths;
using detail::thousandths;

}  // namespace

namespace detail {

Json finding_json(const base::Finding& finding) {
    Json json{{"grade", base::to_text(finding.grade)},
              {"code", finding.code},
              {"about", finding.about},
              {"text", finding.text}};
    if (!finding.remedy.empty()) {
        json["remedy"] = finding.remedy;
    }
    if (finding.step) {
        json["step"] = *finding.step;
    }
    return json;
}

Json finding_at_step(const base::Finding& finding) {
    Json json = finding_json(finding);
    json["step"] = finding.step ? Json(*finding.step) : Json(nullptr);
    return json;
}

Json findings_json(const std::vector<base::Finding>& findings) {
    Json list = Json::array();
    for (const base::Finding& finding : findings) {
        list.push_back(finding_json(finding));
    }
    return list;
}

Json findings_at_steps(const std::vector<base::Finding>& findings) {
    Json list = Json::array();
    for (const base::Finding& finding : findings) {
        list.push_back(finding_at_step(finding));
    }
    return list;
}

Json guidance_json(const navdata::Snapshot& world, const flight::TrackStep& step) {
    struct Write {
        const navdata::Snapshot& world;
        const flight::TrackStep& step;
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

Json ending_json(const navdata::Snapshot& world, const flight::TrackStep& step) {
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
        Json operator()(const procedure::AtDecisionAltitude& e) const {
            Json json{{"kind", "decision_altitude"}};
            if (e.altitude) {
                json["altitude_msl_ft"] = std::round(e.altitude->feet());
            }
            return json;
        }
        Json operator()(const procedure::AtMissedApproachPoint& e) const {
            Json json = fix("missed_approach_point", e.fix);
            json["told_by"] =
                e.telling ? telling_json(world, *e.telling) : Json{{"kind", "time_from_final_fix"}};
            return json;
        }
        Json operator()(const procedure::AtHold& e) const {
            Json json = fix("hold", e.fix);
            if (e.altitude) {
                json["altitude_msl_ft"] = std::round(e.altitude->feet());
            }
            return json;
        }
    };
    return std::visit(Write{world}, *step.ending);
}

Json step_json(const navdata::Snapshot& world, const flight::TrackStep& step) {
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
    if (step.lowest) {
        json["lowest_msl_ft"] = std::round(step.lowest->feet());
    }
    if (step.minimum_at_end) {
        json["minimum_at_end_msl_ft"] = std::round(step.minimum_at_end->feet());
        json["minimum_at_end_from"] = step.minimum_at_end_from;
    }
    json["minimum_from"] = plan::minimum_text(step.minimum);
    return json;
}

}  // namespace detail

namespace {

using detail::findings_json;
using detail::step_json;

Json knots_or_null(const std::optional<base::Speed>& speed) {
    return speed ? Json(tenths(speed->knots())) : Json(nullptr);
}

Json runway_json(const navdata::Snapshot& world, const flight::RunwayFit& fit) {
    return {
        {"ident", world[fit.runway].ident},
        {"direction_true_deg", fit.direction ? Json(hundredths(fit.direction->degrees())) : Json(nullptr)},
        {"length_ft", std::round(world[fit.runway].length.feet())},
        {"headwind_kt", tenths(fit.headwind.knots())},
        {"crosswind_from_right_kt", tenths(fit.crosswind.knots())},
        {"headwind_in_gusts_kt", knots_or_null(fit.headwind_in_gusts)},
        {"crosswind_from_right_in_gusts_kt", knots_or_null(fit.crosswind_in_gusts)},
        {"crosswind_limit_kt", tenths(fit.crosswind_limit.knots())},
        {"tailwind_limit_kt", tenths(fit.tailwind_limit.knots())},
        {"usable_ft", std::round(fit.usable.feet())},
        {"needed_ft", std::round(fit.needed.feet())},
        {"fits", fit.fits()},
        {"findings", findings_json(fit.findings)}};
}

Json runways_json(const navdata::Snapshot& world, const std::vector<flight::RunwayFit>& fits) {
    Json list = Json::array();
    for (const flight::RunwayFit& fit : fits) {
        list.push_back(runway_json(world, fit));
        list.back()["why_behind"] =
            &fit == &fits.front() && fit.fits() ? std::string() : flight::why_behind(fits.front(), fit);
    }
    return list;
}

Json minimum_json(const procedure::ApproachMinimum& minimum) {
    struct Write {
        Json& json;
        void operator()(procedure::StatuteMiles v) const { json["visibility_sm"] = v.miles; }
        void operator()(procedure::VisibilityMetres v) const { json["visibility_m"] = v.metres; }
        void operator()(const procedure::RunwayVisualRange& v) const {
            json["runway_visual_range_ft"] = std::round(v.range.feet());
        }
    };
    Json json{{"kind", procedure::to_text(minimum.kind)},
              {"landing", procedure::to_text(minimum.landing)},
              {"altitude_msl_ft", std::round(minimum.altitude.feet())}};
    if (minimum.visibility) {
        std::visit(Write{json}, *minimum.visibility);
    }
    json["with_fix"] = minimum.with_fix;
    json["remark"] = minimum.remark;
    json["from"] = minimum.where;
    return json;
}

Json considered_json(const plan::ApproachConsidered& approach) {
    Json json{
        {"name", approach.name},
        {"flyable", approach.flyable},
        {"why_not", approach.why_not},
        {"procedure", approach.procedure},
        {"transition", approach.transition},
        {"entry", approach.entry},
        {"rank", approach.rank ? Json(*approach.rank) : Json(nullptr)},
        {"runway", approach.runway},
        {"landing", procedure::to_text(approach.landing)},
        {"track_miles_nm",
         approach.track_miles ? Json(thousandths(approach.track_miles->nautical_miles())) : Json(nullptr)},
        {"approach_miles_nm", thousandths(approach.approach_miles.nautical_miles())},
        {"headwind_kt", knots_or_null(approach.headwind)},
        {"minimum", approach.minimum ? minimum_json(*approach.minimum) : Json(nullptr)},
        {"typical_minimum_msl_ft",
         approach.typical_minimum ? Json(std::round(approach.typical_minimum->feet())) : Json(nullptr)},
        {"work", Json::array()}};
    for (const plan::WorkItem& item : approach.work) {
        json["work"].push_back({{"what", item.what}, {"worth_nm", tenths(item.worth.nautical_miles())}});
    }
    return json;
}

Json airport_json(const navdata::Snapshot& world, navdata::AirportId id) {
    return {{"ident", world[id].ident}, {"name", world[id].name}, {"place", place(world[id].position)}};
}

Json descent_json(const navdata::Snapshot& world, const flight::DescentEvent& event) {
    struct Write {
        const navdata::Snapshot& world;
        Json operator()(const fixing::Way& way) const {
            Json json = telling_json(world, {way, base::Length(), base::Angle()});
            json.erase("along_error_nm");
            json.erase("crossing_deg");
            return json;
        }
        Json operator()(const flight::TimeFromFix& mark) const {
            return {{"kind", mark.after ? "time_after_fix" : "time_before_fix"},
                    {"fix", mark.fix},
                    {"time_s", std::round(mark.time.count())}};
        }
    };
    return {{"step", event.step},
            {"altitude_msl_ft", std::round(event.top.altitude.feet())},
            {"distance_from_start_nm", thousandths(event.top.along.nautical_miles())},
            {"told_by", std::visit(Write{world}, event.top.mark)},
            {"says", plan::descent_text(world, event.top)}};
}

template <class Value>
Json whole_feet(const std::optional<Value>& value) {
    return value ? Json(std::round(value->feet())) : Json(nullptr);
}

Json advisory_json(const navdata::Snapshot& world, const procedure::AdvisoryTable& table) {
    Json json{{"station", station_json(world[table.station])}, {"altitudes", Json::array()}};
    for (const procedure::AdvisoryAltitude& row : table.rows) {
        json["altitudes"].push_back({{"slant_range_nm", thousandths(row.shown.nautical_miles())},
                                     {"altitude_msl_ft", std::round(row.altitude.feet())}});
    }
    return json;
}

Json step_downs_json(const navdata::Snapshot& world, const procedure::FinalSegment& segment) {
    Json list = Json::array();
    for (const procedure::StepDown& step : segment.step_downs) {
        list.push_back({{"fix", step.fix.ident},
                        {"before_end_nm", thousandths(step.before_end.nautical_miles())},
                        {"at_or_above_msl_ft", whole_feet(step.window.at_or_above)},
                        {"at_or_below_msl_ft", whole_feet(step.window.at_or_below)}});
        if (step.telling) {
            list.back()["told_by"] = telling_json(world, *step.telling);
        }
    }
    return list;
}

Json glideslope_json(const procedure::FinalSegment& segment) {
    return {{"altitude_at_final_fix_msl_ft", whole_feet(segment.glideslope_at_fix)},
            {"published_at_final_fix_msl_ft", whole_feet(segment.published_at_fix)},
            {"difference_ft", whole_feet(segment.glideslope_difference())},
            {"intercept_before_final_fix_nm",
             segment.intercept_before_fix ? Json(thousandths(segment.intercept_before_fix->nautical_miles()))
                                          : Json(nullptr)}};
}

Json decision_json(const flight::DecisionPoint& point) {
    return {{"altitude_msl_ft", std::round(point.altitude.feet())},
            {"before_threshold_nm", thousandths(point.before_threshold.nautical_miles())},
            {"time_from_final_fix_s",
             point.from_final_fix ? Json(std::round(point.from_final_fix->count())) : Json(nullptr)}};
}

Json final_json(const navdata::Snapshot& world, const flight::FinalApproach& final_approach) {
    const procedure::FinalSegment& segment = final_approach.segment;
    Json json{{"first_step", final_approach.first_step},
              {"last_step", final_approach.last_step},
              {"final_fix", segment.final_fix.ident},
              {"missed_approach_point", segment.end.ident},
              {"distance_nm", thousandths(segment.length.nautical_miles())},
              {"ends_by", segment.on_glideslope ? "decision_altitude"
                          : segment.timed       ? "time"
                                                : "fix"}};
    json["angle_deg"] = segment.angle ? Json(hundredths(segment.angle->degrees())) : Json(nullptr);
    json["gradient_ft_per_nm"] =
        segment.gradient ? Json(tenths(segment.gradient->feet_per_nautical_mile())) : Json(nullptr);
    json["groundspeed_kt"] =
        final_approach.groundspeed ? Json(tenths(final_approach.groundspeed->knots())) : Json(nullptr);
    json["time_s"] = final_approach.time ? Json(std::round(final_approach.time->count())) : Json(nullptr);
    json["descent_rate_ft_per_min"] = final_approach.descent_rate
                                          ? Json(std::round(final_approach.descent_rate->feet_per_minute()))
                                          : Json(nullptr);
    json["times"] = Json::array();
    for (const procedure::TimeAtSpeed& row : final_approach.times) {
        json["times"].push_back(
            {{"groundspeed_kt", tenths(row.groundspeed.knots())}, {"time_s", std::round(row.time.count())}});
    }
    json["glideslope"] = segment.on_glideslope ? glideslope_json(segment) : Json(nullptr);
    json["step_downs"] = step_downs_json(world, segment);
    json["advisory"] = segment.advisory ? advisory_json(world, *segment.advisory) : Json(nullptr);
    json["decision"] = final_approach.decision ? decision_json(*final_approach.decision) : Json(nullptr);
    json["says"] = plan::final_lines(world, final_approach);
    return json;
}

Json option_json(const navdata::Snapshot& world, const plan::Option& option) {
    Json json{{"route", plan::route_text(world, option.flight)},
              {"departure_runway", runway_json(world, option.departure_runway)},
              {"arrival_runway",
               option.arrival_runway ? runway_json(world, *option.arrival_runway) : Json(nullptr)},
              {"departure", option.flight.sid},
              {"arrival", option.flight.star},
              {"approach", option.flight.approach},
              {"landing", procedure::to_text(option.flight.landing)},
              {"minimum", option.flight.minimum ? minimum_json(*option.flight.minimum) : Json(nullptr)},
              {"cruise_altitude_msl_ft", std::round(option.flight.cruise.feet())},
              {"level_changes", detail::level_changes_json(option.flight)},
              {"distance_nm", thousandths(option.compiled.track.length.nautical_miles())},
              {"time_min", option.compiled.track.time
                               ? Json(hundredths(base::in_minutes(*option.compiled.track.time)))
                               : Json(nullptr)},
              {"fuel_lb", tenths(option.compiled.track.fuel.pounds())},
              {"fuel_needed_lb", tenths(option.compiled.track.fuel_needed.pounds())},
              {"steps", Json::array()},
              {"missed_approach", Json::array()}};
    for (const flight::TrackStep& step : option.compiled.track.steps) {
        json["steps"].push_back(step_json(world, step));
    }
    json["top_of_descent"] =
        option.compiled.track.descent ? descent_json(world, *option.compiled.track.descent) : Json(nullptr);
    json["final_approach"] = option.compiled.track.final_approach
                                 ? final_json(world, *option.compiled.track.final_approach)
                                 : Json(nullptr);
    for (const flight::TrackStep& step : option.compiled.track.missed) {
        json["missed_approach"].push_back(step_json(world, step));
    }
    json["card"] = detail::card_part(option.compiled.card);
    return json;
}

Json considered_json(const std::vector<plan::ProcedureConsidered>& considered) {
    Json list = Json::array();
    for (const plan::ProcedureConsidered& each : considered) {
        list.push_back({{"name", each.name}, {"flyable", each.flyable}, {"why_not", each.why_not}});
    }
    return list;
}

Json mattered_json(const std::vector<plan::Mattered>& mattered) {
    Json list = Json::array();
    for (const plan::Mattered& each : mattered) {
        const bool compared = each.flyable_before;
        list.push_back(
            {{"lifted", each.lifted},
             {"refused", findings_json(each.refused)},
             {"with_it", each.with_it},
             {"sooner_min",
              compared ? Json(detail::hundredths(base::in_minutes(each.sooner))) : Json(nullptr)},
             {"less_work_points", compared ? Json(detail::hundredths(each.less_work)) : Json(nullptr)},
             {"more_margin_share", compared ? Json(detail::thousandths(each.more_margin)) : Json(nullptr)}});
    }
    return list;
}

Json proved_json(std::span<const rehearsal::Chance> proved, std::size_t flight) {
    return flight < proved.size() ? detail::chance_json(proved[flight]) : Json(nullptr);
}

Json outline_json(const plan::Outline& outline) {
    return {{"airways", outline.airways},
            {"stations", outline.stations},
            {"dead_reckoning_nm", tenths(outline.dead_reckoning.nautical_miles())},
            {"highest_minimum_msl_ft", detail::feet(outline.highest_minimum)},
            {"departs", outline.departs},
            {"lands", outline.lands}};
}

Json others_json(const navdata::Snapshot& world, const plan::Answer& answer,
                 std::span<const rehearsal::Chance> proved) {
    Json list = Json::array();
    const plan::Outline first = answer.option ? plan::outline_of(world, *answer.option) : plan::Outline();
    for (const plan::Choice& choice : answer.others) {
        const flight::Flight& flight = choice.option.flight;
        const plan::Outline outline = plan::outline_of(world, choice.option);
        list.push_back({{"route", plan::route_text(world, flight)},
                        {"approach", flight.approach},
                        {"cruise_msl_ft", std::round(flight.cruise.feet())},
                        {"distance_nm", tenths(choice.option.compiled.track.length.nautical_miles())},
                        {"verdict", base::to_text(choice.option.verdict)},
                        {"difference", choice.difference},
                        {"differences", plan::differences(first, outline)},
                        {"outline", outline_json(outline)},
                        {"findings", detail::findings_json(choice.option.findings)},
                        {"costs", detail::costs_json(choice.costs)},
                        {"proved", proved_json(proved, list.size() + 1)}});
    }
    return list;
}

}  // namespace

std::string plan_json(const navdata::Snapshot& world, const plan::Request& request,
                      const plan::Answer& answer, std::span<const rehearsal::Chance> proved) {
    const Json outline =
        answer.option ? outline_json(plan::outline_of(world, *answer.option)) : Json(nullptr);
    Json json{{"schema_version", schema_version},
              {"kind", "plan"},
              {"caution", detail::caution},
              {"from", airport_json(world, request.from)},
              {"to", airport_json(world, request.to)},
              {"aircraft", request.aircraft.name},
              {"wind", weather::to_text(request.winds.surface())},
              {"winds_aloft", detail::winds_aloft_json(request.winds)},
              {"date_decimal_year", thousandths(request.today.value)},
              {"request", detail::request_part(world, request)},
              {"reception", detail::reception_json(answer.reception, answer.terrain_known)},
              {"verdict", base::to_text(answer.verdict)},
              {"findings", findings_json(answer.findings)},
              {"would_unblock", answer.would_unblock},
              {"changes_tried", answer.changes_tried},
              {"changes_not_tried", answer.changes_not_tried},
              {"flight", answer.option ? option_json(world, *answer.option) : Json(nullptr)},
              {"outline", outline},
              {"costs", answer.costs ? detail::costs_json(*answer.costs) : Json(nullptr)},
              {"proved", proved_json(proved, 0)},
              {"others", others_json(world, answer, proved)},
              {"choices_cut_short", answer.choices_cut_short},
              {"departure_runways", runways_json(world, answer.departure_runways)},
              {"arrival_runways", runways_json(world, answer.arrival_runways)},
              {"approaches", Json::array()},
              {"departures", considered_json(answer.departures)},
              {"arrivals", considered_json(answer.arrivals)},
              {"refused", findings_json(answer.refused)},
              {"mattered", mattered_json(answer.mattered)},
              {"lifts_tried", answer.lifts_tried},
              {"lifts_not_tried", answer.lifts_not_tried},
              {"routes_considered", answer.routes_considered},
              {"routes_judged", answer.routes_judged},
              {"searched_again", answer.searched_again},
              {"sources", detail::sources_json(world.sources())}};
    for (const plan::ApproachConsidered& approach : answer.approaches) {
        json["approaches"].push_back(considered_json(approach));
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
