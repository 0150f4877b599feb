#include "debrief/alignment.hpp"

#include <algorithm>
#include <functional>
#include <limits>
#include <random>

#include <gtest/gtest.h>

namespace omniway::debrief {

namespace {

constexpr double nm = 1852.0;

StepPath line(earth::PlanePoint from, earth::PlanePoint to) {
    StepPath path;
    path.line.start = from;
    path.line.finish = to;
    return path;
}

earth::PlanePoint miles(double east, double north) {
    return {east * nm, north * nm};
}

Sample sample(double time_s, earth::PlanePoint place, double track_rad) {
    Sample one;
    one.time_s = time_s;
    one.place = place;
    one.track_rad = track_rad;
    one.speed_mps = 60.0;
    one.lasts_s = 10.0;
    return one;
}

}  // namespace

// Against every order that there is: nothing is cheaper than what the recurrence finds.
TEST(BruteAlignment, NoOrderOfTheStepsIsCheaper) {
    std::mt19937 draw(11);
    const auto between = [&](double low, double high) {
        return std::uniform_real_distribution<double>(low, high)(draw);
    };
    for (int round = 0; round < 300; ++round) {
        std::vector<StepPath> steps;
        earth::PlanePoint at = miles(0, 0);
        for (int s = 0; s < 4; ++s) {
            const earth::PlanePoint next =
                round % 5 == 0 && s == 2 ? at : miles(between(-3, 12), between(-6, 6));
            steps.push_back(line(at, next));
            if (round % 3 == 0 && s == 1) {
                steps.back().ends_anywhere = true;
            }
            at = next;
        }
        std::vector<Sample> samples;
        for (int i = 0; i < 8; ++i) {
            samples.push_back(sample(10.0 * i, miles(between(-2, 12), between(-6, 6)), between(-3, 3)));
            samples.back().after_gap = round % 4 == 0 && i == 4;
        }
        const std::size_t missed = round % 2 == 0 ? 3 : 4;
        double least = std::numeric_limits<double>::infinity();
        std::vector<std::size_t> order(samples.size());
        const std::function<void(std::size_t, std::size_t)> each = [&](std::size_t i, std::size_t from) {
            if (i == order.size()) {
                least = std::min(least, cost_of_order(steps, samples, missed, order));
                return;
            }
            for (std::size_t s = from; s < steps.size(); ++s) {
                order[i] = s;
                each(i + 1, s);
            }
        };
        each(0, 0);
        const auto found = align(steps, samples, missed);
        ASSERT_NEAR(cost_of_order(steps, samples, missed, found), least, 1e-6 * least) << round;
    }
}

TEST(CaseAlignment, AlongThreeLegsEachSampleBelongsToItsLeg) {
    const std::vector<StepPath> steps{line(miles(0, 0), miles(10, 0)), line(miles(10, 0), miles(10, 10)),
                                      line(miles(10, 10), miles(0, 10))};
    std::vector<Sample> samples;
    std::vector<std::size_t> meant;
    double time_s = 0.0;
    const auto fly = [&](std::size_t step, double east, double north, double track) {
        samples.push_back(sample(time_s += 10.0, miles(east, north), track));
        meant.push_back(step);
    };
    constexpr double east = 1.5708;
    for (double x = 0.2; x < 10.0; x += 0.4) {
        fly(0, x, 0.3, east);
    }
    for (double y = 0.2; y < 10.0; y += 0.4) {
        fly(1, 10.2, y, 0.0);
    }
    for (double x = 9.8; x > 0.0; x -= 0.4) {
        fly(2, x, 10.3, -east);
    }
    EXPECT_EQ(align(steps, samples, steps.size()), meant);
}

TEST(CaseAlignment, ATrackOfTheMiddleOfAFlightHoldsThatPart) {
    const std::vector<StepPath> steps{line(miles(0, 0), miles(40, 0)), line(miles(40, 0), miles(40, 40)),
                                      line(miles(40, 40), miles(0, 40))};
    std::vector<Sample> samples;
    for (int i = 0; i < 30; ++i) {
        samples.push_back(sample(10.0 * i, miles(40.1, 10.0 + 0.4 * i), 0.0));
    }
    const auto found = align(steps, samples, steps.size());
    EXPECT_EQ(std::count(found.begin(), found.end(), 1U), 30);
}

// The way of the missed approach leads over the runway too: who lands has not flown it.
TEST(CaseAlignment, ALandingIsNoMissedApproach) {
    const std::vector<StepPath> steps{line(miles(0, 0), miles(10, 0)), line(miles(10, 0), miles(16, 0))};
    std::vector<Sample> samples;
    for (int i = 0; i < 26; ++i) {
        samples.push_back(sample(10.0 * i, miles(0.4 * i + 0.2, 0.0), 1.5708));
    }
    const auto found = align(steps, samples, 1);
    EXPECT_EQ(found.back(), 0U);
    for (int i = 26; i < 40; ++i) {
        samples.push_back(sample(10.0 * i, miles(0.4 * i + 0.2, 0.0), 1.5708));
    }
    EXPECT_EQ(align(steps, samples, 1).back(), 1U);
}

}  // namespace omniway::debrief
