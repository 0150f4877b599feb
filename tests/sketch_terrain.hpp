#pragma once

#include <cmath>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include "earth/terrain.hpp"
#include "radio/ground.hpp"
#include "radio/horizon.hpp"

namespace omniway::testing {

/// Ground drawn by a function of the place, metres above the sea, none where it is not known: every quarter degree within so many
/// quarters of a place, nodes a sixtieth of a block apart (15 arc-seconds).
struct DrawnGround {
    using Height = std::function<std::optional<double>(double latitude_deg, double longitude_deg)>;

    DrawnGround(earth::Position middle, int quarters, const Height& height)
        : terrain(blocks_about(middle, quarters),
                  [height](earth::TerrainBlock block) { return std::optional(tile(block, height)); }),
          horizons(std::make_unique<radio::Horizons>(terrain)) {}

    radio::Ground ground(radio::ReceptionMode mode = radio::ReceptionMode::terrain) const {
        return {.mode = mode, .horizons = horizons.get(), .terrain = &terrain};
    }

    earth::Terrain terrain;
    std::unique_ptr<radio::Horizons> horizons;

private:
    static std::vector<earth::TerrainBlock> blocks_about(earth::Position middle, int quarters) {
        std::vector<earth::TerrainBlock> blocks;
        const int south = static_cast<int>(std::floor(middle.latitude_deg() * 4.0));
        const int west = static_cast<int>(std::floor(middle.longitude_deg() * 4.0));
        for (int row = south - quarters; row < south + quarters; ++row) {
            for (int column = west - quarters; column < west + quarters; ++column) {
                blocks.push_back({row, column});
            }
        }
        return blocks;
    }

    static earth::TerrainTile tile(earth::TerrainBlock block, const Height& height) {
        constexpr int nodes = 61;
        earth::TerrainTile made;
        made.nodes_per_side = nodes;
        for (int row = 0; row < nodes; ++row) {
            for (int column = 0; column < nodes; ++column) {
                const auto metres = height((block.south_quarters + row / 60.0) * 0.25,
                                           (block.west_quarters + column / 60.0) * 0.25);
                made.metres.push_back(metres ? static_cast<std::int16_t>(std::lround(*metres))
                                             : earth::unknown_ground);
            }
        }
        return made;
    }
};

}  // namespace omniway::testing
