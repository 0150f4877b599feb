#include "plan/fix_report.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::plan {

using testing::magnetic_model;
using testing::Sketch;
using testing::station_of;

namespace {

//        CRS (20, 25)
//
//  AAA ------ FIXAA (20, 0) ------ FIXBB (40, 0) ------ BBB (60, 0)
Sketch drawn() {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {60, 0}).vor("CRS", {20, 25});
    sketch.fix("FIXAA", {20, 0}).fix("FIXBB", {40, 0}).fix("LONE", {20, -30});
    return sketch;
}

FixRequest request(const navdata::Snapshot& world, const std::string& ident) {
    FixRequest asked;
    asked.point = world.named(ident).front();
    asked.today = {2026.5};
    return asked;
}

FixReport report(const navdata::Snapshot& world, const FixRequest& asked) {
    return fix_report(world, radio::Ground{}, magnetic_model(), asked);
}

}  // namespace

TEST(CaseFixReport, OnAnAirwayTheFixIsReachedFromBothSidesUnderTheNearerAid) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "FIXAA", "FIXBB", "BBB"}, {.minimum_ft = 4000.0});
    const auto world = sketch.world();
    const FixReport told = report(world, request(world, "FIXAA"));
    ASSERT_EQ(told.lines.size(), 2U);
    EXPECT_EQ(told.lines[0].from, "AAA");
    EXPECT_EQ(told.lines[1].from, "FIXBB");
    EXPECT_NEAR(std::abs((told.lines[0].track - told.lines[1].track).degrees()), 180.0, 0.5);
    for (const ReachedOn& line : told.lines) {
        EXPECT_EQ(line.question.guided_by, station_of(world, "AAA"));
        EXPECT_EQ(line.airways, std::vector<std::string>{"V1"});
        EXPECT_NEAR(line.altitude.feet(), 4000.0, 1e-6);
        ASSERT_EQ(line.catalogue.ways.size(), 1U);
        EXPECT_EQ(std::get<fixing::CrossingRadial>(line.catalogue.ways[0].telling.way).station,
                  station_of(world, "CRS"));
    }
    EXPECT_EQ(report(world, request(world, "FIXBB")).lines[0].question.guided_by, station_of(world, "BBB"));
}

TEST(CaseFixReport, AirwaysThatShareASegmentShareItsLine) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "FIXAA", "FIXBB", "BBB"}).airway("V2", {"AAA", "FIXAA", "FIXBB", "BBB"});
    const auto world = sketch.world();
    const FixReport told = report(world, request(world, "FIXAA"));
    ASSERT_EQ(told.lines.size(), 2U);
    EXPECT_EQ(told.lines[0].airways, (std::vector<std::string>{"V1", "V2"}));
}

TEST(CaseFixReport, AreaNavigationAirwaysAndWrongDirectionsAreNotFollowed) {
    Sketch sketch = drawn();
    sketch.airway("T1", {"AAA", "FIXAA", "FIXBB"}, {.route_type = 'R'});
    sketch.airway("V1", {"AAA", "FIXAA", "FIXBB"}, {.direction = navdata::AirwayDirection::forward_only});
    const auto world = sketch.world();
    const FixReport told = report(world, request(world, "FIXAA"));
    ASSERT_EQ(told.lines.size(), 1U);
    EXPECT_EQ(told.lines[0].airways, std::vector<std::string>{"V1"});
    EXPECT_EQ(told.lines[0].from, "AAA");
}

TEST(CaseFixReport, OffTheAirwaysEveryAidThatIsHeardGuidesInTurn) {
    const auto world = drawn().world();
    const FixReport told = report(world, request(world, "FIXAA"));
    // A low VOR is heard to 40 NM (trade-facts 1.1): BBB just so, AAA and CRS nearer.
    std::vector<navdata::StationId> guides;
    for (const ReachedOn& line : told.lines) {
        guides.push_back(*line.question.guided_by);
    }
    EXPECT_NE(std::find(guides.begin(), guides.end(), station_of(world, "AAA")), guides.end());
    EXPECT_NE(std::find(guides.begin(), guides.end(), station_of(world, "CRS")), guides.end());
}

TEST(CaseFixReport, OnAGivenTrackOnlyAidsAlongItGuideElseNothingDoes) {
    const auto world = drawn().world();
    auto asked = request(world, "FIXAA");
    const base::Variation variation = magnetic_model().variation(world.position(asked.point), asked.today);
    asked.track = base::to_magnetic(base::TrueBearing::degrees(90), variation);
    for (const ReachedOn& line : report(world, asked).lines) {
        EXPECT_TRUE(line.question.guided_by == station_of(world, "AAA") ||
                    line.question.guided_by == station_of(world, "BBB"));
        EXPECT_NEAR(line.track.degrees(), 90.0, 1e-9);
    }
    asked.track = base::to_magnetic(base::TrueBearing::degrees(45), variation);
    const FixReport by_heading = report(world, asked);
    ASSERT_EQ(by_heading.lines.size(), 1U);
    EXPECT_FALSE(by_heading.lines[0].question.guided_by);
    for (const fixing::CataloguedWay& way : by_heading.lines[0].catalogue.ways) {
        EXPECT_FALSE(way.area);
    }
}

TEST(CaseFixReport, ThePlanTakesTheFirstWayThatTheAircraftHas) {
    Sketch sketch = drawn();
    sketch.ndb("BCN", {20, -20}).airway("V1", {"AAA", "FIXAA", "FIXBB", "BBB"});
    const auto world = sketch.world();
    auto asked = request(world, "FIXAA");
    asked.aircraft = testing::aircraft_with({.receivers = 1, .adf = true});
    const FixReport told = report(world, asked);
    for (const ReachedOn& line : told.lines) {
        ASSERT_EQ(line.lacks.size(), line.catalogue.ways.size());
        ASSERT_TRUE(line.used);
        EXPECT_TRUE(
            std::holds_alternative<fixing::CrossingBearing>(line.catalogue.ways[*line.used].telling.way));
        EXPECT_EQ(line.lacks[0], fixing::Obstacle::no_second_receiver);
    }
}

}  // namespace omniway::plan
