#include "readers/arinc424.hpp"

#include <algorithm>
#include <cmath>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <map>
#include <set>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/real_data.hpp"

namespace omniway::readers {

using navdata::PathTerminator;
using navdata::PointKind;
using ::testing::HasSubstr;

namespace {

std::string contents(const std::filesystem::path& file) {
    std::ifstream stream(file, std::ios::binary);
    EXPECT_TRUE(stream) << file;
    return {std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
}

/// The published rows of tests/reference/faa_cifp_rows.txt, without its comments.
std::string published_rows() {
    std::string rows;
    std::ifstream stream("tests/reference/faa_cifp_rows.txt");
    for (std::string line; std::getline(stream, line);) {
        if (!line.starts_with('#')) {
            rows += line + '\n';
        }
    }
    return rows;
}

std::string published_row(const std::string& beginning) {
    const std::string rows = published_rows();
    const std::size_t at = ('\n' + rows).find('\n' + beginning);
    EXPECT_NE(at, std::string::npos) << beginning;
    return rows.substr(at, rows.find('\n', at) - at + 1);
}

Reading read(const std::string& text) {
    navdata::Source source;
    source.file = "part.txt";
    return read_arinc424(text, source, {});
}

/// A published row with other text from a column on.
std::string with(std::string row, std::size_t column, const std::string& text) {
    return row.replace(column - 1, text.size(), text);
}

const navdata::Station& station(const Reading& reading, const std::string& ident) {
    const auto& all = reading.value.stations;
    const auto found = std::find_if(all.begin(), all.end(), [&](const auto& s) { return s.ident == ident; });
    EXPECT_NE(found, all.end()) << ident;
    return *found;
}

const navdata::Leg& only_leg(const Reading& reading, const std::string& procedure) {
    for (const navdata::Procedure& p : reading.value.procedures) {
        if (p.ident == procedure) {
            EXPECT_EQ(p.branches.size(), 1U);
            EXPECT_EQ(p.branches.front().legs.size(), 1U);
            return p.branches.front().legs.front();
        }
    }
    ADD_FAILURE() << procedure;
    static const navdata::Leg none;
    return none;
}

void expect_position(earth::Position place, double latitude, double longitude) {
    // The decodings are printed to five or six decimals.
    EXPECT_NEAR(place.latitude_deg(), latitude, 0.5e-5);
    EXPECT_NEAR(place.longitude_deg(), longitude, 0.5e-5);
}

/// What a reading says of the one thing that is wrong with it.
base::Error only_diagnostic(const Reading& reading) {
    std::vector<base::Error> found;
    for (const base::Error& diagnostic : reading.diagnostics) {
        if (diagnostic.code != "remark.no_header" && diagnostic.code != "remark.no_cycle") {
            found.push_back(diagnostic);
        }
    }
    EXPECT_EQ(found.size(), 1U);
    return found.empty() ? base::Error() : found.front();
}

}  // namespace

// Values of the rows in tests/reference/faa_cifp_rows.txt as decoded in trade-facts 13.2 to 13.12, where not said
// otherwise.
TEST(TruthArinc424, UsesEachOfThePublishedRows) {
    const Reading reading = read(published_rows());
    EXPECT_EQ(reading.counts.rows, 32U);
    EXPECT_EQ(reading.counts.used, 32U);
    EXPECT_EQ(reading.counts.not_used_in_all(), 0U);
    for (const base::Error& diagnostic : reading.diagnostics) {
        EXPECT_TRUE(is_remark(diagnostic)) << base::to_text(diagnostic);
    }
}

TEST(TruthArinc424, TakesCycleAndDateFromTheHeader) {
    const navdata::Source source = read(published_rows()).value.sources.at(0);
    EXPECT_EQ(source.format, "ARINC 424-18");
    EXPECT_EQ(source.cycle, "2006");
    // 21 May 2020 is day 141 of 366, counted from 0.
    EXPECT_NEAR(source.reference_year, 2020.0 + 141.0 / 366.0, 1e-9);
    EXPECT_EQ(source.validity, "AIRAC cycle 2006, 2020-05-21 to 2020-06-17");
}

TEST(TruthArinc424, TakesTheNewestCycleOfTheRowsWhereThereIsNoHeaderAndSaysSo) {
    std::string rows = published_rows();
    rows.erase(0, rows.find('\n') + 1);
    const Reading reading = read(rows);
    EXPECT_EQ(reading.value.sources.at(0).cycle, "2605");
    EXPECT_THAT(reading.value.sources.at(0).validity, HasSubstr("no header"));
    EXPECT_TRUE(std::any_of(reading.diagnostics.begin(), reading.diagnostics.end(),
                            [](const base::Error& e) { return e.code == "remark.no_header"; }));
}

TEST(TruthArinc424, DecodesAirports) {
    const Reading reading = read(published_rows());
    ASSERT_EQ(reading.value.airports.size(), 2U);
    const navdata::Airport& lowell = reading.value.airports[0];
    EXPECT_EQ(lowell.ident, "00AK");
    EXPECT_EQ(lowell.region, "PA");
    EXPECT_EQ(lowell.name, "LOWELL FIELD");
    expect_position(lowell.position, 59.948889, -151.692222);
    EXPECT_DOUBLE_EQ(lowell.variation->east().degrees(), 14.8);
    EXPECT_NEAR(lowell.elevation->feet(), 252.0, 1e-9);
    const navdata::Airport& aero = reading.value.airports[1];
    EXPECT_EQ(aero.ident, "00AA");
    expect_position(aero.position, 38.704022, -101.473911);
    EXPECT_DOUBLE_EQ(aero.variation->east().degrees(), 5.5);
    EXPECT_NEAR(aero.elevation->feet(), 3435.0, 1e-9);
}

TEST(TruthArinc424, DecodesRunways) {
    const Reading reading = read(published_rows());
    ASSERT_EQ(reading.value.runways.size(), 2U);
    const navdata::Runway& left = reading.value.runways[0];
    EXPECT_EQ(left.airport, "KJFK");
    EXPECT_EQ(left.ident, "RW04L");
    EXPECT_NEAR(left.length.feet(), 12079.0, 1e-9);
    EXPECT_DOUBLE_EQ(left.bearing->degrees(), 44.0);
    EXPECT_FALSE(left.true_bearing);
    EXPECT_NEAR(left.elevation->feet(), 12.0, 1e-9);
    EXPECT_NEAR(left.displaced.feet(), 460.0, 1e-9);
    EXPECT_EQ(left.localizer, "IHIQ");
    EXPECT_FALSE(left.far_end);
    const navdata::Runway& gravel = reading.value.runways[1];
    EXPECT_EQ(gravel.airport, "01A");
    EXPECT_NEAR(gravel.length.feet(), 1176.0, 1e-9);
    EXPECT_DOUBLE_EQ(gravel.bearing->degrees(), 46.3);
    expect_position(*gravel.threshold, 62.940214, -152.272933);
    EXPECT_NEAR(gravel.elevation->feet(), 2034.0, 1e-9);
    EXPECT_EQ(gravel.localizer, "");
}

// The same antenna: 12,224 ft from the landing threshold on true bearing 30.756 (trade-facts 13.3, computed from the
// published localizer position 40-39-30.78 N there). Here the other way round: length, displacement and stand-off add up.
TEST(TruthArinc424, PlacesTheLandingThresholdNotTheEndOfThePavement) {
    const navdata::Runway runway = read(published_rows()).value.runways.at(0);
    EXPECT_NEAR((runway.length - runway.displaced).feet() + 605.0, 12224.0, 1.0);
}

TEST(TruthArinc424, TellsVortacVorDmeAndLoneDmeByTheirClass) {
    const Reading reading = read(published_rows());
    const navdata::Station& abi = station(reading, "ABI");
    ASSERT_NE(vor(abi), nullptr);
    EXPECT_DOUBLE_EQ(abi.frequency.megahertz(), 113.70);
    EXPECT_EQ(abi.region, "K4");
    EXPECT_EQ(abi.airport, "");
    EXPECT_EQ(abi.name, "ABILENE");
    expect_position(vor(abi)->position, 32.48133, -99.86345);
    EXPECT_DOUBLE_EQ(vor(abi)->declination.east().degrees(), 10.0);
    EXPECT_EQ(vor(abi)->declination_from, navdata::DeclinationFrom::record);
    EXPECT_EQ(vor(abi)->service, navdata::ServiceClass::high);
    ASSERT_TRUE(abi.dme);
    EXPECT_NEAR(abi.dme->elevation->feet(), 1809.0, 1e-9);
    EXPECT_EQ(abi.dme->service, navdata::ServiceClass::high);
    EXPECT_FALSE(abi.out_of_service);

    const navdata::Station& aat = station(reading, "AAT");
    EXPECT_EQ(kind_text(aat), "DME");
    EXPECT_DOUBLE_EQ(aat.frequency.megahertz(), 116.65);
    ASSERT_TRUE(aat.dme);

    const navdata::Station& abq = station(reading, "ABQ");
    EXPECT_EQ(kind_text(abq), "VOR/DME");
    EXPECT_DOUBLE_EQ(abq.frequency.megahertz(), 113.20);
    EXPECT_DOUBLE_EQ(vor(abq)->declination.east().degrees(), 13.0);
    EXPECT_NEAR(abq.dme->elevation->feet(), 5749.0, 1e-9);

    // Two sites, trade-facts 15.
    const navdata::Station& zbv = station(reading, "ZBV");
    EXPECT_DOUBLE_EQ(vor(zbv)->declination.east().degrees(), -4.0);
    expect_position(vor(zbv)->position, 25.0 + 42.0 / 60.0 + 14.10 / 3600.0,
                    -(79.0 + 17.0 / 60.0 + 37.10 / 3600.0));
    expect_position(zbv.dme->position, 25.0 + 42.0 / 60.0 + 15.00 / 3600.0,
                    -(79.0 + 17.0 / 60.0 + 40.00 / 3600.0));
}

TEST(TruthArinc424, KeepsTheDmeOfALocalizerThatTheFileDoesNotHaveAndSaysSo) {
    const Reading reading = read(published_row("SUSAD KJFKK6 IHIQ"));
    const navdata::Station& ihiq = station(reading, "IHIQ");
    EXPECT_EQ(kind_text(ihiq), "DME");
    EXPECT_DOUBLE_EQ(ihiq.frequency.megahertz(), 110.90);
    EXPECT_EQ(ihiq.airport, "KJFK");
    expect_position(ihiq.dme->position, 40.0 + 37.0 / 60.0 + 43.82 / 3600.0,
                    -(73.0 + 46.0 / 60.0 + 40.58 / 3600.0));
    const base::Error remark = only_diagnostic(reading);
    EXPECT_EQ(remark.code, "remark.localizer_missing");
    EXPECT_EQ(remark.where, "part.txt:1:14");
}

TEST(TruthArinc424, DecodesBeacons) {
    const Reading reading = read(published_rows());
    const navdata::Station& aa = station(reading, "AA");
    ASSERT_NE(ndb(aa), nullptr);
    EXPECT_DOUBLE_EQ(aa.frequency.kilohertz(), 365.0);
    EXPECT_EQ(aa.name, "KENIE");  // columns 91-93 are the datum
    EXPECT_EQ(ndb(aa)->service, navdata::ServiceClass::compass_locator);
    EXPECT_DOUBLE_EQ(ndb(aa)->variation.east().degrees(), 4.0);
    EXPECT_EQ(aa.airport, "");
    const navdata::Station& ab = station(reading, "AB");
    EXPECT_DOUBLE_EQ(ab.frequency.kilohertz(), 353.0);
    EXPECT_EQ(ab.airport, "KABI");
    EXPECT_EQ(ab.name, "TOMHI");
}

TEST(TruthArinc424, DecodesWaypoints) {
    const Reading reading = read(published_rows());
    ASSERT_EQ(reading.value.fixes.size(), 3U);
    const navdata::Fix& aaarg = reading.value.fixes[0];
    EXPECT_EQ(aaarg.ident, "AAARG");
    EXPECT_EQ(aaarg.region, "K");
    EXPECT_EQ(aaarg.type, "W  ");
    EXPECT_EQ(aaarg.airport, "");
    expect_position(aaarg.position, 32.693964, -78.051294);
    const navdata::Fix& swimm = reading.value.fixes[1];
    expect_position(swimm.position, 25.0 + 29.0 / 60.0 + 59.20 / 3600.0,
                    -(79.0 + 2.0 / 60.0 + 18.09 / 3600.0));
    EXPECT_EQ(reading.value.fixes[2].airport, "PAAK");
}

TEST(TruthArinc424, DecodesAirways) {
    const Reading reading = read(published_rows());
    const auto row = [&](const std::string& designator, std::uint32_t sequence) {
        const auto& rows = reading.value.airway_rows;
        const auto found = std::find_if(rows.begin(), rows.end(), [&](const navdata::AirwayRow& r) {
            return r.designator == designator && r.sequence == sequence;
        });
        EXPECT_NE(found, rows.end()) << designator << ' ' << sequence;
        return *found;
    };
    const navdata::AirwayRow oak = row("V6", 100);
    EXPECT_EQ(oak.area, "USA");
    EXPECT_EQ(oak.point, (navdata::PointName{PointKind::vhf_station, "OAK", "K2", ""}));
    EXPECT_EQ(oak.route_type, 'O');
    EXPECT_EQ(oak.level, 'L');
    EXPECT_DOUBLE_EQ(oak.outbound_course->degrees(), 22.0);
    EXPECT_DOUBLE_EQ(oak.distance_to_next->nautical_miles(), 8.5);
    EXPECT_FALSE(oak.inbound_course);
    EXPECT_EQ(std::get<base::Altitude>(oak.minimum), base::Altitude::feet(4000));
    EXPECT_TRUE(std::holds_alternative<std::monostate>(oak.minimum_backward));
    EXPECT_EQ(*oak.maximum, base::Altitude::feet(17500));
    EXPECT_EQ(oak.direction, navdata::AirwayDirection::both);

    const navdata::AirwayRow pasro = row("A590", 210);
    EXPECT_EQ(pasro.area, "CAN");
    EXPECT_EQ(pasro.level, 'H');
    EXPECT_EQ(pasro.direction, navdata::AirwayDirection::forward_only);
    EXPECT_DOUBLE_EQ(pasro.outbound_course->degrees(), 59.4);
    EXPECT_DOUBLE_EQ(pasro.distance_to_next->nautical_miles(), 228.5);
    EXPECT_DOUBLE_EQ(pasro.inbound_course->degrees(), 59.0);
    EXPECT_EQ(std::get<base::Altitude>(pasro.minimum), base::Altitude::feet(18000));
    EXPECT_EQ(*pasro.maximum, base::Altitude::feet(60000));

    const navdata::AirwayRow swimm = row("A315", 110);
    EXPECT_DOUBLE_EQ(swimm.outbound_course->degrees(), 135.4);
    EXPECT_DOUBLE_EQ(swimm.distance_to_next->nautical_miles(), 46.9);
    EXPECT_DOUBLE_EQ(swimm.inbound_course->degrees(), 135.5);
    EXPECT_EQ(std::get<base::Altitude>(swimm.minimum), base::Altitude::feet(8000));
}

// Trade-facts 15: ZBV to SWIMM is 18.46 NM on true 131.354, by its declination W4.0 radial 135.35, coded 135.4 and 18.5 NM;
// arriving it is 135.46, coded 135.5. By SWIMM's own variation W8.0 it would be 139.4.
TEST(TruthArinc424, PlacesRadialsByTheStationsOwnDeclination) {
    const Reading reading = read(published_rows());
    const navdata::VorAzimuth& zbv = *vor(station(reading, "ZBV"));
    const earth::Geodesic line = earth::geodesic(zbv.position, reading.value.fixes[1].position);
    EXPECT_NEAR(line.distance.nautical_miles(), 18.46, 0.005);
    EXPECT_NEAR(base::to_radial(line.initial, zbv.declination).degrees(), 135.354, 0.001);
    EXPECT_NEAR(base::to_radial(line.arrival, zbv.declination).degrees(), 135.464, 0.001);
}

TEST(TruthArinc424, DecodesApproachDepartureAndArrivalLegs) {
    const Reading reading = read(published_rows());
    const navdata::Leg& asalt = only_leg(reading, "V13R");
    EXPECT_EQ(asalt.terminator, PathTerminator::IF);
    EXPECT_EQ(*asalt.fix, (navdata::PointName{PointKind::fix, "ASALT", "K6", ""}));
    EXPECT_EQ(*asalt.recommended, (navdata::PointName{PointKind::vhf_station, "CRI", "K6", ""}));
    EXPECT_DOUBLE_EQ(asalt.theta->degrees, 224.8);
    EXPECT_FALSE(asalt.theta->is_true);
    EXPECT_DOUBLE_EQ(asalt.rho->nautical_miles(), 6.0);
    EXPECT_EQ(asalt.altitude_rule, navdata::AltitudeRule::at);
    EXPECT_EQ(*asalt.altitude_1, base::Altitude::feet(3000));
    EXPECT_TRUE(asalt.is_initial_approach_fix());

    const navdata::Leg& mattr = only_leg(reading, "L22R");
    EXPECT_EQ(mattr.terminator, PathTerminator::TF);
    EXPECT_EQ(mattr.recommended->kind, PointKind::localizer);
    EXPECT_EQ(mattr.recommended->airport, "KJFK");
    EXPECT_DOUBLE_EQ(mattr.course->degrees, 221.3);
    EXPECT_DOUBLE_EQ(mattr.distance->nautical_miles(), 5.0);
    EXPECT_FALSE(mattr.time);
    EXPECT_EQ(mattr.altitude_rule, navdata::AltitudeRule::at_or_above);
    EXPECT_EQ(*mattr.altitude_1, base::Altitude::feet(1900));
    EXPECT_NEAR(mattr.vertical_angle->degrees(), -3.01, 1e-9);
    EXPECT_TRUE(mattr.is_final_approach_fix());
    EXPECT_EQ(mattr.description, "E  F");

    const navdata::Leg& hocut = only_leg(reading, "HOCUT5");
    EXPECT_EQ(hocut.terminator, PathTerminator::CF);
    EXPECT_EQ(hocut.turn, navdata::Turn::left);
    EXPECT_DOUBLE_EQ(hocut.course->degrees, 250.0);
    EXPECT_DOUBLE_EQ(hocut.distance->nautical_miles(), 5.0);
    EXPECT_EQ(hocut.recommended->ident, "ACV");
    EXPECT_DOUBLE_EQ(hocut.theta->degrees, 250.0);
    EXPECT_DOUBLE_EQ(hocut.rho->nautical_miles(), 0.0);

    const navdata::Leg& reversal = only_leg(reading, "I19RZ");
    EXPECT_EQ(reversal.terminator, PathTerminator::PI);
    EXPECT_DOUBLE_EQ(reversal.theta->degrees, 12.5);
    EXPECT_DOUBLE_EQ(reversal.course->degrees, 327.5);
    EXPECT_DOUBLE_EQ(reversal.distance->nautical_miles(), 10.0);
    EXPECT_EQ(reversal.turn, navdata::Turn::right);
    EXPECT_EQ(reversal.fix->kind, PointKind::terminal_fix);
    EXPECT_EQ(reversal.fix->airport, "PABE");

    const navdata::Leg& until_radial = only_leg(reading, "VDM-A");
    EXPECT_EQ(until_radial.terminator, PathTerminator::CR);
    EXPECT_FALSE(until_radial.fix);
    EXPECT_EQ(until_radial.turn, navdata::Turn::left);
    EXPECT_DOUBLE_EQ(until_radial.course->degrees, 164.0);
    EXPECT_DOUBLE_EQ(until_radial.theta->degrees, 164.0);
    EXPECT_EQ(until_radial.recommended->ident, "ODR");
    EXPECT_TRUE(until_radial.begins_missed_approach());
}

TEST(TruthArinc424, GroupsProceduresByKindRouteTypeAndTransition) {
    const Reading reading = read(published_rows());
    std::map<std::string, navdata::Procedure> by_ident;
    for (const navdata::Procedure& procedure : reading.value.procedures) {
        by_ident[procedure.ident] = procedure;
    }
    ASSERT_EQ(by_ident.size(), 6U);
    EXPECT_EQ(by_ident["V13R"].kind, navdata::ProcedureKind::approach);
    EXPECT_EQ(by_ident["V13R"].airport, "KJFK");
    EXPECT_EQ(by_ident["V13R"].qualifiers, "DS");
    EXPECT_EQ(by_ident["V13R"].branches[0].route_type, 'V');
    EXPECT_EQ(by_ident["V13R"].branches[0].transition, "");
    EXPECT_EQ(by_ident["HOCUT5"].kind, navdata::ProcedureKind::departure);
    EXPECT_EQ(by_ident["HOCUT5"].branches[0].route_type, '1');
    EXPECT_EQ(by_ident["HOCUT5"].branches[0].transition, "RW01");
    EXPECT_EQ(by_ident["BARII2"].branches[0].route_type, '5');
    EXPECT_EQ(by_ident["BARII2"].branches[0].transition, "ALL");
    EXPECT_EQ(by_ident["I19RZ"].branches[0].route_type, 'A');
    EXPECT_EQ(by_ident["I19RZ"].branches[0].transition, "BET");
}

TEST(TruthArinc424, DecodesLocalizersWithTheirGlideslope) {
    const Reading reading = read(published_rows());
    const navdata::Station& abe = station(reading, "IABE");
    ASSERT_NE(localizer(abe), nullptr);
    const navdata::LocalizerAzimuth& course = *localizer(abe);
    EXPECT_DOUBLE_EQ(abe.frequency.megahertz(), 110.70);
    EXPECT_EQ(abe.airport, "KABE");
    EXPECT_EQ(course.runway, "RW06");
    EXPECT_EQ(course.category, "2");
    EXPECT_DOUBLE_EQ(course.course.degrees(), 63.3);
    EXPECT_DOUBLE_EQ(course.declination.east().degrees(), -12.0);
    EXPECT_NEAR(base::to_true(course.course, course.declination).degrees(), 51.3, 1e-9);
    EXPECT_NEAR(course.width->degrees(), 4.66, 1e-9);
    ASSERT_TRUE(course.glideslope);
    EXPECT_NEAR(course.glideslope->angle.degrees(), 3.00, 1e-9);
    EXPECT_NEAR(course.glideslope->threshold_crossing_height->feet(), 57.0, 1e-9);
    EXPECT_NEAR(course.glideslope->elevation->feet(), 385.0, 1e-9);
    EXPECT_FALSE(abe.dme);
    // The line from glideslope to localizer, which stands aside, lies near the course: true 53.5.
    EXPECT_NEAR(earth::bearing(course.glideslope->position, course.position).degrees(), 53.5, 0.1);

    const navdata::Station& ibet = station(reading, "IBET");
    EXPECT_DOUBLE_EQ(ibet.frequency.megahertz(), 111.50);
    EXPECT_DOUBLE_EQ(localizer(ibet)->course.degrees(), 192.5);
    EXPECT_DOUBLE_EQ(localizer(ibet)->declination.east().degrees(), 11.0);
    EXPECT_NEAR(localizer(ibet)->width->degrees(), 5.10, 1e-9);
}

/// An invented record in the columns of the standard, as no file at hand has any: tests/reference has none to copy.
std::string marker_row(const std::string& type) {
    std::string row(132, ' ');
    const auto put = [&row](std::size_t column, const std::string& text) {
        row.replace(column - 1, text.size(), text);
    };
    put(1, "SXXXP XAAAX1MIXAA");
    put(18, type);
    put(22, "0");
    put(28, "RW27 ");
    put(33, "N40072400W169481200");
    put(52, "2755");
    put(98, "00123");
    put(129, "2101");
    return row + '\n';
}

// ARINC 424-18, 4.1.13.1, 5.99 and 5.100, by two open-source accounts of the record that agree: ammaraskar/arinc424 (Python,
// records/localizer_marker.py) and malstraem/arinc424.net (C#, InstrumentMarker.cs and MarkerType.cs). No record of the kind is at hand.
TEST(TruthArinc424, DecodesMarkersByTheColumnsOfTwoAccountsOfTheStandard) {
    using navdata::MarkerKind;
    for (const auto& [type, kind] : {std::pair{" OM", MarkerKind::outer},
                                     {"LOM", MarkerKind::outer},
                                     {" MM", MarkerKind::middle},
                                     {" IM", MarkerKind::inner},
                                     {" BM", MarkerKind::back_course}}) {
        const Reading reading = read(marker_row(type));
        ASSERT_EQ(reading.value.markers.size(), 1U) << type;
        const navdata::Marker& marker = reading.value.markers.front();
        EXPECT_EQ(marker.kind, kind);
        EXPECT_EQ(marker.airport, "XAAA");
        EXPECT_EQ(marker.localizer, "IXAA");
        EXPECT_EQ(marker.runway, "RW27");
        expect_position(marker.position, 40.0 + 7.0 / 60.0 + 24.0 / 3600.0,
                        -(169.0 + 48.0 / 60.0 + 12.0 / 3600.0));
        EXPECT_NEAR(marker.minor_axis->degrees(), 275.5, 1e-9);
        EXPECT_NEAR(marker.elevation->feet(), 123.0, 1e-9);
        // A locator that stands there is the NDB of its own record, and of no second one.
        EXPECT_TRUE(reading.value.stations.empty());
    }
}

TEST(CaseArinc424, AMarkerOfNoKnownKindWithoutAPlaceOrTwiceIsToldAndNotUsed) {
    const auto told = [](const std::string& text) { return only_diagnostic(read(text)); };
    for (const char* type : {"   ", " XM", "XOM", "OM "}) {
        EXPECT_EQ(told(marker_row(type)).code, "read.unknown_letter") << type;
        EXPECT_EQ(told(marker_row(type)).where, "part.txt:1:18");
    }
    EXPECT_EQ(told(with(marker_row(" OM"), 33, std::string(19, ' '))).code, "read.value_missing");
    EXPECT_EQ(told(with(marker_row(" OM"), 52, "3601")).code, "read.out_of_range");
    EXPECT_EQ(told(with(marker_row(" OM"), 22, "2")).code, "read.continuation_not_used");
    const Reading twice = read(marker_row(" OM") + marker_row(" OM") + marker_row(" MM"));
    EXPECT_EQ(only_diagnostic(twice).code, "read.duplicate_record");
    EXPECT_EQ(twice.value.markers.size(), 2U);
}

TEST(CaseArinc424, AMarkerWithoutAxisAndElevationIsUsed) {
    const Reading reading = read(with(with(marker_row(" OM"), 52, "    "), 98, "     "));
    ASSERT_EQ(reading.value.markers.size(), 1U);
    EXPECT_FALSE(reading.value.markers.front().minor_axis);
    EXPECT_FALSE(reading.value.markers.front().elevation);
}

TEST(TruthArinc424, DecodesAMinimumSectorAltitudeOfOneWholeCircle) {
    const Reading reading = read(published_rows());
    ASSERT_EQ(reading.value.sector_altitudes.size(), 1U);
    const navdata::MinimumSectorAltitude& msa = reading.value.sector_altitudes[0];
    EXPECT_EQ(msa.airport, "PAAK");
    EXPECT_EQ(msa.centre, (navdata::PointName{PointKind::terminal_fix, "MACSU", "PA", "PAAK"}));
    ASSERT_EQ(msa.sectors.size(), 1U);
    EXPECT_DOUBLE_EQ(msa.sectors[0].from.degrees(), 180.0);
    EXPECT_DOUBLE_EQ(msa.sectors[0].to.degrees(), 180.0);
    EXPECT_NEAR(msa.sectors[0].altitude.feet(), 6300.0, 1e-9);
    EXPECT_DOUBLE_EQ(msa.sectors[0].radius.nautical_miles(), 25.0);
}

TEST(TruthArinc424, DecodesThirtyGridCellsEastwardFromTheCorner) {
    const Reading reading = read(published_rows());
    ASSERT_EQ(reading.value.grid_minimums.size(), 60U);
    const navdata::GridMinimum& unknown = reading.value.grid_minimums[0];
    EXPECT_EQ(unknown.south_deg, 4);
    EXPECT_EQ(unknown.west_deg, 150);
    EXPECT_FALSE(unknown.altitude);
    // Thirty cells from E150 reach E179: the last is not yet across the antimeridian.
    EXPECT_EQ(reading.value.grid_minimums[29].west_deg, 179);
    const auto cell = [&](int west) {
        return reading.value.grid_minimums[static_cast<std::size_t>(120 + west)];
    };
    EXPECT_EQ(cell(-90).south_deg, 28);
    EXPECT_EQ(cell(-90).west_deg, -90);
    EXPECT_NEAR(cell(-90).altitude->feet(), 1500.0, 1e-9);
    EXPECT_NEAR(cell(-89).altitude->feet(), 1400.0, 1e-9);
    EXPECT_FALSE(cell(-88).altitude);
    EXPECT_NEAR(cell(-83).altitude->feet(), 2700.0, 1e-9);
    EXPECT_NEAR(cell(-82).altitude->feet(), 3100.0, 1e-9);
}

TEST(CaseArinc424, AGridRowThatCrossesTheAntimeridianGoesOnInTheWest) {
    const Reading reading = read(with(published_row("S   AS       N04E150"), 17, "E170"));
    EXPECT_EQ(reading.value.grid_minimums[9].west_deg, 179);
    EXPECT_EQ(reading.value.grid_minimums[10].west_deg, -180);
    EXPECT_EQ(reading.value.grid_minimums[29].west_deg, -161);
}

TEST(CaseArinc424, AStationOutOfServiceIsReadAsThat) {
    EXPECT_TRUE(station(read(with(published_row("SUSAD        ABI"), 85, "9")), "ABI").out_of_service);
}

// Trade-facts 13.1: T is true north, G grid north.
TEST(CaseArinc424, AStationOrientedToTrueNorthHasNoDeclination) {
    for (const char* prefix : {"T0000", "G0000"}) {
        const Reading reading = read(with(published_row("SUSAD        ABI"), 75, prefix));
        EXPECT_DOUBLE_EQ(vor(station(reading, "ABI"))->declination.east().degrees(), 0.0);
    }
}

TEST(CaseArinc424, ACourseWithATrailingTIsTrue) {
    const Reading reading = read(with(published_row("SUSAP KJFKK6FL22R"), 71, "194T"));
    const navdata::Leg& leg = only_leg(reading, "L22R");
    EXPECT_DOUBLE_EQ(leg.course->degrees, 194.0);
    EXPECT_TRUE(leg.course->is_true);
    const Reading runway = read(with(published_row("SUSAP KJFKK6GRW04L"), 28, "031T"));
    EXPECT_FALSE(runway.value.runways[0].bearing);
    EXPECT_DOUBLE_EQ(runway.value.runways[0].true_bearing->degrees(), 31.0);
}

TEST(CaseArinc424, ATAtTheFrontOfADistanceIsATimeInTenthsOfAMinute) {
    const Reading reading = read(with(published_row("SUSAP KJFKK6FL22R"), 75, "T010"));
    const navdata::Leg& leg = only_leg(reading, "L22R");
    EXPECT_DOUBLE_EQ(base::in_minutes(*leg.time), 1.0);
    EXPECT_FALSE(leg.distance);
}

TEST(CaseArinc424, AMinimumThatThePublicationDoesNotKnowIsNotZero) {
    const Reading reading = read(with(published_row("SUSAER       V6"), 84, "UNKNN06000"));
    EXPECT_TRUE(std::holds_alternative<navdata::NotKnown>(reading.value.airway_rows[0].minimum));
    EXPECT_EQ(std::get<base::Altitude>(reading.value.airway_rows[0].minimum_backward),
              base::Altitude::feet(6000));
}

TEST(CaseArinc424, OneDesignatorInTwoAreasIsTwoAirways) {
    const std::string row = published_row("SUSAER       V6");
    const Reading reading = read(row + with(row, 2, "PAC"));
    ASSERT_EQ(reading.value.airway_rows.size(), 2U);
    EXPECT_EQ(reading.value.airway_rows[0].area, "PAC");
    EXPECT_EQ(reading.value.airway_rows[1].area, "USA");
}

TEST(CaseArinc424, RowsOutOfOrderAreReadInOrderOfSequence) {
    const std::string first = published_row("SUSAP KJFKK6FL22R");
    const Reading reading =
        read(with(first, 27, "030") + first + with(first, 27, "010") +
             published_row("SUSAER       A315        0120") + published_row("SUSAER       A315        0100"));
    const auto& legs = reading.value.procedures.at(0).branches.at(0).legs;
    ASSERT_EQ(legs.size(), 3U);
    EXPECT_EQ(legs[0].sequence, 10U);
    EXPECT_EQ(legs[2].sequence, 30U);
    EXPECT_EQ(reading.value.airway_rows[0].sequence, 100U);
    EXPECT_EQ(reading.value.airway_rows[1].sequence, 120U);
}

TEST(CaseArinc424, TheDmeOfAnIlsJoinsTheLocalizerOfItsAirportAndIdent) {
    const std::string localizer_row = published_row("SUSAP KABEK6IIABE2");
    std::string dme_row = published_row("SUSAD KJFKK6 IHIQ");
    dme_row = with(with(with(with(dme_row, 7, "KABE"), 14, "IABE"), 23, "11070"), 86, "03");
    const Reading reading = read(dme_row + localizer_row);
    ASSERT_EQ(reading.value.stations.size(), 1U);
    const navdata::Station& ils = reading.value.stations[0];
    EXPECT_EQ(kind_text(ils), "ILS/DME");
    EXPECT_NEAR(ils.dme->bias.nautical_miles(), 0.3, 1e-12);
    EXPECT_EQ(ils.dme->service, navdata::ServiceClass::terminal);
    ASSERT_EQ(ils.origins.size(), 2U);
    EXPECT_EQ(ils.origins[0].line, 2U);
    EXPECT_EQ(ils.origins[1].line, 1U);
    EXPECT_EQ(reading.counts.used, 2U);
}

TEST(CaseArinc424, ADmeOnAnotherFrequencyThanItsLocalizerStaysAlone) {
    std::string dme_row = published_row("SUSAD KJFKK6 IHIQ");
    dme_row = with(with(dme_row, 7, "KABE"), 14, "IABE");  // 110.90 against 110.70
    const Reading reading = read(dme_row + published_row("SUSAP KABEK6IIABE2"));
    EXPECT_EQ(reading.value.stations.size(), 2U);
    EXPECT_EQ(only_diagnostic(reading).code, "remark.frequencies_differ");
}

TEST(CaseArinc424, AFarEndIsTheThresholdOfTheReciprocalRunway) {
    const std::string row = published_row("SUSAP KJFKK6GRW04L");
    // The other end 12,079 ft away: 460 ft displaced here, nothing there.
    const Reading near_end = read(row);
    const earth::Position other =
        earth::destination(*near_end.value.runways[0].threshold, base::TrueBearing::degrees(30.756),
                           base::Length::feet(12079.0 - 460.0));
    const auto coded = [](double value, int degrees_width) {
        const double seconds = std::abs(value) * 3600.0;
        const int whole = static_cast<int>(seconds);
        char text[16];
        std::snprintf(text, sizeof text, "%0*d%02d%04d", degrees_width, whole / 3600, whole / 60 % 60,
                      static_cast<int>((seconds - whole + whole % 60) * 100.0));
        return std::string(text);
    };
    const std::string other_row = with(with(with(row, 14, "RW22R"), 33, 'N' + coded(other.latitude_deg(), 2)),
                                       42, 'W' + coded(other.longitude_deg(), 3));
    const Reading both = read(row + with(other_row, 72, "0000"));
    ASSERT_EQ(both.value.runways.size(), 2U);
    EXPECT_EQ(both.value.runways[0].far_end, both.value.runways[1].threshold);
    EXPECT_EQ(both.value.runways[1].far_end, both.value.runways[0].threshold);
}

TEST(CaseArinc424, LatinLetterNamesBecomeUtf8) {
    const Reading reading = read(with(published_row("SCANP 00AKPAA"), 94, "M\xC9XICO"));
    EXPECT_THAT(reading.value.airports[0].name, HasSubstr("M\xC3\x89XICO"));
}

TEST(CaseArinc424, CarriageReturnsAndTrailingBlanksChangeNothing) {
    std::string rows = published_rows();
    std::string loose;
    for (const char c : rows) {
        loose += c == '\n' ? std::string("   \r\n") : std::string(1, c);
    }
    const Reading strict = read(rows);
    const Reading tolerant = read(loose);
    EXPECT_EQ(tolerant.counts, strict.counts);
    EXPECT_EQ(tolerant.value.stations, strict.value.stations);
    EXPECT_EQ(tolerant.value.procedures, strict.value.procedures);
    EXPECT_EQ(tolerant.value.airway_rows, strict.value.airway_rows);
}

namespace {

struct BadRow {
    const char* row;
    std::size_t column;
    const char* text;
    const char* code;
    const char* where;
    const char* words;
};

}  // namespace

class CaseArinc424Refusal : public ::testing::TestWithParam<BadRow> {};

TEST_P(CaseArinc424Refusal, TellsPlaceValueAndAllowedRange) {
    const BadRow& bad = GetParam();
    const Reading reading = read(with(published_row(bad.row), bad.column, bad.text));
    EXPECT_EQ(reading.counts.used, 0U);
    EXPECT_EQ(reading.counts.not_used_in_all(), 1U);
    const base::Error error = only_diagnostic(reading);
    EXPECT_EQ(error.code, bad.code);
    EXPECT_EQ(error.where, bad.where);
    EXPECT_THAT(error.message, HasSubstr(bad.words));
}

INSTANTIATE_TEST_SUITE_P(
    Rows, CaseArinc424Refusal,
    ::testing::Values(
        BadRow{"SCANP 00AKPAA", 33, "N95565600", "read.out_of_range", "part.txt:1:33",
               "allowed 0 to 90 degrees"},
        BadRow{"SCANP 00AKPAA", 42, "W191413200", "read.out_of_range", "part.txt:1:42", "0 to 180 degrees"},
        BadRow{"SCANP 00AKPAA", 33, "N59605600", "read.out_of_range", "part.txt:1:33", "below 60"},
        BadRow{"SCANP 00AKPAA", 33, "N5956S600", "read.not_a_number", "part.txt:1:38", "'N5956S600'"},
        BadRow{"SCANP 00AKPAA", 33, "X59565600", "read.unknown_letter", "part.txt:1:33", "N or S"},
        BadRow{"SCANP 00AKPAA", 33, "                   ", "read.value_missing", "part.txt:1:33", "airport"},
        BadRow{"SCANP 00AKPAA", 57, "99999", "read.out_of_range", "part.txt:1:57", "allowed -1500 to 30000"},
        BadRow{"SCANP 00AKPAA", 52, "X0148", "read.unknown_letter", "part.txt:1:52", "E, W, T or G"},
        BadRow{"SUSAP KJFKK6GRW04L", 28, "4000", "read.out_of_range", "part.txt:1:28",
               "400 degrees; allowed 0 to 360"},
        BadRow{"SUSAP KJFKK6GRW04L", 23, "00000", "read.out_of_range", "part.txt:1:23", "allowed 1 to 30000"},
        BadRow{"SUSAD        ABI", 23, "20000", "read.out_of_range", "part.txt:1:23",
               "allowed 108 to 117.95"},
        BadRow{"SUSAD        ABI", 23, "1137A", "read.not_a_number", "part.txt:1:27", "'1137A'"},
        BadRow{"SUSAD        ABI", 28, "Q", "read.unknown_letter", "part.txt:1:28", "V or blank"},
        BadRow{"SUSAD        ABI", 75, "     ", "read.value_missing", "part.txt:1:75", "declination"},
        BadRow{"SUSADB       AA", 23, "99990", "read.out_of_range", "part.txt:1:23", "allowed 190 to 1750"},
        BadRow{"SUSAP KABEK6IIABE2", 23, "11080", "read.out_of_range", "part.txt:1:23", "odd tenth"},
        BadRow{"SUSAP KABEK6IIABE2", 52, "3610", "read.out_of_range", "part.txt:1:52", "361 degrees"},
        BadRow{"SUSAER       V6", 71, "4000", "read.out_of_range", "part.txt:1:71",
               "400 degrees; allowed 0 to 360"},
        BadRow{"SUSAER       V6", 47, "X", "read.unknown_letter", "part.txt:1:47", "F, B or blank"},
        BadRow{"SUSAER       V6", 84, "FL999", "read.out_of_range", "part.txt:1:86", "allowed 0 to 660"},
        BadRow{"SUSAER       V6", 37, "ZZ", "read.unknown_letter", "part.txt:1:37",
               "section of the airway point"},
        BadRow{"SUSAP KJFKK6FL22R", 48, "XX", "read.unknown_path_terminator", "part.txt:1:48", "'XX'"},
        BadRow{"SUSAP KJFKK6FL22R", 71, "4000", "read.out_of_range", "part.txt:1:71", "400 degrees"},
        BadRow{"SUSAP KJFKK6FL22R", 75, "TX10", "read.not_a_number", "part.txt:1:76", "leg time"},
        BadRow{"SUSAP KJFKK6FL22R", 83, "Q", "read.unknown_letter", "part.txt:1:83", "altitude description"},
        BadRow{"SUSAP KJFKK6FL22R", 39, "2", "read.continuation_not_used", "part.txt:1:39", "'2'"},
        BadRow{"SCANP PAAKPAS", 49, "ABC", "read.not_a_number", "part.txt:1:49", "sector altitude"},
        BadRow{"S   AS       N04E150", 14, "N95", "read.out_of_range", "part.txt:1:15", "allowed 0 to 90"},
        BadRow{"SUSAD        ABI", 1, "X", "read.unknown_letter", "part.txt:1:1", "S or T"},
        BadRow{"SUSAD        ABI", 1, "T", "read.tailored_record", "part.txt:1:1", "one operator"},
        BadRow{"SUSAD        ABI", 5, "Q", "read.unknown_section", "part.txt:1:5", "'Q'"},
        BadRow{"SUSAD        ABI", 5, "UC", "read.section_not_used", "part.txt:1:5", "controlled airspace"},
        BadRow{"SUSAD        ABI", 40, "\x07", "read.control_character", "part.txt:1:40", "0x07"}));

TEST(CaseArinc424, ATruncatedRowIsToldWithItsLength) {
    const std::string row = published_row("SUSAD        ABI");
    const Reading reading = read(row + row.substr(0, 100) + '\n');
    EXPECT_EQ(reading.counts.used, 1U);
    const base::Error error = only_diagnostic(reading);
    EXPECT_EQ(error.code, "read.wrong_row_length");
    EXPECT_EQ(error.where, "part.txt:2:101");
    EXPECT_EQ(error.message, "the row has 100 characters; a record has 132");
}

TEST(CaseArinc424, ARecordThatComesTwiceIsUsedOnceAndToldWithTheFirstLine) {
    const std::string row = published_row("SCANP 00AKPAA");
    const Reading reading = read(row + row);
    EXPECT_EQ(reading.value.airports.size(), 1U);
    const base::Error error = only_diagnostic(reading);
    EXPECT_EQ(error.code, "read.duplicate_record");
    EXPECT_EQ(error.where, "part.txt:2:7");
    EXPECT_THAT(error.message, HasSubstr("line 1"));
}

TEST(CaseArinc424, AGoodRecordAfterAFaultyOneOfTheSameNameIsUsed) {
    const std::string row = published_row("SCANP 00AKPAA");
    const Reading reading = read(with(row, 33, "N95565600") + row);
    EXPECT_EQ(reading.value.airports.size(), 1U);
    EXPECT_EQ(only_diagnostic(reading).code, "read.out_of_range");
}

TEST(CaseArinc424, AnApproachThatLostALegIsNotUsedAtAll) {
    const std::string leg = published_row("SUSAP KJFKK6FL22R");
    const Reading reading =
        read(with(leg, 27, "010") + with(with(leg, 27, "020"), 71, "4000") + with(leg, 27, "030"));
    EXPECT_TRUE(reading.value.procedures.empty());
    EXPECT_EQ(reading.counts.used, 0U);
    EXPECT_EQ(reading.counts.not_used.at("read.out_of_range"), 1U);
    EXPECT_EQ(reading.counts.not_used.at("read.incomplete_procedure"), 2U);
}

TEST(CaseArinc424, ATransitionThatLostALegLeavesTheRestOfItsApproachInUse) {
    const std::string leg = published_row("SUSAP KJFKK6FL22R");
    const std::string transition = with(with(leg, 20, "A"), 21, "XTREE");
    const Reading reading = read(leg + transition + transition.substr(0, 90) + '\n' +
                                 with(with(transition, 21, "XHILL"), 27, "010"));
    ASSERT_EQ(reading.value.procedures.size(), 1U);
    ASSERT_EQ(reading.value.procedures[0].branches.size(), 2U);
    EXPECT_EQ(reading.value.procedures[0].branches[0].transition, "");
    EXPECT_EQ(reading.value.procedures[0].branches[1].transition, "XHILL");
    EXPECT_EQ(reading.counts.used, 2U);
}

TEST(CaseArinc424, TwoDifferentLegsOfOneSequenceNumberLeaveOpenWhichIsMeant) {
    const std::string leg = published_row("SUSAP KJFKK6FL22R");
    const Reading same = read(leg + leg);
    EXPECT_EQ(same.value.procedures.size(), 1U);
    EXPECT_EQ(only_diagnostic(same).code, "read.duplicate_record");
    const Reading different = read(leg + with(leg, 71, "1000"));
    EXPECT_TRUE(different.value.procedures.empty());
    EXPECT_EQ(different.counts.used, 0U);
    EXPECT_EQ(different.counts.not_used.at("read.incomplete_procedure"), 1U);
}

TEST(CaseArinc424, EmptyTextAndBlankRowsGiveNothingAndAddUp) {
    EXPECT_EQ(read("").counts.rows, 0U);
    const Reading reading = read("\n   \n\r\n");
    EXPECT_EQ(reading.counts.rows, 3U);
    EXPECT_EQ(reading.counts.not_used.at("read.blank_row"), 3U);
}

TEST(CaseArinc424, ACancelledReadingStillAddsUp) {
    std::stop_source stop;
    stop.request_stop();
    base::Progress progress;
    progress.stop = stop.get_token();
    const Reading reading = read_arinc424(published_rows(), {}, progress);
    EXPECT_EQ(reading.counts.rows, reading.counts.used + reading.counts.not_used_in_all());
    EXPECT_EQ(reading.counts.not_used.at("read.cancelled"), 32U);
}

TEST(CaseArinc424, IsToldFromOtherTextByItsRows) {
    EXPECT_TRUE(looks_like_arinc424(published_rows()));
    EXPECT_TRUE(looks_like_arinc424(published_row("HDR01")));
    EXPECT_FALSE(looks_like_arinc424("id,ident,name\n1,XABC,Nowhere\n"));
    EXPECT_FALSE(looks_like_arinc424(""));
}

namespace {

/// Places of the records by the names that others use for them. Written for these tests: no snapshot is asked.
class Places {
public:
    explicit Places(const navdata::Records& records) {
        for (const navdata::Fix& fix : records.fixes) {
            fixes_.emplace(fix.ident + '/' + fix.region + '/' + fix.airport, fix.position);
        }
        for (const navdata::Station& s : records.stations) {
            const bool terminal = localizer(s) != nullptr || (ndb(s) != nullptr && !s.airport.empty());
            const std::string airport = terminal ? s.airport : std::string();
            const std::string group = localizer(s) != nullptr ? "I" : (ndb(s) != nullptr ? "N" : "V");
            stations_.emplace(group + s.ident + '/' + s.region + '/' + airport, &s);
        }
        for (const navdata::Airport& airport : records.airports) {
            fixes_.emplace("A" + airport.ident, airport.position);
        }
        for (const navdata::Runway& runway : records.runways) {
            if (runway.threshold) {
                fixes_.emplace("R" + runway.ident + '/' + runway.airport, *runway.threshold);
            }
        }
    }

