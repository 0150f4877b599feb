#include "radio/marker_fan.hpp"

#include <cmath>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using navdata::MarkerKind;
using testing::Sketch;

namespace {

constexpr double threshold_ft = 500.0;
constexpr double three_degrees = 3.0 * 0.017453292519943295;

/// Markers of runway 36 of XAAA, on its extended centreline.
Sketch drawn() {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}, threshold_ft).runway("XAAA", 36, {0, 0}).ils("XAAA", "RW36", "IAAA");
    for (navdata::Runway& runway : sketch.records().runways) {
        runway.elevation = Altitude::feet(threshold_ft);
    }
    return sketch;
}

earth::Position threshold_of(Sketch& sketch) {
    for (const navdata::Runway& runway : sketch.records().runways) {
        if (runway.ident == "RW36") {
            return *runway.threshold;
        }
    }
    return {};
}

navdata::Marker marker(Sketch& sketch, MarkerKind kind, double before_threshold_m) {
    navdata::Marker made;
    made.airport = "XAAA";
    made.localizer = "IAAA";
    made.runway = "RW36";
    made.kind = kind;
    made.position = earth::destination(threshold_of(sketch), TrueBearing::degrees(180),
                                       Length::metres(before_threshold_m));
    made.minor_axis = TrueBearing::degrees(0);
    made.elevation = Altitude::feet(threshold_ft);
    return made;
}

/// How much of a three-degree glide path 15 m over the threshold lies in a fan, by steps of a metre.
double metres_on_glide_path(Sketch& sketch, const MarkerFan& fan) {
    double metres = 0.0;
    for (double out_m = 0.0; out_m < 12000.0; out_m += 1.0) {
        const earth::Position place =
            earth::destination(threshold_of(sketch), TrueBearing::degrees(180), Length::metres(out_m));
        metres += fan.reaches(place, Altitude::feet(threshold_ft) +
                                         Length::metres(15.0 + out_m * std::tan(three_degrees)))
                      ? 1.0
                      : 0.0;
    }
    return metres;
}

}  // namespace

// ICAO Annex 10 Vol. I, 3.1.7.3.1: on the glide path and the localizer's course 600 +-200 m, 300 +-100 m, 150 +-50 m. At 96 kt that is
// 12 +-4, 6 +-2 and 3 +-1 seconds of light, as flight inspection checks it (both from memory). Sites by 3.1.7.6: the outer marker from 2 NM
// short of its usual 3.9 to 6, the middle 1,050 +-150 m, the inner 75 to 450 m.
TEST(TruthMarkerFan, OnTheGlidePathItIsAsLongAsPublishedAtTheUsualSites) {
    struct Row {
        MarkerKind kind;
        double before_threshold_m, along_m, tolerance_m, seconds, seconds_tolerance;
    };
    for (const Row& row :
         {Row{MarkerKind::outer, 3.9 * 1852.0, 600, 200, 12, 4},
          Row{MarkerKind::outer, 5.1 * 1852.0, 600, 200, 12, 4},
          Row{MarkerKind::outer, 2.7 * 1852.0, 600, 200, 12, 4},
          Row{MarkerKind::middle, 1050, 300, 100, 6, 2}, Row{MarkerKind::middle, 900, 300, 100, 6, 2},
          Row{MarkerKind::middle, 1200, 300, 100, 6, 2}, Row{MarkerKind::inner, 300, 150, 50, 3, 1}}) {
        Sketch sketch = drawn();
        const navdata::Marker stands = marker(sketch, row.kind, row.before_threshold_m);
        const auto fan = MarkerFan::of(sketch.world(), stands);
        ASSERT_TRUE(fan);
        const double metres = metres_on_glide_path(sketch, *fan);
        EXPECT_NEAR(metres, row.along_m, row.tolerance_m) << row.before_threshold_m;
        const double metres_a_second = 96.0 * 1852.0 / 3600.0;
        EXPECT_NEAR(metres / metres_a_second, row.seconds, row.seconds_tolerance) << row.before_threshold_m;
    }
}

// The FAA's fan, AIM 1-1-9 f: 2,400 by 4,200 ft at 1,000 ft; the shape, not the size, which is another receiver's.
TEST(TruthMarkerFan, ItIsWiderAcrossThanAlongAsTheFaasEllipse) {
    Sketch sketch = drawn();
    const navdata::Marker stands = marker(sketch, MarkerKind::outer, 3.9 * 1852.0);
    const auto fan = MarkerFan::of(sketch.world(), stands);
    const Altitude above = Altitude::feet(threshold_ft + 1000.0);
    const auto reach_m = [&](double bearing_deg) {
        double reach = 0.0;
        while (fan->reaches(earth::destination(stands.position, TrueBearing::degrees(bearing_deg),
                                               Length::metres(reach + 1.0)),
                            above)) {
            reach += 1.0;
        }
        return reach;
    };
    EXPECT_NEAR(reach_m(90.0) / reach_m(0.0), 4200.0 / 2400.0, 0.02);
    EXPECT_NEAR(reach_m(270.0), reach_m(90.0), 1.0);
    EXPECT_NEAR(reach_m(180.0), reach_m(0.0), 1.0);
}

TEST(LawMarkerFan, ItWidensWithHeightAndEndsAtTwiceTheUsualOne) {
    Sketch sketch = drawn();
    const navdata::Marker stands = marker(sketch, MarkerKind::middle, 1050.0);
    const auto fan = MarkerFan::of(sketch.world(), stands);
    const auto beside = [&](double metres) {
        return earth::destination(stands.position, TrueBearing::degrees(0), Length::metres(metres));
    };
    const auto above = [](double feet) { return Altitude::feet(threshold_ft + feet); };
    EXPECT_FALSE(fan->reaches(stands.position, above(-1.0)));
    EXPECT_TRUE(fan->reaches(stands.position, above(10.0)));
    EXPECT_FALSE(fan->reaches(beside(100.0), above(120.0)));
    EXPECT_TRUE(fan->reaches(beside(100.0), above(240.0)));
    // The usual height is 1,050 m by three degrees and 15 m: 230 ft.
    EXPECT_TRUE(fan->reaches(stands.position, above(455.0)));
    EXPECT_FALSE(fan->reaches(stands.position, above(470.0)));
}

TEST(CaseMarkerFan, TheLocalizerAndTheThresholdStandInForWhatARecordDoesNotSay) {
    Sketch sketch = drawn();
    navdata::Marker bare = marker(sketch, MarkerKind::outer, 3.9 * 1852.0);
    bare.minor_axis.reset();
    bare.elevation.reset();
    const navdata::Snapshot world = sketch.world();
    const auto fan = MarkerFan::of(world, bare);
    ASSERT_TRUE(fan);
    EXPECT_NEAR(metres_on_glide_path(sketch, *fan), 600.0, 5.0);
    bare.localizer = "IZZZ";
    EXPECT_FALSE(MarkerFan::of(world, bare));
    bare.minor_axis = TrueBearing::degrees(0);
    bare.airport = "XZZZ";
    EXPECT_FALSE(MarkerFan::of(world, bare));
}

}  // namespace omniway::radio
