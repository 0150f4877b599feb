#include "app/plan_flight.hpp"

#include <algorithm>
#include <cmath>
#include <filesystem>

#include <fmt/format.h>

#include "app/detail/check_range.hpp"
#include "app/detail/constraints_asked.hpp"
#include "app/detail/procedures_asked.hpp"
#include "app/detail/reception_asked.hpp"
#include "app/detail/winds_asked.hpp"
#include "base/in_quotes.hpp"
#include "base/near_matches.hpp"
#include "readers/aircraft_toml.hpp"
#include "readers/minima_csv.hpp"

namespace omniway::app {

using base::Altitude;
using base::Error;
using Faults = std::vector<Error>;

namespace {

// Each is a plan of its own, and some a world of their own: a second or two where the network is a country's.
constexpr std::size_t most_lifts = 10;
constexpr double most_choices = 9;

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

void check_choices(Faults& faults, const PlanQuestion& question) {
    const auto check = [&](double number, const char* where) {
        if (number < 1.0 || number > most_choices || number != std::floor(number)) {
            faults.push_back({"app.choices_out_of_range",
                              fmt::format("{:g} is no whole number from 1 to {:.0f}", number, most_choices),
                              where});
        }
    };
    check(question.choices, "--choices");
    check(question.choose, "--choose");
}

std::optional<navdata::AirportId> alternate_asked(Faults& faults, const navdata::Snapshot& world,
                                                  const PlanQuestion& question) {
    if (!question.alternate) {
        return std::nullopt;
    }
    if (*question.alternate == question.to) {
        faults.push_back({"app.alternate_is_destination",
                          fmt::format("{} is the destination: name another airport, or none", question.to),
                          "--alternate"});
        return std::nullopt;
    }
    const auto found = find_airport(world, *question.alternate, "--alternate");
    if (!found) {
        faults.push_back(found.error());
        return std::nullopt;
    }
    return *found;
}

// From the destination as a flight of its own, at its own best level, by its own departure and approach.
AlternatePlanned plan_alternate(const World& world, const plan::Request& request,
                                navdata::AirportId alternate) {
    plan::Request onward = request;
    onward.from = request.to;
    onward.to = alternate;
    onward.cruise.reset();
    onward.departure.reset();
    onward.arrival.reset();
    onward.departure_runway.reset();
    onward.landing_runway.reset();
    onward.approach.reset();
    onward.approach_transition.reset();
    onward.constraints.via.clear();
    onward.most_choices = 1;
    onward.choice = 1;
    return {alternate,
            plan::plan(*world.snapshot, ground_of(world, onward.settings.reception), *world.model, onward)};
}

}  // namespace

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

tl::expected<aircraft::Aircraft, Faults> find_aircraft(const Shipped& shipped, const std::string& name,
                                                       const FilesGiven& files) {
    if (const std::string* text = files.text(name)) {
        return readers::read_aircraft(*text, name);
    }
    const bool bare = name.find('/') == std::string::npos && name.find('.') == std::string::npos;
    if (!bare && files.on_disk()) {
        return readers::read_aircraft_file(name);
    }
    const std::filesystem::path file = std::filesystem::path(shipped.aircraft()) / (name + ".toml");
    std::error_code none;
    if (!bare || !std::filesystem::exists(file, none)) {
        const auto names = shipped_aircraft(shipped);
        std::string known;
        for (const std::string& each : names) {
            known += (known.empty() ? "" : ", ") + each;
        }
        const std::string near = base::did_you_mean(base::near_matches(name, names));
        return tl::unexpected(
            Faults{{"app.unknown_aircraft",
                    fmt::format("no shipped aircraft {}{}: one of {}, or {}", base::in_quotes(name),
                                near.empty() ? near : "; " + near, known,
                                files.on_disk() ? "the path of a file" : "the text of an aircraft file"),
                    "--aircraft"}});
    }
    return readers::read_aircraft_file(file);
}

tl::expected<Asked, Faults> read_question(const std::string& atlas, const Shipped& shipped,
                                          const PlanQuestion& question) {
    Faults faults;
    if (question.from == question.to) {
        faults.push_back(
            {"app.same_airport",
             fmt::format("{} is both departure and destination: name two airports", question.from),
             question.to_where});
    }
    auto aircraft = find_aircraft(shipped, question.aircraft, question.files);
    if (!aircraft) {
        faults.insert(faults.end(), aircraft.error().begin(), aircraft.error().end());
    }
    const auto winds = detail::winds_asked(faults, question);
    const auto reception = detail::reception_asked(faults, question.reception);
    const auto criteria = parse_criteria(question.criteria, "--criteria");
    if (!criteria) {
        faults.push_back(criteria.error());
    }
    procedure::Minima minima;
    if (question.minima) {
        auto loaded = read_given(
            question.files, *question.minima,
            [&](const std::string& text) { return readers::read_minima(text, *question.minima); },
            readers::read_minima_file,
            [](Error error) -> decltype(readers::read_minima_file("")) {
                return tl::unexpected(Faults{std::move(error)});
            });
        if (loaded) {
            minima = readers::minima_of(std::move(*loaded));
        } else {
            faults.insert(faults.end(), loaded.error().begin(), loaded.error().end());
        }
    }
    detail::check_range(faults, question.obstacle_allowance_ft, 0, 2000, "obstacle allowance", "ft",
                        "--obstacle-allowance");
    detail::check_range(faults, question.altitude_ft, 500, 60000, "altitude", "ft", "--altitude");
    detail::check_range(faults, question.highest_ft, 500, 60000, "highest altitude", "ft", "--highest");
    check_choices(faults, question);
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
    std::vector<std::string> airports{question.from, question.to};
    if (question.alternate) {
        airports.push_back(*question.alternate);
    }
    airports.insert(airports.end(), question.nearby.begin(), question.nearby.end());
    auto world =
        open_world(atlas, shipped, {std::move(airports), false, question.without, question.without_where});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    const auto from = find_airport(*world->snapshot, question.from, question.from_where);
    const auto to = find_airport(*world->snapshot, question.to, question.to_where);
    for (const auto* found : {&from, &to}) {
        if (!*found) {
            faults.push_back(found->error());
        }
    }
    const auto alternate = alternate_asked(faults, *world->snapshot, question);
    if (const auto fault = detail::no_terrain(*world, reception)) {
        faults.push_back(*fault);
    }
    plan::Request request;
    detail::ConstraintsAsked constraints;
    if (from && to) {
        request.from = *from;
        request.to = *to;
        request.departure_runway =
            detail::runway_asked(faults, *world->snapshot, *from, question.departure_runway, "--runway");
        request.landing_runway =
            detail::runway_asked(faults, *world->snapshot, *to, question.landing_runway, "--landing-runway");
        detail::take_approach(faults, *world->snapshot, question.approach, request);
        constraints = detail::constraints_asked(faults, *world->snapshot, *from, *to, question);
        check_procedure(faults, *world->snapshot, *from, navdata::ProcedureKind::departure,
                        question.departure, plan::own_departure);
        check_procedure(faults, *world->snapshot, *to, navdata::ProcedureKind::arrival, question.arrival,
                        plan::no_arrival);
    }
    if (!faults.empty()) {
        return tl::unexpected(faults);
    }
    Asked asked;
    asked.world = std::move(*world);
    asked.request = std::move(request);
    asked.request.constraints = std::move(constraints.constraints);
    asked.said = std::move(constraints.said);
    asked.request.aircraft = std::move(*aircraft);
    const navdata::Snapshot& snapshot = *asked.world.snapshot;
    asked.request.winds = detail::winds_over(winds, snapshot[*from].elevation, snapshot[*to].elevation);
    asked.request.today = question.today;
    asked.request.minima = std::move(minima);
    asked.request.most_lifts = question.what_mattered ? most_lifts : 0;
    asked.request.departure = question.departure;
    asked.request.arrival = question.arrival;
    asked.request.choice = static_cast<std::size_t>(question.choose);
    asked.request.most_choices = std::max(static_cast<std::size_t>(question.choices), asked.request.choice);
    if (question.altitude_ft) {
        asked.request.cruise = Altitude::feet(*question.altitude_ft);
    }
    if (question.minimum_ft) {
        asked.request.settings.off_airway_minimum = Altitude::feet(*question.minimum_ft);
    }
    if (question.obstacle_allowance_ft) {
        asked.request.settings.obstacle_allowance = base::Length::feet(*question.obstacle_allowance_ft);
    }
    asked.request.settings.criteria = *criteria;
    if (question.dead_reckoning_nm) {
        asked.request.settings.dead_reckoning_distance =
            base::Length::nautical_miles(*question.dead_reckoning_nm);
    }
    if (question.dead_reckoning_min) {
        asked.request.settings.dead_reckoning_time = base::minutes(*question.dead_reckoning_min);
    }
    if (reception) {
        asked.request.settings.reception = *reception;
    }
    if (alternate) {
        asked.alternate = plan_alternate(asked.world, asked.request, *alternate);
        if (asked.alternate->answer.verdict != base::Verdict::not_flyable) {
            asked.request.alternate_fuel = asked.alternate->answer.option->compiled.track.fuel;
        }
    }
    return asked;
}

std::vector<base::Finding> damaged_terrain(const World& world) {
    std::vector<base::Finding> findings;
    for (const Error& damaged : world.damaged_tiles->all()) {
        findings.push_back({base::Grade::warns, "terrain.damaged", damaged.where,
                            damaged.message + ": taken as ground that is not known",
                            "import the terrain again"});
    }
    return findings;
}

tl::expected<Planned, Faults> plan_flight(const std::string& atlas, const Shipped& shipped,
                                          const PlanQuestion& question) {
    auto asked = read_question(atlas, shipped, question);
    if (!asked) {
        return tl::unexpected(asked.error());
    }
    Planned planned{std::move(asked->world), std::move(asked->request), {}, std::move(asked->alternate)};
    planned.answer =
        plan::plan(*planned.world.snapshot, ground_of(planned.world, planned.request.settings.reception),
                   *planned.world.model, planned.request);
    planned.answer.findings.insert(planned.answer.findings.end(), asked->said.begin(), asked->said.end());
    const std::size_t offered = planned.answer.others.size() + 1;
    if (planned.answer.verdict != base::Verdict::not_flyable && planned.request.choice > offered) {
        return tl::unexpected(
            Faults{{"app.choice_not_offered",
                    fmt::format("flight {} is asked for, {} {} offered: --choose 1{}", planned.request.choice,
                                offered, offered == 1 ? "is" : "are",
                                offered > 1 ? fmt::format(" to {}", offered) : ""),
                    "--choose"}});
    }
    for (base::Finding& damaged : damaged_terrain(planned.world)) {
        planned.answer.findings.push_back(std::move(damaged));
    }
    base::rank(planned.answer.findings);
    return planned;
}

}  // namespace omniway::app
