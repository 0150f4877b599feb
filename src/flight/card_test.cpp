#include "flight/compile.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using base::MagneticBearing;
using base::Radial;
using base::Speed;
using base::TrueBearing;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::At;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using weather::Wind;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

/// A flight drawn leg by leg at one level, compiled.
struct Drawn {
    Sketch sketch;
    Aboard aboard = everything;
    std::optional<cockpit::AdfIndicator> indicator;
    cockpit::CourseIndicator course_indicator = cockpit::CourseIndicator::cdi;
    Wind wind{TrueBearing::degrees(0), Speed::knots(0)};
    Speed true_airspeed = Speed::knots(120);
    Altitude level = Altitude::feet(6000);
    std::optional<Altitude> lower_at_the_end;
    Length lower_from;
    Flight flight;
    std::optional<navdata::Snapshot> world;

    Drawn() { sketch.airport("XDEP", {0, -3}).runway("XDEP", 9, {0, -3}).airport("XARR", {200, 0}); }

    // Before the first leg: legs name stations by their place in the world.
    void build() {
        world = sketch.world();
        flight.departure = *world->airport("XDEP");
        flight.arrival = *world->airport("XARR");
        flight.departure_runway = world->runways_of("XDEP").front();
        flight.cruise = level;
    }
    navdata::StationId at(const std::string& ident) const { return station_of(*world, ident); }

    Leg& leg(At from, At to, const procedure::Guidance& guidance) {
        Leg leg;
        leg.via = "direct";
        leg.start = sketch.at(from);
        leg.finish = sketch.at(to);
        const earth::Geodesic line = earth::geodesic(leg.start, leg.finish);
        leg.track = line.distance > Length::metres(1) ? line.initial : TrueBearing::degrees(90);
        leg.arrival = line.distance > Length::metres(1) ? line.arrival : leg.track;
        leg.length = line.distance;
        leg.stretches = {{Length(), leg.length, guidance}};
        leg.minimum = {MinimumFrom::published_airway, Altitude::feet(3000)};
        flight.legs.push_back(leg);
        return flight.legs.back();
    }
    // A line from or to a VOR along the drawing's east, by the station's own zero.
    procedure::Guidance radial(const std::string& ident, bool toward, double true_deg) const {
        const auto* azimuth = navdata::vor((*world)[at(ident)]);
        return procedure::OnRadial{at(ident), toward,
                                   base::to_radial(TrueBearing::degrees(true_deg), azimuth->declination)};
    }
    procedure::Ending told(const std::string& fix, At place, const fixing::Way& way) const {
        return procedure::AtFix{{fix, sketch.at(place), std::nullopt, false},
                                {way, Length::nautical_miles(0.5), base::Angle::degrees(90)}};
    }

    Compiled compiled() {
        aircraft::Aircraft aircraft = aircraft_with(aboard);
        aircraft.performance.cruise = {{.altitude = level,
                                        .true_airspeed = true_airspeed,
                                        .fuel_flow = base::MassFlow::pounds_per_hour(100)}};
        aircraft.performance.service_ceiling = Altitude::feet(40000);
        if (indicator) {
            aircraft.equipment.adf = indicator;
        }
        for (auto& receiver : aircraft.equipment.receivers) {
            receiver.indicator = course_indicator;
        }
        const Length length = flight.length();
        flight.profile = {{Length(), level}, {length, lower_at_the_end.value_or(level)}};
        if (lower_from > Length()) {
            flight.profile.insert(flight.profile.begin() + 1, {lower_from, level});
        }
        const Settings settings;
        const radio::Ground ground{.mode = radio::ReceptionMode::volume};
        const weather::WindsAloft winds(wind);
        const Circumstances circumstances{
            *world, ground, magnetic_model(), earth::DecimalYear{2026.0}, aircraft, settings, winds};
        return compile(circumstances, flight);
    }
};

const Step& first(const Compiled& compiled) {
    return compiled.card.steps.front();
}

template <class Wanted>
const Wanted* find(const std::vector<Notice>& notices) {
    for (const Notice& notice : notices) {
        if (const auto* wanted = std::get_if<Wanted>(&notice)) {
            return wanted;
        }
    }
    return nullptr;
}

template <class Wanted>
std::vector<Wanted> all_of(const std::vector<StepWork>& work) {
    std::vector<Wanted> found;
    for (const StepWork& each : work) {
        if (const auto* wanted = std::get_if<Wanted>(&each)) {
            found.push_back(*wanted);
        }
    }
    return found;
}

/// Flown from AAA along 090 true to where its DME tells a fix.
Step ended_by_dme(double ground_nm, double altitude_ft) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0}, {.service = ServiceClass::high, .dme = ServiceClass::high});
    drawn.level = Altitude::feet(altitude_ft);
    drawn.build();
    drawn.leg({0, 0}, {ground_nm, 0}, drawn.radial("AAA", false, 90)).ending =
        drawn.told("FIXAA", {ground_nm, 0}, fixing::DmeReading{drawn.at("AAA"), Length(), true});
    return first(drawn.compiled());
}

}  // namespace

