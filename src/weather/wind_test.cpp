#include "weather/wind.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::weather {

using testing::HasSubstr;

namespace {

std::string code_of(std::string_view text) {
    const auto wind = parse_wind(text, "--wind");
    return wind ? "read as " + to_text(*wind) : wind.error().code;
}

std::string message_of(std::string_view text) {
    const auto wind = parse_wind(text, "--wind");
    return wind ? "read as " + to_text(*wind) : wind.error().message;
}

}  // namespace

// The meanings of the METAR groups in trade-facts 14.1 [seen] (AIM 7-1), written with our stroke.
TEST(TruthWind, MeansWhatTheWeatherReportsMean) {
    struct Row {
        const char* text;
        double from_deg, speed_kt, gust_kt;  // no gust: -1
    };
    for (const Row& row : {Row{"130/08", 130, 8, -1}, Row{"080/32G45", 80, 32, 45}, Row{"000/00", 0, 0, -1},
                           Row{"210/103G130", 210, 103, 130}, Row{"270/112", 270, 112, -1}}) {
        const auto wind = parse_wind(row.text, "--wind");
        ASSERT_TRUE(wind) << row.text << ": " << wind.error().message;
        EXPECT_EQ(wind->from.degrees(), row.from_deg);
        EXPECT_NEAR(wind->speed.knots(), row.speed_kt, 1e-9);
        EXPECT_EQ(wind->gust.has_value(), row.gust_kt >= 0);
        EXPECT_NEAR(wind->gust.value_or(base::Speed::knots(-1)).knots(), row.gust_kt, 1e-9);
        EXPECT_EQ(to_text(*wind), row.text);
    }
}

// Trade-facts 14.2 [seen]: METAR direction 000 is calm, 360 is north.
TEST(TruthWind, NorthIsWritten360AndCalm000) {
    EXPECT_EQ(to_text(parse_wind("360/10", "").value()), "360/10");
    EXPECT_EQ(to_text(parse_wind("000/10", "").value()), "360/10");
    EXPECT_EQ(to_text(parse_wind("270/0", "").value()), "000/00");
}

TEST(CaseWind, FourHundredKnotsAreRefusedWithTheAllowedRange) {
    const auto wind = parse_wind("270/400", "--wind");
    ASSERT_FALSE(wind);
    EXPECT_EQ(wind.error().code, "weather.wind_speed_out_of_range");
    EXPECT_EQ(wind.error().where, "--wind");
    EXPECT_THAT(wind.error().message, HasSubstr("400 kt"));
    EXPECT_THAT(wind.error().message, HasSubstr("0 to 250 kt"));
    EXPECT_EQ(code_of("270/251"), "weather.wind_speed_out_of_range");
    EXPECT_EQ(code_of("270/250"), "read as 270/250");
    EXPECT_EQ(code_of("270/15G400"), "weather.wind_speed_out_of_range");
    EXPECT_EQ(code_of("270/999999"), "weather.wind_speed_out_of_range");
}

TEST(CaseWind, ADirectionAbove360IsRefusedWithTheAllowedRange) {
    EXPECT_EQ(code_of("361/10"), "weather.wind_direction_out_of_range");
    EXPECT_THAT(message_of("361/10"), HasSubstr("000 to 360"));
}

TEST(CaseWind, AGustBelowTheWindIsRefused) {
    EXPECT_EQ(code_of("270/25G15"), "weather.gust_below_wind");
    EXPECT_THAT(message_of("270/25G15"), HasSubstr("25 to 250 kt"));
    EXPECT_EQ(code_of("270/25G25"), "read as 270/25G25");
    EXPECT_EQ(code_of("270/25g35"), "read as 270/25G35");
}

TEST(CaseWind, NearFormsAreAnsweredWithTheRightOne) {
    EXPECT_THAT(message_of("27015"), HasSubstr("did you mean 270/15?"));
    EXPECT_THAT(message_of("27015KT"), HasSubstr("did you mean 270/15?"));
    EXPECT_THAT(message_of("08032G45KT"), HasSubstr("did you mean 080/32G45?"));
    EXPECT_THAT(message_of("270/15kt"), HasSubstr("without its unit: 270/15"));
    EXPECT_THAT(message_of("270/15 knots"), HasSubstr("without its unit: 270/15"));
    EXPECT_THAT(message_of("270@15"), HasSubstr("stroke"));
    EXPECT_THAT(message_of("VRB04KT"), HasSubstr("variable"));
    EXPECT_THAT(message_of("13008MPS"), HasSubstr("knots"));
}

TEST(CaseWind, WhatIsNotAWindSaysWhatOneLooksLike) {
    for (const char* text : {"", "/", "270/", "27/15", "0270/15", "270/15G", "270/15/20", "-10/15", "270/-5",
                             "270/1.5", " 270/15", "270/15 ", "270/99999999999999999999", "west"}) {
        EXPECT_EQ(code_of(text), "weather.wind_form") << "'" << text << "'";
        EXPECT_THAT(message_of(text), HasSubstr("270/15G25")) << "'" << text << "'";
    }
}

RC_GTEST_PROP(LawWind, WhatIsPrintedIsReadBackTheSame, ()) {
    Wind wind{.from = base::TrueBearing::degrees(*rc::gen::inRange(0, 360)),
              .speed = base::Speed::knots(*rc::gen::inRange(1, 251))};
    if (*rc::gen::arbitrary<bool>()) {
        wind.gust = base::Speed::knots(*rc::gen::inRange(static_cast<int>(wind.speed.knots() + 0.5), 251));
    }
    const auto read = parse_wind(to_text(wind), "");
    RC_ASSERT(read.has_value());
    RC_ASSERT(*read == wind);
}

RC_GTEST_PROP(LawWind, AnyTextIsReadOrRefusedWithASentence, ()) {
    const auto text = *rc::gen::container<std::string>(
        rc::gen::oneOf(rc::gen::element('0', '2', '7', '/', 'G', 'k', 't', ' '), rc::gen::arbitrary<char>()));
    const auto wind = parse_wind(text, "--wind");
    RC_ASSERT(wind.has_value() || !wind.error().message.empty());
}

}  // namespace omniway::weather
