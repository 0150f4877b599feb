#include "raster/read_blocks.hpp"

#include <algorithm>
#include <bit>
#include <cerrno>
#include <cmath>
#include <cstdint>
#include <cstring>
#include <list>
#include <map>
#include <numeric>
#include <system_error>

#include <fmt/format.h>

#include "earth/terrain.hpp"
#include "raster/source.hpp"

namespace omniway::raster {

namespace {

static_assert(std::endian::native == std::endian::little, "numbers of the stream are little-endian");

constexpr std::size_t most_open_files = 64;
constexpr int quarters_round_the_earth = 1440;

int nodes_for(int spacing_arc_seconds) {
    return 900 / spacing_arc_seconds + 1;
}

class Stream {
public:
    explicit Stream(std::FILE* out) : out_(out) {}

    void mark(char letter) { bytes(&letter, 1); }
    template <class Number>
    void number(Number value) {
        bytes(&value, sizeof(value));
    }
    void text(const std::string& value) {
        number(static_cast<std::uint32_t>(value.size()));
        bytes(value.data(), value.size());
    }
    void heights(const std::vector<std::int16_t>& metres) {
        bytes(metres.data(), metres.size() * sizeof(metres[0]));
    }
    bool finish() { return ok_ && std::fflush(out_) == 0; }
    bool ok() const { return ok_; }

private:
    void bytes(const void* data, std::size_t size) { ok_ = ok_ && std::fwrite(data, 1, size, out_) == size; }
    std::FILE* out_;
    bool ok_ = true;
};

// The first and the one after the last quarter of a degree that a stretch touches with more than its end.
std::pair<int, int> quarters(double from_deg, double to_deg) {
    constexpr double touching = 1e-9;
    return {static_cast<int>(std::floor(from_deg * 4.0 + touching)),
            static_cast<int>(std::ceil(to_deg * 4.0 - touching))};
}

bool knows_a_cell(const std::vector<float>& heights, int nodes) {
    const auto known = [&](int row, int column) {
        return !std::isnan(heights[static_cast<std::size_t>(row) * static_cast<std::size_t>(nodes) +
                                   static_cast<std::size_t>(column)]);
    };
    for (int row = 0; row + 1 < nodes; ++row) {
        for (int column = 0; column + 1 < nodes; ++column) {
            if (known(row, column) && known(row, column + 1) && known(row + 1, column) &&
                known(row + 1, column + 1)) {
                return true;
            }
        }
    }
    return false;
}

class Mosaic {
public:
    base::Result<void> open(const std::vector<std::string>& paths) {
        for (const std::string& path : paths) {
            auto source = Source::open(path);
            if (!source) {
                return tl::unexpected(source.error());
            }
            sources_.push_back({std::move(*source)});
            keep_open(sources_.size() - 1);
        }
        finest_first_.resize(sources_.size());
        std::iota(finest_first_.begin(), finest_first_.end(), std::size_t{0});
        std::stable_sort(finest_first_.begin(), finest_first_.end(), [this](std::size_t a, std::size_t b) {
            return facts(a).spacing_arc_seconds < facts(b).spacing_arc_seconds;
        });
        return {};
    }

    base::Result<void> write(Stream& stream) {
        using namespace std::string_literals;
        for (const char letter : "omniway terrain 1\n"s) {
            stream.mark(letter);
        }
        stream.number(static_cast<std::uint32_t>(sources_.size()));
        for (const Listed& each : sources_) {
            stream.text(each.source.facts().path);
            stream.text(each.source.facts().format);
            stream.text(each.source.facts().projection);
            stream.number(each.source.facts().spacing_arc_seconds);
        }
        std::size_t candidates = 0;
        for (int south = -360; south < 360; ++south) {
            candidates += row_of_blocks(south).size();
        }
        std::size_t looked_at = 0;
        std::uint32_t written = 0;
        for (int south = -360; south < 360; ++south) {
            for (const auto& [west, among] : row_of_blocks(south)) {
                auto tile = ground({south, west}, among);
                if (!tile) {
                    return tl::unexpected(tile.error());
                }
                ++looked_at;
                if (tile->nodes_per_side > 0) {
                    stream.mark('B');
                    stream.number(static_cast<double>(looked_at) / static_cast<double>(candidates));
                    stream.number(south);
                    stream.number(west);
                    stream.number(tile->nodes_per_side);
                    stream.heights(tile->metres);
                    ++written;
                }
                if (!stream.ok()) {
                    return {};
                }
            }
        }
        for (const Listed& each : sources_) {
            if (!each.gave && !each.spared) {
                return base::failure(
                    "raster.no_ground",
                    "the raster gives no height anywhere: every pixel is a void, or lies where its "
                    "projection has no place on the earth; leave it out",
                    each.source.facts().path);
            }
        }
        stream.mark('E');
        stream.number(written);
        return {};
    }

private:
    struct Listed {
        Source source;
        bool gave = false;    // a height
        bool spared = false;  // somewhere finer ones knew all
    };

