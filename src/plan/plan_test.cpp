#include "plan/plan.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "flight/judge.hpp"
#include "plan/immediate_return.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using base::Speed;
using base::TrueBearing;
using base::Verdict;
using navdata::PathTerminator;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::At;
using omniway::testing::draw_eastbound_ils;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

Request request(const navdata::Snapshot& world, const Aboard& aboard,
                std::optional<double> cruise_ft = 5000.0) {
    Request asked;
    asked.from = *world.airport("XDEP");
    asked.to = *world.airport("XARR");
    asked.aircraft = aircraft_with(aboard);
    asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(60)};
    if (cruise_ft) {
        asked.cruise = Altitude::feet(*cruise_ft);
    }
    asked.settings.off_airway_minimum = Altitude::feet(3000);
    asked.today = earth::DecimalYear{2026.0};
    return asked;
}

// AAA near XDEP, and two ways to INI that no direct leg replaces: over MMM, or straight.
Sketch drawn(earth::Position origin = earth::Position::degrees(40.0, -170.0)) {
    Sketch sketch(origin);
    draw_eastbound_ils(sketch);
    const omniway::testing::VorDrawn terminal{.service = ServiceClass::terminal};
    sketch.vor("AAA", {10, 0}, terminal).vor("MMM", {68, 40}, terminal);
    return sketch;
}

std::string route(const Sketch& sketch, const Aboard& aboard = everything,
                  std::optional<double> cruise_ft = 5000.0) {
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, aboard, cruise_ft));
    return answer.option && answer.verdict != Verdict::not_flyable ? route_text(world, answer.option->flight)
                                                                   : "none";
}

}  // namespace

// AAA is heard 6 NM out (class T: 25 NM). Into 60 kt the climb of 110 KCAS makes some 52 kt over the ground: 7 minutes of 5 allowed, where the
// cruise of 150 kt would make 90 kt and 4 minutes. In still air the climb takes some 3:15.
TEST(CasePlan, AnOwnDepartureByHeadingIsBoundByTheTimeItsClimbTakes) {
    Sketch far;
    draw_eastbound_ils(far);
    far.vor("AAA", {31, 0}, {.service = ServiceClass::terminal});
    far.airway("V2", {"AAA", "INI"});
    EXPECT_EQ(route(far), "none");
    const auto world = far.world();
    auto asked = request(world, everything);
    asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(0)};
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
}

TEST(CasePlan, FromRunwayToRunwayAlongTheStraightAirway) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"}).airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_EQ(route_text(world, answer.option->flight), "XDEP DCT AAA V2 INI XARR");
    EXPECT_EQ(answer.option->flight.approach, "ILS RW09");
    EXPECT_EQ(world[answer.option->flight.departure_runway].ident, "RW09");
    ASSERT_TRUE(answer.option->flight.arrival_runway);
    EXPECT_EQ(world[*answer.option->flight.arrival_runway].ident, "RW09");
    // From the far end of the runway to the threshold of the other: 140 NM less two half runways of 3,000 ft.
    EXPECT_NEAR(answer.option->flight.length().nautical_miles(), 140.0 - 6000.0 / 6076.1155, 0.1);
}

// Whether they may be or not makes no difference then, down to how much was looked at.
TEST(LawPlan, WhereAFlightIsAdmittedOwnLegsAreNotLookedFor) {
    Sketch with_airways = drawn();
    with_airways.airway("V1", {"AAA", "MMM", "INI"}).airway("V2", {"AAA", "INI"});
    Sketch with_aids = drawn();
    with_aids.vor("CCC", {50, 5}).vor("DDD", {95, -10}, {.dme = ServiceClass::low}).fix("ONEAA", {70, 0});
    for (const Sketch* sketch : {&with_airways, &with_aids}) {
        const auto world = sketch->world();
        Request asked = request(world, everything);
        asked.most_choices = 3;
        const auto answered = [&](bool own_legs) {
            asked.own_legs = own_legs;
            return plan(world, radio::Ground{}, magnetic_model(), asked);
        };
        const Answer may = answered(true);
        const Answer may_not = answered(false);
        ASSERT_TRUE(may.option && may_not.option);
        EXPECT_NE(may.verdict, Verdict::not_flyable);
        EXPECT_EQ(route_text(world, may.option->flight), route_text(world, may_not.option->flight));
        EXPECT_EQ(may.option->cost_min, may_not.option->cost_min);
        EXPECT_EQ(may.findings, may_not.findings);
        EXPECT_EQ(may.refused, may_not.refused);
        EXPECT_EQ(may.others.size(), may_not.others.size());
        EXPECT_EQ(may.routes_considered, may_not.routes_considered);
        EXPECT_EQ(may.routes_judged, may_not.routes_judged);
        EXPECT_EQ(may.searched_again, may_not.searched_again);
    }
}

TEST(CasePlan, TheAreaNavigationShortCutIsNeverTaken) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"}).airway("T2", {"AAA", "INI"});
    EXPECT_EQ(route(sketch), "XDEP DCT AAA V1 INI XARR");
}

TEST(CasePlan, AOneWayAirwayIsNotFlownAgainst) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM", "INI"});
    sketch.airway("V2", {"AAA", "INI"}, {.direction = navdata::AirwayDirection::backward_only});
    EXPECT_EQ(route(sketch), "XDEP DCT AAA V1 INI XARR");
}

