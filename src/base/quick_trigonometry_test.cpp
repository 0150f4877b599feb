#include "base/quick_trigonometry.hpp"

#include <cmath>
#include <numbers>

#include <gtest/gtest.h>

#include "base/random.hpp"

namespace omniway::base {
namespace {

constexpr double promised = 1e-9;  // of the header

// Every quarter and eighth of a turn and their neighbours, where the series change, and angles all over the domain.
TEST(TruthQuickTrigonometry, SineAndCosineAreTheCLibrarysWithinANanoradian) {
    const auto agrees = [](double rad) {
        const SineCosine quick = quick_sine_cosine(rad);
        ASSERT_NEAR(quick.sine, std::sin(rad), promised) << rad;
        ASSERT_NEAR(quick.cosine, std::cos(rad), promised) << rad;
    };
    for (int eighths = -40; eighths <= 40; ++eighths) {
        for (const double beside : {-1e-3, -1e-12, 0.0, 1e-12, 1e-3}) {
            agrees(eighths * std::numbers::pi / 4.0 + beside);
        }
    }
    Random random(Seed{1});
    for (const double widest : {std::numbers::pi, 100.0, 1e6}) {
        for (int i = 0; i < 100'000; ++i) {
            agrees(random.between(-widest, widest));
        }
    }
}

TEST(TruthQuickTrigonometry, DirectionIsTheCLibrarysWithinANanoradian) {
    const auto agrees = [](double second, double first) {
        ASSERT_NEAR(quick_direction(second, first), std::atan2(second, first), promised)
            << second << ", " << first;
    };
    Random random(Seed{2});
    for (int i = 0; i < 200'000; ++i) {
        const double turned = random.between(-std::numbers::pi, std::numbers::pi);
        const double length = std::exp(random.between(-20.0, 20.0));
        agrees(length * std::sin(turned), length * std::cos(turned));
    }
    for (const double second : {-1.0, -0.41421356237309503, -1e-300, 0.0, 1e-300, 0.41421356237309503, 1.0}) {
        for (const double first : {-1.0, -1e-300, 1e-300, 1.0}) {
            agrees(second, first);
            agrees(first, second);
        }
    }
}

// Half a turn lies on either side alike.
TEST(TruthQuickTrigonometry, WrappedIsTheRemainderOfTheCLibrary) {
    Random random(Seed{3});
    for (const double turn : {360.0, 2.0 * std::numbers::pi}) {
        for (int i = 0; i < 100'000; ++i) {
            const double angle = random.between(-4.0, 4.0) * turn;
            const double off = quick_wrapped(angle, turn) - std::remainder(angle, turn);
            ASSERT_NEAR(std::remainder(off, turn), 0.0, promised) << angle;
            ASSERT_LE(std::abs(quick_wrapped(angle, turn)), turn / 2.0 + promised) << angle;
        }
    }
}

TEST(LawQuickTrigonometry, AnArrowWithoutLengthPointsAlongTheFirstAxis) {
    EXPECT_EQ(quick_direction(0.0, 0.0), 0.0);
}

}  // namespace
}  // namespace omniway::base
