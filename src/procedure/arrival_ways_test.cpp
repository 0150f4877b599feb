#include "procedure/arrival_ways.hpp"

#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::procedure {

using navdata::PathTerminator;
using navdata::ProcedureKind;
using navdata::ServiceClass;
using omniway::testing::Sketch;
using ::testing::ElementsAre;
using ::testing::HasSubstr;
using ::testing::IsEmpty;

namespace {

//   FARAA (60,0) ---- MIDAA (40,0) ---- AAA (20,0) ---- ENDAA (8,0)
Sketch airport() {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 27, {0, 0});
    sketch.vor("AAA", {20, 0}, {.dme = ServiceClass::low});
    sketch.fix("FARAA", {60, 0}).fix("MIDAA", {40, 0}).fix("ENDAA", {8, 0});
    return sketch;
}

void star(Sketch& sketch, char route_type, const std::string& transition, std::vector<navdata::Leg> legs) {
    sketch.branch(ProcedureKind::arrival, "XAAA", "STRA1", route_type, transition, std::move(legs));
}

std::vector<navdata::Leg> common(const Sketch& sketch) {
    return {sketch.leg(PathTerminator::IF, "MIDAA"), sketch.leg(PathTerminator::TF, "AAA"),
            sketch.leg(PathTerminator::TF, "ENDAA", {.recommended = "AAA"})};
}

std::vector<ArrivalWay> ways_of(const Sketch& sketch) {
    const auto world = sketch.world();
    auto ways =
        arrival_ways(world, radio::Ground{}, omniway::testing::equipment({.receivers = 2, .dme = true}),
                     *world.airport("XAAA"));
    for (ArrivalWay& way : ways) {
        way.procedure = nullptr;  // of a world that is gone
    }
    return ways;
}

std::vector<std::string> codes(const ArrivalWay& way) {
    std::vector<std::string> all;
    for (const base::Finding& finding : way.findings) {
        all.push_back(finding.code);
    }
    return all;
}

}  // namespace

TEST(CaseArrivalWay, TransitionAndCommonPartAreOneWayAndTheCommonPartAnother) {
    Sketch sketch = airport();
    star(sketch, '1', "FARAA",
         {sketch.leg(PathTerminator::IF, "FARAA"),
          sketch.leg(PathTerminator::TF, "MIDAA", {.recommended = "AAA"})});
    star(sketch, '2', "ALL", common(sketch));
    const auto ways = ways_of(sketch);
    ASSERT_EQ(ways.size(), 2U);
    EXPECT_THAT(codes(ways[0]), IsEmpty());
    EXPECT_EQ(ways[0].transition, "FARAA");
    EXPECT_EQ(ways[0].entry.ident, "FARAA");
    EXPECT_EQ(ways[0].end.ident, "ENDAA");
    EXPECT_NEAR(ways[0].length.nautical_miles(), 52.0, 0.01);
    EXPECT_EQ(ways[1].entry.ident, "MIDAA");
    EXPECT_NEAR(ways[1].length.nautical_miles(), 32.0, 0.01);
}

TEST(CaseArrivalWay, VectorsAtItsEndAreLeftOutAndSaidSo) {
    Sketch sketch = airport();
    auto legs = common(sketch);
    legs.push_back(sketch.leg(PathTerminator::FM, "ENDAA", {.recommended = "AAA", .course_deg = 270.0}));
    star(sketch, '2', "ALL", legs);
    const auto ways = ways_of(sketch);
    ASSERT_EQ(ways.size(), 1U);
    EXPECT_TRUE(ways[0].ends_in_vectors);
    EXPECT_TRUE(ways[0].flyable());
    EXPECT_THAT(codes(ways[0]), ElementsAre("arrival.vectors_left_out"));
    EXPECT_EQ(ways[0].end.ident, "ENDAA");
}

// trade-facts 13.9: STAR route types 4, 5 and 6 are RNAV.
TEST(TruthArrivalWay, AreaNavigationIsRefusedByItsRouteType) {
    for (const char type : {'4', '5', '6', 'F', 'M', 'S'}) {
        Sketch sketch = airport();
        star(sketch, type, "ALL", common(sketch));
        EXPECT_THAT(codes(ways_of(sketch).at(0)), ElementsAre("arrival.area_navigation")) << type;
    }
}

TEST(CaseArrivalWay, ATrackThatLiesOnNoRadialNeedsAreaNavigation) {
    Sketch sketch = airport();
    sketch.fix("ASIDE", {30, 25});
    auto legs = common(sketch);
    legs.insert(legs.begin() + 1, sketch.leg(PathTerminator::TF, "ASIDE"));
    star(sketch, '2', "ALL", legs);
    EXPECT_THAT(codes(ways_of(sketch).at(0)), ::testing::Contains("procedure.needs_area_navigation"));
}

TEST(CaseArrivalWay, WithARowMissingItIsNotWhole) {
    Sketch sketch = airport();
    star(sketch, '2', "ALL", common(sketch));
    auto& legs = sketch.records().procedures.at(0).branches.at(0).legs;
    legs.erase(legs.begin() + 1);
    const auto ways = ways_of(sketch);
    EXPECT_THAT(codes(ways.at(0)), ElementsAre("arrival.not_whole"));
    EXPECT_THAT(ways[0].findings[0].text, HasSubstr("leg 020"));
}

TEST(CaseArrivalWay, AHoleBetweenTransitionAndCommonPartIsNoWay) {
    Sketch sketch = airport();
    star(sketch, '1', "FARAA", {sketch.leg(PathTerminator::IF, "FARAA")});
    const auto ways = ways_of(sketch);
    EXPECT_THAT(codes(ways.at(0)), ElementsAre("arrival.no_legs"));
}

}  // namespace omniway::procedure
