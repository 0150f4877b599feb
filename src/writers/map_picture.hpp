#pragma once

#include <cstdint>
#include <span>
#include <string>
#include <vector>

#include "earth/position.hpp"
#include "radio/coverage.hpp"

namespace omniway::writers {

/// What one map shows, and so its classes and words.
enum class MapKind { stations, lowest_one, lowest_two, accuracy, lowest_usable };

/// A place that is named on a map.
struct MapMark {
    std::string name;
    earth::Position place;
};

/// Four channels of one picture, each 0 to 255, rows from the top.
struct Picture {
    std::size_t width = 0;
    std::size_t height = 0;
    std::vector<float> red;
    std::vector<float> green;
    std::vector<float> blue;
    std::vector<float> opacity;
};

/// A map of one figure with title, marks, degrees at its edges, legend and caution.
///   Model     values in classes, from pale (good) to dark; cells without a value are hatched. The tones fall evenly in
///             lightness, so that the picture reads the same without colour. Cells are squares or, away from the equator,
///             rectangles in the proportion of degrees there, magnified by whole pixels.
///   Domain    one value a cell of the grid, rows from the north; at most 4 million.
///   Accuracy  a class.
///   Cost      one pass.
///   Fails     never.
///   Source    own letters of 5 by 7 points, capitals only; common practice, no source.
Picture map_picture(const radio::CellGrid& grid, std::span<const float> values, MapKind kind,
                    const std::string& title, std::span<const MapMark> marks);

}  // namespace omniway::writers
