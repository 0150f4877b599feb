#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "earth/terrain.hpp"

namespace omniway::readers {

/// A raster as the terrain stream names it.
struct RasterFacts {
    std::string file;
    std::string format;
    std::string projection;
    int spacing_arc_seconds = 0;
    friend bool operator==(const RasterFacts&, const RasterFacts&) = default;
};

/// A block as the terrain stream holds it.
struct RasterBlock {
    earth::TerrainBlock block;
    earth::TerrainTile tile;
    double share = 0.0;  // of the work that is done
};

/// The terrain stream taken apart block by block.
///   Model     asks for bytes as it needs them. Every number is held against what it may be: what sends the stream opens files from
///             anywhere and may itself be broken.
///   Domain    docs/terrain-stream.md.
///   Accuracy  exact.
///   Cost      one block in memory.
///   Fails     raster.stream_broken for anything that is not of that form, ends early or goes on after its end; what `pull` gives.
///   Source    docs/terrain-stream.md.
class RasterBlocks {
public:
    /// Fills some of the room, at least one byte, and says how much; 0 at the end of the stream.
    using Pull = std::function<base::Result<std::size_t>(std::span<char> room)>;

    static base::Result<RasterBlocks> begin(Pull pull);

    const std::vector<RasterFacts>& rasters() const { return rasters_; }
    /// Nothing after the last.
    base::Result<std::optional<RasterBlock>> next();

private:
    explicit RasterBlocks(Pull pull) : pull_(std::move(pull)) {}
    base::Result<void> take(std::span<char> bytes);
    template <class Number>
    base::Result<Number> number();
    base::Result<std::string> text();
    base::Result<void> head();

    Pull pull_;
    std::vector<RasterFacts> rasters_;
    std::optional<earth::TerrainBlock> last_;
    std::size_t number_of_blocks_ = 0;
    bool ended_ = false;
};

/// Whether a file is to be read as a raster: by its first bytes, or, where a form has no mark of its own (.hgt) or the file is
/// empty, by its name's ending. A file that cannot be read is none.
bool is_raster_file(const std::string& path);

}  // namespace omniway::readers
