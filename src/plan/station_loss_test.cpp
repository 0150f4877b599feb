#include "plan/station_loss.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "plan/diversion.hpp"
#include "plan/survive_any.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_eastbound_ils.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using base::Verdict;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::draw_eastbound_ils;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using omniway::testing::VorDrawn;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};
constexpr VorDrawn low_with_dme{.service = ServiceClass::low, .dme = ServiceClass::low};

Request request(const navdata::Snapshot& world) {
    Request asked;
    asked.from = *world.airport("XDEP");
    asked.to = *world.airport("XARR");
    asked.aircraft = aircraft_with(everything);
    asked.winds = weather::Wind{base::TrueBearing::degrees(90), base::Speed::knots(10)};
    asked.cruise = Altitude::feet(5000.0);
    asked.settings.off_airway_minimum = Altitude::feet(3000);
    asked.today = earth::DecimalYear{2026.0};
    return asked;
}

// In still air, and low over the sea.
Request calm(const navdata::Snapshot& world) {
    Request asked = request(world);
    asked.winds = weather::Wind{base::TrueBearing::degrees(0), base::Speed()};
    asked.settings.off_airway_minimum = Altitude::feet(1000);
    return asked;
}

//         EST   NTH
//   XDEP  AAA            INI-XARR   MIS
// NTH hears both ends of the flight and lies beside it.
Sketch drawn(bool with_another_way) {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {10, 0}, low_with_dme);
    if (with_another_way) {
        sketch.vor("NTH", {70, 25}, low_with_dme).vor("EST", {25, 12}, low_with_dme);
    }
    sketch.airway("V2", {"AAA", "INI"});
    return sketch;
}

struct Lost {
    navdata::Snapshot world;
    Answer answer;
    LossReport report;
    const StationLoss* of(const std::string& ident) const {
        const auto found = std::find_if(report.stations.begin(), report.stations.end(),
                                        [&](const StationLoss& each) { return each.aid.ident == ident; });
        return found == report.stations.end() ? nullptr : &*found;
    }
};

Lost lost(const Sketch& sketch, Request (*request_in)(const navdata::Snapshot&) = request) {
    Lost made{sketch.world(), {}, {}};
    const Request asked = request_in(made.world);
    made.answer = plan(made.world, radio::Ground{}, magnetic_model(), asked);
    if (made.answer.option) {
        made.report =
            station_losses(made.world, radio::Ground{}, magnetic_model(), asked, *made.answer.option, {});
    }
    return made;
}

std::string kinds(const StationLoss& loss) {
    std::string text;
    for (const Failure& failure : loss.failures) {
        text += failure.fallback == Fallback::none ? 'x' : '.';
    }
    return text;
}

}  // namespace

TEST(LawStationLoss, AWorldWithoutAStationIsThatOfRecordsThatSayItIsOutOfService) {
    Sketch sketch = drawn(true);
    const auto whole = sketch.world();
    const std::array<navdata::StationId, 1> failed{omniway::testing::station_of(whole, "NTH")};
    const navdata::Snapshot altered = whole.without(failed);
    sketch.station("NTH").out_of_service = true;
    const auto told = sketch.world();
    ASSERT_EQ(altered.stations().size(), told.stations().size());
    for (std::size_t i = 0; i < told.stations().size(); ++i) {
        EXPECT_EQ(altered.stations()[i].ident, told.stations()[i].ident);
    }
    EXPECT_EQ(altered.airways().size(), told.airways().size());
    EXPECT_TRUE(altered.is_out_of_service("NTH"));
    EXPECT_FALSE(whole.is_out_of_service("NTH"));
    // One after the other is as both at once.
    const std::array<navdata::StationId, 1> second{omniway::testing::station_of(altered, "AAA")};
    EXPECT_TRUE(altered.without(second).is_out_of_service("NTH"));
}

TEST(CaseStationLoss, TheOnlyAidThatLeadsToTheApproachStrandsAndSoDoesNothingElseOfTheWay) {
    const Lost made = lost(drawn(false));
    ASSERT_TRUE(made.answer.option);
    ASSERT_NE(made.answer.verdict, Verdict::not_flyable);
    ASSERT_NE(made.of("INI"), nullptr);
    EXPECT_TRUE(made.of("INI")->strands()) << kinds(*made.of("INI"));
    EXPECT_FALSE(made.of("INI")->flyable_from_the_ground);
}

