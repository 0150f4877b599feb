#pragma once

#include <cstdio>
#include <string>
#include <vector>

#include "base/result.hpp"

namespace omniway::raster {

/// Rasters of elevations as one ground, block by block, written to a stream.
///   Model     each block in the node spacing of the finest raster that knows ground in it; what that one does not know is filled
///             from the others, finest first, in the order given where they are alike. Blocks follow each other by their south,
///             then by their west; a block without one cell of known ground is left out. The form is docs/terrain-stream.md's.
///   Domain    any number of files (raster/source.hpp).
///   Accuracy  as the rasters; whole metres.
///   Cost      memory of a few blocks, the library's cache of 64 MB and at most 64 open files.
///   Fails     as Source; raster.no_files, raster.no_ground for a raster that gives no height at all, raster.not_written.
///             What is on the stream then has no end mark and is of no use.
///   Source    docs/terrain-stream.md.
base::Result<void> read_blocks(const std::vector<std::string>& paths, std::FILE* out);

}  // namespace omniway::raster
