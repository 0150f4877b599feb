#include "fixing/belief.hpp"

#include <algorithm>
#include <cmath>
#include <iostream>
#include <random>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "radio/along_path.hpp"
#include "tests/holds.hpp"
#include "tests/lost.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::fixing {

using base::Angle;
using base::Length;
using base::MagneticBearing;
using base::Speed;
using base::TrueBearing;
using earth::Position;
using omniway::testing::At;
using omniway::testing::far_reaching;
using omniway::testing::holds;
using omniway::testing::Lost;
using omniway::testing::without_blunders;

namespace {

double nm_between(Position one, Position other) {
    return earth::distance(one, other).nautical_miles();
}

}  // namespace

TEST(TruthBelief, TwoRadialsGiveTheEllipseOfTheClosedForm) {
    for (const omniway::testing::TwoLines& row : omniway::testing::two_lines_of_a_degree) {
        Lost lost;
        lost.errors = without_blunders(1.0);
        lost.altitude_ft = 16000.0;  // where both are heard for 100 NM: the edge of a volume weighs too
        const double crossing = row.crossing_deg * 0.017453292519943295;
        lost.sketch.vor("AAA", {-row.first_nm, 0.0}, far_reaching)
            .vor("BBB", {-row.second_nm * std::cos(crossing), -row.second_nm * std::sin(crossing)},
                 far_reaching);
        lost.build();
        const Position truth = lost.at({0, 0});
        lost.radial("AAA", lost.radial_deg("AAA", truth));
        lost.radial("BBB", lost.radial_deg("BBB", truth));
        const Belief belief = lost.believed();
        ASSERT_EQ(belief.modes.size(), 1U);
        // The closed form is the first order: shallow wedges open outward, and the mean lies a little farther out than their axes meet.
        EXPECT_LT(nm_between(belief.modes[0].place, truth), 0.2 * row.major_nm) << row.crossing_deg;
        EXPECT_NEAR(belief.modes[0].major.nautical_miles() / row.major_nm, 1.0, 0.05) << row.crossing_deg;
        EXPECT_NEAR(belief.modes[0].minor.nautical_miles() / row.minor_nm, 1.0, 0.05) << row.crossing_deg;
    }
}

namespace {

double suspected(const Belief& belief, Wrong wrong, std::optional<std::size_t> reading) {
    for (const Suspicion& each : belief.suspicions) {
        if (each.wrong == wrong && each.reading == reading) {
            return each.probability;
        }
    }
    return 0.0;
}

// Three VORs about a place at the origin.
Lost among_three() {
    Lost lost;
    lost.altitude_ft = 16000.0;
    lost.sketch.vor("AAA", {-30, 0}, far_reaching)
        .vor("BBB", {20, -20}, far_reaching)
        .vor("CCC", {5, 35}, far_reaching);
    lost.build();
    return lost;
}

}  // namespace

TEST(CaseBelief, ARadialReadWithTheWrongArrowIsNamedAndTheAircraftFoundAllTheSame) {
    Lost lost = among_three();
    const Position truth = lost.at({0, 0});
    lost.radial("AAA", lost.radial_deg("AAA", truth));
    lost.radial("BBB", lost.radial_deg("BBB", truth) + 180.0);
    lost.radial("CCC", lost.radial_deg("CCC", truth));
    const Belief belief = lost.believed();
    ASSERT_FALSE(belief.suspicions.empty());
    EXPECT_EQ(belief.suspicions.front().wrong, Wrong::reciprocal);
    EXPECT_EQ(belief.suspicions.front().reading, std::size_t{1});
    EXPECT_GT(belief.suspicions.front().probability, 0.9);
    EXPECT_LT(belief.as_read[1], 0.05);
    EXPECT_GT(belief.as_read[0], 0.9);
    EXPECT_LT(nm_between(belief.modes[0].place, truth), 0.3);
}

TEST(CaseBelief, NothingIsSuspectedOfReadingsThatAgree) {
    Lost lost = among_three();
    const Position truth = lost.at({3, -4});
    for (const char* ident : {"AAA", "BBB", "CCC"}) {
        lost.radial(ident, lost.radial_deg(ident, truth));
    }
    const Belief belief = lost.believed();
    for (const Suspicion& each : belief.suspicions) {
        EXPECT_LT(each.probability, 0.02);
    }
}

