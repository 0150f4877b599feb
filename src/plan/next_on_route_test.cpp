#include "plan/next_on_route.hpp"

#include <gtest/gtest.h>

#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"

namespace omniway::plan {

using navdata::AirwayDirection;
using omniway::testing::draw_eastbound_ils;
using omniway::testing::Sketch;

namespace {

//   AAA --20-- BBB --30-- CCC     V1, 3,000 ft eastward and 4,000 ft westward
//               |
//              DDD 15 south       V2, one way, from DDD to BBB
Sketch drawn() {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {10, 0}).vor("BBB", {30, 0}).vor("CCC", {60, 0}).vor("DDD", {30, -15});
    sketch.airway("V1", {"AAA", "BBB", "CCC"}, {.minimum_ft = 3000.0, .minimum_backward_ft = 4000.0});
    sketch.airway("V2", {"DDD", "BBB"}, {.direction = AirwayDirection::forward_only});
    sketch.airway("T3", {"BBB", "CCC"}, {.route_type = 'R'});
    return sketch;
}

NextOnRoute next(const navdata::Snapshot& world, const std::string& at, const testing::Aboard& aboard) {
    return next_on_route(world, radio::Ground{}, testing::aircraft_with(aboard).equipment, at,
                         *world.airport("XDEP"), *world.airport("XARR"));
}
constexpr testing::Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

const AirwayOn* towards(const navdata::Snapshot& world, const NextOnRoute& next,
                        const std::string& designator, const std::string& first) {
    for (const AirwayOn& on : next.airways) {
        if (on.designator == designator && world.ident(on.points.front().point) == first) {
            return &on;
        }
    }
    return nullptr;
}

}  // namespace

TEST(CaseNextOnRoute, AnAirwayGoesOnBothWaysFromAPointOnIt) {
    const auto world = drawn().world();
    const NextOnRoute on = next(world, "BBB", everything);
    EXPECT_EQ(on.airways.size(), 4U);
    const AirwayOn* east = towards(world, on, "V1", "CCC");
    const AirwayOn* west = towards(world, on, "V1", "AAA");
    ASSERT_NE(east, nullptr);
    ASSERT_NE(west, nullptr);
    EXPECT_NEAR(east->points.front().distance.nautical_miles(), 30.0, 0.1);
    EXPECT_NEAR(west->points.front().distance.nautical_miles(), 20.0, 0.1);
    EXPECT_EQ(east->points.front().minimum, base::Altitude::feet(3000));
    EXPECT_EQ(west->points.front().minimum, base::Altitude::feet(4000));
    EXPECT_NEAR(east->course->degrees(), 90.0, 1.0);
    EXPECT_NEAR(west->course->degrees(), 270.0, 1.0);
    EXPECT_FALSE(east->points.front().against_one_way);
    const AirwayOn* south = towards(world, on, "V2", "DDD");
    ASSERT_NE(south, nullptr);
    EXPECT_TRUE(south->points.front().against_one_way);
    const AirwayOn* area = towards(world, on, "T3", "CCC");
    ASSERT_NE(area, nullptr);
    EXPECT_TRUE(area->area_navigation);
}

TEST(CaseNextOnRoute, DistancesAddUpAlongTheAirwayAndItEndsWhereItEnds) {
    const auto world = drawn().world();
    const NextOnRoute on = next(world, "AAA", everything);
    ASSERT_EQ(on.airways.size(), 1U);
    ASSERT_EQ(on.airways.front().points.size(), 2U);
    EXPECT_NEAR(on.airways.front().points[1].distance.nautical_miles(), 50.0, 0.1);
    EXPECT_TRUE(next(world, "", everything).airways.empty());
    EXPECT_TRUE(next(world, "NOONE", everything).airways.empty());
}

TEST(CaseNextOnRoute, AnApproachThatLacksARadioSaysWhich) {
    const auto world = drawn().world();
    const NextOnRoute all = next(world, "CCC", everything);
    ASSERT_EQ(all.approaches.size(), 1U);
    EXPECT_EQ(all.approaches.front().ident, "I09");
    EXPECT_EQ(all.approaches.front().where.ident, "INI");
    EXPECT_EQ(all.approaches.front().why_not, "");
    const NextOnRoute none =
        next(world, "CCC", {.receivers = 0, .dme = false, .adf = true, .glideslope = false});
    ASSERT_EQ(none.approaches.size(), 1U);
    EXPECT_NE(none.approaches.front().why_not, "");
}

}  // namespace omniway::plan
