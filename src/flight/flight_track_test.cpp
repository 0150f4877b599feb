#include "flight/flight_track.hpp"

#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "procedure/climb.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::Speed;
using base::TrueBearing;
using omniway::testing::aircraft_with;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using weather::Wind;

namespace {

// AAA at the origin, whose zero stands 20 degrees east; BBB 88 NM east of it; an ILS beyond.
Sketch drawn() {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", {.dme = true});
    sketch.vor("AAA", {0, 0}, {.declination_deg = 20.0}).vor("BBB", {88, 0});
    return sketch;
}

// A level flight at 4,000 ft, where the drawn aircraft is told to make 120 kt on 100 lb an hour.
struct Level {
    Sketch sketch = drawn();
    navdata::Snapshot world = sketch.world();
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 1});
    Wind wind{TrueBearing::degrees(0), Speed::knots(0)};
    Flight flight;

    Level() {
        aircraft.performance.cruise = {{.altitude = Altitude::feet(4000),
                                        .true_airspeed = Speed::knots(120),
                                        .fuel_flow = base::MassFlow::pounds_per_hour(100)}};
        flight.cruise = Altitude::feet(4000);
        flight.profile = {{Length(), Altitude::feet(4000)},
                          {Length::nautical_miles(500), Altitude::feet(4000)}};
    }

    Leg leg(double from_nm, double to_nm, const procedure::Guidance& guidance) const {
        Leg leg;
        leg.via = "V1";
        leg.start = sketch.at({from_nm, 0});
        leg.finish = sketch.at({to_nm, 0});
        const earth::Geodesic line = earth::geodesic(leg.start, leg.finish);
        leg.track = line.initial;
        leg.arrival = line.arrival;
        leg.length = line.distance;
        leg.from =
            procedure::PlacedFix{std::to_string(static_cast<int>(from_nm)), leg.start, std::nullopt, false};
        leg.to =
            procedure::PlacedFix{std::to_string(static_cast<int>(to_nm)), leg.finish, std::nullopt, false};
        leg.stretches = {{Length(), leg.length, guidance}};
        leg.minimum = {MinimumFrom::published_airway, Altitude::feet(3000)};
        leg.ending = procedure::AtIntercept{};
        return leg;
    }

    procedure::Guidance from_aaa() const {
        return procedure::OnRadial{station_of(world, "AAA"), false, base::Radial::degrees(70)};
    }

    FlightTrack track() const { return track_of(world, aircraft, magnetic_model(), {2026.0}, wind, flight); }
};

}  // namespace

// trade-facts 7.1: course 090 true, 120 kt, wind 045 at 40 kt: heading 076, groundspeed 88 (worked there to 76.37 and 88.3).
TEST(TruthCard, TheHeadingAndGroundspeedOfAStepSolveTheWindTriangle) {
    Level level;
    level.wind = {TrueBearing::degrees(45), Speed::knots(40)};
    level.flight.legs = {level.leg(0, 88, level.from_aaa())};
    const FlightTrack track = level.track();
    ASSERT_EQ(track.steps.size(), 1U);
    const TrackStep& step = track.steps[0];
    EXPECT_NEAR(step.track.degrees(), 90.0, 0.01);
    EXPECT_NEAR(base::to_true(*step.heading, step.variation).degrees(), 76.37, 0.02);
    EXPECT_NEAR(step.groundspeed->knots(), 88.3, 0.05);
    // 88 NM at 88.28 kt are 59.8 minutes, which burn 99.7 of 100 lb an hour.
    EXPECT_NEAR(base::in_minutes(*step.time), 59.8, 0.1);
    EXPECT_NEAR(step.fuel.pounds(), 99.7, 0.2);
    // 45 minutes' reserve at cruise (75 lb) and 10 lb for taxi.
    EXPECT_NEAR(track.fuel_needed.pounds(), 99.7 + 75.0 + 10.0, 0.3);
}

// trade-facts 15: the heading goes by today's variation at the place, the course set by the station's own zero.
TEST(TruthCard, TheCompassGoesByVariationAndTheCourseByTheStation) {
    Level level;
    level.flight.legs = {level.leg(0, 88, level.from_aaa())};
    const TrackStep step = level.track().steps.at(0);
    const double variation_deg =
        magnetic_model().variation(level.sketch.at({0, 0}), {2026.0}).east().degrees();
    ASSERT_GT(variation_deg, 5.0);
    EXPECT_NEAR(step.heading->degrees(), 90.0 - variation_deg, 0.01);
    EXPECT_NEAR(step.course_set->degrees(), 70.0, 1e-9);
}

TEST(CaseCard, AWindNoHeadingHoldsAgainstLeavesTheStepWithoutTime) {
    Level level;
    level.wind = {TrueBearing::degrees(0), Speed::knots(130)};
    level.flight.legs = {level.leg(0, 88, level.from_aaa())};
    const FlightTrack track = level.track();
    EXPECT_FALSE(track.steps.at(0).heading);
    EXPECT_FALSE(track.steps[0].groundspeed);
    EXPECT_FALSE(track.time);
}

