#include "procedure/flown.hpp"

#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Angle;
using base::Length;
using base::TrueBearing;
using navdata::Leg;
using navdata::PathTerminator;
using navdata::ServiceClass;
using navdata::Turn;
using omniway::testing::At;
using omniway::testing::LegDrawn;
using omniway::testing::Sketch;

namespace {

constexpr double degree = std::numbers::pi / 180.0;
// The drawn twin before the final fix: 1.3 times 90 KIAS; at sea level on a standard day the airspeed is the true one.
constexpr double approach_kt = 117.0;
constexpr double climb_kt = 110.0;
// TAS/(60 pi), trade-facts 7.2.
constexpr double turn_radius_nm = approach_kt / (60.0 * std::numbers::pi);

struct Drawn {
    navdata::Snapshot world;
    std::vector<Leg> coded;
    std::vector<PlacedLeg> placed;
    FlownPath path;

    const FlownLeg& leg(std::size_t i) const { return path.legs.at(i); }
    OnTrack end(std::size_t i) const { return finish_of(path.legs.at(i).pieces.back()); }
};

struct How {
    weather::Wind wind = {};
    FlownPhase phase = FlownPhase::approach;
    double altitude_ft = 0.0;
    std::optional<earth::Position> place = std::nullopt;
    std::optional<double> track_deg = std::nullopt;
    ReversalManner manner = ReversalManner::fortyfive_oneeighty;
};

Drawn drawn_and_flown(const Sketch& sketch, std::vector<Leg> legs, const How& how = {}) {
    Drawn all{sketch.world(), std::move(legs), {}, {}};
    const aircraft::Aircraft aircraft =
        omniway::testing::aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    std::vector<const Leg*> pointers;
    for (const Leg& leg : all.coded) {
        pointers.push_back(&leg);
    }
    PathContext context;
    context.name = "XAAA drawn";
    context.start = how.place.value_or(sketch.at({0, 0}));
    all.placed = place_legs(all.world, radio::Ground{}, aircraft.equipment, pointers, context).legs;
    const FlownBy by{&aircraft, how.wind, how.manner};
    FlownStart start{how.place, std::nullopt, Altitude::feet(how.altitude_ft), how.phase};
    if (how.track_deg) {
        start.track = TrueBearing::degrees(*how.track_deg);
    }
    all.path = fly(all.world, all.placed, by, start);
    return all;
}

weather::Wind wind(double from_deg, double speed_kt) {
    return {TrueBearing::degrees(from_deg), base::Speed::knots(speed_kt)};
}

void expect_at(const Sketch& sketch, earth::Position place, At expected, double within_nm = 0.01) {
    EXPECT_NEAR(earth::distance(place, sketch.at(expected)).nautical_miles(), 0.0, within_nm)
        << "expected " << expected.east_nm << " east, " << expected.north_nm << " north";
}

// Each piece begins where the one before ends, on its track.
void expect_without_a_gap(const FlownPath& path) {
    std::optional<OnTrack> before;
    for (const TrackPiece& piece : path.pieces()) {
        const OnTrack start = start_of(piece);
        if (before) {
            EXPECT_LT(earth::distance(before->place, start.place).metres(), 5.0);
            EXPECT_NEAR((start.track - before->track).degrees(), 0.0, 0.5);
        }
        before = finish_of(piece);
    }
}

// A VOR/DME with fixes about it on its radials: north N, east E, and one of no line.
// At the equator meridians do not converge, so that plane trigonometry may say what is right.
Sketch about_a_vor() {
    Sketch sketch(earth::Position::degrees(0.0, -170.0));
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low});
    sketch.fix("NORTH", {0, 20}).fix("NEARN", {0, 10}).fix("EASTA", {10, 0}).fix("EASTB", {20, 0});
    sketch.fix("CORNR", {10, 10}).fix("SOUTH", {0, -12});
    return sketch;
}

}  // namespace

TEST(TruthFlown, AnInitialFixIsAPlaceAndNothingIsFlown) {
    const Sketch sketch = about_a_vor();
    const auto flown = drawn_and_flown(
        sketch, {sketch.leg(PathTerminator::IF, "NORTH"), sketch.leg(PathTerminator::TF, "NEARN")});
    EXPECT_TRUE(flown.leg(0).pieces.empty());
    EXPECT_NEAR(flown.leg(1).length().nautical_miles(), 10.0, 0.01);
    expect_at(sketch, flown.end(1).place, {0, 10});
}

