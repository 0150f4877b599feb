#include <algorithm>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "navdata/snapshot.hpp"
#include "tests/sketch.hpp"

namespace omniway::navdata {

using base::Length;
using testing::Sketch;
using testing::station_of;

namespace {

Sketch drawn() {
    Sketch sketch;
    sketch.vor("AAA", {0, 0})
        .vor("BBB", {40, 0})
        .vor("CCC", {80, 0})
        .ndb("NNN", {20, 20})
        .fix("MID", {20, 0});
    sketch.airway("V1", {"AAA", "MID", "BBB", "CCC"}).airway("V2", {"AAA", "BBB"});
    sketch.airport("XARR", {0, 5}).runway("XARR", 9, {0, 5});
    return sketch;
}

// What can be asked of a world, in words: ids differ from one to the other.
std::string told(const Snapshot& world) {
    std::string text;
    for (const std::string& ident : world.idents()) {
        text += ident + " " + std::to_string(world.named(ident).size()) + "\n";
    }
    for (const std::string ident : {"AAA", "BBB", "CCC", "NNN", "MID"}) {
        text += ident + (world.is_out_of_service(ident) ? " out of service\n" : "\n");
    }
    for (const Airway& airway : world.airways()) {
        for (const AirwaySegment& segment : airway.segments) {
            text +=
                airway.designator + " " + world.ident(segment.from) + " " + world.ident(segment.to) + "\n";
        }
    }
    for (const StationId id :
         world.stations_within(earth::Position::degrees(40, -170), Length::nautical_miles(500))) {
        text += world[id].ident + " ";
    }
    return text;
}

}  // namespace

RC_GTEST_PROP(LawWithout, AStationTakenOutOfAWorldIsAsOneWhoseRecordSaysSo, ()) {
    const auto out = *rc::gen::container<std::vector<std::string>>(
        rc::gen::element<std::string>("AAA", "BBB", "CCC", "NNN"));
    const auto before = *rc::gen::container<std::vector<std::string>>(
        rc::gen::element<std::string>("AAA", "BBB", "CCC", "NNN"));
    Sketch sketch = drawn();
    for (const std::string& ident : before) {
        sketch.station(ident).out_of_service = true;
    }
    const Snapshot world = sketch.world();
    std::vector<StationId> ids;
    for (const std::string& ident : out) {
        if (!world.is_out_of_service(ident)) {
            ids.push_back(station_of(world, ident));
        }
        sketch.station(ident).out_of_service = true;
    }
    RC_ASSERT(told(world.without(ids)) == told(sketch.world()));
}

TEST(CaseWithout, TheAirwayEndsWhereTheStationWas) {
    const Snapshot world = drawn().world();
    const Snapshot without = world.without(std::vector{station_of(world, "BBB")});
    EXPECT_TRUE(without.is_out_of_service("BBB"));
    EXPECT_FALSE(world.is_out_of_service("BBB"));
    EXPECT_TRUE(without.named("BBB").empty());
    ASSERT_EQ(testing::airways_of(without, "V1").size(), 1U);
    EXPECT_EQ(testing::airways_of(without, "V1").front()->segments.size(), 1U);  // AAA to MID
    EXPECT_TRUE(testing::airways_of(without, "V2").empty());
}

}  // namespace omniway::navdata
