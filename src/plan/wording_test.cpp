#include "plan/wording.hpp"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/sketch.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using flight::NeedleSense;
using navdata::ServiceClass;
using navdata::Turn;
using omniway::testing::Sketch;
using omniway::testing::station_of;
using ::testing::HasSubstr;
using ::testing::Not;

namespace {

struct Drawn {
    Sketch sketch;
    navdata::Snapshot world = draw(sketch);

    static navdata::Snapshot draw(Sketch& sketch) {
        sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low}).ndb("BCN", {0, 20});
        sketch.airport("XAAA", {40, 0}).runway("XAAA", 9, {40, 0}).ils("XAAA", "RW09", "IAAA");
        sketch.airport("XBBB", {80, 0}).runway("XBBB", 9, {80, 0});
        sketch.ils("XBBB", "RW09", "IBBB", {.glideslope = false, .category = "A", .offset_deg = 17});
        return sketch.world();
    }

    std::string guided(const procedure::Guidance& guidance,
                       NeedleSense needle = NeedleSense::toward_the_line) const {
        flight::TrackStep step;
        step.phase = flight::Phase::approach;
        step.guidance = guidance;
        step.needle = needle;
        step.course = base::MagneticBearing::degrees(83.0);
        return guidance_text(world, step);
    }

    std::string localizer(bool toward, bool back_course, NeedleSense needle) const {
        return guided(procedure::OnLocalizer{station_of(world, "IAAA"), toward, back_course}, needle);
    }

    std::string until(const procedure::Ending& ending) const {
        flight::TrackStep step;
        step.ending = ending;
        return ending_text(world, step);
    }

    procedure::PlacedFix fix(const std::string& ident) const {
        return {ident, sketch.at({5, 5}), std::nullopt, false};
    }
};

}  // namespace

// Common practice, no source: directions are spoken in three figures, and north is 360.
TEST(CaseWording, DirectionsHaveThreeFiguresAndNorthIsThreeSixty) {
    EXPECT_EQ(three_figures(0.0), "360");
    EXPECT_EQ(three_figures(359.7), "360");
    EXPECT_EQ(three_figures(0.6), "001");
    EXPECT_EQ(three_figures(90.0), "090");
    EXPECT_EQ(three_figures(271.5), "272");
}

// ITU-R M.1677-1 (trade-facts 10.6): A is .-, B -..., C -.-., N -.
TEST(TruthWording, AStationIsTunedByKindIdentFrequencyAndMorse) {
    const Drawn drawn;
    EXPECT_EQ(tuning_text(drawn.world[station_of(drawn.world, "AAA")]), "VOR/DME AAA 113.00 .- .- .-");
    EXPECT_EQ(tuning_text(drawn.world[station_of(drawn.world, "BCN")]), "NDB BCN 350 -... -.-. -.");
}

// A course is what is set inbound, a radial what one flies out on: AIM 1-1-3, common usage.
TEST(CaseWording, ACourseLeadsToAVorAndARadialFromIt) {
    const Drawn drawn;
    const auto aaa = station_of(drawn.world, "AAA");
    EXPECT_EQ(drawn.guided(procedure::OnRadial{aaa, true, base::Radial::degrees(272)}), "to AAA, course 272");
    EXPECT_EQ(drawn.guided(procedure::OnRadial{aaa, false, base::Radial::degrees(92)}),
              "from AAA, radial 092");
    EXPECT_EQ(drawn.guided(procedure::OnBeacon{station_of(drawn.world, "BCN"), true, {}}),
              "to NDB BCN, track 083 magnetic");
    EXPECT_EQ(drawn.guided(procedure::OnArc{aaa, Length::nautical_miles(12), false}),
              "arc 12.0 DME of AAA, anticlockwise");
    EXPECT_EQ(drawn.guided(procedure::OnHeading{}), "by heading, track 083 magnetic");
}

