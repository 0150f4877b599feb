#pragma once

#include <optional>
#include <vector>

#include "app/world.hpp"
#include "base/progress.hpp"
#include "plan/chart.hpp"
#include "plan/chart_raster.hpp"
#include "radio/ground.hpp"

namespace omniway::app {

/// What lies over an area of the chart.
struct RasterQuestion {
    plan::RasterKind kind = plan::RasterKind::terrain;
    plan::ChartArea area;
    double width = 128;                 // cells from its west to its east; they are square in degrees
    std::optional<double> altitude_ft;  // of coverage and fix accuracy
};

struct Rastered {
    World world;
    plan::ChartRaster raster;
    std::optional<base::Altitude> altitude;
    std::optional<radio::ReceptionMode> reception;  // none where nothing is heard
};

/// A raster over an area: the ground shaded, how many stations are heard, how well a position is told.
///   Model     plan/chart_raster.hpp of the atlas; reception over terrain where it has some, as `omniway hear` takes it.
///   Domain    areas as chart_of_area(), 2 to 512 cells wide and at most as many high; altitudes -1,500 to 60,000 ft.
///   Accuracy  as plan/chart_raster.hpp.
///   Cost      opening the atlas; then a look into the terrain a cell, or some ten microseconds a cell and station in reach, on all processors.
///   Fails     with every fault found: app.out_of_range, app.map_too_large, app.cancelled, atlas.*.
///   Source    design section 6.
tl::expected<Rastered, std::vector<base::Error>> chart_raster(const std::string& atlas,
                                                              const Shipped& shipped,
                                                              const RasterQuestion& question,
                                                              const base::Progress& progress);

}  // namespace omniway::app
