#include "plan/safe_altitude.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/random_positions.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using earth::Position;
using omniway::testing::At;
using omniway::testing::between;
using omniway::testing::DrawnGround;
using omniway::testing::magnetic_model;
using omniway::testing::Sketch;
using ::testing::HasSubstr;

namespace {

using Ring = std::vector<Position>;

constexpr Length allowance = Length::feet(200.0);
const Altitude present = Altitude::feet(5000.0);
const Position origin = Position::degrees(40.0, -170.0);

SafeAltitude safe_over(const navdata::Snapshot& world, const std::vector<Ring>& rings,
                       const earth::Terrain* terrain = nullptr) {
    const earth::LocalFrame frame(rings.front().front());
    return safe_altitude(world, terrain, magnetic_model(), earth::DecimalYear{2026.0}, {frame, rings},
                         present, allowance);
}
const SafeCandidate& of(const SafeAltitude& safe, SafeBy by) {
    return *std::find_if(safe.looked_at.begin(), safe.looked_at.end(),
                         [by](const SafeCandidate& each) { return each.by == by; });
}

struct SectorDrawn {
    double from_deg;
    double to_deg;
    double altitude_ft;
    double radius_nm = 25.0;
};
// XAB at the origin, its north ten degrees east of the true one, and one about it.
Sketch with_sectors(const std::vector<SectorDrawn>& sectors) {
    Sketch sketch;
    sketch.vor("XAB", {0, 0}, {.declination_deg = 10.0});
    navdata::MinimumSectorAltitude published{"XARR", sketch.name("XAB"), {}, {}};
    for (const SectorDrawn& each : sectors) {
        published.sectors.push_back(
            {base::MagneticBearing::degrees(each.from_deg), base::MagneticBearing::degrees(each.to_deg),
             Altitude::feet(each.altitude_ft), Length::nautical_miles(each.radius_nm)});
    }
    sketch.records().sector_altitudes.push_back(published);
    return sketch;
}

Ring square(const Sketch& sketch, At middle, double half_nm = 1.0) {
    return {sketch.at({middle.east_nm - half_nm, middle.north_nm + half_nm}),
            sketch.at({middle.east_nm + half_nm, middle.north_nm + half_nm}),
            sketch.at({middle.east_nm + half_nm, middle.north_nm - half_nm}),
            sketch.at({middle.east_nm - half_nm, middle.north_nm - half_nm})};
}

// A place so far from the origin on a radial of XAB, and a small square about it.
At on_radial(double radial_deg, double nm) {
    const double true_rad = (radial_deg + 10.0) * std::numbers::pi / 180.0;
    return {nm * std::sin(true_rad), nm * std::cos(true_rad)};
}

}  // namespace

// trade-facts 13.11: bearings magnetic, to the centre. On the 090 radial (FROM) the bearing TO the centre is 270.
TEST(TruthSectorAltitude, BearingsCountToTheCentreByTheNorthOfItsVor) {
    const Sketch sketch = with_sectors({{180, 360, 4000}, {0, 180, 7000}});
    const auto world = sketch.world();
    const SafeAltitude east = safe_over(world, {square(sketch, on_radial(90, 15))});
    EXPECT_EQ(east.altitude, Altitude::feet(4000));
    EXPECT_EQ(east.by, SafeBy::sector);
    EXPECT_NEAR(east.above->feet(), 1000.0, 1e-6);
    ASSERT_NE(east.taken(), nullptr);
    EXPECT_THAT(east.taken()->says,
                HasSubstr("MSA XAB of XARR: 4000 ft within 25 NM (bearings to it 180-360 4000 ft)"));
    const SafeAltitude west = safe_over(world, {square(sketch, on_radial(270, 15))});
    EXPECT_EQ(west.altitude, Altitude::feet(7000));
    EXPECT_NEAR(west.above->feet(), -2000.0, 1e-6);
    // A square of two miles at 20 NM is seen under eight degrees or less: 352 and four to either side, and three of doubt. By true north it would be 002, and in
    // both.
    EXPECT_EQ(safe_over(world, {square(sketch, on_radial(172, 20))}).altitude, Altitude::feet(4000));
    EXPECT_EQ(safe_over(world, {square(sketch, on_radial(176, 20))}).altitude, Altitude::feet(7000));
}

TEST(LawSectorAltitude, ARegionRoundTheCentreAsksTheHighestOfAllSectors) {
    const Sketch sketch = with_sectors({{0, 120, 3000}, {120, 240, 8000}, {240, 360, 4000}});
    EXPECT_EQ(safe_over(sketch.world(), {square(sketch, {0, 0}, 3.0)}).altitude, Altitude::feet(8000));
    EXPECT_EQ(safe_over(sketch.world(), {square(sketch, on_radial(240, 15))}).altitude, Altitude::feet(3000));
}

