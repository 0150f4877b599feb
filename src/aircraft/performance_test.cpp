#include "aircraft/performance.hpp"

#include <cmath>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "aircraft/aircraft.hpp"
#include "base/contract.hpp"

namespace omniway::aircraft {

using base::Altitude;
using base::Length;
using base::MassFlow;
using base::Speed;
using base::VerticalSpeed;
using weather::CalibratedAirspeed;

namespace {

Performance sample() {
    Performance performance;
    performance.climb = {.airspeed = CalibratedAirspeed::knots(90),
                         .mach_limit = std::nullopt,
                         .rate_at_sea_level = VerticalSpeed::feet_per_minute(700),
                         .rate_at_ceiling = VerticalSpeed::feet_per_minute(100),
                         .fuel_flow = MassFlow::pounds_per_hour(90)};
    performance.cruise = {{.altitude = Altitude::feet(4000),
                           .true_airspeed = Speed::knots(140),
                           .fuel_flow = MassFlow::pounds_per_hour(80)},
                          {.altitude = Altitude::feet(8000),
                           .true_airspeed = Speed::knots(148),
                           .fuel_flow = MassFlow::pounds_per_hour(72)}};
    performance.descent = {.airspeed = CalibratedAirspeed::knots(120),
                           .mach_limit = std::nullopt,
                           .rate = VerticalSpeed::feet_per_minute(500),
                           .fuel_flow = MassFlow::pounds_per_hour(50)};
    performance.approach_speed = CalibratedAirspeed::knots(80);
    performance.service_ceiling = Altitude::feet(12000);
    return performance;
}

}  // namespace

// A rate that falls evenly to nothing at the absolute ceiling H gives t = H / R0 ln(H / (H - h)) (textbooks
// on aircraft performance, from memory). 700 ft/min at sea level and 100 at 12,000 ft put H at 14,000 ft;
// half of it takes 20 ln 2 min.
TEST(TruthClimb, TakesTheTextbookTimeToHalfTheAbsoluteCeiling) {
    const Passage climb = climb_between(sample(), Altitude::feet(0), Altitude::feet(7000));
    EXPECT_NEAR(base::in_minutes(climb.time), 20.0 * std::log(2.0), 1e-9);
    EXPECT_NEAR(climb.fuel.pounds(), 90.0 * 20.0 * std::log(2.0) / 60.0, 1e-9);
}

// Published rate-of-descent table (trade-facts 7.3 [seen]): a 3.0 degree path, 318 ft/NM, takes these rates.
// About sea level true airspeed is the indicated one; the path's slope makes the level speed 0.14 % less than
// the airspeed: 0.5 ft/NM.
TEST(TruthDescent, LosesThePublished318FeetAMileAtThePublishedRate) {
    struct Row {
        double speed_kt, rate_fpm;
    };
    for (const Row& row : {Row{120, 636}, Row{140, 743}, Row{150, 795}, Row{160, 848}, Row{180, 954}}) {
        Performance performance = sample();
        performance.descent.airspeed = CalibratedAirspeed::knots(row.speed_kt);
        performance.descent.rate = VerticalSpeed::feet_per_minute(row.rate_fpm);
        const Passage down = descent_between(performance, Altitude::feet(100), Altitude::feet(-100));
        EXPECT_NEAR(200.0 / down.distance.nautical_miles(), 318.0, 1.0) << row.speed_kt;
        EXPECT_NEAR(base::in_minutes(down.time), 200.0 / row.rate_fpm, 1e-9) << row.speed_kt;
    }
}

// The same climb flown second by second.
RC_GTEST_PROP(BruteClimb, AgreesWithAClimbFlownInSmallSteps, ()) {
    Performance performance = sample();
    performance.climb.airspeed = CalibratedAirspeed::knots(*rc::gen::inRange(60, 300));
    performance.climb.rate_at_sea_level = VerticalSpeed::feet_per_minute(*rc::gen::inRange(300, 4000));
    performance.service_ceiling = Altitude::feet(*rc::gen::inRange(8000, 41000));
    if (*rc::gen::arbitrary<bool>()) {
        performance.climb.mach_limit = weather::Mach::number(*rc::gen::inRange(30, 70) / 100.0);
    }
    const double low_ft = *rc::gen::inRange(0, 5000);
    const double high_ft = *rc::gen::inRange(5000, 8001);
    const Passage climb = climb_between(performance, Altitude::feet(low_ft), Altitude::feet(high_ft));

    const double step_s = 0.25;
    double height_ft = low_ft;
    double time_s = 0.0;
    double distance_m = 0.0;
    while (height_ft < high_ft) {
        const double rate = climb_rate(performance, Altitude::feet(height_ft)).feet_per_minute() / 60.0;
        const double middle_ft = height_ft + rate * step_s / 2.0;
        const VerticalSpeed up = climb_rate(performance, Altitude::feet(middle_ft));
        const double gained_ft = up.feet_per_minute() / 60.0 * step_s;
        const double share = std::min(1.0, (high_ft - height_ft) / gained_ft);
        const double v = true_airspeed_climb(performance, Altitude::feet(middle_ft)).metres_per_second();
        const double w = up.metres_per_second();
        distance_m += std::sqrt(std::max(0.0, v * v - w * w)) * step_s * share;
        time_s += step_s * share;
        height_ft += gained_ft;
    }
    RC_ASSERT(std::abs(climb.time.count() - time_s) < 0.05);
    const double promised = performance.climb.mach_limit ? 2e-4 : 1e-4;
    RC_ASSERT(std::abs(climb.distance.metres() / distance_m - 1.0) < promised);
}

RC_GTEST_PROP(LawClimb, TwoClimbsOneAfterTheOtherAreTheWholeClimb, ()) {
    const Performance performance = sample();
    const double low = *rc::gen::inRange(-1000, 4000);
    const double middle = *rc::gen::inRange(4000, 8000);
    const double high = *rc::gen::inRange(8000, 12001);
    const Passage first = climb_between(performance, Altitude::feet(low), Altitude::feet(middle));
    const Passage second = climb_between(performance, Altitude::feet(middle), Altitude::feet(high));
    const Passage whole = climb_between(performance, Altitude::feet(low), Altitude::feet(high));
    RC_ASSERT(std::abs((first.time + second.time - whole.time).count()) < 1e-6);
    RC_ASSERT(std::abs((first.distance + second.distance) / whole.distance - 1.0) <
              1e-4);  // the accuracy promised
    RC_ASSERT(std::abs((first.fuel + second.fuel) / whole.fuel - 1.0) < 1e-9);
}

TEST(CaseClimb, ToTheSameAltitudeTakesNothing) {
    const Passage none = climb_between(sample(), Altitude::feet(3000), Altitude::feet(3000));
    EXPECT_EQ(none.time.count(), 0.0);
    EXPECT_EQ(none.distance.metres(), 0.0);
    EXPECT_EQ(none.fuel.pounds(), 0.0);
}

TEST(CaseClimb, AboveTheCeilingOrDownwardIsABrokenContract) {
    EXPECT_THROW(climb_between(sample(), Altitude::feet(0), Altitude::feet(12001)), base::ContractViolation);
    EXPECT_THROW(climb_between(sample(), Altitude::feet(5000), Altitude::feet(4000)),
                 base::ContractViolation);
    EXPECT_THROW(descent_between(sample(), Altitude::feet(4000), Altitude::feet(5000)),
                 base::ContractViolation);
}

TEST(CaseClimb, AMachNumberHoldsTheSpeedOfAJetBackHighUp) {
    Performance jet = sample();
    jet.climb.airspeed = CalibratedAirspeed::knots(280);
    jet.climb.mach_limit = weather::Mach::number(0.74);
    // Trade-facts 7.5: 280 kt at 35,000 ft is Mach 0.821; 7.4: sound 576.4 kt there, so Mach 0.74 is 426.5
    // kt.
    EXPECT_NEAR(true_airspeed_climb(jet, Altitude::feet(35000)).knots(), 0.74 * 576.4, 0.1);
    // Trade-facts 7.5: 250 kt at 10,000 ft, Mach 0.452, is 288.7 kt: far from the limit.
    jet.climb.airspeed = CalibratedAirspeed::knots(250);
    EXPECT_NEAR(true_airspeed_climb(jet, Altitude::feet(10000)).knots(), 288.7, 0.06);
}

TEST(CaseCruise, IsStraightBetweenItsPointsAndConstantBeyond) {
    const Performance performance = sample();
    EXPECT_NEAR(true_airspeed_cruise(performance, Altitude::feet(2000)).knots(), 140.0, 1e-9);
    EXPECT_NEAR(true_airspeed_cruise(performance, Altitude::feet(4000)).knots(), 140.0, 1e-9);
    EXPECT_NEAR(true_airspeed_cruise(performance, Altitude::feet(5000)).knots(), 142.0, 1e-9);
    EXPECT_NEAR(true_airspeed_cruise(performance, Altitude::feet(8000)).knots(), 148.0, 1e-9);
    EXPECT_NEAR(true_airspeed_cruise(performance, Altitude::feet(11000)).knots(), 148.0, 1e-9);
    EXPECT_NEAR(fuel_flow_cruise(performance, Altitude::feet(7000)).pounds_per_hour(), 74.0, 1e-9);
}

// Trade-facts 11.2 [memory]: A below 91 kt, B 91 to 120, C 121 to 140, D 141 to 165, E above.
TEST(TruthApproachCategory, ChangesAtThePublishedKnots) {
    const auto of = [](double kt) { return letter(approach_category(CalibratedAirspeed::knots(kt))); };
    EXPECT_EQ(of(90), 'A');
    EXPECT_EQ(of(91), 'B');
    EXPECT_EQ(of(120), 'B');
    EXPECT_EQ(of(121), 'C');
    EXPECT_EQ(of(140), 'C');
    EXPECT_EQ(of(141), 'D');
    EXPECT_EQ(of(165), 'D');
    EXPECT_EQ(of(166), 'E');
}

// 14 CFR 91.167 (trade-facts 11.3 [seen]): 45 minutes at normal cruise. 76 lb/h between the two points, three
// quarters of it.
TEST(TruthReserve, FortyFiveMinutesAtNormalCruise) {
    Aircraft aircraft;
    aircraft.performance = sample();
    aircraft.fuel.reserve = base::minutes(45);
    EXPECT_NEAR(reserve_fuel(aircraft, Altitude::feet(6000)).pounds(), 57.0, 1e-9);
}

}  // namespace omniway::aircraft
