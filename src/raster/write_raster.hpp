#pragma once

#include <cstdio>
#include <string>

#include "base/result.hpp"

namespace omniway::raster {

/// A raster taken from a stream and written as GeoTIFF (.tif) or PNG (.png).
///   Model     one line of JSON {"width","height","west_deg","north_deg","cell_deg","bands":[names],"no_data":"nan"}, then float32
///             little-endian, band after band, rows from north to south. West and north are the outer edges of the first cell.
///             GeoTIFF: float32 in EPSG:4326 with the bands' names, NaN as no data. PNG: four bands 0 to 255 (red, green, blue,
///             opacity); NaN is 0. Written under a temporary name beside and renamed, so `path` never holds half a raster.
///   Domain    1 to 16 bands, at most 1e9 values; a PNG at most 1e8 pixels; cells over the whole of the earth at most.
///   Accuracy  GeoTIFF to the bit; PNG rounds to whole numbers.
///   Cost      a row at a time for GeoTIFF; the picture in memory for PNG.
///   Fails     raster.write_request for a line that is not understood or too few values, raster.write_form for another ending,
///             raster.not_written.
///   Source    GDAL 3.6 drivers GTiff and PNG.
base::Result<void> write_raster(const std::string& path, std::FILE* in);

}  // namespace omniway::raster
