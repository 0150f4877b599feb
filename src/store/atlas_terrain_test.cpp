#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <atomic>
#include <filesystem>
#include <fstream>
#include <map>
#include <numeric>
#include <random>
#include <thread>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "store/atlas.hpp"
#include "store/detail/database.hpp"
#include "store/detail/random_records.hpp"
#include "store/detail/test_folder.hpp"
#include "store/detail/tile_code.hpp"

namespace omniway::store {
namespace {

using detail::bytes_of;
using detail::Folder;
using detail::write_bytes;
using earth::TerrainBlock;
using earth::TerrainTile;
using earth::unknown_ground;

// Hills with voids, another tile for another block.
TerrainTile hills(TerrainBlock block, int nodes) {
    std::mt19937 random(static_cast<unsigned>(block.south_quarters * 4096 + block.west_quarters));
    TerrainTile tile{.nodes_per_side = nodes, .metres = {}};
    int height_m = 500;
    for (int node = 0; node < nodes * nodes; ++node) {
        height_m = std::clamp(height_m + static_cast<int>(random() % 41) - 20, -430, 8849);
        tile.metres.push_back(random() % 50 == 0 ? unknown_ground : static_cast<std::int16_t>(height_m));
    }
    return tile;
}

// Gives what a list holds, one after the other.
Ground ground_of(std::vector<std::pair<TerrainBlock, TerrainTile>> tiles) {
    Ground ground;
    ground.sources = {{"N40W171.hgt", "SRTM HGT", "WGS 84", 3}};
    const auto left = std::make_shared<std::vector<std::pair<TerrainBlock, TerrainTile>>>(std::move(tiles));
    const auto next = std::make_shared<std::size_t>(0);
    ground.next = [left, next]() -> base::Result<std::optional<GroundPiece>> {
        if (*next == left->size()) {
            return std::optional<GroundPiece>();
        }
        const auto& [block, tile] = (*left)[*next];
        ++*next;
        return std::optional<GroundPiece>(
            GroundPiece{block, tile, static_cast<double>(*next) / static_cast<double>(left->size())});
    };
    return ground;
}

std::vector<std::pair<TerrainBlock, TerrainTile>> four_tiles() {
    return {{{160, -684}, hills({160, -684}, 151)},
            {{160, -683}, hills({160, -683}, 31)},
            {{161, -684}, hills({161, -684}, 61)},
            {{161, 719}, hills({161, 719}, 301)}};
}

std::int64_t integer_of(const std::string& path, const std::string& sql) {
    const detail::Database database(detail::uri_of(path, "mode=ro"), detail::Database::For::reading);
    detail::Statement statement(database.handle(), sql);
    return statement.step() ? statement.value(0).integer() : -1;
}

bool run_sql(const std::string& path, const std::string& sql) {
    sqlite3* database = nullptr;
    const bool done = sqlite3_open(path.c_str(), &database) == SQLITE_OK &&
                      sqlite3_exec(database, sql.c_str(), nullptr, nullptr, nullptr) == SQLITE_OK;
    sqlite3_close(database);
    return done;
}

struct Opened {
    std::shared_ptr<DamagedTiles> damaged = std::make_shared<DamagedTiles>();
    base::Result<earth::Terrain> terrain = base::failure("", "");
    explicit Opened(const std::string& path, std::size_t bound = earth::Terrain::default_bound_bytes) {
        terrain =
            Atlas::open(path).and_then([&](const Atlas& atlas) { return atlas.terrain(damaged, bound); });
    }
};

RC_GTEST_PROP(LawTileCode, WhatIsUnpackedIsWhatWasPacked, ()) {
    const int nodes = *rc::gen::element(31, 61);
    TerrainTile tile{.nodes_per_side = nodes, .metres = {}};
    const auto some = *rc::gen::container<std::vector<std::int16_t>>(static_cast<std::size_t>(nodes),
                                                                     rc::gen::arbitrary<std::int16_t>());
    for (int row = 0; row < nodes; ++row) {
        tile.metres.insert(tile.metres.end(), some.begin(), some.end());
    }
    std::shuffle(tile.metres.begin(), tile.metres.end(), std::mt19937(7));
    RC_ASSERT(detail::unpacked(detail::packed(tile), nodes) == tile);
}

TEST(CaseTileCode, EveryHeightThereIsComesBack) {
    TerrainTile tile{.nodes_per_side = 256, .metres = std::vector<std::int16_t>(65536)};
    std::iota(tile.metres.begin(), tile.metres.end(), std::int16_t{-32768});
    EXPECT_EQ(detail::unpacked(detail::packed(tile), 256), tile);
    std::shuffle(tile.metres.begin(), tile.metres.end(), std::mt19937(1));
    EXPECT_EQ(detail::unpacked(detail::packed(tile), 256), tile);
}

// The form of docs/atlas.md, taken apart by hand: 100, 101, 99, unknown as differences 100, 1, -2, and -32768 - 99 modulo 65536,
// which is 32669; doubled, or -2 d - 1 where negative.
TEST(CaseTileCode, TheFormIsTheDocumentsOwn) {
    const TerrainTile tile{.nodes_per_side = 2, .metres = {100, 101, 99, unknown_ground}};
    // A stored block instead of a deflated one: any zlib stream of these bytes is the same tile.
    const std::string planes = {'\xC8', 2, 3, '\x3A', 0, 0, 0, '\xFF'};
    const std::string stored = std::string("\x78\x01\x01\x08\x00\xF7\xFF", 7) + planes;
    std::uint32_t a = 1;
    std::uint32_t b = 0;
    for (const char byte : planes) {  // Adler-32, RFC 1950
        a = (a + static_cast<unsigned char>(byte)) % 65521;
        b = (b + a) % 65521;
    }
    std::string sum;
    for (const std::uint32_t each : {b >> 8U, b, a >> 8U, a}) {
        sum += static_cast<char>(each & 255U);
    }
    EXPECT_EQ(detail::unpacked(stored + sum, 2), tile);
}

TEST(CaseTileCode, BytesThatAreNoTileAreRefused) {
    const TerrainTile tile = hills({0, 0}, 31);
    const std::string bytes = detail::packed(tile);
    EXPECT_FALSE(detail::unpacked("", 31));
    EXPECT_FALSE(detail::unpacked(bytes.substr(0, bytes.size() / 2), 31));
    EXPECT_FALSE(detail::unpacked(bytes, 61));
    EXPECT_FALSE(detail::unpacked(bytes, 15));
}

TEST(LawAtlasTerrain, EveryTileComesBackAsItWasWritten) {
    const Folder folder;
    const auto tiles = four_tiles();
    const auto written = write_atlas({}, folder / "atlas", {}, ground_of(tiles));
    ASSERT_TRUE(written) << base::to_text(written.error());
    const Opened opened(folder / "atlas");
    ASSERT_TRUE(opened.terrain) << base::to_text(opened.terrain.error());
    ASSERT_EQ(opened.terrain->blocks().size(), 4U);
    for (const auto& [block, tile] : tiles) {
        const auto read = opened.terrain->tile(block);
        ASSERT_NE(read, nullptr);
        EXPECT_EQ(*read, tile);
    }
    EXPECT_TRUE(opened.damaged->all().empty());
}

TEST(LawAtlasTerrain, TheAtlasSaysHowManyTilesNodesAndVoids) {
    const Folder folder;
    const auto tiles = four_tiles();
    const auto written = write_atlas({}, folder / "atlas", {}, ground_of(tiles));
    ASSERT_TRUE(written);
    std::size_t unknown = 0;
    for (const auto& [block, tile] : tiles) {
        unknown +=
            static_cast<std::size_t>(std::count(tile.metres.begin(), tile.metres.end(), unknown_ground));
    }
    const auto info = Atlas::open(folder / "atlas").and_then([](const Atlas& atlas) { return atlas.info(); });
    ASSERT_TRUE(info);
    EXPECT_EQ(info->terrain.tiles, 4U);
    EXPECT_EQ(info->terrain.nodes, 151U * 151U + 31U * 31U + 61U * 61U + 301U * 301U);
    EXPECT_EQ(info->terrain.unknown_nodes, unknown);
    EXPECT_EQ(info->terrain.spacings, (std::vector<SpacingCount>{{3, 1}, {6, 1}, {15, 1}, {30, 1}}));
    EXPECT_EQ(info->terrain.sources, ground_of({}).sources);
    EXPECT_EQ(info->terrain, written->terrain);
    EXPECT_EQ(info->terrain.checksum.size(), 32U);
}

TEST(LawAtlasTerrain, WithoutRastersThereIsNoTerrainAndNoTableOfIt) {
    const Folder folder;
    ASSERT_TRUE(write_atlas({}, folder / "atlas", {}));
    const Opened opened(folder / "atlas");
    ASSERT_TRUE(opened.terrain);
    EXPECT_TRUE(opened.terrain->empty());
    EXPECT_EQ(opened.terrain->checksum(), "");
    EXPECT_EQ(integer_of(folder / "atlas", "SELECT count(*) FROM sqlite_schema WHERE name LIKE 'terrain%'"),
              0);
}

TEST(LawAtlasTerrain, TheChecksumNamesTheGroundAndNothingElse) {
    const Folder folder;
    const auto checksum = [&](const navdata::Records& records,
                              std::vector<std::pair<TerrainBlock, TerrainTile>> tiles) {
        return write_atlas(records, folder / "atlas", {}, ground_of(std::move(tiles)))
            .value()
            .terrain.checksum;
    };
    const std::string first = checksum({}, four_tiles());
    EXPECT_EQ(checksum(detail::RandomRecords(5).make(5), four_tiles()), first);
    auto changed = four_tiles();
    changed[2].second.metres[17] = 1234;
    EXPECT_NE(checksum({}, changed), first);
    auto moved = four_tiles();
    moved[3].first.west_quarters = 718;
    EXPECT_NE(checksum({}, moved), first);
    auto fewer = four_tiles();
    fewer.pop_back();
    EXPECT_NE(checksum({}, fewer), first);
}

TEST(LawAtlasTerrain, TheSameGroundMakesTheSameBytes) {
    const Folder folder;
    ASSERT_TRUE(write_atlas({}, folder / "first", {}, ground_of(four_tiles())));
    ASSERT_TRUE(write_atlas({}, folder / "second", {}, ground_of(four_tiles())));
    EXPECT_EQ(bytes_of(folder / "first"), bytes_of(folder / "second"));
}

TEST(LawAtlasTerrain, RecordsStandBesideTerrainUnchanged) {
    const Folder folder;
    const navdata::Records records = detail::RandomRecords(9).make(12);
    ASSERT_TRUE(write_atlas(records, folder / "atlas", {}, ground_of(four_tiles())));
    const auto read = Atlas::open(folder / "atlas").and_then([](const Atlas& atlas) {
        return atlas.records({.everything = true, .airports = {}});
    });
    ASSERT_TRUE(read);
    EXPECT_EQ(detail::difference(records, *read), "");
}

// Every byte of the heights of one tile, one bit each: the tile is unknown and told, its neighbours and the records stay.
TEST(BruteAtlasTerrain, ADamagedTileIsUnknownGroundAndTold) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const auto tiles = four_tiles();
    ASSERT_TRUE(write_atlas({}, path, {}, ground_of(tiles)));
    const std::string good = bytes_of(path);
    const std::string heights = detail::packed(tiles[1].second);
    // SQLite keeps the first bytes of a long value in the row; look for a piece of it.
    const std::size_t at = good.find(heights.substr(20, 200));
    ASSERT_NE(at, std::string::npos);
    for (std::size_t offset = at; offset < at + 200; offset += 7) {
        std::string bad = good;
        bad[offset] = static_cast<char>(bad[offset] ^ (1 << (offset % 8)));
        write_bytes(path, bad);
        const Opened opened(path);
        ASSERT_TRUE(opened.terrain);
        EXPECT_EQ(opened.terrain->tile(tiles[1].first), nullptr);
        EXPECT_EQ(opened.terrain->tile(tiles[1].first), nullptr);
        ASSERT_EQ(opened.damaged->all().size(), 1U);
        EXPECT_EQ(opened.damaged->all()[0].code, "atlas.damaged");
        EXPECT_NE(opened.damaged->all()[0].message.find("40°00.00'N 170°45.00'W"), std::string::npos)
            << opened.damaged->all()[0].message;
        EXPECT_FALSE(opened.terrain->elevation(earth::Position::degrees(40.1, -170.6)));
        EXPECT_EQ(*opened.terrain->tile(tiles[0].first), tiles[0].second);
        const auto report = Atlas::open(path).and_then([](const Atlas& atlas) { return atlas.verify(); });
        ASSERT_TRUE(report);
        EXPECT_FALSE(report->whole());
        EXPECT_EQ(report->tiles_damaged, 1U);
        EXPECT_EQ(report->tiles_read, 4U);
    }
}

// Any byte of the file: either opening or asking for the terrain is refused, or tiles are whole or unknown, never another height.
TEST(BruteAtlasTerrain, NoChangedByteAnywhereGivesAnotherHeight) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const std::vector<std::pair<TerrainBlock, TerrainTile>> tiles = {{{160, -684}, hills({160, -684}, 31)},
                                                                     {{160, -683}, hills({160, -683}, 31)}};
    ASSERT_TRUE(write_atlas({}, path, {}, ground_of(tiles)));
    const std::string good = bytes_of(path);
    std::mt19937_64 random(3);
    int refused = 0;
    int unknown = 0;
    int whole = 0;
    for (int i = 0; i < 800; ++i) {
        std::string bad = good;
        // Half of them in the last pages, where terrain stands.
        const std::size_t reach = i % 2 == 0 ? bad.size() : std::min<std::size_t>(bad.size(), 8 * 4096);
        const std::size_t offset = bad.size() - 1 - random() % reach;
        bad[offset] = static_cast<char>(bad[offset] ^ static_cast<char>(1U << (random() % 8)));
        write_bytes(path, bad);
        const Opened opened(path);
        if (!opened.terrain) {
            ++refused;
            EXPECT_TRUE(opened.terrain.error().code.starts_with("atlas.")) << "byte " << offset;
            continue;
        }
        for (const auto& [block, tile] : tiles) {
            const auto read = opened.terrain->tile(block);
            if (read) {
                ASSERT_EQ(*read, tile) << "byte " << offset;
            }
            (read ? whole : unknown) += 1;
        }
    }
    std::cout << refused << " refused, tiles: " << unknown << " unknown, " << whole << " whole\n";
    EXPECT_GT(refused, 200);
    EXPECT_GT(unknown, 15);
}

