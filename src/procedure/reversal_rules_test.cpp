#include "procedure/reversal_rules.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/random_positions.hpp"

namespace omniway::procedure {
namespace {

using namespace base::literals;
using aircraft::ApproachCategory;
using base::TrueBearing;

const earth::Position fix = earth::Position::degrees(40.0, -169.0);

TrueBearing deg(double degrees) {
    return TrueBearing::degrees(degrees);
}

Motion at_knots(double knots) {
    return {base::Speed::knots(knots), {}, aircraft::planned_turn(base::Speed::knots(knots))};
}

// AIM 5-4-9 (trade-facts 8.4, seen).
TEST(TruthReversalRules, APublishedTurnIsRequiredUnlessNoPtOrAnArcLeadsIn) {
    ReversalCase known{.coded = CodedReversal::procedure_turn};
    EXPECT_TRUE(course_reversal(known).flown);
    EXPECT_EQ(course_reversal(known).reason, ReversalReason::published_turn);
    known.entry_says_no_turn = true;
    EXPECT_FALSE(course_reversal(known).flown);
    EXPECT_EQ(course_reversal(known).reason, ReversalReason::no_turn_routing);
    known.entry_says_no_turn = false;
    known.by_arc = true;
    EXPECT_FALSE(course_reversal(known).flown);
    EXPECT_EQ(course_reversal(known).reason, ReversalReason::arc_leads_in);
    EXPECT_FALSE(course_reversal({}).flown);
    EXPECT_EQ(course_reversal({}).reason, ReversalReason::none_coded);
}

TEST(TruthReversalRules, AHoldInLieuIsFlownEvenWhereTheAircraftArrivesAligned) {
    const ReversalCase aligned{.coded = CodedReversal::hold_in_lieu,
                               .criteria = radio::Criteria::pans_ops,
                               .arriving = deg(90.0),
                               .outbound = deg(270.0),
                               .final_course = deg(90.0)};
    EXPECT_TRUE(course_reversal(aligned).flown);
    EXPECT_TRUE(course_reversal(aligned).entry_allowed);
    EXPECT_EQ(course_reversal(aligned).reason, ReversalReason::hold_in_lieu);
}

// PANS-OPS II I-4-3-5 (trade-facts 8.4, seen): within 30 degrees of the outbound track.
TEST(TruthReversalRules, IcaoEntersAReversalWithinThirtyDegreesOfItsOutboundTrack) {
    ReversalCase known{.coded = CodedReversal::base_turn,
                       .criteria = radio::Criteria::pans_ops,
                       .arriving = deg(350.0),
                       .outbound = deg(20.0)};
    EXPECT_TRUE(course_reversal(known).entry_allowed);
    EXPECT_NEAR(course_reversal(known).off_outbound->degrees(), 30.0, 1e-9);
    known.arriving = deg(349.0);
    EXPECT_FALSE(course_reversal(known).entry_allowed);
    EXPECT_TRUE(course_reversal(known).flown);
    EXPECT_EQ(course_reversal(known).reason, ReversalReason::outside_entry_sector);
    known.criteria = radio::Criteria::terps;
    EXPECT_TRUE(course_reversal(known).entry_allowed);
    known.criteria = radio::Criteria::pans_ops;
    known.arriving.reset();
    EXPECT_TRUE(course_reversal(known).entry_allowed);
}

// PANS-OPS II figure I-4-3-1 (trade-facts 8.4, seen): 120 degrees is the largest turn onto the track.
TEST(TruthReversalRules, WithoutAReversalAnArrivalMayTurn120DegreesOntoTheCourse) {
    ReversalCase known{.arriving = deg(90.0), .final_course = deg(330.0)};
    EXPECT_TRUE(course_reversal(known).entry_allowed);
    known.arriving = deg(91.0);
    EXPECT_FALSE(course_reversal(known).entry_allowed);
    known.arriving = deg(180.0);
    EXPECT_FALSE(course_reversal(known).entry_allowed);
    EXPECT_EQ(course_reversal(known).reason, ReversalReason::turns_too_far);
    known.coded = CodedReversal::procedure_turn;
    EXPECT_TRUE(course_reversal(known).flown);
    EXPECT_TRUE(course_reversal(known).entry_allowed);
}

TEST(TruthReversalRules, AWayFromNoPublishedFixFliesTheReversal) {
    const ReversalCase known{.coded = CodedReversal::procedure_turn, .published_entry = false};
    EXPECT_TRUE(course_reversal(known).flown);
    EXPECT_EQ(course_reversal(known).reason, ReversalReason::not_published_entry);
}

TEST(TruthReversalRules, EveryReasonHasWords) {
    using enum ReversalReason;
    for (const ReversalReason reason :
         {none_coded, no_turn_routing, arc_leads_in, hold_in_lieu, published_turn, not_published_entry,
          outside_entry_sector, turns_too_far}) {
        EXPECT_FALSE(to_text(reason).empty());
    }
}

// PANS-OPS II figure I-4-3-1 (trade-facts 8.4, seen): more than 70 a lead radial, never more than 120.
TEST(TruthTurnAtFix, NeedsALeadRadialAbove70DegreesAndIsNotAllowedAbove120) {
    const auto allowed = [](double turn) { return turn_at_fix(deg(350.0), deg(350.0 + turn)).allowed; };
    for (const double side : {1.0, -1.0}) {
        EXPECT_EQ(allowed(side * 0.0), TurnAllowed::by_itself);
        EXPECT_EQ(allowed(side * 70.0), TurnAllowed::by_itself);
        EXPECT_EQ(allowed(side * 71.0), TurnAllowed::with_lead_radial);
        EXPECT_EQ(allowed(side * 120.0), TurnAllowed::with_lead_radial);
        EXPECT_EQ(allowed(side * 121.0), TurnAllowed::never);
        EXPECT_EQ(allowed(side * 180.0), TurnAllowed::never);
    }
    EXPECT_NEAR(turn_at_fix(deg(350.0), deg(80.0)).turn.degrees(), 90.0, 1e-9);
}

// A north-south course through the aid, an arrival from the east: the radial that crosses it 2 NM east of the course.
TEST(TruthLeadRadial, IsCrossedTwoMilesBeforeTheFix) {
    const earth::Position aid = earth::destination(fix, deg(180.0), 10_nm);
    const auto lead = lead_radial(fix, deg(270.0), deg(180.0), aid, at_knots(120.0));
    ASSERT_TRUE(lead);
    EXPECT_NEAR(lead->lead.nautical_miles(), 2.0, 1e-9);
    EXPECT_NEAR(earth::distance(lead->place, fix).nautical_miles(), 2.0, 1e-6);
    EXPECT_NEAR(lead->bearing.degrees(), std::atan(0.2) * 180.0 / 3.14159265, 0.05);
    EXPECT_NEAR(lead->crossing.degrees(), 90.0 - 11.31, 0.2);
}

// 120 degrees at 1.4 NM: tan 60 x 1.4 = 2.4 NM, more than the least lead.
TEST(TruthLeadRadial, IsEarlierWhereTheTurnItselfNeedsMore) {
    const earth::Position aid = earth::destination(fix, deg(180.0), 10_nm);
    const Motion fast = at_knots(230.0);
    const auto lead = lead_radial(fix, deg(270.0), deg(150.0), aid, fast);
    ASSERT_TRUE(lead);
    EXPECT_NEAR(lead->lead.nautical_miles(), fast.turn.radius.nautical_miles() * std::sqrt(3.0), 1e-3);
    EXPECT_GT(lead->lead, 2_nm);
}

TEST(TruthLeadRadial, IsNoneWhereTheAidStandsAlongTheArrivalOrTheTurnIsNotAllowed) {
    const earth::Position ahead = earth::destination(fix, deg(270.0), 10_nm);
    EXPECT_FALSE(lead_radial(fix, deg(270.0), deg(180.0), ahead, at_knots(120.0)));
    const earth::Position aside = earth::destination(fix, deg(180.0), 10_nm);
    EXPECT_FALSE(lead_radial(fix, deg(270.0), deg(91.0), aside, at_knots(120.0)));
}

// PANS-OPS table I-4-3-1 (trade-facts 8.4, seen), feet a minute.
TEST(TruthReversalDescent, IsThePublishedTable) {
    for (const ApproachCategory category : {ApproachCategory::a, ApproachCategory::b}) {
        EXPECT_NEAR(reversal_descent(category).outbound_most.feet_per_minute(), 804.0, 1e-9);
        EXPECT_NEAR(reversal_descent(category).inbound_most.feet_per_minute(), 655.0, 1e-9);
        EXPECT_NEAR(reversal_descent(category).inbound_least.feet_per_minute(), 394.0, 1e-9);
    }
    for (const ApproachCategory category : {ApproachCategory::c, ApproachCategory::d, ApproachCategory::e}) {
        EXPECT_NEAR(reversal_descent(category).outbound_most.feet_per_minute(), 1197.0, 1e-9);
        EXPECT_NEAR(reversal_descent(category).inbound_most.feet_per_minute(), 1000.0, 1e-9);
        EXPECT_NEAR(reversal_descent(category).inbound_least.feet_per_minute(), 590.0, 1e-9);
    }
}

// AIM 5-4-9 (trade-facts 8.4, seen).
TEST(TruthReversalRules, TheSpeedLimitIs200Knots) {
    EXPECT_NEAR(reversal_speed_limit.knots(), 200.0, 1e-9);
}

}  // namespace
}  // namespace omniway::procedure
