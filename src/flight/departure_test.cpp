#include "flight/departure.hpp"

#include <cmath>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::Speed;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::equipment;
using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

using Climb = std::function<Altitude(Length)>;

const Climb level = [](Length) { return Altitude::feet(3000); };

LegsOrReason legs_of(const Sketch& sketch, const std::string& toward,
                     const std::optional<StraightAhead>& ahead, const Climb& climb = level,
                     const Aboard& aboard = {.receivers = 1, .adf = true}, double groundspeed_kt = 150) {
    const auto world = sketch.world();
    const auto point = world.named(toward).at(0);
    return departure_legs(world, radio::Ground{}, equipment(aboard), Settings{}, sketch.at({0, 0}),
                          "XDEP RW09", ahead, {toward, world.position(point), point, false},
                          {climb, [groundspeed_kt](base::TrueBearing, Length from, Length to) {
                               return (to - from) / Speed::knots(groundspeed_kt);
                           }});
}

// Straight for the aid, as from a runway whose direction is not known.
LegOrReason departing(const Sketch& sketch, const std::string& toward, const Climb& climb = level,
                      const Aboard& aboard = {.receivers = 1, .adf = true}, double groundspeed_kt = 150) {
    auto made = legs_of(sketch, toward, std::nullopt, climb, aboard, groundspeed_kt);
    return {made.legs.empty() ? std::nullopt : std::optional(made.legs.back()), made.refused};
}

std::string refusal(const LegOrReason& made) {
    return made.refused ? made.refused->code : "";
}

}  // namespace

// Common practice, no source: the runway's heading first, then the aid as soon as it is heard.
TEST(CaseDeparture, AVorHeardOnTheGroundGuidesFromTheFirstMile) {
    Sketch sketch;
    sketch.vor("AAA", {10, 0}, {.declination_deg = 20.0});
    const auto made = departing(sketch, "AAA");
    ASSERT_TRUE(made.leg);
    ASSERT_EQ(made.leg->stretches.size(), 2U);
    EXPECT_TRUE(std::holds_alternative<procedure::OnHeading>(made.leg->stretches[0].guidance));
    EXPECT_NEAR(made.leg->stretches[0].to.nautical_miles(), 1.0, 1e-9);
    EXPECT_NEAR(made.leg->stretches[1].to.nautical_miles(), 10.0, 1e-6);
    const auto& radial = std::get<procedure::OnRadial>(made.leg->stretches[1].guidance);
    EXPECT_TRUE(radial.toward);
    // trade-facts 15: a course on a VOR is counted from the station's own zero: 090 true less 20 east.
    EXPECT_NEAR(radial.course.degrees(), 70.0, 0.2);
    EXPECT_EQ(made.leg->phase, Phase::departure);
    EXPECT_TRUE(std::holds_alternative<procedure::AtFix>(*made.leg->ending));
}

TEST(CaseDeparture, AnAidBesideTheRunwayIsReachedHalfByHeading) {
    Sketch sketch;
    sketch.vor("AAA", {0.6, 0});
    const auto made = departing(sketch, "AAA");
    ASSERT_TRUE(made.leg);
    EXPECT_NEAR(made.leg->stretches.at(0).to.nautical_miles(), 0.3, 1e-6);
}

// AIM table 1-1-1 (trade-facts 1.1): class T reaches 25 NM.
TEST(TruthDeparture, HeadingIsHeldUntilTheServiceVolumeIsEntered) {
    Sketch sketch;
    sketch.vor("AAA", {31.75, 0}, {.service = ServiceClass::terminal});
    const auto made = departing(sketch, "AAA");
    ASSERT_TRUE(made.leg);
    // Sampled each half mile from the aid outward: never alive outside the volume, dead at most half a mile inside it.
    const double alive_nm = made.leg->stretches.at(0).to.nautical_miles();
    EXPECT_GE(alive_nm, 6.75 - 1e-6);
    EXPECT_LE(alive_nm, 7.25 + 1e-6);
}

TEST(TruthDeparture, AnAidHeardTooLateForDeadReckoningIsRefusedWithTheDistance) {
    Sketch sketch;
    sketch.vor("AAA", {37, 0}, {.service = ServiceClass::terminal});
    const auto made = departing(sketch, "AAA");
    EXPECT_EQ(refusal(made), "departure.no_signal");
    EXPECT_THAT(made.refused->text, ::testing::HasSubstr("12.0 NM after take-off"));
    EXPECT_THAT(made.refused->text, ::testing::HasSubstr("10.0 NM on heading alone allowed"));
}

