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

// 60 NM along the 090 of AAA, to where its DME tells FIX.
void fly_out(DrawnFlight& drawn) {
    drawn.sketch.vor("AAA", {0, 0}, far_reaching);
    drawn.build({1, 0});
    auto& leg = drawn.leg({1, 0}, {61, 0}, drawn.outbound("AAA", {61, 0}));
    leg.ending =
        drawn.told("FIX", {61, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(61.0), true});
}

AsFlown flown(DrawnFlight& drawn) {
    const flight::Compiled& compiled = drawn.compiled();
    const Stage stage(drawn.day(), drawn.flight(), compiled.track, compiled.card);
    return as_flown(stage);
}

}  // namespace

// 60 NM along the 090 of AAA at 6,000 ft in still air: by geodesics of GeographicLib, and the slant range of trade-facts 5.
TEST(TruthAsFlown, ASampleStandsWhereItsShareOfTheStepIsAndShowsItsDistance) {
    DrawnFlight drawn;
    fly_out(drawn);
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

// The same leg with VORs that err: how far aside by Napier's rule for right spherical triangles, sin a = sin c sin A, on geodesics of GeographicLib. At
// 60 NM the sphere is off the ellipsoid by far less than the hundredth of a mile that is allowed.
TEST(TruthAsFlown, OneFlightOfARehearsalIsAsFarAsideOfItsLineAsAGreatCircleHasIt) {
    DrawnFlight drawn;
    fly_out(drawn);
    const flight::Compiled& compiled = drawn.compiled();
    const Stage stage(drawn.day(), drawn.flight(), compiled.track, compiled.card);
    RehearsalQuestion question;
    question.errors = no_errors();
    question.errors.vor_station = base::Angle::degrees(3.0);
    const earth::Position begin = drawn.place({1, 0});
    const double line_deg = earth::bearing(begin, drawn.place({61, 0})).degrees();
    constexpr double degree = 3.14159265358979323846 / 180.0;
    constexpr double nm_of_a_radian = 3440.07;  // mean radius of 6,371.0088 km (IUGG)
    double widest_nm = 0.0;
    for (std::size_t flight = 0; flight < 4; ++flight) {
        const AsFlown all = as_flown(stage, question, flight);
        EXPECT_EQ(all.trial.flown_m, fly_again(stage, question, flight).flown_m);
        for (const SampleFlown& sample : all.samples) {
            ASSERT_TRUE(sample.beside);
            const double away = earth::distance(begin, sample.place).nautical_miles() / nm_of_a_radian;
            const double off_deg = earth::bearing(begin, sample.place).degrees() - line_deg;
            const double aside_nm = std::asin(std::sin(away) * std::sin(off_deg * degree)) * nm_of_a_radian;
            EXPECT_NEAR(sample.beside->aside.nautical_miles(), aside_nm, 0.01);
            widest_nm = std::max(widest_nm, std::abs(aside_nm));
        }
    }
    EXPECT_GT(widest_nm, 0.5);  // it was aside
}

// ICAO Annex 10 Vol. I, 3.1.7.3.1 (from memory): on the glide path the outer marker is received over 600 +-200 m, the middle one over 300 +-100 m. The
// lights are looked at each second, at 50 m/s or less.
TEST(TruthAsFlown, OnAnIlsTheMarkersLightOneAfterTheOtherOverThePublishedLengths) {
    DrawnFlight drawn;
    constexpr double threshold_nm = -3000.0 / 6076.1;
    for (const auto& [kind, before_nm] :
         {std::pair{navdata::MarkerKind::outer, 3.9}, {navdata::MarkerKind::middle, 1050.0 / 1852.0}}) {
        navdata::Marker marker;
        marker.airport = "XDEP";
        marker.localizer = "IAAA";
        marker.runway = "RW09";
        marker.kind = kind;
        marker.position = drawn.sketch.at({threshold_nm - before_nm, -3.0});
        drawn.sketch.records().markers.push_back(marker);
    }
    drawn.level_ft = 1800.0;
    drawn.airspeed_kt = 96.0;
    drawn.onto_an_ils({});
    const AsFlown all = flown(drawn);
    std::vector<std::pair<navdata::MarkerKind, double>> lit_m;
    for (std::size_t i = 1; i < all.samples.size(); ++i) {
        const SampleFlown& before = all.samples[i - 1];
        if (before.marker == nullptr) {
            continue;
        }
        if (i < 2 || all.samples[i - 2].marker != before.marker) {
            lit_m.emplace_back(before.marker->kind, 0.0);
        }
        lit_m.back().second += earth::distance(before.place, all.samples[i].place).metres();
    }
    ASSERT_EQ(lit_m.size(), 2U);
    EXPECT_EQ(lit_m[0].first, navdata::MarkerKind::outer);
    EXPECT_NEAR(lit_m[0].second, 600.0, 200.0);
    EXPECT_EQ(lit_m[1].first, navdata::MarkerKind::middle);
    EXPECT_NEAR(lit_m[1].second, 300.0, 100.0);
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
