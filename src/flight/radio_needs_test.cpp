#include "flight/radio_needs.hpp"

#include <algorithm>
#include <string>
#include <variant>
#include <vector>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/compile.hpp"
#include "flight/identify_times.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Duration;
using base::Length;
using base::Speed;
using base::TrueBearing;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::At;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

/// Eastward at 6,000 ft and 120 kt, two miles a minute: AAA, BBB at 60 NM with a bend of 30 degrees, CCC; XDEP at sea level below.
struct Eastward {
    Sketch sketch;
    navdata::Snapshot world;
    Flight flight;
    Aboard aboard{.receivers = 2, .dme = true};
    bool climbs = false;  // evenly from sea level along the first leg

    explicit Eastward(bool published = false) : world(drawn(sketch)) {
        flight.departure = *world.airport("XDEP");
        flight.arrival = *world.airport("XARR");
        flight.departure_runway = world.runways_of("XDEP").front();
        flight.cruise = Altitude::feet(6000);
        leg({0, 0}, {30, 0}, on("AAA", false), std::nullopt, published);
        leg({30, 0}, {60, 0}, on("BBB", true), overhead("BBB", {60, 0}), published);
        leg({60, 0}, {112, 30}, on("CCC", true), overhead("CCC", {112, 30}), published);
    }
    static navdata::Snapshot drawn(Sketch& sketch) {
        sketch.airport("XDEP", {0, 0}).runway("XDEP", 9, {0, 0}).airport("XARR", {200, 0});
        sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low});
        sketch.vor("BBB", {60, 0}).vor("CCC", {112, 30});
        return sketch.world();
    }
    procedure::Guidance on(const std::string& ident, bool toward) const {
        return procedure::OnRadial{station_of(world, ident), toward, base::Radial::degrees(90)};
    }
    procedure::Ending overhead(const std::string& ident, At place) const {
        return procedure::AtFix{
            {ident, sketch.at(place), std::nullopt, false},
            {fixing::Overhead{station_of(world, ident)}, Length(), base::Angle::degrees(90)}};
    }
    void leg(At from, At to, const procedure::Guidance& guidance, std::optional<procedure::Ending> ending,
             bool published) {
        Leg leg;
        leg.via = "V1";
        leg.published = published;
        leg.start = sketch.at(from);
        leg.finish = sketch.at(to);
        const earth::Geodesic line = earth::geodesic(leg.start, leg.finish);
        leg.track = line.initial;
        leg.arrival = line.arrival;
        leg.length = line.distance;
        leg.stretches = {{Length(), leg.length, guidance}};
        leg.ending = std::move(ending);
        flight.legs.push_back(leg);
    }

    Compiled compiled(radio::ReceptionMode mode = radio::ReceptionMode::volume) {
        aircraft::Aircraft aircraft = aircraft_with(aboard);
        aircraft.performance.cruise = {{.altitude = Altitude::feet(6000),
                                        .true_airspeed = Speed::knots(120),
                                        .fuel_flow = base::MassFlow::pounds_per_hour(100)}};
        flight.profile = {{Length(), Altitude::feet(climbs ? 0 : 6000)},
                          {flight.legs.front().length, Altitude::feet(6000)},
                          {flight.length(), Altitude::feet(6000)}};
        const Settings settings;
        const radio::Ground ground{.mode = mode};
        const weather::WindsAloft winds(weather::Wind{});
        return compile(
            {world, ground, magnetic_model(), earth::DecimalYear{2026.0}, aircraft, settings, winds}, flight);
    }
    const RadioNeed* need(const Compiled& compiled, RadioUse use, SetKind kind, int step) const {
        const auto& needs = compiled.radios.needs;
        const auto found = std::find_if(needs.begin(), needs.end(), [&](const RadioNeed& each) {
            return each.use == use && each.kind == kind && each.step == step;
        });
        return found == needs.end() ? nullptr : &*found;
    }
};

}  // namespace

// Design section 3, Radios (trade-facts 21): 40, 60, 45 and 20 seconds.
TEST(TruthRadioNeeds, EachKindIsIdentifiedInTheTimeOfTheDesign) {
    Sketch sketch;
    sketch.airport("XILS", {0, 0}).runway("XILS", 9, {0, 0}).ils("XILS", "RW09", "IXX");
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low}).ndb("NNN", {5, 0});
    const auto world = sketch.world();
    EXPECT_EQ(identified_in(SetKind::receiver, world[station_of(world, "AAA")]).count(), 40.0);
    EXPECT_EQ(identified_in(SetKind::dme, world[station_of(world, "AAA")]).count(), 60.0);
    EXPECT_EQ(identified_in(SetKind::adf, world[station_of(world, "NNN")]).count(), 45.0);
    EXPECT_EQ(identified_in(SetKind::receiver, world[station_of(world, "IXX")]).count(), 20.0);
}

// 30 NM at 120 kt take 900 s: guidance is needed over the whole step, what tells its end over the last two minutes.
TEST(CaseRadioNeeds, GuidanceIsNeededOverTheStepAndWhatTellsItsEndForTwoMinutes) {
    Eastward east;
    const Compiled compiled = east.compiled();
    const RadioNeed* guides = east.need(compiled, RadioUse::guides, SetKind::receiver, 1);
    ASSERT_NE(guides, nullptr);
    EXPECT_NEAR(guides->from.count(), 0.0, 1e-9);
    EXPECT_NEAR(guides->to.count(), 900.0, 1.0);
    const RadioNeed* tells = east.need(compiled, RadioUse::tells, SetKind::dme, 1);  // the changeover
    ASSERT_NE(tells, nullptr);
    EXPECT_NEAR((tells->to - tells->from).count(), 120.0, 1e-6);
    EXPECT_EQ(tells->to, guides->to);
    for (std::size_t i = 1; i < compiled.radios.needs.size(); ++i) {
        EXPECT_LE(compiled.radios.needs[i - 1].from, compiled.radios.needs[i].from);
    }
}

