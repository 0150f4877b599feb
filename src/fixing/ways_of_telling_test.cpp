#include <algorithm>
#include <cmath>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "fixing/telling.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::fixing {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using navdata::ServiceClass;
using testing::Aboard;
using testing::At;
using testing::contains;
using testing::equipment;
using testing::Sketch;
using testing::station_of;

namespace {

// A fix 20 NM east of the guiding VOR, reached eastbound on its radial.
struct Drawn {
    Sketch sketch;
    Drawn() {
        sketch.vor("GDE", {0, 0});
        sketch.fix("FIXAA", {20, 0});
    }
    FixQuestion question(const navdata::Snapshot& world) const {
        FixQuestion asked;
        asked.fix = sketch.place("FIXAA");
        asked.altitude = Altitude::feet(5000);
        asked.track = earth::geodesic(sketch.place("GDE"), asked.fix).arrival;
        asked.guided_by = station_of(world, "GDE");
        asked.every_way = true;
        return asked;
    }
    // A station seen from the fix: `off_deg` off the track behind, so that its line crosses the track at that angle.
    At off_track(double off_deg, double away_nm) const {
        const double radians = off_deg * 3.14159265358979 / 180.0;
        return {20.0 - away_nm * std::cos(radians), away_nm * std::sin(radians)};
    }
};

template <class WayType>
std::size_t count(const Tellings& found) {
    return static_cast<std::size_t>(
        std::count_if(found.ways.begin(), found.ways.end(),
                      [](const Telling& telling) { return std::holds_alternative<WayType>(telling.way); }));
}

// A way without its figures: what is aboard may not change which stations tell.
std::pair<std::size_t, navdata::StationId> kind_and_station(const Telling& telling) {
    return {telling.way.index(), std::visit([](const auto& way) { return way.station; }, telling.way)};
}

constexpr Aboard one_receiver{.receivers = 1};
constexpr Aboard two_receivers{.receivers = 2};
constexpr Aboard with_dme{.receivers = 1, .dme = true};
constexpr Aboard with_adf{.receivers = 1, .adf = true};
constexpr Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

}  // namespace

TEST(CaseTelling, ACrossingRadialNeedsASecondReceiver) {
    Drawn drawn;
    drawn.sketch.vor("CRS", {20, 20});
    const auto world = drawn.sketch.world();
    const auto asked = drawn.question(world);
    EXPECT_EQ(tellings(world, radio::Ground{}, equipment(one_receiver), asked).ways.size(), 0U);
    EXPECT_EQ(tellings(world, radio::Ground{}, equipment(with_dme), asked).ways.size(), 0U);
    const auto found = tellings(world, radio::Ground{}, equipment(two_receivers), asked);
    ASSERT_EQ(found.ways.size(), 1U);
    const auto& way = std::get<CrossingRadial>(found.ways[0].way);
    EXPECT_EQ(way.station, station_of(world, "CRS"));
    EXPECT_NEAR(way.radial.degrees(), 180.0, 0.3);
    EXPECT_NEAR(found.ways[0].crossing.degrees(), 90.0, 0.3);
}

TEST(CaseTelling, AStationsRadialIsCountedFromItsOwnZero) {
    Drawn drawn;
    drawn.sketch.vor("CRS", {20, 20}, {.declination_deg = 12.0});
    const auto world = drawn.sketch.world();
    const auto found = tellings(world, radio::Ground{}, equipment(two_receivers), drawn.question(world));
    ASSERT_EQ(found.ways.size(), 1U);
    EXPECT_NEAR(std::get<CrossingRadial>(found.ways[0].way).radial.degrees(), 168.0, 0.3);
}

TEST(CaseTelling, ACrossingBearingNeedsAnAdf) {
    Drawn drawn;
    drawn.sketch.ndb("CRS", {20, 20});
    const auto world = drawn.sketch.world();
    const auto asked = drawn.question(world);
    EXPECT_EQ(tellings(world, radio::Ground{}, equipment(two_receivers), asked).ways.size(), 0U);
    EXPECT_EQ(count<CrossingBearing>(tellings(world, radio::Ground{}, equipment(with_adf), asked)), 1U);
}

