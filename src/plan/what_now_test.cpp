#include "plan/what_now.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/drawn_flight.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using omniway::testing::aircraft_with;
using omniway::testing::At;
using omniway::testing::DrawnGround;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using ::testing::HasSubstr;

namespace {

// A disc about a place that holds 95 %, drawn by hand, and one cell.
fixing::Belief disc_about(earth::Position place, double radius_nm, double probability = 1.0) {
    fixing::Belief belief{earth::LocalFrame(place)};
    belief.cell_m = 463.0;
    belief.cells = {{belief.frame.to_plane(place), 1.0}};
    belief.modes = {{place, probability, Length(), Length(), {}, {}}};
    belief.most.probability = 0.95;
    belief.most.rings.emplace_back();
    for (int degrees = 0; degrees < 360; degrees += 10) {
        belief.most.rings.front().push_back(
            earth::destination(place, TrueBearing::degrees(degrees), Length::nautical_miles(radius_nm)));
    }
    return belief;
}

Request request_in(const navdata::Snapshot& world) {
    Request asked;
    asked.from = *world.airport("XDEP");
    asked.to = *world.airport("XARR");
    asked.aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    asked.winds = weather::Wind{TrueBearing::degrees(90), base::Speed::knots(10)};
    asked.today = earth::DecimalYear{2026.0};
    return asked;
}

// A VOR beside the way, and an ILS to fly to.
Sketch drawn() {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {100, 5}, {.service = navdata::ServiceClass::low, .dme = navdata::ServiceClass::low});
    sketch.airway("V2", {"AAA", "INI"});
    return sketch;
}

std::vector<std::string> codes(const WhatNow& now) {
    std::vector<std::string> all;
    for (const base::Finding& each : now.findings) {
        all.push_back(each.code);
    }
    return all;
}
const base::Finding& found(const WhatNow& now, const std::string& code) {
    return *std::find_if(now.findings.begin(), now.findings.end(),
                         [&](const base::Finding& each) { return each.code == code; });
}

struct Asked {
    At place{90, -10};
    double radius_nm = 3.0;
    double altitude_ft = 5000.0;
    double probability = 0.99;
    bool look_for_airports = true;
};
WhatNow answer(const Sketch& sketch, const Asked& asked, const radio::Ground& ground = {}) {
    const auto world = sketch.world();
    const Request request = request_in(world);
    const fixing::Belief belief = disc_about(sketch.at(asked.place), asked.radius_nm, asked.probability);
    WhatNowQuestion question{request, belief, Altitude::feet(asked.altitude_ft)};
    question.fuel = request.aircraft.fuel.usable;
    if (asked.look_for_airports) {
        question.land.airports = {*world.airport("XDEP"), *world.airport("XARR")};
    }
    return what_now(world, ground, magnetic_model(), question);
}

}  // namespace

TEST(CaseWhatNow, HighEnoughOneFliesToTheNearestApproachFromThere) {
    Sketch sketch = drawn();
    sketch.grid(3000);
    const WhatNow now = answer(sketch, {});
    EXPECT_TRUE(now.sure.enough);
    EXPECT_NEAR(now.sure.extent.nautical_miles(), 6.0, 0.05);
    EXPECT_EQ(now.safe.by, SafeBy::grid);
    EXPECT_FALSE(now.climb_first);
    EXPECT_EQ(now.go_on_at, Altitude::feet(5000));
    ASSERT_FALSE(now.land.ranked.empty());
    EXPECT_EQ(now.land.ranked.front().option.flight.approach.substr(0, 8), "ILS RW09");
    ASSERT_TRUE(now.land.ranked.front().first);
    // What divert says from the same place, to the letter: it is asked, not made again.
    const auto world = sketch.world();
    InFlight from;
    from.at = {"here", sketch.at({90, -10}), Altitude::feet(5000)};
    from.fuel = request_in(world).aircraft.fuel.usable;
    const Diversions alone = diversions(world, {}, magnetic_model(), request_in(world), from,
                                        {{*world.airport("XDEP"), *world.airport("XARR")}});
    ASSERT_EQ(alone.ranked.size(), now.land.ranked.size());
    EXPECT_EQ(route_text(world, alone.ranked.front().option.flight),
              route_text(world, now.land.ranked.front().option.flight));
    EXPECT_EQ(alone.ranked.front().first->aid, now.land.ranked.front().first->aid);
    ASSERT_TRUE(now.first_heard);
    EXPECT_TRUE(now.first_heard->here.heard());
    EXPECT_EQ(now.first_heard->share, 1.0);
    EXPECT_FALSE(now.back);
    EXPECT_TRUE(now.findings.empty());
}

TEST(CaseWhatNow, TooLowOneClimbsFirstAndGoesOnFromThere) {
    Sketch sketch = drawn();
    sketch.grid(6000);
    const WhatNow now = answer(sketch, {.altitude_ft = 2500});
    EXPECT_TRUE(now.climb_first);
    EXPECT_EQ(now.go_on_at, Altitude::feet(6000));
    EXPECT_EQ(now.land.from.at.altitude, Altitude::feet(6000));
    EXPECT_NEAR(now.safe.above->feet(), -3500.0, 1e-6);
    EXPECT_EQ(found(now, "now.climb_first").text,
              "2500 ft is 3500 ft below what is safe there: climb to 6000 ft first");
    // At the very altitude nothing is to be climbed.
    EXPECT_FALSE(answer(sketch, {.altitude_ft = 6000, .look_for_airports = false}).climb_first);
}

