#include "app/chart_raster.hpp"

#include <cmath>

#include <fmt/format.h>

#include "app/chart_area.hpp"
#include "app/detail/check_range.hpp"
#include "app/hear.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr double most_cells_a_side = 512;

Faults check(const RasterQuestion& question) {
    Faults faults = check_area(question.area);
    detail::check_range(faults, question.width, 2, most_cells_a_side, "width", "cells", "width");
    detail::check_range(faults, question.altitude_ft, -1500, 60000, "altitude", "ft", "altitude_ft");
    if (faults.empty() && question.width != std::floor(question.width)) {
        faults.push_back({"app.out_of_range",
                          fmt::format("the width is {:g} cells: give a whole number", question.width),
                          "width"});
    }
    return faults;
}

// West of what lies east of it only across the antimeridian.
radio::CellGrid grid_of(const RasterQuestion& question) {
    const plan::ChartArea& area = question.area;
    const double across = area.east_deg - area.west_deg + (area.east_deg > area.west_deg ? 0.0 : 360.0);
    const double side = across / question.width;
    return {earth::Position::degrees(area.north_deg, area.west_deg), base::Angle::degrees(side),
            static_cast<std::size_t>(question.width),
            static_cast<std::size_t>(std::ceil((area.north_deg - area.south_deg) / side - 1e-9))};
}

}  // namespace

tl::expected<Rastered, Faults> chart_raster(const std::string& atlas, const Shipped& shipped,
                                            const RasterQuestion& question, const base::Progress& progress) {
    if (Faults faults = check(question); !faults.empty()) {
        return tl::unexpected(std::move(faults));
    }
    const radio::CellGrid grid = grid_of(question);
    if (grid.rows > static_cast<std::size_t>(most_cells_a_side)) {
        return tl::unexpected(
            Faults{{"app.map_too_large",
                    fmt::format("{} by {} cells: {:g} are allowed from south to north; give a smaller width",
                                grid.columns, grid.rows, most_cells_a_side),
                    "width"}});
    }
    auto world = open_world(atlas, shipped, {});
    if (!world) {
        return tl::unexpected(Faults{world.error()});
    }
    Rastered rastered;
    if (question.kind == plan::RasterKind::terrain) {
        rastered.raster = plan::terrain_raster(*world->terrain, grid);
    } else {
        const auto ground = ground_by_word(*world, std::nullopt);
        if (!ground) {
            return tl::unexpected(Faults{ground.error()});
        }
        rastered.altitude = base::Altitude::feet(question.altitude_ft.value_or(0.0));
        rastered.reception = ground->mode;
        const auto coverage = radio::coverage_of(
            world->snapshot->stations(),
            {grid, *rastered.altitude, radio::Criteria::terps, *ground, /*lowest_altitudes=*/false,
             /*accuracy=*/question.kind == plan::RasterKind::fix_accuracy},
            progress);
        if (!coverage) {
            return tl::unexpected(Faults{{"app.cancelled", "cancelled", ""}});
        }
        rastered.raster = question.kind == plan::RasterKind::coverage
                              ? plan::coverage_raster(*coverage, grid)
                              : plan::fix_accuracy_raster(*coverage, grid);
    }
    rastered.world = std::move(*world);
    return rastered;
}

}  // namespace omniway::app
