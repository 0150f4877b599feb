#include "aircraft/wind_triangle.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::aircraft {

using base::Speed;
using base::TrueBearing;
using weather::Wind;

namespace {

Wind wind(double from_deg, double speed_kt) {
    return {.from = TrueBearing::degrees(from_deg), .speed = Speed::knots(speed_kt)};
}

}  // namespace

TEST(TruthWindTriangle, AgreesWithThePublishedWorkedExamples) {
    struct Row {
        const char* source;
        double course_deg, tas, from_deg, wind_speed, heading_deg, groundspeed, tolerance_deg,
            tolerance_speed;
    };
    // Trade-facts 7.1. Tolerance: half the last digit printed by the source. Speeds need only one unit, so
    // the third row, in miles an hour, stands as it was printed.
    const Row rows[] = {
        {"EASA question bank [seen]", 180, 180, 100, 18, 174, 176, 0.5, 0.5},
        {"FAA-H-8083-25 figure 16-19, answer from memory", 90, 120, 45, 40, 76, 88, 0.5, 0.5},
        {"archived computer manual, wind found from it 154/34 [seen]", 94, 165, 154, 34, 104, 146, 0.5, 1.0},
        {"US Navy P-203, wind found from it 092/41.5 [seen data, computed wind]", 45, 250, 92, 41.5, 52, 220,
         0.5, 0.5},
    };
    for (const Row& row : rows) {
        const auto held = hold_course(TrueBearing::degrees(row.course_deg), Speed::knots(row.tas),
                                      wind(row.from_deg, row.wind_speed));
        ASSERT_TRUE(held) << row.source;
        EXPECT_NEAR(held->heading.degrees(), row.heading_deg, row.tolerance_deg) << row.source;
        EXPECT_NEAR(held->groundspeed.knots(), row.groundspeed, row.tolerance_speed) << row.source;
    }
}

// Trade-facts 7.1, the columns [computed] there by another program.
TEST(TruthWindTriangle, AgreesWithTheComputedColumnToItsLastDigit) {
    struct Row {
        double course_deg, tas, from_deg, wind_speed, correction_deg, heading_deg, groundspeed;
    };
    const Row rows[] = {{180, 180, 100, 18, -5.65, 174.35, 176.0},
                        {90, 120, 45, 40, -13.63, 76.37, 88.3},
                        {94, 165, 154, 34, 10.28, 104.28, 145.35},
                        {60, 90, 30, 15, -4.78, 55.22, 76.7}};
    for (const Row& row : rows) {
        const auto held = hold_course(TrueBearing::degrees(row.course_deg), Speed::knots(row.tas),
                                      wind(row.from_deg, row.wind_speed));
        ASSERT_TRUE(held) << row.course_deg;
        EXPECT_NEAR(held->correction.degrees(), row.correction_deg, 0.00501) << row.course_deg;
        EXPECT_NEAR(held->heading.degrees(), row.heading_deg, 0.00501) << row.course_deg;
        EXPECT_NEAR(held->groundspeed.knots(), row.groundspeed, 0.0501) << row.course_deg;
    }
}

// The definition itself, in north and east: air velocity less the wind's "from" vector runs along the course.
RC_GTEST_PROP(LawWindTriangle, AirAndWindAddToTheGroundVectorAlongTheCourse, ()) {
    const TrueBearing course = TrueBearing::degrees(*rc::gen::inRange(0, 3600) / 10.0);
    const Speed tas = Speed::knots(*rc::gen::inRange(40, 600));
    const Wind w = wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 250));
    const auto held = hold_course(course, tas, w);
    RC_PRE(held.has_value());
    const double north = tas.knots() * std::cos(held->heading.from_north().radians()) -
                         w.speed.knots() * std::cos(w.from.from_north().radians());
    const double east = tas.knots() * std::sin(held->heading.from_north().radians()) -
                        w.speed.knots() * std::sin(w.from.from_north().radians());
    const double along_north = held->groundspeed.knots() * std::cos(course.from_north().radians());
    const double along_east = held->groundspeed.knots() * std::sin(course.from_north().radians());
    RC_ASSERT(std::hypot(north - along_north, east - along_east) < 1e-9);
    RC_ASSERT(held->groundspeed > Speed());
}

