#include "radio/sweep.hpp"

#if defined(__linux__)
#include <sys/mman.h>
#endif

#include <algorithm>
#include <bit>
#include <cmath>
#include <cstdint>
#include <limits>

#include "base/contract.hpp"
#include "radio/detail/effective_earth.hpp"
#include "radio/detail/octant.hpp"

namespace omniway::radio {

namespace {

using SweepBundle = void (*)(const detail::Octant&, const detail::SweepTerms&, int);

SweepBundle for_this_machine() {
#if defined(__x86_64__)
    if (__builtin_cpu_supports("avx2")) {
        return detail::sweep_rays_avx2;
    }
#endif
    return detail::sweep_rays;
}

/// Half the rays meet every row of the grid, each row in a page of its own: larger pages are found faster. Only advice, so
/// that it fails changes nothing but the time.
void in_large_pages([[maybe_unused]] float* memory, [[maybe_unused]] std::size_t bytes) {
#if defined(__linux__)
    constexpr std::uintptr_t page = std::uintptr_t{2} << 20U;
    const auto begin = (std::bit_cast<std::uintptr_t>(memory) + page - 1) / page * page;
    const auto end = (std::bit_cast<std::uintptr_t>(memory) + bytes) / page * page;
    if (begin < end) {
        madvise(std::bit_cast<void*>(begin), end - begin, MADV_HUGEPAGE);
    }
#endif
}

/// By node ahead, how far aside the cells of an octant go.
std::vector<int> cells_aside(double radius_nodes, int most_ahead, int most_aside) {
    std::vector<int> aside;
    for (int ahead = 0; ahead <= most_ahead && ahead <= radius_nodes; ++ahead) {
        const double in_radius = std::sqrt(radius_nodes * radius_nodes - static_cast<double>(ahead) * ahead);
        aside.push_back(std::min({static_cast<int>(in_radius), ahead, most_aside}));
    }
    return aside;
}

/// Rays one node apart at the radius are closer than they need be near the antenna, unless they are few: what they miss there
/// shades the more the nearer it stands.
int doublings_for(double radius_nodes) {
    constexpr double least_at_antenna = 256.0;
    return radius_nodes >= 4.0 * least_at_antenna ? 2 : radius_nodes >= 2.0 * least_at_antenna ? 1 : 0;
}

}  // namespace

std::vector<float> lowest_in_cells(const GroundGrid& ground, GridNode antenna,
                                   base::Altitude antenna_altitude, base::Length radius) {
    OMNIWAY_EXPECTS(ground.columns > 1 && ground.rows > 1 && ground.cell.metres() > 0.0);
    const auto columns = static_cast<std::size_t>(ground.columns);
    OMNIWAY_EXPECTS(ground.metres.size() == columns * static_cast<std::size_t>(ground.rows));
    OMNIWAY_EXPECTS(antenna.column >= 0 && antenna.column < ground.columns && antenna.row >= 0 &&
                    antenna.row < ground.rows);
    const double nodes = radius / ground.cell;
    OMNIWAY_EXPECTS(nodes >= 1.0 && nodes <= 8000.0);

    std::vector<float> lowest;
    lowest.reserve(ground.metres.size());
    in_large_pages(lowest.data(), lowest.capacity() * sizeof(float));
    lowest.assign(ground.metres.size(), std::numeric_limits<float>::quiet_NaN());
    const std::size_t at =
        static_cast<std::size_t>(antenna.row) * columns + static_cast<std::size_t>(antenna.column);
    lowest[at] = std::max(ground.metres[at], static_cast<float>(antenna_altitude.metres()));

    const double cell_m = ground.cell.metres();
    const int doublings = doublings_for(nodes);
    const detail::SweepTerms terms = {
        .antenna_m = static_cast<float>(antenna_altitude.metres()),
        .drop_per_node_square_m = static_cast<float>(cell_m * cell_m / (2.0 * detail::effective_radius_m)),
        .per_radius = static_cast<float>(1.0 / detail::effective_radius_m),
        .radius_nodes = static_cast<float>(nodes),
        .intervals = static_cast<int>(std::ceil(nodes / (1 << doublings))),
        .doublings = doublings,
        .peaks_to = 128};
    const SweepBundle sweep_bundle = for_this_machine();
    const auto stride = static_cast<std::int32_t>(columns);
    const int room[2][2] = {{antenna.column, ground.columns - 1 - antenna.column},
                            {antenna.row, ground.rows - 1 - antenna.row}};
    for (const bool along_rows : {true, false}) {
        for (const int ahead : {0, 1}) {
            for (const int aside : {0, 1}) {
                if (room[along_rows ? 1 : 0][aside] == 0) {
                    continue;
                }
                const detail::Octant octant = {
                    .ground_m = ground.metres.data() + at,
                    .lowest_m = lowest.data() + at,
                    .ahead_stride = (ahead == 1 ? 1 : -1) * (along_rows ? 1 : stride),
                    .aside_stride = (aside == 1 ? 1 : -1) * (along_rows ? stride : 1),
                    .most_aside = room[along_rows ? 1 : 0][aside],
                    .cells_aside =
                        cells_aside(nodes, room[along_rows ? 0 : 1][ahead], room[along_rows ? 1 : 0][aside])};
                for (int first = 0; first < terms.intervals; first += detail::intervals_at_once(terms)) {
                    sweep_bundle(octant, terms, first);
                }
            }
        }
    }
    return lowest;
}

}  // namespace omniway::radio
