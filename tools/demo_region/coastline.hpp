#pragma once

#include <string>
#include <vector>

#include "ground.hpp"

namespace omniway::demo_region {

/// A closed line about land, anticlockwise, the first point not repeated; degrees.
struct Ring {
    struct Point {
        double latitude_deg;
        double longitude_deg;
        bool operator==(const Point&) const = default;
    };
    std::vector<Point> points;
};

/// The coast of a grid: where the ground passes half a metre, between sea and land.
///   Model     marching squares over the nodes, straight between them; then points are left out that the line does without.
///             Outside the grid is sea, so that land cut by its edge is closed along it. A void counts as sea.
///   Domain    grids of country_ground(), whole or in parts; land without lakes at sea level.
///   Accuracy  within two seconds of arc of the contour.
///   Cost      a tenth of a second.
///   Fails     never.
///   Source    marching squares; simplification by Douglas and Peucker.
std::vector<Ring> coastline(const Grid& grid);

/// As GeoJSON: a feature of one Polygon for each ring of each grid, exterior rings anticlockwise.
///   Source    RFC 7946, sections 3.1.6 and 3.1.9.
std::string coastline_geojson(const std::vector<Grid>& grids);

}  // namespace omniway::demo_region
