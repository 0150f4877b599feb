// Lines of sight by brute force, straight from the raster: shares no code with src/. Reads pairs from the standard input,
// "antenna latitude, longitude, altitude in metres, place latitude, longitude, 1 or 0", and prints for each the lowest altitude
// in metres at which the antenna is seen there, the lowest and the highest of that over the place and its eight neighbours one
// node away (of the place alone where the last number is 0), and whether the ray, and whether any of the nine, meets unknown ground (1) or not (0). Unknown ground counts as
// a smooth earth at sea level.
//
//   ray_march FILE ROWS COLUMNS SOUTH WEST NODES_PER_DEGREE
//
// FILE: nodes in rows from the north, 16 bits, most significant byte first (an .hgt file is one); -32768 is unknown.
//
// A ray is straight over a sphere of 4/3 of 6,371 km. Its path over the ground is the great circle between the two verticals,
// its length Andoyer's and Lambert's on the WGS 84 ellipsoid (error below 20 m at 100 km; the path's below 1 m).
#include <algorithm>
#include <array>
#include <cmath>
#include <cstdint>
#include <cstdio>
#include <cstdlib>
#include <fstream>
#include <iterator>
#include <numbers>
#include <vector>

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double big_radius = 4.0 / 3.0 * 6371000.0;

struct Raster {
    int rows = 0;
    int columns = 0;
    double south = 0.0;
    double west = 0.0;
    double per_degree = 0.0;
    std::vector<int> metres;

    /// Not a number where any of the four nodes is unknown or outside.
    double at(double latitude, double longitude) const {
        const double down = rows - 1 - (latitude - south) * per_degree;
        const double across = (longitude - west) * per_degree;
        if (down < 0.0 || down > rows - 1 || across < 0.0 || across > columns - 1) {
            return std::nan("");
        }
        const int r = std::min(static_cast<int>(down), rows - 2);
        const int c = std::min(static_cast<int>(across), columns - 2);
        const auto node = [&](int row, int column) {
            const int value = metres[static_cast<std::size_t>(row) * static_cast<std::size_t>(columns) +
                                     static_cast<std::size_t>(column)];
            return value == -32768 ? std::nan("") : static_cast<double>(value);
        };
        const double v = down - r;
        const double u = across - c;
        return node(r, c) * (1 - u) * (1 - v) + node(r, c + 1) * u * (1 - v) + node(r + 1, c) * (1 - u) * v +
               node(r + 1, c + 1) * u * v;
    }
};

struct Seen {
    double metres;
    bool unknown_on_the_way;
};

using Vertical = std::array<double, 3>;

Vertical vertical(double latitude, double longitude) {
    return {std::cos(latitude * degree) * std::cos(longitude * degree),
            std::cos(latitude * degree) * std::sin(longitude * degree), std::sin(latitude * degree)};
}

double length_m(double latitude1, double longitude1, double latitude2, double longitude2) {
    constexpr double f = 1.0 / 298.257223563;
    const double b1 = std::atan((1 - f) * std::tan(latitude1 * degree));
    const double b2 = std::atan((1 - f) * std::tan(latitude2 * degree));
    const double dl = (longitude2 - longitude1) * degree;
    const double haversine =
        std::pow(std::sin((b2 - b1) / 2), 2) + std::cos(b1) * std::cos(b2) * std::pow(std::sin(dl / 2), 2);
    const double angle = 2 * std::asin(std::sqrt(haversine));
    if (angle == 0.0) {
        return 0.0;
    }
    const double p = (b1 + b2) / 2;
    const double q = (b2 - b1) / 2;
    const double x = (angle - std::sin(angle)) * std::pow(std::sin(p) * std::cos(q) / std::cos(angle / 2), 2);
    const double y = (angle + std::sin(angle)) * std::pow(std::cos(p) * std::sin(q) / std::sin(angle / 2), 2);
    return 6378137.0 * (angle - f / 2 * (x + y));
}

