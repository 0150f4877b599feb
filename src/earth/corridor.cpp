#include "earth/corridor.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numbers>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "earth/relief.hpp"

namespace omniway::earth {

using base::Altitude;
using base::Length;

namespace {

constexpr double slice_m = 1852.0;
// A piece is measured in a plane of its own; over 8 NM either way the plane and the geodesic differ by centimetres.
constexpr int slices_per_piece = 16;
constexpr double block_deg = 0.25;
constexpr double radians = std::numbers::pi / 180.0;
// A tile that is missing is asked at this many places a side, whether the corridor runs through it.
constexpr int missing_nodes = 61;

struct Vector {
    double x = 0.0;
    double y = 0.0;
    double z = 0.0;
};
double dot(Vector a, Vector b) {
    return a.x * b.x + a.y * b.y + a.z * b.z;
}

// The part of a place's geocentric coordinates that its parallel gives. WGS 84: NIMA TR8350.2.
struct Parallel {
    double equatorial_m;
    double polar_m;
};
Parallel parallel(double latitude_deg) {
    constexpr double axis_m = 6378137.0;
    constexpr double flattening = 1.0 / 298.257223563;
    constexpr double squared = flattening * (2.0 - flattening);
    const double sine = std::sin(latitude_deg * radians);
    const double normal_m = axis_m / std::sqrt(1.0 - squared * sine * sine);
    return {normal_m * std::cos(latitude_deg * radians), normal_m * (1.0 - squared) * sine};
}

// The plane that touches the earth in the middle of a piece: how far along and to the right of its line a place lies.
struct Plane {
    Vector along;
    Vector across;
    double along_offset_m;  // of the middle from the start of the whole line
    double along_middle_m;  // what the middle's own coordinates come to
    double across_middle_m;
};
Plane plane_at(Position middle, base::TrueBearing course, double along_m) {
    const double latitude = middle.latitude_deg() * radians;
    const double longitude = middle.longitude_deg() * radians;
    const double azimuth = course.degrees() * radians;
    const Vector east{-std::sin(longitude), std::cos(longitude), 0.0};
    const Vector north{-std::sin(latitude) * std::cos(longitude), -std::sin(latitude) * std::sin(longitude),
                       std::cos(latitude)};
    const auto mix = [&](double e, double n) {
        return Vector{e * east.x + n * north.x, e * east.y + n * north.y, e * east.z + n * north.z};
    };
    Plane plane{mix(std::sin(azimuth), std::cos(azimuth)), mix(std::cos(azimuth), -std::sin(azimuth)),
                along_m, 0.0, 0.0};
    const Parallel p = parallel(middle.latitude_deg());
    const Vector place{p.equatorial_m * std::cos(longitude), p.equatorial_m * std::sin(longitude), p.polar_m};
    plane.along_middle_m = dot(plane.along, place);
    plane.across_middle_m = dot(plane.across, place);
    return plane;
}

struct Found {
    std::int16_t highest = std::numeric_limits<std::int16_t>::min();
    std::int16_t lowest = std::numeric_limits<std::int16_t>::max();
    Position highest_at;
    bool known = true;
};

class Survey {
public:
    Survey(const Terrain& terrain, Position from, Position to, std::span<const HalfWidth> widths)
        : terrain_(terrain),
          widths_(widths),
          line_(geodesic(from, to)),
          from_(from),
          length_m_(line_.distance.metres()) {
        const auto count = static_cast<std::size_t>(std::max(1.0, std::ceil(length_m_ / slice_m - 1e-6)));
        found_.resize(count);
        for (const HalfWidth& width : widths) {
            widest_m_ = std::max(widest_m_, width.half_width.metres());
        }
        is_uniform_ = std::all_of(widths.begin(), widths.end(), [&](const HalfWidth& width) {
            return std::abs(width.half_width.metres() - widest_m_) < 0.01;
        });
    }

