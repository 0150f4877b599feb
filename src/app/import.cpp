#include "app/import.hpp"

#include <algorithm>
#include <iterator>
#include <optional>
#include <set>
#include <utility>

#include "app/raster_program.hpp"
#include "earth/terrain.hpp"
#include "readers/geojson_coastline.hpp"
#include "readers/navigation_files.hpp"
#include "readers/raster_blocks.hpp"

namespace omniway::app {

namespace {

struct Kinds {
    std::vector<std::string> rasters;
    std::vector<std::string> coastlines;
    std::vector<std::string> navigation;
};

Kinds by_kind(const std::vector<std::string>& files) {
    Kinds kinds;
    for (const std::string& file : files) {
        std::vector<std::string>& kind = readers::is_raster_file(file)    ? kinds.rasters
                                         : readers::is_geojson_file(file) ? kinds.coastlines
                                                                          : kinds.navigation;
        kind.push_back(file);
    }
    return kinds;
}

bool lies_on(const std::set<earth::TerrainBlock>& blocks, earth::Position place) {
    return blocks.contains(earth::block_of(place));
}

// Terrain that no station and no airport lies on is most likely of another part of the earth than was meant.
bool lies_apart(const std::set<earth::TerrainBlock>& blocks, const navdata::Records& records) {
    const bool any = !records.stations.empty() || !records.airports.empty();
    return any && !blocks.empty() &&
           std::none_of(records.stations.begin(), records.stations.end(),
                        [&](const navdata::Station& each) { return lies_on(blocks, navdata::site(each)); }) &&
           std::none_of(records.airports.begin(), records.airports.end(),
                        [&](const navdata::Airport& each) { return lies_on(blocks, each.position); });
}

store::Ground ground_of(RasterReading& reading, std::set<earth::TerrainBlock>& blocks) {
    store::Ground ground;
    for (const readers::RasterFacts& each : reading.rasters()) {
        ground.sources.push_back({each.file, each.format, each.projection, each.spacing_arc_seconds});
    }
    ground.next = [&reading, &blocks]() -> base::Result<std::optional<store::GroundPiece>> {
        auto block = reading.next();
        if (!block) {
            return tl::unexpected(block.error());
        }
        if (!*block) {
            return std::optional<store::GroundPiece>();
        }
        blocks.insert((*block)->block);
        return std::optional(store::GroundPiece{(*block)->block, std::move((*block)->tile), (*block)->share});
    };
    return ground;
}

/// The coastlines of several files, one after the other.
base::Result<readers::CoastlineReading> read_coastlines(const std::vector<std::string>& files) {
    readers::CoastlineReading all;
    for (const std::string& file : files) {
        auto read = readers::read_geojson_coastline_file(file);
        if (!read) {
            return tl::unexpected(read.error());
        }
        std::move(read->value.begin(), read->value.end(), std::back_inserter(all.value));
        std::move(read->diagnostics.begin(), read->diagnostics.end(), std::back_inserter(all.diagnostics));
        all.counts += read->counts;
    }
    return all;
}

}  // namespace

base::Result<Imported> import_files(const std::vector<std::string>& files, const std::string& out,
                                    const Shipped& shipped, std::chrono::sys_days today,
                                    const base::Progress& progress) {
    const auto model = earth::MagneticModel::load(shipped.magnetic());
    if (!model) {
        return tl::unexpected(model.error());
    }
    const Kinds kinds = by_kind(files);
    // Started first: a raster that is of no use is told at once, and the first blocks are made meanwhile.
    std::optional<RasterReading> rasters;
    if (!kinds.rasters.empty()) {
        auto started = RasterReading::start(shipped.raster_program, kinds.rasters, progress);
        if (!started) {
            return tl::unexpected(started.error());
        }
        rasters = std::move(*started);
    }
    auto coastlines = read_coastlines(kinds.coastlines);
    if (!coastlines) {
        return tl::unexpected(coastlines.error());
    }
    base::Result<readers::NavigationFiles> read;
    if (!kinds.navigation.empty() || (kinds.rasters.empty() && kinds.coastlines.empty())) {
        read = readers::read_navigation_files(
            kinds.navigation,
            {today,
             [&](earth::Position place, earth::DecimalYear when) { return model->variation(place, when); }},
            progress);
    }
    if (!read) {
        return tl::unexpected(read.error());
    }
    Imported imported;
    readers::ReadCounts counts = read->counts();
    counts += coastlines->counts;
    imported.rows = counts.rows;
    imported.used = counts.used;
    imported.not_used = counts.not_used;
    imported.diagnostics = std::move(read->diagnostics);
    std::move(coastlines->diagnostics.begin(), coastlines->diagnostics.end(),
              std::back_inserter(imported.diagnostics));
    imported.merged = std::move(read->choices);
    std::set<earth::TerrainBlock> blocks;
    store::Ground ground = rasters ? ground_of(*rasters, blocks) : store::Ground();
    ground.coastline = std::move(coastlines->value);
    auto written = store::write_atlas(read->value, out, progress, ground);
    if (!written) {
        return tl::unexpected(written.error());
    }
    imported.written = std::move(*written);
    if (lies_apart(blocks, read->value)) {
        imported.diagnostics.push_back(
            {"remark.terrain_apart",
             "no station and no airport lies on the ground of these rasters: check that they are of "
             "the part of the earth that is meant",
             kinds.rasters.front()});
    }
    // Which legs of airways can be joined is known only when all rows stand together; the rows themselves are in the atlas.
    base::Loaded<navdata::Snapshot> joined = navdata::Snapshot::build(std::move(read->value));
    std::move(joined.diagnostics.begin(), joined.diagnostics.end(), std::back_inserter(imported.diagnostics));
    return imported;
}

}  // namespace omniway::app
