#include "bench/continent_ground.hpp"

#include <cmath>
#include <cstdint>
#include <memory>

namespace omniway::bench {

namespace {

constexpr int nodes_per_side = 31;  // 30 arc-seconds
constexpr double margin_deg = 0.5;

int quarters(double degrees) {
    return static_cast<int>(std::floor(degrees * 4.0));
}

earth::TerrainTile tile_of(const Relief& relief, earth::TerrainBlock block) {
    earth::TerrainTile tile;
    tile.nodes_per_side = nodes_per_side;
    tile.metres.reserve(nodes_per_side * nodes_per_side);
    for (int row = 0; row < nodes_per_side; ++row) {
        for (int column = 0; column < nodes_per_side; ++column) {
            // In whole steps of the grid, so that the edges of neighbours are the same places to the last bit.
            const double latitude = (block.south_quarters * (nodes_per_side - 1) + row) / 120.0;
            const double longitude = (block.west_quarters * (nodes_per_side - 1) + column) / 120.0;
            tile.metres.push_back(static_cast<std::int16_t>(std::lround(relief.metres(latitude, longitude))));
        }
    }
    return tile;
}

}  // namespace

store::Ground continent_ground(const ContinentSize& size, base::Seed seed) {
    struct Walk {
        Relief relief;
        earth::TerrainBlock first;
        earth::TerrainBlock last;
        earth::TerrainBlock next;
    };
    const earth::TerrainBlock first{quarters(size.south_deg - margin_deg),
                                    quarters(size.west_deg - margin_deg)};
    const earth::TerrainBlock last{quarters(size.south_deg + size.height_deg + margin_deg),
                                   quarters(size.west_deg + size.width_deg + margin_deg)};
    const auto walk = std::make_shared<Walk>(Walk{Relief(size, seed), first, last, first});
    store::Ground ground;
    ground.sources = {{"continent", "generated", "geographic", 30}};
    ground.next = [walk]() -> base::Result<std::optional<store::GroundPiece>> {
        if (walk->next > walk->last) {
            return std::nullopt;
        }
        store::GroundPiece piece;
        piece.block = walk->next;
        piece.tile = tile_of(walk->relief, piece.block);
        piece.share = static_cast<double>(piece.block.south_quarters - walk->first.south_quarters) /
                      static_cast<double>(walk->last.south_quarters - walk->first.south_quarters + 1);
        if (++walk->next.west_quarters > walk->last.west_quarters) {
            walk->next = {walk->next.south_quarters + 1, walk->first.west_quarters};
        }
        return piece;
    };
    return ground;
}

}  // namespace omniway::bench
