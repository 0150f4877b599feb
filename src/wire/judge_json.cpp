#include "wire/judge_json.hpp"

#include <array>
#include <cmath>
#include <string_view>

#include "flight/route.hpp"
#include "plan/plan.hpp"
#include "plan/wording.hpp"
#include "wire/detail/card_part.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::Json;

namespace {

Json finding_at_step(const base::Finding& finding) {
    Json json = detail::finding_json(finding);
    json["step"] = finding.step ? Json(*finding.step) : Json(nullptr);
    return json;
}

Json steps_json(const navdata::Snapshot& world, const std::vector<flight::TrackStep>& steps,
                const std::vector<base::Finding>& findings) {
    Json list = Json::array();
    for (const flight::TrackStep& step : steps) {
        Json json = detail::step_json(world, step);
        json["findings"] = Json::array();
        for (const base::Finding& finding : findings) {
            if (finding.step == step.number) {
                json["findings"].push_back(finding_at_step(finding));
            }
        }
        list.push_back(std::move(json));
    }
    return list;
}

Json reception_json(const JudgedFlight& judged) {
    constexpr std::array<std::string_view, 3> modes = {"volume", "horizon", "terrain"};
    return {{"mode", modes[static_cast<std::size_t>(judged.reception)]},
            {"terrain_in_atlas", judged.terrain_known},
            {"says", plan::reception_text(judged.reception, judged.terrain_known)}};
}

}  // namespace

std::string judge_json(const navdata::Snapshot& world, const JudgedFlight& judged) {
    const plan::Request& request = judged.request.flight;
    const plan::Option& option = judged.option;
    const flight::Flight& flight = option.flight;
    const flight::FlightTrack& track = option.compiled.track;
    Json json{
        {"schema_version", schema_version},
        {"kind", "judge"},
        {"caution", detail::caution},
        {"judged", judged.of_card ? "card" : "route"},
        {"file", judged.file.empty() ? Json(nullptr) : Json(judged.file)},
        {"from", world[request.from].ident},
        {"to", world[request.to].ident},
        {"route_given", flight::to_text(judged.request.route)},
        {"route", plan::route_text(world, flight)},
        {"aircraft", request.aircraft.name},
        {"wind", weather::to_text(request.winds.surface())},
        {"winds_aloft", detail::winds_aloft_json(request.winds)},
        {"date_decimal_year", detail::thousandths(request.today.value)},
        {"reception", reception_json(judged)},
        {"verdict", base::to_text(option.verdict)},
        {"findings", Json::array()},
        {"departure_runway", world[flight.departure_runway].ident},
        {"arrival_runway", flight.arrival_runway ? Json(world[*flight.arrival_runway].ident) : Json(nullptr)},
        {"departure", flight.sid},
        {"arrival", flight.star},
        {"approach", flight.approach},
        {"landing", procedure::to_text(flight.landing)},
        {"cruise_altitude_msl_ft", std::round(flight.cruise.feet())},
        {"distance_nm", detail::thousandths(track.length.nautical_miles())},
        {"time_min", track.time ? Json(detail::hundredths(base::in_minutes(*track.time))) : Json(nullptr)},
        {"fuel_lb", detail::tenths(track.fuel.pounds())},
        {"fuel_needed_lb", detail::tenths(track.fuel_needed.pounds())},
        {"steps", steps_json(world, track.steps, option.findings)},
        {"missed_approach", steps_json(world, track.missed, option.findings)},
        {"card", detail::card_part(option.compiled.card)},
        {"sources", detail::sources_json(world.sources())}};
    for (const base::Finding& finding : option.findings) {
        json["findings"].push_back(finding_at_step(finding));
    }
    return json.dump(2);
}

}  // namespace omniway::wire
