#include "flight/intercept.hpp"

#include <cmath>
#include <numbers>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "aircraft/performance.hpp"
#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_placed.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Angle;
using base::Length;
using base::Speed;
using base::TrueBearing;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::magnetic_model;
using omniway::testing::placed;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::HasSubstr;

namespace {

// A day over a drawn world, at 5,000 ft by a twin of 150 kt.
struct Day {
    const navdata::Snapshot& world;
    Settings settings = {};
    weather::WindsAloft winds = {};
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true});
    radio::Ground ground = {};

    LegsOrReason meet(const std::string& from, const procedure::Guidance& onto, const std::string& to,
                      std::optional<TrueBearing> arriving = std::nullopt) const {
        const Circumstances circumstances{
            world, ground, magnetic_model(), earth::DecimalYear{2026.5}, aircraft, settings, winds};
        return intercept_legs(circumstances, {.from = placed(world, from),
                                              .arriving = arriving,
                                              .onto = onto,
                                              .to = placed(world, to),
                                              .altitude = Altitude::feet(5000),
                                              .reckoned = Length()});
    }
};

procedure::Guidance inbound(const navdata::Snapshot& world, const std::string& aid, double course_deg) {
    return procedure::OnRadial{station_of(world, aid), true, base::Radial::degrees(course_deg)};
}
procedure::Guidance outbound(const navdata::Snapshot& world, const std::string& aid, double course_deg) {
    return procedure::OnRadial{station_of(world, aid), false, base::Radial::degrees(course_deg)};
}

std::string refusal(const LegsOrReason& made) {
    EXPECT_NE(made.legs.empty(), !made.refused.has_value());
    return made.refused ? made.refused->code : "";
}

Angle met_under(const LegsOrReason& made) {
    return abs(made.legs.at(1).track - made.legs.at(0).arrival);
}

}  // namespace

// BBB stands at the origin, ONEAA 30 NM west of it and 6 NM north of the line. Worked on a plane: under 45 degrees the line is met 6 NM
// on, 24 NM from BBB, after 6 sqrt(2) = 8.485 NM by heading 135.
//     ONEAA
//        .  45
//     ------*---------- BBB
TEST(TruthIntercept, ALineSixMilesAsideIsMetAfterEightAndAHalfUnderFortyFiveDegrees) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("ONEAA", {-30, 6});
    const auto world = sketch.world();
    const auto made = Day{world}.meet("ONEAA", inbound(world, "BBB", 90), "BBB");
    ASSERT_EQ(refusal(made), "");
    ASSERT_EQ(made.legs.size(), 2U);
    const Leg& heading = made.legs[0];
    // At a whole mile of BBB under 45 degrees at the most: the arc of the parallel bends the drawing by some 0.2 degrees, so the mile may
    // be the next one, where atan(6 / 7) = 40.6 degrees.
    const bool at_24 = heading.to->ident == "BBB270024";
    ASSERT_TRUE(at_24 || heading.to->ident == "BBB270023") << heading.to->ident;
    EXPECT_NEAR(heading.length.nautical_miles(), at_24 ? 8.485 : std::hypot(6.0, 7.0), 0.1);
    EXPECT_NEAR(met_under(made).degrees(), at_24 ? 45.0 : 40.6, 0.6);
    EXPECT_TRUE(std::holds_alternative<procedure::AtIntercept>(*heading.ending));
    EXPECT_TRUE(std::holds_alternative<procedure::OnHeading>(heading.stretches.at(0).guidance));
    const auto& on = std::get<procedure::OnRadial>(made.legs[1].stretches.at(0).guidance);
    EXPECT_TRUE(on.toward);
    EXPECT_NEAR(on.course.degrees(), 90.0, 1e-6);
    EXPECT_NEAR(made.legs[1].length.nautical_miles(), at_24 ? 24.0 : 23.0, 0.01);
    EXPECT_EQ(made.legs[1].to->ident, "BBB");
}

// Outbound from BBB: met between it and TWOAA, 30 NM out on its radial 090.
//     BBB -------*------- TWOAA
//            .
//     ONEAA
TEST(CaseIntercept, ARadialIsMetOutboundTowardAFixOnIt) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("TWOAA", {30, 0}).fix("ONEAA", {5, -5});
    const auto world = sketch.world();
    const auto made = Day{world}.meet("ONEAA", outbound(world, "BBB", 90), "TWOAA");
    ASSERT_EQ(refusal(made), "");
    const auto& on = std::get<procedure::OnRadial>(made.legs[1].stretches.at(0).guidance);
    EXPECT_FALSE(on.toward);
    EXPECT_NEAR(on.course.degrees(), 90.0, 0.6);
    EXPECT_THAT(made.legs[0].to->ident, ::testing::StartsWith("BBB090"));
    EXPECT_GE(met_under(made), Angle::degrees(30));
    EXPECT_LE(met_under(made), Angle::degrees(45));
}

