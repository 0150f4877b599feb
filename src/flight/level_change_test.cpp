#include "flight/level_change.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "aircraft/wind_triangle.hpp"
#include "flight/flight.hpp"
#include "flight/tops.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::Speed;
using base::TrueBearing;
using omniway::testing::aircraft_with;

namespace {

const weather::Wind calm{TrueBearing::degrees(90), Speed::knots(0)};
const weather::Wind ahead{TrueBearing::degrees(90), Speed::knots(30)};
const weather::Wind behind{TrueBearing::degrees(270), Speed::knots(30)};

// Legs eastward, one after the other, each cruised along at a level.
struct Drawn {
    Flight flight;

    explicit Drawn(double cruise_ft) {
        flight.cruise = Altitude::feet(cruise_ft);
        leg(Phase::departure, 60, cruise_ft, 0).minimum = {};
    }

    Leg& leg(Phase phase, double length_nm, double level_ft, double minimum_ft) {
        Leg leg;
        leg.phase = phase;
        leg.via = "drawn";
        leg.length = Length::nautical_miles(length_nm);
        leg.track = TrueBearing::degrees(90);
        if (!flight.legs.empty()) {
            leg.from = flight.legs.back().to;
        }
        leg.to = procedure::PlacedFix{"F" + std::to_string(flight.legs.size()), {}, std::nullopt, false};
        leg.minimum = {MinimumFrom::published_airway, Altitude::feet(minimum_ft)};
        if (Altitude::feet(level_ft) != flight.cruise) {
            leg.level = Altitude::feet(level_ft);
        }
        flight.legs.push_back(leg);
        return flight.legs.back();
    }
    Leg& leg(double length_nm, double level_ft, double minimum_ft = 1500) {
        return leg(Phase::en_route, length_nm, level_ft, minimum_ft);
    }

    void fly(const weather::WindsAloft& winds = calm) {
        flight.profile = profile_of(flight, aircraft_with({}), Altitude(), Altitude(), winds);
    }

    double at(double along_nm) const { return flight.altitude_at(Length::nautical_miles(along_nm)).feet(); }

    ClimbBefore climb(double next_ft, const weather::WindsAloft& winds = calm) const {
        return climb_before(aircraft_with({}), winds,
                            {flight.legs, flight.cruise, flight.legs.front().level.value_or(flight.cruise),
                             Altitude::feet(next_ft)});
    }
};

}  // namespace

// By hand, as the handbooks work a climb from the rate of climb table (trade-facts 7.3): the rate falls evenly from 1,500 ft/min at sea level
// to 100 at 18,000 ft. 5,000 to 9,000 ft by thousands, at the rate midway of each: 1,072, 994, 917 and 839 ft/min, that is 0.933,
// 1.006, 1.091 and 1.192 min, in all 4.22. 110 kt calibrated at 7,000 ft is 110 / 0.900 = 122.2 kt true (root of the density ratio,
// trade-facts 7.4). Calm that is 8.60 NM; with 30 kt on the nose 92.2 kt and 6.49 NM; with 30 kt behind 152.2 kt and 10.71 NM.
TEST(TruthLevelChange, TheClimbBeginsWhereReckonedByHandInEachWindAndEndsAtTheFix) {
    for (const auto& [wind, needed_nm] :
         {std::pair(calm, 8.60), std::pair(ahead, 6.49), std::pair(behind, 10.71)}) {
        Drawn drawn(5000);
        drawn.leg(40, 5000);
        drawn.leg(90, 9000, 8000);
        drawn.fly(wind);
        EXPECT_NEAR(drawn.at(100 - needed_nm - 0.1), 5000, 1e-6) << needed_nm;
        EXPECT_GT(drawn.at(100 - needed_nm + 0.1), 5010) << needed_nm;
        EXPECT_LT(drawn.at(99.9), 9000);
        EXPECT_NEAR(drawn.at(100), 9000, 1e-6);
        EXPECT_NEAR(drawn.at(120), 9000, 1e-6);
        drawn.flight.legs.pop_back();
        const ClimbBefore climb = drawn.climb(9000, wind);
        EXPECT_NEAR(climb.begins.nautical_miles(), needed_nm, 0.1);
        EXPECT_NEAR(climb.at_fix.feet(), 9000, 1e-6);
    }
}

