#include "radio/indication.hpp"

#include <array>
#include <cmath>
#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Angle;
using base::Length;
using base::MagneticBearing;
using base::Radial;
using base::TrueBearing;
using cockpit::CourseIndicator;
using cockpit::CourseSetting;
using cockpit::DistanceSetting;
using cockpit::GlideslopeSetting;
using cockpit::LocalizerShown;
using cockpit::NoSignal;
using cockpit::PointerSetting;
using cockpit::ToFrom;
using cockpit::VorShown;
using testing::Sketch;

namespace {

CourseSetting course(double degrees, CourseIndicator indicator = CourseIndicator::cdi) {
    CourseSetting setting;
    setting.course = Radial::degrees(degrees);
    setting.indicator = indicator;
    return setting;
}

navdata::Station a_vor(double declination_deg = 0.0) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.dme = navdata::ServiceClass::low, .declination_deg = declination_deg});
    return sketch.station("AAA");
}

/// An aircraft on a radial of a station whose zero stands `declination` east of true north.
Whereabouts on_radial(const navdata::Station& station, double radial_deg, double away_nm,
                      double heading_deg = 0.0) {
    const auto* azimuth = navdata::vor(station);
    const TrueBearing direction = base::to_true(Radial::degrees(radial_deg), azimuth->declination);
    return {.place = earth::destination(azimuth->position, direction, Length::nautical_miles(away_nm)),
            .altitude = Altitude::feet(5000),
            .heading = MagneticBearing::degrees(heading_deg),
            .variation = base::Variation()};
}

VorShown vor_shown(const navdata::Station& station, const CourseSetting& setting,
                   const Whereabouts& aircraft) {
    const auto shown = indication({.station = station, .silence = Silence::none}, setting, aircraft);
    EXPECT_TRUE(std::holds_alternative<VorShown>(shown));
    return std::get<VorShown>(shown);
}

/// RW36 with its localizer: 6,000 ft long about the origin, the aerial 1,000 ft beyond its north end, so 7,000 ft from the threshold.
struct NorthwardIls {
    explicit NorthwardIls(const testing::IlsDrawn& drawn = {}) {
        sketch.airport("XAAA", {0, 0}).runway("XAAA", 36, {0, 0}).ils("XAAA", "RW36", "IAAA", drawn);
        station = sketch.station("IAAA");
        const auto* azimuth = navdata::localizer(station);
        threshold = earth::destination(azimuth->position,
                                       base::to_true(azimuth->course, azimuth->declination).reciprocal(),
                                       Length::feet(7000));
    }
    /// So far before the aerial along the course line (behind it is negative) and to the right of it as seen inbound.
    Whereabouts at(double before_nm, double right_ft, double heading_deg, double altitude_ft = 2000.0) const {
        const auto* azimuth = navdata::localizer(station);
        const TrueBearing inbound = base::to_true(azimuth->course, azimuth->declination);
        const auto on_line =
            earth::destination(azimuth->position, inbound, Length::nautical_miles(-before_nm));
        return {.place = earth::destination(on_line, inbound + Angle::degrees(90), Length::feet(right_ft)),
                .altitude = Altitude::feet(altitude_ft),
                .heading = MagneticBearing::degrees(heading_deg),
                .variation = base::Variation()};
    }
    cockpit::Indication shown(const cockpit::IndicatorSetting& setting, const Whereabouts& aircraft) const {
        return indication({.station = station, .silence = Silence::none, .landing_threshold = threshold},
                          setting, aircraft);
    }
    LocalizerShown needle(const CourseSetting& setting, const Whereabouts& aircraft) const {
        const auto found = shown(setting, aircraft);
        EXPECT_TRUE(std::holds_alternative<LocalizerShown>(found));
        return std::get<LocalizerShown>(found);
    }
    Sketch sketch;
    navdata::Station station;
    earth::Position threshold;
};

}  // namespace

