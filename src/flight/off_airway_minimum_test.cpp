#include "flight/off_airway_minimum.hpp"

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "tests/sketch.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using omniway::testing::Sketch;

namespace {

std::vector<earth::GroundSlice> slices_of(const std::vector<double>& highest_ft, double lowest_ft = 0.0) {
    std::vector<earth::GroundSlice> slices;
    for (const double feet : highest_ft) {
        earth::GroundSlice slice;
        slice.highest = Altitude::feet(feet);
        slice.lowest = Altitude::feet(lowest_ft);
        slices.push_back(slice);
    }
    return slices;
}

double asks_ft(const std::vector<earth::GroundSlice>& slices, double allowance_ft = 200.0) {
    const auto asks = ground_asks(slices, Length::feet(allowance_ft));
    return asks ? asks->altitude.feet() : -1.0;
}

Stretch guided(double from_nm, double to_nm, navdata::StationId station) {
    return {Length::nautical_miles(from_nm), Length::nautical_miles(to_nm),
            procedure::OnRadial{station, false, base::Radial()}};
}

}  // namespace

// 14 CFR 91.177 (trade-facts 9.3): 1,000 ft above the highest obstacle within 4 NM of the course, 2,000 ft in mountains; 3,000 ft
// of change within 10 NM are mountains (trade-facts 21, from memory); the allowance of 200 ft is common practice, no source.
TEST(TruthOffAirwayMinimum, ClearanceIsAThousandFeetAndTwoInMountains) {
    EXPECT_DOUBLE_EQ(asks_ft(slices_of({1000, 1500, 800})), 2700);
    EXPECT_DOUBLE_EQ(asks_ft(slices_of({1000, 1500, 800}), 0.0), 2500);
    EXPECT_DOUBLE_EQ(asks_ft(slices_of({1000, 2999, 800})), 4200);
    EXPECT_DOUBLE_EQ(asks_ft(slices_of({1000, 3001, 800})), 5300);
    // High but level ground is no mountain.
    EXPECT_DOUBLE_EQ(asks_ft(slices_of({9000, 9100, 9050}, 8900)), 10300);
}

TEST(LawOffAirwayMinimum, MountainsCountWithinTenMilesOfTheirChange) {
    std::vector<double> highest(40, 100.0);
    highest[5] = 2500;
    highest[30] = 3500;
    // The hill at the sixth mile lies 25 miles from the mountain: 1,000 ft above it, 2,000 ft above the mountain.
    EXPECT_DOUBLE_EQ(asks_ft(slices_of(highest)), 5700);
    highest[30] = 2400;
    EXPECT_DOUBLE_EQ(asks_ft(slices_of(highest)), 3700);
}

TEST(LawOffAirwayMinimum, UnknownGroundGivesNoMinimum) {
    auto slices = slices_of({1000, 1500, 800});
    slices[1].known = false;
    EXPECT_FALSE(ground_asks(slices, Length::feet(200)));
    slices[1].known = true;
    slices[2].highest.reset();
    EXPECT_FALSE(ground_asks(slices, Length::feet(200)));
}

// 4.5 degrees meet 4 NM at 50.82 NM, and are 7.87 NM wide at 100 NM (trade-facts 3.3, [computed]).
TEST(TruthOffAirwayMinimum, TheCorridorWidensFromFiftyOneMiles) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {100, 0});
    const auto id = [&](const char* ident) {
        return std::get<navdata::StationId>(sketch.world().named(ident).at(0));
    };
    const auto widths =
        corridor_of(sketch.world(), sketch.place("AAA"), sketch.place("BBB"), {guided(0, 100, id("AAA"))});
    ASSERT_EQ(widths.size(), 3U);
    EXPECT_NEAR(widths[0].half_width.nautical_miles(), 4.0, 1e-9);
    EXPECT_NEAR(widths[1].along.nautical_miles(), 50.82, 0.01);
    EXPECT_NEAR(widths[1].half_width.nautical_miles(), 4.0, 1e-6);
    EXPECT_NEAR(widths[2].half_width.nautical_miles(), 7.87, 0.01);
    const auto halved = corridor_of(sketch.world(), sketch.place("AAA"), sketch.place("BBB"),
                                    {guided(0, 50, id("AAA")), guided(50, 100, id("BBB"))});
    for (const auto& width : halved) {
        EXPECT_NEAR(width.half_width.nautical_miles(), 4.0, 1e-9);
    }
}

// PANS-OPS II-3-1: 15 degrees each side without guidance (trade-facts 3.3, [seen]): 10 NM on heading add 2.68 NM.
TEST(TruthOffAirwayMinimum, AHeadingSplaysFifteenDegrees) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {60, 0});
    const auto id = std::get<navdata::StationId>(sketch.world().named("AAA").at(0));
    const auto widths = corridor_of(sketch.world(), sketch.place("AAA"), sketch.place("BBB"),
                                    {guided(0, 40, id),
                                     {Length::nautical_miles(40), Length::nautical_miles(50),
                                      procedure::OnHeading{base::TrueBearing::degrees(90)}}});
    EXPECT_NEAR(widths.back().half_width.nautical_miles(), 4.0 + 2.68, 0.005);
}

TEST(LawOffAirwayMinimum, WhatTheUserGivesStandsAndUnknownGroundIsSaid) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {30, 0});
    const auto id = std::get<navdata::StationId>(sketch.world().named("AAA").at(0));
    const std::vector<Stretch> stretches{guided(0, 30, id)};
    const auto minimum = [&](const earth::Terrain& terrain, const Settings& settings) {
        radio::Ground ground;
        ground.terrain = &terrain;
        return off_airway_minimum(sketch.world(), ground, settings, sketch.place("AAA"), sketch.place("BBB"),
                                  stretches);
    };
    const auto level = [](std::int16_t metres) {
        std::vector<earth::TerrainBlock> blocks;
        for (int row = -360; row < 360; ++row) {
            for (int column = -720; column < 720; ++column) {
                blocks.push_back({row, column});
            }
        }
        return earth::Terrain(blocks, [metres](earth::TerrainBlock) {
            return earth::TerrainTile{61, std::vector<std::int16_t>(61 * 61, metres)};
        });
    };
    const LegMinimum asked = minimum(earth::Terrain(), Settings{});
    EXPECT_EQ(asked.from, MinimumFrom::not_known);
    EXPECT_FALSE(asked.ground_unknown);
    const LegMinimum over = minimum(level(300), Settings{});
    EXPECT_EQ(over.from, MinimumFrom::ground);
    EXPECT_DOUBLE_EQ(over.altitude->feet(), 2200);  // 984 + 200 + 1,000, rounded up to hundreds
    const LegMinimum somewhere = minimum(earth::Terrain({{0, 0}},
                                                        [](earth::TerrainBlock) {
                                                            return earth::TerrainTile{2, {0, 0, 0, 0}};
                                                        }),
                                         Settings{});
    EXPECT_EQ(somewhere.from, MinimumFrom::not_known);
    EXPECT_TRUE(somewhere.ground_unknown);
    Settings own;
    own.off_airway_minimum = Altitude::feet(3000);
    EXPECT_EQ(minimum(level(300), own).from, MinimumFrom::given_by_user);
}

}  // namespace omniway::flight
