#include "procedure/guidance.hpp"

#include <string>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::procedure {

using omniway::testing::At;
using omniway::testing::IlsDrawn;
using omniway::testing::Sketch;
using omniway::testing::station_of;

namespace {

// Runway 09 from -0.49 to 0.49 NM, its localizer's antenna 0.66 NM east of the middle: the front course lies to the west and
// leads east, the back course lies to the east.
//
//     front course        threshold 09   far end   antenna        back course
//     ------------------------[=====================]--A--------------------------
//                           -0.49                  0.49 0.66                  east
constexpr double antenna_nm = 0.658;

Sketch localizer_drawn(const IlsDrawn& drawn = {}) {
    Sketch sketch;
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA", drawn);
    return sketch;
}

std::optional<Guidance> along(const Sketch& sketch, const std::string& ident, At from, At to) {
    const auto world = sketch.world();
    return guidance_along(world, station_of(world, ident), sketch.at(from), sketch.at(to));
}

std::string flown(const Sketch& sketch, At from, At to) {
    const auto guidance = along(sketch, "IAAA", from, to);
    if (!guidance) {
        return "none";
    }
    const auto& localizer = std::get<OnLocalizer>(*guidance);
    return std::string(localizer.back_course ? "back" : "front") +
           (localizer.toward ? " inbound" : " outbound") + (localizer.needle_reversed() ? ", reversed" : "");
}

}  // namespace

// AIM 1-1-9 b 2 and b 3: the front course leads to the runway, the back course lies in its extension; a needle is reversed inbound
// on the back course and outbound on the front course, and only there.
TEST(TruthGuidance, ALocalizerIsFlownFourWaysAndReversedInTwoOfThem) {
    const Sketch sketch = localizer_drawn();
    EXPECT_EQ(flown(sketch, {-12, 0}, {-5, 0}), "front inbound");
    EXPECT_EQ(flown(sketch, {-5, 0}, {-12, 0}), "front outbound, reversed");
    EXPECT_EQ(flown(sketch, {12, 0}, {5, 0}), "back inbound, reversed");
    EXPECT_EQ(flown(sketch, {5, 0}, {12, 0}), "back outbound");
}

// AIM 1-1-9 b 2: the antenna stands at the far end of the runway; seen from the back course it stands before the threshold, so
// that every back course final to a threshold passes over it.
TEST(TruthGuidance, TheFinalOfABackCoursePassesOverTheAntennaToTheThreshold) {
    const Sketch sketch = localizer_drawn();
    EXPECT_EQ(flown(sketch, {6, 0}, {0.49, 0}), "back inbound, reversed");
    EXPECT_EQ(flown(sketch, {6, 0}, {antenna_nm, 0}), "back inbound, reversed");
    EXPECT_EQ(flown(sketch, {6, 0}, {-0.49, 0}), "back inbound, reversed");
}

TEST(CaseGuidance, AMissedApproachStraightOnPassesTheAntennaOntoTheOtherCourse) {
    const Sketch sketch = localizer_drawn();
    EXPECT_EQ(flown(sketch, {-0.49, 0}, {10, 0}), "back outbound");
    EXPECT_EQ(flown(sketch, {0.49, 0}, {-10, 0}), "front outbound, reversed");
}

// What lies on both sides in equal parts is flown with the same needle whichever course it is called after.
RC_GTEST_PROP(LawGuidance, PassingTheAntennaDoesNotTurnTheNeedleRound, ()) {
    const Sketch sketch = localizer_drawn();
    const double west_nm = antenna_nm - *rc::gen::inRange(3, 150) / 10.0;
    const double east_nm = antenna_nm + *rc::gen::inRange(3, 150) / 10.0;
    const auto sense = [&](double from_nm, double to_nm) {
        const auto guidance = along(sketch, "IAAA", {from_nm, 0}, {to_nm, 0});
        RC_ASSERT(guidance.has_value());
        return std::get<OnLocalizer>(*guidance).needle_reversed();
    };
    RC_ASSERT(!sense(west_nm, east_nm));
    RC_ASSERT(sense(east_nm, west_nm));
    RC_ASSERT(!sense(west_nm, antenna_nm - 0.1));
    RC_ASSERT(!sense(antenna_nm + 0.1, east_nm));
}

TEST(CaseGuidance, ALineBesideOrAcrossALocalizerIsNoneOfItsCourses) {
    const Sketch sketch = localizer_drawn();
    EXPECT_EQ(flown(sketch, {-12, 1}, {-5, 0}), "none");
    EXPECT_EQ(flown(sketch, {-12, 0}, {-5, 0.5}), "none");
    EXPECT_EQ(flown(sketch, {6, 0.5}, {-6, 0.5}), "none");
    EXPECT_EQ(flown(sketch, {antenna_nm, 5}, {antenna_nm, -5}), "none");
    EXPECT_EQ(flown(sketch, {antenna_nm, 0.08}, {antenna_nm, -0.08}), "none");
}

// An LDA offers no back course to fly (FAA Instrument Procedures Handbook); an SDF is used within 35 degrees of its approach
// course only (AIM 1-1-10 d). Letters of column 18: trade-facts 13.10.
TEST(TruthGuidance, DirectionalAidsHaveNoBackCourse) {
    for (const std::string category : {"L", "A", "S", "F"}) {
        const Sketch sketch = localizer_drawn({.category = category});
        EXPECT_EQ(flown(sketch, {-12, 0}, {-5, 0}), "front inbound") << category;
        EXPECT_EQ(flown(sketch, {-5, 0}, {antenna_nm, 0}), "front inbound") << category;
        EXPECT_EQ(flown(sketch, {12, 0}, {5, 0}), "none") << category;
        EXPECT_EQ(flown(sketch, {6, 0}, {-0.49, 0}), "none") << category;
    }
    for (const std::string category : {"", "0", "1", "2", "3", "I"}) {
        const Sketch sketch = localizer_drawn({.category = category});
        EXPECT_EQ(flown(sketch, {12, 0}, {5, 0}), "back inbound, reversed") << category;
    }
}

TEST(CaseGuidance, ALineOverAVorOrBeaconIsTwoOfItsRadials) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}).ndb("BCN", {0, 40});
    EXPECT_FALSE(along(sketch, "AAA", {-10, 0}, {10, 0}));
    EXPECT_FALSE(along(sketch, "BCN", {-10, 40}, {10, 40}));
    const auto radial = along(sketch, "AAA", {-10, 0}, {0, 0});
    ASSERT_TRUE(radial);
    EXPECT_TRUE(std::get<OnRadial>(*radial).toward);
    EXPECT_NEAR(std::get<OnRadial>(*radial).course.degrees(), 90.0, 0.2);
    const auto bearing = along(sketch, "BCN", {0, 40}, {10, 40});
    ASSERT_TRUE(bearing);
    EXPECT_FALSE(std::get<OnBeacon>(*bearing).toward);
}

TEST(CaseGuidance, WhatIsLackingIsNamedWithTheKindOfAid) {
    const Sketch sketch = localizer_drawn({.glideslope = false, .dme = true, .category = "A"});
    const auto world = sketch.world();
    const Guidance guidance = OnLocalizer{station_of(world, "IAAA")};
    EXPECT_FALSE(can_follow(world, testing::equipment({.receivers = 0}), guidance));
    EXPECT_EQ(lack_text(world, guidance), "needs a localizer receiver for LDA/DME IAAA");
}

}  // namespace omniway::procedure