// trade-facts 5, the table of slant ranges: ground range, height above the station, what the DME reads.
TEST(TruthCardEnd, ADmeEndsAStepAtTheSlantRangeOfTheTable) {
    struct Row {
        double altitude_ft;
        double ground_nm;
        double slant_nm;
    };
    for (const Row& row : {Row{6000, 4.90, 5.0}, Row{10000, 4.72, 5.0}, Row{24000, 9.19, 10.0},
                           Row{10000, 10.0, 10.135}, Row{35000, 10.0, 11.54}, Row{18000, 50.0, 50.09}}) {
        const Step step = ended_by_dme(row.ground_nm, row.altitude_ft);
        const auto* end = std::get_if<ReadingReached>(&step.end);
        ASSERT_NE(end, nullptr);
        // Half a tenth of the reading, and 0.02 NM of the earth's curve that the table leaves out.
        EXPECT_NEAR(end->reading.nautical_miles(), row.slant_nm, 0.07) << row.altitude_ft;
        EXPECT_TRUE(end->increasing);
        const auto* slant = find<SlantRange>(step.expected.notices);
        const double above_nm = row.slant_nm - row.ground_nm;
        if (above_nm > 0.12) {
            ASSERT_NE(slant, nullptr) << row.altitude_ft;
            EXPECT_NEAR(slant->over_ground.nautical_miles(), above_nm, 0.07);
        } else if (above_nm < 0.09) {
            EXPECT_EQ(slant, nullptr) << row.altitude_ft;
        }
    }
}

// trade-facts 13.4: an ILS/DME may be set to read less than the slant range by its bias.
TEST(TruthCardEnd, ABiasedDmeReadsLessByItsBiasAndItIsSaid) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0}, {.service = ServiceClass::high, .dme = ServiceClass::high});
    drawn.sketch.station("AAA").dme->bias = Length::nautical_miles(1.2);
    drawn.level = Altitude::feet(10000);
    drawn.build();
    drawn.leg({30, 0}, {10, 0}, drawn.radial("AAA", true, 270)).ending =
        drawn.told("FIXAA", {10, 0}, fixing::DmeReading{drawn.at("AAA"), Length(), true});
    const Step step = first(drawn.compiled());
    const auto* end = std::get_if<ReadingReached>(&step.end);
    ASSERT_NE(end, nullptr);
    EXPECT_NEAR(end->reading.nautical_miles(), 10.135 - 1.2, 0.07);
    EXPECT_FALSE(end->increasing);
    const auto* biased = find<BiasedReading>(step.expected.notices);
    ASSERT_NE(biased, nullptr);
    EXPECT_NEAR(biased->bias.nautical_miles(), 1.2, 1e-9);
}

// trade-facts 4: MH + RB = MB. A wind of 30 kt from the right at 120 kt asks for asin(30/120) = 14.5 degrees to the right.
TEST(TruthCardGuidance, AFixedCardShowsTheBearingLessTheHeadingAndAnRmiTheBearing) {
    for (const auto indicator : {cockpit::AdfIndicator::fixed_card, cockpit::AdfIndicator::movable_card,
                                 cockpit::AdfIndicator::rmi}) {
        for (const bool toward : {true, false}) {
            Drawn drawn;
            drawn.sketch.ndb("NNN", toward ? At{30, 0} : At{0, 0}, ServiceClass::ndb_high);
            drawn.indicator = indicator;
            drawn.wind = {TrueBearing::degrees(180), Speed::knots(30)};
            drawn.build();
            drawn.leg({0, 0}, {30, 0}, procedure::OnBeacon{drawn.at("NNN"), toward, TrueBearing::degrees(90)})
                .ending = procedure::AtIntercept{};
            const Step step = first(drawn.compiled());
            const auto* follow = std::get_if<FollowBearing>(&step.guidance);
            ASSERT_NE(follow, nullptr);
            ASSERT_TRUE(step.expected.heading);
            EXPECT_NEAR((*step.expected.heading - follow->track).degrees(), 14.5, 1.0);
            const MagneticBearing to_station = toward ? follow->track : follow->track.reciprocal();
            const double shown = follow->pointer.degrees();
            if (indicator == cockpit::AdfIndicator::fixed_card) {
                EXPECT_NEAR((*step.expected.heading + base::Angle::degrees(shown) - to_station).degrees(),
                            0.0, 1e-6);
                EXPECT_NEAR(shown, toward ? 345.5 : 165.5, 1.0);
            } else {
                EXPECT_NEAR(shown, to_station.degrees(), 1e-6);
            }
            EXPECT_NE(find<NoFlag>(step.expected.notices), nullptr);
        }
    }
}

