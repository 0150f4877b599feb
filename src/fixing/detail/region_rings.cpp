#include "fixing/detail/region_rings.hpp"

#include <cmath>
#include <cstdint>
#include <map>

#include <boost/geometry.hpp>
#include <boost/geometry/geometries/linestring.hpp>
#include <boost/geometry/geometries/point_xy.hpp>

namespace omniway::fixing::detail {

using earth::PlanePoint;

namespace {

// An edge between two neighbouring centres: that of the lower left one, and whether it goes east or north.
using Edge = std::uint64_t;

class March {
public:
    March(const DensityGrid& grid, double level) : grid_(grid), level_(level) {}

    std::vector<std::vector<PlanePoint>> rings() {
        const auto columns = static_cast<std::int64_t>(grid_.columns);
        const auto rows = static_cast<std::int64_t>(grid_.rows);
        for (std::int64_t row = -1; row < rows; ++row) {
            for (std::int64_t column = -1; column < columns; ++column) {
                square(column, row);
            }
        }
        std::vector<std::vector<PlanePoint>> all;
        while (!next_.empty()) {
            std::vector<PlanePoint> ring;
            const Edge first = next_.begin()->first;
            Edge edge = first;
            do {
                ring.push_back(crossing(edge));
                const auto found = next_.find(edge);
                const Edge on = found->second;
                next_.erase(found);
                edge = on;
            } while (edge != first);
            all.push_back(std::move(ring));
        }
        return all;
    }

private:
    double at(std::int64_t column, std::int64_t row) const {
        const bool inside = column >= 0 && row >= 0 && column < static_cast<std::int64_t>(grid_.columns) &&
                            row < static_cast<std::int64_t>(grid_.rows);
        return inside ? grid_.density[static_cast<std::size_t>(row) * grid_.columns +
                                      static_cast<std::size_t>(column)]
                      : 0.0;
    }

    Edge edge(std::int64_t column, std::int64_t row, bool north) const {
        const std::uint64_t wide = grid_.columns + 2;
        return ((static_cast<std::uint64_t>(row + 1) * wide + static_cast<std::uint64_t>(column + 1)) << 1U) |
               (north ? 1U : 0U);
    }

    PlanePoint crossing(Edge edge) const {
        const std::uint64_t wide = grid_.columns + 2;
        const bool north = (edge & 1U) != 0;
        const auto column = static_cast<std::int64_t>((edge >> 1U) % wide) - 1;
        const auto row = static_cast<std::int64_t>((edge >> 1U) / wide) - 1;
        const double here = at(column, row);
        const double there = north ? at(column, row + 1) : at(column + 1, row);
        const bool both = here > 0.0 && there > 0.0;
        const double along =
            both ? std::log(level_ / here) / std::log(there / here) : (level_ - here) / (there - here);
        const double x = static_cast<double>(column) + (north ? 0.0 : along);
        const double y = static_cast<double>(row) + (north ? along : 0.0);
        return {grid_.corner.east_m + x * grid_.cell_m, grid_.corner.north_m + y * grid_.cell_m};
    }

    // The lines through the square of four centres, the region to their right.
    void square(std::int64_t column, std::int64_t row) {
        const bool south_west = at(column, row) >= level_;
        const bool south_east = at(column + 1, row) >= level_;
        const bool north_west = at(column, row + 1) >= level_;
        const bool north_east = at(column + 1, row + 1) >= level_;
        const int kind =
            (south_west ? 1 : 0) | (south_east ? 2 : 0) | (north_east ? 4 : 0) | (north_west ? 8 : 0);
        if (kind == 0 || kind == 15) {
            return;
        }
        const Edge south = edge(column, row, false);
        const Edge north = edge(column, row + 1, false);
        const Edge west = edge(column, row, true);
        const Edge east = edge(column + 1, row, true);
        const auto line = [this](Edge to, Edge from) { next_[from] = to; };
        switch (kind) {
            case 1:
                line(south, west);
                break;
            case 2:
                line(east, south);
                break;
            case 3:
                line(east, west);
                break;
            case 4:
                line(north, east);
                break;
            case 5:
                line(south, west), line(north, east);
                break;
            case 6:
                line(north, south);
                break;
            case 7:
                line(north, west);
                break;
            case 8:
                line(west, north);
                break;
            case 9:
                line(south, north);
                break;
            case 10:
                line(east, south), line(west, north);
                break;
            case 11:
                line(east, north);
                break;
            case 12:
                line(west, east);
                break;
            case 13:
                line(south, east);
                break;
            default:
                line(west, south);
                break;
        }
    }

    const DensityGrid& grid_;
    double level_;
    std::map<Edge, Edge> next_;  // each crossing lies on one line that begins there
};

}  // namespace

std::vector<std::vector<PlanePoint>> region_rings(const DensityGrid& grid, double level) {
    namespace geometry = boost::geometry;
    using Point = geometry::model::d2::point_xy<double>;
    std::vector<std::vector<PlanePoint>> thinned;
    for (const auto& ring : March(grid, level).rings()) {
        geometry::model::linestring<Point> line;
        for (const PlanePoint& point : ring) {
            line.push_back({point.east_m, point.north_m});
        }
        line.push_back(line.front());
        geometry::model::linestring<Point> fewer;
        geometry::simplify(line, fewer, grid.cell_m / 20.0);
        std::vector<PlanePoint> corners;
        for (std::size_t i = 0; i + 1 < fewer.size(); ++i) {
            corners.push_back({fewer[i].x(), fewer[i].y()});
        }
        if (corners.size() >= 3) {
            thinned.push_back(std::move(corners));
        }
    }
    return thinned;
}

}  // namespace omniway::fixing::detail
