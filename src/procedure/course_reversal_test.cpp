#include "procedure/course_reversal.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "procedure/base_turn.hpp"
#include "tests/joined_pieces.hpp"
#include "tests/random_positions.hpp"

namespace omniway::procedure {
namespace {

using namespace base::literals;
using aircraft::ApproachCategory;
using base::Angle;
using base::Duration;
using base::Length;
using base::Speed;
using base::TrueBearing;
using navdata::Turn;

const earth::Position fix = earth::Position::degrees(40.0, -169.0);

TrueBearing deg(double degrees) {
    return TrueBearing::degrees(degrees);
}

Motion at_knots(double knots, weather::Wind wind = {}) {
    return {Speed::knots(knots), wind, aircraft::planned_turn(Speed::knots(knots))};
}

ProcedureTurn turn_on(double inbound, Turn back = Turn::right, Length within = 10_nm) {
    return {.fix = fix, .inbound = deg(inbound), .barb = std::nullopt, .back = back, .within = within};
}

std::vector<double> turns_of(const std::vector<TrackPiece>& pieces) {
    std::vector<double> turns;
    for (const TrackPiece& piece : pieces) {
        if (const auto* turn = std::get_if<AirTurn>(&piece)) {
            turns.push_back(turn->turned.degrees());
        }
    }
    return turns;
}

// Trade-facts 13.9: three rows, course field and turn, to the outbound course.
TEST(TruthCodedReversal, TheBarbIs45DegreesOffTheOutboundCourseOnTheSideAwayFromTheTurnBack) {
    EXPECT_NEAR(outbound_of_barb(deg(327.5), Turn::right).degrees(), 12.5, 1e-9);
    EXPECT_NEAR(outbound_of_barb(deg(328.6), Turn::left).degrees(), 283.6, 1e-9);
    EXPECT_NEAR(outbound_of_barb(deg(293.0), Turn::right).degrees(), 338.0, 1e-9);
}

// The picture every handbook draws: 45 degrees off for a minute, 180 back, met at 45 degrees (AIM 5-4-9; trade-facts 8.4).
TEST(TruthProcedureTurn, InStillAirIs45LeftAMinuteFromTheStartOfTheTurn180RightAnd45Right) {
    const auto track = procedure_turn_pieces(turn_on(12.0), ReversalManner::fortyfive_oneeighty,
                                             at_knots(120.0), ApproachCategory::a, deg(192.0));
    ASSERT_TRUE(track);
    const auto turns = turns_of(track->pieces);
    ASSERT_EQ(turns.size(), 3U);
    EXPECT_NEAR(turns[0], -45.0, 1e-6);
    EXPECT_NEAR(turns[1], 180.0, 1e-6);
    EXPECT_NEAR(turns[2], 45.0, 1e-6);
    ASSERT_EQ(track->pieces.size(), 6U);
    EXPECT_NEAR(time_of(track->pieces[0]).count(), 120.0, 1e-6);
    EXPECT_NEAR((time_of(track->pieces[1]) + time_of(track->pieces[2])).count(), 60.0, 1e-6);
    EXPECT_NEAR(track->away->degrees(), 147.0, 1e-9);
    EXPECT_NEAR(track->joining.degrees(), 327.0, 1e-9);
    EXPECT_TRUE(track->stays_within);
    EXPECT_EQ(to_text(*track, base::Variation::east(10_deg)),
              "outbound 2 min, then left to 137, 1 min, right to 317");
}

TEST(TruthProcedureTurn, FasterCategoriesFlyTheBarbForAMinuteAndAQuarter) {
    for (const auto category : {ApproachCategory::c, ApproachCategory::d, ApproachCategory::e}) {
        const auto track =
            procedure_turn_pieces(turn_on(12.0, Turn::left, 15_nm), ReversalManner::fortyfive_oneeighty,
                                  at_knots(150.0), category, deg(192.0));
        ASSERT_TRUE(track);
        EXPECT_NEAR((time_of(track->pieces[1]) + time_of(track->pieces[2])).count(), 75.0, 1e-6);
        EXPECT_NEAR(track->away->degrees(), 237.0,
                    1e-9);  // a turn back to the left follows a turn to the right
    }
}

TEST(TruthProcedureTurn, EightyTwoSixtyTurnsEightyAndAtOnceBack) {
    const auto track = procedure_turn_pieces(turn_on(12.0), ReversalManner::eighty_twosixty, at_knots(120.0),
                                             ApproachCategory::a, deg(192.0));
    ASSERT_TRUE(track);
    const auto turns = turns_of(track->pieces);
    ASSERT_GE(turns.size(), 2U);
    EXPECT_NEAR(turns[0], -80.0, 1e-6);
    // 260 back, and what little is needed to end on the course: 80 out and 260 back at one radius end 0.33 r beyond it
    // (2 r cos 80), so the turn goes on and comes back.
    EXPECT_GE(turns[1], 240.0);
    EXPECT_LE(turns[1], 300.0);
    EXPECT_EQ(to_text(*track, base::Variation()), "outbound 2 min, then left to 112, at once right to 012");
}

TEST(TruthProcedureTurn, TheOutboundTimeIsShortenedToStayWithinTheDistance) {
    const auto wide =
        procedure_turn_pieces(turn_on(12.0, Turn::right, 15_nm), ReversalManner::fortyfive_oneeighty,
                              at_knots(180.0, {deg(12.0), 30_kt}), ApproachCategory::c, deg(192.0));
    const auto tight =
        procedure_turn_pieces(turn_on(12.0, Turn::right, 10_nm), ReversalManner::fortyfive_oneeighty,
                              at_knots(180.0, {deg(12.0), 30_kt}), ApproachCategory::c, deg(192.0));
    ASSERT_TRUE(wide && tight);
    EXPECT_TRUE(wide->stays_within);
    EXPECT_TRUE(tight->stays_within);
    EXPECT_LT(tight->outbound, wide->outbound);
    EXPECT_LE(testing::farthest_walked_nm(tight->pieces, fix), 10.001);
}

// Worked by hand: arriving on the inbound course at 120 kt with 20 kt behind. Half a circle takes 60 s and is carried 20 x 60 kt s
// past the fix, which at 100 kt back is 12 s more; then the two minutes. So the turn to the barb begins after 192 s.
TEST(TruthProcedureTurn, TheOutboundClockStartsAbeamTheFix) {
    const auto track =
        procedure_turn_pieces(turn_on(90.0, Turn::right, 15_nm), ReversalManner::fortyfive_oneeighty,
                              at_knots(120.0, {deg(270.0), 20_kt}), ApproachCategory::a, deg(90.0));
    ASSERT_TRUE(track);
    EXPECT_NEAR(track->outbound.count(), 120.0, 1e-6);
    double before_the_barb = 0.0;
    for (const TrackPiece& piece : track->pieces) {
        const auto* turn = std::get_if<AirTurn>(&piece);
        const bool ends_on_the_barb =
            turn != nullptr &&
            std::abs((turn->heading + turn->turned - *track->away_heading).degrees()) < 0.5;
        if (ends_on_the_barb) {
            break;
        }
        before_the_barb += time_of(piece).count();
    }
    EXPECT_NEAR(before_the_barb, 192.0, 1e-3);
}

TEST(TruthProcedureTurn, OneThatCannotStayWithinItsDistanceSaysSo) {
    const auto track =
        procedure_turn_pieces(turn_on(12.0, Turn::right, 5_nm), ReversalManner::fortyfive_oneeighty,
                              at_knots(250.0), ApproachCategory::d, deg(192.0));
    ASSERT_TRUE(track);
    EXPECT_FALSE(track->stays_within);
    EXPECT_GT(track->farthest, 5_nm);
}

struct AnyTurn {
    ProcedureTurn turn;
    Motion motion;
    ReversalManner manner = ReversalManner::fortyfive_oneeighty;
    ApproachCategory category = ApproachCategory::a;
    TrueBearing arriving;
};

AnyTurn any_turn(double most_wind_share) {
    AnyTurn any;
    const double knots = *testing::between(80.0, 220.0);
    any.motion = at_knots(knots, {deg(*testing::between(0.0, 360.0)),
                                  Speed::knots(knots * *testing::between(0.0, most_wind_share))});
    any.turn = turn_on(*testing::between(0.0, 360.0), *rc::gen::element(Turn::left, Turn::right),
                       *rc::gen::element(10_nm, 15_nm));
    any.turn.fix = earth::Position::degrees(*testing::between(-70.0, 70.0), *testing::between(-180.0, 180.0));
    any.manner = *rc::gen::element(ReversalManner::fortyfive_oneeighty, ReversalManner::eighty_twosixty);
    any.category = *rc::gen::element(ApproachCategory::a, ApproachCategory::b, ApproachCategory::c);
    any.arriving = deg(*testing::between(0.0, 360.0));
    return any;
}

void check_reversal(const ReversalTrack& track, earth::Position over, TrueBearing arriving,
                    TrueBearing inbound) {
    const OnTrack start = start_of(track.pieces.front());
    RC_ASSERT(earth::distance(start.place, over) < Length::metres(1.0));
    RC_ASSERT(abs(start.track - arriving) < Angle::degrees(0.1));
    const testing::WorstJoin joins = testing::worst_join(track.pieces);
    RC_ASSERT(joins.gap_m < 1.0);
    RC_ASSERT(joins.kink_deg < 0.1);
    // Established: on the line that leads inbound over the fix, flying along it.
    const OnTrack end = finish_of(track.pieces.back());
    const earth::Position before = earth::destination(over, inbound, -track.joined_at);
    RC_ASSERT(earth::distance(end.place, before) < Length::metres(2.0));
    if (track.joined_at > 0.1_nm) {
        RC_ASSERT(abs(end.track - earth::bearing(end.place, over)) < Angle::degrees(0.2));
    }
}

RC_GTEST_PROP(LawProcedureTurn, JoinsAndEndsEstablishedInbound, ()) {
    const AnyTurn any = any_turn(0.4);
    const auto track = procedure_turn_pieces(any.turn, any.manner, any.motion, any.category, any.arriving);
    RC_ASSERT(track.has_value());
    RC_TAG(track->stays_within ? "within" : "not within");
    check_reversal(*track, any.turn.fix, any.arriving, any.turn.inbound);
}

RC_GTEST_PROP(LawProcedureTurn, NeverLeavesItsDistanceOrSaysThatItCannot, ()) {
    const AnyTurn any = any_turn(0.5);
    const auto track = procedure_turn_pieces(any.turn, any.manner, any.motion, any.category, any.arriving);
    RC_ASSERT(track.has_value());
    const double farthest = testing::farthest_walked_nm(track->pieces, any.turn.fix);
    RC_ASSERT((!track->stays_within || farthest <= any.turn.within.nautical_miles() + 0.002));
    RC_ASSERT(std::abs(track->farthest.nautical_miles() - farthest) < 0.02);
}

RC_GTEST_PROP(LawProcedureTurn, SlowAircraftInLightWindAlwaysFitTenMilesFromAnyDirection, ()) {
    AnyTurn any = any_turn(0.2);
    any.motion = at_knots(*testing::between(80.0, 130.0), any.motion.wind);
    any.motion.wind.speed = Speed::knots(*testing::between(0.0, 20.0));
    any.category = ApproachCategory::a;
    const auto track = procedure_turn_pieces(any.turn, any.manner, any.motion, any.category, any.arriving);
    RC_ASSERT(track.has_value());
    const bool within = track->stays_within;
    RC_ASSERT(within);
}

RC_GTEST_PROP(LawProcedureTurn, LeftMirrorsRight, ()) {
    AnyTurn any = any_turn(0.3);
    any.turn.back = Turn::right;
    const auto mirrored = [&](TrueBearing b) { return any.turn.inbound - (b - any.turn.inbound); };
    AnyTurn other = any;
    other.turn.back = Turn::left;
    other.motion.wind.from = mirrored(any.motion.wind.from);
    other.arriving = mirrored(any.arriving);
    const auto right = procedure_turn_pieces(any.turn, any.manner, any.motion, any.category, any.arriving);
    const auto left =
        procedure_turn_pieces(other.turn, other.manner, other.motion, other.category, other.arriving);
    RC_ASSERT(right.has_value());
    RC_ASSERT(left.has_value());
    RC_ASSERT(std::abs((right->outbound - left->outbound).count()) < 0.1);
    RC_ASSERT(std::abs((right->farthest - left->farthest).metres()) < 5.0);
}

// --- base turns and racetracks ---------------------------------------------------------------------------------------

// In still air at or below 170 kt, standard rate: out for t minutes at 36/t degrees and one turn back ends within a third of a mile
// of the inbound course (PANS-OPS chose 36/t so that it does); the turn is 180 degrees and the angle, and what is left is joined.
TEST(TruthBaseTurn, ThePublishedAngleBringsOneTurnBackOntoTheInboundCourse) {
    for (const double minutes : {1.0, 1.5, 2.0, 3.0}) {
        const Angle angle = base_turn_angle(120_kt, base::minutes(minutes));
        const BaseTurn turn{fix, deg(90.0), deg(270.0) - angle, base::minutes(minutes)};
        const auto track = base_turn_pieces(turn, at_knots(120.0), turn.outbound);
        ASSERT_TRUE(track);
        EXPECT_NEAR(track->outbound.count(), 60.0 * minutes, 1e-6);
        EXPECT_EQ(track->back, Turn::right);
        const auto turns = turns_of(track->pieces);
        ASSERT_FALSE(turns.empty());
        EXPECT_NEAR(turns[0], 180.0 + angle.degrees(), 30.1) << minutes;
        EXPECT_GT(track->joined_at, Length());
    }
}

RC_GTEST_PROP(LawBaseTurn, JoinsAndEndsEstablishedInbound, ()) {
    const double knots = *testing::between(80.0, 200.0);
    const Motion motion = at_knots(
        knots, {deg(*testing::between(0.0, 360.0)), Speed::knots(knots * *testing::between(0.0, 0.3))});
    const Duration time = base::minutes(*rc::gen::element(2.0, 2.5, 3.0));
    const TrueBearing inbound = deg(*testing::between(0.0, 360.0));
    const double side = *rc::gen::element(-1.0, 1.0);
    const BaseTurn turn{fix, inbound,
                        inbound.reciprocal() + side * base_turn_angle(motion.true_airspeed, time), time};
    const TrueBearing arriving = turn.outbound + Angle::degrees(*testing::between(-30.0, 30.0));
    const auto track = base_turn_pieces(turn, motion, arriving);
    RC_ASSERT(track.has_value());
    RC_ASSERT((track->back == (side > 0.0 ? Turn::left : Turn::right)));
    check_reversal(*track, fix, arriving, inbound);
}

// PANS-OPS II I-4-3-4 (trade-facts 8.4, seen).
TEST(TruthRacetrack, OutboundIsOneToThreeMinutesInHalfMinutes) {
    for (const double allowed : {1.0, 1.5, 2.0, 2.5, 3.0}) {
        EXPECT_TRUE(racetrack_time_allowed(base::minutes(allowed))) << allowed;
    }
    for (const double refused : {0.5, 0.99, 1.25, 3.5}) {
        EXPECT_FALSE(racetrack_time_allowed(base::minutes(refused))) << refused;
    }
}

TEST(TruthRacetrack, TheOffsetIsKeptAMinuteAndAHalfAtMostAndAMinuteWhereOutboundIsOne) {
    EXPECT_EQ(longest_offset(base::minutes(1.0)), base::minutes(1.0));
    EXPECT_EQ(longest_offset(base::minutes(1.5)), base::minutes(1.5));
    EXPECT_EQ(longest_offset(base::minutes(3.0)), base::minutes(1.5));
    const Hold racetrack{fix, deg(360.0), Turn::right, base::minutes(3.0), TimedLeg::outbound};
    const auto track = racetrack_entry_pieces(racetrack, HoldEntry::offset, at_knots(120.0), deg(150.0));
    ASSERT_TRUE(track);
    // 90 s on 150 degrees, a turn of 30 to 180, and the rest of the three minutes.
    ASSERT_GE(track->pieces.size(), 3U);
    EXPECT_NEAR(time_of(track->pieces[0]).count(), 90.0, 1e-6);
    EXPECT_NEAR(std::get<AirTurn>(track->pieces[1]).turned.degrees(), 30.0, 1e-6);
    EXPECT_NEAR(time_of(track->pieces[2]).count(), 80.0, 1e-6);
    EXPECT_LT(testing::worst_join(track->pieces).gap_m, 1.0);
}

}  // namespace
}  // namespace omniway::procedure
