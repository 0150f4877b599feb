// What an ILS shows a rehearsed flight, and what the pilot makes of it.
#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "rehearsal/rehearse.hpp"
#include "tests/drawn_flight.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::rehearsal {

using omniway::testing::At;
using omniway::testing::DrawnFlight;

namespace {

constexpr double nm = 1852.0;
constexpr double foot = 0.3048;
constexpr double degree = std::numbers::pi / 180.0;

const DrawnFlight::IlsFlown published;

/// Where the aircraft was against the foot of the glideslope at the threshold, and what its receiver showed.
struct Seen {
    double away_nm = 0.0;
    double off_course_deg = 0.0;
    double elevation_deg = 0.0;
    double altitude_ft = 0.0;
    double east_nm = 0.0;  // of the threshold
    std::size_t step = 0;
    cockpit::ReceiverOnPanel receiver;
};
struct Flown {
    Trial trial;
    std::vector<Seen> seen;  // each second
};

Flown flown(DrawnFlight& drawn, const Failures& failures = {}) {
    const flight::Compiled& compiled = drawn.compiled();
    const Stage stage(drawn.day(), drawn.flight(), compiled.track, compiled.card);
    RehearsalQuestion question;
    question.errors = no_errors();
    question.failures = failures;
    Flown all;
    const earth::PlanePoint threshold = stage.frame().to_plane(drawn.place({-3000.0 / 6076.1, -3.0}));
    Watch watch;
    watch.each_second = [&](const Moment& moment) {
        Seen seen;
        const double east_m = moment.place.east_m - threshold.east_m;
        const double north_m = moment.place.north_m - threshold.north_m;
        const double away_m = std::hypot(east_m, north_m);
        seen.away_nm = away_m / nm;
        seen.off_course_deg = std::abs(std::atan2(north_m, -east_m)) / degree;
        seen.elevation_deg = std::atan2(moment.altitude_m, away_m) / degree;
        seen.altitude_ft = moment.altitude_m / foot;
        seen.east_nm = east_m / nm;
        seen.step = moment.step;
        seen.receiver = moment.panel->receivers[0];
        all.seen.push_back(seen);
    };
    all.trial = fly_again(stage, question, 0, watch);
    return all;
}

/// How often on the way to the final fix it was shown and flagged where `inside` is 1 or -1; where that is 0 it is too near a side to ask.
template <class Inside>
void expect_shown(const Flown& all, const Inside& inside) {
    int shown = 0;
    int flagged = 0;
    for (const Seen& seen : all.seen) {
        if (seen.step > 0 || inside(seen) == 0) {
            continue;
        }
        EXPECT_EQ(seen.receiver.glideslope.flag, inside(seen) < 0)
            << seen.away_nm << " NM, " << seen.off_course_deg << " deg aside, " << seen.elevation_deg
            << " deg up";
        (inside(seen) > 0 ? shown : flagged) += seen.receiver.glideslope.flag == (inside(seen) < 0) ? 1 : 0;
    }
    EXPECT_GT(shown, 15);
    EXPECT_GT(flagged, 30);
}

int side(double value, double limit, double near) {
    return value < limit - near ? 1 : value > limit + near ? -1 : 0;
}

}  // namespace

// ICAO Annex 10 Vol I 3.1.5.3.1 (the vertical from memory): 10 NM, 8 degrees to either side, 0.45 to 1.75 of the angle above the horizontal.
TEST(TruthIls, AGlideslopeIsFlaggedBeyondTenMiles) {
    DrawnFlight drawn;
    drawn.level_ft = 1800.0;
    drawn.onto_an_ils({.published = false});
    expect_shown(flown(drawn), [](const Seen& seen) { return side(seen.away_nm, 10.0, 0.1); });
}

TEST(TruthIls, AGlideslopeIsFlaggedBelowNearlyHalfItsAngle) {
    DrawnFlight drawn;
    drawn.level_ft = 1000.0;  // 1.35 degrees 7 NM away
    drawn.onto_an_ils({.published = false});
    expect_shown(flown(drawn), [](const Seen& seen) { return -side(seen.elevation_deg, 0.45 * 3.0, 0.1); });
}

