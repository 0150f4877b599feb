#include "flight/own_legs.hpp"

#include <algorithm>
#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/radial_turn.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_placed.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Angle;
using base::Length;
using base::TrueBearing;
using navdata::ServiceClass;
using omniway::testing::aircraft_with;
using omniway::testing::magnetic_model;
using omniway::testing::placed;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::StartsWith;

namespace {

struct Day {
    const navdata::Snapshot& world;
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true});
    Settings settings = {};
    weather::WindsAloft winds = {};
    radio::Ground ground = {};

    Circumstances today() const {
        return {world, ground, magnetic_model(), earth::DecimalYear{2026.5}, aircraft, settings, winds};
    }
    std::vector<LegsOrReason> ways(const std::string& from, const std::string& to,
                                   std::optional<TrueBearing> arriving = std::nullopt,
                                   std::optional<TrueBearing> onward = std::nullopt) const {
        return own_legs(today(), {.from = placed(world, from),
                                  .arriving = arriving,
                                  .to = placed(world, to),
                                  .onward = onward,
                                  .altitude = Altitude::feet(5000)});
    }
    LegsOrReason turn(const std::string& from, const procedure::Guidance& onto, const std::string& to,
                      double before_nm) const {
        return radial_turn_legs(today(), {.from = placed(world, from),
                                          .arriving = std::nullopt,
                                          .onto = onto,
                                          .to = placed(world, to),
                                          .altitude = Altitude::feet(5000),
                                          .before = Length::nautical_miles(before_nm)});
    }
};

std::string refusal(const LegsOrReason& made) {
    EXPECT_NE(made.legs.empty(), !made.refused.has_value());
    return made.refused ? made.refused->code : "";
}

const fixing::Way& told_by(const Leg& leg) {
    return std::get<procedure::AtFix>(*leg.ending).telling.way;
}

const LegsOrReason* by_heading(const std::vector<LegsOrReason>& ways) {
    const auto found = std::find_if(ways.begin(), ways.end(), [](const LegsOrReason& way) {
        return way.legs.size() == 2 && std::holds_alternative<procedure::AtIntercept>(*way.legs[0].ending);
    });
    return found == ways.end() ? nullptr : &*found;
}

const LegsOrReason* by_radials(const std::vector<LegsOrReason>& ways) {
    const auto found = std::find_if(ways.begin(), ways.end(), [](const LegsOrReason& way) {
        return way.legs.size() == 2 && std::holds_alternative<procedure::AtFix>(*way.legs[0].ending);
    });
    return found == ways.end() ? nullptr : &*found;
}

}  // namespace

// Low VORs, 40 NM each. TWOAA is 46 NM from AAA, and 30 NM out on the radial 360 of BBB.
//                TWOAA
//                  |
//                  *      14 NM out, 38 NM from AAA
//            .     |
//     AAA         BBB
TEST(CaseRadialTurn, OutAlongOneRadialToAPlaceOnAnotherAndOnAlongThat) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low}).vor("BBB", {35, 0}).fix("TWOAA", {35, 30});
    const auto world = sketch.world();
    const procedure::Guidance onto =
        procedure::OnRadial{station_of(world, "BBB"), false, base::Radial::degrees(0)};
    const auto made = Day{world}.turn("AAA", onto, "TWOAA", 16);
    ASSERT_EQ(refusal(made), "");
    ASSERT_EQ(made.legs.size(), 2U);
    EXPECT_EQ(made.legs[0].to->ident, "BBB360014");
    // The drawing is flat and the radial to TWOAA some 359.7: 0.2 NM in all.
    EXPECT_NEAR(made.legs[0].length.nautical_miles(), std::hypot(35.0, 14.0), 0.2);
    EXPECT_NEAR(made.legs[1].length.nautical_miles(), 16.0, 0.2);
    const auto& reading = std::get<fixing::DmeReading>(told_by(made.legs[0]));
    EXPECT_TRUE(reading.at_guiding_station);
    // Pythagoras: 5,000 ft are 0.82 NM, and make 37.7 NM 0.01 more.
    EXPECT_NEAR(reading.slant_range.nautical_miles(),
                std::hypot(made.legs[0].length.nautical_miles(), 5000.0 / 6076.12), 0.02);
    EXPECT_EQ(procedure::station_of(made.legs[1].stretches.at(0).guidance), station_of(world, "BBB"));
    // 8 NM before it the place would be 41 NM from AAA.
    EXPECT_EQ(refusal(Day{world}.turn("AAA", onto, "TWOAA", 8)), "direct.no_signal");
}

// Without a DME the second receiver's needle tells the place, where the lines cross under 30 degrees at least (trade-facts 21).
TEST(CaseRadialTurn, WithoutADmeTheSecondRadialCrossingTellsThePlace) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {35, 0}).fix("TWOAA", {35, 30});
    const auto world = sketch.world();
    const procedure::Guidance onto =
        procedure::OnRadial{station_of(world, "BBB"), false, base::Radial::degrees(0)};
    Day day{world};
    const auto made = day.turn("AAA", onto, "TWOAA", 16);
    ASSERT_EQ(refusal(made), "");
    EXPECT_EQ(std::get<fixing::CrossingRadial>(told_by(made.legs[0])).station, station_of(world, "BBB"));
    day.aircraft = aircraft_with({.receivers = 1});
    EXPECT_EQ(refusal(day.turn("AAA", onto, "TWOAA", 16)), "turn.not_told");
}

