#include "readers/airac.hpp"

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

namespace omniway::readers {

using std::chrono::days;
using std::chrono::sys_days;
using std::chrono::year;

// Effective dates of the ICAO calendar, from memory.
TEST(TruthAirac, KnowsTheEffectiveDatesOfPublishedCycles) {
    EXPECT_EQ(AiracCycle::parse("2001")->effective(), sys_days(year(2020) / 1 / 2));
    EXPECT_EQ(AiracCycle::parse("2002")->effective(), sys_days(year(2020) / 1 / 30));
    EXPECT_EQ(AiracCycle::parse("2003")->effective(), sys_days(year(2020) / 2 / 27));
    EXPECT_EQ(AiracCycle::parse("2006")->effective(), sys_days(year(2020) / 5 / 21));
    EXPECT_EQ(AiracCycle::parse("2014")->effective(), sys_days(year(2020) / 12 / 31));
    EXPECT_EQ(AiracCycle::parse("2101")->effective(), sys_days(year(2021) / 1 / 28));
    EXPECT_EQ(AiracCycle::parse("2605")->effective(), sys_days(year(2026) / 5 / 14));
    EXPECT_EQ(AiracCycle::parse("9801")->effective(), sys_days(year(1998) / 1 / 1));
}

// The published part of the FAA's data holds rows of cycles 1813 and 2014, but 2019 and 2021 had thirteen.
TEST(TruthAirac, GivesAFourteenthCycleOnlyToTheYearsThatHaveOne) {
    EXPECT_TRUE(AiracCycle::parse("2014"));
    EXPECT_FALSE(AiracCycle::parse("1914"));
    EXPECT_FALSE(AiracCycle::parse("2114"));
    EXPECT_FALSE(AiracCycle::parse("2015"));
    EXPECT_FALSE(AiracCycle::parse("2000"));
}

TEST(TruthAirac, RefusesTextThatIsNoCycle) {
    for (const char* text : {"", "210", "21011", "2I01", " 101", "-101"}) {
        EXPECT_FALSE(AiracCycle::parse(text)) << text;
    }
}

TEST(TruthAirac, TellsTheCycleInEffectOnADay) {
    EXPECT_EQ(AiracCycle::on(year(2021) / 1 / 27).text(), "2014");
    EXPECT_EQ(AiracCycle::on(year(2021) / 1 / 28).text(), "2101");
    EXPECT_EQ(AiracCycle::on(year(2021) / 2 / 24).text(), "2101");
    EXPECT_EQ(AiracCycle::on(year(2021) / 2 / 25).text(), "2102");
}

RC_GTEST_PROP(LawAirac, ACycleIsReadBackFromItsText, ()) {
    const auto since = *rc::gen::inRange(0, 36000);
    const AiracCycle cycle = AiracCycle::on(sys_days(year(1965) / 1 / 1) + days(since));
    RC_ASSERT(AiracCycle::parse(cycle.text()) == cycle);
}

TEST(TruthAirac, CountsTheElapsedPartOfLeapYearsToo) {
    EXPECT_DOUBLE_EQ(decimal_year(year(2021) / 1 / 28), 2021.0 + 27.0 / 365.0);
    EXPECT_DOUBLE_EQ(decimal_year(year(2020) / 12 / 31), 2020.0 + 365.0 / 366.0);
    EXPECT_EQ(to_text(sys_days(year(2021) / 1 / 28)), "2021-01-28");
}

}  // namespace omniway::readers
