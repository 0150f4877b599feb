#include "procedure/holding.hpp"

#include <cmath>
#include <numbers>
#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/joined_pieces.hpp"
#include "tests/random_positions.hpp"

namespace omniway::procedure {
namespace {

using namespace base::literals;
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

Hold hold_on(double inbound, Turn side = Turn::right, std::variant<Duration, Length> leg = base::minutes(1)) {
    return {.fix = fix, .inbound = deg(inbound), .side = side, .leg = leg};
}

// --- entry -------------------------------------------------------------------------------------------------------

// USN P-821's rule as a pilot reads it off the heading indicator (trade-facts 8.1, seen): right turns, outbound course within
// 70 degrees right of the nose: teardrop; within 110 left: parallel; else direct. Left turns: the other way round. On a boundary
// either is acceptable: no answer.
std::string read_off_the_heading_indicator(int heading, int inbound, bool right) {
    int outbound_right_of_nose = (inbound + 180 - heading + 720) % 360;
    if (!right) {
        outbound_right_of_nose = (360 - outbound_right_of_nose) % 360;
    }
    if (outbound_right_of_nose == 0 || outbound_right_of_nose == 70 || outbound_right_of_nose == 250) {
        return "either";
    }
    if (outbound_right_of_nose < 70) {
        return "teardrop";
    }
    return outbound_right_of_nose > 250 ? "parallel" : "direct";
}

TEST(TruthHoldEntry, AgreesWithThePilotsRuleForEveryHeadingCourseAndSide) {
    for (int inbound = 0; inbound < 360; inbound += 7) {
        for (int heading = 0; heading < 360; ++heading) {
            for (const bool right : {true, false}) {
                const std::string rule = read_off_the_heading_indicator(heading, inbound, right);
                const HoldEntry entry =
                    hold_entry(deg(heading), deg(inbound), right ? Turn::right : Turn::left);
                if (rule != "either") {
                    EXPECT_EQ(to_text(entry), rule)
                        << "heading " << heading << " inbound " << inbound << (right ? " right" : " left");
                }
            }
        }
    }
}

// Trade-facts 8.1: vectors for inbound 360, right turns; left turns mirror them.
TEST(TruthHoldEntry, GivesTheTestVectorsOfTheRule) {
    const auto entry = [](double heading, Turn side) { return hold_entry(deg(heading), deg(360.0), side); };
    for (const double heading : {0.0, 90.0, 109.0, 291.0}) {
        EXPECT_EQ(entry(heading, Turn::right), HoldEntry::direct) << heading;
        EXPECT_EQ(entry(360.0 - heading, Turn::left), HoldEntry::direct) << heading;
    }
    for (const double heading : {111.0, 150.0, 179.0}) {
        EXPECT_EQ(entry(heading, Turn::right), HoldEntry::offset) << heading;
        EXPECT_EQ(entry(360.0 - heading, Turn::left), HoldEntry::offset) << heading;
    }
    for (const double heading : {181.0, 270.0, 289.0}) {
        EXPECT_EQ(entry(heading, Turn::right), HoldEntry::parallel) << heading;
        EXPECT_EQ(entry(360.0 - heading, Turn::left), HoldEntry::parallel) << heading;
    }
    EXPECT_EQ(entry(210.0, Turn::left), HoldEntry::offset);
    EXPECT_EQ(entry(90.0, Turn::left), HoldEntry::parallel);
}

TEST(LawHoldEntry, IsOneAnswerAroundEveryBoundaryWhateverTheRounding) {
    for (const Turn side : {Turn::right, Turn::left}) {
        for (double inbound = 0.0; inbound < 360.0; inbound += 0.1) {
            const double mirror = side == Turn::right ? 1.0 : -1.0;
            for (const double boundary : {110.0, 180.0, -70.0}) {
                const TrueBearing there = deg(inbound + mirror * boundary);
                const HoldEntry exactly = hold_entry(there, deg(inbound), side);
                for (const double off : {-0.4, -0.1, -1e-9, 1e-12, 1e-6, 0.1, 0.4}) {
                    EXPECT_EQ(hold_entry(there + Angle::degrees(off), deg(inbound), side), exactly)
                        << inbound << " " << boundary << " " << off;
                }
            }
        }
    }
}

// AIM 5-3-8: within 5 degrees of a boundary either entry does (trade-facts 8.1, seen).
TEST(TruthHoldEntry, SaysWhichOtherEntryIsAcceptableWithinFiveDegrees) {
    const auto also = [](double heading) { return also_acceptable(deg(heading), deg(0.0), Turn::right); };
    EXPECT_EQ(also(107.0), HoldEntry::offset);
    EXPECT_EQ(also(113.0), HoldEntry::direct);
    EXPECT_EQ(also(178.0), HoldEntry::parallel);
    EXPECT_EQ(also(182.0), HoldEntry::offset);
    EXPECT_EQ(also(287.0), HoldEntry::direct);
    EXPECT_EQ(also(293.0), HoldEntry::parallel);
    EXPECT_EQ(also(180.0), HoldEntry::parallel);  // offset is chosen
    for (const double heading : {0.0, 104.0, 116.0, 150.0, 174.0, 186.0, 284.0, 296.0}) {
        EXPECT_EQ(also(heading), std::nullopt) << heading;
    }
}

RC_GTEST_PROP(LawHoldEntry, MirrorsBetweenLeftAndRight, ()) {
    const double inbound = *testing::between(0.0, 360.0);
    const double off = *testing::between(-180.0, 180.0);
    RC_ASSERT(hold_entry(deg(inbound + off), deg(inbound), Turn::right) ==
              hold_entry(deg(inbound - off), deg(inbound), Turn::left));
}

// --- circuit -----------------------------------------------------------------------------------------------------

// A one-minute hold in still air at standard rate: four minutes, 60 s on every part (AIM 5-3-8; 3 degrees a second).
TEST(TruthHoldCircuit, InStillAirIsFourMinutes) {
    const auto one = circuit(hold_on(90.0), at_knots(120.0));
    ASSERT_TRUE(one);
    ASSERT_EQ(one->pieces.size(), 4U);
    for (const TrackPiece& piece : one->pieces) {
        EXPECT_NEAR(time_of(piece).count(), 60.0, 1e-6);
    }
    EXPECT_NEAR(one->outbound.count(), 60.0, 1e-6);
    EXPECT_NEAR(one->outbound_end.nautical_miles(), 2.0, 1e-6);
    EXPECT_NEAR(one->outbound_heading.degrees(), 270.0, 1e-9);
    EXPECT_TRUE(one->as_asked);
}

// Worked by hand, along the course: 20 kt of tailwind inbound at 120 kt. Inbound 60 s at 140; two turns drift 20 kt times 120 s;
// outbound at 100 kt: (140 x 60 + 20 x 120)/100 = 108 s, of which 20 x 60/100 = 12 s lead back abeam the fix.
TEST(TruthHoldCircuit, ATailwindInboundLengthensTheOutboundTimeAsWorkedByHand) {
    const auto one = circuit(hold_on(90.0), at_knots(120.0, {deg(270.0), 20_kt}));
    ASSERT_TRUE(one);
    EXPECT_NEAR(one->inbound.count(), 60.0, 1e-6);
    EXPECT_NEAR(time_of(one->pieces[1]).count(), 108.0, 1e-6);
    EXPECT_NEAR(one->outbound.count(), 96.0, 1e-6);
    EXPECT_NEAR(one->outbound_correction.degrees(), 0.0, 1e-9);
}

// AIM 5-3-8: 8 degrees left inbound is 24 right outbound (trade-facts 8.2, seen). The exact answer for a one-minute hold lies
// within a degree of the rule of three. Wind from the left that needs 8 degrees at 120 kt: 120 sin 8 = 16.7 kt.
TEST(TruthHoldCircuit, TheOutboundCorrectionIsAboutThreeTimesTheInboundOne) {
    const double wind = 120.0 * std::sin(8.0 * std::numbers::pi / 180.0);
    const auto one = circuit(hold_on(0.0), at_knots(120.0, {deg(270.0), Speed::knots(wind)}));
    ASSERT_TRUE(one);
    EXPECT_NEAR(one->inbound_correction.degrees(), -8.0, 1e-9);
    EXPECT_NEAR(one->outbound_correction.degrees(), 24.0, 1.0);
}

// ICAO times the outbound leg: from abeam, 60 s again whatever the wind.
TEST(TruthHoldCircuit, AnOutboundTimedHoldTakesItsTimeFromAbeam) {
    for (const double from : {270.0, 90.0, 0.0, 225.0}) {
        Hold hold = hold_on(90.0);
        hold.timed = TimedLeg::outbound;
        const auto one = circuit(hold, at_knots(120.0, {deg(from), 20_kt}));
        ASSERT_TRUE(one);
        EXPECT_NEAR(one->outbound.count(), 60.0, 0.01) << from;
        EXPECT_TRUE(one->as_asked) << from;
    }
}

TEST(TruthHoldCircuit, ADistanceHoldTurnsInboundAbeamItsDistance) {
    const auto one = circuit(hold_on(54.0, Turn::right, 4_nm), at_knots(150.0, {deg(300.0), 25_kt}));
    ASSERT_TRUE(one);
    EXPECT_NEAR(one->outbound_end.nautical_miles(), 4.0, 1e-4);
    const OnTrack turn_begins = start_of(one->pieces[2]);
    const TrueBearing to_place = earth::bearing(fix, turn_begins.place);
    const double along =
        earth::distance(fix, turn_begins.place).nautical_miles() * base::cos(to_place - deg(234.0));
    EXPECT_NEAR(along, 4.0, 0.001);
}

// Flown again with nothing but headings, times, and a tenth of a second's steps on a flat earth.
TEST(BruteHoldCircuit, HeadingsAndTimesAloneBringTheAircraftBackOverTheFix) {
    for (const double from : {10.0, 100.0, 190.0, 280.0, 325.0}) {
        for (const Turn side : {Turn::left, Turn::right}) {
            const auto one = circuit(hold_on(70.0, side), at_knots(140.0, {deg(from), 45_kt}));
            ASSERT_TRUE(one);
            constexpr double rad = std::numbers::pi / 180.0;
            const double sign = side == Turn::right ? 1.0 : -1.0;
            double heading = one->inbound_heading.degrees();
            double north = 0.0;
            double east = 0.0;
            const auto step = [&](double dt) {
                north += (140.0 * std::cos(heading * rad) - 45.0 * std::cos(from * rad)) * dt / 3600.0;
                east += (140.0 * std::sin(heading * rad) - 45.0 * std::sin(from * rad)) * dt / 3600.0;
            };
            const auto turn_to = [&](double wanted) {
                const double all = std::fmod(sign * (wanted - heading) + 720.0, 360.0);
                const int steps = 1 + static_cast<int>(all / 0.01);
                for (int i = 0; i < steps; ++i) {
                    heading += 0.5 * sign * all / steps;
                    step(all / steps / 3.0);
                    heading += 0.5 * sign * all / steps;
                }
            };
            turn_to(one->outbound_heading.degrees());
            step(time_of(one->pieces[1]).count());
            turn_to(one->inbound_heading.degrees());
            step(one->inbound.count());
            EXPECT_NEAR(std::hypot(north, east), 0.0, 0.05) << from;
        }
    }
}

struct AnyHold {
    Hold hold;
    Motion motion;
};

AnyHold any_hold(double most_wind_share) {
    const double knots = *testing::between(80.0, 300.0);
    const weather::Wind wind{deg(*testing::between(0.0, 360.0)),
                             Speed::knots(knots * *testing::between(0.0, most_wind_share))};
    Hold hold = hold_on(*testing::between(0.0, 360.0), *rc::gen::element(Turn::left, Turn::right));
    hold.fix = earth::Position::degrees(*testing::between(-75.0, 75.0), *testing::between(-180.0, 180.0));
    hold.leg =
        *rc::gen::element<std::variant<Duration, Length>>(base::minutes(1), base::minutes(1.5), 4_nm, 10_nm);
    hold.timed = *rc::gen::element(TimedLeg::inbound, TimedLeg::outbound);
    return {hold, at_knots(knots, wind)};
}

void check_over_the_fix_inbound(const Hold& hold, const std::vector<TrackPiece>& pieces) {
    const OnTrack end = finish_of(pieces.back());
    RC_ASSERT(earth::distance(end.place, hold.fix) < Length::metres(1.0));
    RC_ASSERT(abs(end.track - hold.inbound) < Angle::degrees(0.1));
    const testing::WorstJoin joins = testing::worst_join(pieces);
    RC_ASSERT(joins.gap_m < 1.0);
    RC_ASSERT(joins.kink_deg < 0.1);
}

RC_GTEST_PROP(LawHoldCircuit, ReturnsOverTheFixInAnyWindBelowHalfTheAirspeed, ()) {
    const AnyHold any = any_hold(0.5);
    const auto one = circuit(any.hold, any.motion);
    RC_ASSERT(one.has_value());
    const OnTrack start = start_of(one->pieces.front());
    RC_ASSERT(earth::distance(start.place, any.hold.fix) < Length::metres(1.0));
    RC_ASSERT(abs(start.track - any.hold.inbound) < Angle::degrees(0.1));
    check_over_the_fix_inbound(any.hold, one->pieces);
    RC_ASSERT(abs(one->outbound_correction) <= Angle::degrees(75.001));
}

RC_GTEST_PROP(LawHoldCircuit, TakesTheTimeAskedWithinASecondOrSaysThatItCannot, ()) {
    AnyHold any = any_hold(0.5);
    any.hold.leg = base::minutes(1);
    any.hold.timed = TimedLeg::inbound;
    const auto one = circuit(any.hold, any.motion);
    RC_ASSERT(one.has_value());
    RC_TAG(one->as_asked ? "as asked" : "lengthened");
    const Duration inbound = time_of(one->pieces.back());
    RC_ASSERT((!one->as_asked || std::abs(inbound.count() - 60.0) < 1.0));
    RC_ASSERT((one->as_asked || inbound > Duration(60.0)));
}

RC_GTEST_PROP(LawHoldCircuit, IsAsAskedInWindUpToATenthOfTheAirspeed, ()) {
    const AnyHold any = any_hold(0.1);
    const auto one = circuit(any.hold, any.motion);
    RC_ASSERT(one.has_value());
    const bool asked = one->as_asked;
    RC_ASSERT(asked);
}

RC_GTEST_PROP(LawHoldCircuit, ALeftHoldMirrorsARightOne, ()) {
    AnyHold any = any_hold(0.5);
    any.hold.side = Turn::right;
    const auto right = circuit(any.hold, any.motion);
    AnyHold mirrored = any;
    mirrored.hold.side = Turn::left;
    mirrored.motion.wind.from = any.hold.inbound - (any.motion.wind.from - any.hold.inbound);
    const auto left = circuit(mirrored.hold, mirrored.motion);
    RC_ASSERT(right.has_value());
    RC_ASSERT(left.has_value());
    RC_ASSERT(std::abs((right->outbound_correction + left->outbound_correction).degrees()) < 1e-3);
    RC_ASSERT(std::abs((right->outbound - left->outbound).count()) < 1e-2);
}

TEST(LawHoldCircuit, AWindTooStrongForAHoldIsNoCircuit) {
    EXPECT_FALSE(circuit(hold_on(90.0), at_knots(100.0, {deg(90.0), 80_kt})));
    EXPECT_FALSE(circuit(hold_on(90.0), at_knots(100.0, {deg(0.0), 120_kt})));
}

TEST(TruthHoldCircuit, CircuitsToAnAltitudeAreTheClimbByTheTimeAround) {
    const auto one = circuit(hold_on(90.0), at_knots(120.0));
    ASSERT_TRUE(one);
    const auto climb = base::VerticalSpeed::feet_per_minute(500.0);
    EXPECT_EQ(circuits_to_climb(*one, 2000_ft, climb), 1);  // four minutes around, 500 ft a minute
    EXPECT_EQ(circuits_to_climb(*one, 2100_ft, climb), 2);
    EXPECT_EQ(circuits_to_climb(*one, -10_ft, climb), 1);
    EXPECT_EQ(circuits_to_climb(*one, 2000_ft, base::VerticalSpeed()), std::nullopt);
}

TEST(TruthHoldCourse, LeadsTowardTheAidOrAwayFromIt) {
    const auto north_of_it = earth::destination(fix, deg(0.0), 12_nm);
    EXPECT_EQ(course_sense(hold_on(5.0), north_of_it), CourseSense::toward_aid);
    EXPECT_EQ(course_sense(hold_on(185.0), north_of_it), CourseSense::away_from_aid);
    EXPECT_EQ(course_sense(hold_on(90.0), north_of_it), CourseSense::across);
    EXPECT_EQ(course_sense(hold_on(123.0), fix), CourseSense::toward_aid);
    EXPECT_EQ(to_text(CourseSense::away_from_aid), "away from the aid: FROM on the inbound course");
}

// --- entries as flown ----------------------------------------------------------------------------------------------

RC_GTEST_PROP(LawHoldEntryTrack, EveryEntryFromEveryTrackEndsOverTheFixInbound, ()) {
    const AnyHold any = any_hold(0.4);
    const TrueBearing arriving = deg(*testing::between(0.0, 360.0));
    const HoldEntry entry = hold_entry(arriving, any.hold.inbound, any.hold.side);
    const auto track = entry_pieces(any.hold, entry, any.motion, arriving);
    RC_ASSERT(track.has_value());
    RC_TAG(to_text(entry), track->as_asked);
    const OnTrack start = start_of(track->pieces.front());
    RC_ASSERT(earth::distance(start.place, any.hold.fix) < Length::metres(1.0));
    RC_ASSERT(abs(start.track - arriving) < Angle::degrees(0.1));
    check_over_the_fix_inbound(any.hold, track->pieces);
    RC_ASSERT(track->farthest.nautical_miles() + 0.01 >=
              testing::farthest_walked_nm(track->pieces, any.hold.fix));
}

// Near a pole meridians converge by degrees within one hold.
TEST(LawHoldEntryTrack, PiecesJoinNearThePolesAndAcrossTheAntimeridian) {
    for (const earth::Position near :
         {earth::Position::degrees(89.0, 12.0), earth::Position::degrees(-89.5, -100.0),
          earth::Position::degrees(60.0, 179.999), earth::Position::degrees(0.0, -180.0)}) {
        Hold hold = hold_on(77.0, Turn::left, 6_nm);
        hold.fix = near;
        const Motion motion = at_knots(180.0, {deg(20.0), 40_kt});
        const auto one = circuit(hold, motion);
        ASSERT_TRUE(one);
        EXPECT_LT(testing::worst_join(one->pieces).gap_m, 1.0);
        EXPECT_LT(testing::worst_join(one->pieces).kink_deg, 0.1);
        EXPECT_LT(earth::distance(finish_of(one->pieces.back()).place, near).metres(), 1.0);
        for (double arriving = 0.0; arriving < 360.0; arriving += 15.0) {
            const auto entry = hold_entry(deg(arriving), hold.inbound, hold.side);
            const auto track = entry_pieces(hold, entry, motion, deg(arriving));
            ASSERT_TRUE(track);
            EXPECT_LT(testing::worst_join(track->pieces).gap_m, 1.0);
            EXPECT_LT(testing::worst_join(track->pieces).kink_deg, 0.1);
            EXPECT_LT(earth::distance(finish_of(track->pieces.back()).place, near).metres(), 1.0);
        }
    }
}

// A coded leg of nothing is no circuit as asked, and nothing worse.
TEST(LawHoldCircuit, ALegOfNoTimeOrLengthIsFlownButNotAsAsked) {
    for (const std::variant<Duration, Length> leg :
         {std::variant<Duration, Length>(Duration(0.0)), std::variant<Duration, Length>(Length())}) {
        const auto one = circuit(hold_on(90.0, Turn::right, leg), at_knots(120.0, {deg(10.0), 20_kt}));
        ASSERT_TRUE(one);
        EXPECT_FALSE(one->as_asked);
        EXPECT_LT(testing::worst_join(one->pieces).gap_m, 1.0);
    }
}

RC_GTEST_PROP(LawHoldEntryTrack, InStillAirEveryTimedEntryIsAsAsked, ()) {
    Hold hold = hold_on(*testing::between(0.0, 360.0), *rc::gen::element(Turn::left, Turn::right));
    const TrueBearing arriving = deg(*testing::between(0.0, 360.0));
    const HoldEntry entry = hold_entry(arriving, hold.inbound, hold.side);
    const auto track = entry_pieces(hold, entry, at_knots(*testing::between(80.0, 170.0)), arriving);
    RC_ASSERT(track.has_value());
    const bool asked = track->as_asked;
    RC_ASSERT(asked);
    RC_ASSERT(std::abs(track->outbound.count() - 60.0) < 1e-3);
}

// Offset: 30 degrees off the outbound course on the holding side (trade-facts 8.1).
TEST(TruthHoldEntryTrack, AnOffsetEntryFliesThirtyDegreesOffOnTheHoldingSide) {
    const auto right = entry_pieces(hold_on(360.0), HoldEntry::offset, at_knots(120.0), deg(150.0));
    const auto left =
        entry_pieces(hold_on(360.0, Turn::left), HoldEntry::offset, at_knots(120.0), deg(210.0));
    ASSERT_TRUE(right && left);
    EXPECT_NEAR(right->outbound_heading.degrees(), 150.0, 1e-9);
    EXPECT_NEAR(left->outbound_heading.degrees(), 210.0, 1e-9);
    // Arriving on that very track the first piece is the straight, one minute long.
    EXPECT_NEAR(time_of(right->pieces.front()).count(), 60.0, 1e-6);
}

// Parallel: outbound on the non-holding side, then a turn toward the holding side through more than 180 degrees.
TEST(TruthHoldEntryTrack, AParallelEntryTurnsBackTowardTheHoldingSideThroughMoreThanHalfACircle) {
    for (const Turn side : {Turn::right, Turn::left}) {
        const double mirror = side == Turn::right ? 1.0 : -1.0;
        const auto track =
            entry_pieces(hold_on(360.0, side), HoldEntry::parallel, at_knots(120.0), deg(mirror * 260.0));
        ASSERT_TRUE(track);
        const AirTurn* back = nullptr;
        for (const TrackPiece& piece : track->pieces) {
            const auto* turn = std::get_if<AirTurn>(&piece);
            if (turn != nullptr && abs(turn->turned) > 180_deg) {
                back = turn;
            }
        }
        ASSERT_NE(back, nullptr);
        // Right hold: holding side east. Outbound is south on the west side: the turn east is to the left.
        EXPECT_LT(mirror * back->turned.degrees(), -180.0);
        const TrueBearing out = earth::bearing(fix, back->from);
        EXPECT_LT(mirror * base::sin(out.from_north()), 0.0) << "not on the non-holding side";
    }
}

}  // namespace
}  // namespace omniway::procedure
