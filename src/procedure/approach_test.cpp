#include "procedure/approach.hpp"

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

using navdata::PathTerminator;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::equipment;
using omniway::testing::Sketch;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

// An airport with an ILS eastbound and a VOR beyond it for the missed approach.
Sketch ils_airport(const omniway::testing::IlsDrawn& drawn = {.glideslope = true, .dme = true}) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", drawn);
    sketch.vor("MIS", {20, 0}, {.dme = ServiceClass::low});
    sketch.fix("INIAA", {-14, 0}).fix("FINAA", {-5, 0});
    sketch.approach(
        "XAAA", "I09", 'I',
        {sketch.leg(PathTerminator::IF, "INIAA",
                    {.recommended = "IAAA", .altitude_ft = 3000.0, .description = "E  A"}),
         sketch.leg(
             PathTerminator::CF, "FINAA",
             {.recommended = "IAAA", .course_deg = 90.0, .altitude_ft = 1800.0, .description = "E  F"}),
         sketch.leg(PathTerminator::CF, "RW09",
                    {.recommended = "IAAA", .course_deg = 90.0, .altitude_ft = 50.0, .description = "GY M"}),
         sketch.leg(PathTerminator::CA, "",
                    {.course_deg = 90.0, .altitude_ft = 800.0, .description = "  M "}),
         sketch.leg(PathTerminator::DF, "MIS", {.altitude_ft = 3000.0}),
         sketch.leg(PathTerminator::HM, "MIS",
                    {.recommended = "MIS", .course_deg = 270.0, .turn = navdata::Turn::right})});
    return sketch;
}

std::vector<ApproachWay> ways_of(const navdata::Snapshot& world, const Aboard& aboard) {
    return approach_ways(world, radio::Ground{}, equipment(aboard), *world.airport("XAAA"));
}

std::vector<std::string> codes(const ApproachWay& way) {
    std::vector<std::string> all;
    for (const base::Finding& finding : way.findings) {
        all.push_back(finding.code);
    }
    return all;
}

std::vector<navdata::Leg>& legs_of(Sketch& sketch) {
    return sketch.records().procedures.at(0).branches.at(0).legs;
}

}  // namespace

TEST(CaseApproach, AWholeIlsIsFlownFromItsInitialFixToTheDecisionAltitudeAndAway) {
    const Sketch sketch = ils_airport();
    const auto world = sketch.world();
    const auto ways = ways_of(world, everything);
    ASSERT_EQ(ways.size(), 1U);
    const ApproachWay& way = ways[0];
    EXPECT_THAT(codes(way), IsEmpty());
    EXPECT_TRUE(way.flyable());
    EXPECT_EQ(way.name(), "ILS RW09");
    EXPECT_EQ(way.entry.ident, "INIAA");
    EXPECT_TRUE(way.published_entry);
    ASSERT_TRUE(way.runway);
    EXPECT_EQ(world[*way.runway].ident, "RW09");
    ASSERT_EQ(way.legs.size(), 3U);
    EXPECT_TRUE(std::holds_alternative<AtDecisionAltitude>(way.legs[2].ending));
    ASSERT_EQ(way.missed.size(), 3U);
    EXPECT_TRUE(std::holds_alternative<AtHold>(way.missed[2].ending));
    EXPECT_NEAR(way.length.nautical_miles(), 13.5, 0.1);
}

TEST(CaseApproach, WithoutAGlideslopeReceiverAnIlsIsRefused) {
    const auto world = ils_airport().world();
    const auto ways = ways_of(world, {.receivers = 2, .dme = true, .adf = true});
    ASSERT_EQ(ways.size(), 1U);
    EXPECT_THAT(codes(ways[0]), ElementsAre("approach.lacks_receiver"));
    EXPECT_FALSE(ways[0].flyable());
}

TEST(CaseApproach, WithoutAGlideslopeInTheRecordAnIlsIsRefused) {
    const auto world = ils_airport({.glideslope = false, .dme = true}).world();
    EXPECT_THAT(codes(ways_of(world, everything).at(0)), ElementsAre("approach.no_glideslope"));
}

