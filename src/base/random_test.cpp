#include "base/random.hpp"

#include <array>

#include <gtest/gtest.h>

namespace omniway::base {
namespace {

// The row that the authors' published C code (splitmix64.c) gives for the seed 1234567, as reprinted with it; from memory.
TEST(TruthRandom, GivesTheRowOfThePublishedGenerator) {
    const std::array<std::uint64_t, 5> published = {6457827717110365317U, 3203168211198807973U,
                                                    9817491932198370423U, 4593380528125082431U,
                                                    16408922859458223821U};
    Random random(Seed{1234567});
    for (const std::uint64_t number : published) {
        EXPECT_EQ(random.bits(), number);
    }
}

TEST(LawRandom, StaysBetweenItsBoundsAndFillsThemEvenly) {
    Random random(Seed{7});
    std::array<int, 10> count = {};
    for (int i = 0; i < 100000; ++i) {
        const double x = random.between(-5.0, 5.0);
        ASSERT_GE(x, -5.0);
        ASSERT_LT(x, 5.0);
        ++count[static_cast<std::size_t>(x + 5.0)];
        ASSERT_LT(random.below(3), 3U);
    }
    // Six standard deviations of a count of 100,000 in ten: 6 * sqrt(100000 * 0.1 * 0.9) = 569.
    for (const int in_one : count) {
        EXPECT_NEAR(in_one, 10000, 569);
    }
}

}  // namespace
}  // namespace omniway::base