    std::vector<GroundSlice> result() {
        const std::size_t count = found_.size();
        for (std::size_t first = 0; first < count; first += slices_per_piece) {
            const std::size_t last = std::min(count, first + slices_per_piece);
            piece(first, last);
        }
        std::vector<GroundSlice> slices(count);
        for (std::size_t i = 0; i < count; ++i) {
            slices[i].from = Length::metres(slice_m * static_cast<double>(i));
            slices[i].to = Length::metres(std::min(length_m_, slice_m * static_cast<double>(i + 1)));
            slices[i].known = found_[i].known;
            if (found_[i].highest >= found_[i].lowest) {
                slices[i].highest = Altitude::metres(found_[i].highest);
                slices[i].lowest = Altitude::metres(found_[i].lowest);
                slices[i].highest_at = found_[i].highest_at;
            }
        }
        return slices;
    }

private:
    double half_width_m(double along_m) const {
        if (is_uniform_) {
            return widest_m_;
        }
        const auto after = std::find_if(widths_.begin(), widths_.end(),
                                        [&](const HalfWidth& w) { return w.along.metres() > along_m; });
        if (after == widths_.begin()) {
            return after->half_width.metres();
        }
        const auto before = std::prev(after);
        if (after == widths_.end()) {
            return before->half_width.metres();
        }
        const double share = (along_m - before->along.metres()) / (after->along - before->along).metres();
        return before->half_width.metres() + share * (after->half_width - before->half_width).metres();
    }

    // The slice beside which a place lies, the first or last one beyond the line's ends.
    std::size_t slice_of(double along_m) const {
        return std::min(found_.size() - 1,
                        static_cast<std::size_t>(std::clamp(along_m, 0.0, length_m_) / slice_m));
    }

    // The slice that holds a place, none outside the corridor; what lies within `reach_m` of its edge counts as inside.
    std::optional<std::size_t> slice_at(double along_m, double across_m, double reach_m) const {
        if (std::abs(across_m) > widest_m_ + reach_m) {
            return std::nullopt;  // most places
        }
        const double on_line_m = std::clamp(along_m, 0.0, length_m_);
        const double beyond_m = along_m - on_line_m;
        const double allowed_m = half_width_m(on_line_m) + reach_m;
        if (beyond_m * beyond_m + across_m * across_m > allowed_m * allowed_m) {
            return std::nullopt;
        }
        return slice_of(on_line_m);
    }

    void piece(std::size_t first, std::size_t last) {
        const double begin_m = slice_m * static_cast<double>(first);
        const double end_m = std::min(length_m_, slice_m * static_cast<double>(last));
        const double middle_m = 0.5 * (begin_m + end_m);
        const Position middle = destination(from_, line_.initial, Length::metres(middle_m));
        const Position ahead = destination(from_, line_.initial, Length::metres(middle_m + 1000.0));
        const Plane plane = plane_at(middle, bearing(middle, ahead), middle_m);
        // Each piece looks after its own slices; the outermost ones also after what lies round the line's ends.
        begin_m_ = first == 0 ? -std::numeric_limits<double>::infinity() : begin_m;
        end_m_ = last == found_.size() ? std::numeric_limits<double>::infinity() : end_m;
        const double reach_m = 0.5 * (end_m - begin_m) + 1.01 * widest_m_ + 2000.0;
        const double reach_deg = reach_m / 110'500.0;
        const double polewards = std::min(89.9, std::abs(middle.latitude_deg()) + reach_deg);
        const double wide_deg = std::min(180.0, reach_deg / std::cos(polewards * radians));
        const int south = static_cast<int>(std::floor((middle.latitude_deg() - reach_deg) / block_deg));
        const int north = static_cast<int>(std::floor((middle.latitude_deg() + reach_deg) / block_deg));
        const int west = static_cast<int>(std::floor((middle.longitude_deg() - wide_deg) / block_deg));
        const int east = std::min(
            static_cast<int>(std::floor((middle.longitude_deg() + wide_deg) / block_deg)), west + 1439);
        for (int row = std::max(south, -360); row <= std::min(north, 359); ++row) {
            for (int column = west; column <= east; ++column) {
                block({row, (column + 720 + 1440) % 1440 - 720}, plane);
            }
        }
    }