// trade-facts 15: radials go by the station's own zero, here 15 degrees east: true east of it is its radial 075.
TEST(TruthCardCheck, ARadialIsCountedFromTheStationsOwnZero) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low});
    drawn.sketch.vor("SSS", {30, -20}, {.declination_deg = 15.0});
    drawn.aboard = {.receivers = 2, .dme = true};
    drawn.build();
    drawn.leg({0, 0}, {30, 0}, drawn.radial("AAA", false, 90)).ending =
        drawn.told("FIXAA", {30, 0}, fixing::DmeReading{drawn.at("AAA"), Length(), true});
    const Step step = first(drawn.compiled());
    ASSERT_TRUE(step.check);
    const auto* check = std::get_if<RadialCheck>(&*step.check);
    ASSERT_NE(check, nullptr);
    EXPECT_EQ(check->aid.ident, "SSS");
    EXPECT_NEAR((check->radial - Radial::degrees(345)).degrees(), 0.0, 1.0);  // due north, less 15
    EXPECT_NEAR(check->tolerance.degrees(), 3.6, 1e-9);                       // TERPS (trade-facts 3.2)
}

// trade-facts 4: on the back course inbound and outbound on the front course a plain indicator is flown away from, an HSI set on
// the front course toward.
TEST(TruthCardGuidance, TheSenseOfALocalizersNeedleIsSaidWhereItDeceives) {
    struct Row {
        bool toward;
        bool back_course;
        cockpit::CourseIndicator indicator;
        NeedleSense sense;
    };
    using cockpit::CourseIndicator;
    for (const Row& row : {Row{true, false, CourseIndicator::cdi, NeedleSense::toward_the_line},
                           Row{false, false, CourseIndicator::cdi, NeedleSense::away_from_the_line},
                           Row{true, true, CourseIndicator::cdi, NeedleSense::away_from_the_line},
                           Row{false, true, CourseIndicator::cdi, NeedleSense::toward_the_line},
                           Row{false, false, CourseIndicator::hsi, NeedleSense::righted_by_the_front_course},
                           Row{true, true, CourseIndicator::hsi, NeedleSense::righted_by_the_front_course}}) {
        Drawn drawn;
        drawn.sketch.airport("XILS", {50, 0}).runway("XILS", 9, {50, 0}).ils("XILS", "RW09", "IXX");
        drawn.course_indicator = row.indicator;
        drawn.build();
        drawn.leg({35, 0}, {45, 0}, procedure::OnLocalizer{drawn.at("IXX"), row.toward, row.back_course})
            .ending = procedure::AtIntercept{};
        const Step step = first(drawn.compiled());
        const auto* follow = std::get_if<FollowLocalizer>(&step.guidance);
        ASSERT_NE(follow, nullptr);
        EXPECT_EQ(follow->needle, row.sense);
        EXPECT_EQ(follow->front_course, Radial::degrees(90));
        EXPECT_EQ(follow->outbound, !row.toward);
        EXPECT_NE(find<LocalizerWithoutToFrom>(step.expected.notices), nullptr);
        EXPECT_EQ(find<NeedleDeceives>(step.expected.notices) != nullptr,
                  row.sense != NeedleSense::toward_the_line);
    }
}

// trade-facts 5: overhead a DME reads the height, 6,000 ft is about 1 NM; trade-facts 2: the cone over a VOR stands 50 degrees from
// the vertical: 6,000 ft tan 50 = 1.18 NM each side, 2.35 NM in all, 71 s at 120 kt.
TEST(TruthCardNotice, TheZoneOverheadIsSaidWithItsTimeAndTheLeastReading) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {30, 0}, {.dme = ServiceClass::low});
    drawn.build();
    drawn.leg({0, 0}, {30, 0}, drawn.radial("AAA", true, 90)).ending =
        drawn.told("AAA", {30, 0}, fixing::Overhead{drawn.at("AAA")});
    const Step step = first(drawn.compiled());
    const auto* end = std::get_if<StationPassage>(&step.end);
    ASSERT_NE(end, nullptr);
    EXPECT_FALSE(end->pointer);
    const auto* zone = find<ZoneOverhead>(step.expected.notices);
    ASSERT_NE(zone, nullptr);
    EXPECT_NEAR(zone->about.count(), 70.6, 1.0);
    ASSERT_TRUE(zone->least_reading);
    EXPECT_NEAR(zone->least_reading->nautical_miles(), 1.0, 0.05);
}

