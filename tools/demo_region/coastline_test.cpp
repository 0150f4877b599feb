// Holds the written coastline to RFC 7946 and to the written terrain.

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <fstream>
#include <iterator>
#include <map>
#include <random>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include "coastline.hpp"
#include "ground.hpp"
#include "written_terrain.hpp"

namespace omniway::demo_region {

namespace {

const WrittenTerrain& terrain() {
    static const WrittenTerrain written = WrittenTerrain::from_file(DEMO_TERRAIN);
    return written;
}

struct Vertex {
    double longitude;
    double latitude;
    bool operator==(const Vertex&) const = default;
};
using Polygon = std::vector<Vertex>;

/// The rings of a text of Polygons without holes, each number taken as it stands.
std::vector<Polygon> polygons(const std::string& text) {
    std::vector<Polygon> found;
    const std::string begin = "\"coordinates\":[[";
    for (std::size_t at = text.find(begin); at != std::string::npos; at = text.find(begin, at)) {
        at += begin.size();
        const std::size_t end = text.find("]]]", at);
        std::string ring = text.substr(at, end - at);
        std::replace_if(
            ring.begin(), ring.end(), [](char c) { return c == '[' || c == ']' || c == ','; }, ' ');
        std::istringstream numbers(ring);
        Polygon polygon;
        for (Vertex vertex{}; numbers >> vertex.longitude >> vertex.latitude;) {
            polygon.push_back(vertex);
        }
        found.push_back(std::move(polygon));
    }
    return found;
}

const std::vector<Polygon>& coast() {
    static const std::vector<Polygon> read = [] {
        std::ifstream file(DEMO_COASTLINE);
        return polygons(std::string(std::istreambuf_iterator<char>(file), {}));
    }();
    return read;
}

double twice_area(const Polygon& polygon) {
    double sum = 0.0;
    for (std::size_t i = 0; i + 1 < polygon.size(); ++i) {
        sum +=
            polygon[i].longitude * polygon[i + 1].latitude - polygon[i + 1].longitude * polygon[i].latitude;
    }
    return sum;
}

bool inside(const Polygon& polygon, double latitude, double longitude) {
    bool within = false;
    for (std::size_t i = 0; i + 1 < polygon.size(); ++i) {
        const Vertex& a = polygon[i];
        const Vertex& b = polygon[i + 1];
        if ((a.latitude > latitude) != (b.latitude > latitude) &&
            longitude < a.longitude + (b.longitude - a.longitude) * (latitude - a.latitude) /
                                          (b.latitude - a.latitude)) {
            within = !within;
        }
    }
    return within;
}

bool on_land(const std::vector<Polygon>& all, double latitude, double longitude) {
    return std::any_of(all.begin(), all.end(),
                       [&](const Polygon& each) { return inside(each, latitude, longitude); });
}

/// Which side of a line a vertex is on, exactly: coordinates are whole hundred-thousandths of a degree.
int side(const Vertex& a, const Vertex& b, const Vertex& c) {
    const auto whole = [](double degrees) { return std::llround(degrees * 1.0e5); };
    const long long cross =
        (whole(b.longitude) - whole(a.longitude)) * (whole(c.latitude) - whole(a.latitude)) -
        (whole(b.latitude) - whole(a.latitude)) * (whole(c.longitude) - whole(a.longitude));
    return cross > 0 ? 1 : cross < 0 ? -1 : 0;
}

std::size_t crossings(const Polygon& polygon) {
    std::size_t found = 0;
    for (std::size_t i = 0; i + 1 < polygon.size(); ++i) {
        for (std::size_t j = i + 2; j + 1 < polygon.size(); ++j) {
            if (i == 0 && j + 2 == polygon.size()) {
                continue;  // neighbours round the closing vertex
            }
            found += side(polygon[i], polygon[i + 1], polygon[j]) !=
                                 side(polygon[i], polygon[i + 1], polygon[j + 1]) &&
                             side(polygon[j], polygon[j + 1], polygon[i]) !=
                                 side(polygon[j], polygon[j + 1], polygon[i + 1])
                         ? 1
                         : 0;
        }
    }
    return found;
}

void expect_rfc_7946(const std::vector<Polygon>& all) {
    for (const Polygon& polygon : all) {
        ASSERT_GE(polygon.size(), 4U);
        EXPECT_EQ(polygon.front(), polygon.back());
        EXPECT_GT(twice_area(polygon), 0.0) << "an exterior ring is anticlockwise";
        EXPECT_EQ(crossings(polygon), 0U) << polygon.front().longitude << ' ' << polygon.front().latitude;
        for (const Vertex& vertex : polygon) {
            EXPECT_LE(std::abs(vertex.longitude), 180.0);
            EXPECT_LE(std::abs(vertex.latitude), 90.0);
        }
    }
}

Grid written_grid() {
    return {25950, -103800, terrain().rows(), terrain().columns(), terrain().metres()};
}

}  // namespace

// RFC 7946 3.1.6: closed, four positions or more, exterior rings anticlockwise; and no ring crosses itself.
TEST(TruthDemoCoastline, RingsAreClosedAnticlockwiseAndNeverCrossThemselves) {
    EXPECT_GE(coast().size(), 5U);
    expect_rfc_7946(coast());
}

TEST(LawDemoCoastline, TheGreatIslandAndItsFourNeighboursStandOutAmongTheIslets) {
    std::vector<double> areas;
    for (const Polygon& polygon : coast()) {
        areas.push_back(twice_area(polygon) / 2.0 * 3600.0 * 0.76);  // square miles
    }
    std::sort(areas.rbegin(), areas.rend());
    ASSERT_GE(areas.size(), 5U);
    EXPECT_GT(areas[0], 10000.0);
    EXPECT_GT(areas[4], 100.0);
    EXPECT_LT(areas[1], 1000.0);
}

// Away from the line by two nodes, inside is land and outside is sea: a random tenth of the nodes near the coast.
TEST(BruteDemoCoastline, InsideIsLandAndOutsideIsSea) {
    std::mt19937 random(20261125);
    const auto all_alike = [](int row, int column) {
        const bool land = terrain().at(row, column) > 0;
        for (int i = -2; i <= 2; ++i) {
            for (int j = -2; j <= 2; ++j) {
                if ((terrain().at(row + i, column + j) > 0) != land) {
                    return false;
                }
            }
        }
        return true;
    };
    int compared = 0;
    int land = 0;
    while (compared < 20000) {
        const int row = 300 + static_cast<int>(random() % 2700);
        const int column = 300 + static_cast<int>(random() % 4200);
        if (!all_alike(row, column)) {
            continue;
        }
        ++compared;
        land += terrain().at(row, column) > 0 ? 1 : 0;
        ASSERT_EQ(on_land(coast(), 43.25 - row / 600.0, -173.0 + column / 600.0),
                  terrain().at(row, column) > 0)
            << row << ' ' << column;
    }
    EXPECT_GT(land, 1000);
}

// RFC 7946 3.1.9: what lies across the antimeridian is cut so that no part crosses it, and the land is the same.
TEST(TruthDemoCoastline, AcrossTheAntimeridianIslandsAreCutAlongIt) {
    const std::vector<Polygon> cut = polygons(coastline_geojson(moved(written_grid(), -9)));
    expect_rfc_7946(cut);
    bool along_the_east = false;
    bool along_the_west = false;
    double area = 0.0;
    for (const Polygon& polygon : cut) {
        const auto [west, east] =
            std::minmax_element(polygon.begin(), polygon.end(),
                                [](const Vertex& a, const Vertex& b) { return a.longitude < b.longitude; });
        EXPECT_LT(east->longitude - west->longitude, 10.0) << "a part crosses the antimeridian";
        along_the_east = along_the_east || east->longitude == 180.0;
        along_the_west = along_the_west || west->longitude == -180.0;
        area += twice_area(polygon);
    }
    EXPECT_TRUE(along_the_east);
    EXPECT_TRUE(along_the_west);
    double whole = 0.0;
    for (const Polygon& polygon : coast()) {
        whole += twice_area(polygon);
    }
    EXPECT_NEAR(area, whole, 1.0e-4 * whole);
}

// One node of land among the sea: a diamond through the middles of its four edges, at half of a metre.
TEST(TruthDemoCoastline, ALoneNodeIsADiamond) {
    const Grid grid{
        600, 0, 5, 5, {0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0, 0}};
    const std::vector<Ring> rings = coastline(grid);
    ASSERT_EQ(rings.size(), 1U);
    ASSERT_EQ(rings[0].points.size(), 4U);
    for (const Ring::Point& point : rings[0].points) {
        EXPECT_NEAR(
            std::abs(point.latitude_deg - 598.0 / 600.0) + std::abs(point.longitude_deg - 2.0 / 600.0),
            0.5 / 600.0, 1.1e-5);
    }
}

}  // namespace omniway::demo_region