TEST(CaseStationLoss, WithoutItsLocalizerTheOnlyApproachIsNoneAndTheDepartureHasNoneEither) {
    const Lost made = lost(drawn(true));
    const StationLoss* localizer = made.of("IXR");
    ASSERT_NE(localizer, nullptr);
    EXPECT_TRUE(localizer->strands());
    ASSERT_FALSE(localizer->failures.empty());
    EXPECT_THAT(localizer->failures.front().why_not, ::testing::Contains(::testing::HasSubstr("XARR")));
    EXPECT_THAT(localizer->failures.front().why_not, ::testing::Contains(::testing::HasSubstr("XDEP")));
}

TEST(CaseStationLoss, WhereAnotherAidLeadsOnAFailureOfTheFirstStrandsNobody) {
    const Lost made = lost(drawn(true));
    const StationLoss* first = made.of("AAA");
    ASSERT_NE(first, nullptr);
    EXPECT_FALSE(first->strands()) << kinds(*first);
    ASSERT_FALSE(first->failures.empty());
    for (const Failure& failure : first->failures) {
        ASSERT_TRUE(failure.option);
        EXPECT_NE(failure.option->verdict, Verdict::not_flyable);
        EXPECT_EQ(failure.option->flight.legs.front().start, failure.at.at.place);
        for (const navdata::Station& station : first->without->stations()) {
            EXPECT_NE(station.ident, "AAA");
        }
    }
}

// What is left of each drawn failure is read off the map by hand: these cases share no code with what they hold.

// A straight-in VOR approach to a runway: begun over the aid, its final fix half way, around to the aid again.
void draw_vor_approach(Sketch& sketch, const std::string& airport, const std::string& runway,
                       const std::string& aid, double course_deg, const std::string& final_fix) {
    navdata::Leg last = sketch.leg(
        navdata::PathTerminator::CF, "",
        {.recommended = aid, .course_deg = course_deg, .altitude_ft = 400.0, .description = "GY M"});
    last.fix = navdata::PointName{navdata::PointKind::runway, runway, "XX", airport};
    sketch.approach(
        airport, "V" + runway.substr(2), 'V',
        {sketch.leg(navdata::PathTerminator::IF, aid, {.altitude_ft = 3000.0, .description = "V  A"}),
         sketch.leg(
             navdata::PathTerminator::CF, final_fix,
             {.recommended = aid, .course_deg = course_deg, .altitude_ft = 1800.0, .description = "E  F"}),
         last,
         sketch.leg(navdata::PathTerminator::CA, "",
                    {.course_deg = course_deg, .altitude_ft = 800.0, .description = "  M "}),
         sketch.leg(navdata::PathTerminator::DF, aid, {.altitude_ft = 3000.0}),
         sketch.leg(navdata::PathTerminator::HM, aid,
                    {.recommended = aid, .course_deg = course_deg, .turn = navdata::Turn::right})});
}

std::string why(const std::vector<StationLoss>& losses) {
    std::string text;
    for (const StationLoss& loss : losses) {
        for (const Failure& failure : loss.failures) {
            for (const std::string& each : failure.why_not) {
                text += loss.aid.ident + " " + failure.when + ": " + each + "\n";
            }
        }
    }
    return text;
}

std::vector<Fallback> fallbacks(const StationLoss& loss) {
    std::vector<Fallback> all;
    for (const Failure& failure : loss.failures) {
        all.push_back(failure.fallback);
    }
    return all;
}

TEST(CaseStationLoss, WithoutTheLocalizerTheVorApproachOfTheSameAirportIsFlown) {
    Sketch sketch = drawn(true);
    sketch.fix("FINBB", {134, 0});
    draw_vor_approach(sketch, "XARR", "RW09", "INI", 90.0, "FINBB");
    const Lost made = lost(sketch, calm);
    ASSERT_TRUE(made.answer.option);
    ASSERT_TRUE(made.answer.option->flight.approach.find("ILS") != std::string::npos)
        << made.answer.option->flight.approach;
    ASSERT_NE(made.of("IXR"), nullptr);
    EXPECT_EQ(fallbacks(*made.of("IXR")).front(), Fallback::another_approach) << why(made.report.stations);
}