TEST(CaseAtlasTerrain, ACutAtlasIsRefusedOrItsLostTilesAreUnknown) {
    const Folder folder;
    const std::string path = folder / "atlas";
    const auto tiles = four_tiles();
    ASSERT_TRUE(write_atlas({}, path, {}, ground_of(tiles)));
    const std::string good = bytes_of(path);
    for (std::size_t kept = 4096; kept < good.size(); kept += 4096) {
        write_bytes(path, good.substr(0, kept));
        const Opened opened(path);
        if (!opened.terrain) {
            EXPECT_EQ(opened.terrain.error().code, "atlas.damaged");
            continue;
        }
        bool lost = false;
        for (const auto& [block, tile] : tiles) {
            const auto read = opened.terrain->tile(block);
            lost = lost || !read;
            EXPECT_TRUE(!read || *read == tile);
        }
        EXPECT_TRUE(lost) << kept;
        EXPECT_FALSE(opened.damaged->all().empty());
    }
}

TEST(CaseAtlasTerrain, ARowOfTheTilesChangedByHandIsRefused) {
    const Folder folder;
    const std::string path = folder / "atlas";
    for (const std::string sql :
         {"UPDATE terrain_tile SET west_quarters = -682 WHERE terrain_tile_id = 1",
          "UPDATE terrain_tile SET nodes_per_side = 61 WHERE terrain_tile_id = 1", "DELETE FROM terrain_tile",
          "UPDATE terrain_tile SET unknown_nodes = 0", "UPDATE terrain_checksum SET value = 'x'",
          "UPDATE terrain_tile SET south_quarters = 1e6", "DROP TABLE terrain_tile"}) {
        ASSERT_TRUE(write_atlas({}, path, {}, ground_of(four_tiles())));
        ASSERT_TRUE(run_sql(path, sql)) << sql;
        const Opened opened(path);
        ASSERT_FALSE(opened.terrain) << sql;
        EXPECT_EQ(opened.terrain.error().code, "atlas.damaged") << sql;
    }
}

