#include "plan/back_to_card.hpp"

#include <algorithm>
#include <cmath>
#include <optional>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/drawn_flight.hpp"
#include "tests/random_positions.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using omniway::testing::At;
using omniway::testing::between;
using omniway::testing::DrawnFlight;
using ::testing::HasSubstr;

namespace {

fixing::Belief belief_at(earth::Position place) {
    fixing::Belief belief{earth::LocalFrame(place)};
    belief.cell_m = 463.0;
    belief.cells = {{belief.frame.to_plane(place), 1.0}};
    belief.modes = {{place, 1.0, Length(), Length(), {}, {}}};
    return belief;
}

//                      XCD
//                       |        step 3, north to it
//   ......>XAB..........F
//   step 1     step 2
DrawnFlight eastward_and_north() {
    DrawnFlight drawn;
    drawn.sketch.vor("XAB", {0, 0}).vor("XCD", {40, 40});
    drawn.build({-38, 0});
    const auto inbound = procedure::OnRadial{drawn.at("XAB"), true, base::Radial::degrees(90)};
    drawn.leg({-38, 0}, {0, 0}, inbound).ending =
        drawn.told("XAB", {0, 0}, fixing::Overhead{drawn.at("XAB")});
    drawn.leg({0, 0}, {40, 0}, drawn.outbound("XAB", {40, 0})).ending =
        drawn.told("F", {40, 0}, fixing::CrossingRadial{drawn.at("XCD"), base::Radial::degrees(180)});
    drawn.leg({40, 0}, {40, 40}, procedure::OnRadial{drawn.at("XCD"), true, base::Radial::degrees(0)})
        .ending = drawn.told("XCD", {40, 40}, fixing::Overhead{drawn.at("XCD")});
    return drawn;
}

std::optional<BackToCard> back(DrawnFlight& drawn, At place, std::optional<double> heading_deg = std::nullopt,
                               std::optional<int> done = std::nullopt) {
    const flight::Compiled& compiled = drawn.compiled();
    const earth::Position here = drawn.place(place);
    const fixing::Belief belief = belief_at(here);
    BackQuestion question{belief, here, Altitude::feet(drawn.level_ft), Altitude::feet(drawn.level_ft)};
    if (heading_deg) {
        question.heading = base::MagneticBearing::degrees(*heading_deg);
    }
    return back_to_card(drawn.day(), {drawn.flight(), compiled, done}, question);
}

base::Variation variation_at(const DrawnFlight& drawn, At place) {
    return omniway::testing::magnetic_model().variation(drawn.place(place), earth::DecimalYear{2026.0});
}
bool says(const BackToCard& back, const std::string& code) {
    return std::any_of(back.findings.begin(), back.findings.end(),
                       [&](const base::Finding& each) { return each.code == code; });
}

}  // namespace

// trade-facts 7.1: course 090 true, TAS 120, wind 045/40: heading 076 true, groundspeed 88 kt (76.37 and 88.3 computed).
TEST(TruthBackToCard, OnTheLineTheHeadingIsThatOfTheWindTriangle) {
    DrawnFlight drawn = eastward_and_north();
    drawn.wind = {TrueBearing::degrees(45), base::Speed::knots(40)};
    drawn.airspeed_kt = 120;
    const auto made = back(drawn, {-20, 0.1});
    ASSERT_TRUE(made);
    EXPECT_EQ(made->step, 1);
    EXPECT_EQ(made->by, JoinBy::on_it);
    // The line's course is 090 true at XAB, 0.3 degrees less so far west of it.
    const double convergence_deg =
        90.0 - base::to_true(made->track, variation_at(drawn, {-20, 0.1})).degrees();
    EXPECT_NEAR(convergence_deg, 0.0, 0.4);
    EXPECT_NEAR(base::to_true(*made->heading, variation_at(drawn, {-20, 0.1})).degrees(), 76.37, 0.5);
    EXPECT_NEAR(made->distance.nautical_miles(), 20.0, 0.05);
    EXPECT_NEAR(base::in_minutes(*made->time), 20.0 / 88.3 * 60.0, 0.15);
    ASSERT_TRUE(made->set);
    EXPECT_EQ(made->set->aid.ident, "XAB");
    EXPECT_EQ(made->set->course, base::Radial::degrees(90));
    EXPECT_TRUE(made->findings.empty());
    EXPECT_EQ(made->minimum.from, flight::MinimumFrom::published_airway);
}

