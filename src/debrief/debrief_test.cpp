#include "debrief/debrief.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <numbers>

#include <gtest/gtest.h>

#include "tests/drawn_flight.hpp"

namespace omniway::debrief {

using base::Altitude;
using base::Duration;
using base::Length;
using base::TrueBearing;
using omniway::testing::At;
using omniway::testing::DrawnFlight;

namespace {

constexpr double degree = std::numbers::pi / 180.0;
constexpr double noon_s = 43200.0;
const omniway::testing::VorDrawn far_reaching{.service = navdata::ServiceClass::high,
                                              .dme = navdata::ServiceClass::high};

/// A track made point by point from geodesics, which is what it is measured against.
class Recorder {
public:
    explicit Recorder(DrawnFlight& drawn) : drawn_(drawn) {}

    void at(earth::Position place, double altitude_ft = 6000.0) {
        earth::TrackPoint point;
        point.time = Duration(noon_s + time_s);
        point.place = place;
        point.altitude = Altitude::feet(altitude_ft);
        track.points.push_back(point);
        time_s += 1.0;
    }
    /// Along the geodesic from one place of the drawing toward another, so many miles from its beginning to so many, held off to the right; at
    /// two miles a minute.
    void along(
        At from, At toward, double first_nm, double last_nm, double right_nm = 0.0,
        const std::function<double(double)>& altitude_ft = [](double) { return 6000.0; }) {
        const earth::Position begin = drawn_.place(from);
        const TrueBearing course = earth::bearing(begin, drawn_.place(toward));
        const double sign = last_nm < first_nm ? -1.0 : 1.0;
        for (double nm = first_nm; sign * (last_nm - nm) > 0.0; nm += sign / 30.0) {
            const earth::Position foot = earth::destination(begin, course, Length::nautical_miles(nm));
            // Square to the geodesic where it is.
            const TrueBearing here = earth::bearing(foot, begin);
            at(right_nm == 0.0
                   ? foot
                   : earth::destination(foot, here + base::Angle::degrees(nm > 0.0 ? -90.0 : 90.0),
                                        Length::nautical_miles(right_nm)),
               altitude_ft(nm));
        }
    }
    earth::FlownTrack track;
    double time_s = 0.0;

private:
    DrawnFlight& drawn_;
};

/// From AAA along its radial 090 to FIX at 60 NM, told by DME.
void along_a_radial(DrawnFlight& drawn) {
    drawn.sketch.vor("AAA", {0, 0}, far_reaching);
    drawn.build({1, 0});
    auto& leg = drawn.leg({1, 0}, {60, 0}, drawn.outbound("AAA", {60, 0}));
    leg.ending =
        drawn.told("FIX", {60, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(60.0), true});
    drawn.compiled();
}

base::Result<Debrief> laid(DrawnFlight& drawn, const earth::FlownTrack& track) {
    return debrief(drawn.day(), drawn.flight(), drawn.made().track, drawn.made().card, track);
}

bool has(const Debrief& found, Exercise exercise) {
    return std::any_of(found.practise.begin(), found.practise.end(),
                       [&](const Practice& practice) { return practice.exercise == exercise; });
}

}  // namespace

// A parallel of the radial: its distance is what it was drawn with, its angle at the aid asin(aside / distance), its needle that by ten degrees.
TEST(TruthDebrief, ATrackBesideTheRadialIsThatFarBeside) {
    for (const double right_nm : {-1.5, 0.8}) {
        DrawnFlight drawn;
        along_a_radial(drawn);
        Recorder flown(drawn);
        flown.along({0, 0}, {60, 0}, 20.0, 59.0, right_nm);
        const auto found = laid(drawn, flown.track);
        ASSERT_TRUE(found);
        const StepDebriefed& step = found->steps.front();
        ASSERT_TRUE(step.flown && step.side && step.side->degrees && step.side->of_full_scale);
        EXPECT_NEAR(step.side->aside.mean.nautical_miles(), right_nm, 0.02);
        EXPECT_NEAR(step.side->aside.worst.nautical_miles(), right_nm, 0.03);
        EXPECT_NEAR(step.side->aside.within_95.nautical_miles(), std::abs(right_nm), 0.03);
        // At worst where it is nearest to the aid: the place stands square to the line twenty miles out.
        const double worst_deg = std::atan(right_nm / 20.0) / degree;
        EXPECT_NEAR(step.side->degrees->worst.degrees(), worst_deg, 0.1);
        // The needle stands where the line lies: to the other side. The card's course is a whole degree.
        EXPECT_NEAR(step.side->of_full_scale->worst, -worst_deg / 10.0, 0.06);
        EXPECT_NEAR(step.side->led_off.degrees(), 0.0, 0.2);
        EXPECT_DOUBLE_EQ(step.side->inside_primary, 1.0);
        EXPECT_NEAR(step.groundspeed->knots(), 120.0, 1.0);
        EXPECT_NEAR(step.distance.nautical_miles(), 39.0, 0.3);
        ASSERT_TRUE(step.guide);
        EXPECT_DOUBLE_EQ(step.guide->heard_share, 1.0);
        EXPECT_DOUBLE_EQ(step.guide->arrows_share, 1.0);
    }
}

// Three degrees off the radial: three degrees everywhere, and it leads three degrees off; outside 4 NM from where 4 / sin 3 = 76 NM would be,
// so never here.
TEST(TruthDebrief, AnotherRadialIsSoManyDegreesOff) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    const At other{60.0 * std::cos(3.0 * degree), -60.0 * std::sin(3.0 * degree)};
    flown.along({0, 0}, other, 5.0, 59.0);
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    const auto& side = *found->steps.front().side;
    EXPECT_NEAR(side.degrees->mean.degrees(), 3.0, 0.1);
    EXPECT_NEAR(side.degrees->worst.degrees(), 3.0, 0.1);
    EXPECT_NEAR(side.of_full_scale->mean, -0.3, 0.06);
    EXPECT_NEAR(side.led_off.degrees(), 3.0, 0.2);
    EXPECT_NEAR(side.aside.worst.nautical_miles(), 59.0 * std::sin(3.0 * degree), 0.05);
}

