#include "flight/judge.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "flight/en_route.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_judged.hpp"
#include "tests/sketch_leg.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Angle;
using base::Finding;
using base::Grade;
using base::Length;
using base::Speed;
using base::TrueBearing;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::airways_of;
using omniway::testing::At;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::Contains;
using ::testing::HasSubstr;
using ::testing::IsEmpty;
using ::testing::Not;

namespace {

constexpr omniway::testing::VorDrawn low_with_dme{.service = ServiceClass::low, .dme = ServiceClass::low};

// One level leg after the other at 5,000 ft, drawn by hand: nothing here was found by a planner.
struct Drawn {
    Sketch sketch;
    navdata::Snapshot world;
    aircraft::Aircraft aircraft =
        aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    Settings settings;
    weather::WindsAloft winds{weather::Wind{TrueBearing::degrees(90), Speed::knots(0)}};
    radio::Ground ground;
    Flight flight;

    explicit Drawn(Sketch drawn) : sketch(std::move(drawn)), world(sketch.world()) {
        settings.off_airway_minimum = Altitude::feet(3000);
        flight.departure = *world.airport("XDEP");
        flight.arrival = *world.airport("XARR");
        flight.departure_runway = world.runways_of("XDEP").at(0);
        flight.cruise = Altitude::feet(5000);
    }

    procedure::Guidance radial(const std::string& station, const Leg& leg) const {
        return procedure::guidance_along(world, station_of(world, station), leg.start, leg.finish).value();
    }

    Leg straight(At from, At to) const {
        Leg leg = omniway::testing::straight(sketch, from, to);
        leg.minimum = {MinimumFrom::given_by_user, Altitude::feet(3000)};
        return leg;
    }

    Leg guided(At from, At to, const std::string& by) const {
        Leg leg = straight(from, to);
        leg.stretches = {{Length(), leg.length, radial(by, leg)}};
        return leg;
    }

    Leg heading(At from, At to) const {
        Leg leg = straight(from, to);
        leg.stretches = {{Length(), leg.length, procedure::OnHeading{leg.track}}};
        return leg;
    }

    procedure::PlacedFix fix_at(At place, const std::string& ident = "HERE") const {
        return {ident, sketch.at(place), std::nullopt, true};
    }

    procedure::Ending over(const std::string& station) const {
        const auto id = station_of(world, station);
        return procedure::AtFix{{station, navdata::site(world[id]), navdata::Point(id), false},
                                {fixing::Overhead{id}, Length::nautical_miles(0.2), Angle::degrees(90)}};
    }

    void fly(std::vector<Leg> legs, double feet = 5000) {
        flight.legs = std::move(legs);
        flight.profile = {{Length(), Altitude::feet(feet)}, {flight.length(), Altitude::feet(feet)}};
    }

    std::vector<Finding> findings() const {
        return omniway::testing::judged(world, ground, aircraft, settings, winds, flight).findings;
    }

    std::vector<std::string> codes(Grade grade = Grade::blocks) const {
        std::vector<std::string> all;
        for (const Finding& finding : findings()) {
            if (finding.grade == grade) {
                all.push_back(finding.code);
            }
        }
        return all;
    }

    std::optional<Finding> found(const std::string& code) const {
        for (const Finding& finding : findings()) {
            if (finding.code == code) {
                return finding;
            }
        }
        return std::nullopt;
    }
};

Sketch fields() {
    Sketch sketch;
    sketch.airport("XDEP", {0, 0}).runway("XDEP", 9, {0, 0});
    sketch.airport("XARR", {100, 0}).runway("XARR", 9, {100, 0});
    return sketch;
}

At polar(double bearing_deg, double nm, At from = {0, 0}) {
    const double radians = bearing_deg * 3.14159265358979 / 180.0;
    return {from.east_nm + nm * std::sin(radians), from.north_nm + nm * std::cos(radians)};
}

}  // namespace

// Guidance.

