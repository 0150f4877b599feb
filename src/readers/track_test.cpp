#include "readers/track.hpp"

#include <cctype>
#include <chrono>
#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck.h>

#include "base/result.hpp"
#include "tests/broken_samples.hpp"
#include "tests/real_data.hpp"

namespace omniway::readers {

using omniway::testing::expected_errors;
using omniway::testing::ExpectedError;
using ::testing::HasSubstr;

namespace {

// A name that a test sees once: every reader's where begins with it.
const std::string file_name = "t.file";

TrackReading good_track(const std::string& bytes, const TrackSetting& setting = {}) {
    auto read = read_track(bytes, file_name, setting);
    EXPECT_TRUE(read) << (read ? "" : base::to_text(read.error()));
    return read ? std::move(*read) : TrackReading{};
}

base::Error bad_track(const std::string& bytes, const TrackSetting& setting = {}) {
    const auto read = read_track(bytes, file_name, setting);
    EXPECT_FALSE(read) << "a track of " << (read ? read->value.points.size() : 0) << " points";
    return read ? base::Error{} : read.error();
}

std::string codes_and_places(const TrackReading& reading) {
    std::string text;
    for (const base::Error& error : reading.diagnostics) {
        text += (text.empty() ? "" : ", ") + error.code + " " + error.where.substr(file_name.size() + 1);
    }
    return text;
}

/// A sentence with its $ and a checksum reckoned here, apart from the reader.
std::string sentence(const std::string& body) {
    int sum = 0;
    for (const char c : body) {
        sum ^= c;
    }
    return fmt::format("${}*{:02X}\r\n", body, sum);
}

std::string gga(const std::string& time, double minutes, const std::string& altitude = "1000.0") {
    return sentence(
        fmt::format("GPGGA,{},48{:07.4f},N,01131.0000,E,1,08,0.9,{},M,46.9,M,,", time, minutes, altitude));
}

std::string rmc(const std::string& time, double minutes, const std::string& date) {
    return sentence(
        fmt::format("GPRMC,{},A,48{:07.4f},N,01131.0000,E,120.0,000.0,{},003.1,W", time, minutes, date));
}

std::string gpx(const std::string& inside) {
    return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
           "<gpx version=\"1.1\" creator=\"test\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n" +
           inside + "</gpx>\n";
}

std::string trkpt(const std::string& latitude, const std::string& longitude, const std::string& time,
                  const std::string& elevation = "") {
    return "<trkpt lat=\"" + latitude + "\" lon=\"" + longitude + "\">" +
           (elevation.empty() ? "" : "<ele>" + elevation + "</ele>") +
           (time.empty() ? "" : "<time>" + time + "</time>") + "</trkpt>\n";
}

std::string trk(const std::string& points, const std::string& name = "") {
    return "<trk>" + (name.empty() ? "" : "<name>" + name + "</name>") + "<trkseg>\n" + points +
           "</trkseg></trk>\n";
}

const std::string csv_head = "time_utc,latitude_deg,longitude_deg,altitude_ft\n";

std::chrono::sys_days date(int year, unsigned month, unsigned day) {
    return std::chrono::sys_days(std::chrono::year(year) / static_cast<int>(month) / static_cast<int>(day));
}

}  // namespace

// --- NMEA 0183 ---

// The two sentences that receivers' manuals and teaching texts print, with their checksums and the words beside them: "fix taken at
// 12:35:19 UTC, latitude 48 deg 07.038' N, longitude 11 deg 31.000' E, altitude 545.4 metres above mean sea level", "23 March 1994"
// (D. DePriest, NMEA data; M. Baddeley, GPS NMEA sentence information).
TEST(TruthNmea, TheSentencesOfTheManualsGiveTheirTimePlaceAltitudeAndDate) {
    const TrackReading read = good_track(
        "$GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,*47\r\n"
        "$GPRMC,123519,A,4807.038,N,01131.000,E,022.4,084.4,230394,003.1,W*6A\r\n" +
        gga("123520", 7.039));
    ASSERT_EQ(read.value.points.size(), 2U);
    EXPECT_EQ(read.form, TrackForm::nmea);
    EXPECT_EQ(read.value.day, date(1994, 3, 23));
    const earth::TrackPoint& point = read.value.points.front();
    EXPECT_NEAR(point.time.count(), 12 * 3600 + 35 * 60 + 19, 1e-6);
    EXPECT_NEAR(point.place.latitude_deg(), 48.0 + 7.038 / 60.0, 1e-12);
    EXPECT_NEAR(point.place.longitude_deg(), 11.0 + 31.0 / 60.0, 1e-12);
    ASSERT_TRUE(point.altitude);
    EXPECT_NEAR(point.altitude->metres(), 545.4, 1e-9);
    EXPECT_EQ(point.line, 1U);
    EXPECT_EQ(codes_and_places(read), "");
}

// Cypress Solutions, CTM-200 report messages 80 and 82: a GGA with a negative altitude and no separation, an RMC of NMEA 0183 version 2
// and one of version 3, each with its printed checksum.
TEST(TruthNmea, SentencesOfBothVersionsHoldTheirPrintedChecksums) {
    const TrackReading version_2 = good_track(
        "$GPGGA,001206.00,4911.2236,N,12254.4779,W,1,8,01.1,-00015,M,,M,,0000*5F\n"
        "$GPRMC,001207.00,A,4911.2236,N,12254.4779,W,012.3,201.0,170109,,*2D\n");
    EXPECT_EQ(version_2.value.day, date(2009, 1, 17));
    ASSERT_EQ(version_2.value.points.size(), 2U);
    EXPECT_NEAR(version_2.value.points[0].altitude->metres(), -15.0, 1e-9);
    EXPECT_FALSE(version_2.value.points[1].altitude) << "an RMC gives none";
    const TrackReading version_3 =
        good_track("$GPRMC,222414.00,A,4915.3920,N,12259.8072,W,000.2,242.0,211210,,,A*49\n" +
                   sentence("GPRMC,222415.00,A,4915.3920,N,12259.8072,W,000.2,242.0,211210,,,A"));
    EXPECT_EQ(version_3.value.day, date(2010, 12, 21));
    EXPECT_NEAR(version_3.value.points[0].place.longitude_deg(), -(122.0 + 59.8072 / 60.0), 1e-12);
}

TEST(CaseNmea, ABadChecksumIsLeftOutAndToldWithItsLine) {
    std::string spoiled = gga("120001", 2.0);
    spoiled[spoiled.find("4802")] = '5';
    std::string none = gga("120002", 3.0);
    none.erase(none.find('*'));
    const TrackReading read =
        good_track(gga("120000", 1.0) + spoiled + none + "\n" + gga("120003", 1.1) + "noise\n");
    EXPECT_EQ(codes_and_places(read), "track.checksum 2:1, track.checksum 3:1, track.not_a_sentence 5:1");
    EXPECT_EQ(read.counts.rows, 5U);
    EXPECT_EQ(read.counts.used, 2U);
    EXPECT_EQ(read.counts.not_used.at("track.checksum"), 2U);
    EXPECT_FALSE(read.value.day) << "no RMC, no date";
}

TEST(CaseNmea, AChecksumOfSmallLettersHoldsToo) {
    std::string small = gga("120001", 1.0);
    for (std::size_t i = small.find('*'); i < small.size(); ++i) {
        small[i] = static_cast<char>(std::tolower(static_cast<unsigned char>(small[i])));
    }
    EXPECT_EQ(good_track(gga("120000", 1.0) + small).value.points.size(), 2U);
}

TEST(CaseNmea, TheDateOfAnRmcGoesOnAtMidnightAndIsReckonedBackBeforeIt) {
    const TrackReading read = good_track(gga("235958", 1.00) + gga("235959", 1.03) + gga("000000", 1.06) +
                                         rmc("000001", 1.09, "010124") + gga("000002", 1.12));
    ASSERT_EQ(read.value.points.size(), 5U);
    EXPECT_EQ(read.value.day, date(2023, 12, 31));
    for (std::size_t i = 0; i < 5; ++i) {
        EXPECT_NEAR(read.value.points[i].time.count(), 86398.0 + static_cast<double>(i), 1e-6);
    }
    EXPECT_EQ(earth::moment_text(read.value.day, read.value.points[4].time), "2024-01-01T00:00:02Z");
    const TrackReading forward =
        good_track(rmc("235958", 1.00, "280224") + gga("235959", 1.03) + gga("000000.50", 1.06));
    EXPECT_EQ(earth::moment_text(forward.value.day, forward.value.points[2].time), "2024-02-29T00:00:00.5Z");
}

TEST(CaseNmea, TimesWithoutADateGoOnAfterMidnight) {
    const TrackReading read = good_track(gga("235959", 1.0) + gga("000000", 1.03));
    EXPECT_FALSE(read.value.day);
    EXPECT_NEAR(read.value.points[1].time.count(), 86400.0, 1e-6);
}

TEST(CaseNmea, WhatTheReceiverDidNotMeasureIsLeftOut) {
    const auto of = [](const std::string& quality, const std::string& mode, const std::string& status) {
        return sentence("GPGGA,120001,4801.0000,N,01131.0000,E," + quality + ",08,0.9,1000.0,M,46.9,M,,") +
               sentence("GPRMC,120002," + status + ",4801.0000,N,01131.0000,E,1.0,0.0,261126,3.1,W," + mode);
    };
    for (const std::string quality : {"0", "6", "7", "", "11"}) {
        EXPECT_THAT(codes_and_places(good_track(gga("120000", 1.0) + of(quality, "A", "A"))),
                    "track.no_fix 2:1")
            << quality;
    }
    for (const std::string mode : {"E", "M", "N"}) {
        EXPECT_THAT(codes_and_places(good_track(gga("120000", 1.0) + of("1", mode, "A"))), "track.no_fix 3:1")
            << mode;
    }
    EXPECT_THAT(codes_and_places(good_track(gga("120000", 1.0) + of("8", "S", "V"))), "track.no_fix 3:1");
    EXPECT_EQ(good_track(gga("120000", 1.0) + of("8", "S", "A")).value.points.size(), 3U)
        << "a simulator's is flown at home";
}

TEST(CaseNmea, AFieldThatIsWrongIsToldAtItsColumn) {
    const auto told = [](const std::string& body) {
        return codes_and_places(good_track(gga("120000", 1.0) + sentence(body) + gga("120009", 1.1)));
    };
    EXPECT_EQ(told("GPGGA,256000,4801.0,N,01131.0,E,1,08,0.9,,M,,M,,"), "read.out_of_range 2:8");
    EXPECT_EQ(told("GPGGA,1200,4801.0,N,01131.0,E,1,08,0.9,,M,,M,,"), "read.not_a_number 2:8");
    EXPECT_EQ(told("GPGGA,120001,9101.0,N,01131.0,E,1,08,0.9,,M,,M,,"), "read.out_of_range 2:15");
    EXPECT_EQ(told("GPGGA,120001,4860.0,N,01131.0,E,1,08,0.9,,M,,M,,"), "read.out_of_range 2:15");
    EXPECT_EQ(told("GPGGA,120001,4801.0,X,01131.0,E,1,08,0.9,,M,,M,,"), "read.not_a_number 2:15");
    EXPECT_EQ(told("GPGGA,120001,4801.0,N,,E,1,08,0.9,,M,,M,,"), "read.value_missing 2:24");
    EXPECT_EQ(told("GPRMC,120001,A,4801.0,N,01131.0,E,1,0,310223,,"), "read.out_of_range 2:40");
    EXPECT_EQ(told("GPGGA,120001,4801.0,N,01131.0,E,1,08,0.9,99999,M,,M,,"), "remark.altitude_left_out 2:43");
    EXPECT_EQ(told("GPGGA,120001,4801.0,N,01131.0,E,1,08,0.9,,M,,M,,"), "")
        << "no altitude is none, and no fault";
}

TEST(CaseNmea, OfOneMomentThePlaceIsThatOfTheGgaAndTheDateThatOfTheRmc) {
    // A plotter relays its RMC late: both sentences stand in either order and differ in place.
    for (const bool gga_first : {true, false}) {
        const std::string of_gga = gga("120000", 1.5);
        const std::string of_rmc = rmc("120000", 1.4, "261126");
        const TrackReading read =
            good_track((gga_first ? of_gga + of_rmc : of_rmc + of_gga) + gga("120001", 1.5));
        ASSERT_EQ(read.value.points.size(), 2U);
        EXPECT_EQ(read.value.day, date(2026, 11, 26));
        EXPECT_NEAR(read.value.points[0].place.latitude_deg(), 48.0 + 1.5 / 60.0, 1e-9);
        EXPECT_TRUE(read.value.points[0].altitude);
        EXPECT_EQ(read.value.points[0].line, gga_first ? 1U : 2U);
        EXPECT_EQ(codes_and_places(read), "");
    }
}

TEST(CaseNmea, AnAltitudeThatIsNotGivenIsNotZero) {
    const TrackReading read = good_track(gga("120000", 1.0, "") + gga("120001", 1.0, "0.0"));
    EXPECT_FALSE(read.value.points[0].altitude);
    ASSERT_TRUE(read.value.points[1].altitude);
    EXPECT_EQ(read.value.points[1].altitude->metres(), 0.0);
}

TEST(CaseNmea, OtherSentencesTalkersAndTagBlocksArePassedOver) {
    const TrackReading read = good_track(
        "$PGRME,15.0,M,45.0,M,25.0,M*1C\n!AIVDM,1,1,,B,177KQJ5000G?tO`K>RA1wUbN0TKH,0*5C\n\\s:r3,c:"
        "1120959341*5D\\" +
        gga("120000", 1.0) + "\n" + sentence("GNGGA,120001,4801.0,N,01131.0,E,1,08,0.9,,M,,M,,"));
    EXPECT_EQ(read.value.points.size(), 2U);
    EXPECT_EQ(codes_and_places(read), "");
}

// --- GPX ---

TEST(CaseGpx, ATrackHasItsNameTimesPlacesAndHeights) {
    const TrackReading read = good_track(
        gpx("<metadata><name>not this</name></metadata>\n" +
            trk(trkpt("48.1173", "11.51666667", "2026-11-26T14:07:30.5Z", "545.4") +
                    trkpt("48.1183", "-11.51666667", "2026-11-26T17:07:30+01:00") +
                    "<trkpt lat='48.1193' lon='-11.5167'><time>2026-11-26T16:07:31</time><extensions><x:ele "
                    "xmlns:x='urn:x'>9</x:ele><ele>8</ele></extensions><x:ele "
                    "xmlns:x='urn:x'>7</x:ele></trkpt>\n",
                "XDOV &amp; <![CDATA[back]]>")));
    EXPECT_EQ(read.form, TrackForm::gpx);
    EXPECT_EQ(read.value.name, "XDOV & back");
    EXPECT_EQ(read.value.day, date(2026, 11, 26));
    ASSERT_EQ(read.value.points.size(), 3U);
    EXPECT_NEAR(read.value.points[0].time.count(), 14 * 3600 + 7 * 60 + 30.5, 1e-6);
    EXPECT_NEAR(read.value.points[0].altitude->metres(), 545.4, 1e-9);
    EXPECT_EQ(read.value.points[0].line, 5U);
    EXPECT_NEAR(read.value.points[1].time.count(), 16 * 3600 + 7 * 60 + 30, 1e-6)
        << "an offset is turned into UTC";
    EXPECT_FALSE(read.value.points[1].altitude);
    EXPECT_NEAR(read.value.points[2].time.count(), 16 * 3600 + 7 * 60 + 31, 1e-6)
        << "without a zone it is UTC (GPX 1.1)";
    EXPECT_FALSE(read.value.points[2].altitude) << "an extension's element of that name is another's";
    ASSERT_EQ(read.gaps.size(), 1U);
    EXPECT_EQ(read.gaps[0].before, 0U);
}

TEST(CaseGpx, AFileInUtf16IsRead) {
    const std::string text =
        "<?xml version=\"1.0\" encoding=\"UTF-16\"?><gpx version=\"1.1\" creator=\"t\">" +
        trk(trkpt("1", "2", "2026-11-26T14:00:00Z") + trkpt("1", "2", "2026-11-26T14:00:01Z")) + "</gpx>";
    std::string wide = "\xFF\xFE";
    for (const char c : text) {
        wide += c;
        wide += '\0';
    }
    EXPECT_EQ(good_track(wide).value.points.size(), 2U);
}

// The file that grows to a gigabyte when its entities are expanded, as it is known since 2003 ("billion laughs"); one that has a file
// of the machine put in its place; and one that asks for a document type elsewhere.
TEST(CaseGpx, NoEntityIsExpandedAndNothingIsFetched) {
    std::string laughs = "<?xml version=\"1.0\"?>\n<!DOCTYPE gpx [\n <!ENTITY a0 \"lol\">\n";
    for (int i = 1; i < 10; ++i) {
        laughs += fmt::format(
            " <!ENTITY a{0} \"&a{1};&a{1};&a{1};&a{1};&a{1};&a{1};&a{1};&a{1};&a{1};&a{1};\">\n", i, i - 1);
    }
    laughs += "]>\n<gpx><trk><name>&a9;</name></trk></gpx>\n";
    const base::Error error = bad_track(laughs);
    EXPECT_EQ(error.code, "track.document_type");
    EXPECT_EQ(error.where, file_name + ":2:15") << "behind its name";
    EXPECT_EQ(bad_track("<!DOCTYPE gpx [<!ENTITY f SYSTEM "
                        "\"file:///etc/passwd\">]><gpx><trk><name>&f;</name></trk></gpx>")
                  .code,
              "track.document_type");
    EXPECT_EQ(bad_track("<!DOCTYPE gpx SYSTEM \"http://127.0.0.1/gpx.dtd\"><gpx/>").code,
              "track.document_type");
    EXPECT_EQ(bad_track("<gpx><trk><name>&undeclared;</name></trk></gpx>").code, "track.not_xml");
}

TEST(CaseGpx, ElementsAreNotReadDeeperThanAnyTrackHasThem) {
    std::string deep = "<gpx>";
    for (int i = 0; i < 200'000; ++i) {
        deep += "<a>";
    }
    EXPECT_EQ(bad_track(deep).code, "track.not_gpx");
}

TEST(CaseGpx, OtherXmlIsNamedAndRoutesAreNoTracks) {
    EXPECT_THAT(bad_track("<kml xmlns=\"http://www.opengis.net/kml/2.2\"/>").message, HasSubstr("'kml'"));
    const base::Error route = bad_track(gpx("<rte><rtept lat=\"1\" lon=\"2\"/></rte>"));
    EXPECT_EQ(route.code, "track.no_track");
    EXPECT_THAT(route.message, HasSubstr("1 route and 0 waypoints"));
    const base::Error broken = bad_track(gpx("<trk></trkseg></trk>"));
    EXPECT_EQ(broken.code, "track.not_xml");
    EXPECT_EQ(broken.where, file_name + ":3:8");
}

TEST(CaseGpx, PointsOutOfRangeOrWithoutTimeAreLeftOut) {
    const TrackReading read = good_track(gpx(trk(
        trkpt("91", "2", "2026-11-26T14:00:00Z") + trkpt("1", "181", "2026-11-26T14:00:01Z") +
        trkpt("1", "2", "") + trkpt("1", "2", "14:00") + trkpt("1", "2", "2026-02-30T14:00:00Z") +
        trkpt("one", "2", "2026-11-26T14:00:02Z") + trkpt("", "2", "2026-11-26T14:00:03Z") +
        trkpt("1", "2", "2026-11-26T14:00:04Z", "high") + trkpt("1", "2", "2026-11-26T14:00:05Z", "99999"))));
    EXPECT_EQ(codes_and_places(read),
              "read.out_of_range 4:1, read.out_of_range 5:1, track.no_time 6:1, track.time_form 7:24, "
              "read.out_of_range 8:24, read.not_a_number 9:1, read.value_missing 10:1, "
              "remark.altitude_left_out 11:24, remark.altitude_left_out 12:24");
    EXPECT_EQ(read.value.points.size(), 2U);
    EXPECT_EQ(read.counts.rows, 9U);
    EXPECT_EQ(read.counts.used + read.counts.not_used_in_all(), read.counts.rows);
    EXPECT_EQ(read.counts.remarks, 2U);
    EXPECT_FALSE(read.value.points[0].altitude);
}

TEST(CaseGpx, AFileThatEndsEarlyIsUsedAsFarAsItIsWhole) {
    const std::string whole =
        gpx(trk(trkpt("1", "2", "2026-11-26T14:00:00Z") + trkpt("1", "2.001", "2026-11-26T14:00:04Z") +
                trkpt("1", "2.002", "2026-11-26T14:00:08Z")));
    const std::string cut = whole.substr(0, whole.rfind("</time>"));
    const TrackReading read = good_track(cut);
    EXPECT_EQ(read.value.points.size(), 2U);
    EXPECT_EQ(read.diagnostics.size(), 1U);
    EXPECT_EQ(read.diagnostics[0].code, "remark.track_cut_short");
}

// --- CSV ---

TEST(CaseTrackCsv, ColumnsStandInAnyOrderAndTimesInThreeForms) {
    // Quoting and CRLF: RFC 4180, section 2, rules 1 and 5.
    const TrackReading dated = good_track(
        "\"Altitude_ft\",LON_deg,lat_deg,time_utc\r\n5000,-71.5,\"40.25\",2026-11-26T14:00:00.25Z\r\n,-71.5,"
        "40.25,"
        "2026-11-26 14:00:02\r\n");
    EXPECT_EQ(dated.form, TrackForm::csv);
    EXPECT_EQ(dated.value.day, date(2026, 11, 26));
    ASSERT_EQ(dated.value.points.size(), 2U);
    EXPECT_NEAR(dated.value.points[0].time.count(), 50400.25, 1e-6);
    EXPECT_NEAR(dated.value.points[0].altitude->feet(), 5000.0, 1e-9);
    EXPECT_FALSE(dated.value.points[1].altitude);
    EXPECT_EQ(dated.value.points[1].line, 3U);
    const TrackReading of_day =
        good_track("time_of_day_s,latitude_deg,longitude_deg,altitude_m\n86399,1,2,100\n1.5,1,2,100\n");
    EXPECT_FALSE(of_day.value.day);
    EXPECT_NEAR(of_day.value.points[1].time.count(), 86401.5, 1e-6);
    EXPECT_NEAR(of_day.value.points[1].altitude->metres(), 100.0, 1e-9);
    const TrackReading two_columns = good_track(
        "date_utc,time_utc,latitude_deg,longitude_deg\n2026-11-26,23:59:59,1,2\n2026-11-27,00:00:01,1,2\n");
    EXPECT_EQ(two_columns.value.day, date(2026, 11, 26));
    EXPECT_NEAR(two_columns.value.points[1].time.count(), 86401.0, 1e-6);
}

TEST(CaseTrackCsv, TimesAreOfTheYears1900To2100AndOfTheCalendar) {
    const auto told = [](const std::string& time) {
        return codes_and_places(
            good_track(csv_head + "1900-01-01T00:00:00Z,1,2,\n" + time +
                           ",1,2,\n2100-12-31T23:59:59Z,1,2,\n2100-12-31T23:59:59.5Z,1,2,\n",
                       {.flight = 1}));
    };
    for (const std::string out : {"1899-12-31T23:59:59Z", "2101-01-01T00:00:00Z", "2026-02-29T00:00:00Z",
                                  "2026-13-01T00:00:00Z", "2026-11-26T24:00:01Z", "2026-11-26T23:60:00Z",
                                  "2026-11-26T23:59:61Z", "2026-11-26T00:00:00+15:00"}) {
        EXPECT_THAT(told(out), HasSubstr("read.out_of_range 3:1")) << out;
    }
    for (const std::string strange :
         {"2026-11-26", "2026-11-26T14:07", "26-11-2026T14:07:00Z", "2026-11-26T14:07:00.Z",
          "2026-11-26T14:07:00Zulu", "2026-11-26T14:07:00+1", "14h07"}) {
        EXPECT_THAT(told(strange), HasSubstr("track.time_form 3:1")) << strange;
    }
}

TEST(CaseTrackCsv, TheEndOfADayMayBeWritten24AndALeapSecond60) {
    // ISO 8601, 4.2.3 (24:00:00 is the end of a day) and 4.2.1 (the leap second at the end of 2016-12-31).
    const TrackReading read = good_track(csv_head +
                                             "2016-12-31T23:59:59Z,1,2,\n2016-12-31T23:59:60Z,1,2,\n"
                                             "2017-01-01T24:00:00Z,1,2,\n2017-01-02T00:00:01Z,1,2,\n",
                                         {.flight = 1});
    EXPECT_EQ(earth::moment_text(read.value.day, read.value.points.back().time), "2017-01-01T00:00:00Z");
}

TEST(CaseTrackCsv, ANameWithoutItsUnitIsRefusedAndAColumnThatIsNotUsedIsTold) {
    EXPECT_EQ(bad_track("time_utc,lat,longitude_deg\n").code, "track.column_without_unit");
    EXPECT_EQ(bad_track("time,latitude_deg,longitude_deg\n").where, file_name + ":1:1");
    EXPECT_EQ(bad_track("time_utc,latitude_deg,longitude_deg,altitude_m,altitude_ft\n").code,
              "read.column_unknown");
    EXPECT_EQ(bad_track("time_utc,latitude_deg\n").code, "read.column_missing");
    EXPECT_EQ(codes_and_places(good_track(
                  "time_utc,latitude_deg,longitude_deg,speed_kt\n14:00:00,1,2,90\n14:00:01,1,2,90\n")),
              "remark.column_not_used 1:37");
}

TEST(CaseTrackCsv, ARowThatIsWrongIsToldAtItsPlaceAndLeftOut) {
    const TrackReading read =
        good_track(csv_head +
                   "14:00:00,1,2,100\n14:00:01,1\n14:0x:02,1,2,100\n,1,2,100\n14:00:04,91,2,100\n14:00:05,1,"
                   "\"2,100\n2026-11-26T14:00:06Z,1,2,100\n14:00:07,1,2,\"100\"x\n14:00:08,1,2,100\n");
    EXPECT_EQ(
        codes_and_places(read),
        "read.wrong_field_count 3:1, track.time_form 4:1, read.value_missing 5:1, read.out_of_range 6:10, "
        "read.quote_not_closed 7:12, read.text_after_quote 9:19, track.date_missing 8:1");
    EXPECT_EQ(read.value.points.size(), 2U);
}

// --- what the times and places of any form must be ---

TEST(CaseTrack, ATimeThatGoesBackwardIsRefusedWithItsPlace) {
    const base::Error error = bad_track(csv_head + "14:00:05,1,2,\n14:00:04.5,1,2,\n14:00:09,1,2,\n");
    EXPECT_EQ(error.code, "track.time_backward");
    EXPECT_EQ(error.where, file_name + ":3:1");
    EXPECT_THAT(error.message, HasSubstr("from 14:00:05Z on line 2 to 14:00:04.5Z"));
}

TEST(CaseTrack, OfTwoPointsAtOneTimeTheFirstIsUsed) {
    const TrackReading read = good_track(csv_head + "14:00:05,1,2,\n14:00:05,1,2,\n14:00:06,1,2,\n");
    EXPECT_EQ(codes_and_places(read), "track.same_time 3:1");
    EXPECT_EQ(read.value.points.size(), 2U);
}

TEST(CaseTrack, AJumpFasterThanAThousandKnotsIsLeftOutAndAFlightAsFastIsNot) {
    // A degree of the meridian of WGS 84 from 45 to 46 north is 111,141.548 m: a(1 - e2)/(1 - e2 sin2)^(3/2) summed apart from this.
    const auto rows = [](double knots) {
        const double degrees = knots * 10.0 / 3600.0 * 1852.0 / 111'141.548;
        std::string text = csv_head;
        for (int i = 0; i < 6; ++i) {
            text += fmt::format("14:00:{:02},{:.9f},0,\n", i * 10, 45.0 + i * degrees);
        }
        return text;
    };
    EXPECT_EQ(codes_and_places(good_track(rows(999.0))), "");
    EXPECT_EQ(bad_track(rows(1001.0)).code, "track.nothing_left") << "nothing of it can have been flown";
}

TEST(CaseTrack, WildPointsAreLeftOutWhereverTheyStand) {
    for (const std::size_t wild : {std::size_t{0}, std::size_t{5}, std::size_t{6}, std::size_t{19}}) {
        std::string text = csv_head;
        for (std::size_t i = 0; i < 20; ++i) {
            text += fmt::format("14:00:{:02},{:.4f},2,\n", i,
                                i == wild ? 3.0 : 1.0 + 0.0005 * static_cast<double>(i));
        }
        const TrackReading read = good_track(text);
        EXPECT_EQ(read.value.points.size(), 19U) << wild;
        EXPECT_EQ(read.counts.rows, 20U) << wild;
        ASSERT_EQ(read.diagnostics.size(), 1U) << wild;
        EXPECT_EQ(read.diagnostics[0].where, fmt::format("{}:{}:1", file_name, wild + 2));
    }
}

TEST(CaseTrack, AWildPointBetweenPointsFarApartInTimeIsLeftOutToo) {
    std::string text = csv_head;
    for (int i = 0; i < 9; ++i) {
        text +=
            fmt::format("14:{:02}:{:02},{},2,\n", i * 40 / 60, i * 40 % 60, i == 4 ? 40.0 : 1.0 + 0.02 * i);
    }
    const TrackReading read = good_track(text);
    EXPECT_EQ(codes_and_places(read), "track.jump 6:1");
    EXPECT_EQ(read.value.points.size(), 8U);
}

TEST(CaseTrack, AReceiverThatIsLostForAWhileIsFollowedWhenItIsBack) {
    std::string text = csv_head;
    for (int i = 0; i < 50; ++i) {
        const bool lost = i >= 10 && i < 30;
        text += fmt::format("14:00:{:02},{:.4f},{},\n", i, 1.0 + 0.0005 * i, lost ? 5 : 2);
    }
    const TrackReading read = good_track(text);
    EXPECT_EQ(read.value.points.size(), 30U);
    EXPECT_EQ(read.counts.not_used.at("track.jump"), 20U);
    EXPECT_EQ(read.flights, 1U);
}

TEST(CaseTrack, ATrackThatLeapsAndStaysIsTwoFlights) {
    std::string text = csv_head;
    for (int i = 0; i < 50; ++i) {
        text += fmt::format("14:00:{:02},{:.4f},{},\n", i, 1.0 + 0.0005 * i, i >= 20 ? 5 : 2);
    }
    EXPECT_EQ(bad_track(text).code, "track.two_flights");
    EXPECT_EQ(good_track(text, {.flight = 2}).value.points.size(), 30U);
}

TEST(CaseTrack, AStopOnTheGroundBetweenTwoFlightsMakesThemTwo) {
    const std::string two = csv_head +
                            "14:00:00,1,2,\n14:01:00,1.02,2,\n14:02:00,1.04,2,\n"
                            "14:33:00,1.0405,2,\n14:34:00,1.06,2,\n";
    const base::Error error = bad_track(two);
    EXPECT_EQ(error.code, "track.two_flights");
    EXPECT_EQ(error.where, file_name + ":5:1");
    EXPECT_THAT(error.message,
                HasSubstr("1 from 14:00:00Z on line 2 to 14:02:00Z on line 4; 2 from 14:33:00Z on line 5 "
                          "to 14:34:00Z on line 6; choose one, as --track 1"));
    EXPECT_EQ(good_track(two, {.flight = 1}).value.points.size(), 3U);
    const TrackReading second = good_track(two, {.flight = 2});
    EXPECT_EQ(second.value.points.size(), 2U);
    EXPECT_EQ(second.flight, 2U);
    EXPECT_EQ(second.flights, 2U);
    EXPECT_EQ(bad_track(two, {.flight = 3}).code, "track.no_such_flight");
    EXPECT_EQ(bad_track(two, {.flight = 0}).code, "track.no_such_flight");
    // 31 minutes in which 60 NM were flown are a gap in one flight.
    const TrackReading one = good_track(csv_head + "14:00:00,1,2,\n14:01:00,1.02,2,\n14:32:00,2.02,2,\n");
    ASSERT_EQ(one.gaps.size(), 1U);
    EXPECT_EQ(one.gaps[0].before, 1U);
    EXPECT_NEAR((one.gaps[0].to - one.gaps[0].from).count(), 31 * 60, 1e-6);
    // 29 minutes on the ground are not enough.
    EXPECT_EQ(good_track(csv_head + "14:00:00,1,2,\n14:01:00,1.02,2,\n14:30:00,1.02,2,\n").flights, 1U);
}

TEST(CaseTrack, TwoTracksInAFileAreTwoFlightsAndOneOfThemMayBeOfNoUse) {
    const std::string morning =
        trk(trkpt("1", "2", "2026-11-26T09:00:00Z") + trkpt("1", "2", "2026-11-26T09:00:01Z"), "Morning");
    const std::string evening =
        trk(trkpt("1", "2", "2026-11-26T19:00:00Z") + trkpt("1", "2", "2026-11-26T19:00:01Z"), "Evening");
    const std::string backward =
        trk(trkpt("1", "2", "2026-11-26T12:00:05Z") + trkpt("1", "2", "2026-11-26T12:00:01Z"), "Noon");
    const std::string untimed = trk(trkpt("1", "2", "") + trkpt("1", "2", ""), "Plan");
    const base::Error error = bad_track(gpx(evening + morning));
    EXPECT_EQ(error.code, "track.two_flights");
    EXPECT_THAT(error.message, HasSubstr("1 'Evening' from 2026-11-26T19:00:00Z on line 4"));
    EXPECT_THAT(error.message, HasSubstr("2 'Morning' from 2026-11-26T09:00:00Z on line 8"));
    EXPECT_EQ(good_track(gpx(evening + morning), {.flight = 2}).value.name, "Morning");
    EXPECT_EQ(good_track(gpx(backward + morning), {.flight = 2}).value.name, "Morning");
    EXPECT_EQ(bad_track(gpx(backward + morning), {.flight = 1}).code, "track.time_backward");
    EXPECT_EQ(good_track(gpx(untimed + morning)).value.name, "Morning");
    const base::Error none = bad_track(gpx(untimed));
    EXPECT_EQ(none.code, "track.nothing_left");
    EXPECT_THAT(none.message,
                HasSubstr("none of its points (2) can be used; the first reason is at t.file:4:1"));
}

TEST(CaseTrack, GapsAreToldFromWhereToWhere) {
    const std::string text = csv_head + "14:00:00,1,2,\n14:01:00,1,2,\n14:02:01,1,2,\n14:02:02,1,2,\n";
    const TrackReading read = good_track(text);
    ASSERT_EQ(read.gaps.size(), 1U) << "60 s are not longer than a minute, 61 s are";
    EXPECT_EQ(read.gaps[0].before, 1U);
    EXPECT_EQ(earth::moment_text(read.value.day, read.gaps[0].from), "14:01:00Z");
    EXPECT_EQ(earth::moment_text(read.value.day, read.gaps[0].to), "14:02:01Z");
    EXPECT_EQ(good_track(text, {.longest_gap = base::Duration(30.0)}).gaps.size(), 2U);
}

TEST(CaseTrack, AcrossTheAntimeridianNothingJumps) {
    const TrackReading read =
        good_track(csv_head + "14:00:00,1,179.999,\n14:00:05,1,-179.999,\n14:00:10,1,-179.997,\n");
    EXPECT_EQ(read.value.points.size(), 3U);
    EXPECT_EQ(codes_and_places(read), "");
}

TEST(CaseTrack, WhatStandsInAFileSaysItsFormAndNotItsName) {
    EXPECT_EQ(form_of_track("\xEF\xBB\xBF \n<?xml?>"), TrackForm::gpx);
    EXPECT_EQ(form_of_track("# log of a receiver\n45*00\n$GPGGA,1"), TrackForm::nmea);
    EXPECT_EQ(form_of_track("time_utc,latitude_deg,longitude_deg\n"), TrackForm::csv);
    EXPECT_FALSE(form_of_track(""));
    EXPECT_FALSE(form_of_track("A file of prose, with a comma.\n"));
    EXPECT_EQ(bad_track("").code, "read.file_empty");
    EXPECT_EQ(bad_track("AXXX flight recorder\n").code, "track.form_unknown");
    EXPECT_EQ(read_track_file("tests/broken/no-such-file.gpx").error().code, "read.file_missing");
    EXPECT_EQ(read_track_file("tests/broken").error().code, "read.not_a_file");
}

TEST(SlowCaseTrack, AMillionPointsAreReadAndNoneMore) {
    std::string text = "time_of_day_s,latitude_deg,longitude_deg\n";
    for (int i = 0; i < 1'000'000; ++i) {
        text += fmt::format("{:.2f},1,2\n", i * 0.05);
    }
    EXPECT_EQ(good_track(text).value.points.size(), 1'000'000U);
    text += "50001,1,2\n";
    EXPECT_EQ(bad_track(text).code, "track.too_many_points");
}

TEST(BrokenTracks, EachIsToldAtItsPlace) {
    const auto expected = expected_errors("tests/broken/track-expected.txt");
    std::size_t files = 0;
    for (const auto& entry : std::filesystem::directory_iterator("tests/broken")) {
        const std::string name = entry.path().filename().string();
        if (!name.starts_with("track-") || name == "track-expected.txt") {
            continue;
        }
        SCOPED_TRACE(name);
        ++files;
        ASSERT_TRUE(expected.contains(name)) << "track-expected.txt says nothing of it";
        const std::vector<ExpectedError>& wanted = expected.at(name);
        const auto read = read_track_file(entry.path().string());
        const std::vector<base::Error> told = read ? read->diagnostics : std::vector{read.error()};
        std::string all;
        for (const base::Error& error : told) {
            all += base::to_text(error) + "\n";
        }
        ASSERT_EQ(told.size(), wanted.size()) << all;
        for (std::size_t i = 0; i < wanted.size(); ++i) {
            EXPECT_EQ(told[i].code, wanted[i].code) << all;
            EXPECT_EQ(told[i].where, wanted[i].place == "-" ? name : name + ":" + wanted[i].place) << all;
            EXPECT_THAT(told[i].message, HasSubstr(wanted[i].words));
        }
    }
    EXPECT_EQ(files, expected.size());
}

// One flight, its places on a grid of a hundred-thousandth of a minute and its times of a hundredth of a second, written in each form
// here. That the forms agree holds each of them against the others.
TEST(LawTrack, OneFlightIsTheSameTrackInAllThreeForms) {
    rc::check([] {
        constexpr long degree = 60 * 100'000;
        long latitude = *rc::gen::inRange<long>(-80 * degree, 80 * degree);
        long longitude = *rc::gen::inRange<long>(-179 * degree, 179 * degree);
        const auto first_day = date(2026, 11, 1) + std::chrono::days(*rc::gen::inRange(0, 300));
        long time_cs = *rc::gen::inRange<long>(0, 8'640'000);
        std::string as_gpx;
        std::string as_nmea;
        std::string as_csv = "time_utc,latitude_deg,longitude_deg,altitude_m\n";
        const int count = *rc::gen::inRange(2, 20);
        for (int i = 0; i < count; ++i) {
            const std::chrono::year_month_day day(first_day + std::chrono::days(time_cs / 8'640'000));
            const long of_day = time_cs % 8'640'000;
            const auto year = static_cast<int>(day.year());
            const auto month = static_cast<unsigned>(day.month());
            const auto day_number = static_cast<unsigned>(day.day());
            const std::string stamp =
                fmt::format("{:04}-{:02}-{:02}T{:02}:{:02}:{:02}.{:02}Z", year, month, day_number,
                            of_day / 360'000, of_day / 6'000 % 60, of_day / 100 % 60, of_day % 100);
            const std::string clock = fmt::format("{:02}{:02}{:02}.{:02}", of_day / 360'000,
                                                  of_day / 6'000 % 60, of_day / 100 % 60, of_day % 100);
            const auto angle = [](long value, int width, char positive, char negative) {
                const long size = std::labs(value);
                return fmt::format("{:0{}}{:02}.{:05},{}", size / degree, width, size % degree / 100'000,
                                   size % 100'000, value < 0 ? negative : positive);
            };
            const std::string place = angle(latitude, 2, 'N', 'S') + "," + angle(longitude, 3, 'E', 'W');
            const int altitude_dm = *rc::gen::inRange(-4'000, 180'000);
            const std::string altitude = fmt::format("{:.1f}", altitude_dm / 10.0);
            const std::string north = fmt::format("{:.10f}", static_cast<double>(latitude) / degree);
            const std::string east = fmt::format("{:.10f}", static_cast<double>(longitude) / degree);
            as_gpx += trkpt(north, east, stamp, altitude);
            as_nmea += sentence("GPGGA," + clock + "," + place + ",1,08,0.9," + altitude + ",M,,M,,");
            as_nmea += sentence(fmt::format("GNRMC,{},A,{},100.0,000.0,{:02}{:02}{:02},,,A", clock, place,
                                            day_number, month, year % 100));
            as_csv += stamp + "," + north + "," + east + "," + altitude + "\n";
            const long passed_cs = *rc::gen::inRange<long>(1, 9'000);
            // A minute of either in 9 s is 400 kt, of both at the equator 566.
            latitude += passed_cs * *rc::gen::inRange<long>(-100, 101);
            longitude += passed_cs * *rc::gen::inRange<long>(-100, 101);
            time_cs += passed_cs;
        }
        const auto of_gpx = read_track(gpx(trk(as_gpx)), file_name);
        const auto of_nmea = read_track(as_nmea, file_name);
        const auto of_csv = read_track(as_csv, file_name);
        RC_ASSERT(bool(of_gpx));
        for (const auto* const other : {&of_nmea, &of_csv}) {
            RC_ASSERT(bool(*other));
            RC_ASSERT((*other)->diagnostics.empty());
            RC_ASSERT((*other)->value.day == of_gpx->value.day);
            RC_ASSERT((*other)->value.points.size() == static_cast<std::size_t>(count));
            RC_ASSERT((*other)->gaps.size() == of_gpx->gaps.size());
            for (std::size_t i = 0; i < of_gpx->value.points.size(); ++i) {
                const earth::TrackPoint& a = of_gpx->value.points[i];
                const earth::TrackPoint& b = (*other)->value.points[i];
                RC_ASSERT(std::abs((a.time - b.time).count()) < 2e-6);
                RC_ASSERT(std::abs(a.place.latitude_deg() - b.place.latitude_deg()) < 1e-9);
                RC_ASSERT(std::abs(a.place.longitude_deg() - b.place.longitude_deg()) < 1e-9);
                RC_ASSERT(a.altitude == b.altitude);
            }
        }
    });
}

// Cut at every byte, and each byte spoiled in turn: it may be refused, it may be used in part, and what is used is in order.
TEST(LawTrack, NothingThatIsCutOrSpoiledBreaksAReader) {
    const std::vector<std::string> files{
        gpx(trk(trkpt("1", "2", "2026-11-26T14:00:00Z", "10") +
                    trkpt("1", "2.001", "2026-11-26T14:00:04Z", "20") +
                    trkpt("1", "2.002", "2026-11-26T14:00:08Z", "30"),
                "N&#228;me")),
        rmc("235958", 1.00, "280224") + gga("235959", 1.03) + gga("000000.50", 1.06),
        csv_head +
            "2026-11-26T14:00:00Z,1,2,\"1\"\"00\"\r\n2026-11-26T14:00:01Z,\"1\",2,100\r\n2026-11-26T14:00:"
            "02Z,1,2,\n"};
    const auto holds = [](const std::string& bytes) {
        const auto read = read_track(bytes, file_name);
        if (!read) {
            EXPECT_FALSE(read.error().code.empty());
            EXPECT_TRUE(read.error().where.starts_with(file_name)) << read.error().where;
            return;
        }
        EXPECT_GE(read->value.points.size(), 2U);
        EXPECT_EQ(read->counts.used, read->value.points.size());
        EXPECT_EQ(read->counts.used + read->counts.not_used_in_all(), read->counts.rows);
        for (std::size_t i = 1; i < read->value.points.size(); ++i) {
            EXPECT_GT(read->value.points[i].time, read->value.points[i - 1].time);
        }
    };
    for (const std::string& file : files) {
        EXPECT_TRUE(read_track(file, file_name)) << base::to_text(read_track(file, file_name).error());
        for (std::size_t i = 0; i < file.size(); ++i) {
            holds(file.substr(0, i));
            for (const char c : {'\0', '"', '<', '>', '&', ',', '\n', '9', '\xff', '$', '*', '-'}) {
                std::string spoiled = file;
                spoiled[i] = c;
                holds(spoiled);
            }
        }
    }
}

// --- files of receivers ---

TEST(TruthTrackRealData, AFileOfEveryFormOfNmeaIsReadToItsCounts) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    // A plotter on a sailing boat. Counted by a script apart: 138 GGA and 146 RMC of 148 moments, the first at 09:47:36 and the last at
    // 09:50:03, no checksum bad.
    const auto boat = read_track_file((folder / "tracks/bundg_zeus_9.nmea").string());
    ASSERT_TRUE(boat) << base::to_text(boat.error());
    EXPECT_EQ(boat->value.day, date(2018, 8, 20));
    EXPECT_EQ(earth::moment_text(boat->value.day, boat->value.points.front().time), "2018-08-20T09:47:36Z");
    EXPECT_EQ(earth::moment_text(boat->value.day, boat->value.points.back().time), "2018-08-20T09:50:03Z");
    EXPECT_EQ(boat->value.points.size(), 148U);
    EXPECT_EQ(boat->counts.not_used_in_all(), 0U);
    // A receiver at rest whose talker changes between GP and GN, 122 moments a tenth of a second apart; the last GGA is of 133901.50
    // and 280.829 m.
    const auto rest = read_track_file((folder / "tracks/nmea-rtk.nmea").string());
    ASSERT_TRUE(rest) << base::to_text(rest.error());
    EXPECT_EQ(earth::moment_text(rest->value.day, rest->value.points.back().time), "2020-03-18T13:39:01.5Z");
    EXPECT_NEAR(rest->value.points.back().altitude->metres(), 280.829, 1e-9);
    EXPECT_EQ(rest->value.points.size(), 122U);
}

TEST(TruthTrackRealData, AReceiverThatSearchesIsLeftOutUntilItHasAPlace) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    // Counted apart: 6 RMC of status V, 5 GGA of quality 0, and 68 moments with a place.
    const auto read = read_track_file((folder / "tracks/haicom-305N.nmea").string());
    ASSERT_TRUE(read) << base::to_text(read.error());
    EXPECT_EQ(read->counts.not_used.at("track.no_fix"), 11U);
    EXPECT_EQ(read->value.day, date(2007, 4, 8));
    EXPECT_EQ(read->value.points.size(), 68U);
}

TEST(TruthTrackRealData, ATrackWithTheExtensionsOfAReceiverIsReadToItsLastPoint) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    // Listed by another XML reader: 104 points from 06:15:50 to 06:24:24, the last at 210.67 m.
    const auto read = read_track_file((folder / "tracks/around-visnjan-with-car.gpx").string());
    ASSERT_TRUE(read) << base::to_text(read.error());
    EXPECT_EQ(read->value.name, "2020-12-18 07:24:29");
    EXPECT_EQ(read->value.points.size(), 104U);
    EXPECT_EQ(earth::moment_text(read->value.day, read->value.points.front().time), "2020-12-18T06:15:50Z");
    EXPECT_EQ(earth::moment_text(read->value.day, read->value.points.back().time), "2020-12-18T06:24:24Z");
    EXPECT_NEAR(read->value.points.front().place.latitude_deg(), 45.2735188510, 1e-12);
    EXPECT_NEAR(read->value.points.back().altitude->metres(), 210.67, 1e-9);
}

TEST(TruthTrackRealData, TracksWithoutTimesAndRoutesAreRefusedForWhatTheyAre) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const auto code = [&](const std::string& name) {
        const auto read = read_track_file((folder / "tracks" / name).string());
        return read ? fmt::format("{} points", read->value.points.size()) : read.error().code;
    };
    EXPECT_EQ(code("route.gpx"), "track.no_track");
    EXPECT_EQ(code("grouse-grind.gpx"), "track.nothing_left") << "its 100 points have no time";
    EXPECT_EQ(code("gpx1.1_with_all_fields.gpx"), "track.nothing_left");
    EXPECT_EQ(code("Mojstrovka.gpx"), "track.nothing_left") << "every point is at one moment of 1901";
}

}  // namespace omniway::readers