// From the station along a geodesic so many degrees beside the radial that is set: the needle stands there all along. On the radial 093 with 090 set and FROM
// shown it is three degrees to the left, of the ten that a VOR's scale has (FAA-H-8083-16, Instrument Procedures Handbook: 2 degrees a dot, 5 dots).
TEST(TruthDebrief, TheNeedleOfEachMomentIsWhereTheGeodesicHasIt) {
    for (const double off_deg : {-7.0, -1.5, 3.0, 8.0}) {
        DrawnFlight drawn;
        along_a_radial(drawn);
        Recorder flown(drawn);
        const At other{60.0 * std::cos(off_deg * degree), -60.0 * std::sin(off_deg * degree)};
        flown.along({0, 0}, other, 5.0, 45.0);
        const auto found = laid(drawn, flown.track);
        ASSERT_TRUE(found);
        const auto& set = std::get<flight::FollowRadial>(drawn.made().card.steps.front().guidance);
        const auto* aid = navdata::vor(drawn.station("AAA"));
        const double radial_deg =
            base::to_radial(earth::bearing(aid->position, drawn.place(other)), aid->declination).degrees();
        const double left_deg = std::remainder(radial_deg - set.course.degrees(), 360.0);
        EXPECT_NEAR(left_deg, off_deg, 0.6) << "as it was drawn, but for the card's whole degrees";
        ASSERT_GT(found->moments.size(), 100U);
        for (const MomentFlown& moment : found->moments) {
            ASSERT_TRUE(moment.needle);
            EXPECT_NEAR(moment.needle->deflection.degrees(), -left_deg, 0.02);
            EXPECT_NEAR(moment.needle->of_full_scale(), -left_deg / 10.0, 0.002);
        }
    }
}

