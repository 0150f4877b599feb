#pragma once

#include <chrono>
#include <map>
#include <string>
#include <vector>

#include "app/world.hpp"
#include "base/progress.hpp"
#include "base/result.hpp"
#include "readers/merge.hpp"
#include "store/atlas.hpp"

namespace omniway::app {

/// What an import used, what it did not and why.
struct Imported {
    store::WriteReport written;
    std::size_t rows = 0;
    std::size_t used = 0;
    std::map<std::string, std::size_t, std::less<>> not_used;  // by reason
    std::vector<base::Error> diagnostics;      // every one with its line; airways with holes too
    std::vector<readers::MergeChoice> merged;  // choices between sources
};

/// Reads navigation files, rasters of elevations and coastlines, each kind merged, and writes one atlas in a single step.
///   Model     what cannot be used is told, never guessed; an import that fails leaves an old atlas whole. Rasters are read by
///             omniway-raster beside, tile by tile, while the atlas is written.
///   Domain    ARINC 424-18 text, OurAirports CSV, GeoTIFF, SRTM .hgt and others (readers::is_raster_file), GeoJSON of land; recognised by content.
///   Accuracy  as the files.
///   Cost      see bench/; memory does not grow with the rasters.
///   Fails     read.*, raster.* and coastline.* for a file that cannot be used at all, atlas.* for the writing.
///   Source    design section 5.
base::Result<Imported> import_files(const std::vector<std::string>& files, const std::string& out,
                                    const Shipped& shipped, std::chrono::sys_days today,
                                    const base::Progress& progress);

}  // namespace omniway::app
