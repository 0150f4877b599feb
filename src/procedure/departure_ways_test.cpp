#include "procedure/departure_ways.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "procedure/detail/terminal_route.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Speed;
using base::TrueBearing;
using navdata::PathTerminator;
using navdata::ProcedureKind;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::LegDrawn;
using omniway::testing::Sketch;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

namespace {

constexpr Aboard radios{.receivers = 2, .dme = true};

// RW09 about the origin; a VOR/DME behind it whose radial 090 leads out, and one beside it whose radial 360 crosses.
//
//            NORTH (3,20)
//              |
//   AAA ==09== + ------- EASTA (15,0) ---- EASTB (30,0)
//  (-3,0)      |
//             BBB (3,-10)
Sketch airport() {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0});
    sketch.vor("AAA", {-3, 0}, {.dme = ServiceClass::low}).vor("BBB", {3, -10}, {.dme = ServiceClass::low});
    sketch.fix("EASTA", {15, 0}).fix("EASTB", {30, 0}).fix("NORTH", {3, 20});
    return sketch;
}

navdata::Leg climb_ahead(const Sketch& sketch) {
    return sketch.leg(PathTerminator::VA, "", {.course_deg = 90.0, .altitude_ft = 800.0});
}
navdata::Leg out_east(const Sketch& sketch, std::optional<double> altitude_ft = std::nullopt) {
    return sketch.leg(PathTerminator::CF, "EASTA",
                      {.recommended = "AAA", .course_deg = 90.0, .altitude_ft = altitude_ft});
}
navdata::Leg out_north(const Sketch& sketch) {
    return sketch.leg(PathTerminator::CF, "NORTH", {.recommended = "BBB", .course_deg = 360.0});
}

void sid(Sketch& sketch, char route_type, const std::string& transition, std::vector<navdata::Leg> legs) {
    sketch.branch(ProcedureKind::departure, "XAAA", "SIDA1", route_type, transition, std::move(legs));
}

std::vector<DepartureWay> ways_of(const navdata::Snapshot& world, const Aboard& aboard = radios,
                                  double headwind_kt = 0) {
    static const aircraft::Aircraft twin = aircraft_with(radios);
    for (const navdata::RunwayId id : world.runways_of("XAAA")) {
        if (world[id].ident == "RW09") {
            const TakeOff take_off{
                id,
                *world[id].far_end,
                TrueBearing::degrees(90),
                Altitude::feet(0),
                {&twin.performance, weather::Wind{TrueBearing::degrees(90), Speed::knots(headwind_kt)}}};
            return departure_ways(world, radio::Ground{}, omniway::testing::equipment(aboard),
                                  *world.airport("XAAA"), take_off);
        }
    }
    return {};
}

std::vector<std::string> codes(const DepartureWay& way) {
    std::vector<std::string> all;
    for (const base::Finding& finding : way.findings) {
        all.push_back(finding.code);
    }
    return all;
}

}  // namespace

// By hand: 800 ft at 1,469 ft/min on average take 0.545 min, 0.996 NM at 110.7 kt up a slope of 7.5 degrees.
TEST(TruthDepartureWay, AClimbAheadIsAsLongAsTheAircraftClimbsAndTheRadialLeadsOn) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {climb_ahead(sketch), out_east(sketch)});
    const auto world = sketch.world();
    const auto ways = ways_of(world);
    ASSERT_EQ(ways.size(), 1U);
    const DepartureWay& way = ways[0];
    EXPECT_THAT(codes(way), IsEmpty());
    EXPECT_EQ(way.name(), "SIDA1");
    ASSERT_EQ(way.legs.size(), 2U);
    EXPECT_NEAR(way.legs[0].length.nautical_miles(), 0.996, 0.003);
    EXPECT_DOUBLE_EQ(std::get<AtAltitude>(way.legs[0].ending).altitude.feet(), 800.0);
    const auto& radial = std::get<OnRadial>(way.legs[1].guidance);
    EXPECT_EQ(world[radial.station].ident, "AAA");
    EXPECT_FALSE(radial.toward);
    EXPECT_EQ(way.end.ident, "EASTA");
    EXPECT_NEAR(way.end_track.degrees(), 90.0, 0.3);
    // From the far end of the 6,000 ft runway, 0.49 NM east of its middle.
    EXPECT_NEAR(way.length.nautical_miles(), 15.0 - 0.49, 0.02);
}

