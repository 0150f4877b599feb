#include "plan/why.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

navdata::Snapshot drawn(double minimum_ft = 3000.0) {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {10, 0}, {.service = ServiceClass::terminal});
    sketch.vor("MMM", {68, 40}, {.service = ServiceClass::terminal});
    sketch.airway("V1", {"AAA", "MMM", "INI"}, {.minimum_ft = minimum_ft});
    sketch.airway("V2", {"AAA", "INI"});
    return sketch.world();
}

// By DCT to AAA, then along an airway to INI.
HandMadeRequest along(const navdata::Snapshot& world, const std::string& airway, double cruise_ft = 5000.0) {
    HandMadeRequest request;
    int column = 1;
    const auto add = [&](auto word, const std::string& text) {
        flight::RouteElement element;
        element.token = {text, 1, column};
        element.word = std::move(word);
        column += static_cast<int>(text.size()) + 1;
        request.route.elements.push_back(element);
    };
    add(flight::RouteDirect{}, "DCT");
    add(flight::RoutePoint{"AAA"}, "AAA");
    add(flight::RouteAirway{airway}, airway);
    add(flight::RoutePoint{"INI"}, "INI");
    request.flight.from = *world.airport("XDEP");
    request.flight.to = *world.airport("XARR");
    request.flight.aircraft = aircraft_with(everything);
    request.flight.winds = weather::Wind{base::TrueBearing::degrees(90), base::Speed::knots(0)};
    request.flight.cruise = Altitude::feet(cruise_ft);
    request.flight.settings.off_airway_minimum = Altitude::feet(3000);
    request.flight.today = earth::DecimalYear{2026.0};
    return request;
}

Why asked(const navdata::Snapshot& world, const HandMadeRequest& request) {
    const auto by_hand = hand_made(world, radio::Ground{}, magnetic_model(), request);
    EXPECT_TRUE(by_hand) << base::to_text(by_hand.error().front());
    return why(world, radio::Ground{}, magnetic_model(), request, *by_hand);
}

}  // namespace

TEST(CaseWhy, TheRouteThatIsOfferedIsTheSameFlight) {
    const auto world = drawn();
    const Why answer = asked(world, along(world, "V2"));
    EXPECT_EQ(answer.standing, Standing::the_same);
    EXPECT_THAT(answer.says, ElementsAre("This is the flight that is offered."));
    EXPECT_THAT(answer.better_in, IsEmpty());
}

// Straight it is 116 NM from AAA to INI, round by MMM twice the root of 58^2 + 40^2, 140.9 NM: 24.9 NM more at 150 kt are 10.0 minutes.
TEST(CaseWhy, TheLongWayRoundTakesTheMinutesOfItsMiles) {
    const auto world = drawn();
    const Why answer = asked(world, along(world, "V1"));
    ASSERT_FALSE(answer.offered.empty());
    const BesideOffered& first = answer.offered.front();
    EXPECT_EQ(first.route, "XDEP DCT AAA V2 INI XARR");
    EXPECT_NEAR(base::in_minutes(first.later), 10.0, 0.2);
    ASSERT_EQ(first.only_by_hand.size(), 1U);
    EXPECT_EQ(first.only_by_hand[0].via, "V1");
    EXPECT_EQ(first.only_by_hand[0].from, "AAA");
    EXPECT_EQ(first.only_by_hand[0].to, "INI");
    EXPECT_NEAR(first.only_by_hand[0].length.nautical_miles(), 140.9, 0.3);
    ASSERT_EQ(first.only_offered.size(), 1U);
    EXPECT_NEAR(first.only_offered[0].length.nautical_miles(), 116.0, 0.3);
    EXPECT_THAT(answer.says, Contains(HasSubstr("V2 from AAA to INI in place of V1 from AAA to INI")));
    EXPECT_THAT(answer.says, Contains(HasSubstr("10.0 min longer")));
}

// 58 NM from the nearer aid its line is wider than what is protected: nothing is left on V2. Round by MMM no place is farther than half of
// 70.5 NM from an aid: 35.2 tan 4.5 = 2.77 of 4 NM, 0.31 is left. The longer way is the one with the margin.
TEST(CaseWhy, TheLongWayThatLeavesMoreMarginIsNotCalledWorse) {
    const auto world = drawn();
    const Why answer = asked(world, along(world, "V1"));
    ASSERT_FALSE(answer.offered.empty());
    EXPECT_NEAR(answer.costs.margin.width, 0.307, 0.01);
    EXPECT_NEAR(answer.offered.front().costs.margin.width, 0.0, 0.001);
    EXPECT_LT(answer.offered.front().less_margin, -0.2);
    EXPECT_EQ(answer.offered.front().standing, Standing::neither);
}

TEST(CaseWhy, WhatBlocksIsToldWithItsFiguresAndIsNoMissOfTheRouter) {
    const auto world = drawn(8000.0);
    const Why answer = asked(world, along(world, "V1"));
    EXPECT_EQ(answer.standing, Standing::not_flyable);
    ASSERT_FALSE(answer.blocking.empty());
    EXPECT_THAT(answer.says.front(), HasSubstr("cannot be flown"));
    EXPECT_THAT(answer.says.front(), HasSubstr("8000 ft"));
    EXPECT_THAT(answer.better_in, IsEmpty());
    ASSERT_FALSE(answer.offered.empty());
    EXPECT_EQ(answer.offered.front().standing, Standing::not_flyable);
}

}  // namespace omniway::plan
