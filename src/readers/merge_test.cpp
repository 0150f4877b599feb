#include "readers/merge.hpp"

#include <algorithm>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "readers/runway_ends.hpp"

namespace omniway::readers {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using earth::Position;
using navdata::Records;
using ::testing::HasSubstr;

namespace {

const Position home = Position::degrees(40.5, -168.5);

Position away(double nautical_miles) {
    return earth::destination(home, TrueBearing::degrees(90), Length::nautical_miles(nautical_miles));
}

Records of_source(const std::string& file, const std::string& format, double year) {
    navdata::Source source;
    source.file = file;
    source.format = format;
    source.reference_year = year;
    Records records;
    records.sources.push_back(source);
    return records;
}

Records faa(double year = 2026.0, const std::string& file = "faa.txt") {
    return of_source(file, "ARINC 424-18", year);
}

Records ourairports() {
    return of_source("table.csv", "OurAirports CSV", 2026.9);
}

navdata::Station vor_dme(Position place, double megahertz = 113.2, double declination_deg = 9.0) {
    navdata::Station station;
    station.ident = "XAB";
    station.region = "XX";
    station.frequency = base::Frequency::megahertz(megahertz);
    station.azimuth =
        navdata::VorAzimuth{place, base::Declination::east(base::Angle::degrees(declination_deg)),
                            navdata::DeclinationFrom::record, navdata::ServiceClass::high};
    station.dme = navdata::DistancePart{place, {}, {}, navdata::ServiceClass::high};
    station.origins.push_back({{0}, 7});
    return station;
}

navdata::Station lone_dme(Position place, double megahertz = 113.2) {
    navdata::Station station = vor_dme(place, megahertz);
    station.azimuth = std::monostate();
    return station;
}

navdata::Station beacon(Position place, double kilohertz) {
    navdata::Station station;
    station.ident = "XAB";
    station.frequency = base::Frequency::kilohertz(kilohertz);
    station.azimuth = navdata::NdbAzimuth{place, {}, navdata::ServiceClass::ndb};
    station.origins.push_back({{0}, 8});
    return station;
}

navdata::Station localizer_station(Position place, double megahertz = 109.1) {
    navdata::Station station;
    station.ident = "IXAB";
    station.airport = "XAAA";
    station.region = "XX";
    station.frequency = base::Frequency::megahertz(megahertz);
    navdata::LocalizerAzimuth azimuth;
    azimuth.position = place;
    azimuth.runway = "RW09";
    station.azimuth = azimuth;
    station.origins.push_back({{0}, 9});
    return station;
}

navdata::Airport airport(Position place) {
    navdata::Airport made;
    made.ident = "XAAA";
    made.position = place;
    made.origins.push_back({{0}, 1});
    return made;
}

navdata::Runway runway(const std::string& ident, double length_ft = 8000) {
    navdata::Runway made;
    made.airport = "XAAA";
    made.ident = ident;
    made.length = Length::feet(length_ft);
    made.origin = {{0}, 20};
    return made;
}

Merged merged(Records a, Records b) {
    std::vector<Records> readings;
    readings.push_back(std::move(a));
    readings.push_back(std::move(b));
    return merge(std::move(readings));
}

Merged merged_stations(navdata::Station arinc, navdata::Station other) {
    Records a = faa();
    a.stations.push_back(std::move(arinc));
    Records b = ourairports();
    b.stations.push_back(std::move(other));
    return merged(std::move(b), std::move(a));  // the order given does not matter
}

navdata::Procedure procedure(const std::string& ident, std::uint32_t line) {
    navdata::Procedure made;
    made.airport = "XAAA";
    made.ident = ident;
    navdata::Branch branch;
    navdata::Leg leg;
    leg.origin = {{0}, line};
    branch.legs.push_back(leg);
    made.branches.push_back(branch);
    return made;
}

}  // namespace

TEST(CaseMerge, TheSameAidOfTwoSourcesStandsOnceAsTheArincRecordHasIt) {
    const Merged result = merged_stations(vor_dme(home, 113.2, 9.0), vor_dme(away(2.9), 113.21, 12.0));
    ASSERT_EQ(result.records.stations.size(), 1U);
    const navdata::Station& station = result.records.stations[0];
    EXPECT_DOUBLE_EQ(vor(station)->declination.east().degrees(), 9.0);
    EXPECT_EQ(vor(station)->position, home);
    ASSERT_EQ(station.origins.size(), 2U);
    EXPECT_EQ(result.records.sources[station.origins[0].source.index].file, "faa.txt");
    EXPECT_EQ(result.records.sources[station.origins[1].source.index].file, "table.csv");
    ASSERT_EQ(result.choices.size(), 1U);
    EXPECT_EQ(to_text(result.choices[0]),
              "VOR/DME XAB: faa.txt:7 is used, table.csv:7 is not: the ARINC record stands as a whole");
}

TEST(CaseMerge, AnAidFarAwayOnAnotherChannelOrOfAnotherKindStays) {
    EXPECT_EQ(merged_stations(vor_dme(home), vor_dme(away(3.1))).records.stations.size(), 2U);
    EXPECT_EQ(merged_stations(vor_dme(home), vor_dme(home, 113.25)).records.stations.size(), 2U);
    EXPECT_EQ(merged_stations(vor_dme(home), beacon(home, 365)).records.stations.size(), 2U);
    EXPECT_EQ(merged_stations(beacon(home, 365), beacon(away(1), 366)).records.stations.size(), 2U);
    EXPECT_EQ(merged_stations(beacon(home, 365), beacon(away(1), 365)).records.stations.size(), 1U);
}

TEST(CaseMerge, TheDmeSiteCountsAsThePlaceOfAnAidToo) {
    navdata::Station two_sites = vor_dme(home);
    two_sites.dme->position = away(2.0);
    EXPECT_EQ(merged_stations(two_sites, vor_dme(away(4.5))).records.stations.size(), 1U);
}

// The FAA's part has FRM and IKK as lone DMEs where OurAirports still has a VOR/DME: the VOR has been taken down.
TEST(CaseMerge, ALoneDmeIsNotMadeAVorAgainByAWeakerSource) {
    const Merged result = merged_stations(lone_dme(home), vor_dme(home));
    ASSERT_EQ(result.records.stations.size(), 1U);
    EXPECT_EQ(kind_text(result.records.stations[0]), "DME");
    EXPECT_THAT(result.choices.at(0).why, HasSubstr("the other has a VOR/DME"));
}

TEST(CaseMerge, OfTwoCyclesTheNewerWinsEvenWhereItHasMovedOrRetunedTheAid) {
    Records old = faa(2020.0, "old.txt");
    old.stations.push_back(vor_dme(home, 113.2));
    Records fresh = faa(2021.0, "new.txt");
    fresh.stations.push_back(vor_dme(away(10), 114.8));
    const Merged result = merged(std::move(old), std::move(fresh));
    ASSERT_EQ(result.records.stations.size(), 1U);
    EXPECT_DOUBLE_EQ(result.records.stations[0].frequency.megahertz(), 114.8);
    EXPECT_EQ(result.choices.at(0).chosen, "new.txt:7");
    EXPECT_EQ(result.choices.at(0).dropped, "old.txt:7");
}

TEST(CaseMerge, ALocalizerAndTheDmeThatOnlyAnotherFileHasBecomeOne) {
    navdata::Station dme = lone_dme(home, 109.1);
    dme.ident = "IXAB";
    dme.airport = "XAAA";
    for (const bool localizer_is_newer : {true, false}) {
        Records first = faa(localizer_is_newer ? 2022.0 : 2020.0, "loc.txt");
        first.stations.push_back(localizer_station(home));
        Records second = faa(2021.0, "dme.txt");
        second.stations.push_back(dme);
        const Merged result = merged(std::move(first), std::move(second));
        ASSERT_EQ(result.records.stations.size(), 1U);
        EXPECT_EQ(kind_text(result.records.stations[0]), "LOC/DME");
        EXPECT_EQ(result.records.stations[0].origins.size(), 2U);
        EXPECT_EQ(result.choices.size(), 1U);
    }
}

TEST(CaseMerge, AnAirportKeepsItsArincRecordAndTakesWhatThatLeavesEmpty) {
    Records a = faa();
    a.airports.push_back(airport(home));
    a.airports[0].variation = base::Variation::east(base::Angle::degrees(9));
    Records b = ourairports();
    b.airports.push_back(airport(away(1)));
    b.airports[0].name = "Invented Field";
    b.airports[0].elevation = Altitude::feet(120);
    const Merged result = merged(std::move(a), std::move(b));
    ASSERT_EQ(result.records.airports.size(), 1U);
    EXPECT_EQ(result.records.airports[0].position, home);
    EXPECT_EQ(result.records.airports[0].name, "Invented Field");
    EXPECT_EQ(result.records.airports[0].elevation, Altitude::feet(120));
    EXPECT_EQ(result.records.airports[0].origins.size(), 2U);
    EXPECT_THAT(result.choices.at(0).why, HasSubstr("filled from the other: elevation, name"));
}

TEST(CaseMerge, AnotherAirportOfTheSameIdentFarAwayIsLeftOutWithItsRunwaysAndFrequencies) {
    Records a = faa();
    a.airports.push_back(airport(home));
    a.runways.push_back(runway("RW09"));
    Records b = ourairports();
    b.airports.push_back(airport(away(500)));
    b.runways.push_back(runway("RW18"));
    b.communications.push_back({"XAAA", "TWR", "Tower", base::Frequency::megahertz(118.1), {{0}, 3}});
    const Merged result = merged(std::move(a), std::move(b));
    EXPECT_EQ(result.records.airports.size(), 1U);
    ASSERT_EQ(result.records.runways.size(), 1U);
    EXPECT_EQ(result.records.runways[0].ident, "RW09");
    EXPECT_TRUE(result.records.communications.empty());
    EXPECT_THAT(result.choices.at(0).why, HasSubstr("500 NM apart"));
}

TEST(CaseMerge, RunwayEndsThatOnlyTheWeakerSourceHasAreAddedAndFarEndsFound) {
    Records a = faa();
    a.airports.push_back(airport(home));
    a.runways.push_back(runway("RW04L"));
    a.runways[0].threshold = home;
    Records b = ourairports();
    b.runways.push_back(runway("RW04L", 7990));
    b.runways.push_back(runway("RW22R", 7990));
    b.runways[1].threshold = earth::destination(home, TrueBearing::degrees(50), Length::feet(8000));
    const Merged result = merged(std::move(a), std::move(b));
    ASSERT_EQ(result.records.runways.size(), 2U);
    EXPECT_NEAR(result.records.runways[0].length.feet(), 8000.0, 1e-9);
    EXPECT_EQ(result.records.runways[0].far_end, result.records.runways[1].threshold);
    EXPECT_EQ(result.records.runways[1].ident, "RW22R");
    EXPECT_EQ(result.records.runways[1].far_end, home);
}

TEST(CaseMerge, ATrueBearingIsTakenOnlyWhereItFitsThePublishedMagneticOne) {
    const auto filled = [](double true_deg) {
        Records a = faa();
        a.airports.push_back(airport(home));
        a.airports[0].variation = base::Variation::east(base::Angle::degrees(9));
        a.runways.push_back(runway("RW04"));
        a.runways[0].bearing = base::MagneticBearing::degrees(41);
        Records b = ourairports();
        b.runways.push_back(runway("RW04"));
        b.runways[0].true_bearing = TrueBearing::degrees(true_deg);
        return merged(std::move(a), std::move(b)).records.runways.at(0).true_bearing.has_value();
    };
    EXPECT_TRUE(filled(50.0));
    EXPECT_TRUE(filled(54.9));
    EXPECT_FALSE(filled(41.0));
    EXPECT_FALSE(filled(230.0));
}

TEST(CaseMerge, ARunwayUnderItsNumberOfFormerYearsIsNotAddedAgain) {
    Records a = faa();
    a.runways.push_back(runway("RW19"));
    a.runways[0].threshold = home;
    a.runways.push_back(runway("RW36"));
    Records b = ourairports();
    b.runways.push_back(runway("RW18", 7600));
    b.runways[0].threshold = away(0.05);
    b.runways.push_back(runway("RW01", 8020));
    const Merged result = merged(std::move(a), std::move(b));
    ASSERT_EQ(result.records.runways.size(), 2U);
    ASSERT_EQ(result.choices.size(), 2U);
    EXPECT_THAT(result.choices[0].why, HasSubstr("under the number RW18"));
    EXPECT_THAT(result.choices[1].why, HasSubstr("under the number RW01"));
}

TEST(CaseMerge, ParallelRunwaysOneNumberApartStayTwo) {
    Records a = faa();
    a.runways.push_back(runway("RW17"));
    Records b = ourairports();
    b.runways.push_back(runway("RW17"));
    b.runways.push_back(runway("RW18"));
    EXPECT_EQ(merged(std::move(a), std::move(b)).records.runways.size(), 2U);
}

TEST(CaseMerge, AirwaysAreTakenWholeFromTheNewerCycle) {
    const auto row = [](std::uint32_t sequence) {
        navdata::AirwayRow made;
        made.area = "PAC";
        made.designator = "V9";
        made.sequence = sequence;
        return made;
    };
    Records old = faa(2020.0, "old.txt");
    old.airway_rows = {row(100), row(110), row(120)};
    old.airway_rows.push_back(row(100));
    old.airway_rows.back().area = "CAN";
    Records fresh = faa(2021.0, "new.txt");
    fresh.airway_rows = {row(100), row(130)};
    const Merged result = merged(std::move(old), std::move(fresh));
    ASSERT_EQ(result.records.airway_rows.size(), 3U);
    EXPECT_EQ(result.records.airway_rows[0].area, "CAN");
    EXPECT_EQ(result.records.airway_rows[2].sequence, 130U);
    EXPECT_EQ(result.choices.size(), 1U);
}

TEST(CaseMerge, AProcedureThatOnlyTheOlderCycleHasIsKeptAndToldAsPerhapsWithdrawn) {
    Records old = faa(2020.0, "old.txt");
    old.procedures = {procedure("V04", 3), procedure("N22", 5)};
    Records fresh = faa(2021.0, "new.txt");
    fresh.procedures = {procedure("V04", 4)};
    const Merged result = merged(std::move(old), std::move(fresh));
    ASSERT_EQ(result.records.procedures.size(), 2U);
    ASSERT_EQ(result.choices.size(), 2U);
    EXPECT_EQ(result.choices[0].chosen, "new.txt:4");
    EXPECT_EQ(result.choices[1].chosen, "old.txt:5");
    EXPECT_EQ(result.choices[1].dropped, "");
    EXPECT_THAT(to_text(result.choices[1]), HasSubstr("withdrawn"));
}

TEST(LawMerge, OneReadingStaysAsItIs) {
    Records a = faa();
    a.stations = {vor_dme(home), vor_dme(away(1))};
    std::vector<Records> one;
    one.push_back(a);
    const Merged result = merge(std::move(one));
    EXPECT_EQ(result.records.stations, a.stations);
    EXPECT_TRUE(result.choices.empty());
    EXPECT_TRUE(merge({}).records.sources.empty());
}

// Trade-facts 13.3: idents; the opposite of a runway is 18 tens of degrees away, its left is the other's right.
TEST(TruthRunwayEnds, KnowsTheNameOfTheOtherEnd) {
    EXPECT_EQ(reciprocal_ident("RW04L"), "RW22R");
    EXPECT_EQ(reciprocal_ident("RW22R"), "RW04L");
    EXPECT_EQ(reciprocal_ident("RW18"), "RW36");
    EXPECT_EQ(reciprocal_ident("RW36"), "RW18");
    EXPECT_EQ(reciprocal_ident("RW09C"), "RW27C");
    EXPECT_EQ(reciprocal_ident("RW01W"), "RW19W");
    EXPECT_EQ(reciprocal_ident("ALL"), "");
    EXPECT_EQ(reciprocal_ident("RWN"), "");
}

TEST(CaseRunwayEnds, AThresholdTooFarAwayIsNoFarEnd) {
    std::vector<navdata::Runway> runways = {runway("RW09"), runway("RW27")};
    runways[0].threshold = home;
    runways[1].threshold = away(5);
    fill_far_ends(runways);
    EXPECT_FALSE(runways[0].far_end);
}

}  // namespace omniway::readers
