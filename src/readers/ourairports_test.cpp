#include "readers/ourairports.hpp"

#include <algorithm>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "readers/arinc424.hpp"
#include "tests/real_data.hpp"

namespace omniway::readers {

using ::testing::HasSubstr;

namespace {

constexpr double source_year = 2026.9;

base::Variation model(earth::Position, earth::DecimalYear when) {
    EXPECT_DOUBLE_EQ(when.value, source_year);
    return base::Variation::east(base::Angle::degrees(12.5));
}

navdata::Source source_of(const std::string& file) {
    navdata::Source source;
    source.file = file;
    source.reference_year = source_year;
    return source;
}

OurAirportsReading read(const std::string& text, const VariationAt& variation_at = model) {
    auto reading = read_ourairports(text, source_of("table.csv"), variation_at, {});
    EXPECT_TRUE(reading) << base::to_text(reading.error());
    EXPECT_EQ(reading->counts.used + reading->counts.not_used_in_all(), reading->counts.rows);
    return reading ? std::move(*reading) : OurAirportsReading();
}

const std::string navaids_head =
    "ident,name,type,frequency_khz,latitude_deg,longitude_deg,elevation_ft,dme_frequency_khz,dme_channel,"
    "dme_latitude_deg,dme_longitude_deg,dme_elevation_ft,slaved_variation_deg,magnetic_variation_deg,"
    "usageType,power,"
    "associated_airport\n";
const std::string runways_head =
    "airport_ident,length_ft,closed,le_ident,le_latitude_deg,le_longitude_deg,le_elevation_ft,le_heading_"
    "degT,"
    "le_displaced_threshold_ft,he_ident,he_latitude_deg,he_longitude_deg,he_elevation_ft,he_heading_degT,"
    "he_displaced_threshold_ft\n";

std::string contents(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    EXPECT_TRUE(stream) << file;
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

}  // namespace

// Trade-facts 10.3: start points 17X and 70X, ends 59X to 126Y, ghosts from 134.40 and 133.30.
TEST(TruthDmeChannel, IsPairedWithItsVhfFrequency) {
    const std::map<std::string, double> pairs = {{"17X", 108.00},  {"017X", 108.00}, {"17Y", 108.05},
                                                 {"59X", 112.20},  {"59Y", 112.25},  {"70X", 112.30},
                                                 {"126X", 117.90}, {"126Y", 117.95}, {"1X", 134.40},
                                                 {"60X", 133.30},  {"100X", 115.30}};
    for (const auto& [channel, megahertz] : pairs) {
        ASSERT_TRUE(paired_frequency(channel)) << channel;
        EXPECT_DOUBLE_EQ(paired_frequency(channel)->megahertz(), megahertz) << channel;
    }
    for (const char* none : {"", "X", "0X", "127X", "17Z", "17", "1A7X", "00017X"}) {
        EXPECT_FALSE(paired_frequency(none)) << none;
    }
}

TEST(TruthDmeChannelRealData, AgreesWithTheFrequencyOfEachTacanOfTheTable) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::ifstream table(folder / "ourairports/navaids.csv");
    std::string line;
    std::size_t agree = 0;
    std::vector<std::string> differ;
    while (std::getline(table, line)) {
        // Names with commas are quoted and so shift the columns: such rows are passed over.
        std::vector<std::string> fields;
        std::stringstream row(line);
        for (std::string field; std::getline(row, field, ',');) {
            fields.push_back(field);
        }
        if (fields.size() < 20 || line.find('"') != std::string::npos || fields[4] != "TACAN") {
            continue;
        }
        const auto paired = paired_frequency(fields[11]);
        if (paired &&
            abs(*paired - base::Frequency::kilohertz(std::stod(fields[5]))) < base::Frequency::kilohertz(1)) {
            ++agree;
        } else {
            differ.push_back(fields[2] + ' ' + fields[11] + ' ' + fields[5]);
        }
    }
    for (const std::string& one : differ) {
        std::printf("channel and frequency differ: %s\n", one.c_str());
    }
    EXPECT_GT(agree, 300U);
    EXPECT_LE(differ.size(), agree / 50);
}

TEST(CaseOurAirports, EachTypeOfNavaidBecomesWhatItsRowSays) {
    const OurAirportsReading reading =
        read(navaids_head +
             "XAA,A,VOR,113200,40,-168,100,,,,,,9.0,8.7,BOTH,HIGH,XAAA\n"
             "XAB,B,VOR-DME,113300,40,-168,100,113300,080X,40.01,-168.01,110,9.0,8.7,LO,MEDIUM,XAAA\n"
             "XAC,C,VORTAC,113400,40,-168,100,113400,081X,,,,9.0,8.7,TERMINAL,LOW,XAAA\n"
             "XAD,D,TACAN,113500,40,-168,100,113500,082X,,,,9.0,8.7,BOTH,HIGH,\n"
             "XAE,E,DME,113600,40,-168,100,113600,083X,,,,,8.7,BOTH,UNKNOWN,\n"
             "XF,F,NDB,365,40,-168,,,,,,,,8.7,BOTH,MEDIUM,\n");
    ASSERT_EQ(reading.value.stations.size(), 6U);
    const std::vector<std::string> kinds = {"VOR", "VOR/DME", "VOR/DME", "TACAN", "DME", "NDB"};
    for (std::size_t i = 0; i < kinds.size(); ++i) {
        EXPECT_EQ(kind_text(reading.value.stations[i]), kinds[i]);
    }
    const navdata::Station& both = reading.value.stations[1];
    EXPECT_DOUBLE_EQ(both.frequency.megahertz(), 113.3);
    EXPECT_DOUBLE_EQ(vor(both)->declination.east().degrees(), 9.0);
    EXPECT_EQ(vor(both)->declination_from, navdata::DeclinationFrom::record);
    EXPECT_EQ(vor(both)->service, navdata::ServiceClass::low);
    EXPECT_EQ(both.dme->position, earth::Position::degrees(40.01, -168.01));
    EXPECT_NEAR(both.dme->elevation->feet(), 110.0, 1e-9);
    EXPECT_EQ(both.airport, "");
    const navdata::Station& terminal = reading.value.stations[2];
    EXPECT_EQ(terminal.airport, "XAAA");
    EXPECT_EQ(terminal.dme->position, earth::Position::degrees(40, -168));
    EXPECT_NEAR(terminal.dme->elevation->feet(), 100.0, 1e-9);
    EXPECT_EQ(terminal.dme->service, navdata::ServiceClass::terminal);
    EXPECT_EQ(reading.value.stations[4].dme->service, navdata::ServiceClass::unknown);
    const navdata::Station& beacon = reading.value.stations[5];
    EXPECT_DOUBLE_EQ(beacon.frequency.kilohertz(), 365.0);
    EXPECT_EQ(ndb(beacon)->service, navdata::ServiceClass::ndb);
    EXPECT_DOUBLE_EQ(ndb(beacon)->variation.east().degrees(), 12.5);
}

TEST(CaseOurAirports, AVorWithoutADeclinationOfItsOwnTakesTheModelAtTheSourcesDateAndIsMarkedSo) {
    const std::string row = "XAA,A,VOR,113200,40,-168,100,,,,,,,8.7,BOTH,HIGH,XAAA\n";
    const OurAirportsReading reading = read(navaids_head + row);
    const navdata::VorAzimuth& azimuth = *vor(reading.value.stations.at(0));
    EXPECT_EQ(azimuth.declination_from, navdata::DeclinationFrom::model_at_source_date);
    EXPECT_DOUBLE_EQ(azimuth.declination.east().degrees(), 12.5);
    // Without a model the row's own magnetic variation stands in; without either the station is of no use.
    const OurAirportsReading without_model = read(navaids_head + row, {});
    EXPECT_DOUBLE_EQ(vor(without_model.value.stations.at(0))->declination.east().degrees(), 8.7);
    const OurAirportsReading without_any =
        read(navaids_head + "XAA,A,VOR,113200,40,-168,100,,,,,,,,BOTH,HIGH,XAAA\n", {});
    EXPECT_TRUE(without_any.value.stations.empty());
    EXPECT_EQ(without_any.diagnostics.at(0).code, "read.value_missing");
}

TEST(CaseOurAirports, ABeaconAndItsDmeAreTwoStationsToTune) {
    const OurAirportsReading reading =
        read(navaids_head + "XF,F,NDB-DME,365,40,-168,100,113600,083X,,,,,8.7,BOTH,MEDIUM,\n");
    ASSERT_EQ(reading.value.stations.size(), 2U);
    EXPECT_EQ(kind_text(reading.value.stations[0]), "DME");
    EXPECT_DOUBLE_EQ(reading.value.stations[0].frequency.megahertz(), 113.6);
    EXPECT_EQ(kind_text(reading.value.stations[1]), "NDB");
    EXPECT_DOUBLE_EQ(reading.value.stations[1].frequency.kilohertz(), 365.0);
    EXPECT_EQ(reading.counts.used, 1U);
}

// A published row has 113.90 MHz, DME frequency "115179" and channel 086X, which is 113.90: the channel is right.
TEST(CaseOurAirports, AChannelOutranksADmeFrequencyThatIsOnNoGrid) {
    const OurAirportsReading reading =
        read(navaids_head + "XLT,L,VORTAC,113900,40,-168,100,115179,086X,,,,9.0,8.7,BOTH,HIGH,\n");
    ASSERT_EQ(reading.value.stations.size(), 1U);
    EXPECT_TRUE(reading.value.stations[0].dme);
}

TEST(CaseOurAirports, AVorWhoseDmeAnswersOnAnotherChannelIsTwoStations) {
    const OurAirportsReading reading =
        read(navaids_head + "XMH,M,VOR-DME,115200,40,-168,100,108400,021X,,,,9.0,8.7,BOTH,HIGH,\n");
    ASSERT_EQ(reading.value.stations.size(), 2U);
    EXPECT_DOUBLE_EQ(reading.value.stations[0].frequency.megahertz(), 108.4);
    EXPECT_EQ(kind_text(reading.value.stations[1]), "VOR");
}

TEST(CaseOurAirports, ColumnsAreFoundByNameInAnyOrder) {
    const OurAirportsReading reading = read(
        "power,usageType,longitude_deg,latitude_deg,frequency_khz,type,ident,strange\n"
        "HIGH,BOTH,-168,40,113200,VOR,XAA,\"a, b\"\n");
    ASSERT_EQ(reading.value.stations.size(), 1U);
    EXPECT_EQ(reading.value.stations[0].ident, "XAA");
}

TEST(CaseOurAirports, ARunwayRowGivesBothEndsWithTheirNamesAsPublished) {
    const OurAirportsReading reading =
        read(runways_head +
             "XAAA,8000,0,4L,,,100,50.5,,22R,,,120,230.5,\nXAAA,3000,0,H1,,,,,,,,,,,\n"
             "XAAA,3000,1,13,,,,,,31,,,,,\nXBBB,3000,0,09,,,,,,,,,,,\n");
    ASSERT_EQ(reading.value.runways.size(), 3U);
    EXPECT_EQ(reading.value.runways[0].ident, "RW04L");
    EXPECT_EQ(reading.value.runways[1].ident, "RW22R");
    EXPECT_DOUBLE_EQ(reading.value.runways[0].true_bearing->degrees(), 50.5);
    EXPECT_FALSE(reading.value.runways[0].bearing);
    EXPECT_FALSE(reading.value.runways[0].threshold);
    EXPECT_NEAR(reading.value.runways[1].elevation->feet(), 120.0, 1e-9);
    EXPECT_EQ(reading.value.runways[2].ident, "RW09");
    EXPECT_EQ(reading.counts.used, 2U);
    EXPECT_EQ(reading.counts.not_used.at("read.not_a_runway"), 1U);
    EXPECT_EQ(reading.counts.not_used.at("read.closed_runway"), 1U);
}

TEST(CaseOurAirports, TheLandingThresholdLiesItsDisplacementInsideThePavement) {
    const earth::Position low = earth::Position::degrees(40.0, -168.0);
    const base::TrueBearing along = base::TrueBearing::degrees(50.0);
    const earth::Position high = earth::destination(low, along, base::Length::feet(8000));
    const OurAirportsReading reading =
        read(runways_head + fmt::format("XAAA,8000,0,04,{:.9f},{:.9f},100,50,500,22,{:.9f},{:.9f},100,230,\n",
                                        low.latitude_deg(), low.longitude_deg(), high.latitude_deg(),
                                        high.longitude_deg()));
    ASSERT_EQ(reading.value.runways.size(), 2U);
    const earth::Position threshold = *reading.value.runways[0].threshold;
    EXPECT_NEAR(earth::distance(low, threshold).feet(), 500.0, 0.1);
    EXPECT_NEAR(earth::bearing(low, threshold).degrees(), 50.0, 0.01);
    EXPECT_NEAR(earth::distance(high, *reading.value.runways[1].threshold).feet(), 0.0, 0.01);
    EXPECT_EQ(reading.value.runways[1].far_end, reading.value.runways[0].threshold);
}

TEST(CaseOurAirports, HeadingsThatAreNotOppositeAndEndsThatDenyTheLengthAreLeftOut) {
    const OurAirportsReading headings = read(runways_head + "XAAA,8000,0,08,,,,90,,26,,,,27,\n");
    EXPECT_FALSE(headings.value.runways.at(0).true_bearing);
    EXPECT_FALSE(headings.value.runways.at(1).true_bearing);
    EXPECT_EQ(headings.diagnostics.at(0).code, "remark.headings_left_out");
    const OurAirportsReading ends =
        read(runways_head + "XAAA,8000,0,08,40.0,-168.0,,80,,26,40.0,-167.5,,260,\n");
    EXPECT_FALSE(ends.value.runways.at(0).threshold);
    EXPECT_FALSE(ends.value.runways.at(1).far_end);
    EXPECT_TRUE(ends.value.runways.at(0).true_bearing);
    EXPECT_EQ(ends.diagnostics.at(0).code, "remark.runway_ends_left_out");
}

TEST(CaseOurAirports, AbsurdRunwaysAndFrequenciesAreRefusedWithTheAllowedRange) {
    const OurAirportsReading runways =
        read(runways_head +
             "XAAA,0,0,08,,,,,,26,,,,,\nXAAA,8000,0,09,,,,362,,27,,,,,\nXAAA,,0,10,,,,,,28,,,,,\n"
             "XAAA,1000,0,11,,,,,600,29,,,,,500\n");
    EXPECT_TRUE(runways.value.runways.empty());
    EXPECT_THAT(runways.diagnostics.at(0).message, HasSubstr("0 ft; allowed 1 to 30000"));
    EXPECT_THAT(runways.diagnostics.at(1).message, HasSubstr("362 degrees true; allowed 0 to 360"));
    EXPECT_EQ(runways.diagnostics.at(2).code, "read.value_missing");
    EXPECT_THAT(runways.diagnostics.at(3).message, HasSubstr("leave nothing of 1000 ft"));
    const OurAirportsReading frequencies = read(
        "airport_ident,type,description,frequency_mhz\nXAAA,TWR,Tower,118.1\nXAAA,TWR,Tower,1132.1\nXAAA,TWR,"
        "Tower,41.2\n"
        "XAAA,A/G,Radio,5.598\n");
    EXPECT_EQ(frequencies.value.communications.size(), 2U);
    EXPECT_EQ(frequencies.counts.not_used.at("read.out_of_range"), 2U);
    EXPECT_EQ(frequencies.diagnostics.at(1).where, "table.csv:4:16");
}

TEST(CaseOurAirports, ANameThatIsNotUtf8IsTakenForLatinLetters) {
    const OurAirportsReading reading = read(
        "ident,type,name,latitude_deg,longitude_deg,gps_code\nXAAA,small_airport,M\xE9xico,40,-168,\n"
        "XBBB,small_airport,M\xC3\xA9xico,40,-168,\n");
    EXPECT_EQ(reading.value.airports.at(0).name, "M\xC3\xA9xico");
    EXPECT_EQ(reading.value.airports.at(1).name, "M\xC3\xA9xico");
}

// Of the aids that the FAA's part and the table both have, the power column tells the published class of nine in ten, and of
// none a larger one.
TEST(TruthServiceClassRealData, ThePowerColumnTellsThePublishedClassOfNineInTenAidsAndNeverALargerOne) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const Reading faa = read_arinc424(contents(folder / "cifp/faa_cifp_2101_part.txt"), {}, {});
    const auto table =
        read_ourairports(contents(folder / "ourairports/navaids.csv"), source_of("navaids.csv"), model, {});
    ASSERT_TRUE(table);
    std::multimap<std::string, const navdata::Station*> by_ident;
    for (const navdata::Station& station : table->value.stations) {
        by_ident.emplace(station.ident, &station);
    }
    const auto service = [](const navdata::Station& station) {
        return vor(station) != nullptr ? vor(station)->service : station.dme->service;
    };
    std::size_t agree = 0;
    std::size_t all = 0;
    for (const navdata::Station& station : faa.value.stations) {
        if (ndb(station) != nullptr || localizer(station) != nullptr || !station.airport.empty()) {
            continue;
        }
        const auto [first, last] = by_ident.equal_range(station.ident);
        for (auto it = first; it != last; ++it) {
            const navdata::Station& other = *it->second;
            if (ndb(other) == nullptr &&
                abs(other.frequency - station.frequency) < base::Frequency::kilohertz(1) &&
                earth::distance(site(station), site(other)) < base::Length::nautical_miles(3)) {
                ++all;
                agree += service(station) == service(other) ? 1 : 0;
                // terminal, low and high stand in this order.
                EXPECT_TRUE(service(station) == navdata::ServiceClass::unknown ||
                            service(other) <= service(station))
                    << station.ident;
                break;
            }
        }
    }
    std::printf("service class by power: %zu of %zu agree\n", agree, all);
    EXPECT_GT(all, 70U);
    EXPECT_GE(agree * 10, all * 9);
}

}  // namespace omniway::readers
