#include "rehearsal/as_flown.hpp"

#include <algorithm>
#include <cmath>
#include <memory>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/drawn_flight.hpp"

namespace omniway::rehearsal {

using base::Length;
using omniway::testing::DrawnFlight;
using omniway::testing::VorDrawn;

namespace {

const VorDrawn far_reaching{.service = navdata::ServiceClass::high, .dme = navdata::ServiceClass::high};

AsFlown flown(DrawnFlight& drawn) {
    const flight::Compiled& compiled = drawn.compiled();
    const Stage stage(drawn.day(), drawn.flight(), compiled.track, compiled.card);
    return as_flown(stage);
}

}  // namespace

// 60 NM along the 090 of AAA at 6,000 ft in still air: by geodesics of GeographicLib, and the slant range of trade-facts 5.
TEST(TruthAsFlown, ASampleStandsWhereItsShareOfTheStepIsAndShowsItsDistance) {
    DrawnFlight drawn;
    drawn.sketch.vor("AAA", {0, 0}, far_reaching);
    drawn.build({1, 0});
    auto& leg = drawn.leg({1, 0}, {61, 0}, drawn.outbound("AAA", {61, 0}));
    leg.ending =
        drawn.told("FIX", {61, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(61.0), true});
    const AsFlown all = flown(drawn);
    EXPECT_EQ(all.steps_ended, 1U);
    ASSERT_GT(all.samples.size(), 300U);  // half an hour, 5 s apart
    const earth::Position begin = drawn.place({1, 0});
    const earth::Position aerial = drawn.place({0, 0});
    for (const SampleFlown& sample : all.samples) {
        EXPECT_NEAR(earth::distance(begin, sample.place).nautical_miles(), sample.share * 60.0, 0.05);
        ASSERT_NE(sample.receivers_on[0], nullptr);
        EXPECT_EQ(sample.receivers_on[0]->ident, "AAA");
        if (!sample.panel.distance.flag) {
            const double ground_nm = earth::distance(aerial, sample.place).nautical_miles();
            EXPECT_NEAR(sample.panel.distance.reading.nautical_miles(),
                        std::hypot(ground_nm, 6000.0 / 6076.1), 0.05);
        }
    }
    EXPECT_NEAR(all.samples.back().share, 1.0, 0.01);
}

TEST(LawAsFlown, SamplesAreCloseInTimeAndInATurnInHeading) {
    DrawnFlight drawn;
    drawn.sketch.vor("AAA", {0, 0}, far_reaching);
    drawn.toward_a_hold("AAA", true);
    const AsFlown all = flown(drawn);
    ASSERT_GT(all.samples.size(), 100U);
    double most_turned = 0.0;
    for (std::size_t i = 1; i < all.samples.size(); ++i) {
        const SampleFlown& before = all.samples[i - 1];
        const SampleFlown& sample = all.samples[i];
        EXPECT_LE((sample.time - before.time).count(), 5.01);
        if (sample.step == before.step) {
            EXPECT_GE(sample.share + 0.01, before.share);
        }
        most_turned = std::max(
            most_turned,
            std::abs(std::remainder(sample.panel.heading.degrees() - before.panel.heading.degrees(), 360.0)));
    }
    EXPECT_GT(most_turned, 5.0);  // it did turn
    EXPECT_LT(most_turned, 9.1);  // six degrees, and a second at the standard rate
}

}  // namespace omniway::rehearsal
