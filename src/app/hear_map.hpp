#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "app/world.hpp"
#include "base/progress.hpp"
#include "radio/coverage.hpp"

namespace omniway::app {

/// What a person types to have a map of what can be heard.
struct HearMapQuestion {
    std::string station;  // empty: all of them together
    std::string area;     // S,W,N,E in degrees
    std::optional<double> altitude_ft;
    double cell_arc_seconds = 60.0;
    std::string out;   // .tif or .png
    std::string kind;  // of a PNG: stations, lowest-one, lowest-two, accuracy
    std::string criteria = "terps";
    std::optional<std::string> reception;
    std::vector<std::string> without;
};

/// A band of a map with what it spans.
struct MapBand {
    std::string name;
    std::size_t cells = 0;  // with a value
    std::optional<float> least;
    std::optional<float> most;
};

struct HeardMap {
    World world;
    std::string out;
    radio::CellGrid grid;
    radio::ReceptionMode mode = radio::ReceptionMode::horizon;
    std::optional<base::Altitude> altitude;  // none for a single station
    std::string station;
    std::string kind;  // of the picture, empty for a GeoTIFF
    std::vector<MapBand> bands;
    std::size_t cells_over_unknown_ground = 0;
};

/// Maps what can be heard and writes it.
///   Model     radio/coverage.hpp over all cells of an area, brought to whole cells from its north-west corner. A GeoTIFF holds
///             every band; a PNG shows one with its legend. Of one station the one band is its lowest usable altitude.
///   Domain    areas within latitudes -90 to 90; W beyond E crosses the antimeridian. Cells of 1 to 3,600 arc-seconds, at most
///             4 million of them; altitudes -1,500 to 60,000 ft.
///   Accuracy  as radio/coverage.hpp.
///   Cost      as radio/coverage.hpp; told and cancelled through `progress`.
///   Fails     with every fault found: app.bad_place, app.out_of_range, app.map_too_large, app.map_form, app.unknown_word,
///             app.altitude_missing, app.unknown_ident, app.ambiguous_ident, app.not_writable, app.cancelled, raster.*, atlas.*. Nothing half-written is left.
///   Source    design sections 2 and 5.
tl::expected<HeardMap, std::vector<base::Error>> hear_map(const std::string& atlas, const Shipped& shipped,
                                                          const HearMapQuestion& question,
                                                          const base::Progress& progress);

}  // namespace omniway::app
