#include "readers/raster_blocks.hpp"

#include <algorithm>
#include <array>
#include <bit>
#include <cctype>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <limits>
#include <string_view>
#include <type_traits>
#include <utility>

#include <fmt/format.h>

namespace omniway::readers {

namespace {

static_assert(std::endian::native == std::endian::little, "numbers of the stream are little-endian");

constexpr std::string_view first_line = "omniway terrain 1\n";
constexpr std::uint32_t longest_text = 65536;
constexpr std::uint32_t most_rasters = 1'000'000;
constexpr std::array<int, 6> spacings = {1, 2, 3, 6, 15, 30};
constexpr std::int16_t lowest_m = -500;
constexpr std::int16_t highest_m = 9000;

tl::unexpected<base::Error> broken(const std::string& how) {
    return base::failure("raster.stream_broken",
                         "the terrain stream " + how +
                             ": the raster program and omniway do not fit, or it was "
                             "ended from outside; install both again, then import again",
                         "omniway-raster");
}

bool is_spacing(int arc_seconds) {
    return std::find(spacings.begin(), spacings.end(), arc_seconds) != spacings.end();
}

bool is_node_count(int nodes) {
    return nodes > 1 && 900 % (nodes - 1) == 0 && is_spacing(900 / (nodes - 1));
}

}  // namespace

base::Result<void> RasterBlocks::take(std::span<char> bytes) {
    while (!bytes.empty()) {
        const auto got = pull_(bytes);
        if (!got) {
            return tl::unexpected(got.error());
        }
        if (*got == 0) {
            return broken("ends early");
        }
        bytes = bytes.subspan(*got);
    }
    return {};
}

template <class Number>
base::Result<Number> RasterBlocks::number() {
    std::array<char, sizeof(Number)> bytes{};
    if (auto taken = take(bytes); !taken) {
        return tl::unexpected(taken.error());
    }
    return std::bit_cast<Number>(bytes);
}

base::Result<std::string> RasterBlocks::text() {
    const auto size = number<std::uint32_t>();
    if (!size) {
        return tl::unexpected(size.error());
    }
    if (*size > longest_text) {
        return broken(fmt::format("holds a text of {} bytes; allowed 0 to {}", *size, longest_text));
    }
    std::string text(*size, '\0');
    if (auto taken = take(text); !taken) {
        return tl::unexpected(taken.error());
    }
    return text;
}

base::Result<void> RasterBlocks::head() {
    std::string line(first_line.size(), '\0');
    if (auto taken = take(line); !taken) {
        return taken;
    }
    if (line != first_line) {
        return broken("does not begin as one does");
    }
    const auto number_of_rasters = number<std::uint32_t>();
    if (!number_of_rasters) {
        return tl::unexpected(number_of_rasters.error());
    }
    if (*number_of_rasters > most_rasters) {
        return broken(fmt::format("tells of {} rasters; allowed 0 to {}", *number_of_rasters, most_rasters));
    }
    for (std::uint32_t i = 0; i < *number_of_rasters; ++i) {
        RasterFacts facts;
        for (std::string* const part : {&facts.file, &facts.format, &facts.projection}) {
            auto given = text();
            if (!given) {
                return tl::unexpected(given.error());
            }
            *part = std::move(*given);
        }
        const auto spacing = number<std::int32_t>();
        if (!spacing) {
            return tl::unexpected(spacing.error());
        }
        if (!is_spacing(*spacing)) {
            return broken(fmt::format("tells of a spacing of {} arc-seconds", *spacing));
        }
        facts.spacing_arc_seconds = *spacing;
        rasters_.push_back(std::move(facts));
    }
    return {};
}

base::Result<RasterBlocks> RasterBlocks::begin(Pull pull) {
    RasterBlocks blocks(std::move(pull));
    if (auto begun = blocks.head(); !begun) {
        return tl::unexpected(begun.error());
    }
    return blocks;
}

base::Result<std::optional<RasterBlock>> RasterBlocks::next() {
    if (ended_) {
        return std::optional<RasterBlock>();
    }
    const auto mark = number<char>();
    if (!mark) {
        return tl::unexpected(mark.error());
    }
    if (*mark == 'E') {
        const auto told = number<std::uint32_t>();
        if (!told) {
            return tl::unexpected(told.error());
        }
        if (*told != number_of_blocks_) {
            return broken(fmt::format("tells of {} blocks and holds {}", *told, number_of_blocks_));
        }
        std::array<char, 1> beyond{};
        const auto got = pull_(beyond);
        if (!got) {
            return tl::unexpected(got.error());
        }
        if (*got != 0) {
            return broken("goes on after its end");
        }
        ended_ = true;
        return std::optional<RasterBlock>();
    }
    if (*mark != 'B') {
        return broken(fmt::format("holds the mark 0x{:02X}", static_cast<unsigned char>(*mark)));
    }
    const auto share = number<double>();
    const auto south = share ? number<std::int32_t>() : tl::unexpected(share.error());
    const auto west = south ? number<std::int32_t>() : south;
    const auto nodes = west ? number<std::int32_t>() : west;
    if (!nodes) {
        return tl::unexpected(nodes.error());
    }
    if (*south < -360 || *south >= 360 || *west < -720 || *west >= 720 || !is_node_count(*nodes) ||
        !(*share >= 0.0 && *share <= 1.0)) {
        return broken(fmt::format("holds a block at {} {} with {} nodes", *south, *west, *nodes));
    }
    RasterBlock given{
        .block = {*south, *west}, .tile = {.nodes_per_side = *nodes, .metres = {}}, .share = *share};
    if (last_ && !(*last_ < given.block)) {
        return broken(fmt::format("holds the block {} {} out of order", *south, *west));
    }
    given.tile.metres.resize(static_cast<std::size_t>(*nodes) * static_cast<std::size_t>(*nodes));
    auto& metres = given.tile.metres;
    if (auto taken = take({reinterpret_cast<char*>(metres.data()), metres.size() * sizeof(metres[0])});
        !taken) {
        return tl::unexpected(taken.error());
    }
    const auto absurd = std::find_if(metres.begin(), metres.end(), [](std::int16_t each) {
        return each != earth::unknown_ground && (each < lowest_m || each > highest_m);
    });
    if (absurd != metres.end()) {
        return broken(fmt::format("holds a height of {} m; allowed {} to {}", *absurd, lowest_m, highest_m));
    }
    last_ = given.block;
    ++number_of_blocks_;
    return std::optional<RasterBlock>(std::move(given));
}

bool is_raster_file(const std::string& path) {
    std::error_code problem;
    if (!std::filesystem::is_regular_file(path, problem)) {
        return false;
    }
    std::string ending = std::filesystem::path(path).extension().string();
    std::transform(ending.begin(), ending.end(), ending.begin(),
                   [](unsigned char letter) { return static_cast<char>(std::tolower(letter)); });
    constexpr std::array<std::string_view, 10> endings = {".hgt", ".tif", ".tiff", ".dt0", ".dt1",
                                                          ".dt2", ".asc", ".bil",  ".flt", ".img"};
    if (std::find(endings.begin(), endings.end(), ending) != endings.end()) {
        return true;
    }
    std::array<char, 16> first{};
    std::size_t size = 0;
    if (std::FILE* file = std::fopen(path.c_str(), "rb")) {
        size = std::fread(first.data(), 1, first.size(), file);
        std::fclose(file);
    }
    using namespace std::string_view_literals;
    const std::string_view head(first.data(), size);
    constexpr std::array<std::string_view, 7> marks = {"II*\0"sv, "MM\0*"sv, "II+\0"sv, "MM\0+"sv,
                                                       "UHL1"sv,  "EHFA_"sv, "ncols "sv};
    return std::any_of(marks.begin(), marks.end(),
                       [head](std::string_view mark) { return head.starts_with(mark); });
}

}  // namespace omniway::readers
