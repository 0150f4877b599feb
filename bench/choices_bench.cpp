// How long a plan with alternatives takes in the demo region (aim: p95 under 100 ms): airports two by two, three flights each, stations met
// before so that their horizons are at hand, with one network and memo; and how long a network takes to make.

#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "app/plan_flight.hpp"
#include "routing/roads.hpp"

namespace {

using namespace omniway;

struct Measured {
    std::vector<double> ms;
    std::size_t others = 0;
    std::size_t cut_short = 0;
};

void plan_all(const app::Planned& planned, std::size_t most_choices, routing::Roads& roads,
              Measured& measured) {
    const navdata::Snapshot& world = *planned.world.snapshot;
    const radio::Ground ground = app::ground_of(planned.world, planned.request.settings.reception);
    plan::Request request = planned.request;
    request.most_choices = most_choices;
    for (std::uint32_t from = 0; from < world.airports().size(); ++from) {
        for (std::uint32_t to = 0; to < world.airports().size(); ++to) {
            if (from == to) {
                continue;
            }
            request.from = navdata::AirportId{from};
            request.to = navdata::AirportId{to};
            const auto begin = std::chrono::steady_clock::now();
            const plan::Answer answer = plan::plan(world, ground, *planned.world.model, request, roads);
            const std::chrono::duration<double, std::milli> taken = std::chrono::steady_clock::now() - begin;
            // What is not flyable asks many times for what would unblock.
            if (answer.verdict != base::Verdict::not_flyable) {
                measured.ms.push_back(taken.count());
                measured.others += answer.others.size();
                measured.cut_short += answer.choices_cut_short ? 1 : 0;
            }
        }
    }
}

std::optional<app::Planned> any_plan() {
    app::PlanQuestion question;
    question.from = "XDOV";
    question.to = "XMRA";
    question.wind = "270/20";
    question.today = earth::DecimalYear{2026.0};
    auto planned = app::plan_flight(
        OMNIWAY_DEMO_ATLAS, {std::filesystem::path(OMNIWAY_DEMO_ATLAS).parent_path().string()}, question);
    return planned ? std::optional<app::Planned>(std::move(*planned)) : std::nullopt;
}

void plan_choices(benchmark::State& state) {
    const auto planned = any_plan();
    if (!planned) {
        state.SkipWithError("no flight of the demo region is planned");
        return;
    }
    routing::Roads roads(*planned->world.snapshot);
    const auto choices = static_cast<std::size_t>(state.range(0));
    Measured warm;
    plan_all(*planned, choices, roads, warm);
    Measured measured;
    for ([[maybe_unused]] const auto& one : state) {
        plan_all(*planned, choices, roads, measured);
    }
    if (measured.ms.empty()) {
        state.SkipWithError("nothing is flyable");
        return;
    }
    std::sort(measured.ms.begin(), measured.ms.end());
    const auto at = [&](double share) {
        return measured.ms[static_cast<std::size_t>(share * static_cast<double>(measured.ms.size() - 1))];
    };
    state.counters["flights"] = static_cast<double>(measured.ms.size());
    state.counters["p50_ms"] = at(0.50);
    state.counters["p95_ms"] = at(0.95);
    state.counters["p99_ms"] = at(0.99);
    state.counters["others"] = static_cast<double>(measured.others);
    state.counters["cut_short"] = static_cast<double>(measured.cut_short);
}
BENCHMARK(plan_choices)
    ->Name("choices/demo_pairs")
    ->Arg(1)
    ->Arg(3)
    ->Iterations(1)
    ->Unit(benchmark::kMillisecond);

void make_network(benchmark::State& state) {
    const auto planned = any_plan();
    if (!planned) {
        state.SkipWithError("no flight of the demo region is planned");
        return;
    }
    for ([[maybe_unused]] const auto& one : state) {
        const routing::Network network(*planned->world.snapshot);
        benchmark::DoNotOptimize(network.nodes().size());
    }
}
BENCHMARK(make_network)->Name("choices/network")->Unit(benchmark::kMillisecond);

}  // namespace