// trade-facts 2: line of sight 1.23 NM times the root of the height in feet: 25 NM wants 413 ft. At 200 ft/NM that is 2.07 NM out,
// where the distance left, 22.9 NM, wants only 347 ft: alive from about 1.8 NM.
TEST(TruthDeparture, InTheClimbTheAidComesAliveAboveTheHorizon) {
    Sketch sketch;
    sketch.vor("AAA", {25, 0});
    const Climb climb = [](Length flown) { return Altitude::feet(200.0 * flown.nautical_miles()); };
    const auto made = departing(sketch, "AAA", climb);
    ASSERT_TRUE(made.leg);
    const double alive_nm = made.leg->stretches.at(0).to.nautical_miles();
    const auto sees = [](double out_nm) { return 1.23 * std::sqrt(200.0 * out_nm) >= 25.0 - out_nm; };
    EXPECT_TRUE(sees(alive_nm));
    EXPECT_FALSE(sees(alive_nm - 0.5));
}

// A beacon's wave follows the ground: heard from take-off within its 50 NM (AIM table 1-1-2), by whoever has an ADF.
TEST(TruthDeparture, ABeaconIsFollowedFromTheFirstMileWithAnAdf) {
    Sketch sketch;
    sketch.ndb("BCN", {40, 0});
    const Climb low = [](Length) { return Altitude::feet(100); };
    const auto made = departing(sketch, "BCN", low, {.receivers = 0, .adf = true});
    ASSERT_TRUE(made.leg);
    EXPECT_NEAR(made.leg->stretches.at(0).to.nautical_miles(), 1.0, 1e-9);
    EXPECT_TRUE(std::get<procedure::OnBeacon>(made.leg->stretches.at(1).guidance).toward);
    EXPECT_EQ(refusal(departing(sketch, "BCN", low, {.receivers = 2, .dme = true})),
              "departure.lacks_receiver");
}

// Neither a fix nor a DME nor a localizer can be flown toward from anywhere.
TEST(CaseDeparture, OnlyAVorOrBeaconIsDepartedToward) {
    Sketch sketch;
    sketch.fix("FIXAA", {5, 0}).dme("DDD", {6, 0}).airport("XAAA", {8, 0}).runway("XAAA", 9, {8, 0});
    sketch.ils("XAAA", "RW09", "IAAA");
    for (const std::string toward : {"FIXAA", "DDD", "IAAA"}) {
        EXPECT_EQ(refusal(departing(sketch, toward)), "departure.no_aid") << toward;
    }
}

// Design section 3: 10 NM or 5 minutes, whichever is less: at 90 kt 7.5 NM.
TEST(CaseDeparture, AtLowGroundspeedFiveMinutesBindBeforeTenMiles) {
    Sketch sketch;
    sketch.vor("AAA", {34, 0}, {.service = ServiceClass::terminal});
    EXPECT_TRUE(departing(sketch, "AAA", level, {.receivers = 1}, 150).leg);
    EXPECT_EQ(refusal(departing(sketch, "AAA", level, {.receivers = 1}, 90)), "departure.no_signal");
}

// AIM 5-2-9, from memory: no turn below 400 ft above the field. By hand (procedure/climb_test.cpp): 0.356 NM into 30 kt, and
// 400 ft above a field of 1,200 ft is 1,600 ft.
TEST(TruthDeparture, TheTurnBegins400FeetAboveTheFieldWhereThisAircraftIsInThisWind) {
    const aircraft::Aircraft twin = omniway::testing::aircraft_with({});
    const procedure::TakeOff low{
        {},
        earth::Position::degrees(40, -170),
        base::TrueBearing::degrees(90),
        Altitude::feet(0),
        {&twin.performance, weather::Wind{base::TrueBearing::degrees(90), Speed::knots(30)}}};
    EXPECT_NEAR(straight_ahead(low).length.nautical_miles(), 0.356, 0.001);
    EXPECT_DOUBLE_EQ(straight_ahead(low).altitude.feet(), 400.0);
    procedure::TakeOff high = low;
    high.elevation = Altitude::feet(1200);
    EXPECT_DOUBLE_EQ(straight_ahead(high).altitude.feet(), 1600.0);
    EXPECT_GT(straight_ahead(high).length, straight_ahead(low).length);
}

