#include "navdata/station.hpp"

#include <string>

#include <gtest/gtest.h>

#include "tests/sketch.hpp"

namespace omniway::navdata {

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

}  // namespace omniway::navdata
