#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "radio/along_path.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Length;
using navdata::ServiceClass;
using testing::DrawnGround;
using testing::Sketch;

namespace {

const earth::Position home = earth::Position::degrees(40.0, -170.0);

// A wall 1,000 m high from 0.25 degrees east of home to 0.30, as far north and south as is drawn; sea elsewhere. Beyond the
// wall's far foot the sea goes on.
DrawnGround walled() {
    return DrawnGround(home, 6, [](double, double longitude_deg) {
        const double east_deg = longitude_deg + 170.0;
        return std::optional(east_deg > 0.249 && east_deg < 0.301 ? 1000.0 : 0.0);
    });
}

// Hills of 1,500 m with slopes of at most 20 degrees.
DrawnGround hilly(double phase) {
    return DrawnGround(home, 6, [phase](double latitude_deg, double longitude_deg) {
        const double north = (latitude_deg - 40.0) * 60.0;
        const double east = (longitude_deg + 170.0) * 46.0;
        return std::optional(750.0 + 750.0 * std::sin(north / 2.5 + phase) * std::cos(east / 2.0 - phase));
    });
}

std::vector<PathPoint> line(earth::Position from, earth::Position to, double from_ft, double to_ft) {
    return {{from, Length(), Altitude::feet(from_ft)},
            {to, earth::distance(from, to), Altitude::feet(to_ft)}};
}

}  // namespace

// Similar triangles over an earth of 4/3 of its radius (ITU-R P.310): the ray over the near edge of a wall's top drops against
// the earth by d^2 / 2R on the way. The wall's far edge is the one that limits when the ray still climbs less than the earth falls.
TEST(TruthTerrainReception, BehindAWallTheLineOfSightOverItsEdgeDecides) {
    Sketch sketch(home);
    sketch.vor("AAA", {0, 0}, {.dme = ServiceClass::low});
    sketch.station("AAA").dme->elevation = Altitude();
    const DrawnGround drawn = walled();
    constexpr double bulge_m = 2.0 * 6371008.8 * 4.0 / 3.0;
    for (const double away_nm : {25.0, 30.0, 38.0}) {
        const earth::Position place = sketch.at({away_nm, 0});
        const double edge_m = earth::distance(home, earth::Position::degrees(40.0, -169.75)).metres();
        const double away_m = away_nm * 1852.0;
        const double antenna_m = 5.0;
        const double slope = (1000.0 - edge_m * edge_m / bulge_m - antenna_m) / edge_m;
        const double needed_m = antenna_m + slope * away_m + away_m * away_m / bulge_m;
        const auto lowest = lowest_heard(sketch.station("AAA"), Part::azimuth, place, drawn.ground());
        ASSERT_TRUE(lowest);
        // The horizon is at most 2 m high of the shadow at the wall, three to five times that here; the wall's foot is 0.05 NM wide.
        EXPECT_NEAR(lowest->altitude.metres(), needed_m, 25.0) << away_nm;
        EXPECT_TRUE(lowest->ground_known);
        const Reception low = hear(sketch.station("AAA"), Part::azimuth, place,
                                   lowest->altitude - Length::feet(100), drawn.ground());
        EXPECT_EQ(low.silence, Silence::behind_terrain);
        EXPECT_NEAR(low.obstacle.nautical_miles(), edge_m / 1852.0, 0.3);
        EXPECT_NEAR(low.above_sight()->feet(), -100.0, 1.0);
        EXPECT_TRUE(hear(sketch.station("AAA"), Part::azimuth, place, lowest->altitude + Length::feet(10),
                         drawn.ground())
                        .heard());
        EXPECT_TRUE(hear(sketch.station("AAA"), Part::azimuth, place, Altitude::feet(3000),
                         drawn.ground(ReceptionMode::horizon))
                        .heard());
    }
}

