#include "wire/losses_json.hpp"

#include <string_view>

#include "plan/loss_wording.hpp"
#include "plan/plan.hpp"
#include "wire/detail/flight_in_the_air.hpp"
#include "wire/detail/steps.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

using detail::Json;

namespace {

std::string_view word(flight::RadioUse use) {
    switch (use) {
        case flight::RadioUse::guides:
            return "guides";
        case flight::RadioUse::tells:
            return "ends";
        case flight::RadioUse::checks:
            break;
    }
    return "checks";
}

std::string_view word(plan::Fallback fallback) {
    switch (fallback) {
        case plan::Fallback::as_planned:
            return "as_planned";
        case plan::Fallback::another_way:
            return "another_way";
        case plan::Fallback::another_approach:
            return "another_approach";
        case plan::Fallback::turn_back:
            return "turn_back";
        case plan::Fallback::divert:
            return "divert";
        case plan::Fallback::none:
            break;
    }
    return "none";
}

Json failure_json(const navdata::Snapshot& world, const plan::StationLoss& loss,
                  const plan::Failure& failure) {
    return {{"when", failure.when},
            {"step", failure.step},
            {"at", detail::in_flight_json(failure.at)},
            {"by_missed_approach", failure.by_missed_approach},
            {"fallback", word(failure.fallback)},
            {"to", world[failure.to].ident},
            {"says", plan::fallback_text(world, loss, failure)},
            {"flight",
             failure.option ? detail::flight_in_the_air_json(*loss.without, *failure.option) : Json(nullptr)},
            {"into_reserve", failure.into_reserve},
            {"why_not", failure.why_not}};
}

Json station_json(const navdata::Snapshot& world, const plan::StationLoss& loss) {
    Json json{{"aid", detail::aid_json(loss.aid)},
              {"place", detail::place(navdata::site(world[loss.station]))},
              {"lost", Json::array()},
              {"only_checks", loss.only_checks()},
              {"strands", loss.strands()},
              {"from_the_ground", nullptr},
              {"failures", Json::array()}};
    for (const plan::UseOfStation& use : loss.uses) {
        json["lost"].push_back({{"use", word(use.use)}, {"step", use.step}, {"missed_approach", use.missed}});
    }
    if (!loss.only_checks()) {
        json["from_the_ground"] = {{"flyable", loss.flyable_from_the_ground},
                                   {"route", loss.route_from_the_ground}};
    }
    for (const plan::Failure& failure : loss.failures) {
        json["failures"].push_back(failure_json(world, loss, failure));
    }
    return json;
}

}  // namespace

std::string losses_json(const navdata::Snapshot& world, const plan::Request& request,
                        const plan::Answer& answer, const std::optional<plan::LossReport>& report) {
    Json json{{"schema_version", schema_version},
              {"kind", "losses"},
              {"caution", detail::caution},
              {"from", world[request.from].ident},
              {"to", world[request.to].ident},
              {"aircraft", request.aircraft.name},
              {"wind", weather::to_text(request.winds.surface())},
              {"winds_aloft", detail::winds_aloft_json(request.winds)},
              {"date_decimal_year", detail::thousandths(request.today.value)},
              {"reception", detail::reception_json(answer.reception, answer.terrain_known)},
              {"verdict", base::to_text(answer.verdict)},
              {"findings", detail::findings_json(answer.findings)},
              {"route", report ? Json(plan::route_text(world, answer.option->flight)) : Json(nullptr)},
              {"approach", report ? Json(answer.option->flight.approach) : Json(nullptr)},
              {"survives_any", report ? Json(report->stranding().empty()) : Json(nullptr)},
              {"stations", Json::array()}};
    if (report) {
        for (const plan::StationLoss& loss : report->stations) {
            json["stations"].push_back(station_json(world, loss));
        }
    }
    json["sources"] = detail::sources_json(world.sources());
    return json.dump(2);
}

}  // namespace omniway::wire