// Down the northern radial, and at NEARN to the east: 90 degrees are led by one radius.
TEST(TruthFlown, ATurnAtAFixThatIsNotFlownOverIsAnticipated) {
    const Sketch sketch = about_a_vor();
    const auto flown = drawn_and_flown(
        sketch, {sketch.leg(PathTerminator::IF, "NORTH"), sketch.leg(PathTerminator::TF, "NEARN"),
                 sketch.leg(PathTerminator::TF, "CORNR")});
    EXPECT_TRUE(flown.leg(1).anticipated);
    expect_at(sketch, flown.end(1).place, {0, 10 + turn_radius_nm});
    ASSERT_EQ(flown.leg(2).pieces.size(), 2U);
    EXPECT_NEAR(std::get<AirTurn>(flown.leg(2).pieces[0]).turned.degrees(), -90.0, 0.2);
    expect_at(sketch, finish_of(flown.leg(2).pieces[0]).place, {turn_radius_nm, 10});
    expect_at(sketch, flown.end(2).place, {10, 10});
    expect_without_a_gap(flown.path);
}

// Coded to be flown over (column 41 Y): the aircraft passes the fix and comes back at 45 degrees. The plane trigonometry is
// that of turning_test.cpp.
TEST(TruthFlown, AFixCodedToBeFlownOverIsPassedAndTheLineComeBackToAtFortyFiveDegrees) {
    const Sketch sketch = about_a_vor();
    const auto flown =
        drawn_and_flown(sketch, {sketch.leg(PathTerminator::IF, "NORTH"),
                                 sketch.leg(PathTerminator::TF, "NEARN", {.description = " Y  "}),
                                 sketch.leg(PathTerminator::TF, "CORNR")});
    EXPECT_FALSE(flown.leg(1).anticipated);
    expect_at(sketch, flown.end(1).place, {0, 10});
    ASSERT_EQ(flown.leg(2).pieces.size(), 4U);
    EXPECT_NEAR(std::get<AirTurn>(flown.leg(2).pieces[0]).turned.degrees(), -135.0, 0.2);
    const auto& back = std::get<Straight>(flown.leg(2).pieces[1]);
    EXPECT_NEAR(back.track.degrees(), 45.0, 0.2);
    expect_at(sketch, flown.end(2).place, {10, 10});
    expect_without_a_gap(flown.path);
}

TEST(TruthFlown, AnAidIsFlownOver) {
    const Sketch sketch = about_a_vor();
    const auto flown = drawn_and_flown(
        sketch, {sketch.leg(PathTerminator::IF, "NORTH"), sketch.leg(PathTerminator::TF, "AAA"),
                 sketch.leg(PathTerminator::TF, "EASTA")});
    EXPECT_FALSE(flown.leg(1).anticipated);
    expect_at(sketch, flown.end(1).place, {0, 0});
    expect_at(sketch, flown.end(2).place, {10, 0});
    expect_without_a_gap(flown.path);
}

// trade-facts 8.4: 120 degrees are the largest turn that is led.
TEST(TruthFlown, ATurnOfMoreThanAHundredAndTwentyDegreesIsNotAnticipated) {
    Sketch sketch = about_a_vor();
    sketch.fix("BACKA", {4.0, 20});
    const auto flown = drawn_and_flown(
        sketch, {sketch.leg(PathTerminator::IF, "NORTH"), sketch.leg(PathTerminator::TF, "NEARN"),
                 sketch.leg(PathTerminator::TF, "BACKA")});
    EXPECT_FALSE(flown.leg(1).anticipated);
    expect_at(sketch, flown.end(1).place, {0, 10});
}

// Abeam on a heading across it, the localizer is met at 30 degrees (trade-facts 21).
TEST(TruthFlown, ALocalizerIsInterceptedAtThirtyDegreesAndARadialAtFortyFive) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", {.dme = true});
    sketch.vor("AAA", {0, -20}, {.dme = ServiceClass::low}).fix("LOCFX", {-6, 0}).fix("RADFX", {-6, -20});
    for (const bool localizer : {true, false}) {
        const double north = localizer ? -4.0 : -24.0;
        const auto flown = drawn_and_flown(
            sketch,
            {sketch.leg(PathTerminator::CF, localizer ? "LOCFX" : "RADFX",
                        {.recommended = localizer ? "IAAA" : "AAA", .course_deg = 90.0, .distance_nm = 8.0})},
            {.place = sketch.at({-20, north}), .track_deg = 0.0});
        EXPECT_FALSE(flown.leg(0).fallback);
        ASSERT_GE(flown.leg(0).pieces.size(), 3U);
        EXPECT_NEAR(std::get<Straight>(flown.leg(0).pieces[1]).track.degrees(), localizer ? 60.0 : 45.0, 0.3);
        expect_at(sketch, flown.end(0).place, {-6, localizer ? 0.0 : -20.0}, 0.02);
        EXPECT_NEAR(flown.end(0).track.degrees(), 90.0, 0.3);
        expect_without_a_gap(flown.path);
    }
}