TEST(CaseAtlasTerrain, AnImportThatReplacesTheAtlasLeavesOpenTerrainAsItWas) {
    const Folder folder;
    const auto tiles = four_tiles();
    ASSERT_TRUE(write_atlas({}, folder / "atlas", {}, ground_of(tiles)));
    const Opened opened(folder / "atlas");
    ASSERT_TRUE(opened.terrain);
    ASSERT_TRUE(write_atlas({}, folder / "atlas", {}));
    for (const auto& [block, tile] : tiles) {
        const auto read = opened.terrain->tile(block);
        ASSERT_NE(read, nullptr);
        EXPECT_EQ(*read, tile);
    }
}

TEST(CaseAtlasTerrain, OneThatIsOverwrittenInPlaceWhileOpenIsUnknownGroundAndTold) {
    const Folder folder;
    ASSERT_TRUE(write_atlas({}, folder / "atlas", {}, ground_of(four_tiles())));
    ASSERT_TRUE(write_atlas({}, folder / "other", {}));
    const Opened opened(folder / "atlas");
    ASSERT_TRUE(opened.terrain);
    write_bytes(folder / "atlas", bytes_of(folder / "other"));
    EXPECT_EQ(opened.terrain->tile({160, -684}), nullptr);
    ASSERT_EQ(opened.damaged->all().size(), 1U);
    EXPECT_EQ(opened.damaged->all()[0].code, "atlas.changed");
}

