#include "plan/hand_made.hpp"

#include <algorithm>
#include <sstream>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"
#include "tests/sketch_judged.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Grade;
using base::Length;
using base::Verdict;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::draw_eastbound_ils;
using omniway::testing::Sketch;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

// Words as the reader of item 15 gives them (readers/item15.hpp), which this floor does not see.
flight::Route words(const std::string& text) {
    flight::Route route;
    std::istringstream stream(text);
    for (std::string word; stream >> word;) {
        const auto at = stream.tellg() < 0 ? text.size() : static_cast<std::size_t>(stream.tellg());
        flight::RouteElement element;
        element.token = {word, 1, static_cast<int>(at - word.size()) + 1};
        const std::size_t letters = word.find_first_of("0123456789");
        if (word == "DCT") {
            element.word = flight::RouteDirect{};
        } else if (letters == std::string::npos) {
            element.word = flight::RoutePoint{word};
        } else if (word.size() == letters + 6) {
            element.word = flight::RouteBearingDistance{
                word.substr(0, letters), base::MagneticBearing::degrees(std::stod(word.substr(letters, 3))),
                Length::nautical_miles(std::stod(word.substr(letters + 3)))};
        } else {
            element.word = flight::RouteAirway{word};
        }
        route.elements.push_back(element);
    }
    return route;
}

HandMadeRequest asked(const navdata::Snapshot& world, const std::string& text,
                      const Aboard& aboard = everything, double cruise_ft = 5000.0) {
    HandMadeRequest request;
    request.route = words(text);
    request.flight.from = *world.airport("XDEP");
    request.flight.to = *world.airport("XARR");
    request.flight.aircraft = aircraft_with(aboard);
    request.flight.cruise = Altitude::feet(cruise_ft);
    request.flight.settings.off_airway_minimum = Altitude::feet(3000);
    request.flight.today = earth::DecimalYear{2026.0};
    return request;
}

Option made(const navdata::Snapshot& world, const HandMadeRequest& request) {
    auto option = hand_made(world, radio::Ground{}, omniway::testing::magnetic_model(), request);
    if (!option) {
        ADD_FAILURE() << base::to_text(option.error().front());
        return {};
    }
    return std::move(*option);
}

std::vector<base::Error> refused(const navdata::Snapshot& world, const std::string& text) {
    const auto option =
        hand_made(world, radio::Ground{}, omniway::testing::magnetic_model(), asked(world, text));
    EXPECT_FALSE(option) << text;
    return option ? std::vector<base::Error>{} : option.error();
}

std::vector<base::Finding> of_code(const Option& option, const std::string& code) {
    std::vector<base::Finding> found;
    std::copy_if(option.findings.begin(), option.findings.end(), std::back_inserter(found),
                 [&](const base::Finding& finding) { return finding.code == code; });
    return found;
}

// XDEP at the origin, an eastbound ILS at (140, 0) begun over the VOR INI 14 NM before it; AAA near XDEP.
Sketch drawn() {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {10, 0}, {.dme = ServiceClass::low}).vor("MMM", {68, 40}, {.dme = ServiceClass::low});
    return sketch;
}

}  // namespace

// A way that the planner found and a person names is one flight.
TEST(LawHandMade, TheWayOfThePlannerGivenBackIsTheSameFlight) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"}).airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    HandMadeRequest request = asked(world, "");
    const Answer planned = plan(world, radio::Ground{}, omniway::testing::magnetic_model(), request.flight);
    ASSERT_TRUE(planned.option);
    const std::string route = route_text(world, planned.option->flight);
    request.route = words(route);
    const Option option = made(world, request);
    EXPECT_EQ(route_text(world, option.flight), route);
    EXPECT_EQ(option.verdict, planned.option->verdict);
    EXPECT_EQ(option.flight.approach, planned.option->flight.approach);
    EXPECT_NEAR(option.flight.length().nautical_miles(), planned.option->flight.length().nautical_miles(),
                0.001);
}

TEST(CaseHandMade, ALongerAirwayNamedIsTheOneFlown) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"}).airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    const Option option = made(world, asked(world, "XDEP DCT AAA V1 INI XARR"));
    EXPECT_EQ(route_text(world, option.flight), "XDEP DCT AAA V1 INI XARR");
    EXPECT_NE(option.verdict, Verdict::not_flyable);
}

