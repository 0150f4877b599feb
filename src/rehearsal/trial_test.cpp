#include "rehearsal/trial.hpp"

#include <algorithm>
#include <cmath>
#include <memory>
#include <vector>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "rehearsal/rehearse.hpp"
#include "tests/deviation.hpp"
#include "tests/drawn_flight.hpp"
#include "tests/magnetic_model.hpp"

namespace omniway::rehearsal {

using base::Altitude;
using base::Angle;
using base::Length;
using base::Speed;
using base::TrueBearing;
using omniway::testing::At;
using omniway::testing::deviation;

namespace {

constexpr double nm = 1852.0;

/// A drawn flight made ready to be flown by needle.
class Drawn : public omniway::testing::DrawnFlight {
public:
    /// Everything of it must be there; nothing is added after it.
    const Stage& stage() {
        const flight::Compiled& made_ready = compiled();
        stage_ = std::make_unique<Stage>(day(), flight(), made_ready.track, made_ready.card);
        return *stage_;
    }

private:
    std::unique_ptr<Stage> stage_;
};

const omniway::testing::VorDrawn far_reaching{.service = navdata::ServiceClass::high,
                                              .dme = navdata::ServiceClass::high};

/// Along one radial of AAA for 60 NM, told there by its DME.
const Stage& along_a_radial(Drawn& drawn) {
    drawn.sketch.vor("AAA", {0, 0}, far_reaching);
    drawn.build({1, 0});
    auto& leg = drawn.leg({1, 0}, {60, 0}, drawn.outbound("AAA", {60, 0}));
    leg.ending =
        drawn.told("FIX", {60, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(60.0), true});
    return drawn.stage();
}

/// How far to the side each of many flights is when it has gone so far from where it began, positive to the right.
std::vector<double> asides_at(const Stage& stage, const Errors& errors, double away_nm, std::size_t flights) {
    std::vector<double> all;
    RehearsalQuestion question;
    question.errors = errors;
    const earth::PlanePoint begin = stage.steps().front().start;
    for (std::size_t i = 0; i < flights; ++i) {
        std::optional<double> aside;
        Watch watch;
        watch.each_second = [&](const Moment& moment) {
            const double gone =
                std::hypot(moment.place.east_m - begin.east_m, moment.place.north_m - begin.north_m);
            if (!aside && gone >= (away_nm - 1.0) * nm) {
                aside = moment.aside_m / nm;
            }
        };
        fly_again(stage, question, i, watch);
        if (aside) {
            all.push_back(*aside);
        }
    }
    return all;
}

double share_within(const std::vector<double>& all, double limit) {
    const auto within =
        std::count_if(all.begin(), all.end(), [&](double each) { return std::abs(each) <= limit; });
    return static_cast<double>(within) / static_cast<double>(all.size());
}

// What a sample's deviation may be off the truth by, four times its own deviation: 4 / sqrt(2 n).
double allowed(std::size_t n) {
    return 4.0 / std::sqrt(2.0 * static_cast<double>(n));
}

}  // namespace

// What the lattice of a flight tells of a place, against the projection and the magnetic model that it was laid from: the header's bounds.
TEST(TruthStage, TellsPlaceConvergenceAndVariationAsTheProjectionAndTheModelDo) {
    double worst_m = 0.0;
    double worst_north_deg = 0.0;
    double worst_magnetic_deg = 0.0;
    for (const double latitude_deg : {0.0, 40.0, 60.0, -59.0}) {
        Drawn drawn;
        drawn.sketch = omniway::testing::Sketch(earth::Position::degrees(latitude_deg, 179.0));
        drawn.sketch.airport("XDEP", {0, -3}).runway("XDEP", 9, {0, -3}).airport("XARR", {200, 0});
        const Stage& stage = along_a_radial(drawn);
        for (int east_nm = -10; east_nm <= 70; ++east_nm) {
            for (int north_nm = -30; north_nm <= 30; ++north_nm) {
                const earth::PlanePoint place = stage.frame().to_plane(
                    drawn.place({static_cast<double>(east_nm), static_cast<double>(north_nm)}));
                const Stage::Surroundings told = stage.about(place);
                const earth::Position true_place = stage.frame().to_position(place);
                const double north_rad = stage.frame().convergence(place).radians();
                const auto variation =
                    omniway::testing::magnetic_model().variation(true_place, earth::DecimalYear{2026.0});
                worst_m = std::max(worst_m, earth::distance(told.position, true_place).metres());
                worst_north_deg = std::max(worst_north_deg, std::abs(told.north_rad - north_rad) * 57.29578);
                worst_magnetic_deg = std::max(
                    worst_magnetic_deg,
                    std::abs(told.magnetic_north_rad - north_rad - variation.east().radians()) * 57.29578);
            }
        }
    }
    RecordProperty("worst_m", std::to_string(worst_m));
    RecordProperty("worst_magnetic_deg", std::to_string(worst_magnetic_deg));
    EXPECT_LT(worst_m, 50.0);
    EXPECT_LT(worst_north_deg, 0.05);
    EXPECT_LT(worst_magnetic_deg, 0.05);
}

// One error at a time: an angle of that size, so far from the aid (the closed form: d tan e).
TEST(TruthTrial, AVorsErrorAloneSpreadsAsItsAngleDoes) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    constexpr std::size_t flights = 400;
    Errors errors;
    errors.vor_station = Angle::degrees(1.45);
    const auto asides = asides_at(stage, errors, 50.0, flights);
    ASSERT_EQ(asides.size(), flights);
    EXPECT_NEAR(deviation(asides) / (50.0 * std::tan(1.45 * 0.0174533)), 1.0, allowed(flights) + 0.02);
}

