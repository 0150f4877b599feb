#pragma once

#include <optional>
#include <string>

#include "plan/chart_raster.hpp"
#include "radio/ground.hpp"

namespace omniway::wire {

/// What lies over a chart in cells, as api/raster.schema.json describes it.
///   Model     a text for each row, a sign a cell; the classes say what each stands for.
///   Domain    `altitude` and `reception` none where nothing is heard.
///   Accuracy  the area to 1e-6 degree.
///   Cost      a byte a cell.
///   Fails     never.
///   Source    RFC 8259.
std::string chart_raster_json(const plan::ChartRaster& raster, const std::optional<base::Altitude>& altitude,
                              const std::optional<radio::ReceptionMode>& reception);

}  // namespace omniway::wire
