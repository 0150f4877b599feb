#include "cockpit/pairing.hpp"

#include <algorithm>
#include <set>
#include <sstream>
#include <string>
#include <tuple>

#include <gtest/gtest.h>

#include "base/contract.hpp"

namespace omniway::cockpit {

using base::Frequency;

namespace {

// trade-facts 10.2, the page as it stands there ([seen], signal-ID wiki citing Annex 10): localizer, glideslope, MHz.
constexpr const char* published_pairs = R"(
108.10 334.70   109.10 331.40   110.10 334.40   111.10 331.70
108.15 334.55   109.15 331.25   110.15 334.25   111.15 331.55
108.30 334.10   109.30 332.00   110.30 335.00   111.30 332.30
108.35 333.95   109.35 331.85   110.35 334.85   111.35 332.15
108.50 329.90   109.50 332.60   110.50 329.60   111.50 332.90
108.55 329.75   109.55 332.45   110.55 329.45   111.55 332.75
108.70 330.50   109.70 333.20   110.70 330.20   111.70 333.50
108.75 330.35   109.75 333.05   110.75 330.05   111.75 333.35
108.90 329.30   109.90 333.80   110.90 330.80   111.90 331.10
108.95 329.15   109.95 333.65   110.95 330.65   111.95 330.95
)";

double mhz(const std::optional<Frequency>& frequency) {
    return frequency ? frequency->megahertz() : 0.0;
}

}  // namespace

TEST(TruthPairing, EachLocalizerTunesTheGlideslopeOfItsPair) {
    std::istringstream page(published_pairs);
    std::set<double> localizers;
    for (double localizer = 0.0, glideslope = 0.0; page >> localizer >> glideslope;) {
        localizers.insert(localizer);
        EXPECT_NEAR(mhz(paired_glideslope(Frequency::megahertz(localizer))), glideslope, 1e-9) << localizer;
        EXPECT_NEAR(mhz(paired_localizer(Frequency::megahertz(glideslope))), localizer, 1e-9) << glideslope;
        EXPECT_EQ(use_of(Frequency::megahertz(localizer)), NavigationUse::localizer) << localizer;
    }
    EXPECT_EQ(localizers.size(), 40U);
    // No other frequency of the band has one.
    for (int khz = 108'000; khz <= 118'000; khz += 10) {
        const bool listed = std::any_of(localizers.begin(), localizers.end(), [&](double localizer) {
            return std::abs(localizer * 1000 - khz) < 1;
        });
        EXPECT_EQ(paired_glideslope(Frequency::kilohertz(khz)).has_value(), listed) << khz;
    }
}

// trade-facts 10.1: 40 localizer frequencies [seen], 160 VOR frequencies [memory]: even tenths and their .05 below 112 MHz
// (108.00, .05, 108.20, .25 ... 111.85), all from 112.00 to 117.95.
TEST(TruthPairing, TheBandHas160VorAnd40LocalizerFrequencies) {
    int vors = 0;
    int localizers = 0;
    for (int khz = 107'000; khz <= 119'000; khz += 5) {
        const NavigationUse use = use_of(Frequency::kilohertz(khz));
        vors += use == NavigationUse::vor ? 1 : 0;
        localizers += use == NavigationUse::localizer ? 1 : 0;
    }
    EXPECT_EQ(vors, 160);
    EXPECT_EQ(localizers, 40);
    for (const double vor :
         {108.00, 108.05, 108.20, 108.25, 111.80, 111.85, 112.00, 112.05, 112.10, 117.90, 117.95}) {
        EXPECT_EQ(use_of(Frequency::megahertz(vor)), NavigationUse::vor) << vor;
    }
    for (const double neither : {107.95, 118.00, 108.025, 113.32, 75.0, 334.7}) {
        EXPECT_EQ(use_of(Frequency::megahertz(neither)), NavigationUse::neither) << neither;
    }
}

// trade-facts 10.3: 17X 108.00 and 70X 112.30 [seen], the ends [computed].
TEST(TruthPairing, TheChannelsOfADmeFollowItsVhfFrequencyInTwoRuns) {
    for (const auto& [number, code, vhf_mhz] :
         {std::tuple(17, PulseCode::x, 108.00), std::tuple(17, PulseCode::y, 108.05),
          std::tuple(59, PulseCode::x, 112.20), std::tuple(59, PulseCode::y, 112.25),
          std::tuple(70, PulseCode::x, 112.30), std::tuple(126, PulseCode::x, 117.90),
          std::tuple(126, PulseCode::y, 117.95)}) {
        const DmeChannel channel{number, code};
        EXPECT_NEAR(mhz(paired_vhf(channel)), vhf_mhz, 1e-9) << number;
        EXPECT_EQ(paired_channel(Frequency::megahertz(vhf_mhz)), channel) << vhf_mhz;
    }
    EXPECT_EQ(paired_channel(Frequency::megahertz(107.95)), std::nullopt);
    EXPECT_EQ(paired_channel(Frequency::megahertz(113.325)), std::nullopt);
}