TEST(CaseAtlasTerrain, AnAtlasOnAReadOnlyDiskIsOpenedAndItsGroundRead) {
    const Folder folder;
    const auto tiles = four_tiles();
    ASSERT_TRUE(write_atlas({}, folder / "atlas", {}, ground_of(tiles)));
    ASSERT_EQ(chmod((folder / "atlas").c_str(), 0400), 0);
    ASSERT_EQ(chmod(folder.path().c_str(), 0500), 0);
    const Opened opened(folder / "atlas");
    ASSERT_TRUE(opened.terrain);
    EXPECT_EQ(*opened.terrain->tile(tiles[0].first), tiles[0].second);
    EXPECT_EQ(folder.names(), (std::vector<std::string>{"atlas"}));  // nothing was made beside it
    ASSERT_EQ(chmod(folder.path().c_str(), 0700), 0);
}

TEST(CaseAtlasTerrain, AnErrorOfTheGroundEndsTheWritingAndLeavesTheOldAtlas) {
    const Folder folder;
    ASSERT_TRUE(write_atlas({}, folder / "atlas", {}));
    const std::string old = bytes_of(folder / "atlas");
    Ground ground = ground_of(four_tiles());
    int given = 0;
    ground.next = [next = ground.next, &given]() -> base::Result<std::optional<GroundPiece>> {
        if (++given == 3) {
            return base::failure("raster.damaged", "rows 5 to 9 cannot be read", "a.tif");
        }
        return next();
    };
    const auto written = write_atlas({}, folder / "atlas", {}, ground);
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().code, "raster.damaged");
    EXPECT_EQ(bytes_of(folder / "atlas"), old);
    EXPECT_EQ(folder.names(), (std::vector<std::string>{"atlas"}));
}

