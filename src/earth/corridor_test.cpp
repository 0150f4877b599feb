#include "earth/corridor.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <random>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "earth/relief.hpp"

namespace omniway::earth {

using base::Length;
using base::TrueBearing;

namespace {

// Rough ground without a pattern, the same on both sides of every edge; now and then a node is not known.
std::int16_t rough(long row, long column, bool with_voids) {
    std::uint64_t mixed = static_cast<std::uint64_t>(row * 7919 + column) * 0x9E3779B97F4A7C15U;
    mixed ^= mixed >> 29U;
    mixed *= 0xBF58476D1CE4E5B9U;
    mixed ^= mixed >> 32U;
    if (with_voids && mixed % 5003 == 0) {
        return unknown_ground;
    }
    return static_cast<std::int16_t>(mixed % 1700 + (mixed % 301 == 0 ? 900 : 0));
}

constexpr int nodes = 61;  // 15 arc-seconds

Terrain ground(int south, int north, int west, int east, bool with_voids = false) {
    std::vector<TerrainBlock> blocks;
    for (int row = south; row < north; ++row) {
        for (int column = west; column < east; ++column) {
            blocks.push_back({row, (column + 2160) % 1440 - 720});
        }
    }
    return Terrain(blocks, [with_voids](TerrainBlock block) {
        TerrainTile tile{nodes, {}};
        for (long row = 0; row < nodes; ++row) {
            for (long column = 0; column < nodes; ++column) {
                const long round = 1440L * (nodes - 1);
                tile.metres.push_back(rough(
                    block.south_quarters * (nodes - 1L) + row,
                    ((block.west_quarters * (nodes - 1L) + column) % round + round) % round, with_voids));
            }
        }
        return tile;
    });
}

// Every node by geodesics, slice by slice: what ground_in_corridor() must not miss, and what it may count at most.
struct Slow {
    std::map<std::size_t, double> inside_m;     // highest inside the corridor
    std::map<std::size_t, double> reachable_m;  // highest within one spacing of it
    std::map<std::size_t, bool> unknown_inside;
};
Slow by_geodesics(const Terrain& terrain, Position from, Position to, std::size_t slices,
                  const std::function<double(double)>& half_width_m) {
    Slow slow;
    const double length_m = distance(from, to).metres();
    for (const TerrainBlock block : terrain.blocks()) {
        const auto tile = terrain.tile(block);
        for (int row = 0; row < nodes; ++row) {
            for (int column = 0; column < nodes; ++column) {
                const Position place = Position::degrees(block.south_quarters * 0.25 + row / 240.0,
                                                         block.west_quarters * 0.25 + column / 240.0);
                if (distance(from, place).metres() > length_m + 60'000.0) {
                    continue;
                }
                const auto at = along_across(from, to, place);
                const double on_m = std::clamp(at.along.metres(), 0.0, length_m);
                const double away_m = std::hypot(at.along.metres() - on_m, at.across.metres());
                const auto slice = std::min(slices - 1, static_cast<std::size_t>(on_m / 1852.0));
                const double node_m = tile->node(row, column);
                const bool unknown = tile->node(row, column) == unknown_ground;
                if (away_m <= half_width_m(on_m) - 2.0) {
                    slow.unknown_inside[slice] = slow.unknown_inside[slice] || unknown;
                    if (!unknown) {
                        slow.inside_m[slice] = std::max(slow.inside_m[slice], node_m);
                    }
                }
                // A node near the border of two slices may be counted in both.
                for (const double shift_m : {-1300.0, 0.0, 1300.0}) {
                    const auto near = std::min(
                        slices - 1,
                        static_cast<std::size_t>(std::clamp(on_m + shift_m, 0.0, length_m) / 1852.0));
                    if (!unknown && away_m <= half_width_m(on_m) + 468.0) {
                        slow.reachable_m[near] = std::max(slow.reachable_m[near], node_m);
                    }
                }
            }
        }
    }
    return slow;
}

void expect_agreement(const Terrain& terrain, Position from, Position to,
                      const std::vector<HalfWidth>& widths,
                      const std::function<double(double)>& half_width_m) {
    const auto slices = ground_in_corridor(terrain, from, to, widths);
    ASSERT_EQ(slices.size(), static_cast<std::size_t>(std::ceil(distance(from, to).nautical_miles())));
    const Slow slow = by_geodesics(terrain, from, to, slices.size(), half_width_m);
    std::size_t compared = 0;
    for (std::size_t i = 1; i + 1 < slices.size(); ++i) {
        ASSERT_TRUE(slices[i].highest) << i;
        // A node on the border of two slices may stand in the other one: the two neighbours then hold it.
        EXPECT_GE(std::max({slices[i].highest->metres(), slices[i - 1].highest->metres(),
                            slices[i + 1].highest->metres()}),
                  slow.inside_m.at(i));
        const auto there = along_across(from, to, slices[i].highest_at);
        EXPECT_LE(slices[i].highest->metres(), slow.reachable_m.at(i))
            << i << ": " << there.along.nautical_miles() << " NM along, " << there.across.nautical_miles();
        if (slow.unknown_inside.at(i)) {
            EXPECT_FALSE(slices[i].known && slices[i - 1].known && slices[i + 1].known) << i;
        }
        compared += slices[i].highest->metres() == slow.inside_m.at(i) ? 1 : 0;
    }
    EXPECT_GE(compared * 10, slices.size() * 3);
}

Position at(double latitude, double longitude) {
    return Position::degrees(latitude, longitude);
}

}  // namespace

TEST(SlowCorridor, TheHighestGroundIsThatOfEveryNodeWithinTheWidth) {
    const auto width = [](double) { return 4.0 * 1852.0; };
    const std::vector<HalfWidth> widths{{Length(), Length::nautical_miles(4)}};
    expect_agreement(ground(178, 186, -6, 6), at(45.1, -0.9), at(45.9, 0.8), widths, width);
    expect_agreement(ground(178, 186, 714, 726), at(45.3, 179.1), at(45.6, -179.2), widths, width);
    expect_agreement(ground(318, 324, 0, 12), at(80.0, 0.4), at(80.3, 2.4), widths, width);
    expect_agreement(ground(-134, -126, 40, 48, true), at(-32.0, 10.6), at(-33.1, 11.1), widths, width);
}

TEST(SlowCorridor, AWideningCorridorCountsWhatLiesInItsWidthThere) {
    const Position from = at(45.1, -0.9);
    const Position to = at(45.9, 0.8);
    const double length_m = distance(from, to).metres();
    const auto width = [&](double along_m) { return 1852.0 * (4.0 + 12.0 * along_m / length_m); };
    expect_agreement(
        ground(176, 190, -8, 8), from, to,
        {{Length(), Length::nautical_miles(4)}, {Length::metres(length_m), Length::nautical_miles(16)}},
        width);
}

TEST(LawCorridor, GroundWithoutATileIsUnknownAndNeverFlat) {
    const std::vector<HalfWidth> widths{{Length(), Length::nautical_miles(4)}};
    const auto nothing = ground_in_corridor(Terrain(), at(45.0, 0.0), at(45.0, 0.5), widths);
    for (const GroundSlice& slice : nothing) {
        EXPECT_FALSE(slice.known);
        EXPECT_FALSE(slice.highest);
    }
    // Tiles end at 0.5 E: beyond, less the half-width, it is known.
    const auto part = ground_in_corridor(ground(176, 184, -4, 2), at(45.1, 0.0), at(45.1, 1.0), widths);
    EXPECT_TRUE(part.front().known);
    EXPECT_FALSE(part.back().known);
    EXPECT_FALSE(highest_of(part).known);
    EXPECT_TRUE(highest_of(part).highest);
}

TEST(LawCorridor, APeakJustOutsideTheWidthDoesNotCountAndOneInsideDoes) {
    // One peak 5 NM north of a line along a parallel near the equator, where a minute of latitude is 0.995 NM.
    const auto one_peak = [](int row_of_peak) {
        return Terrain({{0, 0}, {0, 1}, {0, 2}, {0, 3}, {-1, 0}, {-1, 1}, {-1, 2}, {-1, 3}},
                       [=](TerrainBlock block) {
                           TerrainTile tile{nodes, std::vector<std::int16_t>(nodes * nodes, 10)};
                           if (block == TerrainBlock{0, 1}) {
                               tile.metres[static_cast<std::size_t>(row_of_peak * nodes + 30)] = 2000;
                           }
                           return tile;
                       });
    };
    const std::vector<HalfWidth> widths{{Length(), Length::nautical_miles(4)}};
    const auto highest = [&](int row) {
        return highest_of(ground_in_corridor(one_peak(row), at(0.0, 0.1), at(0.0, 0.9), widths))
            .highest->metres();
    };
    EXPECT_EQ(highest(15), 2000);  // 225 arc-seconds: 3.73 NM
    EXPECT_EQ(highest(19), 10);    // 285 arc-seconds: 4.73 NM
    // Round the ends too: the line begins 3.9 NM east of the peak on its parallel.
    const auto before = ground_in_corridor(one_peak(0), at(0.0, 0.375 + 3.8 / 60.04), at(0.0, 0.9), widths);
    EXPECT_EQ(before.front().highest->metres(), 2000);
}

// Held against the survey of the corridor, which is held against every node above.
TEST(LawCorridor, ACoarseLookIsNeverLowerThanTheCorridorAndNotMuchHigherThanAWiderOne) {
    std::mt19937 random(7);
    std::uniform_real_distribution<double> part(0.0, 1.0);
    const Terrain terrain = ground(170, 196, 700, 740);
    int clear_of_blocks = 0;
    for (int i = 0; i < 60; ++i) {
        const Position from = at(43.6 + 4.3 * part(random), 176.5 + 6.8 * part(random));
        const Position to = at(43.6 + 4.3 * part(random), 176.5 + 6.8 * part(random));
        const Length half = Length::nautical_miles(4.0 + 6.0 * part(random));
        const auto highest_within = [&](Length half_width) {
            return highest_of(
                ground_in_corridor(terrain, from, to, std::vector<HalfWidth>{{Length(), half_width}}));
        };
        const auto truth = highest_within(half);
        const auto patches = ground_about(terrain, from, to, half, Roughness::patches);
        const auto blocks = ground_about(terrain, from, to, half, Roughness::blocks);
        ASSERT_TRUE(patches && blocks) << i;
        EXPECT_GE(patches->highest_m, truth.highest->metres());
        EXPECT_LE(patches->lowest_m, truth.lowest->metres());
        EXPECT_GE(blocks->highest_m, patches->highest_m);
        EXPECT_LE(blocks->lowest_m, patches->lowest_m);
        const auto wider = highest_within(half * 1.02 + Length::nautical_miles(5.0));
        EXPECT_LE(patches->highest_m, wider.highest->metres());
        clear_of_blocks += patches->highest_m < blocks->highest_m ? 1 : 0;
    }
    RecordProperty("lines where patches see less than blocks", clear_of_blocks);
    EXPECT_FALSE(ground_about(ground(170, 178, 700, 740), at(43.6, 177.0), at(45.0, 178.0),
                              Length::nautical_miles(4), Roughness::patches));
    EXPECT_FALSE(ground_about(ground(170, 196, 700, 740, true), at(43.6, 177.0), at(45.0, 178.0),
                              Length::nautical_miles(4), Roughness::blocks));
    EXPECT_FALSE(ground_about(Terrain(), at(43.6, 177.0), at(45.0, 178.0), Length::nautical_miles(4),
                              Roughness::blocks));
}

TEST(LawRelief, ACellHoldsTheExtremesOfItsNodes) {
    const auto tile = ground(180, 181, 0, 1, true).tile({180, 0});
    const TileRelief relief = relief_of(*tile);
    EXPECT_EQ(relief.nodes_per_cell, 1);
    EXPECT_EQ(relief.cells_per_side, 60);
    const ReliefCell cell = relief.cell(10, 20);
    EXPECT_EQ(cell.highest_m,
              std::max({tile->node(10, 20), tile->node(10, 21), tile->node(11, 20), tile->node(11, 21)}));
    TerrainTile fine{901, std::vector<std::int16_t>(901 * 901, 5)};
    fine.metres[15 * 901 + 15] = 77;
    const TileRelief of_fine = relief_of(fine);
    EXPECT_EQ(of_fine.nodes_per_cell, 15);
    for (const auto& [row, column] : {std::pair{0, 0}, {0, 1}, {1, 0}, {1, 1}}) {
        EXPECT_EQ(of_fine.cell(row, column).highest_m, 77);  // its node lies on the corner of all four
    }
    EXPECT_EQ(of_fine.cell(2, 2).highest_m, 5);
    EXPECT_EQ(of_fine.patches_per_side, 6);
    EXPECT_EQ(of_fine.patch(0, 0).highest_m, 77);
    EXPECT_EQ(of_fine.patch(1, 1).highest_m, 5);
    EXPECT_EQ(of_fine.whole.highest_m, 77);
    EXPECT_EQ(relief.whole.known, std::all_of(relief.cells.begin(), relief.cells.end(),
                                              [](const ReliefCell& each) { return each.known; }));
    EXPECT_FALSE(relief.whole.known);
}

}  // namespace omniway::earth