TEST(TruthIls, AGlideslopeIsFlaggedAboveAThreeQuartersMoreThanItsAnglePublishedOrNot) {
    for (const bool is_published : {true, false}) {
        DrawnFlight drawn;
        drawn.level_ft = 4500.0;  // 5.25 degrees 8.1 NM away
        drawn.onto_an_ils({.published = is_published});
        expect_shown(flown(drawn), [is_published](const Seen& seen) {
            // Beyond 10 NM it is shown on the published one alone.
            const int within = is_published ? 1 : side(seen.away_nm, 10.0, 0.1);
            return std::min(within, side(seen.elevation_deg, 1.75 * 3.0, 0.1));
        });
    }
}

TEST(TruthIls, AGlideslopeIsFlaggedMoreThanEightDegreesToTheSidePublishedOrNot) {
    for (const bool is_published : {true, false}) {
        DrawnFlight drawn;
        drawn.level_ft = 1800.0;
        drawn.onto_an_ils({.begin = {-9.0, -0.8}, .published = is_published});
        expect_shown(flown(drawn), [](const Seen& seen) { return side(seen.off_course_deg, 8.0, 0.3); });
    }
}

// Design section 2, idea 1: on a published step at its published altitude it is flight-checked, as far out as that leads.
TEST(CaseIls, OnAPublishedStepTheGlideslopeIsShownAsFarOutAsItsLocalizer) {
    DrawnFlight drawn;
    drawn.level_ft = 1800.0;
    drawn.onto_an_ils(published);
    const Flown all = flown(drawn);
    EXPECT_GT(all.seen.front().away_nm, 13.0);
    EXPECT_FALSE(all.seen.front().receiver.glideslope.flag);
    EXPECT_EQ(all.trial.outcome, Outcome::arrived);
}

// A hill of 800 m two miles before an aerial that stands half a mile north of the line: 480 ft high is the ray there from 1,800 ft 8 NM away. The
// localizer's own way is open.
TEST(CaseIls, OffAPublishedStepAGlideslopeBehindAHillIsFlagged) {
    for (const bool hill : {true, false}) {
        DrawnFlight drawn;
        const omniway::testing::DrawnGround ground(
            drawn.sketch.at({0, 0}), 3, [&](double latitude_deg, double longitude_deg) {
                const double north_nm = (latitude_deg - 40.0) * 60.0;
                const double east_nm = (longitude_deg + 170.0) * 60.0 * std::cos(40.0 * degree);
                const bool on_it = east_nm > -3.0 && east_nm < -2.0 && north_nm > -2.75 && north_nm < -2.0;
                return hill && on_it ? 800.0 : 0.0;
            });
        drawn.ground = ground.ground();
        drawn.level_ft = 1800.0;
        drawn.onto_an_ils({.begin = {-9.5, -3.0}, .published = false, .aerial = At{-3000.0 / 6076.1, -2.5}});
        int looked = 0;
        for (const Seen& seen : flown(drawn).seen) {
            if (seen.step == 0 && seen.away_nm > 6.0) {
                EXPECT_FALSE(seen.receiver.shown.flag);
                EXPECT_EQ(seen.receiver.glideslope.flag, hill) << seen.away_nm;
                ++looked;
            }
        }
        EXPECT_GT(looked, 60);
    }
}

// Annex 10 Vol I 3.1.3.7 and trade-facts 4 (seen): 700 ft wide at the threshold, 3 to 6 degrees. Its aerial is drawn 7,000 ft from the threshold:
// 2 atan(350 / 7,000) = 5.72 degrees.
TEST(TruthIls, ALocalizersNeedleIsTailoredToItsThreshold) {
    DrawnFlight drawn;
    drawn.level_ft = 1800.0;
    drawn.onto_an_ils(published);
    EXPECT_NEAR(flown(drawn).seen.front().receiver.shown.needle.full_scale.degrees(), 5.72 / 2.0, 0.01);
}

