#include "flight/en_route.hpp"

#include <cmath>
#include <numbers>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"
#include "tests/sketch_placed.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::Speed;
using navdata::AirwayDirection;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::airways_of;
using omniway::testing::At;
using omniway::testing::equipment;
using omniway::testing::placed;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::HasSubstr;

namespace {

constexpr Aboard one_receiver{.receivers = 1};
constexpr Aboard with_adf{.receivers = 1, .adf = true};

struct Asked {
    std::string designator = "V1";
    std::size_t index = 0;
    bool forward = true;
    double altitude_ft = 5000;
    Aboard aboard = one_receiver;
};

LegOrReason leg(const navdata::Snapshot& world, const Asked& asked) {
    return airway_leg(world, equipment(asked.aboard), *airways_of(world, asked.designator).at(0), asked.index,
                      asked.forward, Altitude::feet(asked.altitude_ft));
}

std::string refusal(const LegOrReason& made) {
    EXPECT_NE(made.leg.has_value(), made.refused.has_value());
    return made.refused ? made.refused->code : "";
}

// Two VORs 60 NM apart with a fix a third of the way.
Sketch straight(const omniway::testing::AirwayDrawn& drawn, const std::string& designator = "V1") {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).fix("MIDAA", {20, 0}).vor("BBB", {60, 0});
    sketch.airway(designator, {"AAA", "MIDAA", "BBB"}, drawn);
    return sketch;
}

}  // namespace

TEST(CaseAirwayLeg, AOneWaySegmentIsFlownOnlyItsWay) {
    const auto forward = straight({.direction = AirwayDirection::forward_only}).world();
    EXPECT_EQ(refusal(leg(forward, {.forward = true})), "");
    EXPECT_EQ(refusal(leg(forward, {.forward = false})), "airway.wrong_direction");
    const auto backward = straight({.direction = AirwayDirection::backward_only}).world();
    EXPECT_EQ(refusal(leg(backward, {.forward = true})), "airway.wrong_direction");
    EXPECT_EQ(refusal(leg(backward, {.forward = false})), "");
}

TEST(CaseAirwayLeg, ADirectionalMinimumBindsItsDirection) {
    const auto world = straight({.minimum_ft = 4000, .minimum_backward_ft = 7000}).world();
    EXPECT_EQ(refusal(leg(world, {.forward = true, .altitude_ft = 4000})), "");
    EXPECT_EQ(refusal(leg(world, {.forward = true, .altitude_ft = 3999})), "airway.below_minimum");
    EXPECT_EQ(refusal(leg(world, {.forward = false, .altitude_ft = 6999})), "airway.below_minimum");
    EXPECT_EQ(refusal(leg(world, {.forward = false, .altitude_ft = 7000})), "");
    EXPECT_THAT(leg(world, {.forward = false, .altitude_ft = 6000}).refused->text,
                ::testing::AllOf(HasSubstr("7000"), HasSubstr("6000")));
}

TEST(CaseAirwayLeg, AboveItsMaximumItIsRefused) {
    const auto world = straight({.maximum_ft = 9000}).world();
    EXPECT_EQ(refusal(leg(world, {.altitude_ft = 9000})), "");
    EXPECT_EQ(refusal(leg(world, {.altitude_ft = 9001})), "airway.above_maximum");
}

// AIM 5-3-4 (trade-facts 9.1 [seen]): V to but not including 18,000 ft, J from 18,000 ft to FL450 inclusive.
TEST(TruthAirwayLeg, VictorAirwaysEndBelowEighteenThousandWhereJetRoutesBegin) {
    const auto victor = straight({}).world();
    EXPECT_EQ(refusal(leg(victor, {.altitude_ft = 17999})), "");
    EXPECT_EQ(refusal(leg(victor, {.altitude_ft = 18000})), "airway.outside_band");
    const auto jet = straight({}, "J1").world();
    EXPECT_EQ(refusal(leg(jet, {.designator = "J1", .altitude_ft = 17999})), "airway.outside_band");
    EXPECT_EQ(refusal(leg(jet, {.designator = "J1", .altitude_ft = 18000})), "");
    EXPECT_EQ(refusal(leg(jet, {.designator = "J1", .altitude_ft = 45000})), "");
    EXPECT_EQ(refusal(leg(jet, {.designator = "J1", .altitude_ft = 45001})), "airway.outside_band");
}

