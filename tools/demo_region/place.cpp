#include "place.hpp"

#include <cmath>

#include <fmt/format.h>
#include <GeographicLib/Geodesic.hpp>

namespace omniway::demo_region {

namespace {

constexpr double metres_per_nautical_mile = 1852.0;
constexpr long per_degree = 360000;

std::string angle_text(char letter, long hundredths, int degree_digits) {
    const long degrees = hundredths / per_degree;
    const long minutes = hundredths / 6000 % 60;
    const long rest = hundredths % 6000;
    return fmt::format("{}{:0{}}{:02}{:04}", letter, degrees, degree_digits, minutes, rest);
}

}  // namespace

Place Place::degrees(double latitude, double longitude) {
    return {std::lround(latitude * static_cast<double>(per_degree)),
            std::lround(longitude * static_cast<double>(per_degree))};
}

double Place::latitude_deg() const {
    return static_cast<double>(latitude) / static_cast<double>(per_degree);
}

double Place::longitude_deg() const {
    return static_cast<double>(longitude) / static_cast<double>(per_degree);
}

Line between(Place from, Place to) {
    double metres = 0.0;
    Line line{};
    GeographicLib::Geodesic::WGS84().Inverse(from.latitude_deg(), from.longitude_deg(), to.latitude_deg(),
                                             to.longitude_deg(), metres, line.leaving_deg, line.arriving_deg);
    line.leaving_deg = around(line.leaving_deg);
    line.arriving_deg = around(line.arriving_deg);
    line.distance_nm = metres / metres_per_nautical_mile;
    return line;
}

Place reached(Place from, double true_deg, double distance_nm) {
    double latitude = 0.0;
    double longitude = 0.0;
    GeographicLib::Geodesic::WGS84().Direct(from.latitude_deg(), from.longitude_deg(), true_deg,
                                            distance_nm * metres_per_nautical_mile, latitude, longitude);
    return Place::degrees(latitude, longitude);
}

double around(double degrees) {
    const double turned = std::fmod(degrees, 360.0);
    return turned < 0.0 ? turned + 360.0 : turned;
}

double apart(double to_deg, double from_deg) {
    return std::remainder(to_deg - from_deg, 360.0);
}

long tenths(double value) {
    return std::lround(value * 10.0);
}

long tenths_of_bearing(double degrees) {
    return tenths(around(degrees)) % 3600;
}

std::string latitude_text(Place place) {
    return angle_text(place.latitude < 0 ? 'S' : 'N', std::labs(place.latitude), 2);
}

std::string longitude_text(Place place, int moved_east_deg) {
    long longitude = place.longitude + moved_east_deg * per_degree;
    while (longitude > 180 * per_degree) {
        longitude -= 360 * per_degree;
    }
    while (longitude <= -180 * per_degree) {
        longitude += 360 * per_degree;
    }
    return angle_text(longitude < 0 ? 'W' : 'E', std::labs(longitude), 3);
}

}  // namespace omniway::demo_region
