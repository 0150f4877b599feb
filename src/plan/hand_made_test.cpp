#include "plan/hand_made.hpp"

#include <algorithm>
#include <sstream>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/own_legs.hpp"
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
        std::string change;  // "/N0150A090"
        if (const std::size_t stroke = word.find('/'); stroke != std::string::npos) {
            change = word.substr(stroke);
            word.resize(stroke);
        }
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
        if (!change.empty()) {
            flight::RouteSpeedLevel said;
            said.changes = true;
            said.true_airspeed = base::Speed::knots(std::stod(change.substr(2, 4)));
            said.altitude = Altitude::feet(std::stod(change.substr(7)) * 100.0);
            route.elements.push_back({{change, 1, static_cast<int>(at - change.size()) + 1}, said});
        }
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

// The step of a card that ends there.
static const flight::Step* step_to(const Option& option, const std::string& to) {
    for (const flight::Step& step : option.compiled.card.steps) {
        if (step.to == to) {
            return &step;
        }
    }
    return nullptr;
}

// Out on the radial 060 of AAA to 35 DME, and from there direct to MMM.
TEST(CaseHandMade, APlaceOnARadialIsToldByTheGuidingVorsOwnDme) {
    const auto world = drawn().world();
    const std::string route = "XDEP DCT AAA DCT AAA060035 DCT MMM DCT INI XARR";
    const Option option = made(world, asked(world, route));
    EXPECT_NE(option.verdict, Verdict::not_flyable);
    EXPECT_EQ(route_text(world, option.flight), route);
    const flight::Step* out = step_to(option, "AAA060035");
    ASSERT_NE(out, nullptr);
    const auto& radial = std::get<flight::FollowRadial>(out->guidance);
    EXPECT_EQ(radial.aid.ident, "AAA");
    EXPECT_FALSE(radial.toward);
    EXPECT_NEAR(radial.course.degrees(), 60.0, 1e-9);
    const auto& reading = std::get<flight::ReadingReached>(out->end);
    EXPECT_EQ(reading.aid.ident, "AAA");
    EXPECT_NEAR(reading.reading.nautical_miles(), 35.0, 0.05);
    EXPECT_TRUE(reading.increasing);
}

// From there by a heading that meets the radial 240 of MMM 29 NM out: on a plane map 5.65 NM aside of it, under atan(5.65 / 6.25)
// = 42 degrees; meridians that converge by 0.37 degrees between the two make that 0.2 NM less.
TEST(CaseHandMade, AHeadingToAPlaceOnARadialIsAnInterceptOfIt) {
    const auto world = drawn().world();
    const std::string route = "XDEP DCT AAA DCT AAA060035 DCT MMM240029 DCT MMM DCT INI XARR";
    const Option option = made(world, asked(world, route));
    EXPECT_NE(option.verdict, Verdict::not_flyable);
    EXPECT_EQ(route_text(world, option.flight), route);
    ASSERT_FALSE(of_code(option, "guidance.dead_reckoning").empty());
    EXPECT_EQ(of_code(option, "guidance.dead_reckoning").front().about, "direct from AAA060035 to MMM240029");
    const flight::Step* heading = step_to(option, "MMM240029");
    ASSERT_NE(heading, nullptr);
    EXPECT_TRUE(std::holds_alternative<flight::FlyHeading>(heading->guidance));
    EXPECT_EQ(std::get<flight::NeedleAlive>(heading->end).aid.ident, "MMM");
    EXPECT_NEAR(heading->expected.distance.nautical_miles(), 8.2, 0.5);
    const flight::Step* in = step_to(option, "MMM");
    ASSERT_NE(in, nullptr);
    EXPECT_TRUE(std::get<flight::FollowRadial>(in->guidance).toward);
    EXPECT_NEAR(std::get<flight::FollowRadial>(in->guidance).course.degrees(), 60.0, 1e-9);
}

// 26 NM out it is met under atan(5.65 / 9.25) = 31 degrees, 33 NM out under 68.
TEST(CaseHandMade, AnInterceptAboveFortyFiveDegreesIsNotAdmitted) {
    const auto world = drawn().world();
    const Option steep =
        made(world, asked(world, "XDEP DCT AAA DCT AAA060035 DCT MMM240033 DCT MMM DCT INI XARR"));
    EXPECT_EQ(of_code(steep, "guidance.intercept_too_steep").size(), 1U);
    EXPECT_EQ(steep.verdict, Verdict::not_flyable);
}

