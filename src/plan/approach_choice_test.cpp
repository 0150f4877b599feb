#include "plan/approach_choice.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "plan/plan.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using base::Speed;
using base::TrueBearing;
using base::Verdict;
using navdata::PathTerminator;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using procedure::Landing;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::Not;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};
constexpr Aboard without_adf{.receivers = 2, .dme = true, .adf = false, .glideslope = true};
constexpr Aboard one_receiver{.receivers = 1, .dme = true, .adf = false, .glideslope = true};

navdata::Leg to_threshold(const Sketch& sketch, const std::string& description) {
    navdata::Leg last = sketch.leg(
        PathTerminator::CF, "",
        {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 50.0, .description = description});
    last.fix = navdata::PointName{navdata::PointKind::runway, "RW09", "XX", "XARR"};
    return last;
}

std::vector<navdata::Leg> missed_to(const Sketch& sketch, const std::string& aid) {
    return {sketch.leg(PathTerminator::CA, "",
                       {.course_deg = 90.0, .altitude_ft = 1500.0, .description = "  M "}),
            sketch.leg(PathTerminator::DF, aid, {.altitude_ft = 3000.0}),
            sketch.leg(PathTerminator::HM, aid,
                       {.recommended = aid, .course_deg = 270.0, .turn = navdata::Turn::right})};
}

// XARR at the origin, where the drawing is true, XDEP 140 NM west of it. The ILS leads eastward to runway 09 from the VOR INI; no approach leads to runway 27.
// VOR MIS stands beyond, beacon BCN beside it.
Sketch drawn(const std::string& missed = "MIS") {
    Sketch sketch;
    sketch.airport("XDEP", {-140, 0}).runway("XDEP", 9, {-140, 0});
    sketch.airport("XARR", {0, 0}).runway("XARR", 9, {0, 0}).ils("XARR", "RW09", "IXR", {.dme = true});
    const omniway::testing::VorDrawn terminal{.service = ServiceClass::terminal,
                                              .dme = ServiceClass::terminal};
    sketch.vor("INI", {-14, 0}, terminal).vor("MIS", {15, 0}, terminal).ndb("BCN", {12, 4});
    sketch.fix("FINAA", {-5, 0});
    std::vector<navdata::Leg> legs{
        sketch.leg(PathTerminator::IF, "INI", {.altitude_ft = 3000.0, .description = "V  A"}),
        sketch.leg(PathTerminator::CF, "FINAA",
                   {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 1800.0, .description = "E  F"}),
        to_threshold(sketch, "GY M")};
    for (const navdata::Leg& leg : missed_to(sketch, missed)) {
        legs.push_back(leg);
    }
    sketch.approach("XARR", "I09", 'I', legs);
    sketch.vor("AAA", {-130, 0}, terminal).airway("V2", {"AAA", "INI"});
    return sketch;
}

Request request(const navdata::Snapshot& world, const Aboard& aboard, double from_deg, double knots) {
    Request asked;
    asked.from = *world.airport("XDEP");
    asked.to = *world.airport("XARR");
    asked.aircraft = aircraft_with(aboard);
    asked.winds = weather::Wind{TrueBearing::degrees(from_deg), Speed::knots(knots)};
    asked.cruise = Altitude::feet(5000.0);
    asked.settings.off_airway_minimum = Altitude::feet(3000.0);
    asked.today = earth::DecimalYear{2026.0};
    return asked;
}

std::vector<std::string> codes(const Answer& answer) {
    std::vector<std::string> all;
    for (const base::Finding& finding : answer.findings) {
        all.push_back(finding.code);
    }
    return all;
}

std::string text_of(const Answer& answer, const std::string& code) {
    for (const base::Finding& finding : answer.findings) {
        if (finding.code == code) {
            return finding.text;
        }
    }
    return {};
}

procedure::MinimumRow minimum_row(const std::string& ident, double feet, Landing landing) {
    procedure::MinimumRow row;
    row.airport = "XARR";
    row.procedure = ident;
    row.categories = {aircraft::ApproachCategory::a};  // 90 kt: the drawn twin's
    row.minimum.kind = landing == Landing::circling ? procedure::MinimumKind::minimum_descent_altitude
                                                    : procedure::MinimumKind::decision_altitude;
    row.minimum.landing = landing;
    row.minimum.altitude = Altitude::feet(feet);
    row.minimum.visibility = procedure::StatuteMiles{0.5};
    row.minimum.where = "m.csv:2";
    return row;
}

