#include "noise.hpp"

#include <cmath>

namespace omniway::demo_region {

namespace {

std::uint32_t mixed(std::uint32_t x, std::uint32_t y, std::uint32_t seed) {
    std::uint32_t h = x * 0x9E3779B1U ^ y * 0x85EBCA77U ^ seed * 0xC2B2AE3DU;
    h = (h ^ (h >> 16U)) * 0x7FEB352DU;
    h = (h ^ (h >> 15U)) * 0x846CA68BU;
    return h ^ (h >> 16U);
}

/// The share of one corner: its gradient along the way from it.
double corner(std::int32_t x, std::int32_t y, double east, double north, std::uint32_t seed) {
    const std::uint32_t h = mixed(static_cast<std::uint32_t>(x), static_cast<std::uint32_t>(y), seed);
    constexpr double to_unit = 1.0 / 32768.0;
    const double slope_east = static_cast<double>(h & 0xFFFFU) * to_unit - 1.0;
    const double slope_north = static_cast<double>(h >> 16U) * to_unit - 1.0;
    return slope_east * east + slope_north * north;
}

double eased(double part) {
    return part * part * part * (part * (part * 6.0 - 15.0) + 10.0);
}

}  // namespace

double smooth_noise(double x, double y, std::uint32_t seed) {
    const double floor_x = std::floor(x);
    const double floor_y = std::floor(y);
    const auto i = static_cast<std::int32_t>(floor_x);
    const auto j = static_cast<std::int32_t>(floor_y);
    const double east = x - floor_x;
    const double north = y - floor_y;
    const double south_west = corner(i, j, east, north, seed);
    const double south_east = corner(i + 1, j, east - 1.0, north, seed);
    const double north_west = corner(i, j + 1, east, north - 1.0, seed);
    const double north_east = corner(i + 1, j + 1, east - 1.0, north - 1.0, seed);
    const double along = eased(east);
    const double south = south_west + along * (south_east - south_west);
    const double top = north_west + along * (north_east - north_west);
    return south + eased(north) * (top - south);
}

double rough_noise(double x, double y, std::uint32_t seed, int octaves) {
    double sum = 0.0;
    double strength = 1.0;
    for (int octave = 0; octave < octaves; ++octave) {
        sum += strength * smooth_noise(x, y, seed + static_cast<std::uint32_t>(octave));
        // Lattices that do not line up, else their zeros would show as a net.
        x = x * 2.0 + 17.37;
        y = y * 2.0 + 9.13;
        strength *= 0.5;
    }
    return sum;
}

}  // namespace omniway::demo_region