// The triangle of turning circle, tangent and fix: as in turning_test.cpp.
TEST(TruthFlown, DirectToAFixIsATurnOntoTheTangentThroughIt) {
    const Sketch sketch = about_a_vor();
    const double r = turn_radius_nm;
    const auto flown = drawn_and_flown(sketch, {sketch.leg(PathTerminator::DF, "AAA", {.turn = Turn::left})},
                                       {.place = sketch.at({8, 0}), .track_deg = 0.0});
    const auto& turn = std::get<AirTurn>(flown.leg(0).pieces.at(0));
    EXPECT_NEAR(turn.turned.degrees(), -(180.0 - std::acos(r / (8.0 - r)) / degree), 0.1);
    expect_at(sketch, flown.end(0).place, {0, 0});
    expect_without_a_gap(flown.path);
}

// Climb: 1,500 ft/min at sea level falling evenly to 100 at 18,000 ft, so the time to a height is a logarithm.
double climb_min(double to_ft) {
    const double fall = 1400.0 / 18000.0;
    return std::log(1500.0 / (1500.0 - fall * to_ft)) / fall;
}

TEST(TruthFlown, ACourseToAnAltitudeIsHeldInTheWindAndAHeadingDrifts) {
    const Sketch sketch = about_a_vor();
    for (const auto terminator : {PathTerminator::CA, PathTerminator::VA}) {
        const auto flown = drawn_and_flown(
            sketch, {sketch.leg(terminator, "", {.course_deg = 0.0, .altitude_ft = 2000.0})},
            {.wind = wind(270.0, 30), .phase = FlownPhase::departure, .place = sketch.at({0, 0})});
        const double hours = climb_min(2000.0) / 60.0;
        EXPECT_NEAR(flown.leg(0).at_end.feet(), 2000.0, 1e-6);
        if (terminator == PathTerminator::CA) {
            const double along_kt = std::sqrt(climb_kt * climb_kt - 30.0 * 30.0);
            expect_at(sketch, flown.end(0).place, {0, along_kt * hours}, 0.02);
        } else {
            expect_at(sketch, flown.end(0).place, {30.0 * hours, climb_kt * hours}, 0.02);
        }
    }
}

TEST(TruthFlown, ACourseFromAFixToAnAltitudeStaysOnItsLine) {
    const Sketch sketch = about_a_vor();
    const auto flown =
        drawn_and_flown(sketch,
                        {sketch.leg(PathTerminator::FA, "EASTA",
                                    {.recommended = "AAA", .course_deg = 90.0, .altitude_ft = 1500.0})},
                        {.wind = wind(90.0, 20), .phase = FlownPhase::departure});
    expect_at(sketch, flown.end(0).place, {10 + (climb_kt - 20.0) * climb_min(1500.0) / 60.0, 0}, 0.02);
}

TEST(TruthFlown, ADistanceFromAFixCountsAlongTheCourse) {
    const Sketch sketch = about_a_vor();
    const auto flown =
        drawn_and_flown(sketch, {sketch.leg(PathTerminator::FC, "EASTA",
                                            {.recommended = "AAA", .course_deg = 90.0, .distance_nm = 4.5})});
    expect_at(sketch, flown.end(0).place, {14.5, 0});
}

