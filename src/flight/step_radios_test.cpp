#include "flight/step_radios.hpp"

#include <string>
#include <variant>
#include <vector>

#include <gtest/gtest.h>

#include "flight/name_of_aid.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Duration;
using base::Radial;
using navdata::ServiceClass;
using omniway::testing::aircraft_with;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

/// Two steps of ten minutes, from AAA and to BBB, with a schedule written by hand.
struct TwoSteps {
    Sketch sketch;
    navdata::Snapshot world;
    aircraft::Aircraft aircraft = aircraft_with({.receivers = 2, .dme = true, .adf = true});
    std::vector<TrackStep> track{2};
    std::vector<FlownStep> steps{2};
    ObservedEnds ends;
    RadioQuestion question;
    RadioSchedule schedule;

    TwoSteps() : world(drawn(sketch)) {
        for (int i = 0; i < 2; ++i) {
            const auto at = static_cast<std::size_t>(i);
            track[at].number = i + 1;
            track[at].heading = base::MagneticBearing::degrees(83.4);
            steps[at].track = &track[at];
            steps[at].begin = Duration(600.0 * i);
            steps[at].end = Duration(600.0 * (i + 1));
        }
        ends.of.push_back({ChangeOver{named(world[at("BBB")]), {}, {}, Duration(600), "XAA"}, {}, false});
        ends.of.push_back({StationPassage{named(world[at("BBB")]), false}, {}, false});
    }
    static navdata::Snapshot drawn(Sketch& sketch) {
        sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low}).vor("BBB", {40, 0}, {.dme = ServiceClass::low});
        sketch.vor("CCC", {80, 0}).ndb("NNN", {20, 5});
        return sketch.world();
    }
    navdata::StationId at(const std::string& ident) const { return station_of(world, ident); }
    void guides(const std::string& ident, double course_deg, int step) {
        RadioNeed need;
        need.station = at(ident);
        need.course = Radial::degrees(course_deg);
        need.from = steps[static_cast<std::size_t>(step - 1)].begin;
        need.to = steps[static_cast<std::size_t>(step - 1)].end;
        need.step = step;
        question.needs.push_back(need);
    }
    static RadioTurn tuned(int receiver, navdata::StationId station, double earliest_s, double latest_s,
                           std::size_t need) {
        RadioTurn turn;
        turn.set = {SetKind::receiver, receiver};
        turn.tuned = station;
        turn.earliest = Duration(earliest_s);
        turn.latest = Duration(latest_s);
        turn.before_need = need;
        return turn;
    }
    static RadioTurn turned(int receiver, double course_deg, double at_s, std::size_t need) {
        RadioTurn turn = tuned(receiver, {}, at_s, at_s, need);
        turn.tuned.reset();
        turn.course = Radial::degrees(course_deg);
        return turn;
    }
    static RadioMet met(std::size_t need, int receiver) {
        RadioMet met;
        met.need = need;
        met.set = {SetKind::receiver, receiver};
        return met;
    }
    StepsRadios told() {
        question.aboard = aircraft.equipment;
        const Settings settings;
        const radio::Ground ground{.mode = radio::ReceptionMode::volume};
        const weather::WindsAloft winds(weather::Wind{});
        return radios_of_steps(
            {world, ground, magnetic_model(), earth::DecimalYear{2026.0}, aircraft, settings, winds}, steps,
            ends, question, schedule);
    }
};

}  // namespace

TEST(CaseStepRadios, AStationTunedAheadWaitsInStandbyAndGuidesFromItsStep) {
    TwoSteps two;
    two.guides("AAA", 90, 1);
    two.guides("BBB", 90, 2);
    two.schedule.lined_up = {TwoSteps::tuned(1, two.at("AAA"), 0, 0, 0), TwoSteps::turned(1, 90, 0, 0),
                             TwoSteps::turned(2, 90, 0, 1)};
    two.schedule.turns = {TwoSteps::tuned(2, two.at("BBB"), 30, 560.7, 1)};
    two.schedule.met = {TwoSteps::met(0, 1), TwoSteps::met(1, 2)};
    const StepsRadios told = two.told();
    const auto& lined_up = told.lined_up.receivers;
    ASSERT_EQ(lined_up.size(), 2U);
    EXPECT_EQ(lined_up[0].active->ident, "AAA");
    EXPECT_FALSE(lined_up[1].active);
    EXPECT_EQ(lined_up[1].standby->ident, "BBB");
    EXPECT_EQ(told.at_begin[0].receivers[0].role, ReceiverRole::guides);
    EXPECT_EQ(told.at_begin[0].receivers[1].role, ReceiverRole::waits);
    EXPECT_EQ(told.at_begin[1].receivers[1].active->ident, "BBB");
    EXPECT_EQ(told.at_begin[1].receivers[1].role, ReceiverRole::guides);
    ASSERT_EQ(told.work[0].size(), 1U);
    const auto& tune = std::get<Tune>(told.work[0][0].work);
    EXPECT_EQ(tune.after.name, "lined up");
    EXPECT_EQ(tune.before.end_of_step, 1);
    EXPECT_EQ(tune.before.name, "changeover to BBB");
    EXPECT_EQ(tune.slack.count(), 530.0);  // 530.7 rounded down
}

