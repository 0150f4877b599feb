#include <unistd.h>

#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <functional>
#include <iterator>
#include <limits>
#include <map>
#include <memory>
#include <numbers>
#include <optional>
#include <string>
#include <vector>

#include <gdal_priv.h>
#include <gtest/gtest.h>
#include <ogr_spatialref.h>

#include "earth/terrain.hpp"
#include "raster/read_blocks.hpp"
#include "raster/source.hpp"
#include "raster/write_raster.hpp"
#include "tests/real_data.hpp"

namespace omniway::raster {
namespace {

namespace fs = std::filesystem;
using earth::TerrainBlock;
using earth::TerrainTile;
using earth::unknown_ground;

// A folder of its own for each test, gone with it; rasters are made in it by GDAL itself.
class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "omniway-raster-XXXXXX").string();
        path_ = mkdtemp(name.data());
        GDALAllRegister();
        CPLSetErrorHandler(CPLQuietErrorHandler);
    }
    Folder(const Folder&) = delete;
    Folder& operator=(const Folder&) = delete;
    ~Folder() {
        std::error_code failed;
        fs::remove_all(path_, failed);
    }
    std::string operator/(const std::string& name) const { return (path_ / name).string(); }

private:
    fs::path path_;
};

// A raster to be made: its grid by the outer corner of the first pixel.
struct Made {
    int width = 0;
    int height = 0;
    double west = 0.0;
    double north = 0.0;
    double cell = 0.0;
    int epsg = 4326;  // 0: none
    GDALDataType type = GDT_Int16;
    std::optional<double> no_data = -32767.0;
    int bands = 1;
    std::string unit = {};
};

using Surface = std::function<double(double x, double y)>;

std::string make(const std::string& path, const Made& made, const Surface& surface) {
    GDALDriver* driver = GetGDALDriverManager()->GetDriverByName("GTiff");
    GDALDataset* dataset =
        driver->Create(path.c_str(), made.width, made.height, made.bands, made.type, nullptr);
    std::array<double, 6> grid = {made.west, made.cell, 0, made.north, 0, -made.cell};
    if (made.cell > 0) {
        dataset->SetGeoTransform(grid.data());
    }
    if (made.epsg > 0) {
        OGRSpatialReference system;
        system.importFromEPSG(made.epsg);
        dataset->SetSpatialRef(&system);
    }
    for (int band = 1; band <= made.bands; ++band) {
        GDALRasterBand* const to = dataset->GetRasterBand(band);
        if (made.no_data) {
            to->SetNoDataValue(*made.no_data);
        }
        to->SetUnitType(made.unit.c_str());
        std::vector<double> row(static_cast<std::size_t>(made.width));
        for (int y = 0; y < made.height; ++y) {
            for (int x = 0; x < made.width; ++x) {
                row[static_cast<std::size_t>(x)] =
                    surface(made.west + (x + 0.5) * made.cell, made.north - (y + 0.5) * made.cell);
            }
            EXPECT_EQ(to->RasterIO(GF_Write, 0, y, made.width, 1, row.data(), made.width, 1, GDT_Float64, 0,
                                   0, nullptr),
                      CE_None);
        }
    }
    GDALClose(dataset);
    return path;
}

// A raster on the node grid: pixels centred on nodes of so many arc-seconds, from one node to another.
Made on_nodes(double west_deg, double south_deg, double east_deg, double north_deg, int arc_seconds) {
    const double cell = arc_seconds / 3600.0;
    return {.width = static_cast<int>(std::lround((east_deg - west_deg) / cell)) + 1,
            .height = static_cast<int>(std::lround((north_deg - south_deg) / cell)) + 1,
            .west = west_deg - cell / 2,
            .north = north_deg + cell / 2,
            .cell = cell};
}

// The stream taken apart by docs/terrain-stream.md, for these tests alone.
struct Blocks {
    std::optional<base::Error> error;
    std::vector<std::string> formats;
    std::vector<int> spacings;
    std::map<TerrainBlock, TerrainTile> tiles;
    bool ended = false;