TEST(TruthTrial, AReceiversErrorAloneSpreadsAsItsAngleDoes) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    constexpr std::size_t flights = 400;
    Errors errors;
    errors.vor_receiver = Angle::degrees(1.07);
    const auto asides = asides_at(stage, errors, 50.0, flights);
    EXPECT_NEAR(deviation(asides) / (50.0 * std::tan(1.07 * 0.0174533)), 1.0, allowed(flights) + 0.02);
}

TEST(TruthTrial, WithoutErrorsTheLineIsHeld) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    const auto asides = asides_at(stage, no_errors(), 50.0, 1);
    ASSERT_EQ(asides.size(), 1U);
    EXPECT_LT(std::abs(asides.front()), 0.1);
}

// What the criteria promise of an airway (trade-facts 3.1, 3.3): 95 % inside 4 NM and 99.7 % inside 6 NM at 51 NM from a VOR. Too good is as
// wrong as too bad.
TEST(SlowTruthTrial, ByTheTermsOfTerpsNineteenOfTwentyAreInsideFourMilesAtFiftyOne) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    constexpr std::size_t flights = 6000;
    const auto asides = asides_at(stage, nominal_errors(radio::Criteria::terps), 51.0, flights);
    ASSERT_GE(asides.size(), flights - 10);
    const double inside_four = share_within(asides, 4.0);
    const double inside_six = share_within(asides, 6.0);
    RecordProperty("inside_four_nm", std::to_string(inside_four));
    RecordProperty("inside_six_nm", std::to_string(inside_six));
    EXPECT_GE(inside_four, 0.94);
    EXPECT_LE(inside_four, 0.96);
    EXPECT_GE(inside_six, 0.995);
    EXPECT_LE(inside_six, 0.999);
}

TEST(SlowTruthTrial, OfAWholeAirwayLegNinetyNineOfAHundredPartsAreInside) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0}, far_reaching);
    drawn.build({1, 0});
    auto& leg = drawn.leg({1, 0}, {51, 0}, drawn.outbound("AAA", {51, 0}));
    leg.ending =
        drawn.told("FIX", {51, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(51.0), true});
    RehearsalQuestion question;
    question.flights = 2000;
    question.errors = nominal_errors(radio::Criteria::terps);
    const Rehearsal rehearsal = rehearse(drawn.stage(), question);
    EXPECT_GE(rehearsal.steps.front().inside_primary, 0.99);
    EXPECT_LT(rehearsal.steps.front().inside_primary, 0.9995);
}

// The DME's error alone: where its reading ends a leg, so far along (trade-facts 3.2: 0.25 NM + 1.25 % in 95 %).
TEST(TruthTrial, ADmesErrorAloneMovesTheFixByIts95PercentBound) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    constexpr std::size_t flights = 400;
    RehearsalQuestion question;
    question.errors.dme_fixed = Length::nautical_miles(0.125);
    question.errors.dme_share = 0.00625;
    std::vector<double> where;
    for (std::size_t i = 0; i < flights; ++i) {
        const Trial trial = fly_again(stage, question, i);
        where.push_back(trial.flown_m / nm);
    }
    EXPECT_NEAR(deviation(where) / (0.125 + 0.00625 * 60.0), 1.0, allowed(flights) + 0.03);
}