TEST(CaseStepRadios, AHandoverIsWorkOfItsStepAndStandsAsItWasWhenThatBegins) {
    TwoSteps two;
    two.guides("AAA", 90, 1);
    two.guides("BBB", 80, 2);
    two.schedule.lined_up = {TwoSteps::tuned(1, two.at("AAA"), 0, 0, 0), TwoSteps::turned(1, 90, 0, 0),
                             TwoSteps::tuned(2, two.at("BBB"), 0, 0, 1), TwoSteps::turned(2, 80, 0, 1)};
    two.schedule.turns = {TwoSteps::tuned(1, two.at("BBB"), 600, 1160, 1), TwoSteps::turned(1, 80, 600, 1)};
    RadioMet handed = TwoSteps::met(1, 1);
    handed.first_by_receiver = 2;
    handed.handed_over = Duration(640);
    two.schedule.met = {TwoSteps::met(0, 1), handed};
    const StepsRadios told = two.told();
    EXPECT_EQ(told.at_begin[1].receivers[0].active->ident, "AAA");
    EXPECT_EQ(told.at_begin[1].receivers[1].role, ReceiverRole::guides);
    EXPECT_NE(told.at_begin[1].receivers[0].role, ReceiverRole::guides);
    ASSERT_EQ(told.work[1].size(), 3U);
    EXPECT_EQ(std::get<Tune>(told.work[1][0].work).after.name, "changeover to BBB");
    EXPECT_EQ(std::get<Tune>(told.work[1][0].work).before.name, "over BBB");
    EXPECT_EQ(std::get<SetCourse>(told.work[1][1].work).course, Radial::degrees(80));
    EXPECT_EQ(std::get<GuideBy>(told.work[1][2].work).receiver, 1);
}

// What the receiver let go does next stands behind the handover, at the same moment.
TEST(CaseStepRadios, TunedComesBeforeGuidedByAndThatBeforeTheOtherIsTurned) {
    TwoSteps two;
    two.guides("AAA", 90, 1);
    two.guides("BBB", 80, 2);
    two.guides("CCC", 70, 2);
    two.question.needs[2].use = RadioUse::checks;
    two.schedule.lined_up = {TwoSteps::tuned(1, two.at("AAA"), 0, 0, 0), TwoSteps::turned(1, 90, 0, 0),
                             TwoSteps::tuned(2, two.at("BBB"), 0, 0, 1), TwoSteps::turned(2, 80, 0, 1)};
    two.schedule.turns = {TwoSteps::tuned(1, two.at("BBB"), 600, 1120, 1), TwoSteps::turned(1, 80, 600, 1),
                          TwoSteps::tuned(2, two.at("CCC"), 640, 1160, 2), TwoSteps::turned(2, 70, 640, 2)};
    RadioMet handed = TwoSteps::met(1, 1);
    handed.first_by_receiver = 2;
    handed.handed_over = Duration(640);
    two.schedule.met = {TwoSteps::met(0, 1), handed, TwoSteps::met(2, 2)};
    const StepsRadios told = two.told();
    EXPECT_EQ(told.at_begin[1].receivers[0].role, ReceiverRole::waits);
    EXPECT_EQ(told.at_begin[1].receivers[1].role, ReceiverRole::guides);
    ASSERT_EQ(told.work[1].size(), 5U);
    EXPECT_EQ(std::get<Tune>(told.work[1][0].work).aid.ident, "BBB");
    EXPECT_EQ(std::get<SetCourse>(told.work[1][1].work).receiver, 1);
    EXPECT_EQ(std::get<GuideBy>(told.work[1][2].work).receiver, 1);
    EXPECT_EQ(std::get<Tune>(told.work[1][3].work).aid.ident, "CCC");
    EXPECT_EQ(std::get<SetCourse>(told.work[1][4].work).receiver, 2);
}

