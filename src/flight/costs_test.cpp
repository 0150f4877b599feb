#include "flight/costs.hpp"

#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "radio/reception.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_leg.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Angle;
using base::Length;
using base::Speed;
using base::TrueBearing;
using navdata::ServiceClass;
using omniway::testing::aircraft_with;
using omniway::testing::At;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::HasSubstr;

namespace {

// AAA (low, heard to 40 NM) at the origin and BBN, a beacon, 90 NM east of it.
struct Drawn {
    Sketch sketch;
    navdata::Snapshot world;
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true});
    Settings settings;
    weather::WindsAloft winds{weather::Wind{TrueBearing::degrees(90), Speed::knots(0)}};
    radio::Ground ground;
    Flight flight;
    navdata::Leg coded;

    static Sketch drawn() {
        Sketch sketch;
        sketch.airport("XDEP", {0, -1}).runway("XDEP", 9, {0, -1});
        sketch.airport("XARR", {90, -1}).runway("XARR", 9, {90, -1});
        sketch.vor("AAA", {0, 0}, {.service = ServiceClass::low}).ndb("BBN", {90, 0});
        return sketch;
    }

    Drawn() : sketch(drawn()), world(sketch.world()) {
        flight.departure = *world.airport("XDEP");
        flight.arrival = *world.airport("XARR");
        flight.departure_runway = world.runways_of("XDEP").at(0);
        flight.cruise = Altitude::feet(5000);
    }

    Leg leg(At from, At to, const std::string& by) const {
        Leg leg = omniway::testing::straight(sketch, from, to);
        if (by.empty()) {
            leg.stretches = {{Length(), leg.length, procedure::OnHeading{leg.track}}};
        } else {
            leg.stretches = {
                {Length(), leg.length,
                 procedure::guidance_along(world, station_of(world, by), leg.start, leg.finish).value()}};
        }
        return leg;
    }

    procedure::Ending at_fix(double error_nm) const {
        const auto id = station_of(world, "AAA");
        return procedure::AtFix{{"HERE", sketch.at({0, 0}), std::nullopt, true},
                                {fixing::Overhead{id}, Length::nautical_miles(error_nm), Angle::degrees(90)}};
    }

    void fly(std::vector<Leg> legs) {
        flight.legs = std::move(legs);
        flight.profile = {{Length(), Altitude::feet(5000)}, {flight.length(), Altitude::feet(5000)}};
    }

    Circumstances day() const {
        return {world, ground, magnetic_model(), earth::DecimalYear{2026.5}, aircraft, settings, winds};
    }
    Costs costs() const { return costs_of(day(), flight, compile(day(), flight)); }
    Costs costs_of_card(const Card& card) const {
        Compiled compiled;
        compiled.card = card;
        return costs_of(day(), flight, compiled);
    }
};

Step step_of(StepGuidance guidance, std::vector<StepWork> work = {}) {
    Step step;
    step.guidance = std::move(guidance);
    step.work = std::move(work);
    return step;
}

}  // namespace

// AIM 1-1-8: a low VOR is heard to 40 NM from 1,000 ft above it (trade-facts 1): at 30 NM a quarter of that is left. Its
// line is 30 tan 4.5 degrees = 2.36 NM wide to a side (TERPS 8260.3B para 286), 4.0 NM are protected (IPH ch. 2, trade-facts 3.3):
// 1 - 2.361 / 4 = 0.410 is left.
TEST(TruthCosts, OutToThirtyOfFortyMilesAQuarterOfTheRangeIsLeftAndFourTenthsOfTheWidth) {
    Drawn drawn;
    drawn.fly({drawn.leg({0, 0}, {30, 0}, "AAA")});
    const Margin margin = drawn.costs().margin;
    EXPECT_NEAR(margin.reception, 0.25, 0.001);
    EXPECT_THAT(margin.reception_at, HasSubstr("AAA heard at 30.0 of 40.0 NM"));
    EXPECT_NEAR(margin.width, 0.410, 0.001);
    EXPECT_THAT(margin.width_at, HasSubstr("2.4 of 4.0 NM off track at 30.0 NM from AAA"));
    EXPECT_EQ(margin.fix, 1.0);
    EXPECT_EQ(margin.least(), margin.reception);
    EXPECT_EQ(margin.tightest_at(), margin.reception_at);
}