TEST(CaseStationLoss, WithoutTheOnlyApproachAheadTheFlightTurnsBackToTheOneBehind) {
    Sketch sketch = drawn(true);
    sketch.fix("FINDD", {5, 0});
    draw_vor_approach(sketch, "XDEP", "RW27", "AAA", 270.0, "FINDD");
    const Lost made = lost(sketch, calm);
    ASSERT_NE(made.of("IXR"), nullptr);
    ASSERT_FALSE(made.of("IXR")->failures.empty());
    EXPECT_THAT(fallbacks(*made.of("IXR")), ::testing::Contains(Fallback::turn_back))
        << why(made.report.stations);
    EXPECT_FALSE(made.of("IXR")->flyable_from_the_ground);
}

TEST(CaseStationLoss, WithoutTheOnlyApproachAheadAndNoneBehindTheFlightDivertsToTheAirportBeside) {
    Sketch sketch = drawn(true);
    sketch.vor("ALT", {110, 20}, low_with_dme).fix("FINEE", {110, 25});
    sketch.airport("XALT", {110, 30}).runway("XALT", 36, {110, 30});
    draw_vor_approach(sketch, "XALT", "RW36", "ALT", 0.0, "FINEE");
    const auto world = sketch.world();
    const Request asked = request(world);
    const Answer answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    const LossReport report = station_losses(world, radio::Ground{}, magnetic_model(), asked, *answer.option,
                                             {*world.airport("XALT")});
    const auto localizer = std::find_if(report.stations.begin(), report.stations.end(),
                                        [](const StationLoss& each) { return each.aid.ident == "IXR"; });
    ASSERT_NE(localizer, report.stations.end());
    ASSERT_FALSE(localizer->failures.empty());
    for (const Failure& failure : localizer->failures) {
        if (failure.fallback != Fallback::none) {
            EXPECT_EQ(failure.fallback, Fallback::divert);
            EXPECT_EQ(world[failure.to].ident, "XALT");
        }
    }
    EXPECT_EQ(localizer->failures.front().fallback, Fallback::divert);
}

// BBB 50 NM AAA 56 NM INI: half way along what AAA guides of V2 INI is 42 NM ahead, 40 of which it is heard.
TEST(CaseStationLoss, WhereTheAidAheadIsHeardInAMinuteOfHeadingTheFlightGoesOnAsPlanned) {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("BBB", {20, 0}, low_with_dme).vor("AAA", {70, 0}, low_with_dme);
    navdata::Station& ahead = sketch.station("INI");
    ahead.dme->service = ServiceClass::low;
    std::get<navdata::VorAzimuth>(ahead.azimuth).service = ServiceClass::low;
    sketch.airway("V2", {"BBB", "AAA", "INI"});
    const Lost made = lost(sketch);
    const StationLoss* loss = made.of("AAA");
    ASSERT_NE(loss, nullptr);
    const auto along = std::find_if(loss->failures.begin(), loss->failures.end(),
                                    [](const Failure& each) { return each.when.starts_with("half way"); });
    ASSERT_NE(along, loss->failures.end());
    EXPECT_EQ(along->fallback, Fallback::as_planned);
}

TEST(CaseStationLoss, WhereAnotherAidStandsBesideTheWayItIsFlownOverThatOne) {
    const Lost made = lost(drawn(true));
    const StationLoss* first = made.of("AAA");
    ASSERT_NE(first, nullptr);
    EXPECT_THAT(fallbacks(*first), ::testing::Contains(Fallback::another_way));
}

// NTH does what AAA does; with INI, MIS or the localizer gone the way back to the approach over AAA is left, over MMM
// where NTH asks for a turn of more than 120 degrees.
TEST(CaseSurviveAny, AFlightOfWhichEveryAidHasAnotherOrAWayBackSurvivesAsItIs) {
    Sketch sketch = drawn(true);
    sketch.fix("FINDD", {5, 0}).vor("MMM", {55, -22}, low_with_dme);
    draw_vor_approach(sketch, "XDEP", "RW27", "AAA", 270.0, "FINDD");
    const auto world = sketch.world();
    const Request asked = calm(world);
    const Survivor found = survive_any(world, radio::Ground{}, magnetic_model(), asked,
                                       plan(world, radio::Ground{}, magnetic_model(), asked), {});
    EXPECT_TRUE(found.survives()) << why(found.losses.stations);
    EXPECT_EQ(found.flights_looked_at, 1U);
}