TEST(CaseDepartureWay, RunwayCommonAndEnrouteTransitionAreOneWay) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {climb_ahead(sketch), out_east(sketch)});
    sid(sketch, '3', "EASTB",
        {sketch.leg(PathTerminator::IF, "EASTA"),
         sketch.leg(PathTerminator::TF, "EASTB", {.recommended = "AAA"})});
    const auto world = sketch.world();
    const auto ways = ways_of(world);
    ASSERT_EQ(ways.size(), 2U);
    EXPECT_EQ(ways[1].name(), "SIDA1 via EASTB");
    EXPECT_THAT(codes(ways[1]), IsEmpty());
    EXPECT_EQ(ways[1].end.ident, "EASTB");
    EXPECT_EQ(ways[1].legs.size(), 3U);
}

// AIM 5-2-9, from memory: no turn below 400 ft; then a heading of 45 degrees onto the course. The runway ends at 0.49 NM east, 400 ft
// are reached about 0.49 NM farther, the course runs 3 NM east of the middle: 2.02 NM aside, 2.86 NM at 45 degrees.
TEST(TruthDepartureWay, ACourseAsideIsTurnedOntoAt400FeetAndJoinedAt45Degrees) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {out_north(sketch)});
    const auto ways = ways_of(sketch.world());
    ASSERT_EQ(ways.size(), 1U);
    const DepartureWay& way = ways[0];
    EXPECT_THAT(codes(way), IsEmpty());
    ASSERT_EQ(way.legs.size(), 3U);
    EXPECT_EQ(way.legs[0].coded, nullptr);
    EXPECT_DOUBLE_EQ(std::get<AtAltitude>(way.legs[0].ending).altitude.feet(), 400.0);
    EXPECT_NEAR(way.legs[0].track.degrees(), 90.0, 0.01);
    EXPECT_NEAR(way.legs[1].track.degrees(), 45.0, 0.3);
    EXPECT_NEAR(way.legs[1].length.nautical_miles(), 2.86, 0.03);
    EXPECT_TRUE(std::holds_alternative<AtIntercept>(way.legs[1].ending));
    EXPECT_EQ(way.end.ident, "NORTH");
}

// A course 3 NM aside that would be joined at 45 degrees only behind its fix is joined more steeply.
TEST(CaseDepartureWay, ANearFixIsJoinedAtMoreThan45Degrees) {
    Sketch sketch = airport();
    sketch.fix("NEARA", {3, 2});
    sid(sketch, '1', "RW09",
        {sketch.leg(PathTerminator::CF, "NEARA", {.recommended = "BBB", .course_deg = 360.0})});
    const auto ways = ways_of(sketch.world());
    ASSERT_EQ(ways.at(0).legs.size(), 3U);
    EXPECT_NEAR(ways[0].legs[1].track.degrees(), 60.0, 0.5);  // off the course of 360
}

// A heading of 060 from where the climb ahead ends.
TEST(TruthDepartureWay, AHeadingEndsWhereItMeetsTheNextCourse) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09",
        {climb_ahead(sketch), sketch.leg(PathTerminator::VI, "", {.course_deg = 60.0}), out_north(sketch)});
    const auto ways = ways_of(sketch.world());
    ASSERT_EQ(ways.at(0).legs.size(), 3U);
    const auto& heading = ways[0].legs[1];
    // 800 ft are reached 0.996 NM after the runway's end: 1.51 NM remain to the course; over sin 60.
    EXPECT_NEAR(heading.length.nautical_miles(), (3.0 - 0.494 - 0.996) / std::sin(60.0 * 3.14159265 / 180.0),
                0.02);
    EXPECT_NEAR(earth::distance(heading.finish, ways[0].legs[2].start).nautical_miles(), 0.0,
                0.02);  // the course is coded to a tenth of a degree
}

