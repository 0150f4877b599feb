#include "flight/flight.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "flight/departure.hpp"
#include "flight/en_route.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_judged.hpp"
#include "tests/sketch_placed.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;
using base::Speed;
using base::TrueBearing;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::airways_of;
using omniway::testing::judged;
using omniway::testing::placed;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using weather::Wind;

namespace {

// XDEP, then V1 from AAA to BBB, then direct to CCC beside XARR.
Sketch drawn() {
    Sketch sketch;
    sketch.airport("XDEP", {0, 0}).runway("XDEP", 9, {0, 0});
    sketch.airport("XARR", {124, 0}).runway("XARR", 9, {124, 0});
    sketch.vor("AAA", {10, 0}).vor("BBB", {60, 0}).vor("CCC", {120, 0}).vor("FAR", {90, 60});
    sketch.airway("V1", {"AAA", "BBB"}, {.minimum_ft = 3000});
    return sketch;
}

struct Case {
    navdata::Snapshot world = drawn().world();
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 1});
    Settings settings;
    Wind wind{TrueBearing::degrees(90), Speed::knots(10)};
    Flight flight;

    Case() {
        settings.off_airway_minimum = Altitude::feet(3000);
        flight.departure = *world.airport("XDEP");
        flight.arrival = *world.airport("XARR");
        flight.departure_runway = world.runways_of("XDEP").at(0);
        flight.arrival_runway = world.runways_of("XARR").at(0);
        flight.cruise = Altitude::feet(5000);
        const Climbing climb{
            [](Length) { return Altitude::feet(3000); },
            [](TrueBearing, Length from, Length to) { return (to - from) / Speed::knots(150); }};
        flight.legs = departure_legs(world, radio::Ground{}, aircraft.equipment, settings,
                                     world[flight.departure].position, "XDEP", std::nullopt,
                                     placed(world, "AAA"), climb)
                          .legs;
        flight.legs.push_back(
            airway_leg(world, aircraft.equipment, *airways_of(world, "V1").at(0), 0, true, flight.cruise)
                .leg.value());
        flight.legs.push_back(direct_leg(world, radio::Ground{}, aircraft.equipment, settings,
                                         placed(world, "BBB"), placed(world, "CCC"), flight.cruise,
                                         Speed::knots(150))
                                  .leg.value());
        const auto over = placed(world, "CCC");
        flight.legs.back().ending = procedure::AtFix{
            over, {fixing::Overhead{station_of(world, "CCC")}, Length::nautical_miles(0.2), {}}};
        flight.profile = {{Length(), Altitude::feet(0)},
                          {Length::nautical_miles(8), Altitude::feet(5000)},
                          {flight.length(), Altitude::feet(5000)}};
    }

    std::vector<std::string> blocks() const {
        std::vector<std::string> codes;
        for (const Finding& finding :
             judged(world, radio::Ground{}, aircraft, settings, wind, flight).findings) {
            if (finding.grade == Grade::blocks) {
                codes.push_back(finding.code);
            }
        }
        return codes;
    }
};

using ::testing::Contains;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

}  // namespace

TEST(CaseJudge, AGoodFlightIsBlockedByNothing) {
    const Case good;
    EXPECT_THAT(good.blocks(), IsEmpty());
}

TEST(CaseJudge, WithoutItsReceiverEveryLegIsBlocked) {
    Case broken;
    broken.aircraft.equipment.receivers.clear();
    EXPECT_THAT(broken.blocks(), Contains("guidance.lacks_receiver").Times(::testing::Ge(4)));
}

TEST(CaseJudge, AMinimumAboveTheAltitudeFlownBlocks) {
    for (const std::size_t leg : {1U, 2U}) {
        Case broken;
        broken.flight.legs[leg].minimum.altitude = Altitude::feet(5100);
        EXPECT_THAT(broken.blocks(), ElementsAre("altitude.below_minimum")) << leg;
    }
}

TEST(CaseJudge, AMaximumBelowTheAltitudeFlownBlocks) {
    Case broken;
    broken.flight.legs[1].maximum = Altitude::feet(4900);
    EXPECT_THAT(broken.blocks(), ElementsAre("altitude.above_maximum"));
}

