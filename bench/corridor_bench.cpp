// Figure: the highest ground within 4 NM of a line of 100 NM over the demo region, as the minimum of a leg off the airways asks
// for it, with its tiles in memory.

#include <memory>
#include <vector>

#include <benchmark/benchmark.h>

#include "earth/corridor.hpp"
#include "store/atlas.hpp"

namespace {

using namespace omniway;

void ground_in_corridor(benchmark::State& state) {
    const auto atlas = store::Atlas::open(OMNIWAY_DEMO_ATLAS);
    const auto terrain =
        atlas ? atlas->terrain(std::make_shared<store::DamagedTiles>()) : tl::unexpected(atlas.error());
    if (!terrain || terrain->empty()) {
        state.SkipWithError("the demo atlas holds no terrain that can be read");
        return;
    }
    const std::vector<earth::HalfWidth> widths{{base::Length(), base::Length::nautical_miles(4.0)}};
    const auto from = earth::Position::degrees(40.6, -170.6);
    const auto to = earth::Position::degrees(41.0, -168.5);
    double highest_ft = 0.0;
    for (auto _ : state) {
        const auto slices = earth::ground_in_corridor(*terrain, from, to, widths);
        highest_ft = earth::highest_of(slices).highest.value_or(base::Altitude()).feet();
    }
    state.counters["highest_ft"] = highest_ft;
}
BENCHMARK(ground_in_corridor)->Unit(benchmark::kMicrosecond);

}  // namespace