    const navdata::Station* station(const navdata::PointName& name) const {
        const std::string group =
            name.kind == PointKind::localizer ? "I" : (name.kind == PointKind::vhf_station ? "V" : "N");
        const auto found = stations_.find(group + name.ident + '/' + name.region + '/' + name.airport);
        return found == stations_.end() ? nullptr : found->second;
    }

    std::optional<earth::Position> place(const navdata::PointName& name) const {
        switch (name.kind) {
            case PointKind::vhf_station:
            case PointKind::ndb:
            case PointKind::terminal_ndb:
            case PointKind::localizer: {
                const navdata::Station* found = station(name);
                return found == nullptr ? std::nullopt : std::optional(site(*found));
            }
            case PointKind::fix:
            case PointKind::terminal_fix:
                return of("" + name.ident + '/' + name.region + '/' + name.airport);
            case PointKind::airport:
                return of("A" + name.ident);
            case PointKind::runway:
                return of("R" + name.ident + '/' + name.airport);
        }
        return std::nullopt;
    }

private:
    std::optional<earth::Position> of(const std::string& key) const {
        const auto found = fixes_.find(key);
        return found == fixes_.end() ? std::nullopt : std::optional(found->second);
    }
    std::map<std::string, earth::Position> fixes_;
    std::map<std::string, const navdata::Station*> stations_;
};

/// Prints how a difference is spread; the figures go to the test's log.
void print_spread(const char* what, const char* unit, std::vector<double> values) {
    if (values.empty()) {
        std::printf("%s: none\n", what);
        return;
    }
    std::sort(values.begin(), values.end());
    const auto at = [&](double share) {
        return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1))];
    };
    std::printf("%s: %zu; median %.3f, 90 %% %.3f, 95 %% %.3f, 99 %% %.3f, greatest %.3f %s\n", what,
                values.size(), at(0.5), at(0.9), at(0.95), at(0.99), values.back(), unit);
}

