#include "procedure/final_segment.hpp"

#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "procedure/approach.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Angle;
using base::Length;
using navdata::AltitudeRule;
using navdata::PathTerminator;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::equipment;
using omniway::testing::Sketch;
using ::testing::ElementsAre;
using ::testing::IsEmpty;

namespace {

constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

// Threshold of RW09 6 NM east of the final fix; on the ILS the glideslope stands 50 ft over it.
Sketch final_of(char route_type,
                const omniway::testing::IlsDrawn& drawn = {.glideslope = true, .dme = true}) {
    Sketch sketch;
    const double threshold_nm = -3000.0 * 0.3048 / 1852.0;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", drawn);
    sketch.vor("MIS", {20, 0}, {.dme = ServiceClass::low});
    sketch.fix("INIAA", {-14, 0}).fix("FINAA", {threshold_nm - 6.0, 0}).fix("STEPA", {threshold_nm - 2.0, 0});
    if (navdata::Station& station = sketch.station("IAAA"); drawn.glideslope) {
        auto& azimuth = std::get<navdata::LocalizerAzimuth>(station.azimuth);
        azimuth.glideslope->threshold_crossing_height = Length::feet(50);
    }
    std::vector<navdata::Leg> legs = {
        sketch.leg(PathTerminator::IF, "INIAA",
                   {.recommended = "IAAA", .altitude_ft = 3000.0, .description = "E  A"}),
        sketch.leg(PathTerminator::CF, "FINAA",
                   {.recommended = "IAAA", .course_deg = 90.0, .altitude_ft = 1980.0, .description = "E  F"}),
        sketch.leg(PathTerminator::CF, "STEPA",
                   {.recommended = "IAAA", .course_deg = 90.0, .altitude_ft = 700.0, .description = "E S "}),
        sketch.leg(PathTerminator::CF, "RW09",
                   {.recommended = "IAAA", .course_deg = 90.0, .altitude_ft = 50.0, .description = "GY M"})};
    legs[1].altitude_rule = AltitudeRule::at_or_above;
    legs[2].altitude_rule = AltitudeRule::at_or_above;
    if (route_type == 'I') {
        legs.erase(legs.begin() + 2);
        legs[1].altitude_rule = AltitudeRule::glideslope_at_or_above;
        legs[1].altitude_2 = Altitude::feet(1980);
    }
    sketch.approach("XAAA", std::string(1, route_type) + "09", route_type, std::move(legs));
    return sketch;
}

FinalSegment segment_of(const navdata::Snapshot& world, const Aboard& aboard) {
    const auto ways = approach_ways(world, radio::Ground{}, equipment(aboard), *world.airport("XAAA"));
    return final_segment(world, ways.at(0).legs, ways.at(0).localizer, ways.at(0).runway).value();
}

std::vector<std::string> codes(const std::vector<base::Finding>& findings) {
    std::vector<std::string> all;
    for (const base::Finding& finding : findings) {
        all.push_back(finding.code);
    }
    return all;
}

}  // namespace

// By hand: 50 ft over the threshold, 6 NM at 318.4 ft/NM are 1,911 ft, and the earth has curved away 32 ft: 1,993 ft.
TEST(TruthFinalSegment, TheGlideslopePassesTheFinalFixAtTheHeightReckonedByHand) {
    const auto world = final_of('I').world();
    const FinalSegment segment = segment_of(world, everything);
    EXPECT_EQ(segment.final_fix.ident, "FINAA");
    EXPECT_NEAR(segment.length.nautical_miles(), 6.0, 0.001);
    EXPECT_TRUE(segment.on_glideslope);
    EXPECT_FALSE(segment.timed);
    ASSERT_TRUE(segment.glideslope_at_fix);
    EXPECT_NEAR(segment.glideslope_at_fix->feet(), 1993.0, 1.0);
    EXPECT_NEAR(segment.glideslope_difference()->feet(), 13.0, 1.0);
    // 13 ft too low at the fix: the level flown at 1,980 ft meets it 13 / 329 NM after the fix.
    EXPECT_NEAR(segment.intercept_before_fix->nautical_miles(), -13.0 / 329.0, 0.003);
    EXPECT_THAT(findings_of(segment, "x"), IsEmpty());
}

