#pragma once

#include <string>

#include "ground.hpp"

namespace omniway::demo_region {

/// The bytes of a GeoTIFF of heights.
///   Model     one band of 16-bit signed metres above mean sea level on WGS 84 (EPSG:4326), strips packed by deflate after
///             horizontal differencing; a sample stands for its point (PixelIsPoint), the tie point is the north-western node;
///             GDAL_NODATA is -32768.
///   Domain    grids whose packed bytes stay below 4 GiB.
///   Accuracy  exact; the heights that are unpacked are the same everywhere, the packed bytes those of the zlib at hand.
///   Cost      a second for the whole country.
///   Fails     throws std::runtime_error where zlib does.
///   Source    TIFF 6.0; OGC 19-008r4 (GeoTIFF 1.1); the no-data tag 42113 as GDAL documents it.
std::string geotiff(const Grid& grid);

}  // namespace omniway::demo_region
