#pragma once

#include <cstdint>
#include <vector>

#include "earth/terrain.hpp"

namespace omniway::earth {

/// The highest and the lowest ground of a small part of a tile, and whether all of it is known.
struct ReliefCell {
    std::int16_t highest_m;  // of the known nodes; below the lowest where none is
    std::int16_t lowest_m;
    bool known;
};

/// A tile seen coarsely, so that a search for the highest ground looks at nodes only where they could matter.
///   Model     cells of `nodes_per_cell` spacings a side, about 15 arc-seconds, the last ones of a row or column perhaps smaller;
///             each counts the nodes on all of its edges.
///   Domain    any tile.
///   Accuracy  exact.
///   Cost      one look at every node; about 20 kB.
///   Fails     never.
///   Source    common practice, no source (branch and bound).
struct TileRelief {
    int nodes_per_cell = 0;
    int cells_per_side = 0;
    std::vector<ReliefCell> cells;  // row by row from the south-west corner

    static constexpr int cells_per_patch = 10;  // a side
    int patches_per_side = 0;
    std::vector<ReliefCell> patches;  // cells by the hundred, in the same order
    ReliefCell whole{};

    const ReliefCell& patch(int row, int column) const {
        return patches[static_cast<std::size_t>(row) * static_cast<std::size_t>(patches_per_side) +
                       static_cast<std::size_t>(column)];
    }
    const ReliefCell& cell(int row, int column) const {
        return cells[static_cast<std::size_t>(row) * static_cast<std::size_t>(cells_per_side) +
                     static_cast<std::size_t>(column)];
    }
};

TileRelief relief_of(const TerrainTile& tile);

}  // namespace omniway::earth