    struct Seen {
        double along_m;
        double across_m;
    };
    double distance_from_line_m(Seen seen) const {
        return std::hypot(seen.along_m - std::clamp(seen.along_m, 0.0, length_m_), seen.across_m);
    }

    // Where the nodes of a block lie in the plane: three products a node.
    class Grid {
    public:
        Grid(TerrainBlock block, int nodes, const Plane& plane) : plane_(plane) {
            const double step_deg = block_deg / (nodes - 1);
            parallels_.reserve(static_cast<std::size_t>(nodes));
            along_.reserve(static_cast<std::size_t>(nodes));
            across_.reserve(static_cast<std::size_t>(nodes));
            for (int i = 0; i < nodes; ++i) {
                parallels_.push_back(parallel(block.south_quarters * block_deg + step_deg * i));
                const double longitude = (block.west_quarters * block_deg + step_deg * i) * radians;
                const double cosine = std::cos(longitude);
                const double sine = std::sin(longitude);
                along_.push_back(plane.along.x * cosine + plane.along.y * sine);
                across_.push_back(plane.across.x * cosine + plane.across.y * sine);
            }
        }
        // The nodes of one parallel.
        struct Row {
            const Grid& grid;
            double equatorial_m;
            double along_m;
            double across_m;
            Seen at(int column) const {
                const auto c = static_cast<std::size_t>(column);
                const Plane& plane = grid.plane_;
                return {equatorial_m * grid.along_[c] + along_m - plane.along_middle_m + plane.along_offset_m,
                        equatorial_m * grid.across_[c] + across_m - plane.across_middle_m};
            }
        };
        Row row(int row) const {
            const Parallel p = parallels_[static_cast<std::size_t>(row)];
            return {*this, p.equatorial_m, p.polar_m * plane_.along.z, p.polar_m * plane_.across.z};
        }
        Seen at(int row_number, int column) const { return row(row_number).at(column); }

    private:
        const Plane& plane_;
        std::vector<Parallel> parallels_;
        std::vector<double> along_;
        std::vector<double> across_;
    };

    bool mine(double along_m) const { return along_m >= begin_m_ && along_m < end_m_; }

    void block(TerrainBlock block, const Plane& plane) {
        const auto tile = terrain_.tile(block);
        const int nodes = tile ? tile->nodes_per_side : missing_nodes;
        const double spacing_m = block_deg / (nodes - 1) * 111'700.0;
        const Seen centre = Grid(block, 3, plane).at(1, 1);
        const double block_radius_m = 0.7072 * block_deg * 111'700.0;
        if (distance_from_line_m(centre) > widest_m_ + block_radius_m + spacing_m) {
            return;  // as most blocks of the box
        }
        const Grid grid(block, nodes, plane);
        if (!tile) {
            for (int row = 0; row < nodes; ++row) {
                for (int column = 0; column < nodes; ++column) {
                    const Seen seen = grid.at(row, column);
                    if (const auto slice =
                            mine(seen.along_m) ? slice_at(seen.along_m, seen.across_m, 0.0) : std::nullopt) {
                        found_[*slice].known = false;
                    }
                }
            }
            return;
        }
        const auto relief = terrain_.relief(block);
        const int cells = relief->cells_per_side;
        // A patch at a time, of which most lie far from the line.
        constexpr int side = TileRelief::cells_per_patch;
        const double patch_radius_m = 0.7072 * (side * relief->nodes_per_cell + 1) * spacing_m;
        for (int row = 0; row < cells; row += side) {
            for (int column = 0; column < cells; column += side) {
                const int up = std::min(nodes - 1, (row + side / 2) * relief->nodes_per_cell);
                const int right = std::min(nodes - 1, (column + side / 2) * relief->nodes_per_cell);
                const Seen middle = grid.at(up, right);
                if (middle.along_m < begin_m_ - patch_radius_m || middle.along_m > end_m_ + patch_radius_m ||
                    !slice_at(middle.along_m, middle.across_m, 1.3 * patch_radius_m + spacing_m)) {
                    continue;
                }
                for (int r = row; r < std::min(cells, row + side); ++r) {
                    cells_of_row(block, grid, *tile, *relief, r, column, std::min(cells, column + side),
                                 spacing_m);
                }
            }
        }
    }