// Dead reckoning in a wind that is off: for a wind whose error lasts, the deviation is that of the wind by the time flown. The integral of
// an Ornstein-Uhlenbeck process has the variance 2 s^2 T^2 (t / T - 1 + exp(-t / T)) (Gardiner, Handbook of Stochastic Methods, from memory).
TEST(TruthTrial, WindErrorAloneSpreadsDeadReckoningByItsIntegral) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0}, far_reaching);
    drawn.build({1, 0});
    auto& leg = drawn.leg({1, 0}, {41, 0}, procedure::OnHeading{TrueBearing::degrees(90.0)});
    leg.ending =
        drawn.told("FIX", {41, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(41.0), false});
    const Stage& stage = drawn.stage();
    constexpr std::size_t flights = 600;
    RehearsalQuestion question;
    question.errors.wind = Speed::knots(8.0);
    question.errors.wind_for = base::minutes(10.0);
    constexpr double after_s = 900.0;
    std::vector<double> asides;
    for (std::size_t i = 0; i < flights; ++i) {
        std::optional<double> aside;
        Watch watch;
        watch.each_second = [&](const Moment& moment) {
            if (!aside && moment.time_s >= after_s) {
                aside = moment.aside_m / nm;
            }
        };
        fly_again(stage, question, i, watch);
        ASSERT_TRUE(aside);
        asides.push_back(*aside);
    }
    const double t = after_s / 600.0;
    const double closed_nm = 8.0 / 3600.0 * 600.0 * std::sqrt(2.0 * (t - 1.0 + std::exp(-t)));
    EXPECT_NEAR(deviation(asides) / closed_nm, 1.0, allowed(flights) + 0.02);
}

// Drift: course 180, 180 kt, wind 100/18 asks for heading 174 (EASA bank, trade-facts 7.1): the ground is made good along the course by a pilot who
// holds the card's heading. Here east, by the same triangle.
TEST(TruthTrial, TheCardsHeadingHoldsItsTrackInTheWindOfTheForecast) {
    Drawn drawn;
    drawn.wind = {TrueBearing::degrees(10), Speed::knots(18)};
    drawn.sketch.vor("AAA", {0, 0}, far_reaching);
    drawn.build({1, 0});
    auto& leg = drawn.leg({1, 0}, {31, 0}, procedure::OnHeading{TrueBearing::degrees(90.0)});
    leg.ending =
        drawn.told("FIX", {31, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(31.0), false});
    const auto asides = asides_at(drawn.stage(), no_errors(), 30.0, 1);
    ASSERT_EQ(asides.size(), 1U);
    // A card's heading is a whole degree: half of one over 29 miles is a quarter of a mile.
    EXPECT_LT(std::abs(asides.front()), 0.3);
}

namespace {

/// One flight without errors, in which this fails.
struct Failing {
    Trial trial;
    std::vector<cockpit::Panel> panels;  // each second
    std::vector<Moment> moments;
};

Failing flown_with(const Stage& stage, const Failures& failures) {
    RehearsalQuestion question;
    question.failures = failures;
    Failing flown;
    Watch watch;
    watch.each_second = [&](const Moment& moment) {
        flown.panels.push_back(*moment.panel);
        flown.moments.push_back(moment);
    };
    flown.trial = fly_again(stage, question, 0, watch);
    return flown;
}

constexpr base::Duration after_ten_minutes{600.0};

// A second before and a second after.
constexpr std::size_t before_it = 599;
constexpr std::size_t after_it = 601;

}  // namespace

// What a failure looks like: 14 CFR 91.205(d) has no more than the instruments of the panel; a flag is what Annex 10 Vol I 3.3 and 3.5 ask a receiver
// to show without a signal (from memory).
TEST(TruthFailures, AStationOffTheAirIsAFlagNoIdentAndNoDistance) {
    Drawn drawn;
    const Failing flown = flown_with(along_a_radial(drawn), {{StationOffTheAir{"AAA"}, after_ten_minutes}});
    EXPECT_FALSE(flown.panels.at(before_it).receivers[0].shown.flag);
    EXPECT_EQ(flown.panels.at(before_it).receivers[0].ident.letters(), "AAA");
    EXPECT_FALSE(flown.panels.at(before_it).distance.flag);
    EXPECT_TRUE(flown.panels.at(after_it).receivers[0].shown.flag);
    EXPECT_TRUE(flown.panels.at(after_it).receivers[0].ident.empty());
    EXPECT_TRUE(flown.panels.at(after_it).distance.flag);
    EXPECT_EQ(flown.trial.outcome, Outcome::lost);  // its distance ended the leg
    EXPECT_GT(flown.trial.steps.front().dead_needle_s, 600.0);
}