// The same beyond 51 NM, where the protected width goes with the 4.5 degrees: all of it is used up. What is published is heard.
TEST(TruthCosts, AlongAPublishedSegmentReceptionIsNoMatterAndBeyond51MilesTheWidthIsUsedUp) {
    Drawn drawn;
    Leg leg = drawn.leg({0, 0}, {60, 0}, "AAA");
    leg.published = true;
    leg.via = "V1";
    drawn.fly({leg});
    const Margin margin = drawn.costs().margin;
    EXPECT_EQ(margin.reception, 1.0);
    EXPECT_TRUE(margin.reception_at.empty());
    EXPECT_NEAR(margin.width, 0.0, 0.01);
}

// An NDB: 5 degrees of spread, 4.34 NM protected (trade-facts 3.2, 3.3): 20 tan 5 = 1.750, 1 - 1.750 / 4.34 = 0.597.
TEST(TruthCosts, ABeaconsLineIsMeasuredAgainstItsOwnWidth) {
    Drawn drawn;
    drawn.fly({drawn.leg({70, 0}, {90, 0}, "BBN")});
    EXPECT_NEAR(drawn.costs().margin.width, 0.597, 0.002);
}

// TERPS 8260.3B para 287 (trade-facts 3.2): a final fix within 1 NM, another within half of the segment that follows. Told to 0.6 NM,
// four tenths of the mile are left; before a segment of 5 NM told to 1.0 NM, 1 - 1.0 / 2.5 = 0.6.
TEST(TruthCosts, AFixIsMeasuredAgainstTheErrorItsUseAllows) {
    Drawn drawn;
    Leg first = drawn.leg({0, 0}, {10, 0}, "AAA");
    Leg next = drawn.leg({10, 0}, {15, 0}, "AAA");
    next.phase = Phase::approach;
    next.published = true;
    next.coded = &drawn.coded;
    next.to = procedure::PlacedFix{"NEXT", next.finish, std::nullopt, true};
    first.ending = drawn.at_fix(1.0);
    drawn.fly({first, next});
    EXPECT_NEAR(drawn.costs().margin.fix, 0.6, 0.001);
    drawn.coded.description = "E  F";
    first.coded = &drawn.coded;
    first.ending = drawn.at_fix(0.6);
    drawn.fly({first, next});
    const Margin margin = drawn.costs().margin;
    EXPECT_NEAR(margin.fix, 0.4, 0.001);
    EXPECT_THAT(margin.fix_at, HasSubstr("HERE told within 0.60 of 1.00 NM"));
}

// En route the criteria ask for a crossing angle and name no error: nothing to measure against.
TEST(CaseCosts, AFixOfTheRouteHasNoAllowanceToUseUp) {
    Drawn drawn;
    Leg first = drawn.leg({0, 0}, {10, 0}, "AAA");
    first.ending = drawn.at_fix(3.0);
    drawn.fly({first, drawn.leg({10, 0}, {20, 0}, "AAA")});
    EXPECT_EQ(drawn.costs().margin.fix, 1.0);
}

// Over a ridge the range is what is heard behind the aircraft, to the first shadow: walked here by twentieths of a mile.
TEST(BruteCosts, OverTerrainTheRangeEndsWhereTheShadowOfARidgeBegins) {
    Drawn drawn;
    const earth::Position aid = drawn.sketch.at({0, 0});
    const omniway::testing::DrawnGround ridge(aid, 4, [&](double latitude, double longitude) {
        const double away_nm =
            earth::distance(aid, earth::Position::degrees(latitude, longitude)).nautical_miles();
        return std::optional(away_nm > 18.0 && away_nm < 21.0 ? 1000.0 : 0.0);
    });
    drawn.ground = ridge.ground();
    drawn.fly({drawn.leg({0, 0}, {15, 0}, "AAA")});
    Length heard = Length::nautical_miles(15.0);
    const auto& station = drawn.world[station_of(drawn.world, "AAA")];
    while (radio::hear(station, radio::Part::azimuth, drawn.sketch.at({heard.nautical_miles(), 0}),
                       Altitude::feet(5000), drawn.ground)
               .heard()) {
        heard += Length::nautical_miles(0.05);
    }
    ASSERT_LT(heard.nautical_miles(), 38.0) << "the ridge throws no shadow";
    ASSERT_GT(heard.nautical_miles(), 21.0);
    EXPECT_NEAR(drawn.costs().margin.reception, 1.0 - 15.0 / heard.nautical_miles(), 0.01);
}

