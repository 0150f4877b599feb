#include "readers/winds_aloft.hpp"

#include <set>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/real_data.hpp"

namespace omniway::readers {

using base::Altitude;
using ::testing::HasSubstr;

namespace {

constexpr Altitude above_24000 = Altitude::feet(24000);

// Levels and groups as the code form lays them out, at an invented station.
const std::string bulletin = R"(DATA BASED ON 251200Z
VALID 251800Z   FOR USE 1400-2100Z. TEMPS NEG ABV 24000

FT  3000    6000    9000   12000   18000   24000  30000  34000  39000
XDV 2435 2332+02 2728+01 9900-07 2523-14 2640-25 274650 750456 731960
XHI              1712+05 1815+01 1920-12 2025-24 213040 223550 234060
XMD      2932    2641+01 2341-04 2566-18 2580-29 750444 751452 779954
)";

std::optional<LevelWind> group(const char* text, double feet) {
    return wind_group(text, Altitude::feet(feet), above_24000);
}

}  // namespace

// Trade-facts 14.2, each row [seen] unless marked: AIM 7-1 and weather services' pages.
TEST(TruthWindsAloft, EachPublishedGroupIsReadAsPublished) {
    struct Row {
        const char* text;
        double level_ft, from_deg, knots;
        std::optional<double> celsius;
        bool or_stronger;
    };
    const Row rows[] = {{"2435+07", 6000, 240, 35, 7.0, false},
                        {"2332+02", 6000, 230, 32, 2.0, false},
                        {"2728+01", 9000, 270, 28, 1.0, false},
                        {"274650", 30000, 270, 46, -50.0, false},
                        {"750456", 34000, 250, 104, -56.0, false},
                        {"7345", 18000, 230, 145, std::nullopt, false},
                        {"7399", 18000, 230, 199, std::nullopt, true},
                        {"2523-14", 18000, 250, 23, -14.0, false},  // [computed from the rule]
                        {"1712+05", 9000, 170, 12, 5.0, false},
                        {"7799", 39000, 270, 199, std::nullopt, true}};
    for (const Row& row : rows) {
        const auto read = group(row.text, row.level_ft);
        ASSERT_TRUE(read) << row.text;
        EXPECT_NEAR(read->wind.from.degrees(), row.from_deg, 1e-9) << row.text;
        EXPECT_NEAR(read->wind.speed.knots(), row.knots, 1e-9) << row.text;
        EXPECT_EQ(read->temperature.has_value(), row.celsius.has_value()) << row.text;
        if (row.celsius && read->temperature) {
            EXPECT_NEAR(read->temperature->celsius(), *row.celsius, 1e-9) << row.text;
        }
        EXPECT_EQ(read->or_stronger, row.or_stronger) << row.text;
        EXPECT_FALSE(read->light_and_variable) << row.text;
    }
    const auto light = group("9900", 6000);
    ASSERT_TRUE(light);
    EXPECT_TRUE(light->light_and_variable);
    EXPECT_EQ(light->wind.speed.knots(), 0.0);
}

TEST(CaseWindsAloft, WhatIsNoGroupIsRefused) {
    for (const char* text : {"", "24", "243", "2435+", "2435+7", "2435+077", "0010", "3710", "5010", "8710",
                             "9905", "24x5", "2435*07", "2435 07", "-435+07", "2435+0x"}) {
        EXPECT_FALSE(group(text, 6000)) << text;
    }
    EXPECT_FALSE(group("243507", 6000)) << "a temperature without its sign below 24,000 ft";
    EXPECT_TRUE(group("243507", 30000));
}

TEST(CaseWindsAloft, ARowIsReadByItsColumns) {
    const auto read = read_winds_aloft(bulletin, "winds.txt");
    ASSERT_TRUE(read);
    EXPECT_EQ(read->based_on, "251200Z");
    EXPECT_EQ(read->valid, "251800Z");
    EXPECT_EQ(read->for_use, "1400-2100Z");
    ASSERT_EQ(read->stations.size(), 3U);
    for (const StationWinds& row : read->stations) {
        EXPECT_TRUE(row.faults.empty()) << base::to_text(row.faults.front());
    }
    // No wind within 1,500 ft of the station: its first groups are blank.
    const StationWinds* high = winds_at(*read, "xhi");
    ASSERT_NE(high, nullptr);
    ASSERT_EQ(high->levels.size(), 7U);
    EXPECT_EQ(high->levels.front().altitude, Altitude::feet(9000));
    EXPECT_EQ(high->levels.back().altitude, Altitude::feet(39000));
    // No temperature within 2,500 ft of it: the group is short and stands at the left of its column.
    const StationWinds* middle = winds_at(*read, "XMD");
    ASSERT_NE(middle, nullptr);
    EXPECT_EQ(middle->levels.front().altitude, Altitude::feet(6000));
    EXPECT_FALSE(middle->levels.front().temperature);
    EXPECT_EQ(middle->levels[1].altitude, Altitude::feet(9000));
    EXPECT_TRUE(middle->levels.back().or_stronger);
    EXPECT_EQ(winds_at(*read, "XNO"), nullptr);
}