TEST(CasePlan, TheMinimumOfTheOnlyAirwayForcesAHigherCruise) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"}, {.minimum_ft = 8000});
    EXPECT_EQ(route(sketch, everything, 5000.0), "none");
    const auto world = sketch.world();
    const auto answer =
        plan(world, radio::Ground{}, magnetic_model(), request(world, everything, std::nullopt));
    ASSERT_TRUE(answer.option);
    EXPECT_GE(answer.option->flight.cruise, Altitude::feet(8000));
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    // And asked for a level below it, the answer says what would unblock it.
    const auto blocked = plan(world, radio::Ground{}, magnetic_model(), request(world, everything, 5000.0));
    EXPECT_EQ(blocked.verdict, Verdict::not_flyable);
    EXPECT_THAT(blocked.would_unblock,
                ::testing::Contains(::testing::StartsWith("another cruising altitude (")));
}

// V1 exists up to 6,000 ft as far as MMM, V2 from 8,000 ft beyond: no altitude serves for both.
TEST(CasePlan, WhereNoAltitudeServesForAllOfTheWayTheFlightClimbsOnTheWay) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM"}, {.minimum_ft = 3000, .maximum_ft = 6000});
    sketch.airway("V2", {"MMM", "INI"}, {.minimum_ft = 8000});
    const auto world = sketch.world();
    auto asked = request(world, everything, std::nullopt);
    asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(10)};
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable)
        << (answer.findings.empty() ? "" : answer.findings.front().about + answer.findings.front().text);
    ASSERT_EQ(answer.option->flight.level_changes.size(), 1U);
    const flight::LevelChange& change = answer.option->flight.level_changes.front();
    EXPECT_EQ(change.at, "MMM");
    EXPECT_LE(change.from, Altitude::feet(6000));
    EXPECT_GE(change.to, Altitude::feet(8000));
    EXPECT_EQ(answer.option->flight.cruise, change.from);
    EXPECT_THAT(route_text(world, answer.option->flight), ::testing::StartsWith("XDEP DCT AAA V1 MMM/N"));
    // Of one altitude asked for there is none.
    asked.cruise = Altitude::feet(5000);
    EXPECT_EQ(plan(world, radio::Ground{}, magnetic_model(), asked).verdict, Verdict::not_flyable);
}

TEST(CasePlan, WithoutAGlideslopeReceiverTheIlsIsRefusedAndNamedAsWhatWouldUnblock) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(),
                             request(world, {.receivers = 2, .dme = true, .adf = true}));
    EXPECT_EQ(answer.verdict, Verdict::not_flyable);
    EXPECT_THAT(answer.would_unblock, ::testing::Contains("a glideslope receiver"));
    ASSERT_EQ(answer.approaches.size(), 1U);
    EXPECT_FALSE(answer.approaches[0].flyable);
}

// Fuel for no flight, and altitudes and approaches enough for more than twelve refused of each set: some eight of each, by ILS and by localizer.
TEST(CasePlan, WhereTheBoundOfRefusedFlightsIsMetItIsSaidWithWhatWasLeft) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    navdata::Leg last =
        sketch.leg(PathTerminator::CF, "",
                   {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 50.0, .description = "GY M"});
    last.fix = navdata::PointName{navdata::PointKind::runway, "RW09", "XX", "XARR"};
    sketch.approach(
        "XARR", "L09", 'L',
        {sketch.leg(PathTerminator::IF, "INI", {.altitude_ft = 3000.0, .description = "V  A"}),
         sketch.leg(PathTerminator::CF, "FINAA",
                    {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 1800.0, .description = "E  F"}),
         last,
         sketch.leg(PathTerminator::CA, "",
                    {.course_deg = 90.0, .altitude_ft = 800.0, .description = "  M "}),
         sketch.leg(PathTerminator::DF, "MIS", {.altitude_ft = 3000.0}),
         sketch.leg(PathTerminator::HM, "MIS",
                    {.recommended = "MIS", .course_deg = 270.0, .turn = navdata::Turn::right})});
    const auto world = sketch.world();
    Request asked = request(world, everything, std::nullopt);
    asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(0)};
    asked.aircraft.fuel.usable = base::Mass::pounds(20);
    asked.aircraft.performance.service_ceiling = Altitude::feet(45000);
    asked.aircraft.performance.climb.rate_at_sea_level = base::VerticalSpeed::feet_per_minute(6000);
    asked.aircraft.performance.climb.rate_at_ceiling = base::VerticalSpeed::feet_per_minute(5000);
    asked.aircraft.performance.descent.rate = base::VerticalSpeed::feet_per_minute(6000);
    const auto bounds_met = [](const Answer& answer) {
        std::vector<std::string> all;
        for (const base::Finding& finding : answer.findings) {
            if (finding.code == "route.bound_met") {
                all.push_back(finding.text);
            }
        }
        return all;
    };
    const Answer answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    EXPECT_EQ(answer.verdict, Verdict::not_flyable);
    EXPECT_EQ(answer.routes_judged, 24U + 1U);  // and one that climbs from 2,000 ft to the 3,000 ft of V2
    const auto said = bounds_met(answer);
    ASSERT_EQ(said.size(), 2U);
    EXPECT_THAT(said[0],
                ::testing::StartsWith("12 whole flights at altitudes that suit the direction were judged"));
    EXPECT_THAT(said[1], ::testing::StartsWith("12 whole flights at the other altitudes were judged"));
    std::size_t left = 0;
    for (const std::string& text : said) {
        left += std::stoul(text.substr(text.find("tried: ") + 7));
    }
    EXPECT_EQ(left + answer.routes_judged, answer.routes_considered);
    // One altitude is one flight to judge: nothing is left, and nothing said.
    asked.cruise = Altitude::feet(5000);
    EXPECT_TRUE(bounds_met(plan(world, radio::Ground{}, magnetic_model(), asked)).empty());
    asked.cruise.reset();
    asked.aircraft.fuel.usable = base::Mass::pounds(720);
    EXPECT_TRUE(bounds_met(plan(world, radio::Ground{}, magnetic_model(), asked)).empty());
}