Reading read_file(const std::filesystem::path& file) {
    navdata::Source source;
    source.file = file.filename().string();
    return read_arinc424(contents(file), source, {});
}

/// Lines that became part of a record.
std::set<std::uint32_t> lines_used(const navdata::Records& records) {
    std::set<std::uint32_t> lines;
    const auto several = [&](const auto& things) {
        for (const auto& thing : things) {
            for (const navdata::Origin& origin : thing.origins) {
                lines.insert(origin.line);
            }
        }
    };
    const auto single = [&](const auto& things) {
        for (const auto& thing : things) {
            lines.insert(thing.origin.line);
        }
    };
    several(records.stations);
    several(records.airports);
    single(records.fixes);
    single(records.airway_rows);
    single(records.runways);
    single(records.sector_altitudes);
    single(records.grid_minimums);
    for (const navdata::Procedure& procedure : records.procedures) {
        for (const navdata::Branch& branch : procedure.branches) {
            single(branch.legs);
        }
    }
    return lines;
}

}  // namespace

class TruthArinc424RealData : public ::testing::TestWithParam<const char*> {};

TEST_P(TruthArinc424RealData, EveryRowIsUsedOrReportedAndTheSumIsTheNumberOfLines) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const std::filesystem::path file = folder / "cifp" / GetParam();
    const std::string bytes = contents(file);
    const auto lines = static_cast<std::size_t>(std::count(bytes.begin(), bytes.end(), '\n'));
    const Reading reading = read_file(file);
    EXPECT_EQ(reading.counts.rows, lines);
    EXPECT_EQ(reading.counts.used + reading.counts.not_used_in_all(), lines);
    std::set<std::uint32_t> accounted = lines_used(reading.value);
    EXPECT_EQ(accounted.size(), reading.counts.used);
    std::size_t reported = 0;
    for (const base::Error& diagnostic : reading.diagnostics) {
        if (is_remark(diagnostic)) {
            continue;
        }
        ++reported;
        const std::size_t colon = diagnostic.where.find(':');
        const auto line = static_cast<std::uint32_t>(std::stoul(diagnostic.where.substr(colon + 1)));
        EXPECT_TRUE(accounted.insert(line).second) << "twice: " << base::to_text(diagnostic);
    }
    EXPECT_EQ(reported, reading.counts.not_used_in_all());
    EXPECT_EQ(accounted.size(), lines);
    EXPECT_EQ(*accounted.rbegin(), lines);
    std::printf("%s: %zu rows, %zu used\n", GetParam(), lines, reading.counts.used);
    for (const auto& [reason, number] : reading.counts.not_used) {
        std::printf("  %s %zu\n", reason.c_str(), number);
    }
}

