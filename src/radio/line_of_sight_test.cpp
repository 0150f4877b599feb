#include "radio/line_of_sight.hpp"

#include <array>
#include <cmath>
#include <utility>

#include <gtest/gtest.h>

namespace omniway::radio {

using base::Length;

// trade-facts 2: published worked answer of the EASA question bank, [seen], and the table of 1.23 sqrt h, [computed].
TEST(TruthLineOfSight, AVorAt313MetresReaches149MilesAtFlightLevel80) {
    EXPECT_NEAR(line_of_sight(Length::feet(8000), Length::metres(313)).nautical_miles(), 149.0, 0.5);
}

TEST(TruthLineOfSight, AgreesWithTheHandbookTableOfHorizonDistances) {
    constexpr std::array<std::pair<double, double>, 23> table = {
        {{100, 12.3},    {500, 27.5},    {1000, 38.9},   {1500, 47.6},   {2000, 55.0},   {3000, 67.4},
         {4000, 77.8},   {5000, 87.0},   {6000, 95.3},   {8000, 110.0},  {10000, 123.0}, {12000, 134.7},
         {12900, 139.7}, {14500, 148.1}, {15000, 150.6}, {18000, 165.0}, {20000, 173.9}, {25000, 194.5},
         {30000, 213.0}, {35000, 230.1}, {40000, 246.0}, {45000, 260.9}, {0, 0.0}}};
    for (const auto& [feet, nautical_miles] : table) {
        EXPECT_NEAR(line_of_sight(Length::feet(feet), Length::feet(0)).nautical_miles(), nautical_miles, 0.06)
            << feet;
    }
}

// trade-facts 2: on a sphere of 4/3 the mean radius, 6,371.0088 km, the tangent from a height reaches 1.22873 root h ([computed]
// there; here from the arc whose cosine is R / (R + h)). The formula is within 0.21 % of it up to 60,000 ft.
TEST(TruthLineOfSight, AgreesWithTheTangentOfAFourThirdsEarth) {
    const double radius_m = 4.0 / 3.0 * 6'371'008.8;
    for (const double feet : {10.0, 100.0, 1000.0, 10000.0, 30000.0, 60000.0}) {
        const double exact_m = radius_m * std::acos(radius_m / (radius_m + feet * 0.3048));
        const double found_m = line_of_sight(Length::feet(feet), Length()).metres();
        EXPECT_NEAR(found_m / exact_m, 1.0, 0.0021) << feet;
        EXPECT_NEAR(exact_m / 1852.0 / std::sqrt(feet), 1.22873, 0.0016) << feet;
    }
}

}  // namespace omniway::radio