// A changeover is no fix: with a DME it is told by the guiding aid's reading, without one by the clock from the last that was told.
TEST(CaseCardEnd, AChangeoverIsToldByDmeElseByTheClock) {
    for (const bool dme : {true, false}) {
        Drawn drawn;
        drawn.sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low}).vor("BBB", {60, 0});
        drawn.aboard = {.receivers = 2, .dme = dme};
        drawn.build();
        drawn.leg({-10, 0}, {0, 0}, drawn.radial("AAA", true, 90)).ending =
            drawn.told("AAA", {0, 0}, fixing::Overhead{drawn.at("AAA")});
        drawn.flight.legs.back().to = procedure::PlacedFix{"AAA", drawn.sketch.at({0, 0}), {}, false};
        Leg& leg = drawn.leg({0, 0}, {60, 0}, drawn.radial("AAA", false, 90));
        const Length half = leg.length * 0.5;
        leg.stretches = {{Length(), half, drawn.radial("AAA", false, 90)},
                         {half, leg.length, drawn.radial("BBB", true, 90)}};
        leg.ending = drawn.told("BBB", {60, 0}, fixing::Overhead{drawn.at("BBB")});
        const Compiled compiled = drawn.compiled();
        ASSERT_EQ(compiled.card.steps.size(), 3U);
        const Step& step = compiled.card.steps[1];
        const auto* end = std::get_if<ChangeOver>(&step.end);
        ASSERT_NE(end, nullptr);
        EXPECT_EQ(end->to.ident, "BBB");
        if (dme) {
            ASSERT_TRUE(end->reading && end->reading_of);
            EXPECT_EQ(end->reading_of->ident, "AAA");
            EXPECT_NEAR(end->reading->nautical_miles(), 30.02, 0.06);  // 6,000 ft above 30 NM
            EXPECT_TRUE(all_of<StartClock>(step.work).empty());
        } else {
            ASSERT_TRUE(end->time);
            EXPECT_NEAR(end->time->count(), 900.0, 1.0);  // 30 NM at 120 kt
            EXPECT_EQ(end->since, "AAA");
            EXPECT_EQ(all_of<StartClock>(step.work).size(), 1U);
        }
    }
}

// A heading ends where the next needle comes alive, or a beacon's pointer comes to the bearing flown next.
// Along the line to a beacon its pointer stands the same all the way: only the clock ends the heading.
TEST(CaseCardEnd, AHeadingEndsAtTheNextNeedleOrByTheClock) {
    for (const bool beacon : {false, true}) {
        Drawn drawn;
        drawn.sketch.vor("AAA", {30, 0}).ndb("NNN", {30, 0}, ServiceClass::ndb_high);
        drawn.indicator = cockpit::AdfIndicator::rmi;
        drawn.build();
        Leg& leg = drawn.leg({0, 0}, {30, 0}, procedure::OnHeading{TrueBearing::degrees(90)});
        const Length part = Length::nautical_miles(5);
        leg.stretches = {{Length(), part, procedure::OnHeading{TrueBearing::degrees(90)}},
                         {part, leg.length,
                          beacon ? procedure::Guidance(
                                       procedure::OnBeacon{drawn.at("NNN"), true, TrueBearing::degrees(90)})
                                 : drawn.radial("AAA", true, 90)}};
        leg.ending = drawn.told("AAA", {30, 0}, fixing::Overhead{drawn.at(beacon ? "NNN" : "AAA")});
        const Compiled compiled = drawn.compiled();
        ASSERT_EQ(compiled.card.steps.size(), 2U);
        if (beacon) {
            EXPECT_TRUE(std::holds_alternative<TimeOut>(compiled.card.steps[0].end));
            EXPECT_TRUE(std::get<StationPassage>(compiled.card.steps[1].end).pointer);
        } else {
            const auto* end = std::get_if<NeedleAlive>(&compiled.card.steps[0].end);
            ASSERT_NE(end, nullptr);
            EXPECT_EQ(end->aid.ident, "AAA");
        }
    }
}

// From the end of the heading the beacon stands due north on the drawing: within half a degree, as 20 NM east meridians have turned
// by 0.3 degrees (20 NM / cos 40 = 26 minutes of longitude, times sin 40).
TEST(CaseCardEnd, AHeadingEndsAtABearingItCrosses) {
    Drawn drawn;
    drawn.sketch.ndb("NNN", {20, 30}, ServiceClass::ndb_high);
    drawn.indicator = cockpit::AdfIndicator::rmi;
    drawn.build();
    drawn.leg({0, 0}, {20, 0}, procedure::OnHeading{TrueBearing::degrees(90)});
    drawn.leg({20, 0}, {20, 30}, procedure::OnBeacon{drawn.at("NNN"), true, TrueBearing::degrees(0)}).ending =
        drawn.told("NNN", {20, 30}, fixing::Overhead{drawn.at("NNN")});
    const Compiled compiled = drawn.compiled();
    ASSERT_EQ(compiled.card.steps.size(), 2U);
    const auto* end = std::get_if<BearingReached>(&compiled.card.steps[0].end);
    ASSERT_NE(end, nullptr);
    EXPECT_EQ(end->aid.ident, "NNN");
    const base::Variation variation =
        magnetic_model().variation(drawn.sketch.at({20, 0}), earth::DecimalYear{2026.0});
    EXPECT_LT(abs(base::to_true(end->to_station, variation) - TrueBearing::degrees(0)),
              base::Angle::degrees(0.8));
    EXPECT_NEAR(end->pointer.degrees(), end->to_station.degrees(), 1e-6);
}

