#include "flight/missed_climb.hpp"

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

}  // namespace omniway::flight