TEST(CaseCard, AChangeoverMakesTwoStepsOfOneLeg) {
    Level level;
    Leg leg = level.leg(0, 88, level.from_aaa());
    const Length half = leg.length * 0.5;
    leg.stretches = {{Length(), half, level.from_aaa()},
                     {half, leg.length,
                      procedure::OnRadial{station_of(level.world, "BBB"), true, base::Radial::degrees(91)}}};
    level.flight.legs = {leg};
    const FlightTrack track = level.track();
    ASSERT_EQ(track.steps.size(), 2U);
    EXPECT_FALSE(track.steps[0].ending);  // the changeover
    EXPECT_TRUE(track.steps[1].ending);
    EXPECT_NEAR((track.steps[0].length + track.steps[1].length).nautical_miles(), 88.0, 1e-6);
    EXPECT_NEAR(track.length.nautical_miles(), 88.0, 1e-6);
}

// 14 CFR 95: each segment has its own minimum; flown as one step the highest binds, and the card says where a lower one begins.
TEST(CaseCard, APointPassedStraightOnMakesNoStepAndTheHigherMinimumBinds) {
    Level level;
    Leg first = level.leg(0, 40, level.from_aaa());
    first.ending.reset();
    first.minimum.altitude = Altitude::feet(3900);
    const Leg second = level.leg(40, 80, level.from_aaa());
    level.flight.legs = {first, second};
    const FlightTrack track = level.track();
    ASSERT_EQ(track.steps.size(), 1U);
    EXPECT_EQ(track.steps[0].from, "0");
    EXPECT_EQ(track.steps[0].to, "80");
    EXPECT_NEAR(track.steps[0].length.nautical_miles(), 80.0, 1e-6);
    EXPECT_EQ(track.steps[0].minimum.altitude, Altitude::feet(3900));
    EXPECT_EQ(track.steps[0].minimum_at_end, Altitude::feet(3000));
    EXPECT_EQ(track.steps[0].minimum_at_end_from, "40");
}

TEST(CaseCard, AMinimumNotKnownOnOnePartIsNotKnownOnTheWhole) {
    Level level;
    Leg first = level.leg(0, 40, level.from_aaa());
    first.ending.reset();
    first.minimum = {MinimumFrom::not_known, std::nullopt};
    level.flight.legs = {first, level.leg(40, 80, level.from_aaa())};
    EXPECT_FALSE(level.track().steps.at(0).minimum.altitude);
}

TEST(CaseCard, WhatWasMissedIsNumberedOnAndCostsTheFlightNothing) {
    Level level;
    level.flight.legs = {level.leg(0, 40, level.from_aaa())};
    const FlightTrack without = level.track();
    level.flight.missed = {level.leg(40, 80, level.from_aaa())};
    const FlightTrack with = level.track();
    ASSERT_EQ(with.missed.size(), 1U);
    EXPECT_EQ(with.missed[0].number, 2);
    EXPECT_EQ(with.length, without.length);
    EXPECT_EQ(with.fuel, without.fuel);
}

// AIM 1-1-9 b 3 (trade-facts 4): reversed inbound on the back course and outbound on the front course, unless the receiver or an
// HSI set to the front course corrects it.
// A climb to 5,000 ft, a heading of which nothing is coded, a course to 9,000 ft: the aircraft's own climb goes on in between
// (procedure/climb.hpp is held to the tables elsewhere), and never down again to where the approach ended.
TEST(CaseCard, AMissedStepWithoutACodedAltitudeClimbsOnTowardTheNext) {
    Level level;
    level.flight.legs = {level.leg(0, 400, level.from_aaa())};
    const auto missed = [&](double from_nm, double to_nm, std::optional<double> coded_ft) {
        Leg leg = level.leg(from_nm, to_nm, procedure::OnHeading{TrueBearing::degrees(90)});
        leg.phase = Phase::missed;
        leg.published = true;
        leg.minimum = {MinimumFrom::coded_procedure,
                       coded_ft ? std::optional(Altitude::feet(*coded_ft)) : std::nullopt};
        return leg;
    };
    level.flight.missed = {missed(400, 405, 5000.0), missed(405, 407, std::nullopt), missed(407, 450, 9000.0),
                           missed(450, 460, std::nullopt)};
    const FlightTrack track = level.track();
    ASSERT_EQ(track.missed.size(), 4U);
    const Altitude after =
        procedure::altitude_after({&level.aircraft.performance, level.wind}, TrueBearing::degrees(90),
                                  Altitude::feet(5000), Length::nautical_miles(2));
    EXPECT_GT(after, Altitude::feet(5500));
    EXPECT_NEAR(track.missed[0].altitude.feet(), 5000.0, 1e-6);
    EXPECT_NEAR(track.missed[1].altitude.feet(), after.feet(), 5.0);
    EXPECT_NEAR(track.missed[2].altitude.feet(), 9000.0, 1e-6);
    EXPECT_NEAR(track.missed[3].altitude.feet(), 9000.0, 1e-6);
}

