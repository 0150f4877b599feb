#include "flight/protected_area.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/compile.hpp"
#include "tests/drawn_flight.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_leg.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::Speed;
using base::TrueBearing;
using omniway::testing::aircraft_with;
using omniway::testing::At;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

// AAA, a high VOR, at the origin: a leg 80 NM out of it to the east.
struct Drawn {
    Sketch sketch;
    navdata::Snapshot world;
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 2, .dme = true});
    Settings settings;
    weather::WindsAloft winds{weather::Wind{TrueBearing::degrees(90), Speed::knots(0)}};
    radio::Ground ground;
    Flight flight;

    static Sketch drawn() {
        Sketch sketch;
        sketch.airport("XDEP", {0, -1}).runway("XDEP", 9, {0, -1});
        sketch.airport("XARR", {80, -1}).runway("XARR", 9, {80, -1});
        sketch.vor("AAA", {0, 0}, {.service = navdata::ServiceClass::high});
        return sketch;
    }
    Drawn() : sketch(drawn()), world(sketch.world()) {
        flight.departure = *world.airport("XDEP");
        flight.arrival = *world.airport("XARR");
        flight.departure_runway = world.runways_of("XDEP").at(0);
        flight.cruise = Altitude::feet(20000);
        Leg leg = omniway::testing::straight(sketch, {0, 0}, {80, 0});
        leg.stretches = {
            {Length(), leg.length,
             procedure::guidance_along(world, station_of(world, "AAA"), leg.start, leg.finish).value()}};
        flight.legs = {leg};
        flight.profile = {{Length(), Altitude::feet(20000)}, {flight.length(), Altitude::feet(20000)}};
    }
    Circumstances day() const {
        return {world, ground, magnetic_model(), earth::DecimalYear{2026.5}, aircraft, settings, winds};
    }
    std::vector<ProtectedArea> areas() const {
        return protected_areas(day(), flight, compile(day(), flight));
    }
};

}  // namespace

// IPH chapter 2 and TERPS 8260.3B (trade-facts 3.3): 4 NM either side up to 51 NM from the VOR, beyond that the splay of 4.5 degrees.
TEST(TruthProtectedArea, IsFourMilesWideToEitherSideAndSplaysBeyondFiftyOneMiles) {
    const Drawn drawn;
    const auto areas = drawn.areas();
    ASSERT_EQ(areas.size(), 1U);
    const earth::Position vor = drawn.sketch.at({0, 0});
    const TrueBearing out = earth::bearing(vor, drawn.sketch.at({80, 0}));
    std::size_t near = 0;
    std::size_t far = 0;
    for (const earth::Position& corner : areas[0].corners) {
        const Length away = earth::distance(vor, corner);
        const double off = (earth::bearing(vor, corner) - out).radians();
        const double aside_nm = std::abs(away.nautical_miles() * std::sin(off));
        const double along_nm = away.nautical_miles() * std::cos(off);
        // The plane and the curve of the geodesic over 80 NM: 0.05 NM.
        if (along_nm < 50.0) {
            EXPECT_NEAR(aside_nm, 4.0, 0.05) << along_nm;
            ++near;
        } else if (along_nm > 52.0) {
            EXPECT_NEAR(aside_nm, along_nm * std::tan(4.5 * M_PI / 180.0), 0.05) << along_nm;
            ++far;
        }
    }
    EXPECT_GT(near, 40U);
    EXPECT_GT(far, 20U);
}

TEST(LawProtectedArea, HoldsTheWholeLineOfItsStepBetweenItsTwoSides) {
    const Drawn drawn;
    const auto corners = drawn.areas().at(0).corners;
    ASSERT_EQ(corners.size() % 2, 0U);
    const std::size_t half = corners.size() / 2;
    for (std::size_t i = 0; i < half; ++i) {
        // Right and left of one place lie as far from it, on either side.
        const earth::Position& right = corners[i];
        const earth::Position& left = corners[corners.size() - 1 - i];
        EXPECT_LT(right.latitude_deg(), left.latitude_deg());
        EXPECT_NEAR(earth::distance(right, left).nautical_miles(), 8.0, 5.0);
    }
}

// IPH App. B, fig. B-5 (trade-facts 3.4, seen): 2.78 NM at 18 NM from the threshold, some 5,000 ft at the final fix, taken as 5 NM before it.
TEST(TruthProtectedArea, OfALocalizerItIsThePublishedTrapezoid) {
    omniway::testing::DrawnFlight drawn;
    drawn.onto_an_ils({.begin = {-18.5, -3.0}});
    const Compiled& compiled = drawn.compiled();
    const auto areas = protected_areas(drawn.day(), drawn.flight(), compiled);
    ASSERT_GE(areas.size(), 2U);
    // Whichever runway is landed on, here none, it narrows to that of the localizer.
    const earth::Position threshold = drawn.place({-3000.0 / 6076.1, -3.0});
    const TrueBearing out = earth::bearing(threshold, drawn.place({-18.5, -3.0}));
    std::size_t checked = 0;
    for (const ProtectedArea& area : {areas[0], areas[1]}) {
        for (const earth::Position& corner : area.corners) {
            const double away_nm = earth::distance(threshold, corner).nautical_miles();
            const double off = (earth::bearing(threshold, corner) - out).radians();
            const double aside_nm = std::abs(away_nm * std::sin(off));
            const double along_nm = away_nm * std::cos(off);
            if (along_nm > 1.0) {
                constexpr double at_fix_nm = 5000.0 / 6076.1;
                EXPECT_NEAR(aside_nm, 2.78 - (18.0 - along_nm) * (2.78 - at_fix_nm) / 13.0, 0.02) << along_nm;
                ++checked;
            }
        }
    }
    EXPECT_GT(checked, 16U);
}

