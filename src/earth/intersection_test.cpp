#include "earth/intersection.hpp"

#include <algorithm>
#include <cmath>
#include <ostream>
#include <utility>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/random_positions.hpp"

namespace omniway::earth {

namespace {

using base::Angle;
using base::Length;
using base::TrueBearing;

/// Two stations about a place: where they stand is found from it by direct geodesics, so that the place is the answer.
struct Sighting {
    Position place;
    Position first;
    Position second;
};

void showValue(const Sighting& s, std::ostream& out) {
    rc::showValue(s.place, out << "place ");
    rc::showValue(s.first, out << " first ");
    rc::showValue(s.second, out << " second ");
}

rc::Gen<Sighting> sightings(const rc::Gen<Position>& places, double least_crossing_deg, double farthest_nm) {
    return rc::gen::apply(
        [](Position place, double direction, double crossing, bool left, double first_nm, double second_nm) {
            const auto seen = [&](double degrees, double nm) {
                return destination(place, TrueBearing::degrees(degrees), Length::nautical_miles(nm));
            };
            return Sighting{place, seen(direction, first_nm),
                            seen(direction + (left ? -crossing : crossing), second_nm)};
        },
        places, testing::between(0.0, 360.0),
        testing::between(least_crossing_deg, 180.0 - least_crossing_deg), rc::gen::arbitrary<bool>(),
        testing::between(0.1, farthest_nm), testing::between(0.1, farthest_nm));
}

double miss_mm(const std::vector<Position>& found, Position place) {
    double least = 1e12;
    for (const Position one : found) {
        least = std::min(least, distance(one, place).metres() * 1000.0);
    }
    return least;
}

// How far a found place is from where the bearing drawn from the station passes.
double off_line_mm(Position station, TrueBearing bearing, Position found) {
    const Position ahead = destination(station, bearing, Length::nautical_miles(60.0));
    return std::abs(along_across(station, ahead, found).across.metres()) * 1000.0;
}

double off_circle_mm(Position centre, Length range, Position found) {
    return std::abs((distance(centre, found) - range).metres()) * 1000.0;
}

std::optional<Position> sight(const Sighting& s) {
    return intersect(s.first, bearing(s.first, s.place), s.second, bearing(s.second, s.place));
}

// Aviation Formulary v1.46, "Intersecting radials", worked on a sphere: 42.600 N 117.866 W on 051 and 44.840 N 117.806 W on 137
// meet at 43.572 N 116.189 W. The sphere's lines and angles differ from the ellipsoid's by the flattening, 1/298, of the
// lengths between, here at most 135 NM: 0.45 NM.
TEST(TruthIntersection, TwoBearingsMeetWhereTheSphericalExampleSaysToTheFlattening) {
    const auto found = intersect(Position::degrees(42.600, -117.866), TrueBearing::degrees(51.0),
                                 Position::degrees(44.840, -117.806), TrueBearing::degrees(137.0));
    ASSERT_TRUE(found);
    EXPECT_LT(distance(*found, Position::degrees(43.572, -116.189)).nautical_miles(), 135.0 / 298.0);
}

// The same example's distances, 0.027290 and 0.029986 radians, as two DME readings; the second meeting is its mirror image.
TEST(TruthIntersection, TwoDistancesMeetWhereTheSphericalExampleSaysToTheFlattening) {
    constexpr double nm_per_radian = 10800.0 / 3.14159265358979;
    const auto found =
        intersect(Position::degrees(42.600, -117.866), Length::nautical_miles(0.027290 * nm_per_radian),
                  Position::degrees(44.840, -117.806), Length::nautical_miles(0.029986 * nm_per_radian));
    ASSERT_EQ(found.size(), 2U);
    // Second, for it lies right (east) of the line north from the first station.
    EXPECT_LT(distance(found[1], Position::degrees(43.572, -116.189)).nautical_miles(), 135.0 / 298.0);
    EXPECT_LT(found[0].longitude_deg(), -118.0);
}

// Symmetry, no formula: the equator and a meridian are geodesics of any ellipsoid of revolution.
TEST(TruthIntersection, TheEquatorAndAMeridianMeetOnBoth) {
    const auto found = intersect(Position::degrees(0.0, 170.0), TrueBearing::degrees(90.0),
                                 Position::degrees(25.0, -179.0), TrueBearing::degrees(180.0));
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->latitude_deg(), 0.0, 1e-9);
    EXPECT_NEAR(found->longitude_deg(), -179.0, 1e-9);
}

TEST(TruthIntersection, TwoMeridiansMeetAtThePole) {
    const auto found = intersect(Position::degrees(80.0, 10.0), TrueBearing::degrees(0.0),
                                 Position::degrees(70.0, 100.0), TrueBearing::degrees(0.0));
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->latitude_deg(), 90.0, 1e-9);
}