// Along the runway east for 2 NM, then north-west to an aid 10 NM north: from (2, 0) it bears 360 - atan(2/10) = 348.7.
TEST(CaseDeparture, FromARunwayItGoesStraightAheadThenTurnsThenHomes) {
    Sketch sketch;
    sketch.vor("AAA", {0, 10});
    const auto made = legs_of(
        sketch, "AAA",
        StraightAhead{base::TrueBearing::degrees(90), Length::nautical_miles(2), Altitude::feet(400)});
    ASSERT_EQ(made.legs.size(), 2U);
    EXPECT_DOUBLE_EQ(std::get<procedure::AtAltitude>(*made.legs[0].ending).altitude.feet(), 400.0);
    EXPECT_NEAR(made.legs[0].track.degrees(), 90.0, 1e-9);
    EXPECT_NEAR(made.legs[1].track.degrees(), 348.7, 0.1);
    ASSERT_EQ(made.legs[1].stretches.size(), 2U);
    EXPECT_NEAR(made.legs[1].stretches[0].to.nautical_miles(), 0.5, 1e-9);
    EXPECT_TRUE(std::get<procedure::OnRadial>(made.legs[1].stretches[1].guidance).toward);
    EXPECT_EQ(made.legs[1].to->ident, "AAA");
}

// Both headings together are dead reckoning: 3 NM ahead and 7.5 NM more are more than 10.
TEST(CaseDeparture, TheRunwaysHeadingCountsAsDeadReckoning) {
    Sketch sketch;
    sketch.vor("AAA", {35.5, 0}, {.service = ServiceClass::terminal});
    const auto ahead = [](double nm) {
        return StraightAhead{base::TrueBearing::degrees(90), Length::nautical_miles(nm), Altitude::feet(400)};
    };
    const auto made = legs_of(sketch, "AAA", ahead(3.0));
    ASSERT_TRUE(made.refused);
    EXPECT_EQ(made.refused->code, "departure.no_signal");
    EXPECT_THAT(made.refused->text, ::testing::HasSubstr("10.5 NM after take-off"));
    sketch = Sketch();
    sketch.vor("AAA", {34.5, 0}, {.service = ServiceClass::terminal});
    EXPECT_FALSE(legs_of(sketch, "AAA", ahead(3.0)).refused);
}

// Each heading in its own time: 2 NM at 80 kt are 1:30, 5.75 NM more at 105 kt 3:17, together 4:47 of the 5 minutes; 6.5 NM more are 3:43,
// together 5:13. An aid of class T is heard from 25 NM on (AIM table 1-1-1).
TEST(CaseDeparture, BothHeadingsAreTimedAsTheyAreFlownInTheClimb) {
    const Climbing climb{level, [](base::TrueBearing, Length from, Length to) {
                             return (to - from) / Speed::knots(from < Length::nautical_miles(1) ? 80 : 105);
                         }};
    const auto made = [&](double aid_nm) {
        Sketch sketch;
        sketch.vor("AAA", {aid_nm, 0}, {.service = ServiceClass::terminal});
        const auto world = sketch.world();
        const auto point = world.named("AAA").at(0);
        return departure_legs(
            world, radio::Ground{}, equipment({.receivers = 1}), Settings{}, sketch.at({0, 0}), "XDEP RW09",
            StraightAhead{base::TrueBearing::degrees(90), Length::nautical_miles(2), Altitude::feet(400)},
            {"AAA", world.position(point), point, false}, climb);
    };
    EXPECT_FALSE(made(32.75).refused);
    const auto late = made(33.5);
    ASSERT_TRUE(late.refused);
    EXPECT_EQ(late.refused->code, "departure.no_signal");
}

RC_GTEST_PROP(LawDeparture, ItsStretchesCoverTheLegWithoutGapOrOverlap, ()) {
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-60, 61), *rc::gen::inRange(-180, 180)));
    sketch.vor("AAA", {*rc::gen::inRange(1, 500) / 10.0, *rc::gen::inRange(-300, 301) / 10.0},
               {.service = *rc::gen::element(ServiceClass::terminal, ServiceClass::low)});
    const double gradient = *rc::gen::inRange(50, 600);
    const auto made = departing(sketch, "AAA", [gradient](Length flown) {
        return Altitude::feet(std::min(8000.0, gradient * flown.nautical_miles()));
    });
    RC_ASSERT(made.leg.has_value() != made.refused.has_value());
    if (made.leg) {
        Length covered;
        for (const Stretch& stretch : made.leg->stretches) {
            RC_ASSERT(stretch.from == covered);
            RC_ASSERT(stretch.to > stretch.from);
            covered = stretch.to;
        }
        RC_ASSERT(covered == made.leg->length);
    }
}

}  // namespace omniway::flight