// Every row of the published files is right, so none may be refused for what it says.
TEST_P(TruthArinc424RealData, NoPublishedRowIsRefusedForWhatItSays) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const Reading reading = read_file(folder / "cifp" / GetParam());
    for (const base::Error& diagnostic : reading.diagnostics) {
        EXPECT_TRUE(is_remark(diagnostic) || diagnostic.code == "read.section_not_used" ||
                    diagnostic.code == "read.continuation_not_used")
            << base::to_text(diagnostic);
    }
}

INSTANTIATE_TEST_SUITE_P(Files, TruthArinc424RealData,
                         ::testing::Values("faa_cifp_2101_part.txt", "faa_cifp_KJFK_complete_2002-03.txt"));

// Numbers of rows by section as counted in the file itself by a text tool that knows columns 5, 6 and 13 only.
TEST(TruthArinc424RealDataCounts, AgreeWithTheRowsOfEachSection) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const navdata::Records records = read_file(folder / "cifp" / "faa_cifp_2101_part.txt").value;
    EXPECT_EQ(records.airports.size(), 583U);
    EXPECT_EQ(records.runways.size(), 177U);
    EXPECT_EQ(records.fixes.size(), 467U + 1062U);
    EXPECT_EQ(records.airway_rows.size(), 530U);
    EXPECT_EQ(records.sector_altitudes.size(), 127U);
    std::map<std::string, std::size_t> kinds;
    for (const navdata::Station& s : records.stations) {
        kinds[kind_text(s)] += 1;
    }
    EXPECT_EQ(kinds["NDB"], 28U + 9U);
    // Column 18 names one LDA and one SDF without glideslope among them (trade-facts 13.10).
    EXPECT_EQ(kinds["LDA"] + kinds["LDA/DME"], 1U);
    EXPECT_EQ(kinds["SDF"] + kinds["SDF/DME"], 1U);
    EXPECT_EQ(kinds["ILS"] + kinds["ILS/DME"] + kinds["LOC"] + kinds["LOC/DME"], 64U);
    // By columns 28-29: 75 VD and VT, no V alone, 7 of T alone, 4 of D alone and those of localizers not in the part.
    EXPECT_EQ(kinds["VOR/DME"], 75U);
    EXPECT_EQ(kinds["VOR"], 0U);
    EXPECT_EQ(kinds["TACAN"], 7U);
    const std::size_t distances_of_localizers = kinds["ILS/DME"] + kinds["LOC/DME"] + kinds["DME"] - 4U;
    EXPECT_EQ(75U + 7U + 4U + distances_of_localizers, 185U);
}

