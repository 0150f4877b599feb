#include "flight/radial_fix.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"

namespace omniway::flight {

using base::Length;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

constexpr earth::DecimalYear today{2026.5};

}  // namespace

// ICAO Doc 4444 appendix 2, item 15 c1 (trade-facts 12 [seen]): "DUB180040", the ident, three figures of magnetic bearing, three of
// distance in nautical miles.
TEST(TruthRadialFix, ItIsNamedAsItem15NamesAPlaceByBearingAndDistance) {
    Sketch sketch;
    sketch.vor("XKE", {0, 0}, {.declination_deg = 12.0});
    const auto world = sketch.world();
    const auto fix = radial_fix(world, magnetic_model(), today, station_of(world, "XKE"),
                                base::MagneticBearing::degrees(184), Length::nautical_miles(23));
    EXPECT_EQ(fix.ident, "XKE184023");
    EXPECT_FALSE(fix.point);
    // Its declination is 12 east: the radial 184 leads out along 196 true.
    const earth::Geodesic line = earth::geodesic(sketch.place("XKE"), fix.position);
    EXPECT_NEAR(line.initial.degrees(), 196.0, 1e-6);
    EXPECT_NEAR(line.distance.nautical_miles(), 23.0, 1e-6);
    EXPECT_EQ(radial_fix(world, magnetic_model(), today, station_of(world, "XKE"),
                         base::MagneticBearing::degrees(0), Length::nautical_miles(5))
                  .ident,
              "XKE360005");
}

TEST(CaseRadialFix, AtTheAidItselfThereIsNone) {
    Sketch sketch;
    sketch.vor("XKE", {0, 0});
    const auto world = sketch.world();
    EXPECT_FALSE(
        nearest_radial_fix(world, magnetic_model(), today, station_of(world, "XKE"), sketch.at({0.4, 0})));
    EXPECT_TRUE(
        nearest_radial_fix(world, magnetic_model(), today, station_of(world, "XKE"), sketch.at({0.6, 0})));
}

// Half a mile along and half a degree across are all that whole figures lose: at D miles D sin(0.5 degrees).
RC_GTEST_PROP(LawRadialFix, TheNearestOneIsWithinWhatRoundingLoses, ()) {
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-75, 76), *rc::gen::inRange(-180, 180)));
    const bool beacon = *rc::gen::arbitrary<bool>();
    beacon ? sketch.ndb("AAA", {0, 0})
           : sketch.vor("AAA", {0, 0}, {.declination_deg = static_cast<double>(*rc::gen::inRange(-40, 41))});
    const auto world = sketch.world();
    const auto place = sketch.at({static_cast<double>(*rc::gen::inRange(-900, 900)) * 0.1,
                                  static_cast<double>(*rc::gen::inRange(10, 900)) * 0.1});
    const auto fix = nearest_radial_fix(world, magnetic_model(), today, station_of(world, "AAA"), place);
    RC_ASSERT(fix.has_value());
    const double away_nm = earth::distance(sketch.place("AAA"), place).nautical_miles();
    const double across_nm = (away_nm + 0.5) * std::sin(0.5 * 3.14159265358979 / 180.0);
    RC_ASSERT(earth::distance(place, fix->position).nautical_miles() < std::hypot(0.5, across_nm) + 0.01);
}

}  // namespace omniway::flight