TEST(CaseAirwayLeg, AnAreaNavigationRouteIsRefusedByName) {
    const auto world = straight({}, "T5").world();
    EXPECT_EQ(refusal(leg(world, {.designator = "T5"})), "airway.area_navigation");
}

TEST(CaseAirwayLeg, AMinimumThatIsNotPublishedIsNotKnownAndNotZero) {
    const auto world = straight({.minimum_ft = std::nullopt}).world();
    const auto made = leg(world, {});
    ASSERT_TRUE(made.leg);
    EXPECT_EQ(made.leg->minimum.from, MinimumFrom::published_unknown);
    EXPECT_FALSE(made.leg->minimum.altitude);
}

// 14 CFR 95.8001 (trade-facts 9.3 [seen]): the changeover is midway between the aids of a straight segment.
TEST(TruthAirwayLeg, TheChangeoverOfAStraightStretchIsMidwayBetweenItsAids) {
    const auto world = straight({}).world();
    const auto first = leg(world, {.index = 0}).leg.value();
    ASSERT_EQ(first.stretches.size(), 1U);
    EXPECT_EQ(procedure::station_of(first.stretches[0].guidance), station_of(world, "AAA"));
    const auto second = leg(world, {.index = 1}).leg.value();
    ASSERT_EQ(second.stretches.size(), 2U);
    EXPECT_NEAR(second.stretches[0].to.nautical_miles(), 10.0, 0.05);
    EXPECT_EQ(procedure::station_of(second.stretches[0].guidance), station_of(world, "AAA"));
    EXPECT_EQ(procedure::station_of(second.stretches[1].guidance), station_of(world, "BBB"));
    const auto back = leg(world, {.index = 1, .forward = false}).leg.value();
    ASSERT_EQ(back.stretches.size(), 2U);
    EXPECT_NEAR(back.stretches[0].to.nautical_miles(), 30.0, 0.05);
    EXPECT_EQ(procedure::station_of(back.stretches[0].guidance), station_of(world, "BBB"));
}

// 14 CFR 95.8001: at the intersection for a dogleg.
TEST(TruthAirwayLeg, TheChangeoverOfADoglegIsItsBend) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).fix("BENDA", {30, 0}).vor("BBB", {45, 20});
    sketch.airway("V1", {"AAA", "BENDA", "BBB"});
    const auto world = sketch.world();
    const auto first = leg(world, {.index = 0}).leg.value();
    const auto second = leg(world, {.index = 1}).leg.value();
    ASSERT_EQ(first.stretches.size(), 1U);
    ASSERT_EQ(second.stretches.size(), 1U);
    EXPECT_EQ(procedure::station_of(first.stretches[0].guidance), station_of(world, "AAA"));
    EXPECT_EQ(procedure::station_of(second.stretches[0].guidance), station_of(world, "BBB"));
}

TEST(CaseAirwayLeg, ABeaconsAirwayNeedsAnAdf) {
    Sketch sketch;
    sketch.ndb("AAA", {0, 0}).ndb("BBB", {40, 0});
    sketch.airway("A1", {"AAA", "BBB"});
    const auto world = sketch.world();
    EXPECT_EQ(refusal(leg(world, {.designator = "A1"})), "airway.lacks_receiver");
    EXPECT_EQ(refusal(leg(world, {.designator = "A1", .aboard = with_adf})), "");
}

TEST(CaseAirwayLeg, BetweenFixesThatLieOnNoAidsLineItIsRefused) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).fix("ONEAA", {20, 0}).fix("TWOAA", {30, 20}).vor("BBB", {60, 20});
    sketch.airway("V1", {"AAA", "ONEAA", "TWOAA", "BBB"});
    const auto world = sketch.world();
    EXPECT_EQ(refusal(leg(world, {.index = 0})), "");
    EXPECT_EQ(refusal(leg(world, {.index = 1})), "airway.no_aid");
    EXPECT_EQ(refusal(leg(world, {.index = 2})), "");
}

