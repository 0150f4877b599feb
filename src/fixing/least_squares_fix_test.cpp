#include "fixing/least_squares_fix.hpp"

#include <algorithm>
#include <cmath>
#include <random>

#include <gtest/gtest.h>

#include "tests/lost.hpp"

namespace omniway::fixing {

using earth::Position;
using omniway::testing::At;
using omniway::testing::far_reaching;
using omniway::testing::Lost;
using omniway::testing::without_blunders;

namespace {

double nm_between(Position one, Position other) {
    return earth::distance(one, other).nautical_miles();
}

std::vector<std::size_t> first_of_each(const Lost& lost) {
    return std::vector<std::size_t>(lost.readings.size(), 0);
}

// Three VORs about a place, and what they read there.
struct Three {
    Lost lost;
    std::mt19937_64 generator;

    Three() {
        lost.errors = without_blunders(1.8);
        lost.altitude_ft = 16000.0;
        lost.sketch.vor("AAA", {-30, 0}, far_reaching)
            .vor("BBB", {20, -20}, far_reaching)
            .vor("CCC", {5, 35}, far_reaching);
        lost.build();
    }

    Position drawn() {
        std::uniform_real_distribution<double> within(-12.0, 12.0);
        const double east = within(generator);
        return lost.at({east, within(generator)});
    }

