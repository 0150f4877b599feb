#include "radio/line_of_sight.hpp"

#include <array>
#include <utility>

#include <gtest/gtest.h>

namespace omniway::radio {

using base::Length;

// trade-facts 2: published worked answer of the EASA question bank, [seen], and the table of 1.23 sqrt h, [computed].
TEST(TruthLineOfSight, AVorAt313MetresReaches149MilesAtFlightLevel80) {
    EXPECT_NEAR(line_of_sight(Length::feet(8000), Length::metres(313)).nautical_miles(), 149.0, 0.5);
}

TEST(TruthLineOfSight, AgreesWithTheHandbookTableOfHorizonDistances) {
    constexpr std::array<std::pair<double, double>, 9> table = {{{100, 12.3},
                                                                 {500, 27.5},
                                                                 {1000, 38.9},
                                                                 {3000, 67.4},
                                                                 {5000, 87.0},
                                                                 {10000, 123.0},
                                                                 {18000, 165.0},
                                                                 {30000, 213.0},
                                                                 {45000, 260.9}}};
    for (const auto& [feet, nautical_miles] : table) {
        EXPECT_NEAR(line_of_sight(Length::feet(feet), Length::feet(0)).nautical_miles(), nautical_miles, 0.06)
            << feet;
    }
}

}  // namespace omniway::radio