    struct Nodes {
        int row_begin, row_end, column_begin, column_end;
    };

    void cells_of_row(TerrainBlock block, const Grid& grid, const TerrainTile& tile, const TileRelief& relief,
                      int row, int column, int end, double spacing_m) {
        const int k = relief.nodes_per_cell;
        const int outermost = tile.nodes_per_side - 1;
        const double radius_m = 0.7072 * (k + 1) * spacing_m;
        // The corridor may widen by 15 degrees from the middle of a cell to its corner.
        const double reach_m = 1.3 * radius_m + spacing_m;
        Nodes nodes{row * k, std::min(outermost, row * k + k), 0, 0};
        const Grid::Row middles = grid.row((nodes.row_begin + nodes.row_end) / 2);
        for (; column < end; ++column) {
            nodes.column_begin = column * k;
            nodes.column_end = std::min(outermost, column * k + k);
            const Seen middle = middles.at((nodes.column_begin + nodes.column_end) / 2);
            const ReliefCell& whole = relief.cell(row, column);
            // Cheapest first: most cells lie beside the corridor, and most of those within it change nothing.
            if (middle.along_m >= begin_m_ - radius_m && middle.along_m <= end_m_ + radius_m &&
                std::abs(middle.across_m) <= widest_m_ + reach_m &&
                matters(slice_of(middle.along_m), whole) &&
                slice_at(middle.along_m, middle.across_m, reach_m)) {
                cell(block, grid, tile, whole, nodes, middle, radius_m, spacing_m);
            }
        }
    }

    void cell(TerrainBlock block, const Grid& grid, const TerrainTile& tile, const ReliefCell& whole,
              Nodes nodes, Seen middle, double radius_m, double spacing_m) {
        if (slice_at(middle.along_m, middle.across_m, -1.3 * radius_m)) {
            const std::size_t last = slice_of(middle.along_m + radius_m);
            for (std::size_t i = slice_of(middle.along_m - radius_m); i <= last; ++i) {
                whole_cell(found_[i], block, tile, whole, nodes);
            }
            return;
        }
        for (int row = nodes.row_begin; row <= nodes.row_end; ++row) {
            for (int column = nodes.column_begin; column <= nodes.column_end; ++column) {
                node(block, grid.at(row, column), row, column, tile, spacing_m);
            }
        }
    }

    // A cell that lies inside as a whole counts by its extremes, in each slice that it touches.
    static void whole_cell(Found& found, TerrainBlock block, const TerrainTile& tile, const ReliefCell& cell,
                           Nodes nodes) {
        found.known = found.known && cell.known;
        if (cell.highest_m < cell.lowest_m) {
            return;
        }
        found.lowest = std::min(found.lowest, cell.lowest_m);
        if (cell.highest_m <= found.highest) {
            return;
        }
        found.highest = cell.highest_m;
        for (int row = nodes.row_begin; row <= nodes.row_end; ++row) {
            for (int column = nodes.column_begin; column <= nodes.column_end; ++column) {
                if (tile.node(row, column) == cell.highest_m) {
                    found.highest_at = place_of(block, tile, row, column);
                    return;
                }
            }
        }
    }