TEST(TruthArinc424RealDataAirways, EachLegIsAsLongAsItsCodedDistanceUnlessRowsAreMissingBetween) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const navdata::Records records = read_file(folder / "cifp" / "faa_cifp_2101_part.txt").value;
    const Places places(records);
    std::vector<double> misfits;
    std::size_t holes = 0;
    for (std::size_t i = 0; i + 1 < records.airway_rows.size(); ++i) {
        const navdata::AirwayRow& from = records.airway_rows[i];
        const navdata::AirwayRow& to = records.airway_rows[i + 1];
        if (from.designator != to.designator || from.area != to.area || from.ends_continuous_part ||
            !from.distance_to_next) {
            continue;
        }
        const auto a = places.place(from.point);
        const auto b = places.place(to.point);
        if (!a || !b) {
            continue;
        }
        const double misfit = std::abs((earth::distance(*a, *b) - *from.distance_to_next).nautical_miles());
        // The publisher numbers points in steps of ten; a greater step is a hole in this part of his data.
        const bool hole = to.sequence - from.sequence > 10;
        if (misfit > 0.1) {
            EXPECT_TRUE(hole) << from.designator << ' ' << from.point.ident << ' ' << to.point.ident << ' '
                              << misfit;
            ++holes;
        } else {
            misfits.push_back(misfit);
        }
    }
    std::printf("pairs of rows with other rows missing between them: %zu\n", holes);
    print_spread("airway legs against coded distance", "NM", misfits);
    EXPECT_GT(misfits.size(), 50U);
}

