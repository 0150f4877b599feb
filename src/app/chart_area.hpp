#pragma once

#include <vector>

#include "app/world.hpp"
#include "plan/chart.hpp"

namespace omniway::app {

/// What a chart of an area shows, and the world it is of.
///   Model     plan/chart.hpp, with the coast of the atlas.
///   Domain    longitudes -180 to 180, latitudes -90 to 90 degrees, the south below the north; the west may be more than the east.
///   Accuracy  as plan/chart.hpp.
///   Cost      opening the atlas.
///   Fails     with every fault found: app.out_of_range, atlas.*.
///   Source    design section 6.
struct Charted {
    World world;
    plan::ChartFeatures features;
};
/// That an area is none; empty where it is one.
std::vector<base::Error> check_area(const plan::ChartArea& area);

tl::expected<Charted, std::vector<base::Error>> chart_of_area(const std::string& atlas,
                                                              const Shipped& shipped,
                                                              const plan::ChartArea& area);

}  // namespace omniway::app
