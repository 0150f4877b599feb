#include "earth/geodesic.hpp"

#include <cmath>

#include <GeographicLib/Geodesic.hpp>

namespace omniway::earth {

using base::Length;
using base::TrueBearing;

namespace {

const GeographicLib::Geodesic& wgs84() {
    return GeographicLib::Geodesic::WGS84();
}

}  // namespace

Geodesic geodesic(Position from, Position to) {
    double metres = 0.0;
    double initial = 0.0;
    double arrival = 0.0;
    wgs84().Inverse(from.latitude_deg(), from.longitude_deg(), to.latitude_deg(), to.longitude_deg(), metres,
                    initial, arrival);
    return {Length::metres(metres), TrueBearing::degrees(initial), TrueBearing::degrees(arrival)};
}

Length distance(Position from, Position to) {
    double metres = 0.0;
    wgs84().Inverse(from.latitude_deg(), from.longitude_deg(), to.latitude_deg(), to.longitude_deg(), metres);
    return Length::metres(metres);
}

TrueBearing bearing(Position from, Position to) {
    return geodesic(from, to).initial;
}

Position destination(Position from, TrueBearing initial, Length length) {
    double latitude = 0.0;
    double longitude = 0.0;
    wgs84().Direct(from.latitude_deg(), from.longitude_deg(), initial.degrees(), length.metres(), latitude,
                   longitude);
    return Position::degrees(latitude, longitude);
}

// The foot of the perpendicular, by steps on the sphere of mean radius about the last foot: each step shrinks the error by the
// flattening, 1/298, so a few reach a tenth of a millimetre.
AlongAcross along_across(Position from, Position to, Position place) {
    const Geodesic line = geodesic(from, to);
    const Geodesic to_place = geodesic(from, place);
    // First guess on a plane.
    const base::Angle off = to_place.initial - line.initial;
    double along_m = to_place.distance.metres() * base::cos(off);
    for (int step = 0; step < 6; ++step) {
        double latitude = 0.0;
        double longitude = 0.0;
        double azimuth = 0.0;
        wgs84().Direct(from.latitude_deg(), from.longitude_deg(), line.initial.degrees(), along_m, latitude,
                       longitude, azimuth);
        double metres = 0.0;
        double to_place_azimuth = 0.0;
        double unused = 0.0;
        wgs84().Inverse(latitude, longitude, place.latitude_deg(), place.longitude_deg(), metres,
                        to_place_azimuth, unused);
        const base::Angle turn = TrueBearing::degrees(to_place_azimuth) - TrueBearing::degrees(azimuth);
        // On a sphere of the mean radius the foot moves by R atan(tan(s/R) cos(turn)); exact enough to converge.
        constexpr double radius_m = 6371008.8;
        const double move = radius_m * std::atan(std::tan(metres / radius_m) * base::cos(turn));
        along_m += move;
        if (std::abs(move) < 1e-4) {
            break;
        }
    }
    double latitude = 0.0;
    double longitude = 0.0;
    double azimuth = 0.0;
    wgs84().Direct(from.latitude_deg(), from.longitude_deg(), line.initial.degrees(), along_m, latitude,
                   longitude, azimuth);
    const Geodesic aside = geodesic(Position::degrees(latitude, longitude), place);
    const base::Angle side = aside.initial - TrueBearing::degrees(azimuth);
    return {Length::metres(along_m), side.degrees() < 0.0 ? -aside.distance : aside.distance};
}

}  // namespace omniway::earth
