#include "wire/judge_json.hpp"

#include <cmath>

#include "flight/route.hpp"
#include "plan/plan.hpp"
#include "plan/route_words.hpp"
#include "wire/detail/card_part.hpp"
#include "wire/detail/request_part.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::Json;

namespace {

Json or_null(const std::optional<int>& number) {
    return number ? Json(*number) : Json(nullptr);
}

Json finding_json(const plan::RouteWords& words, const base::Finding& finding) {
    Json json = detail::finding_at_step(finding);
    json["word"] = or_null(words.of(finding));
    return json;
}

Json findings_json(const plan::RouteWords& words, const std::vector<base::Finding>& findings) {
    Json list = Json::array();
    for (const base::Finding& finding : findings) {
        list.push_back(finding_json(words, finding));
    }
    return list;
}

Json steps_json(const navdata::Snapshot& world, const plan::RouteWords& words,
                const std::vector<flight::TrackStep>& steps, const std::vector<base::Finding>& findings) {
    Json list = Json::array();
    for (const flight::TrackStep& step : steps) {
        Json json = detail::step_json(world, step);
        json["word"] = or_null(words.of_step(step.number));
        json["findings"] = Json::array();
        for (const base::Finding& finding : findings) {
            if (finding.step == step.number) {
                json["findings"].push_back(finding_json(words, finding));
            }
        }
        list.push_back(std::move(json));
    }
    return list;
}

}  // namespace

std::string judge_json(const navdata::Snapshot& world, const JudgedFlight& judged) {
    const plan::Request& request = judged.request.flight;
    const plan::Option& option = judged.option;
    const flight::Flight& flight = option.flight;
    const flight::FlightTrack& track = option.compiled.track;
    const plan::RouteWords words(world, judged.request.route, track);
    const Json json{
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
        {"request", detail::request_part(world, request)},
        {"reception", detail::reception_json(judged.reception, judged.terrain_known)},
        {"verdict", base::to_text(option.verdict)},
        {"findings", findings_json(words, option.findings)},
        {"departure_runway", world[flight.departure_runway].ident},
        {"arrival_runway", flight.arrival_runway ? Json(world[*flight.arrival_runway].ident) : Json(nullptr)},
        {"departure", flight.sid},
        {"arrival", flight.star},
        {"approach", flight.approach},
        {"landing", procedure::to_text(flight.landing)},
        {"cruise_altitude_msl_ft", std::round(flight.cruise.feet())},
        {"level_changes", detail::level_changes_json(flight)},
        {"distance_nm", detail::thousandths(track.length.nautical_miles())},
        {"time_min", track.time ? Json(detail::hundredths(base::in_minutes(*track.time))) : Json(nullptr)},
        {"fuel_lb", detail::tenths(track.fuel.pounds())},
        {"fuel_needed_lb", detail::tenths(track.fuel_needed.pounds())},
        {"steps", steps_json(world, words, track.steps, option.findings)},
        {"missed_approach", steps_json(world, words, track.missed, option.findings)},
        {"card", detail::card_part(option.compiled.card)},
        {"sources", detail::sources_json(world.sources())}};
    return json.dump(2);
}

}  // namespace omniway::wire
