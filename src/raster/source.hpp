#pragma once

#include <memory>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "earth/terrain.hpp"

namespace omniway::raster {

/// A part of the earth between two parallels and two meridians, in degrees; east may exceed 180.
struct Extent {
    double south_deg = 0.0;
    double north_deg = 0.0;
    double west_deg = 0.0;
    double east_deg = 0.0;
};

/// What a raster file says of itself.
struct SourceFacts {
    std::string path;
    std::string format;           // "SRTM HGT", "GeoTIFF" ...
    std::string projection;       // name of its coordinate system
    int spacing_arc_seconds = 0;  // of the node grid that loses nothing of it: 1, 2, 3, 6, 15 or 30
    Extent extent;
};

/// A file of elevations in any projection, asked for the heights of the nodes of a block.
///   Model     one band of heights above mean sea level. A node on the centre of a pixel has that pixel's value exactly; others
///             are bilinear between the four pixels about them, and unknown where one of those is a void. Where pixels are much
///             finer than nodes they are averaged first. A node's height depends on its place alone: blocks that share an edge
///             get the same there. Heights in feet, scales and offsets are taken into account.
///   Domain    GeoTIFF, SRTM .hgt, DTED, ESRI grids, Erdas Imagine, with a coordinate system and a regular grid; heights from
///             -500 to 9,000 m.
///   Accuracy  half a metre of rounding; places within a thousandth of a pixel.
///   Cost      one block about 10 ns a node and the reading of its window; memory of the window.
///   Fails     open(): read.file_missing, read.not_a_file, read.file_empty, read.file_unreadable, raster.not_a_raster,
///             raster.no_projection, raster.band_count, raster.not_elevations, raster.outside_earth, raster.damaged; heights():
///             raster.damaged, raster.absurd_value.
///   Source    GDAL 3.6 raster data model; SRTM topography documentation (NASA), 2.2 for .hgt.
class Source {
public:
    static base::Result<Source> open(const std::string& path);
    Source(Source&&) noexcept;
    Source& operator=(Source&&) noexcept;
    ~Source();

    const SourceFacts& facts() const { return facts_; }
    /// Heights of the nodes in the order of TerrainTile, in metres; NaN where unknown. Opens the file again if it was put away.
    base::Result<std::vector<float>> heights(earth::TerrainBlock block, int nodes_per_side);
    /// Closes the file until it is asked again.
    void put_away();

private:
    struct Opened;
    Source();
    SourceFacts facts_;
    std::unique_ptr<Opened> opened_;
};

}  // namespace omniway::raster
