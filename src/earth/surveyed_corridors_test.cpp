#include "earth/surveyed_corridors.hpp"

#include <gtest/gtest.h>

namespace omniway::earth {
namespace {

using base::Length;

// A slope that rises northward, 20 m a node.
Terrain slope() {
    const auto load = [](TerrainBlock) {
        TerrainTile tile{31, std::vector<std::int16_t>(31 * 31)};
        for (int row = 0; row < 31; ++row) {
            for (int column = 0; column < 31; ++column) {
                tile.metres[static_cast<std::size_t>(row * 31 + column)] =
                    static_cast<std::int16_t>(20 * row);
            }
        }
        return std::optional(tile);
    };
    std::vector<TerrainBlock> blocks;
    for (int south = 158; south < 164; ++south) {
        for (int west = -680; west < -670; ++west) {
            blocks.push_back({south, west});
        }
    }
    return {blocks, load};
}

const Position from = Position::degrees(40.1, -169.5);
const Position to = Position::degrees(40.2, -168.9);

void expect_same(const std::vector<GroundSlice>& a, const std::vector<GroundSlice>& b) {
    ASSERT_EQ(a.size(), b.size());
    for (std::size_t i = 0; i < a.size(); ++i) {
        EXPECT_EQ(a[i].from, b[i].from);
        EXPECT_EQ(a[i].highest, b[i].highest);
        EXPECT_EQ(a[i].lowest, b[i].lowest);
        EXPECT_EQ(a[i].highest_at, b[i].highest_at);
        EXPECT_EQ(a[i].known, b[i].known);
    }
}

TEST(LawSurveyedCorridors, WhatIsRememberedIsWhatALookWouldGive) {
    const Terrain terrain = slope();
    SurveyedCorridors corridors;
    for (const double wide_nm : {4.0, 6.0, 4.0}) {
        const std::vector<HalfWidth> widths{{Length(), Length::nautical_miles(4.0)},
                                            {Length::nautical_miles(20.0), Length::nautical_miles(wide_nm)}};
        expect_same(*corridors.of(terrain, from, to, widths), ground_in_corridor(terrain, from, to, widths));
    }
    EXPECT_EQ(corridors.size(), 2U);
}

TEST(LawSurveyedCorridors, OneThatIsAsWideEverywhereIsOneWhereverItsWidthsAreGiven) {
    const Terrain terrain = slope();
    SurveyedCorridors corridors;
    const Length wide = Length::nautical_miles(4.0);
    const std::vector<HalfWidth> early{{Length(), wide}, {Length::nautical_miles(10.0), wide}};
    const std::vector<HalfWidth> late{{Length(), wide}, {Length::nautical_miles(17.0), wide}};
    const auto one = corridors.of(terrain, from, to, early);
    EXPECT_EQ(one, corridors.of(terrain, from, to, late));
    expect_same(*one, ground_in_corridor(terrain, from, to, late));
    corridors.of(terrain, to, from, late);
    EXPECT_EQ(corridors.size(), 2U);
}

}  // namespace
}  // namespace omniway::earth
