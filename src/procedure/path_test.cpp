#include "procedure/path.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::procedure {

using base::Length;
using navdata::PathTerminator;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::At;
using omniway::testing::equipment;
using omniway::testing::LegDrawn;
using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

struct Placed {
    std::vector<navdata::Leg> coded;
    PlacedPath path;
};

Placed place(const navdata::Snapshot& world, const Aboard& aboard, std::vector<navdata::Leg> legs,
             PathContext context = {}) {
    Placed placed{std::move(legs), {}};
    std::vector<const navdata::Leg*> pointers;
    for (const navdata::Leg& leg : placed.coded) {
        pointers.push_back(&leg);
    }
    if (context.name.empty()) {
        context.name = "XAAA drawn";
    }
    placed.path = place_legs(world, radio::Ground{}, equipment(aboard), pointers, context);
    return placed;
}

std::vector<std::string> codes(const PlacedPath& path) {
    std::vector<std::string> all;
    for (const base::Finding& finding : path.findings) {
        all.push_back(finding.code);
    }
    return all;
}

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

// A VOR/DME with two fixes on its 090 radial and two off every line.
Sketch about_a_vor() {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low});
    sketch.fix("ONEAA", {20, 0}).fix("TWOAA", {10, 0}).fix("FREEA", {20, 12}).fix("FREEB", {10, 16});
    return sketch;
}

}  // namespace

// trade-facts 11.1: TF is flown by ground aids where both fixes lie on one radial, bearing or localizer course; else it needs
// area navigation.
TEST(TruthPath, ATrackBetweenFixesOfOneRadialIsFlownOnIt) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const auto placed =
        place(world, everything,
              {sketch.leg(PathTerminator::IF, "ONEAA"), sketch.leg(PathTerminator::TF, "TWOAA")});
    EXPECT_THAT(codes(placed.path), IsEmpty());
    ASSERT_EQ(placed.path.legs.size(), 2U);
    const auto& radial = std::get<OnRadial>(placed.path.legs[1].guidance);
    EXPECT_EQ(radial.station, station_of(world, "AAA"));
    EXPECT_TRUE(radial.toward);
    EXPECT_NEAR(radial.course.degrees(), 270.0, 0.3);
    EXPECT_NEAR(placed.path.legs[1].length.nautical_miles(), 10.0, 0.01);
    EXPECT_TRUE(std::holds_alternative<AtFix>(placed.path.legs[1].ending));
}

TEST(TruthPath, ATrackBetweenFreeFixesNeedsAreaNavigation) {
    const Sketch sketch = about_a_vor();
    const auto placed =
        place(sketch.world(), everything,
              {sketch.leg(PathTerminator::IF, "FREEA"), sketch.leg(PathTerminator::TF, "FREEB")});
    EXPECT_THAT(codes(placed.path), ElementsAre("procedure.needs_area_navigation"));
    EXPECT_FALSE(placed.path.flyable());
}

TEST(TruthPath, ATrackAlongALocalizerIsFlownOnIt) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", {.dme = true});
    sketch.fix("OUTAA", {-12, 0}).fix("INNAA", {-5, 0});
    const auto world = sketch.world();
    PathContext context;
    context.localizer = station_of(world, "IAAA");
    const std::vector<navdata::Leg> legs{sketch.leg(PathTerminator::IF, "OUTAA"),
                                         sketch.leg(PathTerminator::TF, "INNAA")};
    const auto placed = place(world, everything, legs, context);
    EXPECT_THAT(codes(placed.path), IsEmpty());
    const auto& localizer = std::get<OnLocalizer>(placed.path.legs.at(1).guidance);
    EXPECT_TRUE(localizer.toward);
    EXPECT_FALSE(localizer.back_course);
    EXPECT_THAT(codes(place(world, {.receivers = 0, .dme = true}, legs, context).path),
                Contains("procedure.lacks_receiver"));
}

