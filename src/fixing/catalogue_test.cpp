#include "fixing/catalogue.hpp"

#include <algorithm>
#include <cmath>
#include <string>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::fixing {

using base::Altitude;
using base::Angle;
using base::Length;
using base::TrueBearing;
using navdata::ServiceClass;
using testing::Aboard;
using testing::At;
using testing::equipment;
using testing::Sketch;
using testing::station_of;

namespace {

// A fix 20 NM east of the VOR that guides, reached eastbound.
FixQuestion eastbound_at(const Sketch& sketch, const navdata::Snapshot& world) {
    FixQuestion asked;
    asked.fix = sketch.place("FIXAA");
    asked.altitude = Altitude::feet(5000);
    asked.track = earth::geodesic(sketch.place("GDE"), asked.fix).arrival;
    asked.guided_by = station_of(world, "GDE");
    return asked;
}

Sketch with_guide(const testing::VorDrawn& guide = {}) {
    Sketch sketch;
    sketch.vor("GDE", {0, 0}, guide).fix("FIXAA", {20, 0});
    return sketch;
}

template <class WayType>
const CataloguedWay* find(const Catalogue& catalogue) {
    const auto found = std::find_if(
        catalogue.ways.begin(), catalogue.ways.end(),
        [](const CataloguedWay& way) { return std::holds_alternative<WayType>(way.telling.way); });
    return found == catalogue.ways.end() ? nullptr : &*found;
}

const Refusal* refusal_of(const Catalogue& catalogue, navdata::StationId station, Obstacle obstacle) {
    const auto found = std::find_if(
        catalogue.refused.begin(), catalogue.refused.end(),
        [&](const Refusal& refusal) { return refusal.station == station && refusal.obstacle == obstacle; });
    return found == catalogue.refused.end() ? nullptr : &*found;
}

navdata::StationId station_in(const Way& way) {
    return std::visit([](const auto& each) { return each.station; }, way);
}

}  // namespace

TEST(CaseCatalogue, EveryKindOfWayIsThereWithWhatItNeeds) {
    Sketch sketch = with_guide({.dme = ServiceClass::low});
    sketch.vor("CRS", {20, 20}).ndb("BCN", {20, -15}).dme("ADM", {45, 3});
    sketch.airport("XAAA", {20, 12}).runway("XAAA", 36, {20, 6}).ils("XAAA", "RW36", "IAAA");
    const auto world = sketch.world();
    const Catalogue all = catalogue(world, radio::Ground{}, eastbound_at(sketch, world));
    const auto* radial = find<CrossingRadial>(all);
    ASSERT_NE(radial, nullptr);
    EXPECT_EQ(radial->needs, (Needs{.receiver = true}));
    const auto* bearing = find<CrossingBearing>(all);
    ASSERT_NE(bearing, nullptr);
    EXPECT_EQ(bearing->needs, (Needs{.adf = true}));
    const auto* localizer = find<CrossingLocalizer>(all);
    ASSERT_NE(localizer, nullptr);
    EXPECT_EQ(localizer->needs, (Needs{.receiver = true, .localizer = true}));
    const auto* distance = find<DmeReading>(all);
    ASSERT_NE(distance, nullptr);
    EXPECT_TRUE(std::get<DmeReading>(distance->telling.way).at_guiding_station);
    EXPECT_EQ(distance->needs, (Needs{.dme = true}));
    EXPECT_TRUE(std::any_of(all.ways.begin(), all.ways.end(), [](const CataloguedWay& way) {
        return way.needs == Needs{.dme = true, .free_dme = true};
    }));
    for (const CataloguedWay& way : all.ways) {
        ASSERT_TRUE(way.area.has_value());
        EXPECT_GE(way.area->corners.size(), 3U);
        // 4.5 degrees of tracking at 20 NM (trade-facts 3.2) bound every area across the track.
        EXPECT_LT(way.area->across_half_size().nautical_miles(), 1.8);
    }
}

