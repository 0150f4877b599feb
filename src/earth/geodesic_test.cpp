#include "earth/geodesic.hpp"

#include <cmath>
#include <fstream>
#include <numbers>
#include <sstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/random_positions.hpp"
#include "tests/real_data.hpp"

namespace omniway::earth {
namespace {

using base::Angle;
using base::Length;
using base::TrueBearing;

constexpr double radian = std::numbers::pi / 180.0;

struct Line {
    double latitude_1 = 0.0, longitude_1 = 0.0, azimuth_1 = 0.0;
    double latitude_2 = 0.0, longitude_2 = 0.0, azimuth_2 = 0.0;
    double metres = 0.0, arc_deg = 0.0, reduced_m = 0.0;
};

std::vector<Line> lines_of(const std::filesystem::path& file) {
    std::ifstream opened(file);
    std::vector<Line> lines;
    for (std::string text; std::getline(opened, text);) {
        std::istringstream row(text);
        Line line;
        if (text.starts_with('#') ||
            !(row >> line.latitude_1 >> line.longitude_1 >> line.azimuth_1 >> line.latitude_2 >>
              line.longitude_2 >> line.azimuth_2 >> line.metres >> line.arc_deg >> line.reduced_m)) {
            continue;
        }
        lines.push_back(line);
    }
    return lines;
}

// What a wrong bearing costs at the other end: the places themselves are only given to some nanometres, and on a short or a
// nearly antipodal line that turns the bearing by more than any fixed number of degrees.
double sideways_m(TrueBearing found, double published_deg, double reduced_m) {
    return std::abs((found - TrueBearing::degrees(published_deg)).radians() * reduced_m);
}

// 15 nm is GeographicLib's own claim for each direction; the files print distances to 100 nm and places as doubles, each a few
// nanometres off: 100 nm holds them all.
constexpr double tolerance_m = 1e-7;

void expect_published(const std::vector<Line>& lines) {
    for (const Line& line : lines) {
        SCOPED_TRACE(::testing::Message() << line.latitude_1 << ' ' << line.longitude_1 << " to "
                                          << line.latitude_2 << ' ' << line.longitude_2);
        const Position from = Position::degrees(line.latitude_1, line.longitude_1);
        const Position to = Position::degrees(line.latitude_2, line.longitude_2);
        const Geodesic found = geodesic(from, to);
        EXPECT_NEAR(found.distance.metres(), line.metres, tolerance_m);
        EXPECT_LT(sideways_m(found.initial, line.azimuth_1, line.reduced_m), tolerance_m);
        EXPECT_LT(sideways_m(found.arrival, line.azimuth_2, line.reduced_m), tolerance_m);
        EXPECT_EQ(distance(from, to), found.distance);
        EXPECT_EQ(bearing(from, to), found.initial);
        const Position reached =
            destination(from, TrueBearing::degrees(line.azimuth_1), Length::metres(line.metres));
        EXPECT_LT(distance(reached, to).metres(), tolerance_m);
    }
}

// C. F. F. Karney, "Test set for geodesics" (GeodTest), 100 lines of it.
TEST(TruthGeodesicRealData, AgreesWithAHundredLinesOfTheGeodesicTestSet) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const auto lines = lines_of(folder / "geodesic/GeodTest-100.dat");
    ASSERT_EQ(lines.size(), 100U);
    expect_published(lines);
}

// The test suite of the Python edition of GeographicLib (C. F. F. Karney), twenty lines at full precision.
TEST(TruthGeodesicRealData, AgreesWithTwentyLinesAtFullPrecision) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const auto lines = lines_of(folder / "geodesic/geodesic_20_cases.txt");
    ASSERT_EQ(lines.size(), 20U);
    expect_published(lines);
}

