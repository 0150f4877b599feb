// Gates of the line of sight, against GDAL's viewshed, an exact profile and a geodesic of GeographicLib, all in one run. A
// program of its own because nothing else of ours links GDAL beside the import of rasters. Ends with status 1 where a gate
// does not hold; times are of the processor, on one thread, the best of several by turns, but for the horizons from nothing:
// those are by the clock.

#include <cpl_conv.h>
#include <gdal.h>
#include <gdal_alg.h>
#include <gdalwarper.h>
#include <sys/resource.h>

#include <GeographicLib/Geodesic.hpp>
#include <algorithm>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <map>
#include <random>
#include <string>
#include <string_view>
#include <thread>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "earth/terrain.hpp"
#include "radio/horizon.hpp"
#include "radio/sweep.hpp"

namespace {

using omniway::base::Length;

constexpr double effective_radius_m = 4.0 / 3.0 * 6371008.8;
constexpr double mast_m = 10.0;
bool all_hold = true;

void gate(const std::string& name, double value, double bound, const char* unit) {
    const bool holds = value <= bound;
    all_hold = all_hold && holds;
    fmt::print("gate   {:<44} {:>9.3f} of {:.3f} {}  {}\n", name, value, bound, unit,
               holds ? "holds" : "DOES NOT HOLD");
}

double processor_s() {
    rusage used;
    getrusage(RUSAGE_SELF, &used);
    const auto seconds = [](const timeval& t) {
        return static_cast<double>(t.tv_sec) + 1e-6 * static_cast<double>(t.tv_usec);
    };
    return seconds(used.ru_utime) + seconds(used.ru_stime);
}

template <class F>
double timed_s(F f) {
    const double begin = processor_s();
    f();
    return processor_s() - begin;
}

/// Fractal ground in whole metres, the middle of a diamond-and-square surface: relief falls by `fall` a halving of the scale.
std::vector<float> rough_ground(int order, int side, double range_m, float fall) {
    const int full = (1 << order) + 1;
    std::vector<float> height(static_cast<std::size_t>(full) * static_cast<std::size_t>(full), 0.0F);
    std::mt19937 chance(7);
    float amplitude = 1.0F;
    const auto shift = [&] {
        return amplitude * static_cast<float>(static_cast<double>(chance()) / 2147483648.0 - 1.0);
    };
    const auto at = [&](int row, int column) -> float& {
        return height[static_cast<std::size_t>(row) * static_cast<std::size_t>(full) +
                      static_cast<std::size_t>(column)];
    };
    for (int step = full - 1; step > 1; step /= 2, amplitude *= fall) {
        const int half = step / 2;
        for (int row = half; row < full; row += step) {
            for (int column = half; column < full; column += step) {
                at(row, column) =
                    shift() + 0.25F * (at(row - half, column - half) + at(row - half, column + half) +
                                       at(row + half, column - half) + at(row + half, column + half));
            }
        }
        for (int row = 0; row < full; row += half) {
            for (int column = (row / half) % 2 == 0 ? half : 0; column < full; column += step) {
                at(row, column) = shift() + 0.25F * (at(std::max(row - half, 0), column) +
                                                     at(std::min(row + half, full - 1), column) +
                                                     at(row, std::max(column - half, 0)) +
                                                     at(row, std::min(column + half, full - 1)));
            }
        }
    }
    const auto [low, high] = std::minmax_element(height.begin(), height.end());
    std::vector<float> metres;
    metres.reserve(static_cast<std::size_t>(side) * static_cast<std::size_t>(side));
    for (int row = 0; row < side; ++row) {
        for (int column = 0; column < side; ++column) {
            metres.push_back(
                std::round((at(row, column) - *low) / (*high - *low) * static_cast<float>(range_m)));
        }
    }
    return metres;
}

struct Scene {
    int side;
    double cell_m;
    std::vector<float> metres;
    double radius_m = 60.0 * 1852.0;
    int middle() const { return side / 2; }
    double node(int row, int column) const {
        return metres[static_cast<std::size_t>(row) * static_cast<std::size_t>(side) +
                      static_cast<std::size_t>(column)];
    }
    double antenna_m() const { return node(middle(), middle()) + mast_m; }
};

/// Bilinear ground every quarter of a cell strictly before the cell, by the trigonometry of a sphere.
double exact_lowest_m(const Scene& scene, int row, int column) {
    const double across = column - scene.middle();
    const double down = row - scene.middle();
    const double cells = std::hypot(across, down);
    double steepest = -1e30;
    for (int quarter = 1; quarter * 0.25 < cells - 1e-9; ++quarter) {
        const double along = quarter * 0.25;
        const double x = scene.middle() + across * along / cells;
        const double y = scene.middle() + down * along / cells;
        const int west = static_cast<int>(x);
        const int north = static_cast<int>(y);
        const double u = x - west;
        const double v = y - north;
        const double r = effective_radius_m +
                         (1 - v) * ((1 - u) * scene.node(north, west) + u * scene.node(north, west + 1)) +
                         v * ((1 - u) * scene.node(north + 1, west) + u * scene.node(north + 1, west + 1));
        const double angle = along * scene.cell_m / effective_radius_m;
        steepest = std::max(
            steepest, (r * std::cos(angle) - effective_radius_m - scene.antenna_m()) / (r * std::sin(angle)));
    }
    const double angle = cells * scene.cell_m / effective_radius_m;
    return std::max(
        (effective_radius_m + scene.antenna_m()) / (std::cos(angle) - steepest * std::sin(angle)) -
            effective_radius_m,
        scene.node(row, column));
}

/// A plane true to scale around a place.
std::string plane_around(double latitude_deg, double longitude_deg) {
    return fmt::format(
        "PROJCS[\"local\",GEOGCS[\"WGS 84\",DATUM[\"WGS_1984\",SPHEROID[\"WGS 84\",6378137,298.257223563]],"
        "PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Azimuthal_Equidistant\"],"
        "PARAMETER[\"latitude_of_center\",{}],PARAMETER[\"longitude_of_center\",{}],UNIT[\"metre\",1]]",
        latitude_deg, longitude_deg);
}

/// The middle of a real tile of a degree, warped to a plane; empty where the real data is absent.
Scene real_ground(int side, double cell_m) {
    Scene scene{side, cell_m, {}, (side / 2 - 1) * cell_m};
    const char* folder = std::getenv("OMNIWAY_REAL_DATA");
    GDALDatasetH tile = folder == nullptr
                            ? nullptr
                            : GDALOpen((std::string(folder) + "/dem/N44W072.hgt").c_str(), GA_ReadOnly);
    if (tile == nullptr) {
        return scene;
    }
    const double edge_m = (scene.middle() + 0.5) * cell_m;
    double transform[6] = {-edge_m, cell_m, 0.0, edge_m, 0.0, -cell_m};
    GDALDatasetH plane = GDALCreate(GDALGetDriverByName("MEM"), "", side, side, 1, GDT_Float32, nullptr);
    GDALSetGeoTransform(plane, transform);
    GDALSetProjection(plane, plane_around(44.5, -71.5).c_str());
    scene.metres.resize(static_cast<std::size_t>(side) * static_cast<std::size_t>(side));
    all_hold = GDALReprojectImage(tile, nullptr, plane, nullptr, GRA_Bilinear, 0.0, 0.01, nullptr, nullptr,
                                  nullptr) == CE_None &&
               GDALRasterIO(GDALGetRasterBand(plane, 1), GF_Read, 0, 0, side, side, scene.metres.data(), side,
                            side, GDT_Float32, 0, 0) == CE_None &&
               all_hold;
    GDALClose(plane);
    GDALClose(tile);
    return scene;
}

/// GDAL's lowest visible altitude on the grid of the scene; its own raster is smaller than ours.
class GdalViewshed {
public:
    explicit GdalViewshed(const Scene& scene) : scene_(scene) {
        source_ = GDALCreate(GDALGetDriverByName("MEM"), "", scene.side, scene.side, 1, GDT_Float32, nullptr);
        const double edge_m = (scene.middle() + 0.5) * scene.cell_m;
        double transform[6] = {-edge_m, scene.cell_m, 0.0, edge_m, 0.0, -scene.cell_m};
        GDALSetGeoTransform(source_, transform);
        // Without a projection GDAL leaves the curvature out, and does not say so.
        GDALSetProjection(source_, plane_around(45.0, 10.0).c_str());
        std::vector<float> copy = scene.metres;
        all_hold = GDALRasterIO(GDALGetRasterBand(source_, 1), GF_Write, 0, 0, scene.side, scene.side,
                                copy.data(), scene.side, scene.side, GDT_Float32, 0, 0) == CE_None &&
                   all_hold;
    }
    GdalViewshed(const GdalViewshed&) = delete;
    GdalViewshed& operator=(const GdalViewshed&) = delete;
    ~GdalViewshed() {
        GDALClose(result_);
        GDALClose(source_);
    }