RC_GTEST_PROP(LawTwoBearings, MeetAtThePlaceBothWereTakenOf, ()) {
    const Sighting s = *sightings(testing::anywhere(), 0.02, 4900.0);
    const auto found = sight(s);
    RC_ASSERT(found.has_value());
    RC_ASSERT(distance(*found, s.place) < Length::metres(0.001));
}

RC_GTEST_PROP(LawTwoBearings, MeetAcrossTheAntimeridian, ()) {
    const Sighting s = *sightings(testing::near_the_antimeridian(), 0.02, 400.0);
    const auto found = sight(s);
    RC_ASSERT(found.has_value());
    RC_ASSERT(distance(*found, s.place) < Length::metres(0.001));
}

RC_GTEST_PROP(LawTwoBearings, MeetWithinADegreeOfThePoles, ()) {
    const Sighting s = *sightings(testing::near_a_pole(), 0.02, 400.0);
    const auto found = sight(s);
    RC_ASSERT(found.has_value());
    RC_ASSERT(distance(*found, s.place) < Length::metres(0.001));
}

RC_GTEST_PROP(LawTwoBearings, MeetInTheSamePlaceWhicheverIsNamedFirst, ()) {
    const Sighting s = *sightings(testing::anywhere_and_at_the_edges(), 1.0, 3000.0);
    const TrueBearing of_first = bearing(s.first, s.place);
    const TrueBearing of_second = bearing(s.second, s.place);
    const auto one = intersect(s.first, of_first, s.second, of_second);
    const auto other = intersect(s.second, of_second, s.first, of_first);
    RC_ASSERT(one.has_value());
    RC_ASSERT(other.has_value());
    RC_ASSERT(distance(*one, *other) < Length::metres(0.001));
}

// Random bearings, whether they meet or not: an answer lies on both rays and before both stations.
RC_GTEST_PROP(LawTwoBearings, AnyAnswerLiesOnBothRays, ()) {
    const Position first = *testing::anywhere_and_at_the_edges();
    const Position second = destination(first, TrueBearing::degrees(*testing::between(0.0, 360.0)),
                                        Length::nautical_miles(*testing::between(0.01, 2000.0)));
    const TrueBearing of_first = TrueBearing::degrees(*testing::between(0.0, 360.0));
    const TrueBearing of_second = TrueBearing::degrees(*testing::between(0.0, 360.0));
    const auto found = intersect(first, of_first, second, of_second);
    if (!found) {
        return;
    }
    for (const auto& [station, ray] : {std::pair{first, of_first}, std::pair{second, of_second}}) {
        const Geodesic line = geodesic(station, *found);
        RC_ASSERT(line.distance < Length::nautical_miles(5000.1));
        RC_ASSERT((line.distance < Length::metres(1.0) || base::cos(line.initial - ray) > 0.0));
        const double off_m = line.distance.metres() * std::abs(base::sin(line.initial - ray));
        RC_ASSERT(off_m < 0.001);
    }
}

