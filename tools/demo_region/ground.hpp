#pragma once

#include <cstddef>
#include <cstdint>
#include <vector>

#include "records.hpp"

namespace omniway::demo_region {

inline constexpr int nodes_per_degree = 600;  // six seconds of arc
inline constexpr std::int16_t unknown_m = INT16_MIN;

/// Heights on the nodes of six seconds, rows from north to south.
struct Grid {
    int north = 0;  // latitude of the first row, in nodes
    int west = 0;   // longitude of the first column, in nodes
    int rows = 0;
    int columns = 0;
    std::vector<std::int16_t> metres;

    std::int16_t at(int row, int column) const {
        return metres[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) +
                      static_cast<std::size_t>(column)];
    }
};

/// The ground of the whole country, 37.75 to 43.25 N and 165 to 173 W, in whole metres above mean sea level.
///   Model     coasts are the outlines of country.hpp, bent by noise; mountains its cones, bent and lowered by noise and cut by
///             water, never above the cone they come from, its top kept; runways and stations stand on the heights of their
///             records. Sea is 0, land at least 1 m. Two rectangles of sea at the edge, named below, are unknown on purpose.
///   Domain    the frame.
///   Accuracy  it is the definition; the same numbers on every machine, for nothing but sums, products and roots is used.
///   Cost      under three seconds, 300 MB.
///   Fails     never.
///   Source    invented.
Grid country_ground(const Records& records);

/// Between the nodes; the place must lie within the grid. An unknown corner makes it unknown: a quiet NaN.
double height_m(const Grid& grid, Place place);

/// Sea that is left unknown, in nodes: rows [north, south], columns [west, east], edges included.
struct Void {
    int south;
    int north;
    int west;
    int east;
};
inline constexpr Void north_eastern_void{25800, 25950, -99300, -99000};    // 43.00-43.25 N, 165.00-165.50 W
inline constexpr Void south_western_void{22650, 22710, -103800, -103650};  // 37.75-37.85 N, 172.75-173.00 W

/// What lies on either side of the antimeridian once the country has been moved east by whole degrees: one grid, or two that
/// share the meridian.
std::vector<Grid> moved(const Grid& grid, int east_deg);

}  // namespace omniway::demo_region