Answer planned(const Sketch& sketch, const Aboard& aboard = everything, double from_deg = 90.0,
               double knots = 10.0) {
    const auto world = sketch.world();
    return plan(world, radio::Ground{}, magnetic_model(), request(world, aboard, from_deg, knots));
}

}  // namespace

// Runway 27 has the wind, runway 09 the only approach. The drawn twin's limit from behind is 5 kt.
TEST(CaseWindAndApproach, ATailwindWithinTheLimitIsTakenAndSaid) {
    const auto world = drawn().world();
    const auto answer =
        plan(world, radio::Ground{}, magnetic_model(), request(world, everything, 270.0, 4.0));
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_EQ(world[*answer.option->flight.arrival_runway].ident, "RW09");
    EXPECT_EQ(answer.option->flight.landing, Landing::straight_in);
    const std::string said = text_of(answer, "runway.wind_favours_other");
    EXPECT_THAT(said, HasSubstr("favours RW27 (headwind 4 kt), to which no approach leads"));
    EXPECT_THAT(said, HasSubstr("tailwind of 4 kt, within the limit of 5 kt"));
    ASSERT_EQ(answer.approaches.size(), 2U);
    EXPECT_EQ(answer.approaches[1].runway, "RW27");
    EXPECT_EQ(answer.approaches[1].landing, Landing::circling);
    EXPECT_THAT(answer.approaches[1].why_not, HasSubstr("circling"));
}

TEST(CaseWindAndApproach, ATailwindBeyondTheLimitMakesItCircle) {
    const auto world = drawn().world();
    const auto answer =
        plan(world, radio::Ground{}, magnetic_model(), request(world, everything, 270.0, 12.0));
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_EQ(world[*answer.option->flight.arrival_runway].ident, "RW27");
    EXPECT_EQ(answer.option->flight.landing, Landing::circling);
    EXPECT_THAT(text_of(answer, "runway.wind_favours_other"), HasSubstr("circle to it, at circling minima"));
    // 90 kt over the threshold is category A, whose circling radius is 1.3 NM (trade-facts 11.2, from memory).
    EXPECT_THAT(text_of(answer, "approach.circling"), HasSubstr("within 1.3 NM of the runways (category A)"));
    EXPECT_THAT(text_of(answer, "approach.minima_unknown"), HasSubstr("circling minima"));
}

TEST(CaseMinimaInPlan, AMinimumThatIsGivenIsNoLongerAskedForAndEndsTheFinal) {
    const auto world = drawn().world();
    auto asked = request(world, everything, 90.0, 10.0);
    EXPECT_THAT(codes(plan(world, radio::Ground{}, magnetic_model(), asked)),
                Contains("approach.minima_unknown"));
    asked.minima = procedure::Minima({minimum_row("I09", 250.0, Landing::straight_in)}, {});
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    EXPECT_THAT(codes(answer), Not(Contains("approach.minima_unknown")));
    const flight::Flight& flight = answer.option->flight;
    ASSERT_TRUE(flight.minimum);
    EXPECT_NEAR(flight.altitude_at(flight.length()).feet(), 250.0, 1e-6);
    const auto& end = std::get<procedure::AtDecisionAltitude>(*flight.legs.back().ending);
    ASSERT_TRUE(end.altitude);
    EXPECT_NEAR(end.altitude->feet(), 250.0, 1e-6);
    EXPECT_FALSE(answer.approaches.front().typical_minimum);
}

// "Typical minima may rank approaches, they never satisfy a minimum" (design section 3).
TEST(CaseMinimaInPlan, ATypicalMinimumRanksAndAnotherLandingsMinimumSatisfiesNothing) {
    const auto world = drawn().world();
    auto asked = request(world, everything, 270.0, 12.0);
    asked.minima = procedure::Minima({minimum_row("I09", 250.0, Landing::straight_in)}, {});
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    EXPECT_EQ(answer.option->flight.landing, Landing::circling);
    EXPECT_THAT(codes(answer), Contains("approach.minima_unknown"));
    EXPECT_TRUE(answer.approaches.front().typical_minimum);
    EXPECT_FALSE(answer.approaches.front().minimum);
}

TEST(CaseMinimaInPlan, AMinimumOfAnUnknownProcedureIsToldAndTheRestIsPlanned) {
    const auto world = drawn().world();
    auto asked = request(world, everything, 90.0, 10.0);
    asked.minima = procedure::Minima({minimum_row("I90", 250.0, Landing::straight_in)}, {});
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_THAT(text_of(answer, "minima.unknown_procedure"), HasSubstr("did you mean I09?"));
}

