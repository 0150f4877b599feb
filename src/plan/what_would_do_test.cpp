#include "plan/what_would_do.hpp"

#include <cmath>
#include <cstdio>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using omniway::testing::aircraft_with;
using omniway::testing::Sketch;
using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

namespace {

Sketch fields() {
    Sketch sketch;
    sketch.airport("XDEP", {0, 0}).runway("XDEP", 9, {0, 0});
    sketch.airport("XARR", {100, 0}).runway("XARR", 9, {100, 0});
    return sketch;
}

Request request(const navdata::Snapshot& world) {
    Request asked;
    asked.from = *world.airport("XDEP");
    asked.to = *world.airport("XARR");
    asked.aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    return asked;
}

Answer answered(bool flyable, double cruise_ft = 7000.0) {
    Answer answer;
    if (flyable) {
        answer.verdict = base::Verdict::flyable;
        answer.option.emplace();
        answer.option->flight.cruise = Altitude::feet(cruise_ft);
    }
    return answer;
}

// Asked as a planner would be that flies exactly where the condition holds.
template <class Condition>
WouldDo would_do(const navdata::Snapshot& world, const Request& asked, const Condition& flyable,
                 std::size_t most = 60) {
    return what_would_do(
        world, asked,
        [&](const navdata::Snapshot& there, const Request& changed) {
            return answered(flyable(there, changed));
        },
        most);
}

}  // namespace

TEST(CaseWouldDo, AnotherAltitudeIsNamedWithItsFigure) {
    const auto world = fields().world();
    Request asked = request(world);
    asked.cruise = Altitude::feet(3000);
    const WouldDo found =
        would_do(world, asked, [](const auto&, const Request& changed) { return !changed.cruise; });
    EXPECT_THAT(found.changes, ElementsAre("another cruising altitude (7000 ft)"));
}

TEST(CaseWouldDo, AStationBackInServiceIsNamedAndAFarOneIsNotAskedAbout) {
    Sketch sketch = fields();
    sketch.vor("AAA", {50, 10}).vor("FAR", {50, 400});
    sketch.station("AAA").out_of_service = true;
    sketch.station("FAR").out_of_service = true;
    const auto world = sketch.world();
    const auto there = [](const std::string& ident) {
        return
            [ident](const navdata::Snapshot& other, const Request&) { return !other.named(ident).empty(); };
    };
    EXPECT_THAT(would_do(world, request(world), there("AAA")).changes, ElementsAre("AAA back in service"));
    EXPECT_THAT(would_do(world, request(world), there("FAR")).changes, IsEmpty());
}

TEST(CaseWouldDo, WhatWasAskedForAndCanBeLeftAwayIsNamed) {
    const auto world = fields().world();
    Request asked = request(world);
    asked.approach = "I09";
    asked.constraints.avoid_airways = {"V1", "V2"};
    EXPECT_THAT(would_do(world, asked, [](const auto&, const Request& r) { return !r.approach; }).changes,
                ElementsAre("approach I09 not asked for"));
    EXPECT_THAT(would_do(world, asked,
                         [](const auto&, const Request& r) {
                             return r.constraints.avoid_airways == std::vector<std::string>{"V1"};
                         })
                    .changes,
                ElementsAre("V2 not avoided"));
    EXPECT_THAT(would_do(world, asked,
                         [](const auto&, const Request& r) { return r.constraints.avoid_airways.empty(); })
                    .changes,
                ElementsAre("V1 not avoided and V2 not avoided"));
}

// The smallest first: what is only another choice before what has to be bought.
TEST(CaseWouldDo, TheSmallestChangeIsNamedFirst) {
    const auto world = fields().world();
    Request asked = request(world);
    asked.cruise = Altitude::feet(3000);
    asked.aircraft.equipment.adf.reset();
    const WouldDo found = would_do(world, asked, [](const auto&, const Request& r) {
        return !r.cruise || r.aircraft.equipment.adf ||
               r.settings.dead_reckoning_distance > Length::nautical_miles(24.0);
    });
    EXPECT_THAT(found.changes, ElementsAre("another cruising altitude (7000 ft)",
                                           "a dead-reckoning allowance of 24.5 NM", "an ADF"));
}

TEST(CaseWouldDo, WhatTheBoundLeavesOutIsCounted) {
    const auto world = fields().world();
    const auto never = [](const auto&, const Request&) { return false; };
    const WouldDo all = would_do(world, request(world), never, 1000);
    EXPECT_EQ(all.not_tried, 0U);
    ASSERT_GT(all.tried, 0U);
    const WouldDo none = would_do(world, request(world), never, 0);
    EXPECT_EQ(none.tried, 0U);
    EXPECT_EQ(none.not_tried, all.tried);
}

// The least allowance that does, against the threshold it was hidden behind: rounded up to half a mile, half a minute.
RC_GTEST_PROP(BruteWouldDo, TheLeastDeadReckoningAllowanceIsFoundToHalfAMileAndHalfAMinute, ()) {
    const auto world = fields().world();
    const double nm = *rc::gen::inRange(1005, 2499) / 100.0;
    const double min = *rc::gen::inRange(100, 1499) / 100.0;
    const WouldDo found = would_do(world, request(world), [&](const auto&, const Request& r) {
        return r.settings.dead_reckoning_distance.nautical_miles() >= nm &&
               base::in_minutes(r.settings.dead_reckoning_time) >= min - 1e-9;
    });
    const double least_nm = std::ceil(nm * 2.0) / 2.0;
    const double least_min = std::ceil(min * 2.0) / 2.0;
    char text[80];
    if (min <= 5.0) {
        std::snprintf(text, sizeof text, "a dead-reckoning allowance of %.1f NM", least_nm);
    } else {
        std::snprintf(text, sizeof text, "a dead-reckoning allowance of %.1f NM and %.1f min", least_nm,
                      least_min);
    }
    RC_ASSERT(found.changes == std::vector<std::string>{text});
}

}  // namespace omniway::plan