// AIM 1-1-9 b 3: on a CDI one steers away from the needle inbound on the back course and outbound on the front course; an HSI is
// righted by the front course under its arrow.
TEST(TruthWording, TheCardSaysWhenTheNeedleIsReversedAndHowAnHsiIsSet) {
    const Drawn drawn;
    EXPECT_EQ(drawn.localizer(true, false, NeedleSense::toward_the_line), "localizer of IAAA, course 090");
    EXPECT_EQ(drawn.localizer(false, true, NeedleSense::toward_the_line),
              "back course of IAAA outbound, course 090");
    EXPECT_EQ(drawn.localizer(true, true, NeedleSense::away_from_the_line),
              "back course of IAAA, course 270, needle reversed: steer away from it");
    EXPECT_EQ(drawn.localizer(false, false, NeedleSense::away_from_the_line),
              "localizer of IAAA outbound, course 270, needle reversed: steer away from it");
    const std::string on_hsi = drawn.localizer(true, true, NeedleSense::righted_by_the_front_course);
    EXPECT_EQ(on_hsi, "back course of IAAA, course 270, front course 090 set on the HSI");
    EXPECT_THAT(on_hsi, Not(HasSubstr("reversed")));
}

TEST(CaseWording, ADirectionalAidIsNotCalledALocalizer) {
    const Drawn drawn;
    const auto lda = station_of(drawn.world, "IBBB");
    EXPECT_EQ(drawn.guided(procedure::OnLocalizer{lda}), "LDA of IBBB, course 107");
    EXPECT_THAT(tuning_text(drawn.world[lda]), HasSubstr("LDA IBBB"));
}

TEST(CaseWording, WhatEndsAStepIsSomethingTheCockpitShows) {
    const Drawn drawn;
    const auto aaa = station_of(drawn.world, "AAA");
    const fixing::Telling over{fixing::Overhead{aaa}, {}, {}};
    const fixing::Telling over_beacon{fixing::Overhead{station_of(drawn.world, "BCN")}, {}, {}};
    EXPECT_EQ(drawn.until(procedure::AtFix{drawn.fix("AAA"), over}), "AAA: TO turns to FROM over AAA");
    // A beacon has neither flag nor TO/FROM: its pointer swings round (trade-facts 21).
    EXPECT_EQ(drawn.until(procedure::AtFix{drawn.fix("BCN"), over_beacon}),
              "BCN: the pointer passes abeam over BCN");
    EXPECT_EQ(drawn.until(procedure::AtDistance{aaa, Length::nautical_miles(13)}), "DME of AAA reads 13.0");
    EXPECT_EQ(drawn.until(procedure::AtRadial{aaa, base::Radial::degrees(0)}), "radial 360 of AAA centres");
    EXPECT_EQ(drawn.until(procedure::AtAltitude{Altitude::feet(900)}), "reaching 900 ft");
    EXPECT_EQ(drawn.until(procedure::AtMissedApproachPoint{drawn.fix("RW09"), std::nullopt}),
              "missed approach point by time from the final fix");
    EXPECT_THAT(drawn.until(procedure::AtDecisionAltitude{}), HasSubstr("from the chart"));
}

// trade-facts 13.9: the barb is coded 45 degrees off the outbound course, the turn is the one back to it.
TEST(TruthWording, AProcedureTurnIsSaidWithItsLimitItsBarbAndItsTurn) {
    const Drawn drawn;
    EXPECT_EQ(
        drawn.until(procedure::AtCourseReversed{"XFINA", Length::nautical_miles(10),
                                                navdata::CodedCourse{227.0, false}, Turn::right}),
        "established inbound after a procedure turn within 10.0 NM of XFINA: out on 227, back by the right");
}

TEST(CaseWording, AHoldSaysItsSideAndWhatEndsIt) {
    const Drawn drawn;
    EXPECT_EQ(drawn.until(procedure::AtHold{drawn.fix("AAA"), Turn::left, false, std::nullopt}),
              "hold at AAA, left turns");
    EXPECT_EQ(drawn.until(procedure::AtHold{drawn.fix("AAA"), Turn::right, true, std::nullopt}),
              "inbound over AAA after one circuit of the hold, right turns");
    EXPECT_EQ(drawn.until(procedure::AtHold{drawn.fix("AAA"), Turn::right, false, Altitude::feet(4000)}),
              "reaching 4000 ft in the hold at AAA, right turns");
}

