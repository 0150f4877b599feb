#pragma once

#include <compare>
#include <cstddef>
#include <cstdint>
#include <functional>
#include <limits>
#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "earth/position.hpp"

namespace omniway::earth {

/// A quarter degree by a quarter degree of the earth, by the whole quarters of its south-west corner: south -360 to 359,
/// west -720 to 719.
struct TerrainBlock {
    int south_quarters = 0;
    int west_quarters = 0;
    friend constexpr auto operator<=>(const TerrainBlock&, const TerrainBlock&) = default;
};

/// The block a place lies in; on a line between two, the one north or east of it.
TerrainBlock block_of(Position place);

/// What a node holds where the ground is not known.
inline constexpr std::int16_t unknown_ground = std::numeric_limits<std::int16_t>::min();

/// The ground of one block: nodes row by row from the south-west corner, rows northward, edges shared with the
/// neighbours. Metres above mean sea level; sea is 0, a void is unknown_ground.
struct TerrainTile {
    int nodes_per_side =
        0;  // spacing is 0.25 degrees / (nodes_per_side - 1): 901 is 1 arc-second, 301 is 3, 151 is 6
    std::vector<std::int16_t> metres;  // nodes_per_side squared

    std::int16_t node(int row, int column) const {
        return metres[static_cast<std::size_t>(row) * static_cast<std::size_t>(nodes_per_side) +
                      static_cast<std::size_t>(column)];
    }
    friend bool operator==(const TerrainTile&, const TerrainTile&) = default;
};

struct TileRelief;

/// The height of the ground wherever it is known; outside its tiles and in voids it is unknown, never flat.
///   Model     tiles of a quarter degree, each loaded when first asked for and kept while the bound allows, the longest unused
///             going first. Bilinear between nodes in latitude and longitude. Copies share what is loaded.
///   Domain    any place. A place on a line between two blocks is answered by either.
///   Accuracy  of the data, plus a bilinear surface's; at a node its value exactly.
///   Cost      one lock and one search among the blocks, plus the load of a tile that is not at hand. Any number of threads; a tile is
///             loaded by one of them, the others wait for it. Kept tiles never exceed the bound, those in callers' hands apart.
///   Fails     never; a tile that `load` does not give is unknown ground. A tile of wrong shape is a bug.
///   Source    design of the atlas: docs/atlas.md, "terrain_tile".
class Terrain {
public:
    using Load = std::function<std::optional<TerrainTile>(TerrainBlock)>;  // called from several threads
    static constexpr std::size_t default_bound_bytes = std::size_t{256} << 20U;

    Terrain();  // nothing known anywhere
    Terrain(std::vector<TerrainBlock> present, Load load, std::size_t bound_bytes = default_bound_bytes,
            std::string checksum = {});

    bool empty() const { return blocks().empty(); }
    const std::vector<TerrainBlock>& blocks() const;  // ascending, each once
    std::shared_ptr<const TerrainTile> tile(
        TerrainBlock block) const;  // null: the block is not there or unreadable
    /// The same tile seen coarsely (earth/relief.hpp), made with it.
    std::shared_ptr<const TileRelief> relief(TerrainBlock block) const;
    std::optional<base::Altitude> elevation(Position place) const;  // none: unknown
    const std::string& checksum() const;                            // equal content, equal checksum

private:
    class Memory;
    std::shared_ptr<Memory> memory_;
};

}  // namespace omniway::earth