// AIM TBL 1-1-1 (trade-facts 1.1): a low DME serves 40 NM; an arc is received all round or not at all.
TEST(CaseJudgeGuidance, AnArcIsReceivedOverItsCurveAndNotAlongItsChord) {
    for (const double radius_nm : {39.5, 40.5}) {
        Drawn drawn(fields().vor("AAA", {0, 0}, low_with_dme));
        // Its chord over 90 degrees passes 28 NM from the station.
        Leg arc = drawn.straight(polar(270, radius_nm), polar(0, radius_nm));
        const auto station = station_of(drawn.world, "AAA");
        arc.track = TrueBearing::degrees(0);
        arc.length = Length::nautical_miles(radius_nm * 3.14159265358979 / 2.0);
        arc.stretches = {
            {Length(), arc.length, procedure::OnArc{station, Length::nautical_miles(radius_nm), true}}};
        arc.ending = procedure::AtRadial{station, base::Radial::degrees(0)};
        drawn.fly({arc});
        if (radius_nm < 40) {
            EXPECT_THAT(drawn.codes(), Not(Contains("guidance.not_received")));
        } else {
            ASSERT_THAT(drawn.codes(), Contains("guidance.not_received"));
            EXPECT_EQ(drawn.found("guidance.not_received")->step, 1);
        }
    }
}

// PANS-OPS I-2-2 (trade-facts 2): 50 degrees from the vertical, at 5,000 ft 0.98 NM each side.
TEST(TruthJudgeGuidance, ALegOfOnesOwnInTheConesOfBothItsAidsIsBlocked) {
    for (const double apart_nm : {0.4, 2.8, 3.2, 4.5}) {
        for (const bool published : {false, true}) {
            Drawn drawn(fields().vor("AAA", {20, 0}).vor("BBB", {20 + apart_nm, 0}));
            Leg leg = drawn.guided({20, 0}, {20 + apart_nm, 0}, "AAA");
            const auto at = [&](const std::string& ident) {
                const auto id = station_of(drawn.world, ident);
                return procedure::PlacedFix{ident, navdata::site(drawn.world[id]), navdata::Point(id), false};
            };
            leg.from = at("AAA");
            leg.to = at("BBB");
            leg.published = published;
            leg.ending = drawn.over("BBB");
            drawn.fly({leg});
            // The first guides all of it: its own cone alone is lost.
            if (apart_nm < 0.98 + 2.0 && !published) {
                EXPECT_THAT(drawn.codes(), Contains("guidance.in_cones"));
            } else {
                EXPECT_THAT(drawn.codes(), Not(Contains("guidance.in_cones")));
            }
        }
    }
}

// 40 NM again; at 150 kt one minute outbound is 2.5 NM (trade-facts 8.2: 1 minute to 14,000 ft).
TEST(CaseJudgeGuidance, AHoldIsReceivedToItsOutboundEnd) {
    for (const double fix_nm : {36.5, 39.0}) {
        Drawn drawn(fields().vor("AAA", {0, 0}, low_with_dme));
        const At place{fix_nm, 0};
        Leg to_fix = drawn.guided({10, 0}, place, "AAA");
        const fixing::Telling dme{
            fixing::DmeReading{station_of(drawn.world, "AAA"), Length::nautical_miles(fix_nm), true},
            Length::nautical_miles(0.5), Angle::degrees(90)};
        to_fix.ending = procedure::AtFix{drawn.fix_at(place), dme};
        Leg hold = drawn.straight(place, place);
        const Leg inbound = drawn.straight({fix_nm + 2, 0}, place);
        hold.track = hold.arrival = inbound.arrival;
        hold.stretches = {{Length(), Length(), drawn.radial("AAA", inbound)}};
        hold.ending = procedure::AtHold{drawn.fix_at(place), navdata::Turn::right, false, std::nullopt};
        drawn.fly({to_fix, hold});
        if (fix_nm < 37) {
            EXPECT_THAT(drawn.codes(), IsEmpty());
        } else {
            EXPECT_THAT(drawn.codes(), Contains("guidance.not_received"));
        }
    }
}