TEST(CaseMissedInPlan, AMissedApproachThatNeedsAnAdfIsFlownWithOne) {
    const auto answer = planned(drawn("BCN"), everything);
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_THAT(codes(answer), Not(Contains("missed.own_navigation")));
    EXPECT_TRUE(answer.option->flight.missed_profile.empty());
    EXPECT_TRUE(answer.option->flight.missed.back().published);
}

TEST(CaseMissedInPlan, WithoutAnAdfItIsReplacedByOwnNavigationAndSaid) {
    const auto answer = planned(drawn("BCN"), without_adf);
    ASSERT_TRUE(answer.option);
    EXPECT_EQ(answer.verdict, Verdict::flyable_if);
    EXPECT_THAT(text_of(answer, "missed.own_navigation"), HasSubstr("ADF"));
    EXPECT_THAT(codes(answer), Contains("missed.obstacles"));
    const flight::Flight& flight = answer.option->flight;
    ASSERT_EQ(flight.missed.size(), 3U);  // the coded climb to 1,500 ft stays; direct and hold follow
    EXPECT_TRUE(flight.missed.front().published);
    EXPECT_FALSE(flight.missed.back().published);
    ASSERT_EQ(answer.option->compiled.track.missed.size(), 3U);
    EXPECT_NEAR(answer.option->compiled.track.missed.back().altitude.feet(), 3000.0, 1.0);
}

TEST(CaseMissedInPlan, WhereNoOwnNavigationIsFoundItBlocksWithBothReasons) {
    // Without the coded climb some heading has to come first, and dead reckoning allows none.
    Sketch sketch = drawn("BCN");
    auto& legs = sketch.records().procedures.at(0).branches.at(0).legs;
    legs.erase(legs.begin() + 3);
    legs.at(3).description = "  M ";
    const auto world = sketch.world();
    auto asked = request(world, without_adf, 90.0, 10.0);
    asked.settings.dead_reckoning_distance = Length::nautical_miles(0.0);
    const ApproachQuestion question{
        asked.to,      &asked.aircraft,
        asked.winds,   &asked.settings,
        &asked.minima, flight::rank_runways(world, asked.aircraft, asked.winds.surface(), asked.to, false)};
    const auto ways = procedure::approach_ways(world, radio::Ground{}, asked.aircraft.equipment, asked.to);
    const ApproachChoice choice = approach_choice(world, radio::Ground{}, question, ways);
    ASSERT_EQ(choice.refused.size(), 1U);
    EXPECT_THAT(choice.refused.front().reason.text, HasSubstr("ADF"));
    EXPECT_THAT(considered(choice.refused.front()).why_not, HasSubstr("missed, leg 050 DF BCN"));
}

TEST(CaseMissedInPlan, OneReceiverTakesTheTimeThatTheCodedClimbGives) {
    // From 50 ft to 1,500 ft by heading is a minute: enough to go from the localizer to MIS.
    const auto answer = planned(drawn("MIS"), one_receiver);
    ASSERT_TRUE(answer.option);
    EXPECT_THAT(codes(answer), Not(Contains("missed.own_navigation")));
    // To 400 ft it is 14 s, and the climb goes on by heading.
    Sketch sketch = drawn("MIS");
    sketch.records().procedures.at(0).branches.at(0).legs.at(3).altitude_1 = Altitude::feet(400.0);
    const auto hasty = planned(sketch, one_receiver);
    ASSERT_TRUE(hasty.option);
    EXPECT_THAT(text_of(hasty, "missed.own_navigation"),
                HasSubstr("the only receiver must go from IXR to MIS"));
}

TEST(CaseVectors, AMissedApproachThatEndsInVectorsGoesOnByOwnNavigation) {
    Sketch sketch = drawn("MIS");
    auto& legs = sketch.records().procedures.at(0).branches.at(0).legs;
    legs.resize(5);
    legs.at(4) = sketch.leg(PathTerminator::VM, "", {.course_deg = 180.0, .altitude_ft = 3000.0});
    legs.at(4).sequence = 50;
    const auto answer = planned(sketch, everything);
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_THAT(text_of(answer, "missed.own_navigation"), HasSubstr("radar vectors"));
}