// trade-facts 4, "TO/FROM and needle logic": the first row [seen], the others [computed] there. Needle positive to the right.
TEST(TruthIndication, TheNeedleOfAVorStandsWhereTheWorkedExamplesPutIt) {
    struct Row {
        double obs, radial, heading;
        ToFrom to_from;
        double needle_deg;
    };
    const auto station = a_vor();
    for (const Row& row : {Row{180, 185, 10, ToFrom::from, -5}, Row{360, 175, 0, ToFrom::to, -5},
                           Row{90, 268, 90, ToFrom::to, -2}, Row{90, 272, 90, ToFrom::to, +2},
                           Row{300, 120, 300, ToFrom::to, 0}}) {
        const VorShown shown =
            vor_shown(station, course(row.obs), on_radial(station, row.radial, 20, row.heading));
        EXPECT_EQ(shown.to_from, row.to_from) << row.obs << ' ' << row.radial;
        EXPECT_NEAR(shown.needle.deflection.degrees(), row.needle_deg, 1e-6) << row.obs << ' ' << row.radial;
        EXPECT_NEAR(shown.needle.of_full_scale(), row.needle_deg / 10, 1e-6)
            << "ten degrees are full scale, two a dot";
    }
    // OBS 300 on radial 210: abeam, neither TO nor FROM, the needle at its stop.
    const VorShown abeam = vor_shown(station, course(300), on_radial(station, 210, 20));
    EXPECT_EQ(abeam.to_from, ToFrom::neither);
    EXPECT_TRUE(abeam.needle.pegged());
}

// trade-facts 4 [seen]: OBS 360, the line west of a helicopter heading 360: needle full left; turned to 180, the needle stays and
// sensing is reversed.
TEST(TruthIndication, TurningTheAircraftLeavesTheNeedleAndReversesItsSense) {
    const auto station = a_vor();
    const VorShown north = vor_shown(station, course(360), on_radial(station, 30, 20, 360));
    const VorShown south = vor_shown(station, course(360), on_radial(station, 30, 20, 180));
    EXPECT_EQ(north.needle.of_full_scale(), -1.0);
    EXPECT_EQ(south.needle.of_full_scale(), -1.0);
    EXPECT_FALSE(north.reverse_sensing);
    EXPECT_TRUE(south.reverse_sensing);
    EXPECT_FALSE(vor_shown(station, course(360, CourseIndicator::hsi), on_radial(station, 30, 20, 180))
                     .reverse_sensing)
        << "an HSI turns its needle with its card";
}

// trade-facts 4: a dot (2 degrees) off is 212 ft at 1 NM, 2,122 at 10, 6,365 at 30, 12,731 at 60 [computed]. 3/4 scale is 7.5 degrees,
// 6.7 NM at 51 NM (IPH App. B, trade-facts 3.4 [seen]).
TEST(TruthIndication, ADotIsTwoHundredFeetForEachMileFromAVor) {
    const auto station = a_vor();
    const auto off_line = [&](double along_nm, Length right) {
        Whereabouts aircraft = on_radial(station, 45, along_nm);
        const TrueBearing onward = earth::geodesic(navdata::site(station), aircraft.place).arrival;
        aircraft.place = earth::destination(aircraft.place, onward + Angle::degrees(90), right);
        return vor_shown(station, course(45), aircraft).needle.of_full_scale();
    };
    for (const auto& [along_nm, feet] :
         {std::pair(1.0, 212.0), {10.0, 2122.0}, {30.0, 6365.0}, {60.0, 12731.0}}) {
        EXPECT_NEAR(off_line(along_nm, Length::feet(feet)), -0.2, 0.0005) << along_nm;
    }
    EXPECT_NEAR(off_line(51.0, Length::nautical_miles(6.7)), -0.75, 0.002);
}

// trade-facts 4 [seen]: the sensitivity check: from the centred needle to the last dot the course is turned by 10 to 12 degrees.
TEST(TruthIndication, TurningTheCourseByTenDegreesTakesTheNeedleFromTheMiddleToTheLastDot) {
    const auto station = a_vor();
    const Whereabouts aircraft = on_radial(station, 45, 20);
    EXPECT_NEAR(vor_shown(station, course(45), aircraft).needle.of_full_scale(), 0.0, 1e-9);
    EXPECT_FALSE(vor_shown(station, course(54.9), aircraft).needle.pegged());
    EXPECT_TRUE(vor_shown(station, course(55.1), aircraft).needle.pegged());
    EXPECT_NEAR(vor_shown(station, course(35.1), aircraft).needle.of_full_scale(), -0.99, 1e-6);
}

