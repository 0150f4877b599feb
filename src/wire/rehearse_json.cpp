#include "wire/rehearse_json.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "wire/detail/chance.hpp"
#include "wire/detail/parts.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::hundredths;
using detail::Json;
using detail::tenths;
using detail::thousandths;
using rehearsal::Outcome;
using rehearsal::Spread;

namespace {

Json at(const Spread& spread, double share) {
    const auto value = spread.at(share);
    return value ? Json(thousandths(*value)) : Json(nullptr);
}

Json airport_json(const navdata::Snapshot& world, navdata::AirportId id) {
    return {{"ident", world[id].ident}, {"name", world[id].name}};
}

Json errors_json(const rehearsal::Errors& errors) {
    return {{"vor_station_deg", thousandths(errors.vor_station.degrees())},
            {"vor_receiver_deg", thousandths(errors.vor_receiver.degrees())},
            {"ndb_station_deg", thousandths(errors.ndb_station.degrees())},
            {"adf_deg", thousandths(errors.adf.degrees())},
            {"localizer_deg", thousandths(errors.localizer.degrees())},
            {"wander_deg", thousandths(errors.wander.degrees())},
            {"wander_for_s", tenths(errors.wander_for.count())},
            {"dme_fixed_nm", thousandths(errors.dme_fixed.nautical_miles())},
            {"dme_share", errors.dme_share},
            {"wind_kt", thousandths(errors.wind.knots())},
            {"wind_for_min", hundredths(base::in_minutes(errors.wind_for))},
            {"gusts_kt", thousandths(errors.gusts.knots())},
            {"heading_drift_in_an_hour_deg", thousandths(errors.heading_drift.degrees())},
            {"compass_deg", thousandths(errors.compass.degrees())},
            {"altimeter_ft", tenths(errors.altimeter.feet())},
            {"airspeed_share", errors.airspeed_share}};
}

Json skill_json(const rehearsal::Skill& skill) {
    return {{"reaction_s", tenths(skill.reaction.count())},
            {"scan_s", thousandths(skill.scan.count())},
            {"tuning_s", tenths(skill.tuning.count())},
            {"setting_course_s", tenths(skill.setting_course.count())},
            {"intercept_deg", tenths(skill.intercept.degrees())},
            {"far_intercept_deg", tenths(skill.far_intercept.degrees())},
            {"heading_reset_min", tenths(base::in_minutes(skill.heading_reset))},
            {"blunders_share", skill.blunders}};
}

Json failures_json(const rehearsal::Failures& failures) {
    Json list = Json::array();
    for (const rehearsal::Failure& failure : failures) {
        const auto* step = std::get_if<rehearsal::FromStep>(&failure.from);
        list.push_back({{"what", to_text(failure.part)},
                        {"from_step", step != nullptr ? Json(step->number) : Json(nullptr)},
                        {"from_min", step != nullptr ? Json(nullptr)
                                                     : Json(thousandths(base::in_minutes(
                                                           std::get<base::Duration>(failure.from))))}});
    }
    return list;
}

// What both documents begin with.
Json head_json(const navdata::Snapshot& world, const char* kind, const RehearsalTold& told) {
    const rehearsal::RehearsalQuestion& question = told.question;
    return {{"schema_version", schema_version},
            {"kind", kind},
            {"caution", detail::caution},
            {"from", airport_json(world, told.request.from)},
            {"to", airport_json(world, told.request.to)},
            {"aircraft", told.request.aircraft.name},
            {"wind", weather::to_text(told.request.winds.surface())},
            {"winds_aloft", detail::winds_aloft_json(told.request.winds)},
            {"date_decimal_year", thousandths(told.request.today.value)},
            {"reception", detail::reception_json(told.reception, told.terrain_known)},
            {"card_file", told.file.empty() ? Json(nullptr) : Json(told.file)},
            {"route", told.option ? Json(plan::route_text(world, told.option->flight)) : Json(nullptr)},
            {"approach", told.option ? Json(told.option->flight.approach) : Json(nullptr)},
            {"seed", question.seed.value},
            {"errors_asked", told.errors},
            {"errors", errors_json(question.errors)},
            {"skill", skill_json(question.skill)},
            {"failures", failures_json(question.failures)},
            {"no_runway", question.no_runway},
            {"time_step_s", question.step.count()}};
}

Json failed_json(const std::array<std::size_t, rehearsal::outcome_count>& counted) {
    Json list = Json::array();
    for (std::size_t i = 1; i < counted.size(); ++i) {
        if (counted[i] > 0) {
            list.push_back({{"outcome", to_text(static_cast<Outcome>(i))}, {"flights", counted[i]}});
        }
    }
    return list;
}

Json step_json(const rehearsal::StepRehearsed& step, const flight::Step& on_card,
               const rehearsal::StepOnStage& meant) {
    const auto missed_by = [&](double share) {
        return meant.ends_at_fix ? at(step.missed_by_nm, share) : Json(nullptr);
    };
    return {{"number", step.number},
            {"to", on_card.to},
            {"as_meant", detail::chance_json(step.as_meant)},
            {"aside_50_percent_nm", at(step.aside_nm, 0.5)},
            {"aside_95_percent_nm", at(step.aside_nm, 0.95)},
            {"aside_99_percent_nm", at(step.aside_nm, 0.99)},
            {"inside_primary_share", step.inside_primary},
            {"inside_total_share", step.inside_total},
            {"missed_by_50_percent_nm", missed_by(0.5)},
            {"missed_by_95_percent_nm", missed_by(0.95)},
            {"takes_50_percent_min", at(step.takes_min, 0.5)},
            {"takes_95_percent_min", at(step.takes_min, 0.95)},
            {"dead_needle", detail::chance_json(step.dead_needle)},
            {"below_minimum", detail::chance_json(step.below_minimum)},
            {"above_maximum", detail::chance_json(step.above_maximum)},
            {"unidentified", detail::chance_json(step.unidentified)},
            {"failed", failed_json(step.failed)}};
}

Json rehearsal_json(const RehearsalTold& told) {
    const rehearsal::Rehearsal& found = *told.rehearsal;
    const flight::Card& card = told.card;
    Json json{{"flights", found.flights},
              {"cut_short", found.cut_short},
              {"narrow_enough", found.narrow_enough},
              {"arrived", detail::chance_json(found.arrived)},
              {"in_sight", detail::chance_json(found.in_sight)},
              {"missed_flown", detail::chance_json(found.missed_flown)},
              {"failed", failed_json(found.outcomes)},
              {"time_50_percent_min", at(found.time_min, 0.5)},
              {"time_95_percent_min", at(found.time_min, 0.95)},
              {"time_on_card_min",
               found.time_on_card ? Json(hundredths(base::in_minutes(*found.time_on_card))) : Json(nullptr)},
              {"fuel_50_percent_lb", at(found.fuel_lb, 0.5)},
              {"fuel_95_percent_lb", at(found.fuel_lb, 0.95)},
              {"fuel_on_card_lb", tenths(found.fuel_on_card.pounds())},
              {"steps", Json::array()},
              {"missed_steps", Json::array()},
              {"weak_points", Json::array()},
              {"examples", Json::array()}};
    for (std::size_t i = 0; i < found.steps.size(); ++i) {
        json["steps"].push_back(step_json(found.steps[i], card.steps[i], told.stage->steps()[i]));
    }
    for (std::size_t i = 0; i < found.missed.size(); ++i) {
        json["missed_steps"].push_back(step_json(found.missed[i], card.missed[i], told.stage->missed()[i]));
    }
    for (const rehearsal::WeakPoint& weak : found.weak_points) {
        json["weak_points"].push_back(
            {{"step", weak.step}, {"of_all_share", weak.share}, {"says", weak.says}});
    }
    for (const rehearsal::Example& example : found.examples) {
        json["examples"].push_back(
            {{"flight", example.flight + 1},
             {"why", example.why},
             {"outcome", to_text(example.outcome)},
             {"command", fmt::format("{} --example {}", told.again, example.flight + 1)}});
    }
    return json;
}

std::string_view word(cockpit::ToFrom shown) {
    switch (shown) {
        case cockpit::ToFrom::to:
            return "TO";
        case cockpit::ToFrom::from:
            return "FROM";
        case cockpit::ToFrom::neither:
            break;
    }
    return "neither";
}

Json receiver_json(const cockpit::ReceiverOnPanel& receiver) {
    return {
        {"frequency_mhz", hundredths(receiver.active.megahertz())},
        {"course_deg", tenths(receiver.course.degrees())},
        {"flag", receiver.shown.flag},
        {"needle_deg", hundredths(receiver.shown.needle.deflection.degrees())},
        {"needle_of_full_scale_share", receiver.shown.needle.full_scale > base::Angle()
                                           ? Json(thousandths(receiver.shown.needle.of_full_scale()))
                                           : Json(nullptr)},
        {"to_from", word(receiver.shown.to_from)},
        {"glideslope_flag", receiver.glideslope.flag},
        {"glideslope_of_full_scale_share", receiver.glideslope.needle.full_scale > base::Angle()
                                               ? Json(thousandths(receiver.glideslope.needle.of_full_scale()))
                                               : Json(nullptr)},
        {"ident", std::string(receiver.ident.letters())}};
}

Json panel_json(const cockpit::Panel& panel) {
    Json json{{"clock_s", tenths(panel.clock.count())},
              {"heading_magnetic_deg", tenths(panel.heading.degrees())},
              {"compass_magnetic_deg", tenths(panel.compass.degrees())},
              {"altitude_msl_ft", std::round(panel.altitude.feet())},
              {"vertical_speed_ft_per_min", std::round(panel.vertical_speed.feet_per_minute())},
              {"airspeed_true_kt", tenths(panel.airspeed.knots())},
              {"receivers", Json::array()},
              {"dme",
               {{"flag", panel.distance.flag},
                {"reading_nm", tenths(panel.distance.reading.nautical_miles())},
                {"ident", std::string(panel.distance.ident.letters())}}},
              {"pointer",
               {{"frequency_khz", tenths(panel.pointer.active.kilohertz())},
                {"from_the_nose_deg", tenths(panel.pointer.relative.degrees())},
                {"ident", std::string(panel.pointer.ident.letters())}}}};
    for (std::size_t i = 0; i < panel.receiver_count; ++i) {
        json["receivers"].push_back(receiver_json(panel.receivers[i]));
    }
    return json;
}

Json flown_json(const rehearsal::StepFlown& flown, const rehearsal::StepOnStage& meant) {
    constexpr double metres_in_a_nautical_mile = 1852.0;
    return {{"number", meant.number},
            {"began_s", tenths(flown.began_s)},
            {"ended_s", flown.ended ? Json(tenths(flown.ended_s)) : Json(nullptr)},
            {"as_meant", flown.ended && flown.as_meant},
            {"missed_by_nm", flown.ended && meant.ends_at_fix
                                 ? Json(thousandths(flown.missed_by_m / metres_in_a_nautical_mile))
                                 : Json(nullptr)},
            {"worst_aside_nm", thousandths(flown.worst_aside_m / metres_in_a_nautical_mile)},
            {"dead_needle_s", tenths(flown.dead_needle_s)},
            {"below_minimum_s", tenths(flown.altitude_bust_s)},
            {"ends_low", flown.ends_low},
            {"ends_high", flown.ends_high},
            {"unidentified_s", tenths(flown.unidentified_s)}};
}

}  // namespace

