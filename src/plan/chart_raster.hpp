#pragma once

#include <array>
#include <string>
#include <vector>

#include "earth/terrain.hpp"
#include "radio/coverage.hpp"

namespace omniway::plan {

/// What lies over a chart in cells.
enum class RasterKind { terrain, coverage, fix_accuracy };

/// What one sign of a raster stands for.
struct RasterClass {
    char sign = '?';
    std::string says;
    double level = 0.0;  // of ink, 0 to 1: the more, the darker the ground, or the worse for whoever is there
};

/// Upper limits in nautical miles of the classes in which a position by two lines is told.
inline constexpr std::array<float, 7> accuracy_limits_nm{0.5F, 1, 1.5F, 2, 3, 4, 6};

/// Values in cells, each by the sign of its class.
///   Model     the shading of the ground by earth/hillshade.hpp from the heights at the centres of the cells, four times as steep, in 32 steps; how many stations are heard,
///             each number a class of its own up to five; how well a position is told by the best two lines, 95 %. A cell whose ground is not
///             known, or whose reception rests on such ground, is "?" and never sea; sea, at exactly sea level with all about it, is "~".
///   Domain    grids of some hundred cells a side; a coverage of that grid.
///   Accuracy  a class.
///   Cost      a look into the terrain a cell; of the others one pass.
///   Fails     never.
///   Source    earth/hillshade.hpp, radio/coverage.hpp.
struct ChartRaster {
    RasterKind kind = RasterKind::terrain;
    radio::CellGrid grid;
    std::vector<RasterClass> classes;
    std::vector<std::string> rows;  // from the north; a sign a cell from the west
};
ChartRaster terrain_raster(const earth::Terrain& terrain, const radio::CellGrid& grid);
ChartRaster coverage_raster(const radio::Coverage& coverage, const radio::CellGrid& grid);
ChartRaster fix_accuracy_raster(const radio::Coverage& coverage, const radio::CellGrid& grid);

}  // namespace omniway::plan