// trade-facts 5: 5.0 NM of slant range at 6,000 ft are 4.9 over the ground [published].
TEST(TruthFlown, ADmeDistanceIsReadAsASlantRange) {
    Sketch sketch = about_a_vor();
    sketch.fix("OVERA", {0.5, 0});
    const How high{.altitude_ft = 6000.0, .place = sketch.at({0.5, 0}), .track_deg = 90.0};
    const LegDrawn until{.recommended = "AAA", .course_deg = 90.0, .distance_nm = 5.0};
    for (const auto terminator : {PathTerminator::FD, PathTerminator::CD, PathTerminator::VD}) {
        Leg leg = sketch.leg(terminator, "OVERA", until);
        if (terminator != PathTerminator::FD) {
            leg.fix.reset();
        }
        const auto flown = drawn_and_flown(sketch, {leg}, high);
        EXPECT_FALSE(flown.leg(0).fallback);
        expect_at(sketch, flown.end(0).place, {4.90, 0}, 0.01);
    }
}

// North-west on 315 from 10 east: the 030 radial is crossed where x = y tan 30 and x = 10 - y.
TEST(TruthFlown, ACourseOrHeadingEndsWhereItCrossesTheRadial) {
    const Sketch sketch = about_a_vor();
    for (const auto terminator : {PathTerminator::CR, PathTerminator::VR}) {
        Leg leg = sketch.leg(terminator, "EASTA", {.recommended = "AAA", .course_deg = 315.0});
        leg.fix.reset();
        leg.theta = navdata::CodedCourse{30.0};
        const auto flown = drawn_and_flown(sketch, {leg}, {.place = sketch.at({10, 0}), .track_deg = 315.0});
        const double north = 10.0 / (1.0 + std::tan(30.0 * degree));
        EXPECT_FALSE(flown.leg(0).fallback);
        expect_at(sketch, flown.end(0).place, {10.0 - north, north}, 0.02);
    }
}

// Heading 060 toward the eastern radial flown outbound: the turn of 30 degrees begins r tan 15 before the radial is met.
TEST(TruthFlown, AnInterceptEndsWhereTheTurnOntoTheNextCourseBegins) {
    const Sketch sketch = about_a_vor();
    for (const auto terminator : {PathTerminator::CI, PathTerminator::VI}) {
        Leg leg = sketch.leg(terminator, "EASTA", {.course_deg = 60.0});
        leg.fix.reset();
        const auto flown =
            drawn_and_flown(sketch,
                            {leg, sketch.leg(PathTerminator::CF, "EASTB",
                                             {.recommended = "AAA", .course_deg = 90.0, .distance_nm = 8.0})},
                            {.place = sketch.at({4, -3}), .track_deg = 60.0});
        const double met = 3.0 / std::sin(30.0 * degree) - turn_radius_nm * std::tan(15.0 * degree);
        EXPECT_FALSE(flown.leg(0).fallback);
        EXPECT_NEAR(flown.leg(0).length().nautical_miles(), met, 0.01);
        expect_at(sketch, flown.end(1).place, {20, 0}, 0.02);
        expect_without_a_gap(flown.path);
    }
}

TEST(TruthFlown, ALegThatEndsInVectorsIsDrawnForThreeMiles) {
    const Sketch sketch = about_a_vor();
    const auto from_fix = drawn_and_flown(
        sketch, {sketch.leg(PathTerminator::FM, "EASTA", {.recommended = "AAA", .course_deg = 90.0})});
    expect_at(sketch, from_fix.end(0).place, {13, 0});
    Leg heading = sketch.leg(PathTerminator::VM, "EASTA", {.course_deg = 90.0});
    heading.fix.reset();
    const auto on_heading =
        drawn_and_flown(sketch, {heading}, {.place = sketch.at({0, 5}), .track_deg = 90.0});
    expect_at(sketch, on_heading.end(0).place, {3, 5});
}

// In on the northern radial, round to the east on the 10 DME arc, and in on the eastern radial. Begun at sqrt(R2 + 2Rr) and left
// asin(r / (R - r)) before the radial (trade-facts 5 gives the rules of thumb for both; turning_test.cpp holds them).
TEST(TruthFlown, AnArcIsJoinedAndLeftWithTheLeadOfItsTurns) {
    const Sketch sketch = about_a_vor();
    const double r = turn_radius_nm;
    const auto flown = drawn_and_flown(
        sketch, {sketch.leg(PathTerminator::IF, "NORTH"), sketch.leg(PathTerminator::TF, "NEARN"),
                 sketch.leg(PathTerminator::AF, "EASTA",
                            {.recommended = "AAA", .course_deg = 0.0, .turn = Turn::right}),
                 sketch.leg(PathTerminator::CF, "AAA",
                            {.recommended = "AAA", .course_deg = 270.0, .distance_nm = 10.0})});
    EXPECT_TRUE(flown.leg(1).anticipated);
    expect_at(sketch, flown.end(1).place, {0, std::sqrt(100.0 + 20.0 * r)});
    const auto& arc = std::get<GroundArc>(flown.leg(2).pieces.at(1));
    const double joins = std::asin(r / (10.0 + r)) / degree;
    const double leaves = 90.0 - std::asin(r / (10.0 - r)) / degree;
    EXPECT_NEAR(arc.from.degrees(), joins, 0.05);
    EXPECT_NEAR((arc.from + arc.swept).degrees(), leaves, 0.05);
    EXPECT_NEAR(arc.radius.nautical_miles(), 10.0, 1e-3);
    expect_at(sketch, flown.end(3).place, {0, 0}, 0.02);
    expect_without_a_gap(flown.path);
}