// Two relative bearings by a heading indicator that shows 20 degrees too much, and two radials.
TEST(CaseBelief, AHeadingIndicatorThatIsTwentyDegreesOffIsNamedWithItsError) {
    Lost lost;
    lost.altitude_ft = 16000.0;
    lost.sketch.vor("AAA", {-30, 0}, far_reaching)
        .vor("BBB", {0, -30}, far_reaching)
        .ndb("NNN", {15, 15})
        .ndb("OOO", {-15, 20});
    lost.build();
    const Position truth = lost.at({0, 0});
    lost.radial("AAA", lost.radial_deg("AAA", truth));
    lost.radial("BBB", lost.radial_deg("BBB", truth));
    lost.bearing("NNN", lost.bearing_deg("NNN", truth) + 20.0, true);
    lost.bearing("OOO", lost.bearing_deg("OOO", truth) + 20.0, true);
    const Belief belief = lost.believed();
    ASSERT_FALSE(belief.suspicions.empty());
    EXPECT_EQ(belief.suspicions.front().wrong, Wrong::heading_off);
    EXPECT_GT(belief.suspicions.front().probability, 0.8);
    ASSERT_TRUE(belief.suspicions.front().by);
    EXPECT_NEAR(belief.suspicions.front().by->degrees(), 20.0, 3.0);
    EXPECT_LT(nm_between(belief.modes[0].place, truth), 0.5);
}

TEST(CaseBelief, OfASharedFrequencyTheRestTellsWhichStationItIs) {
    Lost lost = among_three();
    const Position truth = lost.at({0, 0});
    lost.radial("AAA", lost.radial_deg("AAA", truth));
    lost.distance("AAA", lost.slant_nm("AAA", truth));
    lost.readings.push_back(
        {RadialRead{{lost.id("BBB"), lost.id("CCC")}, base::Radial::degrees(lost.radial_deg("CCC", truth))},
         base::Duration(0.0), "114.5"});
    const Belief belief = lost.believed();
    EXPECT_EQ(belief.modes[0].stations[2], 1U);
    EXPECT_GT(suspected(belief, Wrong::station, std::size_t{2}), 0.9);
    EXPECT_LT(nm_between(belief.modes[0].place, truth), 0.3);
}

TEST(CaseBelief, OfOneDistanceThePlaceIsOnItsRingAndNotInItsMiddle) {
    Lost lost = among_three();
    lost.distance("AAA", 20.0);
    const Belief belief = lost.believed();
    EXPECT_NEAR(nm_between(belief.modes[0].place, lost.at({-30, 0})), 19.8, 0.5);
    EXPECT_TRUE(holds(belief, belief.most, belief.modes[0].place));
}

// A wall hides AAA from what is far behind it. Heard a third of a mile on the near side of its shadow, the aircraft is on that side: the far side weighs a
// hundredth, cell by cell, however the cells are grouped.
TEST(LawBelief, AtTheEdgeOfAShadowTheAircraftIsWhereItHears) {
    Lost lost;
    const omniway::testing::DrawnGround drawn(lost.at({0, 0}), 6, [](double, double longitude_deg) {
        const double east_deg = longitude_deg + 170.0;
        return std::optional(east_deg > 0.249 && east_deg < 0.301 ? 1000.0 : 0.0);
    });
    lost.ground = drawn.ground();
    lost.sketch.vor("AAA", {0, 0}, far_reaching);
    lost.build();
    const navdata::Station& station = lost.world()[lost.id("AAA")];
    for (const double away_nm : {24.0, 27.0, 30.0, 33.0}) {
        const Position truth = lost.at({away_nm, 0});
        const auto lowest = radio::lowest_heard(station, radio::Part::azimuth, truth, lost.ground);
        ASSERT_TRUE(lowest);
        lost.altitude_ft = lowest->altitude.feet() + 100.0;
        lost.readings.clear();
        lost.radial("AAA", lost.radial_deg("AAA", truth));
        lost.distance("AAA", lost.slant_nm("AAA", truth));
        const Belief belief = lost.believed();
        double hidden = 0.0;
        for (const BelievedCell& cell : belief.cells) {
            const auto reception =
                radio::hear(station, radio::Part::azimuth, belief.frame.to_position(cell.centre),
                            base::Altitude::feet(lost.altitude_ft), lost.ground);
            hidden += reception.heard() ? 0.0 : cell.probability;
        }
        EXPECT_LT(hidden, 0.005) << away_nm;
        EXPECT_TRUE(holds(belief, belief.half, truth)) << away_nm;
    }
}