// A low VOR is heard to 40 NM (AIM 1-1-8, trade-facts 1): CCC, 60 NM from BBB, is first heard 20 NM after it, ten minutes too late to
// be identified over BBB, so it may begin late; a published leg is heard in time.
TEST(TruthRadioNeeds, AnIdentIsHeardFromWhereTheVolumeBeginsButInTimeOnAPublishedLeg) {
    Eastward own;
    const Compiled off_airway = own.compiled();
    const RadioNeed* guides = own.need(off_airway, RadioUse::guides, SetKind::receiver, 3);
    ASSERT_NE(guides, nullptr);
    EXPECT_NEAR((guides->heard_from - guides->from).count(), (60.03 - 40.0) * 30.0, 10.0);
    EXPECT_GT(guides->may_begin_late.count(), 0.0);
    Eastward published(true);
    const Compiled airway = published.compiled();
    const RadioNeed* heard = published.need(airway, RadioUse::guides, SetKind::receiver, 3);
    ASSERT_NE(heard, nullptr);
    EXPECT_LE(heard->heard_from + heard->to_identify, heard->from);
    EXPECT_EQ(heard->may_begin_late.count(), 0.0);
}

// trade-facts 7.2: 30 degrees at three degrees a second take 10 s, and nothing is retuned in them, nor at the event itself.
TEST(TruthRadioNeeds, NothingIsRetunedInATurn) {
    Eastward east;
    const Compiled compiled = east.compiled();
    const auto& quiet = compiled.radios.no_retuning;
    ASSERT_EQ(quiet.size(), 1U);
    EXPECT_NEAR(quiet[0].from.count(), 1800.0, 2.0);
    const RadioNeed* guides = east.need(compiled, RadioUse::guides, SetKind::receiver, 3);
    ASSERT_NE(guides, nullptr);
    EXPECT_NEAR((quiet[0].to - guides->from).count(), 10.0, 0.3);
    EXPECT_LT(quiet[0].from, guides->from);
}

// Design section 3, Radios: below 500 ft nothing is retuned; of an even climb to 6,000 ft that is the first twelfth.
TEST(TruthRadioNeeds, NothingIsRetunedBelowFiveHundredFeetAboveTheField) {
    Eastward east;
    east.climbs = true;
    const Compiled compiled = east.compiled();
    ASSERT_FALSE(compiled.radios.no_retuning.empty());
    const auto& quiet = compiled.radios.no_retuning.front();
    const auto& first = compiled.card.steps.at(0).expected.time;
    ASSERT_TRUE(first);
    EXPECT_EQ(quiet.from.count(), 0.0);
    EXPECT_NEAR(quiet.to.count(), first->count() / 12.0, 1.0);
    EXPECT_GT(quiet.to.count(), 30.0);
}

// With one receiver nothing can be identified before a changeover: the heading stands in for a minute at most.
TEST(CaseRadioNeeds, WithOneReceiverTheNextAidMayGuideAMinuteLate) {
    Eastward east(true);
    east.aboard = {.receivers = 1};
    const Compiled compiled = east.compiled();
    const RadioNeed* guides = east.need(compiled, RadioUse::guides, SetKind::receiver, 2);
    ASSERT_NE(guides, nullptr);
    EXPECT_EQ(guides->may_begin_late.count(), 60.0);
    ASSERT_TRUE(std::holds_alternative<RadioSchedule>(compiled.schedule));
    const auto& work = compiled.card.steps.at(1).work;
    const auto held = std::find_if(work.begin(), work.end(), [](const StepWork& each) {
        return std::holds_alternative<HoldHeadingWhileTuning>(each);
    });
    ASSERT_NE(held, work.end());
    EXPECT_NEAR(std::get<HoldHeadingWhileTuning>(*held).time.count(), 40.0, 1.0);
}

// A check is worth its turns where its aid is tuned for the step before or after; what guides or ends the step is no check of it.
TEST(CaseRadioNeeds, AStepIsCheckedByWhatIsTunedAnywayAndNeverByWhatGuidesIt) {
    Eastward east;
    east.aboard = {.receivers = 3, .dme = true, .adf = true};
    const Compiled compiled = east.compiled();
    const auto& needs = compiled.radios.needs;
    std::size_t checks = 0;
    for (const RadioNeed& check : needs) {
        if (check.use != RadioUse::checks) {
            continue;
        }
        ++checks;
        for (const RadioNeed& other : needs) {
            if (other.use != RadioUse::checks && other.step == check.step) {
                EXPECT_NE(other.station, check.station) << "step " << check.step;
            }
        }
    }
    EXPECT_GT(checks, 0U);
}

// The work of a missed approach leaves no hand for a look.
TEST(CaseRadioNeeds, NothingIsCheckedInAMissedApproach) {
    Eastward east(true);
    east.aboard = {.receivers = 3, .dme = true, .adf = true};
    east.flight.missed = {east.flight.legs.front()};
    const Compiled compiled = east.compiled();
    ASSERT_EQ(compiled.card.missed.size(), 1U);
    const int missed = compiled.card.missed.front().number;
    EXPECT_NE(east.need(compiled, RadioUse::guides, SetKind::receiver, missed), nullptr);
    for (const RadioNeed& need : compiled.radios.needs) {
        EXPECT_FALSE((need.use == RadioUse::checks && need.step == missed));
    }
}

}  // namespace omniway::flight
