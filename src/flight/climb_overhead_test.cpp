#include "flight/climb_overhead.hpp"

#include <algorithm>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/departure.hpp"
#include "flight/en_route.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_judged.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::Speed;
using omniway::testing::aircraft_with;
using omniway::testing::airways_of;
using omniway::testing::Sketch;

namespace {

// XDEP, AAA ten miles out, V1 with its minimum from there to BBB and on to CCC.
struct Case {
    navdata::Snapshot world;
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 1});
    Flight flight;

    explicit Case(double minimum_ft, double cruise_ft = 10000)
        : world([&] {
              Sketch sketch;
              sketch.airport("XDEP", {0, 0}).runway("XDEP", 9, {0, 0});
              sketch.airport("XARR", {124, 0}).runway("XARR", 9, {124, 0});
              sketch.vor("AAA", {10, 0}).vor("BBB", {60, 0}).vor("CCC", {110, 0});
              sketch.airway("V1", {"AAA", "BBB", "CCC"}, {.minimum_ft = minimum_ft});
              return sketch.world();
          }()) {
        flight.departure = *world.airport("XDEP");
        flight.arrival = *world.airport("XARR");
        flight.departure_runway = world.runways_of("XDEP").at(0);
        flight.cruise = Altitude::feet(cruise_ft);
        const auto point = world.named("AAA").at(0);
        flight.legs =
            departure_legs(
                world, radio::Ground{}, aircraft.equipment, {}, world[flight.departure].position, "XDEP",
                std::nullopt, {"AAA", world.position(point), point, false},
                {[](Length) { return Altitude::feet(3000); },
                 [](base::TrueBearing, Length from, Length to) { return (to - from) / Speed::knots(150); }})
                .legs;
        for (const std::size_t i : {0U, 1U}) {
            flight.legs.push_back(
                airway_leg(world, aircraft.equipment, *airways_of(world, "V1").at(0), i, true, flight.cruise)
                    .leg.value());
        }
        flight.profile = profile_of(flight, aircraft, Altitude::feet(0), Altitude::feet(0));
    }

    void climb() { climb_overhead(world, flight, aircraft, Altitude::feet(0), Altitude::feet(0), {}); }

    std::vector<base::Finding> judged() const {
        return omniway::testing::judged(world, radio::Ground{}, aircraft, {},
                                        weather::Wind{base::TrueBearing::degrees(90), Speed::knots(10)},
                                        flight)
            .findings;
    }
};

Altitude beginning_of(const Flight& flight, std::size_t index) {
    Length along;
    for (std::size_t i = 0; i < index; ++i) {
        along += flight.legs[i].length;
    }
    return flight.altitude_at(along);
}

}  // namespace

TEST(CaseClimbOverhead, WhereTheMinimumIsReachedInTimeNothingIsAdded) {
    Case drawn(3000);
    drawn.climb();
    EXPECT_EQ(drawn.flight.legs.size(), 3U);
}

// Ten miles out this aircraft is near 6,700 ft: 9,000 ft want some two minutes more, which is one circuit of four.
TEST(CaseClimbOverhead, AMinimumNotReachedAtTheFirstAidIsClimbedToInAHoldOverIt) {
    Case drawn(9000);
    EXPECT_LT(beginning_of(drawn.flight, 1), Altitude::feet(9000));
    drawn.climb();
    ASSERT_EQ(drawn.flight.legs.size(), 4U);
    const Leg& hold = drawn.flight.legs[1];
    EXPECT_EQ(hold.via, "climb overhead");
    EXPECT_TRUE(is_climb_in_hold(hold));
    EXPECT_EQ(hold.start, hold.finish);
    EXPECT_DOUBLE_EQ(std::get<procedure::AtHold>(*hold.ending).altitude->feet(), 9000.0);
    EXPECT_GE(beginning_of(drawn.flight, 2), Altitude::feet(9000));
    // trade-facts 8.2: a minute out, a minute in, two turns of a minute.
    const Altitude over = beginning_of(drawn.flight, 1), after = beginning_of(drawn.flight, 2);
    const base::Duration time =
        hold.length / aircraft::true_airspeed_climb(drawn.aircraft.performance, over + (after - over) * 0.5);
    EXPECT_NEAR(base::in_minutes(time), 4.0, 0.02);
    for (const base::Finding& finding : drawn.judged()) {
        EXPECT_NE(finding.code, "altitude.climb_overhead") << finding.text;
        EXPECT_NE(finding.code, "altitude.below_minimum") << finding.text;
        EXPECT_NE(finding.code, "guidance.not_received") << finding.text;
    }
}

// Without the hold the judge does not let it pass.
TEST(CaseClimbOverhead, WithoutTheHoldTheJudgeBlocks) {
    const Case drawn(9000);
    const auto found = drawn.judged();
    EXPECT_TRUE(std::any_of(found.begin(), found.end(), [](const base::Finding& finding) {
        return finding.code == "altitude.climb_overhead" && finding.grade == base::Grade::blocks;
    }));
}

TEST(CaseClimbOverhead, AMinimumAboveTheCruisingAltitudeIsLeftToTheJudge) {
    Case drawn(9000);
    drawn.flight.cruise = Altitude::feet(6000);
    drawn.flight.profile = profile_of(drawn.flight, drawn.aircraft, Altitude::feet(0), Altitude::feet(0));
    drawn.climb();
    EXPECT_EQ(drawn.flight.legs.size(), 3U);
}

// The card says "hold until 9,800 ft": as many circuits are counted as lead there, though the four miles to the segment would climb the rest.
TEST(CaseClimbOverhead, AHoldIsLeftAtTheAltitudeOnItsCard) {
    Case drawn(9800);
    Leg before = drawn.flight.legs[1];
    Leg& after = drawn.flight.legs[1];
    const Length near = Length::nautical_miles(4.0);
    const earth::Position middle = earth::destination(before.start, before.track, near);
    before.finish = after.start = middle;
    before.to = after.from = procedure::PlacedFix{"MIDAA", middle, std::nullopt, false};
    before.minimum.altitude = Altitude::feet(3000);
    after.length = before.length - near;
    before.length = near;
    before.stretches = {{Length(), near, before.stretches.front().guidance}};
    after.stretches = {{Length(), after.length, after.stretches.back().guidance}};
    drawn.flight.legs.insert(drawn.flight.legs.begin() + 1, before);
    drawn.flight.profile = profile_of(drawn.flight, drawn.aircraft, Altitude::feet(0), Altitude::feet(0), {});
    drawn.climb();
    ASSERT_EQ(drawn.flight.legs.size(), 5U);
    ASSERT_TRUE(is_climb_in_hold(drawn.flight.legs[1]));
    const Altitude until = *std::get<procedure::AtHold>(*drawn.flight.legs[1].ending).altitude;
    EXPECT_DOUBLE_EQ(until.feet(), 9800.0);
    EXPECT_GE(beginning_of(drawn.flight, 2).feet(), until.feet() - 1.0);
    // One circuit is not enough for it, with the four miles behind it would be.
    const Length circuit = drawn.flight.legs[1].length * 0.5;
    EXPECT_LT(drawn.flight.altitude_at(drawn.flight.legs[0].length + circuit), until);
    EXPECT_GT(drawn.flight.altitude_at(drawn.flight.legs[0].length + circuit + near), until);
}

}  // namespace omniway::flight