// AF worked row (trade-facts 5): 13.0 NM from radial 343.0 to 252.3, left: 90.7 degrees, 20.58 NM.
TEST(TruthFlown, APublishedArcIsAsLongAsItsRow) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low});
    sketch.fix("STRTA", {13.0 * std::sin(343.0 * degree), 13.0 * std::cos(343.0 * degree)});
    sketch.fix("ENDAA", {13.0 * std::sin(252.3 * degree), 13.0 * std::cos(252.3 * degree)});
    const auto flown = drawn_and_flown(
        sketch, {sketch.leg(PathTerminator::IF, "STRTA"),
                 sketch.leg(PathTerminator::AF, "ENDAA",
                            {.recommended = "AAA", .course_deg = 343.0, .turn = Turn::left})});
    EXPECT_NEAR(flown.leg(1).length().nautical_miles(), 20.58, 0.02);
    expect_at(sketch, flown.end(1).place, {13.0 * std::sin(252.3 * degree), 13.0 * std::cos(252.3 * degree)},
              0.02);
}

// A quarter of a circle of 10 NM about the VOR, refused by name and drawn all the same.
TEST(TruthFlown, AConstantRadiusTurnIsDrawnAboutItsCentre) {
    const Sketch sketch = about_a_vor();
    Leg leg = sketch.leg(PathTerminator::RF, "EASTA", {.turn = Turn::right});
    leg.centre = sketch.name("AAA");
    const auto flown = drawn_and_flown(sketch, {sketch.leg(PathTerminator::IF, "NEARN"), leg});
    EXPECT_FALSE(flown.leg(1).fallback);
    EXPECT_NEAR(flown.leg(1).length().nautical_miles(), 10.0 * 90.0 * degree, 0.02);
    expect_at(sketch, flown.end(1).place, {10, 0}, 0.02);
    EXPECT_TRUE(flown.placed.at(1).needs_area_navigation);
}

// Outbound on the southern radial from SOUTH, 45 degrees to the side the coded turn comes back from, inbound on the radial: the
// track stays on that side and within the coded distance (trade-facts 8.4, 13.9).
TEST(TruthFlown, AProcedureTurnStaysOnItsSideAndWithinItsDistance) {
    const Sketch sketch = about_a_vor();
    for (const auto manner : {ReversalManner::fortyfive_oneeighty, ReversalManner::eighty_twosixty}) {
        for (const bool right : {true, false}) {
            const auto flown =
                drawn_and_flown(sketch,
                                {sketch.leg(PathTerminator::IF, "SOUTH"),
                                 sketch.leg(PathTerminator::PI, "SOUTH",
                                            {.recommended = "AAA",
                                             .course_deg = right ? 135.0 : 225.0,
                                             .distance_nm = 10.0,
                                             .turn = right ? Turn::right : Turn::left}),
                                 sketch.leg(PathTerminator::CF, "AAA",
                                            {.recommended = "AAA", .course_deg = 0.0, .distance_nm = 12.0})},
                                {.manner = manner});
            EXPECT_FALSE(flown.leg(1).fallback);
            double farthest_east = 0.0;
            double farthest_west = 0.0;
            for (const earth::Position& place : drawn(flown.leg(1).pieces)) {
                EXPECT_LT(earth::distance(place, sketch.place("SOUTH")).nautical_miles(), 10.05);
                const earth::AlongAcross off =
                    earth::along_across(sketch.at({0, -40}), sketch.at({0, 0}), place);
                farthest_east = std::max(farthest_east, off.across.nautical_miles());
                farthest_west = std::max(farthest_west, -off.across.nautical_miles());
            }
            // 45 degrees left of south is east: a turn back to the right follows it. Still air: 15 s of turn and 45 s straight, or
            // 80 degrees and as much again, out to the side.
            const double v = approach_kt / 3600.0;
            const double out = manner == ReversalManner::fortyfive_oneeighty
                                   ? 45.0 * v * std::sin(45.0 * degree) +
                                         2.0 * turn_radius_nm * (1.0 - std::cos(45.0 * degree))
                                   : 2.0 * turn_radius_nm * (1.0 - std::cos(80.0 * degree));
            EXPECT_NEAR(right ? farthest_east : farthest_west, out, 0.03);
            EXPECT_LT(right ? farthest_west : farthest_east, 0.3);
            EXPECT_NEAR((flown.end(1).track - TrueBearing::degrees(0.0)).degrees(), 0.0, 0.3);
            expect_at(sketch, flown.end(2).place, {0, 0}, 0.02);
            expect_without_a_gap(flown.path);
        }
    }
}