TEST(CaseWording, AMinimumThatIsNotKnownIsNeverAFigure) {
    using flight::MinimumFrom;
    EXPECT_EQ(minimum_text({MinimumFrom::published_airway, Altitude::feet(3000)}), "3000 ft (MEA)");
    EXPECT_EQ(minimum_text({MinimumFrom::published_unknown, std::nullopt}), "not published");
    EXPECT_EQ(minimum_text({MinimumFrom::not_known, std::nullopt}), "asked");
    EXPECT_EQ(minimum_text({MinimumFrom::ground, Altitude::feet(6400),
                            flight::GroundAsks{Altitude::feet(6400),
                                               Altitude::feet(4180),
                                               {},
                                               base::Length::feet(200),
                                               base::Length::feet(2000)}}),
              "6400 ft (ground 4180 ft + 200 + 2000)");
    EXPECT_EQ(minimum_text({MinimumFrom::coded_procedure, std::nullopt}), "as coded");
}

TEST(CaseWording, TheTopOfDescentIsSaidAsTheCockpitTellsIt) {
    const Drawn drawn;
    flight::TopOfDescent top;
    top.altitude = Altitude::feet(8000);
    top.mark =
        fixing::Way(fixing::DmeReading{station_of(drawn.world, "AAA"), Length::nautical_miles(12.04), true});
    EXPECT_EQ(descent_text(drawn.world, top), "leave 8000 ft at 12.0 DME AAA");
    top.mark =
        fixing::Way(fixing::CrossingRadial{station_of(drawn.world, "AAA"), base::Radial::degrees(123)});
    EXPECT_EQ(descent_text(drawn.world, top), "leave 8000 ft when radial 123 of AAA centres");
    top.mark = flight::TimeFromFix{"AAA", base::Duration(191), true};
    EXPECT_EQ(descent_text(drawn.world, top), "leave 8000 ft 3:11 after AAA");
    top.mark = flight::TimeFromFix{"AAA", base::Duration(0), true};
    EXPECT_EQ(descent_text(drawn.world, top), "leave 8000 ft over AAA");
}

TEST(CaseWording, AFinalEndedByTheClockSaysItsTime) {
    const Drawn drawn;
    flight::TrackStep step;
    step.ending = procedure::AtMissedApproachPoint{drawn.fix("RW09"), std::nullopt};
    EXPECT_EQ(ending_text(drawn.world, step), "missed approach point by time from the final fix");
    step.timed_from_final_fix = base::Duration(191);
    EXPECT_EQ(ending_text(drawn.world, step), "missed approach point by time from the final fix: 3:11");
}

TEST(CaseWording, TheFinalIsSaidInLines) {
    const Drawn drawn;
    flight::FinalApproach final_approach;
    procedure::FinalSegment& segment = final_approach.segment;
    segment.final_fix = drawn.fix("FINAA");
    segment.end = drawn.fix("RW09");
    segment.length = Length::nautical_miles(6);
    segment.on_glideslope = true;
    segment.angle = base::Angle::degrees(3.0);
    segment.gradient = procedure::Gradient::of(*segment.angle);
    segment.published_at_fix = Altitude::feet(1980);
    segment.glideslope_at_fix = Altitude::feet(1993);
    segment.advisory = procedure::AdvisoryTable{station_of(drawn.world, "AAA"),
                                                {{Length::nautical_miles(6.2), Altitude::feet(1970)},
                                                 {Length::nautical_miles(5.2), Altitude::feet(1652)}}};
    segment.step_downs = {
        {drawn.fix("STEPA"), Length::nautical_miles(2), {Altitude::feet(700), std::nullopt}, {}}};
    final_approach.times = procedure::time_table(segment.length);
    EXPECT_THAT(final_lines(drawn.world, final_approach),
                ::testing::ElementsAre(
                    "glideslope 3.00 degrees: FINAA at 1993 ft, published 1980 ft (+13 ft)", "down 318 ft/NM",
                    "by DME AAA: 6.2 1970 ft, 5.2 1652 ft", "not below 700 ft until STEPA",
                    "FINAA to RW09 6.0 NM; 60 kt 6:00 90 kt 4:00 120 kt 3:00 150 kt 2:24 180 kt 2:00"));
    segment.glideslope_at_fix.reset();
    EXPECT_EQ(final_lines(drawn.world, final_approach).front(),
              "glideslope 3.00 degrees: its height over FINAA is not known");
}

}  // namespace omniway::plan