// 14 CFR 95.8001 (trade-facts 9.3): midway. A terminal VOR serves 25 NM (AIM TBL 1-1-1), so midway is heard up to 50 NM apart.
TEST(CaseJudgeGuidance, AChangeoverThatReceptionWouldForceElsewhereIsSaidOnAnAirway) {
    for (const double apart_nm : {49.5, 52.0}) {
        Sketch sketch = fields();
        sketch.vor("TTT", {0, 0}, {.service = ServiceClass::terminal}).vor("LLL", {apart_nm, 0});
        Drawn drawn(sketch.airway("V1", {"TTT", "LLL"}));
        Leg leg = airway_leg(drawn.world, drawn.aircraft.equipment, *airways_of(drawn.world, "V1").at(0), 0,
                             true, drawn.flight.cruise)
                      .leg.value();
        leg.ending = drawn.over("LLL");
        drawn.fly({leg});
        EXPECT_THAT(drawn.codes(), IsEmpty());
        const auto said = drawn.found("guidance.changeover_forced");
        EXPECT_EQ(said.has_value(), apart_nm > 50) << apart_nm;
        if (said) {
            EXPECT_EQ(said->grade, Grade::warns);
            EXPECT_THAT(said->text, HasSubstr("TTT is not heard for 1.0 NM before it, and LLL is"));
        }
    }
}

// 10 NM by heading (design section 3), however it is cut into legs.
TEST(CaseJudgeGuidance, HeadingsThatFollowOnEachOtherAreOneDeadReckoning) {
    for (const double first_nm : {4.9, 5.1}) {
        Drawn drawn(fields().vor("AAA", {30, 0}, low_with_dme));
        Leg one = drawn.heading({0, 0}, {first_nm, 0});
        one.ending = procedure::AtAltitude{Altitude::feet(5000)};
        const Leg two = drawn.heading({first_nm, 0}, {first_nm + 5.0, 0});
        Leg three = drawn.guided({first_nm + 5.0, 0}, {30, 0}, "AAA");
        three.ending = drawn.over("AAA");
        drawn.fly({one, two, three});
        if (first_nm < 5) {
            EXPECT_THAT(drawn.codes(), IsEmpty());
        } else {
            ASSERT_THAT(drawn.codes(), Contains("guidance.dead_reckoning_too_long"));
            EXPECT_EQ(drawn.found("guidance.dead_reckoning_too_long")->step, 2);
        }
    }
}

// 45 degrees onto a radial, 30 onto a localizer: common practice, from memory (trade-facts 21).
TEST(CaseJudgeGuidance, AnInterceptIsNoSteeperThanFortyFiveDegreesOntoARadial) {
    for (const double angle_deg : {44.0, 47.0}) {
        Drawn drawn(fields().vor("AAA", {30, 0}, low_with_dme));
        Leg heading = drawn.heading(polar(270 + angle_deg, 6), {0, 0});
        heading.ending = procedure::AtIntercept{};
        Leg inbound = drawn.guided({0, 0}, {30, 0}, "AAA");
        inbound.ending = drawn.over("AAA");
        drawn.fly({heading, inbound});
        if (angle_deg < 45) {
            EXPECT_THAT(drawn.codes(), IsEmpty());
        } else {
            EXPECT_THAT(drawn.codes(), Contains("guidance.intercept_too_steep"));
        }
    }
}

TEST(CaseJudgeGuidance, AnInterceptIsNoSteeperThanThirtyDegreesOntoALocalizer) {
    for (const double angle_deg : {29.0, 32.0}) {
        Drawn drawn(fields().ils("XDEP", "RW09", "IXR"));
        Leg heading = drawn.heading(polar(270 + angle_deg, 4, {-10, 0}), {-10, 0});
        heading.ending = procedure::AtIntercept{};
        Leg inbound = drawn.guided({-10, 0}, {-2, 0}, "IXR");
        inbound.ending = procedure::AtDecisionAltitude{};
        drawn.fly({heading, inbound});
        if (angle_deg < 30) {
            EXPECT_THAT(drawn.codes(), IsEmpty());
        } else {
            EXPECT_THAT(drawn.codes(), Contains("guidance.intercept_too_steep"));
        }
    }
}

// Designator letters: AIM 5-3-4 (trade-facts 9.1). A flight that calls a T route its own is refused all the same.
TEST(CaseJudgeGuidance, AnRnavAirwayIsRefusedWhoeverPutItIntoTheFlight) {
    for (const std::string designator : {"V7", "T7"}) {
        Sketch sketch = fields();
        sketch.vor("AAA", {0, 0}).vor("BBB", {50, 0});
        Drawn drawn(sketch.airway(designator, {"AAA", "BBB"}));
        Leg leg = drawn.guided({0, 0}, {50, 0}, "BBB");
        leg.published = true;
        leg.via = designator;
        const auto placed = [&](const std::string& ident) {
            const auto point = drawn.world.named(ident).at(0);
            return procedure::PlacedFix{ident, drawn.world.position(point), point, false};
        };
        leg.from = placed("AAA");
        leg.to = placed("BBB");
        leg.ending = drawn.over("BBB");
        drawn.fly({leg});
        if (designator == "V7") {
            EXPECT_THAT(drawn.codes(), IsEmpty());
        } else {
            EXPECT_THAT(drawn.codes(), Contains("airway.area_navigation"));
        }
    }
}

