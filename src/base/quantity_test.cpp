#include "base/quantity.hpp"

#include <cmath>
#include <type_traits>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "base/pressure.hpp"
#include "base/temperature.hpp"

namespace omniway::base {
namespace {

// What does not compile is in tests/refused/quantities.cpp.

// ICAO Annex 5, chapter 3 [figures from memory]: the nautical mile is 1 852 metres, the foot 0.304 8 metres, exactly; the knot is
// one nautical mile an hour, 0.514 444 metres a second.
TEST(TruthUnits, NauticalMilesFeetAndKnotsAreThoseOfAnnexFive) {
    EXPECT_EQ(Length::nautical_miles(1.0).metres(), 1852.0);
    EXPECT_EQ(Length::feet(1.0).metres(), 0.3048);
    EXPECT_NEAR(Speed::knots(1.0).metres_per_second(), 0.514444, 0.0000005);
    EXPECT_EQ(Speed::knots(3600.0).metres_per_second(), 1852.0);
}

// FAA-H-8083-15, Instrument Flying Handbook [from memory]: a nautical mile is 6,076.1 feet.
TEST(TruthUnits, ANauticalMileIs6076Feet) {
    EXPECT_NEAR(Length::nautical_miles(1.0).feet(), 6076.1155, 0.00005);
}

// ICAO Annex 5 [from memory]: 100 feet a minute is 0.508 metres a second, exactly.
TEST(TruthUnits, AHundredFeetAMinuteIsHalfAMetreASecond) {
    EXPECT_NEAR(VerticalSpeed::feet_per_minute(100.0).metres_per_second(), 0.508, 1e-15);
}

// The international pound: 0.453 592 37 kilograms, exactly (ICAO Annex 5 [from memory]).
TEST(TruthUnits, ThePoundIsTheInternationalOne) {
    EXPECT_EQ(Mass::pounds(1.0).kilograms(), 0.45359237);
    EXPECT_NEAR(Mass::kilograms(1.0).pounds(), 2.204623, 0.0000005);
}

TEST(TruthUnits, AHalfTurnIsPiRadians) {
    EXPECT_EQ(Angle::degrees(180.0).radians(), 3.14159265358979323846);
    EXPECT_EQ(Angle::radians(3.14159265358979323846).degrees(), 180.0);
}

// ICAO Doc 7488, Manual of the Standard Atmosphere: 1 013.25 hPa, 15 degrees Celsius, 288.15 K at sea level; 29.921 3 inches.
TEST(TruthUnits, TheStandardSeaLevelReadsAlikeInItsUnits) {
    EXPECT_NEAR(Pressure::hectopascals(1013.25).inches_of_mercury(), 29.9213, 0.00005);
    EXPECT_EQ(Pressure::hectopascals(1013.25).pascals(), 101325.0);
    EXPECT_EQ(Temperature::celsius(15.0).kelvin(), 288.15);
    EXPECT_EQ(Temperature(), Temperature::celsius(0.0));
}

TEST(CaseFrequency, KilohertzAndMegahertzAreOneKind) {
    EXPECT_EQ(Frequency::megahertz(1.0), Frequency::kilohertz(1000.0));
    EXPECT_EQ(113.5_mhz, Frequency::megahertz(113.5));
    EXPECT_EQ((382_khz).kilohertz(), 382.0);
}

TEST(CaseQuantity, LiteralsAreWhatTheySay) {
    EXPECT_EQ(12_nm, Length::nautical_miles(12.0));
    EXPECT_EQ(12.5_nm, Length::nautical_miles(12.5));
    EXPECT_EQ(3500_ft, Length::feet(3500.0));
    EXPECT_EQ(3500.5_ft, Length::feet(3500.5));
    EXPECT_EQ(100_m, Length::metres(100.0));
    EXPECT_EQ(0.5_m, Length::metres(0.5));
    EXPECT_EQ(110_kt, Speed::knots(110.0));
    EXPECT_EQ(110.5_kt, Speed::knots(110.5));
    EXPECT_EQ(30_deg, Angle::degrees(30.0));
    EXPECT_EQ(4.5_deg, Angle::degrees(4.5));
}

TEST(CaseQuantity, NothingIsZeroBeforeItIsSet) {
    EXPECT_EQ(Length().metres(), 0.0);
    EXPECT_EQ(MassFlow().pounds_per_hour(), 0.0);
}

TEST(CaseQuantity, SumsAndMultiplesKeepTheKind) {
    Length sum = 3_nm + 2_nm;
    sum += 1_nm;
    sum -= 2_nm;
    EXPECT_NEAR(sum.nautical_miles(), 4.0, 1e-15);
    EXPECT_EQ(-(3_nm), 3_nm - 6_nm);
    EXPECT_EQ(2.0 * 3_nm, 3_nm * 2.0);
    EXPECT_EQ(6_nm / 2.0, 3_nm);
    EXPECT_EQ(6_nm / 3_nm, 2.0);
    EXPECT_EQ(abs(-3_nm), 3_nm);
    EXPECT_LT(-3_nm, 2_nm);
}

// Flown every day: 120 knots for half an hour is 60 NM; 500 feet a minute climbs 3,000 feet in six minutes; 60 pounds an hour
// burns 10 in ten minutes.
TEST(CaseQuantity, TheProductsOfFlightComeOutAsOnTheKneeboard) {
    EXPECT_NEAR((120_kt * minutes(30.0)).nautical_miles(), 60.0, 1e-12);
    EXPECT_NEAR((minutes(30.0) * 120_kt).nautical_miles(), 60.0, 1e-12);
    EXPECT_NEAR(in_minutes(60_nm / 120_kt), 30.0, 1e-12);
    EXPECT_NEAR((60_nm / minutes(30.0)).knots(), 120.0, 1e-12);
    EXPECT_NEAR(in_minutes(3000_ft / VerticalSpeed::feet_per_minute(500.0)), 6.0, 1e-12);
    EXPECT_NEAR((MassFlow::pounds_per_hour(60.0) * minutes(10.0)).pounds(), 10.0, 1e-12);
}

// "One in sixty" is nearly right: one degree at 60 NM is 1.047 NM across.
TEST(CaseAngle, OneDegreeAtSixtyMilesIsAboutAMile) {
    EXPECT_NEAR((60_nm * tan(1_deg)).nautical_miles(), 1.047, 0.0005);
    EXPECT_NEAR(sin(30_deg), 0.5, 1e-15);
    EXPECT_NEAR(cos(60_deg), 0.5, 1e-15);
}

TEST(CaseQuantity, CostsNoMoreThanItsNumber) {
    static_assert(sizeof(Length) == sizeof(double));
    static_assert(std::is_trivially_copyable_v<Speed>);
    static_assert(!std::is_convertible_v<double, Length>);
    static_assert(!std::is_convertible_v<Length, double>);
}

// One rounding on the way in and one on the way out: two parts in 2^53 each.
RC_GTEST_PROP(LawQuantity, WhatGoesInComesOutToTwoRoundings, (double value)) {
    RC_PRE(std::isfinite(value));
    RC_PRE(std::abs(value) < 1e300);
    RC_PRE(std::abs(value) > 1e-300);
    const auto returns = [&](double out) { return std::abs(out - value) <= 4.5e-16 * std::abs(value); };
    RC_ASSERT(returns(Length::nautical_miles(value).nautical_miles()));
    RC_ASSERT(returns(Length::feet(value).feet()));
    RC_ASSERT(returns(Angle::degrees(value).degrees()));
    RC_ASSERT(returns(Mass::pounds(value).pounds()));
    RC_ASSERT(returns(Pressure::inches_of_mercury(value).inches_of_mercury()));
    RC_ASSERT(returns(Frequency::megahertz(value).megahertz()));
}

}  // namespace
}  // namespace omniway::base
