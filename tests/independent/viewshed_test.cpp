// radio::lowest_in_cells against GDAL's viewshed, which shares nothing with it, on the same projected grids. The bounds are
// those of two different models of the ground: GDAL carries the ray from cell to cell, ours runs over the bilinear surface.
// How true each is against the exact profile is the business of bench/viewshed.

#include <gdal.h>
#include <gdal_alg.h>

#include <algorithm>
#include <cmath>
#include <vector>

#include <gtest/gtest.h>

#include "radio/sweep.hpp"

namespace omniway::radio {
namespace {

using base::Length;

constexpr int side = 601;
constexpr int middle = 300;
constexpr double cell_m = 150.0;
constexpr double radius_m = 290 * cell_m;
constexpr double mast_m = 20.0;

std::size_t at(int row, int column) {
    return static_cast<std::size_t>(row) * side + static_cast<std::size_t>(column);
}

/// The lowest altitude seen by GDAL's account; not a number outside the radius. Light bends by 1/7, radio by 1/4 of the earth.
std::vector<double> gdal_lowest_m(std::vector<float> metres, double curvature_coefficient) {
    GDALAllRegister();
    GDALDatasetH ground = GDALCreate(GDALGetDriverByName("MEM"), "", side, side, 1, GDT_Float32, nullptr);
    const double edge_m = (middle + 0.5) * cell_m;
    double transform[6] = {-edge_m, cell_m, 0.0, edge_m, 0.0, -cell_m};
    EXPECT_EQ(GDALSetGeoTransform(ground, transform), CE_None);
    // Without a projection GDAL leaves the curvature out, and does not say so.
    EXPECT_EQ(
        GDALSetProjection(
            ground,
            "PROJCS[\"local\",GEOGCS[\"WGS 84\",DATUM[\"WGS_1984\",SPHEROID[\"WGS "
            "84\",6378137,298.257223563]],"
            "PRIMEM[\"Greenwich\",0],UNIT[\"degree\",0.0174532925199433]],PROJECTION[\"Azimuthal_"
            "Equidistant\"],"
            "PARAMETER[\"latitude_of_center\",45],PARAMETER[\"longitude_of_center\",10],UNIT[\"metre\",1]]"),
        CE_None);
    EXPECT_EQ(GDALRasterIO(GDALGetRasterBand(ground, 1), GF_Write, 0, 0, side, side, metres.data(), side,
                           side, GDT_Float32, 0, 0),
              CE_None);
    GDALDatasetH seen =
        GDALViewshedGenerate(GDALGetRasterBand(ground, 1), "MEM", "", nullptr, 0.0, 0.0, mast_m, 0.0, 255.0,
                             0.0, 0.0, -1.0, curvature_coefficient, GVM_Edge, radius_m, nullptr, nullptr,
                             GVOT_MIN_TARGET_HEIGHT_FROM_DEM, nullptr);
    double seen_transform[6];
    EXPECT_EQ(GDALGetGeoTransform(seen, seen_transform), CE_None);
    const int left = static_cast<int>(std::lround((seen_transform[0] + edge_m) / cell_m));
    const int top = static_cast<int>(std::lround((edge_m - seen_transform[3]) / cell_m));
    const int columns = GDALGetRasterXSize(seen);
    const int rows = GDALGetRasterYSize(seen);
    std::vector<double> part(static_cast<std::size_t>(columns) * static_cast<std::size_t>(rows));
    EXPECT_EQ(GDALRasterIO(GDALGetRasterBand(seen, 1), GF_Read, 0, 0, columns, rows, part.data(), columns,
                           rows, GDT_Float64, 0, 0),
              CE_None);
    GDALClose(seen);
    GDALClose(ground);
    std::vector<double> lowest(metres.size(), std::nan(""));
    for (int row = 0; row < rows; ++row) {
        for (int column = 0; column < columns; ++column) {
            lowest[at(row + top, column + left)] =
                part[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) +
                     static_cast<std::size_t>(column)];
        }
    }
    return lowest;
}

/// Ours less GDAL's in every cell well inside the radius, in order.
std::vector<double> differences_m(const std::vector<float>& metres, double curvature_coefficient) {
    const auto ours = lowest_in_cells({side, side, Length::metres(cell_m), metres}, {middle, middle},
                                      base::Altitude::metres(metres[at(middle, middle)] + mast_m),
                                      Length::metres(radius_m));
    const std::vector<double> theirs = gdal_lowest_m(metres, curvature_coefficient);
    std::vector<double> apart_m;
    for (int row = 0; row < side; ++row) {
        for (int column = 0; column < side; ++column) {
            const double cells = std::hypot(row - middle, column - middle);
            if (cells > 2.0 && cells < 288.0) {
                apart_m.push_back(ours[at(row, column)] - theirs[at(row, column)]);
            }
        }
    }
    std::sort(apart_m.begin(), apart_m.end());
    return apart_m;
}

double share_of(const std::vector<double>& ascending, double share) {
    return ascending[static_cast<std::size_t>(share * static_cast<double>(ascending.size() - 1))];
}

TEST(TruthSweep, OverTheSeaAgreesWithGdalsViewshedAtTheRadioCoefficientOnly) {
    const std::vector<float> sea(static_cast<std::size_t>(side) * side, 0.0F);
    const std::vector<double> radio = differences_m(sea, 0.75);
    EXPECT_GT(radio.front(), -1.0);
    EXPECT_LT(radio.back(), 1.0);
    const std::vector<double> light = differences_m(sea, 1.0 - 1.0 / 7.0);
    EXPECT_LT(light.front(), -2.0);  // so that the bound above can fail
}

TEST(TruthSweep, OverHillsAgreesWithGdalsViewshedWithinTheTwoModelsOfTheGround) {
    std::vector<float> hills;
    for (int row = 0; row < side; ++row) {
        for (int column = 0; column < side; ++column) {
            const double north_km = (middle - row) * cell_m / 1000.0;
            const double east_km = (column - middle) * cell_m / 1000.0;
            hills.push_back(static_cast<float>(400.0 +
                                               250.0 * std::cos(north_km / 2.9) * std::cos(east_km / 3.7) +
                                               90.0 * std::sin(north_km / 1.3 + east_km / 1.7)));
        }
    }
    const std::vector<double> apart_m = differences_m(hills, 0.75);
    // Seen on this ground: 1 % -16.6 m, median 2.9 m, 99 % 23.4 m; answers range over more than a thousand metres.
    EXPECT_NEAR(share_of(apart_m, 0.5), 0.0, 6.0);
    EXPECT_GT(share_of(apart_m, 0.01), -25.0);
    EXPECT_LT(share_of(apart_m, 0.99), 35.0);
}

}  // namespace
}  // namespace omniway::radio
