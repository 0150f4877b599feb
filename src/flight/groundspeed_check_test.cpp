#include "flight/groundspeed_check.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "aircraft/wind_triangle.hpp"
#include "flight/detail/paper.hpp"

namespace omniway::flight {

using aircraft::CourseHeld;
using aircraft::hold_course;
using base::Duration;
using base::Length;
using base::MagneticBearing;
using base::Speed;
using base::TrueBearing;
using weather::Wind;

namespace {

struct Figures {
    double course_deg, heading_deg, airspeed_kt, groundspeed_kt, distance_nm;
};

Step leg(int number, const Figures& figures) {
    Step step;
    step.number = number;
    step.guidance = FollowRadial{};
    step.expected.course = MagneticBearing::degrees(figures.course_deg);
    step.expected.heading = MagneticBearing::degrees(figures.heading_deg);
    step.expected.true_airspeed = Speed::knots(figures.airspeed_kt);
    step.expected.groundspeed = Speed::knots(figures.groundspeed_kt);
    step.expected.distance = Length::nautical_miles(figures.distance_nm);
    step.expected.time = detail::whole_seconds(step.expected.distance / *step.expected.groundspeed);
    return step;
}

Card card_of(std::vector<Step> steps) {
    Card card;
    card.steps = std::move(steps);
    return card;
}

// As the page looks it up.
const GroundspeedFound* row_after(const GroundspeedCheck& check, Duration taken) {
    const auto row = std::find_if(check.found.begin(), check.found.end(),
                                  [&](const GroundspeedFound& each) { return taken <= each.until; });
    return taken <= check.from || row == check.found.end() ? nullptr : &*row;
}

Wind wind_from(double degrees, double knots) {
    return {.from = TrueBearing::degrees(degrees), .speed = Speed::knots(knots)};
}

// A leg of a card made in that wind, where true and magnetic north are one.
Step leg_in(int number, double course_deg, double airspeed_kt, double distance_nm, const CourseHeld& held) {
    return leg(number, {course_deg, std::round(held.heading.degrees()), airspeed_kt,
                        std::round(held.groundspeed.knots()), distance_nm});
}

}  // namespace

// Trade-facts 7.1: US Navy P-203, "55 NM in 15 min" is 220 kt [seen], and "30 NM in 11 min" [seen], worked there on the computer (163.6 by
// division); War Department TM 1-205, para 39: "180 = 45 miles / .25 hours" [seen].
TEST(TruthGroundspeedCheck, IsDistanceOverTimeAsInThePublishedExamples) {
    struct Row {
        double distance_nm, minutes, groundspeed_kt;
    };
    for (const Row& row : {Row{55, 15, 220}, Row{30, 11, 164}, Row{45, 15, 180}}) {
        const auto checks = groundspeed_checks(card_of({leg(1, {90, 90, 200, 190, row.distance_nm})}));
        ASSERT_EQ(checks.size(), 1U);
        const GroundspeedFound* found = row_after(checks[0], base::minutes(row.minutes));
        ASSERT_NE(found, nullptr) << row.distance_nm;
        EXPECT_DOUBLE_EQ(found->groundspeed.knots(), row.groundspeed_kt);
    }
}

// Trade-facts 7.1: winds found in flight from heading, airspeed, course and groundspeed. The wind along the course is that wind's share of it;
// half a knot by the rounding of the table, as much again by that of the source.
TEST(TruthGroundspeedCheck, TheWindAlongTheCourseIsThatOfThePublishedWinds) {
    struct Row {
        const char* source;
        Figures figures;
        double wind_from_deg, wind_kt;
    };
    const Row rows[] = {
        {"US Navy P-203: wind 092/41.5", {45, 52, 250, 220, 55}, 92, 41.5},
        {"archived computer manual: crab 10 right, wind 154/34", {94, 104, 165, 146, 40}, 154, 34},
        {"EASA question bank: wind 100/18", {180, 174, 180, 176, 60}, 100, 18},
    };
    for (const Row& row : rows) {
        const auto checks = groundspeed_checks(card_of({leg(1, row.figures)}));
        ASSERT_EQ(checks.size(), 1U) << row.source;
        const double along =
            row.wind_kt * std::cos((row.wind_from_deg - row.figures.course_deg) * M_PI / 180.0);
        EXPECT_NEAR(checks[0].headwind.knots(), along, 1.0) << row.source;
        const GroundspeedFound* found =
            row_after(checks[0], base::minutes(60 * row.figures.distance_nm / row.figures.groundspeed_kt));
        ASSERT_NE(found, nullptr) << row.source;
        EXPECT_NEAR(found->headwind.knots(), along, 1.0) << row.source;
    }
}

// The whole triangle of another header, in the wind as it really is.
RC_GTEST_PROP(LawGroundspeedCheck, TheNextLegTakesWhatTheWindTriangleSaysInTheWindFound, ()) {
    const double first = *rc::gen::inRange(0, 360);
    const double second = *rc::gen::inRange(0, 360);
    const double airspeed = *rc::gen::inRange(100, 220);
    const Wind forecast = wind_from(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 40));
    const double more_ahead = *rc::gen::inRange(-20, 21);
    const auto north = [](const Wind& wind) {
        return wind.speed.knots() * base::cos(wind.from.from_north());
    };
    const auto east = [](const Wind& wind) { return wind.speed.knots() * base::sin(wind.from.from_north()); };
    const TrueBearing along = TrueBearing::degrees(first);
    const double found_north = north(forecast) + more_ahead * base::cos(along.from_north());
    const double found_east = east(forecast) + more_ahead * base::sin(along.from_north());
    const Wind found =
        wind_from(std::atan2(found_east, found_north) * 180.0 / M_PI, std::hypot(found_north, found_east));
    const auto hold = [&](double course, const Wind& wind) {
        return hold_course(TrueBearing::degrees(course), Speed::knots(airspeed), wind);
    };
    const auto planned_first = hold(first, forecast);
    const auto planned_second = hold(second, forecast);
    const auto flown_first = hold(first, found);
    const auto flown_second = hold(second, found);
    RC_PRE(planned_first && planned_second && flown_first && flown_second);
    RC_PRE(flown_second->groundspeed > Speed::knots(40) && flown_first->groundspeed > Speed::knots(40));

