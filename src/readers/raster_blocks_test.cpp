#include "readers/raster_blocks.hpp"

#include <algorithm>
#include <array>
#include <cstring>
#include <filesystem>
#include <fstream>
#include <random>

#include <gtest/gtest.h>

namespace omniway::readers {
namespace {

// The form of docs/terrain-stream.md, written by hand.
class Written {
public:
    explicit Written(int blocks = 2) {
        bytes = "omniway terrain 1\n";
        put(std::uint32_t{1});
        for (const std::string text : {"N40W171.hgt", "SRTM HGT", "WGS 84"}) {
            put(static_cast<std::uint32_t>(text.size()));
            bytes += text;
        }
        put(std::int32_t{30});
        for (int west = 0; west < blocks; ++west) {
            block(160, west - 684, 31);
        }
        bytes += 'E';
        put(static_cast<std::uint32_t>(blocks));
    }
    template <class Number>
    void put(Number value) {
        bytes.append(reinterpret_cast<const char*>(&value), sizeof(value));
    }
    void block(std::int32_t south, std::int32_t west, std::int32_t nodes) {
        bytes += 'B';
        put(0.5);
        put(south);
        put(west);
        put(nodes);
        for (int node = 0; node < nodes * nodes; ++node) {
            put(static_cast<std::int16_t>(node == 7 ? -32768 : node));
        }
    }
    std::string bytes;
};

// Gives the bytes in pieces of at most so many.
RasterBlocks::Pull in_pieces(const std::string& bytes, std::size_t most) {
    return [bytes, most, at = std::size_t{0}](std::span<char> room) mutable -> base::Result<std::size_t> {
        const std::size_t number = std::min({room.size(), most, bytes.size() - at});
        std::memcpy(room.data(), bytes.data() + at, number);
        at += number;
        return number;
    };
}

// "whole" with so many blocks, or the code.
std::string outcome(const std::string& bytes, std::size_t most = 4096) {
    auto blocks = RasterBlocks::begin(in_pieces(bytes, most));
    if (!blocks) {
        return blocks.error().code;
    }
    for (int number = 0;; ++number) {
        const auto block = blocks->next();
        if (!block) {
            return block.error().code;
        }
        if (!*block) {
            return "whole " + std::to_string(number);
        }
    }
}

TEST(CaseRasterBlocks, AStreamIsTakenApartHoweverItArrives) {
    for (const std::size_t most : {std::size_t{1}, std::size_t{3}, std::size_t{100'000}}) {
        EXPECT_EQ(outcome(Written().bytes, most), "whole 2");
    }
    auto blocks = RasterBlocks::begin(in_pieces(Written().bytes, 64));
    ASSERT_TRUE(blocks);
    EXPECT_EQ(blocks->rasters(), (std::vector<RasterFacts>{{"N40W171.hgt", "SRTM HGT", "WGS 84", 30}}));
    const auto first = blocks->next();
    ASSERT_TRUE(first && *first);
    EXPECT_EQ((*first)->block, (earth::TerrainBlock{160, -684}));
    EXPECT_EQ((*first)->tile.node(0, 6), 6);
    EXPECT_EQ((*first)->tile.node(0, 7), earth::unknown_ground);
    EXPECT_EQ((*first)->tile.node(1, 0), 31);
    EXPECT_EQ((*first)->share, 0.5);
}

TEST(CaseRasterBlocks, AStreamThatEndsAnywhereBeforeItsEndIsRefused) {
    const std::string whole = Written().bytes;
    for (std::size_t kept = 0; kept < whole.size(); kept += kept < 120 || kept + 40 > whole.size() ? 1 : 37) {
        ASSERT_EQ(outcome(whole.substr(0, kept)), "raster.stream_broken") << kept;
    }
    EXPECT_EQ(outcome(whole + "x"), "raster.stream_broken");
}

TEST(CaseRasterBlocks, BlocksThatCannotBeAreRefused) {
    for (const auto& [south, west, nodes] : std::vector<std::array<int, 3>>{{-361, 0, 31},
                                                                            {360, 0, 31},
                                                                            {0, 720, 31},
                                                                            {0, -721, 31},
                                                                            {0, 0, 32},
                                                                            {0, 0, 2},
                                                                            {0, 0, 1},
                                                                            {0, 0, 0}}) {
        Written written(0);
        written.bytes.resize(written.bytes.size() - 5);
        written.block(south, west, nodes);
        written.bytes += 'E';
        written.put(std::uint32_t{1});
        EXPECT_EQ(outcome(written.bytes), "raster.stream_broken") << south << " " << west << " " << nodes;
    }
    Written twice(1);
    twice.bytes.resize(twice.bytes.size() - 5);
    twice.block(160, -684, 31);
    EXPECT_EQ(outcome(twice.bytes), "raster.stream_broken");
}

TEST(BruteRasterBlocks, NoChangedByteMakesMoreThanARefusalOrAnotherNumber) {
    const std::string whole = Written().bytes;
    std::mt19937 random(4);
    for (int i = 0; i < 3000; ++i) {
        std::string bad = whole;
        const std::size_t offset = i < 100 ? static_cast<std::size_t>(i) : random() % bad.size();
        bad[offset] = static_cast<char>(random() % 256);
        const std::string told = outcome(bad);
        ASSERT_TRUE(told == "whole 2" || told == "raster.stream_broken") << told << " at " << offset;
    }
}

TEST(CaseRasterBlocks, ARasterIsKnownByItsFirstBytesOrItsEnding) {
    const std::filesystem::path folder = std::filesystem::temp_directory_path() / "omniway-is-raster";
    std::filesystem::create_directories(folder);
    const auto known = [&](const std::string& name, const std::string& bytes) {
        std::ofstream(folder / name, std::ios::binary) << bytes;
        return is_raster_file((folder / name).string());
    };
    EXPECT_TRUE(known("plain", std::string("II*\0", 4)));
    EXPECT_TRUE(known("navaids.csv", std::string("MM\0*", 4)));
    EXPECT_TRUE(known("N40W171.HGT", "12"));
    EXPECT_TRUE(known("empty.tif", ""));
    EXPECT_FALSE(known("cifp.txt", "HDR01FAACIFP18      001P01432"));
    EXPECT_FALSE(known("navaids", "ident,name,type"));
    EXPECT_FALSE(is_raster_file(folder.string()));
    EXPECT_FALSE(is_raster_file((folder / "absent.tif").string()));
    std::filesystem::remove_all(folder);
}

}  // namespace
}  // namespace omniway::readers