// Fixes.

namespace {

// A fix 20 NM out on a radial of AAA, told by a radial of a VOR that stands `away_nm` off under `angle_deg` to the track.
Drawn crossed(double angle_deg, double away_nm) {
    Sketch sketch = fields();
    sketch.vor("AAA", {0, 0}).vor("XXX", polar(90 + angle_deg, away_nm, {20, 0}));
    Drawn drawn(sketch);
    Leg leg = drawn.guided({2, 0}, {20, 0}, "AAA");
    const fixing::Telling radial{fixing::CrossingRadial{station_of(drawn.world, "XXX"), {}},
                                 Length::nautical_miles(1), Angle::degrees(angle_deg)};
    leg.ending = procedure::AtFix{drawn.fix_at({20, 0}), radial};
    drawn.fly({leg});
    return drawn;
}

}  // namespace

// 30 degrees between VHF lines en route: FAA criteria, from memory (trade-facts 21).
TEST(CaseJudgeFixes, AnEnRouteFixIsCrossedUnderThirtyDegreesAtLeast) {
    EXPECT_THAT(crossed(31, 10).codes(), IsEmpty());
    const Drawn shallow = crossed(29, 10);
    EXPECT_THAT(shallow.codes(), Contains("fix.not_told"));
    EXPECT_EQ(shallow.found("fix.not_told")->step, 1);
}

// The same where a leg of one's own ends at a radial, and 45 degrees in the terminal area (8260.3B 287, from memory; trade-facts 3.2, 21).
TEST(CaseJudgeFixes, ARadialThatEndsALegIsCrossedAsSteeplyAsOneThatTellsAFix) {
    const auto codes = [](double angle_deg, Phase phase) {
        Drawn drawn = crossed(angle_deg, 10);
        drawn.flight.legs[0].phase = phase;
        drawn.flight.legs[0].ending = procedure::AtRadial{station_of(drawn.world, "XXX"), {}};
        return drawn.codes();
    };
    EXPECT_THAT(codes(31, Phase::en_route), Not(Contains("fix.crosses_too_shallow")));
    EXPECT_THAT(codes(29, Phase::en_route), Contains("fix.crosses_too_shallow"));
    EXPECT_THAT(codes(46, Phase::arrival), Not(Contains("fix.crosses_too_shallow")));
    EXPECT_THAT(codes(44, Phase::arrival), Contains("fix.crosses_too_shallow"));
}

TEST(CaseJudgeFixes, WhatASecondReceiverTellsNeedsASecondReceiver) {
    Drawn drawn = crossed(60, 10);
    EXPECT_THAT(drawn.codes(), IsEmpty());
    drawn.aircraft.equipment.receivers.resize(1);
    EXPECT_THAT(drawn.codes(), Contains("fix.not_told"));
}

// A crossing radial errs by D sin(3.6) / sin(90 - 3.6): 1 NM at 15.9 NM (TERPS 8260.3B para 285-287, trade-facts 3.2).
TEST(CaseJudgeFixes, AFinalFixIsToldWithinAMile) {
    for (const double away_nm : {15.6, 16.2}) {
        Drawn drawn = crossed(90, away_nm);
        navdata::Leg row;
        row.description = "E  F";
        ASSERT_TRUE(row.is_final_approach_fix());
        drawn.flight.legs[0].coded = &row;
        drawn.flight.legs[0].phase = Phase::approach;
        if (away_nm < 16) {
            EXPECT_THAT(drawn.codes(), Not(Contains("fix.not_told")));
        } else {
            EXPECT_THAT(drawn.codes(), Contains("fix.not_told"));
        }
    }
}