// trade-facts 7.1: course 180 true, TAS 180, wind 100/18: heading 174, groundspeed 176 kt. North of a line that runs 135, met under 45.
TEST(TruthBackToCard, AnInterceptsHeadingIsThatOfTheWindTriangle) {
    DrawnFlight drawn;
    drawn.sketch.vor("XAB", {0, 0});
    drawn.build({-20, 20});
    drawn.leg({-20, 20}, {0, 0}, procedure::OnRadial{drawn.at("XAB"), true, base::Radial::degrees(135)})
        .ending = drawn.told("XAB", {0, 0}, fixing::Overhead{drawn.at("XAB")});
    drawn.wind = {TrueBearing::degrees(100), base::Speed::knots(18)};
    drawn.airspeed_kt = 180;
    // 24 degrees off the line as seen from XAB.
    const At place{-5.0, 13.0};
    const auto made = back(drawn, place, 200.0);
    ASSERT_TRUE(made);
    EXPECT_EQ(made->by, JoinBy::intercept);
    EXPECT_NEAR(made->cut.degrees(), 45.0, 1e-6);
    EXPECT_NEAR(base::to_true(made->track, variation_at(drawn, place)).degrees(), 180.0, 0.3);
    EXPECT_NEAR(base::to_true(*made->heading, variation_at(drawn, place)).degrees(), 174.35, 0.4);
    EXPECT_NEAR(made->turn->degrees(), made->heading->degrees() - 200.0, 1e-6);
    // It meets the line at {-5, 5}: 8 NM.
    EXPECT_NEAR(made->distance.nautical_miles(), 8.0, 0.05);
    EXPECT_NEAR(base::in_minutes(*made->time), 8.0 / 176.0 * 60.0, 0.03);
    EXPECT_NEAR(made->then.degrees(),
                base::to_magnetic(TrueBearing::degrees(135), variation_at(drawn, {-5, 5})).degrees(), 0.3);
}

// Twice the angle seen from the aid: FAA Instrument Flying Handbook, VOR intercepts, from memory.
TEST(LawBackToCard, TheCutIsTwiceTheAngleFromTheAidWithinItsBounds) {
    DrawnFlight drawn = eastward_and_north();
    const auto cut_at = [&](At place) { return back(drawn, place)->cut.degrees(); };
    // 15 degrees off at 10 NM: 30.
    EXPECT_NEAR(cut_at({-10.0 * std::cos(0.2618), 10.0 * std::sin(0.2618)}), 30.0, 0.2);
    EXPECT_NEAR(cut_at({-30, 1}), 20.0, 1e-6);
    // 11 degrees off, and 10.4 NM by heading under twice that: 10 may be reckoned, and under 45 degrees it is 5.7 NM.
    EXPECT_NEAR(cut_at({-20, 4}), 45.0, 1e-6);
    EXPECT_NEAR(cut_at({-10, -6}), 45.0, 1e-6);
    // Before its beginning the line is met where it begins, at less.
    EXPECT_LT(cut_at({-46, 2}), 20.0);
}

TEST(CaseBackToCard, ALocalizerIsMetUnderThirtyDegreesAndTheFinalNever) {
    DrawnFlight drawn;
    drawn.onto_an_ils({});
    const auto made = back(drawn, {-13.0, -1.5});
    ASSERT_TRUE(made);
    EXPECT_EQ(made->step, 1);
    EXPECT_EQ(made->by, JoinBy::intercept);
    EXPECT_LE(made->cut.degrees(), 30.0 + 1e-6);
    ASSERT_TRUE(made->set);
    EXPECT_EQ(made->set->aid.ident, "IAAA");
    // Beside the final: not the final, but the way to its fix.
    const auto beside = back(drawn, {-3.0, -1.0});
    ASSERT_TRUE(beside);
    EXPECT_EQ(beside->step, 1);
    EXPECT_EQ(beside->by, JoinBy::direct);
    EXPECT_FALSE(back(drawn, {-13.0, -1.5}, std::nullopt, 1));  // nothing is left to be joined
}

