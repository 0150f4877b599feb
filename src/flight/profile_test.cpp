#include <algorithm>
#include <cmath>
#include <deque>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "flight/altitude_checks.hpp"
#include "flight/en_route.hpp"
#include "flight/flight.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;
using base::Speed;
using base::TrueBearing;
using navdata::AltitudeRule;
using omniway::testing::aircraft_with;
using omniway::testing::Sketch;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

namespace {

const weather::Wind calm{TrueBearing::degrees(90), Speed::knots(0)};

// Legs eastward, one after the other, with the altitudes coded at their ends.
struct Drawn {
    Flight flight;
    std::deque<navdata::Leg> rows;

    explicit Drawn(double cruise_ft) { flight.cruise = Altitude::feet(cruise_ft); }

    Leg& leg(Phase phase, double length_nm, double minimum_ft = 0.0) {
        Leg leg;
        leg.phase = phase;
        leg.via = "drawn";
        leg.length = Length::nautical_miles(length_nm);
        leg.track = TrueBearing::degrees(90);
        leg.to = procedure::PlacedFix{"F" + std::to_string(flight.legs.size()), {}, std::nullopt, false};
        leg.minimum = {MinimumFrom::published_airway, Altitude::feet(minimum_ft)};
        flight.legs.push_back(leg);
        return flight.legs.back();
    }

    void coded(AltitudeRule rule, double first_ft, double second_ft = 0.0) {
        navdata::Leg row;
        row.altitude_rule = rule;
        row.altitude_1 = Altitude::feet(first_ft);
        row.altitude_2 = Altitude::feet(second_ft);
        rows.push_back(row);
        flight.legs.back().coded = &rows.back();
    }

    const navdata::Leg& entry(AltitudeRule rule, double first_ft) {
        navdata::Leg row;
        row.altitude_rule = rule;
        row.altitude_1 = Altitude::feet(first_ft);
        rows.push_back(row);
        flight.approach_entry = &rows.back();
        return rows.back();
    }

    void fly(const weather::Wind& wind = calm, const aircraft::Aircraft& by = aircraft_with({})) {
        flight.profile = profile_of(flight, by, Altitude(), Altitude(), wind);
    }

    double at(double along_nm) const { return flight.altitude_at(Length::nautical_miles(along_nm)).feet(); }
};

Sketch runway_sketch() {
    Sketch sketch;
    sketch.airport("XDEP", {0, 0}).runway("XDEP", 9, {0, 0});
    return sketch;
}

std::vector<Finding> checked(Drawn& drawn, const aircraft::Aircraft& by = aircraft_with({})) {
    const auto world = runway_sketch().world();
    drawn.flight.departure_runway = world.runways_of("XDEP").at(0);
    return altitude_checks(world, by, calm, drawn.flight);
}

}  // namespace

// By hand: 6,000 to 1,500 ft at 800 ft/min takes 5.625 min; 140 kt calibrated at the middle, 3,750 ft, is 140 / 0.946 = 148.0 kt true
// (root of the density ratio interpolated in the table of trade-facts 7.4). Calm that is 13.87 NM; with 30 kt on the nose 118.0 kt
// and 11.06 NM; with 30 kt behind 178.0 kt and 16.69 NM.
TEST(TruthProfile, TheDescentBeginsWhereReckonedByHandInEachWind) {
    for (const auto& [from_deg, speed_kt, needed_nm] :
         {std::tuple(90.0, 0.0, 13.87), std::tuple(90.0, 30.0, 11.06), std::tuple(270.0, 30.0, 16.69)}) {
        Drawn drawn(6000);
        drawn.leg(Phase::departure, 20);
        drawn.leg(Phase::en_route, 80, 1500);
        drawn.fly({TrueBearing::degrees(from_deg), Speed::knots(speed_kt)});
        EXPECT_NEAR(drawn.at(100 - needed_nm - 0.1), 6000, 1e-6) << speed_kt;
        EXPECT_LT(drawn.at(100 - needed_nm + 0.1), 5990) << speed_kt;
        EXPECT_NEAR(drawn.at(100), 1500, 1e-6);
    }
}

TEST(CaseProfile, AnAltitudeToCrossAtOrBelowBringsTheDescentForward) {
    Drawn drawn(6000);
    drawn.leg(Phase::departure, 20);
    drawn.leg(Phase::en_route, 50, 1500);
    drawn.leg(Phase::en_route, 30, 1500);
    drawn.flight.legs[1].phase = Phase::en_route;
    drawn.rows.clear();
    navdata::Leg row;
    row.altitude_rule = AltitudeRule::at_or_below;
    row.altitude_1 = Altitude::feet(4000);
    drawn.rows.push_back(row);
    drawn.flight.legs[1].coded = &drawn.rows.back();
    drawn.fly();
    EXPECT_NEAR(drawn.at(70), 4000, 1e-6);
    EXPECT_NEAR(drawn.at(80), 4000, 1e-6);  // level until 7.7 NM before the end
    EXPECT_LT(drawn.at(66), 6000);
    EXPECT_NEAR(drawn.at(60), 6000, 1e-6);
    EXPECT_THAT(checked(drawn), IsEmpty());
}