TEST(CaseJudge, AMinimumThatIsNotKnownIsAskedForAndNotTakenAsZero) {
    Case open;
    open.flight.legs[2].minimum = {MinimumFrom::not_known, std::nullopt};
    open.settings.off_airway_minimum.reset();
    EXPECT_THAT(open.blocks(), IsEmpty());
    const auto findings =
        judged(open.world, radio::Ground{}, open.aircraft, open.settings, open.wind, open.flight).findings;
    EXPECT_TRUE(std::any_of(findings.begin(), findings.end(), [](const Finding& finding) {
        return finding.grade == Grade::asks && finding.code == "altitude.off_airway_minimum";
    }));
}

TEST(CaseJudge, DeadReckoningLongerThanTheAllowanceBlocks) {
    Case broken;
    Leg& leg = broken.flight.legs[2];
    const Stretch last = leg.stretches.back();
    const auto draw_gap = [&](double gap_nm) {
        leg.stretches = {{Length(), Length::nautical_miles(20), leg.stretches.front().guidance},
                         {Length::nautical_miles(20), Length::nautical_miles(20 + gap_nm),
                          procedure::OnHeading{leg.track}},
                         {Length::nautical_miles(20 + gap_nm), leg.length, last.guidance}};
    };
    draw_gap(9.9);
    EXPECT_THAT(broken.blocks(), IsEmpty());
    draw_gap(10.1);
    EXPECT_THAT(broken.blocks(), ElementsAre("guidance.dead_reckoning_too_long"));
}

// 5 minutes at 150 kt less 60 kt on the nose are 7.5 NM (trade-facts 7.1).
TEST(CaseJudge, AHeadwindShortensTheDeadReckoningThatFiveMinutesAllow) {
    Case broken;
    Leg& leg = broken.flight.legs[2];
    leg.stretches = {
        {Length(), Length::nautical_miles(20), leg.stretches.front().guidance},
        {Length::nautical_miles(20), Length::nautical_miles(28), procedure::OnHeading{leg.track}},
        {Length::nautical_miles(28), leg.length, leg.stretches.back().guidance}};
    EXPECT_THAT(broken.blocks(), IsEmpty());
    broken.wind = {TrueBearing::degrees(90), Speed::knots(60)};
    EXPECT_THAT(broken.blocks(), ElementsAre("guidance.dead_reckoning_too_long"));
}

// 5 minutes in the climb, and not in the cruise of 150 kt: from sea level up to 3,542 ft (8.5 NM of 12 to 5,000 ft) midway at 1,771 ft,
// where 110 KCAS are 112.9 kt (density ratio 0.9494), less 10 kt on the nose 102.9 kt: 8.5 NM are 4:57, 8.7 NM 5:04.
TEST(CaseJudge, AHeadingFlownInTheClimbLastsAsLongAsTheClimbTakes) {
    Case broken;
    broken.flight.profile = {{Length(), Altitude::feet(0)},
                             {Length::nautical_miles(12), Altitude::feet(5000)},
                             {broken.flight.length(), Altitude::feet(5000)}};
    Leg& leg = broken.flight.legs[0];
    const procedure::Guidance toward = leg.stretches.back().guidance;
    const auto by_heading = [&](double nm) {
        leg.stretches = {{Length(), Length::nautical_miles(nm), procedure::OnHeading{leg.track}},
                         {Length::nautical_miles(nm), leg.length, toward}};
        return broken.blocks();
    };
    EXPECT_THAT(by_heading(8.5), ::testing::Not(Contains("guidance.dead_reckoning_too_long")));
    EXPECT_THAT(by_heading(8.7), Contains("guidance.dead_reckoning_too_long"));
}

TEST(CaseJudge, AStretchWithoutGuidanceBlocks) {
    Case broken;
    broken.aircraft = aircraft_with({.receivers = 2});
    broken.flight.legs[2].stretches.pop_back();
    EXPECT_THAT(broken.blocks(), ElementsAre("guidance.gap"));
}