// ONEAA is 38 NM out on the radial 090 of AAA, whose line leads 6 NM beside the runway.
//  AAA ---------*------------ ONEAA
//       XDEP  .
TEST(CaseHandMade, TheFirstHeadingFromTheRunwayMeetsTheRadialThatLeadsOverTheFirstFix) {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {-4, 6}, {.dme = ServiceClass::low}).fix("ONEAA", {34, 6});
    sketch.vor("MMM", {68, 20}, {.dme = ServiceClass::low});
    const auto world = sketch.world();
    const Option option = made(world, asked(world, "XDEP DCT ONEAA DCT MMM DCT INI XARR"));
    const auto& legs = option.flight.legs;
    ASSERT_GE(legs.size(), 4U);
    std::size_t i = 0;
    while (i < legs.size() &&
           (!legs[i].ending || !std::holds_alternative<procedure::AtIntercept>(*legs[i].ending))) {
        ++i;
    }
    ASSERT_LT(i, legs.size());
    EXPECT_EQ(legs[i].phase, flight::Phase::departure);
    EXPECT_LE(legs[i].length, Length::nautical_miles(10));
    const auto& on = std::get<procedure::OnRadial>(legs[i + 1].stretches.at(0).guidance);
    EXPECT_EQ(world[on.station].ident, "AAA");
    EXPECT_FALSE(on.toward);
    EXPECT_NEAR(on.course.degrees(), 90.0, 0.6);
    EXPECT_EQ(legs[i + 1].to->ident, "ONEAA");
    EXPECT_NE(option.verdict, Verdict::not_flyable);
    // Named in item 15 by the place where it is met, it is that flight again.
    const std::string route = route_text(world, option.flight);
    EXPECT_EQ(route, "XDEP DCT " + legs[i].to->ident + " DCT ONEAA DCT MMM DCT INI XARR");
    const Option again = made(world, asked(world, route));
    EXPECT_EQ(route_text(world, again.flight), route);
    EXPECT_EQ(again.verdict, option.verdict);
    EXPECT_EQ(again.findings.size(), option.findings.size());
}

// The heading from ONEAA meets the radial 064 of BBB a mile behind it; the VOR MMM stands 39 NM on along that radial. The place is named
// from BBB, so BBB's needle it is that comes alive; MMM takes over midway (14 CFR 95.8001, trade-facts 9.3).
TEST(CaseHandMade, BehindAnInterceptTheAidThatNamesThePlaceGuidesAndTheVorAheadTakesOverMidway) {
    Sketch sketch = drawn();
    sketch.vor("BBB", {32.3, 22.0}, {.dme = ServiceClass::low}).fix("ONEAA", {29.5, 13.2});
    const auto world = sketch.world();
    const std::string route = "XDEP DCT AAA DCT ONEAA DCT BBB064001 DCT MMM DCT INI XARR";
    const Option option = made(world, asked(world, route));
    EXPECT_EQ(route_text(world, option.flight), route);
    const auto& legs = option.flight.legs;
    const auto heading = std::find_if(legs.begin(), legs.end(), [](const flight::Leg& leg) {
        return leg.to && leg.to->ident == "BBB064001";
    });
    ASSERT_NE(heading, legs.end());
    EXPECT_TRUE(std::holds_alternative<procedure::OnHeading>(heading->stretches.at(0).guidance));
    EXPECT_TRUE(std::holds_alternative<procedure::AtIntercept>(heading->ending.value()));
    const flight::Leg& on = *(heading + 1);
    ASSERT_EQ(on.stretches.size(), 2U);
    const auto& out = std::get<procedure::OnRadial>(on.stretches[0].guidance);
    const auto& in = std::get<procedure::OnRadial>(on.stretches[1].guidance);
    EXPECT_EQ(world[out.station].ident, "BBB");
    EXPECT_FALSE(out.toward);
    EXPECT_EQ(world[in.station].ident, "MMM");
    EXPECT_TRUE(in.toward);
    EXPECT_NEAR(on.stretches[0].to.nautical_miles(), 19.5, 0.1);
}

