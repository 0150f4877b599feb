#pragma once

// Places, lines and directions for the checkers: what they share before each reckons its own geodesics. Nothing of src/.

#include <cmath>
#include <numbers>

namespace independent {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double metres_per_nm = 1852.0;
constexpr double metres_per_foot = 0.3048;

struct Place {
    double latitude{};
    double longitude{};
};

struct Line {
    double nm{};
    double start_deg{};   // true course at the first place
    double finish_deg{};  // true course on arrival at the second
};

inline double around(double degrees) {
    const double turned = std::fmod(degrees, 360.0);
    return turned < 0.0 ? turned + 360.0 : turned;
}

// How far apart two directions are, -180 to 180.
inline double apart(double a, double b) {
    return around(a - b + 180.0) - 180.0;
}

}  // namespace independent