TEST(CaseCatalogue, ADistanceThatNoRecordHasIsNoWay) {
    Sketch sketch = with_guide();
    sketch.vor("CRS", {20, 20});
    const auto world = sketch.world();
    const Catalogue all = catalogue(world, radio::Ground{}, eastbound_at(sketch, world));
    EXPECT_EQ(find<DmeReading>(all), nullptr);
    EXPECT_EQ(all.ways.size(), 1U);
}

TEST(CaseCatalogue, OverAVorTheZoneGrowsWithTheHeight) {
    Sketch sketch;
    sketch.vor("GDE", {0, 0}).vor("END", {30, 0});
    const auto world = sketch.world();
    FixQuestion asked;
    asked.fix = sketch.place("END");
    asked.track = TrueBearing::degrees(90);
    asked.guided_by = station_of(world, "END");
    // trade-facts 2: 0.98 NM 5,000 ft above a VOR, 1.96 NM at 10,000 (the antenna is taken to stand 5 m up).
    for (const auto& [feet, radius_nm] : {std::pair{5000.0, 0.98}, std::pair{10000.0, 1.96}}) {
        asked.altitude = Altitude::feet(feet);
        asked.criteria = radio::Criteria::pans_ops;
        const Catalogue by_icao = catalogue(world, radio::Ground{}, asked);
        ASSERT_NE(find<Overhead>(by_icao), nullptr);
        EXPECT_NEAR(find<Overhead>(by_icao)->telling.along_error.nautical_miles(), radius_nm, 0.01);
        EXPECT_NEAR(find<Overhead>(by_icao)->area->beyond.nautical_miles(), radius_nm, 0.01);
        // TERPS holds station passage for exact (8260.3B para 285, from memory).
        asked.criteria = radio::Criteria::terps;
        EXPECT_NEAR(
            find<Overhead>(catalogue(world, radio::Ground{}, asked))->telling.along_error.nautical_miles(),
            0.2, 1e-9);
    }
}

TEST(CaseCatalogue, AlongALocalizerRadialAndDistanceTellAndNoMarkerIsInvented) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 36, {0, 0}).ils("XAAA", "RW36", "IAAA", {.dme = true});
    sketch.fix("FIXAA", {0, -6}).vor("CRS", {15, -6});
    const auto world = sketch.world();
    FixQuestion asked;
    asked.fix = sketch.place("FIXAA");
    asked.altitude = Altitude::feet(2000);
    asked.track = TrueBearing::degrees(0);
    asked.guided_by = station_of(world, "IAAA");
    asked.use = FixUse::terminal;
    const Catalogue all = catalogue(world, radio::Ground{}, asked);
    ASSERT_NE(find<DmeReading>(all), nullptr);
    EXPECT_TRUE(std::get<DmeReading>(find<DmeReading>(all)->telling.way).at_guiding_station);
    ASSERT_NE(find<CrossingRadial>(all), nullptr);
    // 1 degree of tracking (trade-facts 3.2), 6 to 8 NM from the antenna.
    EXPECT_LT(find<CrossingRadial>(all)->area->across_half_size().nautical_miles(), 0.15);
    EXPECT_NE(refusal_of(all, *asked.guided_by, Obstacle::no_marker_records), nullptr);
}

// By Pythagoras (trade-facts 5): 5 NM away and 35,000 ft up the slant is 7.63 NM, its tolerance 0.345 (3.2); 0.345 NM less of slant
// are 0.54 NM less over the ground.
TEST(TruthCatalogue, NearAndHighADmeErrsMoreOverTheGround) {
    Sketch sketch;
    sketch.vor("GDE", {0, 0}, {.service = ServiceClass::high, .dme = ServiceClass::high})
        .fix("FIXAA", {5, 0});
    const auto world = sketch.world();
    auto asked = eastbound_at(sketch, world);
    asked.altitude = Altitude::feet(35000);
    const Catalogue all = catalogue(world, radio::Ground{}, asked);
    const auto* distance = find<DmeReading>(all);
    ASSERT_NE(distance, nullptr);
    const double height_nm = 35000.0 / 6076.1155;
    const double slant_nm = std::hypot(5.0, height_nm);
    const double nearest_nm =
        std::sqrt(std::pow(slant_nm - 0.25 - 0.0125 * slant_nm, 2) - height_nm * height_nm);
    EXPECT_NEAR(5.0 - nearest_nm, 0.54, 0.005);
    EXPECT_NEAR(distance->telling.along_error.nautical_miles(), 5.0 - nearest_nm, 0.01);
}

