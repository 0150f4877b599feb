#pragma once

#include <cstddef>
#include <vector>

#include "earth/local_frame.hpp"

namespace omniway::fixing::detail {

/// Densities at the centres of the cells of a grid, row by row from the south-west.
struct DensityGrid {
    earth::PlanePoint corner;  // the centre of the first
    double cell_m = 0.0;
    std::size_t columns = 0;
    std::size_t rows = 0;
    std::vector<double> density;

    earth::PlanePoint centre(std::size_t cell) const {
        return {corner.east_m + static_cast<double>(cell % columns) * cell_m,
                corner.north_m + static_cast<double>(cell / columns) * cell_m};
    }
};

/// Where a grid stands at a density and above: rings that run clockwise about it, holes the other way.
///   Model     marching squares: a ring crosses between two centres where the density, its logarithm taken as even between them, is the level; beyond the grid it is
///             nothing. Points that leave a ring by less than a twentieth of a cell are left out.
///   Domain    a level above zero.
///   Accuracy  that of the grid.
///   Cost      once over the grid.
///   Fails     never.
///   Source    Lorensen and Cline 1987 in two dimensions, from memory; boost geometry for the thinning out.
std::vector<std::vector<earth::PlanePoint>> region_rings(const DensityGrid& grid, double level);

}  // namespace omniway::fixing::detail