TEST(TruthArinc424RealDataAirways, NineteenOfTwentyConventionalLegsLeaveTheirVorOnTheCodedCourse) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const navdata::Records records = read_file(folder / "cifp" / "faa_cifp_2101_part.txt").value;
    const Places places(records);
    std::vector<double> misfits;
    std::size_t within = 0;
    for (std::size_t i = 0; i + 1 < records.airway_rows.size(); ++i) {
        const navdata::AirwayRow& from = records.airway_rows[i];
        const navdata::AirwayRow& to = records.airway_rows[i + 1];
        if (from.designator != to.designator || from.area != to.area || from.ends_continuous_part ||
            !from.distance_to_next || !from.outbound_course || from.route_type == 'R' ||
            navdata::is_area_navigation_designator(from.designator)) {
            continue;
        }
        const navdata::Station* s = places.station(from.point);
        const auto b = places.place(to.point);
        if (from.point.kind != PointKind::vhf_station || s == nullptr || vor(*s) == nullptr || !b) {
            continue;
        }
        const earth::Geodesic line = earth::geodesic(vor(*s)->position, *b);
        if (std::abs((line.distance - *from.distance_to_next).nautical_miles()) > 0.1) {
            continue;  // rows missing between
        }
        const double misfit =
            std::abs((base::to_radial(line.initial, vor(*s)->declination) - *from.outbound_course).degrees());
        misfits.push_back(misfit);
        within += misfit <= 0.5 ? 1 : 0;
        if (misfit > 0.5) {
            std::printf("off course: %s %s-%s by %.2f degrees\n", from.designator.c_str(), s->ident.c_str(),
                        to.point.ident.c_str(), misfit);
        }
    }
    print_spread("conventional legs leaving a VOR against coded course", "degrees", misfits);
    ASSERT_GT(misfits.size(), 20U);
    EXPECT_GE(static_cast<double>(within), 0.95 * static_cast<double>(misfits.size()));
}