// The same two sources, typed in here so that a checkout without the files is held to them too; the last is nearly antipodal,
// where Vincenty's method does not converge. Azimuths of minus one were not published. Reduced length: the sphere's.
TEST(TruthGeodesic, AgreesWithPublishedLines) {
    const auto reduced = [](double metres) { return 6371008.8 * std::abs(std::sin(metres / 6371008.8)); };
    std::vector<Line> lines = {
        {36.530042355041, 0, 176.125875162171, -48.164270779097768864, 5.762344694676510456,
         175.334308316285410561, 9398502.0434687},
        {19.707097385334, 0, 20.996796804557, 19.707739582810257, 0.000260256428101053, 20.996884567489088,
         76.1478894},
        {35.60777, -139.44815, 111.098748429560326, -11.17491, -69.95921, 129.289270889708762,
         8935244.5604818305},
        {55.52454, 106.05087, 22.020059880982801, 77.03196, 197.18234, 109.112041110671519,
         4105086.1713924406},
        {-21.97856, 142.59065, -32.44456876433189, 41.84138, 98.56635, -41.84359951440466, 8394328.894657671},
        {-66.99028, 112.2363, 173.73491240878403, -12.70631, 285.90344, 2.512956620913668,
         11150344.2312080241},
    };
    for (Line& line : lines) {
        line.reduced_m = reduced(line.metres);
    }
    expect_published(lines);
}

TEST(TruthGeodesic, AgreesWithPublishedLinesOfWhichNotAllIsGiven) {
    struct Part {
        double latitude_1, azimuth_1, latitude_2, longitude_2, metres;
    };
    for (const Part& line : {
             Part{63.758775485865, 63.327049113388, 25.179740339437206, 107.50499193289191, 8337896.7811702},
             Part{23.104245923137, 108.788775202534, 23.103520430280492, 0.002305237470119087, 249.4508219},
             Part{8.226828747671, 111.1269645725, -8.516119211674269, 178.68897958262922, 19886305.6710041},
         }) {
        const Position from = Position::degrees(line.latitude_1, 0.0);
        const Position to = Position::degrees(line.latitude_2, line.longitude_2);
        EXPECT_NEAR(distance(from, to).metres(), line.metres, tolerance_m);
        // The antipodal line's azimuth is printed to ten decimals: half of the last is 6 micrometres at most.
        const Position reached =
            destination(from, TrueBearing::degrees(line.azimuth_1), Length::metres(line.metres));
        EXPECT_LT(distance(reached, to).metres(), 6e-6);
    }
    // GeographicLib's test suite, 40 N 40 E on 030 for 10,000 km; printed to ten decimals, a hundredth of a millimetre.
    const Position far =
        destination(Position::degrees(40.0, 40.0), TrueBearing::degrees(30.0), Length::metres(10000000.0));
    EXPECT_NEAR(far.latitude_deg(), 41.7933102051, 1e-10);
    EXPECT_NEAR(far.longitude_deg(), 177.8449000437, 1e-10);
}

// The quarter meridian of WGS 84, a published constant of the ellipsoid; printed to a millimetre.
TEST(TruthGeodesic, FromTheEquatorToThePoleIsTheQuarterMeridian) {
    for (const double longitude : {0.0, 77.0, 180.0}) {
        EXPECT_NEAR(distance(Position::degrees(0.0, longitude), Position::degrees(90.0, 0.0)).metres(),
                    10001965.729, 0.0005);
    }
}

// Geoscience Australia, GDA94 technical manual, Flinders Peak to Buninyong [from memory]. On GRS 80, whose flattening
// differs from that of WGS 84 by 2e-11 of itself; printed to a millimetre and a hundredth of a second.
TEST(TruthGeodesic, AgreesWithTheAustralianSurveyorsExample) {
    const auto degrees = [](double d, double m, double s) { return d + m / 60.0 + s / 3600.0; };
    const Position flinders_peak = Position::degrees(-degrees(37, 57, 3.72030), degrees(144, 25, 29.52440));
    const Position buninyong = Position::degrees(-degrees(37, 39, 10.15610), degrees(143, 55, 35.38390));
    const Geodesic line = geodesic(flinders_peak, buninyong);
    EXPECT_NEAR(line.distance.metres(), 54972.271, 0.0006);
    EXPECT_NEAR(line.initial.degrees(), degrees(306, 52, 5.37), 0.006 / 3600.0);
    EXPECT_NEAR(line.arrival.reciprocal().degrees(), degrees(127, 10, 25.07), 0.006 / 3600.0);
}

TEST(CaseGeodesic, AcrossTheAntimeridianTheShortWayIsTaken) {
    const Geodesic east = geodesic(Position::degrees(0.0, 179.5), Position::degrees(0.0, -179.5));
    EXPECT_NEAR(east.initial.degrees(), 90.0, 1e-12);
    // One degree of the equator: 6 378 137 m times pi / 180.
    EXPECT_NEAR(east.distance.metres(), 6378137.0 * radian, tolerance_m);
    const Position crossed =
        destination(Position::degrees(0.0, 179.5), TrueBearing::degrees(90.0), east.distance);
    EXPECT_NEAR(crossed.longitude_deg(), -179.5, 1e-12);
}