    static Position place_of(TerrainBlock block, const TerrainTile& tile, int row, int column) {
        const double step_deg = block_deg / (tile.nodes_per_side - 1);
        return Position::degrees(block.south_quarters * block_deg + row * step_deg,
                                 block.west_quarters * block_deg + column * step_deg);
    }

    // Whether a cell could change the slice its middle lies in, or one beside it.
    bool matters(std::size_t slice, const ReliefCell& cell) const {
        const std::size_t first = slice == 0 ? 0 : slice - 1;
        const std::size_t last = std::min(found_.size() - 1, slice + 1);
        for (std::size_t i = first; i <= last; ++i) {
            if (cell.highest_m > found_[i].highest || cell.lowest_m < found_[i].lowest ||
                (!cell.known && found_[i].known)) {
                return true;
            }
        }
        return false;
    }

    void node(TerrainBlock block, Seen seen, int row, int column, const TerrainTile& tile, double spacing_m) {
        if (!mine(seen.along_m)) {
            return;
        }
        const auto slice = slice_at(seen.along_m, seen.across_m, spacing_m);
        if (!slice) {
            return;
        }
        Found& found = found_[*slice];
        const std::int16_t metres = tile.node(row, column);
        if (metres == unknown_ground) {
            found.known = false;
            return;
        }
        if (metres > found.highest) {
            found.highest = metres;
            found.highest_at = place_of(block, tile, row, column);
        }
        found.lowest = std::min(found.lowest, metres);
    }

    const Terrain& terrain_;
    std::span<const HalfWidth> widths_;
    Geodesic line_;
    Position from_;
    double length_m_;
    double widest_m_ = 0.0;
    bool is_uniform_ = true;
    double begin_m_ = 0.0;
    double end_m_ = 0.0;
    std::vector<Found> found_;
};

}  // namespace

std::vector<GroundSlice> ground_in_corridor(const Terrain& terrain, Position from, Position to,
                                            std::span<const HalfWidth> widths) {
    OMNIWAY_EXPECTS(!widths.empty());
    return Survey(terrain, from, to, widths).result();
}

namespace {

// A line on the sphere and what lies near it: how far away, within what the sphere and the geodesic differ by over 300 NM.
class RoughLine {
public:
    RoughLine(Position from, Position to) : from_(unit_vector(from)), to_(unit_vector(to)) {
        const std::array<double, 3> normal{from_[1] * to_[2] - from_[2] * to_[1],
                                           from_[2] * to_[0] - from_[0] * to_[2],
                                           from_[0] * to_[1] - from_[1] * to_[0]};
        const double size = std::sqrt(product(normal, normal));
        if (size > 1e-9) {
            normal_ = {normal[0] / size, normal[1] / size, normal[2] / size};
        }
        ends_ = product(from_, to_);
    }

