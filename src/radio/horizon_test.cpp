#include "radio/horizon.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "radio/line_of_sight.hpp"

namespace omniway::radio {
namespace {

using base::Length;
using earth::Position;
using earth::Terrain;
using earth::TerrainBlock;
using earth::TerrainTile;

template <class Metres>
TerrainTile tile_over(TerrainBlock block, int nodes_per_side, Metres metres) {
    TerrainTile tile{nodes_per_side, {}};
    for (int row = 0; row < nodes_per_side; ++row) {
        for (int column = 0; column < nodes_per_side; ++column) {
            const double latitude = 0.25 * block.south_quarters + 0.25 * row / (nodes_per_side - 1);
            const double longitude = 0.25 * block.west_quarters + 0.25 * column / (nodes_per_side - 1);
            tile.metres.push_back(static_cast<std::int16_t>(std::lround(metres(latitude, longitude))));
        }
    }
    return tile;
}

/// Ground by a rule of latitude and longitude, over whole degrees.
template <class Metres>
Terrain ground_over(int south_deg, int west_deg, int wide_deg, int nodes_per_side, int high_deg,
                    Metres metres) {
    std::vector<TerrainBlock> blocks;
    for (int row = 0; row < 4 * high_deg; ++row) {
        for (int column = 0; column < 4 * wide_deg; ++column) {
            blocks.push_back({4 * south_deg + row, (4 * west_deg + column + 720) % 1440 - 720});
        }
    }
    return Terrain(blocks, [=](TerrainBlock block) { return tile_over(block, nodes_per_side, metres); });
}

Antenna antenna_at(double latitude_deg, double longitude_deg, double altitude_m) {
    return {Position::degrees(latitude_deg, longitude_deg), base::Altitude::metres(altitude_m)};
}

// Handbook rule of line_of_sight.hpp (within 0.1 % in distance, so 0.4 % in the height beyond the antenna's own horizon), and the 2 m of the shadow line.
TEST(TruthHorizon, OverTheSeaAgreesWithTheHandbookRule) {
    const Terrain sea = ground_over(10, 20, 5, 31, 5, [](double, double) { return 0.0; });
    const Antenna antenna = antenna_at(12.3, 22.4, 60.0);
    const Horizon horizon = horizon_of(sea, antenna, Length::nautical_miles(100), {});
    for (const double nm : {30.0, 60.0, 95.0}) {
        for (const double direction : {3.0, 88.0, 181.0, 271.0}) {
            const Position place = earth::destination(antenna.position, base::TrueBearing::degrees(direction),
                                                      Length::nautical_miles(nm));
            const LowestSight lowest = horizon.lowest_seen(place);
            EXPECT_TRUE(lowest.ground_known) << nm << " " << direction;
            EXPECT_EQ(lowest.limit, SightLimit::smooth_earth);
            EXPECT_EQ(lowest.obstacle, Length());
            const double beyond_feet = std::pow(nm / 1.23 - std::sqrt(antenna.altitude.feet()), 2.0);
            EXPECT_GT(lowest.altitude.feet(), 0.996 * beyond_feet) << nm;
            EXPECT_LT(lowest.altitude.metres(), 1.004 * Length::feet(beyond_feet).metres() + 2.0) << nm;
        }
    }
}

TEST(LawHorizon, ItsBytesGiveItBackAndNothingElseDoes) {
    const Terrain hills = ground_over(10, 20, 1, 151, 1, [](double lat, double lon) {
        return 300.0 + 200.0 * std::sin(lat * 90.0) * std::cos(lon * 70.0);
    });
    const Antenna antenna = antenna_at(10.4, 20.6, 520.0);
    const Horizon horizon = horizon_of(hills, antenna, Length::nautical_miles(20), {});
    std::vector<std::byte> bytes = horizon.to_bytes();
    const auto again = Horizon::from_bytes(bytes);
    ASSERT_TRUE(again);
    for (double lat = 10.2; lat < 10.7; lat += 0.01) {
        for (double lon = 20.3; lon < 20.9; lon += 0.01) {
            EXPECT_EQ(horizon.lowest_seen(Position::degrees(lat, lon)),
                      again->lowest_seen(Position::degrees(lat, lon)));
        }
    }
    for (std::size_t size = 0; size < bytes.size(); size += 1 + size / 3) {
        EXPECT_FALSE(Horizon::from_bytes(std::span(bytes).first(size))) << size;
    }
    bytes.push_back(std::byte{0});
    EXPECT_FALSE(Horizon::from_bytes(bytes));
}

/// Hills that mean the same at any latitude and on either side of the date line: by metres north and east of a place.
struct Hills {
    double latitude_deg;
    double longitude_deg;

