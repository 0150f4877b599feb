#include "navdata/airway.hpp"

#include <string>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "navdata/snapshot.hpp"
#include "tests/sketch.hpp"

namespace omniway::navdata {

using base::Length;
using testing::airways_of;
using testing::At;
using testing::Sketch;

// AIM 5-3-4 (trade-facts 9.1 [seen]) and ICAO Annex 11 appendix 1 (trade-facts 9.2 [seen], letters partly [memory]).
TEST(TruthAirway, LettersLMNPQTYZNameAreaNavigationRoutesAfterAnyPrefix) {
    for (const std::string designator : {"T270", "Q822", "Y280", "L453", "M201", "N571", "P44", "Z600",
                                         "UL607", "UM601", "UQ12", "TK502", "SL5", "KN2"}) {
        EXPECT_TRUE(is_area_navigation_designator(designator)) << designator;
    }
}

TEST(TruthAirway, LettersABGRHJVWNameConventionalRoutesAfterAnyPrefix) {
    for (const std::string designator :
         {"V16", "J60", "A411", "UA411", "B9", "UB9", "G5", "R329", "UR329", "H20", "W7", "UH7"}) {
        EXPECT_FALSE(is_area_navigation_designator(designator)) << designator;
    }
}

TEST(LawAirway, APrefixChangesNothingAboutTheLetterBehindIt) {
    for (char letter = 'A'; letter <= 'Z'; ++letter) {
        if (letter == 'U' || letter == 'K' || letter == 'S') {
            continue;
        }
        const std::string plain = std::string(1, letter) + "411";
        for (const char prefix : {'U', 'K', 'S'}) {
            EXPECT_EQ(is_area_navigation_designator(plain), is_area_navigation_designator(prefix + plain))
                << prefix << plain;
        }
    }
}

namespace {

Sketch four_points() {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).fix("BBBBB", {20, 0}).fix("CCCCC", {40, 0}).vor("DDD", {60, 0});
    return sketch;
}

}  // namespace

TEST(CaseAirway, RowsInSequenceBecomeOneContinuousPart) {
    Sketch sketch = four_points();
    sketch.airway("V1", {"AAA", "BBBBB", "CCCCC", "DDD"});
    const auto loaded = sketch.loaded();
    EXPECT_TRUE(loaded.diagnostics.empty());
    const auto parts = airways_of(loaded.value, "V1");
    ASSERT_EQ(parts.size(), 1U);
    ASSERT_EQ(parts[0]->segments.size(), 3U);
    for (std::size_t i = 0; i + 1 < 3; ++i) {
        EXPECT_EQ(parts[0]->segments[i].to, parts[0]->segments[i + 1].from);
    }
    EXPECT_NEAR(parts[0]->segments[0].distance.nautical_miles(), 20.0, 0.01);
}

TEST(CaseAirway, HoweverManyRowsEachLegIsAsLongAsItsPointsAreApart) {
    constexpr std::size_t rows = 3'000;
    Records data;
    for (std::size_t i = 0; i < rows; ++i) {
        const std::string ident = std::to_string(i);
        // A zigzag whose legs all differ in length.
        const auto step = static_cast<double>(i);
        data.fixes.push_back({ident,
                              "XX",
                              "",
                              "",
                              "",
                              earth::Position::degrees(i % 2 == 0 ? 0.0 : 1e-3 * step, 0.01 * step),
                              {}});
        data.airway_rows.emplace_back();
        data.airway_rows.back().designator = "V1";
        data.airway_rows.back().sequence = static_cast<std::uint32_t>(i);
        data.airway_rows.back().point = {PointKind::fix, ident, "XX", ""};
    }
    const Snapshot world = Snapshot::build(data).value;
    const auto parts = airways_of(world, "V1");
    ASSERT_EQ(parts.size(), 1U);
    ASSERT_EQ(parts[0]->segments.size(), rows - 1);
    for (std::size_t i = 0; i + 1 < rows; ++i) {
        EXPECT_EQ(parts[0]->segments[i].distance,
                  earth::distance(data.fixes[i].position, data.fixes[i + 1].position))
            << i;
    }
}

// trade-facts 21: rows missing inside an airway happen; the coded distance before the hole is the test (one such pair of the
// real part codes 20.1 NM where its ends are 39.9 apart).
TEST(CaseAirway, IsCutWhereARowIsMissingAndNeverJoinedAcrossTheHole) {
    Sketch sketch = four_points();
    sketch.airway("V1", {"AAA", "BBBBB", "CCCCC", "DDD"});
    std::erase_if(sketch.records().airway_rows,
                  [](const AirwayRow& row) { return row.point.ident == "BBBBB"; });
    const auto loaded = sketch.loaded();
    const auto parts = airways_of(loaded.value, "V1");
    ASSERT_EQ(parts.size(), 1U);
    ASSERT_EQ(parts[0]->segments.size(), 1U);
    EXPECT_EQ(loaded.value.ident(parts[0]->segments[0].from), "CCCCC");
    ASSERT_EQ(loaded.diagnostics.size(), 1U);
    EXPECT_EQ(loaded.diagnostics[0].code, "navdata.airway_hole");
}