// Toward an aid any place will do, so the one named by the aid behind is taken: its own DME reads a whole number there.
TEST(CaseRadialTurn, OnTheWayToAnAidThePlaceStandsAtAWholeDistanceOfTheGuidingDme) {
    Sketch sketch;
    sketch.vor("XKE", {0, 0}, {.dme = ServiceClass::low}).vor("BBB", {40, 20});
    const auto world = sketch.world();
    const procedure::Guidance onto =
        procedure::OnRadial{station_of(world, "BBB"), true, base::Radial::degrees(90)};
    const auto made = Day{world}.turn("XKE", onto, "BBB", 16);
    ASSERT_EQ(refusal(made), "");
    // (24, 20): 31.2 NM on the bearing 050.2.
    EXPECT_EQ(made.legs[0].to->ident, "XKE050031");
    EXPECT_NEAR(std::get<fixing::DmeReading>(told_by(made.legs[0])).slant_range.nautical_miles(), 31.0, 0.06);
}

TEST(CaseOwnLegs, DirectStandsFirstWithItsReasonWhereItCannotBeFlown) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low}).vor("BBB", {35, 0}).fix("TWOAA", {35, 30});
    const auto world = sketch.world();
    const auto ways = Day{world}.ways("AAA", "TWOAA");
    EXPECT_EQ(refusal(ways.at(0)), "direct.no_signal");  // 46 NM from AAA
    ASSERT_NE(by_radials(ways), nullptr);
    const auto near = Day{world}.ways("BBB", "TWOAA");
    EXPECT_EQ(near.at(0).legs.size(), 1U);
}

// BBB's line on from TWOAA's north: a heading from ONEAA, which no aid's line joins to TWOAA.
TEST(CaseOwnLegs, FromAFixTheRadialThatLeadsOverAnotherFixIsMetByHeading) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("ONEAA", {6, -5}).fix("TWOAA", {30, 0});
    const auto world = sketch.world();
    const auto ways = Day{world}.ways("ONEAA", "TWOAA");
    EXPECT_EQ(refusal(ways.at(0)), "direct.no_aid");
    const auto* way = by_heading(ways);
    ASSERT_NE(way, nullptr);
    EXPECT_THAT(way->legs[0].to->ident, StartsWith("BBB090"));
}

// The course flown beyond an aid is joined before it, where that is known.
TEST(CaseOwnLegs, BeforeAnAidTheLineOfWhatFollowsIsMet) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("ONEAA", {-30, 6});
    const auto world = sketch.world();
    EXPECT_EQ(by_heading(Day{world}.ways("ONEAA", "BBB")), nullptr);
    const auto ways = Day{world}.ways("ONEAA", "BBB", std::nullopt, TrueBearing::degrees(90));
    const auto* way = by_heading(ways);
    ASSERT_NE(way, nullptr);
    EXPECT_NEAR(way->legs[1].arrival.degrees(), 90.0, 1.0);
}

TEST(CaseOwnLegs, NoWayTurnsByMoreThanAHundredAndTwentyDegreesAtEitherEnd) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {50, 0});
    const auto world = sketch.world();
    EXPECT_EQ(refusal(Day{world}.ways("AAA", "BBB", TrueBearing::degrees(90)).at(0)), "");
    EXPECT_EQ(refusal(Day{world}.ways("AAA", "BBB", TrueBearing::degrees(280)).at(0)),
              "direct.turn_too_great");
    EXPECT_EQ(refusal(Day{world}.ways("AAA", "BBB", std::nullopt, TrueBearing::degrees(280)).at(0)),
              "direct.turn_too_great");
}

TEST(CaseOwnLegs, WithoutAnyAidThereIsDirectRefusedAndNothingElse) {
    Sketch sketch;
    sketch.fix("ONEAA", {0, 0}).fix("TWOAA", {30, 0});
    const auto ways = Day{sketch.world()}.ways("ONEAA", "TWOAA");
    ASSERT_EQ(ways.size(), 1U);
    EXPECT_EQ(refusal(ways[0]), "direct.no_aid");
}

RC_GTEST_PROP(LawOwnLegs, EveryWayJoinsItsEndsWithoutAGap, ()) {
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-60, 61), *rc::gen::inRange(-180, 180)));
    const auto miles = [] { return static_cast<double>(*rc::gen::inRange(-350, 351)) * 0.1; };
    sketch.vor("AAA", {miles(), miles()}, {.dme = ServiceClass::low}).vor("BBB", {miles(), miles()});
    sketch.ndb("CCC", {miles(), miles()}).fix("ONEAA", {miles(), miles()}).fix("TWOAA", {miles(), miles()});
    const auto world = sketch.world();
    const std::string from = *rc::gen::element<std::string>("AAA", "BBB", "CCC", "ONEAA");
    const std::string to = *rc::gen::element<std::string>("AAA", "BBB", "CCC", "TWOAA");
    RC_PRE(from != to);
    RC_PRE(earth::distance(sketch.place(from), sketch.place(to)) > Length::nautical_miles(3));
    const auto ways = Day{world}.ways(from, to);
    RC_ASSERT(!ways.empty());
    for (const LegsOrReason& way : ways) {
        RC_ASSERT(way.legs.empty() == way.refused.has_value());
        for (std::size_t i = 0; i < way.legs.size(); ++i) {
            const Leg& leg = way.legs[i];
            RC_ASSERT(leg.start == (i == 0 ? sketch.place(from) : way.legs[i - 1].finish));
            RC_ASSERT(leg.stretches.front().from == Length());
            RC_ASSERT(abs(leg.stretches.back().to - leg.length) < Length::metres(0.01));
            RC_ASSERT(leg.ending.has_value() == (i + 1 < way.legs.size()));
        }
        RC_ASSERT((way.legs.empty() || way.legs.back().finish == sketch.place(to)));
    }
}

}  // namespace omniway::flight
