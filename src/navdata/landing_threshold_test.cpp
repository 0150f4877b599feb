#include "navdata/landing_threshold.hpp"

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"

namespace omniway::navdata {

using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

// The localizer of runway 09 is drawn 1,000 ft beyond the far end of 6,000 ft.
std::optional<double> to_threshold_ft(const Snapshot& world, std::string_view ident) {
    const Station& station = world[station_of(world, ident)];
    const auto threshold = landing_threshold(world, station);
    return threshold ? std::optional(earth::distance(site(station), *threshold).feet()) : std::nullopt;
}

Sketch one_localizer() {
    Sketch sketch;
    sketch.airport("XARR", {0, 0}).runway("XARR", 9, {0, 0}, 6000.0).ils("XARR", "RW09", "IXR");
    return sketch;
}

}  // namespace

TEST(CaseLandingThreshold, OfALocalizerIsThatOfItsRunwayAtItsFarEnd) {
    Sketch sketch = one_localizer();
    ASSERT_TRUE(to_threshold_ft(sketch.world(), "IXR"));
    EXPECT_NEAR(*to_threshold_ft(sketch.world(), "IXR"), 7000.0, 1.0);
}

TEST(CaseLandingThreshold, WhereTheLocalizerNamesNoRunwayTheRunwayNamesTheLocalizer) {
    Sketch sketch = one_localizer();
    std::get<LocalizerAzimuth>(sketch.station("IXR").azimuth).runway.clear();
    ASSERT_TRUE(to_threshold_ft(sketch.world(), "IXR"));
    EXPECT_NEAR(*to_threshold_ft(sketch.world(), "IXR"), 7000.0, 1.0);
}

TEST(CaseLandingThreshold, OfARunwayThatIsNotKnownAndOfAnythingElseThereIsNone) {
    Sketch sketch = one_localizer();
    sketch.vor("AAA", {10, 0});
    EXPECT_FALSE(to_threshold_ft(sketch.world(), "AAA"));
    std::get<LocalizerAzimuth>(sketch.station("IXR").azimuth).runway = "RW18";
    EXPECT_FALSE(to_threshold_ft(sketch.world(), "IXR"));
}

}  // namespace omniway::navdata