// ONEAA stands on the radial 079 of AAA, and so does the place where the radial 216 of MMM is met 40 NM out: AAA guides there, and its own
// DME tells the place. Without a DME and with one receiver nothing tells it, and it is a heading.
TEST(CaseHandMade, TheWayToAPlaceIsNoHeadingWhereAnAidsOwnRadialLeadsThere) {
    Sketch sketch = drawn();
    sketch.fix("ONEAA", {36.1, 5.2});
    const auto world = sketch.world();
    const std::string route = "XDEP DCT AAA DCT ONEAA DCT MMM216040 DCT MMM DCT INI XARR";
    const auto leads = [&](const Aboard& aboard) {
        const Option option = made(world, asked(world, route, aboard));
        EXPECT_EQ(route_text(world, option.flight), route);
        const auto& legs = option.flight.legs;
        const auto leg = std::find_if(legs.begin(), legs.end(), [](const flight::Leg& each) {
            return each.to && each.to->ident == "MMM216040";
        });
        EXPECT_NE(leg, legs.end());
        return leg == legs.end() ? std::nullopt : procedure::station_of(leg->stretches.at(0).guidance);
    };
    const auto aid = leads(everything);
    ASSERT_TRUE(aid);
    EXPECT_EQ(world[*aid].ident, "AAA");
    EXPECT_FALSE(leads({.receivers = 1, .dme = false, .adf = false, .glideslope = true}));
}

// Every way off the airways that is offered, named in item 15 and given back, is those legs again, and the judge admits them.
RC_GTEST_PROP(LawHandMade, AWayOffTheAirwaysGivenBackIsTheSameLegsAndAdmitted, ()) {
    Sketch sketch = drawn();
    const auto miles = [](int from, int to) {
        return static_cast<double>(*rc::gen::inRange(from, to)) * 0.1;
    };
    sketch.vor("BBB", {miles(250, 450), miles(50, 250)}, {.dme = ServiceClass::low});
    sketch.fix("ONEAA", {miles(200, 400), miles(-50, 200)});
    const auto world = sketch.world();
    const bool from_fix = *rc::gen::arbitrary<bool>();
    const std::string before = from_fix ? "AAA DCT ONEAA" : "AAA";
    const auto point = [&](const std::string& ident) {
        const auto found = world.named(ident).at(0);
        return procedure::PlacedFix{ident, world.position(found), found, false};
    };
    HandMadeRequest request = asked(world, "");
    const radio::Ground ground;
    const flight::Circumstances day{world,
                                    ground,
                                    omniway::testing::magnetic_model(),
                                    request.flight.today,
                                    request.flight.aircraft,
                                    request.flight.settings,
                                    request.flight.winds};
    const auto ways = flight::own_legs(
        day, {.from = point(from_fix ? "ONEAA" : "AAA"),
              .arriving = std::nullopt,
              .to = point("MMM"),
              .onward = base::TrueBearing::degrees(static_cast<double>(*rc::gen::inRange(30, 150))),
              .altitude = Altitude::feet(5000)});
    for (const flight::LegsOrReason& way : ways) {
        if (way.legs.size() != 2) {
            continue;
        }
        request.route =
            words("XDEP DCT " + before + " DCT " + way.legs[0].to->ident + " DCT MMM DCT INI XARR");
        const Option option = made(world, request);
        const auto& legs = option.flight.legs;
        const auto first = std::find_if(legs.begin(), legs.end(), [&](const flight::Leg& leg) {
            return leg.to && leg.to->ident == way.legs[0].to->ident;
        });
        RC_ASSERT(first != legs.end());
        for (std::size_t i = 0; i < 2; ++i) {
            const flight::Leg& again = *(first + static_cast<std::ptrdiff_t>(i));
            RC_ASSERT(earth::distance(again.finish, way.legs[i].finish) < Length::metres(1));
            RC_ASSERT(again.stretches.size() == way.legs[i].stretches.size());
            for (std::size_t s = 0; s < again.stretches.size(); ++s) {
                RC_ASSERT(again.stretches[s].guidance.index() == way.legs[i].stretches[s].guidance.index());
                RC_ASSERT(procedure::station_of(again.stretches[s].guidance) ==
                          procedure::station_of(way.legs[i].stretches[s].guidance));
            }
        }
        RC_ASSERT(first->ending->index() == way.legs[0].ending->index());
        // What may still stand against it is the turn over MMM, which is the test's and not the way's, and what leads to ONEAA.
        for (const base::Finding& finding : option.findings) {
            const bool of_legs = finding.about.find(way.legs[0].to->ident) != std::string::npos;
            RC_ASSERT((finding.grade != Grade::blocks || !of_legs));
        }
    }
}

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

