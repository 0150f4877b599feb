#include "procedure/turning.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"

namespace omniway::procedure {
namespace {

using namespace base::literals;
using base::Angle;
using base::Length;
using base::TrueBearing;
using navdata::Turn;

const earth::Position here = earth::Position::degrees(48.0, -169.0);

Motion still_air(double airspeed_kt) {
    return motion_at(base::Speed::knots(airspeed_kt), {});
}

weather::Wind wind(double from_deg, double speed_kt) {
    return {TrueBearing::degrees(from_deg), base::Speed::knots(speed_kt)};
}

// TAS/(60 pi), trade-facts 7.2: what a turn at standard rate measures, up to 170 kt.
double radius_nm(double airspeed_kt) {
    return airspeed_kt / (60.0 * std::numbers::pi);
}

double radians(double degrees) {
    return degrees * std::numbers::pi / 180.0;
}

// How far right of a line a place on track lies, and how its track differs: by geodesics, not by the plane of the joins.
void expect_on_line(const OnTrack& end, const Line& line, double within_m = 2.0) {
    const earth::Position behind = earth::destination(line.through, line.track.reciprocal(), 80_nm);
    const earth::AlongAcross off = earth::along_across(behind, line.through, end.place);
    EXPECT_NEAR(off.across.metres(), 0.0, within_m);
    const earth::Position foot = earth::destination(behind, earth::bearing(behind, line.through), off.along);
    const earth::Geodesic from_behind = earth::geodesic(behind, foot);
    EXPECT_NEAR((end.track - from_behind.arrival).degrees(), 0.0, 0.05);
}

void expect_joined(const OnTrack& from, const std::vector<TrackPiece>& pieces) {
    OnTrack now = from;
    for (const TrackPiece& piece : pieces) {
        const OnTrack start = start_of(piece);
        EXPECT_LT(earth::distance(now.place, start.place).metres(), 2.0);
        EXPECT_NEAR((start.track - now.track).degrees(), 0.0, 0.05);
        now = finish_of(piece);
    }
}

}  // namespace

// A circle that touches both lines begins r tan(half the turn) before they meet.
TEST(TruthTurning, ATurnAtAFixIsLedByItsRadiusTimesTheTangentOfHalfOfIt) {
    for (const double turned_deg : {-119.0, -60.0, 5.0, 30.0, 90.0, 120.0}) {
        const auto join = turn_onto_line({here, TrueBearing::degrees(350.0)},
                                         {here, TrueBearing::degrees(350.0 + turned_deg)}, Turn::unspecified,
                                         still_air(120));
        ASSERT_TRUE(join);
        const double lead = radius_nm(120) * std::tan(std::abs(radians(turned_deg)) / 2.0);
        EXPECT_NEAR(-join->ahead.nautical_miles(), lead, 0.001);
        EXPECT_NEAR(join->along.nautical_miles(), lead, 0.001);
        EXPECT_NEAR(join->turn.turned.degrees(), turned_deg, 1e-6);
        expect_on_line(finish_of(join->turn), {here, TrueBearing::degrees(350.0 + turned_deg)});
    }
}

// With the wind behind a turn is carried on while it lasts: 90 degrees in 30 s of 30 kt are 0.25 NM more of lead.
TEST(TruthTurning, AWindFromBehindBringsTheTurnForwardByWhatItDriftsMeanwhile) {
    const auto motion = motion_at(120_kt, wind(180.0, 30));
    const auto join = turn_onto_line({here, TrueBearing::degrees(0.0)}, {here, TrueBearing::degrees(90.0)},
                                     Turn::unspecified, motion);
    ASSERT_TRUE(join);
    // On the second line the nose points 14.5 degrees into the wind: asin(30/120), so 104.5 degrees are turned.
    EXPECT_NEAR(join->turn.turned.degrees(), 104.478, 0.001);
    const double r = radius_nm(120);
    const double drift = 30.0 * (104.478 / 3.0) / 3600.0;
    EXPECT_NEAR(-join->ahead.nautical_miles(), r * std::sin(radians(104.478)) + drift, 0.001);
}

// USN P-871 (trade-facts 5): at 150 kt onto a 10 DME arc begin at 10.8 inbound, at 9.2 outbound; exactly, the turning circle
// touches the arc from outside at sqrt(R2 + 2Rr), from inside at sqrt(R2 - 2Rr).
TEST(TruthTurning, AnArcOfTenMilesAtAHundredAndFiftyKnotsIsLedByEightTenths) {
    const Motion motion = still_air(150);
    const double r = radius_nm(150);
    for (const bool clockwise : {true, false}) {
        const Circle arc{here, 10_nm, clockwise};
        const earth::Position outside = earth::destination(here, TrueBearing::degrees(70.0), 15_nm);
        const auto inbound =
            turn_onto_circle({outside, earth::bearing(outside, here)}, arc, {Length(), 10_nm}, motion);
        ASSERT_TRUE(inbound);
        EXPECT_NEAR(15.0 - inbound->ahead.nautical_miles(), 10.8, 0.05);
        EXPECT_NEAR(15.0 - inbound->ahead.nautical_miles(), std::sqrt(100 + 20 * r), 0.002);
        EXPECT_EQ(inbound->turn.turned < Angle(), clockwise);
        const earth::Position inside = earth::destination(here, TrueBearing::degrees(70.0), 3_nm);
        const auto outbound =
            turn_onto_circle({inside, earth::bearing(here, inside)}, arc, {Length(), 10_nm}, motion);
        ASSERT_TRUE(outbound);
        EXPECT_NEAR(3.0 + outbound->ahead.nautical_miles(), 9.2, 0.05);
        EXPECT_NEAR(3.0 + outbound->ahead.nautical_miles(), std::sqrt(100 - 20 * r), 0.002);
        EXPECT_EQ(outbound->turn.turned > Angle(), clockwise);
    }
}

// trade-facts 5, lead radials computed from 60 r / R: 4.56 at 150 kt on 10 NM, 3.0 at 120 kt on 12 NM; exactly, inbound
// asin(r / (R - r)) and outbound asin(r / (R + r)), half a degree to either side.
TEST(TruthTurning, AnArcIsLeftALeadRadialBeforeTheCourse) {
    struct Row {
        double speed_kt;
        double arc_nm;
        double lead_deg;
    };
    for (const Row row : {Row{150, 10, 4.56}, Row{120, 12, 3.0}, Row{90, 7, 3.9}}) {
        const Motion motion = still_air(row.speed_kt);
        const double r = radius_nm(row.speed_kt);
        const Circle arc{here, Length::nautical_miles(row.arc_nm), true};
        const TrueBearing radial = TrueBearing::degrees(310.0);
        const earth::Position end = earth::destination(here, radial, arc.radius);
        const TrueBearing outward = earth::geodesic(here, end).arrival;
        const auto inbound =
            turn_off_circle(arc, radial, {end, outward.reciprocal()}, Turn::unspecified, motion);
        const auto outbound = turn_off_circle(arc, radial, {end, outward}, Turn::unspecified, motion);
        ASSERT_TRUE(inbound && outbound);
        const double lead_in = (radial - inbound->leaves).degrees();
        const double lead_out = (radial - outbound->leaves).degrees();
        EXPECT_NEAR(radians(lead_in), std::asin(r / (row.arc_nm - r)), 0.0005);
        EXPECT_NEAR(radians(lead_out), std::asin(r / (row.arc_nm + r)), 0.0005);
        EXPECT_NEAR((lead_in + lead_out) / 2.0, row.lead_deg, 0.15);
        expect_on_line(finish_of(inbound->turn), {end, outward.reciprocal()});
        expect_on_line(finish_of(outbound->turn), {end, outward});
    }
}

// A right angle flown over: without wind the aircraft is r beside the line when its nose is on it, and comes back at 45 degrees.
// Plane trigonometry: after 135 degrees it is r (1 - cos 135) beside it, and the last 45 degrees take r (1 - cos 45).
TEST(TruthTurning, FlownOverAFixALineIsComeBackToAtFortyFiveDegrees) {
    const Motion motion = still_air(120);
    const double r = radius_nm(120);
    const Line line{here, TrueBearing::degrees(90.0)};
    const OnTrack over{here, TrueBearing::degrees(0.0)};
    const auto join = join_line(over, line, {.steepest = 45_deg}, motion);
    ASSERT_TRUE(join);
    expect_joined(over, join->pieces);
    expect_on_line(finish_of(join->pieces.back()), line);
    const double cos45 = std::sqrt(0.5);
    // Along the line: sin for the first turn, the leg at 45 degrees from beside it, the last turn.
    const double beside = r * cos45;  // r sin(90) against the line, less what 45 degrees more turn back
    const double straight_across = beside - r * (1 - cos45);
    ASSERT_EQ(join->pieces.size(), 3U);
    EXPECT_NEAR(join->intercept.degrees(), 45.0, 1e-6);
    EXPECT_NEAR(length_of(join->pieces[1]).nautical_miles(), straight_across / cos45, 0.002);
    EXPECT_NEAR(join->along.nautical_miles(), r * (1 + cos45) + straight_across + r * cos45, 0.003);
}

TEST(TruthTurning, WithoutRoomForFortyFiveDegreesTheInterceptIsSmaller) {
    const Line line{here, TrueBearing::degrees(90.0)};
    const OnTrack over{here, TrueBearing::degrees(80.0)};
    const auto join = join_line(over, line, {.steepest = 45_deg}, still_air(120));
    ASSERT_TRUE(join);
    EXPECT_LT(join->intercept.degrees(), 10.0);
    EXPECT_GT(join->intercept.degrees(), 1.0);
    EXPECT_FALSE(join_line(over, line, {.steepest = 45_deg, .not_beyond = 0.01_nm}, still_air(120)));
}

// Outside the two circles a tangent leads to the fix: without wind sin and cos of the triangle centre, fix, point of tangency.
TEST(TruthTurning, ATurnDirectToAFixEndsOnTheTangentThroughIt) {
    const double r = radius_nm(120);
    const earth::Position fix = earth::destination(here, TrueBearing::degrees(90.0), 5_nm);
    const OnTrack from{here, TrueBearing::degrees(0.0)};
    const auto turn = turn_direct(from, fix, Turn::unspecified, still_air(120));
    ASSERT_TRUE(turn);
    // Right turn about a centre r to the east: the fix is 5 - r from it, the tangent touches where cos(v) = r / (5 - r).
    const double turned = 180.0 - std::acos(r / (5.0 - r)) * 180.0 / std::numbers::pi;
    EXPECT_NEAR(turn->turned.degrees(), turned, 0.01);
    const auto left = turn_direct(from, fix, Turn::left, still_air(120));
    ASSERT_TRUE(left);
    EXPECT_NEAR(left->turned.degrees(), -360.0 + std::acos(r / (5.0 + r)) * 180.0 / std::numbers::pi, 0.01);
    const earth::Position inside = earth::destination(here, TrueBearing::degrees(90.0), 0.5_nm);
    EXPECT_FALSE(turn_direct(from, inside, Turn::right, still_air(120)));
    EXPECT_TRUE(turn_direct(from, inside, Turn::left, still_air(120)));
}

RC_GTEST_PROP(LawTurning, AJoinedLineIsReachedOnItsTrackFromAnywhereInAnyWind, ()) {
    const Motion motion = motion_at(base::Speed::knots(*rc::gen::inRange(80, 250)),
                                    wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 60)));
    const Line line{here, TrueBearing::degrees(*rc::gen::inRange(0, 360))};
    const OnTrack from{earth::destination(here, TrueBearing::degrees(*rc::gen::inRange(0, 360)),
                                          Length::metres(*rc::gen::inRange(0, 20000))),
                       TrueBearing::degrees(*rc::gen::inRange(0, 360))};
    const Turn side = *rc::gen::element(Turn::unspecified, Turn::left, Turn::right);
    const auto join =
        join_line(from, line, {.steepest = Angle::degrees(*rc::gen::inRange(30, 60)), .side = side}, motion);
    RC_ASSERT(join.has_value());
    OnTrack now = from;
    for (const TrackPiece& piece : join->pieces) {
        const OnTrack start = start_of(piece);
        RC_ASSERT(earth::distance(now.place, start.place).metres() < 2.0);
        RC_ASSERT(std::abs((start.track - now.track).degrees()) < 0.05);
        now = finish_of(piece);
    }
    const earth::Position behind = earth::destination(line.through, line.track.reciprocal(), 80_nm);
    RC_ASSERT(std::abs(earth::along_across(behind, line.through, now.place).across.metres()) < 4.0);
    RC_ASSERT(
        std::abs((now.track - earth::bearing(now.place, earth::destination(line.through, line.track, 80_nm)))
                     .degrees()) < 0.15);
}

