#include "wire/divert_json.hpp"

#include <cmath>

#include "wire/detail/flight_in_the_air.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::Json;

namespace {

Json airport_json(const navdata::Snapshot& world, navdata::AirportId id, base::Length direct) {
    return {{"ident", world[id].ident},
            {"name", world[id].name},
            {"direct_nm", detail::thousandths(direct.nautical_miles())}};
}

Json ranked_json(const navdata::Snapshot& world, const plan::Diversion& each) {
    Json json{
        {"airport", airport_json(world, each.airport, each.direct)},
        {"time_min", each.time ? Json(detail::hundredths(base::in_minutes(*each.time))) : Json(nullptr)},
        {"distance_nm", detail::thousandths(each.option.compiled.track.length.nautical_miles())},
        {"fuel_left_lb", detail::tenths(each.fuel_left.pounds())},
        {"reserve_lb", detail::tenths(each.reserve.pounds())},
        {"runway", nullptr},
        {"minima_known", each.minima_known},
        {"weather_known", false},
        {"first_on_the_radios", detail::first_on_the_radios_json(each.first)},
        {"flight", detail::flight_in_the_air_json(world, each.option)}};
    if (each.option.arrival_runway) {
        const flight::RunwayFit& fit = *each.option.arrival_runway;
        json["runway"] = {{"ident", world[fit.runway].ident},
                          {"length_ft", std::round(world[fit.runway].length.feet())},
                          {"headwind_kt", detail::tenths(fit.headwind.knots())},
                          {"crosswind_from_right_kt", detail::tenths(fit.crosswind.knots())}};
    }
    return json;
}

}  // namespace

std::string divert_json(const navdata::Snapshot& world, const DiversionTold& told) {
    Json json{{"schema_version", schema_version},
              {"kind", "divert"},
              {"caution", detail::caution},
              {"aircraft", told.request.aircraft.name},
              {"wind", weather::to_text(told.request.winds.surface())},
              {"winds_aloft", detail::winds_aloft_json(told.request.winds)},
              {"date_decimal_year", detail::thousandths(told.request.today.value)},
              {"reception", detail::reception_json(told.reception, told.terrain_known)},
              {"planned_route", told.planned ? Json(*told.planned) : Json(nullptr)},
              {"findings", detail::findings_json(told.no_flight)},
              {"at", told.diversions ? detail::in_flight_json(told.diversions->from) : Json(nullptr)},
              {"airports", Json::array()},
              {"refused", Json::array()},
              {"not_looked_at", told.diversions ? Json(told.diversions->not_looked_at) : Json(nullptr)}};
    if (told.diversions) {
        for (const plan::Diversion& each : told.diversions->ranked) {
            json["airports"].push_back(ranked_json(world, each));
        }
        for (const plan::DiversionRefused& each : told.diversions->refused) {
            json["refused"].push_back(
                {{"airport", airport_json(world, each.airport, each.direct)}, {"why", each.why}});
        }
    }
    json["sources"] = detail::sources_json(world.sources());
    return json.dump(2);
}

}  // namespace omniway::wire