namespace {

// A transition from a fix abeam the localizer that codes a heading until radar vectors; the approach itself begins at a fix on it.
Sketch with_vectors(omniway::testing::At from) {
    Sketch sketch = drawn("MIS");
    sketch.fix("JOINA", {-11, 0}).fix("TRANA", from);
    auto& procedure = sketch.records().procedures.at(0);
    procedure.branches.at(0).legs.at(0) = sketch.leg(
        PathTerminator::IF, "JOINA", {.recommended = "IXR", .altitude_ft = 3000.0, .description = "E  A"});
    navdata::Branch transition{'A', "TRANA", {}};
    transition.legs.push_back(sketch.leg(PathTerminator::IF, "TRANA", {.altitude_ft = 3000.0}));
    transition.legs.push_back(sketch.leg(PathTerminator::FM, "TRANA", {.course_deg = 110.0}));
    transition.legs[0].sequence = 10;
    transition.legs[1].sequence = 20;
    procedure.branches.push_back(transition);
    return sketch;
}

ApproachChoice choose(const navdata::Snapshot& world, const Aboard& aboard,
                      std::vector<procedure::ApproachWay>& ways) {
    const auto asked = request(world, aboard, 90.0, 10.0);
    const ApproachQuestion question{
        asked.to,      &asked.aircraft,
        asked.winds,   &asked.settings,
        &asked.minima, flight::rank_runways(world, asked.aircraft, asked.winds.surface(), asked.to, false)};
    ways = procedure::approach_ways(world, radio::Ground{}, asked.aircraft.equipment, asked.to);
    return approach_choice(world, radio::Ground{}, question, ways);
}

}  // namespace

// Onto a localizer at most 30 degrees (trade-facts 21, common practice): from 8 NM before and 3 beside it is 21 degrees.
TEST(CaseVectors, VectorsToTheFinalAreReplacedByAHeadingThatMeetsTheLocalizer) {
    const auto world = with_vectors({-21, 3}).world();
    std::vector<procedure::ApproachWay> ways;
    const ApproachChoice choice = choose(world, everything, ways);
    const auto by_transition =
        std::find_if(choice.flyable.begin(), choice.flyable.end(),
                     [](const FlyableApproach& each) { return each.way->transition == "TRANA"; });
    ASSERT_NE(by_transition, choice.flyable.end());
    ASSERT_EQ(by_transition->legs.size(), 4U);
    EXPECT_FALSE(by_transition->legs[0].published);
    EXPECT_TRUE(std::holds_alternative<procedure::OnHeading>(by_transition->legs[0].stretches[0].guidance));
    EXPECT_TRUE(std::holds_alternative<procedure::OnLocalizer>(by_transition->legs[1].stretches[0].guidance));
    const double angle_deg =
        std::abs((by_transition->legs[0].arrival - by_transition->legs[1].track).degrees());
    EXPECT_LE(angle_deg, 30.0 + 1e-6);
    EXPECT_THAT(by_transition->findings.front().code, "approach.vectors_replaced");
}

TEST(CaseVectors, WhereNoHeadingMeetsItTheyAreRefusedAsBefore) {
    const auto world = with_vectors({-13, 20}).world();
    std::vector<procedure::ApproachWay> ways;
    const ApproachChoice choice = choose(world, everything, ways);
    const auto refused = std::find_if(choice.refused.begin(), choice.refused.end(),
                                      [](const auto& each) { return each.way->transition == "TRANA"; });
    ASSERT_NE(refused, choice.refused.end());
    EXPECT_EQ(refused->reason.code, "procedure.ends_in_vectors");
    EXPECT_THAT(considered(*refused).why_not, HasSubstr("leg 020 FM"));
}

namespace {

// A localizer approach over the beacon FAB, with a step-down that only a DME or a second receiver tells.
Sketch with_step_down() {
    Sketch sketch = drawn("MIS");
    sketch.ndb("FAB", {-5, 0}).fix("STEPP", {-2.5, 0});
    std::vector<navdata::Leg> legs{
        sketch.leg(PathTerminator::IF, "INI", {.altitude_ft = 3000.0, .description = "V  A"}),
        sketch.leg(PathTerminator::CF, "FAB",
                   {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 1800.0, .description = "V  F"}),
        sketch.leg(PathTerminator::CF, "STEPP",
                   {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 900.0, .description = "E   "}),
        to_threshold(sketch, "GY M")};
    for (const navdata::Leg& leg : missed_to(sketch, "MIS")) {
        legs.push_back(leg);
    }
    sketch.records().procedures.clear();
    sketch.approach("XARR", "L09", 'L', legs);
    return sketch;
}

}  // namespace

