#include "plan/choices.hpp"

#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "flight/costs.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"

namespace omniway::plan {

using base::Length;
using omniway::testing::aircraft_with;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;

namespace {

// Place 7 lies 7 tenths of a degree up the first meridian, 27 as far up one that runs a degree east of it.
earth::Position at(int place) {
    return earth::Position::degrees(40.0 + place % 20 * 0.1, -170.0 + place / 20);
}

// Legs that count 10 NM each, from place to place.
Choice choice(double minutes, double work, double margin, const std::vector<int>& places,
              const std::string& approach = "ILS RW09") {
    Choice made;
    made.option.verdict = base::Verdict::flyable;
    made.option.flight.approach = approach;
    for (std::size_t i = 1; i < places.size(); ++i) {
        flight::Leg leg;
        leg.start = at(places[i - 1]);
        leg.finish = at(places[i]);
        leg.length = Length::nautical_miles(10.0);
        made.option.flight.legs.push_back(leg);
    }
    made.costs.time = base::minutes(minutes);
    made.costs.work = work;
    made.costs.margin.reception = margin;
    return made;
}

std::vector<double> minutes_of(const std::vector<Choice>& choices) {
    std::vector<double> all;
    for (const Choice& each : choices) {
        all.push_back(base::in_minutes(each.costs.time));
    }
    return all;
}

}  // namespace

TEST(CaseChoices, AnotherWayIsOfferedWhereItIsBetterInOneThing) {
    const Choice first = choice(50, 20, 0.5, {0, 1, 2, 3});
    const auto offered = worth_offering(first,
                                        {choice(60, 21, 0.4, {0, 29, 28, 3}),   // worse in all
                                         choice(58, 10, 0.5, {0, 47, 46, 3}),   // less work
                                         choice(55, 25, 0.8, {0, 65, 64, 3})},  // more margin
                                        5);
    EXPECT_EQ(minutes_of(offered), (std::vector<double>{55, 58}));
    EXPECT_EQ(
        worth_offering(first, {choice(58, 10, 0.5, {0, 47, 46, 3}), choice(55, 25, 0.8, {0, 65, 64, 3})}, 1)
            .size(),
        1U);
}

TEST(CaseChoices, WhatIsBetterByNothingThatCountsIsNotOffered) {
    const Choice first = choice(50, 20, 0.5, {0, 1, 2, 3});
    // A sixth of a minute is no reason for seven points more; and of two that differ so the easier is offered.
    EXPECT_TRUE(worth_offering(first, {choice(49.9, 27, 0.5, {0, 29, 28, 3})}, 5).empty());
    EXPECT_EQ(minutes_of(worth_offering(
                  first, {choice(45, 27, 0.5, {0, 29, 28, 3}), choice(45.1, 22, 0.5, {0, 47, 46, 3})}, 5)),
              (std::vector<double>{45.1}));
}

TEST(CaseChoices, WhatSharesSevenTenthsOfItsDistanceIsOfferedOnlyForAnotherApproach) {
    const Choice first = choice(50, 20, 0.5, {0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10});
    const std::vector<int> seven_shared{0, 1, 2, 3, 4, 5, 6, 7, 27, 28, 10};
    const std::vector<int> six_shared{0, 1, 2, 3, 4, 5, 6, 26, 27, 28, 10};
    EXPECT_DOUBLE_EQ(shared_distance(choice(0, 0, 0, seven_shared).option.flight, first.option.flight), 0.7);
    EXPECT_TRUE(worth_offering(first, {choice(52, 10, 0.5, seven_shared)}, 5).empty());
    EXPECT_EQ(worth_offering(first, {choice(52, 10, 0.5, six_shared)}, 5).size(), 1U);
    EXPECT_EQ(worth_offering(first, {choice(52, 10, 0.5, seven_shared, "VOR RW27")}, 5).size(), 1U);
}

TEST(CaseChoices, TheSameLineCutOtherwiseIsTheSameWayAndTheWayBackIsNot) {
    const auto flown = [](const std::vector<int>& places) { return choice(0, 0, 0, places).option.flight; };
    EXPECT_DOUBLE_EQ(shared_distance(flown({0, 3, 10}), flown({0, 1, 2, 6, 9, 10})), 1.0);
    EXPECT_DOUBLE_EQ(shared_distance(flown({10, 0}), flown({0, 10})), 0.0);
    // Beside it by 0.02 degrees of longitude, 0.9 NM, it is the same way; by 0.1 degrees, 4.6 NM, another.
    flight::Flight beside = flown({0, 5, 10});
    for (const double east_deg : {0.02, 0.1}) {
        for (std::size_t i = 0; i < beside.legs.size(); ++i) {
            beside.legs[i].start =
                earth::Position::degrees(40.0 + 0.5 * static_cast<double>(i), -170.0 + east_deg);
            beside.legs[i].finish =
                earth::Position::degrees(40.5 + 0.5 * static_cast<double>(i), -170.0 + east_deg);
        }
        EXPECT_NEAR(shared_distance(beside, flown({0, 10})), east_deg < 0.05 ? 1.0 : 0.0, 0.11);
    }
}

TEST(CaseChoices, WhatIsNotFlyableIsNoChoiceAndHidesNone) {
    const Choice first = choice(50, 20, 0.5, {0, 1, 2, 3});
    Choice refused = choice(40, 1, 0.9, {0, 65, 64, 3});
    refused.option.verdict = base::Verdict::not_flyable;
    EXPECT_EQ(minutes_of(worth_offering(first, {refused, choice(58, 10, 0.5, {0, 47, 46, 3})}, 5)),
              (std::vector<double>{58}));
}

TEST(CaseChoices, TheDifferenceIsSaidInOneSentence) {
    const Choice first = choice(50, 20, 0.5, {0, 1});
    Choice other = choice(54, 13, 0.08, {0, 2, 1}, "VOR RW27");
    other.costs.margin.reception_at = "XKE heard at 36.8 of 40.0 NM, direct from XKE to XHU";
    other.option.own_entry = true;
    EXPECT_EQ(
        difference_of(first, other),
        "4 min longer, 7 points less work, VOR RW27 entered by own navigation instead of ILS RW09, 10 NM "
        "more off the airways, of the margin 8 % (XKE heard at 36.8 of 40.0 NM, direct from XKE to XHU) "
        "left where it is tightest instead of 50 %");
}

//            MMM            the straight way changes aids five times, the way round once less
//         /       \.
//   . AAA - BBB - INI ILS
TEST(CaseChoices, APlanOffersTheEasierWayRoundAndTheSameOnOneThreadAndOnEight) {
    Sketch sketch;
    omniway::testing::draw_eastbound_ils(sketch);
    const omniway::testing::VorDrawn terminal{.service = navdata::ServiceClass::terminal};
    sketch.vor("AAA", {10, 0}, terminal).vor("MMM", {68, 26}, terminal);
    sketch.vor("BBB", {45, 4}, terminal).vor("CCC", {85, -4}, terminal);
    sketch.airway("V1", {"AAA", "MMM", "INI"}).airway("V2", {"AAA", "BBB", "CCC", "INI"});
    const auto world = sketch.world();
    Request asked;
    asked.from = *world.airport("XDEP");
    asked.to = *world.airport("XARR");
    asked.aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    asked.winds = weather::Wind{base::TrueBearing::degrees(90), base::Speed::knots(10)};
    asked.cruise = base::Altitude::feet(5000);
    asked.settings.off_airway_minimum = base::Altitude::feet(3000);
    asked.today = earth::DecimalYear{2026.0};
    asked.most_choices = 3;
    const auto text_of = [&](unsigned threads, std::size_t choice) {
        asked.threads = threads;
        asked.choice = choice;
        const Answer answer = plan(world, radio::Ground{}, magnetic_model(), asked);
        std::string text = route_text(world, answer.option->flight);
        for (const Choice& other : answer.others) {
            text += "\n" + route_text(world, other.option.flight) + ": " + other.difference + " " +
                    std::to_string(other.costs.time.count()) + " " + std::to_string(other.costs.work);
        }
        return text;
    };
    const std::string alone = text_of(1, 1);
    EXPECT_EQ(text_of(8, 1), alone);
    EXPECT_TRUE(alone.find("XDEP DCT AAA V2 INI XARR") == 0) << alone;
    EXPECT_NE(alone.find("\nXDEP DCT AAA V1 INI XARR: "), std::string::npos) << alone;
    // Chosen, it takes the place of the first.
    EXPECT_TRUE(text_of(1, 2).find("XDEP DCT AAA V1 INI XARR\nXDEP DCT AAA V2 INI XARR: ") == 0)
        << text_of(1, 2);
}

}  // namespace omniway::plan