    double metres(double latitude, double longitude) const {
        const double east_deg = std::remainder(longitude - longitude_deg, 360.0);
        const double north_km = (latitude - latitude_deg) * 111.2;
        const double east_km = east_deg * 111.2 * std::cos(latitude * std::numbers::pi / 180.0);
        return 400.0 + 250.0 * std::sin(north_km / 3.1) * std::cos(east_km / 4.3) +
               60.0 * std::sin(north_km / 1.1 + east_km / 0.9);
    }
};

/// The lowest altitude seen by brute force: the rule of the ground itself, every 20 m along GeographicLib's geodesic.
double marched_m(const Hills& hills, const Antenna& antenna, Position place) {
    constexpr double radius_m = 4.0 / 3.0 * 6371008.8;
    const auto line = earth::geodesic(antenna.position, place);
    const double antenna_m = antenna.altitude.metres();
    double steepest = -1e30;
    for (double s = 50.0; s < line.distance.metres(); s += 20.0) {
        const Position here = earth::destination(antenna.position, line.initial, Length::metres(s));
        const double r = radius_m + hills.metres(here.latitude_deg(), here.longitude_deg());
        const double angle = s / radius_m;
        steepest = std::max(steepest, (r * std::cos(angle) - radius_m - antenna_m) / (r * std::sin(angle)));
    }
    const double angle = line.distance.metres() / radius_m;
    return (radius_m + antenna_m) / (std::cos(angle) - steepest * std::sin(angle)) - radius_m;
}

/// Errors at places all around an antenna that stands 150 m above the hills, in order.
std::vector<double> errors_around(const Terrain& terrain, const Hills& hills, const Antenna& antenna) {
    const Horizon horizon = horizon_of(terrain, antenna, Length::nautical_miles(25), {});
    std::vector<double> errors_m;
    for (double direction = 1.0; direction < 360.0; direction += 7.3) {
        for (const double nm : {4.0, 11.0, 19.0, 24.0}) {
            const Position place = earth::destination(antenna.position, base::TrueBearing::degrees(direction),
                                                      Length::nautical_miles(nm));
            const LowestSight lowest = horizon.lowest_seen(place);
            EXPECT_TRUE(lowest.ground_known) << direction << " " << nm;
            errors_m.push_back(lowest.altitude.metres() - marched_m(hills, antenna, place));
        }
    }
    std::sort(errors_m.begin(), errors_m.end());
    return errors_m;
}

// 0.25 degrees over 300 is 93 m: half a node of these hills is worth 10 m, the shadow line's own 2 m.
TEST(BruteHorizon, AtHighLatitudesItAgreesWithRaysAlongGeodesics) {
    for (const double latitude : {60.3, -81.4, 84.2}) {
        const Hills hills{latitude, 20.5};
        const Terrain terrain = ground_over(static_cast<int>(std::floor(latitude)) - 1, 10, 22, 301, 3,
                                            [=](double lat, double lon) { return hills.metres(lat, lon); });
        const Antenna antenna = antenna_at(latitude, 20.5, hills.metres(latitude, 20.5) + 150.0);
        const std::vector<double> errors_m = errors_around(terrain, hills, antenna);
        EXPECT_NEAR(errors_m[errors_m.size() / 2], 1.0, 2.0) << latitude;
        EXPECT_GT(errors_m[errors_m.size() / 50], -12.0) << latitude;
        EXPECT_LT(errors_m[errors_m.size() * 49 / 50], 12.0) << latitude;
    }
}

TEST(BruteHorizon, AcrossTheDateLineItIsTheSameAsElsewhere) {
    const auto around = [](int west_deg, double longitude) {
        const Hills hills{-16.2, longitude};
        const Terrain terrain = ground_over(-17, west_deg, 2, 301, 2,
                                            [=](double lat, double lon) { return hills.metres(lat, lon); });
        return errors_around(terrain, hills,
                             antenna_at(-16.2, longitude, hills.metres(-16.2, longitude) + 150.0));
    };
    const std::vector<double> elsewhere = around(99, 99.95);
    for (const double longitude : {179.95, -180.0, -179.95}) {
        const std::vector<double> here = around(179, longitude);
        EXPECT_GT(here[here.size() / 50], -12.0) << longitude;
        EXPECT_LT(here[here.size() * 49 / 50], 12.0) << longitude;
        EXPECT_NEAR(here[here.size() / 2], elsewhere[elsewhere.size() / 2], 1.0) << longitude;
    }
}

TEST(BruteHorizon, TilesOfDifferentSpacingMeetWithoutASeam) {
    const Hills hills{46.5, 8.5};
    std::vector<TerrainBlock> blocks;
    for (int row = 0; row < 8; ++row) {
        for (int column = 0; column < 8; ++column) {
            blocks.push_back({4 * 45 + 2 + row, 4 * 7 + 2 + column});
        }
    }
    const Terrain terrain(blocks, [&](TerrainBlock block) {
        const int nodes = (block.south_quarters + block.west_quarters) % 2 == 0 ? 301 : 151;
        return tile_over(block, nodes, [&](double lat, double lon) { return hills.metres(lat, lon); });
    });
    const std::vector<double> errors_m =
        errors_around(terrain, hills, antenna_at(46.5, 8.5, hills.metres(46.5, 8.5) + 150.0));
    EXPECT_GT(errors_m[errors_m.size() / 50], -20.0);  // 6 arc-seconds are 185 m
    EXPECT_LT(errors_m[errors_m.size() * 49 / 50], 20.0);
}

// A plain at 100 m, a wall of 500 m seen end on, one node wide at an odd node, and a second tile so far away that a raster of both has more
// than 48 million nodes.
TEST(TruthHorizon, ThinnedGroundKeepsTheHighestOfWhatIsMerged) {
    constexpr TerrainBlock home{4 * 46, 4 * 8};
    constexpr int tower_row = 601;
    const Terrain terrain({home, {4 * 48, 4 * 8 + 11}}, [home](TerrainBlock block) {
        TerrainTile tile = tile_over(block, 901, [](double, double) { return 100.0; });
        if (block == home) {
            tile.metres[tower_row * 901 + 451] = 500;
            tile.metres[(tower_row + 1) * 901 + 451] = 500;
        }
        return tile;
    });
    const double longitude = 8.0 + 451.0 / 3600.0;
    const Antenna antenna = antenna_at(46.125, longitude, 120.0);
    const Horizon horizon = horizon_of(terrain, antenna, Length::nautical_miles(190), {});
    const Position tower = Position::degrees(46.0 + tower_row / 3600.0, longitude);
    const Position place = Position::degrees(46.0 + 870.0 / 3600.0, longitude);
    const LowestSight lowest = horizon.lowest_seen(place);
    const double share = earth::distance(antenna.position, place) / earth::distance(antenna.position, tower);
    EXPECT_GT(lowest.altitude.metres(),
              120.0 + 380.0 * share - 3.0);  // by proportion; the earth falls 4 m here
    EXPECT_EQ(lowest.limit, SightLimit::terrain);
    EXPECT_NEAR(lowest.obstacle / earth::distance(antenna.position, tower), 1.0, 0.05);
    EXPECT_TRUE(lowest.ground_known);
}

}  // namespace
}  // namespace omniway::radio
