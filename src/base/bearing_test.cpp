#include "base/bearing.hpp"

#include <cmath>
#include <cstdint>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::base {
namespace {

// What does not compile is in tests/refused/bearings.cpp.

rc::Gen<double> degrees_of_any_size() {
    return rc::gen::map(
        rc::gen::resize(rc::kNominalSize, rc::gen::inRange<std::int64_t>(-10'000'000'000, 10'000'000'001)),
        [](std::int64_t millionths) { return static_cast<double>(millionths) * 1e-6; });
}

TEST(CaseBearing, NorthIsZeroHoweverItIsWritten) {
    EXPECT_EQ(TrueBearing::degrees(360.0).degrees(), 0.0);
    EXPECT_EQ(TrueBearing::degrees(720.0).degrees(), 0.0);
    EXPECT_EQ(TrueBearing::degrees(-360.0).degrees(), 0.0);
    EXPECT_EQ(TrueBearing::degrees(-0.0).degrees(), 0.0);
    EXPECT_EQ(TrueBearing::degrees(360.0), TrueBearing());
}

TEST(CaseBearing, NorthHasNoSign) {
    EXPECT_FALSE(std::signbit(TrueBearing::degrees(-0.0).degrees()));
    EXPECT_FALSE(std::signbit(TrueBearing::degrees(-360.0).degrees()));
    EXPECT_FALSE(std::signbit((TrueBearing::degrees(10.0) - TrueBearing::degrees(10.0)).degrees()));
}

// -1e-20 + 360 rounds to 360, which is no bearing.
TEST(CaseBearing, AHairWestOfNorthIsNever360) {
    EXPECT_LT(TrueBearing::degrees(-1e-20).degrees(), 360.0);
    EXPECT_GE(TrueBearing::degrees(-1e-20).degrees(), 0.0);
    EXPECT_LT(TrueBearing::degrees(std::nextafter(360.0, 0.0)).degrees(), 360.0);
}

TEST(CaseBearing, WestOfNorthCountsDownFrom360) {
    EXPECT_EQ(TrueBearing::degrees(-10.0).degrees(), 350.0);
    EXPECT_EQ(TrueBearing::degrees(-370.0).degrees(), 350.0);
    EXPECT_EQ((TrueBearing::degrees(350.0) + 20_deg).degrees(), 10.0);
    EXPECT_EQ((TrueBearing::degrees(10.0) - 20_deg).degrees(), 350.0);
    EXPECT_EQ(TrueBearing::from_north(-90_deg).degrees(), 270.0);
}

TEST(CaseBearing, TheReciprocalLiesOpposite) {
    EXPECT_EQ(TrueBearing::degrees(0.0).reciprocal().degrees(), 180.0);
    EXPECT_EQ(TrueBearing::degrees(180.0).reciprocal().degrees(), 0.0);
    EXPECT_EQ(Radial::degrees(271.5).reciprocal().degrees(), 91.5);
}

double turn(double from, double to) {
    return (TrueBearing::degrees(to) - TrueBearing::degrees(from)).degrees();
}

TEST(CaseTurn, TheShorterWayIsTakenAndRightIsPositive) {
    EXPECT_NEAR(turn(350.0, 10.0), 20.0, 1e-12);
    EXPECT_NEAR(turn(10.0, 350.0), -20.0, 1e-12);
    EXPECT_NEAR(turn(90.0, 269.0), 179.0, 1e-12);
    EXPECT_NEAR(turn(90.0, 271.0), -179.0, 1e-12);
    EXPECT_EQ(turn(77.0, 77.0), 0.0);
}

TEST(CaseTurn, AHalfTurnIsToTheRightWhicheverWay) {
    EXPECT_NEAR(turn(0.0, 180.0), 180.0, 1e-12);
    EXPECT_NEAR(turn(180.0, 0.0), 180.0, 1e-12);
    EXPECT_NEAR(turn(270.0, 90.0), 180.0, 1e-12);
}

// "Variation east, magnetic least": with 10 degrees of east variation a true course of 080 is flown as 070 by the compass
// (FAA-H-8083-25, Pilot's Handbook of Aeronautical Knowledge, chapter on navigation [from memory]).
TEST(TruthVariation, EastIsLeastAndWestIsBest) {
    const Variation east = Variation::east(10_deg);
    const Variation west = Variation::east(-14_deg);
    EXPECT_NEAR(to_magnetic(TrueBearing::degrees(80.0), east).degrees(), 70.0, 1e-12);
    EXPECT_NEAR(to_magnetic(TrueBearing::degrees(80.0), west).degrees(), 94.0, 1e-12);
    EXPECT_NEAR(to_true(MagneticBearing::degrees(355.0), east).degrees(), 5.0, 1e-12);
}

// FAA CIFP: a station whose zero radial was last set to 4 degrees west; a fix that lies true 131.35 from it is coded on its
// radial 135.4 (ARINC 424-18, station declination).
TEST(TruthDeclination, ARadialCountsFromTheStationsOwnNorth) {
    const Declination station = Declination::east(-4_deg);
    EXPECT_NEAR(to_radial(TrueBearing::degrees(131.354), station).degrees(), 135.4, 0.05);
    EXPECT_NEAR(to_true(Radial::degrees(135.354), station).degrees(), 131.354, 1e-9);
}

RC_GTEST_PROP(LawBearing, AnyAngleIsBroughtToTheCircle, ()) {
    const double degrees = *degrees_of_any_size();
    const double bearing = TrueBearing::degrees(degrees).degrees();
    RC_ASSERT(bearing >= 0.0);
    RC_ASSERT(bearing < 360.0);
    // 1e-13 degrees is the header's bound for inputs under 1e4.
    RC_ASSERT(std::abs(std::remainder(bearing - degrees, 360.0)) <= 1e-13);
}

RC_GTEST_PROP(LawBearing, TurningByTheDifferenceLeadsFromOneToTheOther, ()) {
    const TrueBearing from = TrueBearing::degrees(*degrees_of_any_size());
    const TrueBearing to = TrueBearing::degrees(*degrees_of_any_size());
    const Angle turn = to - from;
    RC_ASSERT(turn.degrees() > -180.0);
    RC_ASSERT(turn.degrees() <= 180.0);
    RC_ASSERT(std::abs((from + turn - to).degrees()) < 2e-13);
    RC_ASSERT(std::abs((to - turn - from).degrees()) < 2e-13);
}

RC_GTEST_PROP(LawBearing, OutOverVariationAndBackIsTheSame, ()) {
    const TrueBearing course = TrueBearing::degrees(*degrees_of_any_size());
    const Angle east = Angle::degrees(*degrees_of_any_size() / 60.0);
    const TrueBearing by_compass = to_true(to_magnetic(course, Variation::east(east)), Variation::east(east));
    const TrueBearing by_radial =
        to_true(to_radial(course, Declination::east(east)), Declination::east(east));
    RC_ASSERT(std::abs((by_compass - course).degrees()) < 2e-13);
    RC_ASSERT(std::abs((by_radial - course).degrees()) < 2e-13);
}

RC_GTEST_PROP(LawBearing, TheReciprocalOfTheReciprocalIsTheBearing, ()) {
    const Radial radial = Radial::degrees(*degrees_of_any_size());
    RC_ASSERT(std::abs((radial.reciprocal().reciprocal() - radial).degrees()) < 2e-13);
    RC_ASSERT(std::abs((radial.reciprocal() - radial).degrees()) > 179.9999);
}

}  // namespace
}  // namespace omniway::base
