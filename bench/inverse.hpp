#pragma once

#include <array>
#include <chrono>
#include <cstddef>
#include <vector>

#include <benchmark/benchmark.h>
#include <GeographicLib/Geodesic.hpp>

#include "base/random.hpp"

namespace omniway::bench {

/// What one geodesic of GeographicLib takes here and now, the yardstick of several gates.
// Of lines up to 300 NM, as a flight would ask for them.
inline double inverse_ns() {
    const auto& geodesic = GeographicLib::Geodesic::WGS84();
    base::Random random(base::Seed{7});
    constexpr std::size_t lines = 100'000;
    std::vector<std::array<double, 4>> ends(lines);
    for (auto& end : ends) {
        const double latitude = random.between(35.0, 45.0);
        const double longitude = random.between(-175.0, -165.0);
        end = {latitude, longitude, latitude + random.between(-2.0, 2.0),
               longitude + random.between(-3.0, 3.0)};
    }
    double sum = 0.0;
    const auto begin = std::chrono::steady_clock::now();
    for (const auto& end : ends) {
        double distance = 0.0;
        double initial = 0.0;
        double arrival = 0.0;
        geodesic.Inverse(end[0], end[1], end[2], end[3], distance, initial, arrival);
        sum += distance + initial;
    }
    const std::chrono::duration<double, std::nano> taken = std::chrono::steady_clock::now() - begin;
    benchmark::DoNotOptimize(sum);
    return taken.count() / static_cast<double>(lines);
}

}  // namespace omniway::bench