TEST(CaseHandMade, AnAirwayNamedBackwardIsFlownBackwardAndItsOneWayBlocks) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"INI", "MMM", "AAA"})
        .airway("V2", {"INI", "AAA"}, {.direction = navdata::AirwayDirection::forward_only});
    const auto world = sketch.world();
    EXPECT_NE(made(world, asked(world, "XDEP DCT AAA V1 INI XARR")).verdict, Verdict::not_flyable);
    const Option against = made(world, asked(world, "XDEP DCT AAA V2 INI XARR"));
    EXPECT_EQ(against.verdict, Verdict::not_flyable);
    ASSERT_EQ(of_code(against, "airway.wrong_direction").size(), 1U);
    EXPECT_TRUE(of_code(against, "airway.wrong_direction").front().step);
}

TEST(CaseHandMade, EachLegBelowItsMinimumIsFoundAndNotOnlyTheFirst) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM"}, {.minimum_ft = 9000.0})
        .airway("V2", {"MMM", "INI"}, {.minimum_ft = 8000.0});
    const auto world = sketch.world();
    const Option option = made(world, asked(world, "XDEP DCT AAA V1 MMM V2 INI XARR"));
    EXPECT_EQ(option.verdict, Verdict::not_flyable);
    const auto low = of_code(option, "altitude.below_minimum");
    ASSERT_GE(low.size(), 2U);
    EXPECT_NE(low[0].text.find("9000 ft"), std::string::npos) << low[0].text;
    EXPECT_NE(low[1].text.find("8000 ft"), std::string::npos) << low[1].text;
    EXPECT_LT(low[0].step, low[1].step);
}

TEST(CaseHandMade, AnRnavAirwayIsRefusedAndTheSameTrackFlownOffTheAirways) {
    Sketch sketch = drawn();
    sketch.fix("WAYAA", {68, 0}).airway("T5", {"AAA", "WAYAA", "INI"});
    const auto world = sketch.world();
    const Option option = made(world, asked(world, "XDEP DCT AAA T5 INI XARR"));
    ASSERT_EQ(of_code(option, "airway.area_navigation").size(), 1U);
    EXPECT_EQ(of_code(option, "airway.area_navigation").front().grade, Grade::warns);
    EXPECT_EQ(route_text(world, option.flight), "XDEP DCT AAA DCT INI XARR");
}

// Distance from AAA and radial by its own zero: with a declination of 20 degrees east radial 090 leads to 110 true.
TEST(CaseHandMade, ABearingFromAVorCountsFromItsOwnZero) {
    Sketch sketch = drawn();
    sketch.vor("DEC", {60, 0}, {.dme = ServiceClass::low, .declination_deg = 20.0});
    const auto world = sketch.world();
    const Option option = made(world, asked(world, "XDEP DCT AAA DCT DEC DCT DEC090020 DCT INI XARR"));
    const auto leg = std::find_if(option.flight.legs.begin(), option.flight.legs.end(),
                                  [](const auto& each) { return each.to && each.to->ident == "DEC090020"; });
    ASSERT_NE(leg, option.flight.legs.end());
    EXPECT_NEAR(leg->track.degrees(), 110.0, 0.01);
    EXPECT_NEAR(leg->length.nautical_miles(), 20.0, 0.001);
}

TEST(CaseHandMade, AFixThatTheEquipmentCannotTellBlocksByItsName) {
    Sketch sketch = drawn();
    sketch.fix("BENDA", {60, 5});
    const auto world = sketch.world();
    const std::string route = "XDEP DCT AAA DCT BENDA DCT INI XARR";
    constexpr Aboard one_receiver{.receivers = 1, .dme = false, .adf = false, .glideslope = true};
    const auto untold = of_code(made(world, asked(world, route, one_receiver)), "fix.not_told");
    ASSERT_FALSE(untold.empty());
    EXPECT_EQ(untold.front().about, "BENDA");
    EXPECT_TRUE(of_code(made(world, asked(world, route, everything)), "fix.not_told").empty());
}

TEST(CaseHandMade, OfTwoPointsOfOneNameTheNearerToThePointBeforeIsMeantAndSaid) {
    Sketch sketch = drawn();
    sketch.fix("TWICE", {60, 5});
    Sketch far = drawn();
    far.fix("TWICE", {90, -60});
    navdata::Fix second = far.records().fixes.back();
    second.region = "YY";
    sketch.records().fixes.push_back(second);
    const auto world = sketch.world();
    const Option option = made(world, asked(world, "XDEP DCT AAA DCT TWICE DCT INI XARR"));
    ASSERT_EQ(of_code(option, "way.name_twice").size(), 1U);
    const auto leg = std::find_if(option.flight.legs.begin(), option.flight.legs.end(),
                                  [](const auto& each) { return each.to && each.to->ident == "TWICE"; });
    ASSERT_NE(leg, option.flight.legs.end());
    EXPECT_LT(earth::distance(leg->finish, sketch.at({60, 5})).nautical_miles(), 0.01);
}