// A course is coded to a tenth of a degree: here a tenth beside the radial through its fix, so that its line passes the radial by
// 0.02 NM where the heading comes to it. It is the radial that the needle shows.
TEST(CaseDepartureWay, TheCourseAfterAHeadingBeginsWhereTheHeadingEndsThoughItIsCodedBesideTheRadial) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09",
        {climb_ahead(sketch), sketch.leg(PathTerminator::VI, "", {.course_deg = 60.0}),
         sketch.leg(PathTerminator::CF, "NORTH", {.recommended = "BBB", .course_deg = 0.1})});
    const auto ways = ways_of(sketch.world());
    ASSERT_EQ(ways.at(0).legs.size(), 3U);
    EXPECT_NEAR(earth::distance(ways[0].legs[1].finish, ways[0].legs[2].start).nautical_miles(), 0.0, 0.001);
}

TEST(CaseDepartureWay, AHeadingThatLeadsAwayFromTheNextCourseIsRefused) {
    Sketch sketch = airport();
    sketch.vor("WWW", {-20, -10}, {.dme = ServiceClass::low}).fix("WESTA", {-20, 20});
    sid(sketch, '1', "RW09",
        {sketch.leg(PathTerminator::VI, "", {.course_deg = 90.0}),
         sketch.leg(PathTerminator::CF, "WESTA", {.recommended = "WWW", .course_deg = 360.0})});
    EXPECT_THAT(codes(ways_of(sketch.world()).at(0)), ElementsAre("departure.never_met"));
}

// Asked: 12,000 ft in 14.5 NM, 827 ft/NM; the aircraft begins with 820 and loses rate as it climbs.
TEST(TruthDepartureWay, AnAltitudeThatIsNotReachedInTimeIsRefusedWithBothGradients) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {climb_ahead(sketch), out_east(sketch, 12000.0)});
    const auto ways = ways_of(sketch.world());
    EXPECT_THAT(codes(ways.at(0)), ElementsAre("departure.climb_too_steep"));
    EXPECT_THAT(ways[0].findings[0].text, HasSubstr("asks 827 ft/NM"));
    EXPECT_FALSE(ways[0].flyable());
}

// The same aircraft gains more feet in a mile into the wind.
TEST(CaseDepartureWay, AHeadwindLetsItClimbInTime) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {climb_ahead(sketch), out_east(sketch, 10000.0)});
    EXPECT_FALSE(ways_of(sketch.world(), radios, 0).at(0).flyable());
    EXPECT_TRUE(ways_of(sketch.world(), radios, 40).at(0).flyable());
}

TEST(CaseDepartureWay, RadarVectorsAloneAreRefused) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {climb_ahead(sketch), sketch.leg(PathTerminator::VM, "", {.course_deg = 90.0})});
    const auto ways = ways_of(sketch.world());
    EXPECT_THAT(codes(ways.at(0)), ElementsAre("departure.vectors_only"));
    EXPECT_THAT(ways[0].findings[0].text, HasSubstr("reach no fix"));
}

TEST(CaseDepartureWay, ARouteOfVectorTypeIsRefusedByName) {
    Sketch sketch = airport();
    sid(sketch, 'T', "RW09", {climb_ahead(sketch), sketch.leg(PathTerminator::VM, "", {.course_deg = 90.0})});
    EXPECT_THAT(codes(ways_of(sketch.world()).at(0)), ElementsAre("departure.vectors_only"));
}

// A common part that begins at a fix of its own: vectors lead there (the row GREKI6 of a large airport is one).
TEST(CaseDepartureWay, WhatNoLegLeadsToFromTheRunwayIsFlownOnVectorsAndRefused) {
    Sketch sketch = airport();
    sid(sketch, '2', "ALL",
        {sketch.leg(PathTerminator::IF, "EASTA"),
         sketch.leg(PathTerminator::TF, "EASTB", {.recommended = "AAA"})});
    const auto ways = ways_of(sketch.world());
    EXPECT_THAT(codes(ways.at(0)), ElementsAre("departure.vectors_only"));
    EXPECT_THAT(ways[0].findings[0].text, HasSubstr("from the runway to EASTA"));
}

