#include "app/reading_words.hpp"

#include <array>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::app {
namespace {

ReadingWords read(ReadingOption option, const std::string& text) {
    const auto words = parse_reading(option, text, "here");
    if (!words) {
        ADD_FAILURE() << text << ": " << words.error().message;
        return {};
    }
    return *words;
}

std::string code_of(ReadingOption option, const std::string& text) {
    const auto words = parse_reading(option, text, "here");
    if (words) {
        return "read as " + to_text(*words);
    }
    EXPECT_EQ(words.error().where, "here") << text;
    EXPECT_NE(words.error().message, "") << text;
    return words.error().code;
}

double radial(const std::string& text) {
    return std::get<RadialWords>(read(ReadingOption::vor, text).shown).radial().degrees();
}

}  // namespace

// The needle centres at C = R with FROM and at C = R + 180 with TO (trade-facts 4, "TO/FROM and needle logic"; its worked example: OBS 300,
// radial 120, TO, centred).
TEST(CaseReadingWords, AnArrowTurnsACourseIntoARadial) {
    EXPECT_EQ(radial("XAB=123"), 123.0);
    EXPECT_EQ(radial("XAB=300TO"), 120.0);
    EXPECT_EQ(radial("XAB=123FROM"), 123.0);
    EXPECT_EQ(radial("XAB=123TO"), 303.0);
    EXPECT_EQ(radial("xab=303to"), 123.0);
    EXPECT_EQ(radial("XAB=360"), 0.0);
    EXPECT_EQ(radial("XAB=000"), 0.0);
    EXPECT_EQ(radial("XAB=180 TO"), 0.0);
}

TEST(CaseReadingWords, AStationIsAnIdentAFrequencyOrMorse) {
    const auto station = [](const std::string& text) { return read(ReadingOption::over, text).station; };
    EXPECT_EQ(station("XAB"), StationWords(StationByIdent{"XAB"}));
    EXPECT_EQ(station("x?b"), StationWords(StationByIdent{"X?B"}));
    EXPECT_EQ(station("113.2"), station("113.20"));
    EXPECT_EQ(std::get<StationByFrequency>(station("113.20")).frequency.megahertz(), 113.2);
    EXPECT_EQ(std::get<StationByFrequency>(station("365")).frequency.kilohertz(), 365.0);
    EXPECT_EQ(station("-..- .- -..."), StationWords(StationByMorse{"XAB"}));
    EXPECT_EQ(station("-..- ? -..."), StationWords(StationByMorse{"X?B"}));
}

TEST(CaseReadingWords, EachOptionHasItsOwnWords) {
    EXPECT_EQ(
        std::get<DistanceWords>(read(ReadingOption::dme, "XAB=20.5").shown).slant_range.nautical_miles(),
        20.5);
    EXPECT_EQ(
        std::get<DistanceWords>(read(ReadingOption::dme, "113.20=8NM").shown).slant_range.nautical_miles(),
        8.0);
    EXPECT_EQ(read(ReadingOption::ndb, "XNB=045").shown, ShownWords(BearingWords{45.0, false}));
    EXPECT_EQ(read(ReadingOption::ndb, "XNB=R330").shown, ShownWords(BearingWords{330.0, true}));
    using fixing::NeedleStands;
    EXPECT_EQ(read(ReadingOption::loc, "IXMR=left").shown, ShownWords(NeedleWords{NeedleStands::left}));
    EXPECT_EQ(read(ReadingOption::loc, "IXMR=centred").shown, ShownWords(NeedleWords{NeedleStands::centred}));
    EXPECT_EQ(read(ReadingOption::loc, "IXMR=Centered").shown,
              ShownWords(NeedleWords{NeedleStands::centred}));
    EXPECT_EQ(read(ReadingOption::loc, "110.30=RIGHT").shown, ShownWords(NeedleWords{NeedleStands::right}));
    EXPECT_EQ(read(ReadingOption::silent, "XAB").shown, ShownWords(SilenceWords{false}));
    EXPECT_EQ(read(ReadingOption::silent, "XAB/dme@-3").shown, ShownWords(SilenceWords{true}));
}