namespace {

LegOrReason direct(const navdata::Snapshot& world, const std::string& from, const std::string& to,
                   const Settings& settings = {}, double altitude_ft = 5000,
                   const Aboard& aboard = one_receiver) {
    return direct_leg(world, radio::Ground{}, equipment(aboard), settings, placed(world, from),
                      placed(world, to), Altitude::feet(altitude_ft), Speed::knots(150));
}

// Two low VORs (40 NM each below 18,000 ft) so far apart that `gap_nm` is left between them.
Sketch apart(double gap_nm) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {80.0 + gap_nm, 0});
    return sketch;
}

}  // namespace

TEST(CaseDirectLeg, WithinBothVolumesItChangesOverMidway) {
    const auto world = apart(-10).world();
    const auto made = direct(world, "AAA", "BBB").leg.value();
    ASSERT_EQ(made.stretches.size(), 2U);
    EXPECT_NEAR(made.stretches[0].to.nautical_miles(), 35.0, 0.01);
    EXPECT_FALSE(made.published);
}

TEST(CaseDirectLeg, AGapWithinTheAllowanceIsDeadReckoning) {
    const auto world = apart(9.9).world();
    const auto made = direct(world, "AAA", "BBB").leg.value();
    ASSERT_EQ(made.stretches.size(), 3U);
    const auto* on_heading = std::get_if<procedure::OnHeading>(&made.stretches[1].guidance);
    ASSERT_NE(on_heading, nullptr);
    // The track where the signal is lost, which is not that at the start of the leg.
    const auto lost = earth::destination(made.start, made.track, made.stretches[1].from);
    EXPECT_NEAR(on_heading->track.degrees(), earth::bearing(lost, made.finish).degrees(), 1e-9);
    EXPECT_NEAR(made.stretches[1].from.nautical_miles(), 40.0, 0.01);
    EXPECT_NEAR(made.stretches[1].to.nautical_miles(), 49.9, 0.01);
}

// Clairaut's relation: along a geodesic sin(course) cos(reduced latitude) stays the same.
TEST(CaseDirectLeg, DeadReckoningHoldsTheTrackOfWhereItBeginsNotOfTheStation) {
    Sketch sketch(earth::Position::degrees(60.0, -170.0));
    sketch.vor("AAA", {0, 0}).vor("BBB", {89.0, 0});
    const auto world = sketch.world();
    const auto made = direct(world, "AAA", "BBB").leg.value();
    ASSERT_EQ(made.stretches.size(), 3U);
    const auto* heading = std::get_if<procedure::OnHeading>(&made.stretches[1].guidance);
    ASSERT_NE(heading, nullptr);
    const earth::Position lost = earth::destination(made.start, made.track, made.stretches[1].from);
    const auto invariant = [](earth::Position place, base::TrueBearing course) {
        const double reduced = std::atan((1.0 - 1.0 / 298.257223563) *
                                         std::tan(place.latitude_deg() * std::numbers::pi / 180.0));
        return std::sin(course.degrees() * std::numbers::pi / 180.0) * std::cos(reduced);
    };
    EXPECT_NEAR(invariant(lost, heading->track), invariant(made.start, made.track), 1e-9);
    EXPECT_GT(abs(heading->track - made.track), base::Angle::degrees(0.5));
}

