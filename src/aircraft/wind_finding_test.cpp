#include "aircraft/wind_finding.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "aircraft/wind_triangle.hpp"

namespace omniway::aircraft {

using base::Speed;
using base::TrueBearing;

// Trade-facts 7.1. USN P-203: data [seen], answer [computed] there; the archived computer manual [seen]: course 094, crab 10 right,
// airspeed 165 and groundspeed 146 (one unit, whatever it is) give 154/34; half the last digit printed, and half a degree of what
// a hand sets on a disc.
TEST(TruthWindFinding, AgreesWithThePublishedWorkedExamples) {
    const weather::Wind navy =
        found_wind(TrueBearing::degrees(52), Speed::knots(250), TrueBearing::degrees(45), Speed::knots(220));
    EXPECT_NEAR(navy.from.degrees(), 92.0, 0.5);
    EXPECT_NEAR(navy.speed.knots(), 41.5, 0.05);
    const weather::Wind disc =
        found_wind(TrueBearing::degrees(104), Speed::knots(165), TrueBearing::degrees(94), Speed::knots(146));
    EXPECT_NEAR(disc.from.degrees(), 154.0, 1.0);
    EXPECT_NEAR(disc.speed.knots(), 34.0, 1.0);
}

RC_GTEST_PROP(LawWindFinding, FindsTheWindThatTheHeadingWasLaidOffFor, ()) {
    const TrueBearing course = TrueBearing::degrees(*rc::gen::inRange(0, 360));
    const Speed airspeed = Speed::knots(*rc::gen::inRange(60, 400));
    const weather::Wind wind{TrueBearing::degrees(*rc::gen::inRange(0, 360)),
                             Speed::knots(*rc::gen::inRange(1, 50))};
    const auto held = hold_course(course, airspeed, wind);
    RC_ASSERT(held.has_value());
    const weather::Wind found = found_wind(held->heading, airspeed, course, held->groundspeed);
    RC_ASSERT(std::abs((found.from - wind.from).degrees()) < 1e-6);
    RC_ASSERT(std::abs(found.speed.knots() - wind.speed.knots()) < 1e-9);
}

TEST(CaseWindFinding, WindsAddAsVectors) {
    const weather::Wind north{TrueBearing::degrees(360), Speed::knots(30)};
    const weather::Wind east{TrueBearing::degrees(90), Speed::knots(40)};
    EXPECT_NEAR(added(north, east).speed.knots(), 50.0, 1e-9);
    EXPECT_NEAR(added(north, east).from.degrees(), 53.13, 0.01);
    const weather::Wind south{TrueBearing::degrees(180), Speed::knots(30)};
    EXPECT_EQ(added(north, south), weather::Wind{});
}

}  // namespace omniway::aircraft
