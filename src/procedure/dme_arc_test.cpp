#include "procedure/dme_arc.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/random_positions.hpp"

namespace omniway::procedure {
namespace {

using namespace base::literals;
using base::Angle;
using base::Length;
using base::TrueBearing;

// USN P-871: 150 KIAS, 10 DME arc: begin at 10.8 inbound, 9.2 outbound (trade-facts 5, seen). Both the rule (0.75) and the exact
// figure (0.77 and 0.83 on a radius of 0.796 NM) round to it.
TEST(TruthArcLead, ATenMileArcAtAHundredAndFiftyKnotsIsBegunAtTenPointEightInboundAndNinePointTwoOutbound) {
    const auto to_tenths = [](double nm) { return std::round(nm * 10.0) / 10.0; };
    const double rule = lead_by_rule(150_kt).nautical_miles();
    EXPECT_NEAR(rule, 0.75, 1e-9);
    EXPECT_NEAR(to_tenths(10.0 + rule), 10.8, 1e-9);
    const Length radius = Length::nautical_miles(0.796);
    EXPECT_NEAR(to_tenths(10.0 + lead_onto_arc(radius, 10_nm, RadialFlown::inbound)->nautical_miles()), 10.8,
                1e-9);
    EXPECT_NEAR(to_tenths(10.0 - lead_onto_arc(radius, 10_nm, RadialFlown::outbound)->nautical_miles()), 9.2,
                1e-9);
}

// IFH: half a mile is enough up to 150 kt; USAF: 0.5 % of groundspeed, 1 % at half standard rate (trade-facts 5, seen).
TEST(TruthArcLead, TheRuleIsHalfAPercentAndOnePercentAtHalfRate) {
    EXPECT_NEAR(lead_by_rule(100_kt).nautical_miles(), 0.5, 1e-9);
    EXPECT_NEAR(lead_by_rule(250_kt, TurnRule::half_standard_rate).nautical_miles(), 2.5, 1e-9);
}

// USN P-1204's table of lead radials, 2.5 NM of turn radius (trade-facts 5, seen): arc, 90 degrees, inbound, outbound.
TEST(TruthArcLead, LeadRadialsAreThoseOfThePublishedTable) {
    const Length radius = lead_by_rule(250_kt, TurnRule::half_standard_rate);
    struct Row {
        double arc_nm;
        double square;
        double inbound;   // 0: not in the table
        double outbound;  // 0: not in the table
    };
    for (const Row& row : {Row{20, 7.5, 0, 0}, Row{15, 10, 0, 0}, Row{10, 15, 18, 13}, Row{7, 21, 27, 16},
                           Row{5, 30, 40, 20}}) {
        const Length arc = Length::nautical_miles(row.arc_nm);
        // As printed: to a degree, half a degree kept where the table keeps it.
        EXPECT_NEAR(lead_radials_by_rule(radius, arc).degrees(), row.square, 0.5) << row.arc_nm;
        if (row.inbound > 0.0) {
            EXPECT_NEAR(lead_radials_by_rule(radius, arc, RadialFlown::inbound).degrees(), row.inbound, 0.55)
                << row.arc_nm;
            EXPECT_NEAR(lead_radials_by_rule(radius, arc, RadialFlown::outbound).degrees(), row.outbound,
                        0.55)
                << row.arc_nm;
        }
    }
}

// Trade-facts 5 (computed): GS 150 arc 10, GS 120 arc 12, GS 180 arc 15, GS 90 arc 7.
TEST(TruthArcLead, LeadRadialsAreSixtyByTheArcTimesTheLead) {
    struct Row {
        double knots;
        double arc_nm;
        double lead_nm;
        double radials;
    };
    for (const Row& row :
         {Row{150, 10, 0.75, 4.5}, Row{120, 12, 0.6, 3.0}, Row{180, 15, 0.9, 3.6}, Row{90, 7, 0.45, 3.9}}) {
        const Length lead = lead_by_rule(base::Speed::knots(row.knots));
        EXPECT_NEAR(lead.nautical_miles(), row.lead_nm, 1e-9);
        EXPECT_NEAR(lead_radials_by_rule(lead, Length::nautical_miles(row.arc_nm)).degrees(), row.radials,
                    0.05);
    }
}

// Trade-facts 5: seen for 120 and more and for 45; 60 and 30 from memory.
TEST(TruthArcLead, OtherTurnsNeedThePublishedShareOfASquareOnes) {
    EXPECT_NEAR(lead_share_by_rule(180_deg), 2.0, 1e-9);
    EXPECT_NEAR(lead_share_by_rule(150_deg), 1.0 + 5.0 / 6.0, 1e-9);
    EXPECT_NEAR(lead_share_by_rule(135_deg), 1.0 + 2.0 / 3.0, 1e-9);
    EXPECT_NEAR(lead_share_by_rule(120_deg), 1.5, 1e-9);
    EXPECT_NEAR(lead_share_by_rule(90_deg), 1.0, 1e-9);
    EXPECT_NEAR(lead_share_by_rule(60_deg), 0.5, 1e-9);
    EXPECT_NEAR(lead_share_by_rule(45_deg), 1.0 / 3.0, 1e-9);
    EXPECT_NEAR(lead_share_by_rule(30_deg), 1.0 / 6.0, 1e-9);
    EXPECT_NEAR(lead_share_by_rule(0_deg), 0.0, 1e-9);
}

// Trade-facts 5 (computed).
TEST(TruthArcLead, ADegreeOfRadialIsThisFarAlongAnArc) {
    for (const auto& [arc, along] :
         {std::pair{7.0, 0.122}, {10.0, 0.175}, {12.0, 0.209}, {15.0, 0.262}, {20.0, 0.349}}) {
        EXPECT_NEAR(along_arc(1_deg, Length::nautical_miles(arc)).nautical_miles(), along, 0.0005);
    }
    // The decoded AF row: 90.7 degrees of a 13 NM arc is 20.58 NM.
    EXPECT_NEAR(along_arc(Angle::degrees(90.7), 13_nm).nautical_miles(), 20.58, 0.005);
}

// Drawn by small steps: a circular turn begun where the exact lead says rolls out tangent to what it joins.
RC_GTEST_PROP(BruteArcLead, ATurnBegunAtTheExactLeadEndsOnTheArcAndAlongIt, ()) {
    const double arc = *testing::between(5.0, 30.0);
    const double radius = *testing::between(0.3, 2.4);
    const bool inbound = *rc::gen::arbitrary<bool>();
    const auto lead = lead_onto_arc(Length::nautical_miles(radius), Length::nautical_miles(arc),
                                    inbound ? RadialFlown::inbound : RadialFlown::outbound);
    RC_ASSERT(lead.has_value());
    // On the radial due north of the station, flying south or north, turning right by small steps until square to the station.
    double x = 0.0;
    double y = inbound ? arc + lead->nautical_miles() : arc - lead->nautical_miles();
    double track = inbound ? 3.14159265358979 : 0.0;
    constexpr double step = 1e-4;
    for (int i = 0; i < 40000; ++i) {
        const double radial_speed = (x * std::sin(track) + y * std::cos(track));
        if (inbound ? radial_speed >= 0.0 : radial_speed <= 0.0) {
            break;
        }
        x += radius * step * std::sin(track + step / 2);
        y += radius * step * std::cos(track + step / 2);
        track += step;
    }
    RC_ASSERT(std::abs(std::hypot(x, y) - arc) < 0.002);
}

RC_GTEST_PROP(BruteArcLead, ATurnBegunOnTheExactLeadBearingEndsOnTheRadial, ()) {
    const double arc = *testing::between(5.0, 30.0);
    const double radius = *testing::between(0.3, 2.4);
    const bool inbound = *rc::gen::arbitrary<bool>();
    const auto flown = inbound ? RadialFlown::inbound : RadialFlown::outbound;
    const auto begin = lead_bearing_off_arc(TrueBearing::degrees(0.0), ArcFlown::clockwise, flown,
                                            Length::nautical_miles(radius), Length::nautical_miles(arc));
    RC_ASSERT(begin.has_value());
    const double bearing = begin->from_north().radians();
    double x = arc * std::sin(bearing);
    double y = arc * std::cos(bearing);
    double track = bearing + 3.14159265358979 / 2.0;
    // Right to fly inbound (south), left to fly outbound (north).
    const double wanted = inbound ? 3.14159265358979 : 0.0;
    const double all = std::remainder(wanted - track, 2 * 3.14159265358979);
    constexpr int steps = 20000;
    for (int i = 0; i < steps; ++i) {
        const double half = all / steps / 2;
        x += radius * std::abs(all) / steps * std::sin(track + half);
        y += radius * std::abs(all) / steps * std::cos(track + half);
        track += all / steps;
    }
    RC_ASSERT((inbound ? all > 0.0 : all < 0.0));
    RC_ASSERT(std::abs(x) < 0.001);
    RC_ASSERT(y > 0.0);
}

// The rule takes the arc for straight: its figure lies between the exact ones.
RC_GTEST_PROP(LawArcLead, TheRuleLiesBetweenTheExactFiguresInboundAndOutbound, ()) {
    const Length arc = Length::nautical_miles(*testing::between(5.0, 30.0));
    const Length radius = Length::nautical_miles(*testing::between(0.3, 1.0));
    const double in = lead_off_arc(radius, arc, RadialFlown::inbound)->degrees();
    const double out = lead_off_arc(radius, arc, RadialFlown::outbound)->degrees();
    const double rule = lead_radials_by_rule(radius, arc).degrees();
    // 60 for 57.3 degrees in a radian: up to 5 % more.
    RC_ASSERT(rule > out);
    RC_ASSERT(rule < in * 1.05);
}

TEST(LawArcLead, ATurnTooWideForTheInsideOfAnArcIsNoLead) {
    EXPECT_FALSE(lead_onto_arc(3_nm, 5_nm, RadialFlown::outbound));
    EXPECT_TRUE(lead_onto_arc(3_nm, 5_nm, RadialFlown::inbound));
    EXPECT_FALSE(lead_off_arc(3_nm, 5_nm, RadialFlown::inbound));
    EXPECT_TRUE(lead_off_arc(3_nm, 5_nm, RadialFlown::outbound));
}

}  // namespace
}  // namespace omniway::procedure