// AIM 5-3-8 (trade-facts 8.2): 8 degrees of correction inbound are about three times that outbound, to the other side. 17 kt across
// at 120 kt ask for asin(17/120) = 8.1 degrees; the exact circuit is allowed a third of the rule's 24.
TEST(TruthCardGuidance, AHoldCorrectsOutboundAboutThreeTimesTheInboundDrift) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0});
    drawn.wind = {TrueBearing::degrees(0), Speed::knots(17)};
    drawn.build();
    drawn.leg({-20, 0}, {0, 0}, drawn.radial("AAA", true, 90)).ending =
        drawn.told("AAA", {0, 0}, fixing::Overhead{drawn.at("AAA")});
    Leg& hold = drawn.leg({0, 0}, {0, 0}, drawn.radial("AAA", true, 90));
    hold.ending = procedure::AtHold{
        {"AAA", drawn.sketch.at({0, 0}), std::nullopt, false}, navdata::Turn::right, false, std::nullopt};
    const Compiled compiled = drawn.compiled();
    ASSERT_EQ(compiled.card.steps.size(), 2U);
    const auto* fly = std::get_if<FlyHold>(&compiled.card.steps[1].guidance);
    ASSERT_NE(fly, nullptr);
    EXPECT_EQ(fly->entry, procedure::HoldEntry::direct);
    ASSERT_TRUE(fly->aid && fly->outbound_time);
    const double inbound =
        (*compiled.card.steps[0].expected.heading - compiled.card.steps[0].expected.course).degrees();
    EXPECT_NEAR(inbound, -8.1, 1.0);
    const double outbound = (fly->outbound_heading - fly->inbound.reciprocal()).degrees();
    EXPECT_NEAR(outbound, 24.0, 8.0);
    EXPECT_NEAR(fly->outbound_time->count(), 60.0, 15.0);
    EXPECT_TRUE(std::holds_alternative<HeldUntil>(compiled.card.steps[1].end));
}

// trade-facts 8.1, test vectors computed from the rule of the AIM: inbound 360, right turns.
TEST(TruthCardGuidance, AHoldIsEnteredByTheArrivingHeading) {
    struct Row {
        double heading_deg;
        procedure::HoldEntry entry;
    };
    for (const Row& row :
         {Row{0, procedure::HoldEntry::direct}, Row{90, procedure::HoldEntry::direct},
          Row{150, procedure::HoldEntry::offset}, Row{270, procedure::HoldEntry::parallel}}) {
        Drawn drawn;
        drawn.sketch.vor("AAA", {0, 0});
        drawn.build();
        const double from = (row.heading_deg + 180.0) * std::numbers::pi / 180.0;
        drawn
            .leg({20 * std::sin(from), 20 * std::cos(from)}, {0, 0},
                 drawn.radial("AAA", true, row.heading_deg))
            .ending = drawn.told("AAA", {0, 0}, fixing::Overhead{drawn.at("AAA")});
        Leg& hold = drawn.leg({0, 0}, {0, 0}, drawn.radial("AAA", true, 0));
        hold.track = TrueBearing::degrees(0);
        hold.ending = procedure::AtHold{
            {"AAA", drawn.sketch.at({0, 0}), std::nullopt, false}, navdata::Turn::right, false, std::nullopt};
        EXPECT_EQ(std::get<FlyHold>(drawn.compiled().card.steps.at(1).guidance).entry, row.entry)
            << row.heading_deg;
    }
}

// ARINC 424 5.18 (trade-facts 13.9): a barb stands 45 degrees off the outbound course; the way back is its reciprocal.
TEST(TruthCardGuidance, AProcedureTurnIsSaidByItsBarb) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0});
    drawn.build();
    Leg& turn = drawn.leg({0, 0}, {0, 0}, drawn.radial("AAA", false, 90));
    turn.length = Length::nautical_miles(20);
    turn.stretches.front().to = turn.length;
    turn.ending = procedure::AtCourseReversed{"AAA", Length::nautical_miles(10),
                                              navdata::CodedCourse{117.0, false}, navdata::Turn::left};
    const Step step = first(drawn.compiled());
    const auto* reverse = std::get_if<ReverseCourse>(&step.guidance);
    ASSERT_NE(reverse, nullptr);
    EXPECT_EQ(reverse->away, MagneticBearing::degrees(117));
    EXPECT_EQ(reverse->return_heading, MagneticBearing::degrees(297));
    EXPECT_EQ(reverse->back, navdata::Turn::left);
    EXPECT_TRUE(std::holds_alternative<EstablishedInbound>(step.end));
}