// trade-facts 4 [seen]: some dials end at 12 degrees.
TEST(TruthIndication, ADialOfTwelveDegreesShowsLess) {
    const auto station = a_vor();
    CourseSetting wide = course(360);
    wide.vor_full_scale = Angle::degrees(12);
    const VorShown shown = vor_shown(station, wide, on_radial(station, 354, 20));
    EXPECT_NEAR(shown.needle.of_full_scale(), 0.5, 1e-6);
    EXPECT_NEAR(vor_shown(station, wide, on_radial(station, 15, 20)).needle.of_full_scale(), -1.0, 0.0);
}

TEST(CaseIndication, RadialsCountFromTheStationsOwnZero) {
    const auto station = a_vor(12.0);
    Whereabouts aircraft = on_radial(station, 90, 20);
    EXPECT_NEAR(earth::bearing(navdata::site(station), aircraft.place).degrees(), 102.0, 1e-6);
    aircraft.variation = base::Variation::east(Angle::degrees(-5));  // today's, which has no say
    EXPECT_NEAR(vor_shown(station, course(90), aircraft).needle.deflection.degrees(), 0.0, 1e-6);
}

// The side of the line by the foot of a perpendicular (earth::along_across), which shares no formula with the bearing at the station.
RC_GTEST_PROP(LawIndication, TheNeedlePointsToTheLineWhateverTheHeading, ()) {
    const auto station = a_vor(*rc::gen::inRange(-30, 31));
    const double obs = *rc::gen::inRange(0, 360);
    const double radial = *rc::gen::inRange(0, 3600) / 10.0;
    const double away_nm = *rc::gen::inRange(1, 130);
    const Whereabouts aircraft = on_radial(station, radial, away_nm, *rc::gen::inRange(0, 360));
    const VorShown shown = vor_shown(station, course(obs), aircraft);
    const auto* azimuth = navdata::vor(station);
    const auto along_course =
        earth::destination(azimuth->position, base::to_true(Radial::degrees(obs), azimuth->declination),
                           Length::nautical_miles(100));
    const auto offset = earth::along_across(azimuth->position, along_course, aircraft.place);
    if (std::abs(offset.across.metres()) > 1.0) {
        RC_ASSERT(std::signbit(shown.needle.deflection.degrees()) != std::signbit(offset.across.metres()));
    }
    if (shown.to_from != ToFrom::neither) {
        RC_ASSERT((shown.to_from == ToFrom::from) == (offset.along > Length()));
    }
    RC_ASSERT(std::abs(shown.needle.of_full_scale()) <= 1.0);
    Whereabouts turned = aircraft;
    turned.heading = turned.heading.reciprocal();
    const VorShown other = vor_shown(station, course(obs), turned);
    RC_ASSERT(other.needle.deflection == shown.needle.deflection);
    RC_ASSERT(other.to_from == shown.to_from);
}

// trade-facts 4: width = 2 atan(350 ft / L), [computed], capped at 6 degrees and not below 3 (3 to 6 from memory). 8,609 ft is the
// FAA's record of a localizer that codes 4.66 ([seen] and [memory] there).
TEST(TruthIndication, ALocalizerIsTailoredToSevenHundredFeetAtItsThreshold) {
    for (const auto& [feet, width_deg] : {std::pair(6000.0, 6.0),
                                          {6682.0, 6.0},
                                          {8000.0, 5.01},
                                          {8609.0, 4.66},
                                          {10000.0, 4.01},
                                          {12000.0, 3.34},
                                          {14000.0, 3.0}}) {
        navdata::LocalizerAzimuth azimuth;
        azimuth.position = earth::Position::degrees(40, -170);
        const auto threshold =
            earth::destination(azimuth.position, TrueBearing::degrees(123), Length::feet(feet));
        const LocalizerWidth width = localizer_width(azimuth, threshold);
        EXPECT_NEAR(width.whole.degrees(), width_deg, 0.005) << feet;
        EXPECT_EQ(width.from, cockpit::WidthFrom::geometry);
        azimuth.width = Angle::degrees(4.25);
        EXPECT_EQ(localizer_width(azimuth, threshold).whole, Angle::degrees(4.25)) << "its own record first";
        EXPECT_EQ(localizer_width(azimuth, threshold).from, cockpit::WidthFrom::record);
    }
    navdata::LocalizerAzimuth unknown;
    EXPECT_NEAR(localizer_width(unknown, std::nullopt).whole.degrees(), 5.0, 1e-9)
        << "2.5 degrees each side is typical";
    unknown.category = "S";
    EXPECT_NEAR(localizer_width(unknown, std::nullopt).whole.degrees(), 6.0, 1e-9) << "SDF: 6 or 12 degrees";
}

