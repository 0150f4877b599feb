#include "plan/what_mattered.hpp"

#include <algorithm>
#include <string>

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
using ::testing::HasSubstr;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

// Round by MMM 40 NM to the north: the straight V2 is one-way the other way, and so is V9, round by the far south.
Sketch drawn() {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {10, 0}, {.service = ServiceClass::terminal});
    sketch.vor("MMM", {68, 40}, {.service = ServiceClass::terminal});
    sketch.vor("SOU", {60, -70}, {.service = ServiceClass::terminal});
    sketch.airway("V1", {"AAA", "MMM", "INI"});
    sketch.airway("V2", {"AAA", "INI"}, {.direction = navdata::AirwayDirection::backward_only});
    sketch.airway("V9", {"AAA", "SOU", "INI"}, {.direction = navdata::AirwayDirection::backward_only});
    return sketch;
}

Answer answer_of(const navdata::Snapshot& world, std::size_t most_lifts, const Aboard& aboard = everything) {
    Request asked;
    asked.from = *world.airport("XDEP");
    asked.to = *world.airport("XARR");
    asked.aircraft = aircraft_with(aboard);
    asked.winds = weather::Wind{base::TrueBearing::degrees(90), base::Speed::knots(10)};
    asked.cruise = Altitude::feet(5000);
    asked.settings.off_airway_minimum = Altitude::feet(3000);
    asked.today = earth::DecimalYear{2026.0};
    asked.most_lifts = most_lifts;
    return plan(world, radio::Ground{}, magnetic_model(), asked);
}

const Mattered* lifted(const Answer& answer, const std::string& by) {
    const auto found =
        std::find_if(answer.mattered.begin(), answer.mattered.end(),
                     [&](const Mattered& each) { return each.lifted.find(by) != std::string::npos; });
    return found == answer.mattered.end() ? nullptr : &*found;
}

}  // namespace

// Straight it is 116 NM from AAA to INI, round by MMM twice the root of 58^2 + 40^2, 141 NM: at 150 kt less the wind the other 25 NM are
// 10 to 11 minutes.
TEST(CaseMattered, TheOneWayAirwayThatWouldBeShorterMattersAndTheOneThatLeadsAsideDoesNot) {
    const auto world = drawn().world();
    const Answer answer = answer_of(world, 10);
    ASSERT_TRUE(answer.option);
    const Mattered* straight = lifted(answer, "V2");
    ASSERT_NE(straight, nullptr);
    EXPECT_THAT(straight->with_it, HasSubstr("XDEP DCT AAA V2 INI XARR"));
    EXPECT_NEAR(base::in_minutes(straight->sooner), 10.6, 1.0);
    ASSERT_EQ(straight->refused.size(), 1U);
    EXPECT_EQ(straight->refused[0].code, "airway.wrong_direction");
    EXPECT_EQ(lifted(answer, "V9"), nullptr);
    EXPECT_EQ(answer.refused.front(), straight->refused[0]);
    EXPECT_TRUE(std::any_of(answer.refused.begin(), answer.refused.end(), [](const base::Finding& each) {
        return each.code == "airway.wrong_direction" && each.about.starts_with("V9");
    })) << "what did not matter is told all the same";
}

TEST(CaseMattered, NothingIsLiftedUnlessAskedForAndTheBoundIsKept) {
    const auto world = drawn().world();
    EXPECT_EQ(answer_of(world, 0).lifts_tried, 0U);
    const Answer all = answer_of(world, 10);
    const Answer one = answer_of(world, 1);
    EXPECT_EQ(one.lifts_tried, 1U);
    EXPECT_EQ(one.lifts_not_tried, all.lifts_tried - 1);
    EXPECT_EQ(route_text(world, one.option->flight), route_text(world, all.option->flight));
}

// Where nothing is flyable, the one set that is lacking matters, and there is no flight to be sooner than.
TEST(CaseMattered, ALackingReceiverMattersWhereWithoutItThereIsNoFlight) {
    const auto world = drawn().world();
    const Answer answer = answer_of(world, 10, {.receivers = 2, .dme = true, .adf = true});
    ASSERT_EQ(answer.verdict, base::Verdict::not_flyable);
    const Mattered* glideslope = lifted(answer, "a glideslope receiver");
    ASSERT_NE(glideslope, nullptr);
    EXPECT_FALSE(glideslope->flyable_before);
    EXPECT_THAT(glideslope->refused[0].text, HasSubstr("glideslope receiver"));
}

}  // namespace omniway::plan