    void run() {
        GDALClose(result_);
        result_ = GDALViewshedGenerate(GDALGetRasterBand(source_, 1), "MEM", "", nullptr, 0.0, 0.0, mast_m,
                                       0.0, 255.0, 0.0, 0.0, -1.0, 0.75, GVM_Edge, scene_.radius_m, nullptr,
                                       nullptr, GVOT_MIN_TARGET_HEIGHT_FROM_DEM, nullptr);
    }

    double lowest_m(int row, int column) const {
        double transform[6];
        GDALGetGeoTransform(result_, transform);
        const double edge_m = (scene_.middle() + 0.5) * scene_.cell_m;
        const int left = static_cast<int>(std::lround((transform[0] + edge_m) / scene_.cell_m));
        const int top = static_cast<int>(std::lround((edge_m - transform[3]) / scene_.cell_m));
        double value = 0.0;
        all_hold = GDALRasterIO(GDALGetRasterBand(result_, 1), GF_Read, column - left, row - top, 1, 1,
                                &value, 1, 1, GDT_Float64, 0, 0) == CE_None &&
                   all_hold;
        return value;
    }

private:
    const Scene& scene_;
    GDALDatasetH source_ = nullptr;
    GDALDatasetH result_ = nullptr;
};

double share_of(std::vector<double> values, double share) {
    const auto place =
        values.begin() + static_cast<std::ptrdiff_t>(share * static_cast<double>(values.size() - 1));
    std::nth_element(values.begin(), place, values.end());
    return *place;
}

void compare_on_grid(const std::string& name, Scene scene, int runs) {
    GdalViewshed gdal(scene);
    std::vector<float> lowest;
    double gdal_s = std::numeric_limits<double>::infinity();
    double ours_s = gdal_s;
    for (int run = 0; run < runs; ++run) {
        gdal_s = std::min(gdal_s, timed_s([&] { gdal.run(); }));
        ours_s = std::min(ours_s, timed_s([&] {
                              lowest = omniway::radio::lowest_in_cells(
                                  {scene.side, scene.side, Length::metres(scene.cell_m), scene.metres},
                                  {scene.middle(), scene.middle()},
                                  omniway::base::Altitude::metres(scene.antenna_m()),
                                  Length::metres(scene.radius_m));
                          }));
    }
    std::mt19937 chance(3);
    std::vector<double> gdal_error_m;
    std::vector<double> our_error_m;
    std::vector<double> our_unsafe_m;
    while (our_error_m.size() < 20000) {
        const int column = static_cast<int>(chance() % static_cast<unsigned>(scene.side));
        const int row = static_cast<int>(chance() % static_cast<unsigned>(scene.side));
        const double cells = std::hypot(column - scene.middle(), row - scene.middle());
        if (cells < 2.0 || cells > scene.radius_m / scene.cell_m - 2.0) {
            continue;
        }
        const double exact_m = exact_lowest_m(scene, row, column);
        const double error_m = lowest[static_cast<std::size_t>(row) * static_cast<std::size_t>(scene.side) +
                                      static_cast<std::size_t>(column)] -
                               exact_m;
        our_error_m.push_back(std::isnan(error_m) ? 1e9 : std::abs(error_m));
        our_unsafe_m.push_back(std::max(-error_m, 0.0));
        gdal_error_m.push_back(std::abs(gdal.lowest_m(row, column) - exact_m));
    }
    fmt::print("figure {} GDAL {:.3f} s, ours {:.3f} s; error p90: GDAL {:.2f} m, ours {:.2f} m\n", name,
               gdal_s, ours_s, share_of(gdal_error_m, 0.9), share_of(our_error_m, 0.9));
    gate(name + " p90 error, by GDAL's", share_of(our_error_m, 0.9) / share_of(gdal_error_m, 0.9), 0.25, "");
    gate(name + " unsafe error p99", share_of(our_unsafe_m, 0.99), 3.0, "m");
    if (scene.side < 2000) {
        fmt::print("figure {} time, by GDAL's {:.2f}: too short for a gate\n", name, ours_s / gdal_s);
    } else {
        gate(name + " time, by GDAL's", ours_s / gdal_s, 1.0, "");
    }
}

void compare_on_real_ground(const std::string& name, int side, double cell_m) {
    const Scene scene = real_ground(side, cell_m);
    if (scene.metres.empty()) {
        fmt::print("SKIPPED {}: no N44W072.hgt under OMNIWAY_REAL_DATA/dem\n", name);
        return;
    }
    compare_on_grid(name, scene, 9);
}

omniway::earth::TerrainTile island_tile(omniway::earth::TerrainBlock block) {
    omniway::earth::TerrainTile tile{151, {}};
    for (int row = 0; row < 151; ++row) {
        for (int column = 0; column < 151; ++column) {
            const double north = block.south_quarters * 150 + row;
            const double east = block.west_quarters * 150 + column;
            const double metres = 900.0 * std::sin(north / 171.0) * std::sin(east / 203.0) +
                                  120.0 * std::sin(north / 13.0) * std::cos(east / 11.0) +
                                  25.0 * std::sin(north * 1.9 + east * 2.3);
            tile.metres.push_back(static_cast<std::int16_t>(std::max(metres, 0.0)));
        }
    }
    return tile;
}

/// Tiles lie ready: what they cost to invent is not what a horizon costs.
omniway::earth::Terrain islands() {
    std::map<omniway::earth::TerrainBlock, omniway::earth::TerrainTile> tiles;
    std::vector<omniway::earth::TerrainBlock> blocks;
    for (int row = 0; row < 16; ++row) {
        for (int column = 0; column < 20; ++column) {
            blocks.push_back({40 + row, -100 + column});
            tiles.emplace(blocks.back(), island_tile(blocks.back()));
        }
    }
    return omniway::earth::Terrain(
        blocks, [tiles = std::move(tiles)](omniway::earth::TerrainBlock block) { return tiles.at(block); });
}

void horizons_and_lookups() {
    using namespace omniway;
    constexpr int stations = 18;
    const radio::Horizons horizons(islands());
    const auto antenna = [](int k) {
        return radio::Antenna{earth::Position::degrees(10.5 + 0.7 * (k % 5), -24.6 + 0.9 * (k / 4)),
                              base::Altitude::metres(700.0 + 30.0 * k)};
    };
    const auto begin = std::chrono::steady_clock::now();
    const double begin_s = processor_s();
    {
        std::vector<std::jthread> threads;
        for (int thread = 0; thread < 2; ++thread) {
            threads.emplace_back([&, thread] {
                for (int k = thread; k < stations; k += 2) {
                    horizons.of(antenna(k), Length::nautical_miles(130));
                }
            });
        }
    }
    const double wall_s = std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
    fmt::print("figure 18 horizons: {:.2f} s of processor time on both threads together\n",
               processor_s() - begin_s);
    std::size_t bytes = 0;
    for (int k = 0; k < stations; ++k) {
        bytes += horizons.of(antenna(k), Length::nautical_miles(130))->size_bytes();
    }
    fmt::print("figure a horizon of 130 NM, 6 arc-seconds: {:.2f} MB\n",
               static_cast<double>(bytes) / stations / 1e6);
    gate("18 horizons from nothing, two threads", wall_s, 3.0, "s");

    const auto horizon = horizons.of(antenna(0), Length::nautical_miles(130));
    std::mt19937 chance(9);
    std::vector<earth::Position> places;
    for (int k = 0; k < 200000; ++k) {
        places.push_back(
            earth::Position::degrees(10.0 + 4.0 * (static_cast<double>(chance()) / 4294967296.0),
                                     -25.0 + 5.0 * (static_cast<double>(chance()) / 4294967296.0)));
    }
    const earth::Position from = antenna(0).position;
    double lookup_s = 1e9;
    double geodesic_s = 1e9;
    double sum = 0.0;
    for (int run = 0; run < 5; ++run) {
        lookup_s = std::min(lookup_s, timed_s([&] {
                                for (const earth::Position& place : places) {
                                    sum += horizon->lowest_seen(place).altitude.metres();
                                }
                            }));
        geodesic_s = std::min(geodesic_s, timed_s([&] {
                                  for (const earth::Position& place : places) {
                                      double metres = 0.0;
                                      GeographicLib::Geodesic::WGS84().Inverse(
                                          from.latitude_deg(), from.longitude_deg(), place.latitude_deg(),
                                          place.longitude_deg(), metres);
                                      sum += metres;
                                  }
                              }));
    }
    fmt::print("figure a lookup {:.0f} ns, a geodesic {:.0f} ns (sum {:.3g})\n", lookup_s / 2e5 * 1e9,
               geodesic_s / 2e5 * 1e9, sum);
    gate("a lookup, by a geodesic", lookup_s / geodesic_s, 1.0, "");
}

}  // namespace

