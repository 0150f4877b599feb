#include "cockpit/equipment.hpp"

#include <gtest/gtest.h>

namespace omniway::cockpit {

TEST(CaseEquipment, AGlideslopeCountsOnlyWithALocalizerOnTheSameReceiver) {
    Equipment aboard;
    EXPECT_FALSE(aboard.has_localizer());
    aboard.receivers.push_back({CourseIndicator::cdi, false, true});
    EXPECT_FALSE(aboard.has_glideslope());
    aboard.receivers.push_back({CourseIndicator::hsi, true, true});
    EXPECT_TRUE(aboard.has_localizer());
    EXPECT_TRUE(aboard.has_glideslope());
}

// Design section 3: roles are steady, and what guides stands on the HSI where there is one (common practice, no source).
TEST(CaseEquipment, ALocalizerIsShownOnTheHsiWhereAReceiverForItDrivesOne) {
    Equipment aboard;
    EXPECT_FALSE(aboard.localizer_indicator());
    aboard.receivers.push_back({CourseIndicator::cdi, true, false});
    EXPECT_EQ(aboard.localizer_indicator(), CourseIndicator::cdi);
    aboard.receivers.push_back({CourseIndicator::hsi, false, false});
    EXPECT_EQ(aboard.localizer_indicator(), CourseIndicator::cdi);
    aboard.receivers.push_back({CourseIndicator::hsi, true, false});
    EXPECT_EQ(aboard.localizer_indicator(), CourseIndicator::hsi);
}

}  // namespace omniway::cockpit