// The slow way to know whether two short rays meet: walk along the first and see the side of the second change.
RC_GTEST_PROP(BruteTwoBearings, MeetExactlyWhereWalkingOneRayCrossesTheOther, ()) {
    const Position first = *testing::anywhere_and_at_the_edges();
    const Position second = destination(first, TrueBearing::degrees(*testing::between(0.0, 360.0)),
                                        Length::nautical_miles(*testing::between(5.0, 200.0)));
    const TrueBearing of_first = TrueBearing::degrees(*testing::between(0.0, 360.0));
    const TrueBearing of_second = TrueBearing::degrees(*testing::between(0.0, 360.0));
    constexpr double reach_nm = 600.0;
    constexpr int steps = 600;
    std::optional<double> crossed_nm;
    std::optional<double> before_deg;
    for (int i = 0; i <= steps; ++i) {
        const double along_nm = reach_nm * i / steps;
        const Position here = destination(first, of_first, Length::nautical_miles(along_nm));
        const double off_deg = (bearing(second, here) - of_second).degrees();
        const bool is_ahead = std::abs(off_deg) < 90.0;
        if (is_ahead && before_deg && *before_deg * off_deg < 0.0) {
            crossed_nm = along_nm;
            break;
        }
        before_deg = is_ahead ? std::optional(off_deg) : std::nullopt;
    }
    const auto found = intersect(first, of_first, second, of_second);
    // Not judged: meetings within two steps of either end or of the second station, where sampling is too coarse to tell.
    if (found) {
        const double along_nm = distance(first, *found).nautical_miles();
        RC_PRE(along_nm > 2.0 && distance(second, *found).nautical_miles() > 2.0);
        if (along_nm < reach_nm - 2.0) {
            RC_ASSERT(crossed_nm.has_value());
            RC_ASSERT(std::abs(*crossed_nm - along_nm) <= 1.0 + 1e-6);
        }
    } else {
        RC_ASSERT(crossed_nm.value_or(0.0) <= 2.0);
    }
}

TEST(CaseTwoBearings, ThatDivergeDoNotMeet) {
    EXPECT_FALSE(intersect(Position::degrees(45.0, 7.0), TrueBearing::degrees(300.0),
                           Position::degrees(45.0, 8.0), TrueBearing::degrees(60.0)));
}

TEST(CaseTwoBearings, DoNotMeetBehindAStation) {
    const Position first = Position::degrees(45.0, 7.0);
    const Position second = Position::degrees(45.0, 8.0);
    const auto ahead = intersect(first, TrueBearing::degrees(45.0), second, TrueBearing::degrees(315.0));
    ASSERT_TRUE(ahead);
    EXPECT_FALSE(intersect(first, TrueBearing::degrees(225.0), second, TrueBearing::degrees(315.0)));
    EXPECT_FALSE(intersect(first, TrueBearing::degrees(45.0), second, TrueBearing::degrees(135.0)));
    EXPECT_FALSE(intersect(first, TrueBearing::degrees(225.0), second, TrueBearing::degrees(135.0)));
}

// One thousand miles away, from stations 300 m apart square to the line: 0.009 degrees of crossing.
TEST(CaseTwoBearings, WithinAHundredthOfADegreeOfParallelHaveNoMeeting) {
    const Position place = Position::degrees(30.0, -179.9);
    const Position first = destination(place, TrueBearing::degrees(70.0), Length::nautical_miles(1000.0));
    const TrueBearing sideways = bearing(first, place) + Angle::degrees(90.0);
    const auto crossing = [&](double metres) {
        const Position second = destination(first, sideways, Length::metres(metres));
        return sight({place, first, second});
    };
    EXPECT_FALSE(crossing(300.0));
    EXPECT_TRUE(crossing(400.0));
}

TEST(CaseTwoBearings, OnOneLineHaveNoMeeting) {
    const Position first = Position::degrees(60.0, 179.5);
    const Position second = Position::degrees(61.0, -178.0);
    const Geodesic line = geodesic(first, second);
    EXPECT_FALSE(intersect(first, line.initial, second, line.arrival));
    EXPECT_FALSE(intersect(first, line.initial, second, line.arrival.reciprocal()));
    EXPECT_FALSE(intersect(first, line.initial.reciprocal(), second, line.arrival));
}

