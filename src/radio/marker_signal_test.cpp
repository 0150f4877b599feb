#include "radio/marker_signal.hpp"

#include <gtest/gtest.h>

namespace omniway::radio {

// AIM table 1-1-3 and the rates of trade-facts 10.4, whole ([seen]; the middle marker's 95 pairs a minute [memory]).
TEST(TruthMarker, EachMarkerLightsAndSoundsAsTheTableSays) {
    struct Row {
        navdata::MarkerKind marker;
        MarkerKeying keying;
        MarkerLight light;
        double tone_hz, in_a_minute;
    };
    for (const Row& row :
         {Row{navdata::MarkerKind::outer, MarkerKeying::dashes, MarkerLight::blue, 400, 120},
          Row{navdata::MarkerKind::middle, MarkerKeying::dots_and_dashes, MarkerLight::amber, 1300, 95},
          Row{navdata::MarkerKind::inner, MarkerKeying::dots, MarkerLight::white, 3000, 360},
          Row{navdata::MarkerKind::back_course, MarkerKeying::pairs_of_dots, MarkerLight::white, 3000, 95}}) {
        const MarkerSignal signal = signal_of(row.marker);
        EXPECT_EQ(signal.keying, row.keying);
        EXPECT_EQ(signal.light, row.light);
        EXPECT_NEAR(signal.tone.kilohertz() * 1000, row.tone_hz, 1e-9);
        EXPECT_NEAR(60.0 / signal.every.count(), row.in_a_minute, 1e-9);
    }
    EXPECT_EQ(marker_carrier.megahertz(), 75.0);
}

}  // namespace omniway::radio