// Magnetic is true less the variation east (trade-facts 15), which is some degrees here: a hold inbound on true 090, a barb coded true.
TEST(TruthCardGuidance, TheInboundCourseOfAHoldAndABarbCodedTrueAreToldMagnetic) {
    const auto guidance_with = [](const procedure::Ending& ending) {
        Drawn drawn;
        drawn.sketch.vor("AAA", {0, 0});
        drawn.build();
        Leg& leg = drawn.leg({0, 0}, {0, 0}, drawn.radial("AAA", true, 90));
        leg.length = Length::nautical_miles(20);
        leg.stretches.front().to = leg.length;
        leg.ending = ending;
        return first(drawn.compiled()).guidance;
    };
    const earth::Position place = Sketch().at({0, 0});
    const double east_deg = magnetic_model().variation(place, earth::DecimalYear{2026.0}).east().degrees();
    ASSERT_GT(std::abs(east_deg), 5.0);
    const auto hold = guidance_with(
        procedure::AtHold{{"AAA", place, std::nullopt, false}, navdata::Turn::right, false, std::nullopt});
    EXPECT_EQ(std::get<FlyHold>(hold).inbound, MagneticBearing::degrees(std::round(90.0 - east_deg)));
    const auto reversal = guidance_with(procedure::AtCourseReversed{
        "AAA", Length::nautical_miles(10), navdata::CodedCourse{117.0, true}, navdata::Turn::left});
    EXPECT_EQ(std::get<ReverseCourse>(reversal).away, MagneticBearing::degrees(std::round(117.0 - east_deg)));
}

// Design section 2 and the issue of the card: when lined up the way straight back stands ready on a set.
TEST(CaseCard, TheWayStraightBackStandsOnASetWhenLinedUp) {
    for (const int receivers : {1, 2}) {
        Drawn drawn;
        drawn.aboard.receivers = receivers;
        drawn.sketch.vor("AAA", {0, 0}).ils("XDEP", "RW09", "IDEP", {.dme = true});
        drawn.build();
        drawn.leg({0, 0}, {30, 0}, drawn.radial("AAA", false, 90)).phase = Phase::departure;
        drawn.leg({30, 0}, {39, 0}, drawn.radial("AAA", false, 90));
        const auto* localizer = navdata::localizer((*drawn.world)[drawn.at("IDEP")]);
        ASSERT_NE(localizer, nullptr);
        drawn.flight.immediate_return =
            ReturnApproach{"ILS RW09", drawn.at("IDEP"), localizer->course, drawn.flight.departure_runway};
        const Card card = drawn.compiled().card;
        ASSERT_TRUE(card.immediate_return) << receivers;
        EXPECT_EQ(card.immediate_return->aid.ident, "IDEP");
        EXPECT_EQ(card.immediate_return->set.kind, SetKind::receiver);
        const ReceiverStands& stands =
            card.lined_up.receivers.at(static_cast<std::size_t>(card.immediate_return->set.number - 1));
        EXPECT_EQ(card.immediate_return->in_standby ? stands.standby : stands.active,
                  card.immediate_return->aid);
        // The one receiver guides by the VOR: only its standby window is free.
        EXPECT_TRUE(receivers == 2 || card.immediate_return->in_standby);
    }
}

TEST(CaseCard, WithoutAWayStraightBackNoneIsMadeUp) {
    Drawn drawn;
    drawn.sketch.vor("AAA", {0, 0});
    drawn.build();
    drawn.leg({0, 0}, {30, 0}, drawn.radial("AAA", false, 90));
    EXPECT_FALSE(drawn.compiled().card.immediate_return);
}

// The words of the data, in the order in which they are called.
TEST(CaseCard, CallsStandWhereTheyAreMade) {
    Drawn drawn;
    const auto spoken = [&](const std::string& airport, const std::string& type, double mhz) {
        drawn.sketch.records().communications.push_back(
            {airport, type, airport + " " + type, base::Frequency::megahertz(mhz), {}});
    };
    spoken("XDEP", "TWR", 118.1);
    spoken("XDEP", "ATIS", 127.05);
    spoken("XDEP", "TWR", 257.8);
    spoken("XARR", "APP", 119.4);
    spoken("XARR", "TWR", 118.7);
    drawn.sketch.vor("AAA", {0, 0});
    drawn.build();
    drawn.leg({0, 0}, {30, 0}, drawn.radial("AAA", false, 90)).ending = procedure::AtIntercept{};
    const Card card = drawn.compiled().card;
    const auto before = all_of<Call>(card.before_take_off);
    ASSERT_EQ(before.size(), 2U);
    EXPECT_EQ(before[0].service, "ATIS");
    EXPECT_EQ(before[1].service, "TWR");
    EXPECT_NEAR(before[1].frequency.megahertz(), 118.1, 1e-6);
    const auto calls = all_of<Call>(card.steps.front().work);
    ASSERT_EQ(calls.size(), 2U);
    EXPECT_EQ(calls[0].service, "APP");
    EXPECT_EQ(calls[1].service, "TWR");
}