// A localizer does not prove a DME: 112 of 254 such legs of the real part name one without a DME record (trade-facts 21).
TEST(CasePath, ACodedDistanceOnALocalizerWithoutDmeDoesNotTellTheFix) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", {.dme = false});
    sketch.fix("OUTAA", {-12, 0}).fix("INNAA", {-5, 0});
    const auto world = sketch.world();
    PathContext context;
    context.localizer = station_of(world, "IAAA");
    const auto placed = place(world, everything,
                              {sketch.leg(PathTerminator::IF, "OUTAA", {.recommended = "IAAA"}),
                               sketch.leg(PathTerminator::TF, "INNAA", {.recommended = "IAAA"})},
                              context);
    EXPECT_THAT(codes(placed.path), ElementsAre("procedure.fix_not_told"));
}

TEST(CasePath, ACourseWhoseCodedDistanceIsNotTheDistanceFlownLacksALeg) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const auto with_distance = [&](double distance_nm) {
        return place(world, everything,
                     {sketch.leg(PathTerminator::IF, "ONEAA"),
                      sketch.leg(PathTerminator::CF, "TWOAA",
                                 {.recommended = "AAA", .course_deg = 270.0, .distance_nm = distance_nm})});
    };
    EXPECT_THAT(codes(with_distance(10.0).path), IsEmpty());
    EXPECT_THAT(codes(with_distance(10.4).path), IsEmpty());
    EXPECT_THAT(codes(with_distance(4.0).path), ElementsAre("procedure.legs_missing"));
}

TEST(TruthPath, AnArcNeedsTheDmeOfItsStationInTheRecordAndAboard) {
    for (const bool in_record : {true, false}) {
        for (const bool aboard : {true, false}) {
            Sketch sketch = about_a_vor();
            sketch.fix("ARCAA", {0, 10}).fix("ARCBB", {10, 0});
            if (!in_record) {
                sketch.station("AAA").dme.reset();
            }
            const auto world = sketch.world();
            const auto placed =
                place(world, {.receivers = 2, .dme = aboard},
                      {sketch.leg(PathTerminator::IF, "ARCAA", {.recommended = "AAA"}),
                       sketch.leg(PathTerminator::AF, "ARCBB",
                                  {.recommended = "AAA", .course_deg = 0.0, .turn = navdata::Turn::right})});
            if (in_record && aboard) {
                EXPECT_THAT(codes(placed.path), IsEmpty());
                const auto& arc = std::get<OnArc>(placed.path.legs.at(1).guidance);
                EXPECT_NEAR(arc.radius.nautical_miles(), 10.0, 0.05);
                EXPECT_TRUE(arc.clockwise);
                // A quarter of a circle of 10 NM.
                EXPECT_NEAR(placed.path.legs[1].length.nautical_miles(), 15.708, 0.05);
                EXPECT_NEAR(std::get<AtRadial>(placed.path.legs[1].ending).radial.degrees(), 90.0, 0.3);
            } else {
                EXPECT_THAT(codes(placed.path),
                            Contains(in_record ? "procedure.lacks_receiver" : "procedure.lacks_dme_record"));
            }
        }
    }
}

TEST(CasePath, AnArcWhoseRadialAndRadiusDenyTheRecordOfItsFixIsNotFlown) {
    const auto with_fix = [](At place_of_fix) {
        Sketch coded = about_a_vor();
        coded.fix("ARCAA", {0, 10}).fix("ARCBB", {10, 0});
        Sketch drawn = about_a_vor();
        drawn.fix("ARCAA", {0, 10}).fix("ARCBB", place_of_fix);
        return place(drawn.world(), everything,
                     {coded.leg(PathTerminator::IF, "ARCAA", {.recommended = "AAA"}),
                      coded.leg(PathTerminator::AF, "ARCBB",
                                {.recommended = "AAA", .course_deg = 0.0, .turn = navdata::Turn::right})});
    };
    EXPECT_THAT(codes(with_fix({10.0, 0.2}).path), IsEmpty());
    EXPECT_THAT(codes(with_fix({10.0, 5.0}).path), ElementsAre("procedure.arc_contradicted"));
}

TEST(CasePath, ACourseThatBeginsFarFromTheFixBeforeItIsNotFlown) {
    const auto from = [](At place_of_first) {
        Sketch sketch = about_a_vor();
        sketch.fix("FARAA", place_of_first).fix("NEARA", {-4, 0});
        return place(sketch.world(), everything,
                     {sketch.leg(PathTerminator::IF, "FARAA"),
                      sketch.leg(PathTerminator::CF, "NEARA",
                                 {.recommended = "AAA", .course_deg = 90.0, .distance_nm = 4.0})});
    };
    EXPECT_THAT(codes(from({-8.0, 0.8}).path), IsEmpty());
    EXPECT_THAT(codes(from({-8.0, 5.0}).path), ElementsAre("procedure.legs_do_not_join"));
}

