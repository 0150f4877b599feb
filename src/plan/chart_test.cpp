#include "plan/chart.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "tests/sketch.hpp"

namespace omniway::plan {

using omniway::testing::Sketch;

namespace {

earth::Position at(double latitude_deg, double longitude_deg) {
    return earth::Position::degrees(latitude_deg, longitude_deg);
}

std::vector<std::string> idents(const navdata::Snapshot& world, const ChartFeatures& features) {
    std::vector<std::string> all;
    for (const navdata::StationId id : features.stations) {
        all.push_back(world[id].ident);
    }
    std::sort(all.begin(), all.end());
    return all;
}

using Words = std::vector<std::string>;

}  // namespace

TEST(CaseChart, AnAreaAcrossTheAntimeridianHoldsWhatLiesOnEitherSide) {
    const ChartArea area{179.0, -1.0, -179.0, 1.0};
    EXPECT_TRUE(area.holds(at(0, 179.5)));
    EXPECT_TRUE(area.holds(at(0, -179.5)));
    EXPECT_TRUE(area.holds(at(1, 180)));
    EXPECT_FALSE(area.holds(at(0, 178.5)));
    EXPECT_FALSE(area.holds(at(0, 0)));
    EXPECT_FALSE(area.holds(at(1.5, 179.5)));
    const ChartArea whole{-180.0, -90.0, 180.0, 90.0};
    EXPECT_TRUE(whole.holds(at(12, 34)));
    EXPECT_TRUE(whole.holds(at(-90, -180)));
}

TEST(CaseChart, TheFrameOfAWorldAcrossTheAntimeridianIsNarrow) {
    Sketch sketch(at(10.0, 180.0));
    sketch.vor("WES", {-60, -60}).vor("EAS", {60, 60});
    const auto world = sketch.world();
    const ChartFrame frame = chart_frame(world);
    EXPECT_GT(frame.area.west_deg, 178.0);
    EXPECT_LT(frame.area.east_deg, -178.0);
    EXPECT_NEAR(std::abs(frame.centre_longitude_deg), 180.0, 0.01);
    EXPECT_NEAR(frame.centre_latitude_deg, 10.0, 0.02);
    // A sixth of the height from either edge (Snyder, chapter 15, from memory).
    const double height = frame.area.north_deg - frame.area.south_deg;
    EXPECT_NEAR((frame.first_parallel_deg - frame.area.south_deg) / height, 1.0 / 6.0, 1e-9);
    EXPECT_NEAR((frame.area.north_deg - frame.second_parallel_deg) / height, 1.0 / 6.0, 1e-9);
    for (const navdata::Station& station : world.stations()) {
        EXPECT_TRUE(frame.area.holds(navdata::site(station)));
    }
}

TEST(CaseChart, TheFrameOfAWorldAllRoundTheEarthIsWhereItsAirwaysAre) {
    Sketch sketch(at(40.0, -75.0));
    sketch.vor("AAA", {0, 0}).vor("BBB", {90, 60}).airway("V1", {"AAA", "BBB"});
    sketch.vor("OPP", {5400, 0}).vor("SOU", {0, -5400}).vor("FAR", {-5400, 3000});
    const ChartFrame frame = chart_frame(sketch.world());
    EXPECT_NEAR(frame.centre_latitude_deg, 40.5, 0.1);
    EXPECT_NEAR(frame.centre_longitude_deg, -74.0, 0.1);
    EXPECT_LT(frame.area.north_deg - frame.area.south_deg, 2.0);
}

// Two standard parallels as far south as north make a cylinder, which is no Lambert conformal cone.
TEST(CaseChart, AboutTheEquatorTheConeIsStillOne) {
    Sketch sketch(at(0.0, 20.0));
    sketch.vor("AAA", {0, -60}).vor("BBB", {0, 60});
    const ChartFrame frame = chart_frame(sketch.world());
    EXPECT_GE(frame.first_parallel_deg + frame.second_parallel_deg, 0.9);
}

TEST(CaseChart, OfWhatLiesOutsideOnlyAirwaysThatPassThroughAreShown) {
    Sketch sketch(at(40.0, -170.0));
    sketch.vor("WES", {-100, 0}).vor("MID", {0, 30}).vor("EAS", {100, 0}).vor("FAR", {300, 0});
    sketch.airway("V1", {"WES", "EAS"}).airway("V2", {"EAS", "FAR"});
    const auto world = sketch.world();
    const ChartFeatures features = chart_features(world, {}, {-170.5, 39.0, -169.5, 41.0});
    EXPECT_EQ(idents(world, features), Words{"MID"});
    ASSERT_EQ(features.airways.size(), 1U);
    EXPECT_EQ(features.airways.front().designator, "V1");
}

TEST(CaseChart, AnAirwayThatIsFlownBackwardOnlyIsShownThatWay) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {30, 0});
    sketch.airway("V1", {"AAA", "BBB"},
                  {.direction = navdata::AirwayDirection::backward_only,
                   .minimum_ft = 4000.0,
                   .minimum_backward_ft = 5000.0});
    const auto world = sketch.world();
    const ChartFeatures features = chart_features(world, {}, {-171, 39, -168, 41});
    ASSERT_EQ(features.airways.size(), 1U);
    const navdata::AirwaySegment& segment = features.airways.front().segment;
    EXPECT_EQ(world.ident(segment.from), "BBB");
    EXPECT_EQ(world.ident(segment.to), "AAA");
    EXPECT_EQ(std::get<base::Altitude>(segment.minimum_forward), base::Altitude::feet(5000));
    EXPECT_NEAR(segment.outbound_course->degrees(), 270.0, 1.0);
}

// A ring of half a degree in steps of 0.001: near it is left whole to a 2,000th of the height, from afar it is thinned, never closed to nothing.
TEST(LawChart, TheCoastKeepsWhatCanBeToldApartAndNoMore) {
    earth::CoastlineRing ring;
    for (int i = 0; i < 500; ++i) {
        ring.vertices.push_back(at(40.0, -170.0 + i * 0.001));
    }
    for (int i = 0; i < 500; ++i) {
        ring.vertices.push_back(at(40.0 + i * 0.001, -169.5));
    }
    const std::vector<earth::CoastlineRing> coast{ring};
    const auto world = Sketch().vor("AAA", {0, 0}).world();
    const auto near = chart_features(world, coast, {-170.6, 39.5, -169.0, 41.0}).coast;
    ASSERT_EQ(near.size(), 1U);
    EXPECT_EQ(near.front().vertices.size(), ring.vertices.size());  // 1.5 degrees / 2,000 is less than a step
    const auto wide = chart_features(world, coast, {-175, 30, -165, 50}).coast;
    ASSERT_EQ(wide.size(), 1U);
    EXPECT_LT(wide.front().vertices.size(), ring.vertices.size() / 8);
    EXPECT_GE(wide.front().vertices.size(), 50U);
    EXPECT_TRUE(chart_features(world, coast, {-160, 30, -150, 50}).coast.empty());
}

}  // namespace omniway::plan