TEST(CaseReadingWords, ATimeIsATimeOfTheDayOrMinutesAgo) {
    const auto time = [](const std::string& text) { return read(ReadingOption::vor, "XAB=123" + text).time; };
    EXPECT_EQ(time(""), TimeWords(ReadNow{}));
    EXPECT_EQ(time("@14:07"), TimeWords(ReadAtClock{base::minutes(14 * 60 + 7)}));
    EXPECT_EQ(time("@14:07Z"), time("@14:07"));
    EXPECT_EQ(time("@14:07:30"), TimeWords(ReadAtClock{base::Duration(14 * 3600 + 7 * 60 + 30)}));
    EXPECT_EQ(time("@-6"), TimeWords(ReadBefore{base::minutes(6.0)}));
    EXPECT_EQ(time("@-0.5"), TimeWords(ReadBefore{base::Duration(30.0)}));
}

TEST(CaseReadingWords, WhatIsNoReadingIsRefusedByName) {
    using enum ReadingOption;
    for (const char* text : {"XAB", "", "XAB 123"}) {
        EXPECT_EQ(code_of(vor, text), "app.find_form") << text;
    }
    for (const char* text : {"XAB=361", "XAB=-5", "XAB=12x", "XAB=", "XAB=1e2", "XAB=NAN", "XAB=TO",
                             "XAB=1.2.3", "50=090", "118.00=090", "107.95=090", "1751=090", "XAB=123@-121"}) {
        EXPECT_EQ(code_of(vor, text), "app.out_of_range") << text;
    }
    for (const char* text : {"=123", "XABCDE=123", "X-AB=123", "X/Y=123", "\x01=123", "\xff=123"}) {
        EXPECT_EQ(code_of(vor, text), "app.find_station") << text;
    }
    for (const char* text : {".-.-.-.=123", "...... .-=123", ". . . . . .=123"}) {
        EXPECT_EQ(code_of(vor, text), "app.find_morse") << text;
    }
    EXPECT_EQ(code_of(vor, "XAB=123@1407"), "base.clock_form");
    EXPECT_EQ(code_of(vor, "XAB=123@24:00"), "base.clock_out_of_range");
    EXPECT_EQ(code_of(vor, "XAB=123@2026-11-26T14:07Z"), "app.find_time");
    EXPECT_EQ(code_of(vor, "XAB=123@-x"), "app.find_time");
    EXPECT_EQ(code_of(dme, "XAB=300.1"), "app.out_of_range");
    EXPECT_EQ(code_of(dme, "XAB=-0.1"), "app.out_of_range");
    EXPECT_EQ(code_of(ndb, "XNB=R361"), "app.out_of_range");
    EXPECT_EQ(code_of(loc, "IXMR=up"), "app.find_form");
    EXPECT_EQ(code_of(over, "XAB=3"), "app.find_form");
    EXPECT_EQ(code_of(silent, "XAB=3"), "app.find_form");
}

TEST(CaseReadingWords, AHeadingIsMagneticAndHasItsTime) {
    const auto held = parse_heading("090@14:00", "here");
    ASSERT_TRUE(held);
    EXPECT_EQ(held->heading, base::MagneticBearing::degrees(90.0));
    EXPECT_EQ(held->time, TimeWords(ReadAtClock{base::minutes(14 * 60)}));
    EXPECT_EQ(parse_heading("361", "here").error().code, "app.out_of_range");
    EXPECT_EQ(parse_heading("east", "here").error().code, "app.out_of_range");
}

TEST(CaseReadingWords, ASentenceNamesAReading) {
    EXPECT_EQ(phrase(read(ReadingOption::vor, "XAB=123")), "XAB radial 123");
    EXPECT_EQ(phrase(read(ReadingOption::vor, "113.2=303TO@14:07")), "113.20 MHz course 303 TO at 14:07Z");
    EXPECT_EQ(phrase(read(ReadingOption::ndb, "XNB=R330@-6")), "relative bearing 330 to XNB 6 min ago");
    EXPECT_EQ(phrase(read(ReadingOption::silent, "XAB/dme")), "XAB DME not heard");
}