// The circle by a geodesic of its own: on the sphere of the mean radius (haversine), good to 0.3 %.
TEST(TruthSectorAltitude, OneCornerOutsideTheCircleAndItIsNotUsed) {
    const Sketch sketch = with_sectors({{180, 180, 4000}});
    const auto world = sketch.world();
    const auto haversine_nm = [](Position a, Position b) {
        constexpr double radians = std::numbers::pi / 180.0;
        const double up = std::sin((b.latitude_deg() - a.latitude_deg()) * radians / 2.0);
        const double aside = std::sin((b.longitude_deg() - a.longitude_deg()) * radians / 2.0);
        const double h = up * up + std::cos(a.latitude_deg() * radians) *
                                       std::cos(b.latitude_deg() * radians) * aside * aside;
        return 2.0 * 6371008.8 * std::asin(std::sqrt(h)) / 1852.0;
    };
    for (std::size_t corner = 0; corner < 4; ++corner) {
        const auto outward = base::TrueBearing::degrees(315.0 + 90.0 * static_cast<double>(corner));
        Ring ring = square(sketch, {0, 0}, 10.0);
        ring[corner] = earth::destination(origin, outward, Length::nautical_miles(24.8));
        EXPECT_LT(haversine_nm(origin, ring[corner]), 25.0);
        EXPECT_EQ(safe_over(world, {ring}).altitude, Altitude::feet(4000)) << corner;
        ring[corner] = earth::destination(origin, outward, Length::nautical_miles(25.2));
        EXPECT_GT(haversine_nm(origin, ring[corner]), 25.0);
        const SafeAltitude out = safe_over(world, {ring});
        EXPECT_FALSE(out.altitude) << corner;
        EXPECT_FALSE(out.at_least);  // of a circle that does not hold it nothing follows
        EXPECT_FALSE(out.above);
        EXPECT_THAT(of(out, SafeBy::sector).says,
                    HasSubstr("the region reaches 25.2 NM from XAB, and it counts within 25 NM"));
    }
    // Two places apart, one of them outside.
    EXPECT_FALSE(safe_over(world, {square(sketch, {0, 0}), square(sketch, {40, 0})}).altitude);
    EXPECT_THAT(of(safe_over(world, {square(sketch, {60, 0})}), SafeBy::sector).says, HasSubstr("no MSA"));
}

TEST(LawSectorAltitude, AHoleBetweenSectorsRefusesIt) {
    const Sketch sketch = with_sectors({{0, 90, 3000}, {180, 360, 4000}});
    const SafeAltitude hole = safe_over(sketch.world(), {square(sketch, on_radial(315, 15))});
    EXPECT_FALSE(hole.altitude);
    EXPECT_THAT(of(hole, SafeBy::sector).says, HasSubstr("part of the region lies in none of its sectors"));
    // An inner ring and an outer one: beyond the inner one the outer counts, and the highest of both.
    const Sketch rings = with_sectors({{180, 180, 3000, 10}, {180, 180, 5000, 25}});
    EXPECT_EQ(safe_over(rings.world(), {square(rings, {15, 0})}).altitude, Altitude::feet(5000));
}

// A whole circle, in one or in several sectors, has no hole, wherever a region begins and ends; from 15 NM on, where the bearings of a square are few.
RC_GTEST_PROP(LawSectorAltitude, ACircleOfSectorsHasNoHole, ()) {
    const auto count = *rc::gen::inRange(1, 6);
    const int first = *rc::gen::inRange(0, 361);
    std::vector<SectorDrawn> sectors;
    for (int i = 0; i < count; ++i) {
        const auto bound = [&](int k) { return static_cast<double>((first + 360 * k / count) % 360); };
        sectors.push_back({bound(i), bound(i + 1), 4000});
    }
    const Sketch sketch = with_sectors(sectors);
    const double toward_deg = *rc::gen::inRange(0, 2) == 0 ? first + 180.0 : *between(0.0, 360.0);
    const SafeAltitude safe =
        safe_over(sketch.world(), {square(sketch, on_radial(toward_deg, *between(0.0, 20.0)))});
    RC_ASSERT(safe.altitude == Altitude::feet(4000));
}

TEST(LawSectorAltitude, OfSeveralThatHoldTheRegionTheLowestIsTaken) {
    Sketch sketch = with_sectors({{180, 180, 6000}});
    sketch.vor("XCD", {10, 0});
    sketch.records().sector_altitudes.push_back(
        {"XOTH",
         sketch.name("XCD"),
         {{base::MagneticBearing::degrees(180), base::MagneticBearing::degrees(180), Altitude::feet(4500),
           Length::nautical_miles(25)}},
         {}});
    EXPECT_EQ(safe_over(sketch.world(), {square(sketch, {5, 0})}).altitude, Altitude::feet(4500));
    EXPECT_EQ(safe_over(sketch.world(), {square(sketch, {-20, 0})}).altitude, Altitude::feet(6000));
}

