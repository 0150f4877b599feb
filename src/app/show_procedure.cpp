#include "app/show_procedure.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "app/detail/reception_asked.hpp"
#include "app/plan_flight.hpp"
#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

std::optional<procedure::ReversalManner> reversal_of(Faults& faults, const std::string& word) {
    if (word == "45/180") {
        return procedure::ReversalManner::fortyfive_oneeighty;
    }
    if (word == "80/260") {
        return procedure::ReversalManner::eighty_twosixty;
    }
    faults.push_back(
        {"app.unknown_word",
         fmt::format("the procedure turn {} is not known; allowed: 45/180, 80/260", base::in_quotes(word)),
         "--reversal"});
    return std::nullopt;
}

Error unknown(const std::string& what, const std::string& ident, const std::vector<std::string>& known,
              const std::string& else_say, const std::string& where) {
    const std::string near = base::did_you_mean(base::near_matches(ident, known));
    return {"app.unknown_ident",
            fmt::format("no {} {}: {}", what, base::in_quotes(ident), near.empty() ? else_say : near), where};
}

tl::expected<navdata::ProcedureId, Error> find_procedure(const navdata::Snapshot& world,
                                                         const std::string& airport,
                                                         const std::string& ident) {
    std::vector<std::string> known;
    for (std::uint32_t i = 0; i < world.procedures().size(); ++i) {
        const navdata::Procedure& procedure = world.procedures()[i];
        if (procedure.airport != airport) {
            continue;
        }
        if (procedure.ident == ident) {
            return navdata::ProcedureId{i};
        }
        known.push_back(procedure.ident);
    }
    return tl::unexpected(unknown("procedure", airport + "/" + ident, known,
                                  known.empty() ? "the atlas holds none of " + airport
                                                : fmt::format("there are {}", fmt::join(known, ", ")),
                                  "PROCEDURE"));
}

std::optional<Error> transition_fault(const navdata::Procedure& procedure, const std::string& transition) {
    const std::vector<std::string> known = plan::transitions_of(procedure);
    if (std::find(known.begin(), known.end(), transition) != known.end()) {
        return std::nullopt;
    }
    std::vector<std::string> named = known;
    std::erase(named, std::string());
    return unknown("transition of " + procedure.ident, transition, named,
                   named.empty() ? "it has none" : fmt::format("there are {}", fmt::join(named, ", ")),
                   "--via");
}

}  // namespace

tl::expected<ShownProcedures, Faults> show_procedures(const std::string& atlas, const Shipped& shipped,
                                                      const ProcedureQuestion& question) {
    Faults faults;
    plan::ProcedureRequest request;
    auto aircraft = find_aircraft(shipped, question.aircraft);
    if (!aircraft) {
        faults.insert(faults.end(), aircraft.error().begin(), aircraft.error().end());
    }
    const auto wind = weather::parse_wind(question.wind, "--wind");
    if (!wind) {
        faults.push_back(wind.error());
    }
    const auto reversal = reversal_of(faults, question.reversal);
    const auto criteria = parse_criteria(question.criteria, "--criteria");
    if (!criteria) {
        faults.push_back(criteria.error());
    }
    const auto reception = detail::reception_asked(faults, question.reception);
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    auto world = open_world(atlas, shipped, {{question.airport}, false, {}});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    if (const auto fault = detail::no_terrain(*world, reception)) {
        return tl::unexpected(Faults{*fault});
    }
    const auto airport = find_airport(*world->snapshot, question.airport, "AIRPORT");
    if (!airport) {
        return tl::unexpected(Faults{airport.error()});
    }
    request.aircraft = std::move(*aircraft);
    request.wind = *wind;
    request.reversal = *reversal;
    request.criteria = *criteria;
    request.transition = question.via;
    request.modelled_variation =
        world->model->variation((*world->snapshot)[*airport].position, question.today);
    ShownProcedures shown{std::move(*world), *airport, request, {}};
    const navdata::Snapshot& snapshot = *shown.world.snapshot;
    const radio::Ground ground = ground_of(shown.world, reception);
    if (!question.procedure) {
        shown.reports = plan::procedure_reports(snapshot, ground, *airport, request);
        return shown;
    }
    const auto procedure = find_procedure(snapshot, question.airport, *question.procedure);
    if (!procedure) {
        return tl::unexpected(Faults{procedure.error()});
    }
    if (question.via) {
        if (const auto fault = transition_fault(snapshot.procedures()[procedure->index], *question.via)) {
            return tl::unexpected(Faults{*fault});
        }
    }
    request.procedure = *procedure;
    shown.request = request;
    shown.reports.push_back(plan::procedure_report(snapshot, ground, request));
    return shown;
}

}  // namespace omniway::app