// Design section 3: 10 NM or 5 minutes, whichever is less.
TEST(CaseDirectLeg, AGapBeyondTheAllowanceIsRefusedWithItsFigures) {
    const auto world = apart(10.2).world();
    const auto made = direct(world, "AAA", "BBB");
    ASSERT_EQ(refusal(made), "direct.no_signal");
    EXPECT_THAT(made.refused->text, HasSubstr("10.2 NM"));
    EXPECT_THAT(made.refused->text, HasSubstr("10.0 NM"));
    Settings longer;
    longer.dead_reckoning_distance = Length::nautical_miles(11.0);
    EXPECT_TRUE(direct(world, "AAA", "BBB", longer).leg);
    Settings shorter_time;
    shorter_time.dead_reckoning_time = base::minutes(3.0);  // 7.5 NM at 150 kt
    EXPECT_EQ(refusal(direct(apart(8).world(), "AAA", "BBB", shorter_time)), "direct.no_signal");
    EXPECT_NEAR(dead_reckoning_limit(shorter_time, Speed::knots(150)).nautical_miles(), 7.5, 1e-9);
}

TEST(CaseDirectLeg, AFixBeyondTheOnlyAidsVolumeIsRefused) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).fix("FARAA", {45, 0}).fix("NEARA", {35, 0});
    const auto world = sketch.world();
    EXPECT_EQ(refusal(direct(world, "AAA", "FARAA")), "direct.no_signal");
    EXPECT_EQ(refusal(direct(world, "AAA", "NEARA")), "");
    EXPECT_EQ(refusal(direct(world, "NEARA", "FARAA")), "direct.no_signal");
}

// Two fixes on the radial 090 of a low VOR (40 NM below 18,000 ft), 10 and 30 NM from it.
//     AAA ---- ONEAA -------- TWOAA
TEST(CaseDirectLeg, BetweenTwoFixesOnOneRadialTheVorThatStandsAtNeitherGuides) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).fix("ONEAA", {10, 0}).fix("TWOAA", {30, 0}).fix("OFFAA", {30, 3});
    const auto world = sketch.world();
    const auto out = direct(world, "ONEAA", "TWOAA").leg.value();
    ASSERT_EQ(out.stretches.size(), 1U);
    const auto& away = std::get<procedure::OnRadial>(out.stretches[0].guidance);
    EXPECT_EQ(away.station, station_of(world, "AAA"));
    EXPECT_FALSE(away.toward);
    EXPECT_NEAR(away.course.degrees(), 90.0, 0.5);
    const auto in = direct(world, "TWOAA", "ONEAA").leg.value();
    const auto& toward = std::get<procedure::OnRadial>(in.stretches.at(0).guidance);
    EXPECT_TRUE(toward.toward);
    EXPECT_NEAR(toward.course.degrees(), 270.0, 0.5);
    EXPECT_EQ(refusal(direct(world, "ONEAA", "OFFAA")), "direct.no_aid");  // 3 NM off: 6 degrees
    EXPECT_EQ(refusal(direct(world, "ONEAA", "TWOAA", {}, 5000, {.receivers = 0})), "direct.no_aid");
}

// Neither VOR reaches the other end: the one behind to 40 NM, the one ahead from 30 on.
//     AAA ---- ONEAA ---------- TWOAA ---- BBB
//      0         10               60        70
TEST(CaseDirectLeg, OfTwoVorsOnTheLineTheOneBehindHandsOverToTheOneAheadWhereBothAreHeard) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).fix("ONEAA", {10, 0}).fix("TWOAA", {60, 0}).vor("BBB", {70, 0});
    const auto made = direct(sketch.world(), "ONEAA", "TWOAA").leg.value();
    ASSERT_EQ(made.stretches.size(), 2U);
    EXPECT_NEAR(made.stretches[0].to.nautical_miles(), 25.0, 0.01);  // midway of the leg: 35 NM from each
    Sketch apart;
    apart.vor("AAA", {0, 0}).fix("ONEAA", {10, 0}).fix("TWOAA", {85, 0}).vor("BBB", {95, 0});
    // Heard to 40 and from 55: 15 NM between, 10 allowed.
    EXPECT_EQ(refusal(direct(apart.world(), "ONEAA", "TWOAA")), "direct.no_signal");
}