namespace {

// Nothing is heard from AAA as far as TWOAA, where the ILS begins, and over BBB 158 degrees would be turned to it. The line of BBB that leads
// over TWOAA is met 16 NM before it, where AAA is heard too.
//                        *
//  XDEP  MMM ... AAA         TWOAA === XARR
//                                BBB
Sketch reached_by_own_legs() {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.fix("TWOAA", {126, 0});
    navdata::Leg& initial = sketch.records().procedures.at(0).branches.at(0).legs.at(0);
    initial =
        sketch.leg(navdata::PathTerminator::IF, "TWOAA", {.altitude_ft = 3000.0, .description = "E  A"});
    initial.sequence = 10;
    std::erase_if(sketch.records().stations,
                  [](const navdata::Station& station) { return station.ident == "INI"; });
    sketch.vor("MMM", {30, 0}, {.dme = ServiceClass::low});
    sketch.vor("AAA", {90, 0}, {.service = ServiceClass::terminal, .dme = ServiceClass::terminal});
    sketch.vor("BBB", {140, -9}, {.dme = ServiceClass::low});
    return sketch;
}

}  // namespace

// A way that the planner found and a person names is one flight, where a place between two own legs is all its own.
TEST(LawHandMade, AWayOfOwnLegsGivenBackIsTheSameFlight) {
    const auto world = reached_by_own_legs().world();
    HandMadeRequest request = asked(world, "");
    request.flight.own_legs = false;
    const auto planned = [&] {
        return plan(world, radio::Ground{}, omniway::testing::magnetic_model(), request.flight);
    };
    EXPECT_EQ(planned().verdict, Verdict::not_flyable);
    request.flight.own_legs = true;
    const Answer answer = planned();
    ASSERT_NE(answer.verdict, Verdict::not_flyable);
    const std::string route = route_text(world, answer.option->flight);
    // 22.4 NM east and 8.5 north of AAA: 24.0 NM on the bearing 069, which the convergence of meridians makes 070.
    EXPECT_EQ(route, "XDEP DCT MMM DCT AAA DCT AAA070024 DCT TWOAA XARR");
    // Where others are asked for too, it is the first of them.
    request.flight.most_choices = 3;
    const Answer with_others = planned();
    ASSERT_TRUE(with_others.option);
    EXPECT_EQ(route_text(world, with_others.option->flight), route);
    // Nothing of it is flown by heading; but BBB's line is the only one there is.
    request.flight.constraints.no_dead_reckoning = true;
    const Answer without_reckoning = planned();
    ASSERT_TRUE(without_reckoning.option);
    EXPECT_EQ(route_text(world, without_reckoning.option->flight), route);
    request.flight.constraints = {};
    request.flight.constraints.avoid = {world.named("BBB").at(0)};
    EXPECT_EQ(planned().verdict, Verdict::not_flyable);
    request.flight.constraints = {};
    request.route = words(route);
    const Option option = made(world, request);
    EXPECT_EQ(route_text(world, option.flight), route);
    EXPECT_EQ(option.verdict, answer.option->verdict);
    EXPECT_EQ(option.findings, answer.option->findings);
    EXPECT_EQ(option.flight.approach, answer.option->flight.approach);
    EXPECT_NEAR(option.flight.length().nautical_miles(), answer.option->flight.length().nautical_miles(),
                0.001);
}

// A minimum of 9,000 ft on the second airway only: 5,000 ft to MMM, level at 9,000 ft over it.
TEST(CaseHandMade, AChangeOfLevelIsFlownFromItsPointOnAndHoldsTheMinimumBehindIt) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM"}, {.minimum_ft = 4000.0})
        .airway("V2", {"MMM", "INI"}, {.minimum_ft = 9000.0});
    const auto world = sketch.world();
    const Option low = made(world, asked(world, "XDEP DCT AAA V1 MMM V2 INI XARR"));
    EXPECT_EQ(low.verdict, Verdict::not_flyable);
    const Option option = made(world, asked(world, "XDEP DCT AAA V1 MMM/N0150A090 V2 INI XARR"));
    EXPECT_NE(option.verdict, Verdict::not_flyable)
        << (option.findings.empty() ? "" : option.findings.front().code + " " + option.findings.front().text);
    ASSERT_EQ(option.flight.level_changes.size(), 1U);
    const flight::LevelChange& change = option.flight.level_changes.front();
    EXPECT_EQ(change.at, "MMM");
    EXPECT_DOUBLE_EQ(change.from.feet(), 5000);
    EXPECT_DOUBLE_EQ(change.to.feet(), 9000);
    EXPECT_NEAR(option.flight.altitude_at(change.fix_along).feet(), 9000, 1.0);
    // 8.6 NM in calm air (level_change_test.cpp).
    EXPECT_NEAR((change.fix_along - change.begins).nautical_miles(), 8.6, 0.1);
    EXPECT_DOUBLE_EQ(change.ends.nautical_miles(), change.fix_along.nautical_miles());
    // On the card: what to be level at, and when to begin.
    std::size_t climbs = 0;
    bool told = false;
    for (const flight::Step& step : option.compiled.card.steps) {
        climbs += step.heights.level_at == "MMM" && step.to == "MMM" ? 1 : 0;
        for (const flight::StepWork& work : step.work) {
            const auto* leave = std::get_if<flight::LeaveAltitude>(&work);
            told = told || (leave != nullptr && leave->says.starts_with("leave 5,000 ft ") &&
                            leave->says.ends_with(" to be level at 9,000 ft over MMM"));
        }
    }
    EXPECT_EQ(climbs, 1U);
    EXPECT_TRUE(told);
    EXPECT_TRUE(of_code(option, "altitude.level_late").empty());
}