// trade-facts 10.3: channels 1-16 and 60-69 have none; data sets write 134.40 + 0.10 (n - 1) and 133.30 + 0.10 (n - 60) ([seen]).
TEST(TruthPairing, TheChannelsOfATacanAloneHaveNoVhfNavigationFrequency) {
    for (int number = 1; number <= 126; ++number) {
        const bool tacan_only = number <= 16 || (number >= 60 && number <= 69);
        for (const PulseCode code : {PulseCode::x, PulseCode::y}) {
            EXPECT_EQ(paired_vhf({number, code}).has_value(), !tacan_only) << number;
            EXPECT_EQ(stand_in_frequency({number, code}).has_value(), tacan_only) << number;
        }
    }
    for (int khz = 133'000; khz <= 136'500; khz += 10) {
        if (const auto channel = stand_in_channel(Frequency::kilohertz(khz))) {
            EXPECT_NEAR(mhz(stand_in_frequency(*channel)) * 1000, khz, 1e-6);
        }
    }
    EXPECT_EQ(stand_in_channel(Frequency::megahertz(134.30)), std::nullopt);
    EXPECT_EQ(stand_in_channel(Frequency::megahertz(135.95)), (DmeChannel{16, PulseCode::y}));
    EXPECT_EQ(stand_in_channel(Frequency::megahertz(133.30)), (DmeChannel{60, PulseCode::x}));
    EXPECT_EQ(stand_in_channel(Frequency::megahertz(134.40)), (DmeChannel{1, PulseCode::x}));
    EXPECT_NEAR(mhz(stand_in_frequency({1, PulseCode::x})), 134.40, 1e-9);
    EXPECT_NEAR(mhz(stand_in_frequency({16, PulseCode::y})), 135.95, 1e-9);
    EXPECT_NEAR(mhz(stand_in_frequency({60, PulseCode::x})), 133.30, 1e-9);
    EXPECT_NEAR(mhz(stand_in_frequency({69, PulseCode::x})), 134.20, 1e-9);
}

// trade-facts 10.3: the first five [seen] in tables of channels, the others [computed] there.
TEST(TruthPairing, ADmeAsksAndAnswersSixtyThreeMegahertzApart) {
    for (const auto& [number, code, asks, answers] :
         {std::tuple(1, PulseCode::x, 1025.0, 962.0), std::tuple(1, PulseCode::y, 1025.0, 1088.0),
          std::tuple(2, PulseCode::x, 1026.0, 963.0), std::tuple(123, PulseCode::x, 1147.0, 1210.0),
          std::tuple(123, PulseCode::y, 1147.0, 1084.0), std::tuple(17, PulseCode::x, 1041.0, 978.0),
          std::tuple(17, PulseCode::y, 1041.0, 1104.0), std::tuple(59, PulseCode::x, 1083.0, 1020.0),
          std::tuple(70, PulseCode::x, 1094.0, 1157.0), std::tuple(100, PulseCode::x, 1124.0, 1187.0),
          std::tuple(126, PulseCode::x, 1150.0, 1213.0), std::tuple(126, PulseCode::y, 1150.0, 1087.0)}) {
        const DmeFrequencies both = frequencies({number, code});
        EXPECT_NEAR(both.interrogation.megahertz(), asks, 1e-9) << number;
        EXPECT_NEAR(both.reply.megahertz(), answers, 1e-9) << number;
    }
}

// trade-facts 10.3: spacings [seen], reply delay and 12.36 microseconds a mile [memory]; that mile is twice 1,852 m at the speed of
// light, 12.355 microseconds, which it rounds.
TEST(TruthPairing, ADmeMeasuresTheTimeBetweenAskingAndHearing) {
    EXPECT_NEAR(pulses(PulseCode::x).interrogation_spacing.count(), 12e-6, 1e-12);
    EXPECT_NEAR(pulses(PulseCode::x).reply_spacing.count(), 12e-6, 1e-12);
    EXPECT_NEAR(pulses(PulseCode::x).reply_delay.count(), 50e-6, 1e-12);
    EXPECT_NEAR(pulses(PulseCode::y).interrogation_spacing.count(), 36e-6, 1e-12);
    EXPECT_NEAR(pulses(PulseCode::y).reply_spacing.count(), 30e-6, 1e-12);
    EXPECT_NEAR(pulses(PulseCode::y).reply_delay.count(), 56e-6, 1e-12);
    const double round_trip_s = 2.0 * 1852.0 * 100.0 / 299'792'458.0;
    EXPECT_NEAR(slant_range_of(base::Duration(round_trip_s + 50e-6), PulseCode::x).nautical_miles(), 100.0,
                0.05);
    EXPECT_NEAR(slant_range_of(base::Duration(round_trip_s + 56e-6), PulseCode::y).nautical_miles(), 100.0,
                0.05);
}

// There and back over all 252 channels and all 200 frequencies; replies lie in 960 to 1,215 MHz (trade-facts 10.1, [seen]).
TEST(LawPairing, EveryFrequencyOfTheBandHasOneChannelAndNoTwoShareOne) {
    int paired = 0;
    std::set<std::string> channels;
    for (int number = 1; number <= 126; ++number) {
        for (const PulseCode code : {PulseCode::x, PulseCode::y}) {
            const DmeChannel channel{number, code};
            channels.insert(to_text(channel));
            if (const auto vhf = paired_vhf(channel)) {
                EXPECT_EQ(paired_channel(*vhf), channel) << to_text(channel);
                EXPECT_NE(use_of(*vhf), NavigationUse::neither) << to_text(channel);
                ++paired;
            }
            EXPECT_GE(frequencies(channel).reply.megahertz(), 960.0);
            EXPECT_LE(frequencies(channel).reply.megahertz(), 1215.0);
        }
    }
    EXPECT_EQ(paired, 200);
    EXPECT_EQ(channels.size(), 252U);
    EXPECT_THROW(paired_vhf({0, PulseCode::x}), base::ContractViolation);
    EXPECT_THROW(frequencies({127, PulseCode::y}), base::ContractViolation);
}

}  // namespace omniway::cockpit
