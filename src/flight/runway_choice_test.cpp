#include "flight/runway_choice.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Length;
using base::Speed;
using base::TrueBearing;
using omniway::testing::aircraft_with;
using omniway::testing::Sketch;
using weather::Wind;

namespace {

Wind wind(double from_deg, double knots) {
    return {TrueBearing::degrees(from_deg), Speed::knots(knots)};
}

std::vector<RunwayFit> ranked(const navdata::Snapshot& world, const Wind& blowing, bool departing = true) {
    return rank_runways(world, aircraft_with({}), blowing, *world.airport("XAAA"), departing);
}

std::string best(const navdata::Snapshot& world, const Wind& blowing, bool departing = true) {
    return world[ranked(world, blowing, departing).front().runway].ident;
}

Sketch crossed() {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0});
    sketch.runway("XAAA", 9, {0, 0}, 6000).runway("XAAA", 36, {1, 0}, 5000);
    return sketch;
}

bool blocked_by(const RunwayFit& fit, const std::string& code) {
    return std::any_of(fit.findings.begin(), fit.findings.end(), [&](const base::Finding& finding) {
        return finding.code == code && finding.grade == base::Grade::blocks;
    });
}

}  // namespace

TEST(CaseRunway, TheOneIntoTheWindComesFirst) {
    const auto world = crossed().world();
    EXPECT_EQ(best(world, wind(90, 15)), "RW09");
    EXPECT_EQ(best(world, wind(270, 15)), "RW27");
    EXPECT_EQ(best(world, wind(360, 15)), "RW36");
    EXPECT_EQ(best(world, wind(180, 15)), "RW18");
}

TEST(CaseRunway, InACalmTheLongerComesFirst) {
    const auto world = crossed().world();
    EXPECT_TRUE(best(world, wind(0, 0)) == "RW09" || best(world, wind(0, 0)) == "RW27");
}

TEST(CaseRunway, OneTooShortIsRefusedHoweverTheWindBlows) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0});
    sketch.runway("XAAA", 9, {0, 0}, 2900).runway("XAAA", 36, {1, 0}, 6000);
    const auto world = sketch.world();
    const auto fits = ranked(world, wind(90, 15));
    EXPECT_NE(world[fits.front().runway].ident, "RW09");
    EXPECT_TRUE(blocked_by(fits.back(), "runway.too_short"));
    EXPECT_FALSE(fits.back().fits());
}

TEST(CaseRunway, ADisplacedThresholdShortensTheLandingAndNotTheTakeOff) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}, 3500);
    sketch.records().runways.at(0).displaced = Length::feet(600);
    const auto world = sketch.world();
    const navdata::RunwayId id = world.runways_of("XAAA").at(0);
    EXPECT_TRUE(runway_fit(world, aircraft_with({}), wind(90, 5), id, true).fits());
    EXPECT_TRUE(blocked_by(runway_fit(world, aircraft_with({}), wind(90, 5), id, false), "runway.too_short"));
}

// Components by sine and cosine (trade-facts 7.1): 30 kt at 45 degrees is 21.2 kt across; limits of the drawn twin are 20 and 5.
TEST(CaseRunway, CrosswindAndTailwindBeyondTheLimitsAreRefused) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0});
    const auto world = sketch.world();
    const navdata::RunwayId id = world.runways_of("XAAA").at(0);
    const auto fit = [&](const Wind& blowing) {
        return runway_fit(world, aircraft_with({}), blowing, id, true);
    };
    EXPECT_TRUE(blocked_by(fit(wind(45, 30)), "runway.crosswind"));
    EXPECT_FALSE(blocked_by(fit(wind(45, 28)), "runway.crosswind"));
    EXPECT_TRUE(blocked_by(fit(wind(270, 6)), "runway.tailwind"));
    EXPECT_TRUE(fit(wind(270, 4)).fits());
    Wind gusty = wind(45, 20);
    EXPECT_TRUE(fit(gusty).fits());
    gusty.gust = Speed::knots(30);
    EXPECT_TRUE(blocked_by(fit(gusty), "runway.crosswind"));
    EXPECT_NEAR(fit(wind(45, 20)).headwind.knots(), 14.14, 0.05);
    EXPECT_NEAR(std::abs(fit(wind(45, 20)).crosswind.knots()), 14.14, 0.05);
}

// The crosswind component chart of the Pilot's Handbook of Aeronautical Knowledge is sine and cosine: of a wind at 30, 45, 60 and 90
// degrees off, 0.5, 0.7, 0.87 and all of it is across (rule of thumb from memory; the figures are those of any table of sines).
TEST(TruthRunway, ComponentsAreThoseOfTheCrosswindTableAtTheWindAndAtTheGust) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0});
    const auto world = sketch.world();
    const navdata::RunwayId id = world.runways_of("XAAA").at(0);
    struct Row {
        double off_deg;
        double across;
        double ahead;
    };
    for (const Row& row : {Row{0, 0.0, 1.0}, Row{30, 0.5, 0.866}, Row{45, 0.707, 0.707}, Row{60, 0.866, 0.5},
                           Row{90, 1.0, 0.0}, Row{120, 0.866, -0.5}, Row{180, 0.0, -1.0}}) {
        Wind blowing = wind(90 + row.off_deg, 10);
        blowing.gust = Speed::knots(16);
        const RunwayFit fit = runway_fit(world, aircraft_with({}), blowing, id, false);
        EXPECT_NEAR(fit.crosswind.knots(), 10 * row.across, 0.02) << row.off_deg;
        EXPECT_NEAR(fit.headwind.knots(), 10 * row.ahead, 0.02) << row.off_deg;
        ASSERT_TRUE(fit.crosswind_in_gusts);
        ASSERT_TRUE(fit.headwind_in_gusts);
        EXPECT_NEAR(fit.crosswind_in_gusts->knots(), 16 * row.across, 0.02) << row.off_deg;
        EXPECT_NEAR(fit.headwind_in_gusts->knots(), 16 * row.ahead, 0.02) << row.off_deg;
    }
    EXPECT_FALSE(runway_fit(world, aircraft_with({}), wind(90, 10), id, false).headwind_in_gusts);
}

TEST(CaseRunway, WhyOneStandsBehindIsSaidWithItsFigure) {
    const auto world = crossed().world();
    const auto fits = ranked(world, wind(90, 4), false);
    EXPECT_EQ(world[fits.front().runway].ident, "RW09");
    std::vector<std::string> said;
    for (const RunwayFit& fit : fits) {
        said.push_back(world[fit.runway].ident + " " + why_behind(fits.front(), fit));
    }
    EXPECT_THAT(said, ::testing::Contains("RW36 4 kt less headwind"));
    EXPECT_THAT(said, ::testing::Contains("RW27 tailwind 4 kt"));
    const auto stronger = ranked(world, wind(90, 9), false);
    EXPECT_EQ(why_behind(stronger.front(), stronger.back()), "tailwind 9 kt, the limit is 5 kt");
}

RC_GTEST_PROP(LawRunway, NoneThatFitsStandsBehindOneThatDoesNotOrHasLessHeadwind, ()) {
    const auto world = crossed().world();
    const auto fits = ranked(world, wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 60)));
    RC_ASSERT(fits.size() == 4U);
    for (std::size_t i = 0; i + 1 < fits.size(); ++i) {
        RC_ASSERT(fits[i].fits() || !fits[i + 1].fits());
        if (fits[i].fits() == fits[i + 1].fits()) {
            RC_ASSERT(fits[i].headwind >= fits[i + 1].headwind - Speed::knots(1.0));
        }
    }
}

}  // namespace omniway::flight
