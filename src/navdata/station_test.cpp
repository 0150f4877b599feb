#include "navdata/station.hpp"

#include <string>

#include <gtest/gtest.h>

#include "tests/sketch.hpp"

namespace omniway::navdata {

using omniway::testing::At;
using omniway::testing::IlsDrawn;
using omniway::testing::Sketch;

namespace {

std::string called(const IlsDrawn& drawn) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", drawn);
    return kind_text(sketch.station("IAAA"));
}

}  // namespace

// Column 18 of the localizer record (trade-facts 13.10): L LDA with glideslope, A without, S and F the same of an SDF.
TEST(TruthStation, ALocalizerIsNamedAfterItsCategory) {
    for (const std::string category : {"", "0", "1", "2", "3", "I"}) {
        EXPECT_EQ(called({.glideslope = false, .category = category}), "LOC") << category;
        EXPECT_EQ(called({.glideslope = true, .dme = true, .category = category}), "ILS/DME") << category;
    }
    EXPECT_EQ(called({.glideslope = false, .category = "A"}), "LDA");
    EXPECT_EQ(called({.glideslope = false, .dme = true, .category = "A"}), "LDA/DME");
    EXPECT_EQ(called({.glideslope = true, .category = "L"}), "LDA/GS");
    EXPECT_EQ(called({.glideslope = false, .category = "F"}), "SDF");
    EXPECT_EQ(called({.glideslope = true, .dme = true, .category = "S"}), "SDF/GS/DME");
}

// Radials are counted from the station's own zero, which stands east of true north by its declination (trade-facts 15); E13.0 and
// W12.0 are published ones (trade-facts 13.4, 13.10).
TEST(TruthStation, WhatLiesTrueNorthOfAVorIsOnItsRadial347WhereItsZeroStandsThirteenDegreesEast) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.declination_deg = 13.0});
    const auto radial = [&](double declination_deg, At place) {
        auto azimuth = *vor(sketch.station("AAA"));
        azimuth.declination = base::Declination::east(base::Angle::degrees(declination_deg));
        sketch.station("AAA").azimuth = azimuth;
        return radial_of(sketch.station("AAA"), sketch.at(place)).value().degrees();
    };
    EXPECT_NEAR(radial(13.0, {0, 30}), 347.0, 1e-6);
    EXPECT_NEAR(radial(-12.0, {0, 30}), 12.0, 1e-6);
    EXPECT_NEAR(radial(13.0, {0, -30}), 167.0, 1e-6);
}

}  // namespace omniway::navdata