TEST(CaseProfile, AMinimumComesBeforeWhatIsCrossedTooHighAndTheFigureIsSaid) {
    Drawn drawn(8000);
    drawn.leg(Phase::departure, 30);
    drawn.leg(Phase::en_route, 60, 8000);
    drawn.leg(Phase::en_route, 5, 1500);
    drawn.coded(AltitudeRule::at_or_below, 3000);
    drawn.leg(Phase::en_route, 30, 1500);
    drawn.fly();
    EXPECT_NEAR(drawn.at(90), 8000, 1e-6);
    // 5 NM at 320 ft/NM and less: about 1,550 ft are lost, not 5,000.
    EXPECT_NEAR(drawn.at(95), 6450, 100);
    const auto findings = checked(drawn);
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].grade, Grade::warns);
    EXPECT_EQ(findings[0].code, "altitude.constraint_missed");
    EXPECT_EQ(findings[0].about, "drawn at F2");
    EXPECT_NE(findings[0].text.find("at or below 3000 ft is asked"), std::string::npos) << findings[0].text;
}

TEST(CaseProfile, ADepartureIsHeldDownUntilItHasCrossedWhatIsAtOrBelow) {
    Drawn drawn(8000);
    drawn.leg(Phase::departure, 10);
    drawn.coded(AltitudeRule::at_or_below, 4000);
    drawn.leg(Phase::departure, 10);
    drawn.coded(AltitudeRule::at_or_below, 3000);
    drawn.leg(Phase::en_route, 80, 1500);
    drawn.fly();
    EXPECT_NEAR(drawn.at(10), 3000, 1e-6);
    EXPECT_NEAR(drawn.at(20), 3000, 1e-6);
    EXPECT_GT(drawn.at(21), 3300);
    EXPECT_NEAR(drawn.at(60), 8000, 1e-6);
    EXPECT_THAT(checked(drawn), IsEmpty());
}

TEST(CaseProfile, BelowALowestAltitudeBlocks) {
    Drawn drawn(5000);
    drawn.leg(Phase::departure, 4);
    drawn.coded(AltitudeRule::at_or_above, 4000);
    drawn.leg(Phase::en_route, 60, 1500);
    drawn.fly();
    const auto findings = checked(drawn);
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].grade, Grade::blocks);
    EXPECT_EQ(findings[0].code, "altitude.constraint_missed");
}

// The first fix of the approach is crossed no lower than it is coded, though the leg after it goes lower.
TEST(CaseProfile, TheApproachIsEnteredAtTheAltitudeOfItsFirstFix) {
    Drawn drawn(6000);
    drawn.leg(Phase::departure, 20);
    drawn.leg(Phase::en_route, 60, 2000);
    drawn.entry(AltitudeRule::at_or_above, 3000);
    drawn.leg(Phase::approach, 9).minimum = {};
    drawn.coded(AltitudeRule::at_or_above, 1800);
    drawn.leg(Phase::approach, 5).minimum = {};
    drawn.coded(AltitudeRule::at, 50);
    drawn.rows.back().description = "GY M";
    drawn.fly();
    EXPECT_NEAR(drawn.at(80), 3000, 1e-6);
    EXPECT_NEAR(drawn.at(89), 1800, 1e-6);
    EXPECT_NEAR(drawn.at(94), 50, 1e-6);
    EXPECT_THAT(checked(drawn), IsEmpty());
}

// 800 ft/NM is steep; 2,000 ft/NM at 100 kt and more are beyond 2,500 ft/min and twice the planned rate: common practice, no source.
TEST(CaseProfile, AnApproachTooSteepForTheAircraftIsWarnedOfWithItsRateAndOneThatNoneFliesRefused) {
    for (const double length_nm : {4.0, 1.6}) {
        Drawn drawn(6000);
        drawn.leg(Phase::departure, 20);
        drawn.leg(Phase::en_route, 60, 2000);
        drawn.entry(AltitudeRule::at_or_above, 5000);
        drawn.leg(Phase::approach, length_nm).minimum = {};
        drawn.coded(AltitudeRule::at_or_above, 1800);
        drawn.fly();
        const auto findings = checked(drawn);
        ASSERT_EQ(findings.size(), 1U);
        EXPECT_EQ(findings[0].code, "altitude.descent_too_steep");
        EXPECT_EQ(findings[0].grade, length_nm > 2.0 ? base::Grade::warns : base::Grade::blocks);
        const std::string begins = length_nm > 2.0 ? "5000 to 1800 ft in 4.0 NM is 800 ft/NM: "
                                                   : "5000 to 1800 ft in 1.6 NM is 2000 ft/NM: ";
        EXPECT_TRUE(findings[0].text.starts_with(begins)) << findings[0].text;
        // What is refused names the limit of refusing.
        EXPECT_EQ(findings[0].text.ends_with(", 2500 ft/min at most"), length_nm < 2.0) << findings[0].text;
    }
}

