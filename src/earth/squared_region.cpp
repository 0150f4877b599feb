#include "earth/squared_region.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <memory>
#include <numbers>
#include <utility>

#include "base/contract.hpp"
#include "earth/relief.hpp"

namespace omniway::earth {

namespace {

constexpr int most_squares = 4000;  // from side to side
constexpr double block_deg = 0.25;

// Which squares of a box are meant.
class Mask {
public:
    Mask(PlaneSquare first, PlaneSquare last)
        : first_(first), rows_(last.row - first.row + 1), columns_(last.column - first.column + 1) {
        OMNIWAY_EXPECTS(rows_ <= most_squares && columns_ <= most_squares);
        meant_.assign(static_cast<std::size_t>(rows_) * static_cast<std::size_t>(columns_), 0);
    }

    void mean(PlaneSquare square) {
        meant_[index(square.row - first_.row, square.column - first_.column)] = 1;
    }

    // All that lies so many squares to either side of one that is meant, and up and down from it.
    void grow(int by) {
        spread(
            rows_, columns_, [this](int row, int column) { return index(row, column); }, by);
        spread(
            columns_, rows_, [this](int column, int row) { return index(row, column); }, by);
    }

    std::vector<PlaneSquare> squares() const {
        std::vector<PlaneSquare> all;
        for (int row = 0; row < rows_; ++row) {
            for (int column = 0; column < columns_; ++column) {
                if (meant_[index(row, column)] != 0) {
                    all.push_back({first_.row + row, first_.column + column});
                }
            }
        }
        return all;
    }

private:
    std::size_t index(int row, int column) const {
        return static_cast<std::size_t>(row) * static_cast<std::size_t>(columns_) +
               static_cast<std::size_t>(column);
    }

    // Along each of the lines, by how far behind and how far ahead the next one lies.
    template <class Index>
    void spread(int lines, int length, Index index_of, int by) {
        std::vector<char> line(static_cast<std::size_t>(length));
        for (int each = 0; each < lines; ++each) {
            std::fill(line.begin(), line.end(), 0);
            int last = -by - 1;
            for (int at = 0; at < length; ++at) {
                last = meant_[index_of(each, at)] != 0 ? at : last;
                line[static_cast<std::size_t>(at)] = at - last <= by ? 1 : 0;
            }
            last = length + by;
            for (int at = length - 1; at >= 0; --at) {
                last = meant_[index_of(each, at)] != 0 ? at : last;
                if (last - at <= by) {
                    line[static_cast<std::size_t>(at)] = 1;
                }
            }
            for (int at = 0; at < length; ++at) {
                meant_[index_of(each, at)] = line[static_cast<std::size_t>(at)];
            }
        }
    }

