// How long a card takes, and its judgement: the flight of the demo region with the most steps among some, compiled with its radio
// schedule, and judged. The aim is under 5 ms each.

#include <benchmark/benchmark.h>

#include <filesystem>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "app/plan_flight.hpp"
#include "flight/compile.hpp"
#include "flight/judge.hpp"

namespace {

using namespace omniway;

app::Shipped shipped() {
    return {std::filesystem::path(OMNIWAY_DEMO_ATLAS).parent_path().string()};
}

std::optional<app::Planned> longest_card() {
    std::optional<app::Planned> longest;
    std::size_t most = 0;
    for (const auto& [from, to] : std::vector<std::pair<std::string, std::string>>{
             {"XDOV", "XMRA"}, {"XMRA", "XDOV"}, {"XDOV", "XKEL"}, {"XMRA", "XNOR"}}) {
        app::PlanQuestion question;
        question.from = from;
        question.to = to;
        question.wind = "270/20";
        question.today = earth::DecimalYear{2026.0};
        auto planned = app::plan_flight(OMNIWAY_DEMO_ATLAS, shipped(), question);
        if (!planned || !planned->answer.option) {
            continue;
        }
        const std::size_t steps = planned->answer.option->flight.legs.size();
        if (steps > most) {
            most = steps;
            longest = std::move(*planned);
        }
    }
    return longest;
}

void compile_card(benchmark::State& state) {
    const auto planned = longest_card();
    if (!planned) {
        state.SkipWithError("no flight of the demo region is planned");
        return;
    }
    const plan::Request& request = planned->request;
    const radio::Ground ground = app::ground_of(planned->world, request.settings.reception);
    const weather::WindsAloft& winds = request.winds;
    const flight::Circumstances circumstances{
        *planned->world.snapshot, ground, *planned->world.model, request.today, request.aircraft,
        request.settings,         winds};
    std::size_t steps = 0;
    std::size_t checks = 0;
    bool scheduled = false;
    for (auto _ : state) {
        const flight::Compiled compiled = flight::compile(circumstances, planned->answer.option->flight);
        benchmark::DoNotOptimize(compiled);
        steps = compiled.card.steps.size() + compiled.card.missed.size();
        scheduled = std::holds_alternative<flight::RadioSchedule>(compiled.schedule);
        checks = 0;
        for (const flight::Step& step : compiled.card.steps) {
            checks += step.check ? 1U : 0U;
        }
    }
    state.counters["steps"] = static_cast<double>(steps);
    state.counters["checks"] = static_cast<double>(checks);
    state.counters["scheduled"] = scheduled ? 1.0 : 0.0;
}
void judge_flight(benchmark::State& state) {
    const auto planned = longest_card();
    if (!planned) {
        state.SkipWithError("no flight of the demo region is planned");
        return;
    }
    const plan::Request& request = planned->request;
    const plan::Option& option = *planned->answer.option;
    const radio::Ground ground = app::ground_of(planned->world, request.settings.reception);
    const flight::Circumstances circumstances{
        *planned->world.snapshot, ground,           *planned->world.model, request.today,
        request.aircraft,         request.settings, request.winds};
    std::size_t findings = 0;
    for (auto _ : state) {
        const flight::Judgement judgement = flight::judge(circumstances, option.flight, option.compiled);
        benchmark::DoNotOptimize(judgement);
        findings = judgement.findings.size();
    }
    state.counters["findings"] = static_cast<double>(findings);
}
BENCHMARK(judge_flight)->Name("card/judge")->Unit(benchmark::kMillisecond);
BENCHMARK(compile_card)->Name("card/compile_with_schedule")->Unit(benchmark::kMillisecond);

}  // namespace