// Still air, one minute at or below 14,000 ft (trade-facts 8.2): two half circles and two minutes of straight a circuit.
TEST(TruthFlown, AHoldIsFlownRoundItsFix) {
    const Sketch sketch = about_a_vor();
    const auto legs_of = [&](PathTerminator terminator, std::optional<double> altitude_ft) {
        return std::vector<Leg>{sketch.leg(PathTerminator::IF, "EASTB"),
                                sketch.leg(PathTerminator::TF, "EASTA"),
                                sketch.leg(terminator, "EASTA",
                                           {.recommended = "AAA",
                                            .course_deg = 270.0,
                                            .altitude_ft = altitude_ft,
                                            .turn = Turn::right})};
    };
    const double half_min = 180.0 / 3.0 / 60.0;  // half a circle at standard rate
    const auto once = drawn_and_flown(sketch, legs_of(PathTerminator::HF, std::nullopt));
    EXPECT_NEAR(base::in_minutes(once.leg(2).time()), 2.0 * half_min + 2.0, 0.1);
    expect_at(sketch, once.end(2).place, {10, 0}, 0.05);
    EXPECT_NEAR(once.end(2).track.degrees(), 270.0, 0.5);
    expect_without_a_gap(once.path);
    const auto shown = drawn_and_flown(sketch, legs_of(PathTerminator::HM, std::nullopt));
    EXPECT_NEAR(base::in_minutes(shown.leg(2).time()), 2.0 * (2.0 * half_min + 2.0), 0.2);
    const auto climbing =
        drawn_and_flown(sketch, legs_of(PathTerminator::HA, 9000.0), {.phase = FlownPhase::departure});
    const double time = base::in_minutes(climbing.path.time());
    EXPECT_NEAR(climbing.leg(2).at_end.feet(), 9000.0, 1e-6);
    EXPECT_GE(time, climb_min(9000.0) - 0.1);
    EXPECT_LT(time, climb_min(9000.0) + 4.2);
}

// A wind that no heading holds is left out, and so are legs that what is flown never ends: each says why.
TEST(CaseFlown, WhatCannotBeFlownAsCodedSaysWhy) {
    const Sketch sketch = about_a_vor();
    const auto fallback_of = [&](Leg leg, const How& how) {
        leg.fix.reset();
        const auto flown = drawn_and_flown(sketch, {leg}, how);
        EXPECT_FALSE(flown.leg(0).pieces.empty());
        return flown.leg(0).fallback;
    };
    const How eastbound{.place = sketch.at({8, 0}), .track_deg = 90.0};
    EXPECT_EQ(fallback_of(sketch.leg(PathTerminator::CD, "EASTA",
                                     {.recommended = "AAA", .course_deg = 90.0, .distance_nm = 4.0}),
                          eastbound),
              Fallback::distance_never_read);
    Leg radial = sketch.leg(PathTerminator::CR, "EASTA", {.recommended = "AAA", .course_deg = 90.0});
    radial.theta = navdata::CodedCourse{270.0};
    EXPECT_EQ(fallback_of(radial, eastbound), Fallback::radial_never_crossed);
    How climbing = eastbound;
    climbing.phase = FlownPhase::departure;
    EXPECT_EQ(
        fallback_of(sketch.leg(PathTerminator::VA, "EASTA", {.course_deg = 90.0, .altitude_ft = 25000.0}),
                    climbing),
        Fallback::altitude_never_reached);
    How storm = eastbound;
    storm.wind = wind(0.0, 115.0);
    EXPECT_EQ(fallback_of(sketch.leg(PathTerminator::VM, "EASTA", {.course_deg = 90.0}), storm),
              Fallback::wind_too_strong);
    Leg parallel = sketch.leg(PathTerminator::VI, "EASTA", {.course_deg = 90.0});
    parallel.fix.reset();
    const auto never = drawn_and_flown(
        sketch,
        {parallel, sketch.leg(PathTerminator::CF, "EASTB",
                              {.recommended = "AAA", .course_deg = 90.0, .distance_nm = 8.0})},
        {.place = sketch.at({5, 4}), .track_deg = 90.0});
    EXPECT_EQ(never.leg(0).fallback, Fallback::course_never_met);
    const auto late =
        drawn_and_flown(sketch,
                        {sketch.leg(PathTerminator::CF, "EASTB",
                                    {.recommended = "AAA", .course_deg = 90.0, .distance_nm = 8.0})},
                        {.place = sketch.at({19.5, 1.5}), .track_deg = 90.0});
    EXPECT_EQ(late.leg(0).fallback, Fallback::no_room_to_join);
    expect_at(sketch, late.end(0).place, {20, 0}, 0.1);
}