TEST(CaseTwoBearings, OfOneStationMeetThereUnlessTheyAreTheSame) {
    const Position station = Position::degrees(-12.0, 33.0);
    const auto found = intersect(station, TrueBearing::degrees(10.0), station, TrueBearing::degrees(80.0));
    ASSERT_TRUE(found);
    EXPECT_EQ(*found, station);
    EXPECT_FALSE(intersect(station, TrueBearing::degrees(10.0), station, TrueBearing::degrees(10.0)));
}

TEST(CaseTwoBearings, ARayThroughTheOtherStationMeetsItThere) {
    const Position first = Position::degrees(47.0, 8.0);
    const Position second = Position::degrees(48.0, 9.5);
    const auto found = intersect(first, bearing(first, second), second, TrueBearing::degrees(200.0 + 90.0));
    ASSERT_TRUE(found);
    EXPECT_LT(distance(*found, second), Length::metres(0.001));
}

TEST(CaseTwoBearings, FartherThanFiveThousandMilesIsNoMeeting) {
    const auto crossing = [](double nm) {
        return intersect(Position::degrees(0.0, 0.0), TrueBearing::degrees(90.0),
                         Position::degrees(20.0, nm / 60.0), TrueBearing::degrees(180.0));
    };
    EXPECT_TRUE(crossing(4900.0));
    EXPECT_FALSE(crossing(5100.0));
}

// A range so chosen that the place is on the circle; where the ray touches the circle its place along the ray is told only to
// the root of the rounding, so both lines are asked, not the place.
RC_GTEST_PROP(LawBearingAndDistance, TheAnswersLieOnTheRayAndAtTheRange, ()) {
    const Position station = *testing::anywhere_and_at_the_edges();
    const TrueBearing ray = TrueBearing::degrees(*testing::between(0.0, 360.0));
    const Position place = destination(station, ray, Length::nautical_miles(*testing::between(0.5, 2000.0)));
    const Position centre = destination(place, TrueBearing::degrees(*testing::between(0.0, 360.0)),
                                        Length::nautical_miles(*testing::between(0.1, 1000.0)));
    const Length range = distance(centre, place);
    const auto found = intersect(station, ray, centre, range);
    RC_ASSERT(!found.empty());
    for (const Position one : found) {
        RC_ASSERT(off_line_mm(station, ray, one) < 1.0);
        RC_ASSERT(off_circle_mm(centre, range, one) < 1.0);
        RC_ASSERT(
            (base::cos(bearing(station, one) - ray) > 0.0 || distance(station, one) < Length::metres(1.0)));
    }
    if (found.size() == 2U) {
        RC_ASSERT(distance(station, found[0]) < distance(station, found[1]));
    }
    const Geodesic to_place = geodesic(station, place);
    const double touching = std::abs(base::cos(to_place.arrival - geodesic(centre, place).arrival));
    if (touching > base::sin(Angle::degrees(0.3))) {
        RC_ASSERT(miss_mm(found, place) < 1.0);
    }
}

// The slow way: walk along the ray and count how often the distance passes the range.
RC_GTEST_PROP(BruteBearingAndDistance, ThereAreAsManyAnswersAsWalkingTheRayCounts, ()) {
    const Position station = *testing::anywhere_and_at_the_edges();
    const TrueBearing ray = TrueBearing::degrees(*testing::between(0.0, 360.0));
    const Position centre = destination(station, TrueBearing::degrees(*testing::between(0.0, 360.0)),
                                        Length::nautical_miles(*testing::between(0.0, 150.0)));
    const Length range = Length::nautical_miles(*testing::between(1.0, 150.0));
    const AlongAcross foot =
        along_across(station, destination(station, ray, Length::nautical_miles(60.0)), centre);
    // Not judged: touching within a step, or the circle passing within a step of the station.
    RC_PRE(abs(abs(foot.across) - range) > Length::nautical_miles(0.1));
    RC_PRE(abs(distance(station, centre) - range) > Length::nautical_miles(0.1));
    std::size_t counted = 0;
    bool was_inside = distance(station, centre) < range;
    for (double along_nm = 0.0; along_nm < 320.0; along_nm += 0.2) {
        const Position here = destination(station, ray, Length::nautical_miles(along_nm));
        const bool is_inside = distance(here, centre) < range;
        counted += is_inside != was_inside ? 1U : 0U;
        was_inside = is_inside;
    }
    RC_ASSERT(intersect(station, ray, centre, range).size() == counted);
}

