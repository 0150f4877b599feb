#include "navdata/snapshot.hpp"

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"

namespace omniway::navdata {

using base::Length;
using earth::Position;
using testing::Sketch;

namespace {

// Positions all over the earth, a third of them near a pole or the antimeridian.
Position any_position() {
    const int where = *rc::gen::inRange(0, 6);
    const double latitude = *rc::gen::inRange(-90000, 90001) / 1000.0;
    const double longitude = *rc::gen::inRange(-180000, 180000) / 1000.0;
    if (where == 0) {
        return Position::degrees(90.0 - std::abs(latitude) / 60.0, longitude);
    }
    if (where == 1) {
        return Position::degrees(std::abs(latitude) / 60.0 - 90.0, longitude);
    }
    if (where == 2) {
        return Position::degrees(latitude, 180.0 + longitude / 120.0);
    }
    return Position::degrees(latitude, longitude);
}

template <class IdType, class Things, class Where>
std::vector<IdType> brute(const Things& things, Position centre, Length radius, Where where) {
    std::vector<std::pair<double, std::uint32_t>> near;
    for (std::uint32_t i = 0; i < things.size(); ++i) {
        const double metres = earth::distance(centre, where(things[i])).metres();
        if (metres <= radius.metres()) {
            near.emplace_back(metres, i);
        }
    }
    std::sort(near.begin(), near.end());
    std::vector<IdType> ids;
    for (const auto& [metres, index] : near) {
        ids.push_back(IdType{index});
    }
    return ids;
}

std::string one_of(const std::vector<std::string>& texts) {
    return *rc::gen::elementOf(texts);
}

Azimuth any_azimuth() {
    switch (*rc::gen::inRange(0, 5)) {
        case 0:
            return VorAzimuth{};
        case 1:
            return TacanAzimuth{};
        case 2:
            return NdbAzimuth{};
        case 3:
            return LocalizerAzimuth{};
        default:
            return std::monostate{};
    }
}

// Few idents, regions and airports among many records, so that much is of one name; some airports have no record.
Records much_of_one_name() {
    const std::vector<std::string> idents = {"AA", "BB", "XAAA", "RW09", ""};
    const std::vector<std::string> regions = {"R1", "R2", ""};
    const std::vector<std::string> airports = {"XAAA", "XBBB", "XCCC", ""};
    Records data;
    const auto number = static_cast<std::size_t>(*rc::gen::inRange(0, 60));
    data.stations.resize(number);
    for (Station& station : data.stations) {
        station.ident = one_of(idents);
        station.region = one_of(regions);
        station.airport = one_of(airports);
        station.azimuth = any_azimuth();
        if (std::holds_alternative<std::monostate>(station.azimuth) || *rc::gen::arbitrary<bool>()) {
            station.dme = DistancePart{};
        }
    }
    data.fixes.resize(number);
    for (Fix& fix : data.fixes) {
        fix.ident = one_of(idents);
        fix.region = one_of(regions);
        fix.airport = one_of(airports);
    }
    data.airports.resize(number / 4);
    for (Airport& airport : data.airports) {
        airport.ident = one_of({"XAAA", "XBBB", "AA"});
        airport.region = one_of(regions);
    }
    data.runways.resize(number);
    for (Runway& runway : data.runways) {
        runway.airport = one_of(airports);
        runway.ident = one_of({"RW09", "RW27"});
        if (*rc::gen::arbitrary<bool>()) {
            runway.threshold = Position();
        }
    }
    data.procedures.resize(number);
    for (Procedure& procedure : data.procedures) {
        procedure.airport = one_of(airports);
        procedure.kind = ProcedureKind(*rc::gen::inRange(0, 3));
    }
    return data;
}

PointKind kind_by_parts(const Station& station) {
    if (localizer(station) != nullptr) {
        return PointKind::localizer;
    }
    if (ndb(station) == nullptr) {
        return PointKind::vhf_station;
    }
    return station.airport.empty() ? PointKind::ndb : PointKind::terminal_ndb;
}

// Every name that a record stands under, one entry each: of two records of one name the earlier has it.
std::map<PointName, Point> every_name(const Records& data) {
    std::map<PointName, Point> names;
    for (std::uint32_t i = 0; i < data.stations.size(); ++i) {
        const Station& station = data.stations[i];
        const PointKind kind = kind_by_parts(station);
        names.emplace(PointName{kind, station.ident, station.region, station.airport}, StationId{i});
        names.emplace(PointName{kind, station.ident, station.region, ""}, StationId{i});
        if (kind == PointKind::localizer && station.dme) {
            names.emplace(PointName{PointKind::vhf_station, station.ident, station.region, ""}, StationId{i});
        }
    }
    for (std::uint32_t i = 0; i < data.fixes.size(); ++i) {
        const Fix& fix = data.fixes[i];
        const PointKind kind = fix.airport.empty() ? PointKind::fix : PointKind::terminal_fix;
        names.emplace(PointName{kind, fix.ident, fix.region, fix.airport}, FixId{i});
    }
    std::map<std::string, std::string> region_of;
    for (std::uint32_t i = 0; i < data.airports.size(); ++i) {
        const Airport& airport = data.airports[i];
        names.emplace(PointName{PointKind::airport, airport.ident, airport.region, ""}, AirportId{i});
        names.emplace(PointName{PointKind::airport, airport.ident, airport.region, airport.ident},
                      AirportId{i});
        region_of.emplace(airport.ident, airport.region);
    }
    for (std::uint32_t i = 0; i < data.runways.size(); ++i) {
        const Runway& runway = data.runways[i];
        if (runway.threshold) {
            names.emplace(
                PointName{PointKind::runway, runway.ident, region_of[runway.airport], runway.airport},
                RunwayId{i});
        }
    }
    return names;
}

}  // namespace

RC_GTEST_PROP(BruteSnapshot, FindsByNameWhatAListOfEveryNameHas, ()) {
    const Records data = much_of_one_name();
    const Snapshot world = Snapshot::build(data).value;
    const std::map<PointName, Point> names = every_name(data);
    for (int kind = 0; kind <= static_cast<int>(PointKind::runway); ++kind) {
        for (const char* ident : {"AA", "BB", "XAAA", "XBBB", "RW09", "RW27", "", "CC"}) {
            for (const char* region : {"R1", "R2", "", "R3"}) {
                for (const char* airport : {"XAAA", "XBBB", "XCCC", "AA", "", "XDDD"}) {
                    const PointName name{PointKind(kind), ident, region, airport};
                    const auto found = names.find(name);
                    RC_ASSERT(world.resolve(name) ==
                              (found == names.end() ? std::nullopt : std::optional(found->second)));
                }
            }
        }
    }
}

RC_GTEST_PROP(BruteSnapshot, ListsOfAnIdentAndOfAnAirportWhatLookingAtEveryRecordFinds, ()) {
    const Records data = much_of_one_name();
    const Snapshot world = Snapshot::build(data).value;
    for (const char* text : {"AA", "BB", "XAAA", "XBBB", "XCCC", "RW09", "", "XDDD"}) {
        std::vector<Point> points;
        std::vector<RunwayId> runways;
        std::vector<const Procedure*> arrivals;
        const auto add = [&]<class IdType>(IdType, const auto& things) {
            for (std::uint32_t i = 0; i < things.size(); ++i) {
                if (things[i].ident == text) {
                    points.push_back(IdType{i});
                }
            }
        };
        add(FixId(), data.fixes);
        add(StationId(), data.stations);
        add(AirportId(), data.airports);
        for (std::uint32_t i = 0; i < data.runways.size(); ++i) {
            if (data.runways[i].ident == text && data.runways[i].threshold) {
                points.push_back(RunwayId{i});
            }
            if (data.runways[i].airport == text) {
                runways.push_back(RunwayId{i});
            }
        }
        for (const Procedure& procedure : world.procedures()) {
            if (procedure.airport == text && procedure.kind == ProcedureKind::arrival) {
                arrivals.push_back(&procedure);
            }
        }
        RC_ASSERT(world.named(text) == points);
        RC_ASSERT(world.runways_of(text) == runways);
        RC_ASSERT(world.procedures_of(text, ProcedureKind::arrival) == arrivals);
    }
}

RC_GTEST_PROP(BruteSnapshot, FindsByPlaceWhatLookingAtEveryRecordFinds, ()) {
    Sketch sketch;
    for (int i = 0; i < 40; ++i) {
        sketch.ndb("N" + std::to_string(i), {0, 0});
        std::get<NdbAzimuth>(sketch.records().stations.back().azimuth).position = any_position();
        sketch.fix("F" + std::to_string(i), {0, 0});
        sketch.records().fixes.back().position = any_position();
    }
    const auto world = sketch.world();
    const Position centre = any_position();
    const Length radius = Length::nautical_miles(*rc::gen::inRange(1, 11000));
    RC_ASSERT(world.stations_within(centre, radius) ==
              brute<StationId>(sketch.records().stations, centre, radius,
                               [](const Station& station) { return site(station); }));
    RC_ASSERT(
        world.fixes_within(centre, radius) ==
        brute<FixId>(sketch.records().fixes, centre, radius, [](const Fix& fix) { return fix.position; }));
}

TEST(CaseSnapshot, FindsStationsAcrossTheAntimeridianAndAcrossAPole) {
    for (const Position origin : {Position::degrees(40, 179.99), Position::degrees(89.9, 0)}) {
        Sketch sketch(origin);
        sketch.vor("WST", {-30, 0}).vor("EST", {31, 0}).vor("FAR", {90, 0});
        const auto world = sketch.world();
        const auto found = world.stations_within(origin, Length::nautical_miles(50));
        ASSERT_EQ(found.size(), 2U);
        EXPECT_EQ(world[found[0]].ident, "WST");
        EXPECT_EQ(world[found[1]].ident, "EST");
    }
}

// A grid minimum's cell is a degree by a degree, named by its south-west corner: ARINC 424 grid MORA (trade-facts 13.12).
TEST(TruthGrid, ACellReachesFromItsSouthWestCornerToTheNextOnes) {
    Sketch sketch;
    const auto cell = [&](int south, int west, double feet) {
        GridMinimum minimum;
        minimum.south_deg = static_cast<std::int16_t>(south);
        minimum.west_deg = static_cast<std::int16_t>(west);
        minimum.altitude = base::Altitude::feet(feet);
        sketch.records().grid_minimums.push_back(minimum);
    };
    cell(40, -74, 3000);
    cell(-1, -1, 4000);
    cell(0, 0, 5000);
    cell(-34, -180, 6000);
    cell(-34, 179, 7000);
    cell(-90, 10, 8000);
    const auto world = sketch.world();
    const auto feet_at = [&](double latitude, double longitude) {
        const auto minimum = world.grid_minimum(Position::degrees(latitude, longitude));
        return minimum ? minimum->feet() : -1.0;
    };
    EXPECT_NEAR(feet_at(40.0, -74.0), 3000, 1e-6);
    EXPECT_NEAR(feet_at(40.999, -73.001), 3000, 1e-6);
    EXPECT_EQ(feet_at(41.0, -73.5), -1.0);
    EXPECT_EQ(feet_at(40.5, -73.0), -1.0);
    EXPECT_EQ(feet_at(40.5, -74.001), -1.0);
    EXPECT_NEAR(feet_at(-0.001, -0.001), 4000, 1e-6);
    EXPECT_NEAR(feet_at(0.0, 0.0), 5000, 1e-6);
    EXPECT_NEAR(feet_at(-33.5, -179.5), 6000, 1e-6);
    EXPECT_NEAR(feet_at(-33.5, 180.5), 6000, 1e-6);
    EXPECT_NEAR(feet_at(-33.5, 179.5), 7000, 1e-6);
    EXPECT_NEAR(feet_at(-90.0, 10.5), 8000, 1e-6);
}

TEST(CaseGrid, ACellThatSaysUnknownGivesNoMinimum) {
    Sketch sketch;
    sketch.records().grid_minimums.push_back({40, -74, std::nullopt, {}});
    EXPECT_FALSE(sketch.world().grid_minimum(Position::degrees(40.5, -73.5)));
}

TEST(CaseSnapshot, AVorAndABeaconOfOneIdentAreToldApartByKind) {
    Sketch sketch;
    sketch.vor("ABC", {0, 0}).ndb("ABC", {50, 0}).fix("ABC", {0, 50});
    const auto world = sketch.world();
    const auto vhf = world.resolve({PointKind::vhf_station, "ABC", "XX", ""});
    const auto beacon = world.resolve({PointKind::ndb, "ABC", "XX", ""});
    const auto fix = world.resolve({PointKind::fix, "ABC", "XX", ""});
    ASSERT_TRUE(vhf && beacon && fix);
    EXPECT_NE(vor(world[std::get<StationId>(*vhf)]), nullptr);
    EXPECT_NE(ndb(world[std::get<StationId>(*beacon)]), nullptr);
    EXPECT_TRUE(std::holds_alternative<FixId>(*fix));
    EXPECT_EQ(world.named("ABC").size(), 3U);
    EXPECT_FALSE(world.resolve({PointKind::vhf_station, "ABC", "YY", ""}));
}

TEST(CaseSnapshot, AStationBackInServiceIsThereAgainAndNoIdOfAnotherMoves) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {20, 0}).vor("CCC", {40, 0});
    sketch.airway("V1", {"AAA", "BBB", "CCC"});
    sketch.station("AAA").out_of_service = true;
    sketch.station("BBB").out_of_service = true;
    const auto world = sketch.world();
    ASSERT_EQ(world.out_of_service().size(), 2U);
    EXPECT_TRUE(world.airways().empty());
    const auto back = world.back_in_service("BBB");
    EXPECT_EQ(back[omniway::testing::station_of(world, "CCC")].ident, "CCC");
    EXPECT_EQ(back.named("BBB").size(), 1U);
    EXPECT_TRUE(back.is_out_of_service("AAA"));
    ASSERT_EQ(back.airways().size(), 1U);
    EXPECT_EQ(back.airways()[0].segments.size(), 1U);  // BBB to CCC
}

