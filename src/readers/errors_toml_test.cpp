#include "readers/errors_toml.hpp"

#include <cmath>

#include <fmt/format.h>
#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace omniway::readers {

using ::testing::HasSubstr;

namespace {

std::vector<std::string> codes(std::string_view text) {
    const auto read = read_errors(text, "errors.toml");
    std::vector<std::string> found;
    if (!read) {
        for (const base::Error& error : read.error()) {
            found.push_back(error.code);
        }
    }
    return found;
}

}  // namespace

TEST(GoldenErrorsFile, AnEmptyFileIsNoErrorAtAll) {
    const auto read = read_errors("# calm and perfect\n", "errors.toml");
    ASSERT_TRUE(read);
    EXPECT_EQ(read->vor_station.degrees(), 0.0);
    EXPECT_EQ(read->wind.knots(), 0.0);
    EXPECT_EQ(read->wander_for, rehearsal::no_errors().wander_for);
}

TEST(GoldenErrorsFile, EachKeyReachesItsOwnErrorInItsOwnUnit) {
    const auto read = read_errors(
        "vor_station_deg = 1\nvor_receiver_deg = 2\nndb_station_deg = 3\nadf_deg = 4\nlocalizer_deg = 0.5\n"
        "wander_deg = 6\nwander_for_s = 70\ndme_fixed_nm = 0.8\ndme_share = 0.09\nwind_kt = 10\nwind_for_min "
        "= 11\n"
        "gusts_kt = 12\nheading_drift_in_an_hour_deg = 13\ncompass_deg = 14\naltimeter_ft = 150\n"
        "airspeed_share = 0.16\n",
        "errors.toml");
    ASSERT_TRUE(read);
    constexpr double exact = 1e-9;
    EXPECT_NEAR(read->vor_station.degrees(), 1.0, exact);
    EXPECT_NEAR(read->vor_receiver.degrees(), 2.0, exact);
    EXPECT_NEAR(read->ndb_station.degrees(), 3.0, exact);
    EXPECT_NEAR(read->adf.degrees(), 4.0, exact);
    EXPECT_NEAR(read->localizer.degrees(), 0.5, exact);
    EXPECT_NEAR(read->wander.degrees(), 6.0, exact);
    EXPECT_NEAR(read->wander_for.count(), 70.0, exact);
    EXPECT_NEAR(read->dme_fixed.nautical_miles(), 0.8, exact);
    EXPECT_NEAR(read->dme_share, 0.09, exact);
    EXPECT_NEAR(read->wind.knots(), 10.0, exact);
    EXPECT_NEAR(base::in_minutes(read->wind_for), 11.0, exact);
    EXPECT_NEAR(read->gusts.knots(), 12.0, exact);
    EXPECT_NEAR(read->heading_drift.degrees(), 13.0, exact);
    EXPECT_NEAR(read->compass.degrees(), 14.0, exact);
    EXPECT_NEAR(read->altimeter.feet(), 150.0, exact);
    EXPECT_NEAR(read->airspeed_share, 0.16, exact);
}

TEST(GoldenErrorsFile, EveryFaultIsToldInTheOrderOfTheFileWithItsPlace) {
    const auto read = read_errors("wind_kn = 5\nadf_deg = 99\ndme_share = \"much\"\n", "errors.toml");
    ASSERT_FALSE(read);
    ASSERT_EQ(read.error().size(), 3U);
    EXPECT_EQ(read.error()[0].code, "errors_file.unknown_key");
    EXPECT_EQ(read.error()[0].where, "errors.toml:1:1");
    EXPECT_THAT(read.error()[0].message, HasSubstr("wind_kt"));
    EXPECT_EQ(read.error()[1].where, "errors.toml:2:11");
    EXPECT_THAT(read.error()[1].message, HasSubstr("0 to 30 degrees"));
    EXPECT_EQ(read.error()[2].where, "errors.toml:3:13");
}

TEST(GoldenErrorsFile, AbsurdInputIsRefused) {
    using Codes = std::vector<std::string>;
    EXPECT_EQ(codes("wind_kt = nan\n"), Codes{"errors_file.out_of_range"});
    EXPECT_EQ(codes("wind_kt = inf\n"), Codes{"errors_file.out_of_range"});
    EXPECT_EQ(codes("wind_kt = -1\n"), Codes{"errors_file.out_of_range"});
    EXPECT_EQ(codes("wander_for_s = 0\n"), Codes{"errors_file.out_of_range"});
    EXPECT_EQ(codes("wind_kt = true\n"), Codes{"errors_file.wrong_type"});
    EXPECT_EQ(codes("[wind_kt]\nx = 1\n"), Codes{"errors_file.wrong_type"});
    EXPECT_EQ(codes("wind_kt = 1\nwind_kt = 2\n"), Codes{"errors_file.not_toml"});
    EXPECT_EQ(codes(std::string("wind_kt = 1\0\n", 13)), Codes{"errors_file.not_toml"});
}

}  // namespace omniway::readers
