#include <atomic>
#include <cmath>
#include <map>
#include <mutex>
#include <thread>

#include <gtest/gtest.h>

#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "radio/detail/antenna_frame.hpp"
#include "radio/horizon.hpp"

namespace omniway::radio {
namespace {

using base::Length;
using earth::Position;

// GeographicLib's geodesic is the truth; the bounds are those of the header of Horizon.
TEST(TruthAntennaFrame, AgreesWithTheGeodesicUpTo200MilesAtPolesAndTheDateLineToo) {
    for (const auto& [latitude, longitude] :
         {std::pair{0.0, 0.0}, std::pair{47.0, 8.0}, std::pair{-33.0, 179.9}, std::pair{70.0, -179.95},
          std::pair{-88.5, 20.0}, std::pair{89.5, 0.0}}) {
        const Position antenna = Position::degrees(latitude, longitude);
        const detail::AntennaFrame frame(antenna);
        for (double direction = 0.5; direction < 360.0; direction += 7.0) {
            for (const double nm : {0.1, 5.0, 60.0, 200.0}) {
                const Position place = earth::destination(antenna, base::TrueBearing::degrees(direction),
                                                          Length::nautical_miles(nm));
                const auto polar = frame.polar(place);
                EXPECT_NEAR(polar.distance_m, nm * 1852.0, 1e-5 * nm * 1852.0)
                    << latitude << " " << direction << " " << nm;
                EXPECT_NEAR(polar.direction_rad * 180.0 / 3.14159265358979, direction, 0.001)
                    << latitude << " " << direction << " " << nm;
            }
        }
    }
}

earth::Terrain plain() {
    return earth::Terrain({{40, 80}, {40, 81}}, [](earth::TerrainBlock) {
        return earth::TerrainTile{31, std::vector<std::int16_t>(961, 100)};
    });
}

Antenna antenna(int k) {
    return {Position::degrees(10.1, 20.1 + 0.01 * k), base::Altitude::metres(120.0)};
}

TEST(LawHorizons, ManyThreadsThatAskForOneHorizonMakeItOnce) {
    std::atomic<int> saved = 0;
    const Horizons horizons(plain(), {{}, [&](const std::string&, std::span<const std::byte>) { ++saved; }});
    std::vector<std::shared_ptr<const Horizon>> found(8);
    {
        std::vector<std::jthread> threads;
        for (std::size_t thread = 0; thread < found.size(); ++thread) {
            threads.emplace_back(
                [&, thread] { found[thread] = horizons.of(antenna(1), Length::nautical_miles(20)); });
        }
    }
    EXPECT_EQ(saved, 1);
    for (const auto& horizon : found) {
        EXPECT_EQ(horizon, found[0]);
    }
}

TEST(LawHorizons, WhatWasKeptIsNotMadeAgainAndWhatIsGarbledIs) {
    std::map<std::string, std::vector<std::byte>> kept;
    int saved = 0;
    const HorizonKeeper keeper = {
        [&](const std::string& key) { return kept.contains(key) ? std::optional(kept[key]) : std::nullopt; },
        [&](const std::string& key, std::span<const std::byte> bytes) {
            kept[key].assign(bytes.begin(), bytes.end());
            ++saved;
        }};
    const auto first = Horizons(plain(), keeper).of(antenna(1), Length::nautical_miles(20));
    const auto second = Horizons(plain(), keeper).of(antenna(1), Length::nautical_miles(20));
    EXPECT_EQ(saved, 1);
    const Position place = Position::degrees(10.2, 20.3);
    EXPECT_EQ(first->lowest_seen(place), second->lowest_seen(place));
    kept.begin()->second.resize(100);
    EXPECT_EQ(Horizons(plain(), keeper).of(antenna(1), Length::nautical_miles(20))->lowest_seen(place),
              first->lowest_seen(place));
    EXPECT_EQ(saved, 2);
}

TEST(LawHorizons, PastItsBoundTheLongestUnusedIsMadeAgain) {
    int saved = 0;
    const std::size_t one = Horizons(plain()).of(antenna(0), Length::nautical_miles(20))->size_bytes();
    const Horizons horizons(plain(), {{}, [&](const std::string&, std::span<const std::byte>) { ++saved; }},
                            5 * one / 2);
    for (const int k : {0, 1, 0, 2, 0}) {
        horizons.of(antenna(k), Length::nautical_miles(20));
    }
    EXPECT_EQ(saved, 3);
    horizons.of(antenna(1), Length::nautical_miles(20));
    EXPECT_EQ(saved, 4);
}

TEST(LawHorizon, UnknownGroundOnTheWayIsSaid) {
    const Horizon horizon = horizon_of(plain(), antenna(0), Length::nautical_miles(40), {});
    EXPECT_TRUE(horizon.lowest_seen(Position::degrees(10.15, 20.2)).ground_known);
    EXPECT_FALSE(horizon.lowest_seen(Position::degrees(10.4, 20.2)).ground_known);
    EXPECT_FALSE(horizon.lowest_seen(Position::degrees(14.0, 20.2)).ground_known);
    EXPECT_FALSE(horizon_of(earth::Terrain(), antenna(0), Length::nautical_miles(40), {})
                     .lowest_seen(Position::degrees(10.15, 20.2))
                     .ground_known);
}

}  // namespace
}  // namespace omniway::radio
