#include "base/clock.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::base {

namespace {

using namespace std::chrono_literals;

std::string read_as(const char* text) {
    const auto time = parse_clock_time(text, "--depart");
    if (!time) {
        return time.error().code;
    }
    return date_and_clock_text(instant_of(*time, std::chrono::sys_days(2026y / 11 / 26)));
}

Instant at(const char* text) {
    return instant_of(parse_clock_time(text, "").value(), std::chrono::sys_days());
}

}  // namespace

// ISO 8601 (RFC 3339, section 5.8 gives 1985-04-12T23:20:50Z; 482196050 s by GNU date -u +%s).
TEST(TruthClock, AMomentIsCountedAsOtherClocksCountIt) {
    EXPECT_EQ(at("1985-04-12T23:20:50Z").time_since_epoch().count(), 482196050.0);
    EXPECT_EQ(date_and_clock_text(Instant(Duration(482196050.0))), "1985-04-12T23:20:50Z");
    EXPECT_EQ(clock_text(Instant(Duration(482196050.0))), "23:21Z");
}

TEST(CaseClock, ATimeIsReadWithOrWithoutDateSecondsAndZ) {
    EXPECT_EQ(read_as("14:07"), "2026-11-26T14:07:00Z");
    EXPECT_EQ(read_as("14:07Z"), "2026-11-26T14:07:00Z");
    EXPECT_EQ(read_as("14:07:30z"), "2026-11-26T14:07:30Z");
    EXPECT_EQ(read_as("2027-02-28T23:59Z"), "2027-02-28T23:59:00Z");
    EXPECT_EQ(read_as("2028-02-29T00:00Z"), "2028-02-29T00:00:00Z");
}

TEST(CaseClock, WhatIsNoTimeIsRefused) {
    for (const char* text :
         {"", "14", "1407", "14:7", "14:07+01:00", "2026-11-26T14:07", "14:07 ", "2pm", "2026-11-26"}) {
        EXPECT_EQ(read_as(text), "base.clock_form") << text;
    }
    for (const char* text :
         {"24:00", "14:60", "14:07:60", "2026-02-29T14:07Z", "2026-13-01T14:07Z", "1899-01-01T00:00Z"}) {
        EXPECT_EQ(read_as(text), "base.clock_out_of_range") << text;
    }
}

TEST(CaseClock, ATimeOfTheDayBeforeTheLastMomentIsOfTheNextDay) {
    const Instant late = at("2026-11-26T23:50Z");
    const auto next = parse_clock_time("00:10", "").value();
    EXPECT_EQ(date_and_clock_text(first_not_before(next, late)), "2026-11-27T00:10:00Z");
    EXPECT_EQ(first_not_before(parse_clock_time("23:50", "").value(), late), late);
    EXPECT_EQ(clock_text(late + Duration(600.0)), "00:00Z");
}

RC_GTEST_PROP(LawClock, WhatIsPrintedIsReadBackTheSame, ()) {
    const Instant instant{
        Duration(static_cast<double>(*rc::gen::inRange<long long>(-2'000'000'000LL, 4'000'000'000LL)))};
    const auto read = parse_clock_time(date_and_clock_text(instant), "");
    RC_ASSERT(read.has_value());
    RC_ASSERT(instant_of(*read, std::chrono::sys_days()) == instant);
}

}  // namespace omniway::base