// 14 CFR 95.8001 (trade-facts 9.3 [seen]): midway.
//     AAA --*------------ BBB          where it is named from BBB, BBB alone guides
//      0    4             40
TEST(TruthDirectLeg, FromAPlaceNamedFromAnAidThatAidGuidesAndTheOneAheadTakesOverMidway) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {40, 0});
    const auto world = sketch.world();
    const auto from = [&](const std::string& name, double miles) {
        const procedure::PlacedFix place{name, sketch.at({miles, 0}), std::nullopt, true};
        return direct_leg(world, radio::Ground{}, equipment(one_receiver), {}, place, placed(world, "BBB"),
                          Altitude::feet(5000), Speed::knots(150))
            .leg.value();
    };
    const auto out = from("AAA090004", 4);
    ASSERT_EQ(out.stretches.size(), 2U);
    EXPECT_EQ(procedure::station_of(out.stretches[0].guidance), station_of(world, "AAA"));
    EXPECT_NEAR(out.stretches[0].to.nautical_miles(), 18.0, 0.05);
    EXPECT_EQ(procedure::station_of(out.stretches[1].guidance), station_of(world, "BBB"));
    EXPECT_EQ(from("BBB270036", 4).stretches.size(), 1U);
    EXPECT_EQ(from("4620N07805W", 4).stretches.size(), 1U);
}

TEST(CaseDirectLeg, ABeaconGuidesAlongItsBearingWhereNoVorDoes) {
    Sketch alone;
    alone.ndb("AAA", {0, 0}).fix("ONEAA", {10, 0}).fix("TWOAA", {20, 0});
    EXPECT_EQ(refusal(direct(alone.world(), "ONEAA", "TWOAA", {}, 5000, with_adf)), "");
    EXPECT_EQ(refusal(direct(alone.world(), "ONEAA", "TWOAA")), "direct.no_aid");
}

// Whatever guidance_along() finds by asking every station, the search by chords finds too.
RC_GTEST_PROP(BruteDirectLeg, BetweenTwoFixesNoAidOnTheLineIsOverlooked, ()) {
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-75, 76), *rc::gen::inRange(-180, 180)));
    const auto miles = [](int from, int to) { return static_cast<double>(*rc::gen::inRange(from, to)); };
    const double course_rad = miles(0, 360) * std::numbers::pi / 180.0;
    const auto on_line = [&](double along, double aside) {
        return At{along * std::sin(course_rad) + aside * std::cos(course_rad),
                  along * std::cos(course_rad) - aside * std::sin(course_rad)};
    };
    const double start = miles(-60, 0);
    const double finish = miles(1, 60);
    sketch.fix("ONEAA", on_line(start, 0)).fix("TWOAA", on_line(finish, 0));
    sketch.vor("AAA", on_line(miles(-110, 110), miles(-2, 3) * 0.1), {.service = ServiceClass::high});
    const auto world = sketch.world();
    const auto on = procedure::guidance_along(world, station_of(world, "AAA"), sketch.place("ONEAA"),
                                              sketch.place("TWOAA"));
    RC_ASSERT((refusal(direct(world, "ONEAA", "TWOAA", {}, 15000)) == "direct.no_aid") == !on.has_value());
}

TEST(CaseDirectLeg, ItsMinimumIsTheUsersElseTheGridsElseNotKnown) {
    Sketch sketch = apart(-10);
    EXPECT_EQ(direct(sketch.world(), "AAA", "BBB").leg.value().minimum.from, MinimumFrom::not_known);
    sketch.grid(4500);
    const auto world = sketch.world();
    const auto by_grid = direct(world, "AAA", "BBB").leg.value();
    EXPECT_EQ(by_grid.minimum.from, MinimumFrom::published_grid);
    EXPECT_NEAR(by_grid.minimum.altitude->feet(), 4500, 1e-6);
    EXPECT_EQ(refusal(direct(world, "AAA", "BBB", {}, 4499)), "direct.below_minimum");
    Settings own;
    own.off_airway_minimum = Altitude::feet(3000);
    EXPECT_EQ(direct(world, "AAA", "BBB", own, 4000).leg.value().minimum.from, MinimumFrom::given_by_user);
    EXPECT_EQ(refusal(direct(world, "AAA", "BBB", own, 2999)), "direct.below_minimum");
}