TEST(CaseBearingAndDistance, OfOneStationIsASinglePlace) {
    const Position station = Position::degrees(52.0, -179.95);
    const auto found = intersect(station, TrueBearing::degrees(280.0), station, Length::nautical_miles(25.0));
    ASSERT_EQ(found.size(), 1U);
    EXPECT_LT(miss_mm(found, destination(station, TrueBearing::degrees(280.0), Length::nautical_miles(25.0))),
              1.0);
}

TEST(CaseBearingAndDistance, ACircleBehindTheStationIsNotMet) {
    const Position station = Position::degrees(52.0, 4.0);
    const Position behind = destination(station, TrueBearing::degrees(180.0), Length::nautical_miles(50.0));
    EXPECT_TRUE(intersect(station, TrueBearing::degrees(0.0), behind, Length::nautical_miles(20.0)).empty());
}

TEST(CaseBearingAndDistance, ACircleBesideTheRayIsNotMet) {
    const Position station = Position::degrees(52.0, 4.0);
    const Position aside = destination(station, TrueBearing::degrees(60.0), Length::nautical_miles(50.0));
    EXPECT_TRUE(intersect(station, TrueBearing::degrees(0.0), aside, Length::nautical_miles(40.0)).empty());
}

TEST(CaseBearingAndDistance, ARayThatTouchesTheCircleMeetsItOnce) {
    const Position station = Position::degrees(10.0, 20.0);
    const TrueBearing ray = TrueBearing::degrees(75.0);
    const Position foot = destination(station, ray, Length::nautical_miles(40.0));
    const Position centre = destination(foot, geodesic(station, foot).arrival + Angle::degrees(90.0),
                                        Length::nautical_miles(12.0));
    const AlongAcross exact = along_across(station, foot, centre);
    const auto found = intersect(station, ray, centre, exact.across);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_LT(off_circle_mm(centre, exact.across, found[0]), 1.0);
    EXPECT_NEAR(distance(station, found[0]).nautical_miles(), 40.0, 1e-4);
}

TEST(CaseBearingAndDistance, ARangeNotAboveZeroIsNoCircle) {
    const Position station = Position::degrees(10.0, 20.0);
    EXPECT_TRUE(intersect(station, TrueBearing::degrees(75.0), station, Length()).empty());
    EXPECT_TRUE(
        intersect(station, TrueBearing::degrees(75.0), station, Length::nautical_miles(-3.0)).empty());
}

RC_GTEST_PROP(LawTwoDistances, BothAnswersLieAtBothRangesWithTheLeftOneFirst, ()) {
    const Sighting s = *sightings(testing::anywhere_and_at_the_edges(), 0.0, 1500.0);
    const Length first_range = distance(s.first, s.place);
    const Length second_range = distance(s.second, s.place);
    RC_PRE(distance(s.first, s.second) > Length::metres(100.0));
    const auto found = intersect(s.first, first_range, s.second, second_range);
    const double crossing = std::abs(base::sin(bearing(s.place, s.first) - bearing(s.place, s.second)));
    const bool crosses = crossing > base::sin(Angle::degrees(0.3));
    // Circles that touch meet once; those that cross, twice, and once of these at the place.
    if (crosses) {
        RC_ASSERT(found.size() == 2U);
        RC_ASSERT(miss_mm(found, s.place) < 1.0);
    }
    for (const Position one : found) {
        RC_ASSERT(off_circle_mm(s.first, first_range, one) < 1.0);
        RC_ASSERT(off_circle_mm(s.second, second_range, one) < 1.0);
    }
    if (found.size() == 2U) {
        RC_ASSERT(along_across(s.first, s.second, found[0]).across <
                  along_across(s.first, s.second, found[1]).across);
    }
}