TEST(CaseSnapshot, AnUnrestrictedAirwayIsFlownBothWaysAndTheOthersAreAsTheyWere) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).vor("BBB", {20, 0});
    sketch.airway("V1", {"AAA", "BBB"},
                  {.direction = navdata::AirwayDirection::forward_only, .maximum_ft = 9000.0});
    sketch.airway("V2", {"AAA", "BBB"}, {.direction = navdata::AirwayDirection::forward_only});
    const auto world = sketch.world().unrestricted("V1");
    const auto first = omniway::testing::airways_of(world, "V1").at(0)->segments.at(0);
    EXPECT_EQ(first.direction, navdata::AirwayDirection::both);
    EXPECT_FALSE(first.maximum);
    EXPECT_EQ(omniway::testing::airways_of(world, "V2").at(0)->segments.at(0).direction,
              navdata::AirwayDirection::forward_only);
}

TEST(CaseSnapshot, AStationOutOfServiceIsNowhere) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).fix("BBBBB", {20, 0}).vor("CCC", {40, 0});
    sketch.airway("V1", {"AAA", "BBBBB", "CCC"});
    EXPECT_FALSE(sketch.world().is_out_of_service("AAA"));
    sketch.station("AAA").out_of_service = true;
    EXPECT_TRUE(sketch.world().is_out_of_service("AAA"));
    EXPECT_FALSE(sketch.world().is_out_of_service("ZZZ"));
    const auto world = sketch.world();
    ASSERT_EQ(world.stations().size(), 1U);
    EXPECT_EQ(world.stations()[0].ident, "CCC");
    EXPECT_TRUE(world.named("AAA").empty());
    EXPECT_FALSE(world.resolve({PointKind::vhf_station, "AAA", "XX", ""}));
    EXPECT_EQ(world.stations_within(sketch.place("AAA"), Length::nautical_miles(100)).size(), 1U);
    const auto idents = world.idents();
    EXPECT_EQ(std::count(idents.begin(), idents.end(), "AAA"), 0);
    for (const Airway& airway : world.airways()) {
        for (const AirwaySegment& segment : airway.segments) {
            EXPECT_NE(world.ident(segment.from), "AAA");
        }
    }
}

TEST(CaseSnapshot, ALocalizerIsFoundByItsAirportAndIdent) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA");
    sketch.airport("XBBB", {100, 0}).runway("XBBB", 9, {100, 0}).ils("XBBB", "RW27", "IAAA");
    const auto world = sketch.world();
    const auto first = world.localizer_of("XAAA", "IAAA");
    const auto second = world.localizer_of("XBBB", "IAAA");
    ASSERT_TRUE(first && second);
    EXPECT_EQ(localizer(world[*first])->runway, "RW09");
    EXPECT_EQ(localizer(world[*second])->runway, "RW27");
    EXPECT_FALSE(world.localizer_of("XAAA", "IBBB"));
}

}  // namespace omniway::navdata
