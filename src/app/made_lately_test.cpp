#include "app/made_lately.hpp"

#include <atomic>
#include <chrono>
#include <stdexcept>
#include <thread>
#include <vector>

#include <gtest/gtest.h>

namespace omniway::app {

namespace {

const auto always = [](int) { return true; };

}  // namespace

TEST(LawMadeLately, WhatManyAskForAtOnceIsMadeOnce) {
    MadeLately<int> lately(4);
    std::atomic<int> made{0};
    std::atomic<int> sum{0};
    std::vector<std::thread> threads;
    for (int i = 0; i < 8; ++i) {
        threads.emplace_back([&] {
            sum += *lately.of(
                "key",
                [&] {
                    ++made;
                    std::this_thread::sleep_for(
                        std::chrono::milliseconds(20));  // so that others come meanwhile
                    return 5;
                },
                always);
        });
    }
    for (std::thread& thread : threads) {
        thread.join();
    }
    EXPECT_EQ(made, 1);
    EXPECT_EQ(sum, 8 * 5);
}

TEST(LawMadeLately, TheOneNotAskedForLongestGoesFirst) {
    MadeLately<int> lately(2);
    int made = 0;
    const auto ask = [&](const char* key) {
        return lately.of(
            key, [&] { return ++made; }, always);
    };
    ask("a");
    ask("b");
    ask("a");
    ask("c");  // in the place of b
    EXPECT_EQ(made, 3);
    ask("a");
    ask("c");
    EXPECT_EQ(made, 3);
    ask("b");
    EXPECT_EQ(made, 4);
}

TEST(LawMadeLately, WhatFailsOrIsNotWorthKeepingIsMadeAnew) {
    MadeLately<int> lately(2);
    int made = 0;
    EXPECT_THROW(lately.of(
                     "a", []() -> int { throw std::runtime_error("no"); }, always),
                 std::runtime_error);
    const auto make = [&] { return ++made; };
    EXPECT_EQ(*lately.of("a", make, [](int) { return false; }), 1);
    EXPECT_EQ(*lately.of("a", make, always), 2);
    EXPECT_EQ(*lately.of("a", make, always), 2);
}

}  // namespace omniway::app
