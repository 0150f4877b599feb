#include "base/altitude.hpp"

#include <gtest/gtest.h>

namespace omniway::base {
namespace {

// What does not compile is in tests/refused/altitudes.cpp.

TEST(CaseLevel, TheDifferenceOfTwoAltitudesIsALength) {
    EXPECT_NEAR((Altitude::feet(5000.0) - Altitude::feet(1200.0)).feet(), 3800.0, 1e-9);
    EXPECT_NEAR((Altitude::feet(1200.0) - Altitude::feet(5000.0)).feet(), -3800.0, 1e-9);
}

TEST(CaseLevel, AltitudesCompareByHeightAboveTheirDatum) {
    EXPECT_LT(Altitude::feet(3500.0), Altitude::metres(1100.0));
    EXPECT_EQ(Altitude::feet(3500.0), Altitude::above_datum(3500_ft));
    EXPECT_GT(PressureAltitude::feet(18000.0), PressureAltitude::feet(-500.0));
}

TEST(CaseLevel, ALengthMovesALevelUpAndDown) {
    EXPECT_NEAR((Altitude::feet(400.0) + 1000_ft).feet(), 1400.0, 1e-9);
    EXPECT_NEAR((Height::feet(400.0) - 100_ft).feet(), 300.0, 1e-9);
}

// ICAO Annex 5 [from memory]: the foot is 0.304 8 m; the tropopause of the standard atmosphere, 11 000 m, is 36 089 ft.
TEST(TruthLevel, TheTropopauseIsAt36089Feet) {
    EXPECT_NEAR(PressureAltitude::metres(11000.0).feet(), 36089.24, 0.005);
    EXPECT_EQ(PressureAltitude::metres(11000.0).metres(), 11000.0);
}

TEST(CaseLevel, BelowTheDatumIsNegative) {
    EXPECT_LT(Altitude::feet(-1400.0), Altitude());
    EXPECT_EQ(Altitude().above_datum(), Length());
}

}  // namespace
}  // namespace omniway::base