// AIM 1-1-2: the wave of a beacon follows the ground.
TEST(CaseTerrainReception, ABeaconIsHeardBehindTheWallThatHidesAVor) {
    Sketch sketch(home);
    sketch.vor("AAA", {0, 0}).ndb("BBB", {0, 0});
    const DrawnGround drawn = walled();
    const Altitude low = Altitude::feet(3500);
    EXPECT_EQ(hear(sketch.station("AAA"), Part::azimuth, sketch.at({25, 0}), low, drawn.ground()).silence,
              Silence::behind_terrain);
    EXPECT_TRUE(hear(sketch.station("BBB"), Part::azimuth, sketch.at({25, 0}), low, drawn.ground()).heard());
}

TEST(CaseTerrainReception, WhatIsHiddenIsSaidWithWhatIsNeededAndWhatIsFlown) {
    Reception hidden;
    hidden.silence = Silence::behind_terrain;
    hidden.distance = Length::nautical_miles(38.04);
    hidden.obstacle = Length::nautical_miles(31);
    hidden.lowest = Altitude::feet(6200);
    hidden.altitude = Altitude::feet(5000);
    EXPECT_EQ(to_text(hidden),
              "behind the ground at 31.0 NM from it (38.0 NM away: 6,200 ft needed, 5,000 flown)");
    hidden.altitude = Altitude::feet(6199.9);
    EXPECT_EQ(to_text(hidden),
              "behind the ground at 31.0 NM from it (38.0 NM away: 6,201 ft needed, 6,200 flown)");
}

TEST(CaseTerrainReception, GroundThatIsNotKnownIsSaidAndNotTakenForSea) {
    Sketch sketch(home);
    sketch.vor("AAA", {0, 0});
    const DrawnGround drawn(home, 6, [](double, double longitude_deg) {
        return longitude_deg > -169.8 ? std::nullopt : std::optional(10.0);
    });
    EXPECT_FALSE(
        hear(sketch.station("AAA"), Part::azimuth, sketch.at({25, 0}), Altitude::feet(5000), drawn.ground())
            .ground_known);
    EXPECT_TRUE(
        hear(sketch.station("AAA"), Part::azimuth, sketch.at({-25, 0}), Altitude::feet(5000), drawn.ground())
            .ground_known);
    const auto east = heard_along(sketch.station("AAA"), Part::azimuth,
                                  line(sketch.at({5, 0}), sketch.at({30, 0}), 5000, 5000), drawn.ground());
    ASSERT_EQ(east.size(), 1U);
    EXPECT_FALSE(east[0].ground_known);
}

TEST(CaseTerrainReception, AnAntennaStandsOnTheHigherOfItsRecordAndItsGround) {
    Sketch sketch(home);
    sketch.vor("AAA", {1, 0}, {.dme = ServiceClass::low}).vor("BBB", {1, 0});
    const DrawnGround plain(home, 1, [](double, double) { return std::optional(300.0); });
    const DrawnGround nothing(home, 1, [](double, double) { return std::optional<double>(); });
    sketch.station("AAA").dme->elevation = Altitude::metres(320);
    EXPECT_NEAR(antenna_of(sketch.station("AAA"), Part::azimuth, &plain.terrain).altitude.metres(), 325, 0.1);
    sketch.station("AAA").dme->elevation = Altitude::metres(280);
    EXPECT_NEAR(antenna_of(sketch.station("AAA"), Part::azimuth, &plain.terrain).altitude.metres(), 305, 0.1);
    const AntennaSite from_raster = antenna_site(sketch.station("BBB"), Part::azimuth, &plain.terrain);
    EXPECT_EQ(from_raster.ground_from, SiteGround::terrain);
    EXPECT_NEAR(from_raster.ground.metres(), 300, 0.1);
    const AntennaSite on_void = antenna_site(sketch.station("BBB"), Part::azimuth, &nothing.terrain);
    EXPECT_EQ(on_void.ground_from, SiteGround::not_known);
    EXPECT_EQ(on_void.ground, Altitude());
}

