#include "earth/geodesic.hpp"

#include <cmath>

#include <GeographicLib/Geodesic.hpp>
#include <GeographicLib/GeodesicLine.hpp>

namespace omniway::earth {

using base::Angle;
using base::Length;
using base::TrueBearing;

namespace {

// NIMA TR8350.2: the mean radius of the three semi-axes of WGS 84. Only first guesses and steps rest on it.
constexpr double mean_radius_m = 6371008.8;

const GeographicLib::Geodesic& wgs84() {
    return GeographicLib::Geodesic::WGS84();
}

// How far along a great circle the foot of a place lies that is `metres` away and `turn` off the circle's direction:
// Napier's rule for the right-angled spherical triangle, tan(along) = tan(distance) cos(turn).
double to_foot_m(double metres, Angle turn) {
    const double angle = metres / mean_radius_m;
    return mean_radius_m * std::atan2(std::sin(angle) * base::cos(turn), std::cos(angle));
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

// The foot of the perpendicular, by steps on a sphere from the last foot. The sphere is wrong by the flattening, 1/298, so
// each step leaves a few thousandths of the error it found: from hundreds of miles to a tenth of a millimetre in four.
AlongAcross along_across(Position from, Position to, Position place) {
    constexpr int most_steps = 20;
    constexpr double close_enough_m = 1e-4;
    const Geodesic toward = geodesic(from, to);
    const Geodesic to_place = geodesic(from, place);
    const GeographicLib::GeodesicLine line =
        wgs84().Line(from.latitude_deg(), from.longitude_deg(), toward.initial.degrees());
    double along_m = to_foot_m(to_place.distance.metres(), to_place.initial - toward.initial);
    Length aside;
    Angle turn;
    for (int step = 0; step < most_steps; ++step) {
        double latitude = 0.0;
        double longitude = 0.0;
        double direction = 0.0;
        line.Position(along_m, latitude, longitude, direction);
        const Geodesic from_foot = geodesic(Position::degrees(latitude, longitude), place);
        aside = from_foot.distance;
        turn = from_foot.initial - TrueBearing::degrees(direction);
        const double move_m = to_foot_m(aside.metres(), turn);
        if (std::abs(move_m) < close_enough_m) {
            break;
        }
        along_m += move_m;
    }
    return {Length::metres(along_m), turn < Angle() ? -aside : aside};
}

}  // namespace omniway::earth