namespace {

/// A random airway of VORs, some with DME, with a beacon here and there, flown to its end.
Drawn random_airway(const Aboard& aboard, std::uint32_t shape) {
    Drawn drawn;
    const int stations = 2 + static_cast<int>(shape % 3);
    const auto ident = [](int i) { return std::string(3, static_cast<char>('A' + i)); };
    for (int i = 0; i < stations; ++i) {
        const bool dme = ((shape >> (2 + i)) & 1U) != 0;
        drawn.sketch.vor(ident(i), {50.0 * i, 0},
                         {.dme = dme ? std::optional(ServiceClass::low) : std::nullopt,
                          .declination_deg = static_cast<double>((shape >> 8) % 30) - 15.0});
        drawn.sketch.station(ident(i)).frequency = base::Frequency::megahertz(108.2 + i);
    }
    drawn.sketch.vor("SSS", {25.0 + (shape % 7), 20}, {.dme = ServiceClass::low});
    drawn.sketch.ndb("NNN", {40.0 - (shape % 5), -15}, ServiceClass::ndb_high);
    drawn.aboard = aboard;
    drawn.wind = {TrueBearing::degrees(shape % 360), Speed::knots(shape % 40)};
    drawn.build();
    for (int i = 0; i + 1 < stations; ++i) {
        const At from{50.0 * i, 0};
        const At to{50.0 * (i + 1), 0};
        Leg& leg = drawn.leg(from, to, drawn.radial(ident(i), false, 90));
        leg.from = procedure::PlacedFix{ident(i), leg.start, {}, false};
        leg.to = procedure::PlacedFix{ident(i + 1), leg.finish, {}, false};
        const Length half = leg.length * 0.5;
        leg.stretches = {{Length(), half, drawn.radial(ident(i), false, 90)},
                         {half, leg.length, drawn.radial(ident(i + 1), true, 90)}};
        leg.ending = drawn.told(ident(i + 1), to, fixing::Overhead{drawn.at(ident(i + 1))});
    }
    return drawn;
}

Aboard any_aboard() {
    return {.receivers = *rc::gen::inRange<std::size_t>(1, 4),
            .dme = *rc::gen::arbitrary<bool>(),
            .adf = *rc::gen::arbitrary<bool>()};
}

int checks_of(const Card& card) {
    return static_cast<int>(std::count_if(card.steps.begin(), card.steps.end(),
                                          [](const Step& step) { return step.check.has_value(); }));
}

bool shown_by(const Step& step, const NamedAid& aid) {
    return std::any_of(step.radios.receivers.begin(), step.radios.receivers.end(),
                       [&](const ReceiverStands& receiver) { return receiver.active == aid; });
}

}  // namespace

RC_GTEST_PROP(LawCard, EveryEndCanBeShownByWhatIsAboard, ()) {
    const Aboard aboard = any_aboard();
    const Card card = random_airway(aboard, *rc::gen::arbitrary<std::uint32_t>()).compiled().card;
    for (const Step& step : card.steps) {
        if (const auto* end = std::get_if<ChangeOver>(&step.end)) {
            RC_ASSERT((end->reading.has_value() != end->time.has_value()));
            RC_ASSERT((!end->reading || aboard.dme));
        } else {
            RC_ASSERT(std::holds_alternative<StationPassage>(step.end));
        }
        if (step.check) {
            RC_ASSERT((!std::holds_alternative<ReadingCheck>(*step.check) || aboard.dme));
            RC_ASSERT((!std::holds_alternative<BearingCheck>(*step.check) || aboard.adf));
            RC_ASSERT((!std::holds_alternative<RadialCheck>(*step.check) || aboard.receivers > 1));
        }
    }
}

RC_GTEST_PROP(LawCard, TheRadiosAsTheyStandServeTheGuidance, ()) {
    const Compiled compiled = random_airway(any_aboard(), *rc::gen::arbitrary<std::uint32_t>()).compiled();
    RC_ASSERT(std::holds_alternative<RadioSchedule>(compiled.schedule));
    for (const Step& step : compiled.card.steps) {
        const auto& follow = std::get<FollowRadial>(step.guidance);
        // Guidance that begins late is tuned while the heading is held; the radios still stand as before.
        const auto late = all_of<HoldHeadingWhileTuning>(step.work);
        if (!late.empty()) {
            RC_ASSERT(late.front().aid == follow.aid);
            const auto tuned = all_of<Tune>(step.work);
            RC_ASSERT((shown_by(step, follow.aid) ||
                       std::any_of(tuned.begin(), tuned.end(),
                                   [&](const Tune& tune) { return tune.aid == follow.aid; })));
            continue;
        }
        RC_ASSERT(shown_by(step, follow.aid));
        const auto set = std::any_of(
            step.radios.receivers.begin(), step.radios.receivers.end(), [&](const ReceiverStands& receiver) {
                return receiver.active == follow.aid && receiver.course == follow.course;
            });
        RC_ASSERT(set);
        for (const Tune& tune : all_of<Tune>(step.work)) {
            RC_ASSERT(tune.slack.count() >= 0.0);
            RC_ASSERT(tune.after.end_of_step < tune.before.end_of_step);
        }
    }
}

