#include "routing/constraints.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "routing/search.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::routing {

using base::Altitude;
using base::Angle;
using base::Length;
using base::TrueBearing;
using earth::Position;
using flight::Leg;
using navdata::ServiceClass;
using omniway::testing::equipment;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::HasSubstr;

namespace {

// WGS 84 (NIMA TR8350.2): the equator is a circle of this radius, and the meridian has a (1 - e2) where it crosses it.
constexpr double equator_radius_m = 6378137.0;
constexpr double meridian_radius_m = 6378137.0 * (1.0 - 0.00669437999014);
constexpr double degrees_per_radian = 180.0 / std::numbers::pi;

Position north_of_equator(double nm, double longitude_deg) {
    return Position::degrees(nm * 1852.0 / meridian_radius_m * degrees_per_radian, longitude_deg);
}

procedure::PlacedFix placed(const std::string& ident, Position position) {
    return {ident, position, std::nullopt, false};
}

Leg along_equator() {
    return flight::straight_leg(placed("WEST", Position::degrees(0, 0)),
                                placed("EAST", Position::degrees(0, 2)));
}

Constraints clear_of(Position centre, Length radius) {
    Constraints constraints;
    constraints.avoid_areas.push_back({"HERE/X", centre, radius});
    return constraints;
}

Leg guided(Leg leg, procedure::Guidance guidance) {
    leg.stretches = {{Length(), leg.length, std::move(guidance)}};
    return leg;
}

std::string code(const Constraints& constraints, const navdata::Snapshot& world, const Leg& leg) {
    const auto broken = broken_by(constraints, world, leg);
    EXPECT_EQ(allows(constraints, world, leg), !broken);
    return broken ? broken->code : "kept";
}

// Of the circle about `station` that `nm` are read on, clockwise or not.
Leg arc_leg(navdata::StationId station, Position centre, double nm, double from_deg, double swept_deg) {
    const bool clockwise = swept_deg > 0.0;
    const Length radius = Length::nautical_miles(nm);
    Leg leg;
    leg.via = "ARC";
    leg.published = true;
    leg.start = earth::destination(centre, TrueBearing::degrees(from_deg), radius);
    leg.finish = earth::destination(centre, TrueBearing::degrees(from_deg + swept_deg), radius);
    leg.track = TrueBearing::degrees(from_deg + (clockwise ? 90.0 : -90.0));
    leg.length = Length::nautical_miles(nm * std::abs(swept_deg) / degrees_per_radian);
    leg.stretches = {{Length(), leg.length, procedure::OnArc{station, radius, clockwise}}};
    return leg;
}

}  // namespace

TEST(TruthConstraints, AnAreaBesideTheEquatorIsAsFarFromALegAlongItAsTheMeridianIsLong) {
    const auto world = Sketch().world();
    const Position centre = north_of_equator(10.0, 1.0);
    EXPECT_EQ(code(clear_of(centre, Length::nautical_miles(9.95)), world, along_equator()), "kept");
    EXPECT_EQ(code(clear_of(centre, Length::nautical_miles(10.05)), world, along_equator()),
              "constraint.avoided_area");
}

TEST(TruthConstraints, BeyondTheEndOfALegItsEndIsNearest) {
    const auto world = Sketch().world();
    const double beyond_nm = 0.5 / degrees_per_radian * equator_radius_m / 1852.0;  // 30.05
    const Position centre = Position::degrees(0.0, 2.5);
    EXPECT_EQ(code(clear_of(centre, Length::nautical_miles(beyond_nm - 0.05)), world, along_equator()),
              "kept");
    EXPECT_EQ(code(clear_of(centre, Length::nautical_miles(beyond_nm + 0.05)), world, along_equator()),
              "constraint.avoided_area");
}