// Toward a localizer's antenna along a geodesic so many degrees beside its course. Flown inbound to the left of it (seen from the antenna its bearing is the
// greater), the line lies to the right. Full scale is 350 ft to either side at the threshold (trade-facts 4, seen), as seen from the antenna.
TEST(TruthDebrief, TheNeedleOfALocalizerIsWhereTheGeodesicHasIt) {
    for (const double off_deg : {-2.0, -0.5, 1.0, 2.2}) {
        DrawnFlight drawn;
        drawn.onto_an_ils({.begin = {-18.5, -3.0}});
        drawn.compiled();
        const earth::Position antenna = navdata::site(drawn.station("IAAA"));
        const earth::Position threshold = drawn.place({-3000.0 / 6076.1, -3.0});
        const TrueBearing back = earth::bearing(antenna, threshold);
        Recorder flown(drawn);
        for (double nm = 18.0; nm > 7.0; nm -= 1.0 / 30.0) {
            flown.at(earth::destination(antenna, back + base::Angle::degrees(off_deg),
                                        Length::nautical_miles(nm)));
        }
        const auto found = laid(drawn, flown.track);
        ASSERT_TRUE(found);
        const double full_deg = std::atan(350.0 / earth::distance(antenna, threshold).feet()) / degree;
        ASSERT_GT(found->moments.size(), 30U);
        for (const MomentFlown& moment : found->moments) {
            ASSERT_TRUE(moment.needle);
            EXPECT_NEAR(moment.needle->deflection.degrees(), off_deg, 0.02);
            EXPECT_NEAR(moment.needle->of_full_scale(), off_deg / full_deg, 0.01);
        }
    }
}

// From side to side across the radial in a quarter of a minute: nothing of its needle is passed over, and however long that goes on there is an end to what is told.
TEST(LawDebrief, WhatIsToldOfTheNeedleFollowsItAndIsBounded) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    const earth::Position begin = drawn.place({0, 0});
    const TrueBearing course = earth::bearing(begin, drawn.place({60, 0}));
    constexpr int seconds = 1500;
    for (int second = 0; second < seconds; ++second) {
        const double swings_deg = 4.0 * std::sin(second * 2.0 * std::numbers::pi / 30.0);
        flown.at(earth::destination(begin, course + base::Angle::degrees(swings_deg),
                                    Length::nautical_miles(8.0 + second / 30.0)));
    }
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    EXPECT_LE(found->moments.size(), 600U + seconds / 10U + 2U);
    EXPECT_GT(found->moments.size(), 600U);
    for (std::size_t i = 1; i < 500; ++i) {
        ASSERT_TRUE(found->moments[i].needle && found->moments[i - 1].needle);
        // A second of that swing is 0.84 degrees at most, and a twentieth of full scale half a degree.
        EXPECT_LE(std::abs(found->moments[i].needle->of_full_scale() -
                           found->moments[i - 1].needle->of_full_scale()),
                  0.05 + 0.084 + 1e-6);
    }
}

// Four degrees off for 59 miles ends 4.1 NM aside, the protected width being 4 NM there (trade-facts 3.3): the last of it is outside.
TEST(TruthDebrief, OutsideTheProtectedWidthIsTold) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    constexpr double off = 6.0 * degree;
    flown.along({0, 0}, {60.0 * std::cos(off), 60.0 * std::sin(off)}, 5.0, 59.0);
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    // 4 NM beside at 4 / sin 6 = 38.3 NM; beyond 51 NM the width grows by 4.5 degrees, less than the six.
    EXPECT_NEAR(found->steps.front().side->inside_primary, (38.3 - 5.0) / 54.0, 0.02);
    EXPECT_TRUE(has(*found, Exercise::hold_the_line));
}