TEST(CaseIntercept, ABeaconsBearingIsMetWithAnAdfAloneAboard) {
    Sketch sketch;
    sketch.ndb("BBB", {0, 0}).fix("ONEAA", {-18, 4});
    const auto world = sketch.world();
    const procedure::Guidance onto =
        procedure::OnBeacon{station_of(world, "BBB"), true, TrueBearing::degrees(90)};
    Day day{world};
    EXPECT_EQ(refusal(day.meet("ONEAA", onto, "BBB")), "");
    day.aircraft = aircraft_with({.receivers = 2});
    EXPECT_EQ(refusal(day.meet("ONEAA", onto, "BBB")), "intercept.lacks_receiver");
}

// trade-facts 21: onto a localizer at most 30 degrees.
TEST(TruthIntercept, ALocalizerIsMetUnderThirtyDegreesAtMost) {
    Sketch sketch;
    sketch.airport("XARR", {0, 0}).runway("XARR", 9, {0, 0}).ils("XARR", "RW09", "IXA");
    sketch.fix("ONEAA", {-16, 3}).fix("FINAA", {-5, 0});
    const auto world = sketch.world();
    const auto made =
        Day{world}.meet("ONEAA", procedure::OnLocalizer{station_of(world, "IXA"), true, false}, "FINAA");
    ASSERT_EQ(refusal(made), "");
    EXPECT_LE(met_under(made), Angle::degrees(30));
    EXPECT_GE(met_under(made), Angle::degrees(20));
    EXPECT_FALSE(made.legs[0].to);
}

// Design section 3: 10 NM or 5 minutes. 10 NM under 45 degrees lead 7.07 NM across.
TEST(CaseIntercept, TheHeadingIsNoLongerThanDeadReckoningAllows) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("NEARA", {-30, 6.5}).fix("FARAA", {-30, 7.5});
    const auto world = sketch.world();
    Day day{world};
    EXPECT_EQ(refusal(day.meet("NEARA", inbound(world, "BBB", 90), "BBB")), "");
    const auto far = day.meet("FARAA", inbound(world, "BBB", 90), "BBB");
    EXPECT_EQ(refusal(far), "intercept.too_long");
    EXPECT_THAT(far.refused->text, HasSubstr("10.0 NM allowed"));
    day.settings.dead_reckoning_distance = Length::nautical_miles(12);
    EXPECT_EQ(refusal(day.meet("FARAA", inbound(world, "BBB", 90), "BBB")), "");
    day.settings.dead_reckoning_time = base::minutes(4.0);  // 10.0 NM at 150 kt, 10.6 needed
    EXPECT_EQ(refusal(day.meet("FARAA", inbound(world, "BBB", 90), "BBB")), "intercept.too_long");
}

// Wind triangle (trade-facts 7.1): 90 kt on the nose of a heading of 135 leave 60 kt of 150, and 5 minutes are 5 NM; 90 kt on the tail
// make them 240 kt, and distance binds. Nothing holds a track through 200 kt across.
TEST(TruthIntercept, TheWindDecidesHowFarFiveMinutesLead) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("ONEAA", {-30, 5});
    const auto world = sketch.world();
    const auto with_wind = [&](double from_deg, double speed_kt) {
        Day day{world};
        day.winds =
            weather::WindsAloft(weather::Wind{TrueBearing::degrees(from_deg), Speed::knots(speed_kt)});
        return refusal(day.meet("ONEAA", inbound(world, "BBB", 90), "BBB"));
    };
    EXPECT_EQ(with_wind(135, 0), "");
    EXPECT_EQ(with_wind(135, 90), "intercept.too_long");
    EXPECT_EQ(with_wind(315, 90), "");
    EXPECT_EQ(with_wind(45, 200), "intercept.wind_too_strong");
}

TEST(CaseIntercept, FromOverTheLineNoHeadingMeetsItUnderThirtyDegrees) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("ONEAA", {-30, 0}).fix("ABEAM", {0, 5});
    const auto world = sketch.world();
    EXPECT_EQ(refusal(Day{world}.meet("ONEAA", inbound(world, "BBB", 90), "BBB")), "intercept.no_heading");
    EXPECT_EQ(refusal(Day{world}.meet("ABEAM", inbound(world, "BBB", 90), "BBB")), "intercept.no_heading");
}

