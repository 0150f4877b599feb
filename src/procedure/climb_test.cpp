#include "procedure/climb.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/sketch_aircraft.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Length;
using base::Speed;
using base::TrueBearing;

namespace {

const aircraft::Aircraft drawn_twin = omniway::testing::aircraft_with({});

ClimbInWind climb_in(double from_deg, double wind_kt) {
    return {&drawn_twin.performance, weather::Wind{TrueBearing::degrees(from_deg), Speed::knots(wind_kt)}};
}

}  // namespace

// By hand: 1,500 ft/min at sea level falling to 100 at 18,000 ft is 1,484 on average over the first 400 ft: 0.2695 min. At 110 kt
// indicated, 110.3 true, climbing at asin(1484/11172) = 7.6 degrees, 109.3 over the ground, less 30 of headwind: 79.3 kt, 0.356 NM.
// trade-facts 7.3: ft/NM = ft/min * 60 / GS = 1,123.
TEST(TruthClimb, FourHundredFeetIntoThirtyKnotsAreClimbedIn0356Miles) {
    const Length out =
        distance_to_climb(climb_in(90, 30), TrueBearing::degrees(90), Altitude::feet(0), Altitude::feet(400));
    EXPECT_NEAR(out.nautical_miles(), 0.356, 0.001);
    EXPECT_NEAR(feet_per_nautical_mile(Length::feet(400), out), 1123, 4);
}

// trade-facts 7.3, table: 200 ft/NM at 120 kt is 400 ft/min; 300 at 90 is 450.
TEST(TruthClimb, GradientsAreThoseOfThePublishedTable) {
    EXPECT_NEAR(feet_per_nautical_mile(Length::feet(400), Speed::knots(120) * base::minutes(1.0)), 200, 1e-9);
    EXPECT_NEAR(feet_per_nautical_mile(Length::feet(450), Speed::knots(90) * base::minutes(1.0)), 300, 1e-9);
}

// 1,500 ft at 1,443 ft/min on average take 1.04 min: in still air at 110 kt 1.91 NM, 784 ft/NM; with 60 kt behind 2.95 NM, 508.
TEST(TruthClimb, ATailwindTakesFeetFromEachMile) {
    const TrueBearing east = TrueBearing::degrees(90);
    EXPECT_NEAR(first_gradient_ft_per_nm(climb_in(90, 0), east, Altitude::feet(0)), 784, 4);
    EXPECT_NEAR(first_gradient_ft_per_nm(climb_in(270, 60), east, Altitude::feet(0)), 508, 4);
}

TEST(CaseClimb, AHoldTakesFourMinutesACircuitAndFiveAbove14000Feet) {
    EXPECT_DOUBLE_EQ(base::in_minutes(circuit_time(Altitude::feet(14000))), 4.0);
    EXPECT_DOUBLE_EQ(base::in_minutes(circuit_time(Altitude::feet(14001))), 5.0);
}

RC_GTEST_PROP(LawClimb, InStillAirItIsTheClimbOfTheAircraft, ()) {
    const double low = *rc::gen::inRange(0, 8000), high = low + *rc::gen::inRange(100, 6000);
    const Length out = distance_to_climb(climb_in(0, 0), TrueBearing::degrees(40), Altitude::feet(low),
                                         Altitude::feet(high));
    const Length alone =
        aircraft::climb_between(drawn_twin.performance, Altitude::feet(low), Altitude::feet(high)).distance;
    RC_ASSERT(std::abs(out / alone - 1.0) < 0.001);
}

RC_GTEST_PROP(LawClimb, AfterTheDistanceOfAClimbItsAltitudeIsReached, ()) {
    const ClimbInWind climb = climb_in(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 60));
    const TrueBearing track = TrueBearing::degrees(*rc::gen::inRange(0, 360));
    const Altitude low = Altitude::feet(*rc::gen::inRange(0, 8000));
    const Altitude high = low + Length::feet(*rc::gen::inRange(50, 6000));
    const Length out = distance_to_climb(climb, track, low, high);
    RC_ASSERT(std::abs((altitude_after(climb, track, low, out) - high).feet()) < 10.0);
}

}  // namespace omniway::procedure
