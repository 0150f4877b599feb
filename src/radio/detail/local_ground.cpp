#include "radio/detail/local_ground.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

namespace omniway::radio::detail {

namespace {

constexpr double metres_per_degree = 6371008.8 * std::numbers::pi / 180.0;
constexpr std::size_t most_nodes = 48'000'000;  // two bytes each
constexpr int around_the_earth = 1440;          // quarters of a degree

struct Placed {
    earth::TerrainBlock block;
    int quarters_east;  // of the block that holds the centre's meridian, [-720, 720)
};

/// Half the width in longitude of a circle around a place; all the way round where it holds a pole.
double half_width_deg(double latitude_deg, double radius_deg) {
    constexpr double radian = std::numbers::pi / 180.0;
    if (std::abs(latitude_deg) + radius_deg >= 90.0) {
        return 180.0;
    }
    return std::asin(std::min(1.0, std::sin(radius_deg * radian) / std::cos(latitude_deg * radian))) / radian;
}

std::vector<Placed> blocks_near(const earth::Terrain& terrain, earth::Position centre, double radius_m,
                                int centre_quarter) {
    const double radius_deg =
        1.01 * radius_m / metres_per_degree;  // the ellipsoid's degrees are up to 0.7 % shorter
    const double width_deg = half_width_deg(centre.latitude_deg(), radius_deg);
    std::vector<Placed> near;
    for (const earth::TerrainBlock& block : terrain.blocks()) {
        const int apart = block.west_quarters - centre_quarter;
        const int east =
            ((apart + around_the_earth / 2) % around_the_earth + around_the_earth) % around_the_earth -
            around_the_earth / 2;
        const double west_deg = 0.25 * (east + centre_quarter) - centre.longitude_deg();
        const double south_deg = 0.25 * block.south_quarters - centre.latitude_deg();
        if (south_deg <= radius_deg && south_deg + 0.25 >= -radius_deg && west_deg <= width_deg &&
            west_deg + 0.25 >= -width_deg) {
            near.push_back({block, east});
        }
    }
    return near;
}

/// The highest of the nodes that a node of a coarser raster stands for; unknown where one of them is.
std::int16_t highest_around(const earth::TerrainTile& tile, double row, double column, double reach_rows,
                            double reach_columns) {
    const int last = tile.nodes_per_side - 1;
    // Nodes strictly closer than the reach: those on the far side belong to the next node.
    const auto from = [](double at, double reach) {
        return std::max(0, static_cast<int>(std::floor(at - reach)) + 1);
    };
    const auto to = [last](double at, double reach) {
        return std::min(last, static_cast<int>(std::ceil(at + reach)) - 1);
    };
    std::int16_t highest = std::numeric_limits<std::int16_t>::min();
    for (int r = from(row, reach_rows); r <= to(row, reach_rows); ++r) {
        for (int c = from(column, reach_columns); c <= to(column, reach_columns); ++c) {
            if (tile.node(r, c) == earth::unknown_ground) {
                return earth::unknown_ground;
            }
            highest = std::max(highest, tile.node(r, c));
        }
    }
    return highest;
}

std::int16_t between_nodes(const earth::TerrainTile& tile, double row, double column) {
    const int south = std::min(static_cast<int>(row), tile.nodes_per_side - 2);
    const int west = std::min(static_cast<int>(column), tile.nodes_per_side - 2);
    const std::int16_t corners[4] = {tile.node(south, west), tile.node(south, west + 1),
                                     tile.node(south + 1, west), tile.node(south + 1, west + 1)};
    for (const std::int16_t corner : corners) {
        if (corner == earth::unknown_ground) {
            return earth::unknown_ground;
        }
    }
    const double north = row - south;
    const double east = column - west;
    const double metres = (1.0 - north) * ((1.0 - east) * corners[0] + east * corners[1]) +
                          north * ((1.0 - east) * corners[2] + east * corners[3]);
    return static_cast<std::int16_t>(std::lround(metres));
}

}  // namespace

LocalGround::LocalGround(const earth::Terrain& terrain, earth::Position centre, double radius_m) {
    const int centre_quarter = static_cast<int>(std::floor(centre.longitude_deg() * 4.0));
    const std::vector<Placed> near = blocks_near(terrain, centre, radius_m, centre_quarter);
    int finest = 0;
    int south = std::numeric_limits<int>::max();
    int north = std::numeric_limits<int>::min();
    int west = south;
    int east = north;
    for (const Placed& placed : near) {
        const auto tile = terrain.tile(placed.block);
        if (!tile) {
            continue;
        }
        finest = std::max(finest, tile->nodes_per_side - 1);
        south = std::min(south, placed.block.south_quarters);
        north = std::max(north, placed.block.south_quarters + 1);
        west = std::min(west, placed.quarters_east);
        east = std::max(east, placed.quarters_east + 1);
    }
    if (finest == 0) {
        return;
    }
    const double parallel = std::max(std::cos(centre.latitude_deg() * std::numbers::pi / 180.0), 0.01);
    per_quarter_rows_ = finest;
    per_quarter_columns_ = finest;
    const auto nodes = [&](int quarters, int per_quarter) {
        return static_cast<std::size_t>(quarters) * static_cast<std::size_t>(per_quarter) + 1;
    };
    while (nodes(north - south, per_quarter_rows_) * nodes(east - west, per_quarter_columns_) > most_nodes) {
        int& thinned =
            per_quarter_columns_ > per_quarter_rows_ * parallel ? per_quarter_columns_ : per_quarter_rows_;
        thinned = (thinned + 1) / 2;
    }
    rows_ = nodes(north - south, per_quarter_rows_);
    columns_ = nodes(east - west, per_quarter_columns_);
    rows_per_degree_ = 4.0 * per_quarter_rows_;
    columns_per_degree_ = 4.0 * per_quarter_columns_;
    south_deg_ = 0.25 * south;
    west_deg_ = 0.25 * (west + centre_quarter) - centre.longitude_deg();
    spacing_m_ = metres_per_degree * std::min(1.0 / rows_per_degree_, parallel / columns_per_degree_);
    last_row_ = static_cast<float>(rows_ - 1);
    last_column_ = static_cast<float>(columns_ - 1);
    metres_.assign(rows_ * columns_, earth::unknown_ground);
    for (const Placed& placed : near) {
        if (const auto tile = terrain.tile(placed.block)) {
            add(*tile, placed.block.south_quarters - south, placed.quarters_east - west);
        }
    }
    look_around();
}

/// A cell with all of its edges, shared ones too. The inner loop is over as many nodes as a register holds.
LocalGround::Relief LocalGround::cell(int row, int column) const {
    const std::size_t from_row = static_cast<std::size_t>(row) * cell_nodes;
    const std::size_t from_column = static_cast<std::size_t>(column) * cell_nodes;
    const std::size_t last_row = std::min(from_row + cell_nodes, rows_ - 1);
    if (from_column + cell_nodes >= columns_) {
        Relief relief{std::numeric_limits<std::int16_t>::min(), std::numeric_limits<std::int16_t>::max()};
        for (std::size_t r = from_row; r <= last_row; ++r) {
            for (std::size_t c = from_column; c < columns_; ++c) {
                relief.highest_m = std::max(relief.highest_m, metres_[r * columns_ + c]);
                relief.lowest_m = std::min(relief.lowest_m, metres_[r * columns_ + c]);
            }
        }
        return relief;
    }
    std::array<std::int16_t, cell_nodes> highest;
    highest.fill(std::numeric_limits<std::int16_t>::min());
    std::array<std::int16_t, cell_nodes> lowest;
    lowest.fill(std::numeric_limits<std::int16_t>::max());
    Relief outermost{highest[0], lowest[0]};
    for (std::size_t r = from_row; r <= last_row; ++r) {
        const std::int16_t* node = &metres_[r * columns_ + from_column];
        for (std::size_t k = 0; k < cell_nodes; ++k) {
            highest[k] = std::max(highest[k], node[k]);
            lowest[k] = std::min(lowest[k], node[k]);
        }
        outermost.highest_m = std::max(outermost.highest_m, node[cell_nodes]);
        outermost.lowest_m = std::min(outermost.lowest_m, node[cell_nodes]);
    }
    return {std::max(outermost.highest_m, *std::max_element(highest.begin(), highest.end())),
            std::min(outermost.lowest_m, *std::min_element(lowest.begin(), lowest.end()))};
}

void LocalGround::look_around() {
    const auto cells = [](std::size_t nodes) { return static_cast<int>((nodes - 2) / cell_nodes) + 1; };
    const int rows = cells(rows_);
    const int columns = cells(columns_);
    cell_rows_ = rows + 2;
    cell_columns_ = columns + 2;
    const std::size_t stride = static_cast<std::size_t>(cell_columns_) + 2;
    std::vector<Relief> padded(stride *
                               (static_cast<std::size_t>(cell_rows_) + 2));  // nothing is known outside
    for (int row = 0; row < rows; ++row) {
        for (int column = 0; column < columns; ++column) {
            padded[(static_cast<std::size_t>(row) + 2) * stride + static_cast<std::size_t>(column) + 2] =
                cell(row, column);
        }
    }
    const auto of_three = [](const Relief* middle, std::size_t apart) {
        const Relief& before = *(middle - apart);
        const Relief& after = *(middle + apart);
        return Relief{std::max({before.highest_m, middle->highest_m, after.highest_m}),
                      std::min({before.lowest_m, middle->lowest_m, after.lowest_m})};
    };
    std::vector<Relief> in_row(padded.size());
    for (std::size_t k = 1; k + 1 < padded.size(); ++k) {
        in_row[k] = of_three(&padded[k], 1);
    }
    around_.reserve(static_cast<std::size_t>(cell_rows_) * static_cast<std::size_t>(cell_columns_));
    for (std::size_t row = 1; row <= static_cast<std::size_t>(cell_rows_); ++row) {
        for (std::size_t column = 1; column <= static_cast<std::size_t>(cell_columns_); ++column) {
            around_.push_back(of_three(&in_row[row * stride + column], stride));
        }
    }
}

void LocalGround::add(const earth::TerrainTile& tile, int quarters_north, int quarters_east) {
    const double per_row = static_cast<double>(tile.nodes_per_side - 1) / per_quarter_rows_;
    const double per_column = static_cast<double>(tile.nodes_per_side - 1) / per_quarter_columns_;
    const bool same = per_row == 1.0 && per_column == 1.0;
    const bool thinned = per_row > 1.0 || per_column > 1.0;
    for (int row = 0; row <= per_quarter_rows_; ++row) {
        const std::size_t begin =
            (static_cast<std::size_t>(quarters_north) * static_cast<std::size_t>(per_quarter_rows_) +
             static_cast<std::size_t>(row)) *
                columns_ +
            static_cast<std::size_t>(quarters_east) * static_cast<std::size_t>(per_quarter_columns_);
        for (int column = 0; column <= per_quarter_columns_; ++column) {
            std::int16_t& node = metres_[begin + static_cast<std::size_t>(column)];
            const double at_row = row * per_row;
            const double at_column = column * per_column;
            const std::int16_t metres = same ? tile.node(row, column)
                                        : thinned
                                            ? highest_around(tile, at_row, at_column, std::max(per_row, 1.0),
                                                             std::max(per_column, 1.0))
                                            : between_nodes(tile, at_row, at_column);
            node = std::max(node, metres);  // a shared edge is known where either neighbour knows it
        }
    }
}

}  // namespace omniway::radio::detail
