#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/plan.hpp"
#include "plan/wording.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using base::Speed;
using base::TrueBearing;
using base::Verdict;
using navdata::ServiceClass;
using omniway::testing::aircraft_with;
using omniway::testing::draw_eastbound_ils;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::Contains;
using ::testing::HasSubstr;

namespace {

// AAA near XDEP, and two ways to INI that no direct leg replaces: over MMM, or straight.
Sketch drawn() {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    const omniway::testing::VorDrawn terminal{.service = ServiceClass::terminal};
    sketch.vor("AAA", {10, 0}, terminal).vor("MMM", {68, 40}, terminal);
    sketch.airway("V1", {"AAA", "MMM", "INI"}).airway("V2", {"AAA", "INI"});
    return sketch;
}

Request request(const navdata::Snapshot& world, double wind_from_deg = 90.0, double wind_kt = 20.0) {
    Request asked;
    asked.from = *world.airport("XDEP");
    asked.to = *world.airport("XARR");
    asked.aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    asked.winds = weather::Wind{TrueBearing::degrees(wind_from_deg), Speed::knots(wind_kt)};
    asked.settings.off_airway_minimum = Altitude::feet(3000);
    asked.today = earth::DecimalYear{2026.0};
    return asked;
}

Answer planned(const navdata::Snapshot& world, const Request& asked) {
    return plan(world, radio::Ground{}, magnetic_model(), asked);
}

std::vector<std::string> codes(const std::vector<base::Finding>& findings) {
    std::vector<std::string> all;
    for (const base::Finding& finding : findings) {
        all.push_back(finding.code);
    }
    return all;
}

navdata::RunwayId runway(const navdata::Snapshot& world, const std::string& airport,
                         const std::string& ident) {
    for (const navdata::RunwayId id : world.runways_of(airport)) {
        if (world[id].ident == ident) {
            return id;
        }
    }
    ADD_FAILURE() << ident;
    return {};
}

}  // namespace

TEST(CaseAsked, TheRunwayAskedForOutranksTheWindAndItsTailwindWarns) {
    const auto world = drawn().world();
    Request asked = request(world, 90.0, 4.0);
    EXPECT_EQ(world[planned(world, asked).option->flight.departure_runway].ident, "RW09");
    asked.departure_runway = runway(world, "XDEP", "RW27");
    const Answer answer = planned(world, asked);
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_EQ(world[answer.option->flight.departure_runway].ident, "RW27");
    EXPECT_THAT(codes(answer.findings), Contains("runway.tailwind"));
    EXPECT_EQ(answer.departure_runways.size(), 2U);  // all are told, with how they fit
}

TEST(CaseAsked, ARunwayThatDoesNotFitBlocksWithItsFigures) {
    const auto world = drawn().world();
    Request departing = request(world, 90.0, 20.0);  // 20 kt of tailwind, the limit is 5
    departing.departure_runway = runway(world, "XDEP", "RW27");
    Request landing = request(world, 90.0, 20.0);
    landing.landing_runway = runway(world, "XARR", "RW27");
    for (const Request& asked : {departing, landing}) {
        const Answer answer = planned(world, asked);
        EXPECT_EQ(answer.verdict, Verdict::not_flyable);
        const auto found = std::find_if(answer.findings.begin(), answer.findings.end(),
                                        [](const base::Finding& f) { return f.code == "runway.tailwind"; });
        ASSERT_NE(found, answer.findings.end());
        EXPECT_THAT(found->text, HasSubstr("tailwind 20 kt, the limit is 5 kt"));
    }
}

TEST(CaseAsked, LandingOnTheOtherRunwayCirclesToIt) {
    const auto world = drawn().world();
    Request asked = request(world, 90.0, 4.0);
    asked.landing_runway = runway(world, "XARR", "RW27");
    const Answer answer = planned(world, asked);
    ASSERT_TRUE(answer.option);
    EXPECT_EQ(answer.option->flight.landing, procedure::Landing::circling);
    ASSERT_TRUE(answer.option->flight.arrival_runway);
    EXPECT_EQ(world[*answer.option->flight.arrival_runway].ident, "RW27");
}

