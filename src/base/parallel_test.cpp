#include "base/parallel.hpp"

#include <stdexcept>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::base {
namespace {

RC_GTEST_PROP(LawParallelFor, EachPieceIsDoneOnceOnAnyNumberOfThreads, ()) {
    const auto count = *rc::gen::inRange<std::size_t>(0, 200);
    const auto threads = *rc::gen::inRange<unsigned>(0, 9);
    std::vector<int> done(count);
    parallel_for(
        count, [&](std::size_t i) { ++done[i]; }, threads);
    RC_ASSERT(done == std::vector<int>(count, 1));
}

TEST(Parallel, WhatAPieceThrowsIsThrownAndNoMoreIsBegun) {
    std::vector<int> done(10'000);
    const auto work = [&] {
        parallel_for(
            done.size(),
            [&](std::size_t i) {
                if (i == 3) {
                    throw std::runtime_error("three");
                }
                ++done[i];
            },
            1);
    };
    EXPECT_THROW(work(), std::runtime_error);
    EXPECT_EQ(done[2], 1);
    EXPECT_EQ(done[4], 0);
    EXPECT_THROW(parallel_for(
                     64, [](std::size_t) { throw std::runtime_error("any"); }, 8),
                 std::runtime_error);
}

}  // namespace
}  // namespace omniway::base