// Every heading by the tenth of a degree: where one makes a track near the course, there is an answer, else
// there is none. Left out: winds across within 1 % of the airspeed, where the steps are too coarse to tell.
RC_GTEST_PROP(BruteWindTriangle, NoAnswerMeansThatNoHeadingHoldsTheCourse, ()) {
    const TrueBearing course = TrueBearing::degrees(*rc::gen::inRange(0, 360));
    const double tas = *rc::gen::inRange(40, 140);
    const Wind w = wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 200));
    const double wind_across = w.speed.knots() * base::sin(w.from - course);
    const double wind_ahead = w.speed.knots() * base::cos(w.from - course);
    RC_PRE(std::abs(std::abs(wind_across) / tas - 1.0) > 0.01);
    const auto held = hold_course(course, Speed::knots(tas), w);
    double best = -1e9;  // greatest speed along the course among headings that stay on it
    for (int tenth = 0; tenth < 3600; ++tenth) {
        const base::Angle off = TrueBearing::degrees(tenth / 10.0) - course;
        if (std::abs(tas * base::sin(off) - wind_across) <
            tas * 0.001) {  // a tenth is 0.0017 of the airspeed
            best = std::max(best, tas * base::cos(off) - wind_ahead);
        }
    }
    if (held) {
        RC_ASSERT(std::abs(best - held->groundspeed.knots()) < 0.01 * tas);
    } else {
        RC_ASSERT(best < 0.01 * tas);
    }
}

TEST(CaseWindTriangle, AWindAcrossStrongerThanTheAirspeedHasNoHeading) {
    EXPECT_FALSE(hold_course(TrueBearing::degrees(0), Speed::knots(90), wind(90, 91)));
    EXPECT_TRUE(hold_course(TrueBearing::degrees(0), Speed::knots(90), wind(90, 89)));
}

TEST(CaseWindTriangle, AHeadwindAsStrongAsTheAirspeedStopsTheAircraft) {
    EXPECT_FALSE(hold_course(TrueBearing::degrees(10), Speed::knots(90), wind(10, 90)));
    EXPECT_FALSE(hold_course(TrueBearing::degrees(10), Speed::knots(90), wind(10, 120)));
    const auto slow = hold_course(TrueBearing::degrees(10), Speed::knots(90), wind(10, 89));
    ASSERT_TRUE(slow);
    EXPECT_NEAR(slow->groundspeed.knots(), 1.0, 1e-9);
}

TEST(CaseWindTriangle, WithoutWindTheHeadingIsTheCourse) {
    const auto held = hold_course(TrueBearing::degrees(359.9), Speed::knots(100), wind(0, 0));
    ASSERT_TRUE(held);
    EXPECT_DOUBLE_EQ(held->heading.degrees(), 359.9);
    EXPECT_DOUBLE_EQ(held->groundspeed.knots(), 100.0);
}

TEST(CaseWindTriangle, TheHeadingGoesThroughNorth) {
    const auto held = hold_course(TrueBearing::degrees(2), Speed::knots(100), wind(272, 20));
    ASSERT_TRUE(held);
    EXPECT_NEAR(held->heading.degrees(), 350.463, 0.001);  // 2 - asin(0.2) = 2 - 11.537
}

// Trade-facts 7.1: headwind = W cos(angle), crosswind = W sin(angle). Sines and cosines of 30, 60 and 90
// degrees by hand.
TEST(TruthRunwayWind, SplitsIntoCosineAlongAndSineAcross) {
    const TrueBearing runway = TrueBearing::degrees(350);
    const RunwayWind right = runway_wind(runway, wind(20, 20));
    EXPECT_NEAR(right.headwind.knots(), 17.32, 0.005);
    EXPECT_NEAR(right.crosswind.knots(), 10.0, 1e-9);
    const RunwayWind left = runway_wind(runway, wind(290, 20));
    EXPECT_NEAR(left.headwind.knots(), 10.0, 1e-9);
    EXPECT_NEAR(left.crosswind.knots(), -17.32, 0.005);
    const RunwayWind behind = runway_wind(runway, wind(170, 8));
    EXPECT_NEAR(behind.headwind.knots(), -8.0, 1e-9);
    EXPECT_NEAR(behind.crosswind.knots(), 0.0, 1e-9);
}

TEST(CaseRunwayWind, ALimitIsHeldAgainstTheGust) {
    Wind gusty = wind(90, 12);
    gusty.gust = Speed::knots(25);
    EXPECT_NEAR(runway_wind(TrueBearing::degrees(360), gusty).crosswind.knots(), 12.0, 1e-9);
    EXPECT_NEAR(runway_wind(TrueBearing::degrees(360), weather::at_the_gust(gusty)).crosswind.knots(), 25.0,
                1e-9);
}

}  // namespace omniway::aircraft
