#include "base/in_quotes.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::base {

TEST(CaseInQuotes, PrintableTextStandsAsItIs) {
    EXPECT_EQ(in_quotes("270/15"), "'270/15'");
    EXPECT_EQ(in_quotes("H\xC3\xB6he"), "'H\xC3\xB6he'");
    EXPECT_EQ(in_quotes(""), "''");
}

TEST(CaseInQuotes, ControlsAndBrokenBytesBecomeQuestionMarks) {
    EXPECT_EQ(in_quotes(std::string_view("a\nb\0c\x1B[31m", 10)), "'a?b?c?[31m'");
    EXPECT_EQ(in_quotes("\x7F\xC2\x85"), "'\?\?'");
}

// Ill-formed sequences by RFC 3629, section 3 and 4: a lone continuation byte, an overlong stroke, half a
// surrogate pair, a character beyond U+10FFFF, a sequence cut short.
TEST(TruthInQuotes, WhatIsNotUtf8IsNotShown) {
    EXPECT_EQ(in_quotes("\x80"), "'?'");
    EXPECT_EQ(in_quotes("\xC0\xAF"), "'\?\?'");
    EXPECT_EQ(in_quotes("\xED\xA0\x80"), "'\?\?\?'");
    EXPECT_EQ(in_quotes("\xF4\x90\x80\x80"), "'\?\?\?\?'");
    EXPECT_EQ(in_quotes("\xE2\x82"), "'\?\?'");
}

TEST(CaseInQuotes, LongTextIsCutBetweenCharacters) {
    EXPECT_EQ(in_quotes("123456", 6), "'123456'");
    EXPECT_EQ(in_quotes("1234567", 6), "'123456...'");
    EXPECT_EQ(in_quotes("12345\xC3\xB6", 6), "'12345...'");
}

RC_GTEST_PROP(LawInQuotes, NothingUnprintableComesOut, (const std::string& text)) {
    for (const char c : in_quotes(text)) {
        const auto byte = static_cast<unsigned char>(c);
        RC_ASSERT(byte >= 0x20);
        RC_ASSERT(byte != 0x7F);
    }
    RC_ASSERT(in_quotes(text).size() <= 40U + 5U);
}

}  // namespace omniway::base
