#pragma once

#include <string>
#include <vector>

#include "earth/position.hpp"

namespace omniway::writers {

/// What a raster is, before its values: square cells in rows from north to south.
struct RasterHead {
    int width = 0;
    int height = 0;
    earth::Position north_west;  // outer corner of the first cell
    double cell_deg = 0.0;
    std::vector<std::string> bands;  // their names
};

/// The first line of what omniway-raster writes a raster from, line feed included.
///   Model     one JSON object.
///   Domain    names in UTF-8.
///   Accuracy  numbers to the last bit.
///   Cost      one string.
///   Fails     never; what cannot be is refused by the program.
///   Source    docs/terrain-stream.md; RFC 8259.
std::string raster_head_line(const RasterHead& head);

}  // namespace omniway::writers