// trade-facts 1.3 [seen]: 700 ft from full scale to full scale at the threshold.
TEST(TruthIndication, ThreeHundredAndFiftyFeetBesideTheThresholdTheNeedleIsAtItsStop) {
    const NorthwardIls ils;
    const double threshold_nm = 7000.0 / 6076.12;
    EXPECT_NEAR(ils.needle(course(0), ils.at(threshold_nm, 350, 360)).needle.of_full_scale(), -1.0, 0.001);
    EXPECT_NEAR(ils.needle(course(0), ils.at(threshold_nm, -175, 360)).needle.of_full_scale(), 0.5, 0.001);
    EXPECT_FALSE(ils.needle(course(0), ils.at(threshold_nm, 340, 360)).needle.pegged());
    EXPECT_TRUE(ils.needle(course(0), ils.at(threshold_nm, 360, 360)).needle.pegged());
}

// AIM 1-1-9 and trade-facts 4 [seen]: on a CDI sensing is reversed outbound on the front course and inbound on the back course; an HSI
// with the front course set is right on both; with the back course set it is wrong on both.
TEST(TruthIndication, ALocalizerIsReversedByHeadingOnACdiAndByTheCourseSetOnAnHsi) {
    const NorthwardIls ils;
    struct Row {
        double before_nm, heading;
        bool back_course, reversed_on_cdi;
    };
    for (const Row& row : {Row{8, 360, false, false}, Row{8, 180, false, true}, Row{-8, 180, true, true},
                           Row{-8, 360, true, false}}) {
        const Whereabouts right_of_line = ils.at(row.before_nm, 500, row.heading);
        const LocalizerShown cdi = ils.needle(course(123), right_of_line);
        EXPECT_EQ(cdi.back_course, row.back_course);
        EXPECT_EQ(cdi.reverse_sensing, row.reversed_on_cdi);
        // East of the line is east of the line: the needle is left in all four, and the course set has no say.
        EXPECT_LT(cdi.needle.of_full_scale(), -0.05);
        EXPECT_EQ(ils.needle(course(303), right_of_line).needle.deflection, cdi.needle.deflection);
        const LocalizerShown front_set = ils.needle(course(360, CourseIndicator::hsi), right_of_line);
        EXPECT_FALSE(front_set.reverse_sensing);
        EXPECT_EQ(front_set.needle.deflection, cdi.needle.deflection);
        EXPECT_TRUE(ils.needle(course(180, CourseIndicator::hsi), right_of_line).reverse_sensing);
    }
}

// AIM 1-1-9 c, 1-1-10 d (navdata/station.hpp): an LDA or SDF has no back course.
TEST(TruthIndication, BehindAnLdaThereIsNothingToFollow) {
    const NorthwardIls lda({.category = "L"});
    EXPECT_TRUE(std::holds_alternative<NoSignal>(lda.shown(course(0), lda.at(-5, 0, 180))));
    EXPECT_TRUE(std::holds_alternative<LocalizerShown>(lda.shown(course(0), lda.at(5, 0, 360))));
}

// trade-facts 4: full scale 0.7 degrees; at 3.0 degrees that is 74-75 ft at 1 NM, 372 at 5, 745 at 10 [computed]. The earth's curve
// lifts line and stops alike.
TEST(TruthIndication, FullScaleOfAGlideslopeIsAsHighAsTheTable) {
    NorthwardIls ils;
    std::get<navdata::LocalizerAzimuth>(ils.station.azimuth).glideslope->elevation = Altitude::feet(100);
    const auto needle = [&](double from_aerial_nm, double altitude_ft) {
        const auto shown =
            ils.shown(GlideslopeSetting{}, ils.at(from_aerial_nm + 7000.0 / 6076.12, 0, 360, altitude_ft));
        return std::get<cockpit::GlideslopeShown>(shown).needle;
    };
    const auto altitude_where = [&](double nm, double deflection_deg) {
        double low = 0.0;
        double high = 10000.0;
        while (high - low > 0.01) {
            const double middle = (low + high) / 2;
            (needle(nm, middle).deflection.degrees() > deflection_deg ? low : high) = middle;
        }
        return low;
    };
    for (const auto& [nm, feet] : {std::pair(1.0, 74.5), {5.0, 372.0}, {10.0, 745.0}}) {
        const double on_line = altitude_where(nm, 0.0);
        EXPECT_NEAR(on_line - altitude_where(nm, 0.7), feet, 1.0 + nm * 0.15) << nm;
        EXPECT_NEAR(altitude_where(nm, -0.7) - on_line, feet, 1.0 + nm * 0.3) << nm;
        EXPECT_GT(needle(nm, on_line - 30).of_full_scale(), 0.0) << "below it the needle is up";
    }
    // trade-facts 7.3: 318 ft for each mile; over a 4/3 earth 5 NM add 16.5 ft of curve.
    EXPECT_NEAR(altitude_where(5.0, 0.0), 100 + 5 * 318.4 + 16.5, 1.5);
    EXPECT_TRUE(needle(5.0, 5000).pegged());
}

