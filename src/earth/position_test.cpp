#include "earth/position.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "tests/random_positions.hpp"

namespace omniway::earth {
namespace {

TEST(CasePosition, AWholeTurnOfLongitudeIsTheSamePlace) {
    EXPECT_EQ(Position::degrees(10.0, 190.0), Position::degrees(10.0, -170.0));
    EXPECT_EQ(Position::degrees(10.0, 180.0), Position::degrees(10.0, -180.0));
    EXPECT_EQ(Position::degrees(10.0, -190.0), Position::degrees(10.0, 170.0));
    EXPECT_EQ(Position::degrees(10.0, 725.0), Position::degrees(10.0, 5.0));
    EXPECT_EQ(Position::degrees(10.0, 285.90344).longitude_deg(), 285.90344 - 360.0);
}

TEST(CasePosition, LongitudeStaysInRangeHoweverLittleItMisses) {
    const double least_below = std::nextafter(-180.0, -200.0);
    const double longitude = Position::degrees(0.0, least_below).longitude_deg();
    EXPECT_GE(longitude, -180.0);
    EXPECT_LT(longitude, 180.0);
}

TEST(CasePosition, LongitudeInRangeIsKeptToTheLastBit) {
    EXPECT_EQ(Position::degrees(0.0, 0.1 + 0.2).longitude_deg(), 0.1 + 0.2);
    EXPECT_EQ(Position::degrees(0.0, -1e-300).longitude_deg(), -1e-300);
}

TEST(CasePosition, ALatitudeOutOfRangeIsRefusedWithValueAndRange) {
    const auto refused = Position::make(90.5, 0.0, "line 3");
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, "earth.latitude_out_of_range");
    EXPECT_EQ(refused.error().message, "latitude 90.5 degrees is outside -90 to 90");
    EXPECT_EQ(refused.error().where, "line 3");
    EXPECT_FALSE(Position::make(-90.1, 0.0, ""));
    EXPECT_FALSE(Position::make(std::numeric_limits<double>::quiet_NaN(), 0.0, ""));
}

TEST(CasePosition, ALongitudeOutOfRangeIsRefusedWithValueAndRange) {
    const auto refused = Position::make(0.0, -180.25, "line 4");
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error().code, "earth.longitude_out_of_range");
    EXPECT_EQ(refused.error().message, "longitude -180.25 degrees is outside -180 to 180");
    EXPECT_EQ(refused.error().where, "line 4");
    EXPECT_FALSE(Position::make(0.0, std::numeric_limits<double>::infinity(), ""));
    EXPECT_FALSE(Position::make(0.0, std::numeric_limits<double>::quiet_NaN(), ""));
}

TEST(CasePosition, ThePolesAndTheAntimeridianAreInRange) {
    EXPECT_TRUE(Position::make(90.0, 180.0, ""));
    EXPECT_TRUE(Position::make(-90.0, -180.0, ""));
}

TEST(CasePosition, ALatitudeOutOfRangeFromOurOwnCodeIsABug) {
    EXPECT_THROW(Position::degrees(90.001, 0.0), base::ContractViolation);
    EXPECT_THROW(Position::degrees(std::numeric_limits<double>::quiet_NaN(), 0.0), base::ContractViolation);
    EXPECT_THROW(Position::degrees(0.0, std::numeric_limits<double>::infinity()), base::ContractViolation);
}

TEST(CasePosition, TextGivesDegreesAndHundredthsOfAMinute) {
    EXPECT_EQ(to_text(Position::degrees(40.0 + 37.97 / 60.0, -(73.0 + 46.28 / 60.0))),
              "40°37.97'N 073°46.28'W");
    EXPECT_EQ(to_text(Position::degrees(-33.0, 151.5)), "33°00.00'S 151°30.00'E");
    EXPECT_EQ(to_text(Position::degrees(90.0, 180.0)), "90°00.00'N 180°00.00'W");
}

TEST(CasePosition, TextNeverShowsSixtyMinutesNorANegativeZero) {
    EXPECT_EQ(to_text(Position::degrees(9.99999, 99.99999)), "10°00.00'N 100°00.00'E");
    EXPECT_EQ(to_text(Position::degrees(-0.00001, -0.00001)), "00°00.00'N 000°00.00'E");
}

TEST(CaseUnitVector, AxesPointWhereTheHeaderSays) {
    const auto at = [](double latitude, double longitude) {
        return unit_vector(Position::degrees(latitude, longitude));
    };
    EXPECT_NEAR(at(0.0, 0.0)[0], 1.0, 1e-15);
    EXPECT_NEAR(at(0.0, 90.0)[1], 1.0, 1e-15);
    EXPECT_NEAR(at(90.0, 12.0)[2], 1.0, 1e-15);
    EXPECT_NEAR(at(-90.0, 12.0)[2], -1.0, 1e-15);
}

// The header's bound, 0.6 %: the worst is a short line along a meridian at the equator, where the ellipsoid's radius of
// curvature is 6 335 439 m (a (1 - e^2), NIMA TR8350.2), 0.56 % less than the mean radius.
RC_GTEST_PROP(LawUnitVector, AngleTimesMeanRadiusIsWithinSixThousandthsOfTheGeodesic, ()) {
    const Position from = *testing::anywhere_and_at_the_edges();
    const double metres = *testing::between(1.0, 15000000.0);
    const Position to = destination(from, base::TrueBearing::degrees(*testing::between(0.0, 360.0)),
                                    base::Length::metres(metres));
    const auto a = unit_vector(from);
    const auto b = unit_vector(to);
    const double chord = std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    const double sphere_m = 6371008.8 * 2.0 * std::asin(std::min(1.0, chord / 2.0));
    RC_ASSERT(std::abs(sphere_m - metres) <= 0.006 * metres);
}

TEST(LawUnitVector, TheWorstLineUsesNearlyAllOfTheBound) {
    const double metres = 1000.0;
    const auto a = unit_vector(Position::degrees(0.0, 20.0));
    const auto b = unit_vector(destination(Position::degrees(0.0, 20.0), base::TrueBearing::degrees(0.0),
                                           base::Length::metres(metres)));
    const double sphere_m = 6371008.8 * std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
    EXPECT_NEAR(sphere_m / metres, 1.0056, 0.0001);
}

}  // namespace
}  // namespace omniway::earth
