#include "readers/geojson_coastline.hpp"

#include <cstddef>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace omniway::readers {

using earth::Position;
using testing::HasSubstr;

namespace {

CoastlineReading read(const std::string& text) {
    auto reading = read_geojson_coastline(text, "land.geojson");
    EXPECT_TRUE(reading) << (reading ? "" : base::to_text(reading.error()));
    return reading ? *reading : CoastlineReading{};
}

std::string polygon(const std::string& rings) {
    return R"({"type":"Polygon","coordinates":[)" + rings + "]}";
}

std::vector<Position> vertices(std::vector<std::pair<double, double>> longitude_latitude) {
    std::vector<Position> found;
    for (const auto& [longitude, latitude] : longitude_latitude) {
        found.push_back(Position::degrees(latitude, longitude));
    }
    return found;
}

/// The one diagnostic of a file with one fault.
base::Error only_fault(const std::string& text) {
    const CoastlineReading reading = read(text);
    EXPECT_EQ(reading.diagnostics.size(), 1U);
    EXPECT_EQ(reading.counts.rows, reading.counts.used + reading.counts.not_used_in_all());
    return reading.diagnostics.empty() ? base::Error{} : reading.diagnostics.front();
}

base::Error refusal(const std::string& text) {
    const auto reading = read_geojson_coastline(text, "land.geojson");
    EXPECT_FALSE(reading);
    return reading ? base::Error{} : reading.error();
}

}  // namespace

// RFC 7946, appendix A.3: the polygon without holes and the one with holes, as printed there.
TEST(TruthGeojsonCoastline, ThePolygonsOfTheRfcAreRead) {
    const CoastlineReading plain =
        read(polygon("[[100.0, 0.0],[101.0, 0.0],[101.0, 1.0],[100.0, 1.0],[100.0, 0.0]]"));
    ASSERT_EQ(plain.value.size(), 1U);
    EXPECT_EQ(plain.value[0].vertices, vertices({{100, 0}, {101, 0}, {101, 1}, {100, 1}}));
    EXPECT_TRUE(plain.diagnostics.empty());

    const CoastlineReading with_lake =
        read(polygon("[[100.0, 0.0],[101.0, 0.0],[101.0, 1.0],[100.0, 1.0],[100.0, 0.0]],"
                     "[[100.8, 0.8],[100.8, 0.2],[100.2, 0.2],[100.2, 0.8],[100.8, 0.8]]"));
    ASSERT_EQ(with_lake.value.size(), 2U);
    EXPECT_EQ(with_lake.value[1].vertices, vertices({{100.8, 0.8}, {100.8, 0.2}, {100.2, 0.2}, {100.2, 0.8}}))
        << "a lake runs clockwise: its land is on the left";
    EXPECT_TRUE(with_lake.diagnostics.empty());
    EXPECT_EQ(with_lake.counts.rows, 2U);
    EXPECT_EQ(with_lake.counts.used, 2U);
}

// RFC 7946, 3.1.9: a polygon across the antimeridian, cut in two, as printed there.
TEST(TruthGeojsonCoastline, APolygonCutAtTheAntimeridianIsReadAsTwo) {
    const CoastlineReading reading = read(R"({"type": "MultiPolygon", "coordinates": [
        [[[180.0, 40.0], [180.0, 50.0], [170.0, 50.0], [170.0, 40.0], [180.0, 40.0]]],
        [[[-170.0, 40.0], [-170.0, 50.0], [-180.0, 50.0], [-180.0, 40.0], [-170.0, 40.0]]]]})");
    ASSERT_EQ(reading.value.size(), 2U);
    EXPECT_TRUE(reading.diagnostics.empty()) << base::to_text(reading.diagnostics.front());
    EXPECT_EQ(reading.value[0].vertices, vertices({{180, 40}, {180, 50}, {170, 50}, {170, 40}}));
}

TEST(LawGeojsonCoastline, ARingThatCrossesTheAntimeridianUncutIsReadTheShorterWay) {
    const CoastlineReading reading = read(polygon("[[179,-17],[-179,-17],[-179,-16],[179,-16],[179,-17]]"));
    ASSERT_EQ(reading.value.size(), 1U);
    EXPECT_TRUE(reading.diagnostics.empty()) << "anticlockwise the shorter way round";
    EXPECT_EQ(reading.value[0].vertices, vertices({{179, -17}, {-179, -17}, {-179, -16}, {179, -16}}));
}

