#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "earth/terrain.hpp"

namespace omniway::store::detail {

/// The heights of a tile as the atlas keeps them: each as its difference from the one before, the lower bytes of all of them and then
/// the upper ones, deflated (docs/atlas.md, "terrain_heights").
std::string packed(const earth::TerrainTile& tile);

/// Nothing where the bytes are not those of a tile with so many nodes.
std::optional<earth::TerrainTile> unpacked(std::string_view bytes, int nodes_per_side);

/// XXH3 (128 bits, seed 0, 32 hexadecimal digits) of a tile: its block, its nodes to a side and its packed heights.
std::string checksum_of_tile(earth::TerrainBlock block, int nodes_per_side, std::string_view packed_heights);

/// The same of a text: of all tiles' checksums, one after the other.
std::string checksum_of_text(std::string_view text);

}  // namespace omniway::store::detail
