#include "procedure/minima.hpp"

#include <cmath>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

#include "tests/sketch.hpp"

namespace omniway::procedure {

using aircraft::ApproachCategory;
using base::Altitude;
using omniway::testing::Sketch;
using ::testing::HasSubstr;

namespace {

MinimumRow row(const std::string& airport, const std::string& procedure, double feet,
               const std::string& with_fix = {}, Landing landing = Landing::straight_in) {
    ApproachMinimum minimum;
    minimum.landing = landing;
    minimum.altitude = Altitude::feet(feet);
    minimum.with_fix = with_fix;
    minimum.where = "m.csv:2";
    return {airport, procedure, {ApproachCategory::a, ApproachCategory::b}, minimum};
}

// In whole feet; none: -1.
long found(const Minima& minima, ApproachCategory category, Landing landing,
           const std::vector<std::string>& told) {
    const auto minimum = minima.find("XAAA", "L09", category, landing, told);
    return minimum ? std::lround(minimum->altitude.feet()) : -1;
}

// An airport 400 ft up with one localizer approach.
Sketch one_approach() {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}, 400.0).airport("XBBB", {50, 0}).runway("XAAA", 9, {0, 0});
    sketch.fix("INIAA", {-14, 0});
    sketch.approach("XAAA", "L09", 'L', {sketch.leg(navdata::PathTerminator::IF, "INIAA")});
    return sketch;
}

}  // namespace

TEST(CaseMinima, AStepDownMinimumHoldsOnlyWhereItsFixIsTold) {
    const Minima minima({row("XAAA", "L09", 900), row("XAAA", "L09", 700, "STEPP")}, {});
    EXPECT_EQ(found(minima, ApproachCategory::b, Landing::straight_in, {}), 900);
    EXPECT_EQ(found(minima, ApproachCategory::b, Landing::straight_in, {"FINAA", "STEPP"}), 700);
    EXPECT_TRUE(minima.allows_without("XAAA", "L09", ApproachCategory::b, "STEPP"));
    EXPECT_FALSE(minima.allows_without("XAAA", "L09", ApproachCategory::b, "OTHER"));
    const Minima only_with({row("XAAA", "L09", 700, "STEPP")}, {});
    EXPECT_FALSE(only_with.allows_without("XAAA", "L09", ApproachCategory::b, "STEPP"));
}

TEST(CaseMinima, AnotherCategoryOrAnotherLandingHasNoPartInIt) {
    const Minima minima({row("XAAA", "L09", 900)}, {});
    EXPECT_EQ(found(minima, ApproachCategory::c, Landing::straight_in, {}), -1);
    EXPECT_EQ(found(minima, ApproachCategory::b, Landing::circling, {}), -1);
}

TEST(CaseMinima, WhatIsNotInTheDataIsToldWithItsPlaceAndWhatWasMeant) {
    const auto world = one_approach().world();
    const Minima given({row("XAAA", "L09", 900), row("XAAA", "L90", 900), row("XAAB", "L09", 900),
                        row("XBBB", "I27", 900), row("XAAA", "L09", 200)},
                       {});
    const Minima held = held_against(world, given, {*world.airport("XAAA")});
    ASSERT_EQ(held.rows().size(), 1U);
    ASSERT_EQ(held.findings().size(), 3U);
    EXPECT_EQ(held.findings()[0].code, "minima.unknown_procedure");
    EXPECT_EQ(held.findings()[0].about, "m.csv:2");
    EXPECT_THAT(held.findings()[0].text, HasSubstr("did you mean L09?"));
    EXPECT_EQ(held.findings()[1].code, "minima.unknown_airport");
    EXPECT_THAT(held.findings()[1].text, HasSubstr("did you mean XAAA"));
    // The height above the runway, written where the altitude above the sea belongs.
    EXPECT_EQ(held.findings()[2].code, "minima.below_field");
    for (const base::Finding& finding : held.findings()) {
        EXPECT_EQ(finding.grade, base::Grade::warns);
    }
}

// Heights above touchdown that are usual: ILS 200 ft, localizer 350-450, VOR and NDB 400-700 (trade-facts 11.2, from memory).
TEST(TruthMinima, TypicalHeightsLieWithinWhatIsUsual) {
    const auto feet = [](char type) { return typical_height(type, Landing::straight_in).feet(); };
    EXPECT_EQ(feet('I'), 200.0);
    EXPECT_GE(feet('L'), 350.0);
    EXPECT_LE(feet('L'), 450.0);
    for (const char type : {'V', 'D', 'S', 'N', 'Q'}) {
        EXPECT_GE(feet(type), 400.0) << type;
        EXPECT_LE(feet(type), 700.0) << type;
        EXPECT_GT(typical_height(type, Landing::circling).feet(), feet(type));
    }
}

// Radii of the circling area before 2013: A 1.3, B 1.5, C 1.7, D 2.3, E 4.5 NM (trade-facts 11.2, from memory of the AIM's table).
TEST(TruthMinima, TheCirclingAreaGrowsWithTheCategory) {
    const std::vector<std::pair<ApproachCategory, double>> table{{ApproachCategory::a, 1.3},
                                                                 {ApproachCategory::b, 1.5},
                                                                 {ApproachCategory::c, 1.7},
                                                                 {ApproachCategory::d, 2.3},
                                                                 {ApproachCategory::e, 4.5}};
    for (const auto& [category, miles] : table) {
        EXPECT_NEAR(circling_radius(category).nautical_miles(), miles, 1e-9);
    }
}

}  // namespace omniway::procedure