    // In radii of the earth.
    double away(const std::array<double, 3>& place) const {
        const double to_from = product(place, from_);
        const double to_to = product(place, to_);
        // Abeam the line, where the foot of the perpendicular lies between the ends.
        const double across = product(place, normal_);
        const double level = std::sqrt(std::max(0.0, 1.0 - across * across));
        if (ends_ * level <= std::min(to_from, to_to) && normal_ != std::array<double, 3>{}) {
            return std::abs(std::asin(std::clamp(across, -1.0, 1.0)));
        }
        return std::acos(std::clamp(std::max(to_from, to_to), -1.0, 1.0));
    }

private:
    static double product(const std::array<double, 3>& a, const std::array<double, 3>& b) {
        return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    }
    std::array<double, 3> from_;
    std::array<double, 3> to_;
    std::array<double, 3> normal_{};
    double ends_;
};

}  // namespace

std::optional<RoughGround> ground_about(const Terrain& terrain, Position from, Position to, Length half_width,
                                        Roughness roughness) {
    constexpr double radius_m = 6371008.8;
    constexpr double block_m = block_deg * 111'700.0;
    const RoughLine line(from, to);
    const double within_m = half_width.metres() * 1.01 + 1852.0;
    const auto is_near = [&](double latitude_deg, double longitude_deg, double size_m) {
        const Position middle = Position::degrees(latitude_deg, longitude_deg);
        return line.away(unit_vector(middle)) * radius_m <= within_m + 0.7072 * size_m;
    };
    const double reach_deg = within_m / 110'500.0;
    const double across_deg = std::remainder(to.longitude_deg() - from.longitude_deg(), 360.0);
    // Between its ends the line bulges towards the pole, by about an eighth of the square of what it crosses of longitude times the sine
    // and the cosine of the latitude, which is at most half.
    const double bulge_deg = 0.1 * across_deg * across_deg * radians;
    const double south_deg = std::min(from.latitude_deg(), to.latitude_deg()) - reach_deg - bulge_deg;
    const double north_deg = std::max(from.latitude_deg(), to.latitude_deg()) + reach_deg + bulge_deg;
    const double polewards_deg = std::max(std::abs(south_deg), std::abs(north_deg));
    if (polewards_deg > 80.0) {
        return std::nullopt;
    }
    const double wide_deg = reach_deg / std::cos(polewards_deg * radians);
    const double west_deg = from.longitude_deg() + std::min(0.0, across_deg) - wide_deg;
    const double east_deg = from.longitude_deg() + std::max(0.0, across_deg) + wide_deg;
    RoughGround rough{std::numeric_limits<std::int16_t>::min(), std::numeric_limits<std::int16_t>::max()};
    const auto take_in = [&](const ReliefCell& part) {
        rough.highest_m = std::max(rough.highest_m, part.highest_m);
        rough.lowest_m = std::min(rough.lowest_m, part.lowest_m);
        return part.known;
    };
    for (int row = static_cast<int>(std::floor(south_deg / block_deg)); row * block_deg < north_deg; ++row) {
        for (int column = static_cast<int>(std::floor(west_deg / block_deg)); column * block_deg < east_deg;
             ++column) {
            const double south = row * block_deg;
            const double west = column * block_deg;
            if (!is_near(south + 0.5 * block_deg, west + 0.5 * block_deg, block_m)) {
                continue;
            }
            const auto relief = terrain.relief({row, (column + 720 + 1440) % 1440 - 720});
            if (relief == nullptr) {
                return std::nullopt;
            }
            if (roughness == Roughness::blocks) {
                if (!take_in(relief->whole)) {
                    return std::nullopt;
                }
                continue;
            }
            const double patch_deg = block_deg * TileRelief::cells_per_patch / relief->cells_per_side;
            for (int up = 0; up < relief->patches_per_side; ++up) {
                for (int right = 0; right < relief->patches_per_side; ++right) {
                    if (is_near(south + (up + 0.5) * patch_deg, west + (right + 0.5) * patch_deg,
                                patch_deg * 111'700.0) &&
                        !take_in(relief->patch(up, right))) {
                        return std::nullopt;
                    }
                }
            }
        }
    }
    return rough.highest_m >= rough.lowest_m ? std::optional(rough) : std::nullopt;
}

GroundSlice highest_of(std::span<const GroundSlice> slices) {
    OMNIWAY_EXPECTS(!slices.empty());
    GroundSlice all = slices.front();
    all.to = slices.back().to;
    for (const GroundSlice& slice : slices) {
        all.known = all.known && slice.known;
        if (slice.highest && (!all.highest || *slice.highest > *all.highest)) {
            all.highest = slice.highest;
            all.highest_at = slice.highest_at;
        }
        if (slice.lowest && (!all.lowest || *slice.lowest < *all.lowest)) {
            all.lowest = slice.lowest;
        }
    }
    return all;
}

}  // namespace omniway::earth