// The turn at the fix, begun 0.7 NM beyond it at two miles a minute: 21 seconds. The DME reads the slant range of 30.7 NM from 6,000 ft: 30.7.
TEST(TruthDebrief, ALateTurnIsLateByItsWay) {
    DrawnFlight drawn;
    drawn.sketch.vor("AAA", {0, 0}, far_reaching).vor("BBB", {30, 40}, far_reaching);
    drawn.build({1, 0});
    drawn.leg({1, 0}, {30, 0}, drawn.outbound("AAA", {30, 0})).ending =
        drawn.told("TURN", {30, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(30.0), true});
    const auto* other = navdata::vor(drawn.station("BBB"));
    auto& leg = drawn.leg(
        {30, 0}, {30, 39},
        procedure::OnRadial{
            drawn.at("BBB"), true,
            base::to_radial(earth::bearing(other->position, drawn.place({30, 0})), other->declination)
                .reciprocal()});
    leg.ending = drawn.told("BBB", {30, 40}, fixing::Overhead{drawn.at("BBB")});
    drawn.compiled();
    Recorder flown(drawn);
    flown.along({0, 0}, {60, 0}, 2.0, 30.7);
    // A quarter circle of standard rate to the left, then back to the line and along it.
    double track_deg = 90.0;
    earth::Position place = flown.track.points.back().place;
    while (track_deg > 0.0) {
        track_deg -= 3.0;
        place =
            earth::destination(place, TrueBearing::degrees(track_deg), Length::nautical_miles(1.0 / 30.0));
        flown.at(place);
    }
    while (track_deg > -20.0) {
        track_deg -= 3.0;
        place =
            earth::destination(place, TrueBearing::degrees(track_deg), Length::nautical_miles(1.0 / 30.0));
        flown.at(place);
    }
    for (int i = 0; i < 120; ++i) {
        place =
            earth::destination(place, TrueBearing::degrees(track_deg), Length::nautical_miles(1.0 / 30.0));
        flown.at(place);
    }
    const double north_nm =
        earth::along_across(drawn.place({30, 0}), drawn.place({30, 40}), place).along.nautical_miles();
    flown.along({30, 0}, {30, 40}, north_nm, 39.0);
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    ASSERT_EQ(found->steps.size(), 2U);
    const StepDebriefed& first = found->steps[0];
    ASSERT_TRUE(first.fix && first.fix->turned_after);
    EXPECT_NEAR(first.fix->missed_by.nautical_miles(), 0.0, 0.03);
    EXPECT_NEAR(first.fix->at.count(), noon_s + 28.0 * 30.0, 2.0);
    EXPECT_NEAR(first.fix->turned_after->count(), 21.0, 4.0);
    ASSERT_TRUE(first.end && std::holds_alternative<ReadingEnd>(*first.end));
    EXPECT_NEAR(std::get<ReadingEnd>(*first.end).shown.nautical_miles(), 30.7, 0.15);
    // It leaves the turn 0.7 NM and a radius of 0.64 to the right of the line.
    EXPECT_NEAR(found->steps[1].side->aside.worst.nautical_miles(), 1.34, 0.15);
}

TEST(TruthDebrief, AltitudesAreToldAgainstTheCard) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    // 6,000 ft is the card's; for five miles 180 ft low.
    flown.along({0, 0}, {60, 0}, 2.0, 59.0, 0.0,
                [](double nm) { return nm > 20.0 && nm < 25.0 ? 5820.0 : 6000.0; });
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    const auto& heights = *found->steps.front().heights;
    ASSERT_TRUE(heights.off_level);
    EXPECT_NEAR(heights.off_level->worst.feet(), -180.0, 1.0);
    EXPECT_NEAR(heights.off_by_100_ft.count(), 5.0 * 30.0, 3.0);
    EXPECT_NEAR(heights.off_level->mean.feet(), -180.0 * 5.0 / 57.0, 1.0);
    EXPECT_EQ(heights.below_minimum, Length());
    ASSERT_FALSE(found->practise.empty());
    EXPECT_EQ(found->practise.front().exercise, Exercise::hold_the_altitude);
    EXPECT_NEAR(found->practise.front().times_allowed, 1.8, 0.05);
}

TEST(CaseDebrief, BelowTheMinimumIsTold) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    flown.along({0, 0}, {60, 0}, 2.0, 59.0, 0.0, [](double nm) { return nm > 40.0 ? 2600.0 : 6000.0; });
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    EXPECT_NEAR(found->steps.front().heights->below_minimum.feet(), 400.0, 1.0);
    EXPECT_TRUE(has(*found, Exercise::keep_the_minimum));
}