TEST(CaseAsked, TheApproachIsTheOneAskedForByIdentOrByItsName) {
    const auto world = drawn().world();
    for (const std::string name : {"I09", "ILS RW09"}) {
        Request asked = request(world);
        asked.approach = name;
        const Answer answer = planned(world, asked);
        ASSERT_TRUE(answer.option) << name;
        EXPECT_EQ(answer.option->flight.approach, "ILS RW09");
    }
    Request other = request(world);
    other.approach = "D09";
    const Answer answer = planned(world, other);
    EXPECT_EQ(answer.verdict, Verdict::not_flyable);
}

TEST(CaseAsked, AnApproachThatBreaksAConstraintIsRefusedByNameWithItsFigures) {
    Sketch sketch = drawn();
    const auto world = sketch.world();
    Request asked = request(world);
    // Beside the final: 3 NM north of the localizer's line between INI and the threshold.
    asked.constraints.avoid_areas.push_back({"NORTH/4", sketch.at({133, 3}), Length::nautical_miles(4.0)});
    const Answer answer = planned(world, asked);
    EXPECT_EQ(answer.verdict, Verdict::not_flyable);
    const auto found = std::find_if(answer.refused.begin(), answer.refused.end(), [](const base::Finding& f) {
        return f.code == "constraint.avoided_area" && f.about == "XARR ILS RW09";
    });
    ASSERT_NE(found, answer.refused.end());
    EXPECT_THAT(found->text, HasSubstr("NORTH/4, 4.0 NM are to be kept"));
    EXPECT_THAT(codes(answer.findings), Contains("constraint.avoided_area"));
}

TEST(CaseAsked, AMissedApproachOverWhatIsAvoidedIsReplacedOrRefused) {
    const auto world = drawn().world();
    Request asked = request(world);
    asked.constraints.avoid.push_back(navdata::Point(station_of(world, "MIS")));
    const Answer answer = planned(world, asked);
    // The missed approach leads to MIS and holds there; INI, on the way, takes its place.
    if (answer.verdict == Verdict::not_flyable) {
        EXPECT_THAT(codes(answer.refused), Contains(HasSubstr("constraint.avoided")));
    } else {
        for (const flight::Leg& leg : answer.option->flight.missed) {
            EXPECT_TRUE(routing::allows(asked.constraints, world, leg)) << leg.via;
        }
        EXPECT_THAT(codes(answer.findings), Contains("missed.own_navigation"));
    }
}

TEST(CaseAsked, TheHighestAltitudeBoundsTheCruise) {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {10, 0}, {.service = ServiceClass::terminal});
    sketch.airway("V2", {"AAA", "INI"}, {.minimum_ft = 8000});
    const auto world = sketch.world();
    Request asked = request(world);
    asked.constraints.highest = Altitude::feet(9000);
    const Answer high_enough = planned(world, asked);
    ASSERT_TRUE(high_enough.option);
    EXPECT_LE(high_enough.option->flight.cruise, Altitude::feet(9000));
    EXPECT_NE(high_enough.verdict, Verdict::not_flyable);
    asked.constraints.highest = Altitude::feet(7000);
    EXPECT_EQ(planned(world, asked).verdict, Verdict::not_flyable);
    asked.constraints.highest = Altitude::feet(1000);
    EXPECT_THAT(codes(planned(world, asked).findings), Contains("constraint.above_highest"));
}

TEST(CaseAsked, WithoutItsVorAnApproachIsRefusedAndEndsNoAirway) {
    const auto world = drawn().world();
    const auto without = world.without(std::vector{station_of(world, "INI")});
    const Answer answer = planned(without, request(without));
    EXPECT_EQ(answer.verdict, Verdict::not_flyable);
    EXPECT_THAT(answer.option, ::testing::Eq(std::nullopt));
    for (const navdata::Airway& airway : without.airways()) {
        EXPECT_EQ(airway.designator, "V1");
        EXPECT_EQ(airway.segments.size(), 1U);
    }
}

TEST(CaseAsked, WhatIsAskedIsSaidInWords) {
    const auto world = drawn().world();
    Request asked = request(world);
    EXPECT_EQ(asked_text(world, asked), "");
    asked.constraints.via.push_back(navdata::Point(station_of(world, "MMM")));
    asked.constraints.avoid_airways.push_back("V2");
    asked.constraints.highest = Altitude::feet(8000);
    asked.constraints.no_beacon = true;
    asked.approach = "I09";
    EXPECT_EQ(asked_text(world, asked), "via MMM, avoiding V2, at most 8000 ft, no NDB, approach I09");
}

}  // namespace omniway::plan
