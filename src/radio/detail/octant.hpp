#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

namespace omniway::radio::detail {

/// An eighth of the circle around an antenna on a grid: `ahead` nodes along the axis that its rays follow, `aside` nodes
/// across it, 0 <= aside <= ahead. A ray is a share of aside by ahead, so it meets the grid line of every node ahead.
struct Octant {
    const float* ground_m;  // at the antenna's node; ground and lowest have one layout
    float* lowest_m;
    std::int32_t ahead_stride;
    std::int32_t aside_stride;
    int most_aside;  // nodes there are in the grid, at least 1
    std::vector<int>
        cells_aside;  // by node ahead: the last cell of the octant that is in the grid and the radius

    std::ptrdiff_t offset(int ahead, int aside) const {
        return static_cast<std::ptrdiff_t>(ahead) * ahead_stride +
               static_cast<std::ptrdiff_t>(aside) * aside_stride;
    }
};

/// The answer in neighbouring cells: never below their own ground.
inline void write_one_by_one(const Octant& octant, int ahead, int begin, int count, const float* seen_m) {
    const float* own_m = octant.ground_m + octant.offset(ahead, begin);
    float* lowest_m = octant.lowest_m + octant.offset(ahead, begin);
    for (int cell = 0; cell < count; ++cell) {
        *lowest_m = *own_m > seen_m[cell] ? *own_m : seen_m[cell];
        own_m += octant.aside_stride;
        lowest_m += octant.aside_stride;
    }
}

struct SweepTerms {
    float antenna_m;
    float drop_per_node_square_m;  // fall of the effective earth: this times (ahead^2 + aside^2)
    float per_radius;              // of the effective earth, in metres
    float radius_nodes;
    int intervals;  // between the rays of an octant at the antenna,
    int doublings;  // and how often they double on the way out: 0 to 2
    int peaks_to;   // nodes ahead to which peaks between grid lines are looked for
};

inline constexpr int intervals_together = 7;  // between eight rays
inline constexpr int bundles_together = 16;   // after the last doubling

/// Of the intervals at the antenna, how many one call sweeps.
inline int intervals_at_once(const SweepTerms& terms) {
    return (bundles_together >> terms.doublings) * intervals_together;
}

/// Sweeps intervals_at_once() from ray number `first` of the octant on, counted at the antenna: for any machine, and for one
/// with AVX2. Both do the same arithmetic in the same order and so give the same bits.
void sweep_rays(const Octant& octant, const SweepTerms& terms, int first);
#if defined(__x86_64__)
void sweep_rays_avx2(const Octant& octant, const SweepTerms& terms, int first);
#endif

}  // namespace omniway::radio::detail
