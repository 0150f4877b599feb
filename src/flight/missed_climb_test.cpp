#include "flight/missed_climb.hpp"

#include <numbers>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::Speed;
using base::TrueBearing;
using omniway::testing::aircraft_with;
using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

// A climb ahead to an altitude from the origin, placed 3 NM long, then back to the VOR AAA 10 NM west of it.
struct Missed {
    Sketch sketch = Sketch().vor("AAA", {-10, 0}, {.declination_deg = 5.0});
    navdata::Snapshot world = sketch.world();
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 2});
    std::vector<Leg> legs;

    explicit Missed(double altitude_ft) {
        const earth::Position origin = sketch.at({0, 0});
        Leg ahead;
        ahead.phase = Phase::missed;
        ahead.track = TrueBearing::degrees(90);
        ahead.start = origin;
        ahead.length = Length::nautical_miles(3.0);
        ahead.finish = earth::destination(origin, ahead.track, ahead.length);
        ahead.stretches = {{Length(), ahead.length, procedure::OnHeading{ahead.track}}};
        ahead.ending = procedure::AtAltitude{Altitude::feet(altitude_ft)};
        Leg back;
        back.phase = Phase::missed;
        back.start = ahead.finish;
        const auto station = station_of(world, "AAA");
        back.finish = navdata::site(world[station]);
        back.track = earth::bearing(back.start, back.finish);
        back.length = earth::distance(back.start, back.finish);
        back.stretches = {
            {Length(), back.length, procedure::OnRadial{station, true, base::Radial::degrees(265)}}};
        legs = {ahead, back};
    }
    void lay() {
        lay_missed_climb(world, {&aircraft.performance, weather::Wind{}}, Altitude::feet(200), legs);
    }
};

}  // namespace

// The climb's own figures (aircraft/performance.hpp is held to tables elsewhere): distance = time through the air, in still air.
TEST(CaseMissedClimb, AClimbByHeadingEndsWhereItsAltitudeIsReached) {
    Missed missed(700);
    const Length air =
        aircraft::climb_between(missed.aircraft.performance, Altitude::feet(200), Altitude::feet(700))
            .distance;
    missed.lay();
    EXPECT_NEAR(missed.legs[0].length.nautical_miles(), air.nautical_miles(), 0.01);
    EXPECT_LT(missed.legs[0].length, Length::nautical_miles(2.0));
    EXPECT_NEAR(earth::distance(missed.legs[0].finish, missed.legs[1].start).metres(), 0.0, 0.01);
    EXPECT_NEAR(missed.legs[1].length.nautical_miles(), 10.0 + air.nautical_miles(), 0.01);
    // West along the parallel to a station whose zero stands 5 degrees east: course 265.
    const auto& guidance = std::get<procedure::OnRadial>(missed.legs[1].stretches[0].guidance);
    EXPECT_NEAR(guidance.course.degrees(), 265.0, 0.2);
}

TEST(CaseMissedClimb, ACodedCourseToAFixIsFlownFromThereAsCoded) {
    Missed missed(700);
    navdata::Leg coded;
    coded.course = navdata::CodedCourse{};
    missed.legs[1].coded = &coded;
    missed.legs[1].to = procedure::PlacedFix{"AAA", missed.legs[1].finish, std::nullopt, false};
    const TrueBearing track = missed.legs[1].track;
    missed.lay();
    EXPECT_LT(missed.legs[0].length, Length::nautical_miles(2.0));
    EXPECT_NEAR(earth::distance(missed.legs[0].finish, missed.legs[1].start).metres(), 0.0, 0.01);
    EXPECT_EQ(missed.legs[1].track, track);
    EXPECT_NEAR(missed.legs[1].length.nautical_miles(), 10.0 + missed.legs[0].length.nautical_miles(), 0.01);
}

// At 200 ft already: nothing is climbed to, and the way back begins at the missed approach point.
TEST(CaseMissedClimb, AClimbToAnAltitudeThatIsReachedAlreadyIsLeftOut) {
    Missed missed(150);
    missed.lay();
    ASSERT_EQ(missed.legs.size(), 1U);
    EXPECT_NEAR(earth::distance(missed.legs[0].start, missed.sketch.at({0, 0})).metres(), 0.0, 0.01);
    EXPECT_NEAR(missed.legs[0].length.nautical_miles(), 10.0, 0.01);
}