TEST(CaseJudgeFixes, ALegThatEndsInNothingBlocksWhereItBends) {
    for (const double bend_deg : {4.0, 7.0}) {
        Drawn drawn(fields().vor("AAA", {0, 0}).vor("BBB", polar(90 + bend_deg, 30, {30, 0})));
        const Leg out = drawn.guided({2, 0}, {30, 0}, "AAA");
        Leg on = drawn.guided({30, 0}, polar(90 + bend_deg, 30, {30, 0}), "BBB");
        on.ending = drawn.over("BBB");
        drawn.fly({out, on});
        if (bend_deg < 5) {
            EXPECT_THAT(drawn.codes(), IsEmpty());
        } else {
            EXPECT_THAT(drawn.codes(), Contains("fix.not_told"));
        }
        drawn.flight.legs.back().ending.reset();
        EXPECT_THAT(drawn.codes(), Contains("fix.not_told")) << "the last leg ends in nothing";
    }
}

// A station that does not tell the fix is not made to by being named: only what ends the step counts.
TEST(CaseJudgeFixes, AFixToldByAnotherAidThanTheFlightSaysBlocks) {
    Sketch sketch = fields();
    sketch.vor("AAA", {0, 0}).vor("XXX", {20, 10}).vor("YYY", {50, 5});
    Drawn drawn(sketch);
    Leg leg = drawn.guided({2, 0}, {20, 0}, "AAA");
    const auto told_by = [&](const std::string& station) {
        const fixing::Telling radial{fixing::CrossingRadial{station_of(drawn.world, station), {}},
                                     Length::nautical_miles(1), Angle::degrees(90)};
        leg.ending = procedure::AtFix{drawn.fix_at({20, 0}), radial};
        drawn.fly({leg});
        return drawn.codes();
    };
    EXPECT_THAT(told_by("XXX"), IsEmpty());
    EXPECT_THAT(told_by("YYY"), Contains("fix.told_otherwise"));
}

// PANS-OPS II figure I-4-3-1 (trade-facts 8.4): more than 120 degrees are not turned at an initial fix.
TEST(CaseJudgeFixes, NoTurnOverAHundredAndTwentyDegreesLeadsIntoAnApproach) {
    for (const double turn_deg : {118.0, 123.0}) {
        Drawn drawn(fields().vor("AAA", {0, 0}).vor("BBB", polar(90 + turn_deg, 20)));
        Leg to_fix = drawn.guided({-20, 0}, {0, 0}, "AAA");
        to_fix.ending = drawn.over("AAA");
        Leg initial = drawn.guided({0, 0}, polar(90 + turn_deg, 20), "BBB");
        initial.phase = Phase::approach;
        initial.published = true;
        initial.via = "VOR RW09";
        initial.ending = drawn.over("BBB");
        drawn.fly({to_fix, initial});
        if (turn_deg < 120) {
            EXPECT_THAT(drawn.codes(), Not(Contains("fix.turn_too_great")));
        } else {
            EXPECT_THAT(drawn.codes(), Contains("fix.turn_too_great"));
        }
    }
}

TEST(CaseJudgeFixes, AGlideslopeNeedsAReceiverForIt) {
    Drawn drawn(fields().ils("XDEP", "RW09", "IXR"));
    Leg final_leg = drawn.guided({-10, 0}, {-2, 0}, "IXR");
    final_leg.ending = procedure::AtDecisionAltitude{};
    drawn.fly({final_leg});
    EXPECT_THAT(drawn.codes(), IsEmpty());
    drawn.aircraft = aircraft_with({.receivers = 2});
    EXPECT_THAT(drawn.codes(), Contains("fix.not_told"));
}

// Altitudes.

// 14 CFR 91.177: 1,000 ft above the highest ground within 4 NM; 1,400 m are 4,593 ft, with an allowance of 200 ft 5,800 ft.
TEST(CaseJudgeAltitudes, AMinimumLowerThanTheGroundAsksIsNotBelieved) {
    const omniway::testing::DrawnGround hill(fields().at({30, 0}), 8,
                                             [](double, double) { return std::optional(1400.0); });
    for (const double flown_ft : {5900.0, 5700.0}) {
        Drawn drawn(fields().vor("AAA", {30, 0}, low_with_dme));
        drawn.ground = hill.ground();
        drawn.settings.off_airway_minimum.reset();
        Leg leg = drawn.guided({0, 0}, {30, 0}, "AAA");
        leg.minimum = {MinimumFrom::ground, Altitude::feet(2000)};
        leg.ending = drawn.over("AAA");
        drawn.fly({leg}, flown_ft);
        const auto codes = drawn.codes();
        EXPECT_EQ(std::count(codes.begin(), codes.end(), "altitude.below_minimum"), flown_ft > 5800 ? 0 : 1);
    }
}

