#include "earth/squared_region.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <optional>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/random_positions.hpp"

namespace omniway::earth {
namespace {

using base::Length;
using omniway::testing::between;

// Seen from its middle every corner is in sight: what lies between the middle and an edge is inside, by construction.
struct Star {
    Position middle;
    std::vector<Position> ring;

    std::vector<PlanePoint> on(const LocalFrame& frame) const {
        std::vector<PlanePoint> all;
        for (const Position& corner : ring) {
            all.push_back(frame.to_plane(corner));
        }
        return all;
    }
    // `share` of the way from the middle to a place of edge `edge`, `along` of it.
    PlanePoint inside(const LocalFrame& frame, std::size_t edge, double along, double share) const {
        const PlanePoint centre = frame.to_plane(middle);
        const PlanePoint a = frame.to_plane(ring[edge]);
        const PlanePoint b = frame.to_plane(ring[(edge + 1) % ring.size()]);
        const double east_m = a.east_m + along * (b.east_m - a.east_m);
        const double north_m = a.north_m + along * (b.north_m - a.north_m);
        return {centre.east_m + share * (east_m - centre.east_m),
                centre.north_m + share * (north_m - centre.north_m)};
    }
};

Star star_about(Position middle, double least_nm, double most_nm) {
    Star star{middle, {}};
    const int corners = *rc::gen::inRange(3, 12);
    for (int i = 0; i < corners; ++i) {
        const auto direction = base::TrueBearing::degrees(360.0 * i / corners);
        star.ring.push_back(
            destination(middle, direction, Length::nautical_miles(*between(least_nm, most_nm))));
    }
    return star;
}

// Ground by a function of the place, metres, in quarter degrees about a place: nodes every 15 arc-seconds.
template <class Height>
Terrain drawn_about(Position middle, Height height) {
    const TerrainBlock home = block_of(middle);
    std::vector<TerrainBlock> blocks;
    for (int row = -2; row <= 2; ++row) {
        for (int column = -2; column <= 2; ++column) {
            blocks.push_back(
                {home.south_quarters + row, (home.west_quarters + column + 720 + 1440) % 1440 - 720});
        }
    }
    std::sort(blocks.begin(), blocks.end());
    return Terrain(blocks, [height](TerrainBlock block) {
        TerrainTile tile{.nodes_per_side = 61, .metres = {}};
        for (int row = 0; row <= 60; ++row) {
            for (int column = 0; column <= 60; ++column) {
                const auto metres = height((block.south_quarters + row / 60.0) * 0.25,
                                           (block.west_quarters + column / 60.0) * 0.25);
                tile.metres.push_back(metres ? static_cast<std::int16_t>(std::lround(*metres))
                                             : unknown_ground);
            }
        }
        return std::optional(tile);
    });
}

PlaneSquare holding(const SquaredRegion& region, PlanePoint place) {
    return {static_cast<int>(std::floor(place.north_m / region.side_m)),
            static_cast<int>(std::floor(place.east_m / region.side_m))};
}
bool holds(const SquaredRegion& region, PlanePoint place) {
    return std::binary_search(region.squares.begin(), region.squares.end(), holding(region, place));
}

double from_edge_m(PlanePoint place, PlanePoint a, PlanePoint b) {
    const double east = b.east_m - a.east_m;
    const double north = b.north_m - a.north_m;
    const double share = std::clamp(((place.east_m - a.east_m) * east + (place.north_m - a.north_m) * north) /
                                        (east * east + north * north),
                                    0.0, 1.0);
    return std::hypot(place.east_m - a.east_m - share * east, place.north_m - a.north_m - share * north);
}

// By the angle that its edges are seen under: a whole turn from inside. Not the rule that squared() goes by.
bool is_inside(const std::vector<PlanePoint>& ring, PlanePoint place) {
    double turned = 0.0;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        const PlanePoint a = ring[i];
        const PlanePoint b = ring[(i + 1) % ring.size()];
        turned += std::remainder(std::atan2(b.north_m - place.north_m, b.east_m - place.east_m) -
                                     std::atan2(a.north_m - place.north_m, a.east_m - place.east_m),
                                 2.0 * std::numbers::pi);
    }
    return std::abs(turned) > std::numbers::pi;
}

double from_region_m(const std::vector<PlanePoint>& ring, PlanePoint place) {
    if (is_inside(ring, place)) {
        return 0.0;
    }
    double nearest = 1e12;
    for (std::size_t i = 0; i < ring.size(); ++i) {
        nearest = std::min(nearest, from_edge_m(place, ring[i], ring[(i + 1) % ring.size()]));
    }
    return nearest;
}

}  // namespace