TEST(CaseJudge, AStretchBeyondItsStationsVolumeBlocksOffTheAirwaysAndIsANoteOnThem) {
    for (const bool published : {false, true}) {
        Case broken;
        broken.aircraft = aircraft_with({.receivers = 2});
        Leg& leg = broken.flight.legs[2];
        leg.published = published;
        leg.stretches = {
            {Length(), leg.length, leg.stretches.front().guidance}};  // 60 NM on BBB, a 40 NM aid
        if (published) {
            EXPECT_THAT(broken.blocks(), IsEmpty());
        } else {
            EXPECT_THAT(broken.blocks(), ElementsAre("guidance.not_received"));
        }
    }
}

TEST(CaseJudge, AFixThatNothingTellsBlocks) {
    Case broken;
    Leg& leg = broken.flight.legs[1];
    leg.finish = drawn().at({40, 0});
    leg.length = Length::nautical_miles(30);
    leg.stretches = {{Length(), leg.length, leg.stretches.front().guidance}};
    leg.to = procedure::PlacedFix{"NOWHE", leg.finish, std::nullopt, true};
    fixing::Telling claimed;
    claimed.way = fixing::CrossingRadial{station_of(broken.world, "FAR"), {}};
    leg.ending = procedure::AtFix{*leg.to, claimed};
    EXPECT_THAT(broken.blocks(), Contains("fix.not_told"));
}

TEST(CaseJudge, ACeilingBelowTheCruiseBlocks) {
    Case broken;
    broken.aircraft.performance.service_ceiling = Altitude::feet(4900);
    EXPECT_THAT(broken.blocks(), Contains("altitude.above_ceiling"));
}

TEST(CaseJudge, RunwaysAreHeldToLengthAndWindAtBothEnds) {
    Case short_take_off;
    short_take_off.aircraft.runway_need.take_off = Length::feet(6100);
    EXPECT_THAT(short_take_off.blocks(), ElementsAre("runway.too_short"));
    Case short_landing;
    short_landing.aircraft.runway_need.landing = Length::feet(6100);
    EXPECT_THAT(short_landing.blocks(), ElementsAre("runway.too_short"));
    Case across;
    across.wind = {TrueBearing::degrees(0), Speed::knots(25)};
    EXPECT_THAT(across.blocks(), ElementsAre("runway.crosswind", "runway.crosswind"));
    Case behind;
    behind.wind = {TrueBearing::degrees(270), Speed::knots(10)};
    EXPECT_THAT(behind.blocks(), ElementsAre("runway.tailwind", "runway.tailwind"));
}

// What a direct leg offers to the edge of a volume the judge hears to that edge, in every direction: rounding does not decide.
RC_GTEST_PROP(LawJudge, AStretchDrawnToTheEdgeOfAVolumeIsHeardThere, ()) {
    const double bearing_deg = *rc::gen::inRange(0, 360000) / 1000.0;
    const double radians = bearing_deg * 3.14159265358979 / 180.0;
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-60, 61), *rc::gen::inRange(-180, 180)));
    sketch.airport("XDEP", {0, 0}).runway("XDEP", 9, {0, 0});
    sketch.vor("BBB", {0, 0}).vor("CCC", {85.0 * std::sin(radians), 85.0 * std::cos(radians)});
    Case edge;
    edge.world = sketch.world();
    edge.wind.speed = Speed::knots(0);
    edge.flight.departure = edge.flight.arrival = *edge.world.airport("XDEP");
    edge.flight.departure_runway = edge.world.runways_of("XDEP").at(0);
    edge.flight.arrival_runway.reset();
    edge.flight.legs = {direct_leg(edge.world, radio::Ground{}, edge.aircraft.equipment, edge.settings,
                                   placed(edge.world, "BBB"), placed(edge.world, "CCC"), edge.flight.cruise,
                                   Speed::knots(150))
                            .leg.value()};
    edge.flight.legs.back().ending =
        procedure::AtFix{placed(edge.world, "CCC"),
                         {fixing::Overhead{station_of(edge.world, "CCC")}, Length::nautical_miles(0.2), {}}};
    edge.flight.profile = {{Length(), Altitude::feet(5000)}, {edge.flight.length(), Altitude::feet(5000)}};
    for (const std::string& code : edge.blocks()) {
        RC_ASSERT(!code.starts_with("guidance."));
    }
}

