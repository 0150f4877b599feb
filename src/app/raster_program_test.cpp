#include "app/raster_program.hpp"

#include <unistd.h>

#include <cmath>
#include <filesystem>
#include <limits>

#include <gtest/gtest.h>

namespace omniway::app {
namespace {

namespace fs = std::filesystem;

// Built beside the tests.
std::string program() {
    return (fs::read_symlink("/proc/self/exe").parent_path() / "omniway-raster").string();
}

class Folder {
public:
    Folder() {
        std::string name = (fs::temp_directory_path() / "omniway-program-XXXXXX").string();
        path_ = mkdtemp(name.data());
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

// Nodes of a quarter degree, 30 arc-seconds apart: cells whose centres are the nodes.
writers::RasterHead quarter_degree() {
    const double cell_deg = 1.0 / 120.0;
    return {.width = 31,
            .height = 31,
            .north_west = earth::Position::degrees(40.25 + cell_deg / 2, -171.0 - cell_deg / 2),
            .cell_deg = cell_deg,
            .bands = {"heights \"above\" sea"}};
}

TEST(LawRasterProgram, AGroundThatIsWrittenIsReadBackNodeByNode) {
    const Folder folder;
    const auto written = write_raster(program(), folder / "ground.tif", quarter_degree(),
                                      [](int, int row) {
                                          std::vector<float> values;
                                          for (int column = 0; column < 31; ++column) {
                                              values.push_back(row == 5 && column == 9
                                                                   ? std::numeric_limits<float>::quiet_NaN()
                                                                   : static_cast<float>(100 * row + column));
                                          }
                                          return values;
                                      },
                                      {});
    ASSERT_TRUE(written) << base::to_text(written.error());
    auto reading = RasterReading::start(program(), {folder / "ground.tif"}, {});
    ASSERT_TRUE(reading) << base::to_text(reading.error());
    EXPECT_EQ(reading->rasters().at(0).format, "GeoTIFF");
    const auto block = reading->next();
    ASSERT_TRUE(block && *block);
    EXPECT_EQ((*block)->block, (earth::TerrainBlock{160, -684}));
    ASSERT_EQ((*block)->tile.nodes_per_side, 31);
    for (int row = 0; row < 31; ++row) {
        for (int column = 0; column < 31; ++column) {
            const bool hole = row == 25 && column == 9;
            ASSERT_EQ((*block)->tile.node(row, column),
                      hole ? earth::unknown_ground : 100 * (30 - row) + column);
        }
    }
    const auto last = reading->next();
    ASSERT_TRUE(last);
    EXPECT_FALSE(*last);
}

TEST(CaseRasterProgram, WhatCannotBeWrittenIsToldByTheProgramsOwnWords) {
    const Folder folder;
    const auto zeros = [](int, int) { return std::vector<float>(31); };
    const auto code = [&](const std::string& path) {
        const auto written = write_raster(program(), path, quarter_degree(), zeros, {});
        return written ? std::string("written") : written.error().code;
    };
    EXPECT_EQ(code(folder / "map.gif"), "raster.write_form");
    EXPECT_EQ(code(folder / "absent/map.tif"), "raster.not_written");
    EXPECT_EQ(code(folder / "map.png"), "raster.write_request");
    EXPECT_EQ(
        write_raster(folder / "no-program", folder / "map.tif", quarter_degree(), zeros, {}).error().code,
        "raster.program_missing");
}

TEST(CaseRasterProgram, AWritingThatIsCancelledLeavesNothing) {
    const Folder folder;
    std::stop_source stopping;
    base::Progress progress;
    progress.stop = stopping.get_token();
    const auto written = write_raster(
        program(), folder / "map.tif", quarter_degree(),
        [&](int, int row) {
            if (row == 20) {
                stopping.request_stop();
            }
            return std::vector<float>(31);
        },
        progress);
    ASSERT_FALSE(written);
    EXPECT_EQ(written.error().code, "read.cancelled");
    EXPECT_TRUE(fs::is_empty(folder / ""));
}

}  // namespace
}  // namespace omniway::app