TEST(CaseDepartureWay, BehindTheLastFixVectorsAreLeftOutAndSaidSo) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09",
        {climb_ahead(sketch), out_east(sketch), sketch.leg(PathTerminator::VM, "", {.course_deg = 90.0})});
    const auto ways = ways_of(sketch.world());
    EXPECT_THAT(codes(ways.at(0)), ElementsAre("departure.vectors_left_out"));
    EXPECT_THAT(ways[0].findings[0].text, HasSubstr("follow EASTA"));
    EXPECT_TRUE(ways[0].flyable());
    EXPECT_EQ(ways[0].end.ident, "EASTA");
}

TEST(CaseDepartureWay, VectorsBetweenTwoFixesRefuseIt) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {climb_ahead(sketch), sketch.leg(PathTerminator::VM, "", {.course_deg = 90.0})});
    sid(sketch, '2', "ALL",
        {sketch.leg(PathTerminator::IF, "EASTA"),
         sketch.leg(PathTerminator::TF, "EASTB", {.recommended = "AAA"})});
    EXPECT_THAT(codes(ways_of(sketch.world()).at(0)), ElementsAre("departure.vectors_between"));
}

// trade-facts 13.9: SID route types 4, 5 and 6 are RNAV, F, M and S FMS.
TEST(TruthDepartureWay, AreaNavigationIsRefusedByItsRouteType) {
    for (const char type : {'4', '5', '6', 'F', 'M', 'S'}) {
        Sketch sketch = airport();
        sid(sketch, type, "RW09", {climb_ahead(sketch), out_east(sketch)});
        const auto ways = ways_of(sketch.world());
        EXPECT_THAT(codes(ways.at(0)), ElementsAre("departure.area_navigation")) << type;
        EXPECT_THAT(ways[0].findings[0].text, HasSubstr("area navigation"));
    }
}

TEST(CaseDepartureWay, ALegBetweenFreeFixesNeedsAreaNavigation) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09",
        {climb_ahead(sketch), out_east(sketch), sketch.leg(PathTerminator::TF, "NORTH")});
    EXPECT_THAT(codes(ways_of(sketch.world()).at(0)), Contains("procedure.needs_area_navigation"));
}

TEST(CaseDepartureWay, ATransitionOfAnotherRunwayIsNotFlownFromThisOne) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW27", {climb_ahead(sketch), out_east(sketch)});
    EXPECT_THAT(codes(ways_of(sketch.world()).at(0)), ElementsAre("departure.not_for_runway"));
}

// trade-facts 13.9: RWnnB is both parallels, ALL every runway.
TEST(TruthDepartureWay, ATransitionServesItsRunwayBothParallelsOrAll) {
    EXPECT_TRUE(detail::serves_runway("RW09B", "RW09L"));
    EXPECT_TRUE(detail::serves_runway("RW09B", "RW09R"));
    EXPECT_FALSE(detail::serves_runway("RW09B", "RW08L"));
    EXPECT_FALSE(detail::serves_runway("RW09L", "RW09R"));
    EXPECT_TRUE(detail::serves_runway("ALL", "RW27"));
    EXPECT_TRUE(detail::serves_runway("RW27", "RW27"));
}

TEST(CaseDepartureWay, WithARowMissingItIsNotWhole) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {climb_ahead(sketch), out_east(sketch)});
    auto& legs = sketch.records().procedures.at(0).branches.at(0).legs;
    legs.erase(legs.begin());
    const auto ways = ways_of(sketch.world());
    EXPECT_THAT(codes(ways.at(0)), ElementsAre("departure.not_whole"));
    EXPECT_THAT(ways[0].findings[0].text, HasSubstr("leg 010"));
}

TEST(CaseDepartureWay, WithoutADmeTheFixIsNotTold) {
    Sketch sketch = airport();
    sid(sketch, '1', "RW09", {climb_ahead(sketch), out_east(sketch)});
    EXPECT_FALSE(ways_of(sketch.world(), {.receivers = 1}).at(0).flyable());
}

}  // namespace omniway::procedure
