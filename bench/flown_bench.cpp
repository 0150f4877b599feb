// How long the geometry of a procedure takes: each way through an approach of the demo region with its missed approach, flown by a light twin
// in wind. The aim is 200 microseconds.

#include <benchmark/benchmark.h>

#include <optional>
#include <vector>

#include "navdata/snapshot.hpp"
#include "procedure/approach.hpp"
#include "procedure/flown.hpp"
#include "store/atlas.hpp"

namespace {

using namespace omniway;

aircraft::Aircraft light_twin() {
    using base::Altitude;
    using base::Speed;
    using base::VerticalSpeed;
    aircraft::Aircraft twin;
    twin.equipment.receivers.resize(2);
    twin.equipment.receivers.front().glideslope = true;
    twin.equipment.dme = cockpit::DmeControl::own_control;
    twin.equipment.adf = cockpit::AdfIndicator::rmi;
    twin.performance.climb = {.airspeed = weather::CalibratedAirspeed::knots(110),
                              .mach_limit = std::nullopt,
                              .rate_at_sea_level = VerticalSpeed::feet_per_minute(1500),
                              .rate_at_ceiling = VerticalSpeed::feet_per_minute(100),
                              .fuel_flow = base::MassFlow::pounds_per_hour(150)};
    twin.performance.cruise = {{.altitude = Altitude::feet(4000),
                                .true_airspeed = Speed::knots(150),
                                .fuel_flow = base::MassFlow::pounds_per_hour(120)}};
    twin.performance.descent = {.airspeed = weather::CalibratedAirspeed::knots(140),
                                .mach_limit = std::nullopt,
                                .rate = VerticalSpeed::feet_per_minute(800),
                                .fuel_flow = base::MassFlow::pounds_per_hour(80)};
    twin.performance.approach_speed = weather::CalibratedAirspeed::knots(90);
    twin.performance.service_ceiling = Altitude::feet(18000);
    return twin;
}

void fly_procedures(benchmark::State& state) {
    const auto atlas = store::Atlas::open(OMNIWAY_DEMO_ATLAS);
    auto records = atlas ? atlas->records({true, {}}) : tl::unexpected(atlas.error());
    if (!records) {
        state.SkipWithError("the demo atlas cannot be read");
        return;
    }
    const navdata::Snapshot world = navdata::Snapshot::build(std::move(*records)).value;
    const aircraft::Aircraft twin = light_twin();
    std::vector<procedure::ApproachWay> ways;
    for (std::uint32_t i = 0; i < world.airports().size(); ++i) {
        for (auto& way :
             procedure::approach_ways(world, radio::Ground{}, twin.equipment, navdata::AirportId{i})) {
            if (!way.legs.empty()) {
                ways.push_back(std::move(way));
            }
        }
    }
    if (ways.empty()) {
        state.SkipWithError("the demo region has no approach");
        return;
    }
    const procedure::FlownBy by{&twin, {base::TrueBearing::degrees(270.0), base::Speed::knots(25.0)}};
    std::size_t next = 0;
    std::size_t legs = 0;
    for (auto _ : state) {
        const procedure::ApproachWay& way = ways[next++ % ways.size()];
        procedure::FlownStart start;
        start.altitude = base::Altitude::feet(3000.0);
        const procedure::FlownPath approach = procedure::fly(world, way.legs, by, start);
        if (const auto end = approach.end()) {
            start = {end->place, end->track, approach.end_altitude()};
        }
        const procedure::FlownPath missed = procedure::fly(world, way.missed, by, start);
        legs += approach.legs.size() + missed.legs.size();
        benchmark::DoNotOptimize(missed);
    }
    state.SetItemsProcessed(state.iterations());
    state.counters["legs"] = static_cast<double>(legs) / static_cast<double>(state.iterations());
}
BENCHMARK(fly_procedures)->Name("geometry_of_a_procedure")->Unit(benchmark::kMicrosecond);

}  // namespace
