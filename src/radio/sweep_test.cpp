#include "radio/sweep.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <random>

#include <gtest/gtest.h>

#include "radio/detail/octant.hpp"

namespace omniway::radio {
namespace {

using base::Length;

constexpr double effective_radius_m = 4.0 / 3.0 * 6371008.8;

/// Fractal ground (diamond and square), rounded to whole metres: 2^order + 1 nodes a side, 0 to `range_m`.
std::vector<float> rough_ground(int order, double range_m, unsigned seed) {
    const int side = (1 << order) + 1;
    std::vector<double> height(static_cast<std::size_t>(side) * static_cast<std::size_t>(side), 0.0);
    std::mt19937 random(seed);
    const auto at = [&](int row, int column) -> double& {
        return height[static_cast<std::size_t>(row) * static_cast<std::size_t>(side) +
                      static_cast<std::size_t>(column)];
    };
    double amplitude = 1.0;
    const auto shift = [&] { return amplitude * (static_cast<double>(random()) / 2147483648.0 - 1.0); };
    for (int step = side - 1; step > 1; step /= 2) {
        const int half = step / 2;
        for (int row = half; row < side; row += step) {
            for (int column = half; column < side; column += step) {
                at(row, column) = shift() + (at(row - half, column - half) + at(row - half, column + half) +
                                             at(row + half, column - half) + at(row + half, column + half)) /
                                                4.0;
            }
        }
        for (int row = 0; row < side; row += half) {
            for (int column = (row / half) % 2 == 0 ? half : 0; column < side; column += step) {
                at(row, column) =
                    shift() +
                    (at(std::max(row - half, 0), column) + at(std::min(row + half, side - 1), column) +
                     at(row, std::max(column - half, 0)) + at(row, std::min(column + half, side - 1))) /
                        4.0;
            }
        }
        amplitude *= 0.5;
    }
    const auto [low, high] = std::minmax_element(height.begin(), height.end());
    std::vector<float> metres;
    for (const double h : height) {
        metres.push_back(static_cast<float>(std::round((h - *low) / (*high - *low) * range_m)));
    }
    return metres;
}

/// The exact profile: bilinear ground at every quarter of a cell from the antenna on, by the trigonometry of a sphere.
double exact_lowest_m(const std::vector<float>& metres, int side, double cell_m, GridNode antenna,
                      double antenna_m, int column, int row) {
    const double across = column - antenna.column;
    const double down = row - antenna.row;
    const double cells = std::hypot(across, down);
    const auto node = [&](int r, int c) {
        return static_cast<double>(metres[static_cast<std::size_t>(r) * static_cast<std::size_t>(side) +
                                          static_cast<std::size_t>(c)]);
    };
    double steepest = -1e30;
    for (int quarter = 1; quarter * 0.25 < cells - 1e-9; ++quarter) {
        const double along = quarter * 0.25;
        const double x = antenna.column + across * along / cells;
        const double y = antenna.row + down * along / cells;
        const int west = std::min(static_cast<int>(x), side - 2);
        const int north = std::min(static_cast<int>(y), side - 2);
        const double ground_m =
            (1 - (y - north)) * ((1 - (x - west)) * node(north, west) + (x - west) * node(north, west + 1)) +
            (y - north) * ((1 - (x - west)) * node(north + 1, west) + (x - west) * node(north + 1, west + 1));
        const double angle = along * cell_m / effective_radius_m;
        const double radius_m = effective_radius_m + ground_m;
        steepest = std::max(steepest, (radius_m * std::cos(angle) - effective_radius_m - antenna_m) /
                                          (radius_m * std::sin(angle)));
    }
    const double angle = cells * cell_m / effective_radius_m;
    const double seen_m = (effective_radius_m + antenna_m) / (std::cos(angle) - steepest * std::sin(angle)) -
                          effective_radius_m;
    return std::max(seen_m, node(row, column));
}

// The exact profile is slow, obvious, and shares nothing with the sweep.
TEST(BruteSweep, OnRoughGroundTheUnsafeErrorStaysBelowThreeMetres) {
    constexpr int side = 1025;
    constexpr double cell_m = 92.6;
    const std::vector<float> metres = rough_ground(10, 1500.0, 11);
    const GridNode antenna{500, 530};
    const double antenna_m = metres[530 * side + 500] + 10.0;
    const std::vector<float> lowest =
        lowest_in_cells({side, side, Length::metres(cell_m), metres}, antenna,
                        base::Altitude::metres(antenna_m), Length::metres(490 * cell_m));
    std::mt19937 random(5);
    std::vector<double> errors_m;
    std::vector<double> unsafe_m;
    while (errors_m.size() < 4000) {
        const int column = static_cast<int>(random() % side);
        const int row = static_cast<int>(random() % side);
        const double cells = std::hypot(column - antenna.column, row - antenna.row);
        if (cells > 489.0 || cells < 1.0) {
            continue;
        }
        const float ours_m = lowest[static_cast<std::size_t>(row) * side + static_cast<std::size_t>(column)];
        const double error_m = ours_m - exact_lowest_m(metres, side, cell_m, antenna, antenna_m, column, row);
        ASSERT_FALSE(std::isnan(error_m)) << column << " " << row;
        errors_m.push_back(std::abs(error_m));
        unsafe_m.push_back(std::max(-error_m, 0.0));
    }
    std::sort(errors_m.begin(), errors_m.end());
    std::sort(unsafe_m.begin(), unsafe_m.end());
    EXPECT_LT(unsafe_m[errors_m.size() * 99 / 100], 3.0);
    EXPECT_LT(errors_m[errors_m.size() * 90 / 100], 8.0);
    RecordProperty("p90_cm", static_cast<int>(100 * errors_m[errors_m.size() * 90 / 100]));
}

// Beyond the antenna's own horizon: h = (d - sqrt(2 R h0))^2 / 2 R, the tangent to the effective earth.
TEST(TruthSweep, OverTheSeaTheLowestSightIsTheTangentToTheEffectiveEarth) {
    constexpr int side = 801;
    const std::vector<float> sea(static_cast<std::size_t>(side) * side, 0.0F);
    const auto lowest = lowest_in_cells({side, side, Length::metres(200), sea}, {400, 400},
                                        base::Altitude::metres(50.0), Length::metres(79000));
    for (const auto& [column, row] : {std::pair{780, 400}, std::pair{400, 15}, std::pair{150, 620}}) {
        const double distance_m = 200.0 * std::hypot(column - 400, row - 400);
        const double beyond_m = distance_m - std::sqrt(2.0 * effective_radius_m * 50.0);
        EXPECT_NEAR(lowest[static_cast<std::size_t>(row) * side + static_cast<std::size_t>(column)],
                    beyond_m * beyond_m / (2.0 * effective_radius_m), 0.2);
    }
}

TEST(LawSweep, BehindUnknownGroundNothingIsClaimed) {
    constexpr int side = 201;
    std::vector<float> ground(static_cast<std::size_t>(side) * side, 10.0F);
    ground[100 * side + 130] = std::numeric_limits<float>::quiet_NaN();
    const auto lowest = lowest_in_cells({side, side, Length::metres(100), ground}, {100, 100},
                                        base::Altitude::metres(50.0), Length::metres(9900));
    EXPECT_TRUE(std::isnan(lowest[100 * side + 150]));
    EXPECT_FALSE(std::isnan(lowest[100 * side + 125]));
    EXPECT_FALSE(std::isnan(lowest[100 * side + 50]));
}

#if defined(__x86_64__)
TEST(LawSweep, AnyMachineGivesTheSameBits) {
    if (!__builtin_cpu_supports("avx2")) {
        GTEST_SKIP() << "this machine has one form only";
    }
    constexpr int side = 257;
    std::vector<float> metres = rough_ground(8, 900.0, 3);
    metres[120 * side + 140] = std::numeric_limits<float>::quiet_NaN();
    for (const auto& [ahead, aside] :
         {std::pair{1, side}, std::pair{-1, -side}, std::pair{side, -1}, std::pair{-side, 1}}) {
        std::vector<float> portable(metres.size(), -1.0F);
        std::vector<float> wide(metres.size(), -1.0F);
        const std::size_t at = 128 * side + 128;
        detail::Octant octant{metres.data() + at, portable.data() + at, ahead, aside, 128, {}};
        for (int k = 0; k <= 128; ++k) {
            octant.cells_aside.push_back(std::min(k, static_cast<int>(std::sqrt(128.0 * 128.0 - k * k))));
        }
        for (const int doublings : {0, 1, 2}) {
            const detail::SweepTerms terms{metres[at] + 5.0F, 1e-3F,     1e-7F, 128.0F,
                                           128 >> doublings,  doublings, 64};
            for (int first = 0; first < terms.intervals; first += detail::intervals_at_once(terms)) {
                octant.lowest_m = portable.data() + at;
                detail::sweep_rays(octant, terms, first);
                octant.lowest_m = wide.data() + at;
                detail::sweep_rays_avx2(octant, terms, first);
            }
            for (std::size_t cell = 0; cell < metres.size(); ++cell) {
                ASSERT_TRUE(portable[cell] == wide[cell] ||
                            (std::isnan(portable[cell]) && std::isnan(wide[cell])))
                    << cell << " with " << doublings << " doublings";
            }
        }
    }
}
#endif

}  // namespace
}  // namespace omniway::radio