TEST(CaseHandMade, ARouteThatEndsWhereNoApproachBeginsIsJudgedToItsEnd) {
    Sketch sketch = drawn();
    const auto world = sketch.world();
    const Option option = made(world, asked(world, "XDEP DCT AAA DCT MMM XARR"));
    EXPECT_EQ(option.verdict, Verdict::not_flyable);
    ASSERT_EQ(of_code(option, "approach.not_begun").size(), 1U);
    EXPECT_NE(of_code(option, "approach.not_begun").front().text.find("I09 at INI"), std::string::npos)
        << of_code(option, "approach.not_begun").front().text;
    EXPECT_EQ(option.flight.legs.back().to->ident, "MMM");
}

TEST(CaseHandMade, AnApproachThatTheEquipmentCannotFlyIsJudgedWithWhatItLacks) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    constexpr Aboard no_glideslope{.receivers = 2, .dme = true, .adf = false, .glideslope = false};
    const Option option = made(world, asked(world, "XDEP DCT AAA V2 INI XARR", no_glideslope));
    EXPECT_EQ(option.verdict, Verdict::not_flyable);
    std::string said;
    for (const base::Finding& finding : option.findings) {
        said += finding.grade == Grade::blocks
                    ? finding.code + " " + finding.about + ": " + finding.text + "\n"
                    : "";
    }
    EXPECT_NE(said.find("glideslope"), std::string::npos) << said;
}

TEST(CaseHandMade, WithoutAnAltitudeTheLowestLevelThatDoesIsFlownAndSaid) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"}, {.minimum_ft = 4000.0});
    const auto world = sketch.world();
    HandMadeRequest request = asked(world, "XDEP DCT AAA V2 INI XARR");
    request.flight.cruise.reset();
    const Option option = made(world, request);
    EXPECT_NE(option.verdict, Verdict::not_flyable);
    EXPECT_DOUBLE_EQ(option.flight.cruise.feet(), 5000.0);  // eastbound: odd thousands
    EXPECT_EQ(of_code(option, "way.altitude_chosen").size(), 1U);
}

TEST(LawHandMade, EveryFaultIsToldAtItsWord) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"});
    const auto world = sketch.world();
    const auto faults = refused(world, "XDEP DCT AAX V1 INI V7 MIS DCT ZZZZZ V1 FINAA XARR");
    std::vector<std::string> found;
    for (const base::Error& each : faults) {
        found.push_back(each.code + "@" + each.where);
    }
    EXPECT_EQ(found,
              (std::vector<std::string>{"route.unknown_point@ROUTE:1:10", "route.unknown_airway@ROUTE:1:21",
                                        "route.unknown_point@ROUTE:1:32"}));
    EXPECT_NE(faults[0].message.find("did you mean AAA?"), std::string::npos) << faults[0].message;
}

TEST(CaseHandMade, AnAirwayThatDoesNotPassAPointSaysWhatItPassesAndWhatIsNearest) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"});
    const auto world = sketch.world();
    const auto faults = refused(world, "XDEP DCT AAA V1 FINAA XARR");
    ASSERT_EQ(faults.size(), 1U);
    EXPECT_EQ(faults.front().code, "route.not_on_airway");
    EXPECT_EQ(faults.front().where, "ROUTE:1:17");
    EXPECT_NE(
        faults.front().message.find("V1 does not pass FINAA; it runs AAA MMM INI; nearest to FINAA on it "
                                    "are INI (9 NM) and MMM"),
        std::string::npos)
        << faults.front().message;
}

TEST(CaseHandMade, AnAirwayNeedsAPointToJoinAndOneToLeaveIt) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"});
    const auto world = sketch.world();
    EXPECT_EQ(refused(world, "XDEP V1 INI XARR").front().code, "route.airway_without_point");
    EXPECT_EQ(refused(world, "XDEP DCT AAA V1 XARR").front().code, "route.airway_without_point");
    EXPECT_EQ(refused(world, "XDEP DCT XARR").front().code, "route.procedure_without_point");
}

}  // namespace omniway::plan