// Four cells meet at the origin; a region a mile inside one of them reaches into each neighbour by one corner.
TEST(LawGridMinimumOverARegion, EachCornerThatIsMovedIntoACellBringsItsMinimum) {
    Sketch sketch;
    auto& cells = sketch.records().grid_minimums;
    cells = {{40, -170, Altitude::feet(3000), {}},
             {40, -171, Altitude::feet(5000), {}},
             {39, -170, Altitude::feet(7000), {}},
             {39, -171, Altitude::feet(9000), {}}};
    const auto world = sketch.world();
    const Ring inside = square(sketch, {5, 5}, 3.0);  // corners NW NE SE SW
    EXPECT_EQ(safe_over(world, {inside}).altitude, Altitude::feet(3000));
    EXPECT_EQ(safe_over(world, {inside}).by, SafeBy::grid);
    const auto moved = [&](std::size_t corner, At to) {
        Ring ring = inside;
        ring[corner] = sketch.at(to);
        return safe_over(world, {ring}).altitude;
    };
    EXPECT_EQ(moved(0, {-2, 8}), Altitude::feet(5000));
    EXPECT_EQ(moved(1, {20, 20}), Altitude::feet(3000));
    EXPECT_EQ(moved(2, {8, -2}), Altitude::feet(7000));
    EXPECT_EQ(moved(3, {-2, -2}), Altitude::feet(9000));
    // All round it, and a cell that it touches nowhere with a corner.
    EXPECT_EQ(safe_over(world, {square(sketch, {0, 0}, 40.0)}).altitude, Altitude::feet(9000));
    cells.erase(cells.begin() + 3);
    const auto lacking = sketch.world();
    Ring ring = inside;
    ring[3] = sketch.at({-2, -2});
    const SafeAltitude unknown = safe_over(lacking, {ring});
    EXPECT_FALSE(unknown.altitude);
    EXPECT_EQ(unknown.at_least, Altitude::feet(7000));
    EXPECT_NEAR(unknown.above->feet(), -2000.0, 1e-6);
    EXPECT_THAT(of(unknown, SafeBy::grid).says, HasSubstr("grid MORA unknown in N39W171"));
    EXPECT_EQ(safe_over(lacking, {inside}).altitude, Altitude::feet(3000));
}

TEST(CaseGridMinimumOverARegion, TheAntimeridianIsNoEdge) {
    Sketch sketch(Position::degrees(-16.5, 180.0));
    sketch.records().grid_minimums = {{-17, 179, Altitude::feet(3000), {}},
                                      {-17, -180, Altitude::feet(5000), {}}};
    EXPECT_EQ(safe_over(sketch.world(), {square(sketch, {0, 0}, 3.0)}).altitude, Altitude::feet(5000));
    EXPECT_EQ(safe_over(sketch.world(), {square(sketch, {-9, 0}, 3.0)}).altitude, Altitude::feet(3000));
}

TEST(CaseSafeAltitude, TheLowestThatCoversIsOfferedAndAPublishedOneBelowTheGroundIsNot) {
    const DrawnGround ground(origin, 2, [](double, double) { return std::optional(1000.0); });
    Sketch sketch = with_sectors({{180, 180, 6000}});
    // Ground 3,281 ft + 200 + 1,000: 4,500.
    const auto world = sketch.world();
    const SafeAltitude by_ground = safe_over(world, {square(sketch, {3, 3})}, &ground.terrain);
    EXPECT_EQ(by_ground.by, SafeBy::ground);
    EXPECT_NEAR(by_ground.altitude->feet(), 4500.0, 1e-6);
    EXPECT_THAT(by_ground.taken()->says, HasSubstr("ground 3281 ft + 200 + 1000: 4500 ft"));
    // Grid below it, but over the ground by a thousand: what is published is taken as it is.
    sketch.grid(4300);
    EXPECT_EQ(safe_over(sketch.world(), {square(sketch, {3, 3})}, &ground.terrain).altitude,
              Altitude::feet(4300));
    for (navdata::GridMinimum& cell : sketch.records().grid_minimums) {
        cell.altitude = Altitude::feet(4200);
    }
    const SafeAltitude lied = safe_over(sketch.world(), {square(sketch, {3, 3})}, &ground.terrain);
    EXPECT_EQ(lied.by, SafeBy::ground);
    EXPECT_THAT(of(lied, SafeBy::grid).says, HasSubstr("not taken: the ground there rises to 3281 ft"));
}

