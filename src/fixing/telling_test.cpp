#include "fixing/telling.hpp"

#include <gtest/gtest.h>

namespace omniway::fixing {

using base::Angle;
using base::Length;

// trade-facts 3.2, table "Error along the tracked course from a crossing radial" (far side, TERPS 3.6 degrees),
// [computed] there from the law of sines; VOR crossing tolerance [seen].
TEST(TruthTelling, ACrossingRadialErrsAsTheTableOfTolerancesSays) {
    const Angle vor = Angle::degrees(3.6);
    EXPECT_NEAR(crossing_error(Length::nautical_miles(30), Angle::degrees(90), vor).nautical_miles(), 1.89,
                0.01);
    EXPECT_NEAR(crossing_error(Length::nautical_miles(30), Angle::degrees(60), vor).nautical_miles(), 2.26,
                0.01);
    EXPECT_NEAR(crossing_error(Length::nautical_miles(30), Angle::degrees(45), vor).nautical_miles(), 2.85,
                0.01);
    EXPECT_NEAR(crossing_error(Length::nautical_miles(20), Angle::degrees(90), vor).nautical_miles(), 1.26,
                0.01);
    EXPECT_NEAR(crossing_error(Length::nautical_miles(45), Angle::degrees(45), vor).nautical_miles(), 4.27,
                0.01);
    EXPECT_NEAR(crossing_error(Length::nautical_miles(20), Angle::degrees(30), vor).nautical_miles(), 2.82,
                0.01);
}

// PANS-OPS Vol I I-2-2 2.4.2 (trade-facts 3.2, [seen], values [computed]).
TEST(TruthTelling, ADmeErrsByAQuarterMileAndOneAndAQuarterPercent) {
    EXPECT_NEAR(dme_error(Length::nautical_miles(5)).nautical_miles(), 0.31, 0.005);
    EXPECT_NEAR(dme_error(Length::nautical_miles(20)).nautical_miles(), 0.50, 0.001);
    EXPECT_NEAR(dme_error(Length::nautical_miles(60)).nautical_miles(), 1.00, 0.001);
    EXPECT_NEAR(dme_error(Length::nautical_miles(130)).nautical_miles(), 1.875, 0.001);
}

}  // namespace omniway::fixing
