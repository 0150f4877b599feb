#include "flight/region_minimum.hpp"

#include <cmath>
#include <optional>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "flight/off_airway_minimum.hpp"
#include "tests/random_positions.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::flight {
namespace {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using earth::Position;
using omniway::testing::between;
using omniway::testing::DrawnGround;

const Position middle = Position::degrees(40.0, -170.0);
constexpr Length allowance = Length::feet(200.0);

earth::SquaredRegion disc(Position centre, double radius_nm) {
    std::vector<Position> ring;
    for (int degrees = 0; degrees < 360; degrees += 15) {
        ring.push_back(
            earth::destination(centre, TrueBearing::degrees(degrees), Length::nautical_miles(radius_nm)));
    }
    return earth::squared(earth::LocalFrame(middle), {ring}, Length::nautical_miles(0.25));
}

// A plain of 100 m with one peak, a node wide, so far from the middle of the drawing on its parallel.
DrawnGround peak(double east_deg, double metres) {
    return DrawnGround(middle, 3, [=](double latitude, double longitude) -> std::optional<double> {
        const bool there = std::abs(latitude - middle.latitude_deg()) < 1e-6 &&
                           std::abs(longitude - middle.longitude_deg() - east_deg) < 1e-6;
        return there ? metres : 100.0;
    });
}

TEST(CaseRegionMinimum, IsTheHighestGroundAnAllowanceAndAThousandFeet) {
    const auto asks = region_minimum(peak(1.0 / 240.0 * 8.0, 500.0).terrain, disc(middle, 4.0), allowance);
    // 500 m are 1,640.4 ft: + 200 + 1,000 are 2,840.4, rounded up.
    ASSERT_TRUE(asks.most);
    EXPECT_NEAR(asks.most->altitude.feet(), 2900.0, 1e-6);
    EXPECT_NEAR(asks.most->ground.feet(), 1640.4, 0.1);
    EXPECT_EQ(asks.most->clearance, Length::feet(1000.0));
    EXPECT_EQ(asks.unknown, 0.0);
    // Within a cell of 15 arc-seconds.
    EXPECT_LT(
        earth::distance(asks.most->where, Position::degrees(40.0, -170.0 + 8.0 / 240.0)).nautical_miles(),
        0.2);
}

TEST(CaseRegionMinimum, InMountainsItIsTwoThousandThoughTheyStandBesideTheRegion) {
    // 8 NM east of the middle, 6 NM outside: 1,100 m is 3,281 ft above the plain, 1,000 m only 2,953 ft.
    const double eight_nm = std::round(8.0 / 60.0 / std::cos(40.0 * 3.14159265 / 180.0) * 240.0) / 240.0;
    const auto beside = region_minimum(peak(eight_nm, 1100.0).terrain, disc(middle, 2.0), allowance);
    EXPECT_EQ(beside.most->clearance, Length::feet(2000.0));
    EXPECT_NEAR(beside.most->altitude.feet(), 2600.0, 1e-6);  // 328.1 + 200 + 2,000
    const auto lower = region_minimum(peak(eight_nm, 1000.0).terrain, disc(middle, 2.0), allowance);
    EXPECT_EQ(lower.most->clearance, Length::feet(1000.0));
    // 25 NM away it is no mountain of this region's.
    const double far = std::round(25.0 / 60.0 / std::cos(40.0 * 3.14159265 / 180.0) * 240.0) / 240.0;
    EXPECT_EQ(region_minimum(peak(far, 1100.0).terrain, disc(middle, 2.0), allowance).most->clearance,
              Length::feet(1000.0));
}

TEST(CaseRegionMinimum, UnknownGroundIsSaidAndNeverTakenForSea) {
    // West of the middle nothing is known.
    const DrawnGround half(middle, 3, [](double, double longitude) {
        return longitude < middle.longitude_deg() - 1e-9 ? std::nullopt : std::optional(100.0);
    });
    const auto astride = region_minimum(half.terrain, disc(middle, 2.0), allowance);
    EXPECT_NEAR(astride.unknown, 0.5, 0.15);
    EXPECT_NEAR(astride.most->ground.metres(), 100.0, 1e-6);
    // All of it known, but not what lies about it: it may be mountains.
    const Position east = Position::degrees(40.0, -169.85);
    const auto near = region_minimum(half.terrain, disc(east, 2.0), allowance);
    EXPECT_EQ(near.unknown, 0.0);
    EXPECT_EQ(near.most->clearance, Length::feet(2000.0));
    const auto none = region_minimum(earth::Terrain(), disc(middle, 2.0), allowance);
    EXPECT_EQ(none.unknown, 1.0);
    EXPECT_FALSE(none.most);
}

}  // namespace

// The corridor of a leg across a region is looked at by other code (earth/corridor.hpp): its ground is the region's too. Whether it is mountains need not be
// the same: the corridor's ten miles are turned with it, and longer at its ends.
RC_GTEST_PROP(LawRegionMinimum, ClearsAllGroundOfALegAcrossTheRegion, ()) {
    const double rough_m = *between(100.0, 900.0);
    const double phase = *between(0.0, 6.0);
    const DrawnGround ground(middle, 4, [=](double latitude, double longitude) {
        return std::optional(1000.0 +
                             rough_m * std::sin(phase + latitude * 40.0) * std::cos(longitude * 33.0));
    });
    const double radius_nm = *between(6.0, 12.0);
    // The leg with its 4 NM either side and round its ends.
    const auto direction = TrueBearing::degrees(*between(0.0, 360.0));
    const Length half = Length::nautical_miles(radius_nm * 0.95 - 4.0);
    Settings settings;
    const auto leg = off_airway_minimum(navdata::Snapshot::build({}).value, ground.ground(), settings,
                                        earth::destination(middle, direction, half),
                                        earth::destination(middle, direction.reciprocal(), half), {});
    RC_ASSERT(leg.from == MinimumFrom::ground);
    const auto region = region_minimum(ground.terrain, disc(middle, radius_nm), settings.obstacle_allowance);
    RC_ASSERT(region.most.has_value());
    RC_ASSERT(*region.highest >= leg.ground->ground);
    RC_ASSERT(region.most->altitude >=
              leg.ground->ground + settings.obstacle_allowance + Length::feet(1000.0));
    RC_CLASSIFY(leg.ground->clearance > Length::feet(1000.0), "mountains along the leg");
    RC_CLASSIFY(region.most->altitude >= *leg.altitude, "no lower than the leg");
}

}  // namespace omniway::flight