// AIM 5-4-9 (trade-facts 8.4): a procedure turn is to be flown within the distance that the chart gives about its fix. Its end is some miles out.
TEST(TruthProtectedArea, OfACourseReversalItIsTheDistanceOfTheChartAboutItsFix) {
    omniway::testing::DrawnFlight drawn;
    drawn.sketch.vor("AAA", {0, 0});
    drawn.build({-20, 0});
    drawn.leg({-20, 0}, {0, 0}, procedure::OnRadial{drawn.at("AAA"), true, base::Radial::degrees(90)})
        .ending = drawn.told("AAA", {0, 0}, fixing::Overhead{drawn.at("AAA")});
    Leg& turn = drawn.leg({0, 0}, {4, 0}, drawn.outbound("AAA", {4, 0}));
    turn.ending = procedure::AtCourseReversed{"AAA", Length::nautical_miles(10),
                                              navdata::CodedCourse{45.0, false}, navdata::Turn::right};
    const Compiled& compiled = drawn.compiled();
    ASSERT_TRUE(std::holds_alternative<ReverseCourse>(compiled.card.steps.at(1).guidance));
    const auto areas = protected_areas(drawn.day(), drawn.flight(), compiled);
    ASSERT_EQ(areas.size(), 2U);
    EXPECT_EQ(areas[1].step, compiled.track.steps[1].number);
    ASSERT_GE(areas[1].corners.size(), 36U);
    for (const earth::Position& corner : areas[1].corners) {
        EXPECT_NEAR(earth::distance(drawn.place({0, 0}), corner).nautical_miles(), 10.0, 1e-6);
    }
    // All around, so that nothing between the corners is cut off: chords of at most ten degrees come no nearer than 9.96 NM.
    for (std::size_t i = 0; i < areas[1].corners.size(); ++i) {
        const earth::Position& next = areas[1].corners[(i + 1) % areas[1].corners.size()];
        EXPECT_LT(earth::distance(areas[1].corners[i], next).nautical_miles(), 1.75);
    }
}

namespace {

// Whether a place lies within corners: the angles under which each side is seen come to a whole turn.
bool is_within(const std::vector<earth::Position>& corners, earth::Position place) {
    double turned = 0.0;
    for (std::size_t i = 0; i < corners.size(); ++i) {
        turned += std::remainder(
            (earth::bearing(place, corners[(i + 1) % corners.size()]) - earth::bearing(place, corners[i]))
                .radians(),
            2.0 * M_PI);
    }
    return std::abs(turned) > M_PI;
}

}  // namespace

// A hold at 6,000 ft on 090, right turns: 200 kt indicated at most to 6,000 ft (trade-facts 8.3), 59 kt of wind (PANS-OPS II table I-2-3-1), a minute
// out. In still air that is a racetrack 4 NM long and 2.4 NM wide to the south; the wind of the four minutes since the fix carries it 4 NM at least.
TEST(TruthProtectedArea, OfAHoldItHoldsTheRacetrackAndWhatTheWindMakesOfIt) {
    omniway::testing::DrawnFlight drawn;
    drawn.sketch.vor("AAA", {0, 0}, {.service = navdata::ServiceClass::high});
    drawn.toward_a_hold("AAA", true);
    const Compiled& compiled = drawn.compiled();
    const auto areas = protected_areas(drawn.day(), drawn.flight(), compiled);
    ASSERT_EQ(areas.size(), 2U);
    EXPECT_EQ(areas[1].step, compiled.track.steps[1].number);
    const auto& corners = areas[1].corners;
    for (const At& on : {At{0, 0}, At{-3.4, 0}, At{-3.4, -2.1}, At{0, -2.1}, At{1, -1}, At{-4.5, -1}}) {
        EXPECT_TRUE(is_within(corners, drawn.place(on))) << on.east_nm << " " << on.north_nm;
    }
    // With the wind it is carried south, and no farther than the fastest circuit, 4.5 minutes of wind and a buffer could be.
    EXPECT_TRUE(is_within(corners, drawn.place({-3.4, -5.0})));
    for (const earth::Position& corner : corners) {
        const double away_nm = earth::distance(drawn.place({0, 0}), corner).nautical_miles();
        EXPECT_LT(away_nm, 14.0);
        EXPECT_GT(away_nm, 2.0);
    }
    // The side it is flown on is the wider.
    EXPECT_TRUE(is_within(corners, drawn.place({-2, -6.0})));
    EXPECT_FALSE(is_within(corners, drawn.place({-2, 8.0})));
}

}  // namespace omniway::flight