TEST(CaseAirway, IsTwoPartsAboutAHoleInItsMiddle) {
    Sketch sketch = four_points();
    sketch.fix("EEEEE", {80, 0}).vor("FFF", {100, 0});
    sketch.airway("V1", {"AAA", "BBBBB", "CCCCC", "DDD", "EEEEE", "FFF"});
    std::erase_if(sketch.records().airway_rows,
                  [](const AirwayRow& row) { return row.point.ident == "CCCCC"; });
    const auto world = sketch.world();
    const auto parts = airways_of(world, "V1");
    ASSERT_EQ(parts.size(), 2U);
    EXPECT_EQ(parts[0]->segments.size(), 1U);
    EXPECT_EQ(parts[1]->segments.size(), 2U);
    EXPECT_EQ(world.ident(parts[1]->segments[0].from), "DDD");
}

TEST(CaseAirway, EndsWhereItsRowSaysSoThoughMoreRowsFollow) {
    Sketch sketch = four_points();
    sketch.airway("V1", {"AAA", "BBBBB", "CCCCC", "DDD"});
    sketch.records().airway_rows[1].ends_continuous_part = true;
    const auto world = sketch.world();
    const auto parts = airways_of(world, "V1");
    ASSERT_EQ(parts.size(), 2U);
    EXPECT_EQ(parts[0]->segments.size(), 1U);
    EXPECT_EQ(parts[1]->segments.size(), 1U);
}

TEST(CaseAirway, APointWithoutARecordCutsItAndIsReported) {
    Sketch sketch = four_points();
    sketch.airway("V1", {"AAA", "BBBBB", "CCCCC", "DDD"});
    std::erase_if(sketch.records().fixes, [](const Fix& fix) { return fix.ident == "CCCCC"; });
    const auto loaded = sketch.loaded();
    const auto parts = airways_of(loaded.value, "V1");
    ASSERT_EQ(parts.size(), 1U);
    EXPECT_EQ(parts[0]->segments.size(), 1U);
    ASSERT_EQ(loaded.diagnostics.size(), 2U);
    EXPECT_EQ(loaded.diagnostics[0].code, "navdata.airway_point_unknown");
}

TEST(CaseAirway, RowsOutOfOrderAreFlownInSequence) {
    Sketch sketch = four_points();
    sketch.airway("V1", {"AAA", "BBBBB", "CCCCC", "DDD"});
    std::swap(sketch.records().airway_rows[0], sketch.records().airway_rows[3]);
    sketch.records().airway_rows[0].ends_continuous_part = false;
    const auto world = sketch.world();
    ASSERT_EQ(airways_of(world, "V1").size(), 1U);
    EXPECT_EQ(airways_of(world, "V1")[0]->segments.size(), 3U);
}

// trade-facts 21: route type O is not proof of a conventional route.
TEST(CaseAirway, IsAreaNavigationByRouteTypeOrByLetter) {
    Sketch sketch = four_points();
    sketch.airway("V1", {"AAA", "BBBBB"}, {.route_type = 'R'});
    sketch.airway("T2", {"AAA", "BBBBB"});
    sketch.airway("V3", {"AAA", "BBBBB"});
    const auto world = sketch.world();
    EXPECT_TRUE(airways_of(world, "V1").at(0)->area_navigation);
    EXPECT_TRUE(airways_of(world, "T2").at(0)->area_navigation);
    EXPECT_FALSE(airways_of(world, "V3").at(0)->area_navigation);
}

TEST(CaseAirway, OneMinimumHoldsBothWaysAndASecondHoldsBackward) {
    Sketch sketch = four_points();
    sketch.airway("V1", {"AAA", "BBBBB"}, {.minimum_ft = 5000});
    sketch.airway("V2", {"AAA", "BBBBB"}, {.minimum_ft = 5000, .minimum_backward_ft = 8000});
    sketch.airway("V3", {"AAA", "BBBBB"}, {.minimum_ft = std::nullopt});
    const auto world = sketch.world();
    const PublishedMinimum five = base::Altitude::feet(5000);
    const PublishedMinimum eight = base::Altitude::feet(8000);
    EXPECT_EQ(airways_of(world, "V1").at(0)->segments[0].minimum_forward, five);
    EXPECT_EQ(airways_of(world, "V1").at(0)->segments[0].minimum_backward, five);
    EXPECT_EQ(airways_of(world, "V2").at(0)->segments[0].minimum_forward, five);
    EXPECT_EQ(airways_of(world, "V2").at(0)->segments[0].minimum_backward, eight);
    EXPECT_EQ(airways_of(world, "V3").at(0)->segments[0].minimum_forward, PublishedMinimum());
}

}  // namespace omniway::navdata
