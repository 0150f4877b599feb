#include "procedure/hold_limits.hpp"

#include <gtest/gtest.h>

namespace omniway::procedure {
namespace {

using namespace base::literals;
using aircraft::ApproachCategory;
using base::Altitude;
using base::Speed;
using radio::Criteria;

// Trade-facts 8.2 (AIM 5-3-8, PANS-OPS; seen).
TEST(TruthHoldTime, IsAMinuteToFourteenThousandFeetAndAMinuteAndAHalfAbove) {
    EXPECT_EQ(hold_time(Altitude::feet(14000), Criteria::terps).time, base::minutes(1.0));
    EXPECT_EQ(hold_time(Altitude::feet(14001), Criteria::terps).time, base::minutes(1.5));
    EXPECT_EQ(hold_time(Altitude::feet(14000), Criteria::pans_ops).time, base::minutes(1.0));
    EXPECT_EQ(hold_time(Altitude::feet(14001), Criteria::pans_ops).time, base::minutes(1.5));
    EXPECT_EQ(hold_time(Altitude::feet(3000), Criteria::terps).leg, TimedLeg::inbound);
    EXPECT_EQ(hold_time(Altitude::feet(3000), Criteria::pans_ops).leg, TimedLeg::outbound);
}

// Trade-facts 8.3 (AIM 5-3-8; seen).
TEST(TruthHoldSpeed, IsTheFaaTableByAltitude) {
    struct Row {
        double feet;
        double knots;
    };
    for (const Row row : {Row{1000, 200}, Row{6000, 200}, Row{6001, 230}, Row{14000, 230}, Row{14001, 265},
                          Row{40000, 265}}) {
        for (const ApproachCategory category : {ApproachCategory::a, ApproachCategory::d}) {
            const HoldSpeed most = hold_speed(Altitude::feet(row.feet), Criteria::terps, category);
            ASSERT_TRUE(most.indicated);
            EXPECT_NEAR(most.indicated->knots(), row.knots, 1e-9) << row.feet;
            EXPECT_FALSE(most.mach);
        }
    }
}

// Trade-facts 8.3 (PANS-OPS as in AIPs; seen). No Mach: 0.
TEST(TruthHoldSpeed, IsTheIcaoTableByAltitudeCategoryAndTurbulence) {
    struct Row {
        double feet;
        ApproachCategory category;
        Air air;
        double knots;  // 0: none
        double mach;   // 0: none
    };
    using enum ApproachCategory;
    for (const Row& row : {
             Row{14000, a, Air::calm, 170, 0},
             Row{14000, b, Air::turbulent, 170, 0},
             Row{14000, c, Air::calm, 230, 0},
             Row{14000, e, Air::turbulent, 280, 0},
             Row{14001, a, Air::calm, 240, 0},
             Row{20000, d, Air::calm, 240, 0},
             Row{20000, d, Air::turbulent, 280, 0.8},
             Row{20001, d, Air::calm, 265, 0},
             Row{34000, d, Air::calm, 265, 0},
             Row{34000, d, Air::turbulent, 280, 0.8},
             Row{34001, d, Air::calm, 0, 0.83},
             Row{34001, d, Air::turbulent, 0, 0.83},
         }) {
        const HoldSpeed most =
            hold_speed(Altitude::feet(row.feet), Criteria::pans_ops, row.category, row.air);
        EXPECT_EQ(most.indicated.has_value(), row.knots > 0.0) << row.feet;
        EXPECT_EQ(most.mach.has_value(), row.mach > 0.0) << row.feet;
        EXPECT_NEAR(most.indicated ? most.indicated->knots() : 0.0, row.knots, 1e-9) << row.feet;
        EXPECT_NEAR(most.mach ? most.mach->number() : 0.0, row.mach, 1e-9) << row.feet;
    }
}

// Trade-facts 8.2 and the table of 7.2: standard rate needs 25 degrees near 170 kt, 30 degrees near 210 (tan 30 x 364).
TEST(TruthHoldTurn, IsStandardRateUntilTheBankLimitIsLess) {
    EXPECT_NEAR(hold_turn(150_kt, Criteria::terps).rate.degrees_per_second(), 3.0, 1e-9);
    EXPECT_NEAR(hold_turn(150_kt, Criteria::terps).bank.degrees(), 22.4, 0.05);
    EXPECT_NEAR(hold_turn(230_kt, Criteria::terps).bank.degrees(), 30.0, 1e-9);
    EXPECT_NEAR(hold_turn(230_kt, Criteria::terps).radius.nautical_miles(), 1.34, 0.005);
    EXPECT_NEAR(hold_turn(230_kt, Criteria::terps, FlightDirector::used).bank.degrees(), 25.0, 1e-9);
    EXPECT_NEAR(hold_turn(230_kt, Criteria::pans_ops).radius.nautical_miles(), 1.65, 0.005);
    EXPECT_NEAR(hold_turn(200_kt, Criteria::pans_ops).bank.degrees(), 25.0, 1e-9);
    EXPECT_NEAR(hold_turn(200_kt, Criteria::terps).bank.degrees(), 28.8, 0.05);
}

// AIM 5-3-8: 8 degrees left inbound, 24 degrees right outbound (trade-facts 8.2, seen).
TEST(TruthHoldDrift, TheRuleTriplesTheInboundCorrectionToTheOtherSide) {
    EXPECT_NEAR(tripled_correction(-8_deg).degrees(), 24.0, 1e-9);
}

}  // namespace
}  // namespace omniway::procedure
