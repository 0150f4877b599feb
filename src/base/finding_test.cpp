#include "base/finding.hpp"

#include <algorithm>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::base {
namespace {

Finding of(Grade grade, std::string about = {}) {
    Finding finding;
    finding.grade = grade;
    finding.about = std::move(about);
    return finding;
}

rc::Gen<std::vector<Finding>> findings() {
    return rc::gen::map(rc::gen::container<std::vector<Grade>>(
                            rc::gen::element(Grade::blocks, Grade::asks, Grade::warns, Grade::notes)),
                        [](const std::vector<Grade>& grades) {
                            std::vector<Finding> made;
                            for (std::size_t i = 0; i < grades.size(); ++i) {
                                made.push_back(of(grades[i], std::to_string(i)));
                            }
                            return made;
                        });
}

TEST(CaseFindings, StandWorstFirst) {
    std::vector<Finding> found = {of(Grade::notes), of(Grade::warns), of(Grade::blocks), of(Grade::asks)};
    rank(found);
    EXPECT_THAT(found,
                testing::ElementsAre(of(Grade::blocks), of(Grade::asks), of(Grade::warns), of(Grade::notes)));
}

TEST(CaseFindings, OfOneGradeKeepTheOrderInWhichTheyWereMade) {
    std::vector<Finding> found = {of(Grade::asks, "second leg"), of(Grade::blocks, "approach"),
                                  of(Grade::asks, "first leg")};
    rank(found);
    EXPECT_EQ(found[0].about, "approach");
    EXPECT_EQ(found[1].about, "second leg");
    EXPECT_EQ(found[2].about, "first leg");
}

TEST(CaseVerdict, NothingFoundIsFlyable) {
    EXPECT_EQ(verdict_of({}), Verdict::flyable);
}

TEST(CaseVerdict, WarningsAndNotesDoNotStopAFlight) {
    EXPECT_EQ(verdict_of({of(Grade::notes), of(Grade::warns), of(Grade::warns)}), Verdict::flyable);
}

TEST(CaseVerdict, SomethingMissingMakesItFlyableIf) {
    EXPECT_EQ(verdict_of({of(Grade::notes), of(Grade::asks), of(Grade::warns)}), Verdict::flyable_if);
}

TEST(CaseVerdict, OneThatBlocksOutweighsAllOthers) {
    EXPECT_EQ(verdict_of({of(Grade::asks), of(Grade::asks), of(Grade::blocks)}), Verdict::not_flyable);
}

TEST(CaseVerdict, GradesAndVerdictsAreTheWordsOfTheCard) {
    EXPECT_EQ(to_text(Grade::blocks), "blocks");
    EXPECT_EQ(to_text(Grade::asks), "asks");
    EXPECT_EQ(to_text(Grade::warns), "warns");
    EXPECT_EQ(to_text(Grade::notes), "notes");
    EXPECT_EQ(to_text(Verdict::flyable), "flyable");
    EXPECT_EQ(to_text(Verdict::flyable_if), "flyable if");
    EXPECT_EQ(to_text(Verdict::not_flyable), "not flyable");
}

RC_GTEST_PROP(LawFindings, RankingLosesNothingAndOrdersByGradeThenByTurn, ()) {
    const std::vector<Finding> made = *findings();
    std::vector<Finding> ranked = made;
    rank(ranked);
    RC_ASSERT(std::is_permutation(ranked.begin(), ranked.end(), made.begin(), made.end()));
    for (std::size_t i = 1; i < ranked.size(); ++i) {
        RC_ASSERT(ranked[i - 1].grade <= ranked[i].grade);
        if (ranked[i - 1].grade == ranked[i].grade) {
            RC_ASSERT(std::stoi(ranked[i - 1].about) < std::stoi(ranked[i].about));
        }
    }
}

RC_GTEST_PROP(LawVerdict, OneMoreFindingNeverImprovesIt, ()) {
    std::vector<Finding> some = *findings();
    const Verdict before = verdict_of(some);
    some.push_back(of(*rc::gen::element(Grade::blocks, Grade::asks, Grade::warns, Grade::notes)));
    RC_ASSERT(verdict_of(some) >= before);
}

RC_GTEST_PROP(LawVerdict, IsTheSameInWhateverOrderTheyWereFound, ()) {
    const std::vector<Finding> made = *findings();
    std::vector<Finding> ranked = made;
    rank(ranked);
    RC_ASSERT(verdict_of(ranked) == verdict_of(made));
}

}  // namespace
}  // namespace omniway::base