namespace {

rc::Gen<StationWords> any_station() {
    const auto letters = rc::gen::apply(
        [](const std::string& tail) { return "X" + tail; },
        rc::gen::resize(4, rc::gen::container<std::string>(rc::gen::elementOf(std::string("ABCXYZ019?")))));
    return rc::gen::oneOf(
        rc::gen::map(letters,
                     [](const std::string& l) { return StationWords(StationByIdent{l.substr(0, 5)}); }),
        rc::gen::map(letters,
                     [](const std::string& l) { return StationWords(StationByMorse{l.substr(0, 5)}); }),
        rc::gen::map(rc::gen::inRange(0, 200),
                     [](int step) {
                         return StationWords(
                             StationByFrequency{base::Frequency::megahertz(108.0 + step * 0.05)});
                     }),
        rc::gen::map(rc::gen::inRange(190, 1751), [](int khz) {
            return StationWords(StationByFrequency{base::Frequency::kilohertz(khz)});
        }));
}

rc::Gen<TimeWords> any_time() {
    return rc::gen::oneOf(rc::gen::just(TimeWords(ReadNow{})),
                          rc::gen::map(rc::gen::inRange(0, 86400),
                                       [](int s) { return TimeWords(ReadAtClock{base::Duration(s)}); }),
                          rc::gen::map(rc::gen::inRange(0, 1201), [](int tenths) {
                              return TimeWords(ReadBefore{base::minutes(tenths / 10.0)});
                          }));
}

rc::Gen<std::pair<ReadingOption, ShownWords>> any_shown() {
    using Pair = std::pair<ReadingOption, ShownWords>;
    const auto degrees = rc::gen::map(rc::gen::inRange(1, 721), [](int halves) { return halves / 2.0; });
    return rc::gen::oneOf(
        rc::gen::apply(
            [](double d, int arrow) {
                const std::array<std::optional<Arrow>, 3> arrows{std::nullopt, Arrow::to, Arrow::from};
                return Pair{ReadingOption::vor, RadialWords{d, arrows.at(static_cast<std::size_t>(arrow))}};
            },
            degrees, rc::gen::inRange(0, 3)),
        rc::gen::map(
            rc::gen::inRange(0, 3001),
            [](int tenths) {
                return Pair{ReadingOption::dme, DistanceWords{base::Length::nautical_miles(tenths / 10.0)}};
            }),
        rc::gen::apply(
            [](double d, bool relative) {
                return Pair{ReadingOption::ndb, BearingWords{d, relative}};
            },
            degrees, rc::gen::arbitrary<bool>()),
        rc::gen::map(rc::gen::inRange(0, 3),
                     [](int n) {
                         return Pair{ReadingOption::loc, NeedleWords{static_cast<fixing::NeedleStands>(n)}};
                     }),
        rc::gen::just(Pair{ReadingOption::over, PassageWords{}}),
        rc::gen::map(rc::gen::arbitrary<bool>(), [](bool distance) {
            return Pair{ReadingOption::silent, SilenceWords{distance}};
        }));
}

}  // namespace

RC_GTEST_PROP(LawReadingWords, WhatIsPrintedBackIsReadTheSame, ()) {
    const auto [option, shown] = *any_shown();
    const ReadingWords words{*any_station(), shown, *any_time()};
    const std::string text = to_text(words);
    const auto again = parse_reading(option, text, "here");
    RC_LOG() << text << (again ? "" : ": " + again.error().message);
    RC_ASSERT(again.has_value());
    RC_ASSERT(to_text(*again) == text);
    RC_ASSERT(again->station.index() == words.station.index());
    RC_ASSERT(again->shown.index() == words.shown.index());
    if (option != ReadingOption::dme && !std::holds_alternative<StationByFrequency>(words.station)) {
        RC_ASSERT(*again == words);  // the others are not exact in binary
    }
}

RC_GTEST_PROP(LawReadingWords, AnyBytesAreReadOrRefusedWithACode, (const std::string& bytes)) {
    for (const ReadingOption option : {ReadingOption::vor, ReadingOption::dme, ReadingOption::ndb,
                                       ReadingOption::loc, ReadingOption::over, ReadingOption::silent}) {
        for (const std::string& text : {bytes, "XAB=" + bytes, "XAB=090@" + bytes, bytes + "=090"}) {
            const auto read = parse_reading(option, text, "here");
            RC_ASSERT(read || (!read.error().code.empty() && read.error().where == "here"));
        }
    }
}

}  // namespace omniway::app