    // The node nearest to a place, in the block given; nothing where unknown.
    std::optional<int> node(TerrainBlock block, int row, int column) const {
        const std::int16_t height = tiles.at(block).node(row, column);
        return height == unknown_ground ? std::nullopt : std::optional<int>(height);
    }
};

Blocks read(const std::vector<std::string>& paths) {
    Blocks blocks;
    std::FILE* const stream = std::tmpfile();
    const auto done = read_blocks(paths, stream);
    if (!done) {
        blocks.error = done.error();
    }
    std::rewind(stream);
    std::string bytes;
    std::array<char, 65536> room{};
    for (std::size_t got = 0; (got = std::fread(room.data(), 1, room.size(), stream)) > 0;) {
        bytes.append(room.data(), got);
    }
    std::fclose(stream);
    std::size_t at = 18;
    const auto take = [&]<class Number>(Number) {
        Number value{};
        std::memcpy(&value, &bytes.at(at), sizeof(value));
        at += sizeof(value);
        return value;
    };
    if (!done) {
        return blocks;
    }
    EXPECT_EQ(bytes.substr(0, 18), "omniway terrain 1\n");
    const auto text = [&] {
        const auto size = take(std::uint32_t{});
        at += size;
        return bytes.substr(at - size, size);
    };
    for (auto rasters = take(std::uint32_t{}); rasters > 0; --rasters) {
        text();
        blocks.formats.push_back(text());
        text();
        blocks.spacings.push_back(take(std::int32_t{}));
    }
    TerrainBlock last{-1000, 0};
    while (bytes.at(at) == 'B') {
        ++at;
        take(double{});
        const auto south = take(std::int32_t{});
        const auto west = take(std::int32_t{});
        const auto nodes = take(std::int32_t{});
        TerrainTile tile{.nodes_per_side = nodes, .metres = {}};
        tile.metres.resize(static_cast<std::size_t>(nodes * nodes));
        std::memcpy(tile.metres.data(), &bytes.at(at), tile.metres.size() * 2);
        at += tile.metres.size() * 2;
        const TerrainBlock block{south, west};
        EXPECT_LT(last, block);
        last = block;
        blocks.tiles[block] = std::move(tile);
    }
    EXPECT_EQ(bytes.at(at++), 'E');
    EXPECT_EQ(take(std::uint32_t{}), blocks.tiles.size());
    EXPECT_EQ(at, bytes.size());
    blocks.ended = true;
    return blocks;
}

std::string code_of(const Blocks& blocks) {
    return blocks.error ? blocks.error->code : std::string("read");
}