TEST(TruthFailures, ADeadReceiverIsAFlagThereAndNowhereElse) {
    Drawn drawn;
    const Failing flown = flown_with(along_a_radial(drawn), {{ReceiverDead{1}, after_ten_minutes}});
    EXPECT_FALSE(flown.panels.at(before_it).receivers[0].shown.flag);
    EXPECT_TRUE(flown.panels.at(after_it).receivers[0].shown.flag);
    EXPECT_FALSE(flown.panels.at(after_it).distance.flag);
}

TEST(TruthFailures, ADeadDmeIsItsFlagAlone) {
    Drawn drawn;
    const Failing flown = flown_with(along_a_radial(drawn), {{DmeDead{}, after_ten_minutes}});
    EXPECT_FALSE(flown.panels.at(before_it).distance.flag);
    EXPECT_TRUE(flown.panels.at(after_it).distance.flag);
    EXPECT_FALSE(flown.panels.at(after_it).receivers[0].shown.flag);
}

// Partial panel: a heading indicator that disagrees with the compass is given up for it (IFH chapter 4, from memory).
TEST(TruthFailures, AStuckHeadingIndicatorIsSeenByTheCompassAndTheLineIsHeldByThat) {
    Drawn drawn;
    const Failing flown = flown_with(along_a_radial(drawn), {{HeadingIndicatorStuck{}, after_ten_minutes}});
    const cockpit::Panel& stuck = flown.panels.at(after_it);
    EXPECT_EQ(flown.panels.at(after_it + 20).heading, stuck.heading);
    EXPECT_EQ(flown.trial.steps.front().ended, true);
    EXPECT_LT(std::abs(flown.moments.back().aside_m), 0.5 * nm);
    EXPECT_LT(flown.trial.steps.front().worst_aside_m, 4.0 * nm);
}

TEST(LawFailures, WhatNothingUsesChangesNothingBeforeItFailsNorAfter) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    const Failing whole = flown_with(stage, {});
    const Failing failing =
        flown_with(stage, {{StationOffTheAir{"ZZZ"}, base::Duration(0.0)}, {AdfDead{}, after_ten_minutes}});
    EXPECT_EQ(whole.trial.flown_m, failing.trial.flown_m);
    EXPECT_EQ(whole.trial.time_s, failing.trial.time_s);
    EXPECT_EQ(whole.trial.outcome, failing.trial.outcome);
}

TEST(LawTrial, HalvingTheTimeStepMovesNoSpreadBeyondItsInterval) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    const auto share = [&](double step_s) {
        RehearsalQuestion question;
        question.flights = 600;
        question.errors = nominal_errors(radio::Criteria::terps);
        question.step = base::Duration(step_s);
        return rehearse(stage, question).steps.front();
    };
    const StepRehearsed whole = share(1.0);
    const StepRehearsed half = share(0.5);
    EXPECT_LE(half.as_meant.low(), whole.as_meant.high());
    EXPECT_GE(half.as_meant.high(), whole.as_meant.low());
    EXPECT_NEAR(half.inside_primary, whole.inside_primary, 0.01);
    EXPECT_NEAR(*half.aside_nm.at(0.95) / *whole.aside_nm.at(0.95), 1.0, allowed(600));
}

TEST(LawRehearse, TheNumberOfThreadsDoesNotShow) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    RehearsalQuestion question;
    question.flights = 100;
    question.errors = nominal_errors(radio::Criteria::terps);
    const auto of = [&](unsigned threads) {
        question.threads = threads;
        const Rehearsal all = rehearse(stage, question);
        return std::tuple{all.outcomes,
                          all.seconds_flown,
                          all.steps.front().inside_primary,
                          all.steps.front().aside_nm.at(0.5),
                          all.steps.front().aside_nm.at(0.99),
                          all.time_min.at(0.5),
                          all.examples.size()};
    };
    const auto alone = of(1);
    EXPECT_EQ(of(2), alone);
    EXPECT_EQ(of(8), alone);
}

TEST(LawRehearse, CancelledItTellsWhatWasFlown) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    RehearsalQuestion question;
    question.flights = 100'000;
    std::stop_source stop;
    base::Progress progress;
    progress.stop = stop.get_token();
    progress.report = [&](std::string_view, double) { stop.request_stop(); };
    const Rehearsal all = rehearse(stage, question, progress);
    EXPECT_TRUE(all.cut_short);
    EXPECT_GT(all.flights, 0U);
    EXPECT_LT(all.flights, question.flights);
}