    void read(Position truth) {
        std::normal_distribution<double> error(0.0, lost.errors.vor.degrees());
        lost.readings.clear();
        for (const char* ident : {"AAA", "BBB", "CCC"}) {
            lost.radial(ident, lost.radial_deg(ident, truth) + error(generator));
        }
    }
};

}  // namespace

TEST(TruthLeastSquares, TwoRadialsGiveTheEllipseOfTheClosedForm) {
    for (const omniway::testing::TwoLines& row : omniway::testing::two_lines_of_a_degree) {
        Lost lost;
        lost.errors = without_blunders(1.0);
        const double crossing = row.crossing_deg * 0.017453292519943295;
        lost.sketch.vor("AAA", {-row.first_nm, 0.0}, far_reaching)
            .vor("BBB", {-row.second_nm * std::cos(crossing), -row.second_nm * std::sin(crossing)},
                 far_reaching);
        lost.build();
        const Position truth = lost.at({0, 0});
        lost.radial("AAA", lost.radial_deg("AAA", truth));
        lost.radial("BBB", lost.radial_deg("BBB", truth));
        const auto fix = least_squares_fix(lost.question(), first_of_each(lost), lost.at({4, 3}));
        ASSERT_TRUE(fix);
        EXPECT_LT(nm_between(fix->place, truth), 0.001);
        EXPECT_NEAR(fix->major.nautical_miles(), row.major_nm, 0.001 + row.major_nm * 0.001);
        EXPECT_NEAR(fix->minor.nautical_miles(), row.minor_nm, 0.001 + row.minor_nm * 0.001);
        EXPECT_LT(fix->chi_squared, 1e-6);
    }
}

// The published intersection on the sphere (trade-facts 18.1, a formulary's worked example [seen]): from 42.600N 117.866W on 51 degrees true, from 44.840N 117.806W
// on 137, 94 and 103 NM off, to 43.572N 116.189W. The ellipsoid moves what a sphere says by up to a third of a hundredth of such distances.
TEST(TruthLeastSquares, TwoRadialsCrossAtThePublishedIntersection) {
    const Position first = Position::degrees(42.600, -117.866);
    const Position second = Position::degrees(44.840, -117.806);
    const Position published = Position::degrees(43.572, -116.189);
    Lost lost(first);
    const double away_nm = nm_between(first, second);
    const double bearing = earth::bearing(first, second).from_north().radians();
    lost.sketch.vor("AAA", {0.0, 0.0}, far_reaching)
        .vor("BBB", {away_nm * std::sin(bearing), away_nm * std::cos(bearing)}, far_reaching);
    lost.build();
    lost.errors = without_blunders(1.0);
    lost.altitude_ft = 30000.0;
    const auto radial_deg = [&lost](const char* ident, double true_deg) {
        const auto* vor = navdata::vor(lost.world()[lost.id(ident)]);
        return base::to_radial(base::TrueBearing::degrees(true_deg), vor->declination).degrees();
    };
    lost.radial("AAA", radial_deg("AAA", 51.0));
    lost.radial("BBB", radial_deg("BBB", 137.0));
    const auto fix = least_squares_fix(lost.question(), {0, 0}, lost.at({80.0, 40.0}));
    ASSERT_TRUE(fix);
    EXPECT_LT(nm_between(fix->place, published), 0.003 * 103.0);
    const Belief belief = lost.believed();
    ASSERT_EQ(belief.modes.size(), 1U);
    EXPECT_LT(nm_between(belief.modes[0].place, fix->place), 0.2 * fix->major.nautical_miles());
}

// The two ways of finding a place share no geometry: where the lines cross well they are to agree, in the place to a quarter of what it is known to, in the
// ellipse to a tenth.
TEST(LawLeastSquares, AgreesWithTheBeliefWhereTheLinesCrossWell) {
    Three three;
    for (int i = 0; i < 60; ++i) {
        three.read(three.drawn());
        const Belief belief = three.lost.believed();
        ASSERT_FALSE(belief.modes.empty());
        const Mode& mode = belief.modes[0];
        const auto fix = least_squares_fix(three.lost.question(), mode.stations, mode.place);
        ASSERT_TRUE(fix);
        EXPECT_LT(nm_between(fix->place, mode.place), 0.25 * fix->major.nautical_miles());
        EXPECT_NEAR(mode.major / fix->major, 1.0, 0.1);
        EXPECT_NEAR(mode.minor / fix->minor, 1.0, 0.1);
    }
}

// No estimate is better than the Cramer-Rao bound, the covariance of least squares at the truth (Kay, Fundamentals of Statistical Signal Processing I, chapter
// 3, from memory); the belief's mean is within 1.2 times of it.
TEST(TruthLeastSquares, TheBeliefsMeanErrsByNoMoreThanAFifthBeyondTheCramerRaoBound) {
    Three three;
    double squares = 0.0;
    double bound = 0.0;
    std::vector<double> errors;
    std::vector<double> bound_errors;  // as often, as the bound has them
    std::normal_distribution<double> normal;
    constexpr int places = 500;
    for (int i = 0; i < places; ++i) {
        const Position truth = three.drawn();
        three.read(truth);
        const Belief belief = three.lost.believed();
        ASSERT_FALSE(belief.modes.empty());
        const double off = nm_between(belief.modes[0].place, truth);
        squares += off * off / places;
        errors.push_back(off);
        three.lost.readings.clear();
        for (const char* ident : {"AAA", "BBB", "CCC"}) {
            three.lost.radial(ident, three.lost.radial_deg(ident, truth));
        }
        const auto exact = least_squares_fix(three.lost.question(), {0, 0, 0}, truth);
        ASSERT_TRUE(exact);
        for (int draw = 0; draw < 20; ++draw) {
            bound_errors.push_back(std::hypot(exact->major.nautical_miles() * normal(three.generator),
                                              exact->minor.nautical_miles() * normal(three.generator)));
        }
        bound += (std::pow(exact->major.nautical_miles(), 2) + std::pow(exact->minor.nautical_miles(), 2)) /
                 places;
    }
    // At the 95th percentile too.
    const auto at_95 = [](std::vector<double>& all) {
        std::sort(all.begin(), all.end());
        return all[all.size() * 95 / 100];
    };
    RecordProperty("of_the_bound_at_95", std::to_string(at_95(errors) / at_95(bound_errors)));
    EXPECT_LT(at_95(errors) / at_95(bound_errors), 1.2);
    RecordProperty("of_the_bound", std::to_string(std::sqrt(squares / bound)));
    EXPECT_LT(std::sqrt(squares / bound), 1.2);
    // Four deviations of a mean of squares below it would be a mistake too.
    EXPECT_GT(std::sqrt(squares / bound), 1.0 - 4.0 / std::sqrt(4.0 * places));
}

TEST(CaseLeastSquares, GivesNoneOfOneLineOrOfTwoThatHardlyCross) {
    Lost lost;
    lost.errors = without_blunders(1.0);
    lost.sketch.vor("AAA", {-30, 0}, far_reaching).vor("BBB", {-25, 1}, far_reaching);
    lost.build();
    const Position truth = lost.at({0, 0});
    lost.radial("AAA", lost.radial_deg("AAA", truth));
    EXPECT_FALSE(least_squares_fix(lost.question(), {0}, truth));
    lost.radial("BBB", lost.radial_deg("BBB", truth));
    EXPECT_FALSE(least_squares_fix(lost.question(), {0, 0}, truth));
}

// A running fix: a radial six minutes ago and one now, ten miles flown between them. Without errors of wind or heading it is where it is.
TEST(CaseLeastSquares, CarriesAnEarlierLineOnByWhatWasFlown) {
    Lost lost;
    lost.errors = without_blunders(1.0);
    lost.altitude_ft = 16000.0;
    lost.sketch.vor("AAA", {-10, -30}, far_reaching).vor("BBB", {20, -20}, far_reaching);
    lost.build();
    const Position now = lost.at({0, 0});
    const auto variation = omniway::testing::magnetic_model().variation(now, Lost::today);
    // 100 kt toward 090 true, and a wind of 20 kt behind: twelve miles.
    lost.flown = {{base::Duration(360.0), base::to_magnetic(base::TrueBearing::degrees(90.0), variation),
                   base::Speed::knots(100.0)}};
    lost.air = {base::TrueBearing::degrees(270.0), base::Speed::knots(20.0), base::Speed::knots(5.0)};
    const Position then =
        earth::destination(now, base::TrueBearing::degrees(270.0), base::Length::nautical_miles(12.0));
    lost.radial("AAA", lost.radial_deg("AAA", then), 360.0);
    lost.radial("BBB", lost.radial_deg("BBB", now));
    const auto fix = least_squares_fix(lost.question(), {0, 0}, lost.at({3, 3}));
    ASSERT_TRUE(fix);
    EXPECT_LT(nm_between(fix->place, now), 0.01);
    const Belief belief = lost.believed();
    ASSERT_FALSE(belief.modes.empty());
    EXPECT_LT(nm_between(belief.modes[0].place, now), 0.3);
    EXPECT_NEAR(belief.modes[0].major / fix->major, 1.0, 0.1);
}

}  // namespace omniway::fixing