    PlaneSquare first_;
    int rows_;
    int columns_;
    std::vector<char> meant_;
};

using PlaneRing = std::vector<PlanePoint>;

std::vector<PlaneRing> on_plane(const LocalFrame& frame, const std::vector<std::vector<Position>>& rings) {
    std::vector<PlaneRing> all;
    for (const auto& ring : rings) {
        PlaneRing& made = all.emplace_back();
        for (const Position& corner : ring) {
            made.push_back(frame.to_plane(corner));
        }
    }
    return all;
}

int square_of(double metres, double side_m) {
    return static_cast<int>(std::floor(metres / side_m));
}

struct Box {
    PlanePoint low{std::numeric_limits<double>::infinity(), std::numeric_limits<double>::infinity()};
    PlanePoint high{-std::numeric_limits<double>::infinity(), -std::numeric_limits<double>::infinity()};
};
Box box_of(const std::vector<PlaneRing>& rings) {
    Box box;
    for (const PlaneRing& ring : rings) {
        for (const PlanePoint& corner : ring) {
            box.low = {std::min(box.low.east_m, corner.east_m), std::min(box.low.north_m, corner.north_m)};
            box.high = {std::max(box.high.east_m, corner.east_m), std::max(box.high.north_m, corner.north_m)};
        }
    }
    return box;
}

template <class Visit>
void for_each_edge(const std::vector<PlaneRing>& rings, Visit visit) {
    for (const PlaneRing& ring : rings) {
        for (std::size_t i = 0; i < ring.size(); ++i) {
            visit(ring[i], ring[(i + 1) % ring.size()]);
        }
    }
}

// Every half square: what the edge clips between two looks is a neighbour of one of them.
void mean_edge(Mask& mask, PlanePoint from, PlanePoint to, double side_m) {
    const double length_m = std::hypot(to.east_m - from.east_m, to.north_m - from.north_m);
    const int parts = static_cast<int>(std::ceil(length_m / (side_m / 2.0))) + 1;
    for (int i = 0; i <= parts; ++i) {
        const double share = static_cast<double>(i) / parts;
        mask.mean({square_of(from.north_m + share * (to.north_m - from.north_m), side_m),
                   square_of(from.east_m + share * (to.east_m - from.east_m), side_m)});
    }
}

// Of each row those whose middle has an odd number of edges west of it.
void mean_inside(Mask& mask, const std::vector<PlaneRing>& rings, double side_m, int first_row,
                 int last_row) {
    std::vector<std::vector<double>> crossings(static_cast<std::size_t>(last_row - first_row + 1));
    for_each_edge(rings, [&](PlanePoint a, PlanePoint b) {
        if (a.north_m > b.north_m) {
            std::swap(a, b);
        }
        for (int row = square_of(a.north_m, side_m); row <= square_of(b.north_m, side_m); ++row) {
            const double middle_m = (row + 0.5) * side_m;
            if (a.north_m <= middle_m && middle_m < b.north_m) {
                const double share = (middle_m - a.north_m) / (b.north_m - a.north_m);
                crossings[static_cast<std::size_t>(row - first_row)].push_back(a.east_m +
                                                                               share * (b.east_m - a.east_m));
            }
        }
    });
    for (int row = first_row; row <= last_row; ++row) {
        auto& across = crossings[static_cast<std::size_t>(row - first_row)];
        std::sort(across.begin(), across.end());
        for (std::size_t i = 0; i + 1 < across.size(); i += 2) {
            for (int column = square_of(across[i], side_m); column <= square_of(across[i + 1], side_m);
                 ++column) {
                const double middle_m = (column + 0.5) * side_m;
                if (across[i] <= middle_m && middle_m <= across[i + 1]) {
                    mask.mean({row, column});
                }
            }
        }
    }
}

// A tile's coarse look and how wide its cells are.
struct Coarse {
    std::shared_ptr<const TileRelief> relief;
    double cell_deg = 0.0;
};

class Looker {
public:
    Looker(const Terrain& terrain, const SquaredRegion& region) : terrain_(terrain), region_(region) {}

    GroundInSquare at(PlaneSquare square) {
        seen_ = {};
        const Position middle = region_.frame.to_position(
            {(square.column + 0.5) * region_.side_m, (square.row + 0.5) * region_.side_m});
        double south = middle.latitude_deg();
        double north = south;
        double west = middle.longitude_deg();
        double east = west;
        for (const auto& [right, up] : {std::pair(0, 0), std::pair(1, 0), std::pair(0, 1), std::pair(1, 1)}) {
            const Position corner = region_.frame.to_position(region_.corner(square, right, up));
            const double longitude = middle.longitude_deg() +
                                     std::remainder(corner.longitude_deg() - middle.longitude_deg(), 360.0);
            south = std::min(south, corner.latitude_deg());
            north = std::max(north, corner.latitude_deg());
            west = std::min(west, longitude);
            east = std::max(east, longitude);
        }
        for (int row = block(south); row <= block(north); ++row) {
            for (int column = block(west); column <= block(east); ++column) {
                look(row, column, {south, north, west, east});
            }
        }
        return seen_;
    }

private:
    struct Degrees {
        double south;
        double north;
        double west;
        double east;
    };

    static int block(double degrees) { return static_cast<int>(std::floor(degrees / block_deg)); }

    const Coarse& coarse(TerrainBlock block) {
        const auto [found, is_new] = coarse_.try_emplace(block);
        if (is_new) {
            if (const auto tile = terrain_.tile(block)) {
                found->second.relief = terrain_.relief(block);
                if (found->second.relief != nullptr) {
                    found->second.cell_deg =
                        block_deg * found->second.relief->nodes_per_cell / (tile->nodes_per_side - 1);
                }
            }
        }
        return found->second;
    }

    void look(int row, int column, const Degrees& box) {
        const Coarse& tile = coarse({row, (column + 720 + 1440) % 1440 - 720});
        if (tile.relief == nullptr) {
            seen_.known = false;
            return;
        }
        const double south_deg = row * block_deg;
        const double west_deg = column * block_deg;
        const int cells = tile.relief->cells_per_side;
        const auto cell = [&](double degrees) {
            return std::clamp(static_cast<int>(std::floor(degrees / tile.cell_deg)), 0, cells - 1);
        };
        for (int up = cell(box.south - south_deg); up <= cell(box.north - south_deg); ++up) {
            for (int right = cell(box.west - west_deg); right <= cell(box.east - west_deg); ++right) {
                const double longitude_deg = west_deg + (right + 0.5) * tile.cell_deg;
                take(tile.relief->cell(up, right), south_deg + (up + 0.5) * tile.cell_deg, longitude_deg);
            }
        }
    }

