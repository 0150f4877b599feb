#include "radio/reception.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <numbers>
#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using navdata::ServiceClass;
using testing::Sketch;

namespace {

navdata::Station a_vor(ServiceClass service) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.service = service, .dme = ServiceClass::high});
    return sketch.station("AAA");
}

navdata::Station a_beacon(ServiceClass service) {
    Sketch sketch;
    sketch.ndb("AAA", {0, 0}, service);
    return sketch.station("AAA");
}

Silence heard_at(const navdata::Station& station, double bearing_deg, double away_nm, double altitude_ft) {
    const earth::Position place = earth::destination(
        navdata::site(station), TrueBearing::degrees(bearing_deg), Length::nautical_miles(away_nm));
    return hear(station, Part::azimuth, place, Altitude::feet(altitude_ft), {}).silence;
}

}  // namespace

// trade-facts 2: cone of ambiguity, half-angles [seen, PANS-OPS I-2-2], radii [computed] to 0.01 NM.
TEST(TruthReception, TheConeOverheadIsAsWideAsTheTable) {
    struct Row {
        double height_ft, vor_nm, ndb_nm;
    };
    constexpr std::array<Row, 6> table = {{{1000, 0.20, 0.14},
                                           {5000, 0.98, 0.69},
                                           {10000, 1.96, 1.38},
                                           {20000, 3.92, 2.76},
                                           {30000, 5.88, 4.14},
                                           {40000, 7.85, 5.52}}};
    const auto vor = a_vor(ServiceClass::high);
    const auto beacon = a_beacon(ServiceClass::ndb);
    for (const Row& row : table) {
        EXPECT_EQ(heard_at(vor, 123, row.vor_nm - 0.01, row.height_ft), Silence::overhead) << row.height_ft;
        EXPECT_EQ(heard_at(vor, 123, row.vor_nm + 0.01, row.height_ft), Silence::none) << row.height_ft;
        EXPECT_EQ(heard_at(beacon, 321, row.ndb_nm - 0.01, row.height_ft), Silence::overhead)
            << row.height_ft;
        EXPECT_EQ(heard_at(beacon, 321, row.ndb_nm + 0.01, row.height_ft), Silence::none) << row.height_ft;
    }
}

// AIM 1-1-8 (trade-facts 1): a terminal VOR is promised to 12,000 ft above it. Above that nothing is heard of it, over it neither.
TEST(TruthReception, OverheadAboveItsServiceHeightsAnAidIsOutsideThem) {
    const auto terminal = a_vor(ServiceClass::terminal);
    const auto over = [&](double feet) {
        return hear(terminal, Part::azimuth, navdata::site(terminal), Altitude::feet(feet), {});
    };
    EXPECT_EQ(over(11900).silence, Silence::overhead);
    EXPECT_EQ(over(12100).silence, Silence::outside_service_heights);
    EXPECT_TRUE(over(11900).in_cone);
    EXPECT_TRUE(over(12100).in_cone);
    EXPECT_EQ(heard_at(terminal, 90, 10.0, 12100), Silence::outside_service_heights);
}

// AIM 1-1-9 (trade-facts 1.3 [seen]): 18 NM within 10 degrees of the course, 10 NM from 10 to 35 degrees, no further; front
// and back.
TEST(TruthReception, ALocalizerIsHeardInItsTwoSectorsFrontAndBack) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA");
    const auto& station = sketch.station("IAAA");
    const auto* azimuth = navdata::localizer(station);
    for (const double axis : {azimuth->course.degrees() + 180.0, azimuth->course.degrees()}) {
        for (const double side : {-1.0, 1.0}) {
            EXPECT_EQ(heard_at(station, axis + side * 9.9, 17.9, 3000), Silence::none);
            EXPECT_EQ(heard_at(station, axis + side * 9.9, 18.1, 3000), Silence::beyond_service_volume);
            EXPECT_EQ(heard_at(station, axis + side * 10.1, 9.9, 3000), Silence::none);
            EXPECT_EQ(heard_at(station, axis + side * 10.1, 10.1, 3000), Silence::beyond_service_volume);
            EXPECT_EQ(heard_at(station, axis + side * 34.9, 9.9, 3000), Silence::none);
            EXPECT_EQ(heard_at(station, axis + side * 35.1, 5.0, 3000), Silence::outside_sector);
        }
    }
}

// What lies exactly on an edge is inside it, whatever the last bit of a geodesic says.
RC_GTEST_PROP(LawReception, TheEdgesOfALocalizersSectorsAreInside, ()) {
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-70, 71), *rc::gen::inRange(-180, 180)));
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA");
    const auto& station = sketch.station("IAAA");
    const double axis =
        navdata::localizer(station)->course.degrees() + (*rc::gen::inRange(0, 2) == 0 ? 180.0 : 0.0);
    const double side = *rc::gen::inRange(0, 2) == 0 ? -1.0 : 1.0;
    const double inner_deg = *rc::gen::inRange(0, 1001) / 100.0;
    const double outer_deg = *rc::gen::inRange(1001, 3501) / 100.0;
    RC_ASSERT(heard_at(station, axis + side * inner_deg, 18.0, 3000) == Silence::none);
    RC_ASSERT(heard_at(station, axis + side * outer_deg, 10.0, 3000) == Silence::none);
    RC_ASSERT(heard_at(station, axis + side * 10.0, 18.0, 3000) == Silence::none);
}