TEST(CaseDirectLeg, TheHighestCellCrossedBindsAndAMissingOneLeavesItNotKnown) {
    Sketch sketch = apart(-10);
    sketch.grid(4500);
    auto& cells = sketch.records().grid_minimums;
    for (navdata::GridMinimum& cell : cells) {
        if (cell.west_deg == -169 && cell.south_deg == 40) {
            cell.altitude = Altitude::feet(7700);
        }
    }
    EXPECT_NEAR(grid_minimum_along(sketch.world(), sketch.place("AAA"), sketch.place("BBB"))->feet(), 7700,
                1e-6);
    std::erase_if(cells, [](const navdata::GridMinimum& cell) {
        return cell.west_deg == -169 && cell.south_deg == 40;
    });
    EXPECT_FALSE(grid_minimum_along(sketch.world(), sketch.place("AAA"), sketch.place("BBB")));
}

RC_GTEST_PROP(LawDirectLeg, ItsStretchesCoverItWithoutGapOrOverlap, ()) {
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-60, 61), *rc::gen::inRange(-180, 180)));
    const auto any_class = [] {
        return *rc::gen::element(ServiceClass::terminal, ServiceClass::low, ServiceClass::vor_low);
    };
    sketch.vor("AAA", {0, 0}, {.service = any_class()});
    sketch.vor(
        "BBB",
        {static_cast<double>(*rc::gen::inRange(1, 100)), static_cast<double>(*rc::gen::inRange(0, 100))},
        {.service = any_class()});
    const auto world = sketch.world();
    Settings settings;
    settings.dead_reckoning_distance = Length::nautical_miles(*rc::gen::inRange(0, 60));
    settings.dead_reckoning_time = base::minutes(30);
    const double altitude_ft = *rc::gen::inRange(1, 18) * 1000.0;
    const auto made = direct(world, "AAA", "BBB", settings, altitude_ft);
    if (made.leg) {
        Length covered;
        Length by_heading;
        for (const Stretch& stretch : made.leg->stretches) {
            RC_ASSERT(stretch.from == covered);
            RC_ASSERT(stretch.to > stretch.from);
            covered = stretch.to;
            if (std::holds_alternative<procedure::OnHeading>(stretch.guidance)) {
                by_heading += stretch.to - stretch.from;
            }
        }
        RC_ASSERT(abs(covered - made.leg->length) < Length::metres(0.01));
        RC_ASSERT(by_heading <= settings.dead_reckoning_distance + Length::metres(0.01));
    }
    // A longer allowance never loses a leg.
    settings.dead_reckoning_distance += Length::nautical_miles(*rc::gen::inRange(0, 30));
    RC_ASSERT(!made.leg || direct(world, "AAA", "BBB", settings, altitude_ft).leg.has_value());
}

// PANS-OPS I-2-2 (trade-facts 2): the cone over a VOR is 50 degrees from the vertical wide, over a beacon 40. At 5,000 ft 0.98 and 0.69 NM.
TEST(TruthDirectLeg, WhatLiesInTheConesOfBothItsAidsIsRefused) {
    for (const double apart_nm : {0.4, 1.2, 2.5, 3.5, 3.8, 6.0}) {
        Sketch sketch;
        sketch.vor("AAA", {0, 0}).ndb("BBB", {apart_nm, 0});
        const auto world = sketch.world();
        const auto made = [&](double feet) {
            return refusal(direct_leg(world, radio::Ground{}, equipment(with_adf), {}, placed(world, "AAA"),
                                      placed(world, "BBB"), Altitude::feet(feet), Speed::knots(120)));
        };
        // Two miles between them are wanted.
        EXPECT_EQ(made(5000), apart_nm < 0.98 + 0.69 + 2.0 ? "direct.in_cones" : "") << apart_nm;
        EXPECT_EQ(made(500), apart_nm < 0.10 + 0.07 + 2.0 ? "direct.in_cones" : "") << apart_nm;
    }
}

}  // namespace omniway::flight