// Trade-facts 11.2 (seen): GS out, LOC minima; a card of an ILS has none. The climb is begun at once and the turn at the end of the approach (AIM 5-4-21, from
// memory): never below where the glideslope went, along the localizer as far as the threshold.
TEST(CaseIls, WithoutItsGlideslopeTheMissedApproachIsFlown) {
    for (const bool until_glideslope : {false, true}) {
        for (const double fails_s : {0.0, 300.0}) {
            DrawnFlight drawn;
            drawn.level_ft = 1800.0;
            drawn.onto_an_ils({.until_glideslope = until_glideslope});
            const Flown all = flown(drawn, {{GlideslopeDead{}, base::Duration(fails_s)}});
            EXPECT_EQ(all.trial.outcome, Outcome::missed_flown);
            EXPECT_FALSE(all.trial.reached_end);
            EXPECT_FALSE(all.trial.at_the_runway);
            ASSERT_EQ(all.trial.steps.size(), 4U);
            EXPECT_TRUE(all.trial.steps[1].given_up);
            EXPECT_FALSE(all.trial.steps[1].as_meant);
            EXPECT_LT(all.trial.steps[1].worst_aside_m, 0.1 * nm);
            double lost_ft = 1800.0;
            double turns_nm = -100.0;
            for (std::size_t second = 0; second < all.seen.size(); ++second) {
                const Seen& seen = all.seen[second];
                if (static_cast<double>(second) <= fails_s) {
                    lost_ft = seen.altitude_ft;
                }
                EXPECT_GT(seen.altitude_ft, lost_ft - 50.0) << second;
                turns_nm = seen.step < 2 ? seen.east_nm : turns_nm;
            }
            EXPECT_NEAR(turns_nm, 0.0, 0.5);
            EXPECT_NEAR(all.seen.back().altitude_ft, 3000.0, 60.0);
        }
    }
}

TEST(CaseIls, WithoutItsGlideslopeAndWithoutAMissedApproachTheRunwayIsNotInSight) {
    DrawnFlight drawn;
    drawn.level_ft = 1800.0;
    drawn.onto_an_ils({.with_missed = false});
    const Flown all = flown(drawn, {{GlideslopeDead{}, base::Duration(0.0)}});
    EXPECT_EQ(all.trial.outcome, Outcome::not_in_sight);
    EXPECT_NEAR(all.seen.back().altitude_ft, 1800.0, 60.0);
}

TEST(CaseIls, AnApproachGivenUpIsAWeakPointOfTheStepWhoseGlideslopeIsGoneAlone) {
    DrawnFlight drawn;
    drawn.level_ft = 1800.0;
    drawn.onto_an_ils({.until_glideslope = true});
    const flight::Compiled& compiled = drawn.compiled();
    const Stage stage(drawn.day(), drawn.flight(), compiled.track, compiled.card);
    RehearsalQuestion question;
    question.flights = 16;
    question.errors = nominal_errors(radio::Criteria::terps);
    question.failures = {{GlideslopeDead{}, base::Duration(0.0)}};
    const Rehearsal all = rehearse(stage, question);
    EXPECT_EQ(all.outcomes[static_cast<std::size_t>(Outcome::missed_flown)], 16U);
    EXPECT_EQ(all.missed_flown.did, 16U);
    EXPECT_EQ(all.in_sight.of, 0U);
    std::vector<int> told;
    for (const WeakPoint& weak : all.weak_points) {
        if (weak.says.find("glideslope is flagged") != std::string::npos) {
            told.push_back(weak.step);
            EXPECT_EQ(weak.share, 1.0);
        }
        EXPECT_EQ(weak.says.find("ends elsewhere"), std::string::npos) << weak.says;
    }
    EXPECT_EQ(told, std::vector<int>{1});
}

}  // namespace omniway::rehearsal