TEST(CaseAtlasTerrain, CancelledAmongTheTilesNothingIsLeftBehind) {
    const Folder folder;
    std::stop_source stopping;
    base::Progress progress;
    progress.stop = stopping.get_token();
    Ground ground = ground_of(four_tiles());
    ground.next = [next = ground.next, &stopping] {
        stopping.request_stop();
        return next();
    };
    const auto written = write_atlas({}, folder / "atlas", progress, ground);
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().code, "atlas.cancelled");
    EXPECT_TRUE(folder.names().empty());
}

TEST(LawAtlasTerrain, ProgressNeverRunsBackward) {
    const Folder folder;
    base::Progress progress;
    std::vector<double> shares;
    progress.report = [&shares](std::string_view, double share) { shares.push_back(share); };
    ASSERT_TRUE(
        write_atlas(detail::RandomRecords(2).make(12), folder / "atlas", progress, ground_of(four_tiles())));
    EXPECT_GE(shares.front(), 0.0);
    EXPECT_EQ(shares.back(), 1.0);
    EXPECT_TRUE(std::is_sorted(shares.begin(), shares.end()));
}

TEST(LawAtlasTerrain, ManyThreadsReadTheSameGroundUnderATightBound) {
    const Folder folder;
    std::vector<std::pair<TerrainBlock, TerrainTile>> tiles;
    for (int west = 0; west < 24; ++west) {
        tiles.emplace_back(TerrainBlock{10, west}, hills({10, west}, 61));
    }
    ASSERT_TRUE(write_atlas({}, folder / "atlas", {}, ground_of(tiles)));
    const Opened opened(folder / "atlas", 3 * 61 * 61 * 2);
    ASSERT_TRUE(opened.terrain);
    std::atomic<int> wrong = 0;
    std::vector<std::thread> threads;
    for (unsigned seed = 0; seed < 4; ++seed) {
        threads.emplace_back([&, seed] {
            std::mt19937 random(seed);
            for (int i = 0; i < 300; ++i) {
                const auto& [block, tile] = tiles[random() % tiles.size()];
                const auto read = opened.terrain->tile(block);
                wrong += !read || *read != tile ? 1 : 0;
            }
        });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    EXPECT_EQ(wrong, 0);
    EXPECT_TRUE(opened.damaged->all().empty());
}

TEST(LawAtlasCoastline, EveryRingComesBackInOrderToTheLastBit) {
    const Folder folder;
    std::mt19937 random(5);
    std::uniform_real_distribution<double> latitude(-90.0, 90.0);
    std::uniform_real_distribution<double> longitude(-180.0, 180.0);
    Ground ground;
    for (std::size_t vertices : {3U, 4U, 100U, 1000U}) {
        earth::CoastlineRing& ring = ground.coastline.emplace_back();
        for (std::size_t i = 0; i < vertices; ++i) {
            ring.vertices.push_back(earth::Position::degrees(latitude(random), longitude(random)));
        }
    }
    const auto written = write_atlas({}, folder / "atlas", {}, ground);
    ASSERT_TRUE(written);
    EXPECT_EQ(written->coastline_rings, 4U);
    const auto atlas = Atlas::open(folder / "atlas");
    ASSERT_TRUE(atlas);
    const auto read = atlas->coastline();
    ASSERT_TRUE(read);
    EXPECT_EQ(*read, ground.coastline);
    EXPECT_EQ(atlas->info()->coastline_rings, 4U);
    ASSERT_TRUE(run_sql(folder / "atlas",
                        "UPDATE coastline_vertex SET latitude_deg = 0 WHERE coastline_vertex_id = 7"));
    EXPECT_EQ(Atlas::open(folder / "atlas").error().code, "atlas.damaged");
}

}  // namespace
}  // namespace omniway::store