TEST(CasePlan, MoreFuelThanIsUsableBlocks) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    auto asked = request(world, everything);
    asked.aircraft.fuel.usable = base::Mass::pounds(150);
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    EXPECT_EQ(answer.verdict, Verdict::not_flyable);
    EXPECT_TRUE(std::any_of(answer.findings.begin(), answer.findings.end(),
                            [](const base::Finding& finding) { return finding.code == "fuel.too_little"; }));
}

namespace {

Aboard any_aboard() {
    return {.receivers = static_cast<std::size_t>(*rc::gen::inRange(0, 3)),
            .dme = *rc::gen::inRange(0, 2) == 1,
            .adf = *rc::gen::inRange(0, 2) == 1,
            .glideslope = *rc::gen::inRange(0, 4) != 0};
}

Aboard more_than(const Aboard& less) {
    const Aboard other = any_aboard();
    return {.receivers = std::max(less.receivers, other.receivers),
            .dme = less.dme || other.dme,
            .adf = less.adf || other.adf,
            .glideslope = less.glideslope || other.glideslope};
}

struct Drawing {
    struct Aid {
        std::string ident;
        At place;
        bool beacon = false;
        bool dme = false;
        ServiceClass service = ServiceClass::low;
    };
    struct Row {
        std::string designator;
        std::vector<std::string> points;
        omniway::testing::AirwayDrawn drawn;
    };
    std::vector<Aid> aids;
    std::vector<At> fixes;
    std::vector<Row> rows;

    Sketch at(earth::Position origin) const {
        Sketch sketch(origin);
        draw_eastbound_ils(sketch);
        for (const Aid& aid : aids) {
            if (aid.beacon) {
                sketch.ndb(aid.ident, aid.place);
            } else {
                omniway::testing::VorDrawn look;
                look.service = aid.service;
                if (aid.dme) {
                    look.dme = aid.service;
                }
                sketch.vor(aid.ident, aid.place, look);
            }
        }
        for (std::size_t i = 0; i < fixes.size(); ++i) {
            sketch.fix("FIX" + std::to_string(i), fixes[i]);
        }
        for (const Row& row : rows) {
            sketch.airway(row.designator, row.points, row.drawn);
        }
        return sketch;
    }
};

Drawing any_drawing() {
    Drawing drawing;
    std::vector<std::string> idents{"INI"};
    const int aids = *rc::gen::inRange(2, 7);
    for (int i = 0; i < aids; ++i) {
        Drawing::Aid aid;
        aid.ident = "S" + std::to_string(i);
        // The first stands near the departure, the others anywhere between.
        aid.place = i == 0
                        ? At{5.0 + *rc::gen::inRange(0, 10), static_cast<double>(*rc::gen::inRange(-10, 11))}
                        : At{static_cast<double>(*rc::gen::inRange(0, 140)),
                             static_cast<double>(*rc::gen::inRange(-40, 41))};
        // No two aids at one place or mirrored, and so no two ways of one cost: rounding would choose between them.
        aid.place.east_nm += 0.0137 * (i + 1) * (i + 1);
        aid.place.north_nm += 0.0291 * (i + 1) * (i + 2);
        aid.beacon = *rc::gen::inRange(0, 3) == 0;
        aid.dme = *rc::gen::inRange(0, 2) == 0;
        aid.service = *rc::gen::element(ServiceClass::terminal, ServiceClass::low);
        idents.push_back(aid.ident);
        drawing.aids.push_back(aid);
    }
    for (int i = 0; i < 3; ++i) {
        drawing.fixes.push_back({static_cast<double>(*rc::gen::inRange(20, 120)),
                                 static_cast<double>(*rc::gen::inRange(-30, 31))});
        idents.push_back("FIX" + std::to_string(i));
    }
    const int airways = *rc::gen::inRange(0, 6);
    for (int i = 0; i < airways; ++i) {
        Drawing::Row row;
        row.designator =
            *rc::gen::element(std::string("V"), std::string("V"), std::string("T")) + std::to_string(i + 1);
        while (row.points.size() < 3) {
            const std::string next =
                idents[static_cast<std::size_t>(*rc::gen::inRange<int>(0, static_cast<int>(idents.size())))];
            if (row.points.empty() || row.points.back() != next) {
                row.points.push_back(next);
            } else if (row.points.size() >= 2) {
                break;
            }
        }
        row.drawn.minimum_ft = *rc::gen::inRange(2, 8) * 1000.0;
        drawing.rows.push_back(row);
    }
    return drawing;
}

const earth::Position home = earth::Position::degrees(40.0, -170.0);

}  // namespace

RC_GTEST_PROP(LawPlan, MoreEquipmentNeverWorsensAVerdict, ()) {
    const auto world = any_drawing().at(home).world();
    const Aboard less = any_aboard();
    const auto few = plan(world, radio::Ground{}, magnetic_model(), request(world, less));
    RC_CLASSIFY(few.verdict != Verdict::not_flyable, "flyable");
    if (few.verdict != Verdict::not_flyable) {
        RC_ASSERT(plan(world, radio::Ground{}, magnetic_model(), request(world, more_than(less))).verdict <=
                  few.verdict);
    }
}