TEST(LawStationLoss, WhatIsLeftBurnsNoMoreThanIsLeftAndBeginsAtTheHeightFlown) {
    const Lost made = lost(drawn(true));
    for (const StationLoss& loss : made.report.stations) {
        for (const Failure& failure : loss.failures) {
            EXPECT_LT(failure.at.fuel, request(made.world).aircraft.fuel.usable);
            if (failure.option) {
                EXPECT_LT(failure.option->compiled.track.fuel, failure.at.fuel);
                EXPECT_EQ(failure.option->flight.profile.front().altitude, failure.at.at.altitude);
            }
        }
    }
}

TEST(LawStationLoss, MoreStationsNeverStrandWhereFewerDidNot) {
    const Lost few = lost(drawn(false));
    const Lost many = lost(drawn(true));
    for (const StationLoss& loss : few.report.stations) {
        if (const StationLoss* again = many.of(loss.aid.ident); again != nullptr && !loss.strands()) {
            EXPECT_FALSE(again->strands()) << loss.aid.ident;
        }
    }
}

TEST(LawStationLoss, CancelledItSaysSoAndGivesWhatWasDone) {
    const auto world = drawn(true).world();
    const Request asked = request(world);
    const Answer answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    std::stop_source stop;
    base::Progress progress;
    progress.stop = stop.get_token();
    int told = 0;
    progress.report = [&](std::string_view, double share) {
        EXPECT_GE(share, 0.0);
        EXPECT_LE(share, 1.0);
        if (++told == 2) {
            stop.request_stop();
        }
    };
    const LossReport report =
        station_losses(world, radio::Ground{}, magnetic_model(), asked, *answer.option, {}, progress);
    EXPECT_TRUE(report.cancelled);
    EXPECT_EQ(report.stations.size(), 2U);
}

TEST(CaseSurviveAny, AFlightWhoseOnlyApproachHangsOnOneLocalizerSurvivesNotAnyLossAndSaysWhich) {
    const auto world = drawn(true).world();
    const Request asked = request(world);
    const Survivor found = survive_any(world, radio::Ground{}, magnetic_model(), asked,
                                       plan(world, radio::Ground{}, magnetic_model(), asked), {});
    EXPECT_FALSE(found.survives());
    EXPECT_THAT(found.losses.stranding(), ::testing::Contains(::testing::Truly([](const StationLoss* loss) {
                    return loss->aid.ident == "IXR";
                })));
    EXPECT_LE(found.flights_looked_at, 12U);
}

// In flight.

TEST(LawInFlight, TheFirstMinuteIsFlownByHeadingInWhichTheRadiosAreSet) {
    const auto world = drawn(true).world();
    const Request asked = request(world);
    InFlight now;
    now.at = {"HERE", Sketch().at({40, 3}), Altitude::feet(5000.0)};
    now.fuel = base::Mass::pounds(400.0);
    const Answer answer =
        plan_in_flight(world, radio::Ground{}, magnetic_model(), asked, now, *world.airport("XARR"));
    ASSERT_TRUE(answer.option);
    ASSERT_NE(answer.verdict, Verdict::not_flyable);
    const auto& steps = answer.option->compiled.track.steps;
    ASSERT_TRUE(std::holds_alternative<procedure::OnHeading>(steps.front().guidance));
    ASSERT_TRUE(steps.front().time);
    EXPECT_GE(steps.front().time->count(), 60.0);
    EXPECT_EQ(steps.front().start, now.at.place);
    const auto first = first_on_the_radios(world, *answer.option);
    ASSERT_TRUE(first);
    EXPECT_TRUE(first->heading);
    EXPECT_GT(first->by_heading, Length());
    for (const base::Finding& finding : answer.option->findings) {
        EXPECT_FALSE(finding.code.starts_with("departure.")) << finding.text;
        EXPECT_NE(finding.code, "runway.too_short");
    }
}

// Over INI the approach begins: once round in a hold there, 14 NM to the runway, and not out to another aid and back.
TEST(CaseInFlight, OverTheAidAtWhichTheApproachBeginsOneHoldsOverIt) {
    const auto world = drawn(true).world();
    const Request asked = request(world);
    for (const double before_nm : {0.0, 1.0}) {
        InFlight now;
        now.at = {"INI", Sketch().at({126 - before_nm, 0}), Altitude::feet(4000.0)};
        now.fuel = base::Mass::pounds(400.0);
        const Answer answer =
            plan_in_flight(world, radio::Ground{}, magnetic_model(), asked, now, *world.airport("XARR"));
        ASSERT_TRUE(answer.option);
        ASSERT_NE(answer.verdict, Verdict::not_flyable);
        const flight::Flight& flight = answer.option->flight;
        const std::size_t at = before_nm > 0.0 ? 1 : 0;
        EXPECT_TRUE(std::holds_alternative<procedure::AtHold>(*flight.legs.at(at).ending));
        EXPECT_EQ(flight.legs.front().start, now.at.place);
        // Four minutes of a circuit at no more than 120 kt through the air, and 14 NM.
        EXPECT_LT(flight.length().nautical_miles(), 14.0 + before_nm + 10.0);
        const auto first = first_on_the_radios(world, *answer.option);
        ASSERT_TRUE(first);
        EXPECT_EQ(first->aid.ident, "INI");
        EXPECT_TRUE(first->hold);
    }
}

