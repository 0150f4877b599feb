#include "base/result.hpp"

#include <gtest/gtest.h>

namespace omniway::base {
namespace {

TEST(CaseError, ReadsAsPlaceMessageAndCode) {
    EXPECT_EQ(to_text(Error{"earth.latitude_out_of_range", "latitude 91 degrees is outside -90 to 90",
                            "stations.csv:12:5"}),
              "stations.csv:12:5: latitude 91 degrees is outside -90 to 90 [earth.latitude_out_of_range]");
}

TEST(CaseError, WithoutAPlaceBeginsWithTheMessage) {
    EXPECT_EQ(to_text(Error{"app.same_airport_twice", "departure and destination are the same", ""}),
              "departure and destination are the same [app.same_airport_twice]");
}

TEST(CaseResult, AFailureCarriesItsThreeParts) {
    const Result<int> refused = failure("some.code", "what is wrong", "where");
    ASSERT_FALSE(refused);
    EXPECT_EQ(refused.error(), (Error{"some.code", "what is wrong", "where"}));
    const Result<int> nowhere = failure("some.code", "what is wrong");
    EXPECT_EQ(nowhere.error().where, "");
}

TEST(CaseResult, AValueIsThere) {
    const Result<int> given = 7;
    ASSERT_TRUE(given);
    EXPECT_EQ(*given, 7);
}

}  // namespace
}  // namespace omniway::base
