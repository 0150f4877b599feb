#include "aircraft/turn.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::aircraft {

using base::Angle;
using base::Speed;

// Trade-facts 7.2: bank = atan(TAS/364) [seen]; the columns [computed] there from it and from radius = TAS /
// rate.
TEST(TruthTurn, StandardRateNeedsTheBankAndRadiusOfTheTable) {
    struct Row {
        double tas_kt, bank_deg, radius_nm, radius_at_25_nm, radius_at_30_nm;
    };
    const Row rows[] = {{60, 9.4, 0.318, 0.11, 0.09},   {90, 13.9, 0.477, 0.25, 0.20},
                        {100, 15.4, 0.531, 0.31, 0.25}, {120, 18.2, 0.637, 0.45, 0.36},
                        {150, 22.4, 0.796, 0.70, 0.57}, {180, 26.3, 0.955, 1.01, 0.82},
                        {200, 28.8, 1.061, 1.25, 1.01}, {230, 32.3, 1.220, 1.65, 1.34},
                        {265, 36.1, 1.406, 2.19, 1.77}, {300, 39.5, 1.592, 2.81, 2.27}};
    for (const Row& row : rows) {
        const Speed tas = Speed::knots(row.tas_kt);
        const Turn standard = turn_at_rate(tas, standard_rate);
        EXPECT_NEAR(standard.bank.degrees(), row.bank_deg, 0.0501) << row.tas_kt;
        EXPECT_NEAR(standard.radius.nautical_miles(), row.radius_nm, 0.000501) << row.tas_kt;
        EXPECT_NEAR(turn_at_bank(tas, Angle::degrees(25)).radius.nautical_miles(), row.radius_at_25_nm,
                    0.00501)
            << row.tas_kt;
        EXPECT_NEAR(turn_at_bank(tas, Angle::degrees(30)).radius.nautical_miles(), row.radius_at_30_nm,
                    0.00501)
            << row.tas_kt;
    }
}

// ICAO Doc 8168 volume II, I-2-3-2 (trade-facts 7.2 [seen]): R = 3431 tan(bank) / (pi V), never more than 3
// degrees a second; r = V / (20 pi R). Its gravity is 68 625 NM/h2, 3e-5 below the standard one.
TEST(TruthTurn, PlannedTurnFollowsThePansOpsForm) {
    for (double v = 60.0; v <= 500.0; v += 10.0) {
        const double by_bank = 3431.0 * std::tan(25.0 * std::numbers::pi / 180.0) / (std::numbers::pi * v);
        const double rate = std::min(3.0, by_bank);
        const Turn turn = planned_turn(Speed::knots(v));
        EXPECT_NEAR(turn.rate.degrees_per_second(), rate, rate * 1e-4) << v;
        const double radius = v / (20.0 * std::numbers::pi * rate);
        EXPECT_NEAR(turn.radius.nautical_miles(), radius, radius * 1e-4) << v;
        EXPECT_LE(turn.bank.degrees(), 25.0 + 1e-12) << v;
    }
}

// Trade-facts 7.2 [seen + computed]: 25 degrees of bank gives 3 degrees a second at 169.8 kt.
TEST(TruthTurn, TwentyFiveDegreesGiveStandardRateAt170Knots) {
    EXPECT_NEAR(turn_at_bank(Speed::knots(169.8), Angle::degrees(25)).rate.degrees_per_second(), 3.0, 0.001);
    EXPECT_EQ(planned_turn(Speed::knots(169)).rate, standard_rate);
    EXPECT_LT(planned_turn(Speed::knots(171)).rate, standard_rate);
}

// Trade-facts 7.2 [seen]: standard rate is 360 degrees in two minutes.
TEST(TruthTurn, AFullCircleAtStandardRateTakesTwoMinutes) {
    EXPECT_NEAR(base::in_minutes(Angle::degrees(360) / standard_rate), 2.0, 1e-12);
}

RC_GTEST_PROP(LawTurn, TheRateOfABankTakesThatBank, ()) {
    const Speed tas = Speed::knots(*rc::gen::inRange(40, 600));
    const Angle bank = Angle::degrees(*rc::gen::inRange(1, 80));
    const Turn there = turn_at_bank(tas, bank);
    const Turn back = turn_at_rate(tas, there.rate);
    RC_ASSERT(std::abs(back.bank.degrees() - bank.degrees()) < 1e-9);
    RC_ASSERT(std::abs(back.radius / there.radius - 1.0) < 1e-9);
}

}  // namespace omniway::aircraft
