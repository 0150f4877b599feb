// Holds the written terrain to what country.hpp says of the land and to what docs/demo-region.md says of it, with profiles of its
// own; the file is read back by written_terrain.hpp.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <limits>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include <GeographicLib/Geodesic.hpp>

#include "country.hpp"
#include "geotiff.hpp"
#include "ground.hpp"
#include "records.hpp"
#include "written_terrain.hpp"

namespace omniway::demo_region {

namespace {

constexpr double feet_per_metre = 1.0 / 0.3048;

const WrittenTerrain& terrain() {
    static const WrittenTerrain written = WrittenTerrain::from_file(DEMO_TERRAIN);
    return written;
}

const Records& records() {
    static const Records country = country_records();
    return country;
}

/// What a transmitter needs for its line of sight.
struct Mast {
    Place place;
    double antenna_m;
};

/// Five metres above the ground: no record of the country says more.
Mast mast(const std::string& ident) {
    const Place place = records().points.at(ident).place;
    return {place, terrain().height_m(place.latitude_deg(), place.longitude_deg()) + 5.0};
}

constexpr double radio_earth_m = 6371000.0 * 4.0 / 3.0;

/// The lowest altitude at a place that the straight line over an earth of four thirds the radius (ITU-R P.834, the standard
/// atmosphere) leaves above every point of the ground: each point of the profile, fifty metres apart, hides what is below the
/// line over its top.
struct Sight {
    double smooth_ft;  // were there no ground but the sea
    double terrain_ft;
    double obstacle_nm;  // from the station
    double distance_nm;
};

Sight sight(const Mast& from, double latitude_deg, double longitude_deg) {
    const GeographicLib::Geodesic& earth = GeographicLib::Geodesic::WGS84();
    double whole_m = 0.0;
    double azimuth = 0.0;
    double arriving = 0.0;
    earth.Inverse(from.place.latitude_deg(), from.place.longitude_deg(), latitude_deg, longitude_deg, whole_m,
                  azimuth, arriving);
    double steepest = -1.0;
    double obstacle_m = 0.0;
    for (double away_m = 100.0; away_m < whole_m - 50.0; away_m += 50.0) {
        double latitude = 0.0;
        double longitude = 0.0;
        earth.Direct(from.place.latitude_deg(), from.place.longitude_deg(), azimuth, away_m, latitude,
                     longitude);
        const double top_m =
            terrain().height_m(latitude, longitude) - away_m * away_m / (2.0 * radio_earth_m);
        if (const double slope = (top_m - from.antenna_m) / away_m; slope > steepest) {
            steepest = slope;
            obstacle_m = away_m;
        }
    }
    const double bulge_m = whole_m * whole_m / (2.0 * radio_earth_m);
    const double to_horizon_m = std::sqrt(2.0 * radio_earth_m * from.antenna_m);
    const double beyond_m = std::max(whole_m - to_horizon_m, 0.0);
    return {beyond_m * beyond_m / (2.0 * radio_earth_m) * feet_per_metre,
            (from.antenna_m + steepest * whole_m + bulge_m) * feet_per_metre, obstacle_m / 1852.0,
            whole_m / 1852.0};
}

/// A bearing aid or lone DME, or a beacon, whose service volume holds a place: AIM tables 1-1-1 and 1-1-2 (trade-facts 1.1, 1.2):
/// forty miles of a low or a high station and 25 of a terminal one from 1,000 ft above it; beacons 75, 50, 25, 15 miles.
std::vector<std::string> served_by(double latitude_deg, double longitude_deg, double altitude_ft) {
    std::vector<std::string> found;
    for (const VhfStation& station : records().vhf_stations) {
        if (!station.airport.empty()) {
            continue;  // the DME of a localizer goes with it
        }
        const Sight view = sight(mast(station.ident), latitude_deg, longitude_deg);
        const double radius_nm = station.vhf_class[2] == 'T' ? 25.0 : 40.0;
        if (view.distance_nm <= radius_nm && altitude_ft >= view.smooth_ft &&
            altitude_ft >= mast(station.ident).antenna_m * feet_per_metre + 1000.0) {
            found.push_back(station.ident);
        }
    }
    for (const Localizer& localizer : records().localizers) {
        if (sight(mast(localizer.ident), latitude_deg, longitude_deg).distance_nm <= 18.0) {
            found.push_back(localizer.ident);
        }
    }
    for (const Beacon& beacon : records().beacons) {
        const std::map<std::string, double> radius = {
            {"H HW", 75.0}, {"H  W", 50.0}, {"H MW", 25.0}, {"HOLW", 15.0}};
        if (sight(mast(beacon.ident), latitude_deg, longitude_deg).distance_nm <=
            radius.at(beacon.beacon_class)) {
            found.push_back(beacon.ident);
        }
    }
    return found;
}

bool is_land(std::int16_t metres) {
    return metres > 0;  // a void is far below
}

}  // namespace

TEST(TruthDemoGround, TheFrameStandsOnWholeMultiplesOfSixSecondsAndHoldsHalfADegreeOfSea) {
    EXPECT_EQ(terrain().step_deg(), 1.0 / 600.0);
    EXPECT_EQ(terrain().north_deg(), 43.25);
    EXPECT_EQ(terrain().west_deg(), -173.0);
    EXPECT_EQ(terrain().rows(), 3301);
    EXPECT_EQ(terrain().columns(), 4801);
    EXPECT_EQ(terrain().no_data(), -32768);
    for (int row = 0; row < terrain().rows(); ++row) {
        for (int column = 0; column < terrain().columns(); ++column) {
            if (is_land(terrain().at(row, column))) {
                ASSERT_TRUE(row >= 300 && row < 3001 && column >= 300 && column < 4501)
                    << row << ' ' << column;
            }
        }
    }
}

// Every airport pair's great circle stays within the frame: the corners of the hull of the airports do.
TEST(LawDemoGround, EveryAirportAndStationLiesHalfADegreeWithinTheFrame) {
    for (const auto& [key, point] : records().points) {
        EXPECT_GE(point.place.latitude_deg(), 38.25) << key;
        EXPECT_LE(point.place.latitude_deg(), 42.75) << key;
        EXPECT_GE(point.place.longitude_deg(), -172.5) << key;
        EXPECT_LE(point.place.longitude_deg(), -165.5) << key;
    }
}

TEST(LawDemoGround, TwoRectanglesOfSeaAreUnknownAndNothingElse) {
    std::size_t unknown = 0;
    for (const std::int16_t metres : terrain().metres()) {
        unknown += metres == terrain().no_data() ? 1 : 0;
        ASSERT_TRUE(metres >= 0 || metres == terrain().no_data());
    }
    EXPECT_EQ(unknown, 151U * 301U + 61U * 151U);
    EXPECT_TRUE(std::isnan(terrain().height_m(43.1, -165.2)));
    EXPECT_TRUE(std::isnan(terrain().height_m(37.8, -172.9)));
    EXPECT_EQ(terrain().height_m(42.99, -165.2), 0.0);
    EXPECT_EQ(terrain().height_m(37.9, -172.9), 0.0);
}

TEST(LawDemoGround, EveryMountainReachesItsHeightWithinFiftyFeet) {
    for (const Mountain& mountain : mountains()) {
        EXPECT_NEAR(terrain().highest_m(mountain.north / 100.0, mountain.east / 100.0, 0.5) * feet_per_metre,
                    mountain.top_ft, 50.0)
            << mountain.name;
    }
    EXPECT_NEAR(*std::max_element(terrain().metres().begin(), terrain().metres().end()) * feet_per_metre,
                7900.0, 50.0);
}

// Land that is rough as land is: neighbours differ, slopes stay below cliffs.
TEST(LawDemoGround, SlopesAreThoseOfMountainsAndNotOfCliffs) {
    std::size_t land = 0;
    std::size_t steep = 0;  // more than 30 degrees
    double most = 0.0;
    for (int row = 1; row < terrain().rows(); ++row) {
        const double across_m = 185.3 * std::cos((43.25 - row / 600.0) / 57.29577951308232);
        for (int column = 1; column < terrain().columns(); ++column) {
            const std::int16_t here = terrain().at(row, column);
            if (!is_land(here) || !is_land(terrain().at(row, column - 1)) ||
                !is_land(terrain().at(row - 1, column))) {
                continue;
            }
            ++land;
            const double slope = std::hypot((here - terrain().at(row, column - 1)) / across_m,
                                            (here - terrain().at(row - 1, column)) / 185.2);
            steep += slope > 0.577 ? 1 : 0;
            most = std::max(most, slope);
        }
    }
    EXPECT_GT(land, 1500000U);
    EXPECT_LT(most, 2.0);
    EXPECT_LT(static_cast<double>(steep), 0.02 * static_cast<double>(land));
    RecordProperty("steepest", std::to_string(most));
}

// docs/demo-region.md, "What the mountains hide": XKE is hidden from the windward side of the range.
TEST(TruthDemoGround, TheRangeHidesXkeWhereItsServiceVolumeAndTheSmoothEarthDoNot) {
    const Sight view = sight(mast("XKE"), 40.652, -169.477);
    EXPECT_LE(view.distance_nm, 40.0);
    EXPECT_LT(view.smooth_ft, 5500.0 - 1000.0);
    EXPECT_GT(view.terrain_ft, 5500.0 + 1000.0);
    EXPECT_GT(view.obstacle_nm, 20.0);
    EXPECT_LT(terrain().height_m(40.652, -169.477) * feet_per_metre, 5500.0 - 1000.0);
    const std::vector<std::string> served = served_by(40.652, -169.477, 5500.0);
    EXPECT_NE(std::find(served.begin(), served.end(), "XKE"), served.end());
}

// The same page: in the valley between the Xumarl hills and the Xorrel downs XBN alone is heard.
TEST(TruthDemoGround, InTheValleyOfXavelOneAidAloneIsHeard) {
    constexpr double latitude = 40.85;
    constexpr double longitude = -167.92;
    constexpr double altitude_ft = 2100.0;
    EXPECT_EQ(served_by(latitude, longitude, altitude_ft), (std::vector<std::string>{"XDV", "XBN"}));
    EXPECT_GT(sight(mast("XDV"), latitude, longitude).terrain_ft, altitude_ft + 100.0);
    EXPECT_LT(sight(mast("XBN"), latitude, longitude).terrain_ft, altitude_ft - 100.0);
    // A valley: the ground rises by more than 500 ft on either side, the hills of Xumarl and the downs of Xorrel.
    const double floor_ft = terrain().height_m(latitude, longitude) * feet_per_metre;
    EXPECT_GT(terrain().highest_m(40.95, -168.35, 5.0) * feet_per_metre, floor_ft + 500.0);
    EXPECT_GT(terrain().highest_m(40.77, -167.80, 3.0) * feet_per_metre, floor_ft + 500.0);
}

// Where the region lies on both sides of the antimeridian there are two grids that share it, with the same heights.
TEST(LawDemoGround, MovingTheGroundChangesNothingButItsLongitude) {
    const Grid grid{25950, -103800, terrain().rows(), terrain().columns(), terrain().metres()};
    const auto starts = [](const std::vector<Grid>& grids) {
        std::vector<std::pair<int, int>> found;
        for (const Grid& part : grids) {
            found.emplace_back(part.west / 600, part.columns);
        }
        return found;
    };
    using Starts = std::vector<std::pair<int, int>>;
    EXPECT_EQ(starts(moved(grid, 0)), (Starts{{-173, 4801}}));
    EXPECT_EQ(starts(moved(grid, 30)), (Starts{{-143, 4801}}));
    EXPECT_EQ(starts(moved(grid, 173)), (Starts{{0, 4801}}));
    EXPECT_EQ(starts(moved(grid, -7)), (Starts{{-180, 4801}}));
    EXPECT_EQ(starts(moved(grid, -15)), (Starts{{172, 4801}}));
    EXPECT_EQ(starts(moved(grid, 345)), (Starts{{172, 4801}}));
    const std::vector<Grid> split = moved(grid, -9);
    EXPECT_EQ(starts(split), (Starts{{178, 1201}, {-180, 3601}}));
    for (int row = 0; row < grid.rows; row += 7) {
        for (int column = 0; column < grid.columns; ++column) {
            const std::int16_t now =
                column <= 1200 ? split[0].at(row, column) : split[1].at(row, column - 1200);
            ASSERT_EQ(now, grid.at(row, column));
        }
        ASSERT_EQ(split[0].at(row, 1200), split[1].at(row, 0));
    }
}

// TIFF 6.0 and GeoTIFF 1.1 through a reader of its own; odd sizes, extremes, a last strip that is short.
TEST(TruthDemoGround, AGeoTiffIsReadBackAsItWas) {
    Grid grid{600, 107990, 131, 11, {}};
    for (int i = 0; i < 131 * 11; ++i) {
        grid.metres.push_back(static_cast<std::int16_t>(i % 97 == 0   ? INT16_MIN
                                                        : i % 89 == 0 ? INT16_MAX
                                                                      : 37 * i));
    }
    const WrittenTerrain read(geotiff(grid));
    EXPECT_EQ(read.rows(), 131);
    EXPECT_EQ(read.columns(), 11);
    EXPECT_EQ(read.metres(), grid.metres);
    EXPECT_EQ(read.north_deg(), 1.0);
    EXPECT_EQ(read.west_deg(), 107990 / 600.0);
}

// Non-regression: the heights are the same on every machine. FNV-1a of 64 bits over the samples as little-endian bytes, row by
// row from the north; a change of the land changes it, and the reason stands in the commit.
TEST(GoldenDemoGround, TheHeightsAreTheSameNumbers) {
    std::uint64_t sum = 14695981039346656037U;
    for (const std::int16_t metres : terrain().metres()) {
        for (const unsigned shift : {0U, 8U}) {
            sum = (sum ^ (static_cast<std::uint16_t>(metres) >> shift & 0xFFU)) * 1099511628211U;
        }
    }
    EXPECT_EQ(sum, 15615898215264192034U);
}

}  // namespace omniway::demo_region
