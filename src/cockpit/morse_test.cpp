#include "cockpit/morse.hpp"

#include <array>
#include <string>
#include <tuple>
#include <utility>

#include <gtest/gtest.h>

namespace omniway::cockpit {

namespace {

double milliseconds(base::Duration duration) {
    return duration.count() * 1000.0;
}

}  // namespace

// ITU-R M.1677-1, the letter and figure tables, whole (trade-facts 10.6, [seen]).
TEST(TruthMorse, SoundsTheLettersAndFiguresOfTheInternationalCode) {
    constexpr std::array<std::pair<char, const char*>, 36> table = {{
        {'A', ".-"},    {'B', "-..."},  {'C', "-.-."},  {'D', "-.."},   {'E', "."},     {'F', "..-."},
        {'G', "--."},   {'H', "...."},  {'I', ".."},    {'J', ".---"},  {'K', "-.-"},   {'L', ".-.."},
        {'M', "--"},    {'N', "-."},    {'O', "---"},   {'P', ".--."},  {'Q', "--.-"},  {'R', ".-."},
        {'S', "..."},   {'T', "-"},     {'U', "..-"},   {'V', "...-"},  {'W', ".--"},   {'X', "-..-"},
        {'Y', "-.--"},  {'Z', "--.."},  {'1', ".----"}, {'2', "..---"}, {'3', "...--"}, {'4', "....-"},
        {'5', "....."}, {'6', "-...."}, {'7', "--..."}, {'8', "---.."}, {'9', "----."}, {'0', "-----"},
    }};
    for (const auto& [letter, code] : table) {
        EXPECT_EQ(morse(std::string(1, letter)), code) << letter;
    }
    EXPECT_EQ(morse("SOS"), "... --- ...");
    EXPECT_EQ(morse("xyz"), "-..- -.-- --..");
}

TEST(CaseMorse, LeavesOutWhatHasNoCode) {
    EXPECT_EQ(morse("A-B"), ".- -...");
    EXPECT_EQ(morse(""), "");
    EXPECT_TRUE(keyed("- ").empty());
    EXPECT_EQ(keying_time("").count(), 0.0);
}

// The code of each letter and figure is ITU-R M.1677-1's, by the table above; no two are the same, so what is heard has one meaning.
TEST(LawMorse, WhatIsHeardIsTheLettersThatWereSent) {
    for (const char* ident : {"ABQ", "XKE", "X", "IXMR", "0123456789", "ABCDEFGHIJKLMNOPQRSTUVWXYZ"}) {
        EXPECT_EQ(letters_heard(morse(ident)), ident);
    }
    EXPECT_EQ(letters_heard("  -..-   ?  . "), "X?E");
    for (const char* no_code : {"", " ", ".-.-.-.", "......", "-.- x", ".-,"}) {
        EXPECT_EQ(letters_heard(no_code), std::nullopt) << no_code;
    }
}

// trade-facts 10.5, [computed] there from 1,200 / wpm milliseconds, printed in whole milliseconds.
TEST(TruthMorse, ADotIsAsLongAsTheSpeedSays) {
    EXPECT_NEAR(milliseconds(MorseSpeed{5}.dot()), 240, 1e-9);
    EXPECT_NEAR(milliseconds(MorseSpeed{6}.dot()), 200, 1e-9);
    EXPECT_NEAR(milliseconds(MorseSpeed{7}.dot()), 171, 0.5);
    EXPECT_NEAR(milliseconds(MorseSpeed{10}.dot()), 120, 1e-9);
}

// What "words a minute" means: PARIS with the seven dots' gap between words is 50 dots (common definition of the unit), so that as
// many of them as the speed says fill one minute.
TEST(TruthMorse, TheWordParisWithItsGapFillsItsShareOfAMinute) {
    for (const double words : {5.0, 7.0, 12.0}) {
        const MorseSpeed speed{words};
        EXPECT_NEAR((keying_time("PARIS", speed) + 7.0 * speed.dot()).count() * words, 60.0, 1e-9);
    }
}

// ITU-R M.1677-1: dash three dots, inside a letter one, between letters three (trade-facts 10.6, [seen]). "AE": .- .
TEST(TruthMorse, TheKeySoundsAndRestsForTheLengthsOfTheRecommendation) {
    const MorseSpeed speed{6};  // a dot is 0.2 s
    const auto stretches = keyed("AE", speed);
    const std::array<std::pair<bool, double>, 5> expected = {
        {{true, 0.2}, {false, 0.2}, {true, 0.6}, {false, 0.6}, {true, 0.2}}};
    ASSERT_EQ(stretches.size(), expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
        EXPECT_EQ(stretches[i].sounds, expected[i].first);
        EXPECT_NEAR(stretches[i].length.count(), expected[i].second, 1e-12);
    }
}

// trade-facts 10.5: 1,020 Hz and 1,350 Hz and about 7 words a minute [seen]; VOR and NDB at least every 30 s, localizer six times a
// minute, DME every 40 s [memory].
TEST(TruthMorse, EachKindOfAidIdentifiesItselfByItsStandard) {
    for (const auto& [aid, tone_hz, seconds] :
         {std::tuple(IdentifiedAid::vor, 1020.0, 30.0), std::tuple(IdentifiedAid::localizer, 1020.0, 10.0),
          std::tuple(IdentifiedAid::ndb, 1020.0, 30.0), std::tuple(IdentifiedAid::dme, 1350.0, 40.0)}) {
        EXPECT_NEAR(identification(aid).tone.kilohertz() * 1000, tone_hz, 1e-9);
        EXPECT_EQ(identification(aid).again_within.count(), seconds);
        EXPECT_EQ(identification(aid).speed.words_per_minute, 7.0);
    }
}

// The slowest ident of three letters, JQY or the like, must fit into the time in which it comes round again.
TEST(LawMorse, TheLongestIdentOfAnyAidFitsItsTurn) {
    EXPECT_LT(keying_time("YQJ"), identification(IdentifiedAid::vor).again_within);
    EXPECT_LT(keying_time("IYQJ"), identification(IdentifiedAid::localizer).again_within);
}

}  // namespace omniway::cockpit
