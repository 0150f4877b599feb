#include "wire/card_differences.hpp"

#include <gtest/gtest.h>

namespace omniway::wire {

namespace {

flight::Card card() {
    flight::Card card;
    for (const int number : {1, 2}) {
        flight::Step step;
        step.number = number;
        flight::FollowRadial follow;
        follow.aid.ident = "XDV";
        follow.course = base::Radial::degrees(71);
        step.guidance = follow;
        card.steps.push_back(step);
    }
    return card;
}

}  // namespace

TEST(LawCardDifferences, ACardDoesNotDifferFromItself) {
    EXPECT_TRUE(card_differences(card(), card()).empty());
}

TEST(LawCardDifferences, AFigureThatDiffersIsToldWithItsStepItsFieldAndBothValues) {
    flight::Card other = card();
    std::get<flight::FollowRadial>(other.steps[1].guidance).course = base::Radial::degrees(79);
    const auto found = card_differences(other, card());
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found.front().code, "card.differs");
    EXPECT_EQ(found.front().grade, base::Grade::blocks);
    EXPECT_EQ(found.front().step, 2);
    EXPECT_NE(found.front().about.find("guidance"), std::string::npos) << found.front().about;
    EXPECT_NE(found.front().text.find("79"), std::string::npos) << found.front().text;
    EXPECT_NE(found.front().text.find("71"), std::string::npos) << found.front().text;
}

TEST(LawCardDifferences, AnotherKindOfGuidanceIsOneDifference) {
    flight::Card other = card();
    other.steps[0].guidance = flight::FlyHeading{};
    const auto found = card_differences(other, card());
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found.front().step, 1);
    EXPECT_EQ(found.front().text, "fly_heading on the card, follow_radial as compiled");
}

TEST(LawCardDifferences, AStepThatIsMissingIsTold) {
    flight::Card other = card();
    other.steps.pop_back();
    const auto found = card_differences(other, card());
    ASSERT_EQ(found.size(), 1U);
    EXPECT_EQ(found.front().about, "card, steps");
}

}  // namespace omniway::wire