// The same flights: what was the chance to have the runway in sight begins the missed approach instead; and without one on the card nothing does.
// What blunders do to steps, idents and heights is asked of a whole flight in tests/command/rehearse_test.py.
TEST(LawBlunders, AtRateZeroTheFlightsAreTheSameAndAboveItTheyAreNot) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0}, far_reaching).vor("BBB", {60, 0}, far_reaching);
    drawn.build({1, 0});
    auto& first = drawn.leg({1, 0}, {30, 0}, drawn.outbound("AAA", {30, 0}));
    first.ending =
        drawn.told("MID", {30, 0}, fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(30.0), true});
    auto& second = drawn.leg({30, 0}, {40, 30}, drawn.outbound("BBB", {40, 30}));
    second.ending =
        drawn.told("FIX", {40, 30}, fixing::DmeReading{drawn.at("BBB"), Length::nautical_miles(36.0), true});
    const Stage& stage = drawn.stage();
    RehearsalQuestion question;
    question.flights = 200;
    question.errors = nominal_errors(radio::Criteria::terps);
    const Rehearsal careful = rehearse(stage, question);
    question.skill.blunders = 0.0;
    const Rehearsal again = rehearse(stage, question);
    EXPECT_EQ(again.seconds_flown, careful.seconds_flown);
    question.skill.blunders = 0.5;
    const Rehearsal hasty = rehearse(stage, question);
    EXPECT_NE(hasty.seconds_flown, careful.seconds_flown);
}

// Common practice, no source: without an approach one arrives where the last fix is told, as far aside as that may be off, half a mile at least, and no farther.
// A wind that nothing forecast carries a heading of 30 NM to either side of that.
TEST(CaseTrial, WithoutAnApproachArrivingIsAsFarAsideAsTheLastFixIsTold) {
    for (const double told_within_nm : {0.1, 1.0, 2.0}) {
        Drawn drawn;
        drawn.sketch.vor("AAA", {0, 0}, far_reaching);
        drawn.build({1, 0});
        auto& leg = drawn.leg({1, 0}, {31, 0}, procedure::OnHeading{TrueBearing::degrees(90.0)});
        leg.ending =
            procedure::AtFix{{"FIX", drawn.place({31, 0}), std::nullopt, false},
                             {fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(31.0), true},
                              Length::nautical_miles(told_within_nm), Angle::degrees(90)}};
        const Stage& stage = drawn.stage();
        RehearsalQuestion question;
        question.errors.wind = Speed::knots(8.0);
        question.errors.wind_for = base::minutes(600.0);
        int arrived = 0;
        int not_in_sight = 0;
        for (std::size_t i = 0; i < 100; ++i) {
            double aside_nm = 0.0;
            Watch watch;
            watch.each_second = [&](const Moment& moment) { aside_nm = std::abs(moment.aside_m) / nm; };
            const Trial trial = fly_again(stage, question, i, watch);
            const double beyond_nm = aside_nm - std::max(told_within_nm, 0.5);
            if (std::abs(beyond_nm) > 0.02) {
                EXPECT_EQ(trial.outcome, beyond_nm < 0.0 ? Outcome::arrived : Outcome::not_in_sight)
                    << aside_nm;
                ++(beyond_nm < 0.0 ? arrived : not_in_sight);
            }
        }
        EXPECT_GT(arrived, 10) << told_within_nm;
        EXPECT_GT(not_in_sight, 10) << told_within_nm;
    }
}

TEST(LawTrial, WithoutAMissedApproachOnTheCardTheFlightEndsWithoutTheRunway) {
    Drawn drawn;
    const Stage& stage = along_a_radial(drawn);
    RehearsalQuestion question;
    question.no_runway = true;
    const Trial trial = fly_again(stage, question, 0);
    EXPECT_TRUE(trial.reached_end);
    EXPECT_EQ(trial.outcome, Outcome::not_in_sight);
    question.flights = 4;
    const Rehearsal all = rehearse(stage, question);
    EXPECT_EQ(all.in_sight.of, 4U);
    EXPECT_EQ(all.in_sight.did, 0U);
    EXPECT_EQ(all.missed_flown.of, 0U);
}

// Wilson's interval of 8 in 10: 0.490 to 0.943 (Brown, Cai, DasGupta, Interval estimation for a binomial proportion, 2001, from memory).
TEST(TruthChance, HasTheIntervalOfWilson) {
    const Chance chance{10, 8};
    EXPECT_NEAR(chance.low(), 0.490, 0.001);
    EXPECT_NEAR(chance.high(), 0.943, 0.001);
}

}  // namespace omniway::rehearsal
