#include "writers/track_gpx.hpp"

#include <algorithm>
#include <chrono>
#include <cmath>
#include <optional>
#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "readers/track.hpp"
#include "tests/random_positions.hpp"

namespace omniway::writers {

using ::testing::HasSubstr;

namespace {

earth::TrackPoint track_point(double time_s, double latitude, double longitude,
                              std::optional<base::Altitude> altitude = std::nullopt) {
    return {base::Duration(time_s), earth::Position::degrees(latitude, longitude), altitude, 0};
}

std::size_t count_of(const std::string& text, const std::string& piece) {
    std::size_t count = 0;
    for (std::size_t at = text.find(piece); at != std::string::npos; at = text.find(piece, at + 1)) {
        ++count;
    }
    return count;
}

/// A flight as a rehearsal samples it: each point so far from the last that no aircraft is too fast for it.
rc::Gen<earth::FlownTrack> any_flight() {
    return rc::gen::exec([] {
        earth::FlownTrack track;
        track.name = *rc::gen::container<std::string>(rc::gen::inRange(' ', '~'));
        track.day = std::chrono::sys_days(std::chrono::days(*rc::gen::inRange(-25'000, 47'000)));
        earth::Position place = *omniway::testing::anywhere();
        // Within a degree of a pole a step east is no measure of speed.
        RC_PRE(std::abs(place.latitude_deg()) < 85.0);
        double time_s = *omniway::testing::between(0.0, 86'399.0);
        const int count = *rc::gen::inRange(2, 40);
        for (int i = 0; i < count; ++i) {
            earth::TrackPoint point{base::Duration(time_s), place, std::nullopt, 0};
            if (*rc::gen::arbitrary<bool>()) {
                point.altitude = base::Altitude::feet(*omniway::testing::between(-1400.0, 59'900.0));
            }
            track.points.push_back(point);
            const double passed_s = *omniway::testing::between(0.01, 200.0);
            // 0.0025 degrees a second are 540 kt.
            place = earth::Position::degrees(
                std::clamp(place.latitude_deg() + *omniway::testing::between(-0.0025, 0.0025) * passed_s,
                           -89.0, 89.0),
                place.longitude_deg() + *omniway::testing::between(-0.0025, 0.0025) * passed_s);
            time_s += passed_s;
        }
        return track;
    });
}

}  // namespace

// What a document of GPX 1.1 must have: version and creator on the root, name before desc before trkseg in trk, ele before time in
// trkpt, lat and lon decimal, lon below 180 (GPX 1.1 schema: gpxType, trkType, wptType, longitudeType).
TEST(TruthTrackGpx, ADocumentIsAsTheSchemaHasIt) {
    earth::FlownTrack track;
    track.name = "XDOV <to> \"XMRA\" & back";
    track.day = std::chrono::year(2026) / 11 / 26;
    track.points = {track_point(86399.5, 46.5, -78.25, base::Altitude::metres(812.4)),
                    track_point(86401.0, 46.5, 179.999999999)};
    EXPECT_EQ(
        track_gpx(track),
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
        "<gpx version=\"1.1\" creator=\"omniway\" xmlns=\"http://www.topografix.com/GPX/1/1\">\n"
        "  <trk>\n"
        "    <name>XDOV &lt;to&gt; &quot;XMRA&quot; &amp; back</name>\n"
        "    <desc>For training and flight at home, not for real-world navigation; defer to current official "
        "charts.</desc>\n"
        "    <trkseg>\n"
        "      <trkpt lat=\"46.50000000\" "
        "lon=\"-78.25000000\"><ele>812.400</ele><time>2026-11-26T23:59:59.5Z</time>"
        "</trkpt>\n"
        "      <trkpt lat=\"46.50000000\" lon=\"-180.00000000\"><time>2026-11-27T00:00:01Z</time></trkpt>\n"
        "    </trkseg>\n"
        "  </trk>\n"
        "</gpx>\n");
}

TEST(CaseTrackGpx, AGapBeginsASegmentAndADayThatIsNotKnownIsNotInvented) {
    earth::FlownTrack track;
    track.points = {track_point(0.0, 1, 2), track_point(60.0, 1, 2), track_point(120.5, 1, 2)};
    const std::string text = track_gpx(track);
    EXPECT_EQ(count_of(text, "<trkseg>"), 2U);
    EXPECT_EQ(count_of(text, "</trkseg>"), 2U);
    EXPECT_EQ(count_of(text, "<time>"), 0U);
    EXPECT_EQ(count_of(text, "<name>"), 0U);
    EXPECT_EQ(count_of(track_gpx(earth::FlownTrack()), "trkseg"), 0U);
}

TEST(LawTrackGpx, WhateverIsInANameADocumentCanBeRead) {
    rc::check([](const std::string& name) {
        earth::FlownTrack track;
        track.name = name;
        track.day = std::chrono::year(2026) / 11 / 26;
        track.points = {track_point(0.0, 1, 2), track_point(1.0, 1, 2)};
        const auto read = readers::read_track(track_gpx(track), "t.gpx");
        RC_ASSERT(bool(read));
    });
    earth::FlownTrack track;
    track.name = "\x01\xff\xEF\xBF\xBE\xEF\xBF\xBF]]>";
    track.day = std::chrono::year(2026) / 11 / 26;
    track.points = {track_point(0.0, 1, 2), track_point(1.0, 1, 2)};
    const auto read = readers::read_track(track_gpx(track), "t.gpx");
    ASSERT_TRUE(read);
    EXPECT_EQ(read->value.name, "????]]>");
}

// The reader shares nothing with the writer but the value.
RC_GTEST_PROP(LawTrackGpx, AFlightThatIsReadBackIsTheSameToItsDigits, ()) {
    const earth::FlownTrack track = *any_flight();
    const auto read = readers::read_track(track_gpx(track), "t.gpx");
    RC_ASSERT(bool(read));
    RC_ASSERT(read->diagnostics.empty());
    RC_ASSERT(read->value.points.size() == track.points.size());
    // The reader takes blanks off the ends of a name.
    RC_ASSERT(track.name.find(read->value.name) != std::string::npos);
    RC_ASSERT((track.name.empty() || track.name.front() == ' ' || track.name.back() == ' ' ||
               track.name == read->value.name));
    RC_ASSERT(read->value.day.has_value());
    for (std::size_t i = 0; i < track.points.size(); ++i) {
        const earth::TrackPoint& was = track.points[i];
        const earth::TrackPoint& is = read->value.points[i];
        const base::Duration apart = *earth::instant_of(read->value, is) - *earth::instant_of(track, was);
        RC_ASSERT(std::abs(apart.count()) <= 0.000501);
        RC_ASSERT(std::abs(is.place.latitude_deg() - was.place.latitude_deg()) <= 0.5001e-8);
        const double east = std::remainder(is.place.longitude_deg() - was.place.longitude_deg(), 360.0);
        RC_ASSERT(std::abs(east) <= 0.5001e-8);
        RC_ASSERT(is.altitude.has_value() == was.altitude.has_value());
        if (is.altitude) {
            RC_ASSERT(std::abs(is.altitude->metres() - was.altitude->metres()) <= 0.0005001);
        }
    }
}

}  // namespace omniway::writers
