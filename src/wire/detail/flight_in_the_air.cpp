#include "wire/detail/flight_in_the_air.hpp"

#include <cmath>
#include <string_view>

#include "cockpit/morse.hpp"
#include "plan/plan.hpp"
#include "plan/step_wording.hpp"
#include "plan/wording.hpp"
#include "wire/detail/steps.hpp"

namespace omniway::wire::detail {

namespace {

Json airport_json(const navdata::Snapshot& world, navdata::AirportId id, base::Length direct) {
    return {{"ident", world[id].ident},
            {"name", world[id].name},
            {"direct_nm", thousandths(direct.nautical_miles())}};
}

}  // namespace

Json flight_in_the_air_json(const navdata::Snapshot& world, const plan::Option& option) {
    const flight::Flight& flight = option.flight;
    const flight::FlightTrack& track = option.compiled.track;
    Json json{{"route", plan::route_text(world, flight)},
              {"verdict", base::to_text(option.verdict)},
              {"approach", flight.approach},
              {"landing", procedure::to_text(flight.landing)},
              {"runway", flight.arrival_runway ? Json(world[*flight.arrival_runway].ident) : Json(nullptr)},
              {"cruise_altitude_msl_ft", std::round(flight.cruise.feet())},
              {"distance_nm", thousandths(track.length.nautical_miles())},
              {"time_min", track.time ? Json(hundredths(base::in_minutes(*track.time))) : Json(nullptr)},
              {"fuel_lb", tenths(track.fuel.pounds())},
              {"by_heading_nm", thousandths(plan::by_heading(flight).nautical_miles())},
              {"findings", findings_json(option.findings)},
              {"steps", Json::array()},
              {"missed_approach", Json::array()}};
    for (const flight::TrackStep& step : track.steps) {
        json["steps"].push_back(step_json(world, step));
    }
    for (const flight::TrackStep& step : track.missed) {
        json["missed_approach"].push_back(step_json(world, step));
    }
    return json;
}

Json in_flight_json(const plan::InFlight& now) {
    return {{"name", now.at.name},
            {"place", place(now.at.place)},
            {"altitude_msl_ft", std::round(now.at.altitude.feet())},
            {"fuel_lb", tenths(now.fuel.pounds())}};
}

Json aid_json(const flight::NamedAid& aid) {
    Json json{{"ident", aid.ident}, {"kind", aid.kind}};
    if (aid.kind.starts_with("NDB")) {
        json["frequency_khz"] = tenths(aid.frequency.kilohertz());
    } else {
        json["frequency_mhz"] = hundredths(aid.frequency.megahertz());
    }
    json["morse"] = cockpit::morse(aid.ident);
    return json;
}

Json first_on_the_radios_json(const std::optional<plan::FirstOnTheRadios>& first) {
    if (!first) {
        return nullptr;
    }
    return {{"set", plan::set_text(first->set)},
            {"aid", aid_json(first->aid)},
            {"course_deg", first->course ? Json(std::round(first->course->degrees())) : Json(nullptr)},
            {"direction", first->toward ? "to" : "from"},
            {"hold", first->hold},
            {"heading_magnetic_deg",
             first->heading ? Json(hundredths(first->heading->degrees())) : Json(nullptr)},
            {"track_magnetic_deg", hundredths(first->track.degrees())},
            {"by_heading_nm", thousandths(first->by_heading.nautical_miles())},
            {"heading_time_s",
             first->heading_time ? Json(std::round(first->heading_time->count())) : Json(nullptr)}};
}

Json diversion_json(const navdata::Snapshot& world, const plan::Diversion& each) {
    Json json{{"airport", airport_json(world, each.airport, each.direct)},
              {"time_min", each.time ? Json(hundredths(base::in_minutes(*each.time))) : Json(nullptr)},
              {"distance_nm", thousandths(each.option.compiled.track.length.nautical_miles())},
              {"fuel_left_lb", tenths(each.fuel_left.pounds())},
              {"reserve_lb", tenths(each.reserve.pounds())},
              {"runway", nullptr},
              {"minima_known", each.minima_known},
              {"weather_known", false},
              {"first_on_the_radios", first_on_the_radios_json(each.first)},
              {"flight", flight_in_the_air_json(world, each.option)}};
    if (each.option.arrival_runway) {
        const flight::RunwayFit& fit = *each.option.arrival_runway;
        json["runway"] = {{"ident", world[fit.runway].ident},
                          {"length_ft", std::round(world[fit.runway].length.feet())},
                          {"headwind_kt", tenths(fit.headwind.knots())},
                          {"crosswind_from_right_kt", tenths(fit.crosswind.knots())}};
    }
    return json;
}

Json diversion_refused_json(const navdata::Snapshot& world, const plan::DiversionRefused& refused) {
    return {{"airport", airport_json(world, refused.airport, refused.direct)}, {"why", refused.why}};
}

}  // namespace omniway::wire::detail