TEST(CaseSafeAltitude, UnknownGroundMakesItALowerBoundAndNoMore) {
    const DrawnGround half(origin, 2, [](double, double longitude) {
        return longitude < -170.0 - 1e-9 ? std::nullopt : std::optional(1000.0);
    });
    Sketch sketch;
    const SafeAltitude safe = safe_over(sketch.world(), {square(sketch, {0, 0}, 3.0)}, &half.terrain);
    EXPECT_FALSE(safe.altitude);
    EXPECT_EQ(safe.by, std::nullopt);
    EXPECT_EQ(safe.taken(), nullptr);
    // The unknown may be mountains.
    EXPECT_NEAR(safe.at_least->feet(), 5500.0, 1e-6);
    EXPECT_THAT(of(safe, SafeBy::ground).says, HasSubstr("% of the region is not known"));
    const SafeAltitude nothing = safe_over(sketch.world(), {square(sketch, {0, 0}, 3.0)});
    EXPECT_FALSE(nothing.altitude);
    EXPECT_FALSE(nothing.at_least);
    EXPECT_FALSE(nothing.above);
    EXPECT_THAT(of(nothing, SafeBy::ground).says, HasSubstr("no terrain"));
}

// Every node of drawn hills inside the region against what is offered, whoever says it.
RC_GTEST_PROP(BruteSafeAltitude, IsNeverBelowAnyKnownGroundOfTheRegionAndItsClearance, ()) {
    const double rough_m = *between(0.0, 1500.0);
    const double phase = *between(0.0, 6.0);
    const bool holes = *rc::gen::arbitrary<bool>();
    const auto height = [=](double latitude, double longitude) {
        const double metres =
            1600.0 + rough_m * std::sin(phase + latitude * 60.0) * std::cos(longitude * 45.0);
        return holes && std::sin(latitude * 50.0 + longitude * 30.0) > 0.97 ? std::nullopt
                                                                            : std::optional(metres);
    };
    const DrawnGround ground(origin, 3, height);
    Sketch sketch =
        with_sectors({{0, 150, *between(3000.0, 20000.0)}, {150, 360, *between(3000.0, 20000.0)}});
    sketch.grid(*between(3000.0, 20000.0), 2);
    Ring ring;
    const Position middle = sketch.at({*between(-8.0, 8.0), *between(-8.0, 8.0)});
    for (int i = 0; i < 7; ++i) {
        ring.push_back(earth::destination(middle, base::TrueBearing::degrees(360.0 * i / 7),
                                          Length::nautical_miles(*between(0.5, 9.0))));
    }
    const earth::LocalFrame frame(middle);
    const SafeAltitude safe = safe_over(sketch.world(), {ring}, &ground.terrain);
    RC_CLASSIFY(!safe.altitude, "none is known");
    RC_CLASSIFY(safe.by == SafeBy::ground, "by the ground");
    RC_CLASSIFY(safe.by == SafeBy::sector, "by a sector");
    RC_CLASSIFY(safe.by == SafeBy::grid, "by the grid");
    const auto bound = safe.altitude ? safe.altitude : safe.at_least;
    RC_ASSERT(bound.has_value());
    // By crossings of a line to the east, in latitude and longitude: not on the plane that it was reckoned on.
    const auto is_inside = [&](Position place) {
        bool inside = false;
        for (std::size_t i = 0; i < ring.size(); ++i) {
            const Position& a = ring[i];
            const Position& b = ring[(i + 1) % ring.size()];
            if ((a.latitude_deg() > place.latitude_deg()) != (b.latitude_deg() > place.latitude_deg())) {
                const double share =
                    (place.latitude_deg() - a.latitude_deg()) / (b.latitude_deg() - a.latitude_deg());
                inside ^= place.longitude_deg() <
                          a.longitude_deg() + share * (b.longitude_deg() - a.longitude_deg());
            }
        }
        return inside;
    };
    for (int row = -75; row <= 75; ++row) {
        for (int column = -100; column <= 100; ++column) {
            const Position node = Position::degrees(40.0 + row / 240.0, -170.0 + column / 240.0);
            if (!is_inside(node)) {
                continue;
            }
            const auto metres = height(node.latitude_deg(), node.longitude_deg());
            if (!metres) {
                RC_ASSERT(safe.by != SafeBy::ground);
                continue;
            }
            const bool with_allowance = !safe.by || *safe.by == SafeBy::ground;
            RC_ASSERT(*bound >= Altitude::metres(std::round(*metres)) + Length::feet(1000.0) +
                                    (with_allowance ? allowance : Length()));
        }
    }
}

}  // namespace omniway::plan
