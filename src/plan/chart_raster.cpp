#include "plan/chart_raster.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>
#include <limits>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/hillshade.hpp"

namespace omniway::plan {

namespace {

constexpr char not_known = '?';
constexpr char sea = '~';
constexpr std::string_view steps = "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdef";
constexpr int most_told = 5;
// Between the middles of cells miles apart slopes are gentle: drawn so much steeper they are seen.
constexpr double steeper = 4.0;

// Heights with a cell more on every side, so that the cells at the edge have their neighbours.
class Heights {
public:
    Heights(const earth::Terrain& terrain, const radio::CellGrid& grid)
        : across_(grid.columns + 2), metres_(across_ * (grid.rows + 2)) {
        const double side = grid.cell.degrees();
        for (std::size_t row = 0; row < grid.rows + 2; ++row) {
            const double latitude = grid.north_west.latitude_deg() - (static_cast<double>(row) - 0.5) * side;
            for (std::size_t column = 0; column < across_; ++column) {
                const double longitude =
                    grid.north_west.longitude_deg() + (static_cast<double>(column) - 0.5) * side;
                const auto ground = std::abs(latitude) <= 90.0
                                        ? terrain.elevation(earth::Position::degrees(latitude, longitude))
                                        : std::nullopt;
                metres_[row * across_ + column] =
                    ground ? ground->metres() : std::numeric_limits<double>::quiet_NaN();
            }
        }
    }

    std::array<double, 9> about(std::size_t row, std::size_t column) const {
        std::array<double, 9> nine{};
        for (std::size_t i = 0; i < nine.size(); ++i) {
            nine[i] = steeper * metres_[(row + i / 3) * across_ + column + i % 3];
        }
        return nine;
    }

private:
    std::size_t across_;
    std::vector<double> metres_;
};

char shade(const earth::NineHeights& heights) {
    const auto& metres = heights.metres;
    if (std::any_of(metres.begin(), metres.end(), [](double each) { return std::isnan(each); })) {
        return not_known;
    }
    if (std::all_of(metres.begin(), metres.end(), [](double each) { return each == 0.0; })) {
        return sea;
    }
    const double dark = 1.0 - earth::hillshade(heights);
    return steps[static_cast<std::size_t>(std::lround(dark * static_cast<double>(steps.size() - 1)))];
}

template <class Sign>
std::vector<std::string> rows_of(const radio::CellGrid& grid, const Sign& sign) {
    std::vector<std::string> rows;
    for (std::size_t row = 0; row < grid.rows; ++row) {
        std::string& signs = rows.emplace_back(grid.columns, not_known);
        for (std::size_t column = 0; column < grid.columns; ++column) {
            signs[column] = sign(row, column);
        }
    }
    return rows;
}

std::vector<RasterClass> shades() {
    std::vector<RasterClass> classes{{not_known, "ground not known", 0.0}, {sea, "sea", 0.0}};
    const auto last = static_cast<double>(steps.size() - 1);
    for (std::size_t i = 0; i < steps.size(); ++i) {
        const double dark = static_cast<double>(i) / last;
        classes.push_back({steps[i], fmt::format("{:.0f} % of the light", 100.0 * (1.0 - dark)), dark});
    }
    return classes;
}

std::vector<RasterClass> numbers_heard() {
    std::vector<RasterClass> classes{{not_known, "rests on ground that is not known", 0.0}};
    for (int number = 0; number <= most_told; ++number) {
        classes.push_back({static_cast<char>('0' + number),
                           number == 0           ? "none heard"
                           : number == most_told ? fmt::format("{} or more heard", number)
                                                 : fmt::format("{} heard", number),
                           1.0 - static_cast<double>(number) / most_told});
    }
    return classes;
}

std::vector<RasterClass> accuracies() {
    std::vector<RasterClass> classes{{not_known, "rests on ground that is not known", 0.0}};
    for (std::size_t i = 0; i <= accuracy_limits_nm.size(); ++i) {
        const bool beyond = i == accuracy_limits_nm.size();
        classes.push_back({static_cast<char>('A' + i),
                           beyond ? fmt::format("more than {:g} NM", accuracy_limits_nm.back())
                                  : fmt::format("within {:g} NM", accuracy_limits_nm[i]),
                           static_cast<double>(i) / static_cast<double>(accuracy_limits_nm.size() + 1)});
    }
    classes.push_back({'-', "no two lines cross well", 1.0});
    return classes;
}

char accuracy_sign(float nm) {
    if (std::isnan(nm)) {
        return '-';
    }
    const auto limit = std::lower_bound(accuracy_limits_nm.begin(), accuracy_limits_nm.end(), nm);
    return static_cast<char>('A' + (limit - accuracy_limits_nm.begin()));
}

}  // namespace

ChartRaster terrain_raster(const earth::Terrain& terrain, const radio::CellGrid& grid) {
    const Heights heights(terrain, grid);
    const double side = grid.cell.degrees();
    ChartRaster raster{RasterKind::terrain, grid, shades(), {}};
    std::size_t measured = grid.rows;
    earth::NineHeights nine;
    raster.rows = rows_of(grid, [&](std::size_t row, std::size_t column) {
        if (row != measured) {
            measured = row;
            const earth::Position centre = grid.centre(row, 0);
            nine.eastward = earth::distance(
                centre, earth::Position::degrees(centre.latitude_deg(), centre.longitude_deg() + side));
            // To the pole, so that the last row has a distance too.
            const double next = centre.latitude_deg() + (centre.latitude_deg() > 0.0 ? -side : side);
            nine.southward = earth::distance(centre, earth::Position::degrees(next, centre.longitude_deg()));
        }
        nine.metres = heights.about(row, column);
        return shade(nine);
    });
    return raster;
}

ChartRaster coverage_raster(const radio::Coverage& coverage, const radio::CellGrid& grid) {
    return {RasterKind::coverage, grid, numbers_heard(),
            rows_of(grid, [&](std::size_t row, std::size_t column) {
                const std::size_t at = row * grid.columns + column;
                return coverage.ground_known[at] == 0.0F
                           ? not_known
                           : static_cast<char>('0' +
                                               std::min(static_cast<int>(coverage.stations[at]), most_told));
            })};
}

ChartRaster fix_accuracy_raster(const radio::Coverage& coverage, const radio::CellGrid& grid) {
    return {
        RasterKind::fix_accuracy, grid, accuracies(), rows_of(grid, [&](std::size_t row, std::size_t column) {
            const std::size_t at = row * grid.columns + column;
            return coverage.ground_known[at] == 0.0F ? not_known : accuracy_sign(coverage.accuracy_nm[at]);
        })};
}

}  // namespace omniway::plan