TEST(TruthArinc424RealDataProcedures, EveryThetaAndRhoPlacesItsFix) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    for (const char* name : {"faa_cifp_2101_part.txt", "faa_cifp_KJFK_complete_2002-03.txt"}) {
        const navdata::Records records = read_file(folder / "cifp" / name).value;
        const Places places(records);
        std::vector<double> from_stations;
        std::vector<double> from_localizers;
        std::vector<double> to_dme;
        std::vector<double> angles;
        for (const navdata::Procedure& procedure : records.procedures) {
            for (const navdata::Branch& branch : procedure.branches) {
                for (const navdata::Leg& leg : branch.legs) {
                    if (!leg.fix || !leg.recommended || !leg.theta || !leg.rho) {
                        continue;
                    }
                    const navdata::Station* s = places.station(*leg.recommended);
                    const auto place = places.place(*leg.fix);
                    if (s == nullptr || !place) {
                        continue;
                    }
                    const std::string leg_text =
                        fmt::format("{} {} {}: {} by {} theta {} rho {}", procedure.airport, procedure.ident,
                                    leg.sequence, leg.fix->ident, s->ident, leg.theta->degrees,
                                    leg.rho->nautical_miles());
                    // Of a VOR with a DME beside it rho is from the DME; of a localizer it is from the localizer's own
                    // antenna, even where a DME stands elsewhere: it places the fix and is no DME reading.
                    const bool by_localizer = localizer(*s) != nullptr;
                    const earth::Position measured_from =
                        s->dme && !by_localizer ? s->dme->position : site(*s);
                    const double misfit =
                        std::abs((earth::distance(measured_from, *place) - *leg.rho).nautical_miles());
                    (by_localizer ? from_localizers : from_stations).push_back(misfit);
                    // The record of ICHS (cycle 1605) is younger than the legs by it (1208, 1310): its antenna moved.
                    EXPECT_LE(misfit, s->ident == "ICHS" ? 0.13 : 0.1) << leg_text;
                    if (by_localizer && s->dme) {
                        to_dme.push_back(std::abs(
                            (earth::distance(s->dme->position, *place) - *leg.rho).nautical_miles()));
                    }
                    const auto radial = radial_of(*s, *place);
                    if (leg.rho->nautical_miles() < 0.1 || leg.theta->is_true || !radial) {
                        continue;  // at the aid itself there is no radial; of a beacon none is coded
                    }
                    const double off =
                        std::abs((*radial - base::Radial::degrees(leg.theta->degrees)).degrees());
                    EXPECT_LE(off, 0.1) << leg_text;
                    angles.push_back(off);
                }
            }
        }
        std::printf("%s\n", name);
        print_spread("rho from a VOR/DME", "NM", from_stations);
        print_spread("rho from a localizer's antenna", "NM", from_localizers);
        print_spread("the same, as if it were read on the localizer's DME", "NM", to_dme);
        print_spread("theta from its aid", "degrees", angles);
        EXPECT_GT(from_stations.size() + from_localizers.size(), 40U);
        EXPECT_GT(angles.size(), 40U);
    }
}

}  // namespace omniway::readers