// The slow way: walk round the first circle and count how often the distance from the second station passes its range.
RC_GTEST_PROP(BruteTwoDistances, ThereAreAsManyAnswersAsWalkingTheCircleCounts, ()) {
    const Position first = *testing::anywhere_and_at_the_edges();
    const Position second = destination(first, TrueBearing::degrees(*testing::between(0.0, 360.0)),
                                        Length::nautical_miles(*testing::between(1.0, 300.0)));
    const Length first_range = Length::nautical_miles(*testing::between(1.0, 200.0));
    const Length second_range = Length::nautical_miles(*testing::between(1.0, 200.0));
    std::size_t counted = 0;
    constexpr int steps = 720;
    for (int i = 0; i < steps; ++i) {
        const auto is_inside = [&](int step) {
            const Position here = destination(first, TrueBearing::degrees(360.0 * step / steps), first_range);
            return distance(here, second) < second_range;
        };
        counted += is_inside(i) != is_inside(i + 1) ? 1U : 0U;
    }
    const auto found = intersect(first, first_range, second, second_range);
    // Not judged: circles that all but touch, where both passings fall into one step.
    if (found.size() == 2U) {
        RC_PRE(distance(found[0], found[1]) > 2.0 * 3.1416 / steps * first_range);
    }
    RC_ASSERT(found.size() == counted);
}

TEST(CaseTwoDistances, ThatDoNotReachEachOtherDoNotMeet) {
    const Position first = Position::degrees(45.0, 7.0);
    const Position second = Position::degrees(45.0, 9.0);
    EXPECT_TRUE(intersect(first, Length::nautical_miles(40.0), second, Length::nautical_miles(40.0)).empty());
    EXPECT_TRUE(
        intersect(first, Length::nautical_miles(200.0), second, Length::nautical_miles(40.0)).empty());
}

TEST(CaseTwoDistances, AboutOneCentreDoNotMeet) {
    const Position centre = Position::degrees(45.0, 7.0);
    EXPECT_TRUE(
        intersect(centre, Length::nautical_miles(40.0), centre, Length::nautical_miles(40.0)).empty());
}

TEST(CaseTwoDistances, OfWhichOneIsNotAboveZeroDoNotMeet) {
    const Position first = Position::degrees(45.0, 7.0);
    const Position second = Position::degrees(45.0, 8.0);
    EXPECT_TRUE(intersect(first, Length(), second, distance(first, second)).empty());
    EXPECT_TRUE(intersect(first, distance(first, second), second, Length::nautical_miles(-1.0)).empty());
}

TEST(CaseTwoDistances, ThatTouchMeetOnceBetweenTheStations) {
    const Position first = Position::degrees(-70.0, 179.0);
    const Position middle = destination(first, TrueBearing::degrees(100.0), Length::nautical_miles(30.0));
    const Position second = destination(first, TrueBearing::degrees(100.0), Length::nautical_miles(75.0));
    const Length first_range = Length::nautical_miles(30.0);
    const auto found = intersect(first, first_range, second, distance(first, second) - first_range);
    ASSERT_EQ(found.size(), 1U);
    EXPECT_LT(miss_mm(found, middle), 1.0);
}

TEST(CaseTwoDistances, OfWhichOneTouchesTheOtherFromInsideMeetOnce) {
    const Position first = Position::degrees(10.0, 20.0);
    const TrueBearing line = TrueBearing::degrees(40.0);
    const Position second = destination(first, line, Length::nautical_miles(20.0));
    const Position beyond = destination(first, line, Length::nautical_miles(50.0));
    const Position behind = destination(first, line, Length::nautical_miles(-10.0));
    const auto larger_first =
        intersect(first, Length::nautical_miles(50.0), second, distance(second, beyond));
    ASSERT_EQ(larger_first.size(), 1U);
    EXPECT_LT(miss_mm(larger_first, beyond), 1.0);
    const auto larger_second =
        intersect(first, Length::nautical_miles(10.0), second, distance(second, behind));
    ASSERT_EQ(larger_second.size(), 1U);
    EXPECT_LT(miss_mm(larger_second, behind), 1.0);
}

}  // namespace

}  // namespace omniway::earth