TEST(CaseFinalSegment, AGlideslopeFarFromItsPublishedHeightIsWarnedOf) {
    Sketch sketch = final_of('I');
    sketch.records().procedures.at(0).branches.at(0).legs.at(1).altitude_2 = Altitude::feet(2200);
    const auto world = sketch.world();
    EXPECT_THAT(codes(findings_of(segment_of(world, everything), "x")),
                ElementsAre("vertical.glideslope_differs"));
}

TEST(CaseFinalSegment, AGlideslopeOfUnknownHeightIsSaidAndNotReckonedFromZero) {
    Sketch sketch = final_of('I');
    std::get<navdata::LocalizerAzimuth>(sketch.station("IAAA").azimuth)
        .glideslope->threshold_crossing_height.reset();
    const auto world = sketch.world();
    const FinalSegment segment = segment_of(world, everything);
    EXPECT_FALSE(segment.glideslope_at_fix);
    EXPECT_FALSE(segment.advisory);
    EXPECT_THAT(codes(findings_of(segment, "x")), ElementsAre("vertical.glideslope_height_unknown"));
}

TEST(CaseFinalSegment, ALocalizerApproachWithoutDmeEndsByTimeAndKeepsItsStepDown) {
    const auto world = final_of('L', {.glideslope = false, .dme = false}).world();
    const FinalSegment segment = segment_of(world, {.receivers = 2});
    EXPECT_TRUE(segment.timed);
    EXPECT_FALSE(segment.on_glideslope);
    EXPECT_NEAR(segment.length.nautical_miles(), 6.0, 0.001);
    ASSERT_EQ(segment.step_downs.size(), 1U);
    EXPECT_EQ(segment.step_downs[0].fix.ident, "STEPA");
    EXPECT_NEAR(segment.step_downs[0].before_end.nautical_miles(), 2.0, 0.001);
    EXPECT_EQ(segment.step_downs[0].window.at_or_above, Altitude::feet(700));
    // 1,980 to 50 ft in 6 NM.
    EXPECT_NEAR(segment.gradient->feet_per_nautical_mile(), 1930.0 / 6.0, 0.1);
}

TEST(CaseFinalSegment, AFinalSteeperThanFourHundredFeetAMileIsWarnedOf) {
    Sketch sketch = final_of('L', {.glideslope = false, .dme = true});
    auto& legs = sketch.records().procedures.at(0).branches.at(0).legs;
    legs.at(3).vertical_angle = Angle::degrees(-3.77);
    EXPECT_THAT(findings_of(segment_of(sketch.world(), everything), "x"), IsEmpty());
    legs.at(3).vertical_angle = Angle::degrees(-3.80);
    const auto findings = findings_of(segment_of(sketch.world(), everything), "x");
    ASSERT_THAT(codes(findings), ElementsAre("vertical.final_too_steep"));
    EXPECT_EQ(findings[0].grade, base::Grade::warns);
    EXPECT_TRUE(findings[0].text.starts_with("its final descends 404 ft/NM (3.80 degrees)"))
        << findings[0].text;
}

// trade-facts 7.3 [seen], worked: final fix at 6.2 DME 1,970 ft, 3.0 degrees: 5.2 DME 1,652, 4.2 1,334, 3.2 1,016, 2.2 698. The
// published altitudes count 318 ft/NM over the ground; the readings here are slant range, some feet of difference near the station.
TEST(TruthFinalSegment, TheAdvisoryAltitudesAreThoseOfTheWorkedExample) {
    Sketch sketch;
    const double reach_nm = std::sqrt(6.2 * 6.2 - std::pow(1970.0 / 6076.12, 2.0));
    sketch.airport("XAAA", {0, 0})
        .runway("XAAA", 9, {-0.5, 0})
        .vor("VVV", {0, 0}, {.dme = ServiceClass::low});
    sketch.fix("INIAA", {-14, 0}).fix("FINAA", {-reach_nm, 0}).fix("MISAA", {-1.0, 0});
    std::vector<navdata::Leg> legs = {
        sketch.leg(PathTerminator::IF, "INIAA",
                   {.recommended = "VVV", .altitude_ft = 3000.0, .description = "E  A"}),
        sketch.leg(PathTerminator::CF, "FINAA",
                   {.recommended = "VVV", .course_deg = 90.0, .altitude_ft = 1970.0, .description = "E  F"}),
        sketch.leg(PathTerminator::CF, "MISAA",
                   {.recommended = "VVV", .course_deg = 90.0, .description = "EY M"})};
    legs[1].altitude_rule = AltitudeRule::at_or_above;
    legs[2].vertical_angle = Angle::degrees(-3.0);
    sketch.approach("XAAA", "S09", 'S', std::move(legs));
    const auto world = sketch.world();
    const FinalSegment segment = segment_of(world, everything);
    ASSERT_TRUE(segment.advisory);
    EXPECT_EQ(world[segment.advisory->station].ident, "VVV");
    const std::vector<std::pair<double, double>> published = {
        {6.2, 1970}, {5.2, 1652}, {4.2, 1334}, {3.2, 1016}, {2.2, 698}};
    ASSERT_GE(segment.advisory->rows.size(), published.size());
    for (std::size_t i = 0; i < published.size(); ++i) {
        EXPECT_NEAR(segment.advisory->rows[i].shown.nautical_miles(), published[i].first, 0.001);
        EXPECT_NEAR(segment.advisory->rows[i].altitude.feet(), published[i].second, 6.0);
    }
    EXPECT_NEAR(segment.advisory->rows.back().shown.nautical_miles(), 1.2, 0.001);
}