// 1,500 ft over INI below an airway to be flown at 5,000 ft at least: the climb goes on in that hold.
TEST(CaseInFlight, AClimbGoesOnInTheHoldThatTheFlightBeginsWith) {
    Sketch sketch;
    draw_eastbound_ils(sketch);
    sketch.vor("AAA", {10, 0}, low_with_dme).fix("FINDD", {5, 0});
    sketch.airway("V2", {"AAA", "INI"}, {.minimum_ft = 5000.0});
    draw_vor_approach(sketch, "XDEP", "RW27", "AAA", 270.0, "FINDD");
    const auto world = sketch.world();
    Request asked = request(world);
    asked.settings.off_airway_minimum = Altitude::feet(9000);
    InFlight now;
    now.at = {"INI", Sketch().at({126, 0}), Altitude::feet(1500.0)};
    now.climbing_out = true;
    now.fuel = base::Mass::pounds(400.0);
    const Answer answer =
        plan_in_flight(world, radio::Ground{}, magnetic_model(), asked, now, *world.airport("XDEP"));
    ASSERT_TRUE(answer.option);
    ASSERT_NE(answer.verdict, Verdict::not_flyable) << why_no_flight(answer);
    const flight::Flight& flight = answer.option->flight;
    ASSERT_TRUE(std::holds_alternative<procedure::AtHold>(*flight.legs.front().ending));
    EXPECT_GE(flight.altitude_at(flight.legs.front().length), Altitude::feet(4999.0));
    EXPECT_FALSE(flight.legs.at(1).ending &&
                 std::holds_alternative<procedure::AtHold>(*flight.legs.at(1).ending));
}

TEST(LawInFlight, WhatIsToBeKeptAwayFromBindsInTheAirToo) {
    const auto world = drawn(true).world();
    Request asked = request(world);
    InFlight now;
    now.at = {"HERE", Sketch().at({40, 3}), Altitude::feet(5000.0)};
    now.fuel = base::Mass::pounds(400.0);
    const auto flown = [&] {
        const Answer answer =
            plan_in_flight(world, radio::Ground{}, magnetic_model(), asked, now, *world.airport("XARR"));
        return answer.option && answer.verdict != Verdict::not_flyable
                   ? route_text(world, answer.option->flight)
                   : std::string("none");
    };
    ASSERT_EQ(flown(), "HERE DCT NTH DCT INI XARR");
    asked.constraints.avoid = {navdata::Point(omniway::testing::station_of(world, "NTH"))};
    EXPECT_THAT(flown(), ::testing::Not(::testing::HasSubstr("NTH")));
    asked.constraints.avoid = {};
    asked.constraints.avoid_areas = {{"NTH/5", Sketch().at({70, 25}), Length::nautical_miles(5.0)}};
    EXPECT_THAT(flown(), ::testing::Not(::testing::HasSubstr("NTH")));
    asked.constraints = {};
    asked.constraints.highest = Altitude::feet(4000.0);
    EXPECT_EQ(flown(), "none");
    asked.constraints = {};
    asked.constraints.via = {navdata::Point(omniway::testing::station_of(world, "AAA"))};
    EXPECT_EQ(flown(), "HERE DCT NTH DCT INI XARR");
}