Seen lowest(const Raster& raster, double lat0, double lon0, double alt0, double lat1, double lon1) {
    const double length = length_m(lat0, lon0, lat1, lon1);
    const Vertical from = vertical(lat0, lon0);
    const Vertical to = vertical(lat1, lon1);
    const double between = 2 * std::asin(std::hypot(from[0] - to[0], from[1] - to[1], from[2] - to[2]) / 2);
    const double node_m = 111200.0 / raster.per_degree;
    const double step = node_m / 9;
    bool unknown = false;
    double steepest = -1e30;
    for (double s = node_m / 4; s < length; s += step) {
        const double a = std::sin((1 - s / length) * between) / std::sin(between);
        const double b = std::sin(s / length * between) / std::sin(between);
        const Vertical here = {a * from[0] + b * to[0], a * from[1] + b * to[1], a * from[2] + b * to[2]};
        const double latitude = std::atan2(here[2], std::hypot(here[0], here[1])) / degree;
        const double longitude = std::atan2(here[1], here[0]) / degree;
        double ground = raster.at(latitude, longitude);
        if (std::isnan(ground)) {
            unknown = true;
            ground = std::min(0.0, alt0);
        }
        const double r = big_radius + ground;
        const double angle = s / big_radius;
        steepest = std::max(steepest, (r * std::cos(angle) - big_radius - alt0) / (r * std::sin(angle)));
    }
    const double angle = length / big_radius;
    return {(big_radius + alt0) / (std::cos(angle) - steepest * std::sin(angle)) - big_radius, unknown};
}

}  // namespace

int main(int argc, char** argv) {
    if (argc != 7) {
        std::fputs("usage: ray_march FILE ROWS COLUMNS SOUTH WEST NODES_PER_DEGREE\n", stderr);
        return 2;
    }
    std::ifstream file(argv[1], std::ios::binary);
    const std::vector<char> bytes{std::istreambuf_iterator<char>(file), {}};
    Raster raster;
    raster.rows = std::atoi(argv[2]);
    raster.columns = std::atoi(argv[3]);
    raster.south = std::atof(argv[4]);
    raster.west = std::atof(argv[5]);
    raster.per_degree = std::atof(argv[6]);
    if (raster.rows < 2 || raster.columns < 2 ||
        static_cast<std::size_t>(raster.rows) * static_cast<std::size_t>(raster.columns) * 2 !=
            bytes.size()) {
        std::fputs("ray_march: not so many 16-bit nodes\n", stderr);
        return 2;
    }
    for (std::size_t k = 0; k + 1 < bytes.size(); k += 2) {
        const int value =
            static_cast<unsigned char>(bytes[k]) * 256 + static_cast<unsigned char>(bytes[k + 1]);
        raster.metres.push_back(value >= 32768 ? value - 65536 : value);
    }
    double lat0 = 0.0;
    double lon0 = 0.0;
    double alt0 = 0.0;
    double lat1 = 0.0;
    double lon1 = 0.0;
    int with_neighbours = 0;
    while (std::scanf("%lf %lf %lf %lf %lf %d", &lat0, &lon0, &alt0, &lat1, &lon1, &with_neighbours) == 6) {
        const Seen here = lowest(raster, lat0, lon0, alt0, lat1, lon1);
        double low = here.metres;
        double high = here.metres;
        bool unknown_near = here.unknown_on_the_way;
        const double node = 1.0 / raster.per_degree;
        for (const int north : {-1, 0, 1}) {
            for (const int east : {-1, 0, 1}) {
                if (with_neighbours == 0) {
                    continue;
                }
                const Seen near = lowest(raster, lat0, lon0, alt0, lat1 + north * node, lon1 + east * node);
                low = std::min(low, near.metres);
                high = std::max(high, near.metres);
                unknown_near = unknown_near || near.unknown_on_the_way;
            }
        }
        std::printf("%.3f %.3f %.3f %d %d\n", here.metres, low, high, here.unknown_on_the_way ? 1 : 0,
                    unknown_near ? 1 : 0);
    }
    return 0;
}