TEST(TruthConstraints, AnArcIsAsFarAsItsRadiusSaysWhereItPassesAndNoNearerThanItsEndsElsewhere) {
    Sketch sketch;
    sketch.vor("ARC", {0, 0}, {.dme = ServiceClass::low});
    const auto world = sketch.world();
    const navdata::StationId station = station_of(world, "ARC");
    const Position centre = sketch.place("ARC");
    const auto at = [&](double bearing_deg, double nm) {
        return earth::destination(centre, TrueBearing::degrees(bearing_deg), Length::nautical_miles(nm));
    };
    for (const Leg& leg : {arc_leg(station, centre, 10, 0, 90), arc_leg(station, centre, 10, 90, -90)}) {
        // On the radial from its middle 4 NM lie between; a chord of it would pass 6.9 NM away.
        EXPECT_EQ(code(clear_of(at(45, 14), Length::nautical_miles(3.95)), world, leg), "kept");
        EXPECT_EQ(code(clear_of(at(45, 14), Length::nautical_miles(4.05)), world, leg),
                  "constraint.avoided_area");
        // Inside it the chord passes, and the arc does not.
        EXPECT_EQ(code(clear_of(at(45, 7), Length::nautical_miles(2.95)), world, leg), "kept");
        // Opposite it lies no part of the arc: the ends are 14.1 NM away, at right angles to each other.
        EXPECT_EQ(code(clear_of(at(225, 10), Length::nautical_miles(10.0)), world, leg), "kept");
    }
    // The long way round passes there.
    EXPECT_EQ(code(clear_of(at(225, 14), Length::nautical_miles(4.05)), world,
                   arc_leg(station, centre, 10, 0, -270)),
              "constraint.avoided_area");
}

RC_GTEST_PROP(BruteConstraints, ALegKeepsOutOfAnAreaWhereNoPlaceOfItLiesInside, ()) {
    const auto world = Sketch().world();
    const Position from = Position::degrees(*rc::gen::inRange(-85, 86), *rc::gen::inRange(-180, 180));
    const Leg leg = flight::straight_leg(
        placed("A", from),
        placed("B", earth::destination(from, TrueBearing::degrees(*rc::gen::inRange(0, 360)),
                                       Length::nautical_miles(*rc::gen::inRange(1, 200)))));
    const Position centre = earth::destination(from, TrueBearing::degrees(*rc::gen::inRange(0, 360)),
                                               Length::nautical_miles(*rc::gen::inRange(1, 250)));
    constexpr int places = 2000;
    double nearest_nm = 1e9;
    for (int i = 0; i <= places; ++i) {
        const Position on_leg =
            earth::destination(from, leg.track, leg.length * (static_cast<double>(i) / places));
        nearest_nm = std::min(nearest_nm, earth::distance(on_leg, centre).nautical_miles());
    }
    RC_ASSERT(allows(clear_of(centre, Length::nautical_miles(std::max(0.0, nearest_nm - 0.05))), world, leg));
    RC_ASSERT(!allows(clear_of(centre, Length::nautical_miles(nearest_nm + 0.05)), world, leg));
}

RC_GTEST_PROP(LawConstraints, WhatKeepsOutOfAnAreaKeepsOutOfASmallerOneAboutTheSamePlace, ()) {
    const auto world = Sketch().world();
    const Position centre =
        north_of_equator(*rc::gen::inRange(0, 400) / 10.0, *rc::gen::inRange(-5, 25) / 10.0);
    const Length large = Length::nautical_miles(*rc::gen::inRange(1, 1000) / 10.0);
    RC_PRE(allows(clear_of(centre, large), world, along_equator()));
    RC_ASSERT(allows(clear_of(centre, large * (*rc::gen::inRange(0, 100) / 100.0)), world, along_equator()));
}

TEST(CaseConstraints, AFixIsAvoidedWhereALegPassesOverItAndNotOnlyWhereItEnds) {
    Sketch sketch(Position::degrees(0, 0));
    sketch.fix("OVER", {60, 0}).fix("ASIDE", {60, 0.3});
    const auto world = sketch.world();
    Constraints over;
    over.avoid.push_back(world.named("OVER").at(0));
    EXPECT_EQ(code(over, world, along_equator()), "constraint.avoided_point");
    Constraints aside;
    aside.avoid.push_back(world.named("ASIDE").at(0));
    EXPECT_EQ(code(aside, world, along_equator()), "kept");
}

