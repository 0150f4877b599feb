#include "coastline.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <cstdint>
#include <unordered_map>

#include <fmt/format.h>

namespace omniway::demo_region {

namespace {

constexpr double level_m = 0.5;
constexpr double tolerance_nodes = 0.3;  // two seconds of arc

/// In nodes from the north-western corner of the grid, southwards and eastwards.
struct Spot {
    double down;
    double across;
};

/// Follows the contour from edge to edge of the cells. Cells reach one node beyond the grid on every side; what is found there
/// is drawn onto the edge of the grid.
class Contour {
public:
    explicit Contour(const Grid& grid) : grid_(grid) {}

    std::vector<std::vector<Spot>> lines() {
        for (int row = -1; row < grid_.rows; ++row) {
            for (int column = -1; column < grid_.columns; ++column) {
                cell(row, column);
            }
        }
        std::vector<std::vector<Spot>> found;
        for (const std::int64_t begin : order_) {
            if (next_.contains(begin)) {
                found.push_back(follow(begin));
            }
        }
        return found;
    }

private:
    double height(int row, int column) const {
        const bool within = row >= 0 && column >= 0 && row < grid_.rows && column < grid_.columns;
        return within ? std::max<double>(grid_.at(row, column), 0.0) : 0.0;
    }
    bool land(int row, int column) const { return height(row, column) > level_m; }

    /// An edge between neighbouring nodes: from a node eastwards (0) or southwards (1).
    std::int64_t edge(int row, int column, int southwards) const {
        return (static_cast<std::int64_t>(row + 1) * (grid_.columns + 2) + (column + 1)) * 2 + southwards;
    }

    /// Joins two edges of a cell so that land lies to the left.
    void join(std::int64_t from, std::int64_t to) {
        next_.emplace(from, to);
        order_.push_back(from);
    }

    void cell(int row, int column) {
        const bool north_west = land(row, column);
        const bool north_east = land(row, column + 1);
        const bool south_west = land(row + 1, column);
        const bool south_east = land(row + 1, column + 1);
        const int shape =
            (north_west ? 8 : 0) | (north_east ? 4 : 0) | (south_east ? 2 : 0) | (south_west ? 1 : 0);
        if (shape == 0 || shape == 15) {
            return;
        }
        const std::int64_t top = edge(row, column, 0);
        const std::int64_t bottom = edge(row + 1, column, 0);
        const std::int64_t left = edge(row, column, 1);
        const std::int64_t right = edge(row, column + 1, 1);
        switch (shape) {
            case 1:
                join(bottom, left);
                break;
            case 2:
                join(right, bottom);
                break;
            case 3:
                join(right, left);
                break;
            case 4:
                join(top, right);
                break;
            case 5:
                join(top, right);
                join(bottom, left);
                break;  // two corners of land, not joined
            case 6:
                join(top, bottom);
                break;
            case 7:
                join(top, left);
                break;
            case 8:
                join(left, top);
                break;
            case 9:
                join(bottom, top);
                break;
            case 10:
                join(left, top);
                join(right, bottom);
                break;
            case 11:
                join(right, top);
                break;
            case 12:
                join(left, right);
                break;
            case 13:
                join(bottom, right);
                break;
            default:
                join(left, bottom);
                break;
        }
    }

    Spot crossing(std::int64_t which) const {
        const bool southwards = which % 2 != 0;
        const std::int64_t node = which / 2;
        const int row = static_cast<int>(node / (grid_.columns + 2)) - 1;
        const int column = static_cast<int>(node % (grid_.columns + 2)) - 1;
        const double here = height(row, column);
        const double there = southwards ? height(row + 1, column) : height(row, column + 1);
        const double part = (level_m - here) / (there - here);
        return {std::clamp(row + (southwards ? part : 0.0), 0.0, grid_.rows - 1.0),
                std::clamp(column + (southwards ? 0.0 : part), 0.0, grid_.columns - 1.0)};
    }

    std::vector<Spot> follow(std::int64_t begin) {
        std::vector<Spot> line;
        for (std::int64_t at = begin;;) {
            line.push_back(crossing(at));
            const auto step = next_.find(at);
            at = step->second;
            next_.erase(step);
            if (at == begin) {
                return line;
            }
        }
    }