// On a glideslope the final fix is where the needle comes down to the centre.
TEST(CaseApproach, WithoutADmeTheFinalFixOfAnIlsIsToldByItsGlideslope) {
    const auto world = ils_airport().world();
    const auto ways = ways_of(world, {.receivers = 1, .glideslope = true});
    ASSERT_EQ(ways.size(), 1U);
    EXPECT_TRUE(ways[0].flyable()) << ::testing::PrintToString(codes(ways[0]));
    EXPECT_TRUE(std::holds_alternative<AtGlideslopeIntercept>(ways[0].legs.at(1).ending));
}

TEST(CaseApproach, WithoutItsMissedApproachPointItIsNotWhole) {
    Sketch sketch = ils_airport();
    legs_of(sketch).at(2).description = "GY  ";
    EXPECT_THAT(codes(ways_of(sketch.world(), everything).at(0)), ElementsAre("approach.not_whole"));
}

TEST(CaseApproach, WithoutItsFirstRowsItIsNotWhole) {
    Sketch sketch = ils_airport();
    legs_of(sketch).erase(legs_of(sketch).begin());
    EXPECT_THAT(codes(ways_of(sketch.world(), everything).at(0)), ElementsAre("approach.not_whole"));
}

TEST(CaseApproach, ATransitionWithoutItsFirstRowsIsNotWhole) {
    Sketch sketch = ils_airport();
    sketch.fix("FARAA", {-30, 0});
    navdata::Branch branch{'A', "FARAA", {}};
    branch.legs.push_back(sketch.leg(PathTerminator::IF, "FARAA", {.recommended = "IAAA"}));
    branch.legs.push_back(
        sketch.leg(PathTerminator::CF, "INIAA", {.recommended = "IAAA", .course_deg = 90.0}));
    branch.legs[0].sequence = 10;
    branch.legs[1].sequence = 20;
    sketch.records().procedures.back().branches.push_back(branch);
    const auto whole = ways_of(sketch.world(), everything);
    ASSERT_EQ(whole.size(), 2U);
    EXPECT_TRUE(whole[1].flyable());
    auto& legs = sketch.records().procedures.back().branches.back().legs;
    legs.erase(legs.begin());
    const auto cut = ways_of(sketch.world(), everything);
    ASSERT_EQ(cut.size(), 2U);
    EXPECT_TRUE(cut[0].flyable());
    EXPECT_THAT(codes(cut[1]), ElementsAre("approach.not_whole"));
}

// A procedure turn is turned onto the inbound course somewhere: the fix at which the shared part begins is flown to, and is where time and descent
// count from. In the real part one of 30 such transitions is coded so (KJAX D32 from CRG).
TEST(CaseApproach, BehindAProcedureTurnTheFirstFixOfTheSharedPartIsFlownTo) {
    Sketch sketch = ils_airport();
    navdata::Branch branch{'A', "INIAA", {}};
    branch.legs.push_back(sketch.leg(PathTerminator::PI, "INIAA",
                                     {.recommended = "IAAA",
                                      .course_deg = 225.0,
                                      .distance_nm = 10.0,
                                      .altitude_ft = 3000.0,
                                      .turn = navdata::Turn::left}));
    branch.legs[0].sequence = 10;
    sketch.records().procedures.back().branches.push_back(branch);
    const auto world = sketch.world();
    const auto ways = ways_of(world, everything);
    ASSERT_EQ(ways.size(), 2U);
    const auto& legs = ways[1].legs;
    ASSERT_EQ(legs.size(), 4U);
    EXPECT_TRUE(std::holds_alternative<AtCourseReversed>(legs[0].ending));
    ASSERT_TRUE(legs[1].to);
    EXPECT_EQ(legs[1].to->ident, "INIAA");
    EXPECT_GT(legs[1].length, base::Length::nautical_miles(3.0));
    EXPECT_NEAR((legs[1].track - legs[2].track).degrees(), 0.0, 1.0);
    EXPECT_TRUE(std::holds_alternative<OnLocalizer>(legs[1].guidance));
    EXPECT_EQ(legs[2].to->ident, "FINAA");
}

TEST(CaseApproach, WithoutItsMissedApproachTheChartIsAskedFor) {
    Sketch sketch = ils_airport();
    legs_of(sketch).resize(3);
    const auto world = sketch.world();
    const auto ways = ways_of(world, everything);
    EXPECT_THAT(codes(ways.at(0)), ElementsAre("approach.missed_unknown"));
    EXPECT_EQ(ways[0].findings[0].grade, base::Grade::asks);
    EXPECT_TRUE(ways[0].flyable());
}