TEST(CaseConstraints, AStationThatIsAvoidedNeitherGuidesNorTellsAFix) {
    Sketch sketch(Position::degrees(0, 0));
    sketch.vor("GUI", {-10, 0}).vor("TEL", {60, 20});
    const auto world = sketch.world();
    Leg leg = guided(along_equator(),
                     procedure::OnRadial{station_of(world, "GUI"), false, base::Radial::degrees(90)});
    const fixing::Telling telling{
        fixing::CrossingRadial{station_of(world, "TEL"), base::Radial::degrees(110)}, Length(),
        Angle::degrees(70)};
    leg.ending = procedure::AtFix{*leg.to, telling};
    for (const std::string name : {"GUI", "TEL"}) {
        Constraints constraints;
        constraints.avoid.push_back(navdata::Point(station_of(world, name)));
        const auto broken = broken_by(constraints, world, leg);
        ASSERT_TRUE(broken);
        EXPECT_EQ(broken->code, "constraint.avoided_station");
        EXPECT_THAT(broken->text, HasSubstr(name));
        EXPECT_FALSE(name == "TEL" && allowed_telling(constraints, world, {telling}));
    }
    EXPECT_TRUE(allowed_telling({}, world, {telling}));
}

TEST(CaseConstraints, WithoutNdbsNoneGuidesOrTells) {
    Sketch sketch(Position::degrees(0, 0));
    sketch.ndb("BCN", {130, 0}).vor("VOR", {130, 1});
    const auto world = sketch.world();
    const Constraints no_ndb{.no_beacon = true};
    const procedure::OnBeacon beacon{station_of(world, "BCN"), true, TrueBearing::degrees(90)};
    EXPECT_EQ(code(no_ndb, world, guided(along_equator(), beacon)), "constraint.beacon");
    EXPECT_EQ(code({}, world, guided(along_equator(), beacon)), "kept");
    const fixing::Telling by_beacon{
        fixing::CrossingBearing{station_of(world, "BCN"), TrueBearing::degrees(10)}, Length(),
        Angle::degrees(80)};
    const fixing::Telling by_vor{fixing::CrossingRadial{station_of(world, "VOR"), base::Radial::degrees(10)},
                                 Length(), Angle::degrees(80)};
    const auto telling = allowed_telling(no_ndb, world, {by_beacon, by_vor});
    ASSERT_TRUE(telling);
    EXPECT_TRUE(std::holds_alternative<fixing::CrossingRadial>(telling->way));
}

TEST(CaseConstraints, AnAirwayIsAvoidedByItsDesignator) {
    const auto world = Sketch().world();
    Leg leg = along_equator();
    leg.via = "V12";
    EXPECT_EQ(code({.avoid_airways = {"V12"}}, world, leg), "constraint.avoided_airway");
    EXPECT_EQ(code({.avoid_airways = {"V1"}}, world, leg), "kept");
}

TEST(CaseConstraints, DeadReckoningIsWhatNoProcedureAndNoTurnAfterTakeOffAsksFor) {
    const auto world = Sketch().world();
    const Constraints none{.no_dead_reckoning = true};
    const procedure::OnHeading heading{TrueBearing::degrees(90)};
    Leg leg = guided(along_equator(), heading);
    EXPECT_EQ(code(none, world, leg), "constraint.dead_reckoning");
    leg.published = true;
    EXPECT_EQ(code(none, world, leg), "kept");
    leg.published = false;
    leg.ending = procedure::AtAltitude{Altitude::feet(400)};
    EXPECT_EQ(code(none, world, leg), "kept");
    leg.ending.reset();
    leg.phase = flight::Phase::departure;
    leg.stretches = {{Length(), Length::nautical_miles(0.5), heading}};
    EXPECT_EQ(code(none, world, leg), "kept");
    leg.stretches = {{Length(), Length::nautical_miles(3.0), heading}};
    EXPECT_EQ(code(none, world, leg), "constraint.dead_reckoning");
}