RC_GTEST_PROP(LawPlan, ALongerDeadReckoningAllowanceNeverWorsensAVerdict, ()) {
    const auto world = any_drawing().at(home).world();
    auto asked = request(world, *rc::gen::element(any_aboard(), everything));
    asked.settings.dead_reckoning_distance = Length::nautical_miles(*rc::gen::inRange(0, 20));
    const auto shorter = plan(world, radio::Ground{}, magnetic_model(), asked);
    RC_CLASSIFY(shorter.verdict != Verdict::not_flyable, "flyable");
    if (shorter.verdict != Verdict::not_flyable) {
        asked.settings.dead_reckoning_distance += Length::nautical_miles(*rc::gen::inRange(0, 30));
        asked.settings.dead_reckoning_time += base::minutes(*rc::gen::inRange(0, 10));
        const auto longer = plan(world, radio::Ground{}, magnetic_model(), asked);
        std::string why;
        if (longer.verdict > shorter.verdict) {
            why = route_text(world, shorter.option->flight) + " became " +
                  (longer.option ? route_text(world, longer.option->flight) : "none");
            for (const base::Finding& finding : longer.findings) {
                if (finding.grade == base::Grade::blocks) {
                    why += "; " + finding.code + " " + finding.about + ": " + finding.text;
                }
            }
        }
        RC_ASSERT(why == "");
    }
}

RC_GTEST_PROP(LawPlan, AStationTakenAwayNeverAppearsInTheAnswer, ()) {
    const Drawing drawing = any_drawing();
    Sketch sketch = drawing.at(home);
    const auto whole = sketch.world();
    const auto before = plan(whole, radio::Ground{}, magnetic_model(), request(whole, everything));
    RC_CLASSIFY(before.verdict != Verdict::not_flyable, "flyable");
    const std::string gone =
        drawing
            .aids[static_cast<std::size_t>(*rc::gen::inRange<int>(0, static_cast<int>(drawing.aids.size())))]
            .ident;
    sketch.station(gone).out_of_service = true;
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
    if (answer.option) {
        for (const flight::Leg& leg : answer.option->flight.legs) {
            // RC_ASSERT takes an || apart and evaluates both its sides: decide before it.
            const bool begins_there = leg.from && leg.from->ident == gone;
            const bool ends_there = leg.to && leg.to->ident == gone;
            RC_ASSERT(!begins_there);
            RC_ASSERT(!ends_there);
            for (const flight::Stretch& stretch : leg.stretches) {
                const auto station = procedure::station_of(stretch.guidance);
                const bool guides = station && world[*station].ident == gone;
                RC_ASSERT(!guides);
            }
        }
        RC_ASSERT(route_text(world, answer.option->flight).find(" " + gone + " ") == std::string::npos);
    }
}

RC_GTEST_PROP(LawPlan, MovingTheMapInLongitudeChangesNoDistanceAndNoRoute, ()) {
    const Drawing drawing = any_drawing();
    const Aboard aboard = *rc::gen::element(any_aboard(), everything);
    const auto here = drawing.at(home).world();
    const double longitude =
        *rc::gen::element(-179.0, 179.0, 180.0, 0.0, -1.5) + *rc::gen::inRange(0, 1000) / 1000.0;
    const auto there = drawing.at(earth::Position::degrees(40.0, longitude)).world();
    const auto one = plan(here, radio::Ground{}, magnetic_model(), request(here, aboard));
    const auto other = plan(there, radio::Ground{}, magnetic_model(), request(there, aboard));
    RC_CLASSIFY(one.verdict != Verdict::not_flyable, "flyable");
    RC_ASSERT(one.verdict == other.verdict);
    RC_ASSERT(one.option.has_value() == other.option.has_value());
    if (one.option) {
        const auto& a = one.option->flight;
        const auto& b = other.option->flight;
        RC_ASSERT(route_text(here, a) == route_text(there, b));
        RC_ASSERT(a.legs.size() == b.legs.size());
        for (std::size_t i = 0; i < a.legs.size(); ++i) {
            RC_ASSERT(std::abs((a.legs[i].length - b.legs[i].length).nautical_miles()) < 1e-6);
        }
        RC_ASSERT(std::abs((a.length() - b.length()).nautical_miles()) < 1e-6);
    }
}

