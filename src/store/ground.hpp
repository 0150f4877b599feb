#pragma once

#include <cstddef>
#include <functional>
#include <mutex>
#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "earth/coastline.hpp"
#include "earth/terrain.hpp"

namespace omniway::store {

/// A raster that terrain was taken from.
struct TerrainSource {
    std::string file;
    std::string format;
    std::string projection;
    int spacing_arc_seconds = 0;  // of the node grid that loses nothing of it
    friend bool operator==(const TerrainSource&, const TerrainSource&) = default;
};

/// One tile on its way into an atlas.
struct GroundPiece {
    earth::TerrainBlock block;
    earth::TerrainTile tile;
    double share = 0.0;  // of all tiles, so far
};

/// The ground that goes into an atlas beside the records: taken tile by tile, so that it never stands in memory as a whole.
///   Model     `next` gives tiles by ascending block, each block once, then none; empty where there is no terrain.
///   Domain    tiles of 901, 451, 301, 151, 61 or 31 nodes to a side.
///   Accuracy  exact.
///   Cost      one tile at a time.
///   Fails     `next` by an error of its own, which ends the writing and is passed on.
///   Source    docs/atlas.md, "terrain_tile".
struct Ground {
    std::vector<TerrainSource> sources;
    std::function<base::Result<std::optional<GroundPiece>>()> next;
    std::vector<earth::CoastlineRing> coastline;
};

/// How many tiles there are of one node spacing.
struct SpacingCount {
    int spacing_arc_seconds = 0;
    std::size_t tiles = 0;
    friend bool operator==(const SpacingCount&, const SpacingCount&) = default;
};

/// What terrain an atlas holds. Nodes on an edge count in each tile that has them.
struct TerrainSummary {
    std::size_t tiles = 0;
    std::vector<SpacingCount> spacings;  // the finest first
    std::size_t nodes = 0;
    std::size_t unknown_nodes = 0;
    std::string checksum;  // of all tiles, 32 hexadecimal digits; empty without terrain
    std::vector<TerrainSource> sources;
    friend bool operator==(const TerrainSummary&, const TerrainSummary&) = default;
};

/// Tiles found damaged while they were read, each told once. Written by the threads that read, read by whoever prints.
class DamagedTiles {
public:
    void add(base::Error error);
    std::vector<base::Error> all() const;

private:
    mutable std::mutex mutex_;
    std::vector<base::Error> errors_;
};

}  // namespace omniway::store