std::string rehearse_json(const navdata::Snapshot& world, const RehearsalTold& told) {
    Json json = head_json(world, "rehearse", told);
    json["flights_asked"] = told.question.flights;
    json["narrow_enough_share"] =
        told.question.narrow_enough ? Json(*told.question.narrow_enough) : Json(nullptr);
    json["verdict"] = base::to_text(told.verdict);
    json["findings"] = detail::findings_json(told.findings);
    json["rehearsal"] = told.rehearsal ? rehearsal_json(told) : Json(nullptr);
    json["sources"] = detail::sources_json(world.sources());
    return json.dump(2);
}

std::string rehearsed_flight_json(const navdata::Snapshot& world, const RehearsalTold& told,
                                  std::size_t flight, const rehearsal::Trial& trial,
                                  std::span<const rehearsal::Moment> moments) {
    const rehearsal::Stage& stage = *told.stage;
    constexpr double metres_in_a_nautical_mile = 1852.0;
    constexpr double metres_in_a_foot = 0.3048;
    const auto number_of = [&](std::size_t step) { return stage.step(step).number; };
    Json json = head_json(world, "rehearse_flight", told);
    json["flight"] = flight;
    json["outcome"] = to_text(trial.outcome);
    json["failed_step"] =
        trial.outcome == as_asked(told.question) ? Json(nullptr) : Json(number_of(trial.failed_step));
    json["time_s"] = tenths(trial.time_s);
    json["fuel_lb"] = tenths(trial.fuel_lb);
    json["distance_nm"] = thousandths(trial.flown_m / metres_in_a_nautical_mile);
    json["steps"] = Json::array();
    for (std::size_t i = 0; i < trial.steps.size(); ++i) {
        if (trial.steps[i].begun) {
            json["steps"].push_back(flown_json(trial.steps[i], stage.step(i)));
        }
    }
    json["moments"] = Json::array();
    for (const rehearsal::Moment& moment : moments) {
        const earth::Position place = stage.frame().to_position(moment.place);
        json["moments"].push_back({{"time_s", tenths(moment.time_s)},
                                   {"step", number_of(moment.step)},
                                   {"place", detail::place(place)},
                                   {"altitude_msl_ft", std::round(moment.altitude_m / metres_in_a_foot)},
                                   {"aside_nm", thousandths(moment.aside_m / metres_in_a_nautical_mile)},
                                   {"panel", panel_json(*moment.panel)}});
    }
    json["sources"] = detail::sources_json(world.sources());
    return json.dump(2);
}

}  // namespace omniway::wire
