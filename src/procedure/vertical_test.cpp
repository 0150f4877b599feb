#include "procedure/vertical.hpp"

#include <cmath>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "navdata/airport.hpp"

namespace omniway::procedure {

using base::Altitude;
using base::Angle;
using base::Length;
using base::Speed;
using navdata::AltitudeRule;

namespace {

navdata::Leg coded(AltitudeRule rule, std::optional<double> first_ft, std::optional<double> second_ft) {
    navdata::Leg leg;
    leg.altitude_rule = rule;
    if (first_ft) {
        leg.altitude_1 = Altitude::feet(*first_ft);
    }
    if (second_ft) {
        leg.altitude_2 = Altitude::feet(*second_ft);
    }
    return leg;
}

AltitudeWindow between(std::optional<double> low_ft, std::optional<double> high_ft) {
    AltitudeWindow window;
    if (low_ft) {
        window.at_or_above = Altitude::feet(*low_ft);
    }
    if (high_ft) {
        window.at_or_below = Altitude::feet(*high_ft);
    }
    return window;
}

GlidePath three_degrees(double foot_ft = 0.0) {
    return {earth::Position::degrees(40, -73), Altitude::feet(foot_ft), Angle::degrees(3.0),
            GlidePathFoot::threshold};
}

double fpm(double degrees, double knots) {
    return vertical_speed(Gradient::of(Angle::degrees(degrees)), Speed::knots(knots)).feet_per_minute();
}

}  // namespace

// trade-facts 13.9 (ARINC 424 section 5.29, altitude description): what each letter binds.
TEST(TruthVertical, EachAltitudeDescriptionBindsAsItsLetterSays) {
    EXPECT_EQ(window_of(coded(AltitudeRule::none, 3000, {})), between({}, {}));
    EXPECT_EQ(window_of(coded(AltitudeRule::at, 3000, {})), between(3000, 3000));
    EXPECT_EQ(window_of(coded(AltitudeRule::at_or_above, 1900, {})), between(1900, {}));
    EXPECT_EQ(window_of(coded(AltitudeRule::at_or_below, 4000, {})), between({}, 4000));
    EXPECT_EQ(window_of(coded(AltitudeRule::between, 7000, 5000)), between(5000, 7000));
    EXPECT_EQ(window_of(coded(AltitudeRule::at_or_above_second, 5000, 4000)), between(4000, {}));
    EXPECT_EQ(window_of(coded(AltitudeRule::glideslope_at, 2000, 1800)), between(2000, 2000));
    EXPECT_EQ(window_of(coded(AltitudeRule::glideslope_at_or_above, 2000, 1500)), between(2000, {}));
    EXPECT_EQ(window_of(coded(AltitudeRule::step_down, 2680, 2691)), between(2680, {}));
    EXPECT_EQ(coded_glideslope_altitude(coded(AltitudeRule::glideslope_at_or_above, 2000, 1500)),
              Altitude::feet(1500));
    EXPECT_FALSE(coded_glideslope_altitude(coded(AltitudeRule::step_down, 2680, 2691)));
}

// trade-facts 7.3, ft/min for a gradient: ft/NM times groundspeed over 60.
TEST(TruthVertical, TheGradientTableGivesTheRateOfEachGroundspeed) {
    const std::vector<double> groundspeeds = {60, 90, 120, 150, 180, 210, 240};
    const std::vector<std::pair<double, std::vector<double>>> rows = {
        {200, {200, 300, 400, 500, 600, 700, 800}},     {250, {250, 375, 500, 625, 750, 875, 1000}},
        {300, {300, 450, 600, 750, 900, 1050, 1200}},   {318, {318, 477, 636, 795, 954, 1113, 1272}},
        {400, {400, 600, 800, 1000, 1200, 1400, 1600}}, {500, {500, 750, 1000, 1250, 1500, 1750, 2000}}};
    for (const auto& [gradient, rates] : rows) {
        for (std::size_t i = 0; i < rates.size(); ++i) {
            EXPECT_NEAR(
                vertical_speed(Gradient::feet_per_nautical_mile(gradient), Speed::knots(groundspeeds[i]))
                    .feet_per_minute(),
                rates[i], 0.5)
                << gradient;
        }
    }
}

// trade-facts 7.3: rates for an angle (computed table), and the published rate-of-descent table [seen] in whole ft/min, which
// stands on 318 ft/NM and differs by up to 3 ft/min in its rounding.
TEST(TruthVertical, TheDescentTablesGiveTheRateOfEachAngle) {
    const std::vector<std::pair<double, std::vector<double>>> computed = {
        {2.5, {265, 398, 531, 663, 796}},  {2.75, {292, 438, 584, 730, 876}},
        {3.0, {318, 478, 637, 796, 955}},  {3.25, {345, 518, 690, 863, 1035}},
        {3.5, {372, 557, 743, 929, 1115}}, {4.0, {425, 637, 850, 1062, 1275}}};
    for (const auto& [degrees, rates] : computed) {
        for (std::size_t i = 0; i < rates.size(); ++i) {
            EXPECT_NEAR(fpm(degrees, 60.0 + 30.0 * static_cast<double>(i)), rates[i], 0.6) << degrees;
        }
    }
    const std::vector<std::pair<double, double>> published = {{120, 636}, {130, 689}, {140, 743}, {150, 795},
                                                              {160, 848}, {170, 901}, {180, 954}};
    for (const auto& [knots, rate] : published) {
        EXPECT_NEAR(fpm(3.0, knots), rate, 1.5) << knots;
    }
    EXPECT_NEAR(Gradient::of(Angle::degrees(3.0)).feet_per_nautical_mile(), 318, 0.5);
    // Published as 5.23: 318 over 6,076.
    EXPECT_NEAR(Gradient::of(Angle::degrees(3.0)).percent(), 5.23, 0.015);
}

// trade-facts 7.3 [seen]: 200 ft/NM is 3.29 percent and 1.89 degrees; 400 ft/NM is 3.77 degrees.
TEST(TruthVertical, TheStandardClimbAndTheSteepestFinalAreTheAnglesPublished) {
    EXPECT_NEAR(least_climb.percent(), 3.29, 0.005);
    EXPECT_NEAR(least_climb.angle().degrees(), 1.89, 0.005);
    EXPECT_NEAR(steepest_straight_in.angle().degrees(), 3.77, 0.005);
    EXPECT_NEAR(
        gradient_of(base::VerticalSpeed::feet_per_minute(600), Speed::knots(180)).feet_per_nautical_mile(),
        200.0, 1e-9);
}

// trade-facts 7.3 [seen], worked: 3.0 degrees, 1,970 ft at 6.2 DME gives 1,652, 1,334, 1,016 and 698 ft at each mile less. It is
// counted with 318 ft/NM, half a foot a mile less than the angle's own.
TEST(TruthVertical, TheWorkedDmeAltitudesAreThoseOfTheAngle) {
    const std::vector<double> published_ft = {1970, 1652, 1334, 1016, 698};
    for (std::size_t i = 0; i < published_ft.size(); ++i) {
        const double left_nm = 4.0 - static_cast<double>(i);
        EXPECT_NEAR(
            altitude_on(Altitude::feet(698), Angle::degrees(3.0), Length::nautical_miles(left_nm)).feet(),
            published_ft[i], 2.0);
    }
}

// trade-facts 1.3 [seen] (AIM 1-1-9): the glideslope meets the outer marker near 1,400 ft above the runway, the middle marker near
// 200 ft; AIM 1-1-9 f: the outer marker stands 4 to 7 miles out, the middle marker about 3,500 ft before the threshold (from memory).
TEST(TruthVertical, TheGlideslopePassesTheMarkersAtTheHeightsOfTheManual) {
    const GlidePath path = three_degrees(50.0);
    const Length outer = distance_at(path, Altitude::feet(1400)).value();
    EXPECT_GT(outer, Length::nautical_miles(4.0));
    EXPECT_LT(outer, Length::nautical_miles(7.0));
    EXPECT_NEAR(altitude_on(path, Length::feet(3500)).feet(), 200.0, 40.0);
}

// trade-facts 4: full scale of the glideslope needle is 0.7 degrees, which at 3.0 degrees is 74 to 75 ft at 1 NM, 372 ft at 5 NM and
// 745 ft at 10 NM.
TEST(TruthVertical, SevenTenthsOfADegreeAreTheHeightsOfFullScale) {
    GlidePath high = three_degrees();
    high.angle = Angle::degrees(3.7);
    for (const auto& [miles, published_ft] :
         {std::pair(1.0, 74.5), std::pair(5.0, 372.0), std::pair(10.0, 745.0)}) {
        const Length distance = Length::nautical_miles(miles);
        EXPECT_NEAR((altitude_on(high, distance) - altitude_on(three_degrees(), distance)).feet(),
                    published_ft, 0.007 * published_ft);
    }
}

// The exact triangle, reckoned apart: the straight line in the plane through the earth's centre, by coordinates.
TEST(BruteVertical, AStraightLineOverARoundEarthByCoordinates) {
    const double radius_m = 6371008.8;
    for (const double degrees : {2.5, 3.0, 3.6, 6.0}) {
        for (const double foot_ft : {0.0, 5400.0}) {
            const GlidePath path{earth::Position::degrees(0, 0), Altitude::feet(foot_ft),
                                 Angle::degrees(degrees)};
            const double slope = std::tan(degrees * 3.14159265358979323846 / 180.0);
            const double foot_m = radius_m + foot_ft * 0.3048;
            for (double x_m = 50.0; x_m < 30000.0; x_m += 777.0) {
                const double y_m = foot_m + slope * x_m;
                const Length over_ground = Length::metres(radius_m * std::atan2(x_m, y_m));
                const Altitude altitude = Altitude::metres(std::hypot(x_m, y_m) - radius_m);
                EXPECT_NEAR(altitude_on(path, over_ground).metres(), altitude.metres(), 1e-4);
                EXPECT_NEAR(distance_at(path, altitude).value().metres(), over_ground.metres(), 0.01);
            }
        }
    }
}

// The header's figures: d d / 2 R is 32 ft at 6 NM and 88 ft at 10 NM.
TEST(LawVertical, TheEarthCurvesAwayUnderTheGlideslope) {
    const auto over_flat = [](double miles) {
        const Length distance = Length::nautical_miles(miles);
        return altitude_on(three_degrees(), distance).feet() -
               altitude_on(Altitude(), Angle::degrees(3.0), distance).feet();
    };
    EXPECT_NEAR(over_flat(6.0), 32.0, 1.0);
    EXPECT_NEAR(over_flat(10.0), 88.0, 1.5);
}

RC_GTEST_PROP(LawVertical, AltitudeAndDistanceOnAGlideslopeAreEachOthersReverse, ()) {
    GlidePath path = three_degrees(*rc::gen::inRange(-200, 8000));
    path.angle = Angle::degrees(*rc::gen::inRange(200, 700) / 100.0);
    const Length distance = Length::metres(*rc::gen::inRange(10, 30000));
    const auto back = distance_at(path, altitude_on(path, distance));
    RC_ASSERT(back.has_value());
    RC_ASSERT(abs(*back - distance) < Length::metres(0.05));
    RC_ASSERT(!distance_at(path, path.at_foot - Length::feet(1)).has_value());
}

TEST(CaseVertical, AGlideslopeOfUnknownHeightHasNoPath) {
    navdata::Glideslope glideslope;
    glideslope.position = earth::Position::degrees(40, -73);
    glideslope.angle = Angle::degrees(3.0);
    EXPECT_FALSE(glide_path(glideslope, nullptr));
    glideslope.elevation = Altitude::feet(385);
    ASSERT_TRUE(glide_path(glideslope, nullptr));
    EXPECT_EQ(glide_path(glideslope, nullptr)->foot_is, GlidePathFoot::antenna);
    glideslope.threshold_crossing_height = Length::feet(57);
    navdata::Runway runway;
    runway.threshold = earth::Position::degrees(40, -73.01);
    EXPECT_EQ(glide_path(glideslope, &runway)->foot_is, GlidePathFoot::antenna);
    runway.elevation = Altitude::feet(390);
    ASSERT_EQ(glide_path(glideslope, &runway)->foot_is, GlidePathFoot::threshold);
    EXPECT_DOUBLE_EQ(glide_path(glideslope, &runway)->at_foot.feet(), 447.0);
}

// 6.0 NM at 90 kt is 4 minutes (distance over speed); the speeds of a chart's table are 60 to 180 kt in steps of 30.
TEST(TruthVertical, TheTimeTableIsDistanceOverGroundspeed) {
    const auto table = time_table(Length::nautical_miles(6.0));
    ASSERT_EQ(table.size(), 5U);
    const std::vector<double> seconds = {360, 240, 180, 144, 120};
    for (std::size_t i = 0; i < table.size(); ++i) {
        EXPECT_NEAR(table[i].groundspeed.knots(), 60.0 + 30.0 * static_cast<double>(i), 1e-9);
        EXPECT_NEAR(table[i].time.count(), seconds[i], 1e-9);
    }
}

}  // namespace omniway::procedure