TEST(CaseCatalogue, WhatIsRefusedNamesItsFigures) {
    Sketch sketch = with_guide();
    sketch.vor("FLT", {45, 8}).dme("ABM", {20, 30}).vor("FAR", {20, 45});
    const auto world = sketch.world();
    const Catalogue all = catalogue(world, radio::Ground{}, eastbound_at(sketch, world));
    EXPECT_TRUE(all.ways.empty());
    const auto* flat = refusal_of(all, station_of(world, "FLT"), Obstacle::crosses_too_shallow);
    ASSERT_NE(flat, nullptr);
    EXPECT_NEAR(flat->angle->degrees(), std::atan2(8, 25) * 180 / M_PI, 0.5);
    EXPECT_NEAR(flat->angle_limit->degrees(), 30.0, 1e-9);
    const auto* abeam = refusal_of(all, station_of(world, "ABM"), Obstacle::off_the_track);
    ASSERT_NE(abeam, nullptr);
    EXPECT_NEAR(abeam->angle->degrees(), 90.0, 0.5);
    EXPECT_NEAR(abeam->angle_limit->degrees(), 23.0, 1e-9);
    const auto* silent = refusal_of(all, station_of(world, "FAR"), Obstacle::not_heard);
    ASSERT_NE(silent, nullptr);
    EXPECT_EQ(silent->reception->silence, radio::Silence::beyond_service_volume);
}

TEST(CaseCatalogue, ADmeJustBesideTheFixIsReadAllAroundIt) {
    Sketch sketch;
    sketch.vor("GDE", {0, 0}).fix("FIXAA", {39, 0}).dme("ADM", {40, 0});
    const auto world = sketch.world();
    const auto asked = eastbound_at(sketch, world);
    const Catalogue all = catalogue(world, radio::Ground{}, asked);
    EXPECT_EQ(find<DmeReading>(all), nullptr);
    EXPECT_NE(refusal_of(all, station_of(world, "ADM"), Obstacle::ring_closes), nullptr);
    EXPECT_TRUE(
        tellings(world, radio::Ground{}, equipment({.receivers = 2, .dme = true}), asked).ways.empty());
}

// 8260.3B 287b, from memory (trade-facts 3.2): 45 degrees up to 45 NM from a VOR and 30 NM from an NDB, half a degree or one
// degree more for each NM beyond.
TEST(TruthCatalogue, FarStationsMustCrossMoreSteeplyInTheTerminalArea) {
    struct Row {
        bool beacon;
        double away_nm, least_deg;
    };
    for (const Row& row : {Row{false, 45, 45}, Row{false, 55, 50}, Row{false, 75, 60}, Row{true, 30, 45},
                           Row{true, 40, 55}, Row{true, 60, 75}}) {
        for (const double off_deg : {row.least_deg - 1.0, row.least_deg + 1.0}) {
            Sketch sketch = with_guide();
            const double off_rad = off_deg * M_PI / 180.0;
            const At place{20 - row.away_nm * std::cos(off_rad), row.away_nm * std::sin(off_rad)};
            row.beacon ? sketch.ndb("CRS", place, ServiceClass::ndb_high)
                       : sketch.vor("CRS", place, {.service = ServiceClass::high});
            const auto world = sketch.world();
            auto asked = eastbound_at(sketch, world);
            asked.published_aids.push_back(station_of(world, "CRS"));
            for (const FixUse use : {FixUse::terminal, FixUse::holding}) {
                asked.use = use;
                const Catalogue all = catalogue(world, radio::Ground{}, asked);
                EXPECT_EQ(all.ways.size(), off_deg > row.least_deg ? 1U : 0U)
                    << row.away_nm << " NM " << off_deg << " degrees";
            }
        }
    }
}