TEST(CaseGeodesic, OverThePoleTheBearingTurnsFromNorthToSouth) {
    const Geodesic line = geodesic(Position::degrees(89.0, 10.0), Position::degrees(89.0, -170.0));
    EXPECT_NEAR((line.initial - TrueBearing::degrees(0.0)).degrees(), 0.0, 1e-9);
    EXPECT_NEAR(line.arrival.degrees(), 180.0, 1e-9);
}

TEST(CaseGeodesic, APlaceIsNoDistanceFromItself) {
    const Position here = Position::degrees(51.0, -180.0);
    EXPECT_EQ(distance(here, Position::degrees(51.0, 180.0)), Length());
}

TEST(CaseGeodesic, ANegativeLengthLeadsBehind) {
    const Position here = Position::degrees(45.0, 7.0);
    const Position behind = destination(here, TrueBearing::degrees(30.0), Length::nautical_miles(-40.0));
    const Position ahead = destination(here, TrueBearing::degrees(210.0), Length::nautical_miles(40.0));
    EXPECT_LT(distance(behind, ahead).metres(), tolerance_m);
}

// Lines of up to 9,000 NM: short of the antipodes, where many lines are the shortest.
RC_GTEST_PROP(LawGeodesic, GoingThereAndMeasuringGivesBearingAndLengthBack, ()) {
    const Position from = *testing::anywhere_and_at_the_edges();
    const TrueBearing initial = TrueBearing::degrees(*testing::between(0.0, 360.0));
    const Length length = Length::nautical_miles(*testing::between(0.001, 9000.0));
    const Geodesic line = geodesic(from, destination(from, initial, length));
    RC_ASSERT(std::abs((line.distance - length).metres()) < tolerance_m);
    const double reduced_m = 6371008.8 * std::sin(length.metres() / 6371008.8);
    RC_ASSERT(sideways_m(line.initial, initial.degrees(), reduced_m) < tolerance_m);
}

RC_GTEST_PROP(LawGeodesic, TheWayBackIsAsLongAndLeavesOnTheReciprocalOfTheArrival, ()) {
    const Position from = *testing::anywhere_and_at_the_edges();
    const Position to = destination(from, TrueBearing::degrees(*testing::between(0.0, 360.0)),
                                    Length::nautical_miles(*testing::between(0.001, 9000.0)));
    const Geodesic there = geodesic(from, to);
    const Geodesic back = geodesic(to, from);
    RC_ASSERT(std::abs((there.distance - back.distance).metres()) < tolerance_m);
    const double reduced_m = 6371008.8 * std::sin(there.distance.metres() / 6371008.8);
    RC_ASSERT(sideways_m(back.initial, there.arrival.reciprocal().degrees(), reduced_m) < tolerance_m);
    RC_ASSERT(sideways_m(back.arrival, there.initial.reciprocal().degrees(), reduced_m) < tolerance_m);
}

RC_GTEST_PROP(LawGeodesic, TurningTheWholeEarthChangesNoDistance, ()) {
    const Position from = *testing::anywhere_and_at_the_edges();
    const Position to = *testing::anywhere_and_at_the_edges();
    const double east = *testing::between(-360.0, 360.0);
    const auto turned = [&](Position place) {
        return Position::degrees(place.latitude_deg(), place.longitude_deg() + east);
    };
    const Length before = distance(from, to);
    const Length after = distance(turned(from), turned(to));
    RC_ASSERT(std::abs((after - before).nautical_miles()) < 1e-9);
}

// The slow, obvious way: look along the line, coarsely, then ever finer about the nearest place found. How far the least
// distance lies along a line shows in the distance only to the root of its error (0.2 m at 500 NM), so the end of the search
// balances the distances 1 km to either side, which a parabola through their squares does to a tenth of a millimetre.
struct Nearest {
    double along_m;
    double across_m;
};