namespace {

using procedure::OnBeacon;
using procedure::OnLocalizer;
using procedure::OnRadial;

// XARR at the origin, where drawn and true directions agree, with the aids that an approach of a test adds; XDEP 140 NM west of it.
Sketch departing_from_xdep() {
    Sketch sketch;
    sketch.airport("XDEP", {-140, 0}).runway("XDEP", 9, {-140, 0});
    sketch.airport("XARR", {0, 0}).runway("XARR", 9, {0, 0});
    sketch.vor("AAA", {-130, 0});
    return sketch;
}

navdata::Leg to_threshold(const Sketch& sketch, const std::string& runway, double course_deg,
                          const std::string& aid) {
    navdata::Leg leg = sketch.leg(PathTerminator::CF, "",
                                  {.course_deg = course_deg, .altitude_ft = 50.0, .description = "GY M"});
    leg.fix = navdata::PointName{navdata::PointKind::runway, runway, "XX", "XARR"};
    leg.recommended = sketch.name(aid);
    return leg;
}

std::vector<navdata::Leg> climb_and_hold(const Sketch& sketch, double course_deg, const std::string& aid) {
    return {sketch.leg(PathTerminator::CA, "",
                       {.course_deg = course_deg, .altitude_ft = 800.0, .description = "  M "}),
            sketch.leg(PathTerminator::DF, aid, {.altitude_ft = 3000.0}),
            sketch.leg(PathTerminator::HM, aid,
                       {.recommended = aid,
                        .course_deg = course_deg,
                        .altitude_ft = 3000.0,
                        .turn = navdata::Turn::right})};
}

std::vector<navdata::Leg> with_missed(std::vector<navdata::Leg> legs,
                                      const std::vector<navdata::Leg>& missed) {
    legs.insert(legs.end(), missed.begin(), missed.end());
    return legs;
}

// A beacon 4 NM before runway 09, with a procedure turn on its west side.
Sketch beacon_approach() {
    Sketch sketch = departing_from_xdep();
    sketch.vor("MID", {-70, 0}).ndb("BCN", {-4, 0});
    sketch.airway("V2", {"AAA", "MID"}).airway("A3", {"MID", "BCN"});
    sketch.approach(
        "XARR", "N09", 'N',
        with_missed(
            {sketch.leg(PathTerminator::IF, "BCN",
                        {.recommended = "BCN", .altitude_ft = 3000.0, .description = "NE A"}),
             sketch.leg(PathTerminator::PI, "BCN",
                        {.recommended = "BCN",
                         .course_deg = 225.0,
                         .distance_nm = 10.0,
                         .altitude_ft = 2000.0,
                         .turn = navdata::Turn::right}),
             sketch.leg(
                 PathTerminator::CF, "BCN",
                 {.recommended = "BCN", .course_deg = 90.0, .altitude_ft = 1500.0, .description = "NE F"}),
             to_threshold(sketch, "RW09", 90.0, "BCN")},
            climb_and_hold(sketch, 90.0, "BCN")));
    return sketch;
}

// A VOR without DME on the field's west side, its approach straight in or circling.
Sketch vor_approach(const std::string& ident) {
    Sketch sketch = departing_from_xdep();
    sketch.vor("MID", {-70, 0}).vor("OMN", {-5, 0});
    sketch.airway("V2", {"AAA", "MID", "OMN"});
    navdata::Leg last = to_threshold(sketch, "RW09", 90.0, "OMN");
    if (ident == "VOR-A") {
        sketch.fix("MAPAA", {-1, 0});
        last = sketch.leg(
            PathTerminator::CF, "MAPAA",
            {.recommended = "OMN", .course_deg = 90.0, .altitude_ft = 900.0, .description = "EY M"});
    }
    sketch.approach(
        "XARR", ident, 'V',
        with_missed(
            {sketch.leg(PathTerminator::IF, "OMN",
                        {.recommended = "OMN", .altitude_ft = 3000.0, .description = "VE A"}),
             sketch.leg(PathTerminator::PI, "OMN",
                        {.recommended = "OMN",
                         .course_deg = 225.0,
                         .distance_nm = 10.0,
                         .altitude_ft = 2000.0,
                         .turn = navdata::Turn::right}),
             sketch.leg(
                 PathTerminator::CF, "OMN",
                 {.recommended = "OMN", .course_deg = 90.0, .altitude_ft = 1500.0, .description = "VE F"}),
             last},
            climb_and_hold(sketch, 90.0, "OMN")));
    return sketch;
}

// The localizer of runway 27 lies to the east of the field; its back course is flown from the west onto runway 09.
Sketch back_course_approach() {
    Sketch sketch = departing_from_xdep();
    sketch.ils("XARR", "RW27", "IXR", {.dme = true});
    sketch.vor("MID", {-70, 0})
        .vor("INI", {-14, 0}, {.dme = ServiceClass::low})
        .vor("MIS", {15, 0})
        .fix("FINAA", {-5, 0});
    sketch.airway("V2", {"AAA", "MID", "INI"});
    sketch.approach(
        "XARR", "B09", 'B',
        with_missed(
            {sketch.leg(PathTerminator::IF, "INI",
                        {.recommended = "IXR", .altitude_ft = 3000.0, .description = "V  A"}),
             sketch.leg(
                 PathTerminator::CF, "FINAA",
                 {.recommended = "IXR", .course_deg = 90.0, .altitude_ft = 1700.0, .description = "E  F"}),
             to_threshold(sketch, "RW09", 90.0, "IXR")},
            climb_and_hold(sketch, 90.0, "MIS")));
    return sketch;
}

Answer planned(const navdata::Snapshot& world, const Aboard& aboard) {
    auto asked = request(world, aboard);
    asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(10)};
    return plan(world, radio::Ground{}, magnetic_model(), asked);
}

std::vector<flight::TrackStep> approach_steps(const Answer& answer) {
    std::vector<flight::TrackStep> steps;
    if (answer.option) {
        for (const flight::TrackStep& step : answer.option->compiled.track.steps) {
            if (step.phase == flight::Phase::approach) {
                steps.push_back(step);
            }
        }
    }
    return steps;
}

}  // namespace

// trade-facts 21 (an NDB has no flag, its pointer swings past abeam) and 11.1 (PI, CF on a bearing): with an ADF and a clock alone.
TEST(CasePlan, AnNdbApproachIsFlownByTheBeaconAndTheClock) {
    const auto world = beacon_approach().world();
    const auto answer = planned(world, {.receivers = 1, .adf = true});
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_EQ(answer.option->flight.approach, "NDB RW09");
    const auto steps = approach_steps(answer);
    ASSERT_EQ(steps.size(), 3U);
    EXPECT_FALSE(std::get<OnBeacon>(steps[0].guidance).toward);
    EXPECT_TRUE(std::holds_alternative<procedure::AtCourseReversed>(steps[0].ending.value()));
    EXPECT_TRUE(std::get<OnBeacon>(steps[1].guidance).toward);
    EXPECT_TRUE(std::holds_alternative<fixing::Overhead>(
        std::get<procedure::AtFix>(steps[1].ending.value()).telling.way));
    EXPECT_FALSE(std::get<OnBeacon>(steps[2].guidance).toward);
    EXPECT_FALSE(std::get<procedure::AtMissedApproachPoint>(steps[2].ending.value()).telling);
    const auto without = planned(world, {.receivers = 2, .dme = true, .glideslope = true});
    EXPECT_EQ(without.verdict, Verdict::not_flyable);
    EXPECT_THAT(without.would_unblock, ::testing::Contains("an ADF"));
}