// 14 CFR 91.179 (trade-facts 9.4): odd thousands eastward. A note, never more.
TEST(CaseJudgeAltitudes, TheSemicircularRuleIsANote) {
    for (const double cruise_ft : {5000.0, 6000.0}) {
        Drawn drawn(fields().vor("AAA", {30, 0}, low_with_dme));
        Leg leg = drawn.guided({0, 0}, {30, 0}, "AAA");
        leg.ending = drawn.over("AAA");
        drawn.flight.cruise = Altitude::feet(cruise_ft);
        drawn.fly({leg}, cruise_ft);
        const auto note = drawn.found("altitude.semicircular");
        EXPECT_EQ(note.has_value(), cruise_ft > 5500);
        EXPECT_TRUE(!note || note->grade == Grade::notes);
    }
}

// AIM 5-2-9, from memory (trade-facts 21): no turn below 400 ft above the field.
TEST(CaseJudgeClimbs, AnOwnDepartureTurnsAtFourHundredFeetAtTheEarliest) {
    for (const double turn_ft : {400.0, 390.0}) {
        Drawn drawn(fields().vor("AAA", {30, 0}, low_with_dme));
        Leg runway = drawn.heading({0, 0}, {1, 0});
        runway.phase = Phase::departure;
        runway.ending = procedure::AtAltitude{Altitude::feet(turn_ft)};
        Leg leg = drawn.guided({1, 0}, {30, 0}, "AAA");
        leg.ending = drawn.over("AAA");
        drawn.fly({runway, leg});
        const auto blocked = drawn.found("departure.turn_too_low");
        EXPECT_EQ(blocked.has_value(), turn_ft < 400);
        EXPECT_TRUE(!blocked || blocked->step == 1);
    }
}

// The day.

TEST(CaseJudgeDay, FuelThatJustDoesIsEnough) {
    Drawn drawn(fields().vor("AAA", {30, 0}, low_with_dme));
    Leg leg = drawn.guided({0, 0}, {30, 0}, "AAA");
    leg.ending = drawn.over("AAA");
    drawn.fly({leg});
    const Circumstances day{drawn.world,    drawn.ground,   magnetic_model(), earth::DecimalYear{2026.5},
                            drawn.aircraft, drawn.settings, drawn.winds};
    const base::Mass needed = compile(day, drawn.flight).track.fuel_needed;
    drawn.aircraft.fuel.usable = needed;
    EXPECT_THAT(drawn.codes(), IsEmpty());
    drawn.aircraft.fuel.usable = needed - base::Mass::pounds(1);
    EXPECT_THAT(drawn.codes(), Contains("fuel.too_little"));
}

TEST(CaseJudgeDay, AWindThatNoHeadingHoldsBlocksAndNamesTheStep) {
    for (const double knots : {100.0, 200.0}) {
        Drawn drawn(fields().vor("AAA", {30, 0}, low_with_dme));
        Leg leg = drawn.guided({0, 0}, {30, 0}, "AAA");
        leg.ending = drawn.over("AAA");
        drawn.fly({leg});
        drawn.winds =
            weather::WindsAloft(weather::Wind{TrueBearing::degrees(0), Speed::knots(knots)});  // across
        const auto blocked = drawn.found("wind.too_strong");
        EXPECT_EQ(blocked.has_value(), knots > 150) << "the drawn twin flies 150 kt";
        EXPECT_TRUE(!blocked || blocked->step == 1);
    }
}

// Radios: the schedule is helped by nothing here; what it says is what is judged.

namespace {

struct WithRadios {
    Drawn drawn{fields().vor("AAA", {30, 0}, low_with_dme)};
    Compiled compiled;

    WithRadios() {
        Leg leg = drawn.guided({0, 0}, {30, 0}, "AAA");
        leg.ending = drawn.over("AAA");
        drawn.fly({leg});
        compiled = compile(day(), drawn.flight);
        RadioNeed need;
        need.station = station_of(drawn.world, "AAA");
        need.from = base::Duration(30.0);
        need.to = base::Duration(600.0);
        need.to_identify = base::Duration(40.0);
        need.step = 1;
        compiled.radios.needs = {need};
    }

