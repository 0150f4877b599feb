#include "earth/local_frame.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"

using namespace omniway;
using base::Length;
using earth::LocalFrame;
using earth::Position;

namespace {

double wrapped_deg(double degrees) {
    return std::remainder(degrees, 360.0);
}

double between(double from, double to) {
    return from + (to - from) * *rc::gen::inRange(0, 1'000'001) / 1e6;
}

}  // namespace

// What the header says of 300 NM, against Karney's geodesics.
RC_GTEST_PROP(TruthLocalFrame, SightsAreThoseOfTheGeodesic, ()) {
    const Position centre = Position::degrees(between(-65.0, 65.0), between(-180.0, 180.0));
    const LocalFrame frame(centre);
    const auto somewhere = [&](Position about, double most_nm) {
        return earth::destination(about, base::TrueBearing::degrees(between(0.0, 360.0)),
                                  Length::nautical_miles(between(1.0, most_nm)));
    };
    const Position from = somewhere(centre, 250.0);
    const Position to = somewhere(from, 300.0);
    RC_PRE(std::abs(to.latitude_deg()) < 70.0 && std::abs(from.latitude_deg()) < 70.0 &&
           earth::distance(centre, to) < Length::nautical_miles(250.0));
    const auto truth = earth::geodesic(from, to);
    const auto plane_from = frame.to_plane(from);
    const auto seen = frame.sight(plane_from, frame.to_plane(to));
    RC_ASSERT(std::abs(seen.distance_m - truth.distance.metres()) < 0.002 * 1852.0);
    const double error_deg =
        wrapped_deg(frame.to_true(seen.grid_rad, plane_from).degrees() - truth.initial.degrees());
    RC_ASSERT(std::abs(error_deg) < 0.002);
}

RC_GTEST_PROP(LawLocalFrame, ThereAndBackIsTheSamePlace, ()) {
    const LocalFrame frame(Position::degrees(between(-65.0, 65.0), between(-180.0, 180.0)));
    const earth::PlanePoint place{between(-4e5, 4e5), frame.to_plane(Position::degrees(40.0, 0.0)).north_m};
    const earth::PlanePoint again = frame.to_plane(frame.to_position(place));
    RC_ASSERT(std::hypot(again.east_m - place.east_m, again.north_m - place.north_m) < 1e-3);
}