TEST(CaseFlown, EveryFallbackHasAText) {
    for (int i = 0; i <= static_cast<int>(Fallback::hold_lengthened); ++i) {
        EXPECT_FALSE(to_text(static_cast<Fallback>(i)).empty()) << i;
    }
}

namespace {

// A drawn procedure with a turn, an arc, a hold and a reversal, and its mirror image in the meridian of its VOR.
std::vector<Leg> drawn_procedure(const Sketch& sketch, bool mirrored) {
    const auto course = [&](double degrees) {
        return mirrored ? std::fmod(360.0 - degrees, 360.0) : degrees;
    };
    const auto side = [&](Turn turn) {
        return !mirrored ? turn : turn == Turn::right ? Turn::left : Turn::right;
    };
    return {sketch.leg(PathTerminator::IF, "FIRST"),
            sketch.leg(PathTerminator::TF, "SECND"),
            sketch.leg(PathTerminator::AF, "THIRD",
                       {.recommended = "AAA", .course_deg = course(20.0), .turn = side(Turn::right)}),
            sketch.leg(PathTerminator::CF, "AAA",
                       {.recommended = "AAA", .course_deg = course(270.0), .distance_nm = 10.0}),
            sketch.leg(PathTerminator::PI, "AAA",
                       {.recommended = "AAA",
                        .course_deg = course(225.0),
                        .distance_nm = 12.0,
                        .turn = side(Turn::left)}),
            sketch.leg(PathTerminator::CF, "AAA",
                       {.recommended = "AAA", .course_deg = course(0.0), .distance_nm = 6.0}),
            sketch.leg(PathTerminator::HM, "AAA",
                       {.recommended = "AAA", .course_deg = course(300.0), .turn = side(Turn::left)})};
}

Sketch drawn_map(bool mirrored, earth::Position origin = earth::Position::degrees(40.0, -170.0)) {
    const double sign = mirrored ? -1.0 : 1.0;
    const auto polar = [&](double bearing_deg, double nm) {
        return At{sign * nm * std::sin(bearing_deg * degree), nm * std::cos(bearing_deg * degree)};
    };
    Sketch sketch(origin);
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low});
    sketch.fix("FIRST", polar(20.0, 22.0)).fix("SECND", polar(20.0, 10.0)).fix("THIRD", polar(90.0, 10.0));
    return sketch;
}

}  // namespace

RC_GTEST_PROP(LawFlown, AMirroredProcedureIsFlownAsTheMirrorImage, ()) {
    const int from_deg = *rc::gen::inRange(0, 360);
    const int speed_kt = *rc::gen::inRange(0, 40);
    const auto one = drawn_and_flown(drawn_map(false), drawn_procedure(drawn_map(false), false),
                                     {.wind = wind(from_deg, speed_kt)});
    const auto other = drawn_and_flown(drawn_map(true), drawn_procedure(drawn_map(true), true),
                                       {.wind = wind(360.0 - from_deg, speed_kt)});
    for (std::size_t i = 0; i < one.path.legs.size(); ++i) {
        RC_ASSERT(one.leg(i).pieces.size() == other.leg(i).pieces.size());
        RC_ASSERT(std::abs(one.leg(i).length().metres() - other.leg(i).length().metres()) < 5.0);
    }
}

