#include "base/contract.hpp"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace omniway::base {
namespace {

int reciprocal_of(int number) {
    OMNIWAY_EXPECTS(number != 0);
    return 1 / number;
}

TEST(CaseContract, ABrokenPreconditionThrowsInEveryBuild) {
    EXPECT_EQ(reciprocal_of(1), 1);
    EXPECT_THROW(reciprocal_of(0), ContractViolation);
}

TEST(CaseContract, TheMessageNamesTheConditionAndThePlace) {
    try {
        reciprocal_of(0);
        FAIL() << "nothing thrown";
    } catch (const ContractViolation& bug) {
        EXPECT_THAT(bug.what(), testing::HasSubstr("number != 0"));
        EXPECT_THAT(bug.what(), testing::ContainsRegex("contract_test\\.cpp:[0-9]+"));
    }
}

}  // namespace
}  // namespace omniway::base
