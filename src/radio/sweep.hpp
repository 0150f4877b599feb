#pragma once

#include <span>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"

namespace omniway::radio {

/// Ground on a projected grid, true to scale around the antenna: row by row, metres above mean sea level; not a number is
/// unknown ground.
struct GroundGrid {
    int columns = 0;
    int rows = 0;
    base::Length cell;
    std::span<const float> metres;
};

/// A node of a grid.
struct GridNode {
    int column = 0;
    int row = 0;
};

/// The lowest altitude at which an antenna is seen, in every cell of a projected grid within a radius.
///   Model     straight rays over a 4/3 earth across the bilinear surface between nodes, one cell apart at the radius; the
///             steepest slope so far, taken at every grid line a ray crosses and near the antenna at every peak; linear between
///             rays.
///             Ground counts strictly before the cell, and no answer is below the cell's own ground.
///   Domain    the antenna stands on a node, at or above its ground; radius up to 100 NM and 8,000 cells.
///   Accuracy  within 60 NM on rough ground against the exact profile: docs/methods/line-of-sight.md; sweep_test.cpp
///             holds it.
///   Cost      about 10 ns a cell on one thread. The answer is in metres above mean sea level, in the grid's order; not a number
///             beyond the radius and where unknown ground lies on the way.
///   Fails     never.
///   Source    docs/methods/line-of-sight.md.
std::vector<float> lowest_in_cells(const GroundGrid& ground, GridNode antenna,
                                   base::Altitude antenna_altitude, base::Length radius);

}  // namespace omniway::radio