TEST(CaseBackToCard, AnApproachThatIsNotMetOnItsLinesIsJoinedWhereItBegins) {
    DrawnFlight drawn;
    drawn.sketch.vor("XAB", {0, 0}).vor("XCD", {-30, 0});
    drawn.build({-60, 0});
    const auto inbound = [&](const char* ident) {
        return procedure::OnRadial{drawn.at(ident), true, base::Radial::degrees(90)};
    };
    flight::Leg& to_it = drawn.leg({-60, 0}, {-30, 0}, inbound("XCD"));
    to_it.ending = drawn.told("XCD", {-30, 0}, fixing::Overhead{drawn.at("XCD")});
    to_it.to = procedure::PlacedFix{"XCD", drawn.place({-30, 0}), std::nullopt, false};
    for (const double from : {-30.0, -15.0}) {
        flight::Leg& leg = drawn.leg({from, 0}, {from + 15.0, 0}, inbound("XAB"));
        leg.phase = flight::Phase::approach;
        leg.ending =
            from < -20.0
                ? drawn.told("F", {-15, 0}, fixing::DmeReading{drawn.at("XAB"), Length::nautical_miles(15)})
                : drawn.told("XAB", {0, 0}, fixing::Overhead{drawn.at("XAB")});
    }
    drawn.compiled();
    const auto approach =
        std::find_if(drawn.made().track.steps.begin(), drawn.made().track.steps.end(),
                     [](const auto& step) { return step.phase == flight::Phase::approach; });
    ASSERT_NE(approach, drawn.made().track.steps.end());
    drawn.made().track.final_approach.emplace().first_step = 99;
    const earth::Position here = drawn.place({-1.0, 2.0});  // beyond where its last line can be met
    const fixing::Belief belief = belief_at(here);
    const auto made = back_to_card(drawn.day(), {drawn.flight(), drawn.made()},
                                   {belief, here, Altitude::feet(6000), Altitude::feet(6000)});
    ASSERT_TRUE(made);
    EXPECT_EQ(made->by, JoinBy::direct);
    EXPECT_EQ(made->step, approach->number);
    EXPECT_EQ(made->direct_to, "XCD");
    EXPECT_EQ(made->set->aid.ident, "XCD");
    EXPECT_NEAR(made->distance.nautical_miles(), std::hypot(29.0, 2.0), 0.05);
}

TEST(CaseBackToCard, PastTheEndOfALineTheNextOneIsMet) {
    DrawnFlight drawn = eastward_and_north();
    // 0.4 NM beside step 2, a mile before F: the line of step 3.
    const auto made = back(drawn, {39, 0.4});
    ASSERT_TRUE(made);
    EXPECT_EQ(made->step, 3);
    EXPECT_EQ(made->by, JoinBy::intercept);
    EXPECT_EQ(made->set->aid.ident, "XCD");
    // With no step after it: direct to its end, by the aid there, whose course is the bearing to it.
    const auto last = back(drawn, {44, 39.5});
    ASSERT_TRUE(last);
    EXPECT_EQ(last->step, 3);
    EXPECT_EQ(last->by, JoinBy::direct);
    const auto bearing = earth::bearing(drawn.place({40, 40}), drawn.place({44, 39.5})).reciprocal();
    EXPECT_NEAR(last->set->course->degrees(), bearing.degrees(), 1e-6);  // its declination is zero
    EXPECT_NEAR(last->distance.nautical_miles(), std::hypot(4.0, 0.5), 0.01);
}

TEST(CaseBackToCard, TooFarAsideOneGoesToTheAidAtTheEnd) {
    DrawnFlight drawn = eastward_and_north();
    // 20 NM aside: 28 NM by heading, and 10 may be reckoned.
    const auto made = back(drawn, {-30, 20});
    ASSERT_TRUE(made);
    EXPECT_EQ(made->step, 1);
    EXPECT_EQ(made->by, JoinBy::direct);
    EXPECT_EQ(made->set->aid.ident, "XAB");
    EXPECT_FALSE(says(*made, "back.by_heading"));
    // No aid at its end: to the one that guides it.
    const auto guided = back(drawn, {10, -15});
    ASSERT_TRUE(guided);
    EXPECT_EQ(guided->step, 2);
    EXPECT_EQ(guided->by, JoinBy::direct);
    EXPECT_EQ(guided->direct_to, "XAB");
    EXPECT_NEAR(guided->distance.nautical_miles(), std::hypot(10.0, 15.0), 0.02);
    EXPECT_FALSE(says(*guided, "back.by_heading"));
    // That is not heard either: the line is met all the same, and what speaks against it is said.
    const auto far = back(drawn, {-42, -8});
    ASSERT_TRUE(far);
    EXPECT_EQ(far->step, 1);
    EXPECT_EQ(far->by, JoinBy::intercept);
    EXPECT_TRUE(says(*far, "back.by_heading"));
    EXPECT_TRUE(says(*far, "back.not_heard"));
}

TEST(CaseBackToCard, OfStepsAsNearTheHeadingDecidesAndWhatIsDoneIsBehind) {
    DrawnFlight drawn = eastward_and_north();
    // Between steps 2 and 3, as far from both.
    const At corner{37.0, 3.0};
    EXPECT_EQ(back(drawn, corner, 350.0)->step, 3);
    EXPECT_EQ(back(drawn, {20, 1}, 350.0)->step, 2);  // too far from step 3
    EXPECT_EQ(back(drawn, {20, 1}, std::nullopt, 2)->step, 3);
    EXPECT_FALSE(back(drawn, {20, 1}, std::nullopt, 3));
}