// The row that leaves the missed approach point is absent: what follows it is missed approach all the same, never a part of the
// approach, and where it begins is for the chart to say.
TEST(CaseApproach, WithoutTheFirstLegOfItsMissedApproachTheChartIsAskedFor) {
    Sketch sketch = ils_airport();
    legs_of(sketch).erase(legs_of(sketch).begin() + 3);
    const auto world = sketch.world();
    const auto ways = ways_of(world, everything);
    ASSERT_EQ(ways.size(), 1U);
    EXPECT_THAT(codes(ways[0]), ElementsAre("approach.missed_unknown"));
    EXPECT_TRUE(ways[0].flyable());
    EXPECT_EQ(ways[0].legs.size(), 3U);
    EXPECT_THAT(ways[0].missed, IsEmpty());
}

TEST(CaseApproach, AMissedApproachToAFixThatNothingDefinesIsForTheChart) {
    Sketch sketch = ils_airport();
    std::erase_if(sketch.records().stations,
                  [](const navdata::Station& station) { return station.ident == "MIS"; });
    const auto world = sketch.world();
    const auto ways = ways_of(world, everything);
    ASSERT_EQ(ways.size(), 1U);
    EXPECT_THAT(codes(ways[0]), ElementsAre("approach.missed_unknown"));
    EXPECT_TRUE(ways[0].flyable());
    EXPECT_THAT(ways[0].missed, IsEmpty());
}

// ARINC 424-18 5.7: a transition ends where the part that all share begins, which is an initial fix. (All 288 approaches of the
// real files begin so.)
TEST(CaseApproach, ATransitionDoesNotMakeAnApproachWholeThatLacksItsFirstRows) {
    Sketch sketch = ils_airport();
    legs_of(sketch).erase(legs_of(sketch).begin(), legs_of(sketch).begin() + 2);
    sketch.records().procedures.at(0).branches.push_back(
        {'A', "MIS", {sketch.leg(PathTerminator::IF, "MIS", {.altitude_ft = 3000.0})}});
    const auto world = sketch.world();
    const auto ways = ways_of(world, everything);
    ASSERT_EQ(ways.size(), 1U);
    EXPECT_THAT(codes(ways[0]), ElementsAre("approach.not_whole"));
}

// The hold of a missed approach names its fix alone; the leg before it says where the fix is.
TEST(CaseApproach, AFixWithoutARecordIsPlacedByAnyLegOfItsProcedureThatSaysWhere) {
    Sketch sketch = ils_airport();
    sketch.fix("HOLDA", {20, 12});
    legs_of(sketch)[4] = sketch.leg(PathTerminator::CF, "HOLDA",
                                    {.recommended = "MIS", .course_deg = 0.0, .altitude_ft = 3000.0});
    legs_of(sketch)[5] =
        sketch.leg(PathTerminator::HM, "HOLDA", {.course_deg = 180.0, .turn = navdata::Turn::right});
    std::erase_if(sketch.records().fixes, [](const navdata::Fix& fix) { return fix.ident == "HOLDA"; });
    const auto world = sketch.world();
    const auto ways = ways_of(world, everything);
    ASSERT_EQ(ways.size(), 1U);
    EXPECT_THAT(codes(ways[0]), ElementsAre("procedure.fix_rebuilt"));
    EXPECT_TRUE(ways[0].flyable());
    ASSERT_EQ(ways[0].missed.size(), 3U);
    ASSERT_TRUE(ways[0].missed[2].to);
    EXPECT_TRUE(ways[0].missed[2].to->rebuilt);
    EXPECT_LT(earth::distance(ways[0].missed[2].to->position, ways[0].missed[1].finish),
              base::Length::nautical_miles(0.1));
}

TEST(CaseApproach, WithoutTheRecordOfItsLocalizerAnIlsIsRefused) {
    Sketch sketch = ils_airport();
    std::erase_if(sketch.records().stations,
                  [](const navdata::Station& station) { return station.ident == "IAAA"; });
    EXPECT_FALSE(ways_of(sketch.world(), everything).at(0).flyable());
}