RC_GTEST_PROP(LawProfile, ItClimbsThenDescendsAndNeverPassesTheCruisingAltitude, ()) {
    Flight flight;
    flight.cruise = Altitude::feet(*rc::gen::inRange(20, 181) * 100.0);
    const int legs = *rc::gen::inRange(1, 5);
    for (int i = 0; i < legs; ++i) {
        Leg leg;
        leg.phase = i == 0 ? Phase::departure : Phase::en_route;
        leg.length = Length::nautical_miles(*rc::gen::inRange(1, 80));
        if (*rc::gen::inRange(0, 2) == 1) {
            leg.minimum = {MinimumFrom::published_airway,
                           std::min(flight.cruise, Altitude::feet(*rc::gen::inRange(10, 180) * 100.0))};
        }
        flight.legs.push_back(leg);
    }
    const Altitude from = Altitude::feet(*rc::gen::inRange(0, 15) * 100.0);
    const Altitude to = Altitude::feet(*rc::gen::inRange(0, 5) * 100.0);
    flight.profile = profile_of(flight, aircraft_with({}), from, to);
    RC_ASSERT(flight.profile.front().altitude == from);
    bool down = false;
    for (std::size_t i = 0; i < flight.profile.size(); ++i) {
        RC_ASSERT(flight.profile[i].altitude <= flight.cruise + Length::feet(1e-6));
        if (i > 0) {
            RC_ASSERT(flight.profile[i].along >= flight.profile[i - 1].along);
            const Length rise = flight.profile[i].altitude - flight.profile[i - 1].altitude;
            down = down || rise < Length::feet(-1e-6);
            RC_ASSERT(!down || rise < Length::feet(1e-6));
        }
    }
}

// Design section 2, idea 1: what is published outranks what is computed; off the airways nothing stands against it.
TEST(CaseJudge, BehindARidgeADirectLegIsBlockedWithItsFiguresAndAnAirwayIsNoted) {
    const Case good;
    const auto ridge_at = [](earth::Position ridge) {
        return omniway::testing::DrawnGround(ridge, 8, [ridge](double, double longitude_deg) {
            const double east_nm = (longitude_deg - ridge.longitude_deg()) * 46.0;
            return std::optional(std::abs(east_nm) < 1.0 ? 1400.0 : 0.0);
        });
    };
    const auto said = [&](const omniway::testing::DrawnGround& drawn, const std::string& code) {
        std::vector<Finding> found;
        for (const Finding& finding :
             judged(good.world, drawn.ground(), good.aircraft, good.settings, good.wind, good.flight)
                 .findings) {
            if (finding.code == code) {
                found.push_back(finding);
            }
        }
        return found;
    };
    const auto on_direct = said(ridge_at(drawn().at({72, 0})), "guidance.not_received");
    ASSERT_FALSE(on_direct.empty());
    EXPECT_EQ(on_direct.front().about, "direct from BBB to CCC");
    EXPECT_TRUE(on_direct.front().text.starts_with("no signal of BBB from 1")) << on_direct.front().text;
    EXPECT_NE(on_direct.front().text.find("at 5000 ft: behind the ground at 1"), std::string::npos)
        << on_direct.front().text;
    const auto on_airway = ridge_at(drawn().at({22, 0}));
    EXPECT_TRUE(said(on_airway, "guidance.not_received").empty());
    ASSERT_FALSE(said(on_airway, "guidance.published_beyond_model").empty());
    EXPECT_EQ(said(on_airway, "guidance.published_beyond_model").front().grade, Grade::notes);
}

TEST(CaseJudge, GroundThatIsNotInTheAtlasIsAskedForOffTheAirways) {
    const Case good;
    const omniway::testing::DrawnGround nothing(drawn().at({60, 0}), 8,
                                                [](double, double) { return std::optional<double>(); });
    std::vector<std::pair<Grade, std::string>> said;
    for (const Finding& finding :
         judged(good.world, nothing.ground(), good.aircraft, good.settings, good.wind, good.flight)
             .findings) {
        if (finding.code == "guidance.ground_unknown") {
            said.emplace_back(finding.grade, finding.about);
        }
    }
    EXPECT_THAT(said, Contains(std::pair(Grade::asks, std::string("direct from BBB to CCC"))));
    EXPECT_THAT(said, Contains(std::pair(Grade::asks, std::string("own departure from XDEP to AAA"))));
}

}  // namespace omniway::flight