RC_GTEST_PROP(LawTerrainReception, EachModeHearsNoMoreThanTheOneBeforeIt, ()) {
    static const DrawnGround drawn = hilly(0.3);
    Sketch sketch(home);
    sketch.vor("AAA", {0, 0},
               {.service = *rc::gen::element(ServiceClass::low, ServiceClass::vor_high),
                .dme = ServiceClass::dme_low});
    sketch.ndb("BBB", {0, 0});
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA");
    const std::string ident = *rc::gen::element<std::string>("AAA", "AAA", "AAA", "BBB", "IAAA");
    const Part part = *rc::gen::element(Part::azimuth, Part::azimuth, Part::distance, Part::glideslope);
    const earth::Position place =
        sketch.at({*rc::gen::inRange(-350, 350) / 10.0, *rc::gen::inRange(-350, 350) / 10.0});
    const Altitude altitude = Altitude::feet(*rc::gen::inRange(500, 14000));
    const auto in = [&](ReceptionMode mode) {
        return hear(sketch.station(ident), part, place, altitude, drawn.ground(mode)).heard();
    };
    RC_CLASSIFY(in(ReceptionMode::terrain), "heard over terrain");
    RC_CLASSIFY(in(ReceptionMode::horizon) && !in(ReceptionMode::terrain), "hidden by terrain");
    RC_ASSERT(!in(ReceptionMode::terrain) || in(ReceptionMode::horizon));
    RC_ASSERT(!in(ReceptionMode::horizon) || in(ReceptionMode::volume));
}

// hear() every 0.02 NM against the walk that leaps: over hills, where shadows come and go.
RC_GTEST_PROP(BruteTerrainReception, OverHillsEndsAreWhereAWalkByFiftiethsOfAMileFindsThem, ()) {
    static const DrawnGround drawn = hilly(1.1);
    Sketch sketch(home);
    sketch.vor("AAA", {0, 0});
    const auto side = [] { return static_cast<double>(*rc::gen::inRange(-35, 36)); };
    const earth::Position from = sketch.at({side(), side()});
    const earth::Position to = sketch.at({side(), side()});
    const double from_ft = *rc::gen::inRange(3000, 9000);
    const double to_ft = *rc::gen::inRange(0, 2) == 0 ? from_ft : *rc::gen::inRange(3000, 9000);
    const auto path = line(from, to, from_ft, to_ft);
    RC_PRE(path.back().along > Length::nautical_miles(5));
    const auto told = heard_along(sketch.station("AAA"), Part::azimuth, path, drawn.ground());
    const earth::Geodesic way = earth::geodesic(from, to);
    const int steps = static_cast<int>(way.distance.nautical_miles() / 0.02);
    int wrong = 0;  // steps in a row
    int longest_wrong = 0;
    int changes = 0;
    bool last = false;
    for (int step = 0; step <= steps; ++step) {
        const double share = static_cast<double>(step) / steps;
        const Length along = way.distance * share;
        const bool heard =
            hear(sketch.station("AAA"), Part::azimuth, earth::destination(from, way.initial, along),
                 Altitude::feet(from_ft + (to_ft - from_ft) * share), drawn.ground())
                .heard();
        const bool near_an_end = std::any_of(told.begin(), told.end(), [&](const HeardInterval& part) {
            return abs(part.from - along) < Length::nautical_miles(0.1) ||
                   abs(part.to - along) < Length::nautical_miles(0.1);
        });
        const bool inside = std::any_of(told.begin(), told.end(), [&](const HeardInterval& part) {
            return part.from <= along && along <= part.to;
        });
        wrong = heard != inside && !near_an_end ? wrong + 1 : 0;
        longest_wrong = std::max(longest_wrong, wrong);
        changes += step > 0 && heard != last ? 1 : 0;
        last = heard;
    }
    RC_CLASSIFY(changes > 1, "shadows come and go");
    // Gaps and strips of 0.1 NM may be leapt over, here and there a little wider ones: 0.2 NM are ten steps.
    RC_ASSERT(longest_wrong <= 10);
}

}  // namespace omniway::radio