// trade-facts 21: station passage is the first full TO/FROM reversal; one receiver and a clock fly a VOR on or near the field.
TEST(CasePlan, AVorApproachIsFlownByOneReceiverAndTheClock) {
    const auto world = vor_approach("V09").world();
    const auto answer = planned(world, {.receivers = 1});
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    EXPECT_EQ(answer.option->flight.approach, "VOR RW09");
    ASSERT_TRUE(answer.option->arrival_runway);
    EXPECT_EQ(world[answer.option->arrival_runway->runway].ident, "RW09");
    const auto steps = approach_steps(answer);
    ASSERT_EQ(steps.size(), 3U);
    EXPECT_FALSE(std::get<OnRadial>(steps[0].guidance).toward);
    EXPECT_NEAR(std::get<OnRadial>(steps[0].guidance).course.degrees(), 270.0, 0.5);
    EXPECT_TRUE(std::get<OnRadial>(steps[1].guidance).toward);
    EXPECT_NEAR(std::get<OnRadial>(steps[2].guidance).course.degrees(), 90.0, 0.5);
    EXPECT_FALSE(std::get<OnRadial>(steps[2].guidance).toward);
    EXPECT_FALSE(std::get<procedure::AtMissedApproachPoint>(steps[2].ending.value()).telling);
    EXPECT_EQ(planned(world, {.receivers = 0, .dme = true, .adf = true}).verdict, Verdict::not_flyable);
}

// trade-facts 13.9: an ident with a letter behind the dash is a circling approach, to no runway of its own: whatever runway the wind
// favours is landed on.
TEST(CasePlan, ACirclingApproachLeadsToTheRunwayOfTheWind) {
    const auto world = vor_approach("VOR-A").world();
    for (const double wind_from : {90.0, 270.0}) {
        auto asked = request(world, {.receivers = 1});
        asked.winds = weather::Wind{TrueBearing::degrees(wind_from), Speed::knots(15)};
        const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
        ASSERT_TRUE(answer.option);
        EXPECT_NE(answer.verdict, Verdict::not_flyable);
        EXPECT_EQ(answer.option->flight.approach, "VOR VOR-A");
        ASSERT_TRUE(answer.option->arrival_runway);
        EXPECT_EQ(world[answer.option->arrival_runway->runway].ident, wind_from < 180.0 ? "RW09" : "RW27");
        EXPECT_TRUE(std::any_of(
            answer.findings.begin(), answer.findings.end(),
            [](const base::Finding& finding) { return finding.code == "approach.minima_unknown"; }));
    }
}

// AIM 1-1-9 b 3: inbound on the back course, over the antenna and to the threshold, with the needle reversed on a CDI.
TEST(CasePlan, ABackCourseApproachIsFlownToTheThresholdWithTheNeedleReversed) {
    const auto world = back_course_approach().world();
    for (const auto indicator : {cockpit::CourseIndicator::cdi, cockpit::CourseIndicator::hsi}) {
        // Over INI a single receiver would have to leave its radial for the localizer at once.
        auto asked = request(world, {.receivers = 2, .dme = true});
        asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(10)};
        asked.aircraft.equipment.receivers.at(0).indicator = indicator;
        const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
        ASSERT_TRUE(answer.option);
        EXPECT_NE(answer.verdict, Verdict::not_flyable) << answer.findings.front().text;
        EXPECT_EQ(answer.option->flight.approach, "LOC back course RW09");
        const auto steps = approach_steps(answer);
        ASSERT_EQ(steps.size(), 2U);
        for (const flight::TrackStep& step : steps) {
            const auto& localizer = std::get<OnLocalizer>(step.guidance);
            EXPECT_TRUE(localizer.back_course);
            EXPECT_TRUE(localizer.toward);
            EXPECT_EQ(step.needle, indicator == cockpit::CourseIndicator::cdi
                                       ? flight::NeedleSense::away_from_the_line
                                       : flight::NeedleSense::righted_by_the_front_course);
            EXPECT_NEAR(step.course_set->degrees(), 270.0, 1.5);
        }
    }
    auto asked = request(world, {.receivers = 1, .dme = true});
    asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(10)};
    asked.aircraft.equipment.receivers.at(0).localizer = false;
    EXPECT_EQ(plan(world, radio::Ground{}, magnetic_model(), asked).verdict, Verdict::not_flyable);
}

// Where no one thing would do, the two that together do are named, and nothing longer.
TEST(CasePlan, TwoChangesAreNamedWhereOneIsNotEnough) {
    const auto world = beacon_approach().world();
    auto asked = request(world, {.receivers = 1}, 2000.0);
    asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(10)};
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    EXPECT_EQ(answer.verdict, Verdict::not_flyable);
    ASSERT_EQ(answer.would_unblock.size(), 1U);
    EXPECT_THAT(answer.would_unblock[0],
                ::testing::MatchesRegex("another cruising altitude \\([0-9]+ ft\\) and an ADF"));
}

