// How many fixes a second can be ranked: all fixes of the demo region, each reached along the lines of the aids about it, with
// everything aboard. The aim is 10,000 a second.

#include <benchmark/benchmark.h>

#include <optional>
#include <vector>

#include "earth/geodesic.hpp"
#include "fixing/catalogue.hpp"
#include "fixing/telling.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"
#include "store/atlas.hpp"

namespace {

using namespace omniway;

cockpit::Equipment everything_aboard() {
    cockpit::Equipment aboard;
    aboard.receivers.resize(2);
    aboard.dme = cockpit::DmeControl::own_control;
    aboard.adf = cockpit::AdfIndicator::rmi;
    return aboard;
}

struct Asked {
    navdata::Snapshot world;
    std::vector<fixing::FixQuestion> questions;
};

std::vector<fixing::FixQuestion> questions_about(const navdata::Snapshot& world) {
    std::vector<fixing::FixQuestion> questions;
    for (const navdata::Fix& fix : world.fixes()) {
        for (const navdata::StationId id :
             world.stations_within(fix.position, base::Length::nautical_miles(40.0))) {
            if (navdata::vor(world[id]) == nullptr) {
                continue;
            }
            fixing::FixQuestion question;
            question.fix = fix.position;
            question.altitude = base::Altitude::feet(8000.0);
            question.track = earth::geodesic(navdata::site(world[id]), fix.position).arrival;
            question.guided_by = id;
            question.every_way = true;
            questions.push_back(question);
        }
    }
    return questions;
}

std::optional<Asked> asked(benchmark::State& state) {
    const auto atlas = store::Atlas::open(OMNIWAY_DEMO_ATLAS);
    auto records = atlas ? atlas->records({true, {}}) : tl::unexpected(atlas.error());
    if (!records) {
        state.SkipWithError("the demo atlas cannot be read");
        return std::nullopt;
    }
    Asked all{navdata::Snapshot::build(std::move(*records)).value, {}};
    all.questions = questions_about(all.world);
    if (all.questions.empty()) {
        state.SkipWithError("the demo region asks nothing");
        return std::nullopt;
    }
    return all;
}

// The whole list in order, every station looked at: what a plan asks at most.
void rank_ways(benchmark::State& state) {
    const auto all = asked(state);
    if (!all) {
        return;
    }
    const cockpit::Equipment aboard = everything_aboard();
    const radio::Ground ground;
    std::size_t next = 0;
    std::size_t ways = 0;
    for (auto _ : state) {
        const auto found =
            fixing::tellings(all->world, ground, aboard, all->questions[next++ % all->questions.size()]);
        ways += found.ways.size();
        benchmark::DoNotOptimize(found);
    }
    state.SetItemsProcessed(state.iterations());
    state.counters["ways"] = static_cast<double>(ways) / static_cast<double>(state.iterations());
}
BENCHMARK(rank_ways)->Name("fix_ranking/all_ways_without_areas")->Unit(benchmark::kMicrosecond);

void rank_with_areas(benchmark::State& state) {
    const auto all = asked(state);
    if (!all) {
        return;
    }
    const radio::Ground ground;
    std::size_t next = 0;
    std::size_t ways = 0;
    for (auto _ : state) {
        const auto found =
            fixing::catalogue(all->world, ground, all->questions[next++ % all->questions.size()]);
        ways += found.ways.size();
        benchmark::DoNotOptimize(found);
    }
    state.SetItemsProcessed(state.iterations());
    state.counters["ways"] = static_cast<double>(ways) / static_cast<double>(state.iterations());
}
BENCHMARK(rank_with_areas)->Name("fix_ranking/catalogue_with_areas")->Unit(benchmark::kMicrosecond);

}  // namespace