TEST(LawInFlight, WithoutDeadReckoningOnlyTheMinuteOfTheRadiosIsByHeading) {
    const auto world = drawn(true).world();
    Request asked = request(world);
    asked.constraints.no_dead_reckoning = true;
    InFlight now;
    now.at = {"HERE", Sketch().at({70, 3}), Altitude::feet(5000.0)};
    now.fuel = base::Mass::pounds(400.0);
    const Answer answer =
        plan_in_flight(world, radio::Ground{}, magnetic_model(), asked, now, *world.airport("XARR"));
    ASSERT_TRUE(answer.option);
    ASSERT_NE(answer.verdict, Verdict::not_flyable) << why_no_flight(answer);
    const auto& steps = answer.option->compiled.track.steps;
    ASSERT_TRUE(std::holds_alternative<procedure::OnHeading>(steps.front().guidance));
    EXPECT_GE(steps.front().time->count(), 60.0);
    EXPECT_LE(steps.front().time->count(), 75.0);
    for (std::size_t i = 1; i < steps.size(); ++i) {
        EXPECT_TRUE(steps[i].phase == flight::Phase::approach ||
                    !std::holds_alternative<procedure::OnHeading>(steps[i].guidance));
    }
}

TEST(LawInFlight, WhereNothingIsHeardAndNothingIsNearNoWayGoesOn) {
    const auto world = drawn(true).world();
    const Request asked = request(world);
    InFlight now;
    now.at = {"FAR", Sketch().at({-300, 300}), Altitude::feet(5000.0)};
    now.fuel = base::Mass::pounds(400.0);
    const Answer answer =
        plan_in_flight(world, radio::Ground{}, magnetic_model(), asked, now, *world.airport("XARR"));
    EXPECT_EQ(answer.verdict, Verdict::not_flyable);
    EXPECT_THAT(answer.findings,
                ::testing::Contains(::testing::Field(&base::Finding::code, "in_flight.no_signal")));
}

TEST(LawInFlight, TheRestOfAWayIsAsLongAsWhatOfItIsLeft) {
    const auto world = drawn(false).world();
    const Request asked = request(world);
    const Answer answer = plan(world, radio::Ground{}, magnetic_model(), asked);
    ASSERT_TRUE(answer.option);
    const flight::Circumstances day{world,          radio::Ground{}, magnetic_model(), asked.today,
                                    asked.aircraft, asked.settings,  asked.winds};
    const Length along = Length::nautical_miles(60.0);
    const auto rest = rest_of_way(day, world, answer.option->flight, along);
    ASSERT_FALSE(rest.empty());
    EXPECT_EQ(rest.back().to->ident, "INI");
    EXPECT_NEAR(earth::distance(rest.front().start, rest.back().finish).nautical_miles(),
                earth::distance(world.position(navdata::Point(omniway::testing::station_of(world, "INI"))),
                                rest.front().start)
                    .nautical_miles(),
                0.001);
    Length covered;
    for (const flight::Stretch& stretch : rest.front().stretches) {
        EXPECT_NEAR((stretch.from - covered).nautical_miles(), 0.0, 0.001);
        covered = stretch.to;
    }
    EXPECT_NEAR((covered - rest.front().length).nautical_miles(), 0.0, 0.001);
}

TEST(CaseDiversion, TheAirportWithTheApproachIsFoundAndTheOneWithoutIsRefused) {
    Sketch sketch = drawn(true);
    sketch.airport("XNON", {60, -20}).runway("XNON", 9, {60, -20});
    const auto world = sketch.world();
    InFlight now;
    now.at = {"HERE", sketch.at({60, 3}), Altitude::feet(5000.0)};
    now.fuel = base::Mass::pounds(400.0);
    DiversionQuestion question;
    question.airports = {*world.airport("XNON"), *world.airport("XARR")};
    const Diversions found =
        diversions(world, radio::Ground{}, magnetic_model(), request(world), now, question);
    ASSERT_EQ(found.ranked.size(), 1U);
    EXPECT_EQ(world[found.ranked.front().airport].ident, "XARR");
    EXPECT_FALSE(found.ranked.front().minima_known);
    ASSERT_EQ(found.refused.size(), 1U);
    EXPECT_THAT(found.refused.front().why, ::testing::HasSubstr("no approach"));
}

TEST(LawDiversion, BeyondTheFuelNothingIsFound) {
    const auto world = drawn(true).world();
    InFlight now;
    now.at = {"HERE", Sketch().at({60, 3}), Altitude::feet(5000.0)};
    now.fuel = base::Mass::pounds(10.0);
    DiversionQuestion question;
    question.airports = {*world.airport("XARR")};
    const Diversions found =
        diversions(world, radio::Ground{}, magnetic_model(), request(world), now, question);
    EXPECT_TRUE(found.ranked.empty());
    ASSERT_EQ(found.refused.size(), 1U);
}

}  // namespace omniway::plan