TEST(LawGeojsonCoastline, ARingThatRunsTheOtherWayIsTurnedWithARemark) {
    const std::string island = "[[0,0],[0,1],[1,1],[1,0],[0,0]]";
    const CoastlineReading reading = read(polygon(island));
    ASSERT_EQ(reading.value.size(), 1U);
    EXPECT_EQ(reading.value[0].vertices, vertices({{1, 0}, {1, 1}, {0, 1}, {0, 0}}));
    ASSERT_EQ(reading.diagnostics.size(), 1U);
    EXPECT_TRUE(is_remark(reading.diagnostics[0]));
    EXPECT_EQ(reading.counts.remarks, 1U);
    EXPECT_EQ(reading.counts.used, 1U);
}

// Land about a pole, closed along it as such files are: half of its ring lies at latitude -90.
TEST(LawGeojsonCoastline, LandAboutAPoleIsReadAsItRuns) {
    const CoastlineReading reading =
        read(polygon("[[-180,-90],[180,-90],[180,-80],[60,-70],[-60,-70],[-180,-80],[-180,-90]]"));
    EXPECT_EQ(reading.value.size(), 1U);
    EXPECT_TRUE(reading.diagnostics.empty());
}

TEST(LawGeojsonCoastline, CollectionsAndFeaturesAreOpenedInAnyOrderOfTheirMembers) {
    const std::string island = "[[[0,0],[1,0],[1,1],[0,0]]]";
    const CoastlineReading reading = read(
        R"({"features":[{"geometry":{"coordinates":)" + island +
        R"(,"type":"Polygon"},"properties":{"name":"a"},"type":"Feature"},)" +
        R"({"type":"Feature","geometry":{"type":"GeometryCollection","geometries":[{"type":"MultiPolygon","coordinates":[)" +
        island + "," + island + R"(]}]}}],"type":"FeatureCollection"})");
    EXPECT_EQ(reading.value.size(), 3U);
    EXPECT_TRUE(reading.diagnostics.empty());
}

TEST(LawGeojsonCoastline, AHeightBesideAPositionIsNotLookedAt) {
    EXPECT_EQ(read(polygon("[[0,0,5],[1,0,5],[1,1,5],[0,0,5]]")).value.size(), 1U);
}

// Each fault of a ring with its place in the file and the member it stands in; the ring beside it is used.
TEST(LawGeojsonCoastline, AFaultyRingIsToldWithLineColumnAndMemberAndTheOthersAreUsed) {
    const std::string good = "[[[0,0],[1,0],[1,1],[0,0]]]";
    const auto beside = [&](const std::string& bad) {
        return "{\"type\":\"MultiPolygon\",\n\"coordinates\":[" + good + ",\n[" + bad + "]]}";
    };
    struct Case {
        std::string ring;
        std::string code;
        std::string where;
        std::string words;
    };
    for (const Case& each : std::vector<Case>{
             {"[[0,0],[1,0],[0,0]]", "coastline.too_few_positions", "land.geojson:3:2:/coordinates/1/0",
              "3 positions"},
             {"[[0,0],[1,0],[1,1],[0,1]]", "coastline.ring_not_closed",
              "land.geojson:3:21:/coordinates/1/0/3", "[0, 1]"},
             {"[[0,0],[1,0],[1,91],[0,0]]", "coastline.out_of_range",
              "land.geojson:3:18:/coordinates/1/0/2/1",
              "latitude 91 degrees is outside the allowed range -90 to 90"},
             {"[[0,0],[-180.5,0],[1,1],[0,0]]", "coastline.out_of_range",
              "land.geojson:3:10:/coordinates/1/0/1/0",
              "longitude -180.5 degrees is outside the allowed range -180 to 180"},
             {"[[0,0],[\"east\",0],[1,1],[0,0]]", "coastline.wrong_type",
              "land.geojson:3:9:/coordinates/1/0/1", "a list of 2 is no position"},
             {"[[0,0],null,[1,1],[0,0]]", "coastline.wrong_type", "land.geojson:3:9:/coordinates/1/0/1",
              "null"},
             {"\"ring\"", "coastline.wrong_type", "land.geojson:3:2:/coordinates/1/0", "'ring'"},
             {"[[-90,0],[90,0],[90,1],[-90,0]]", "coastline.half_way_round",
              "land.geojson:3:11:/coordinates/1/0/1", "half way round"}}) {
        SCOPED_TRACE(each.ring);
        const base::Error fault = only_fault(beside(each.ring));
        EXPECT_EQ(fault.code, each.code);
        EXPECT_EQ(fault.where, each.where);
        EXPECT_THAT(fault.message, HasSubstr(each.words));
        EXPECT_EQ(read(beside(each.ring)).value.size(), 1U);
    }
}