// Silence weighs no more than the chance of an aid being off the air.
TEST(LawBelief, SilenceMovesTheBeliefButNeverRulesAPlaceOut) {
    Lost lost;
    lost.sketch.vor("AAA", {-20, 0}, far_reaching).vor("BBB", {20, 0}, far_reaching).vor("SSS", {5, -30});
    lost.build();
    const Position north = lost.at({5, 25});
    lost.distance("AAA", lost.slant_nm("AAA", north));
    lost.distance("BBB", lost.slant_nm("BBB", north));
    lost.readings.push_back(
        {SilenceRead{{lost.id("SSS")}, radio::Part::azimuth}, base::Duration(0.0), "SSS"});
    const Belief belief = lost.believed();
    ASSERT_EQ(belief.modes.size(), 2U);
    // SSS is heard within 40 NM: of the southern place, and not of the northern one. One to a tenth.
    EXPECT_LT(nm_between(belief.modes[0].place, north), 0.3);
    EXPECT_NEAR(belief.modes[0].probability, 1.0 / 1.1, 0.02);
}

TEST(CaseBelief, WhatLeavesHundredsOfMilesOpenIsToldSoAndNotThatItCannotBe) {
    Lost lost;
    lost.altitude_ft = 16000.0;
    lost.sketch.vor("AAA", {-250, 0}, far_reaching).vor("BBB", {250, 0}, far_reaching);
    lost.build();
    lost.readings.push_back({RadialRead{{lost.id("AAA"), lost.id("BBB")}, base::Radial::degrees(30.0)},
                             base::Duration(0.0), "114.5"});
    const auto answer = lost.asked();
    ASSERT_TRUE(std::holds_alternative<Contradiction>(answer));
    EXPECT_TRUE(std::get<Contradiction>(answer).too_little);
    EXPECT_NE(std::get<Contradiction>(answer).why.find("114.5 of 2 stations"), std::string::npos);
    // An ident is enough.
    lost.readings.clear();
    lost.radial("AAA", 30.0);
    EXPECT_TRUE(std::holds_alternative<Belief>(lost.asked()));
}

TEST(CaseBelief, WhatCannotBeNamesItsReadingsAndFigures) {
    Lost lost = among_three();
    lost.distance("AAA", 1.0);
    const auto below = lost.asked();
    ASSERT_TRUE(std::holds_alternative<Contradiction>(below));
    EXPECT_EQ(std::get<Contradiction>(below).readings, std::vector<std::size_t>{0});
    EXPECT_NE(std::get<Contradiction>(below).why.find("2.6 NM at least"), std::string::npos)
        << std::get<Contradiction>(below).why;
    lost.readings.clear();
    lost.radial("AAA", lost.radial_deg("AAA", lost.at({-60, 0})));
    lost.radial("BBB", lost.radial_deg("BBB", lost.at({50, -20})));
    const auto apart = lost.asked();
    ASSERT_TRUE(std::holds_alternative<Contradiction>(apart));
    EXPECT_EQ(std::get<Contradiction>(apart).readings, (std::vector<std::size_t>{0, 1}));
}

namespace {

/// How often the truth lies in the regions, over worlds drawn from the model itself.
struct Held {
    int of = 0;
    int in_half = 0;
    int in_most = 0;
    double square_nm = 0.0;

    double half() const { return static_cast<double>(in_half) / of; }
    double most() const { return static_cast<double>(in_most) / of; }
};

// A place about which one is last known to be within 15 NM in 95 %, and what was read there of two VORs, one with its DME, and a beacon.
struct Drawn {
    std::mt19937_64 generator;
    std::normal_distribution<double> normal;
    std::uniform_real_distribution<double> even{0.0, 1.0};

