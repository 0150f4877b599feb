#include "plan/comparison.hpp"

#include <gtest/gtest.h>

#include "plan/hand_made.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"
#include "tests/sketch_judged.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;

namespace {

Outline first() {
    Outline made;
    made.airways = {"V12"};
    made.stations = {"XDV", "XRG", "XMR"};
    made.dead_reckoning = Length::nautical_miles(0.5);
    made.highest_minimum = Altitude::feet(10000);
    made.departs = "RW25";
    made.lands = "RW15";
    return made;
}

using Sentences = std::vector<std::string>;

}  // namespace

TEST(CaseComparison, OfWhatDoesNotDifferNothingIsSaid) {
    EXPECT_EQ(differences(first(), first()), Sentences{});
    Outline other = first();
    other.dead_reckoning += Length::nautical_miles(0.9);
    other.highest_minimum = Altitude::feet(10040);
    EXPECT_EQ(differences(first(), other), Sentences{});
}

TEST(CaseComparison, EachThingThatDiffersIsASentenceWithBothItsFigures) {
    Outline other;
    other.airways = {"V14", "V29"};
    other.stations = {"XDV", "XKE", "XHU", "IXMR"};
    other.dead_reckoning = Length::nautical_miles(12.3);
    other.highest_minimum = Altitude::feet(5000);
    other.departs = "RW07 by XULVE1";
    other.lands = "RW27 by XEMIR1";
    EXPECT_EQ(differences(first(), other), (Sentences{"it follows V14 and V29, and not V12",
                                                      "it needs XKE, XHU and IXMR, and not XRG and XMR",
                                                      "12.3 NM are flown by heading alone, 11.8 NM more",
                                                      "its highest minimum is 5000 ft instead of 10000 ft",
                                                      "it takes off from RW07 by XULVE1 instead of RW25",
                                                      "it lands on RW27 by XEMIR1 instead of RW15"}));
}

TEST(CaseComparison, WhatComesToItOrIsLeftAwayIsToldSo) {
    Outline other = first();
    other.stations.push_back("XUM");
    EXPECT_EQ(differences(first(), other), Sentences{"it needs XUM too"});
    EXPECT_EQ(differences(other, first()), Sentences{"it does not need XUM"});
    other = first();
    other.airways.clear();
    EXPECT_EQ(differences(first(), other), Sentences{"it follows no airway, and not V12"});
    EXPECT_EQ(differences(other, first()), Sentences{"it follows V12 too"});
    other = first();
    other.highest_minimum.reset();
    EXPECT_EQ(differences(first(), other), Sentences{"no minimum is known along it"});
}

// XDEP at the origin, an eastbound ILS at (140, 0) begun over the VOR INI 14 NM before it; AAA near XDEP, V1 from it to INI.
TEST(CaseComparison, AFlightIsOutlinedByWhatItFollowsAndNeeds) {
    omniway::testing::Sketch sketch;
    omniway::testing::draw_eastbound_ils(sketch);
    sketch.vor("AAA", {10, 0}, {.dme = navdata::ServiceClass::low});
    sketch.vor("MMM", {68, 10}, {.dme = navdata::ServiceClass::low}).airway("V1", {"AAA", "MMM", "INI"});
    const auto world = sketch.world();
    HandMadeRequest request;
    for (const char* word : {"XDEP", "AAA", "MMM", "INI", "XARR"}) {
        request.route.elements.push_back({{word, 1, 1}, flight::RoutePoint{word}});
        if (word == std::string("AAA") || word == std::string("MMM")) {
            request.route.elements.push_back({{"V1", 1, 1}, flight::RouteAirway{"V1"}});
        }
    }
    request.flight.from = *world.airport("XDEP");
    request.flight.to = *world.airport("XARR");
    request.flight.aircraft =
        omniway::testing::aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    request.flight.cruise = Altitude::feet(5000);
    request.flight.settings.off_airway_minimum = Altitude::feet(3000);
    request.flight.today = earth::DecimalYear{2026.0};
    const auto option = hand_made(world, radio::Ground{}, omniway::testing::magnetic_model(), request);
    ASSERT_TRUE(option);
    const Outline outline = outline_of(world, *option);
    EXPECT_EQ(outline.airways, Sentences{"V1"});
    ASSERT_GE(outline.stations.size(), 3U);
    EXPECT_EQ(Sentences(outline.stations.begin(), outline.stations.begin() + 3),
              (Sentences{"AAA", "MMM", "INI"}));
    EXPECT_EQ(outline.departs, "RW09");
    EXPECT_EQ(outline.lands, "RW09");
    // On a plane map AAA to MMM is 58.9 NM, MMM to INI 58.9 NM: nearly all of it under an airway's 3,000 ft.
    ASSERT_TRUE(outline.highest_minimum);
    EXPECT_NEAR(outline.highest_minimum->feet(), 3000.0, 0.5);
    EXPECT_LT(outline.dead_reckoning, Length::nautical_miles(10));
    EXPECT_EQ(differences(outline, outline), Sentences{});
}

}  // namespace omniway::plan
