#include "earth/flown_track.hpp"

#include <gtest/gtest.h>

namespace omniway::earth {
namespace {

// The forms of ISO 8601; days counted by hand across the leap day of 2024.
TEST(CaseFlownTrack, AMomentIsToldWithItsDateWhereThatIsKnown) {
    const std::chrono::sys_days day = std::chrono::year(2024) / 2 / 28;
    EXPECT_EQ(moment_text(day, base::Duration(0.0)), "2024-02-28T00:00:00Z");
    EXPECT_EQ(moment_text(day, base::Duration(86400.0 + 3661.25)), "2024-02-29T01:01:01.25Z");
    EXPECT_EQ(moment_text(day, base::Duration(2 * 86400.0 - 0.0004)), "2024-03-01T00:00:00Z");
    EXPECT_EQ(moment_text(day, base::Duration(-1.0)), "2024-02-27T23:59:59Z");
    EXPECT_EQ(moment_text(std::nullopt, base::Duration(86400.0 + 0.001)), "00:00:00.001Z");
    // The second after which 32 bits of seconds end, 2038-01-19T03:14:07Z, as it is known.
    EXPECT_EQ(moment_text(std::chrono::sys_days(), base::Duration(2147483647.0)), "2038-01-19T03:14:07Z");
    EXPECT_EQ(moment_text(std::chrono::sys_days(), base::Duration(-2147483648.0)), "1901-12-13T20:45:52Z");
}

TEST(CaseFlownTrack, TheInstantOfAPointIsKnownWhereTheDayIs) {
    FlownTrack track;
    track.points = {{.time = base::Duration(86401.0), .place = {}, .altitude = {}, .line = 1}};
    EXPECT_FALSE(instant_of(track, track.points[0]));
    track.day = std::chrono::year(2026) / 11 / 26;
    EXPECT_EQ(base::date_and_clock_text(*instant_of(track, track.points[0])), "2026-11-27T00:00:01Z");
}

TEST(CaseFlownTrack, AGapIsLongerThanTheLongestAllowed) {
    FlownTrack track;
    EXPECT_TRUE(gaps_of(track, base::Duration(60.0)).empty());
    for (const double time_s : {0.0, 60.0, 120.5, 121.0, 200.0}) {
        track.points.push_back({.time = base::Duration(time_s), .place = {}, .altitude = {}, .line = 1});
    }
    const std::vector<TrackGap> gaps = gaps_of(track, base::Duration(60.0));
    ASSERT_EQ(gaps.size(), 2U);
    EXPECT_EQ(gaps[0].before, 1U);
    EXPECT_EQ(gaps[1].before, 3U);
    EXPECT_EQ(gaps[1].from, base::Duration(121.0));
    EXPECT_EQ(gaps[1].to, base::Duration(200.0));
}

}  // namespace
}  // namespace omniway::earth
