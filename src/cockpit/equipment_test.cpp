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

}  // namespace omniway::cockpit