RC_GTEST_PROP(LawFlown, PiecesJoinWithoutAGapInAnyWind, ()) {
    const auto flown = drawn_and_flown(drawn_map(false), drawn_procedure(drawn_map(false), false),
                                       {.wind = wind(*rc::gen::inRange(0, 360), *rc::gen::inRange(0, 40))});
    std::optional<OnTrack> before;
    for (const FlownLeg& leg : flown.path.legs) {
        for (const TrackPiece& piece : leg.pieces) {
            const OnTrack start = start_of(piece);
            if (before) {
                RC_ASSERT(earth::distance(before->place, start.place).metres() < 5.0);
                RC_ASSERT(
                    (leg.fallback.has_value() || std::abs((start.track - before->track).degrees()) < 0.5));
            }
            before = finish_of(piece);
        }
    }
}

TEST(LawFlown, ABreathOfWindChangesNothing) {
    const auto calm = drawn_and_flown(drawn_map(false), drawn_procedure(drawn_map(false), false));
    const auto breath = drawn_and_flown(drawn_map(false), drawn_procedure(drawn_map(false), false),
                                        {.wind = wind(77.0, 0.001)});
    ASSERT_EQ(calm.path.pieces().size(), breath.path.pieces().size());
    EXPECT_NEAR(calm.path.length().metres(), breath.path.length().metres(), 10.0);
    EXPECT_LT(earth::distance(calm.path.end()->place, breath.path.end()->place).metres(), 5.0);
}

// Across the antimeridian, in the south, far north: the same drawing is the same shape.
TEST(LawFlown, AProcedureIsFlownAlikeWhereverItLies) {
    const auto here = drawn_and_flown(drawn_map(false), drawn_procedure(drawn_map(false), false),
                                      {.wind = wind(200.0, 25.0)});
    for (const earth::Position origin :
         {earth::Position::degrees(0.0, 179.95), earth::Position::degrees(-35.0, 20.0),
          earth::Position::degrees(70.0, -180.0)}) {
        const Sketch map = drawn_map(false, origin);
        const auto there = drawn_and_flown(map, drawn_procedure(map, false), {.wind = wind(200.0, 25.0)});
        ASSERT_EQ(here.path.legs.size(), there.path.legs.size());
        for (std::size_t i = 0; i < here.path.legs.size(); ++i) {
            // Meridians converge by half a degree across the drawing at 70 degrees: so does the wind, against it.
            EXPECT_NEAR(
                there.leg(i).length().nautical_miles() / std::max(0.1, here.leg(i).length().nautical_miles()),
                1.0, here.leg(i).pieces.empty() ? 1.0 : 0.02)
                << i;
        }
        expect_without_a_gap(there.path);
    }
}

TEST(CaseFlown, NoLegsAreNoPath) {
    const Sketch sketch = about_a_vor();
    const auto flown = drawn_and_flown(sketch, {}, {.altitude_ft = 3000.0});
    EXPECT_TRUE(flown.path.legs.empty());
    EXPECT_FALSE(flown.path.end());
    EXPECT_EQ(flown.path.length(), Length());
}

// An arc without a station is drawn straight to its fix, a fix that nothing places is left out, and so is a hold without a course.
TEST(CaseFlown, WhereOneLegIsFaultyTheRestIsStillFlown) {
    const Sketch sketch = about_a_vor();
    Leg arc = sketch.leg(PathTerminator::AF, "EASTA", {.turn = Turn::right});
    Leg nowhere = sketch.leg(PathTerminator::TF, "EASTA");
    nowhere.fix->ident = "NOFIX";
    const auto flown = drawn_and_flown(
        sketch, {sketch.leg(PathTerminator::IF, "NEARN"), arc, nowhere,
                 sketch.leg(PathTerminator::HM, "EASTA"), sketch.leg(PathTerminator::TF, "EASTB")});
    ASSERT_EQ(flown.path.legs.size(), 3U);
    EXPECT_EQ(flown.leg(1).fallback, Fallback::aid_unknown);
    expect_at(sketch, flown.end(1).place, {10, 0});
    EXPECT_FALSE(flown.leg(2).fallback);
    expect_at(sketch, flown.end(2).place, {20, 0}, 0.02);
}

}  // namespace omniway::procedure