// Without terrain a radial's error on the track is the law of sines by either criteria (trade-facts 3.2), and the wider criteria
// enclose the wider area.
TEST(TruthCatalogue, PansOpsAllowsMoreErrorThanTerps) {
    Sketch sketch = with_guide();
    sketch.vor("CRS", {20, 30});
    const auto world = sketch.world();
    auto asked = eastbound_at(sketch, world);
    const Catalogue by_faa = catalogue(world, radio::Ground{}, asked);
    asked.criteria = radio::Criteria::pans_ops;
    const Catalogue by_icao = catalogue(world, radio::Ground{}, asked);
    ASSERT_EQ(by_faa.ways.size(), 1U);
    ASSERT_EQ(by_icao.ways.size(), 1U);
    EXPECT_NEAR(by_faa.ways[0].telling.along_error.nautical_miles(), 1.89, 0.01);
    EXPECT_NEAR(by_icao.ways[0].telling.along_error.nautical_miles(), 2.36, 0.01);
    EXPECT_LT(by_faa.ways[0].area->square_nm, by_icao.ways[0].area->square_nm);
}

namespace {

Sketch any_map() {
    const auto place = [] {
        return At{static_cast<double>(*rc::gen::inRange(-40, 41)),
                  static_cast<double>(*rc::gen::inRange(-40, 41))};
    };
    Sketch sketch = with_guide(*rc::gen::inRange(0, 2) == 0 ? testing::VorDrawn{}
                                                            : testing::VorDrawn{.dme = ServiceClass::low});
    for (int i = 0; i < *rc::gen::inRange(1, 8); ++i) {
        const std::string ident = "S" + std::to_string(i);
        switch (*rc::gen::inRange(0, 4)) {
            case 0:
                sketch.vor(ident, place());
                break;
            case 1:
                sketch.vor(ident, place(), {.dme = ServiceClass::low});
                break;
            case 2:
                sketch.ndb(ident, place());
                break;
            default:
                sketch.dme(ident, place());
                break;
        }
    }
    return sketch;
}

}  // namespace

// What a plan uses and what the catalogue shows are one: a plan's ways are the catalogue's that the panel does not lack, in its order.
RC_GTEST_PROP(LawCatalogue, APlanUsesTheWaysOfTheCatalogueThatThePanelDoesNotLack, ()) {
    const Sketch sketch = any_map();
    const auto world = sketch.world();
    auto asked = eastbound_at(sketch, world);
    asked.every_way = true;
    asked.use = *rc::gen::element(FixUse::en_route, FixUse::terminal, FixUse::holding);
    asked.criteria = *rc::gen::element(radio::Criteria::terps, radio::Criteria::pans_ops);
    const auto aboard = equipment({.receivers = static_cast<std::size_t>(*rc::gen::inRange(1, 3)),
                                   .dme = *rc::gen::inRange(0, 2) == 1,
                                   .adf = *rc::gen::inRange(0, 2) == 1});
    const auto used = tellings(world, radio::Ground{}, aboard, asked);
    std::size_t next = 0;
    for (const CataloguedWay& way : catalogue(world, radio::Ground{}, asked).ways) {
        if (lack(aboard, guided_by(world, asked), way.needs)) {
            continue;
        }
        RC_ASSERT(next < used.ways.size());
        RC_ASSERT(used.ways[next].way.index() == way.telling.way.index());
        RC_ASSERT(station_in(used.ways[next].way) == station_in(way.telling.way));
        RC_ASSERT(used.ways[next].along_error == way.telling.along_error);
        ++next;
    }
    RC_ASSERT(next == used.ways.size());
}

// The error that judges is where the lines cut the track itself: the area reaches at least as far.
RC_GTEST_PROP(LawCatalogue, TheAreaReachesAsFarAlongTheTrackAsTheErrorThatJudges, ()) {
    const Sketch sketch = any_map();
    const auto world = sketch.world();
    auto asked = eastbound_at(sketch, world);
    asked.criteria = radio::Criteria::pans_ops;
    for (const CataloguedWay& way : catalogue(world, radio::Ground{}, asked).ways) {
        RC_ASSERT(way.area.has_value());
        RC_ASSERT(way.area->along_half_size() > way.telling.along_error * 0.98);
    }
}

}  // namespace omniway::fixing
