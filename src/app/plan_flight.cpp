#include "app/plan_flight.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>

#include "app/detail/check_range.hpp"
#include "app/detail/reception_asked.hpp"
#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "readers/aircraft_toml.hpp"
#include "readers/minima_csv.hpp"

namespace omniway::app {

using base::Altitude;
using base::Error;
using Faults = std::vector<Error>;

namespace {

std::vector<std::string> shipped_aircraft(const Shipped& shipped) {
    std::vector<std::string> names;
    std::error_code none;
    for (const auto& entry : std::filesystem::directory_iterator(shipped.aircraft(), none)) {
        if (entry.path().extension() == ".toml") {
            names.push_back(entry.path().stem().string());
        }
    }
    std::sort(names.begin(), names.end());
    return names;
}

// A SID or STAR by its ident, or the word for none; what is near where there is no such one.
void check_procedure(Faults& faults, const navdata::Snapshot& world, navdata::AirportId airport,
                     navdata::ProcedureKind kind, const std::optional<std::string>& ident,
                     std::string_view none) {
    if (!ident || *ident == none) {
        return;
    }
    const bool departing = kind == navdata::ProcedureKind::departure;
    std::vector<std::string> known{std::string(none)};
    for (const navdata::Procedure* procedure : world.procedures_of(world[airport].ident, kind)) {
        known.push_back(procedure->ident);
    }
    if (std::find(known.begin(), known.end(), *ident) != known.end()) {
        return;
    }
    std::string all;
    for (const std::string& each : known) {
        all += (all.empty() ? "" : ", ") + each;
    }
    const std::string near = base::did_you_mean(base::near_matches(*ident, known));
    faults.push_back({departing ? "app.unknown_departure" : "app.unknown_arrival",
                      fmt::format("{} has no {} {}: {}", world[airport].ident, departing ? "SID" : "STAR",
                                  base::in_quotes(*ident), near.empty() ? "one of " + all : near),
                      departing ? "--departure" : "--arrival"});
}

}  // namespace

tl::expected<aircraft::Aircraft, Faults> find_aircraft(const Shipped& shipped, const std::string& name) {
    const bool bare = name.find('/') == std::string::npos && name.find('.') == std::string::npos;
    if (!bare) {
        return readers::read_aircraft_file(name);
    }
    const std::filesystem::path file = std::filesystem::path(shipped.aircraft()) / (name + ".toml");
    std::error_code none;
    if (!std::filesystem::exists(file, none)) {
        const auto names = shipped_aircraft(shipped);
        std::string known;
        for (const std::string& each : names) {
            known += (known.empty() ? "" : ", ") + each;
        }
        const std::string near = base::did_you_mean(base::near_matches(name, names));
        return tl::unexpected(
            Faults{{"app.unknown_aircraft",
                    fmt::format("no shipped aircraft {}{}: one of {}, or the path of a file",
                                base::in_quotes(name), near.empty() ? near : "; " + near, known),
                    "--aircraft"}});
    }
    return readers::read_aircraft_file(file);
}

tl::expected<Planned, Faults> plan_flight(const std::string& atlas, const Shipped& shipped,
                                          const PlanQuestion& question) {
    Faults faults;
    if (question.from == question.to) {
        faults.push_back(
            {"app.same_airport",
             fmt::format("{} is both departure and destination: name two airports", question.from), "TO"});
    }
    auto aircraft = find_aircraft(shipped, question.aircraft);
    if (!aircraft) {
        faults.insert(faults.end(), aircraft.error().begin(), aircraft.error().end());
    }
    const auto wind = weather::parse_wind(question.wind, "--wind");
    if (!wind) {
        faults.push_back(wind.error());
    }
    const auto reception = detail::reception_asked(faults, question.reception);
    const auto criteria = parse_criteria(question.criteria, "--criteria");
    if (!criteria) {
        faults.push_back(criteria.error());
    }
    procedure::Minima minima;
    if (question.minima) {
        if (auto loaded = readers::read_minima_file(*question.minima)) {
            minima = readers::minima_of(std::move(*loaded));
        } else {
            faults.insert(faults.end(), loaded.error().begin(), loaded.error().end());
        }
    }
    detail::check_range(faults, question.obstacle_allowance_ft, 0, 2000, "obstacle allowance", "ft",
                        "--obstacle-allowance");
    detail::check_range(faults, question.altitude_ft, 500, 60000, "altitude", "ft", "--altitude");
    detail::check_range(faults, question.minimum_ft, 0, 60000, "minimum", "ft", "--minimum");
    detail::check_range(faults, question.dead_reckoning_nm, 0, 100, "dead reckoning", "NM",
                        "--dead-reckoning-nm");
    detail::check_range(faults, question.dead_reckoning_min, 0, 60, "dead reckoning", "min",
                        "--dead-reckoning-min");
    if (aircraft && question.altitude_ft &&
        *question.altitude_ft > aircraft->performance.service_ceiling.feet()) {
        faults.push_back(
            {"app.above_ceiling",
             fmt::format("altitude {:.0f} ft is above the ceiling of {}, {:.0f} ft", *question.altitude_ft,
                         aircraft->name, aircraft->performance.service_ceiling.feet()),
             "--altitude"});
    }
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    auto world = open_world(atlas, shipped, {{question.from, question.to}, false, question.without});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    const auto from = find_airport(*world->snapshot, question.from, "FROM");
    const auto to = find_airport(*world->snapshot, question.to, "TO");
    for (const auto* found : {&from, &to}) {
        if (!*found) {
            faults.push_back(found->error());
        }
    }
    if (const auto fault = detail::no_terrain(*world, reception)) {
        faults.push_back(*fault);
    }
    if (from && to) {
        check_procedure(faults, *world->snapshot, *from, navdata::ProcedureKind::departure,
                        question.departure, plan::own_departure);
        check_procedure(faults, *world->snapshot, *to, navdata::ProcedureKind::arrival, question.arrival,
                        plan::no_arrival);
    }
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    Planned planned;
    planned.world = std::move(*world);
    planned.request.from = *from;
    planned.request.to = *to;
    planned.request.aircraft = std::move(*aircraft);
    planned.request.wind = *wind;
    planned.request.today = question.today;
    planned.request.minima = std::move(minima);
    planned.request.departure = question.departure;
    planned.request.arrival = question.arrival;
    if (question.altitude_ft) {
        planned.request.cruise = Altitude::feet(*question.altitude_ft);
    }
    if (question.minimum_ft) {
        planned.request.settings.off_airway_minimum = Altitude::feet(*question.minimum_ft);
    }
    if (question.obstacle_allowance_ft) {
        planned.request.settings.obstacle_allowance = base::Length::feet(*question.obstacle_allowance_ft);
    }
    planned.request.settings.criteria = *criteria;
    if (question.dead_reckoning_nm) {
        planned.request.settings.dead_reckoning_distance =
            base::Length::nautical_miles(*question.dead_reckoning_nm);
    }
    if (question.dead_reckoning_min) {
        planned.request.settings.dead_reckoning_time = base::minutes(*question.dead_reckoning_min);
    }
    if (reception) {
        planned.request.settings.reception = *reception;
    }
    planned.answer =
        plan::plan(*planned.world.snapshot, ground_of(planned.world, planned.request.settings.reception),
                   *planned.world.model, planned.request);
    // Tiles are proved as they are read, and those that were damaged counted as ground that is not known.
    for (const Error& damaged : planned.world.damaged_tiles->all()) {
        planned.answer.findings.push_back({base::Grade::warns, "terrain.damaged", damaged.where,
                                           damaged.message + ": taken as ground that is not known",
                                           "import the terrain again"});
    }
    base::rank(planned.answer.findings);
    return planned;
}

}  // namespace omniway::app