TEST(CaseReception, AtItsAntennaALocalizerIsOverheadOnWhicheverSideOneStands) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA");
    for (const double direction : {0.0, 90.0, 135.0, 180.0}) {
        EXPECT_EQ(heard_at(sketch.station("IAAA"), direction, 0.05, 500), Silence::overhead) << direction;
    }
}

// trade-facts 5: slant range against ground distance, [seen] answers and [computed] rows. The table is drawn flat; the earth adds
// 0.002 NM at 10 NM and 10,000 ft, 0.02 NM at 50 NM and 18,000 ft.
TEST(TruthReception, ADmeReadsSlantRangeAsTheTableSays) {
    struct Row {
        double height_ft, ground_nm, slant_nm, within_nm;
    };
    constexpr std::array<Row, 9> table = {{{6000, 4.90, 5.0, 0.01},
                                           {12000, 0.32, 2.0, 0.01},
                                           {10000, 4.72, 5.0, 0.01},
                                           {24000, 9.19, 10.0, 0.01},
                                           {10000, 10.0, 10.135, 0.003},
                                           {35000, 10.0, 11.54, 0.01},
                                           {18000, 50.0, 50.09, 0.02},
                                           {6000, 0.0, 1.0, 0.02},
                                           {30000, 0.0, 5.0, 0.07}}};
    for (const Row& row : table) {
        EXPECT_NEAR(slant_range(Length::nautical_miles(row.ground_nm),
                                {.aircraft = Altitude::feet(row.height_ft), .antenna = Altitude()})
                        .nautical_miles(),
                    row.slant_nm, row.within_nm)
            << row.height_ft;
    }
    // The published triangle: 6,000 ft high, 8,000 ft away, 10,000 ft slant. It is drawn flat: the earth adds 0.9 ft.
    EXPECT_NEAR(
        slant_range(Length::feet(8000), {.aircraft = Altitude::feet(6000), .antenna = Altitude()}).feet(),
        10000.0, 1.0);
}

// Earth-centred coordinates on WGS 84 (NIMA TR8350.2, section 4): a straight line in space shares no formula with the sphere.
TEST(TruthReception, ADmeReadsTheStraightLineThroughTheAirFarOutToo) {
    const auto centred = [](earth::Position place, double height_ft) {
        const double flattening = 1.0 / 298.257223563;
        const double squared = flattening * (2.0 - flattening);
        const double latitude = place.latitude_deg() * std::numbers::pi / 180.0;
        const double longitude = place.longitude_deg() * std::numbers::pi / 180.0;
        const double normal = 6378137.0 / std::sqrt(1.0 - squared * std::sin(latitude) * std::sin(latitude));
        const double height = height_ft * 0.3048;
        return std::array{(normal + height) * std::cos(latitude) * std::cos(longitude),
                          (normal + height) * std::cos(latitude) * std::sin(longitude),
                          (normal * (1.0 - squared) + height) * std::sin(latitude)};
    };
    double worst_nm = 0.0;
    for (const double latitude : {-80.0, -33.0, 0.0, 12.0, 41.0, 65.0, 88.0}) {
        for (const double course : {0.0, 50.0, 90.0, 200.0, 310.0}) {
            for (const double away_nm : {0.0, 1.0, 12.0, 70.0, 130.0, 250.0}) {
                for (const double antenna_ft : {0.0, 7000.0}) {
                    for (const double aircraft_ft : {8000.0, 16000.0, 60000.0}) {
                        const earth::Position site = earth::Position::degrees(latitude, 179.9);
                        const earth::Position place = earth::destination(
                            site, base::TrueBearing::degrees(course), Length::nautical_miles(away_nm));
                        const auto from = centred(site, antenna_ft);
                        const auto to = centred(place, aircraft_ft);
                        const double straight_nm =
                            std::hypot(to[0] - from[0], to[1] - from[1], to[2] - from[2]) / 1852.0;
                        const double told_nm = slant_range(Length::nautical_miles(away_nm),
                                                           {.aircraft = Altitude::feet(aircraft_ft),
                                                            .antenna = Altitude::feet(antenna_ft)})
                                                   .nautical_miles();
                        worst_nm = std::max(worst_nm, std::abs(told_nm - straight_nm));
                    }
                }
            }
        }
    }
    EXPECT_LT(worst_nm, 0.003);
    RecordProperty("worst_nm", std::to_string(worst_nm));
}

