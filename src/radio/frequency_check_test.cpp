#include "radio/frequency_check.hpp"

#include <gtest/gtest.h>

namespace omniway::radio {

using base::Frequency;

namespace {

bool possible(const navdata::Azimuth& azimuth, Frequency frequency) {
    navdata::Station station;
    station.azimuth = azimuth;
    if (std::holds_alternative<std::monostate>(azimuth)) {
        station.dme = navdata::DistancePart{};
    }
    station.frequency = frequency;
    return !frequency_fault(station);
}

}  // namespace

// trade-facts 10.1 and 10.3: 160 VOR, 40 localizer frequencies; NDBs on 190 to 1,750 kHz; DMEs on a VHF pair or, of a TACAN channel, on
// its stand-in.
TEST(TruthFrequencyCheck, EachKindOfAidHasItsOwnFrequencies) {
    int vors = 0;
    int localizers = 0;
    for (int khz = 107'000; khz < 119'000; khz += 25) {
        vors += possible(navdata::VorAzimuth{}, Frequency::kilohertz(khz)) ? 1 : 0;
        localizers += possible(navdata::LocalizerAzimuth{}, Frequency::kilohertz(khz)) ? 1 : 0;
    }
    EXPECT_EQ(vors, 160);
    EXPECT_EQ(localizers, 40);
    for (const auto& [khz, allowed] :
         {std::pair(189.0, false), {190.0, true}, {365.5, true}, {1750.0, true}, {1751.0, false}}) {
        EXPECT_EQ(possible(navdata::NdbAzimuth{}, Frequency::kilohertz(khz)), allowed) << khz;
    }
    for (const auto& [mhz, allowed] : {std::pair(108.1, true),
                                       {117.95, true},
                                       {134.4, true},
                                       {133.3, true},
                                       {118.0, false},
                                       {136.0, false}}) {
        EXPECT_EQ(possible(std::monostate{}, Frequency::megahertz(mhz)), allowed) << mhz;
    }
}

TEST(CaseFrequencyCheck, ALocalizerOnAnEvenTenthIsNamed) {
    navdata::Station station;
    station.azimuth = navdata::LocalizerAzimuth{};
    station.frequency = Frequency::megahertz(110.4);
    EXPECT_EQ(frequency_fault(station), "no LOC can be on 110.40 MHz");
}

}  // namespace omniway::radio