namespace {

// A published departure from RW09 over AAA: ahead to 800 ft, then direct.
void draw_sid(Sketch& sketch, char route_type = '1') {
    sketch.branch(navdata::ProcedureKind::departure, "XDEP", "SIDA1", route_type, "RW09",
                  {sketch.leg(PathTerminator::VA, "", {.course_deg = 90.0, .altitude_ft = 800.0}),
                   sketch.leg(PathTerminator::DF, "AAA")});
}

// From MMM toward the arrival; where it ends is the test's.
void draw_star(Sketch& sketch, const std::string& to, bool vectors = false) {
    std::vector<navdata::Leg> legs{sketch.leg(PathTerminator::IF, "MMM"),
                                   sketch.leg(PathTerminator::TF, to, {.recommended = "MMM"})};
    if (vectors) {
        legs.push_back(sketch.leg(PathTerminator::FM, to, {.recommended = "MMM", .course_deg = 90.0}));
    }
    sketch.branch(navdata::ProcedureKind::arrival, "XARR", "STRA1", '2', "ALL", legs);
}

bool asks_for_obstacles(const Answer& answer) {
    return std::any_of(answer.findings.begin(), answer.findings.end(),
                       [](const base::Finding& finding) { return finding.code == "departure.obstacles"; });
}

}  // namespace

// trade-facts 12: a SID stands in item 15 by its ident, before its last fix.
TEST(TruthPlan, ASidThatFitsIsFlownAndNamedInTheRouteAndNobodyAsksForASurvey) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    draw_sid(sketch);
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
    ASSERT_TRUE(answer.option);
    EXPECT_EQ(route_text(world, answer.option->flight), "XDEP SIDA1 AAA V2 INI XARR");
    EXPECT_EQ(answer.option->flight.sid, "SIDA1");
    EXPECT_FALSE(asks_for_obstacles(answer));
    ASSERT_EQ(answer.departures.size(), 1U);
    EXPECT_EQ(answer.departures[0].name, "RW09 SIDA1");
    EXPECT_TRUE(answer.departures[0].flyable);
}

TEST(CasePlan, AnRnavSidIsListedWithItsReasonAndAnOwnDepartureFlown) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    draw_sid(sketch, '4');
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
    ASSERT_TRUE(answer.option);
    EXPECT_EQ(route_text(world, answer.option->flight), "XDEP DCT AAA V2 INI XARR");
    EXPECT_TRUE(asks_for_obstacles(answer));
    ASSERT_EQ(answer.departures.size(), 1U);
    EXPECT_FALSE(answer.departures[0].flyable);
    EXPECT_THAT(answer.departures[0].why_not, ::testing::HasSubstr("RNAV"));
}

TEST(CasePlan, AskedForAnOwnDepartureTheSidIsLeft) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    draw_sid(sketch);
    const auto world = sketch.world();
    Request asked = request(world, everything);
    asked.departure = std::string(own_departure);
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    EXPECT_TRUE(answer.option->flight.sid.empty());
}

// AIM 5-2-9, from memory: straight ahead to 400 ft; the card says at what altitude.
TEST(CasePlan, AnOwnDepartureBeginsStraightAheadTo400FeetAboveTheField) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
    ASSERT_TRUE(answer.option);
    const flight::TrackStep& first = answer.option->compiled.track.steps.at(0);
    EXPECT_TRUE(first.along_runway);
    EXPECT_DOUBLE_EQ(first.altitude.feet(), 400.0);
    EXPECT_TRUE(std::holds_alternative<procedure::AtAltitude>(*first.ending));
}

// trade-facts 12: a STAR that leads to the approach ends the route by its ident.
TEST(TruthPlan, AStarThatEndsAtAnInitialFixIsFlownAndEndsTheRoute) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM"});
    draw_star(sketch, "INI");
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
    ASSERT_TRUE(answer.option);
    EXPECT_EQ(route_text(world, answer.option->flight), "XDEP DCT AAA V1 MMM STRA1 XARR");
    EXPECT_EQ(answer.option->flight.star, "STRA1");
    ASSERT_EQ(answer.arrivals.size(), 1U);
    EXPECT_TRUE(answer.arrivals[0].flyable);
}

// Vectors follow JJJ, a VOR 19 NM before the initial fix: a leg from aid to aid joins them.
TEST(CasePlan, AStarThatEndsInVectorsIsJoinedToTheInitialFixByALegThatIsHeard) {
    Sketch sketch = drawn();
    sketch.vor("JJJ", {108, 6}, {.service = ServiceClass::terminal});
    sketch.airway("V1", {"AAA", "MMM"});
    draw_star(sketch, "JJJ", true);
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
    ASSERT_TRUE(answer.option);
    EXPECT_EQ(route_text(world, answer.option->flight), "XDEP DCT AAA V1 MMM STRA1 JJJ DCT INI XARR");
}

// JJAAA is a fix 60 degrees off the final course, on no radial that leads to the initial fix.
TEST(CasePlan, AStarThatEndsNowhereIsNotUsedAndSaysWhy) {
    Sketch sketch = drawn();
    sketch.fix("JJAAA", {100, 70});
    sketch.airway("V2", {"AAA", "INI"});
    draw_star(sketch, "JJAAA", true);
    const auto world = sketch.world();
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
    ASSERT_TRUE(answer.option);
    EXPECT_TRUE(answer.option->flight.star.empty());
    ASSERT_EQ(answer.arrivals.size(), 1U);
    EXPECT_FALSE(answer.arrivals[0].flyable);
    EXPECT_FALSE(answer.arrivals[0].why_not.empty());
}

TEST(CasePlan, AskedForNoArrivalTheStarIsLeftAndAskedForOneItIsFlown) {
    Sketch sketch = drawn();
    sketch.airway("V1", {"AAA", "MMM"}).airway("V2", {"AAA", "INI"});
    draw_star(sketch, "INI");
    const auto world = sketch.world();
    Request asked = request(world, everything);
    asked.arrival = std::string(no_arrival);
    EXPECT_TRUE(plan(world, radio::Ground{}, magnetic_model(), asked).option->flight.star.empty());
    asked.arrival = "STRA1";
    EXPECT_EQ(plan(world, radio::Ground{}, magnetic_model(), asked).option->flight.star, "STRA1");
}

