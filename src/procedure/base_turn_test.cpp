#include "procedure/base_turn.hpp"

#include <gtest/gtest.h>

namespace omniway::procedure {
namespace {

using namespace base::literals;

// PANS-OPS II table I-4-3-App C-1 (trade-facts 8.4, seen and recomputed): IAS 140, 6 000 ft, ISA+15, 2 minutes, an NDB at sea
// level. Tolerances are half a unit of the last printed figure.
BaseTurnLines published() {
    return base_turn_lines({.indicated = weather::CalibratedAirspeed::knots(140.0),
                            .altitude = base::Altitude::feet(6000.0),
                            .above_standard_k = 15.0,
                            .outbound = base::minutes(2.0),
                            .aid = OverheadAid::ndb,
                            .aid_elevation = base::Altitude::feet(0.0)});
}

TEST(TruthBaseTurnLines, SpeedFactorIs1Point1231) {
    EXPECT_NEAR(published().speed_factor, 1.1231, 0.00005);
}

TEST(TruthBaseTurnLines, TrueAirspeedIs157Point23KnotsWhichIs0Point0437MilesASecond) {
    EXPECT_NEAR(published().true_airspeed.knots(), 157.23, 0.01);
    EXPECT_NEAR(published().true_airspeed.knots() / 3600.0, 0.0437, 0.00005);
}

TEST(TruthBaseTurnLines, RateIs3Point24AndSoLimitedToThree) {
    EXPECT_NEAR(published().rate_at_bank.degrees_per_second(), 3.24, 0.005);
    EXPECT_NEAR(published().rate.degrees_per_second(), 3.0, 1e-12);
}

TEST(TruthBaseTurnLines, RadiusIs0Point83Miles) {
    EXPECT_NEAR(published().radius.nautical_miles(), 0.83, 0.005);
}

TEST(TruthBaseTurnLines, WindIs59KnotsWhichIs0Point0164MilesASecond) {
    EXPECT_NEAR(published().wind.knots(), 59.0, 1e-9);
    EXPECT_NEAR(published().wind.knots() / 3600.0, 0.0164, 0.00005);
}

TEST(TruthBaseTurnLines, DriftForADegreeIs0Point00546Miles) {
    EXPECT_NEAR(published().drift_for_degree.nautical_miles(), 0.00546, 0.000005);
}

TEST(TruthBaseTurnLines, AngleIs18Degrees) {
    EXPECT_NEAR(published().angle.degrees(), 18.0, 1e-9);
}

TEST(TruthBaseTurnLines, OverheadToleranceIs0Point83Miles) {
    EXPECT_NEAR(published().overhead_tolerance.nautical_miles(), 0.83, 0.005);
    // The same line in its own form: 0.164 x 6 x tan 40.
    EXPECT_NEAR(published().overhead_tolerance.nautical_miles(), 0.164 * 6.0 * 0.8391, 0.005);
}

TEST(TruthBaseTurnLines, OutboundLengthIs5Point24Miles) {
    EXPECT_NEAR(published().outbound_length.nautical_miles(), 5.24, 0.005);
}

TEST(TruthBaseTurnLines, ShortestPointIs2Point31Miles) {
    EXPECT_NEAR(published().shortest.nautical_miles(), 2.31, 0.005);
}

TEST(TruthBaseTurnLines, FarthestPointIs9Point30Miles) {
    EXPECT_NEAR(published().farthest.nautical_miles(), 9.30, 0.006);
}

TEST(TruthBaseTurnLines, DriftsIn50And100And190And235Degrees) {
    const BaseTurnLines lines = published();
    EXPECT_NEAR(lines.drift(50_deg).nautical_miles(), 0.27, 0.005);
    EXPECT_NEAR(lines.drift(100_deg).nautical_miles(), 0.55, 0.005);
    EXPECT_NEAR(lines.drift(190_deg).nautical_miles(), 1.04, 0.005);
    EXPECT_NEAR(lines.drift(235_deg).nautical_miles(), 1.28, 0.005);
}

// Trade-facts 8.4 (computed from the published formula): 90 kt, 2 min: 18 degrees; 180 kt, 2 min: 19.4.
TEST(TruthBaseTurnAngle, IsThirtySixByTheMinutesTo170KnotsAndGrowsWithSpeedAbove) {
    EXPECT_NEAR(base_turn_angle(90_kt, base::minutes(2.0)).degrees(), 18.0, 1e-9);
    EXPECT_NEAR(base_turn_angle(180_kt, base::minutes(2.0)).degrees(), 19.4, 0.05);
    EXPECT_NEAR(base_turn_angle(170_kt, base::minutes(3.0)).degrees(), 12.0, 1e-9);
    // The two formulas agree at 170 kt to half a percent or so: 0.215 x 170 = 36.55.
    EXPECT_NEAR(base_turn_angle(170.001_kt, base::minutes(1.0)).degrees(), 36.55, 0.01);
}

// PANS-OPS I-2-2: the cone over a VOR is 50 degrees from the vertical (trade-facts 2).
TEST(TruthBaseTurnLines, OverAVorTheToleranceIsHTangentOfFiftyAboveTheAid) {
    const BaseTurnLines lines = base_turn_lines({.indicated = weather::CalibratedAirspeed::knots(140.0),
                                                 .altitude = base::Altitude::feet(6000.0),
                                                 .above_standard_k = 15.0,
                                                 .outbound = base::minutes(2.0),
                                                 .aid = OverheadAid::vor,
                                                 .aid_elevation = base::Altitude::feet(1000.0)});
    EXPECT_NEAR(lines.overhead_tolerance.nautical_miles(), 5000.0 / 6076.1155 * 1.19175, 1e-3);
}

}  // namespace
}  // namespace omniway::procedure