TEST(TruthCard, ALocalizersNeedleIsReversedOnACdiAndRightedOnAnHsi) {
    for (const auto indicator : {cockpit::CourseIndicator::cdi, cockpit::CourseIndicator::hsi}) {
        for (const bool toward : {true, false}) {
            for (const bool back_course : {true, false}) {
                Level level;
                level.aircraft.equipment.receivers.at(0).indicator = indicator;
                level.flight.legs = {level.leg(
                    -12, -5, procedure::OnLocalizer{station_of(level.world, "IAAA"), toward, back_course})};
                const TrackStep step = level.track().steps.at(0);
                const bool backward = toward == back_course;
                EXPECT_EQ(step.needle, !backward ? NeedleSense::toward_the_line
                                       : indicator == cockpit::CourseIndicator::hsi
                                           ? NeedleSense::righted_by_the_front_course
                                           : NeedleSense::away_from_the_line);
                // The course arrow of an HSI stays on the front course whichever way it is flown.
                EXPECT_NEAR(step.course_set->degrees(), 90.0, 0.1);
            }
        }
    }
}

namespace {

// A level flight whose last 6 NM are the final: two steps, the second to the threshold.
struct OnFinal : Level {
    explicit OnFinal(bool timed) {
        flight.legs = {leg(0, 20, from_aaa()), leg(20, 24, from_aaa()), leg(24, 26, from_aaa())};
        flight.legs[1].ending = procedure::AtFix{*flight.legs[1].to, {}};
        flight.legs[2].ending =
            timed ? procedure::Ending(procedure::AtMissedApproachPoint{*flight.legs[2].to, std::nullopt})
                  : procedure::Ending(procedure::AtDecisionAltitude{});
        procedure::FinalSegment segment;
        segment.final_fix = *flight.legs[1].from;
        segment.end = *flight.legs[2].to;
        segment.length = Length::nautical_miles(6);
        segment.timed = timed;
        segment.on_glideslope = !timed;
        segment.gradient = procedure::Gradient::feet_per_nautical_mile(318);
        segment.glide_path =
            procedure::GlidePath{segment.end.position, Altitude::feet(50), base::Angle::degrees(3.0),
                                 procedure::GlidePathFoot::threshold};
        flight.final_approach = segment;
    }
};

}  // namespace

// At the 120 kt of the level flight 6 NM take 3:00, and 318 ft/NM are 636 ft/min (trade-facts 7.3, published table).
TEST(TruthCard, AFinalEndedByTheClockGivesItsTimeAndTheTable) {
    const OnFinal level(true);
    const FlightTrack track = level.track();
    ASSERT_TRUE(track.final_approach);
    EXPECT_EQ(track.final_approach->first_step, 2);
    EXPECT_EQ(track.final_approach->last_step, 3);
    EXPECT_NEAR(track.final_approach->groundspeed->knots(), 120.0, 1e-6);
    EXPECT_NEAR(track.final_approach->time->count(), 180.0, 0.01);
    EXPECT_NEAR(track.final_approach->descent_rate->feet_per_minute(), 636.0, 0.01);
    ASSERT_EQ(track.final_approach->times.size(), 5U);
    EXPECT_NEAR(track.final_approach->times[1].time.count(), 240.0, 1e-6);
    ASSERT_TRUE(track.steps.back().timed_from_final_fix);
    EXPECT_NEAR(track.steps.back().timed_from_final_fix->count(), 180.0, 0.01);
    EXPECT_FALSE(track.final_approach->decision);
}

// 200 ft over a foot at 50 ft: 200 / 318.4 = 0.628 NM before the threshold, 5.372 NM after the final fix: 2:41.2 at 120 kt.
TEST(TruthCard, AnIlsEndsWhereItsDecisionAltitudeLiesOnTheGlideslopeIfOneIsGiven) {
    OnFinal level(false);
    EXPECT_FALSE(level.track().final_approach->decision);
    procedure::ApproachMinimum minimum;
    minimum.kind = procedure::MinimumKind::decision_altitude;
    minimum.altitude = Altitude::feet(250);
    level.flight.minimum = minimum;
    const FlightTrack track = level.track();
    ASSERT_TRUE(track.final_approach->decision);
    EXPECT_NEAR(track.final_approach->decision->before_threshold.nautical_miles(), 0.628, 0.002);
    EXPECT_NEAR(track.final_approach->decision->from_final_fix->count(), 161.2, 0.1);
    EXPECT_FALSE(track.steps.back().timed_from_final_fix);
}

TEST(CaseCard, TheTopOfDescentStandsWithTheStepInWhichItComes) {
    OnFinal level(true);
    level.flight.top_of_descent = TopOfDescent{Length::nautical_miles(22), Altitude::feet(4000), 1,
                                               Length::nautical_miles(2), TimeFromFix{}};
    const FlightTrack track = level.track();
    ASSERT_TRUE(track.descent);
    EXPECT_EQ(track.descent->step, 2);
}

}  // namespace omniway::flight
