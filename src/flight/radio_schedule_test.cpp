// The schedule of radios: drawn cases whose answer is worked out by hand beside them, and laws over random flights; the search that tries every knob at
// every instant is in radio_schedule_brute_test.cpp. The times to identify are those of trade
// practice (VOR 40 s, DME 60 s, NDB 45 s, localizer 20 s: from the code repetition rates of the AIM, 1-1-7; common practice).

#include "flight/radio_schedule.hpp"

#include <gtest/gtest.h>

#include <algorithm>
#include <random>

namespace omniway::flight {

namespace {

using base::Duration;
using base::Radial;
using cockpit::CourseIndicator;
using cockpit::DmeControl;
using cockpit::NavigationReceiver;

constexpr navdata::StationId xab{1};
constexpr navdata::StationId xcd{2};
constexpr navdata::StationId xef{3};
constexpr navdata::StationId ils{4};

RadioNeed need(RadioUse use, navdata::StationId station, double from_s, double to_s) {
    RadioNeed out;
    out.use = use;
    out.station = station;
    out.from = Duration(from_s);
    out.to = Duration(to_s);
    out.to_identify = Duration(40.0);
    return out;
}
RadioNeed guides(navdata::StationId station, double course_deg, double from_s, double to_s) {
    RadioNeed out = need(RadioUse::guides, station, from_s, to_s);
    out.course = Radial::degrees(course_deg);
    return out;
}
RadioNeed tells(navdata::StationId station, double course_deg, double from_s, double to_s) {
    RadioNeed out = need(RadioUse::tells, station, from_s, to_s);
    out.course = Radial::degrees(course_deg);
    return out;
}
RadioNeed distance(RadioUse use, navdata::StationId station, double from_s, double to_s) {
    RadioNeed out = need(use, station, from_s, to_s);
    out.kind = SetKind::dme;
    out.to_identify = Duration(60.0);
    return out;
}
RadioNeed localizer(double from_s, double to_s) {
    RadioNeed out = guides(ils, 270.0, from_s, to_s);
    out.localizer = out.glideslope = true;
    out.to_identify = Duration(20.0);
    return out;
}

// A HSI on the first receiver, with glideslope; a CDI on the second.
cockpit::Equipment aboard(int receivers, std::optional<DmeControl> dme = std::nullopt) {
    cockpit::Equipment out;
    for (int i = 0; i < receivers; ++i) {
        out.receivers.push_back({i == 0 ? CourseIndicator::hsi : CourseIndicator::cdi, true, i == 0});
    }
    out.dme = dme;
    return out;
}

RadioSchedule scheduled(const RadioQuestion& question) {
    const RadioAnswer answer = schedule(question);
    if (const auto* no = std::get_if<NoSchedule>(&answer)) {
        ADD_FAILURE() << "no schedule: need " << no->need << ": " << no->why;
        return {};
    }
    return std::get<RadioSchedule>(answer);
}

NoSchedule refused(const RadioQuestion& question) {
    const RadioAnswer answer = schedule(question);
    if (std::holds_alternative<RadioSchedule>(answer)) {
        ADD_FAILURE() << "there is a schedule";
        return {};
    }
    return std::get<NoSchedule>(answer);
}

constexpr RadioSet receiver_1{SetKind::receiver, 1};
constexpr RadioSet receiver_2{SetKind::receiver, 2};

const RadioTurn* retuned(const RadioSchedule& schedule, RadioSet set, navdata::StationId station) {
    const auto found = std::find_if(schedule.turns.begin(), schedule.turns.end(), [&](const RadioTurn& turn) {
        return turn.set == set && turn.tuned == station;
    });
    return found == schedule.turns.end() ? nullptr : &*found;
}

// --- worked by hand

// Changeover at 600 s. Receiver 2 is put on the next station before lining up; receiver 1, the HSI, is let go at 600, retuned at
// once, identified at 640 and takes over. The other way, keeping receiver 1 on the second station, nothing would guide before.
TEST(TruthRadioSchedule, AtAChangeoverTheSecondReceiverGuidesUntilTheHsiIsRetuned) {
    const RadioQuestion question{
        aboard(2), {guides(xab, 90.0, 0.0, 600.0), guides(xcd, 90.0, 600.0, 1200.0)}, {}};
    const RadioSchedule found = scheduled(question);
    EXPECT_EQ(found.cost, (RadioCost{0, 0, 1, 1}));
    ASSERT_EQ(found.met.size(), 2U);
    EXPECT_EQ(found.met[1].set, receiver_1);
    EXPECT_EQ(found.met[1].first_by_receiver, 2);
    EXPECT_EQ(found.met[1].handed_over, Duration(640.0));
    const RadioTurn* turn = retuned(found, receiver_1, xcd);
    ASSERT_NE(turn, nullptr);
    EXPECT_EQ(turn->earliest, Duration(600.0));
    EXPECT_EQ(turn->before_need, 1U);
}

// One receiver: after the changeover nothing guides for the 40 s that identifying takes, or there is no schedule.
TEST(TruthRadioSchedule, OneReceiverIsRetunedAtTheChangeoverWhileTheHeadingStandsIn) {
    RadioQuestion question{aboard(1), {guides(xab, 90.0, 0.0, 600.0), guides(xcd, 95.0, 600.0, 1200.0)}, {}};
    question.needs[1].may_begin_late = Duration(120.0);
    const RadioSchedule found = scheduled(question);
    EXPECT_EQ(found.cost, (RadioCost{1, 0, 0, 2}));  // a frequency and a course
    EXPECT_EQ(found.met[1].begins_late, Duration(40.0));
    const RadioTurn* turn = retuned(found, receiver_1, xcd);
    ASSERT_NE(turn, nullptr);
    EXPECT_EQ(turn->earliest, Duration(600.0));
    EXPECT_EQ(turn->latest, Duration(680.0));  // 600 + 120 - 40
    EXPECT_EQ(turn->slack(), Duration(80.0));
}

TEST(TruthRadioSchedule, OneReceiverCannotTellACrossingRadialOfAnotherStation) {
    const RadioQuestion question{
        aboard(1), {guides(xab, 90.0, 0.0, 600.0), tells(xcd, 180.0, 500.0, 600.0)}, {}};
    const NoSchedule no = refused(question);
    EXPECT_EQ(no.need, 1U);
    EXPECT_EQ(no.cause, NoScheduleCause::set_needed);
    EXPECT_EQ(no.set, receiver_1);
    EXPECT_EQ(no.blocked_by, 0U);
    EXPECT_EQ(no.blocked_until, Duration(600.0));
    EXPECT_EQ(no.missing, Duration(140.0));  // 600 + 40 - 500
    EXPECT_EQ(no.why,
              "the only receiver that could show it is needed to guide step 0 until 10:00 after lining up "
              "and would be "
              "identified 140 s too late");
}

TEST(TruthRadioSchedule, WhatIsNotAboardIsNamed) {
    EXPECT_EQ(refused({aboard(1), {distance(RadioUse::tells, xab, 100.0, 200.0)}, {}}).why,
              "no DME is aboard");
    cockpit::Equipment cdi;
    cdi.receivers = {NavigationReceiver{CourseIndicator::cdi, true, false}};
    EXPECT_EQ(refused({cdi, {localizer(100.0, 200.0)}, {}}).why,
              "no receiver aboard takes localizers and drives a glideslope needle");
}

// Localizer guidance from 900 s; from 800 s nothing is retuned (the last 2 minutes before the final fix at 920). Receiver 1 guides until
// 700 s: its retuning is first allowed then, and last at 800, which is before 880, by when it would still be identified.
TEST(TruthRadioSchedule, NothingIsRetunedInTheLastTwoMinutesBeforeTheFinalFix) {
    const RadioQuestion question{
        aboard(1),
        {guides(xab, 90.0, 0.0, 700.0), localizer(900.0, 1200.0)},
        {{Duration(800.0), Duration(920.0), "the last 2 minutes before the final fix"}}};
    const RadioSchedule found = scheduled(question);
    const RadioTurn* turn = retuned(found, receiver_1, ils);
    ASSERT_NE(turn, nullptr);
    EXPECT_EQ(turn->earliest, Duration(700.0));
    EXPECT_EQ(turn->latest, Duration(800.0));
    // The course is not a frequency: it may wait for the guidance to begin.
    const auto course = std::find_if(found.turns.begin(), found.turns.end(),
                                     [](const RadioTurn& each) { return each.course.has_value(); });
    ASSERT_NE(course, found.turns.end());
    EXPECT_EQ(course->latest, Duration(900.0));
}

TEST(TruthRadioSchedule, ASetThatIsFreeOnlyWhereNothingIsRetunedIsRefusedByThat) {
    const RadioQuestion question{
        aboard(1),
        {guides(xab, 90.0, 0.0, 810.0), localizer(900.0, 1200.0)},
        {{Duration(800.0), Duration(920.0), "the last 2 minutes before the final fix"}}};
    const NoSchedule no = refused(question);
    EXPECT_EQ(no.cause, NoScheduleCause::no_retuning);
    EXPECT_EQ(no.stretch, 0U);
    EXPECT_EQ(no.missing, Duration(40.0));  // 920 + 20 - 900
}

// The DME follows receiver 1 on XAB, which must go to the localizer at 600 s while the distance of XAB is needed until 900 s. Its
// distance is first heard at 100 s; heard on the ground it would be held before lining up, free of cost.
TEST(TruthRadioSchedule, HoldKeepsTheDistanceWhileTheReceiverGoesToTheLocalizer) {
    std::vector<RadioNeed> needs{guides(xab, 90.0, 0.0, 600.0), distance(RadioUse::tells, xab, 300.0, 900.0),
                                 localizer(700.0, 1000.0)};
    needs[1].heard_from = Duration(100.0);
    const RadioSchedule held = scheduled({aboard(1, DmeControl::follows_receiver_with_hold), needs, {}});
    EXPECT_EQ(held.cost, (RadioCost{0, 0, 0, 3}));  // HOLD, the frequency, the course
    EXPECT_EQ(held.met[1].distance_from, DistanceFrom::held);
    EXPECT_EQ(held.met[1].follows, 1);
    const NoSchedule no = refused({aboard(1, DmeControl::follows_receiver), needs, {}});
    EXPECT_EQ(no.need, 2U);
    EXPECT_EQ(no.blocked_by, 1U);
    EXPECT_EQ(no.blocked_until, Duration(900.0));
}

TEST(TruthRadioSchedule, AStationNotHeardOnTheGroundIsIdentifiedOnceItIsHeard) {
    RadioQuestion question{aboard(1), {guides(xab, 90.0, 100.0, 600.0)}, {}};
    question.needs[0].heard_from = Duration(60.0);
    EXPECT_EQ(scheduled(question).cost, RadioCost{});
    question.needs[0].heard_from = Duration(61.0);
    const NoSchedule no = refused(question);
    EXPECT_EQ(no.cause, NoScheduleCause::not_heard);
    EXPECT_EQ(no.missing, Duration(1.0));
}

// Receiver 2 has the check for one turn more; on receiver 1, which could meet it without a turn, it would be out of its role.
TEST(TruthRadioSchedule, RolesStaySteadyAtTheCostOfOneMoreTurn) {
    const RadioQuestion question{aboard(2),
                                 {guides(xab, 90.0, 0.0, 600.0), tells(xcd, 180.0, 100.0, 200.0),
                                  need(RadioUse::checks, xab, 400.0, 500.0)},
                                 {}};
    const RadioSchedule found = scheduled(question);
    EXPECT_EQ(found.cost, (RadioCost{0, 0, 0, 1}));
    EXPECT_EQ(found.met[2].set, receiver_2);
}

TEST(TruthRadioSchedule, OfChecksThatServeTheSameTheOneThatCostsLeastIsTaken) {
    RadioQuestion question{
        aboard(2),
        {guides(xab, 90.0, 0.0, 600.0), tells(xcd, 180.0, 100.0, 200.0),
         need(RadioUse::checks, xef, 400.0, 500.0), need(RadioUse::checks, xcd, 450.0, 500.0)},
        {}};
    question.needs[2].one_of = question.needs[3].one_of = 7;
    const RadioSchedule found = scheduled(question);
    EXPECT_EQ(found.cost, RadioCost{});
    ASSERT_EQ(found.met.size(), 3U);
    EXPECT_EQ(found.met[2].need, 3U);
}

TEST(TruthRadioSchedule, EveryKnobThatIsUsedIsSetBeforeLiningUp) {
    const RadioQuestion question{
        aboard(2, DmeControl::follows_receiver),
        {guides(xab, 90.0, 0.0, 600.0), distance(RadioUse::checks, xab, 100.0, 600.0),
         tells(xcd, 180.0, 500.0, 600.0)},
        {}};
    const RadioSchedule found = scheduled(question);
    EXPECT_EQ(found.cost, RadioCost{});
    EXPECT_TRUE(found.turns.empty());
    EXPECT_EQ(found.lined_up.size(), 5U);  // two frequencies, two courses, the switch
}

// --- laws

// A flight of legs of 5 to 10 minutes from VOR to VOR, with crossing radials, distances and checks, and a localizer at its end.
RadioQuestion random_flight(std::uint64_t seed, int receivers, std::optional<DmeControl> dme) {
    std::mt19937_64 engine(seed);
    const auto between = [&engine](int low, int high) {
        return double(low + static_cast<int>(engine() % static_cast<std::uint64_t>(high - low + 1)));
    };
    const auto station = [&] { return navdata::StationId{static_cast<std::uint32_t>(between(1, 6))}; };
    RadioQuestion out;
    out.aboard = aboard(receivers, dme);
    double now_s = 120.0;
    for (int leg = 0; leg < 5; ++leg) {
        const double end_s = now_s + between(300, 600);
        const navdata::StationId guide = station();
        out.needs.push_back(guides(guide, between(0, 359), now_s, end_s));
        out.needs.back().may_begin_late = Duration(between(0, 1) * 120.0);
        out.needs.push_back(distance(RadioUse::checks, guide, now_s, end_s));
        out.needs.push_back(between(0, 1) > 0.0 ? tells(station(), between(0, 359), end_s - 120.0, end_s)
                                                : distance(RadioUse::tells, station(), end_s - 120.0, end_s));
        out.needs.push_back(need(RadioUse::checks, station(), end_s - 60.0, end_s));
        out.no_retuning.push_back({Duration(end_s - 10.0), Duration(end_s + 20.0), "a turn"});
        now_s = end_s;
    }
    out.needs.push_back(localizer(now_s + 60.0, now_s + 300.0));
    std::stable_sort(out.needs.begin(), out.needs.end(),
                     [](const RadioNeed& a, const RadioNeed& b) { return a.from < b.from; });
    return out;
}

std::optional<RadioCost> cost_of(const RadioQuestion& question) {
    const RadioAnswer answer = schedule(question);
    const auto* found = std::get_if<RadioSchedule>(&answer);
    return found != nullptr ? std::optional(found->cost) : std::nullopt;
}

// No schedule is dearer than any.
bool no_dearer(const std::optional<RadioCost>& a, const std::optional<RadioCost>& b) {
    return a ? !b || *a <= *b : !b;
}

constexpr std::uint64_t flights = 100;

TEST(LawRadioSchedule, MoreEquipmentIsNeverWorse) {
    int better = 0;
    for (std::uint64_t seed = 1; seed <= flights; ++seed) {
        const auto one = cost_of(random_flight(seed, 1, DmeControl::follows_receiver));
        const auto two = cost_of(random_flight(seed, 2, DmeControl::follows_receiver));
        const auto with_hold = cost_of(random_flight(seed, 2, DmeControl::follows_receiver_with_hold));
        const auto three = cost_of(random_flight(seed, 3, DmeControl::follows_receiver_with_hold));
        EXPECT_TRUE(no_dearer(two, one)) << seed;
        EXPECT_TRUE(no_dearer(with_hold, two)) << seed;
        EXPECT_TRUE(no_dearer(three, with_hold)) << seed;
        better += three != one ? 1 : 0;
    }
    EXPECT_GT(better, 0);
}

TEST(LawRadioSchedule, MoreTimeIsNeverWorse) {
    int better = 0;
    int feasible = 0;
    for (std::uint64_t seed = 1; seed <= flights; ++seed) {
        RadioQuestion question = random_flight(seed, 2, DmeControl::follows_receiver_with_hold);
        for (RadioNeed& each : question.needs) {
            each.to_identify = each.to_identify * 2.5;
        }
        const auto before = cost_of(question);
        for (RadioNeed& each : question.needs) {
            each.to_identify = each.to_identify / 2.5;
        }
        const auto quicker = cost_of(question);
        question.no_retuning.clear();
        const auto freer = cost_of(question);
        EXPECT_TRUE(no_dearer(quicker, before)) << seed;
        EXPECT_TRUE(no_dearer(freer, quicker)) << seed;
        better += freer != before ? 1 : 0;
        feasible += before ? 1 : 0;
    }
    EXPECT_GT(better, 10);
    EXPECT_GT(feasible, 20);
}

TEST(LawRadioSchedule, ALaterTakeOffOfTheSameFlightCostsTheSame) {
    for (std::uint64_t seed = 1; seed <= flights; ++seed) {
        RadioQuestion question = random_flight(seed, 2, DmeControl::follows_receiver_with_hold);
        const auto before = cost_of(question);
        for (RadioNeed& each : question.needs) {
            each.from += Duration(1024.0);
            each.to += Duration(1024.0);
        }
        for (NoRetuning& each : question.no_retuning) {
            each.from += Duration(1024.0);
            each.to += Duration(1024.0);
        }
        EXPECT_EQ(cost_of(question) == before, true) << seed;
    }
}

TEST(LawRadioSchedule, TurnsStandInTheOrderOfTheirEarliest) {
    for (std::uint64_t seed = 1; seed <= flights; ++seed) {
        const RadioAnswer answer = schedule(random_flight(seed, 2, DmeControl::follows_receiver_with_hold));
        if (const auto* found = std::get_if<RadioSchedule>(&answer)) {
            EXPECT_TRUE(std::is_sorted(
                found->turns.begin(), found->turns.end(),
                [](const RadioTurn& a, const RadioTurn& b) { return a.earliest < b.earliest; }))
                << seed;
        }
    }
}

}  // namespace

}  // namespace omniway::flight