namespace {

// A climb ahead, a heading, and a course of 360 to FIX and the VOR behind it; all placed by nominal lengths, so that the course does
// not begin where the heading ends.
//
//                NNN (5,20)
//                 |
//                FIX (5,10)
//                 |
//                 +  (5,7)
//   (0,0) ---> /
std::vector<Leg> onto_a_course(const Missed& from, const navdata::Snapshot& world, double heading_deg) {
    std::vector<Leg> legs{from.legs[0]};
    Leg heading;
    heading.phase = Phase::missed;
    heading.track = TrueBearing::degrees(heading_deg);
    heading.start = legs[0].finish;
    heading.length = Length::nautical_miles(3.0);
    heading.finish = earth::destination(heading.start, heading.track, heading.length);
    heading.stretches = {{Length(), heading.length, procedure::OnHeading{heading.track}}};
    heading.ending = procedure::AtIntercept{};
    legs.push_back(heading);
    Leg course;
    course.phase = Phase::missed;
    course.start = from.sketch.at({5, 7});
    course.finish = from.sketch.at({5, 10});
    course.to = procedure::PlacedFix{"FIX", course.finish, std::nullopt, false};
    course.track = earth::bearing(course.start, course.finish);
    course.length = earth::distance(course.start, course.finish);
    course.stretches = {{Length(), course.length,
                         procedure::OnRadial{station_of(world, "NNN"), true, base::Radial::degrees(0)}}};
    legs.push_back(course);
    return legs;
}

}  // namespace

// By hand: the climb ends `air` east of the origin, the course runs 5 NM east of it; a heading of 045 meets it as far north as it
// has east to go, over sin 45 along the heading.
TEST(TruthMissedClimb, AHeadingEndsWhereItMeetsTheCourseThatFollowsAndThereTheCourseBegins) {
    Missed missed(700);
    Sketch sketch = Sketch().vor("NNN", {5, 20}, {});
    const navdata::Snapshot world = sketch.world();
    const Length air =
        aircraft::climb_between(missed.aircraft.performance, Altitude::feet(200), Altitude::feet(700))
            .distance;
    std::vector<Leg> legs = onto_a_course(missed, world, 45.0);
    lay_missed_climb(world, {&missed.aircraft.performance, weather::Wind{}}, Altitude::feet(200), legs);
    ASSERT_EQ(legs.size(), 3U);
    const double east_nm = 5.0 - air.nautical_miles();
    EXPECT_NEAR(legs[0].length.nautical_miles(), air.nautical_miles(), 0.01);
    EXPECT_NEAR(legs[1].length.nautical_miles(), east_nm * std::numbers::sqrt2, 0.02);
    EXPECT_NEAR(legs[2].length.nautical_miles(), 10.0 - east_nm, 0.02);
    for (std::size_t i = 0; i + 1 < legs.size(); ++i) {
        EXPECT_NEAR(earth::distance(legs[i].finish, legs[i + 1].start).metres(), 0.0, 0.01) << i;
    }
}

TEST(CaseMissedClimb, AHeadingThatNeverMeetsTheCourseLeavesTheClimbAsItWasPlaced) {
    Missed missed(700);
    Sketch sketch = Sketch().vor("NNN", {5, 20}, {});
    const navdata::Snapshot world = sketch.world();
    std::vector<Leg> legs = onto_a_course(missed, world, 270.0);
    lay_missed_climb(world, {&missed.aircraft.performance, weather::Wind{}}, Altitude::feet(200), legs);
    ASSERT_EQ(legs.size(), 3U);
    EXPECT_NEAR(legs[0].length.nautical_miles(), 3.0, 1e-9);
    EXPECT_NEAR(legs[1].length.nautical_miles(), 3.0, 1e-9);
}

// The way to the aid is no row's, and yet it is flown: the missed approach point stands 0.2 NM before the aid whose radial follows.
TEST(CaseMissedClimb, AMissedApproachPointALittleBeforeTheAidIsLedToIt) {
    const Sketch sketch = Sketch().vor("AAA", {0, 0}, {.declination_deg = 5.0});
    const navdata::Snapshot world = sketch.world();
    const auto station = station_of(world, "AAA");
    Leg out;
    out.phase = Phase::missed;
    out.start = navdata::site(world[station]);
    out.finish = sketch.at({12, 3});
    out.track = earth::bearing(out.start, out.finish);
    out.length = earth::distance(out.start, out.finish);
    out.stretches = {{Length(), out.length, procedure::OnRadial{station, false, base::Radial::degrees(71)}}};
    const auto led = [&](earth::Position from) {
        std::vector<Leg> legs{out};
        lead_to_the_aid(world, from, TrueBearing::degrees(90), legs);
        return legs;
    };
    const auto legs = led(sketch.at({-0.2, 0}));
    ASSERT_EQ(legs.size(), 2U);
    EXPECT_NEAR(legs[0].length.nautical_miles(), 0.2, 0.001);
    EXPECT_NEAR(earth::distance(legs[0].finish, legs[1].start).metres(), 0.0, 0.01);
    const auto& radial = std::get<procedure::OnRadial>(legs[0].stretches[0].guidance);
    EXPECT_TRUE(radial.toward);
    EXPECT_NEAR(radial.course.degrees(), 85.0, 0.1);  // east along the parallel, its zero 5 degrees east
    ASSERT_TRUE(legs[0].ending);
    EXPECT_TRUE(std::holds_alternative<procedure::AtFix>(*legs[0].ending));
    EXPECT_EQ(led(sketch.at({0.2, 0})).size(), 1U) << "past the aid nothing leads back to it";
    EXPECT_EQ(led(sketch.at({-3.0, 0})).size(), 1U) << "farther off a leg is missing";
}

}  // namespace omniway::flight