// The real case: KBDR I06, missed approach to MILUM on the BDR radial 054, 5.4 NM coded from the missed approach point behind BDR,
// which is 5.0 NM from MILUM (FAA CIFP 2101).
TEST(TruthPath, ACourseCodedFromBehindItsVorIsFlownOnTheRadialFromTheVorOn) {
    Sketch sketch = about_a_vor();
    sketch.fix("OUTAA", {5.0, 0});
    const auto placed = place(sketch.world(), everything,
                              {sketch.leg(PathTerminator::CF, "OUTAA",
                                          {.recommended = "AAA", .course_deg = 90.0, .distance_nm = 5.4})});
    EXPECT_THAT(codes(placed.path), IsEmpty());
    ASSERT_EQ(placed.path.legs.size(), 1U);
    EXPECT_NEAR(placed.path.legs[0].length.nautical_miles(), 5.0, 0.01);
    const auto* radial = std::get_if<OnRadial>(&placed.path.legs[0].guidance);
    ASSERT_NE(radial, nullptr);
    EXPECT_FALSE(radial->toward);
    EXPECT_NEAR(radial->course.degrees(), 90.0, 0.1);
}

TEST(TruthPath, AnArcToTheLeftSweepsTheOtherWay) {
    Sketch sketch = about_a_vor();
    sketch.fix("ARCAA", {10, 0}).fix("ARCBB", {0, 10});
    const auto placed =
        place(sketch.world(), everything,
              {sketch.leg(PathTerminator::IF, "ARCAA", {.recommended = "AAA"}),
               sketch.leg(PathTerminator::AF, "ARCBB",
                          {.recommended = "AAA", .course_deg = 90.0, .turn = navdata::Turn::left})});
    EXPECT_FALSE(std::get<OnArc>(placed.path.legs.at(1).guidance).clockwise);
    EXPECT_NEAR(placed.path.legs[1].length.nautical_miles(), 15.708, 0.05);
    EXPECT_NEAR((placed.path.legs[1].track - base::TrueBearing::degrees(0)).degrees(), 0.0, 0.5);
}

// trade-facts 11.1: RF needs RNP and is never conventional; FM and VM end where a controller says, which nothing in the
// cockpit shows.
TEST(TruthPath, ConstantRadiusTurnsAndVectorsAreRefusedByName) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    EXPECT_THAT(codes(place(world, everything, {sketch.leg(PathTerminator::RF, "ONEAA")}).path),
                ElementsAre("procedure.needs_area_navigation"));
    EXPECT_THAT(
        codes(place(world, everything, {sketch.leg(PathTerminator::FM, "ONEAA", {.course_deg = 90.0})}).path),
        ElementsAre("procedure.ends_in_vectors"));
    const auto vectors = place(world, everything, {sketch.leg(PathTerminator::VM, "", {.course_deg = 90.0})});
    EXPECT_THAT(codes(vectors.path), ElementsAre("procedure.ends_in_vectors"));
    EXPECT_THAT(vectors.path.findings[0].about, ::testing::HasSubstr("VM"));
}

// trade-facts 11.1: DF has no defined track: flown by ground aids only to a VOR or NDB.
TEST(TruthPath, DirectIsFlownToAnAidAndNotToAFix) {
    Sketch sketch = about_a_vor();
    sketch.ndb("BCN", {0, 30});
    const auto world = sketch.world();
    PathContext context;
    context.start = sketch.at({8, 8});
    const auto to_vor = place(world, everything, {sketch.leg(PathTerminator::DF, "AAA")}, context);
    EXPECT_THAT(codes(to_vor.path), IsEmpty());
    EXPECT_TRUE(std::get<OnRadial>(to_vor.path.legs.at(0).guidance).toward);
    EXPECT_NEAR(std::get<OnRadial>(to_vor.path.legs[0].guidance).course.degrees(), 225.0, 0.5);
    const auto to_beacon = place(world, everything, {sketch.leg(PathTerminator::DF, "BCN")}, context);
    EXPECT_THAT(codes(to_beacon.path), IsEmpty());
    EXPECT_TRUE(std::holds_alternative<OnBeacon>(to_beacon.path.legs.at(0).guidance));
    EXPECT_THAT(
        codes(place(world, {.receivers = 2, .dme = true}, {sketch.leg(PathTerminator::DF, "BCN")}, context)
                  .path),
        Contains("procedure.lacks_receiver"));
    EXPECT_THAT(codes(place(world, everything, {sketch.leg(PathTerminator::DF, "FREEA")}, context).path),
                Contains("procedure.needs_area_navigation"));
}