    const Length length = Length::nautical_miles(50);
    const auto checks = groundspeed_checks(card_of(
        {leg_in(1, first, airspeed, 50, *planned_first), leg_in(2, second, airspeed, 50, *planned_second)}));
    const GroundspeedFound* row = row_after(checks.at(0), length / flown_first->groundspeed);
    RC_ASSERT(row != nullptr);
    RC_ASSERT(std::abs((row->groundspeed - flown_first->groundspeed).knots()) <= 0.5 + 1e-9);
    RC_ASSERT(row->next.has_value());
    // Headings of the card to whole degrees and speeds to whole knots: 2 kt and a half in the groundspeed of the next leg.
    const double next_kt = (length / *row->next).knots();
    RC_ASSERT(std::abs(next_kt - flown_second->groundspeed.knots()) < 2.5 + 0.02 * next_kt);
}

TEST(LawGroundspeedCheck, FlownAsForecastTheCardsOwnFiguresStand) {
    const auto checks =
        groundspeed_checks(card_of({leg(1, {270, 275, 110, 95, 20}), leg(2, {300, 303, 110, 92, 11.3})}));
    ASSERT_EQ(checks.size(), 2U);
    const GroundspeedFound* row = row_after(checks[0], Length::nautical_miles(20) / Speed::knots(95));
    ASSERT_NE(row, nullptr);
    EXPECT_DOUBLE_EQ(row->groundspeed.knots(), 95);
    EXPECT_EQ(row->headwind, checks[0].headwind);
    EXPECT_EQ(row->next, detail::whole_seconds(Length::nautical_miles(11.3) / Speed::knots(92)));
    EXPECT_FALSE(checks[1].found.front().next.has_value());
}

TEST(LawGroundspeedCheck, RowsAreSlowerAndSlowerAndNothingIsBetweenThem) {
    const auto checks = groundspeed_checks(card_of({leg(1, {10, 10, 90, 70, 12})}));
    const auto& found = checks.at(0).found;
    EXPECT_DOUBLE_EQ(found.front().groundspeed.knots(), 130);
    EXPECT_DOUBLE_EQ(found.back().groundspeed.knots(), 30);
    for (std::size_t i = 1; i < found.size(); ++i) {
        EXPECT_GT(found[i].until, found[i - 1].until);
        EXPECT_NEAR((found[i - 1].groundspeed - found[i].groundspeed).knots(), 1.0, 1e-9);
    }
    EXPECT_EQ(row_after(checks[0], checks[0].from), nullptr);
    EXPECT_EQ(row_after(checks[0], found.back().until + Duration(1)), nullptr);
}

TEST(LawGroundspeedCheck, ShortStepsTurnsAndStepsThatNoHeadingHoldsHaveNone) {
    Step arc = leg(2, {10, 10, 100, 100, 12});
    arc.guidance = FollowArc{};
    Step blown = leg(3, {10, 10, 100, 100, 12});
    blown.expected.heading.reset();
    const auto checks = groundspeed_checks(
        card_of({leg(1, {10, 10, 100, 100, 4.9}), arc, blown, leg(4, {10, 10, 100, 100, 5}), arc}));
    ASSERT_EQ(checks.size(), 1U);
    EXPECT_EQ(checks[0].step, 4);
    // An arc takes the card's time.
    EXPECT_EQ(checks[0].found.front().next, arc.expected.time);
}

}  // namespace omniway::flight