TEST(CaseTelling, ADistanceNeedsADmeAboardAndInTheRecord) {
    Drawn drawn;
    EXPECT_EQ(tellings(drawn.sketch.world(), radio::Ground{}, equipment(everything),
                       drawn.question(drawn.sketch.world()))
                  .ways.size(),
              0U);
    navdata::DistancePart part;
    part.position = drawn.sketch.place("GDE");
    part.service = ServiceClass::low;
    drawn.sketch.station("GDE").dme = part;
    const auto world = drawn.sketch.world();
    const auto asked = drawn.question(world);
    EXPECT_EQ(tellings(world, radio::Ground{}, equipment(two_receivers), asked).ways.size(), 0U);
    const auto found = tellings(world, radio::Ground{}, equipment(with_dme), asked);
    ASSERT_EQ(found.ways.size(), 1U);
    const auto& reading = std::get<DmeReading>(found.ways[0].way);
    EXPECT_TRUE(reading.at_guiding_station);
    // Flat triangle: 20 NM over the ground, 5,000 ft up (trade-facts 5); the earth's curve adds 0.0024 NM.
    EXPECT_NEAR(reading.slant_range.nautical_miles(), std::hypot(20.0, 5000.0 / 6076.1155), 0.003);
}

TEST(CaseTelling, AnIlsDmeReadsLessByItsBias) {
    Drawn drawn;
    drawn.sketch.station("GDE").dme = navdata::DistancePart{drawn.sketch.place("GDE"), std::nullopt,
                                                            Length::nautical_miles(1.5), ServiceClass::low};
    const auto world = drawn.sketch.world();
    const auto found = tellings(world, radio::Ground{}, equipment(with_dme), drawn.question(world));
    ASSERT_EQ(found.ways.size(), 1U);
    EXPECT_NEAR(std::get<DmeReading>(found.ways[0].way).slant_range.nautical_miles(),
                std::hypot(20.0, 5000.0 / 6076.1155) - 1.5, 0.003);
}

// Annex 10 Vol I 3.1.2.7 (from memory): of two ends with one frequency only the one in use is on the air.
TEST(CaseTelling, TheDmeOfALocalizerThatSharesItsFrequencyWithTheOtherEndIsTakenOnlyWhereItIsNamed) {
    for (const bool other_end : {false, true}) {
        Drawn drawn;
        drawn.sketch.airport("XAAA", {35, 0}).runway("XAAA", 9, {35, 0});
        drawn.sketch.ils("XAAA", "RW27", "IWWW", {.dme = true});
        if (other_end) {
            drawn.sketch.ils("XAAA", "RW09", "IEEE", {.dme = true});
        }
        const auto world = drawn.sketch.world();
        auto asked = drawn.question(world);
        const auto found = tellings(world, radio::Ground{}, equipment(everything), asked);
        EXPECT_EQ(count<DmeReading>(found), other_end ? 0U : 1U);
        EXPECT_EQ(
            std::count_if(found.refused.begin(), found.refused.end(),
                          [](const Refusal& each) { return each.obstacle == Obstacle::other_end_in_use; }),
            other_end ? 2 : 0);
        asked.published_aids = {station_of(world, "IWWW")};
        EXPECT_EQ(count<DmeReading>(tellings(world, radio::Ground{}, equipment(everything), asked)), 1U);
    }
}

TEST(CaseTelling, ADmeThatFollowsTheOnlyReceiverIsNotPutOnAnotherStation) {
    Drawn drawn;
    drawn.sketch.dme("ADM", {40, 0});
    const auto world = drawn.sketch.world();
    const auto asked = drawn.question(world);
    auto aboard = equipment(with_dme);
    EXPECT_EQ(tellings(world, radio::Ground{}, aboard, asked).ways.size(), 1U);
    aboard.dme = cockpit::DmeControl::follows_receiver;
    EXPECT_EQ(tellings(world, radio::Ground{}, aboard, asked).ways.size(), 0U);
    aboard.receivers.push_back({});
    EXPECT_EQ(tellings(world, radio::Ground{}, aboard, asked).ways.size(), 1U);
}

TEST(CaseTelling, OverAnAidTheAidItselfTells) {
    Sketch sketch;
    sketch.vor("GDE", {0, 0}).vor("END", {30, 0}).ndb("BCN", {0, 30});
    const auto world = sketch.world();
    FixQuestion asked;
    asked.fix = sketch.place("END");
    asked.altitude = Altitude::feet(5000);
    asked.track = TrueBearing::degrees(90);
    asked.guided_by = station_of(world, "END");
    EXPECT_EQ(count<Overhead>(tellings(world, radio::Ground{}, equipment(one_receiver), asked)), 1U);
    asked.guided_by = station_of(world, "GDE");
    EXPECT_EQ(count<Overhead>(tellings(world, radio::Ground{}, equipment(one_receiver), asked)), 0U);
    EXPECT_EQ(count<Overhead>(tellings(world, radio::Ground{}, equipment(two_receivers), asked)), 1U);
    asked.fix = sketch.place("BCN");
    asked.track = TrueBearing::degrees(0);
    EXPECT_EQ(count<Overhead>(tellings(world, radio::Ground{}, equipment(two_receivers), asked)), 0U);
    EXPECT_EQ(count<Overhead>(tellings(world, radio::Ground{}, equipment(with_adf), asked)), 1U);
}

