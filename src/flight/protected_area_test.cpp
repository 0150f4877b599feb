#include "flight/protected_area.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/compile.hpp"
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
        return protected_areas(day(), flight, compile(day(), flight).track);
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

}  // namespace omniway::flight