TEST(CaseBackToCard, SilenceAndWindAreSaidAndTheShareOfTheBeliefThatHears) {
    DrawnFlight drawn = eastward_and_north();
    const flight::Compiled& compiled = drawn.compiled();
    const earth::Position here = drawn.place({-38, 1});
    fixing::Belief belief = belief_at(here);
    // A low VOR is heard within 40 NM (trade-facts 1.1): a quarter of the belief is 45 NM away.
    belief.cells = {{belief.frame.to_plane(here), 0.75},
                    {belief.frame.to_plane(drawn.place({-45, 1})), 0.25}};
    const auto made = back_to_card(drawn.day(), {drawn.flight(), compiled},
                                   {belief, here, Altitude::feet(6000), Altitude::feet(8000)});
    ASSERT_TRUE(made);
    ASSERT_EQ(made->heard.size(), 2U);
    EXPECT_TRUE(made->heard[0].here.heard());
    EXPECT_NEAR(made->heard[0].share, 0.75, 1e-9);
    EXPECT_EQ(made->heard[1].altitude, Altitude::feet(8000));
    const auto outside = back(drawn, {-45, 1});
    EXPECT_TRUE(says(*outside, "back.not_heard"));
    EXPECT_THAT(outside->findings.front().text, HasSubstr("beyond its 40 NM service volume"));
    drawn.wind = {TrueBearing::degrees(90), base::Speed::knots(130)};
    const auto blown = back(drawn, {-30, 3});
    EXPECT_FALSE(blown->heading);
    EXPECT_FALSE(blown->time);
    EXPECT_TRUE(says(*blown, "back.no_heading"));
}

// Wherever it is: flown by geodesics, the track ends on the line under the cut that is said, 2 NM before its end, or at the end; and no line
// lies a mile nearer than the step's, but the one before it.
RC_GTEST_PROP(LawBackToCard, TheTrackEndsWhereItSays, ()) {
    DrawnFlight drawn = eastward_and_north();
    drawn.wind = {TrueBearing::degrees(*between(0.0, 360.0)), base::Speed::knots(*between(0.0, 50.0))};
    const At place{*between(-45.0, 60.0), *between(-25.0, 50.0)};
    const auto made = back(drawn, place);
    RC_ASSERT(made.has_value());
    RC_ASSERT(made->heading.has_value());
    const earth::Position here = drawn.place(place);
    const auto& steps = drawn.made().track.steps;
    const flight::TrackStep& joined = steps[static_cast<std::size_t>(made->step - 1)];
    const auto track = base::to_true(made->track, variation_at(drawn, place));
    const earth::Position end = earth::destination(here, track, made->distance);
    RC_CLASSIFY(made->by == JoinBy::intercept, "intercept");
    RC_CLASSIFY(made->by == JoinBy::direct, "direct");
    if (made->by == JoinBy::direct) {
        RC_ASSERT(
            earth::distance(end, joined.finish).metres() < 10.0 ||
            earth::distance(end, drawn.place(made->direct_to == "XAB" ? At{0, 0} : At{40, 40})).metres() <
                10.0);
    } else {
        const auto on = earth::along_across(joined.start, joined.finish, end);
        // The plane is true to 0.002 NM in 300, and its lines are straight where geodesics bend by some metres.
        RC_ASSERT(std::abs(on.across.metres()) < (made->by == JoinBy::on_it ? 600.0 : 60.0));
        RC_ASSERT(on.along.nautical_miles() > -0.05);
        if (made->by == JoinBy::intercept) {
            RC_ASSERT((joined.length - on.along).nautical_miles() > 1.95);
            const auto arriving = earth::geodesic(here, end).arrival;
            const auto line = earth::bearing(end, joined.finish);
            RC_ASSERT(std::abs(abs(arriving - line).degrees() - made->cut.degrees()) < 0.2);
            RC_ASSERT(made->cut.degrees() <= 45.0 + 1e-6);
        }
    }
    // Brute: every quarter of a mile of every step.
    std::vector<double> off_nm;
    for (const flight::TrackStep& step : steps) {
        double least = earth::distance(here, step.finish).nautical_miles();
        for (double along = 0.0; along <= step.length.nautical_miles(); along += 0.25) {
            const auto place_on = earth::destination(step.start, step.track, Length::nautical_miles(along));
            least = std::min(least, earth::distance(here, place_on).nautical_miles());
        }
        off_nm.push_back(least);
    }
    const auto nearest =
        static_cast<int>(std::min_element(off_nm.begin(), off_nm.end()) - off_nm.begin()) + 1;
    const double of_joined = off_nm[static_cast<std::size_t>(made->step - 1)];
    RC_ASSERT(std::abs(made->off.nautical_miles() - of_joined) < 0.15);
    RC_ASSERT(made->step == nearest + 1 || of_joined < off_nm[static_cast<std::size_t>(nearest - 1)] + 0.15);
}

}  // namespace omniway::plan