TEST(CaseIndication, AGlideslopeWhoseAerialHasNoKnownHeightCannotBeTold) {
    const NorthwardIls ils;
    EXPECT_TRUE(
        std::holds_alternative<cockpit::CannotTell>(ils.shown(GlideslopeSetting{}, ils.at(6, 0, 360))));
    const auto given =
        indication({.station = ils.station, .silence = Silence::none, .antenna = Altitude::feet(90)},
                   GlideslopeSetting{}, ils.at(6, 0, 360));
    EXPECT_TRUE(std::holds_alternative<cockpit::GlideslopeShown>(given));
    const NorthwardIls localizer_only({.glideslope = false});
    EXPECT_TRUE(std::holds_alternative<NoSignal>(
        localizer_only.shown(GlideslopeSetting{}, localizer_only.at(6, 0, 360))));
}

// trade-facts 5 [seen]: overhead a DME reads the height: 6,000 ft about 1 NM, 12,000 ft 2.0, 30,000 ft about 5. 6,000 ft high and 5.0
// shown is 4.9 over the ground.
TEST(TruthIndication, ADmeReadsTheHeightOverheadAndTheSlantElsewhere) {
    auto station = a_vor();
    station.dme->elevation = Altitude::feet(0);
    const auto reading = [&](double away_nm, double feet) {
        Whereabouts aircraft = on_radial(station, 77, away_nm);
        aircraft.altitude = Altitude::feet(feet);
        const auto shown =
            indication({.station = station, .silence = Silence::none}, DistanceSetting{}, aircraft);
        EXPECT_EQ(std::get<cockpit::DistanceShown>(shown).of, "AAA");
        EXPECT_FALSE(std::get<cockpit::DistanceShown>(shown).antenna_height_assumed);
        return std::get<cockpit::DistanceShown>(shown).reading.nautical_miles();
    };
    EXPECT_NEAR(reading(0, 6000), 1.0, 0.02);
    EXPECT_NEAR(reading(0, 12000), 2.0, 0.03);
    EXPECT_NEAR(reading(0, 30000), 5.0, 0.07);
    EXPECT_NEAR(reading(4.90, 6000), 5.0, 0.01);
    station.dme->elevation = std::nullopt;
    const auto shown = indication({.station = station, .silence = Silence::none}, DistanceSetting{},
                                  on_radial(station, 0, 10));
    EXPECT_TRUE(std::get<cockpit::DistanceShown>(shown).antenna_height_assumed);
}

// ARINC 424 columns 86-87 (trade-facts 13.4 [seen]): an ILS/DME may be biased to read zero at the threshold.
TEST(TruthIndication, ABiasedDmeReadsZeroAtTheThreshold) {
    NorthwardIls ils({.dme = true});
    ils.station.dme->elevation = Altitude::feet(0);
    ils.station.dme->bias = Length::feet(7000);
    Whereabouts aircraft = ils.at(7000.0 / 6076.12, 0, 360, 50);
    const auto at_threshold = std::get<cockpit::DistanceShown>(ils.shown(DistanceSetting{}, aircraft));
    EXPECT_NEAR(at_threshold.reading.nautical_miles(), 0.0, 0.001);
    const auto past = std::get<cockpit::DistanceShown>(ils.shown(DistanceSetting{}, ils.at(0.5, 0, 360, 50)));
    EXPECT_EQ(past.reading, Length()) << "no display goes below zero";
    EXPECT_EQ(past.of, "IAAA");
}