// Judged by hand, written back as item 15 and read again: the same flight.
TEST(LawHandMade, AFlightThatChangesItsLevelIsTheSameWhenItsRouteIsReadAgain) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"}).airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    for (const std::string text :
         {"XDEP DCT AAA V1 MMM/N0150A090 V1 INI XARR", "XDEP DCT AAA/N0150A070 V1 MMM/N0150A060 V1 INI XARR",
          "XDEP DCT AAA/N0150A090 DCT MMM DCT INI XARR", "XDEP DCT AAA/N0150A110 V2 INI XARR"}) {
        const Option option = made(world, asked(world, text));
        const std::string written = route_text(world, option.flight);
        EXPECT_EQ(written, text);
        const Option again = made(world, asked(world, written));
        EXPECT_EQ(again.verdict, option.verdict);
        EXPECT_EQ(again.compiled.card, option.compiled.card);
        ASSERT_EQ(again.flight.legs.size(), option.flight.legs.size());
        for (std::size_t i = 0; i < again.flight.legs.size(); ++i) {
            EXPECT_EQ(again.flight.legs[i].level, option.flight.legs[i].level) << i;
        }
    }
}

TEST(CaseHandMade, AMaximumBeforeTheClimbMakesItLateAndTheMinimumBehindItBlocks) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM"}, {.minimum_ft = 4000.0, .maximum_ft = 6000.0})
        .airway("V2", {"MMM", "INI"}, {.minimum_ft = 4000.0});
    const auto world = sketch.world();
    const Option option = made(world, asked(world, "XDEP DCT AAA V1 MMM/N0150A090 V2 INI XARR"));
    const auto late = of_code(option, "altitude.level_late");
    ASSERT_EQ(late.size(), 1U);
    EXPECT_EQ(late.front().grade, Grade::warns);
    EXPECT_NE(late.front().text.find("is crossed at 6000 ft: no more than 6000 ft is flown before it"),
              std::string::npos)
        << late.front().text;
    EXPECT_TRUE(of_code(option, "altitude.above_maximum").empty());
    EXPECT_NE(option.verdict, Verdict::not_flyable);
}

// The rule asks each level: 5,000 ft suits an eastbound flight, 6,000 ft does not.
TEST(CaseHandMade, EachLevelIsHeldToTheSemicircularRule) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"});
    const auto world = sketch.world();
    EXPECT_TRUE(of_code(made(world, asked(world, "XDEP DCT AAA V1 MMM/N0150A090 V1 INI XARR")),
                        "altitude.semicircular")
                    .empty());
    const auto said = of_code(made(world, asked(world, "XDEP DCT AAA V1 MMM/N0150A060 V1 INI XARR")),
                              "altitude.semicircular");
    ASSERT_EQ(said.size(), 1U);
    EXPECT_EQ(said.front().about, "6000 ft");
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

TEST(CaseHandMade, OfTwoPointsOfOneNameThatWhichACardMeansIsTakenAndAFlightTellsWhichItMeant) {
    Sketch sketch = drawn();
    sketch.fix("TWICE", {60, 5});
    Sketch far = drawn();
    far.fix("TWICE", {65, 12});
    navdata::Fix second = far.records().fixes.back();
    second.region = "YY";
    sketch.records().fixes.push_back(second);
    const auto world = sketch.world();
    HandMadeRequest request = asked(world, "XDEP DCT AAA DCT TWICE DCT INI XARR");
    request.meant = {{"TWICE", "fix", sketch.at({65, 12})}};
    const Option option = made(world, request);
    EXPECT_TRUE(of_code(option, "way.name_twice").empty());
    const auto leg = std::find_if(option.flight.legs.begin(), option.flight.legs.end(),
                                  [](const auto& each) { return each.to && each.to->ident == "TWICE"; });
    ASSERT_NE(leg, option.flight.legs.end());
    EXPECT_LT(earth::distance(leg->finish, sketch.at({65, 12})).nautical_miles(), 0.01);
    EXPECT_EQ(points_meant(world, option.flight), request.meant);
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