RC_GTEST_PROP(LawCard, OneReceiverGuidesWhenAStepBegins, ()) {
    const Card card = random_airway(any_aboard(), *rc::gen::arbitrary<std::uint32_t>()).compiled().card;
    for (const Step& step : card.steps) {
        const auto guiding = std::count_if(
            step.radios.receivers.begin(), step.radios.receivers.end(),
            [](const ReceiverStands& receiver) { return receiver.role == ReceiverRole::guides; });
        const bool late = !all_of<HoldHeadingWhileTuning>(step.work).empty();
        RC_ASSERT((guiding == 1 || (late && guiding == 0)));
    }
}

RC_GTEST_PROP(LawCard, MoreAboardNeverLosesACheck, ()) {
    const auto shape = *rc::gen::arbitrary<std::uint32_t>();
    const Aboard less{.receivers = *rc::gen::inRange<std::size_t>(1, 3),
                      .dme = *rc::gen::arbitrary<bool>(),
                      .adf = *rc::gen::arbitrary<bool>()};
    Aboard more = less;
    more.receivers += 1;
    more.adf = true;
    RC_ASSERT(checks_of(random_airway(more, shape).compiled().card) >=
              checks_of(random_airway(less, shape).compiled().card));
}

RC_GTEST_PROP(LawCard, EveryFigureIsRoundedToWhatPaperHolds, ()) {
    const Card card = random_airway(any_aboard(), *rc::gen::arbitrary<std::uint32_t>()).compiled().card;
    const auto whole = [](double value) { return std::abs(value - std::round(value)) < 1e-6; };
    for (const Step& step : card.steps) {
        RC_ASSERT(whole(step.expected.course.degrees()));
        RC_ASSERT(whole(step.expected.distance.nautical_miles() * 10.0));
        RC_ASSERT((!step.expected.time || whole(step.expected.time->count())));
        RC_ASSERT(whole(step.heights.at_end.feet()));
        RC_ASSERT(whole(std::get<FollowRadial>(step.guidance).course.degrees()));
    }
}

// Annex 10 Vol I 3.1.2.7 (from memory): of two ends with one frequency only the one in use is on the air.
TEST(CaseCard, ADmeThatMayBeOffTheAirIsNoCheck) {
    for (const bool other_end : {false, true}) {
        Drawn drawn;
        drawn.sketch.vor("AAA", {0, 0}).vor("CRS", {20, 15});
        drawn.sketch.airport("XILS", {32, 0}).runway("XILS", 9, {32, 0});
        drawn.sketch.ils("XILS", "RW27", "IWWW", {.dme = true});
        if (other_end) {
            drawn.sketch.ils("XILS", "RW09", "IEEE", {.dme = true});
        }
        drawn.build();
        auto& leg = drawn.leg({1, 0}, {20, 0}, drawn.radial("AAA", false, 90));
        leg.ending =
            drawn.told("FIX", {20, 0}, fixing::CrossingRadial{drawn.at("CRS"), base::Radial::degrees(180)});
        const Compiled compiled = drawn.compiled();
        EXPECT_EQ(first(compiled).check.has_value(), !other_end);
    }
}

// What a flight taken up in the air counts its clock from is where it was taken up, and what is done within a second of it is done at once.
TEST(CaseCard, ALevelLeftWhereTheFlightIsTakenUpIsLeftAtOnce) {
    for (const double after_nm : {0.01, 4.0}) {
        Drawn drawn;
        drawn.aboard = {.receivers = 1};
        drawn.sketch.vor("AAA", {0, 0});
        drawn.build();
        drawn.flight.begun = InTheAir{"OTTAV", drawn.sketch.at({1, 0}), drawn.level};
        drawn.lower_at_the_end = Altitude::feet(4000);
        drawn.lower_from = Length::nautical_miles(after_nm);
        drawn.leg({1, 0}, {20, 0}, drawn.radial("AAA", false, 90));
        const Length along = drawn.lower_from;
        drawn.flight.top_of_descent =
            TopOfDescent{along, drawn.level, 0, along, TimeFromFix{"AAA", base::minutes(2.0)}};
        const Compiled compiled = drawn.compiled();
        const auto left = all_of<LeaveAltitude>(first(compiled).work);
        ASSERT_EQ(left.size(), 1U);
        const bool at_once = left.front().says == "leave 6,000 ft at once";
        EXPECT_EQ(at_once, after_nm < 1.0) << left.front().says;
        EXPECT_EQ(left.front().says.find("take-off"), std::string::npos);
        EXPECT_EQ(left.front().says.find(" after OTTAV") != std::string::npos, !at_once) << left.front().says;
    }
}

}  // namespace omniway::flight
