#include "radio/service_volume.hpp"

#include <gtest/gtest.h>

namespace omniway::radio {

using base::Length;
using navdata::ServiceClass;

double radius_nm(ServiceClass service, double feet) {
    const auto radius = service_radius(service, Length::feet(feet));
    return radius ? radius->nautical_miles() : -1.0;
}

// AIM tables 1-1-1 and 1-1-2 as printed in trade-facts 1.1 and 1.2 ([seen]; DL/DH above 12,900 ft [memory]).
TEST(TruthServiceVolume, TerminalLowAndHighClassesReachTheirPublishedRadii) {
    EXPECT_EQ(radius_nm(ServiceClass::terminal, 1000), 25);
    EXPECT_EQ(radius_nm(ServiceClass::terminal, 12000), 25);
    EXPECT_EQ(radius_nm(ServiceClass::terminal, 12001), -1);
    EXPECT_EQ(radius_nm(ServiceClass::low, 18000), 40);
    EXPECT_EQ(radius_nm(ServiceClass::low, 18001), -1);
    EXPECT_EQ(radius_nm(ServiceClass::high, 14499), 40);
    EXPECT_EQ(radius_nm(ServiceClass::high, 14501), 100);
    EXPECT_EQ(radius_nm(ServiceClass::high, 20000), 130);
    EXPECT_EQ(radius_nm(ServiceClass::high, 45001), 100);
    EXPECT_EQ(radius_nm(ServiceClass::high, 60001), -1);
}

TEST(TruthServiceVolume, TheNewClassesReachSeventyMilesFromFiveThousandFeet) {
    EXPECT_EQ(radius_nm(ServiceClass::vor_low, 4999), 40);
    EXPECT_EQ(radius_nm(ServiceClass::vor_low, 5000), 70);
    EXPECT_EQ(radius_nm(ServiceClass::vor_low, 18000), -1);
    EXPECT_EQ(radius_nm(ServiceClass::vor_high, 14499), 70);
    EXPECT_EQ(radius_nm(ServiceClass::vor_high, 18000), 130);
    EXPECT_EQ(radius_nm(ServiceClass::dme_low, 12900), 130);
    EXPECT_EQ(radius_nm(ServiceClass::dme_high, 50000), 100);
}

TEST(TruthServiceVolume, BeaconsReachByTheirPowerAtEveryHeight) {
    EXPECT_EQ(radius_nm(ServiceClass::compass_locator, 500), 15);
    EXPECT_EQ(radius_nm(ServiceClass::ndb_medium, 20000), 25);
    EXPECT_EQ(radius_nm(ServiceClass::ndb, 3000), 50);
    EXPECT_EQ(radius_nm(ServiceClass::ndb_high, 3000), 75);
}

TEST(LawServiceVolume, BelowAThousandFeetTheRadiusShrinksToNothingAtTheAntenna) {
    double last = 0.0;
    for (int feet = 0; feet <= 1000; feet += 50) {
        const double radius = radius_nm(ServiceClass::low, feet);
        EXPECT_GE(radius, last);
        EXPECT_LE(radius, 40.0);
        last = radius;
    }
    EXPECT_EQ(radius_nm(ServiceClass::low, 0), 0.0);
}

}  // namespace omniway::radio
