// Figure: who is heard along a flight of 300 NM with climb and descent, for every station near it, over hills, once the horizons
// are made; the aim is under 5 ms. Stations and ground are drawn: one station every 15 NM, alternately
// 5, 25 and 50 NM off the track, classes L and H in turn; ground of 12 arc-seconds with hills of 1,500 m.

#include <cmath>
#include <cstdint>
#include <optional>
#include <vector>

#include <benchmark/benchmark.h>

#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "radio/along_path.hpp"
#include "radio/horizon.hpp"

namespace {

using namespace omniway;
using base::Altitude;
using base::Length;
using base::TrueBearing;

earth::TerrainTile hills(earth::TerrainBlock block) {
    constexpr int nodes = 76;
    earth::TerrainTile tile;
    tile.nodes_per_side = nodes;
    for (int row = 0; row < nodes; ++row) {
        for (int column = 0; column < nodes; ++column) {
            const double north = (block.south_quarters + row / 75.0) * 15.0;
            const double east = (block.west_quarters + column / 75.0) * 11.0;
            tile.metres.push_back(
                static_cast<std::int16_t>(750.0 + 750.0 * std::sin(north / 3.0) * std::cos(east / 2.5)));
        }
    }
    return tile;
}

earth::Terrain drawn_ground() {
    std::vector<earth::TerrainBlock> blocks;
    for (int south = 4 * 38; south < 4 * 42; ++south) {
        for (int west = -4 * 174; west < -4 * 160; ++west) {
            blocks.push_back({south, west});
        }
    }
    return earth::Terrain(blocks, [](earth::TerrainBlock block) { return std::optional(hills(block)); });
}

void heard_along_a_flight_of_300_nm(benchmark::State& state) {
    const earth::Terrain terrain = drawn_ground();
    const radio::Horizons horizons(terrain);
    const radio::Ground ground{
        .mode = radio::ReceptionMode::terrain, .horizons = &horizons, .terrain = &terrain};
    const earth::Position begin = earth::Position::degrees(40.0, -170.0);
    const auto at = [&](double along_nm) {
        return earth::destination(begin, TrueBearing::degrees(90.0), Length::nautical_miles(along_nm));
    };
    std::vector<radio::PathPoint> path;
    for (const auto& [along_nm, feet] :
         {std::pair{0.0, 1000.0}, {20.0, 9000.0}, {270.0, 9000.0}, {300.0, 2000.0}}) {
        path.push_back({at(along_nm), Length::nautical_miles(along_nm), Altitude::feet(feet)});
    }
    std::vector<navdata::Station> stations;
    for (int i = 0; i <= 20; ++i) {
        const double off_nm = i % 3 == 0 ? 5.0 : i % 3 == 1 ? 25.0 : 50.0;
        const auto site = earth::destination(at(15.0 * i), TrueBearing::degrees(i % 2 == 0 ? 0.0 : 180.0),
                                             Length::nautical_miles(off_nm));
        const auto service = i % 2 == 0 ? navdata::ServiceClass::low : navdata::ServiceClass::high;
        navdata::Station& station = stations.emplace_back();
        station.azimuth.emplace<navdata::VorAzimuth>(
            navdata::VorAzimuth{site, {}, navdata::DeclinationFrom::record, service});
        station.dme = navdata::DistancePart{site, std::nullopt, Length(), service};
    }
    std::size_t intervals = 0;
    const auto all = [&] {
        intervals = 0;
        for (const navdata::Station& station : stations) {
            for (const radio::Part part : {radio::Part::azimuth, radio::Part::distance}) {
                intervals += radio::heard_along(station, part, path, ground).size();
            }
        }
    };
    all();  // makes the horizons
    for (auto _ : state) {
        all();
        benchmark::DoNotOptimize(intervals);
    }
    state.counters["stations"] = static_cast<double>(stations.size());
    state.counters["intervals"] = static_cast<double>(intervals);
}
BENCHMARK(heard_along_a_flight_of_300_nm)->Unit(benchmark::kMillisecond);

}  // namespace