// 9,000 to 5,000 ft at 800 ft/min is 5 min; 140 kt calibrated at 7,000 ft is 155.5 kt true: 12.96 NM.
TEST(TruthLevelChange, ADescentBeginsAtTheFixAndIsTheAircraftsOwn) {
    Drawn drawn(9000);
    drawn.leg(40, 9000, 8000);
    drawn.leg(90, 5000, 4000);
    drawn.fly();
    EXPECT_NEAR(drawn.at(100), 9000, 1e-6);
    EXPECT_LT(drawn.at(100.2), 8960);
    EXPECT_GT(drawn.at(100 + 12.96 - 0.1), 5010);
    EXPECT_NEAR(drawn.at(100 + 12.96 + 0.1), 5000, 1e-6);
    EXPECT_NEAR(drawn.at(150), 5000, 1e-6);
}

// A clock by the second against the closed form by pieces: what climbs from where the climb begins is level at the fix.
TEST(BruteLevelChange, FlownSecondBySecondTheClimbIsLevelAtTheFix) {
    const auto twin = aircraft_with({});
    for (const auto& wind :
         {calm, ahead, behind, weather::Wind{TrueBearing::degrees(10), Speed::knots(45)}}) {
        for (const auto& [from_ft, to_ft] : {std::pair(3000.0, 5000.0), std::pair(5000.0, 16000.0)}) {
            Drawn drawn(from_ft);
            drawn.leg(90, from_ft);
            const ClimbBefore climb = drawn.climb(to_ft, wind);
            double altitude_ft = from_ft;
            double left_nm = climb.begins.nautical_miles();
            while (left_nm > 0.0 && altitude_ft < to_ft) {
                const Altitude here = Altitude::feet(altitude_ft);
                const auto held = aircraft::hold_course(
                    TrueBearing::degrees(90), aircraft::true_airspeed_climb(twin.performance, here), wind);
                altitude_ft += aircraft::climb_rate(twin.performance, here).feet_per_minute() / 60.0;
                left_nm -= held->groundspeed.knots() / 3600.0;
            }
            EXPECT_NEAR(left_nm, 0.0, 0.1) << from_ft << " to " << to_ft;
            EXPECT_NEAR(altitude_ft, to_ft, 40.0) << from_ft << " to " << to_ft;
        }
    }
}

TEST(CaseLevelChange, AClimbForWhichOneLegIsTooShortBeginsOnTheLegBeforeIt) {
    Drawn drawn(5000);
    drawn.leg(36, 5000);
    drawn.leg(4, 5000);
    drawn.leg(90, 9000, 8000);
    drawn.fly();
    EXPECT_NEAR(drawn.at(91), 5000, 1e-6);
    EXPECT_GT(drawn.at(96), 6500);  // over the fix between them
    EXPECT_NEAR(drawn.at(100), 9000, 1e-6);
    drawn.flight.legs.pop_back();
    EXPECT_NEAR(drawn.climb(9000).begins.nautical_miles(), 8.60, 0.1);
}

// The maximum of the short leg is kept: 6,000 ft, and the rest is climbed beyond the fix.
TEST(CaseLevelChange, AMaximumIsKeptAndTheRestIsClimbedBeyondIt) {
    Drawn drawn(5000);
    drawn.leg(40, 5000).maximum = Altitude::feet(6000);
    drawn.leg(90, 9000, 8000);
    drawn.fly();
    EXPECT_NEAR(drawn.at(100), 6000, 1e-6);
    EXPECT_GT(drawn.at(101), 6100);
    EXPECT_NEAR(drawn.at(110), 9000, 1e-6);
    drawn.flight.legs.pop_back();
    EXPECT_NEAR(drawn.climb(9000).at_fix.feet(), 6000, 1e-6);
}

// Still in the climb from the field when it comes to the fix: there is no room.
TEST(CaseLevelChange, WhereThereIsNoRoomTheAltitudeAtTheFixIsBelowTheNextLevel) {
    const auto twin = aircraft_with({});
    std::vector<Leg> legs{Drawn(5000).flight.legs.front()};
    legs.front().length = Length::nautical_miles(40);
    const ClimbBefore climb =
        climb_before(twin, calm, {legs, Altitude::feet(5000), Altitude::feet(0), Altitude::feet(17000)});
    EXPECT_LT(climb.at_fix.feet(), 17000);
    EXPECT_GT(climb.at_fix.feet(), 12000);
    EXPECT_NEAR(climb.begins.nautical_miles(), 40.0, 1e-6);
}