// A circuit in still air: half a circle, a minute, half a circle, a minute (trade-facts 8.2): 60 seconds inbound.
TEST(TruthDebrief, AHoldIsTimedInbound) {
    const auto held = [](double outbound_s) {
        DrawnFlight drawn;
        drawn.sketch.vor("AAA", {0, 0}, far_reaching);
        drawn.toward_a_hold("AAA", false);
        drawn.compiled();
        Recorder flown(drawn);
        flown.along({-20, 0}, {0, 0}, 0.5, 20.0);
        for (int circuit = 0; circuit < 2; ++circuit) {
            earth::Position place = drawn.place({0, 0});
            double track_deg = 90.0;
            const auto go = [&](double seconds, double rate) {
                for (double t = 0.0; t < seconds; t += 1.0) {
                    track_deg += rate;
                    place = earth::destination(place, TrueBearing::degrees(track_deg),
                                               Length::nautical_miles(1.0 / 30.0));
                    flown.at(place);
                }
            };
            go(60.0, 3.0);
            go(outbound_s, 0.0);
            go(60.0, 3.0);
            go(outbound_s, 0.0);
        }
        auto found = laid(drawn, flown.track);
        EXPECT_TRUE(found);
        return found->steps.at(1);
    };
    const StepDebriefed minute = held(60.0);
    ASSERT_TRUE(minute.hold);
    EXPECT_EQ(minute.hold->circuits, 2U);
    for (const Duration inbound : minute.hold->inbound) {
        EXPECT_NEAR(inbound.count(), 60.0, 5.0);
    }
    EXPECT_EQ(minute.hold->outside, Length());
    // Two minutes of outbound are no reason to leave its area; six are.
    const StepDebriefed long_one = held(360.0);
    ASSERT_TRUE(long_one.hold);
    EXPECT_GT(long_one.hold->outside.nautical_miles(), 1.0);
    EXPECT_NEAR(long_one.hold->farthest.nautical_miles(), 12.0, 1.5);
}

TEST(CaseDebrief, WhatWasNotRecordedIsInNoFigure) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    flown.along({0, 0}, {60, 0}, 2.0, 20.0);
    flown.time_s += 300.0;
    flown.along({0, 0}, {60, 0}, 30.0, 59.0);
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    ASSERT_EQ(found->gaps.size(), 1U);
    EXPECT_NEAR(found->steps.front().unrecorded.count(), 301.0, 1.5);
    EXPECT_NEAR(found->steps.front().distance.nautical_miles(), 18.0 + 29.0, 0.2);
    EXPECT_NEAR(found->steps.front().groundspeed->knots(), 120.0, 1.0);
}

TEST(CaseDebrief, WithoutAltitudesNothingIsSaidOfHeights) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    flown.along({0, 0}, {60, 0}, 2.0, 59.0);
    for (earth::TrackPoint& point : flown.track.points) {
        point.altitude = std::nullopt;
    }
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    EXPECT_FALSE(found->altitude_recorded);
    EXPECT_FALSE(found->steps.front().heights);
    EXPECT_TRUE(found->steps.front().side);
}

TEST(CaseDebrief, ATrackOfElsewhereIsRefused) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    for (const At place : {At{30, 40}, At{30, 900}, At{3000, 0}}) {
        Recorder flown(drawn);
        const At toward{place.east_nm + 10, place.north_nm};
        flown.along(place, toward, 0.0, 5.0);
        const auto found = laid(drawn, flown.track);
        ASSERT_FALSE(found);
        EXPECT_EQ(found.error().code, "debrief.elsewhere");
    }
    Recorder far(drawn);
    far.along({0, 0}, {60, 0}, 2.0, 30.0);
    far.at(drawn.place({700, 0}));
    far.track.points.back().line = 77;
    const auto found = laid(drawn, far.track);
    ASSERT_FALSE(found);
    EXPECT_EQ(found.error().code, "debrief.too_far");
    EXPECT_EQ(found.error().where, ":77");
}

TEST(CaseDebrief, ATrackThatDoesNotFlyIsRefused) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    for (int i = 0; i < 100; ++i) {
        flown.at(drawn.place({5, 0}), 0.0);
    }
    const auto found = laid(drawn, flown.track);
    ASSERT_FALSE(found);
    EXPECT_EQ(found.error().code, "debrief.not_flown");
}

// A track that is flown as drawn gives nothing to practise.
TEST(CaseDebrief, AFlightAsMeantLeavesNothingToPractise) {
    DrawnFlight drawn;
    along_a_radial(drawn);
    Recorder flown(drawn);
    flown.along({0, 0}, {60, 0}, 1.0, 60.2);
    const auto found = laid(drawn, flown.track);
    ASSERT_TRUE(found);
    EXPECT_TRUE(found->practise.empty()) << found->practise.front().says;
    ASSERT_TRUE(found->steps.front().fix);
    EXPECT_NEAR(found->steps.front().fix->missed_by.nautical_miles(), 0.0, 0.02);
}

}  // namespace omniway::debrief
