#include "earth/terrain.hpp"

#include <atomic>
#include <cmath>
#include <map>
#include <stdexcept>
#include <thread>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "base/contract.hpp"
#include "earth/relief.hpp"
#include "tests/random_positions.hpp"

namespace omniway::earth {
namespace {

// A tile whose nodes are what a function of latitude and longitude in quarters of a degree gives.
template <class Ground>
TerrainTile tile_of(TerrainBlock block, int nodes_per_side, Ground ground_m) {
    TerrainTile tile{.nodes_per_side = nodes_per_side, .metres = {}};
    for (int row = 0; row < nodes_per_side; ++row) {
        for (int column = 0; column < nodes_per_side; ++column) {
            tile.metres.push_back(static_cast<std::int16_t>(
                ground_m(block.south_quarters + static_cast<double>(row) / (nodes_per_side - 1),
                         block.west_quarters + static_cast<double>(column) / (nodes_per_side - 1))));
        }
    }
    return tile;
}

Terrain one_tile(TerrainBlock block, TerrainTile tile) {
    return Terrain({block}, [tile](TerrainBlock) { return tile; });
}

TEST(CaseTerrain, WithoutTilesNothingIsKnownAnywhere) {
    const Terrain none;
    EXPECT_TRUE(none.empty());
    EXPECT_EQ(none.tile({0, 0}), nullptr);
    EXPECT_FALSE(none.elevation(Position::degrees(0.1, 0.1)));
    EXPECT_EQ(none.checksum(), "");
}

TEST(CaseTerrain, RowsRunNorthwardFromTheSouthWestCorner) {
    const Terrain ground = one_tile({178, -288}, {.nodes_per_side = 2, .metres = {10, 20, 30, 40}});
    EXPECT_EQ(ground.elevation(Position::degrees(44.5, -72.0))->metres(), 10.0);
    EXPECT_EQ(ground.elevation(Position::degrees(44.5, -71.75))->metres(), 20.0);
    EXPECT_EQ(ground.elevation(Position::degrees(44.75, -72.0))->metres(), 30.0);
    EXPECT_EQ(ground.elevation(Position::degrees(44.75, -71.75))->metres(), 40.0);
    EXPECT_EQ(ground.elevation(Position::degrees(44.625, -71.875))->metres(), 25.0);
}

TEST(CaseTerrain, OutsideItsTilesTheGroundIsUnknownNotFlat) {
    const Terrain ground = one_tile({178, -288}, {.nodes_per_side = 2, .metres = {10, 20, 30, 40}});
    EXPECT_FALSE(ground.elevation(Position::degrees(44.4999, -71.9)));
    EXPECT_FALSE(ground.elevation(Position::degrees(44.7501, -71.9)));
    EXPECT_FALSE(ground.elevation(Position::degrees(44.6, -72.0001)));
    EXPECT_FALSE(ground.elevation(Position::degrees(44.6, -71.7499)));
}

TEST(CaseTerrain, AVoidMakesTheGroundUnknownInTheCellsThatTouchItAndNowhereElse) {
    TerrainTile tile = tile_of({0, 0}, 5, [](double, double) { return 100.0; });
    tile.metres[2 * 5 + 2] = unknown_ground;
    const Terrain ground = one_tile({0, 0}, tile);
    const double cell_deg = 0.0625;
    EXPECT_FALSE(ground.elevation(Position::degrees(2 * cell_deg, 2 * cell_deg)));
    EXPECT_FALSE(ground.elevation(Position::degrees(1.01 * cell_deg, 2.99 * cell_deg)));
    EXPECT_FALSE(ground.elevation(Position::degrees(2.0 * cell_deg, 2.5 * cell_deg)));
    // On the line that bounds those cells the void has no say.
    EXPECT_EQ(ground.elevation(Position::degrees(1.0 * cell_deg, 2.5 * cell_deg))->metres(), 100.0);
    EXPECT_EQ(ground.elevation(Position::degrees(3.0 * cell_deg, 3.0 * cell_deg))->metres(), 100.0);
    EXPECT_EQ(ground.elevation(Position::degrees(0.99 * cell_deg, 2.0 * cell_deg))->metres(), 100.0);
}

TEST(CaseTerrain, OnALineBetweenTwoBlocksEitherAnswers) {
    const TerrainTile tile =
        tile_of({0, 0}, 3, [](double north, double east) { return 100 * north + 10 * east; });
    const Terrain ground = one_tile({0, 0}, tile);
    EXPECT_EQ(ground.elevation(Position::degrees(0.25, 0.125))->metres(), 105.0);
    EXPECT_EQ(ground.elevation(Position::degrees(0.125, 0.25))->metres(), 60.0);
    EXPECT_EQ(ground.elevation(Position::degrees(0.25, 0.25))->metres(), 110.0);
}

TEST(CaseTerrain, TheAntimeridianIsALineLikeAnyOther) {
    const auto ground_m = [](double north, double east) {
        return 100 * north + 10 * (east < 0 ? east + 1440 : east) - 7200;
    };
    const Terrain ground({{4, 719}, {4, -720}},
                         [&](TerrainBlock block) { return tile_of(block, 11, ground_m); });
    EXPECT_NEAR(ground.elevation(Position::degrees(1.125, 179.9))->metres(), 450 - 4, 1e-9);
    EXPECT_NEAR(ground.elevation(Position::degrees(1.125, 180.0))->metres(), 450, 1e-9);
    EXPECT_NEAR(ground.elevation(Position::degrees(1.125, -179.9))->metres(), 450 + 4, 1e-9);
    // With the western tile alone its eastern edge is still known.
    const Terrain west = one_tile({4, 719}, tile_of({4, 719}, 11, ground_m));
    EXPECT_NEAR(west.elevation(Position::degrees(1.125, -180.0))->metres(), 450, 1e-9);
    EXPECT_FALSE(west.elevation(Position::degrees(1.125, -179.999)));
}

TEST(CaseTerrain, ThePolesBelongToTheBlocksBesideThem) {
    EXPECT_EQ(block_of(Position::degrees(90.0, 0.0)), (TerrainBlock{359, 0}));
    EXPECT_EQ(block_of(Position::degrees(-90.0, -180.0)), (TerrainBlock{-360, -720}));
    const Terrain ground = one_tile({359, 0}, {.nodes_per_side = 2, .metres = {10, 10, 2835, 2835}});
    EXPECT_EQ(ground.elevation(Position::degrees(90.0, 0.1))->metres(), 2835.0);
}

TEST(CaseTerrain, ATileThatCannotBeReadIsUnknownGroundAndAskedForOnce) {
    int asked = 0;
    const Terrain ground({{0, 0}}, [&asked](TerrainBlock) {
        ++asked;
        return std::optional<TerrainTile>();
    });
    EXPECT_FALSE(ground.elevation(Position::degrees(0.1, 0.1)));
    EXPECT_FALSE(ground.elevation(Position::degrees(0.2, 0.1)));
    EXPECT_EQ(asked, 1);
    EXPECT_FALSE(ground.empty());
}

TEST(CaseTerrain, ATileOfWrongShapeIsABug) {
    const Terrain ground = one_tile({0, 0}, {.nodes_per_side = 3, .metres = {1, 2, 3, 4}});
    EXPECT_THROW(static_cast<void>(ground.tile({0, 0})), base::ContractViolation);
    EXPECT_THROW(Terrain({{360, 0}}, {}), base::ContractViolation);
    EXPECT_THROW(Terrain({{0, 720}}, {}), base::ContractViolation);
}

TEST(CaseTerrain, ALoadThatThrowsMayBeTriedAgain) {
    int asked = 0;
    const Terrain ground({{0, 0}}, [&asked](TerrainBlock) {
        if (++asked == 1) {
            throw std::runtime_error("no memory");
        }
        return TerrainTile{.nodes_per_side = 2, .metres = {1, 1, 1, 1}};
    });
    EXPECT_THROW(static_cast<void>(ground.tile({0, 0})), std::runtime_error);
    EXPECT_NE(ground.tile({0, 0}), nullptr);
}

TEST(CaseTerrain, TheLongestUnusedTileGoesFirst) {
    std::map<TerrainBlock, int> asked;
    const auto load = [&asked](TerrainBlock block) {
        ++asked[block];
        return tile_of(block, 11, [](double, double) { return 0.0; });
    };
    const std::size_t tile_bytes =
        sizeof(TerrainTile) + 121 * 2 + sizeof(TileRelief) + 100 * sizeof(ReliefCell);
    const Terrain ground({{0, 0}, {0, 1}, {0, 2}}, load, 2 * tile_bytes);
    static_cast<void>(ground.tile({0, 0}));
    static_cast<void>(ground.tile({0, 1}));
    static_cast<void>(ground.tile({0, 0}));
    static_cast<void>(ground.tile({0, 2}));  // 0 1 goes
    static_cast<void>(ground.tile({0, 0}));
    EXPECT_EQ((asked[{0, 0}]), 1);
    static_cast<void>(ground.tile({0, 1}));
    EXPECT_EQ((asked[{0, 1}]), 2);
}

TEST(CaseTerrain, ATileLargerThanTheBoundIsGivenAndNotKept) {
    int asked = 0;
    const Terrain ground(
        {{0, 0}},
        [&asked](TerrainBlock block) {
            ++asked;
            return tile_of(block, 11, [](double, double) { return 0.0; });
        },
        100);
    EXPECT_NE(ground.tile({0, 0}), nullptr);
    EXPECT_NE(ground.tile({0, 0}), nullptr);
    EXPECT_EQ(asked, 2);
}

TEST(CaseTerrain, ATileInHandOutlivesItsGoing) {
    const std::size_t tile_bytes = sizeof(TerrainTile) + 4 * 2;
    const Terrain ground(
        {{0, 0}, {0, 1}},
        [](TerrainBlock block) {
            const auto height = static_cast<std::int16_t>(block.west_quarters);
            return TerrainTile{.nodes_per_side = 2, .metres = {height, height, height, height}};
        },
        tile_bytes);
    const auto first = ground.tile({0, 0});
    static_cast<void>(ground.tile({0, 1}));
    EXPECT_EQ(first->node(1, 1), 0);
}

TEST(LawTerrain, WhatIsKeptNeverExceedsTheBound) {
    constexpr std::size_t bound = 20'000;
    std::vector<TerrainBlock> blocks;
    for (int west = 0; west < 40; ++west) {
        blocks.push_back({0, west});
    }
    const Terrain ground(
        blocks,
        [](TerrainBlock block) {
            return tile_of(block, 2 + block.west_quarters, [](double, double) { return 1.0; });
        },
        bound);
    std::vector<std::weak_ptr<const TerrainTile>> seen;
    unsigned state = 12345;
    for (int step = 0; step < 2000; ++step) {
        state = state * 1664525U + 1013904223U;
        seen.push_back(ground.tile({0, static_cast<int>((state >> 16U) % 40)}));
        std::map<const TerrainTile*, std::size_t> alive;
        for (const auto& each : seen) {
            if (const auto tile = each.lock()) {
                alive[tile.get()] = tile->metres.size() * 2;
            }
        }
        std::size_t sum = 0;
        for (const auto& [tile, bytes] : alive) {
            sum += bytes;
        }
        ASSERT_LE(sum, bound) << "after " << step + 1 << " tiles";
    }
}

// Bilinear between nodes reproduces any a + b x + c y + d x y exactly; here with whole numbers at the nodes of every tile.
RC_GTEST_PROP(LawTerrain, ABilinearSurfaceComesBackAsItIs, ()) {
    const int a = *rc::gen::inRange(-100, 4000);
    const int b = *rc::gen::inRange(-20, 20);
    const int c = *rc::gen::inRange(-20, 20);
    const int nodes = *rc::gen::element(2, 31, 61, 151, 301);
    const TerrainBlock block{*rc::gen::inRange(-360, 360), *rc::gen::inRange(-720, 720)};
    const auto surface = [&](double row, double column) { return a + b * row + c * column; };
    TerrainTile tile{.nodes_per_side = nodes, .metres = {}};
    for (int row = 0; row < nodes; ++row) {
        for (int column = 0; column < nodes; ++column) {
            tile.metres.push_back(static_cast<std::int16_t>(surface(row, column)));
        }
    }
    const double up = *testing::between(0.0, 1.0);
    const double right = *testing::between(0.0, 0.999);
    const Terrain ground = one_tile(block, tile);
    const auto found = ground.elevation(
        Position::degrees((block.south_quarters + up) / 4.0, (block.west_quarters + right) / 4.0));
    RC_ASSERT(found);
    // A degree of longitude is rounded to 3e-14; times 1200 nodes a degree and 20 m a node that is far below a micrometre.
    RC_ASSERT(std::abs(found->metres() - surface(up * (nodes - 1), right * (nodes - 1))) < 1e-6);
}

TEST(LawTerrain, ANodeHasItsValueExactlyWhateverTheRounding) {
    for (const int nodes : {901, 451, 301, 151, 61, 31}) {
        TerrainTile tile{.nodes_per_side = nodes, .metres = {}};
        for (int node = 0; node < nodes * nodes; ++node) {
            tile.metres.push_back(node % 7 == 0 ? unknown_ground : static_cast<std::int16_t>(node % 8000));
        }
        for (const TerrainBlock block :
             {TerrainBlock{178, -288}, TerrainBlock{-133, 719}, TerrainBlock{359, -720}}) {
            const Terrain ground = one_tile(block, tile);
            for (int row = 0; row < nodes; row += 3) {
                for (int column = 0; column < nodes; column += 7) {
                    const int per_degree = 4 * (nodes - 1);
                    const auto found = ground.elevation(Position::degrees(
                        static_cast<double>(block.south_quarters * (nodes - 1) + row) / per_degree,
                        static_cast<double>(block.west_quarters * (nodes - 1) + column) / per_degree));
                    const std::int16_t expected = tile.node(row, column);
                    ASSERT_EQ(found.has_value(), expected != unknown_ground);
                    if (found) {
                        ASSERT_EQ(found->metres(), expected);
                    }
                }
            }
        }
    }
}

TEST(LawTerrain, ManyThreadsLoadATileOnceAndSeeOneGround) {
    std::map<TerrainBlock, std::atomic<int>> asked;
    std::vector<TerrainBlock> blocks;
    for (int west = 0; west < 16; ++west) {
        blocks.push_back({0, west});
        asked[{0, west}] = 0;
    }
    const Terrain ground(blocks, [&asked](TerrainBlock block) {
        ++asked.at(block);
        std::this_thread::yield();
        return tile_of(block, 31, [](double north, double east) { return 100 * north + 10 * east; });
    });
    std::atomic<int> wrong = 0;
    std::vector<std::thread> threads;
    for (unsigned seed = 1; seed <= 8; ++seed) {
        threads.emplace_back([&ground, &wrong, seed] {
            unsigned state = seed;
            for (int step = 0; step < 5000; ++step) {
                state = state * 1664525U + 1013904223U;
                const int west = static_cast<int>((state >> 16U) % 16);
                const auto found = ground.elevation(Position::degrees(0.0, west / 4.0));
                wrong += !found || std::abs(found->metres() - 10.0 * west) > 1e-9 ? 1 : 0;
            }
        });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    EXPECT_EQ(wrong, 0);
    for (const auto& [block, times] : asked) {
        EXPECT_EQ(times, 1);
    }
}

TEST(LawTerrain, UnderATightBoundManyThreadsStillSeeOneGround) {
    std::vector<TerrainBlock> blocks;
    for (int west = 0; west < 16; ++west) {
        blocks.push_back({0, west});
    }
    const Terrain ground(
        blocks,
        [](TerrainBlock block) {
            return tile_of(block, 31, [](double, double east) { return std::floor(10 * east); });
        },
        3 * (sizeof(TerrainTile) + 31 * 31 * 2));
    std::atomic<int> wrong = 0;
    std::vector<std::thread> threads;
    for (unsigned seed = 1; seed <= 4; ++seed) {
        threads.emplace_back([&ground, &wrong, seed] {
            unsigned state = seed;
            for (int step = 0; step < 2000; ++step) {
                state = state * 1664525U + 1013904223U;
                const int west = static_cast<int>((state >> 16U) % 16);
                const auto tile = ground.tile({0, west});
                wrong += !tile || tile->node(0, 0) != 10 * west ? 1 : 0;
            }
        });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    EXPECT_EQ(wrong, 0);
}

}  // namespace
}  // namespace omniway::earth