TEST(CaseLevelChange, TheNextLevelBeingLowerNothingIsClimbed) {
    Drawn drawn(9000);
    drawn.leg(40, 9000);
    const ClimbBefore climb = drawn.climb(5000);
    EXPECT_NEAR(climb.begins.nautical_miles(), 0.0, 1e-9);
    EXPECT_NEAR(climb.at_fix.feet(), 9000, 1e-6);
}

// A maximum behind the fix is not broken by the descent: it is come down to before the fix, as far as the minimum there allows.
TEST(CaseLevelChange, AMaximumBehindTheFixBringsTheDescentForward) {
    for (const auto& [minimum_ft, crossed_ft] : {std::pair(1500.0, 6000.0), std::pair(8000.0, 8000.0)}) {
        Drawn drawn(9000);
        drawn.leg(40, 9000, minimum_ft);
        drawn.leg(90, 5000, 4000).maximum = Altitude::feet(6000);
        drawn.fly();
        EXPECT_NEAR(drawn.at(85), 9000, 1e-6);
        EXPECT_NEAR(drawn.at(100), crossed_ft, 1e-6);
        EXPECT_NEAR(drawn.at(120), 5000, 1e-6);
    }
}

// A level that its own leg's maximum forbids is flown all the same: the judge finds it (altitude.above_maximum).
TEST(CaseLevelChange, ALevelAboveItsOwnMaximumIsFlown) {
    Drawn drawn(5000);
    drawn.leg(40, 5000);
    drawn.leg(90, 9000).maximum = Altitude::feet(7000);
    drawn.fly();
    EXPECT_NEAR(drawn.at(120), 9000, 1e-6);
}

TEST(CaseLevelChange, BetweenTwoHighLegsALowOneIsComeDownToAndLeftInTime) {
    Drawn drawn(9000);
    drawn.leg(40, 9000, 8000);
    drawn.leg(50, 5000, 4000);
    drawn.leg(90, 9000, 8000);
    drawn.fly();
    EXPECT_NEAR(drawn.at(100), 9000, 1e-6);
    EXPECT_NEAR(drawn.at(125), 5000, 1e-6);
    EXPECT_NEAR(drawn.at(150), 9000, 1e-6);
    std::vector<std::pair<double, TopKind>> said;
    for (const Top& top : tops_of(drawn.flight)) {
        said.emplace_back(top.along.nautical_miles(), top.kind);
    }
    ASSERT_EQ(said.size(), 6U);
    EXPECT_EQ(said[0].second, TopKind::of_climb);
    EXPECT_EQ(said[1].second, TopKind::of_descent);
    EXPECT_NEAR(said[1].first, 100, 1e-6);
    EXPECT_EQ(said[2].second, TopKind::bottom_of_descent);
    EXPECT_NEAR(said[2].first, 100 + 12.96, 0.1);
    EXPECT_EQ(said[3].second, TopKind::bottom_of_climb);
    EXPECT_NEAR(said[3].first, 150 - 8.60, 0.1);
    EXPECT_EQ(said[4].second, TopKind::of_climb);
    EXPECT_NEAR(said[4].first, 150, 1e-6);
    EXPECT_EQ(said[5].second, TopKind::of_descent);
}

// A short one: the descent meets the climb, and the level is not reached.
TEST(CaseLevelChange, ALowLegTooShortForBothIsFlownAboveItsLevel) {
    Drawn drawn(9000);
    drawn.leg(40, 9000, 8000);
    drawn.leg(12, 5000, 4000);
    drawn.leg(90, 9000, 8000);
    drawn.fly();
    EXPECT_NEAR(drawn.at(100), 9000, 1e-6);
    EXPECT_NEAR(drawn.at(112), 9000, 1e-6);
    double lowest_ft = 1e9;
    for (double along = 100; along <= 112; along += 0.1) {
        lowest_ft = std::min(lowest_ft, drawn.at(along));
    }
    EXPECT_GT(lowest_ft, 6000);
    EXPECT_LT(lowest_ft, 8000);
}

