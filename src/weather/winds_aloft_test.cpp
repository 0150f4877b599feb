#include "weather/winds_aloft.hpp"

#include <cmath>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "base/contract.hpp"

namespace omniway::weather {

using base::Altitude;
using base::Speed;
using base::TrueBearing;

namespace {

Wind wind(double from_deg, double knots) {
    return {TrueBearing::degrees(from_deg), Speed::knots(knots)};
}

}  // namespace

TEST(WindsAloft, OneWindBlowsAtEveryAltitude) {
    const WindsAloft winds = wind(270, 20);
    EXPECT_EQ(winds.at(Altitude::feet(0)), wind(270, 20));
    EXPECT_EQ(winds.at(Altitude::feet(30000)), wind(270, 20));
}

// Halfway between a north wind of 20 kt and an east wind of 20 kt the vectors add to 14.14 kt from the north-east.
TEST(WindsAloft, BetweenTwoLevelsTheVectorsAreMixed) {
    const WindsAloft winds({{Altitude::feet(3000), wind(360, 20)}, {Altitude::feet(9000), wind(90, 20)}});
    const Wind between = winds.at(Altitude::feet(6000));
    EXPECT_NEAR(between.from.degrees(), 45.0, 1e-9);
    EXPECT_NEAR(between.speed.knots(), 14.142, 0.001);
    EXPECT_EQ(winds.at(Altitude::feet(1000)), wind(360, 20));
    EXPECT_EQ(winds.at(Altitude::feet(9000)), wind(90, 20));
}

TEST(CaseWindsAloft, LevelsAreReadAsTheyAreTyped) {
    const auto levels = parse_winds_aloft("3000 270/20, 9000 290/35 ,12000  300/45", "--winds");
    ASSERT_TRUE(levels);
    ASSERT_EQ(levels->size(), 3U);
    EXPECT_EQ(levels->at(1), (WindAt{Altitude::feet(9000), wind(290, 35)}));
    const auto fault = [](const char* text) {
        const auto read = parse_winds_aloft(text, "--winds");
        return read ? base::Error{} : read.error();
    };
    for (const char* text :
         {"", ",", "270/20", "3000", "3000 ", "3000ft 270/20", "3000 270/20,", "FL90 270/20"}) {
        EXPECT_EQ(fault(text).code, "weather.winds_form") << text;
        EXPECT_EQ(fault(text).where, "--winds");
    }
    EXPECT_EQ(fault("3000 270").code, "weather.wind_form");
    EXPECT_EQ(fault("3000 270/400").code, "weather.wind_speed_out_of_range");
    EXPECT_EQ(fault("61000 270/20").code, "weather.level_out_of_range");
    EXPECT_EQ(fault("99999999999 270/20").code, "weather.level_out_of_range");
    EXPECT_EQ(fault("9000 270/20, 3000 270/20").code, "weather.levels_not_ascending");
    EXPECT_THAT(fault("9000 270/20, 3000 270/20").message, ::testing::HasSubstr("3,000 ft follows 9,000 ft"));
    EXPECT_EQ(fault("9000 270/20, 9000 270/20").code, "weather.levels_not_ascending");
}

TEST(CaseWindsAloft, TheSurfaceWindLiesOnTheGroundAndHidesWhatIsBelow) {
    const std::vector<WindAt> levels{{Altitude::feet(3000), wind(270, 20)},
                                     {Altitude::feet(9000), wind(290, 35)}};
    const Wind gusty{TrueBearing::degrees(240), Speed::knots(10), Speed::knots(20)};
    const WindsAloft low = above_the_surface(gusty, Altitude::feet(500), levels);
    EXPECT_EQ(low.surface(), gusty);
    EXPECT_EQ(to_text(low), "240/10G20, 3,000 ft 270/20, 9,000 ft 290/35");
    const WindsAloft high = above_the_surface(gusty, Altitude::feet(6000), levels);
    EXPECT_EQ(to_text(high), "240/10G20, 9,000 ft 290/35");
    const WindsAloft none = above_the_surface(std::nullopt, Altitude::feet(500), levels);
    EXPECT_EQ(none.at(Altitude::feet(0)), wind(270, 20));
    EXPECT_TRUE(WindsAloft().same_everywhere());
    EXPECT_EQ(WindsAloft().at(Altitude::feet(9000)).speed.knots(), 0.0);
}

TEST(CaseWindsAloft, LevelsOutOfOrderBreakTheContract) {
    EXPECT_THROW(WindsAloft({{Altitude::feet(9000), wind(270, 20)}, {Altitude::feet(3000), wind(270, 20)}}),
                 base::ContractViolation);
}

// Mixed as vectors, nothing between two levels is stronger than the stronger of them, and at a level it is that level's.
RC_GTEST_PROP(LawWindsAloft, BetweenTwoLevelsNoneIsStrongerThanBoth, ()) {
    const Wind low = wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(1, 100));
    const Wind high = wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(1, 100));
    const WindsAloft winds({{Altitude::feet(3000), low}, {Altitude::feet(9000), high}});
    const Wind between = winds.at(Altitude::feet(*rc::gen::inRange(3000, 9001)));
    RC_ASSERT(between.speed <= std::max(low.speed, high.speed) + Speed::knots(1e-9));
    RC_ASSERT(std::abs((winds.at(Altitude::feet(3000)).from - low.from).degrees()) < 1e-9);
}

}  // namespace omniway::weather
