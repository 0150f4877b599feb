#pragma once

#include <compare>
#include <optional>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "earth/local_frame.hpp"
#include "earth/position.hpp"
#include "earth/terrain.hpp"

namespace omniway::earth {

/// A square of a plane's grid, by how many sides its south-west corner lies east and north of where the plane counts from.
struct PlaneSquare {
    int row = 0;
    int column = 0;
    friend constexpr auto operator<=>(const PlaneSquare&, const PlaneSquare&) = default;
};

/// A region of the earth, seen as squares that hold all of it.
///   Model     rings of corners, joined straight on the plane; what an odd number of them goes round is inside. All squares that it touches, and those
///             about these; more where it is grown.
///   Domain    rings of three corners at least, within the domain of the plane; up to 4,000 squares from side to side.
///   Accuracy  no place of the region lies outside, none of the squares farther from it than three sides and what it was grown by, times 1.42.
///   Cost      that of the squares of its bounding box, some nanoseconds each.
///   Fails     breaks the contract outside the domain.
///   Source    common practice, no source (even-odd rule).
struct SquaredRegion {
    LocalFrame frame;
    double side_m = 0.0;
    std::vector<PlaneSquare> squares;  // ascending

    PlanePoint corner(PlaneSquare square, int east = 0, int north = 0) const {
        return {(square.column + east) * side_m, (square.row + north) * side_m};
    }
};

/// The longest way from one place of a region to another, within half a percent.
base::Length extent_of(const LocalFrame& frame, const std::vector<std::vector<Position>>& rings);

SquaredRegion squared(const LocalFrame& frame, const std::vector<std::vector<Position>>& rings,
                      base::Length side);
/// The same seen in other squares, with all that lies so near it.
SquaredRegion grown(const SquaredRegion& region, base::Length side, base::Length by);

/// The ground of one square.
struct GroundInSquare {
    std::optional<base::Altitude> highest;  // of what is known; none where nothing is
    std::optional<base::Altitude> lowest;
    Position highest_at;
    bool known = true;  // false: some of it is not
};

/// The highest and the lowest ground of each square of a region.
///   Model     the extremes of the terrain's cells of about 15 arc-seconds (earth/relief.hpp) that the square touches: no ground in it is higher or
///             lower.
///   Domain    any terrain.
///   Accuracy  never less than what stands there; what stands up to a cell beyond the square counts as well. Its place is the middle of its cell.
///   Cost      some microseconds a square once its tiles are in memory.
///   Fails     never: unknown ground is said by `known`.
///   Source    common practice, no source (branch and bound).
std::vector<GroundInSquare> ground_in(const Terrain& terrain, const SquaredRegion& region);

}  // namespace omniway::earth