    const SourceFacts& facts(std::size_t index) const { return sources_[index].source.facts(); }

    void keep_open(std::size_t index) {
        open_.remove(index);
        open_.push_front(index);
        if (open_.size() > most_open_files) {
            sources_[open_.back()].source.put_away();
            open_.pop_back();
        }
    }

    // The blocks of one row that any raster touches, each with those, finest first.
    std::map<int, std::vector<std::size_t>> row_of_blocks(int south) const {
        std::map<int, std::vector<std::size_t>> row;
        for (const std::size_t index : finest_first_) {
            const Extent& extent = facts(index).extent;
            const auto [first_row, row_end] = quarters(extent.south_deg, extent.north_deg);
            if (south < first_row || south >= row_end) {
                continue;
            }
            const auto [first, end] = quarters(extent.west_deg, extent.east_deg);
            for (int west = first; west < std::min(end, first + quarters_round_the_earth); ++west) {
                const int brought = ((west + 720) % quarters_round_the_earth + quarters_round_the_earth) %
                                        quarters_round_the_earth -
                                    720;
                row[brought].push_back(index);
            }
        }
        return row;
    }

    base::Result<std::vector<float>> heights_of(std::size_t index, earth::TerrainBlock block, int nodes) {
        keep_open(index);
        auto heights = sources_[index].source.heights(block, nodes);
        if (heights &&
            std::any_of(heights->begin(), heights->end(), [](float each) { return !std::isnan(each); })) {
            sources_[index].gave = true;
        }
        return heights;
    }

    // No nodes where no cell is known.
    base::Result<earth::TerrainTile> ground(earth::TerrainBlock block,
                                            const std::vector<std::size_t>& among) {
        std::vector<float> heights;
        int nodes = 0;
        for (const std::size_t index : among) {
            if (nodes > 0 &&
                std::none_of(heights.begin(), heights.end(), [](float each) { return std::isnan(each); })) {
                sources_[index].spared = true;
                continue;
            }
            const int own = nodes > 0 ? nodes : nodes_for(facts(index).spacing_arc_seconds);
            auto given = heights_of(index, block, own);
            if (!given) {
                return tl::unexpected(given.error());
            }
            if (nodes == 0) {
                if (knows_a_cell(*given, own)) {
                    nodes = own;
                    heights = std::move(*given);
                }
                continue;
            }
            for (std::size_t i = 0; i < heights.size(); ++i) {
                heights[i] = std::isnan(heights[i]) ? (*given)[i] : heights[i];
            }
        }
        earth::TerrainTile tile{.nodes_per_side = nodes, .metres = {}};
        tile.metres.reserve(heights.size());
        for (const float each : heights) {
            tile.metres.push_back(std::isnan(each) ? earth::unknown_ground
                                                   : static_cast<std::int16_t>(std::lround(each)));
        }
        return tile;
    }

    std::vector<Listed> sources_;
    std::vector<std::size_t> finest_first_;
    std::list<std::size_t> open_;  // the last used first
};

}  // namespace

base::Result<void> read_blocks(const std::vector<std::string>& paths, std::FILE* out) {
    if (paths.empty()) {
        return base::failure("raster.no_files", "no raster is given: name the files", "");
    }
    Mosaic mosaic;
    if (auto opened = mosaic.open(paths); !opened) {
        return opened;
    }
    Stream stream(out);
    if (auto written = mosaic.write(stream); !written) {
        return written;
    }
    if (!stream.finish()) {
        return base::failure(
            "raster.not_written",
            fmt::format("the blocks cannot be written ({})", std::generic_category().message(errno)),
            "standard output");
    }
    return {};
}

}  // namespace omniway::raster