TEST(CaseWhatNow, WhereNothingIsKnownItIsSaidAndABoundIsNoPromise) {
    const WhatNow nothing = answer(drawn(), {.look_for_airports = false});
    EXPECT_THAT(codes(nothing), ::testing::ElementsAre("now.no_safe_altitude"));
    EXPECT_THAT(nothing.findings.front().text,
                HasSubstr("no safe altitude is known here: no MSA is published"));
    EXPECT_EQ(nothing.go_on_at, Altitude::feet(5000));
    // Half of it over unknown ground: 1,000 m are 3,281 ft + 200 + 2,000.
    const earth::Position place = drawn().at({90, -10});
    const DrawnGround half(place, 2, [=](double, double longitude) {
        return longitude < place.longitude_deg() ? std::nullopt : std::optional(1000.0);
    });
    const WhatNow bound = answer(drawn(), {.altitude_ft = 6000, .look_for_airports = false}, half.ground());
    EXPECT_EQ(bound.safe.at_least, Altitude::feet(5500));
    EXPECT_THAT(codes(bound), ::testing::UnorderedElementsAre("now.no_safe_altitude", "now.only_a_bound"));
    EXPECT_FALSE(bound.climb_first);
    const WhatNow low = answer(drawn(), {.altitude_ft = 5000, .look_for_airports = false}, half.ground());
    EXPECT_TRUE(low.climb_first);
    EXPECT_EQ(low.go_on_at, Altitude::feet(5500));
    EXPECT_THAT(found(low, "now.climb_first").text, HasSubstr("the least that is known there"));
}

TEST(CaseWhatNow, ALongRegionOrADoubtfulPlaceIsNotSureAndAnsweredAllTheSame) {
    Sketch sketch = drawn();
    sketch.grid(3000);
    for (const Asked& asked : {Asked{.radius_nm = 5.2}, Asked{.probability = 0.79}}) {
        const WhatNow now = answer(sketch, asked);
        EXPECT_FALSE(now.sure.enough);
        EXPECT_EQ(found(now, "now.not_sure").remedy, "tune what tells more first");
        EXPECT_FALSE(now.land.ranked.empty());
    }
    EXPECT_TRUE(
        answer(sketch, {.radius_nm = 4.9, .probability = 0.81, .look_for_airports = false}).sure.enough);
}

TEST(CaseWhatNow, NoAirportIsSaidWithWhyAndTheCeilingHolds) {
    Sketch sketch = drawn();
    sketch.grid(20000);
    const auto world = sketch.world();
    Request request = request_in(world);
    request.aircraft.runway_need.landing = Length::feet(9000);
    const fixing::Belief belief = disc_about(sketch.at({90, -10}), 3.0);
    WhatNowQuestion question{request, belief, Altitude::feet(5000)};
    question.fuel = request.aircraft.fuel.usable;
    question.land.airports = {*world.airport("XARR"), *world.airport("XDEP")};
    const WhatNow now = what_now(world, {}, magnetic_model(), question);
    EXPECT_EQ(now.safe.altitude, Altitude::feet(20000));
    EXPECT_EQ(now.go_on_at, Altitude::feet(18000));
    EXPECT_THAT(codes(now), ::testing::UnorderedElementsAre("now.climb_first", "now.above_the_ceiling",
                                                            "now.no_airport"));
    EXPECT_THAT(found(now, "now.no_airport").text,
                HasSubstr("none can be flown to from there at 18000 ft: XARR (51 NM) "));
    EXPECT_TRUE(now.land.ranked.empty());
}

TEST(CaseWhatNow, TheCardIsTakenUpAtTheAltitudeThatIsGoneOnAt) {
    omniway::testing::DrawnFlight flown;
    flown.sketch.vor("XAB", {0, 0});
    flown.sketch.grid(8000);
    flown.build({-38, 0});
    const auto inbound = procedure::OnRadial{flown.at("XAB"), true, base::Radial::degrees(90)};
    flown.leg({-38, 0}, {0, 0}, inbound).ending =
        flown.told("XAB", {0, 0}, fixing::Overhead{flown.at("XAB")});
    const flight::Compiled& compiled = flown.compiled();
    Request request = request_in(flown.day().world);
    request.aircraft.performance = flown.day().aircraft.performance;
    const fixing::Belief belief = disc_about(flown.place({-20, 4}), 3.0);
    WhatNowQuestion question{request, belief, Altitude::feet(6000)};
    question.card.emplace(FlownCard{flown.flight(), compiled});
    question.heading = base::MagneticBearing::degrees(60);
    const WhatNow now = what_now(flown.day().world, flown.ground, magnetic_model(), question);
    ASSERT_TRUE(now.back);
    EXPECT_EQ(now.back->step, 1);
    EXPECT_EQ(now.back->by, JoinBy::intercept);
    ASSERT_EQ(now.back->heard.size(), 2U);
    EXPECT_EQ(now.back->heard.back().altitude, Altitude::feet(8000));
    EXPECT_TRUE(now.back->turn);
    question.card->done = 1;
    const WhatNow over = what_now(flown.day().world, flown.ground, magnetic_model(), question);
    EXPECT_FALSE(over.back);
    EXPECT_THAT(codes(over), ::testing::Contains("now.card_is_over"));
}

}  // namespace omniway::plan