    const Grid& grid_;
    std::unordered_map<std::int64_t, std::int64_t> next_;
    std::vector<std::int64_t> order_;
};

double away(const Spot& from, const Spot& to, const Spot& point) {
    const double down = to.down - from.down;
    const double across = to.across - from.across;
    const double square = down * down + across * across;
    const double along =
        square == 0.0
            ? 0.0
            : std::clamp(((point.down - from.down) * down + (point.across - from.across) * across) / square,
                         0.0, 1.0);
    const double off_down = point.down - from.down - along * down;
    const double off_across = point.across - from.across - along * across;
    return std::sqrt(off_down * off_down + off_across * off_across);
}

/// Marks what must stay between two points that stay.
void keep_between(const std::vector<Spot>& line, std::size_t first, std::size_t last,
                  std::vector<bool>& stays) {
    std::vector<std::pair<std::size_t, std::size_t>> parts = {{first, last}};
    while (!parts.empty()) {
        const auto [from, to] = parts.back();
        parts.pop_back();
        double farthest = tolerance_nodes;
        std::size_t split = 0;
        for (std::size_t i = from + 1; i < to; ++i) {
            const double off = away(line[from], line[to % line.size()], line[i]);
            if (off > farthest) {
                farthest = off;
                split = i;
            }
        }
        if (split != 0) {
            stays[split] = true;
            parts.emplace_back(from, split);
            parts.emplace_back(split, to);
        }
    }
}

std::vector<Spot> simplified(const std::vector<Spot>& line) {
    // The two points that stay in any case: the first, and the one farthest from it.
    std::size_t far = 0;
    for (std::size_t i = 1; i < line.size(); ++i) {
        if (away(line[0], line[0], line[i]) > away(line[0], line[0], line[far])) {
            far = i;
        }
    }
    std::vector<bool> stays(line.size(), false);
    stays[0] = true;
    stays[far] = true;
    keep_between(line, 0, far, stays);
    keep_between(line, far, line.size(), stays);
    std::vector<Spot> kept;
    for (std::size_t i = 0; i < line.size(); ++i) {
        if (stays[i]) {
            kept.push_back(line[i]);
        }
    }
    return kept;
}

/// Hundred-thousandths of a degree, a metre: what is written is what is given.
double rounded(double degrees) {
    return std::floor(degrees * 1.0e5 + 0.5) / 1.0e5;
}

std::string position(const Ring::Point& point) {
    return fmt::format("[{:.5f},{:.5f}]", point.longitude_deg, point.latitude_deg);
}

}  // namespace

std::vector<Ring> coastline(const Grid& grid) {
    std::vector<Ring> rings;
    for (const std::vector<Spot>& line : Contour(grid).lines()) {
        Ring ring;
        for (const Spot& spot : simplified(line)) {
            const Ring::Point point{rounded((grid.north - spot.down) / nodes_per_degree),
                                    rounded((grid.west + spot.across) / nodes_per_degree)};
            if (ring.points.empty() || !(ring.points.back() == point)) {
                ring.points.push_back(point);
            }
        }
        while (ring.points.size() > 1 && ring.points.back() == ring.points.front()) {
            ring.points.pop_back();
        }
        if (ring.points.size() >= 3) {
            rings.push_back(std::move(ring));
        }
    }
    return rings;
}

std::string coastline_geojson(const std::vector<Grid>& grids) {
    std::string text = "{\"type\":\"FeatureCollection\",\"features\":[";
    const char* between = "\n";
    for (const Grid& grid : grids) {
        for (const Ring& ring : coastline(grid)) {
            text += between;
            text +=
                "{\"type\":\"Feature\",\"properties\":null,\"geometry\":{\"type\":\"Polygon\","
                "\"coordinates\":[[";
            for (const Ring::Point& point : ring.points) {
                text += position(point);
                text += ',';
            }
            text += position(ring.points.front());
            text += "]]}}";
            between = ",\n";
        }
    }
    return text + "\n]}\n";
}

}  // namespace omniway::demo_region