    void take(const ReliefCell& cell, double latitude_deg, double longitude_deg) {
        seen_.known = seen_.known && cell.known;
        if (cell.highest_m < cell.lowest_m) {
            return;  // nothing of it is known
        }
        const auto highest = base::Altitude::metres(cell.highest_m);
        const auto lowest = base::Altitude::metres(cell.lowest_m);
        if (!seen_.highest || highest > *seen_.highest) {
            seen_.highest = highest;
            seen_.highest_at = Position::degrees(latitude_deg, longitude_deg);
        }
        seen_.lowest = seen_.lowest ? std::min(*seen_.lowest, lowest) : lowest;
    }

    const Terrain& terrain_;
    const SquaredRegion& region_;
    std::map<TerrainBlock, Coarse> coarse_;
    GroundInSquare seen_;
};

}  // namespace

base::Length extent_of(const LocalFrame& frame, const std::vector<std::vector<Position>>& rings) {
    constexpr int directions = 36;  // of half a turn: cos 2.5 degrees is 0.999
    double longest_m = 0.0;
    const std::vector<PlaneRing> all = on_plane(frame, rings);
    for (int i = 0; i < directions; ++i) {
        const double direction = std::numbers::pi * i / directions;
        double least_m = std::numeric_limits<double>::infinity();
        double most_m = -least_m;
        for (const PlaneRing& ring : all) {
            for (const PlanePoint& corner : ring) {
                const double at_m =
                    corner.east_m * std::sin(direction) + corner.north_m * std::cos(direction);
                least_m = std::min(least_m, at_m);
                most_m = std::max(most_m, at_m);
            }
        }
        longest_m = std::max(longest_m, most_m - least_m);
    }
    return base::Length::metres(longest_m);
}

SquaredRegion squared(const LocalFrame& frame, const std::vector<std::vector<Position>>& rings,
                      base::Length side) {
    const std::vector<PlaneRing> all = on_plane(frame, rings);
    SquaredRegion region{frame, side.metres(), {}};
    const Box box = box_of(all);
    if (!(box.low.east_m <= box.high.east_m)) {
        return region;
    }
    const PlaneSquare first{square_of(box.low.north_m, region.side_m),
                            square_of(box.low.east_m, region.side_m)};
    const PlaneSquare last{square_of(box.high.north_m, region.side_m),
                           square_of(box.high.east_m, region.side_m)};
    Mask mask({first.row - 1, first.column - 1}, {last.row + 1, last.column + 1});
    for_each_edge(all, [&](PlanePoint a, PlanePoint b) { mean_edge(mask, a, b, region.side_m); });
    mean_inside(mask, all, region.side_m, first.row, last.row);
    mask.grow(1);
    region.squares = mask.squares();
    return region;
}

SquaredRegion grown(const SquaredRegion& region, base::Length side, base::Length by) {
    SquaredRegion made{region.frame, side.metres(), {}};
    if (region.squares.empty()) {
        return made;
    }
    // One more: a square that straddles two of the others is counted for that of its middle.
    const int more = static_cast<int>(std::ceil(by / side)) + 1;
    const auto in_other = [&](PlaneSquare square) {
        return PlaneSquare{square_of((square.row + 0.5) * region.side_m, made.side_m),
                           square_of((square.column + 0.5) * region.side_m, made.side_m)};
    };
    PlaneSquare first = in_other(region.squares.front());
    PlaneSquare last = first;
    for (const PlaneSquare& square : region.squares) {
        const PlaneSquare other = in_other(square);
        first = {std::min(first.row, other.row), std::min(first.column, other.column)};
        last = {std::max(last.row, other.row), std::max(last.column, other.column)};
    }
    Mask mask({first.row - more, first.column - more}, {last.row + more, last.column + more});
    for (const PlaneSquare& square : region.squares) {
        mask.mean(in_other(square));
    }
    mask.grow(more);
    made.squares = mask.squares();
    return made;
}

std::vector<GroundInSquare> ground_in(const Terrain& terrain, const SquaredRegion& region) {
    Looker looker(terrain, region);
    std::vector<GroundInSquare> ground;
    ground.reserve(region.squares.size());
    for (const PlaneSquare& square : region.squares) {
        ground.push_back(looker.at(square));
    }
    return ground;
}

}  // namespace omniway::earth
