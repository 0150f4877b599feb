#include "procedure/track_piece.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"

namespace omniway::procedure {
namespace {

using namespace base::literals;
using base::Angle;
using base::Duration;
using base::Length;
using base::TrueBearing;

const earth::Position here = earth::Position::degrees(40.0, -169.0);

AirTurn standard_turn(Angle turned, weather::Wind wind = {}) {
    return {here, TrueBearing::degrees(0.0), turned, aircraft::standard_rate, 120_kt, wind};
}

// Radius of a standard-rate turn at 120 kt: 0.637 NM (trade-facts 7.2, computed from TAS/(60 pi)).
TEST(TruthTrackPiece, AHalfCircleAtStandardRateIsTwoRadiiAcross) {
    const OnTrack end = finish_of(standard_turn(180_deg));
    EXPECT_NEAR(earth::distance(here, end.place).nautical_miles(), 2.0 * 0.637, 0.001);
    EXPECT_NEAR((earth::bearing(here, end.place) - TrueBearing::degrees(90.0)).degrees(), 0.0, 0.01);
    EXPECT_NEAR((end.track - TrueBearing::degrees(180.0)).degrees(), 0.0, 0.03);
    EXPECT_NEAR(time_of(standard_turn(180_deg)).count(), 60.0, 1e-9);
}

TEST(TruthTrackPiece, AFullCircleInWindEndsDownwindByTheTimeItTook) {
    // Two minutes in 30 kt: one mile.
    const OnTrack end = finish_of(standard_turn(360_deg, {TrueBearing::degrees(270.0), 30_kt}));
    EXPECT_NEAR(earth::distance(here, end.place).nautical_miles(), 1.0, 1e-6);
    EXPECT_NEAR(earth::bearing(here, end.place).degrees(), 90.0, 1e-3);
}

TEST(LawTrackPiece, ALeftTurnMirrorsARightOne) {
    const OnTrack right = finish_of(standard_turn(130_deg));
    const OnTrack left = finish_of(standard_turn(-130_deg));
    EXPECT_NEAR(earth::distance(here, right.place).metres(), earth::distance(here, left.place).metres(),
                1e-6);
    EXPECT_NEAR(earth::bearing(here, right.place).degrees() + earth::bearing(here, left.place).degrees(),
                360.0, 1e-9);
}

TEST(BruteTrackPiece, AnAirTurnIsWhatSmallStepsOfItsOwnVelocityAddUpTo) {
    const weather::Wind wind{TrueBearing::degrees(230.0), 40_kt};
    const AirTurn turn{here, TrueBearing::degrees(77.0), -200_deg, aircraft::standard_rate, 150_kt, wind};
    double north = 0.0;
    double east = 0.0;
    double length = 0.0;
    constexpr int steps = 20000;
    const double dt = 200.0 / 3.0 / steps;
    for (int i = 0; i < steps; ++i) {
        const double heading = (77.0 - 3.0 * dt * (i + 0.5)) * std::numbers::pi / 180.0;
        const double vn = 150.0 * 1852 / 3600 * std::cos(heading) +
                          40.0 * 1852 / 3600 * std::cos(50.0 * std::numbers::pi / 180);
        const double ve = 150.0 * 1852 / 3600 * std::sin(heading) +
                          40.0 * 1852 / 3600 * std::sin(50.0 * std::numbers::pi / 180);
        north += vn * dt;
        east += ve * dt;
        length += std::hypot(vn, ve) * dt;
    }
    const Displacement moved = displacement(turn, time_of(turn));
    EXPECT_NEAR(moved.north.metres(), north, 0.01);
    EXPECT_NEAR(moved.east.metres(), east, 0.01);
    EXPECT_NEAR(length_of(turn).metres(), length, length * 1e-4);
}

// Arc length for a radial: 10 NM 0.175 NM a degree (trade-facts 5, computed).
TEST(TruthTrackPiece, AnArcIsAsLongAsItsRadiusTimesItsAngle) {
    const GroundArc arc{here, 10_nm, TrueBearing::degrees(300.0), -90_deg, 120_kt};
    EXPECT_NEAR(length_of(arc).nautical_miles(), 15.708, 0.001);
    EXPECT_NEAR(earth::bearing(here, finish_of(arc).place).degrees(), 210.0, 1e-6);
    // At bearing 300 an anticlockwise arc leads south-west.
    EXPECT_NEAR((start_of(arc).track - TrueBearing::degrees(210.0)).degrees(), 0.0, 0.2);
}

TEST(LawTrackPiece, ADrawnLineKeepsWithinItsBoundOfTheTurn) {
    const AirTurn turn = standard_turn(270_deg, {TrueBearing::degrees(0.0), 50_kt});
    const TrackPiece pieces[] = {turn};
    const auto line = drawn(pieces, Length::metres(20.0));
    ASSERT_GT(line.size(), 4U);
    const double all = time_of(turn).count();
    const double step = all / static_cast<double>(line.size() - 1);
    for (std::size_t i = 0; i + 1 < line.size(); ++i) {
        const earth::Position middle = at(turn, Duration(step * (static_cast<double>(i) + 0.5))).place;
        const earth::AlongAcross off = earth::along_across(line[i], line[i + 1], middle);
        EXPECT_LE(abs(off.across).metres(), 20.0);
    }
}

TEST(LawTrackPiece, TheTrackOfAStraightBearsAsItsGeodesicDoesAtItsEnd) {
    const Straight line{here, TrueBearing::degrees(90.0), 60_nm, 100_kt};
    const OnTrack end = finish_of(line);
    EXPECT_NEAR((end.track - earth::geodesic(here, end.place).arrival).degrees(), 0.0, 1e-9);
    EXPECT_NEAR(time_of(line).count(), 2160.0, 1e-6);
}

}  // namespace
}  // namespace omniway::procedure