    double within(double low, double high) { return low + (high - low) * even(generator); }

    // What was read, with its error, or its reciprocal, or nothing of that station.
    double angle(double true_deg, double deviation_deg, const ReadingErrors& errors) {
        const double chance = even(generator);
        if (chance < errors.nothing) {
            return within(0.0, 360.0);
        }
        const double reversed = chance < errors.nothing + errors.reciprocal ? 180.0 : 0.0;
        return true_deg + reversed + deviation_deg * normal(generator);
    }
};

// Of a receiver alone, half of the 2.7 degrees of PANS-OPS I-2-2 (trade-facts 3.1).
constexpr double receiver_deg = 1.35;

struct Wrongly {
    double station_bias_deg = 0.0;  // of the first VOR, whose receiver errs as a receiver alone does
    double wind_kt =
        0.0;  // by so much it is wrong, in any direction; else as is believed, 8 knots in each component
    bool heavy_tails = false;
};

Held held(int places, bool with_blunders, bool running, const Wrongly& wrongly = {}, unsigned seed = 1) {
    Held held;
    Drawn drawn;
    drawn.generator.seed(seed);
    Lost lost;
    // Where all are heard for 100 NM: what is read does not depend on the edge of a volume here, which a belief weighs.
    lost.altitude_ft = 16000.0;
    lost.sketch.vor("AAA", {-25, 0}, far_reaching).vor("BBB", {20, -15}, far_reaching).ndb("NNN", {0, 22});
    lost.build();
    if (!with_blunders) {
        lost.errors = without_blunders(lost.errors.vor.degrees());
    }
    const double last_sd = 15.0 / 2.4477;
    for (int i = 0; i < places; ++i) {
        lost.readings.clear();
        lost.flown.clear();
        // The truth is drawn from what is known of it.
        const At last{drawn.within(-5.0, 5.0), drawn.within(-5.0, 5.0)};
        const Position place = lost.at({last.east_nm + last_sd * drawn.normal(drawn.generator),
                                        last.north_nm + last_sd * drawn.normal(drawn.generator)});
        lost.last_known = LastKnown{lost.at(last), base::Duration(0.0), Length::nautical_miles(15.0)};
        const auto sd = [&](double deviation) {
            // A mixture that has the deviation asked for and long tails: nine of ten at half of it.
            return !wrongly.heavy_tails           ? deviation
                   : drawn.within(0.0, 1.0) < 0.9 ? deviation * 0.5
                                                  : deviation * 2.8;
        };
        const double before_s = running ? drawn.within(120.0, 900.0) : 0.0;
        Position then = place;
        if (running) {
            // Back along what was flown: heading, and the wind that was believed and what it errs by.
            const double heading_deg = drawn.within(0.0, 360.0);
            const auto variation = omniway::testing::magnetic_model().variation(lost.at({0, 0}), Lost::today);
            lost.flown = {
                {base::Duration(before_s), MagneticBearing::degrees(heading_deg), Speed::knots(120.0)}};
            lost.air = {TrueBearing::degrees(300.0), Speed::knots(15.0), Speed::knots(8.0)};
            const double hours = before_s / 3600.0;
            const double true_deg = heading_deg + variation.east().degrees() -
                                    lost.errors.heading.degrees() * drawn.normal(drawn.generator);
            const double wrong_rad = drawn.within(0.0, 6.283185307);
            const double wind_east_kt = wrongly.wind_kt > 0.0 ? wrongly.wind_kt * std::sin(wrong_rad)
                                                              : 8.0 * drawn.normal(drawn.generator);
            const double wind_north_kt = wrongly.wind_kt > 0.0 ? wrongly.wind_kt * std::cos(wrong_rad)
                                                               : 8.0 * drawn.normal(drawn.generator);
            const double east_nm = hours * (120.0 * std::sin(true_deg * 0.0174532925) +
                                            15.0 * std::sin(120.0 * 0.0174532925) + wind_east_kt);
            const double north_nm = hours * (120.0 * std::cos(true_deg * 0.0174532925) +
                                             15.0 * std::cos(120.0 * 0.0174532925) + wind_north_kt);
            then =
                earth::destination(place, TrueBearing::degrees(std::atan2(-east_nm, -north_nm) * 57.29577951),
                                   Length::nautical_miles(std::hypot(east_nm, north_nm)));
        }
        lost.radial("AAA",
                    drawn.angle(lost.radial_deg("AAA", then) + wrongly.station_bias_deg,
                                sd(wrongly.station_bias_deg > 0.0 ? receiver_deg : lost.errors.vor.degrees()),
                                lost.errors),
                    before_s);
        lost.radial("BBB",
                    drawn.angle(lost.radial_deg("BBB", then), sd(lost.errors.vor.degrees()), lost.errors),
                    before_s);
        if (i % 2 == 0) {
            const double slant = lost.slant_nm("BBB", place);
            // The deviation is told by the reading, which is off by little: half of 0.25 NM and 1.25 %.
            const bool nothing = drawn.within(0.0, 1.0) < lost.errors.nothing;
            lost.distance(
                "BBB", nothing ? drawn.within(1.2, 200.0)
                               : slant + sd((0.25 + 0.0125 * slant) / 2.0) * drawn.normal(drawn.generator));
        } else {
            lost.bearing("NNN", drawn.angle(lost.bearing_deg("NNN", place), sd(lost.errors.adf.degrees()),
                                            lost.errors));
        }
        auto answer = lost.asked();
        ++held.of;
        if (const auto* belief = std::get_if<Belief>(&answer)) {
            held.in_half += holds(*belief, belief->half, place) ? 1 : 0;
            held.in_most += holds(*belief, belief->most, place) ? 1 : 0;
            held.square_nm += belief->most.square_nm / places;
        }
    }
    return held;
}

}  // namespace

