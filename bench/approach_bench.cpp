// How long choosing among approaches takes: all ways of all approaches of an airport of the demo region that has the most, placed,
// judged for the radios aboard, with their missed approaches and the runways they can land on. The aim is 20 approaches in 20 ms.

#include <benchmark/benchmark.h>

#include <optional>

#include "flight/runway_choice.hpp"
#include "navdata/snapshot.hpp"
#include "plan/approach_choice.hpp"
#include "radio/ground.hpp"
#include "store/atlas.hpp"

namespace {

using namespace omniway;

aircraft::Aircraft aircraft_aboard(std::size_t receivers, bool adf) {
    aircraft::Aircraft all;
    all.equipment.receivers.resize(receivers);
    all.equipment.receivers.front().glideslope = true;
    all.equipment.dme = cockpit::DmeControl::own_control;
    if (adf) {
        all.equipment.adf = cockpit::AdfIndicator::rmi;
    }
    all.performance.climb = {.airspeed = weather::CalibratedAirspeed::knots(110),
                             .mach_limit = std::nullopt,
                             .rate_at_sea_level = base::VerticalSpeed::feet_per_minute(1500),
                             .rate_at_ceiling = base::VerticalSpeed::feet_per_minute(100),
                             .fuel_flow = base::MassFlow::pounds_per_hour(150)};
    all.performance.cruise = {{.altitude = base::Altitude::feet(4000),
                               .true_airspeed = base::Speed::knots(150),
                               .fuel_flow = base::MassFlow::pounds_per_hour(120)}};
    all.performance.descent = {.airspeed = weather::CalibratedAirspeed::knots(140),
                               .mach_limit = std::nullopt,
                               .rate = base::VerticalSpeed::feet_per_minute(800),
                               .fuel_flow = base::MassFlow::pounds_per_hour(80)};
    all.performance.approach_speed = weather::CalibratedAirspeed::knots(90);
    all.performance.service_ceiling = base::Altitude::feet(18000);
    all.wind_limits.crosswind = base::Speed::knots(40);
    all.wind_limits.tailwind = base::Speed::knots(40);
    return all;
}

std::optional<navdata::AirportId> richest(const navdata::Snapshot& world) {
    std::optional<navdata::AirportId> most;
    std::size_t count = 0;
    for (const navdata::Airport& airport : world.airports()) {
        const std::size_t here = world.approaches_of(airport.ident).size();
        if (here > count) {
            count = here;
            most = world.airport(airport.ident);
        }
    }
    return most;
}

void choose(benchmark::State& state, std::size_t receivers, bool adf) {
    const auto atlas = store::Atlas::open(OMNIWAY_DEMO_ATLAS);
    auto records = atlas ? atlas->records({true, {}}) : tl::unexpected(atlas.error());
    if (!records) {
        state.SkipWithError("the demo atlas cannot be read");
        return;
    }
    const navdata::Snapshot world = navdata::Snapshot::build(std::move(*records)).value;
    const auto airport = richest(world);
    if (!airport) {
        state.SkipWithError("the demo region has no approaches");
        return;
    }
    const aircraft::Aircraft aircraft = aircraft_aboard(receivers, adf);
    const weather::Wind wind{base::TrueBearing::degrees(270.0), base::Speed::knots(15.0)};
    const flight::Settings settings;
    const procedure::Minima minima;
    const radio::Ground ground;
    std::size_t ways_looked_at = 0;
    for (auto _ : state) {
        const plan::ApproachQuestion question{
            *airport,  &aircraft, wind,
            &settings, &minima,   flight::rank_runways(world, aircraft, wind, *airport, false)};
        const auto ways = procedure::approach_ways(world, ground, aircraft.equipment, *airport);
        const auto choice = plan::approach_choice(world, ground, question, ways);
        ways_looked_at = ways.size();
        benchmark::DoNotOptimize(choice);
    }
    state.counters["ways"] = static_cast<double>(ways_looked_at);
    // Printed with its unit: how long 20 ways would take.
    state.counters["time_for_20"] =
        benchmark::Counter(static_cast<double>(ways_looked_at) / 20.0,
                           benchmark::Counter::kIsIterationInvariantRate | benchmark::Counter::kInvert);
}

void all_aboard(benchmark::State& state) {
    choose(state, 2, true);
}
BENCHMARK(all_aboard)->Name("approach_choice/everything_aboard")->Unit(benchmark::kMillisecond);

void one_receiver(benchmark::State& state) {
    choose(state, 1, false);
}
BENCHMARK(one_receiver)->Name("approach_choice/one_receiver")->Unit(benchmark::kMillisecond);

}  // namespace