// Route types: trade-facts 13.9; R, H, P and J need more than ground-based radio navigation, T a TACAN receiver.
TEST(TruthApproach, AreaNavigationApproachesAreRefusedByName) {
    for (const char type : {'R', 'H', 'P', 'J', 'F', 'T'}) {
        Sketch sketch = ils_airport();
        sketch.records().procedures.at(0).branches.at(0).route_type = type;
        const auto world = sketch.world();
        const auto ways = ways_of(world, everything);
        ASSERT_EQ(ways.size(), 1U);
        EXPECT_THAT(codes(ways[0]), ElementsAre("approach.area_navigation")) << type;
        EXPECT_THAT(ways[0].findings[0].text, ::testing::HasSubstr(navdata::approach_type_text(type)));
    }
}

// AIM 1-1-9 c 2: straight-in minima may be published where the course of an LDA leads at no more than 30 degrees to the runway,
// circling minima only beyond.
TEST(TruthApproach, AnOffsetCourseIsSaidAndBeyondThirtyDegreesItIsCirclingOnly) {
    const auto said = [](double offset_deg) {
        Sketch sketch =
            ils_airport({.glideslope = false, .dme = true, .category = "A", .offset_deg = offset_deg});
        sketch.records().procedures.at(0).branches.at(0).route_type = 'X';
        const auto world = sketch.world();
        const auto way = ways_of(world, everything).at(0);
        for (const base::Finding& finding : way.findings) {
            if (finding.code == "approach.course_offset") {
                return std::string(base::to_text(finding.grade)) + ": " + finding.text;
            }
        }
        return std::string("nothing");
    };
    EXPECT_EQ(said(0.0), "nothing");
    EXPECT_EQ(said(2.9), "nothing");
    EXPECT_THAT(said(17.0), ::testing::StartsWith("notes: the course of LDA/DME IAAA leads at 17 degrees"));
    EXPECT_THAT(said(29.0), ::testing::StartsWith("notes"));
    EXPECT_THAT(said(31.0), ::testing::StartsWith("warns"));
    EXPECT_THAT(said(31.0), ::testing::HasSubstr("circling minima only"));
}

TEST(CaseApproach, WithoutTheRecordOfItsDirectionalAidAnLdaOrSdfIsRefused) {
    for (const char type : {'X', 'U'}) {
        Sketch sketch = ils_airport();
        sketch.records().procedures.at(0).branches.at(0).route_type = type;
        std::erase_if(sketch.records().stations,
                      [](const navdata::Station& station) { return station.ident == "IAAA"; });
        const auto world = sketch.world();
        EXPECT_THAT(codes(ways_of(world, everything).at(0)), Contains("approach.localizer_unknown")) << type;
    }
}

// AIM 1-2-3 (trade-facts 11.3): nothing stands in for the aid that guides on the final.
TEST(TruthApproach, ARadialAlongALocalizerDoesNotStandInForItOnTheFinal) {
    Sketch sketch = ils_airport({.glideslope = false, .dme = true});
    sketch.vor("INL", {-30, 0}, {.dme = ServiceClass::low});
    sketch.records().procedures.at(0).branches.at(0).route_type = 'L';
    const auto world = sketch.world();
    EXPECT_TRUE(ways_of(world, everything).at(0).flyable());
    auto aboard = equipment(everything);
    for (auto& receiver : aboard.receivers) {
        receiver.localizer = receiver.glideslope = false;
    }
    const auto ways = approach_ways(world, radio::Ground{}, aboard, *world.airport("XAAA"));
    EXPECT_THAT(codes(ways.at(0)), Contains("procedure.lacks_receiver"));
}