// 94 to 96 and 48 to 52 of a hundred are asked for; the worlds are drawn by geodesics and the errors that are stated.
namespace {

void expect_held(int places, bool with_blunders, bool running, unsigned seed = 1) {
    const Held of = held(places, with_blunders, running, {}, seed);
    ::testing::Test::RecordProperty("in_most", std::to_string(of.most()));
    ::testing::Test::RecordProperty("in_half", std::to_string(of.half()));
    ::testing::Test::RecordProperty("square_nm", std::to_string(of.square_nm));
    EXPECT_GE(of.most(), 0.94);
    EXPECT_LE(of.most(), 0.96);
    EXPECT_GE(of.half(), 0.48);
    EXPECT_LE(of.half(), 0.52);
    std::cout << of.most() << " and " << of.half() << ", " << of.square_nm << " sq NM\n";
}

}  // namespace

// 20,000 in all, the first in two tests that two processors share.
TEST(SlowTruthBelief, RegionsHoldTheTruthAsOftenAsTheySay) {
    expect_held(6000, false, false);
}

TEST(SlowTruthBelief, RegionsHoldTheTruthOfOtherWorldsAsOften) {
    expect_held(6000, false, false, 2);
}

TEST(SlowTruthBelief, RegionsHoldItAmongBlundersToo) {
    expect_held(3500, true, false);
}

TEST(SlowTruthBelief, RegionsCarriedOnHoldTheTruthAsOftenAsTheySay) {
    expect_held(2500, false, true);
}

TEST(SlowTruthBelief, RegionsCarriedOnHoldItAmongBlundersToo) {
    expect_held(2000, true, true);
}

// Where the model is wrong it holds nine of ten at least.
namespace {

void expect_nine_of_ten(int places, bool running, const Wrongly& wrongly) {
    const Held of = held(places, true, running, wrongly);
    std::cout << of.most() << " and " << of.half() << ", " << of.square_nm << " sq NM\n";
    EXPECT_GE(of.most(), 0.9);
}

}  // namespace

// A station may be 2 degrees off (Annex 10, trade-facts 3.1).
TEST(SlowTruthBelief, OfAStationTwoDegreesOffItHoldsNineOfTen) {
    expect_nine_of_ten(1000, false, {.station_bias_deg = 2.0});
}

TEST(SlowTruthBelief, OfErrorsWithHeavyTailsItHoldsNineOfTen) {
    expect_nine_of_ten(1000, false, {.heavy_tails = true});
}