    Circumstances day() const {
        return {drawn.world,    drawn.ground,   magnetic_model(), earth::DecimalYear{2026.5},
                drawn.aircraft, drawn.settings, drawn.winds};
    }

    std::optional<Finding> said(const std::string& code) const {
        for (const Finding& finding : judge(day(), drawn.flight, compiled).findings) {
            if (finding.code == code) {
                return finding;
            }
        }
        return std::nullopt;
    }
};

}  // namespace

TEST(CaseJudgeRadios, AFlightWithoutAScheduleBlocksNamingStepStationAndSeconds) {
    WithRadios radios;
    NoSchedule none;
    none.need = 0;
    none.cause = NoScheduleCause::not_heard;
    none.missing = base::Duration(9.5);
    radios.compiled.schedule = none;
    const auto blocked = radios.said("radios.no_schedule");
    ASSERT_TRUE(blocked);
    EXPECT_EQ(blocked->grade, Grade::blocks);
    EXPECT_EQ(blocked->step, 1);
    EXPECT_THAT(blocked->text, HasSubstr("AAA guides step 1"));
    EXPECT_THAT(blocked->text, HasSubstr("10 s are missing"));
}

TEST(CaseJudgeRadios, GuidanceThatBeginsLateWarnsWithItsSeconds) {
    WithRadios radios;
    for (const double late_s : {0.0, 17.2}) {
        RadioSchedule schedule;
        RadioMet met;
        met.begins_late = base::Duration(late_s);
        schedule.met = {met};
        radios.compiled.schedule = schedule;
        const auto warned = radios.said("radios.guidance_late");
        EXPECT_EQ(warned.has_value(), late_s > 0);
        EXPECT_TRUE(!warned || warned->text.find("18 s after the step begins") != std::string::npos);
    }
}

// 15 s: common practice, no source.
TEST(CaseJudgeRadios, ATuningWithLessThanFifteenSecondsToSpareIsNoted) {
    WithRadios radios;
    for (const double slack_s : {15.0, 14.0}) {
        RadioSchedule schedule;
        RadioTurn turn;
        turn.tuned = station_of(radios.drawn.world, "AAA");
        turn.earliest = base::Duration(100.0);
        turn.latest = base::Duration(100.0 + slack_s);
        schedule.turns = {turn};
        radios.compiled.schedule = schedule;
        EXPECT_EQ(radios.said("radios.little_slack").has_value(), slack_s < 15);
    }
}

// The order of docs/methods/judge.md.
TEST(CaseJudgeRanking, WithinAGradeGuidanceComesBeforeRadiosBeforeAltitudesAndThenTheStep) {
    std::vector<Finding> findings = {{Grade::warns, "guidance.dead_reckoning", "a", "", "", 1},
                                     {Grade::blocks, "fuel.too_little", "b", "", ""},
                                     {Grade::blocks, "altitude.below_minimum", "c", "", "", 2},
                                     {Grade::blocks, "radios.no_schedule", "d", "", "", 9},
                                     {Grade::blocks, "guidance.gap", "e", "", "", 7},
                                     {Grade::blocks, "guidance.gap", "f", "", "", 3}};
    rank_findings(findings);
    std::string order;
    for (const Finding& finding : findings) {
        order += finding.about;
    }
    EXPECT_EQ(order, "fedcba");
}

// What more is aboard never takes a flight away: two receivers, a DME and an ADF admit what one receiver does.
RC_GTEST_PROP(LawJudge, MoreEquipmentNeverBlocksWhatLessFlies, ()) {
    const int bearing_deg = *rc::gen::inRange(0, 360);
    const int distance_nm = *rc::gen::inRange(5, 39);
    const At place = polar(bearing_deg, distance_nm);
    Drawn drawn(fields().vor("AAA", place));
    Leg leg = drawn.guided({0, 0}, place, "AAA");
    leg.ending = drawn.over("AAA");
    drawn.fly({leg});
    drawn.aircraft = aircraft_with({.receivers = 1});
    RC_PRE(drawn.codes().empty());
    drawn.aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    RC_ASSERT(drawn.codes().empty());
}

}  // namespace omniway::flight
