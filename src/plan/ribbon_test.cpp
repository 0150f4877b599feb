#include "plan/ribbon.hpp"

#include <algorithm>

#include <gtest/gtest.h>

#include "tests/drawn_flight.hpp"

namespace omniway::plan {

using base::Length;
using omniway::testing::DrawnFlight;
using omniway::testing::VorDrawn;

namespace {

const VorDrawn high{.service = navdata::ServiceClass::high, .dme = navdata::ServiceClass::high};
const VorDrawn low{.service = navdata::ServiceClass::low};

/// 60 NM along a radial of AAA, to where its DME tells FIX; ZZZ stands 40 NM beyond that and is of no use.
class AlongARadial : public ::testing::Test {
protected:
    AlongARadial() {
        drawn.sketch.vor("AAA", {0, 0}, high).vor("ZZZ", {100, 0}, low);
        drawn.build({1, 0});
        auto& leg = drawn.leg({1, 0}, {61, 0}, drawn.outbound("AAA", {61, 0}));
        leg.ending = drawn.told("FIX", {61, 0},
                                fixing::DmeReading{drawn.at("AAA"), Length::nautical_miles(61.0), true});
        const flight::Compiled& compiled = drawn.compiled();
        ribbon = ribbon_of(drawn.day(), drawn.flight(), compiled);
    }
    const HearingLane* lane(const std::string& ident, radio::Part part) const {
        const auto found = std::find_if(
            ribbon.hearing.begin(), ribbon.hearing.end(),
            [&](const HearingLane& each) { return each.station == drawn.at(ident) && each.part == part; });
        return found == ribbon.hearing.end() ? nullptr : &*found;
    }
    DrawnFlight drawn;
    Ribbon ribbon;
};

}  // namespace

// AIM 1-1-8: a class L VOR reaches 40 NM from 1,000 ft to 18,000 ft (trade-facts 1).
TEST_F(AlongARadial, TruthRibbonAStationComesAliveAtTheEdgeOfItsPublishedVolume) {
    const HearingLane* ahead = lane("ZZZ", radio::Part::azimuth);
    ASSERT_NE(ahead, nullptr);
    EXPECT_FALSE(ahead->used);
    ASSERT_EQ(ahead->spans.size(), 1U);
    const HeardSpan& span = ahead->spans.front();
    EXPECT_NEAR(span.where.begins.along.nautical_miles(), 100.0 - 40.0 - 1.0, 0.1);
    EXPECT_NEAR(span.where.ends.along.nautical_miles(), 60.0, 0.01);
    EXPECT_EQ(span.before, radio::Silence::beyond_service_volume);
    EXPECT_NE(span.begins_because.find("40 NM"), std::string::npos) << span.begins_because;
    EXPECT_EQ(span.ends_because, "the flight ends");
    // 10 NM inside is full strength: at its edge nothing is left, a mile inside a tenth.
    EXPECT_NEAR(span.margins.front().share, 0.0, 0.02);
    EXPECT_NEAR(span.margins.back().share, 0.1, 0.03);
}

// 120 kt in still air: two miles a minute.
TEST_F(AlongARadial, TruthRibbonTimeRunsWithTheGroundspeed) {
    EXPECT_NEAR(ribbon.length.nautical_miles(), 60.0, 0.01);
    EXPECT_NEAR(ribbon.time.count(), 1800.0, 2.0);
    const HeardSpan& span = lane("ZZZ", radio::Part::azimuth)->spans.front();
    EXPECT_NEAR(span.where.begins.time.count(), 59.0 * 30.0, 5.0);
}

TEST_F(AlongARadial, LawRibbonWhatIsUsedComesFirstAndIsHeardWhileItIsNeeded) {
    ASSERT_FALSE(ribbon.hearing.empty());
    EXPECT_TRUE(ribbon.hearing.front().used);
    EXPECT_TRUE(std::is_partitioned(ribbon.hearing.begin(), ribbon.hearing.end(),
                                    [](const HearingLane& each) { return each.used; }));
    ASSERT_NE(lane("AAA", radio::Part::distance), nullptr);
    EXPECT_TRUE(lane("AAA", radio::Part::azimuth)->used);
    EXPECT_TRUE(lane("AAA", radio::Part::distance)->used);
}

TEST_F(AlongARadial, LawRibbonEachUseOfASetFallsWithinASpanOfThatStation) {
    int uses = 0;
    for (const SetLane& set : ribbon.sets) {
        for (const SetUse& use : set.uses) {
            ++uses;
            const std::string& ident = drawn.day().world[use.station].ident;
            EXPECT_TRUE(std::any_of(set.spans.begin(), set.spans.end(), [&](const SetSpan& span) {
                return !span.standby && span.aid.ident == ident &&
                       span.where.begins.time.count() <= use.where.begins.time.count() + 0.01 &&
                       span.where.ends.time.count() >= use.where.ends.time.count() - 0.01;
            })) << ident;
        }
    }
    EXPECT_GE(uses, 2);  // AAA guides, and its DME tells the end
}

TEST_F(AlongARadial, LawRibbonWithoutHearingItHasTheSameStepsSetsAndEvents) {
    const Ribbon bare = ribbon_without_hearing(drawn.day(), drawn.flight(), drawn.compiled());
    EXPECT_TRUE(bare.hearing.empty());
    EXPECT_EQ(bare.time_with_missed, ribbon.time_with_missed);
    ASSERT_EQ(bare.steps.size(), ribbon.steps.size());
    for (std::size_t i = 0; i < bare.steps.size(); ++i) {
        EXPECT_EQ(bare.steps[i].says, ribbon.steps[i].says);
        EXPECT_EQ(bare.steps[i].where.ends.time, ribbon.steps[i].where.ends.time);
    }
    ASSERT_EQ(bare.events.size(), ribbon.events.size());
    ASSERT_FALSE(bare.events.empty());
    for (std::size_t i = 0; i < bare.events.size(); ++i) {
        EXPECT_EQ(bare.events[i].says, ribbon.events[i].says);
        EXPECT_EQ(bare.events[i].at.time, ribbon.events[i].at.time);
    }
    ASSERT_EQ(bare.sets.size(), ribbon.sets.size());
    for (std::size_t i = 0; i < bare.sets.size(); ++i) {
        EXPECT_EQ(bare.sets[i].spans.size(), ribbon.sets[i].spans.size());
        EXPECT_EQ(bare.sets[i].retunes.size(), ribbon.sets[i].retunes.size());
    }
}

// Without a schedule no set stands on anything: what is needed is none the less.
TEST_F(AlongARadial, CaseRibbonWithoutAScheduleStationsAreNeededAndNoneIsUsed) {
    flight::Compiled& compiled = drawn.made();
    compiled.schedule = flight::NoSchedule{};
    compiled.card.lined_up = {};
    for (flight::Step& step : compiled.card.steps) {
        step.radios = {};
        step.work.clear();
    }
    compiled.work_at.assign(compiled.card.steps.size(), {});
    ribbon = ribbon_of(drawn.day(), drawn.flight(), compiled);
    EXPECT_TRUE(lane("AAA", radio::Part::azimuth)->needed);
    EXPECT_TRUE(lane("AAA", radio::Part::distance)->needed);
    EXPECT_FALSE(lane("ZZZ", radio::Part::azimuth)->needed);
    for (const HearingLane& each : ribbon.hearing) {
        EXPECT_FALSE(each.used);
    }
    for (const SetLane& set : ribbon.sets) {
        EXPECT_TRUE(set.spans.empty());
    }
}

// AIM 1-1-8 again, on the missed approach: 40 NM before a VOR of class L that stands 40 NM beyond its end, and in time as far as there.
TEST(TruthRibbon, AStationComesAliveOnTheMissedApproachAtTheEdgeOfItsPublishedVolume) {
    DrawnFlight drawn;
    drawn.sketch.vor("ZZZ", {45, -3}, low);
    drawn.onto_an_ils({});
    const flight::Compiled& compiled = drawn.compiled();
    const Ribbon ribbon = ribbon_of(drawn.day(), drawn.flight(), compiled);
    const auto lane_of = [&](const std::string& ident) {
        return std::find_if(ribbon.hearing.begin(), ribbon.hearing.end(), [&](const HearingLane& each) {
            return each.station == drawn.at(ident) && each.part == radio::Part::azimuth;
        });
    };
    ASSERT_NE(lane_of("ZZZ"), ribbon.hearing.end());
    ASSERT_EQ(lane_of("ZZZ")->spans.size(), 1U);
    const HeardSpan& span = lane_of("ZZZ")->spans.front();
    constexpr double threshold_nm = -3000.0 / 6076.1;
    EXPECT_NEAR((span.where.begins.along - ribbon.length).nautical_miles(), 5.0 - threshold_nm, 0.1);
    EXPECT_NEAR(span.where.ends.along.nautical_miles(), ribbon.length_with_missed.nautical_miles(), 1e-6);
    EXPECT_GT(span.where.begins.time, ribbon.time);
    EXPECT_EQ(span.where.ends.time, ribbon.time_with_missed);
    // MIS guides behind the missed approach point, and is heard there.
    ASSERT_NE(lane_of("MIS"), ribbon.hearing.end());
    EXPECT_TRUE(lane_of("MIS")->used);
    EXPECT_GT(lane_of("MIS")->spans.back().where.ends.along, ribbon.length);
    EXPECT_EQ(ribbon.line.back().where.along, ribbon.length);
    EXPECT_NEAR(ribbon.heights.back().where.along.nautical_miles(),
                ribbon.length_with_missed.nautical_miles(), 1e-6);
}

// In a hold time passes where one is: 4 minutes round to 14,000 ft (PANS-OPS, 1 minute legs).
TEST(CaseRibbon, AHoldPassesTimeAtOnePlaceAlong) {
    DrawnFlight drawn;
    drawn.sketch.vor("AAA", {0, 0}, high);
    drawn.toward_a_hold("AAA", true);
    const flight::Compiled& compiled = drawn.compiled();
    const Ribbon ribbon = ribbon_of(drawn.day(), drawn.flight(), compiled);
    ASSERT_EQ(ribbon.steps.size(), 2U);
    EXPECT_EQ(ribbon.steps[1].guidance, RibbonGuidance::hold);
    const RibbonStretch& hold = ribbon.steps[1].where;
    EXPECT_GT(hold.ends.time.count() - hold.begins.time.count(), 200.0);
    // The VOR under it guides all through it: its cone is flown about, and through in passing alone.
    const auto under = std::find_if(
        ribbon.hearing.begin(), ribbon.hearing.end(),
        [](const HearingLane& each) { return each.part == radio::Part::azimuth && each.needed; });
    ASSERT_NE(under, ribbon.hearing.end());
    EXPECT_EQ(under->spans.back().where.begins.time, hold.begins.time);
    EXPECT_EQ(under->spans.back().where.ends.time, hold.ends.time);
    const Timetable times(flight::flown_steps(drawn.day(), drawn.flight(), compiled.track));
    EXPECT_NEAR(times.first_at(hold.begins.along).time.count(), hold.begins.time.count(), 1.0);
    EXPECT_NEAR(times.last_at(hold.ends.along).time.count(), hold.ends.time.count(), 0.01);
    // Between the two the time tells the place.
    const RibbonPlace halfway = times.at(base::Duration(600.0 / 2.0));
    EXPECT_NEAR(halfway.along.nautical_miles(), 10.0, 0.05);
}

}  // namespace omniway::plan
