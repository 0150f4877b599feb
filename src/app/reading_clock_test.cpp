#include "app/reading_clock.hpp"

#include <gtest/gtest.h>

namespace omniway::app {
namespace {

TypedTime at(int hours, int minutes) {
    return {ReadAtClock{base::minutes(hours * 60 + minutes)}, "here"};
}
base::Duration clock_time(int hours, int minutes) {
    return base::minutes(hours * 60 + minutes);
}
std::vector<double> minutes_of(const base::Result<ReadingTimes>& times) {
    std::vector<double> minutes;
    if (!times) {
        ADD_FAILURE() << times.error().message;
        return minutes;
    }
    for (const base::Duration before : times->before) {
        minutes.push_back(base::in_minutes(before));
    }
    return minutes;
}

}  // namespace

TEST(CaseReadingClock, NowIsAsGivenElseTheLatestTime) {
    EXPECT_EQ(minutes_of(times_before_now(
                  clock_time(14, 12), {at(14, 7), {ReadNow{}, ""}, {ReadBefore{base::minutes(6.0)}, ""}})),
              (std::vector<double>{5.0, 0.0, 6.0}));
    const auto times = times_before_now(std::nullopt, {at(14, 7), at(14, 12), {ReadNow{}, ""}, at(14, 0)});
    EXPECT_EQ(minutes_of(times), (std::vector<double>{5.0, 0.0, 0.0, 12.0}));
    EXPECT_EQ(times->now, clock_time(14, 12));
    EXPECT_EQ(times_before_now(std::nullopt, {{ReadBefore{base::minutes(6.0)}, ""}})->now, std::nullopt);
}

TEST(CaseReadingClock, MidnightLiesBetween) {
    EXPECT_EQ(minutes_of(times_before_now(clock_time(0, 2), {at(23, 58)})), (std::vector<double>{4.0}));
    const auto times = times_before_now(std::nullopt, {at(0, 10), at(23, 55), at(0, 0)});
    EXPECT_EQ(minutes_of(times), (std::vector<double>{0.0, 15.0, 10.0}));
    EXPECT_EQ(times->now, clock_time(0, 10));
}

TEST(CaseReadingClock, MoreThanTwoHoursBeforeNowIsRefused) {
    EXPECT_EQ(minutes_of(times_before_now(clock_time(16, 0), {at(14, 0)})), (std::vector<double>{120.0}));
    const auto old =
        times_before_now(clock_time(16, 1), {at(15, 0), {ReadAtClock{clock_time(14, 0)}, "--vor"}});
    ASSERT_FALSE(old);
    EXPECT_EQ(old.error().code, "app.find_too_old");
    EXPECT_EQ(old.error().where, "--vor");
    EXPECT_NE(old.error().message.find("2 h 01 min"), std::string::npos) << old.error().message;
    // After now it would be a day before.
    EXPECT_EQ(times_before_now(clock_time(14, 0), {at(14, 5)}).error().code, "app.find_too_old");
    EXPECT_EQ(times_before_now(std::nullopt, {at(14, 0), at(17, 0)}).error().code, "app.find_too_old");
}

}  // namespace omniway::app