TEST(CaseConstraints, ALegsOwnLevelIsHeldAgainstTheHighest) {
    const auto world = Sketch().world();
    const Constraints low{.highest = Altitude::feet(8000)};
    Leg leg = along_equator();
    leg.level = Altitude::feet(9000);
    EXPECT_EQ(code(low, world, leg), "constraint.above_highest");
    leg.level = Altitude::feet(8000);
    EXPECT_EQ(code(low, world, leg), "kept");
}

TEST(CaseConstraints, AHoldAndAProcedureTurnReachOutOnTheirOwnSideAlone) {
    const auto world = Sketch().world();
    Leg hold;
    hold.start = hold.finish = Position::degrees(0, 0);
    hold.track = TrueBearing::degrees(90);  // inbound
    hold.ending = procedure::AtHold{placed("FIX", hold.start), navdata::Turn::right, false, std::nullopt};
    // Right turns from an eastbound inbound course: the hold lies to the south-west.
    EXPECT_EQ(code(clear_of(north_of_equator(-2.4, -1.0 / 60.0), Length::nautical_miles(0.5)), world, hold),
              "constraint.avoided_area");
    EXPECT_EQ(code(clear_of(north_of_equator(2.4, -1.0 / 60.0), Length::nautical_miles(0.5)), world, hold),
              "kept");
    Leg turn;
    turn.start = turn.finish = Position::degrees(0, 0);
    turn.track = TrueBearing::degrees(90);  // outbound
    turn.ending =
        procedure::AtCourseReversed{"FIX", Length::nautical_miles(10), std::nullopt, navdata::Turn::right};
    // A turn back to the right follows a barb on the left: to the north.
    EXPECT_EQ(code(clear_of(north_of_equator(3.0, 8.0 / 60.0), Length::nautical_miles(0.5)), world, turn),
              "constraint.avoided_area");
    EXPECT_EQ(code(clear_of(north_of_equator(-3.0, 8.0 / 60.0), Length::nautical_miles(0.5)), world, turn),
              "kept");
    EXPECT_EQ(code(clear_of(north_of_equator(-0.5, 9.0 / 60.0), Length::nautical_miles(0.6)), world, turn),
              "constraint.avoided_area");
}

TEST(CaseConstraints, PointsOfTheWayAreFlownOverInTheirOrder) {
    Sketch sketch(Position::degrees(0, 0));
    sketch.fix("ONE", {30, 0}).fix("TWO", {90, 0}).fix("OFF", {60, 5});
    const auto world = sketch.world();
    const auto point = [&](const char* name) { return world.named(name).at(0); };
    const std::vector<Leg> legs{along_equator()};
    EXPECT_TRUE(not_flown_over({.via = {point("ONE"), point("TWO")}}, world, legs).empty());
    EXPECT_EQ(not_flown_over({.via = {point("TWO"), point("ONE")}}, world, legs), std::vector{point("ONE")});
    EXPECT_EQ(not_flown_over({.via = {point("TWO"), point("ONE")}}, world,
                             {along_equator(), flight::straight_leg(*legs[0].to, *legs[0].from)}),
              std::vector<navdata::Point>{});
    const auto missing = not_flown_over({.via = {point("ONE"), point("OFF"), point("TWO")}}, world, legs);
    ASSERT_EQ(missing.size(), 2U);
    EXPECT_EQ(world.ident(missing.front()), "OFF");
}