/// All of it, or what is named: horizons, 3, 1, real.
int main(int argc, char** argv) {
    GDALAllRegister();
    const auto wanted = [&](std::string_view name) {
        return argc < 2 || std::find(argv + 1, argv + argc, name) != argv + argc;
    };
    if (wanted("horizons")) {
        horizons_and_lookups();
    }
    constexpr float mild = 0.5F;
    constexpr float rough = 0.574F;  // 2^-0.8
    if (wanted("3")) {
        compare_on_grid("3 arc-seconds", {2401, 92.6, rough_ground(12, 2401, 1824.0, mild)}, 7);
        compare_on_grid("3 arc-seconds, rough", {2401, 92.6, rough_ground(12, 2401, 1824.0, rough)}, 7);
    }
    if (wanted("1")) {
        compare_on_grid("1 arc-second", {7201, 30.87, rough_ground(13, 7201, 1824.0, mild)}, 3);
        compare_on_grid("1 arc-second, rough", {7201, 30.87, rough_ground(13, 7201, 1824.0, rough)}, 3);
    }
    if (wanted("real")) {
        compare_on_real_ground("3 arc-seconds, real", 801, 92.6);
        compare_on_real_ground("1 arc-second, real", 2401, 30.87);
    }
    return all_hold ? 0 : 1;
}
