#include "base/progress.hpp"

#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

namespace omniway::base {
namespace {

TEST(CaseProgress, TellsStageAndShareToWhoeverAsked) {
    std::vector<std::pair<std::string, double>> told;
    Progress progress;
    progress.report = [&](std::string_view stage, double share) { told.emplace_back(stage, share); };
    progress.at("reading", 0.25);
    progress.at("writing", 1.0);
    EXPECT_EQ(told, (std::vector<std::pair<std::string, double>>{{"reading", 0.25}, {"writing", 1.0}}));
}

TEST(CaseProgress, WithNobodyAskingNothingIsToldAndNothingCancels) {
    const Progress progress;
    progress.at("reading", 0.5);
    EXPECT_FALSE(progress.cancelled());
}

TEST(CaseProgress, ARequestToStopIsSeen) {
    std::stop_source source;
    Progress progress;
    progress.stop = source.get_token();
    EXPECT_FALSE(progress.cancelled());
    source.request_stop();
    EXPECT_TRUE(progress.cancelled());
}

}  // namespace
}  // namespace omniway::base