TEST(CasePath, AProcedureTurnIsFlownOutOnTheInboundCourseAndEndsOnIt) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const auto placed = place(
        world, everything,
        {sketch.leg(
             PathTerminator::PI, "AAA",
             {.recommended = "AAA", .course_deg = 45.0, .distance_nm = 10.0, .turn = navdata::Turn::left}),
         sketch.leg(PathTerminator::CF, "AAA", {.recommended = "AAA", .course_deg = 270.0})});
    EXPECT_THAT(codes(placed.path), IsEmpty());
    const auto& out = std::get<OnRadial>(placed.path.legs.at(0).guidance);
    EXPECT_FALSE(out.toward);
    EXPECT_NEAR(out.course.degrees(), 90.0, 0.3);
    EXPECT_TRUE(std::holds_alternative<AtCourseReversed>(placed.path.legs[0].ending));
    EXPECT_THAT(codes(place(world, everything, {sketch.leg(PathTerminator::PI, "AAA")}).path),
                ElementsAre("procedure.reversal_without_course"));
}

TEST(CasePath, AHoldOverAVorIsFlownOnItsInboundCourse) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const auto placed =
        place(world, everything,
              {sketch.leg(PathTerminator::HM, "AAA",
                          {.recommended = "AAA", .course_deg = 270.0, .turn = navdata::Turn::right})});
    EXPECT_THAT(codes(placed.path), IsEmpty());
    EXPECT_TRUE(std::holds_alternative<AtHold>(placed.path.legs.at(0).ending));
    EXPECT_NEAR(placed.path.legs[0].track.degrees(), 270.0, 1e-9);
    EXPECT_THAT(codes(place(world, everything, {sketch.leg(PathTerminator::HM, "AAA")}).path),
                ElementsAre("procedure.hold_without_course"));
}

TEST(CasePath, AHoldAtAFixOfNoLineIsRefused) {
    const Sketch sketch = about_a_vor();
    const auto placed =
        place(sketch.world(), everything, {sketch.leg(PathTerminator::HM, "FREEA", {.course_deg = 350.0})});
    EXPECT_THAT(codes(placed.path), Contains("procedure.needs_area_navigation"));
}

// Issue 2 section 5: every theta and rho pair within 0.1 NM; coded to 0.1 degree and 0.1 NM (trade-facts 13.9): half a tenth of
// each, at 40 NM, is 0.035 NM across and 0.05 NM along.
RC_GTEST_PROP(LawPath, AFixWithoutARecordIsRebuiltFromThetaAndRho, ()) {
    const double declination_deg = *rc::gen::inRange(-30, 31);
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-70, 71), *rc::gen::inRange(-180, 180)));
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low, .declination_deg = declination_deg});
    const double east_nm = *rc::gen::inRange(-28, 29);
    const double north_nm = *rc::gen::inRange(1, 29);
    sketch.fix("GONEA", {east_nm, north_nm});
    const navdata::Leg leg = sketch.leg(PathTerminator::IF, "GONEA", {.recommended = "AAA"});
    const auto truth = sketch.place("GONEA");
    const auto recorded = place_fix(sketch.world(), leg);
    RC_ASSERT(recorded && !recorded->rebuilt && recorded->position == truth);
    sketch.records().fixes.clear();
    const auto rebuilt = place_fix(sketch.world(), leg);
    RC_ASSERT(rebuilt && rebuilt->rebuilt);
    RC_ASSERT(earth::distance(rebuilt->position, truth) < Length::nautical_miles(0.1));
}

