#include "routing/edge_memo.hpp"

#include <atomic>
#include <string>
#include <thread>
#include <vector>

#include <gtest/gtest.h>

namespace omniway::routing {

using base::Altitude;

namespace {

flight::LegOrReason refused(std::uint32_t index) {
    return {std::nullopt, base::Finding{base::Grade::blocks, "test", std::to_string(index), "", ""}};
}

std::string ask(EdgeMemo& memo, std::uint32_t rules, std::uint32_t index,
                std::atomic<int>* judged = nullptr) {
    const auto leg = memo.leg(rules, AirwayEdge{0, index, true}, Altitude::feet(5000), [&] {
        if (judged != nullptr) {
            ++*judged;
        }
        return refused(index);
    });
    return leg->refused->about;
}

}  // namespace

TEST(LawEdgeMemo, AnEdgeIsJudgedOnceUnderOneSetOfRules) {
    EdgeMemo memo;
    std::atomic<int> judged = 0;
    EXPECT_EQ(ask(memo, 0, 7, &judged), "7");
    EXPECT_EQ(ask(memo, 0, 7, &judged), "7");
    EXPECT_EQ(judged, 1);
    EXPECT_EQ(ask(memo, 1, 7, &judged), "7");
    EXPECT_EQ(judged, 2);
}

TEST(LawEdgeMemo, AnotherAltitudeDirectionOrAllowanceOfDeadReckoningIsJudgedByItself) {
    EdgeMemo memo;
    int judged = 0;
    const auto about = [&](const EdgeMemo::Edge& edge, double altitude_ft) {
        const auto judge = [&] { return refused(static_cast<std::uint32_t>(judged++)); };
        return memo.leg(0, edge, Altitude::feet(altitude_ft), judge)->refused->about;
    };
    const navdata::Point a{navdata::StationId{1}};
    const navdata::Point b{navdata::StationId{2}};
    const auto direct = [](const navdata::Point& from, const navdata::Point& to, double allowed_nm) {
        return DirectEdge{from, to, base::Length::nautical_miles(allowed_nm)};
    };
    for (int round = 0; round < 2; ++round) {
        EXPECT_EQ(about(AirwayEdge{0, 7, true}, 5000), "0");
        EXPECT_EQ(about(AirwayEdge{0, 7, true}, 6000), "1");
        EXPECT_EQ(about(AirwayEdge{0, 7, false}, 5000), "2");
        EXPECT_EQ(about(AirwayEdge{1, 7, true}, 5000), "3");
        EXPECT_EQ(about(direct(a, b, 10), 5000), "4");
        EXPECT_EQ(about(direct(a, b, 5), 5000), "5");
        EXPECT_EQ(about(direct(b, a, 10), 5000), "6");
    }
}

TEST(LawEdgeMemo, RulesThatDifferInOneThingAreOtherRules) {
    EdgeMemo memo;
    cockpit::Equipment aboard;
    flight::Settings settings;
    radio::Ground ground;
    const auto first = memo.rules(aboard, settings, ground);
    EXPECT_EQ(memo.rules(aboard, settings, ground), first);
    aboard.dme = cockpit::DmeControl::own_control;
    EXPECT_NE(memo.rules(aboard, settings, ground), first);
    aboard.dme.reset();
    settings.criteria = radio::Criteria::pans_ops;
    EXPECT_NE(memo.rules(aboard, settings, ground), first);
    settings = {};
    settings.off_airway_minimum = Altitude::feet(4000);
    EXPECT_NE(memo.rules(aboard, settings, ground), first);
    settings = {};
    ground.mode = radio::ReceptionMode::volume;
    EXPECT_NE(memo.rules(aboard, settings, ground), first);
}

TEST(LawEdgeMemo, ItHoldsNoMoreThanItsBoundAndForgettingChangesNoAnswer) {
    EdgeMemo memo(64);
    for (int round = 0; round < 3; ++round) {
        for (std::uint32_t i = 0; i < 1000; ++i) {
            EXPECT_EQ(ask(memo, 0, i), std::to_string(i));
            EXPECT_LE(memo.size(), 64U);
        }
    }
}

TEST(LawEdgeMemo, EightThreadsAskingForTheSameEdgesGetTheSameAnswers) {
    EdgeMemo memo(128);
    std::atomic<int> wrong = 0;
    {
        std::vector<std::jthread> threads;
        for (int t = 0; t < 8; ++t) {
            threads.emplace_back([&, t] {
                for (std::uint32_t i = 0; i < 2000; ++i) {
                    const std::uint32_t index = (i * 7 + static_cast<std::uint32_t>(t) * 13) % 300;
                    wrong += ask(memo, 0, index) == std::to_string(index) ? 0 : 1;
                }
            });
        }
    }
    EXPECT_EQ(wrong, 0);
}

}  // namespace omniway::routing