// Its line would pass the fix above the altitude coded there, and below the step-down before it is passed.
TEST(LawFinalSegment, AdvisoryAltitudesNeverPassTheFixTooHighNorAStepDownTooLow) {
    Sketch sketch = final_of('L', {.glideslope = false, .dme = true});
    auto& legs = sketch.records().procedures.at(0).branches.at(0).legs;
    legs.at(1).altitude_1 = Altitude::feet(1500);
    legs.at(2).altitude_1 = Altitude::feet(900);
    legs.at(3).vertical_angle = Angle::degrees(-3.0);
    const auto world = sketch.world();
    const FinalSegment segment = segment_of(world, everything);
    ASSERT_TRUE(segment.advisory);
    const auto& rows = segment.advisory->rows;
    ASSERT_GE(rows.size(), 6U);
    EXPECT_NEAR(rows[0].altitude.feet(), 1500, 1e-6);
    EXPECT_NEAR(rows[1].altitude.feet(), 1500, 1e-6);  // the line is at 1,642 there
    EXPECT_NEAR(rows[2].altitude.feet(), 50 + 4 * 318.4, 2);
    EXPECT_NEAR(rows[4].altitude.feet(), 900, 15);  // 687 but for the step-down at 2 NM
    EXPECT_NEAR(rows[5].altitude.feet(), 50 + 318.4, 2);
}

// The station stands behind: readings grow on the way in.
TEST(CaseFinalSegment, BehindTheAircraftTheReadingsGrow) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).vor("VVV", {-12, 0}, {.dme = ServiceClass::low});
    sketch.fix("FINAA", {-6, 0}).fix("MISAA", {-1.0, 0});
    std::vector<navdata::Leg> legs = {
        sketch.leg(PathTerminator::IF, "VVV", {.altitude_ft = 3000.0, .description = "V  A"}),
        sketch.leg(PathTerminator::CF, "FINAA",
                   {.recommended = "VVV", .course_deg = 90.0, .altitude_ft = 2000.0, .description = "E  F"}),
        sketch.leg(PathTerminator::CF, "MISAA",
                   {.recommended = "VVV", .course_deg = 90.0, .altitude_ft = 400.0, .description = "EY M"})};
    legs[1].altitude_rule = AltitudeRule::at_or_above;
    sketch.approach("XAAA", "S09", 'S', std::move(legs));
    const auto world = sketch.world();
    const FinalSegment segment = segment_of(world, everything);
    ASSERT_TRUE(segment.advisory);
    ASSERT_EQ(segment.advisory->rows.size(), 5U);
    for (std::size_t i = 1; i < 5; ++i) {
        const AdvisoryAltitude& row = segment.advisory->rows[i];
        EXPECT_NEAR((row.shown - segment.advisory->rows[i - 1].shown).nautical_miles(), 1.0, 1e-6);
        EXPECT_NEAR((segment.advisory->rows[i - 1].altitude - row.altitude).feet(), 1600.0 / 5.0, 6.0);
    }
}

}  // namespace omniway::procedure