RC_GTEST_PROP(LawSquaredRegion, HoldsAllOfARegionAndNothingFarFromIt, ()) {
    const Position middle = Position::degrees(*between(-65.0, 65.0), *between(-180.0, 180.0));
    const Star star = star_about(middle, 0.1, 15.0);
    const LocalFrame frame(destination(middle, base::TrueBearing::degrees(*between(0.0, 360.0)),
                                       Length::nautical_miles(*between(0.0, 100.0))));
    const Length side = Length::nautical_miles(*between(0.2, 2.0));
    const Length by = Length::nautical_miles(*between(0.0, 5.0));
    const SquaredRegion region = squared(frame, {star.ring}, side);
    const SquaredRegion more = grown(region, Length::nautical_miles(1.0), by);
    for (int i = 0; i < 100; ++i) {
        const auto edge = *rc::gen::inRange<std::size_t>(0, star.ring.size());
        const PlanePoint place = star.inside(frame, edge, *between(0.0, 1.0), *between(0.0, 1.0));
        RC_ASSERT(holds(region, place));
        const double direction = *between(0.0, 2.0 * std::numbers::pi);
        const double away_m = by.metres() * *between(0.0, 1.0);
        RC_ASSERT(holds(more, {place.east_m + away_m * std::sin(direction),
                               place.north_m + away_m * std::cos(direction)}));
    }
    const auto ring = star.on(frame);
    for (const PlaneSquare& square : region.squares) {
        RC_ASSERT(from_region_m(ring, region.corner(square)) <= 3.0 * 1.42 * side.metres());
    }
    RC_ASSERT(std::is_sorted(region.squares.begin(), region.squares.end()));
}

TEST(CaseSquaredRegion, AHoleIsNoPartOfIt) {
    const Position middle = Position::degrees(40.0, -170.0);
    const LocalFrame frame(middle);
    const auto square_about = [&](double half_nm) {
        std::vector<Position> ring;
        for (const double direction : {45.0, 135.0, 225.0, 315.0}) {
            ring.push_back(destination(middle, base::TrueBearing::degrees(direction),
                                       Length::nautical_miles(half_nm * std::numbers::sqrt2)));
        }
        return ring;
    };
    auto hole = square_about(5.0);
    std::reverse(hole.begin(), hole.end());
    const SquaredRegion region = squared(frame, {square_about(10.0), hole}, Length::nautical_miles(0.5));
    const auto holds_east = [&](double east_nm) {
        return holds(region, frame.to_plane(destination(middle, base::TrueBearing::degrees(90.0),
                                                        Length::nautical_miles(east_nm))));
    };
    EXPECT_FALSE(holds_east(0.0));
    EXPECT_TRUE(holds_east(7.0));
    EXPECT_FALSE(holds_east(12.0));
}

TEST(CaseSquaredRegion, ItsExtentIsItsLongestDiagonal) {
    const Position middle = Position::degrees(40.0, -170.0);
    std::vector<Position> ring;
    for (const double direction : {10.0, 60.0, 190.0, 240.0}) {
        ring.push_back(
            destination(middle, base::TrueBearing::degrees(direction),
                        Length::nautical_miles(direction == 10.0 || direction == 190.0 ? 6.0 : 2.0)));
    }
    // Half of one percent, as the header says.
    EXPECT_NEAR(extent_of(LocalFrame(middle), {ring}).nautical_miles(), 12.0, 0.06);
    EXPECT_EQ(squared(LocalFrame(middle), {}, Length::nautical_miles(1.0)).squares.size(), 0U);
}