TEST(CaseTelling, ALocalizerCrossesOnlyOnItsOwnCourseAndWithAReceiverForIt) {
    Sketch sketch;
    sketch.airport("XAAA", {20, 0}).runway("XAAA", 36, {20, 10}).ils("XAAA", "RW36", "IAAA");
    sketch.vor("GDE", {0, 0}).fix("FIXAA", {20, 0}).fix("FIXBB", {18, 0});
    const auto world = sketch.world();
    FixQuestion asked;
    asked.fix = sketch.place("FIXAA");
    asked.altitude = Altitude::feet(3000);
    asked.track = TrueBearing::degrees(90);
    asked.guided_by = station_of(world, "GDE");
    EXPECT_EQ(count<CrossingLocalizer>(tellings(world, radio::Ground{}, equipment(two_receivers), asked)),
              1U);
    EXPECT_EQ(count<CrossingLocalizer>(tellings(world, radio::Ground{}, equipment(one_receiver), asked)), 0U);
    auto without = equipment(two_receivers);
    without.receivers[0].localizer = without.receivers[1].localizer = false;
    EXPECT_EQ(count<CrossingLocalizer>(tellings(world, radio::Ground{}, without, asked)), 0U);
    asked.fix = sketch.place("FIXBB");
    EXPECT_EQ(count<CrossingLocalizer>(tellings(world, radio::Ground{}, equipment(two_receivers), asked)),
              0U);
}

// trade-facts 21: at least 30 degrees en route between VHF lines, 45 if one is a beacon's, 45 in the terminal area and
// holding ([memory], 8260.3B 287b).
TEST(TruthTelling, LinesCrossAtThirtyDegreesEnRouteAndFortyFiveElsewhere) {
    for (const double off_deg : {29.5, 30.5, 44.5, 45.5, 134.5, 135.5, 149.5, 150.5}) {
        Drawn drawn;
        drawn.sketch.vor("CRS", drawn.off_track(off_deg, 15)).ndb("BCN", drawn.off_track(off_deg, 16));
        const auto world = drawn.sketch.world();
        auto asked = drawn.question(world);
        const double crossing_deg = std::min(off_deg, 180.0 - off_deg);
        const auto en_route =
            tellings(world, radio::Ground{}, equipment({.receivers = 2, .adf = true}), asked);
        EXPECT_EQ(count<CrossingRadial>(en_route), crossing_deg > 30 ? 1U : 0U) << off_deg;
        EXPECT_EQ(count<CrossingBearing>(en_route), crossing_deg > 45 ? 1U : 0U) << off_deg;
        for (const FixUse use : {FixUse::terminal, FixUse::holding}) {
            asked.use = use;
            const auto near =
                tellings(world, radio::Ground{}, equipment({.receivers = 2, .adf = true}), asked);
            EXPECT_EQ(count<CrossingRadial>(near), crossing_deg > 45 ? 1U : 0U) << off_deg;
            EXPECT_EQ(count<CrossingBearing>(near), crossing_deg > 45 ? 1U : 0U) << off_deg;
        }
    }
}

// trade-facts 21: a DME not at the guiding aid tells at most 23 degrees off the track at the fix [seen].
TEST(TruthTelling, AnotherStationsDmeStandsWithinTwentyThreeDegreesOfTheTrack) {
    for (const double off_deg : {0.0, 22.5, 23.5, 90.0, 156.5, 157.5, 180.0}) {
        Drawn drawn;
        drawn.sketch.dme("ADM", drawn.off_track(off_deg, 15));
        const auto world = drawn.sketch.world();
        const auto found = tellings(world, radio::Ground{}, equipment(with_dme), drawn.question(world));
        EXPECT_EQ(count<DmeReading>(found), std::min(off_deg, 180 - off_deg) < 23 ? 1U : 0U) << off_deg;
    }
}

TEST(CaseTelling, AStationBeyondItsServiceVolumeTellsOnlyWhereItIsPublished) {
    Drawn drawn;
    drawn.sketch.vor("CRS", {20, 45});
    const auto world = drawn.sketch.world();
    auto asked = drawn.question(world);
    EXPECT_EQ(tellings(world, radio::Ground{}, equipment(two_receivers), asked).ways.size(), 0U);
    asked.published_aids.push_back(station_of(world, "CRS"));
    EXPECT_EQ(count<CrossingRadial>(tellings(world, radio::Ground{}, equipment(two_receivers), asked)), 1U);
}