// One level named leg by leg is one level: the same profile, point by point.
RC_GTEST_PROP(LawLevelChange, ALevelNamedByEachLegIsTheFlightsOwn, ()) {
    const double level_ft = *rc::gen::inRange(30, 170) * 100.0;
    Drawn own(level_ft);
    const int legs = *rc::gen::inRange(1, 6);
    for (int i = 0; i < legs; ++i) {
        own.leg(*rc::gen::inRange(3, 60), level_ft, *rc::gen::inRange(0, static_cast<int>(level_ft)));
    }
    Drawn named = own;
    for (Leg& leg : named.flight.legs) {
        leg.level = named.flight.cruise;
    }
    own.fly(ahead);
    named.fly(ahead);
    RC_ASSERT(own.flight.profile.size() == named.flight.profile.size());
    for (std::size_t i = 0; i < own.flight.profile.size(); ++i) {
        RC_ASSERT(own.flight.profile[i].along == named.flight.profile[i].along);
        RC_ASSERT(own.flight.profile[i].altitude == named.flight.profile[i].altitude);
    }
}

// The reason for it all: levels at or above the minimums keep every minimum over the whole of its leg, in any wind.
RC_GTEST_PROP(LawLevelChange, NoKnownMinimumIsBrokenAnywhereOnALegWhoseLevelIsAtOrAboveIt, ()) {
    Drawn drawn(*rc::gen::inRange(20, 120) * 100.0);
    drawn.flight.legs.front().length = Length::nautical_miles(150);
    const int legs = *rc::gen::inRange(1, 8);
    for (int i = 0; i < legs; ++i) {
        const int level = *rc::gen::inRange(20, 170);
        drawn.leg(*rc::gen::inRange(1, 50), level * 100.0, *rc::gen::inRange(10, level + 1) * 100.0);
    }
    const weather::Wind wind{TrueBearing::degrees(*rc::gen::inRange(0, 360)),
                             Speed::knots(*rc::gen::inRange(0, 60))};
    drawn.fly(wind);
    Length begin;
    for (const Leg& leg : drawn.flight.legs) {
        const Length end = begin + leg.length;
        std::vector<Length> places{begin, end};
        for (const ProfilePoint& point : drawn.flight.profile) {
            if (point.along > begin && point.along < end) {
                places.push_back(point.along);
            }
        }
        for (const Length place : places) {
            const Altitude flown = drawn.flight.altitude_at(place);
            RC_ASSERT((!leg.minimum.altitude || flown + Length::feet(1e-3) > *leg.minimum.altitude));
            RC_ASSERT(flown <= highest_level(drawn.flight) + Length::feet(1e-6));
        }
        begin = end;
    }
    // Nothing is climbed or descended on the spot.
    for (std::size_t i = 1; i < drawn.flight.profile.size(); ++i) {
        RC_ASSERT(drawn.flight.profile[i].along > drawn.flight.profile[i - 1].along);
    }
}

// A maximum at or above its leg's level is kept wherever the aircraft is level in time, and a climb before a fix keeps it too.
RC_GTEST_PROP(LawLevelChange, NoMaximumIsBrokenByTheClimbToTheNextLevel, ()) {
    Drawn drawn(*rc::gen::inRange(20, 60) * 100.0);
    double level_ft = drawn.flight.cruise.feet();
    const int legs = *rc::gen::inRange(1, 7);
    for (int i = 0; i < legs; ++i) {
        Leg& leg = drawn.leg(*rc::gen::inRange(1, 50), level_ft, 0);
        leg.maximum = Altitude::feet(level_ft + *rc::gen::inRange(0, 20) * 100.0);
        level_ft += *rc::gen::inRange(0, 20) * 100.0;
    }
    drawn.fly();
    Length begin;
    for (const Leg& leg : drawn.flight.legs) {
        const Length end = begin + leg.length;
        for (const ProfilePoint& point : drawn.flight.profile) {
            const bool within = point.along >= begin && point.along <= end;
            RC_ASSERT((!leg.maximum || !within || point.altitude <= *leg.maximum + Length::feet(1e-6)));
        }
        begin = end;
    }
}

}  // namespace omniway::flight
