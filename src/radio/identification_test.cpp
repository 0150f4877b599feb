#include "radio/identification.hpp"

#include <gtest/gtest.h>

namespace omniway::radio {

using base::Frequency;

namespace {

navdata::Station on(Frequency frequency, const navdata::Azimuth& azimuth, bool dme) {
    navdata::Station station;
    station.frequency = frequency;
    station.azimuth = azimuth;
    if (dme) {
        station.dme = navdata::DistancePart{};
    }
    return station;
}

std::string channel_text(const navdata::Station& station) {
    const auto channel = channel_of(station);
    return channel ? cockpit::to_text(*channel) : "none";
}

}  // namespace

// trade-facts 10.3: 113.30 is 80X by the rule of the table (112.30 is 70X, a tenth for each), 134.40 stands for 1X.
TEST(TruthIdentification, AChannelFollowsFromTheFrequencyWhereTheRecordHasADme) {
    EXPECT_EQ(channel_text(on(Frequency::megahertz(113.3), navdata::VorAzimuth{}, true)), "80X");
    EXPECT_EQ(channel_text(on(Frequency::megahertz(113.3), navdata::VorAzimuth{}, false)), "none");
    EXPECT_EQ(channel_text(on(Frequency::megahertz(134.4), navdata::TacanAzimuth{}, true)), "1X");
    EXPECT_EQ(channel_text(on(Frequency::kilohertz(365), navdata::NdbAzimuth{}, true)), "none");
}

// trade-facts 10.2: 110.30 with 335.00.
TEST(TruthIdentification, AGlideslopeIsTunedByItsLocalizerWhereThereIsOne) {
    navdata::LocalizerAzimuth azimuth;
    EXPECT_EQ(glideslope_frequency_of(on(Frequency::megahertz(110.3), azimuth, false)), std::nullopt);
    azimuth.glideslope = navdata::Glideslope{};
    const auto found = glideslope_frequency_of(on(Frequency::megahertz(110.3), azimuth, false));
    EXPECT_NEAR(found->megahertz(), 335.0, 1e-9);
}

// AIM 1-1-7 and trade-facts 10.5: a DME sends on 1,350 Hz, the others on 1,020; a localizer six times a minute.
TEST(TruthIdentification, EachKindOfStationIsListenedToAsItsStandardSays) {
    const auto of = [](const navdata::Azimuth& azimuth) {
        return identification_of(on(Frequency(), azimuth, true));
    };
    EXPECT_EQ(of(std::monostate{}).tone, Frequency::kilohertz(1.35));
    EXPECT_EQ(of(navdata::TacanAzimuth{}).tone, Frequency::kilohertz(1.35));
    EXPECT_EQ(of(navdata::VorAzimuth{}).tone, Frequency::kilohertz(1.02));
    EXPECT_EQ(of(navdata::NdbAzimuth{}).again_within.count(), 30.0);
    EXPECT_EQ(of(navdata::LocalizerAzimuth{}).again_within.count(), 10.0);
}

}  // namespace omniway::radio
