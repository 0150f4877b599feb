// The search against Boost.Graph's Dijkstra on the same network: published conventional airways in the directions published and
// the lines between stations less than 130 NM apart, each costing its geodesic in whole hundredths of a mile. The other side is
// bench/published_graph.cpp, which shares with the search only the snapshot and the geodesic.

#include <cstdint>
#include <map>
#include <optional>
#include <string>
#include <utility>

#include <gtest/gtest.h>

#include "base/random.hpp"
#include "bench/continent.hpp"
#include "bench/published_graph.hpp"
#include "earth/geodesic.hpp"
#include "routing/network.hpp"
#include "routing/search.hpp"

namespace omniway::routing {
namespace {

// A twenty-fifth of the continent of bench/: 40 VORs, 20 NDBs, 50 airways. Where compasses point does not matter here. A continent has
// hardly a one-way or area navigation airway: here half are one-way, as many each way, and a sixth are for area navigation.
navdata::Snapshot small_network(std::uint64_t seed) {
    bench::ContinentSize size = bench::ContinentSize{}.part(0.04);
    size.fixes = 0;  // but those of airways and approaches
    size.airports = 50;
    size.approaches = 0;
    navdata::Records records = bench::continent_records(size, base::Seed{seed}, [](earth::Position) {
        return base::Variation::east(base::Angle::degrees(12.0));
    });
    base::Random random(base::Seed{seed + 2000});
    std::map<std::string, std::uint64_t> drawn;
    for (navdata::AirwayRow& row : records.airway_rows) {
        const std::uint64_t kind = drawn.try_emplace(row.designator, random.below(12)).first->second;
        row.direction = kind < 3   ? navdata::AirwayDirection::forward_only
                        : kind < 6 ? navdata::AirwayDirection::backward_only
                                   : navdata::AirwayDirection::both;
        row.route_type = kind % 6 == 5 ? 'R' : row.route_type;
    }
    return navdata::Snapshot::build(std::move(records)).value;
}

std::int64_t length_of(const navdata::Snapshot& world, const std::vector<navdata::Point>& points) {
    std::int64_t sum = 0;
    for (std::size_t i = 1; i < points.size(); ++i) {
        sum += bench::hundredths(earth::distance(world.position(points[i - 1]), world.position(points[i])));
    }
    return sum;
}

TEST(TruthShortestWay, IsAsLongAsTheOneOfBoostGraphsDijkstraOnTheSameNetwork) {
    constexpr int networks = 4;
    constexpr int pairs = 250;  // a thousand in all
    int apart = 0;
    int connected = 0;
    for (std::uint64_t seed = 1; seed <= networks; ++seed) {
        const navdata::Snapshot world = small_network(seed);
        const Network network(world);
        const bench::PublishedGraph graph(world, {});
        base::Random random(base::Seed{seed + 1000});
        const auto any_point = [&] { return graph.points()[random.below(graph.points().size())]; };
        for (int i = 0; i < pairs; ++i) {
            const navdata::Point from = any_point();
            const navdata::Point to = any_point();
            if (from == to) {
                continue;
            }
            const auto expected = graph.between_points(from, to);
            const auto found = shortest(world, network, from, to);
            ASSERT_EQ(found.has_value(), expected.has_value())
                << "seed " << seed << ", " << world.ident(from) << " to " << world.ident(to);
            ++(expected ? connected : apart);
            if (!expected) {
                continue;
            }
            ASSERT_EQ(found->hundredths_nm, *expected)
                << "seed " << seed << ", " << world.ident(from) << " to " << world.ident(to);
            ASSERT_EQ(found->points.front(), from);
            ASSERT_EQ(found->points.back(), to);
            ASSERT_EQ(length_of(world, found->points), *expected);
        }
    }
    // What is not joined at all proves little, and one-way airways leave some points that nothing leads to.
    EXPECT_GT(connected, 900);
    RecordProperty("without_a_way", apart);
}

// The yardstick itself: by hand on a square of four stations 100 NM apart with an airway along two sides.
TEST(CasePublishedGraph, OneWayAirwaysAndLongLinesAreWhatTheyAre) {
    navdata::Records records;
    const auto vor = [&](const std::string& ident, double latitude, double longitude) {
        navdata::Station station;
        station.ident = ident;
        station.region = "XA";
        station.azimuth = navdata::VorAzimuth{earth::Position::degrees(latitude, longitude), {}, {}, {}};
        records.stations.push_back(station);
    };
    // On the equator a minute of longitude is 1.0018 NM (WGS 84: 1,855.32 m); 3 degrees are 180.3 NM, 2 degrees 120.2.
    vor("AAA", 0.0, 0.0);
    vor("BBB", 0.0, 3.0);
    vor("CCC", 0.0, 5.0);
    for (const auto& [ident, sequence] : {std::pair("AAA", 10U), std::pair("BBB", 20U)}) {
        navdata::AirwayRow row;
        row.designator = "V1";
        row.route_type = 'O';
        row.sequence = sequence;
        row.point = {navdata::PointKind::vhf_station, ident, "XA", ""};
        row.direction = navdata::AirwayDirection::forward_only;
        records.airway_rows.push_back(row);
    }
    const navdata::Snapshot world = navdata::Snapshot::build(std::move(records)).value;
    const bench::PublishedGraph graph(world, {});
    const auto at = [&](const char* ident) { return world.named(ident).at(0); };
    EXPECT_EQ(graph.vertices(), 3U);
    EXPECT_EQ(graph.edges(), 3U);  // the airway one way, the line both
    EXPECT_EQ(graph.between_points(at("AAA"), at("CCC")), 18032 + 12022);
    EXPECT_EQ(graph.between_points(at("BBB"), at("AAA")), std::nullopt);
    EXPECT_EQ(graph.between_points(at("CCC"), at("BBB")), 12022);
}

}  // namespace
}  // namespace omniway::routing