// Classes of AIM 1-1-8 and 1-1-9 (trade-facts 1.1, 1.2); no class promises less than the one an unknown is taken for.
TEST(LawReception, AnUnknownClassReachesNoFartherThanAnyOther) {
    for (const double altitude : {500.0, 1500.0, 4000.0, 9000.0, 12000.0}) {
        const auto reach = azimuth_reach(a_vor(ServiceClass::unknown), Altitude::feet(altitude), {});
        const auto beacon = azimuth_reach(a_beacon(ServiceClass::unknown), Altitude::feet(altitude), {});
        ASSERT_TRUE(reach && beacon);
        for (const ServiceClass service : {ServiceClass::terminal, ServiceClass::low, ServiceClass::high,
                                           ServiceClass::vor_low, ServiceClass::vor_high}) {
            EXPECT_LE(*reach, *azimuth_reach(a_vor(service), Altitude::feet(altitude), {}));
        }
        for (const ServiceClass service : {ServiceClass::compass_locator, ServiceClass::ndb_medium,
                                           ServiceClass::ndb, ServiceClass::ndb_high}) {
            EXPECT_LE(*beacon, *azimuth_reach(a_beacon(service), Altitude::feet(altitude), {}));
        }
    }
    EXPECT_NEAR(azimuth_reach(a_vor(ServiceClass::unknown), Altitude::feet(5000), {})->nautical_miles(), 25.0,
                1e-9);
    EXPECT_NEAR(azimuth_reach(a_beacon(ServiceClass::unknown), Altitude::feet(5000), {})->nautical_miles(),
                15.0, 1e-9);
    EXPECT_TRUE(class_is_assumed(a_vor(ServiceClass::unknown)));
    EXPECT_FALSE(class_is_assumed(a_vor(ServiceClass::low)));
}

RC_GTEST_PROP(BruteReception, TheReachIsWhereHearingEndsInEveryDirection, ()) {
    const auto vor_class =
        *rc::gen::element(ServiceClass::unknown, ServiceClass::terminal, ServiceClass::low,
                          ServiceClass::high, ServiceClass::vor_low, ServiceClass::vor_high);
    const auto beacon_class = *rc::gen::element(ServiceClass::unknown, ServiceClass::compass_locator,
                                                ServiceClass::ndb, ServiceClass::ndb_high);
    auto station = *rc::gen::inRange(0, 2) == 0 ? a_vor(vor_class) : a_beacon(beacon_class);
    if (station.dme) {
        station.dme->elevation = Altitude::feet(*rc::gen::inRange(0, 6000));
    }
    const double altitude_ft = *rc::gen::inRange(0, 50000);
    const double bearing_deg = *rc::gen::inRange(0, 360);
    const auto reach = azimuth_reach(station, Altitude::feet(altitude_ft), {});
    for (double away_nm = 0.5; away_nm < 140.0; away_nm += 0.5) {
        const Silence silence = heard_at(station, bearing_deg, away_nm, altitude_ft);
        if (silence == Silence::overhead) {
            continue;
        }
        const double reach_nm = reach ? reach->nautical_miles() : -1.0;
        if (std::abs(away_nm - reach_nm) > 1e-6) {
            RC_ASSERT((silence == Silence::none) == (away_nm < reach_nm));
        }
    }
}

TEST(CaseReception, AStationIsHeardOnlyByThePartsItsRecordHas) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).dme("BBB", {0, 0});
    const auto place = sketch.at({10, 0});
    const Altitude level = Altitude::feet(5000);
    EXPECT_TRUE(hear(sketch.station("AAA"), Part::azimuth, place, level, {}).heard());
    EXPECT_EQ(hear(sketch.station("AAA"), Part::distance, place, level, {}).silence, Silence::no_such_part);
    EXPECT_EQ(hear(sketch.station("BBB"), Part::azimuth, place, level, {}).silence, Silence::no_such_part);
    EXPECT_TRUE(hear(sketch.station("BBB"), Part::distance, place, level, {}).heard());
    navdata::Station tacan = sketch.station("BBB");
    tacan.azimuth = navdata::TacanAzimuth{};
    EXPECT_EQ(hear(tacan, Part::azimuth, place, level, {}).silence, Silence::no_such_part);
}

TEST(CaseReception, BelowTheHorizonAndOutsideItsHeightsAreToldApart) {
    const auto low = a_vor(ServiceClass::low);
    EXPECT_EQ(heard_at(low, 90, 30, 18500), Silence::outside_service_heights);
    EXPECT_EQ(heard_at(low, 90, 41, 5000), Silence::beyond_service_volume);
    auto high_site = a_vor(ServiceClass::low);
    high_site.dme->elevation = Altitude::feet(4000);
    // 500 ft below the antenna: nothing is promised there.
    EXPECT_FALSE(heard_at(high_site, 90, 30, 3500) == Silence::none);
}

}  // namespace omniway::radio
