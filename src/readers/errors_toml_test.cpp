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
    EXPECT_EQ(read->errors.vor_station.degrees(), 0.0);
    EXPECT_EQ(read->errors.wind.knots(), 0.0);
    EXPECT_EQ(read->errors.wander_for, rehearsal::no_errors().wander_for);
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
    EXPECT_NEAR(read->errors.vor_station.degrees(), 1.0, exact);
    EXPECT_NEAR(read->errors.vor_receiver.degrees(), 2.0, exact);
    EXPECT_NEAR(read->errors.ndb_station.degrees(), 3.0, exact);
    EXPECT_NEAR(read->errors.adf.degrees(), 4.0, exact);
    EXPECT_NEAR(read->errors.localizer.degrees(), 0.5, exact);
    EXPECT_NEAR(read->errors.wander.degrees(), 6.0, exact);
    EXPECT_NEAR(read->errors.wander_for.count(), 70.0, exact);
    EXPECT_NEAR(read->errors.dme_fixed.nautical_miles(), 0.8, exact);
    EXPECT_NEAR(read->errors.dme_share, 0.09, exact);
    EXPECT_NEAR(read->errors.wind.knots(), 10.0, exact);
    EXPECT_NEAR(base::in_minutes(read->errors.wind_for), 11.0, exact);
    EXPECT_NEAR(read->errors.gusts.knots(), 12.0, exact);
    EXPECT_NEAR(read->errors.heading_drift.degrees(), 13.0, exact);
    EXPECT_NEAR(read->errors.compass.degrees(), 14.0, exact);
    EXPECT_NEAR(read->errors.altimeter.feet(), 150.0, exact);
    EXPECT_NEAR(read->errors.airspeed_share, 0.16, exact);
}

TEST(GoldenErrorsFile, EachSettingOfThePilotIsReachedByItsKeyUnderSkill) {
    const auto read = read_errors(
        "wind_kt = 10\n[skill]\nreaction_s = 3\nscan_s = 1.5\ntuning_s = 20\nsetting_course_s = "
        "9\nintercept_deg = 20\n"
        "far_intercept_deg = 40\nheading_reset_min = 30\nblunders_share = 0.05\n",
        "errors.toml");
    ASSERT_TRUE(read);
    constexpr double exact = 1e-9;
    EXPECT_NEAR(read->errors.wind.knots(), 10.0, exact);
    EXPECT_NEAR(read->skill.reaction.count(), 3.0, exact);
    EXPECT_NEAR(read->skill.scan.count(), 1.5, exact);
    EXPECT_NEAR(read->skill.tuning.count(), 20.0, exact);
    EXPECT_NEAR(read->skill.setting_course.count(), 9.0, exact);
    EXPECT_NEAR(read->skill.intercept.degrees(), 20.0, exact);
    EXPECT_NEAR(read->skill.far_intercept.degrees(), 40.0, exact);
    EXPECT_NEAR(base::in_minutes(read->skill.heading_reset), 30.0, exact);
    EXPECT_NEAR(read->skill.blunders, 0.05, exact);
}

TEST(GoldenErrorsFile, WhatIsWrongUnderSkillIsToldWithItsPlaceToo) {
    const auto read = read_errors("[skill]\nblunder_share = 0.1\nscan_s = 9\nwind_kt = 3\n", "errors.toml");
    ASSERT_FALSE(read);
    ASSERT_EQ(read.error().size(), 3U);
    EXPECT_EQ(read.error()[0].code, "errors_file.unknown_key");
    EXPECT_THAT(read.error()[0].message, HasSubstr("blunders_share"));
    EXPECT_EQ(read.error()[1].where, "errors.toml:3:10");
    EXPECT_EQ(read.error()[2].code, "errors_file.unknown_key");
    EXPECT_EQ(codes("skill = 1\n"), std::vector<std::string>{"errors_file.unknown_key"});
    EXPECT_EQ(codes("[skill.skill]\nscan_s = 1\n"), std::vector<std::string>{"errors_file.unknown_key"});
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
