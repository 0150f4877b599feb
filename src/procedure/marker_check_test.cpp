#include "procedure/marker_check.hpp"

#include <variant>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"

namespace omniway::procedure {

namespace {

/// An ILS whose glide path crosses the threshold, at sea level, at 50 ft.
testing::Sketch drawn() {
    testing::Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 36, {0, 0}).ils("XAAA", "RW36", "IAAA");
    auto& azimuth = std::get<navdata::LocalizerAzimuth>(sketch.station("IAAA").azimuth);
    azimuth.glideslope->threshold_crossing_height = base::Length::feet(50.0);
    return sketch;
}

navdata::Marker before_threshold(testing::Sketch& sketch, double distance_nm) {
    navdata::Marker marker;
    marker.airport = "XAAA";
    marker.localizer = "IAAA";
    marker.runway = "RW36";
    for (const navdata::Runway& runway : sketch.records().runways) {
        if (runway.ident == "RW36") {
            marker.position = earth::destination(*runway.threshold, base::TrueBearing::degrees(180),
                                                 base::Length::nautical_miles(distance_nm));
        }
    }
    return marker;
}

}  // namespace

// AIM 1-1-9 (trade-facts 1.3): the glide slope meets the middle marker near 200 ft and the outer marker near 1,400 ft above the runway;
// the middle marker stands 3,500 ft before the threshold (trade-facts 10.4), and 1,400 ft are reached 4.2 NM before it.
TEST(TruthMarkerCheck, TheGlidePathPassesTheMarkersAtTheHandbooksHeights) {
    testing::Sketch sketch = drawn();
    const navdata::Snapshot world = sketch.world();
    const MarkerCheck middle = marker_check(world, before_threshold(sketch, 3500.0 / 6076.1));
    ASSERT_TRUE(middle.on_glide_path);
    EXPECT_NEAR(middle.on_glide_path->feet(), 200.0, 40.0);
    const MarkerCheck outer = marker_check(world, before_threshold(sketch, 4.2));
    EXPECT_NEAR(outer.before_threshold->nautical_miles(), 4.2, 1e-6);
    EXPECT_NEAR(outer.on_glide_path->feet(), 1400.0, 40.0);
}

TEST(CaseMarkerCheck, WithoutItsLocalizerNothingIsKnownAndBehindTheRunwayNoAltitude) {
    testing::Sketch sketch = drawn();
    navdata::Marker marker = before_threshold(sketch, 4.0);
    marker.kind = navdata::MarkerKind::back_course;
    EXPECT_FALSE(marker_check(sketch.world(), marker).on_glide_path);
    marker.localizer = "IZZZ";
    EXPECT_FALSE(marker_check(sketch.world(), marker).before_threshold);
}

}  // namespace omniway::procedure