RC_GTEST_PROP(LawConstraints, NothingAskedAllowsEverything, ()) {
    const auto world = Sketch().world();
    Leg leg = along_equator();
    leg.level = Altitude::feet(*rc::gen::inRange(0, 60000));
    leg.stretches = {{Length(), leg.length, procedure::OnHeading{leg.track}}};
    RC_ASSERT(allows({}, world, leg));
}

namespace {

// Terminal VORs (25 NM) so far apart that only airways join them:
//            MMM
//         /       \.
//   . AAA --------- ZZZ
Sketch triangle() {
    Sketch sketch;
    const omniway::testing::VorDrawn terminal{.service = ServiceClass::terminal};
    sketch.vor("AAA", {10, 0}, terminal).vor("MMM", {60, 45}, terminal).vor("ZZZ", {110, 0}, terminal);
    sketch.airway("V1", {"AAA", "MMM", "ZZZ"}).airway("V2", {"AAA", "ZZZ"});
    return sketch;
}

struct Found {
    std::string route = "none";
    std::vector<std::string> refused;
};

Found found(const Sketch& sketch, const std::function<Constraints(const navdata::Snapshot&)>& asked_of) {
    const auto world = sketch.world();
    Question asked;
    asked.departure = sketch.at({0, 0});
    asked.departure_name = "XDEP";
    asked.climb = {[](Length) { return Altitude::feet(3000.0); },
                   [](TrueBearing, Length from, Length to) { return (to - from) / base::Speed::knots(150); }};
    asked.cruise = Altitude::feet(5000.0);
    asked.groundspeed = [](TrueBearing) { return base::Speed::knots(150); };
    const auto point = world.named("ZZZ").at(0);
    asked.arrival = world.position(point);
    Entry at;
    at.fix = {"ZZZ", world.position(point), point, false};
    at.any_direction = true;
    asked.entries.push_back(at);
    asked.constraints = asked_of(world);
    const Answer answer = search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked);
    Found all;
    for (const base::Finding& finding : answer.refused) {
        all.refused.push_back(finding.code + " " + finding.about);
    }
    if (!answer.ways.empty()) {
        all.route.clear();
        for (const Leg& leg : answer.ways.front().legs) {
            all.route +=
                leg.phase == flight::Phase::departure ? leg.to->ident : " " + leg.via + " " + leg.to->ident;
            EXPECT_TRUE(allows(asked.constraints, world, leg));
        }
    }
    return all;
}

}  // namespace

TEST(CaseConstrainedSearch, TheAirwayThatIsAvoidedIsLeftForTheLongerOneAndSaidByName) {
    const auto free = found(triangle(), [](const navdata::Snapshot&) { return Constraints{}; });
    EXPECT_EQ(free.route, "AAA V2 ZZZ");
    const auto asked =
        found(triangle(), [](const navdata::Snapshot&) { return Constraints{.avoid_airways = {"V2"}}; });
    EXPECT_EQ(asked.route, "AAA V1 MMM V1 ZZZ");
    EXPECT_THAT(asked.refused, ::testing::Contains("constraint.avoided_airway V2 from AAA to ZZZ"));
}

TEST(CaseConstrainedSearch, AnAreaAcrossTheStraightWayIsGoneRound) {
    Sketch sketch = triangle();
    const Position middle = sketch.at({60, 0});
    const auto asked =
        found(sketch, [&](const navdata::Snapshot&) { return clear_of(middle, Length::nautical_miles(20)); });
    EXPECT_EQ(asked.route, "AAA V1 MMM V1 ZZZ");
    const auto all =
        found(sketch, [&](const navdata::Snapshot&) { return clear_of(middle, Length::nautical_miles(46)); });
    EXPECT_EQ(all.route, "none");
}

TEST(CaseConstrainedSearch, AStationThatIsAvoidedIsNoFirstAidAndNoWay) {
    const auto asked = found(triangle(), [](const navdata::Snapshot& world) {
        return Constraints{.avoid = {navdata::Point(station_of(world, "AAA"))}};
    });
    EXPECT_EQ(asked.route, "none");
}

}  // namespace omniway::routing