// AIM 1-1-9 b 3: a back course is flown only where a procedure is published for it; a leg that names another aid publishes none.
TEST(TruthApproach, ABackCourseThatNoRowNamesGuidesNothing) {
    for (const bool named : {true, false}) {
        Sketch sketch;
        sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", {.dme = true});
        sketch.vor("OFF", {9, 8}, {.dme = ServiceClass::low}).fix("OUTAA", {14, 0}).fix("FINAA", {6, 0});
        const std::string aid = named ? "IAAA" : "OFF";
        navdata::Leg last = sketch.leg(PathTerminator::CF, "RW27",
                                       {.recommended = aid, .course_deg = 270.0, .description = "GY M"});
        sketch.approach(
            "XAAA", named ? "B27" : "S27", named ? 'B' : 'S',
            {sketch.leg(PathTerminator::IF, "OUTAA",
                        {.recommended = aid, .altitude_ft = 3000.0, .description = "E  A"}),
             sketch.leg(
                 PathTerminator::CF, "FINAA",
                 {.recommended = aid, .course_deg = 270.0, .altitude_ft = 1800.0, .description = "E  F"}),
             last});
        const auto world = sketch.world();
        const auto way = ways_of(world, everything).at(0);
        EXPECT_EQ(way.flyable(), named) << ::testing::PrintToString(codes(way));
        if (named) {
            const auto& guidance = std::get<OnLocalizer>(way.legs.at(2).guidance);
            EXPECT_TRUE(guidance.back_course && guidance.toward && guidance.needle_reversed());
            EXPECT_EQ(way.name(), "LOC back course RW27");
        } else {
            EXPECT_THAT(codes(way), Contains("procedure.needs_area_navigation"));
        }
    }
}

TEST(CaseApproach, EachTransitionIsAWayOfItsOwn) {
    Sketch sketch = ils_airport();
    sketch.fix("TRAAA", {-30, 0}).vor("TRV", {-34, 0}, {.dme = ServiceClass::low});
    navdata::Branch branch{
        'A',
        "TRV",
        {sketch.leg(PathTerminator::IF, "TRV"),
         sketch.leg(PathTerminator::CF, "INIAA", {.recommended = "TRV", .course_deg = 90.0})}};
    sketch.records().procedures.at(0).branches.push_back(branch);
    const auto world = sketch.world();
    const auto ways = ways_of(world, everything);
    ASSERT_EQ(ways.size(), 2U);
    EXPECT_EQ(ways[1].name(), "ILS RW09 via TRV");
    EXPECT_EQ(ways[1].entry.ident, "TRV");
    EXPECT_TRUE(ways[1].flyable()) << ::testing::PrintToString(codes(ways[1]));
    EXPECT_EQ(ways[1].legs.size(), 4U);
}

TEST(TruthApproach, TheRunwayStandsInTheIdentBehindTheTypeLetter) {
    EXPECT_EQ(runway_of_approach("I22L"), "RW22L");
    EXPECT_EQ(runway_of_approach("L31RY"), "RW31R");
    EXPECT_EQ(runway_of_approach("D31-Y"), "RW31");
    EXPECT_EQ(runway_of_approach("N04"), "RW04");
    EXPECT_EQ(runway_of_approach("VDM-A"), "");
    EXPECT_EQ(runway_of_approach("VOR-B"), "");
}

RC_GTEST_PROP(LawApproach, MoreEquipmentNeverMakesAnApproachUnflyable, ()) {
    Sketch sketch = ils_airport({.glideslope = true, .dme = *rc::gen::inRange(0, 2) == 1});
    if (*rc::gen::inRange(0, 2) == 1) {
        sketch.ndb("BCN", {-5, 0});
    }
    legs_of(sketch).at(1).description = *rc::gen::element(std::string("E  F"), std::string("E   "));
    sketch.records().procedures.at(0).branches.at(0).route_type = *rc::gen::element('I', 'L');
    const auto world = sketch.world();
    const auto flag = [] { return *rc::gen::inRange(0, 2) == 1; };
    const Aboard less{.receivers = static_cast<std::size_t>(*rc::gen::inRange(0, 3)),
                      .dme = flag(),
                      .adf = flag(),
                      .glideslope = flag()};
    const Aboard more{.receivers = less.receivers + static_cast<std::size_t>(*rc::gen::inRange(0, 2)),
                      .dme = less.dme || flag(),
                      .adf = less.adf || flag(),
                      .glideslope = less.glideslope || flag()};
    const auto few = ways_of(world, less);
    const auto many = ways_of(world, more);
    for (const ApproachWay& way : few) {
        if (way.flyable()) {
            RC_ASSERT(std::any_of(many.begin(), many.end(), [&](const ApproachWay& other) {
                return other.name() == way.name() && other.flyable();
            }));
        }
    }
}

}  // namespace omniway::procedure
