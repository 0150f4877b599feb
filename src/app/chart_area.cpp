#include "app/chart_area.hpp"

#include <utility>

#include <fmt/format.h>

#include "app/detail/check_range.hpp"
#include "store/atlas.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

Faults check_area(const plan::ChartArea& area) {
    Faults faults;
    detail::check_range(faults, area.west_deg, -180, 180, "longitude", "degrees", "west");
    detail::check_range(faults, area.east_deg, -180, 180, "longitude", "degrees", "east");
    detail::check_range(faults, area.south_deg, -90, 90, "latitude", "degrees", "south");
    detail::check_range(faults, area.north_deg, -90, 90, "latitude", "degrees", "north");
    if (faults.empty() && !(area.south_deg < area.north_deg)) {
        faults.push_back({"app.out_of_range",
                          fmt::format("the area's south, {} degrees, is not below its north, {} degrees",
                                      area.south_deg, area.north_deg),
                          "south"});
    }
    return faults;
}

tl::expected<Charted, Faults> chart_of_area(const std::string& atlas, const Shipped& shipped,
                                            const plan::ChartArea& area) {
    if (Faults faults = check_area(area); !faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    auto world = open_world(atlas, shipped, {});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    const auto coast =
        store::Atlas::open(atlas).and_then([](const store::Atlas& file) { return file.coastline(); });
    if (!coast) {
        return tl::unexpected(Faults{coast.error()});
    }
    plan::ChartFeatures features = plan::chart_features(*world->snapshot, *coast, area);
    return Charted{std::move(*world), std::move(features)};
}

}  // namespace omniway::app