TEST(CaseStepDown, OneThatIsNotToldIsFlownPastAtTheMinimumWithoutIt) {
    const auto world = with_step_down().world();
    auto with = minimum_row("L09", 400.0, Landing::straight_in);
    with.minimum.kind = procedure::MinimumKind::minimum_descent_altitude;
    auto without = with;
    without.minimum.altitude = Altitude::feet(600.0);
    with.minimum.with_fix = "STEPP";
    const auto chosen = [&](const Aboard& aboard, const std::vector<procedure::MinimumRow>& rows) {
        const auto asked = request(world, aboard, 90.0, 10.0);
        const procedure::Minima minima(rows, {});
        const ApproachQuestion question{
            asked.to,    &asked.aircraft,
            asked.winds, &asked.settings,
            &minima,     flight::rank_runways(world, asked.aircraft, asked.winds.surface(), asked.to, false)};
        const auto ways =
            procedure::approach_ways(world, radio::Ground{}, asked.aircraft.equipment, asked.to);
        const ApproachChoice choice = approach_choice(world, radio::Ground{}, question, ways);
        return choice.flyable.empty()
                   ? choice.refused.front().reason.code
                   : std::to_string(std::lround(choice.flyable.front().landings.front().ranked_by.feet()));
    };
    const Aboard bare{.receivers = 1, .adf = true};
    EXPECT_EQ(chosen(bare, {}), "procedure.fix_not_told");
    EXPECT_EQ(chosen(bare, {with}), "procedure.fix_not_told");
    EXPECT_EQ(chosen(bare, {with, without}), "600");
    EXPECT_EQ(chosen({.receivers = 1, .dme = true, .adf = true}, {with, without}), "400");
}

// A second approach that is broken in one row: told with its leg, and the first still planned.
TEST(CaseBrokenRows, OneBrokenProcedureLeavesTheOthersPlanned) {
    struct Broken {
        std::string what;
        navdata::Leg leg;
        std::string said;
    };
    Sketch sketch = drawn("MIS");
    std::vector<Broken> all;
    navdata::Leg dangling =
        sketch.leg(PathTerminator::CF, "FINAA", {.recommended = "IXR", .course_deg = 90.0});
    dangling.fix->ident = "NOWHR";
    dangling.theta.reset();
    dangling.rho.reset();
    all.push_back({"dangling fix", dangling, "NOWHR has no record"});
    all.push_back(
        {"hold without course", sketch.leg(PathTerminator::HF, "INI"), "without an inbound course"});
    all.push_back({"arc without station", sketch.leg(PathTerminator::AF, "FINAA", {.course_deg = 90.0}),
                   "without a recorded station"});
    for (const Broken& broken : all) {
        SCOPED_TRACE(broken.what);
        Sketch both = drawn("MIS");
        navdata::Leg middle = broken.leg;
        std::vector<navdata::Leg> legs{
            both.leg(PathTerminator::IF, "INI", {.altitude_ft = 3000.0, .description = "V  A"}), middle,
            both.leg(
                PathTerminator::CF, "FINAA",
                {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 1800.0, .description = "E  F"}),
            to_threshold(both, "GY M")};
        both.approach("XARR", "L09", 'L', legs);
        const auto answer = planned(both);
        EXPECT_NE(answer.verdict, Verdict::not_flyable);
        EXPECT_EQ(answer.option->flight.approach, "ILS RW09");
        const auto refused = std::find_if(answer.approaches.begin(), answer.approaches.end(),
                                          [](const auto& each) { return each.procedure == "L09"; });
        ASSERT_NE(refused, answer.approaches.end());
        EXPECT_FALSE(refused->flyable);
        EXPECT_THAT(refused->why_not, HasSubstr(broken.said));
        EXPECT_THAT(refused->why_not, HasSubstr("leg 020"));
    }
}

TEST(CaseDifference, ItIsSaidInPlainWordsWithItsFigures) {
    ApproachConsidered taken;
    taken.track_miles = Length::nautical_miles(180.0);
    taken.typical_minimum = Altitude::feet(292.0);
    taken.headwind = Speed::knots(8.0);
    ApproachConsidered other = taken;
    EXPECT_EQ(difference(taken, other), "no better");
    other.track_miles = Length::nautical_miles(194.2);
    other.typical_minimum = Altitude::feet(592.0);
    other.headwind = Speed::knots(-8.0);
    other.work = {{"a procedure turn", Length::nautical_miles(2.0)}};
    EXPECT_EQ(difference(taken, other),
              "14 NM longer, 300 ft higher minimum (typical), tailwind 8 kt, a procedure turn");
    other = taken;
    other.track_miles = Length::nautical_miles(177.0);
    other.work = {{"circling", Length::nautical_miles(5.0)}};
    EXPECT_EQ(difference(taken, other), "circling; though 3 NM shorter");
}

}  // namespace omniway::plan
