#include "wire/chart_raster_json.hpp"

#include <cmath>

#include "plan/strip_wording.hpp"
#include "wire/detail/parts.hpp"
#include "wire/plan_json.hpp"

namespace omniway::wire {

namespace {

using detail::Json;

double degrees(double value) {
    return std::round(value * 1e6) / 1e6;
}

const char* word_of(plan::RasterKind kind) {
    switch (kind) {
        case plan::RasterKind::terrain:
            break;
        case plan::RasterKind::coverage:
            return "coverage";
        case plan::RasterKind::fix_accuracy:
            return "fix_accuracy";
    }
    return "terrain";
}

}  // namespace

std::string chart_raster_json(const plan::ChartRaster& raster, const std::optional<base::Altitude>& altitude,
                              const std::optional<radio::ReceptionMode>& reception) {
    const radio::CellGrid& grid = raster.grid;
    const double cell = grid.cell.degrees();
    const double east = grid.north_west.longitude_deg() + static_cast<double>(grid.columns) * cell;
    Json json{{"schema_version", schema_version},
              {"kind", "raster"},
              {"caution", detail::caution},
              {"what", word_of(raster.kind)},
              {"altitude_msl_ft", detail::feet(altitude)},
              {"reception", reception ? Json(plan::word_of(*reception)) : Json(nullptr)},
              {"west_deg", degrees(grid.north_west.longitude_deg())},
              {"south_deg", degrees(grid.north_west.latitude_deg() - static_cast<double>(grid.rows) * cell)},
              {"east_deg", degrees(east >= 180.0 ? east - 360.0 : east)},
              {"north_deg", degrees(grid.north_west.latitude_deg())},
              {"cell_deg", cell},
              {"classes", Json::array()},
              {"rows", raster.rows}};
    for (const plan::RasterClass& one : raster.classes) {
        json["classes"].push_back({{"sign", std::string(1, one.sign)},
                                   {"says", one.says},
                                   {"ink_share", detail::thousandths(one.level)}});
    }
    return json.dump();
}

}  // namespace omniway::wire