TEST(SlowTruthBelief, OfAWindWrongByTwiceItsDeviationItHoldsNineOfTen) {
    expect_nine_of_ten(500, true, {.wind_kt = 16.0});
}

// Two bearings of one station and what was flown between them are the methods by which it was always done in the head. Their worked examples (trade-facts 6,
// handbook and question bank [seen], the exact forms [computed]) are held to here: instruments all but without error, no wind.
namespace {

struct TwoBearings {
    double airspeed_kt;
    double seconds;
    double first_relative_deg;
    double then_relative_deg;
};

// How far the station is now.
double found_nm(const TwoBearings& flown) {
    Lost lost;
    lost.errors = without_blunders(1.0);
    lost.errors.adf = Angle::degrees(0.15);
    lost.errors.heading = Angle::degrees(0.1);
    lost.sketch.ndb("NNN", {0, 0}, navdata::ServiceClass::ndb_high);
    lost.build();
    lost.flown = {
        {base::Duration(flown.seconds), MagneticBearing::degrees(20.0), Speed::knots(flown.airspeed_kt)}};
    lost.air = {TrueBearing::degrees(0.0), Speed::knots(0.0), Speed::knots(0.3)};
    lost.bearing("NNN", 20.0 + flown.first_relative_deg, true, flown.seconds);
    lost.bearing("NNN", 20.0 + flown.then_relative_deg, true);
    const Belief belief = lost.believed();
    EXPECT_EQ(belief.modes.size(), 1U);
    return nm_between(belief.modes[0].place, lost.at({0, 0}));
}

}  // namespace

TEST(TruthBelief, ABearingChangeOffTheWingTipGivesTheDistanceOfTheHandbook) {
    struct Row {
        TwoBearings flown;
        double by_sixty_nm;  // seconds by degrees are minutes to the station
        double abeam_nm;     // what was flown by the tangent of the change
    };
    for (const Row& row :
         {Row{{120.0, 75.0, 90.0, 100.0}, 15.0, 14.178}, Row{{115.0, 90.0, 90.0, 95.0}, 34.5, 32.862}}) {
        const double change = (row.flown.then_relative_deg - 90.0) * 0.017453292519943295;
        const double now_nm = found_nm(row.flown);
        EXPECT_NEAR(now_nm * std::cos(change), row.abeam_nm, 0.02 * row.abeam_nm);
        // The rule of sixty overreads by a twentieth.
        EXPECT_NEAR(row.by_sixty_nm / (now_nm * std::cos(change)), 60.0 * 3.14159265 / 180.0, 0.03);
    }
}

TEST(TruthBelief, WhenTheBearingOffTheBowHasDoubledTheStationIsAsFarAsWasFlown) {
    // 15 degrees to 30 in six minutes: six minutes more, here at 120 knots.
    EXPECT_NEAR(found_nm({120.0, 360.0, 15.0, 30.0}), 12.0, 0.2);
}

TEST(CaseBelief, TwoDistancesGiveTwoPlacesAndAThirdReadingOne) {
    Lost lost;
    lost.errors = without_blunders(1.8);
    lost.sketch.vor("AAA", {-20, 0}, far_reaching).vor("BBB", {20, 0}, far_reaching);
    lost.build();
    const Position truth = lost.at({5, 25});
    lost.distance("AAA", lost.slant_nm("AAA", truth));
    lost.distance("BBB", lost.slant_nm("BBB", truth));
    const Belief two = lost.believed();
    ASSERT_EQ(two.modes.size(), 2U);
    EXPECT_NEAR(two.modes[0].probability, 0.5, 0.02);
    for (const Mode& mode : two.modes) {
        EXPECT_LT(std::min(nm_between(mode.place, truth), nm_between(mode.place, lost.at({5, -25}))), 0.2);
    }
    lost.radial("AAA", lost.radial_deg("AAA", truth));
    const Belief one = lost.believed();
    ASSERT_EQ(one.modes.size(), 1U);
    EXPECT_LT(nm_between(one.modes[0].place, truth), 0.2);
    EXPECT_TRUE(holds(one, one.most, truth));
    EXPECT_FALSE(holds(one, one.most, lost.at({5, -25})));
}

}  // namespace omniway::fixing