TEST(CaseTelling, AFixAllowedLessErrorThanTheLineHasIsNotTold) {
    Drawn drawn;
    drawn.sketch.vor("CRS", {20, 30});
    const auto world = drawn.sketch.world();
    auto asked = drawn.question(world);
    asked.allowed_error = Length::nautical_miles(1.95);  // 1.89 NM at 30 NM and 90 degrees (trade-facts 3.2)
    EXPECT_EQ(tellings(world, radio::Ground{}, equipment(two_receivers), asked).ways.size(), 1U);
    asked.allowed_error = Length::nautical_miles(1.85);
    EXPECT_EQ(tellings(world, radio::Ground{}, equipment(two_receivers), asked).ways.size(), 0U);
}

namespace {

Aboard any_aboard() {
    return {.receivers = static_cast<std::size_t>(*rc::gen::inRange(0, 3)),
            .dme = *rc::gen::inRange(0, 2) == 1,
            .adf = *rc::gen::inRange(0, 2) == 1,
            .glideslope = *rc::gen::inRange(0, 2) == 1};
}

Aboard more_than(const Aboard& less) {
    const Aboard other = any_aboard();
    return {.receivers = std::max(less.receivers, other.receivers),
            .dme = less.dme || other.dme,
            .adf = less.adf || other.adf,
            .glideslope = less.glideslope || other.glideslope};
}

At any_place() {
    return {static_cast<double>(*rc::gen::inRange(-40, 41)), static_cast<double>(*rc::gen::inRange(-40, 41))};
}

Sketch any_map() {
    Sketch sketch;
    const int stations = *rc::gen::inRange(1, 8);
    for (int i = 0; i < stations; ++i) {
        const std::string ident = "S" + std::to_string(i);
        switch (*rc::gen::inRange(0, 4)) {
            case 0:
                sketch.vor(ident, any_place());
                break;
            case 1:
                sketch.vor(ident, any_place(), {.dme = ServiceClass::low});
                break;
            case 2:
                sketch.ndb(ident, any_place());
                break;
            default:
                sketch.dme(ident, any_place());
                break;
        }
    }
    return sketch;
}

FixQuestion any_question(const Sketch& sketch, const navdata::Snapshot& world) {
    FixQuestion asked;
    asked.fix =
        *rc::gen::inRange(0, 4) == 0 ? navdata::site(world.stations().front()) : sketch.at(any_place());
    asked.altitude = Altitude::feet(*rc::gen::inRange(1, 18) * 1000.0);
    asked.track = TrueBearing::degrees(*rc::gen::inRange(0, 360));
    if (*rc::gen::inRange(0, 3) != 0) {
        const navdata::StationId id{
            static_cast<std::uint32_t>(*rc::gen::inRange<std::size_t>(0, world.stations().size()))};
        // Only a station with an azimuth can guide.
        if (navdata::vor(world[id]) != nullptr || navdata::ndb(world[id]) != nullptr) {
            asked.guided_by = id;
        }
    }
    asked.use = *rc::gen::element(FixUse::en_route, FixUse::terminal, FixUse::holding);
    asked.every_way = true;
    return asked;
}

}  // namespace

RC_GTEST_PROP(LawTelling, MoreEquipmentNeverTakesAWayAway, ()) {
    const Sketch sketch = any_map();
    const auto world = sketch.world();
    auto asked = any_question(sketch, world);
    const Aboard less = any_aboard();
    const Aboard more = more_than(less);
    RC_ASSERT(contains(more, less));
    const auto few = tellings(world, radio::Ground{}, equipment(less), asked);
    const auto many = tellings(world, radio::Ground{}, equipment(more), asked);
    for (const Telling& telling : few.ways) {
        RC_ASSERT(std::any_of(many.ways.begin(), many.ways.end(), [&](const Telling& other) {
            return kind_and_station(other) == kind_and_station(telling) &&
                   other.along_error == telling.along_error;
        }));
    }
    asked.every_way = false;
    RC_ASSERT(tellings(world, radio::Ground{}, equipment(less), asked).ways.empty() ||
              !tellings(world, radio::Ground{}, equipment(more), asked).ways.empty());
}

RC_GTEST_PROP(LawTelling, NoWayIsTakenThatTheRecordOrThePanelDoesNotHave, ()) {
    const Sketch sketch = any_map();
    const auto world = sketch.world();
    const auto asked = any_question(sketch, world);
    const Aboard aboard = any_aboard();
    for (const Telling& telling : tellings(world, radio::Ground{}, equipment(aboard), asked).ways) {
        const auto& station = world[kind_and_station(telling).second];
        if (std::holds_alternative<DmeReading>(telling.way)) {
            RC_ASSERT(aboard.dme && station.dme.has_value());
        } else if (std::holds_alternative<CrossingRadial>(telling.way)) {
            RC_ASSERT(aboard.receivers > 0 && navdata::vor(station) != nullptr);
        } else if (std::holds_alternative<CrossingBearing>(telling.way)) {
            RC_ASSERT(aboard.adf && navdata::ndb(station) != nullptr);
        }
    }
}

}  // namespace omniway::fixing
