#include "earth/relief.hpp"

#include <algorithm>
#include <limits>

namespace omniway::earth {

namespace {

constexpr int cells_wanted = 60;  // 15 arc-seconds in a quarter degree

ReliefCell cell_of(const TerrainTile& tile, int first_row, int first_column, int spacings) {
    ReliefCell cell{std::numeric_limits<std::int16_t>::min(), std::numeric_limits<std::int16_t>::max(), true};
    const int last = tile.nodes_per_side - 1;
    for (int row = first_row; row <= std::min(last, first_row + spacings); ++row) {
        for (int column = first_column; column <= std::min(last, first_column + spacings); ++column) {
            const std::int16_t metres = tile.node(row, column);
            if (metres == unknown_ground) {
                cell.known = false;
                continue;
            }
            cell.highest_m = std::max(cell.highest_m, metres);
            cell.lowest_m = std::min(cell.lowest_m, metres);
        }
    }
    return cell;
}

void take_in(ReliefCell& all, const ReliefCell& part) {
    all.highest_m = std::max(all.highest_m, part.highest_m);
    all.lowest_m = std::min(all.lowest_m, part.lowest_m);
    all.known = all.known && part.known;
}

ReliefCell patch_of(const TileRelief& relief, int first_row, int first_column) {
    ReliefCell patch = relief.cell(first_row, first_column);
    for (int row = first_row; row < std::min(relief.cells_per_side, first_row + TileRelief::cells_per_patch);
         ++row) {
        for (int column = first_column;
             column < std::min(relief.cells_per_side, first_column + TileRelief::cells_per_patch); ++column) {
            take_in(patch, relief.cell(row, column));
        }
    }
    return patch;
}

}  // namespace

TileRelief relief_of(const TerrainTile& tile) {
    TileRelief relief;
    const int spacings = tile.nodes_per_side - 1;
    relief.nodes_per_cell = std::max(1, spacings / cells_wanted);
    relief.cells_per_side = (spacings + relief.nodes_per_cell - 1) / relief.nodes_per_cell;
    for (int row = 0; row < relief.cells_per_side; ++row) {
        for (int column = 0; column < relief.cells_per_side; ++column) {
            relief.cells.push_back(cell_of(tile, row * relief.nodes_per_cell, column * relief.nodes_per_cell,
                                           relief.nodes_per_cell));
        }
    }
    relief.patches_per_side =
        (relief.cells_per_side + TileRelief::cells_per_patch - 1) / TileRelief::cells_per_patch;
    for (int row = 0; row < relief.patches_per_side; ++row) {
        for (int column = 0; column < relief.patches_per_side; ++column) {
            relief.patches.push_back(
                patch_of(relief, row * TileRelief::cells_per_patch, column * TileRelief::cells_per_patch));
        }
    }
    relief.whole = relief.patches.front();
    for (const ReliefCell& patch : relief.patches) {
        take_in(relief.whole, patch);
    }
    return relief;
}

}  // namespace omniway::earth
