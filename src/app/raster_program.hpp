#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/progress.hpp"
#include "base/result.hpp"
#include "readers/raster_blocks.hpp"
#include "writers/raster_head.hpp"

namespace omniway::app {

/// Rasters being read by omniway-raster, which runs beside until the last block is taken or this goes.
///   Model     blocks are taken one at a time from a pipe. When this ends early, or the progress is cancelled, the program is ended by
///             SIGTERM, and by SIGKILL where that does not do within two seconds.
///   Domain    files that readers::is_raster_file() names.
///   Accuracy  as the rasters (docs/terrain-stream.md).
///   Cost      one block in memory here; one process.
///   Fails     raster.program_missing; raster.program_failed where it was ended by a signal or says nothing; raster.stream_broken;
///             read.cancelled; the errors of the program itself (read.*, raster.*).
///   Source    docs/decisions/0012-raster-program.md.
class RasterReading {
public:
    static base::Result<RasterReading> start(const std::string& program,
                                             const std::vector<std::string>& files,
                                             const base::Progress& progress);
    RasterReading(RasterReading&&) noexcept;
    RasterReading& operator=(RasterReading&&) noexcept;
    ~RasterReading();

    const std::vector<readers::RasterFacts>& rasters() const;
    /// Nothing after the last.
    base::Result<std::optional<readers::RasterBlock>> next();

private:
    struct Running;
    explicit RasterReading(std::unique_ptr<Running> running);
    std::unique_ptr<Running> running_;
};

/// Gives a row of values of a band, west to east, rows from north to south.
using RasterRow = std::function<std::vector<float>(int band, int row)>;

/// Writes a GeoTIFF (.tif) or a PNG (.png) by omniway-raster. `path` never holds half a raster. Fails as RasterReading, and
/// raster.write_form, raster.write_request, raster.not_written.
base::Result<void> write_raster(const std::string& program, const std::string& path,
                                const writers::RasterHead& head, const RasterRow& row,
                                const base::Progress& progress);

}  // namespace omniway::app