// trade-facts 11.2: a missed approach asks for 200 ft/NM unless it says more.
TEST(CaseProfile, AMissedApproachThatTheAircraftCannotClimbBlocks) {
    Drawn drawn(4000);
    drawn.leg(Phase::departure, 40);
    drawn.leg(Phase::en_route, 60, 1500);
    drawn.fly();
    Leg away = drawn.flight.legs.back();
    away.length = Length::nautical_miles(10);
    away.phase = Phase::missed;
    navdata::Leg row;
    row.altitude_rule = AltitudeRule::at_or_above;
    row.altitude_1 = Altitude::feet(3000);
    away.coded = &row;
    drawn.flight.missed = {away};
    EXPECT_THAT(checked(drawn), IsEmpty());
    aircraft::Aircraft weak = aircraft_with({});
    weak.performance.climb.rate_at_sea_level = base::VerticalSpeed::feet_per_minute(390);
    // 390 ft/min at sea level and 110 kt are 213 ft/NM, at 3,000 ft less than 200.
    const auto findings = checked(drawn, weak);
    ASSERT_EQ(findings.size(), 1U);
    EXPECT_EQ(findings[0].code, "altitude.missed_climb");
    EXPECT_EQ(findings[0].grade, Grade::blocks);
    // Above what 200 ft/NM reaches: it is the altitude at the fix that is missed.
    row.altitude_1 = Altitude::feet(9500);
    const auto high = checked(drawn);
    ASSERT_EQ(high.size(), 1U);
    EXPECT_EQ(high[0].code, "altitude.missed_crossing");
    EXPECT_EQ(high[0].grade, Grade::blocks);
}

// Windows drawn about a descent that is gentler than the aircraft's own (800 ft/min at 150 kt and less: over 300 ft/NM) can all be
// held, and are; and nothing climbs again once it has come down.
RC_GTEST_PROP(LawProfile, WindowsThatCanBeHeldAreHeldAndTheDescentNeverClimbs, ()) {
    Drawn drawn(*rc::gen::inRange(90, 170) * 100.0);
    drawn.leg(Phase::departure, 150);
    const int legs = *rc::gen::inRange(2, 7);
    std::vector<double> lengths_nm;
    for (int i = 0; i < legs; ++i) {
        lengths_nm.push_back(*rc::gen::inRange(3, 40));
    }
    std::vector<double> hidden_ft(lengths_nm.size(), 1500.0);
    for (std::size_t i = hidden_ft.size() - 1; i-- > 0;) {
        const double steepest = 200.0 * lengths_nm[i + 1];
        hidden_ft[i] = std::min(drawn.flight.cruise.feet(),
                                hidden_ft[i + 1] + *rc::gen::inRange(0, static_cast<int>(steepest)));
    }
    for (std::size_t i = 0; i < hidden_ft.size(); ++i) {
        drawn.leg(Phase::en_route, lengths_nm[i], *rc::gen::inRange(0, static_cast<int>(hidden_ft[i])));
        const double above = *rc::gen::inRange(0, 1500);
        const double below = *rc::gen::inRange(0, 1500);
        switch (*rc::gen::inRange(0, 4)) {
            case 0:
                drawn.coded(AltitudeRule::between, hidden_ft[i] + above, hidden_ft[i] - below);
                break;
            case 1:
                drawn.coded(AltitudeRule::at_or_below, hidden_ft[i] + above);
                break;
            case 2:
                drawn.coded(AltitudeRule::at, hidden_ft[i]);
                break;
            default:
                drawn.coded(AltitudeRule::at_or_above, hidden_ft[i] - below);
                break;
        }
    }
    drawn.fly();
    for (const Finding& finding : checked(drawn)) {
        std::string shape;
        for (const ProfilePoint& point : drawn.flight.profile) {
            shape += " " + std::to_string(point.along.nautical_miles()) + ":" +
                     std::to_string(point.altitude.feet());
        }
        for (const Leg& leg : drawn.flight.legs) {
            const auto window =
                leg.coded != nullptr ? procedure::window_of(*leg.coded) : procedure::AltitudeWindow{};
            shape += fmt::format("; {:.0f} NM {:.2f} to {:.2f}", leg.length.nautical_miles(),
                                 window.at_or_above.value_or(Altitude()).feet(),
                                 window.at_or_below.value_or(Altitude()).feet());
        }
        RC_FAIL(finding.about + " " + finding.text + ", flown" + shape);
    }
    bool down = false;
    for (std::size_t i = 1; i < drawn.flight.profile.size(); ++i) {
        const Length rise = drawn.flight.profile[i].altitude - drawn.flight.profile[i - 1].altitude;
        RC_ASSERT(drawn.flight.profile[i].along >= drawn.flight.profile[i - 1].along);
        down = down || rise < Length::feet(-1e-6);
        RC_ASSERT((!down || rise < Length::feet(1e-6)));
    }
}

