#include "app/detail/procedures_asked.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "procedure/approach.hpp"

namespace omniway::app::detail {

using Faults = std::vector<base::Error>;

namespace {

// A name as plans print it: an ILS is called one where a glideslope is received, whatever else is aboard.
bool is_a_way(const navdata::Snapshot& world, navdata::AirportId airport, const std::string& name) {
    cockpit::Equipment aboard;
    aboard.receivers = {{.glideslope = true}};
    const auto ways = procedure::approach_ways(world, radio::Ground{}, aboard, airport);
    return std::any_of(ways.begin(), ways.end(),
                       [&](const procedure::ApproachWay& way) { return way.name() == name; });
}

}  // namespace

std::optional<navdata::RunwayId> runway_asked(Faults& faults, const navdata::Snapshot& world,
                                              navdata::AirportId airport,
                                              const std::optional<std::string>& ident, std::string where) {
    if (!ident) {
        return std::nullopt;
    }
    std::vector<std::string> known;
    for (const navdata::RunwayId id : world.runways_of(world[airport].ident)) {
        if (world[id].ident == *ident || world[id].ident == "RW" + *ident) {
            return id;
        }
        known.push_back(world[id].ident);
    }
    faults.push_back({"app.unknown_runway",
                      fmt::format("{} has no runway {}: {}", world[airport].ident, base::in_quotes(*ident),
                                  known.empty() ? "none of it is in the data"
                                                : fmt::format("one of {}", fmt::join(known, ", "))),
                      std::move(where)});
    return std::nullopt;
}

void take_approach(Faults& faults, const navdata::Snapshot& world, const std::optional<std::string>& asked,
                   plan::Request& request) {
    if (!asked) {
        return;
    }
    const std::string& airport = world[request.to].ident;
    const std::size_t stroke = asked->find('/');
    const std::string ident = asked->substr(0, stroke);
    std::vector<std::string> known;
    std::vector<std::string> transitions;
    for (const navdata::Procedure* each : world.approaches_of(airport)) {
        known.push_back(each->ident);
        for (const auto& branch : each->branches) {
            if (each->ident == ident && !branch.transition.empty()) {
                transitions.push_back(branch.transition);
            }
        }
    }
    if (std::find(known.begin(), known.end(), ident) == known.end()) {
        if (is_a_way(world, request.to, *asked)) {
            request.approach = *asked;
            return;
        }
        const std::string near = base::did_you_mean(base::near_matches(ident, known));
        faults.push_back({"app.unknown_approach",
                          fmt::format("{} has no approach {}: {}", airport, base::in_quotes(ident),
                                      !near.empty()   ? near
                                      : known.empty() ? "none of it is in the data"
                                                      : fmt::format("one of {}", fmt::join(known, ", "))),
                          "--approach"});
        return;
    }
    request.approach = ident;
    if (stroke == std::string::npos) {
        return;
    }
    const std::string transition = asked->substr(stroke + 1);
    if (std::find(transitions.begin(), transitions.end(), transition) == transitions.end()) {
        faults.push_back(
            {"app.unknown_approach",
             fmt::format("{} of {} has no transition {}: {}", ident, airport, base::in_quotes(transition),
                         transitions.empty() ? "it has none"
                                             : fmt::format("one of {}", fmt::join(transitions, ", "))),
             "--approach"});
        return;
    }
    request.approach_transition = transition;
}

}  // namespace omniway::app::detail
