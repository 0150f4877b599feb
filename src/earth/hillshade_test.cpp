#include "earth/hillshade.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::earth {

using base::Length;

namespace {

NineHeights heights(const std::array<double, 9>& metres, double spacing_m = 30.0) {
    return {metres, Length::metres(spacing_m), Length::metres(spacing_m)};
}

// As gdaldem's documentation and Burrough & McDonnell print it, in slope and aspect; the program gives 1 + 254 times it, here without.
double by_slope_and_aspect(const NineHeights& given, double zenith_deg, double azimuth_deg) {
    const auto& z = given.metres;
    const double dx = ((z[2] + 2 * z[5] + z[8]) - (z[0] + 2 * z[3] + z[6])) / (8 * given.eastward.metres());
    const double dy = ((z[6] + 2 * z[7] + z[8]) - (z[0] + 2 * z[1] + z[2])) / (8 * given.southward.metres());
    const double slope = std::atan(std::hypot(dx, dy));
    const double aspect = std::atan2(dy, -dx);  // counted as the mathematical angle
    const double zenith = zenith_deg * std::numbers::pi / 180.0;
    const double azimuth = (360.0 - azimuth_deg + 90.0) * std::numbers::pi / 180.0;
    return std::max(
        std::cos(zenith) * std::cos(slope) + std::sin(zenith) * std::sin(slope) * std::cos(azimuth - aspect),
        0.0);
}

}  // namespace

// The worked example that vendors of terrain software print for Horn's method (memory): a 3 x 3 window of 5 m cells, light from 315 degrees, 45
// above the horizon, is 154 of 255.
TEST(TruthHillshade, AgreesWithThePublishedWorkedExample) {
    const NineHeights window = heights({2450, 2461, 2483, 2452, 2461, 2483, 2447, 2455, 2477}, 5.0);
    EXPECT_NEAR(255.0 * hillshade(window), 154.0, 0.5);
}

// Lambert's law on planes whose angle to the light is plain.
TEST(TruthHillshade, APlaneIsAsBrightAsTheCosineOfItsAngleToTheLight) {
    const double across = 30.0 * std::numbers::sqrt2 /
                          2.0;  // a step east rises so much on a slope of 45 degrees that faces north-west
    EXPECT_NEAR(hillshade(heights({5, 5, 5, 5, 5, 5, 5, 5, 5})), std::numbers::sqrt2 / 2.0, 1e-12);
    // Rising to the south-east it faces the light; rising to the north-west it lies in it, edge on.
    EXPECT_NEAR(hillshade(heights({0, across, 2 * across, across, 2 * across, 3 * across, 2 * across,
                                   3 * across, 4 * across})),
                1.0, 1e-12);
    EXPECT_NEAR(hillshade(heights({4 * across, 3 * across, 2 * across, 3 * across, 2 * across, across,
                                   2 * across, across, 0})),
                0.0, 1e-12);
}

RC_GTEST_PROP(LawHillshade, IsTheFormulaInSlopeAndAspect, ()) {
    NineHeights drawn = heights({});
    for (double& metres : drawn.metres) {
        metres = *rc::gen::inRange(-50, 4000);
    }
    drawn.eastward = Length::metres(*rc::gen::inRange(20, 3000));
    drawn.southward = Length::metres(*rc::gen::inRange(20, 3000));
    RC_ASSERT(std::abs(hillshade(drawn) - by_slope_and_aspect(drawn, 45.0, 315.0)) < 1e-9);
}

}  // namespace omniway::earth
