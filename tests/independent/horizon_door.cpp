// The door to radio::Horizon for line_of_sight_test.py: the same arguments, the same questions and the same first column as
// ray_march, answered by the library. The second column is 1 where all ground on the way is known.
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <vector>

#include "earth/terrain.hpp"
#include "radio/horizon.hpp"

int main(int argc, char** argv) {
    using namespace omniway;
    if (argc != 7) {
        return 2;
    }
    std::ifstream file(argv[1], std::ios::binary);
    const std::vector<char> bytes{std::istreambuf_iterator<char>(file), {}};
    const int rows = std::atoi(argv[2]);
    const int columns = std::atoi(argv[3]);
    const int quarter = std::atoi(argv[6]) / 4;
    const auto south = static_cast<int>(std::lround(4.0 * std::atof(argv[4])));
    const auto west = static_cast<int>(std::lround(4.0 * std::atof(argv[5])));
    std::vector<earth::TerrainBlock> blocks;
    for (int north = 0; north < (rows - 1) / quarter; ++north) {
        for (int east = 0; east < (columns - 1) / quarter; ++east) {
            blocks.push_back({south + north, west + east});
        }
    }
    const earth::Terrain terrain(blocks, [&](earth::TerrainBlock block) {
        earth::TerrainTile tile{quarter + 1, {}};
        for (int row = 0; row <= quarter; ++row) {
            for (int column = 0; column <= quarter; ++column) {
                const int from_north = rows - 1 - (block.south_quarters - south) * quarter - row;
                const int from_west = (block.west_quarters - west) * quarter + column;
                const auto at =
                    2 * (static_cast<std::size_t>(from_north) * static_cast<std::size_t>(columns) +
                         static_cast<std::size_t>(from_west));
                const int value =
                    static_cast<unsigned char>(bytes[at]) * 256 + static_cast<unsigned char>(bytes[at + 1]);
                tile.metres.push_back(static_cast<std::int16_t>(value >= 32768 ? value - 65536 : value));
            }
        }
        return tile;
    });
    const radio::Horizons horizons(terrain);
    double lat0 = 0.0;
    double lon0 = 0.0;
    double alt0 = 0.0;
    double lat1 = 0.0;
    double lon1 = 0.0;
    int with_neighbours = 0;  // of no concern here
    while (std::scanf("%lf %lf %lf %lf %lf %d", &lat0, &lon0, &alt0, &lat1, &lon1, &with_neighbours) == 6) {
        const radio::Antenna antenna{earth::Position::degrees(lat0, lon0), base::Altitude::metres(alt0)};
        const auto lowest = horizons.of(antenna, base::Length::nautical_miles(80))
                                ->lowest_seen(earth::Position::degrees(lat1, lon1));
        std::printf("%.3f %d\n", lowest.altitude.metres(), lowest.ground_known ? 1 : 0);
    }
    return 0;
}