// The raw file is its own truth: big-endian numbers, rows from the north (SRTM documentation, 2.2).
TEST(TruthRasterRealData, AnHgtComesThroughNodeByNodeAsItsBytesSay) {
    OMNIWAY_NEEDS_REAL_DATA(data);
    const fs::path path = data / "dem/N44W072.hgt";
    const Folder folder;
    const Blocks blocks = read({path.string()});
    ASSERT_TRUE(blocks.ended) << code_of(blocks);
    EXPECT_EQ(blocks.tiles.size(), 16U);
    EXPECT_EQ(blocks.formats, std::vector<std::string>{"SRTM HGT"});
    std::ifstream file(path, std::ios::binary);
    const std::string raw{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    ASSERT_EQ(raw.size(), 2U * 1201U * 1201U);
    int highest = 0;
    for (const auto& [block, tile] : blocks.tiles) {
        ASSERT_EQ(tile.nodes_per_side, 301);
        for (int row = 0; row < 301; ++row) {
            for (int column = 0; column < 301; ++column) {
                const int line = 1200 - ((block.south_quarters - 176) * 300 + row);
                const int place = (block.west_quarters + 288) * 300 + column;
                const auto at = static_cast<std::size_t>(2 * (line * 1201 + place));
                const auto height = static_cast<std::int16_t>((static_cast<unsigned char>(raw[at]) << 8U) |
                                                              static_cast<unsigned char>(raw[at + 1]));
                ASSERT_EQ(tile.node(row, column), height);
                highest = std::max(highest, int{height});
            }
        }
    }
    EXPECT_EQ(highest, 1908);  // trade data's README: 115-1908 m, highest cell 44.27083 N 71.30333 W
    EXPECT_EQ(blocks.node({177, -286}, 25, 236), 1908);
}

// Figures of the README of the data: the Andes 250 to 6929 m; 103,743 voids of -32767 in the Alps.
TEST(TruthRasterRealData, VoidsOfTheAlpsStayVoidsAndTheHighestOfTheAndesStands) {
    OMNIWAY_NEEDS_REAL_DATA(data);
    const Folder folder;
    const Blocks blocks = read({(data / "dem/N46E008.tif").string(), (data / "dem/S33W071.tif").string()});
    ASSERT_TRUE(blocks.ended) << code_of(blocks);
    EXPECT_EQ(blocks.tiles.size(), 32U);
    int voids = 0;
    int lowest = 9999;
    int highest = 0;
    for (const auto& [block, tile] : blocks.tiles) {
        for (int row = 0; row < 301; ++row) {
            for (int column = 0; column < 301; ++column) {
                const std::int16_t height = tile.node(row, column);
                // A node on an edge counts where it is the block's own: north and east edges inside the raster are the neighbour's.
                const bool own = (row < 300 || block.south_quarters == 187 || block.south_quarters == -129) &&
                                 (column < 300 || block.west_quarters == 35 || block.west_quarters == -281);
                voids += own && height == unknown_ground ? 1 : 0;
                if (height != unknown_ground && block.south_quarters < 0) {
                    lowest = std::min(lowest, int{height});
                    highest = std::max(highest, int{height});
                }
            }
        }
    }
    EXPECT_EQ(voids, 103'743);
    EXPECT_EQ(lowest, 250);
    EXPECT_EQ(highest, 6929);
}

TEST(LawRaster, ARasterOnTheNodeGridComesThroughExactly) {
    const Folder folder;
    const auto checkered = [](double x, double y) {
        return static_cast<double>(std::lround(x * 3600) % 97 * 31 + std::lround(y * 3600) % 89 * 7);
    };
    for (const int spacing : {3, 6, 15, 30}) {
        const Blocks blocks =
            read({make(folder / "grid.tif", on_nodes(10.0, 50.0, 10.5, 50.25, spacing), checkered)});
        ASSERT_TRUE(blocks.ended) << code_of(blocks);
        EXPECT_EQ(blocks.spacings, std::vector<int>{spacing});
        ASSERT_EQ(blocks.tiles.size(), 2U);
        const int cells = 900 / spacing;
        for (const int west : {40, 41}) {
            ASSERT_EQ(blocks.tiles.at({200, west}).nodes_per_side, cells + 1);
            for (int row = 0; row <= cells; ++row) {
                for (int column = 0; column <= cells; ++column) {
                    ASSERT_EQ(blocks.node({200, west}, row, column),
                              std::lround(checkered(west / 4.0 + column * spacing / 3600.0,
                                                    50.0 + row * spacing / 3600.0)));
                }
            }
        }
    }
}

TEST(LawRaster, TheSpacingIsTheFinestThatIsNeeded) {
    const Folder folder;
    // 30 m, 90 m, 100 m, 250 m, 1 km of UTM: 1, 3, 3, 6 and 30 arc-seconds (one arc-second of latitude is 30.9 m).
    for (const auto& [cell_m, spacing] :
         std::map<double, int>{{30, 1}, {90, 3}, {100, 3}, {250, 6}, {500, 15}, {1000, 30}}) {
        const Made made{
            .width = 40, .height = 40, .west = 480'000, .north = 4'500'000, .cell = cell_m, .epsg = 32632};
        const auto source =
            Source::open(make(folder / "utm.tif", made, [](double, double) { return 100.0; }));
        ASSERT_TRUE(source);
        EXPECT_EQ(source->facts().spacing_arc_seconds, spacing) << cell_m;
    }
}

// Heights that are a known function of latitude and longitude, put into a UTM raster pixel by pixel with PROJ's exact transformation.
TEST(LawRaster, AProjectedRasterComesBackAsTheSurfaceItWasMadeFrom) {
    const Folder folder;
    OGRSpatialReference utm;
    utm.importFromEPSG(32632);
    OGRSpatialReference earth;
    earth.importFromEPSG(4326);
    earth.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    utm.SetAxisMappingStrategy(OAMS_TRADITIONAL_GIS_ORDER);
    const std::unique_ptr<OGRCoordinateTransformation> to_earth(
        OGRCreateCoordinateTransformation(&utm, &earth));
    const auto surface = [](double longitude, double latitude) {
        return 2000.0 + 900.0 * std::sin(longitude * 40.0) * std::cos(latitude * 60.0);
    };
    const Made made{
        .width = 700, .height = 700, .west = 420'000, .north = 5'150'000, .cell = 92.0, .epsg = 32632};
    const Blocks blocks = read({make(folder / "utm.tif", made, [&](double x, double y) {
        to_earth->Transform(1, &x, &y);
        return surface(x, y);
    })});
    ASSERT_TRUE(blocks.ended) << code_of(blocks);
    int known = 0;
    double worst_m = 0.0;
    for (const auto& [block, tile] : blocks.tiles) {
        ASSERT_EQ(tile.nodes_per_side, 301);
        for (int row = 0; row < 301; ++row) {
            for (int column = 0; column < 301; ++column) {
                if (const auto height = blocks.node(block, row, column)) {
                    ++known;
                    worst_m = std::max(worst_m,
                                       std::abs(*height - surface((block.west_quarters + column / 300.0) / 4,
                                                                  (block.south_quarters + row / 300.0) / 4)));
                }
            }
        }
    }
    // 64 km by 64 km in nodes of 92.6 m by 64 m.
    EXPECT_GT(known, 650'000);
    // Rounding of pixel and node, half a metre each; bilinear between pixels 92 m apart, f'' h^2 / 8 with f'' = 900 m 60^2 a
    // degree squared: 0.28 m; at the rim of the raster half a pixel of slope, 900 m times 60 a degree: 25 m.
    EXPECT_LT(worst_m, 26.0);
    int far_off = 0;
    for (const auto& [block, tile] : blocks.tiles) {
        for (int row = 0; row < 301; ++row) {
            for (int column = 0; column < 301; ++column) {
                const auto height = blocks.node(block, row, column);
                far_off +=
                    height && std::abs(*height - surface((block.west_quarters + column / 300.0) / 4,
                                                         (block.south_quarters + row / 300.0) / 4)) > 1.4
                        ? 1
                        : 0;
            }
        }
    }
    EXPECT_LT(far_off, 700 * 4 * 2);  // the rim alone
}

TEST(LawRaster, BlocksAgreeOnTheEdgesTheyShare) {
    const Folder folder;
    const Made made{
        .width = 600, .height = 600, .west = 420'000, .north = 5'150'000, .cell = 92.0, .epsg = 32632};
    const Blocks blocks = read({make(folder / "utm.tif", made, [](double x, double y) {
        return 1500.0 + 1000.0 * std::sin(x / 300.0) * std::sin(y / 300.0);
    })});
    ASSERT_TRUE(blocks.ended);
    int compared = 0;
    for (const auto& [block, tile] : blocks.tiles) {
        const auto east = blocks.tiles.find({block.south_quarters, block.west_quarters + 1});
        const auto north = blocks.tiles.find({block.south_quarters + 1, block.west_quarters});
        for (int i = 0; i < 301; ++i) {
            if (east != blocks.tiles.end()) {
                ASSERT_EQ(tile.node(i, 300), east->second.node(i, 0));
                ++compared;
            }
            if (north != blocks.tiles.end()) {
                ASSERT_EQ(tile.node(300, i), north->second.node(0, i));
                ++compared;
            }
        }
    }
    EXPECT_GT(compared, 1000);
}

TEST(LawRaster, SeveralRastersAreOneGroundTheFinestFirstAndHolesFilled) {
    const Folder folder;
    const Made fine = on_nodes(10.0, 50.0, 10.25, 50.25, 6);
    const std::string with_hole =
        make(folder / "fine.tif", fine, [](double x, double) { return x < 10.1 ? 600.0 : -32767.0; });
    const std::string coarse = make(folder / "coarse.tif", on_nodes(10.0, 50.0, 10.5, 50.25, 30),
                                    [](double, double) { return 300.0; });
    for (const auto& order : {std::vector{with_hole, coarse}, std::vector{coarse, with_hole}}) {
        const Blocks blocks = read(order);
        ASSERT_TRUE(blocks.ended);
        ASSERT_EQ(blocks.tiles.size(), 2U);
        EXPECT_EQ(blocks.tiles.at({200, 40}).nodes_per_side, 151);
        EXPECT_EQ(blocks.tiles.at({200, 41}).nodes_per_side, 31);
        EXPECT_EQ(blocks.node({200, 40}, 70, 20), 600);
        EXPECT_EQ(blocks.node({200, 40}, 70, 120), 300);
        EXPECT_EQ(blocks.node({200, 41}, 7, 12), 300);
    }
}

TEST(LawRaster, RastersThatMeetBetweenPixelsLeaveNoSeam) {
    const Folder folder;
    // Cells that end where the next raster's begin, as area-registered grids are cut; the ground is one plane.
    const auto plane = [](double x, double y) { return 1000 + (x - 10) * 2000 + (y - 50) * 1000; };
    const double cell = 6 / 3600.0;
    const Made west{.width = 150, .height = 150, .west = 10.0, .north = 50.25, .cell = cell};
    Made east = west;
    east.west = 10.25;
    const Blocks blocks = read({make(folder / "w.tif", west, plane), make(folder / "e.tif", east, plane)});
    ASSERT_TRUE(blocks.ended);
    ASSERT_EQ(blocks.tiles.size(), 2U);
    for (const auto& [block, tile] : blocks.tiles) {
        EXPECT_EQ(std::count(tile.metres.begin(), tile.metres.end(), unknown_ground), 0);
        for (int row = 0; row < 151; ++row) {
            for (int column = 0; column < 151; ++column) {
                // Half a cell beyond the last centres the last value holds: 1.7 m in longitude and 0.8 in latitude, and rounding.
                ASSERT_NEAR(tile.node(row, column),
                            plane((block.west_quarters + column / 150.0) / 4,
                                  (block.south_quarters + row / 150.0) / 4),
                            1.7 + 0.9 + 1.0);
            }
        }
    }
}

TEST(CaseRaster, AVoidMakesUnknownTheNodesItWouldHaveASayInAndNoOthers) {
    const Folder folder;
    // Pixels between nodes: a void pixel has a say in the four nodes about it.
    const double cell = 30 / 3600.0;
    const Made made{.width = 30, .height = 30, .west = 10.0, .north = 50.25, .cell = cell};
    const Blocks blocks = read({make(folder / "void.tif", made, [cell](double x, double y) {
        return std::abs(x - (10 + 10.5 * cell)) < cell / 4 && std::abs(y - (50 + 10.5 * cell)) < cell / 4
                   ? -32767.0
                   : 800.0;
    })});
    ASSERT_TRUE(blocks.ended);
    for (int row = 0; row < 31; ++row) {
        for (int column = 0; column < 31; ++column) {
            const bool touched = (row == 10 || row == 11) && (column == 10 || column == 11);
            EXPECT_EQ(blocks.node({200, 40}, row, column).has_value(), !touched) << row << " " << column;
        }
    }
}

TEST(CaseRaster, EveryMarkOfAVoidIsOne) {
    const Folder folder;
    const auto half = [](double mark) {
        return [mark](double x, double) { return x < 10.1 ? 500.0 : mark; };
    };
    Made made = on_nodes(10.0, 50.0, 10.25, 50.25, 30);
    for (const auto& [type, no_data, mark] :
         std::vector<std::tuple<GDALDataType, std::optional<double>, double>>{
             {GDT_Int16, -9999.0, -9999.0},
             {GDT_Int16, std::nullopt, -32768.0},
             {GDT_Float32, -9999.0, -9999.0},
             {GDT_Float32, std::nullopt, std::numeric_limits<double>::quiet_NaN()},
             {GDT_Float64, -1.797693134862315e308, -1.797693134862315e308},
             {GDT_Float32, -3.4028234663852886e38, -3.4028234663852886e38},
             {GDT_Int32, -2147483648.0, -2147483648.0}}) {
        made.type = type;
        made.no_data = no_data;
        const Blocks blocks = read({make(folder / "void.tif", made, half(mark))});
        ASSERT_TRUE(blocks.ended) << mark << ": " << (blocks.error ? blocks.error->message : "");
        EXPECT_EQ(blocks.node({200, 40}, 5, 5), 500);
        EXPECT_EQ(blocks.node({200, 40}, 5, 25), std::nullopt) << mark;
    }
}

TEST(CaseRaster, HeightsInFeetBecomeMetres) {
    const Folder folder;
    Made made = on_nodes(10.0, 50.0, 10.25, 50.25, 30);
    made.unit = "ft";
    const Blocks blocks = read({make(folder / "feet.tif", made, [](double, double) { return 10'000.0; })});
    ASSERT_TRUE(blocks.ended);
    EXPECT_EQ(blocks.node({200, 40}, 5, 5), 3048);
}

TEST(CaseRaster, PixelsFinerThanNodesAreAveraged) {
    const Folder folder;
    const Made made{.width = 900, .height = 900, .west = 10.0, .north = 50.05, .cell = 1 / 14400.0};
    const Blocks blocks = read({make(folder / "lidar.tif", made, [](double x, double y) {
        return 1000.0 + ((std::lround(std::floor(x * 14400)) + std::lround(std::floor(y * 14400))) % 2 == 0
                             ? 40
                             : -40);
    })});
    ASSERT_TRUE(blocks.ended) << code_of(blocks);
    EXPECT_EQ(blocks.spacings, std::vector<int>{1});
    EXPECT_NEAR(*blocks.node({200, 40}, 100, 100), 1000, 1);
}

TEST(CaseRaster, ARasterAcrossTheAntimeridianIsBlocksOnBothSides) {
    const Folder folder;
    for (const double west : {179.75, -180.25}) {
        const Blocks blocks =
            read({make(folder / "pacific.tif", on_nodes(west, -17.0, west + 0.5, -16.75, 30),
                       [west](double x, double) { return 500.0 + (x - west) * 1000; })});
        ASSERT_TRUE(blocks.ended) << code_of(blocks);
        ASSERT_EQ(blocks.tiles.size(), 2U);
        EXPECT_EQ(blocks.node({-68, 719}, 3, 0), 500);
        EXPECT_EQ(blocks.node({-68, 719}, 3, 30), 750);
        EXPECT_EQ(blocks.node({-68, -720}, 3, 0), 750);
        EXPECT_EQ(blocks.node({-68, -720}, 3, 30), 1000);
    }
}

TEST(CaseRaster, LongitudesFromNoughtTo360AreUnderstood) {
    const Folder folder;
    const Blocks blocks = read({make(folder / "west.tif", on_nodes(188.0, 40.0, 188.25, 40.25, 30),
                                     [](double, double) { return 77.0; })});
    ASSERT_TRUE(blocks.ended) << code_of(blocks);
    ASSERT_EQ(blocks.tiles.size(), 1U);
    EXPECT_EQ(blocks.node({160, -688}, 0, 0), 77);
}

TEST(CaseRaster, ARasterThatOnlyTouchesABlockMakesNone) {
    const Folder folder;
    const Blocks blocks = read({make(folder / "one.tif", on_nodes(10.0, 50.0, 10.25, 50.25, 3),
                                     [](double, double) { return 1.0; })});
    ASSERT_TRUE(blocks.ended);
    EXPECT_EQ(blocks.tiles.size(), 1U);
}

TEST(CaseRaster, WhatIsOfNoUseIsRefusedWithItsValue) {
    const Folder folder;
    const Made good = on_nodes(10.0, 50.0, 10.25, 50.25, 30);
    const auto flat = [](double, double) { return 100.0; };
    const auto refused = [&](const std::string& path, const std::string& code, const std::string& words) {
        const Blocks blocks = read({path});
        EXPECT_EQ(code_of(blocks), code) << path;
        if (blocks.error) {
            EXPECT_NE(blocks.error->message.find(words), std::string::npos) << blocks.error->message;
            EXPECT_EQ(blocks.error->where, path);
        }
    };
    Made made = good;
    made.epsg = 0;
    refused(make(folder / "no-system.tif", made, flat), "raster.no_projection", "coordinate system");
    made = good;
    made.cell = 0;
    made.epsg = 0;
    refused(make(folder / "no-place.tif", made, flat), "raster.no_projection", "where on the earth");
    made = good;
    made.bands = 3;
    refused(make(folder / "three.tif", made, flat), "raster.band_count", "3 bands");
    made = good;
    made.type = GDT_Byte;
    made.no_data.reset();
    refused(make(folder / "picture.tif", made, flat), "raster.not_elevations", "Byte");
    refused(make(folder / "high.tif", good,
                 [](double x, double y) { return x > 10.2 && y > 50.2 ? 9500.0 : 10.0; }),
            "raster.absurd_value", "9500 m; allowed -500 to 9000");
    refused(make(folder / "deep.tif", good, [](double, double) { return -4000.0; }), "raster.absurd_value",
            "column 1 is -4000 m; allowed");
    made = good;
    made.type = GDT_Float32;
    refused(make(folder / "endless.tif", made,
                 [](double, double) { return std::numeric_limits<double>::infinity(); }),
            "raster.absurd_value", "inf");
    refused(make(folder / "void.tif", good, [](double, double) { return -32767.0; }), "raster.no_ground",
            "void");
    made = good;
    made.north = 5'000'000;
    refused(make(folder / "metres-as-degrees.tif", made, flat), "raster.outside_earth", "degrees north");
    refused(folder / "absent.tif", "read.file_missing", "no such file");
    refused(folder / "", "read.not_a_file", "folder");
    std::ofstream(folder / "empty.tif");
    refused(folder / "empty.tif", "read.file_empty", "empty");
    std::ofstream(folder / "N40W100.hgt") << std::string(100'000, '\1');
    refused(folder / "N40W100.hgt", "raster.damaged", "100000 bytes");
    std::ofstream(folder / "notes.tif") << "these are notes";
    refused(folder / "notes.tif", "raster.not_a_raster", "no raster that is known");
    const std::string whole = make(folder / "whole.tif", good, flat);
    std::ifstream file(whole, std::ios::binary);
    const std::string bytes{std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
    std::ofstream(folder / "cut.tif", std::ios::binary) << bytes.substr(0, bytes.size() * 2 / 3);
    refused(folder / "cut.tif", "raster.damaged", "end early");
    std::ofstream(folder / "head.tif", std::ios::binary) << bytes.substr(0, 12);
    refused(folder / "head.tif", "raster.damaged", "end early");
    EXPECT_EQ(code_of(read({})), "raster.no_files");
}

// A request as its writer sends it: the line, then the values.
base::Result<void> write(const std::string& path, const std::string& line, const std::vector<float>& values) {
    std::FILE* const stream = std::tmpfile();
    std::fwrite(line.data(), 1, line.size(), stream);
    std::fwrite(values.data(), sizeof(float), values.size(), stream);
    std::rewind(stream);
    auto written = write_raster(path, stream);
    std::fclose(stream);
    return written;
}

TEST(LawRasterWriting, AGeoTiffIsReadBackByGdalAsItWasSent) {
    const Folder folder;
    const float nothing = std::numeric_limits<float>::quiet_NaN();
    const std::vector<float> values = {1.5F, 2.F,  3.F,  nothing, 5.F,  -6.25F,
                                       10.F, 20.F, 30.F, 40.F,    50.F, 60.F};
    const auto written = write(
        folder / "map.tif",
        R"({"width": 3, "height": 2, "west_deg": -172.5, "north_deg": 41, "cell_deg": 0.25, "bands": ["heard", "lowest"], "no_data": "nan"})"
        "\n",
        values);
    ASSERT_TRUE(written) << base::to_text(written.error());
    GDALDataset* const dataset = GDALDataset::Open((folder / "map.tif").c_str());
    ASSERT_NE(dataset, nullptr);
    std::array<double, 6> grid{};
    dataset->GetGeoTransform(grid.data());
    EXPECT_EQ(grid, (std::array<double, 6>{-172.5, 0.25, 0, 41, 0, -0.25}));
    EXPECT_STREQ(dataset->GetSpatialRef()->GetAuthorityCode(nullptr), "4326");
    EXPECT_STREQ(dataset->GetRasterBand(2)->GetDescription(), "lowest");
    EXPECT_TRUE(std::isnan(dataset->GetRasterBand(1)->GetNoDataValue()));
    std::vector<float> back(12);
    ASSERT_EQ(
        dataset->RasterIO(GF_Read, 0, 0, 3, 2, back.data(), 3, 2, GDT_Float32, 2, nullptr, 0, 0, 0, nullptr),
        CE_None);
    GDALClose(dataset);
    EXPECT_EQ(std::memcmp(back.data(), values.data(), sizeof(float) * 12), 0);
    EXPECT_EQ(std::distance(fs::directory_iterator(folder / ""), fs::directory_iterator()), 1);
}

TEST(LawRasterWriting, APictureIsReadBackPixelByPixel) {
    const Folder folder;
    const auto written = write(
        folder / "map.png",
        R"({"width": 2, "height": 1, "west_deg": 0, "north_deg": 1, "cell_deg": 1, "bands": ["red", "green", "blue", "opacity"]})"
        "\n",
        {255.F, 0.F, 128.F, 7.4F, 0.F, 1.F, 255.F, std::numeric_limits<float>::quiet_NaN()});
    ASSERT_TRUE(written) << base::to_text(written.error());
    GDALDataset* const dataset = GDALDataset::Open((folder / "map.png").c_str());
    ASSERT_NE(dataset, nullptr);
    std::vector<unsigned char> back(8);
    ASSERT_EQ(
        dataset->RasterIO(GF_Read, 0, 0, 2, 1, back.data(), 2, 1, GDT_Byte, 4, nullptr, 0, 0, 0, nullptr),
        CE_None);
    GDALClose(dataset);
    EXPECT_EQ(back, (std::vector<unsigned char>{255, 0, 128, 7, 0, 1, 255, 0}));
}

TEST(CaseRasterWriting, ARequestThatIsNotUnderstoodWritesNothing) {
    const Folder folder;
    const auto code = [&](const std::string& name, const std::string& line) {
        const auto written = write(folder / name, line, {1.F});
        return written ? std::string("written") : written.error().code;
    };
    const std::string rest = R"("west_deg": 0, "north_deg": 1, "cell_deg": 1, "bands": ["a"]})";
    EXPECT_EQ(code("a.gif", R"({"width": 1, "height": 1, )" + rest + "\n"), "raster.write_form");
    EXPECT_EQ(code("a.tif", "no json\n"), "raster.write_request");
    EXPECT_EQ(code("a.tif", R"({"width": 1, "height": 1, )" + rest), "raster.write_request");
    EXPECT_EQ(code("a.tif", R"({"width": 0, "height": 1, )" + rest + "\n"), "raster.write_request");
    EXPECT_EQ(code("a.tif", R"({"width": 1000000, "height": 1000000, )" + rest + "\n"),
              "raster.write_request");
    EXPECT_EQ(code("a.tif", R"({"width": 2, "height": 2, )" + rest + "\n"), "raster.write_request");
    EXPECT_EQ(code("a.png", R"({"width": 1, "height": 1, )" + rest + "\n"), "raster.write_request");
    EXPECT_EQ(code("a.tif", R"({"width": 1, "height": 1, "bands": ["a"]})"
                            "\n"),
              "raster.write_request");
    EXPECT_EQ(code("absent/a.tif", R"({"width": 1, "height": 1, )" + rest + "\n"), "raster.not_written");
    EXPECT_EQ(fs::directory_iterator(folder / ""), fs::directory_iterator());
    EXPECT_EQ(code("a.tif", R"({"width": 1, "height": 1, )" + rest + "\n"), "written");
}

}  // namespace
}  // namespace omniway::raster