// The scale of flight/work_scale.hpp, point by point: a retune with its ident 2, a course 1, the DME's switch 1, a preselected frequency
// and a call nothing; a hold 3, a reversal 2, an arc 2; three minutes by heading 3, along the runway nothing; half a minute of heading while
// the one receiver is retuned 0.5.
TEST(CaseCosts, WorkIsCountedFromTheCard) {
    const Drawn drawn;
    Card card;
    card.steps = {step_of(FollowRadial{}, {Tune{}, SetCourse{}, SelectDistance{}, Preselect{}, Call{}})};
    EXPECT_DOUBLE_EQ(drawn.costs_of_card(card).work, 4.0);
    card.steps = {step_of(FlyHold{})};
    EXPECT_DOUBLE_EQ(drawn.costs_of_card(card).work, 3.0);
    card.steps = {step_of(ReverseCourse{}), step_of(FollowArc{})};
    EXPECT_DOUBLE_EQ(drawn.costs_of_card(card).work, 4.0);
    Step heading = step_of(FlyHeading{});
    heading.expected.time = base::minutes(3.0);
    FlyHeading on_runway;
    on_runway.along_runway = true;
    Step ahead = step_of(on_runway);
    ahead.expected.time = base::minutes(1.0);
    card.steps = {ahead, heading};
    EXPECT_DOUBLE_EQ(drawn.costs_of_card(card).work, 3.0);
    HoldHeadingWhileTuning held;
    held.time = base::minutes(0.5);
    card.steps = {step_of(FollowRadial{}, {held})};
    EXPECT_DOUBLE_EQ(drawn.costs_of_card(card).work, 0.5);
    // The missed approach is not in it.
    card.missed = {step_of(FlyHold{})};
    EXPECT_DOUBLE_EQ(drawn.costs_of_card(card).work, 0.5);
}

// Outbound east and then north is a turn of 90 degrees: one point more than the same way straight on.
TEST(CaseCosts, ATurnBeyond60DegreesIsAPoint) {
    const auto turns = [](At to) {
        Drawn drawn;
        Leg first = drawn.leg({-20, 0}, {0, 0}, "AAA");
        first.ending = drawn.at_fix(0.2);
        drawn.fly({first, drawn.leg({0, 0}, to, "AAA")});
        Compiled compiled = compile(drawn.day(), drawn.flight);
        compiled.card.steps.clear();
        return costs_of(drawn.day(), drawn.flight, compiled).work;
    };
    EXPECT_DOUBLE_EQ(turns({0, 20}), 1.0);
    EXPECT_DOUBLE_EQ(turns({17.3, 10}), 0.0);  // 60 degrees to the left, just under
}

// 150 kt over 30 NM: twelve minutes.
TEST(CaseCosts, TimeIsThatOfTheTrack) {
    Drawn drawn;
    drawn.fly({drawn.leg({0, 0}, {30, 0}, "AAA")});
    EXPECT_NEAR(base::in_minutes(drawn.costs().time), 12.0, 0.1);
}

// The rule of the header: nowhere worse and somewhere better, in time, work and what is left where it is tightest.
TEST(CaseCosts, ToBeBetterInOneMeasureAndWorseInNoneIsToDominate) {
    const auto costs = [](double minutes, double work, double fix, double width) {
        Costs all;
        all.time = base::minutes(minutes);
        all.work = work;
        all.margin.fix = fix;
        all.margin.width = width;
        return all;
    };
    const Costs flight = costs(30, 10, 0.5, 0.8);
    for (const Costs& better :
         {costs(29, 10, 0.5, 0.8), costs(30, 9, 0.5, 0.8), costs(30, 10, 0.6, 0.8), costs(29, 9, 0.7, 0.7)}) {
        EXPECT_TRUE(dominates(better, flight));
        EXPECT_FALSE(dominates(flight, better));
    }
    for (const Costs& other : {costs(29, 11, 0.5, 0.8), costs(29, 10, 0.4, 0.8), costs(30, 9, 0.9, 0.4),
                               costs(31, 10, 0.6, 0.8), costs(30, 10, 0.5, 0.9)}) {
        EXPECT_FALSE(dominates(other, flight));
        EXPECT_FALSE(dominates(flight, other));
    }
}

RC_GTEST_PROP(LawCosts, NothingDominatesItselfAndNoTwoDominateEachOther, ()) {
    const auto any = [] {
        Costs costs;
        costs.time = base::minutes(*rc::gen::inRange(0, 3));
        costs.work = *rc::gen::inRange(0, 3);
        costs.margin.reception = *rc::gen::inRange(0, 3) / 2.0;
        costs.margin.width = *rc::gen::inRange(0, 3) / 2.0;
        return costs;
    };
    const Costs a = any();
    const Costs b = any();
    const Costs c = any();
    RC_ASSERT(!dominates(a, a));
    RC_ASSERT(!(dominates(a, b) && dominates(b, a)));
    if (dominates(a, b) && dominates(b, c)) {
        RC_ASSERT(dominates(a, c));
    }
}

}  // namespace omniway::flight
