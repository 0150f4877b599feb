#include "base/near_matches.hpp"

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::base {

using testing::ElementsAre;
using testing::IsEmpty;

// Worked examples of the literature, from memory: kitten/sitting (Levenshtein) is 3, Saturday/Sunday is 3;
// CA/ABC tells the restricted distance (3) from the unrestricted one (2).
TEST(TruthEditDistance, AgreesWithTheClassicExamples) {
    EXPECT_EQ(edit_distance("kitten", "sitting"), 3U);
    EXPECT_EQ(edit_distance("Saturday", "Sunday"), 3U);
    EXPECT_EQ(edit_distance("CA", "ABC"), 3U);
}

// Damerau's four slips, each counted once.
TEST(TruthEditDistance, CountsEachOfTheFourSlipsOnce) {
    EXPECT_EQ(edit_distance("ceilling_ft", "ceiling_ft"), 1U);  // one too many
    EXPECT_EQ(edit_distance("celing_ft", "ceiling_ft"), 1U);    // one missing
    EXPECT_EQ(edit_distance("ceilung_ft", "ceiling_ft"), 1U);   // one wrong
    EXPECT_EQ(edit_distance("KBSO", "KBOS"), 1U);               // two swapped
    EXPECT_EQ(edit_distance("kbos", "KBOS"), 0U);
    EXPECT_EQ(edit_distance("", "KBOS"), 4U);
}

RC_GTEST_PROP(LawEditDistance, IsTheSameBothWaysAndNeverMoreThanTheLongerWord,
              (const std::string& a, const std::string& b)) {
    const std::size_t distance = edit_distance(a, b);
    RC_ASSERT(distance == edit_distance(b, a));
    RC_ASSERT(distance <= std::max(a.size(), b.size()));
    RC_ASSERT(distance >= std::max(a.size(), b.size()) - std::min(a.size(), b.size()));
    RC_ASSERT(edit_distance(a, a) == 0U);
}

TEST(CaseNearMatches, TheNearestComesFirstThenTheAlphabet) {
    const std::vector<std::string> known = {"KJFK", "KBOS", "KBED", "KBOI", "KABS"};
    EXPECT_THAT(near_matches("KBSO", known), ElementsAre("KBOS"));
    EXPECT_THAT(near_matches("KBOX", known), ElementsAre("KBOI", "KBOS"));
    EXPECT_THAT(near_matches("kbos", known), ElementsAre("KBOS"));
    EXPECT_THAT(near_matches("ZZZZ", known), IsEmpty());
}

TEST(CaseNearMatches, SwappedLettersComeBeforeOtherLetters) {
    const std::vector<std::string> known = {"AWR", "XAR", "XRW"};
    EXPECT_THAT(near_matches("XWR", known), ElementsAre("XRW", "AWR", "XAR"));
}

TEST(CaseNearMatches, LongWordsMayHoldMoreSlipsAndShortOnesFewer) {
    const std::vector<std::string> known = {"ceiling_ft", "climb_kias", "OK", "X"};
    EXPECT_THAT(near_matches("cieling_feet", known), ElementsAre("ceiling_ft"));
    const std::vector<std::string> alike = {"climb_mach", "climb_kias"};
    EXPECT_THAT(near_matches("climb_kais", alike), ElementsAre("climb_kias"));
    EXPECT_THAT(near_matches("cl_kias", known), IsEmpty());
    EXPECT_THAT(near_matches("KO", known), ElementsAre("OK"));
}

TEST(CaseNearMatches, NoMoreThanAskedForAndEachOnce) {
    const std::vector<std::string> known = {"XAA", "XAB", "XAC", "XAC", "XAD"};
    EXPECT_THAT(near_matches("XAZ", known), ElementsAre("XAA", "XAB", "XAC"));
    EXPECT_THAT(near_matches("XAZ", known, 1), ElementsAre("XAA"));
    EXPECT_THAT(near_matches("XAZ", known, 0), IsEmpty());
    EXPECT_THAT(near_matches("X", known), IsEmpty());
}

TEST(CaseDidYouMean, ReadsAsAQuestion) {
    const std::vector<std::string> three = {"A", "B", "C"};
    const std::span<const std::string> all(three);
    EXPECT_EQ(did_you_mean(all.first(0)), "");
    EXPECT_EQ(did_you_mean(all.first(1)), "did you mean A?");
    EXPECT_EQ(did_you_mean(all.first(2)), "did you mean A or B?");
    EXPECT_EQ(did_you_mean(all), "did you mean A, B or C?");
}

}  // namespace omniway::base