// Of the turns on one event, what the step needs at once is done first and shown done; what is for later is not.
TEST(CaseStepRadios, OnTheEventThatBeginsAStepItsOwnCourseAndDmeComeFirst) {
    TwoSteps two;
    two.aircraft.equipment.dme = cockpit::DmeControl::follows_receiver_with_hold;
    two.guides("AAA", 90, 1);
    two.guides("BBB", 80, 2);
    two.guides("BBB", 80, 2);
    two.question.needs[2].use = RadioUse::tells;
    two.question.needs[2].kind = SetKind::dme;
    two.question.needs[2].course.reset();
    two.guides("CCC", 70, 2);
    two.question.needs[3].use = RadioUse::checks;
    two.schedule.lined_up = {TwoSteps::tuned(2, two.at("AAA"), 0, 0, 0), TwoSteps::turned(2, 90, 0, 0),
                             TwoSteps::tuned(1, two.at("BBB"), 0, 0, 1), TwoSteps::turned(1, 75, 0, 1)};
    RadioTurn follow;
    follow.set = {SetKind::dme, 1};
    follow.distance = DistanceFrom::receiver;
    follow.follows = 1;
    follow.earliest = follow.latest = Duration(600);
    follow.before_need = 2;
    two.schedule.turns = {TwoSteps::turned(2, 70, 600, 3), follow, TwoSteps::turned(1, 80, 600, 1),
                          TwoSteps::tuned(2, two.at("CCC"), 600, 1100, 3)};
    RadioMet shown;
    shown.need = 2;
    shown.set = {SetKind::dme, 1};
    shown.distance_from = DistanceFrom::receiver;
    shown.follows = 1;
    two.schedule.met = {TwoSteps::met(0, 2), TwoSteps::met(1, 1), shown, TwoSteps::met(3, 2)};
    const StepsRadios told = two.told();
    EXPECT_EQ(told.at_begin[1].distance->of->ident, "BBB");
    EXPECT_EQ(told.at_begin[1].receivers[0].course, Radial::degrees(80));
    EXPECT_EQ(told.at_begin[1].receivers[1].active->ident, "AAA");
    EXPECT_EQ(told.at_begin[1].receivers[1].role, ReceiverRole::waits);
    ASSERT_FALSE(told.work[1].empty());
    EXPECT_TRUE(std::holds_alternative<Tune>(told.work[1].back().work) ||
                std::holds_alternative<Preselect>(told.work[1].back().work));
}

// One receiver: at the changeover it still stands on the aid behind, and nothing guides while the next is tuned.
TEST(CaseStepRadios, GuidanceThatBeginsLateIsNotShownDone) {
    TwoSteps two;
    two.aircraft = aircraft_with({.receivers = 1});
    two.guides("AAA", 90, 1);
    two.guides("BBB", 80, 2);
    two.schedule.lined_up = {TwoSteps::tuned(1, two.at("AAA"), 0, 0, 0), TwoSteps::turned(1, 90, 0, 0)};
    two.schedule.turns = {TwoSteps::tuned(1, two.at("BBB"), 600, 620, 1), TwoSteps::turned(1, 80, 600, 1)};
    RadioMet late = TwoSteps::met(1, 1);
    late.begins_late = Duration(40);
    two.schedule.met = {TwoSteps::met(0, 1), late};
    const StepsRadios told = two.told();
    EXPECT_EQ(told.at_begin[1].receivers[0].active->ident, "AAA");
    EXPECT_EQ(told.at_begin[1].receivers[0].role, ReceiverRole::waits);
    EXPECT_EQ(std::get<Tune>(told.work[1][0].work).before.name, "over BBB");
}

TEST(CaseStepRadios, WhoseDistanceIsShownIsSaidFollowedAndHeld) {
    TwoSteps two;
    two.aircraft.equipment.dme = cockpit::DmeControl::follows_receiver_with_hold;
    two.guides("AAA", 90, 1);
    two.guides("CCC", 90, 2);
    two.schedule.lined_up = {TwoSteps::tuned(1, two.at("AAA"), 0, 0, 0)};
    RadioTurn hold;
    hold.set = {SetKind::dme, 1};
    hold.distance = DistanceFrom::held;
    hold.follows = 1;
    hold.earliest = hold.latest = Duration(600);
    hold.before_need = 1;
    two.schedule.turns = {hold, TwoSteps::tuned(1, two.at("CCC"), 600, 600, 1)};
    two.schedule.met = {TwoSteps::met(0, 1), TwoSteps::met(1, 1)};
    const StepsRadios told = two.told();
    EXPECT_EQ(told.at_begin[0].distance->from, DistanceFrom::receiver);
    EXPECT_EQ(told.at_begin[0].distance->of->ident, "AAA");
    EXPECT_EQ(told.at_begin[1].receivers[0].active->ident, "CCC");
    EXPECT_EQ(told.at_begin[1].distance->from, DistanceFrom::held);
    EXPECT_EQ(told.at_begin[1].distance->of->ident, "AAA");
    const auto& select = std::get<SelectDistance>(told.work[1][0].work);
    EXPECT_EQ(select.of.ident, "AAA");
}

TEST(CaseStepRadios, AMovableCardIsTurnedToTheHeading) {
    TwoSteps two;
    two.aircraft.equipment.adf = cockpit::AdfIndicator::movable_card;
    RadioTurn turn;
    turn.set = {SetKind::adf, 1};
    turn.tuned = two.at("NNN");
    two.schedule.lined_up = {turn};
    const StepsRadios told = two.told();
    EXPECT_EQ(told.at_begin[0].adf->aid->ident, "NNN");
    EXPECT_EQ(*told.at_begin[0].adf->card, base::MagneticBearing::degrees(83));
}

}  // namespace omniway::flight