// Ten miles out near 6,700 ft in still air: an MEA of 9,000 ft is climbed to over AAA, as a step of its own with time and fuel. With
// 60 kt on the nose the same climb is steep enough.
TEST(CasePlan, AnMeaNotReachedAtTheFirstStationIsClimbedToOverhead) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"}, {.minimum_ft = 9000});
    const auto world = sketch.world();
    Request asked = request(world, everything, 9000.0);
    const auto is_climb = [](const flight::TrackStep& step) { return step.via == "climb overhead"; };
    const auto against = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(against.option);
    EXPECT_TRUE(std::none_of(against.option->compiled.track.steps.begin(),
                             against.option->compiled.track.steps.end(), is_climb));
    asked.winds = weather::Wind{TrueBearing::degrees(90), Speed::knots(0)};
    const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    EXPECT_NE(answer.verdict, Verdict::not_flyable);
    const auto& steps = answer.option->compiled.track.steps;
    const auto hold = std::find_if(steps.begin(), steps.end(), is_climb);
    ASSERT_NE(hold, steps.end());
    ASSERT_TRUE(hold->time);
    EXPECT_NEAR(base::in_minutes(*hold->time), 4.0, 0.1);
    EXPECT_GT(hold->fuel.pounds(), 0.0);
    EXPECT_EQ(route_text(world, answer.option->flight), "XDEP DCT AAA V2 INI XARR");
}

// One judge: what the planner was told of a flight is what anyone is told who hands the same flight in.
TEST(LawPlan, TheFlightOfAnAnswerHandedToTheJudgeGetsTheSameFindings) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    draw_sid(sketch);
    const auto world = sketch.world();
    for (const auto& departure : {std::optional<std::string>(), std::optional(std::string(own_departure))}) {
        Request asked = request(world, everything);
        asked.departure = departure;
        const auto answer = plan(world, radio::Ground{}, magnetic_model(), asked);
        ASSERT_TRUE(answer.option);
        const flight::Flight by_hand = answer.option->flight;
        const weather::WindsAloft winds(asked.winds);
        const radio::Ground ground;
        const flight::Circumstances day{world,          ground, magnetic_model(), asked.today, asked.aircraft,
                                        asked.settings, winds};
        const auto judged = flight::judge(day, by_hand, flight::compile(day, by_hand));
        EXPECT_EQ(judged.verdict, answer.verdict);
        EXPECT_EQ(judged.findings, answer.option->findings);
        EXPECT_FALSE(judged.findings.empty());
    }
}

// ARINC 424 5.29 (trade-facts 13.9): a minus is at or below, and nothing is asked from beneath.
TEST(CasePlan, WhatASidCodesAtOrBelowIsNoMinimum) {
    for (const auto rule : {navdata::AltitudeRule::at_or_above, navdata::AltitudeRule::at_or_below}) {
        Sketch sketch = drawn();
        sketch.airway("V2", {"AAA", "INI"});
        navdata::Leg to_aid = sketch.leg(PathTerminator::DF, "AAA", {.altitude_ft = 4000.0});
        to_aid.altitude_rule = rule;
        sketch.branch(
            navdata::ProcedureKind::departure, "XDEP", "SIDA1", '1', "RW09",
            {sketch.leg(PathTerminator::VA, "", {.course_deg = 90.0, .altitude_ft = 800.0}), to_aid});
        const auto world = sketch.world();
        const auto answer = plan(world, radio::Ground{}, magnetic_model(), request(world, everything));
        ASSERT_TRUE(answer.option);
        ASSERT_EQ(answer.option->flight.sid, "SIDA1");
        const auto& legs = answer.option->flight.legs;
        const bool any = std::any_of(legs.begin(), legs.end(), [](const flight::Leg& leg) {
            return leg.coded != nullptr && leg.to && leg.to->ident == "AAA" &&
                   leg.minimum.altitude.has_value();
        });
        EXPECT_EQ(any, rule == navdata::AltitudeRule::at_or_above);
    }
}

// XARR has an ILS: whoever takes off there can come back by it, its front course set, where a localizer can be received.
TEST(CasePlan, TheImmediateReturnIsAnApproachThatTheEquipmentFlies) {
    Sketch sketch = drawn();
    sketch.airway("V2", {"AAA", "INI"});
    const auto world = sketch.world();
    flight::Flight back;
    back.departure = *world.airport("XARR");
    back.arrival = *world.airport("XDEP");
    const radio::Ground ground;
    const flight::Settings settings;
    const weather::WindsAloft winds(weather::Wind{TrueBearing::degrees(90), Speed::knots(10)});
    for (const bool able : {true, false}) {
        aircraft::Aircraft aircraft = aircraft_with(everything);
        for (auto& receiver : aircraft.equipment.receivers) {
            receiver.localizer = receiver.localizer && able;
            receiver.glideslope = receiver.glideslope && able;
        }
        const flight::Circumstances day{
            world, ground, magnetic_model(), earth::DecimalYear{2026.0}, aircraft, settings, winds};
        const auto found = immediate_return(day, {}, back);
        ASSERT_EQ(found.has_value(), able);
        if (found) {
            EXPECT_EQ(found->approach, "ILS RW09");
            EXPECT_EQ(world[found->station].ident, "IXR");
            EXPECT_EQ(world[found->runway].ident, "RW09");
            ASSERT_TRUE(found->course);
            EXPECT_NEAR(found->course->degrees(), 91.8, 0.5);
        }
    }
}

}  // namespace omniway::plan
