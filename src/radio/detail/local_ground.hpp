#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdlib>
#include <vector>

#include "base/progress.hpp"
#include "earth/terrain.hpp"

namespace omniway::radio::detail {

/// The terrain around an antenna as one raster in latitude and longitude, so that a ray needs no search for tiles.
/// Node (row, column) lies row steps north of the south edge and column steps east of the west edge. Longitudes are
/// counted from the antenna's, so that there is no date line.
class LocalGround {
public:
    LocalGround(const earth::Terrain& terrain, earth::Position centre, double radius_m);

    bool empty() const { return metres_.empty(); }
    double node_spacing_m() const { return spacing_m_; }  // the smaller of both directions'

    double row_of(double latitude_deg) const { return (latitude_deg - south_deg_) * rows_per_degree_; }
    double column_of(double degrees_east_of_centre) const {
        return (degrees_east_of_centre - west_deg_) * columns_per_degree_;
    }

    /// Bilinear height in metres, or unknown_m where a corner of the cell is unknown or outside.
    static constexpr float unknown_m = -32768.0F;
    float at(float row, float column) const {
        if (!(row >= 0.0F && column >= 0.0F && row < last_row_ && column < last_column_)) {
            return unknown_m;
        }
        const int south = static_cast<int>(row);
        const int west = static_cast<int>(column);
        const std::int16_t* node =
            &metres_[static_cast<std::size_t>(south) * columns_ + static_cast<std::size_t>(west)];
        const float sw = node[0];
        const float se = node[1];
        const float nw = node[columns_];
        const float ne = node[columns_ + 1];
        if (sw == unknown_m || se == unknown_m || nw == unknown_m || ne == unknown_m) {
            return unknown_m;
        }
        const float east = column - static_cast<float>(west);
        const float north = row - static_cast<float>(south);
        const float on_south = sw + east * (se - sw);
        const float on_north = nw + east * (ne - nw);
        return on_south + north * (on_north - on_south);
    }

    /// The highest and the lowest node that a path of up to 8 nodes from a place can meet; the lowest is unknown_ground where any
    /// of them is unknown, the highest only where all are.
    static constexpr int cell_nodes = 8;
    struct Relief {
        std::int16_t highest_m = earth::unknown_ground;
        std::int16_t lowest_m = earth::unknown_ground;
    };
    const Relief& around(float row, float column) const {
        static constexpr Relief nothing_known;
        const CellAt at = cell_at(row, column);
        if (at.row < 0 || at.column < 0 || at.row >= cell_rows_ || at.column >= cell_columns_) {
            return nothing_known;
        }
        return around_[static_cast<std::size_t>(at.row) * static_cast<std::size_t>(cell_columns_) +
                       static_cast<std::size_t>(at.column)];
    }
    /// Whether all that lies straight between two places is what around() told at the first.
    bool covers(float row, float column, float to_row, float to_column) const {
        const CellAt from = cell_at(row, column);
        const CellAt to = cell_at(to_row, to_column);
        return std::abs(from.row - to.row) <= 1 && std::abs(from.column - to.column) <= 1;
    }

private:
    /// Cells are counted from one outside the raster, so that paths that run into it see it.
    struct CellAt {
        int row;
        int column;
    };
    static CellAt cell_at(float row, float column) {
        constexpr float per_node = 1.0F / cell_nodes;
        const auto whole = [](float v) { return v < 0.0F ? -1 : static_cast<int>(v); };
        return {whole(row * per_node + 1.0F), whole(column * per_node + 1.0F)};
    }
    Relief cell(int row, int column) const;
    void look_around();
    void add(const earth::TerrainTile& tile, int south_quarters, int quarters_east);

    double south_deg_ = 0.0;
    double west_deg_ = 0.0;  // from the centre
    int per_quarter_rows_ = 0;
    int per_quarter_columns_ = 0;
    double rows_per_degree_ = 0.0;
    double columns_per_degree_ = 0.0;
    double spacing_m_ = 0.0;
    std::size_t rows_ = 0;
    std::size_t columns_ = 0;
    float last_row_ = 0.0F;
    float last_column_ = 0.0F;
    std::vector<std::int16_t> metres_;
    int cell_rows_ = 0;
    int cell_columns_ = 0;
    std::vector<Relief> around_;  // by cell, of it and its eight neighbours
};

}  // namespace omniway::radio::detail