TEST(CasePath, AFixThatNothingDefinesIsRefused) {
    Sketch sketch = about_a_vor();
    const auto leg = sketch.leg(PathTerminator::IF, "ONEAA");
    sketch.records().fixes.clear();
    EXPECT_THAT(codes(place(sketch.world(), everything, {leg}).path), ElementsAre("procedure.fix_unknown"));
}

TEST(CasePath, AHeadingToADistanceNeedsADmeInTheRecordAndAboard) {
    Sketch sketch = about_a_vor();
    navdata::Leg leg = sketch.leg(PathTerminator::VD, "", {.course_deg = 90.0, .distance_nm = 8.0});
    leg.recommended = sketch.name("AAA");
    EXPECT_THAT(codes(place(sketch.world(), everything, {leg}).path), IsEmpty());
    EXPECT_THAT(codes(place(sketch.world(), {.receivers = 2}, {leg}).path),
                ElementsAre("procedure.lacks_receiver"));
    sketch.station("AAA").dme.reset();
    EXPECT_THAT(codes(place(sketch.world(), everything, {leg}).path),
                ElementsAre("procedure.lacks_dme_record"));
}

// trade-facts 11.1: CA and VA end at an altitude, whatever is flown over.
TEST(TruthPath, ACourseOrHeadingToAnAltitudeEndsThere) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    for (const PathTerminator terminator : {PathTerminator::CA, PathTerminator::VA}) {
        const auto placed = place(world, {.receivers = 0},
                                  {sketch.leg(terminator, "", {.course_deg = 90.0, .altitude_ft = 900.0})});
        EXPECT_THAT(codes(placed.path), IsEmpty());
        EXPECT_NEAR(std::get<AtAltitude>(placed.path.legs.at(0).ending).altitude.feet(), 900.0, 1e-6);
        EXPECT_TRUE(std::holds_alternative<OnHeading>(placed.path.legs[0].guidance));
        EXPECT_THAT(codes(place(world, everything, {sketch.leg(terminator, "", {.course_deg = 90.0})}).path),
                    ElementsAre("procedure.altitude_missing"));
    }
}

// trade-facts 11.1: CI and VI end at the intercept of the next leg, which must be a radial, bearing or localizer.
TEST(TruthPath, AnInterceptEndsOnTheCourseOfTheNextLeg) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    for (const PathTerminator terminator : {PathTerminator::CI, PathTerminator::VI}) {
        const navdata::Leg intercept = sketch.leg(terminator, "", {.course_deg = 315.0});
        const auto placed =
            place(world, everything,
                  {intercept, sketch.leg(PathTerminator::CF, "TWOAA",
                                         {.recommended = "AAA", .course_deg = 270.0, .distance_nm = 6.0})});
        EXPECT_THAT(codes(placed.path), IsEmpty());
        ASSERT_EQ(placed.path.legs.size(), 2U);
        EXPECT_TRUE(std::holds_alternative<AtIntercept>(placed.path.legs[0].ending));
        EXPECT_TRUE(std::get<OnRadial>(placed.path.legs[1].guidance).toward);
        EXPECT_THAT(codes(place(world, everything,
                                {intercept, sketch.leg(PathTerminator::CF, "FREEA",
                                                       {.course_deg = 350.0, .distance_nm = 6.0})})
                              .path),
                    Contains("procedure.needs_area_navigation"));
        EXPECT_THAT(codes(place(world, everything, {intercept}).path),
                    ElementsAre("procedure.nothing_to_intercept"));
    }
}

// trade-facts 11.1 and the decoded CR row of 13.9: until the needle set on that radial centres. On a heading one receiver does.
TEST(TruthPath, AHeadingToARadialNeedsOneReceiverForIt) {
    Sketch sketch = about_a_vor();
    sketch.dme("DDD", {0, -20});
    for (const PathTerminator terminator : {PathTerminator::CR, PathTerminator::VR}) {
        navdata::Leg leg = sketch.leg(terminator, "", {.course_deg = 164.0});
        leg.recommended = sketch.name("AAA");
        leg.theta = navdata::CodedCourse{164.0, false};
        const auto world = sketch.world();
        const auto placed = place(world, {.receivers = 1}, {leg});
        EXPECT_THAT(codes(placed.path), IsEmpty());
        EXPECT_NEAR(std::get<AtRadial>(placed.path.legs.at(0).ending).radial.degrees(), 164.0, 1e-9);
        EXPECT_THAT(codes(place(world, {.receivers = 0, .adf = true}, {leg}).path),
                    ElementsAre("procedure.lacks_receiver"));
        leg.recommended = sketch.name("DDD");
        EXPECT_THAT(codes(place(world, everything, {leg}).path), ElementsAre("procedure.radial_missing"));
    }
}

