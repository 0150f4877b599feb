#include "plan/route_words.hpp"

#include <gtest/gtest.h>

#include "tests/sketch.hpp"

namespace omniway::plan {

using flight::Phase;
using omniway::testing::Sketch;

namespace {

flight::RouteElement point(const std::string& ident) {
    return {{ident, 1, 1}, flight::RoutePoint{ident}};
}
flight::RouteElement airway(const std::string& designator) {
    return {{designator, 1, 1}, flight::RouteAirway{designator}};
}
flight::RouteElement direct() {
    return {{"DCT", 1, 1}, flight::RouteDirect{}};
}
flight::RouteElement level_change() {
    flight::RouteSpeedLevel said;
    said.changes = true;
    return {{"/N0110A080", 1, 1}, said};
}

flight::TrackStep step(int number, Phase phase, const std::string& to) {
    flight::TrackStep made;
    made.number = number;
    made.phase = phase;
    made.to = to;
    return made;
}

navdata::Snapshot world() {
    Sketch sketch;
    sketch.airport("XDEP", {0, 0}).airport("XARR", {100, 0});
    sketch.vor("AAA", {10, 0}).vor("BBB", {40, 0}).fix("CCCCC", {60, 0}).fix("DDDDD", {80, 0});
    return sketch.world();
}

//      1    2   3   4  5             6  7     8   9     10
//      XDEP DCT AAA V1 BBB/N0110A080 V1 CCCCC DCT DDDDD XARR
flight::Route route() {
    return {{point("XDEP"), direct(), point("AAA"), airway("V1"), point("BBB"), level_change(), airway("V1"),
             point("CCCCC"), direct(), point("DDDDD"), point("XARR")}};
}

// Off, over AAA and up in the hold there, to a changeover, over BBB, straight on over CCCCC, and in.
flight::FlightTrack track() {
    flight::FlightTrack made;
    made.steps = {step(1, Phase::departure, ""),    step(2, Phase::departure, "AAA"),
                  step(3, Phase::departure, "AAA"), step(4, Phase::en_route, ""),
                  step(5, Phase::en_route, "BBB"),  step(6, Phase::en_route, "DDDDD"),
                  step(7, Phase::approach, "FINAL")};
    made.missed = {step(8, Phase::missed, "AAA")};
    return made;
}

}  // namespace

TEST(CaseRouteWords, AStepStandsAtThePointThatItLeadsTo) {
    const auto here = world();
    const RouteWords words(here, route(), track());
    std::vector<int> found;
    for (int number = 1; number <= 8; ++number) {
        found.push_back(words.of_step(number).value_or(0));
    }
    EXPECT_EQ(found, (std::vector<int>{3, 3, 3, 5, 5, 9, 10, 10}));
    EXPECT_FALSE(words.of_step(9));
}

TEST(CaseRouteWords, AFindingStandsAtItsStepOrAtTheWordItNamesFirst) {
    const auto here = world();
    const RouteWords words(here, route(), track());
    base::Finding finding;
    finding.about = "BBB";
    EXPECT_EQ(words.of(finding), 5);
    finding.about = "XARR RW27";
    EXPECT_EQ(words.of(finding), 10);
    finding.about = "V1 AAA to BBB";
    EXPECT_EQ(words.of(finding), 4);
    finding.about = "5000 ft";
    EXPECT_EQ(words.of(finding), std::nullopt);
    finding.step = 6;
    EXPECT_EQ(words.of(finding), 9);
}

TEST(CaseRouteWords, APlaceWithoutARecordIsKnownByWhereItIs) {
    const auto here = world();
    const auto place = earth::Position::degrees(40.5, -169.5);
    flight::Route by_degrees{{point("XDEP"),
                              direct(),
                              {{"4030N16930W", 1, 1}, flight::RouteCoordinates{place}},
                              direct(),
                              point("BBB")}};
    flight::FlightTrack flown;
    flown.steps = {step(1, Phase::en_route, "4030N16930W"), step(2, Phase::en_route, "BBB")};
    flown.steps[0].finish = earth::Position::degrees(40.5005, -169.5);
    const RouteWords words(here, by_degrees, flown);
    EXPECT_EQ(words.of_step(1), 3);
    EXPECT_EQ(words.of_step(2), 5);
}

}  // namespace omniway::plan
