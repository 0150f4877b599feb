#include "app/rehearse_flight.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "app/detail/check_range.hpp"
#include "app/detail/failures_asked.hpp"
#include "app/judge_flight.hpp"
#include "base/in_quotes.hpp"
#include "readers/errors_toml.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr double most_flights = 1000000;

void check_whole(Faults& faults, const std::optional<double>& value, double low, double high,
                 const std::string& what, const std::string& where) {
    const std::size_t before = faults.size();
    detail::check_range(faults, value, low, high, what, "", where);
    if (value && faults.size() == before && *value != std::floor(*value)) {
        faults.push_back({"app.out_of_range", fmt::format("{} {} is no whole number", what, *value), where});
    }
}

Faults check(const RehearseQuestion& question) {
    Faults faults;
    check_whole(faults, question.flights, 1, most_flights, "number of flights", "--flights");
    check_whole(faults, question.threads, 0, 256, "number of threads", "--threads");
    check_whole(faults, question.example, 1, most_flights, "flight", "--example");
    detail::check_range(faults, question.narrow_percent, 0.01, 50, "half-width of the interval", "%",
                        "--narrow");
    detail::check_range(faults, question.time_step_s, 0.25, 2, "time step", "s", "--time-step");
    constexpr auto exact_in_json = double{1ULL << 53U};
    detail::check_range(faults, static_cast<double>(question.seed), 0, exact_in_json, "seed", "", "--seed");
    return faults;
}

// None: nominal ones, which depend on the criteria of the flight.
tl::expected<std::optional<readers::ErrorsAndSkill>, Faults> errors_asked(const std::string& errors,
                                                                          const FilesGiven& files) {
    if (errors == "nominal") {
        return std::nullopt;
    }
    if (errors == "none") {
        return readers::ErrorsAndSkill{rehearsal::no_errors(), {}};
    }
    return read_given(
               files, errors, [&](const std::string& text) { return readers::read_errors(text, errors); },
               readers::read_errors_file,
               [](Error error) -> decltype(readers::read_errors_file("")) {
                   return tl::unexpected(Faults{std::move(error)});
               })
        .transform([](const readers::ErrorsAndSkill& read) { return std::optional(read); });
}

FlightToRehearse as_planned(Planned planned) {
    FlightToRehearse flight;
    flight.reception = planned.answer.reception;
    flight.terrain_known = planned.answer.terrain_known;
    flight.world = std::move(planned.world);
    flight.request = std::move(planned.request);
    flight.findings = std::move(planned.answer.findings);
    flight.verdict = planned.answer.verdict;
    flight.option = std::move(planned.answer.option);
    if (flight.option) {
        flight.card = flight.option->compiled.card;
    }
    return flight;
}

tl::expected<FlightToRehearse, Faults> of_card(Judged judged) {
    const flight::Card& computed = judged.option.compiled.card;
    if (!judged.card) {
        return tl::unexpected(
            Faults{{"app.rehearse_what",
                    "the file holds a route and no card: plan the flight, and write its card with --card",
                    judged.file}});
    }
    FlightToRehearse flight;
    for (base::Finding& finding : judged.option.findings) {
        if (finding.code != "card.differs") {
            flight.findings.push_back(std::move(finding));
        }
    }
    flight.verdict = base::verdict_of(flight.findings);
    if (flight.verdict != base::Verdict::not_flyable) {
        if (auto error = other_steps(*judged.card, computed, judged.file)) {
            return tl::unexpected(Faults{std::move(*error)});
        }
    }
    flight.world = std::move(judged.world);
    flight.request = std::move(judged.request.flight);
    flight.card = std::move(*judged.card);
    flight.option = std::move(judged.option);
    flight.file = std::move(judged.file);
    flight.reception = judged.reception;
    flight.terrain_known = judged.terrain_known;
    return flight;
}

tl::expected<FlightToRehearse, Faults> flight_asked(const std::string& atlas, const Shipped& shipped,
                                                    const RehearseQuestion& question) {
    if (question.card.empty()) {
        return plan_flight(atlas, shipped, question.flight).transform([](Planned&& planned) {
            return as_planned(std::move(planned));
        });
    }
    if (!question.flight.files.has(question.card)) {
        return tl::unexpected(Faults{
            {"app.rehearse_what",
             fmt::format(
                 "there is no file {}: name a file with a card, or two airports to plan a flight between",
                 base::in_quotes(question.card)),
             "FROM"}});
    }
    return flight_of_card(atlas, shipped, question.card, question.flight, question.aircraft_named);
}

Replayed replayed(const rehearsal::Stage& stage, const rehearsal::RehearsalQuestion& question,
                  std::size_t number) {
    Replayed replay;
    replay.flight = number;
    rehearsal::Watch watch;
    double next_s = 0.0;
    watch.each_second = [&](const rehearsal::Moment& moment) {
        // Steps of the clock may be finer than a second, or coarser.
        if (moment.time_s + 1e-9 < next_s) {
            return;
        }
        next_s = std::floor(moment.time_s + 1e-9) + 1.0;
        replay.panels.push_back(*moment.panel);
        replay.moments.push_back(moment);
        replay.moments.back().panel = &replay.panels.back();
    };
    replay.trial = rehearsal::fly_again(stage, question, number - 1, watch);
    return replay;
}

}  // namespace