TEST(CaseWindsAloft, AFaultStandsWithItsRowLineAndColumn) {
    const auto read = read_winds_aloft(
        "FT  3000    6000    9000\nXDV 2435 2332+02 2728+01\nXHI 2435 2x32+02 2728+01\nXMD 2435 2332+02 "
        "2728+01 2640-10\n",
        "w");
    ASSERT_TRUE(read);
    EXPECT_TRUE(read->stations[0].faults.empty());
    ASSERT_EQ(read->stations[1].faults.size(), 1U);
    EXPECT_EQ(read->stations[1].faults[0].code, "read.wind_group");
    EXPECT_EQ(read->stations[1].faults[0].where, "w:3:10");
    EXPECT_THAT(read->stations[1].faults[0].message, HasSubstr("2x32+02"));
    ASSERT_EQ(read->stations[2].faults.size(), 1U);
    EXPECT_EQ(read->stations[2].faults[0].code, "read.winds_column");
    EXPECT_EQ(read->stations[2].faults[0].where, "w:4:26");
}

TEST(CaseWindsAloft, AFileThatIsNoBulletinIsRefused) {
    const auto code = [](const char* text) { return read_winds_aloft(text, "w").error().front().code; };
    EXPECT_EQ(code(""), "read.file_empty");
    EXPECT_EQ(code(" \n\n"), "read.file_empty");
    EXPECT_EQ(code("METAR XDOV 251800Z 27015KT"), "read.winds_no_levels");
    EXPECT_EQ(code("FT  9000    6000\nXDV 2435 2332+02\n"), "read.winds_no_levels");
    EXPECT_EQ(code("FT  3000    6000\n"), "read.no_records");
    EXPECT_EQ(read_winds_aloft_file("/nowhere/winds.txt").error().front().code, "read.file_missing");
}

// Real bulletins of a weather service: every row is read whole, and as many groups as words stand in the rows.
TEST(TruthWindsAloftRealData, EveryGroupOfThePublishedBulletinsIsRead) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    struct File {
        const char* name;
        std::size_t stations, groups;
    };
    // Counted with awk: rows of more than one word after the FT line, and their words less one each.
    for (const File& file : {File{"tempwind_FD1US1.txt", 176, 1508}, File{"tempwind_FD0HW9.txt", 6, 30}}) {
        const auto read = read_winds_aloft_file((folder / "weather" / file.name).string());
        ASSERT_TRUE(read) << file.name;
        EXPECT_EQ(read->stations.size(), file.stations);
        std::size_t groups = 0;
        for (const StationWinds& row : read->stations) {
            EXPECT_TRUE(row.faults.empty()) << base::to_text(row.faults.front());
            groups += row.levels.size();
        }
        EXPECT_EQ(groups, file.groups);
    }
    const auto read = read_winds_aloft_file((folder / "weather/tempwind_FD1US1.txt").string());
    const StationWinds* row = winds_at(*read, "AMA");
    ASSERT_NE(row, nullptr);
    ASSERT_EQ(row->levels.size(), 8U);
    EXPECT_EQ(row->levels[0].altitude, Altitude::feet(6000));
    EXPECT_NEAR(row->levels[0].wind.from.degrees(), 290, 1e-9);
    EXPECT_EQ(row->levels[1].altitude, Altitude::feet(9000));
    EXPECT_NEAR(row->levels[7].wind.speed.knots(), 118, 1e-9);  // 751856
}

RC_GTEST_PROP(LawWindsAloft, AnyTextIsReadOrRefusedWithASentence, ()) {
    const auto text = *rc::gen::container<std::string>(
        rc::gen::oneOf(rc::gen::element('F', 'T', 'X', 'D', ' ', '\n', '2', '4', '9', '0', '+', '-'),
                       rc::gen::arbitrary<char>()));
    for (const std::string& each : {text, "FT  3000    6000\nXDV " + text, bulletin + text}) {
        const auto read = read_winds_aloft(each, "w");
        RC_ASSERT(read.has_value() || !read.error().front().message.empty());
    }
}

}  // namespace omniway::readers