TEST(TruthPath, ACourseToADistanceIsReadOnTheDme) {
    const Sketch sketch = about_a_vor();
    navdata::Leg leg = sketch.leg(PathTerminator::CD, "", {.course_deg = 199.0, .distance_nm = 13.0});
    leg.recommended = sketch.name("AAA");
    const auto placed = place(sketch.world(), everything, {leg});
    EXPECT_THAT(codes(placed.path), IsEmpty());
    EXPECT_NEAR(std::get<AtDistance>(placed.path.legs.at(0).ending).shown.nautical_miles(), 13.0, 1e-9);
}

// trade-facts 11.1: FA is a course from a fix to an altitude, on a radial, bearing or localizer.
TEST(TruthPath, ACourseFromAFixToAnAltitudeIsFlownOnItsRadial) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const auto placed =
        place(world, everything,
              {sketch.leg(PathTerminator::FA, "AAA",
                          {.recommended = "AAA", .course_deg = 90.0, .altitude_ft = 2000.0})});
    EXPECT_THAT(codes(placed.path), IsEmpty());
    EXPECT_FALSE(std::get<OnRadial>(placed.path.legs.at(0).guidance).toward);
    EXPECT_NEAR(std::get<AtAltitude>(placed.path.legs[0].ending).altitude.feet(), 2000.0, 1e-6);
    EXPECT_THAT(
        codes(place(world, everything,
                    {sketch.leg(PathTerminator::FA, "FREEA", {.course_deg = 0.0, .altitude_ft = 2000.0})})
                  .path),
        Contains("procedure.needs_area_navigation"));
}

// trade-facts 11.1: FC is as long as coded, FD ends where the DME shows the coded distance: from a fix 10 NM out on the radial, a
// distance of 14 NM is 14 NM on for FC and 4 NM on for FD.
TEST(TruthPath, TheDistanceFromAFixIsFlownAndTheDmeDistanceIsShown) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const LegDrawn drawn{.recommended = "AAA", .course_deg = 90.0, .distance_nm = 14.0};
    const auto flown = place(world, everything, {sketch.leg(PathTerminator::FC, "TWOAA", drawn)});
    EXPECT_THAT(codes(flown.path), IsEmpty());
    EXPECT_NEAR(flown.path.legs.at(0).length.nautical_miles(), 14.0, 1e-6);
    EXPECT_TRUE(std::holds_alternative<AtFix>(flown.path.legs[0].ending));
    const auto shown = place(world, everything, {sketch.leg(PathTerminator::FD, "TWOAA", drawn)});
    EXPECT_THAT(codes(shown.path), IsEmpty());
    EXPECT_NEAR(shown.path.legs.at(0).length.nautical_miles(), 4.0, 0.01);
    EXPECT_NEAR(std::get<AtDistance>(shown.path.legs[0].ending).shown.nautical_miles(), 14.0, 1e-9);
    const Aboard no_dme{.receivers = 2};
    EXPECT_THAT(codes(place(world, no_dme, {sketch.leg(PathTerminator::FD, "TWOAA", drawn)}).path),
                ElementsAre("procedure.lacks_receiver"));
    // Nothing tells the end of the course without a DME or a second line.
    EXPECT_THAT(codes(place(world, no_dme, {sketch.leg(PathTerminator::FC, "TWOAA", drawn)}).path),
                ElementsAre("procedure.fix_not_told"));
    LegDrawn behind = drawn;
    behind.distance_nm = 4.0;
    EXPECT_THAT(codes(place(world, everything, {sketch.leg(PathTerminator::FD, "TWOAA", behind)}).path),
                ElementsAre("procedure.distance_never_read"));
}

