#pragma once

#include <array>
#include <string>
#include <string_view>

#include "base/result.hpp"

namespace omniway::earth {

/// A place on the WGS 84 ellipsoid by geodetic latitude and longitude; height is not part of it.
///   Model     latitude north positive, longitude east positive, brought to [-180, 180).
///   Domain    latitude -90 to 90 degrees, any finite longitude; make() checks, degrees() expects it to hold.
///   Accuracy  as given; one rounding in bringing longitude into range.
///   Cost      two doubles.
///   Fails     make(): earth.latitude_out_of_range, earth.longitude_out_of_range.
///   Source    NIMA TR8350.2 (WGS 84).
class Position {
public:
    constexpr Position() = default;
    static Position degrees(double latitude, double longitude);
    static base::Result<Position> make(double latitude_deg, double longitude_deg, std::string where);

    constexpr double latitude_deg() const { return latitude_; }
    constexpr double longitude_deg() const { return longitude_; }
    friend constexpr bool operator==(Position, Position) = default;

private:
    constexpr Position(double latitude, double longitude) : latitude_(latitude), longitude_(longitude) {}
    double latitude_ = 0.0;
    double longitude_ = 0.0;
};

/// The same place as a point on the unit sphere (x to 0 E on the equator, z to the north pole), so that neither the
/// antimeridian nor the poles are special to a search. Treats geodetic latitude as spherical: the angle between two such
/// points times the mean radius, 6 371 008.8 m, is within 0.6 % of the geodesic; enough to search by, never to report.
std::array<double, 3> unit_vector(Position position);

/// "40°37.97'N 073°46.28'W", degrees and hundredths of a minute as charts print them.
std::string to_text(Position position);

}  // namespace omniway::earth
