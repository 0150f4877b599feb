#include "readers/points_csv.hpp"

#include <gtest/gtest.h>

namespace omniway::readers {
namespace {

TEST(PointsCsv, ColumnsMayStandInAnyOrderAndFieldsInQuotes) {
    // Quoting, CRLF and the last line without an end: RFC 4180, section 2, rules 1, 2 and 5.
    const auto points =
        read_points("\"altitude_ft\",lon_deg,lat_deg\r\n5000,-171.5,\"40.25\"\r\n-100,179,-90", "p.csv");
    ASSERT_TRUE(points);
    ASSERT_EQ(points->size(), 2U);
    EXPECT_EQ((*points)[0].place, earth::Position::degrees(40.25, -171.5));
    EXPECT_NEAR((*points)[0].altitude.feet(), 5000.0, 1e-9);
    EXPECT_EQ((*points)[1].place.latitude_deg(), -90.0);
}

TEST(PointsCsv, EveryFaultIsToldAtItsPlaceUpToTwenty) {
    const auto points =
        read_points("lat_deg,lon_deg,altitude_ft\n91,181,5000\nnan,1,1e9\n,1,inf\n1,2,3,4\n", "p.csv");
    ASSERT_FALSE(points);
    std::vector<std::string> said;
    for (const base::Error& error : points.error()) {
        said.push_back(error.code + " " + error.where);
    }
    const std::vector<std::string> expected{"read.out_of_range p.csv:2:1",     "read.out_of_range p.csv:2:4",
                                            "read.not_a_number p.csv:3:1",     "read.out_of_range p.csv:3:7",
                                            "read.value_missing p.csv:4:1",    "read.not_a_number p.csv:4:4",
                                            "read.wrong_field_count p.csv:5:1"};
    EXPECT_EQ(said, expected);
    std::string many = "lat_deg,lon_deg,altitude_ft\n";
    for (int i = 0; i < 100; ++i) {
        many += "x,1,1\n";
    }
    EXPECT_EQ(read_points(many, "p.csv").error().size(), 20U);
}

TEST(PointsCsv, AHeaderThatIsNotUnderstoodIsRefusedWithoutAWordOnTheRows) {
    const auto points = read_points("lat,lon_deg,altitude_ft,lon_deg\n1,2,3,4\n", "p.csv");
    ASSERT_FALSE(points);
    std::vector<std::string> codes;
    for (const base::Error& error : points.error()) {
        codes.push_back(error.code);
    }
    EXPECT_EQ(codes, (std::vector<std::string>{"read.column_unknown", "read.column_unknown",
                                               "read.column_missing"}));
}

TEST(PointsCsv, MorePointsThanAreAnsweredAtOnceAreRefused) {
    std::string many = "lat_deg,lon_deg,altitude_ft\n";
    for (int i = 0; i < 100'001; ++i) {
        many += "1,1,1\n";
    }
    const auto points = read_points(many, "p.csv");
    ASSERT_FALSE(points);
    EXPECT_EQ(points.error().front().code, "read.too_many_points");
}

}  // namespace
}  // namespace omniway::readers