// FAA CIFP 2101, B19 VOR RW06: the hold over ENE is coded 087.5 without an aid, the final on ENE's radial 087.5 as theta and course
// with it; ENE's zero stands 17 degrees west, further than the variation of the airport.
TEST(TruthPath, AHoldOverAVorIsCodedByItsRadialsEvenWhereNoAidIsNamed) {
    Sketch sketch;
    sketch.vor("ENE", {0, 0}, {.declination_deg = -17.0});
    const auto world = sketch.world();
    PathContext context;
    context.variation = base::Variation::east(base::Angle::degrees(-15.0));
    const auto placed = place(
        world, everything,
        {sketch.leg(PathTerminator::HF, "ENE", {.course_deg = 87.5, .turn = navdata::Turn::right})}, context);
    EXPECT_THAT(codes(placed.path), IsEmpty());
    EXPECT_NEAR(std::get<OnRadial>(placed.path.legs.at(0).guidance).course.degrees(), 87.5, 0.1);
}

// FAA CIFP 2101, KCHS I33: missed on radial 300.1 of CHS to a hold coded 120.1 without an aid; CHS has 5 degrees west in its record,
// the airport 7. It is held on the radial that led there.
TEST(TruthPath, AHoldOnARadialIsCodedByTheZeroOfItsVorEvenWhereNoAidIsNamed) {
    Sketch sketch;
    sketch.vor("CHS", {0, 0}, {.dme = ServiceClass::low, .declination_deg = -5.0});
    sketch.fix("GISTS", {-14.217, 6.660});  // 15.7 NM out on 295.1 true
    const auto world = sketch.world();
    PathContext context;
    context.variation = base::Variation::east(base::Angle::degrees(-7.0));
    context.missed = true;
    const auto placed =
        place(world, everything,
              {sketch.leg(PathTerminator::CF, "GISTS",
                          {.recommended = "CHS", .course_deg = 300.1, .distance_nm = 13.0}),
               sketch.leg(PathTerminator::HM, "GISTS", {.course_deg = 120.1, .turn = navdata::Turn::right})},
              context);
    EXPECT_THAT(codes(placed.path), IsEmpty());
    ASSERT_EQ(placed.path.legs.size(), 2U);
    EXPECT_NEAR(placed.path.legs[1].track.degrees(), 115.1, 1e-9);
    EXPECT_NEAR(std::get<OnRadial>(placed.path.legs[1].guidance).course.degrees(), 120.1, 0.2);
}

// trade-facts 11.1: HF is one circuit, HA ends at an altitude, HM when cleared.
TEST(TruthPath, AHoldEndsByItsCircuitItsAltitudeOrByHand) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const auto hold = [&](PathTerminator terminator, std::optional<double> altitude_ft) {
        return place(world, everything,
                     {sketch.leg(terminator, "AAA",
                                 {.recommended = "AAA",
                                  .course_deg = 270.0,
                                  .altitude_ft = altitude_ft,
                                  .turn = navdata::Turn::right})});
    };
    const auto circuit = hold(PathTerminator::HF, 3000.0);
    EXPECT_THAT(codes(circuit.path), IsEmpty());
    const auto& once = std::get<AtHold>(circuit.path.legs.at(0).ending);
    EXPECT_TRUE(once.one_circuit);
    EXPECT_FALSE(once.altitude);
    EXPECT_EQ(once.side, navdata::Turn::right);
    const auto climb = hold(PathTerminator::HA, 3000.0);
    EXPECT_THAT(codes(climb.path), IsEmpty());
    EXPECT_NEAR(std::get<AtHold>(climb.path.legs.at(0).ending).altitude->feet(), 3000.0, 1e-6);
    EXPECT_THAT(codes(hold(PathTerminator::HA, std::nullopt).path),
                ElementsAre("procedure.altitude_missing"));
    const auto stay = hold(PathTerminator::HM, 3000.0);
    EXPECT_FALSE(std::get<AtHold>(stay.path.legs.at(0).ending).altitude);
    EXPECT_FALSE(std::get<AtHold>(stay.path.legs.at(0).ending).one_circuit);
}