// trade-facts 4 [seen]: magnetic bearing to the station = magnetic heading + relative bearing.
TEST(TruthIndication, AnAdfPointsToTheBeaconFromTheNose) {
    Sketch sketch;
    sketch.ndb("AA", {0, 0});
    const auto& beacon = sketch.station("AA");
    // 10 NM south of it, variation 12 east: the beacon is 000 true, 348 magnetic.
    const Whereabouts aircraft{.place = earth::destination(navdata::site(beacon), TrueBearing::degrees(180),
                                                           Length::nautical_miles(10)),
                               .altitude = Altitude::feet(3000),
                               .heading = MagneticBearing::degrees(60),
                               .variation = base::Variation::east(Angle::degrees(12))};
    const auto shown = [&](cockpit::AdfIndicator indicator, double card) {
        const PointerSetting setting{indicator, MagneticBearing::degrees(card)};
        return std::get<cockpit::PointerShown>(
            indication({.station = beacon, .silence = Silence::none}, setting, aircraft));
    };
    const auto rmi = shown(cockpit::AdfIndicator::rmi, 0);
    EXPECT_NEAR(rmi.relative.degrees(), 348.0 - 60.0, 1e-6);
    EXPECT_NEAR(rmi.reads->degrees(), 348.0, 1e-6);
    const auto fixed = shown(cockpit::AdfIndicator::fixed_card, 0);
    EXPECT_NEAR(fixed.relative.degrees(), 288.0, 1e-6);
    EXPECT_FALSE(fixed.reads);
    // Turned to a wrong heading, a movable card reads wrong by as much.
    EXPECT_NEAR(shown(cockpit::AdfIndicator::movable_card, 70).reads->degrees(), 358.0, 1e-6);
}

// trade-facts 4 [memory]: of an RMI on a VOR the head reads the bearing to it and the tail the radial.
TEST(TruthIndication, TheTailOfAnRmiOnAVorReadsTheRadial) {
    const auto station = a_vor(10.0);
    Whereabouts aircraft = on_radial(station, 210, 15, 40);
    aircraft.variation =
        base::Variation::east(Angle::degrees(13));  // three degrees since the station was aligned
    const auto on = [&](cockpit::AdfIndicator indicator) {
        return indication({.station = station, .silence = Silence::none}, PointerSetting{indicator, {}},
                          aircraft);
    };
    const auto shown = std::get<cockpit::PointerShown>(on(cockpit::AdfIndicator::rmi));
    EXPECT_NEAR(shown.reads->reciprocal().degrees(), 210.0, 1e-6);
    EXPECT_NEAR(shown.relative.degrees(), 350.0, 1e-6);
    EXPECT_TRUE(std::holds_alternative<NoSignal>(on(cockpit::AdfIndicator::fixed_card)))
        << "an ADF hears no VOR";
}

// A signal that is not heard shows the flag; an ADF has none (IFH, trade-facts 21 [memory]).
TEST(CaseIndication, WhatIsNotHeardShowsTheFlagAndAnAdfHasNone) {
    const auto station = a_vor();
    const Whereabouts aircraft = on_radial(station, 10, 20);
    const auto flagged = [&](const navdata::Station& tuned, const cockpit::IndicatorSetting& setting,
                             Silence silence) {
        const auto shown = indication({.station = tuned, .silence = silence}, setting, aircraft);
        EXPECT_TRUE(std::holds_alternative<NoSignal>(shown));
        return std::get<NoSignal>(shown).flagged;
    };
    const NorthwardIls ils({.dme = true});
    Sketch sketch;
    sketch.ndb("AA", {0, 0});
    for (const Silence silence : {Silence::beyond_service_volume, Silence::below_horizon, Silence::overhead,
                                  Silence::outside_sector}) {
        EXPECT_TRUE(flagged(station, course(0), silence));
        EXPECT_TRUE(flagged(station, DistanceSetting{}, silence));
        EXPECT_TRUE(flagged(ils.station, course(0), silence));
        EXPECT_TRUE(flagged(ils.station, GlideslopeSetting{}, silence));
        EXPECT_FALSE(flagged(sketch.station("AA"), PointerSetting{}, silence));
    }
    EXPECT_TRUE(flagged(sketch.station("AA"), course(0), Silence::none))
        << "no course indicator shows a beacon";
    EXPECT_TRUE(flagged(sketch.station("AA"), DistanceSetting{}, Silence::none)) << "it has no DME";
}

}  // namespace omniway::radio
