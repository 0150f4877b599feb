#include "fixing/next_reading.hpp"

#include <algorithm>
#include <cmath>

#include <gtest/gtest.h>

#include "tests/lost.hpp"

namespace omniway::fixing {

using earth::Position;
using omniway::testing::far_reaching;
using omniway::testing::Lost;
using omniway::testing::without_blunders;

namespace {

std::optional<NextReading> of(const std::vector<NextReading>& all, navdata::StationId station,
                              ReadingKind kind) {
    const auto found = std::find_if(all.begin(), all.end(), [&](const NextReading& each) {
        return each.station == station && each.kind == kind;
    });
    return found == all.end() ? std::nullopt : std::optional(*found);
}

}  // namespace

// On a radial within two miles of distance, another's that crosses it at 90 degrees leaves an ellipse of 5.99 pi s1 s2 (trade-facts 16; chi squared of two
// degrees of freedom in 95 %). What is expected of it is that, to a fifth: the distances are not quite the middle's.
TEST(TruthNextReading, ACrossingRadialLeavesTheEllipseOfTheClosedForm) {
    Lost lost;
    lost.errors = without_blunders(1.8);
    lost.altitude_ft = 16000.0;
    lost.sketch.vor("AAA", {-30, 0}, far_reaching).vor("BBB", {0, -25}, far_reaching);
    lost.build();
    const Position truth = lost.at({0, 0});
    lost.radial("AAA", lost.radial_deg("AAA", truth));
    lost.last_known = LastKnown{truth, base::Duration(0.0), base::Length::nautical_miles(12.0)};
    const Belief belief = lost.believed();
    const auto all = next_readings(lost.question(), belief, {.dme = false, .adf = false}, 10);
    const auto crossing = of(all, lost.id("BBB"), ReadingKind::radial);
    ASSERT_TRUE(crossing);
    const double along = 1.8 * 0.0174532925 * 25.0;
    const double last = 12.0 / 2.4477;
    const double across = 1.8 * 0.0174532925 * 30.0;
    const auto narrower = [last](double line) {
        return 1.0 / std::sqrt(1.0 / (line * line) + 1.0 / (last * last));
    };
    const double closed = 5.99 * 3.14159265 * narrower(along) * narrower(across);
    EXPECT_NEAR(crossing->square_nm_expected / closed, 1.0, 0.2);
    EXPECT_NEAR(crossing->heard, 1.0, 1e-9);
    EXPECT_GT(crossing->square_nm_now, 3.0 * crossing->square_nm_expected);
    // The radial that was just read is not asked for again.
    EXPECT_FALSE(of(all, lost.id("AAA"), ReadingKind::radial));
}

TEST(CaseNextReading, OfTwoPlacesAThirdReadingLeavesOne) {
    Lost lost;
    lost.errors = without_blunders(1.8);
    lost.sketch.vor("AAA", {-20, 0}, far_reaching).vor("BBB", {20, 0}, far_reaching).ndb("NNN", {10, 15});
    lost.build();
    const Position truth = lost.at({5, 20});
    lost.distance("AAA", lost.slant_nm("AAA", truth));
    lost.distance("BBB", lost.slant_nm("BBB", truth));
    const Belief belief = lost.believed();
    ASSERT_EQ(belief.modes.size(), 2U);
    const auto all = next_readings(lost.question(), belief, {}, 10);
    ASSERT_FALSE(all.empty());
    EXPECT_NEAR(all.front().places_expected, 1.0, 0.05);
    EXPECT_LT(all.front().square_nm_expected, 0.7 * all.front().square_nm_now);
    // Nothing is asked for of a radio that is not free.
    for (const NextReading& each : next_readings(lost.question(), belief, {.vor = false, .dme = false}, 10)) {
        EXPECT_EQ(each.kind, ReadingKind::bearing);
        EXPECT_EQ(each.station, lost.id("NNN"));
    }
}

TEST(CaseNextReading, WhatIsNotHeardThereIsNotAskedFor) {
    Lost lost;
    lost.errors = without_blunders(1.8);
    lost.sketch.vor("AAA", {-30, 0}, far_reaching)
        .vor("BBB", {0, -25}, far_reaching)
        .vor("FAR", {0, 60}, {.service = navdata::ServiceClass::terminal});
    lost.build();
    const Position truth = lost.at({0, 0});
    lost.radial("AAA", lost.radial_deg("AAA", truth));
    lost.radial("BBB", lost.radial_deg("BBB", truth));
    const auto all = next_readings(lost.question(), lost.believed(), {}, 10);
    EXPECT_FALSE(of(all, lost.id("FAR"), ReadingKind::radial));
    EXPECT_TRUE(of(all, lost.id("AAA"), ReadingKind::distance));
}

}  // namespace omniway::fixing