TEST(CaseIntercept, ATurnBackOntoTheHeadingIsNone) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("ONEAA", {-30, 6});
    const auto world = sketch.world();
    const auto onto = inbound(world, "BBB", 90);
    EXPECT_EQ(refusal(Day{world}.meet("ONEAA", onto, "BBB", TrueBearing::degrees(90))), "");
    EXPECT_EQ(refusal(Day{world}.meet("ONEAA", onto, "BBB", TrueBearing::degrees(270))),
              "intercept.no_heading");
}

// A low VOR is heard to 40 NM below 18,000 ft: what would be met at 44 is met where it is heard or not at all.
TEST(CaseIntercept, TheAidIsHeardWhereItsNeedleIsToComeAlive) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("ONEAA", {-50, 6});
    const auto world = sketch.world();
    const auto made = Day{world}.meet("ONEAA", inbound(world, "BBB", 90), "BBB");
    EXPECT_EQ(refusal(made), "intercept.no_signal");
    EXPECT_THAT(made.refused->text, HasSubstr("40 NM service volume"));
}

// The corridor of the heading splays by 15 degrees (PANS-OPS II-3-1, trade-facts 3.3): each leg asks for its own minimum.
TEST(CaseIntercept, BelowTheMinimumOfEitherLegItIsRefused) {
    Sketch sketch;
    sketch.vor("BBB", {0, 0}).fix("ONEAA", {-30, 6});
    sketch.grid(5100);
    const auto world = sketch.world();
    EXPECT_EQ(refusal(Day{world}.meet("ONEAA", inbound(world, "BBB", 90), "BBB")), "intercept.below_minimum");
}

RC_GTEST_PROP(LawIntercept, WhateverIsMetIsMetWithinTheRules, ()) {
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-60, 61), *rc::gen::inRange(-180, 180)));
    const auto miles = [](int from, int to) {
        return static_cast<double>(*rc::gen::inRange(from, to)) * 0.1;
    };
    const int declination_deg = *rc::gen::inRange(-30, 31);
    sketch.vor("BBB", {0, 0}, {.declination_deg = static_cast<double>(declination_deg)});
    // Beside a course, and far enough before its end in most cases.
    const int course_deg = *rc::gen::inRange(0, 360);
    const double course_rad = course_deg * std::numbers::pi / 180.0;
    const double before_nm = miles(20, 400);
    const double aside_nm = miles(-80, 81);
    sketch.fix("ONEAA", {-before_nm * std::sin(course_rad) + aside_nm * std::cos(course_rad),
                         -before_nm * std::cos(course_rad) - aside_nm * std::sin(course_rad)});
    const auto world = sketch.world();
    Day day{world};
    const Speed wind = Speed::knots(*rc::gen::inRange(0, 80));
    day.winds = weather::WindsAloft(weather::Wind{TrueBearing::degrees(*rc::gen::inRange(0, 360)), wind});
    const auto onto = inbound(world, "BBB", (course_deg - declination_deg + 360) % 360);
    const auto made = day.meet("ONEAA", onto, "BBB");
    RC_ASSERT(made.legs.empty() == made.refused.has_value());
    RC_CLASSIFY(!made.legs.empty(), "met");
    if (made.legs.empty()) {
        return;
    }
    const Leg& heading = made.legs[0];
    RC_ASSERT(met_under(made) >= Angle::degrees(30));
    RC_ASSERT(met_under(made) <= Angle::degrees(45));
    RC_ASSERT(heading.length <= Length::nautical_miles(10));
    // The slowest groundspeed there can be is 150 kt less the wind; the fastest 150 and the wind.
    RC_ASSERT(heading.length <= (Speed::knots(150) + wind) * base::minutes(5));
    RC_ASSERT(made.legs[1].length >= Length::nautical_miles(2));
    RC_ASSERT(heading.finish == made.legs[1].start);
    const auto& on = std::get<procedure::OnRadial>(made.legs[1].stretches.at(0).guidance);
    RC_ASSERT(abs(on.course - std::get<procedure::OnRadial>(onto).course) < Angle::degrees(0.01));
    // A longer allowance never loses it.
    day.settings.dead_reckoning_distance = Length::nautical_miles(15);
    RC_ASSERT(!day.meet("ONEAA", onto, "BBB").legs.empty());
}

}  // namespace omniway::flight