TEST(LawGeojsonCoastline, WhatEnclosesNoLandIsToldAndNotUsed) {
    EXPECT_EQ(only_fault(R"({"type":"LineString","coordinates":[[0,0],[1,1]]})").code,
              "coastline.not_an_area");
    EXPECT_EQ(only_fault(R"({"type":"Feature","properties":null,"geometry":null})").code,
              "coastline.no_geometry");
    EXPECT_EQ(only_fault(R"({"type":"Polygon"})").code, "coastline.wrong_type");
    EXPECT_EQ(only_fault(R"({"type":"FeatureCollection","features":[7]})").code, "coastline.wrong_type");
    EXPECT_EQ(only_fault(R"({"type":"Feature","geometry":{"type":"Circle"}})").where,
              "land.geojson:1:30:/geometry");
}

TEST(LawGeojsonCoastline, AFileOfNoUseAsAWholeIsRefused) {
    EXPECT_EQ(refusal("{\"type\":\"Polygon\",\n\"coordinates\":[[[0,0],[1,}").where, "land.geojson:2:26");
    EXPECT_EQ(refusal("").code, "coastline.not_json");
    EXPECT_EQ(refusal("{\"a\":1e999}").code, "coastline.not_json");
    EXPECT_EQ(refusal("[]").code, "coastline.not_geojson");
    EXPECT_EQ(refusal("{\"type\":\"Topology\"}").code, "coastline.not_geojson");
    EXPECT_EQ(refusal("{\"type\":\"FeatureCollection\"}").code, "coastline.not_geojson");
    const std::string system =
        R"({"type":"FeatureCollection","crs":{"type":"name","properties":{"name":"urn:ogc:def:crs:)";
    EXPECT_EQ(refusal(system + R"(EPSG::3857"}},"features":[]})").code, "coastline.other_system");
    EXPECT_TRUE(read_geojson_coastline(system + R"(OGC:1.3:CRS84"}},"features":[]})", "land.geojson"));
}

TEST(LawGeojsonCoastline, GeojsonIsRecognisedByItsFirstCharacter) {
    EXPECT_TRUE(looks_like_geojson("{\"type\""));
    EXPECT_TRUE(looks_like_geojson("\xEF\xBB\xBF\r\n {"));
    EXPECT_FALSE(looks_like_geojson("HDR01"));
    EXPECT_FALSE(looks_like_geojson("\"id\",\"ident\""));
    EXPECT_FALSE(looks_like_geojson("  "));
}

// Cut short at any byte a file is refused, never read in part; with any byte replaced it is read or refused, and never crashes.
TEST(BruteGeojsonCoastline, AFileCutShortOrSpoiledAtAnyByteIsRefusedOrTold) {
    const std::string good =
        R"({"type":"FeatureCollection","features":[{"type":"Feature","properties":{},"geometry":{"type":"Polygon",)"
        R"("coordinates":[[[-170.25,40.5],[-169,40.5],[-169,41e0],[-170.25,40.5]]]}}]})";
    ASSERT_EQ(read(good).value.size(), 1U);
    for (std::size_t length = 0; length < good.size(); ++length) {
        EXPECT_EQ(refusal(good.substr(0, length)).code, "coastline.not_json") << length;
    }
    for (std::size_t at = 0; at < good.size(); ++at) {
        for (const char spoiled :
             {'\0', '"', '[', ']', '{', '}', ',', ':', '-', '9', 'e', '\xFF', '\\', 'n'}) {
            std::string text = good;
            text[at] = spoiled;
            const auto reading = read_geojson_coastline(text, "land.geojson");
            if (reading) {
                EXPECT_EQ(reading->counts.rows, reading->counts.used + reading->counts.not_used_in_all());
                EXPECT_EQ(reading->counts.used, reading->value.size());
            } else {
                EXPECT_FALSE(reading.error().where.empty());
            }
        }
    }
}

}  // namespace omniway::readers