flight::Circumstances day_of(const World& world, const radio::Ground& ground, const plan::Request& request) {
    return {*world.snapshot,  ground,           *world.model, request.today,
            request.aircraft, request.settings, request.winds};
}

std::optional<Error> other_steps(const flight::Card& card, const flight::Card& computed,
                                 const std::string& file) {
    if (card.steps.size() == computed.steps.size() && card.missed.size() == computed.missed.size()) {
        return std::nullopt;
    }
    return Error{
        "card.other_steps",
        fmt::format("the card has {} steps and {} of the missed approach, the flight its request makes "
                    "has {} and {}: write the card anew",
                    card.steps.size(), card.missed.size(), computed.steps.size(), computed.missed.size()),
        file + "#/steps"};
}

tl::expected<FlightToRehearse, Faults> flight_of_card(const std::string& atlas, const Shipped& shipped,
                                                      const std::string& file, const PlanQuestion& flight,
                                                      bool aircraft_named) {
    JudgeQuestion judge;
    judge.what = file;
    judge.flight = flight;
    judge.flight.from.clear();
    judge.flight.to.clear();
    judge.aircraft_named = aircraft_named;
    return judge_flight(atlas, shipped, judge).and_then([](Judged&& judged) {
        return of_card(std::move(judged));
    });
}

OnStage::OnStage(const FlightToRehearse& flight)
    : ground_(ground_of(flight.world, flight.request.settings.reception)),
      day_(day_of(flight.world, ground_, flight.request)),
      stage_(day_, flight.option->flight, flight.option->compiled.track, flight.card) {}

tl::expected<Rehearsed, Faults> on_stage(const std::string& atlas, const Shipped& shipped,
                                         const RehearseQuestion& question) {
    if (Faults faults = check(question); !faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    const auto errors = errors_asked(question.errors, question.flight.files);
    if (!errors) {
        return tl::unexpected(errors.error());
    }
    auto flight = flight_asked(atlas, shipped, question);
    if (!flight) {
        return tl::unexpected(flight.error());
    }
    Rehearsed rehearsed;
    rehearsed.question.flights = static_cast<std::size_t>(question.flights);
    rehearsed.question.seed = base::Seed{question.seed};
    rehearsed.question.threads = static_cast<unsigned>(question.threads);
    rehearsed.question.errors =
        *errors ? (**errors).errors : rehearsal::nominal_errors(flight->request.settings.criteria);
    if (*errors) {
        rehearsed.question.skill = (**errors).skill;
    }
    rehearsed.question.step = base::Duration(question.time_step_s);
    rehearsed.question.no_runway = question.no_runway;
    if (question.narrow_percent) {
        rehearsed.question.narrow_enough = *question.narrow_percent / 100.0;
    }
    rehearsed.flight = std::make_unique<const FlightToRehearse>(std::move(*flight));
    if (!rehearsed.flight->option || rehearsed.flight->verdict == base::Verdict::not_flyable) {
        return rehearsed;
    }
    auto failures =
        detail::failures_asked(question.fail, *rehearsed.flight->world.snapshot,
                               rehearsed.flight->request.aircraft.equipment, rehearsed.flight->card);
    if (!failures) {
        return tl::unexpected(std::move(failures.error()));
    }
    rehearsed.question.failures = std::move(*failures);
    rehearsed.on_stage = std::make_unique<const OnStage>(*rehearsed.flight);
    return rehearsed;
}

tl::expected<Rehearsed, Faults> rehearse_flight(const std::string& atlas, const Shipped& shipped,
                                                const RehearseQuestion& question,
                                                const base::Progress& progress) {
    auto rehearsed = on_stage(atlas, shipped, question);
    if (!rehearsed || !rehearsed->on_stage) {
        return rehearsed;
    }
    const rehearsal::Stage& stage = rehearsed->on_stage->stage();
    if (question.example) {
        rehearsed->replayed =
            replayed(stage, rehearsed->question, static_cast<std::size_t>(*question.example));
    } else {
        rehearsed->rehearsal = rehearsal::rehearse(stage, rehearsed->question, progress);
    }
    return rehearsed;
}

std::vector<rehearsal::Chance> prove(const Planned& planned, std::size_t flights,
                                     const base::Progress& progress) {
    std::vector<rehearsal::Chance> proved;
    if (!planned.answer.option || planned.answer.verdict == base::Verdict::not_flyable) {
        return proved;
    }
    std::vector<const plan::Option*> offered{&*planned.answer.option};
    for (const plan::Choice& choice : planned.answer.others) {
        offered.push_back(&choice.option);
    }
    const radio::Ground ground = ground_of(planned.world, planned.request.settings.reception);
    const flight::Circumstances day = day_of(planned.world, ground, planned.request);
    rehearsal::RehearsalQuestion question;
    question.flights = flights;
    question.seed = base::Seed{1};
    question.errors = rehearsal::nominal_errors(planned.request.settings.criteria);
    for (const plan::Option* option : offered) {
        const rehearsal::Stage stage(day, option->flight, option->compiled.track, option->compiled.card);
        const rehearsal::Rehearsal rehearsal = rehearsal::rehearse(stage, question, progress);
        if (rehearsal.cut_short) {
            break;
        }
        proved.push_back(rehearsal.arrived);
    }
    return proved;
}

}  // namespace omniway::app
