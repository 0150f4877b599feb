// The variation that an airport's own runways tell, against the one the FAA records for it.
#include <algorithm>
#include <cmath>
#include <cstdio>
#include <fstream>
#include <sstream>
#include <vector>

#include <gtest/gtest.h>

#include "procedure/airport_variation.hpp"
#include "readers/arinc424.hpp"
#include "tests/real_data.hpp"

namespace omniway::readers {
namespace {

TEST(TruthAirportVariationRealData, RunwaysTellItWithinADegree) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    const std::filesystem::path file = folder / "cifp/faa_cifp_2101_part.txt";
    std::ifstream stream(file, std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    navdata::Source source;
    source.file = file.filename().string();
    const auto world = navdata::Snapshot::build(read_arinc424(text.str(), source, {}).value).value;
    std::vector<double> off;
    for (const navdata::Airport& airport : world.airports()) {
        const auto told = procedure::variation_by_runways(world, airport);
        if (airport.variation && told) {
            off.push_back(std::abs((told->east() - airport.variation->east()).degrees()));
        }
    }
    ASSERT_GT(off.size(), 10U);
    std::sort(off.begin(), off.end());
    const double most = off[off.size() * 9 / 10];
    std::printf("%zu airports: nine of ten within %.2f degrees, largest %.2f\n", off.size(), most,
                off.back());
    EXPECT_LE(most, 0.5);
    EXPECT_LE(off.back(), 1.0);
}

}  // namespace
}  // namespace omniway::readers