// Refused by name, yet its place is known, so that it can be drawn and the legs after it begin where it ends.
TEST(CasePath, ALegThatIsRefusedKeepsItsPlace) {
    Sketch sketch = about_a_vor();
    sketch.fix("NEARA", {0, 10});
    navdata::Leg round = sketch.leg(PathTerminator::RF, "TWOAA", {.turn = navdata::Turn::right});
    round.centre = sketch.name("AAA");
    const auto placed =
        place(sketch.world(), everything,
              {sketch.leg(PathTerminator::IF, "NEARA"), round, sketch.leg(PathTerminator::TF, "FREEA"),
               sketch.leg(PathTerminator::FM, "FREEA", {.recommended = "AAA", .course_deg = 59.0})});
    EXPECT_THAT(codes(placed.path),
                ElementsAre("procedure.needs_area_navigation", "procedure.needs_area_navigation",
                            "procedure.ends_in_vectors"));
    ASSERT_EQ(placed.path.legs.size(), 4U);
    // A quarter of a circle of ten miles.
    EXPECT_NEAR(placed.path.legs[1].length.nautical_miles(), 15.708, 0.02);
    EXPECT_TRUE(placed.path.legs[1].needs_area_navigation);
    EXPECT_TRUE(placed.path.legs[2].needs_area_navigation);
    EXPECT_FALSE(placed.path.legs[3].needs_area_navigation);
    EXPECT_LT(earth::distance(placed.path.legs[2].finish, placed.path.legs[3].start).metres(), 1.0);
}

// trade-facts 8.4 and 21: 120 degrees at most at an initial or intermediate fix, a lead radial above 70.
TEST(TruthPath, ATurnOfMoreThanAHundredAndTwentyDegreesAtAFixIsRefusedAndOneOverSeventySaysItsLead) {
    Sketch sketch = about_a_vor();
    sketch.vor("BBB", {10, -20}, {.dme = ServiceClass::low})
        .vor("CCC", {24, -12}, {.dme = ServiceClass::low});
    sketch.fix("ACROS", {10, 12}).fix("BACKA", {18.0, -6.0});
    const auto world = sketch.world();
    const auto turned_to = [&](const char* fix) {
        return codes(place(world, everything,
                           {sketch.leg(PathTerminator::IF, "ONEAA"), sketch.leg(PathTerminator::TF, "TWOAA"),
                            sketch.leg(PathTerminator::TF, fix)})
                         .path);
    };
    // West on the radial of AAA, then north on that of BBB: 90 degrees. The other goes back on a radial of CCC: 143.
    EXPECT_THAT(turned_to("ACROS"), Contains("procedure.lead_radial"));
    EXPECT_THAT(turned_to("ACROS"), ::testing::Not(Contains("procedure.turn_too_large")));
    EXPECT_THAT(turned_to("BACKA"), Contains("procedure.turn_too_large"));
}

TEST(TruthPath, ALegSaysWhatItNeedsOfGroundAids) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const auto placed =
        place(world, everything,
              {sketch.leg(PathTerminator::IF, "ONEAA"), sketch.leg(PathTerminator::TF, "TWOAA"),
               sketch.leg(PathTerminator::TF, "AAA")});
    EXPECT_THAT(needs_of(world, placed.path.legs.at(1)), ElementsAre("VOR AAA", "DME AAA"));
    EXPECT_THAT(needs_of(world, placed.path.legs.at(2)), ElementsAre("VOR AAA"));
    EXPECT_FALSE(placed.path.legs.at(1).needs_area_navigation);
}

// Two straights and a full circle at standard rate: coded in miles, or a minute each at the speed held (trade-facts 8.2).
TEST(TruthPath, AHoldIsAsLongAsItsDistanceOrItsTime) {
    const Sketch sketch = about_a_vor();
    const auto world = sketch.world();
    const auto length_of = [&](const LegDrawn& drawn) {
        return place(world, everything, {sketch.leg(PathTerminator::HF, "TWOAA", drawn)})
            .path.legs.at(0)
            .length.nautical_miles();
    };
    const double circle = 120.0 / 30.0;  // two minutes at 120 kt
    EXPECT_NEAR(length_of({.recommended = "AAA", .course_deg = 270.0, .distance_nm = 6.0}), 12.0 + circle,
                0.01);
    EXPECT_NEAR(length_of({.recommended = "AAA", .course_deg = 270.0, .altitude_ft = 4000.0}), 4.0 + circle,
                0.01);
    EXPECT_NEAR(length_of({.recommended = "AAA", .course_deg = 270.0, .altitude_ft = 15000.0}), 6.0 + circle,
                0.01);
}

}  // namespace omniway::procedure
