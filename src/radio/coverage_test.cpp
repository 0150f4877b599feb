#include "radio/coverage.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <stop_token>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "radio/along_path.hpp"
#include "radio/horizon.hpp"
#include "radio/reception.hpp"
#include "tests/sketch.hpp"

namespace omniway::radio {
namespace {

using base::Altitude;
using base::Angle;
using base::Length;
using testing::Sketch;

LineOfPosition line(double direction_deg, double error_nm, bool beacon = false) {
    return {base::TrueBearing::degrees(direction_deg), Length::nautical_miles(error_nm), beacon};
}

// Five stations of several kinds about 40 N 170 W.
navdata::Snapshot drawn() {
    return Sketch()
        .vor("AAA", {0, 0}, {.dme = navdata::ServiceClass::low})
        .vor("BBB", {45, 5}, {.service = navdata::ServiceClass::terminal})
        .ndb("CC", {-20, 30})
        .dme("DDD", {10, -35})
        .vor("EEE", {-30, -30}, {.service = navdata::ServiceClass::high})
        .world();
}

CoverageQuestion question(std::size_t columns, std::size_t rows) {
    CoverageQuestion asked;
    asked.grid = {earth::Position::degrees(41.0, -171.2), Angle::degrees(0.1), columns, rows};
    asked.altitude = Altitude::feet(4500.0);
    return asked;
}

TEST(TruthFixError, TwoLinesAreAsTrueAsTheTableOfDistancesAndCrossingsSays) {
    // Trade-facts 16: drms of lines 30 and 30 NM or 40 and 20 NM away, each a degree (one sigma) off; [computed] there from the
    // formula, apart from this code. fix_error() is twice that of lines given by two sigma.
    const double degree_nm = std::numbers::pi / 180.0;
    struct Row {
        double first_nm, second_nm, crossing_deg, drms_nm;
    };
    for (const Row& row :
         {Row{30, 30, 90, 0.740}, Row{30, 30, 45, 1.047}, Row{30, 30, 30, 1.481}, Row{40, 20, 60, 0.901}}) {
        const Length error = fix_error(line(0.0, 2.0 * row.first_nm * degree_nm),
                                       line(row.crossing_deg, 2.0 * row.second_nm * degree_nm));
        EXPECT_NEAR(error.nautical_miles() / 2.0, row.drms_nm, 0.0006) << row.crossing_deg;
    }
}

TEST(Coverage, LinesCrossWellAtThirtyDegreesAndAtFortyFiveWithABeacon) {
    EXPECT_TRUE(cross_well(line(10.0, 1.0), line(40.001, 1.0)));
    EXPECT_FALSE(cross_well(line(10.0, 1.0), line(39.999, 1.0)));
    EXPECT_TRUE(cross_well(line(355.0, 1.0), line(25.001, 1.0)));
    EXPECT_FALSE(cross_well(line(175.0, 1.0), line(0.0, 1.0)));  // a line has no direction of its own
    EXPECT_FALSE(cross_well(line(10.0, 1.0, true), line(54.999, 1.0)));
    EXPECT_TRUE(cross_well(line(10.0, 1.0), line(55.001, 1.0, true)));
}

TEST(BruteCoverage, EachCellIsWhatItsCentreHears) {
    const navdata::Snapshot world = drawn();
    const CoverageQuestion asked = question(24, 20);
    const auto coverage = coverage_of(world.stations(), asked, {});
    ASSERT_TRUE(coverage);
    std::size_t with_fix = 0;
    for (std::size_t row = 0; row < asked.grid.rows; ++row) {
        for (std::size_t column = 0; column < asked.grid.columns; ++column) {
            const earth::Position place = asked.grid.centre(row, column);
            const std::size_t at = row * asked.grid.columns + column;
            float heard = 0.0F;
            double lowest_ft = 1e9;
            for (const navdata::Station& station : world.stations()) {
                bool any = false;
                for (const Part part : {Part::azimuth, Part::distance}) {
                    any |= hear(station, part, place, asked.altitude, asked.ground).heard();
                    if (const auto lowest = lowest_heard(station, part, place, asked.ground)) {
                        lowest_ft = std::min(lowest_ft, lowest->altitude.feet());
                    }
                }
                heard += any ? 1.0F : 0.0F;
            }
            EXPECT_EQ(coverage->stations[at], heard) << row << " " << column;
            if (lowest_ft < 1e8) {
                EXPECT_NEAR(coverage->lowest_one_ft[at], lowest_ft, 0.5);
                EXPECT_FALSE(coverage->lowest_two_ft[at] < coverage->lowest_one_ft[at]);
            } else {
                EXPECT_TRUE(std::isnan(coverage->lowest_one_ft[at]));
            }
            with_fix += std::isnan(coverage->accuracy_nm[at]) ? 0U : 1U;
        }
    }
    EXPECT_GT(with_fix, 50U);
}

TEST(Coverage, AVorWithDmeFixesByItselfAsTrueAsItsTwoLines) {
    const navdata::Snapshot world = Sketch().vor("AAA", {0, 0}, {.dme = navdata::ServiceClass::low}).world();
    CoverageQuestion asked = question(1, 1);
    asked.grid.cell = Angle::degrees(0.001);
    asked.grid.north_west = earth::Position::degrees(40.4, -170.0);  // about 24 NM north
    const auto coverage = coverage_of(world.stations(), asked, {});
    ASSERT_TRUE(coverage);
    const double away_nm =
        earth::distance(earth::Position::degrees(40.0, -170.0), asked.grid.centre(0, 0)).nautical_miles();
    // TERPS crossing VOR 3.6 degrees, DME 0.25 NM + 1.25 % (trade-facts 3.2), at right angles.
    const double expected =
        std::hypot(away_nm * std::tan(3.6 * std::numbers::pi / 180.0), 0.25 + 0.0125 * away_nm);
    EXPECT_NEAR(coverage->accuracy_nm[0], expected, 0.01);
    EXPECT_EQ(coverage->lowest_one_ft[0], coverage->lowest_two_ft[0]);
}

TEST(Coverage, ALoneVorIsHeardAndTellsNoPlace) {
    const navdata::Snapshot world = Sketch().vor("AAA", {0, 0}).world();
    const auto coverage = coverage_of(world.stations(), question(12, 10), {});
    ASSERT_TRUE(coverage);
    float most = 0.0F;
    for (std::size_t at = 0; at < coverage->stations.size(); ++at) {
        most = std::max(most, coverage->stations[at]);
        EXPECT_TRUE(std::isnan(coverage->accuracy_nm[at]));
        EXPECT_TRUE(std::isnan(coverage->lowest_two_ft[at]));
    }
    EXPECT_EQ(most, 1.0F);
}

// Level ground over some blocks, three quarters of a degree or so about the drawn stations.
earth::Terrain level_ground(std::int16_t metres, int south, int north, int west, int east) {
    std::vector<earth::TerrainBlock> blocks;
    for (int row = south; row < north; ++row) {
        for (int column = west; column < east; ++column) {
            blocks.push_back({row, column});
        }
    }
    const earth::TerrainTile tile{31, std::vector<std::int16_t>(31 * 31, metres)};
    return earth::Terrain(blocks, [tile](earth::TerrainBlock) { return tile; });
}

TEST(Coverage, NoLowestAltitudeIsUnderTheGroundOfItsCell) {
    const navdata::Snapshot world = drawn();
    CoverageQuestion asked = question(12, 10);
    const earth::Terrain terrain = level_ground(1000, 152, 170, -692, -668);
    const Horizons horizons(terrain);
    asked.ground = {ReceptionMode::terrain, &horizons, &terrain};
    const auto coverage = coverage_of(world.stations(), asked, {});
    ASSERT_TRUE(coverage);
    std::size_t low = 0;
    for (const float lowest_ft : coverage->lowest_one_ft) {
        EXPECT_FALSE(lowest_ft < 3280.8F);
        low += lowest_ft < 3290.0F ? 1U : 0U;
    }
    EXPECT_GT(low, 0U);  // an NDB follows the ground and is heard down to it
}

TEST(Coverage, ACellThatIsReachedOverUnknownGroundSaysSo) {
    const navdata::Snapshot world = Sketch().vor("AAA", {0, 0}).world();
    CoverageQuestion asked = question(8, 1);
    asked.grid.north_west = earth::Position::degrees(40.15, -170.0);
    const earth::Terrain terrain = level_ground(0, 156, 164, -684, -679);  // known as far as 169.75 W
    const Horizons horizons(terrain);
    asked.ground = {ReceptionMode::terrain, &horizons, &terrain};
    const auto coverage = coverage_of(world.stations(), asked, {});
    ASSERT_TRUE(coverage);
    EXPECT_EQ(coverage->ground_known.front(), 1.0F);
    EXPECT_EQ(coverage->ground_known.back(), 0.0F);
}

// NaN is unlike itself: compared by what is known.
std::vector<float> known(std::vector<float> values) {
    for (float& value : values) {
        value = std::isnan(value) ? -1e9F : value;
    }
    return values;
}

TEST(LawCoverage, AnyNumberOfThreadsGivesTheSameMap) {
    const navdata::Snapshot world = drawn();
    const auto one = coverage_of(world.stations(), question(15, 13), {}, 1);
    for (const unsigned threads : {2U, 5U}) {
        const auto many = coverage_of(world.stations(), question(15, 13), {}, threads);
        EXPECT_EQ(one->stations, many->stations);
        EXPECT_EQ(known(one->lowest_one_ft), known(many->lowest_one_ft));
        EXPECT_EQ(known(one->lowest_two_ft), known(many->lowest_two_ft));
        EXPECT_EQ(known(one->accuracy_nm), known(many->accuracy_nm));
    }
}

TEST(LawCoverage, WithoutTheLowestAltitudesTheRestOfTheMapIsTheSame) {
    const navdata::Snapshot world = drawn();
    CoverageQuestion asked = question(15, 13);
    const auto whole = coverage_of(world.stations(), asked, {});
    asked.lowest_altitudes = false;
    const auto part = coverage_of(world.stations(), asked, {});
    EXPECT_EQ(whole->stations, part->stations);
    EXPECT_EQ(known(whole->accuracy_nm), known(part->accuracy_nm));
    EXPECT_TRUE(std::isnan(part->lowest_one_ft.front()));
}

TEST(Coverage, ToldToStopItGivesNothingAndBeginsNoFurtherRow) {
    const navdata::Snapshot world = drawn();
    std::stop_source stop;
    base::Progress progress;
    progress.stop = stop.get_token();
    std::size_t told = 0;
    progress.report = [&](std::string_view, double) {
        ++told;
        stop.request_stop();
    };
    EXPECT_FALSE(coverage_of(world.stations(), question(10, 30), progress, 1));
    EXPECT_EQ(told, 1U);
    EXPECT_FALSE(lowest_usable(world.stations().front(), question(10, 30).grid, {}, progress));
}

TEST(Coverage, TheMapOfOneStationIsItsLowestAltitudeAtEachCentre) {
    const navdata::Snapshot world = drawn();
    const navdata::Station& station = world.stations().front();
    const CellGrid grid = question(12, 10).grid;
    const auto usable = lowest_usable(station, grid, {}, {});
    ASSERT_TRUE(usable);
    for (std::size_t row = 0; row < grid.rows; ++row) {
        for (std::size_t column = 0; column < grid.columns; ++column) {
            const float found = usable->lowest_ft[row * grid.columns + column];
            const auto lowest = lowest_heard(station, Part::azimuth, grid.centre(row, column), {});
            ASSERT_EQ(lowest.has_value(), !std::isnan(found));
            if (lowest) {
                EXPECT_NEAR(found, lowest->altitude.feet(), 0.5);
            }
        }
    }
}

}  // namespace
}  // namespace omniway::radio