RC_GTEST_PROP(LawTurning, ATurnOntoACircleEndsOnItAlongIt, ()) {
    const Motion motion = motion_at(base::Speed::knots(*rc::gen::inRange(80, 200)),
                                    wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 50)));
    const Circle circle{here, Length::nautical_miles(*rc::gen::inRange(7, 25)), *rc::gen::arbitrary<bool>()};
    const TrueBearing out = TrueBearing::degrees(*rc::gen::inRange(0, 360));
    const earth::Position outside = earth::destination(here, out, circle.radius + 8_nm);
    const OnTrack from{outside, earth::bearing(outside, here) + Angle::degrees(*rc::gen::inRange(-15, 16))};
    const auto join = turn_onto_circle(from, circle, {Length(), 12_nm}, motion);
    RC_PRE(join.has_value());
    const OnTrack end = finish_of(join->turn);
    const earth::Geodesic from_centre = earth::geodesic(here, end.place);
    RC_ASSERT(std::abs((from_centre.distance - circle.radius).metres()) < 3.0);
    const TrueBearing along = from_centre.arrival + Angle::degrees(circle.clockwise ? 90.0 : -90.0);
    RC_ASSERT(std::abs((end.track - along).degrees()) < 0.05);
    RC_ASSERT(std::abs((from_centre.initial - join->joins).degrees()) < 0.01);
}

RC_GTEST_PROP(LawTurning, ADirectTurnEndsWithItsTrackThroughTheFix, ()) {
    const Motion motion = motion_at(base::Speed::knots(*rc::gen::inRange(80, 200)),
                                    wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 50)));
    const earth::Position fix = earth::destination(here, TrueBearing::degrees(*rc::gen::inRange(0, 360)),
                                                   Length::nautical_miles(*rc::gen::inRange(8, 30)));
    const OnTrack from{here, TrueBearing::degrees(*rc::gen::inRange(0, 360))};
    const Turn side = *rc::gen::element(Turn::unspecified, Turn::left, Turn::right);
    const auto turn = turn_direct(from, fix, side, motion);
    RC_ASSERT(turn.has_value());
    const OnTrack end = finish_of(*turn);
    RC_ASSERT(std::abs((earth::bearing(end.place, fix) - end.track).degrees()) < 0.1);
}

}  // namespace omniway::procedure