Nearest nearest_by_sampling(Position from, TrueBearing initial, Position place) {
    const auto metres_at = [&](double along_m) {
        return distance(destination(from, initial, Length::metres(along_m)), place).metres();
    };
    double centre_m = 0.0;
    int samples = 200;  // to either side; at first 4,000 km, more than the tests reach
    for (double step_m = 20000.0; step_m > 1.0; step_m /= 20.0) {
        double best_m = centre_m;
        double least_m = metres_at(best_m);
        for (int i = -samples; i <= samples; ++i) {
            const double there_m = metres_at(centre_m + i * step_m);
            if (there_m < least_m) {
                least_m = there_m;
                best_m = centre_m + i * step_m;
            }
        }
        centre_m = best_m;
        samples = 20;
    }
    constexpr double reach_m = 1000.0;
    for (int i = 0; i < 5; ++i) {
        const double ahead_m = metres_at(centre_m + reach_m);
        const double here_m = metres_at(centre_m);
        const double behind_m = metres_at(centre_m - reach_m);
        const double slope = ahead_m * ahead_m - behind_m * behind_m;
        const double bend = ahead_m * ahead_m - 2.0 * here_m * here_m + behind_m * behind_m;
        centre_m -= reach_m * slope / (2.0 * bend);
    }
    return {centre_m, metres_at(centre_m)};
}

RC_GTEST_PROP(BruteAlongAcross, TheFootIsWhereSamplingTheLineFindsTheLeastDistance, ()) {
    const Position from = *testing::anywhere_and_at_the_edges();
    const TrueBearing initial = TrueBearing::degrees(*testing::between(0.0, 360.0));
    const Position to = destination(from, initial, Length::nautical_miles(*testing::between(1.0, 2000.0)));
    const Position on_line =
        destination(from, initial, Length::nautical_miles(*testing::between(-1500.0, 1500.0)));
    const Position place = destination(on_line, TrueBearing::degrees(*testing::between(0.0, 360.0)),
                                       Length::nautical_miles(*testing::between(0.0, 500.0)));
    const TrueBearing line = bearing(from, to);
    const AlongAcross found = along_across(from, to, place);
    const Nearest sampled = nearest_by_sampling(from, line, place);
    RC_ASSERT(std::abs(std::abs(found.across.metres()) - sampled.across_m) < 1e-6);
    RC_ASSERT(std::abs(found.along.metres() - sampled.along_m) < 1e-3);
}

RC_GTEST_PROP(LawAlongAcross, SquareOffTheLineGivesBothBackWithRightPositive, ()) {
    const Position from = *testing::anywhere_and_at_the_edges();
    const Length length = Length::nautical_miles(*testing::between(0.1, 2000.0));
    const Position to = destination(from, TrueBearing::degrees(*testing::between(0.0, 360.0)), length);
    const Length along = Length::nautical_miles(*testing::between(-1700.0, 1700.0));
    const Length across = Length::nautical_miles(*testing::between(-1000.0, 1000.0));
    RC_PRE(abs(along) > Length::metres(1.0));
    const Position foot = destination(from, bearing(from, to), along);
    const TrueBearing outward = bearing(from, foot);
    const Geodesic to_foot = geodesic(from, foot);
    const TrueBearing direction = along > Length() ? to_foot.arrival : to_foot.arrival.reciprocal();
    RC_ASSERT(std::abs(base::sin(outward - bearing(from, to))) < 1e-9);
    const Position place = destination(foot, direction + Angle::degrees(90.0), across);
    const AlongAcross found = along_across(from, to, place);
    RC_ASSERT(std::abs((found.along - along).metres()) < 1e-3);
    RC_ASSERT(std::abs((found.across - across).metres()) < 1e-6);
}

TEST(CaseAlongAcross, RightIsPositiveAndBehindIsNegative) {
    const Position from = Position::degrees(50.0, 10.0);
    const Position to = Position::degrees(51.0, 10.0);
    EXPECT_GT(along_across(from, to, Position::degrees(50.5, 10.1)).across, Length());
    EXPECT_LT(along_across(from, to, Position::degrees(50.5, 9.9)).across, Length());
    EXPECT_LT(along_across(from, to, Position::degrees(49.5, 10.0)).along, Length());
    EXPECT_GT(along_across(from, to, Position::degrees(52.0, 10.0)).along, distance(from, to));
    const AlongAcross at_start = along_across(from, to, from);
    EXPECT_NEAR(at_start.along.metres(), 0.0, 1e-3);
    EXPECT_NEAR(at_start.across.metres(), 0.0, 1e-6);
}

}  // namespace
}  // namespace omniway::earth
