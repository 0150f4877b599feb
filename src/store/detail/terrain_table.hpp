#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "base/progress.hpp"
#include "base/result.hpp"
#include "store/detail/database.hpp"
#include "store/ground.hpp"

namespace omniway::store::detail {

/// A row of terrain_tile.
struct TileRow {
    std::int64_t key = 0;
    earth::TerrainBlock block;
    int nodes_per_side = 0;
    std::int64_t unknown_nodes = 0;
    std::string checksum;
};

/// All of an atlas's terrain but the heights themselves.
struct TerrainTable {
    std::vector<TileRow> rows;  // by ascending block
    std::vector<TerrainSource> sources;
    std::string checksum;  // empty without terrain
};

/// Reads and proves the tables of terrain, which are not there in an atlas without any; `trouble` says what is wrong.
TerrainTable read_terrain_table(const Database& database, std::string& trouble);

/// The packed heights of a tile as they stand in the file; nothing where they cannot be read, and `trouble` says why.
std::optional<std::string> packed_heights(const Database& database, const TileRow& row, std::string& trouble);

/// The tile, proved; nothing where its heights are damaged, and `trouble` says how.
std::optional<earth::TerrainTile> proved_tile(const TileRow& row, std::string_view heights,
                                              std::string& trouble);

TerrainSummary summary_of(const TerrainTable& table);

/// Makes the tables and fills them tile by tile. An error is the ground's own; `written` false means that the database failed, or
/// that the progress was cancelled.
struct TerrainWriting {
    bool written = false;
    TerrainSummary summary;
};
base::Result<TerrainWriting> write_terrain(Database& database, const Ground& ground,
                                           const base::Progress& progress);

}  // namespace omniway::store::detail