// Hills of some hundred metres, differently high everywhere, and a hole in them.
RC_GTEST_PROP(BruteGroundInSquares, NoNodeOfTheRegionIsHigherOrLowerThanWhatIsSaid, ()) {
    const double longitude = *rc::gen::element(-170.0, 179.99);
    const Position middle = Position::degrees(40.03, longitude);
    const auto height = [](double latitude_deg, double longitude_deg) {
        const double east_deg = longitude_deg < 0.0 ? longitude_deg + 360.0 : longitude_deg;
        const double metres = 900.0 + 400.0 * std::sin(latitude_deg * 70.0) * std::cos(east_deg * 55.0) +
                              90.0 * std::sin(latitude_deg * 900.0 + east_deg * 700.0);
        const bool hole =
            std::abs(latitude_deg - 40.1) < 0.01 && std::abs(std::remainder(east_deg, 0.3)) < 0.02;
        return hole ? std::nullopt : std::optional(metres);
    };
    const Terrain terrain = drawn_about(middle, height);
    const Star star = star_about(middle, 0.3, 4.0);
    const LocalFrame frame(middle);
    const double side_m = 463.0;
    const SquaredRegion region = squared(frame, {star.ring}, Length::metres(side_m));
    const auto ring = star.on(frame);
    const auto ground = ground_in(terrain, region);
    RC_ASSERT(ground.size() == region.squares.size());
    // Every node of the terrain about it, each into the square that holds it.
    std::optional<double> highest;
    std::optional<double> highest_near;
    bool hole = false;
    for (int row = -26; row <= 26; ++row) {
        for (int column = -34; column <= 34; ++column) {
            const double latitude = std::round(40.03 * 240.0 + row) / 240.0;
            double east = std::round(longitude * 240.0 + column) / 240.0;
            east = east >= 180.0 ? east - 360.0 : east;
            const auto metres = height(latitude, east);
            const PlanePoint place = frame.to_plane(Position::degrees(latitude, east));
            const double away_m = from_region_m(ring, place);
            if (metres && away_m <= 3.0 * 1.42 * side_m + 1000.0) {
                highest_near = std::max(highest_near.value_or(0.0), std::round(*metres));
            }
            const auto found =
                std::lower_bound(region.squares.begin(), region.squares.end(), holding(region, place));
            if (found == region.squares.end() || *found != holding(region, place)) {
                RC_ASSERT(away_m > 0.0);
                continue;
            }
            const GroundInSquare& seen = ground[static_cast<std::size_t>(found - region.squares.begin())];
            if (!metres) {
                hole = true;
                RC_ASSERT(!seen.known);
                continue;
            }
            RC_ASSERT(seen.highest->metres() >= std::round(*metres) - 1e-6);
            RC_ASSERT(seen.lowest->metres() <= std::round(*metres) + 1e-6);
            highest = std::max(highest.value_or(0.0), std::round(*metres));
        }
    }
    std::optional<double> said;
    for (const GroundInSquare& seen : ground) {
        if (seen.highest) {
            said = std::max(said.value_or(0.0), seen.highest->metres());
        }
    }
    RC_ASSERT(said.value_or(0.0) >= highest.value_or(0.0));
    RC_ASSERT(said.value_or(0.0) <= highest_near.value_or(0.0) + 1e-6);
    RC_TAG(hole ? "unknown ground in it" : "all known");
}

TEST(CaseGroundInSquares, WhereNoTileIsNothingIsKnown) {
    const Position middle = Position::degrees(40.0, -170.0);
    const std::vector<Position> ring{
        middle, destination(middle, base::TrueBearing::degrees(0), Length::nautical_miles(1)),
        destination(middle, base::TrueBearing::degrees(90), Length::nautical_miles(1))};
    for (const GroundInSquare& seen :
         ground_in(Terrain(), squared(LocalFrame(middle), {ring}, Length::nautical_miles(0.25)))) {
        EXPECT_FALSE(seen.known);
        EXPECT_FALSE(seen.highest);
    }
}

}  // namespace omniway::earth