namespace {

// AAA to CCC, 60 NM: the descent to 1,500 ft begins 13.87 NM before it (the example worked above).
struct OnTheWay {
    navdata::Snapshot world;
    Flight flight;

    explicit OnTheWay(std::optional<navdata::ServiceClass> dme) : world(drawn(dme).world()) {
        const auto placed = [&](const std::string& ident) {
            const auto point = world.named(ident).at(0);
            return procedure::PlacedFix{ident, world.position(point), point, false};
        };
        flight.cruise = Altitude::feet(6000);
        Settings settings;
        settings.off_airway_minimum = Altitude::feet(1500);
        flight.legs = {direct_leg(world, radio::Ground{}, aircraft_with({}).equipment, settings,
                                  placed("DDD"), placed("AAA"), flight.cruise, Speed::knots(150))
                           .leg.value(),
                       direct_leg(world, radio::Ground{}, aircraft_with({}).equipment, settings,
                                  placed("AAA"), placed("CCC"), flight.cruise, Speed::knots(150))
                           .leg.value()};
        flight.profile = profile_of(flight, aircraft_with({}), Altitude(), Altitude(), calm);
    }

    static Sketch drawn(std::optional<navdata::ServiceClass> dme) {
        Sketch sketch;
        sketch.vor("DDD", {-40, 0}).vor("AAA", {0, 0}).vor("CCC", {60, 0}, {.dme = dme});
        return sketch;
    }

    std::optional<TopOfDescent> top(bool with_dme) const {
        return top_of_descent(world, radio::Ground{}, aircraft_with({.receivers = 1, .dme = with_dme}), {},
                              calm, flight);
    }
};

}  // namespace

TEST(TruthTopOfDescent, ItIsToldByTheSlantRangeOfTheStationAhead) {
    const OnTheWay way(navdata::ServiceClass::low);
    const auto top = way.top(true);
    ASSERT_TRUE(top);
    EXPECT_NEAR(top->altitude.feet(), 6000, 1e-6);
    EXPECT_EQ(top->leg, 1U);
    const auto* told = std::get_if<fixing::Way>(&top->mark);
    ASSERT_NE(told, nullptr);
    const auto* reading = std::get_if<fixing::DmeReading>(told);
    ASSERT_NE(reading, nullptr);
    EXPECT_EQ(way.world[reading->station].ident, "CCC");
    // 13.87 NM over the ground and 6,000 ft up: the root of 13.87 squared and 0.987 squared.
    EXPECT_NEAR(reading->slant_range.nautical_miles(), 13.905, 0.1);
}

TEST(TruthTopOfDescent, WithoutADmeItIsToldByTheClockFromTheFixBehind) {
    for (const auto& [dme, aboard] : {std::pair(std::optional<navdata::ServiceClass>(), true),
                                      std::pair(std::optional(navdata::ServiceClass::low), false)}) {
        const auto top = OnTheWay(dme).top(aboard);
        ASSERT_TRUE(top);
        const auto* told = std::get_if<TimeFromFix>(&top->mark);
        ASSERT_NE(told, nullptr);
        EXPECT_EQ(told->fix, "AAA");
        EXPECT_TRUE(told->after);
        // 60 less 13.87 NM at 150 kt.
        EXPECT_NEAR(base::in_minutes(told->time), (60.0 - 13.87) / 150.0 * 60.0, 0.05);
    }
}

TEST(CaseTopOfDescent, AFlightThatNeverDescendsHasNone) {
    OnTheWay way(navdata::ServiceClass::low);
    way.flight.profile = {{Length(), Altitude::feet(6000)}, {way.flight.length(), Altitude::feet(6000)}};
    EXPECT_FALSE(way.top(true));
}

}  // namespace omniway::flight
