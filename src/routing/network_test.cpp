#include "routing/network.hpp"

#include <limits>
#include <map>
#include <string>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "routing/search.hpp"
#include "tests/sketch.hpp"

namespace omniway::routing {

using base::Length;
using omniway::testing::Sketch;

namespace {

std::string ident_of(int node) {
    return std::string("XB") + static_cast<char>('A' + node);
}

// Twelve points over 400 NM, three in four of them VORs, joined by chance.
Sketch any_sketch() {
    Sketch sketch;
    for (int node = 0; node < 12; ++node) {
        const omniway::testing::At place{static_cast<double>(*rc::gen::inRange(0, 400)) + node * 0.1,
                                         static_cast<double>(*rc::gen::inRange(0, 400)) + node * 0.1};
        if (node % 4 == 3) {
            sketch.fix(ident_of(node), place);
        } else {
            sketch.vor(ident_of(node), place);
        }
    }
    const int airways = *rc::gen::inRange(3, 14);
    for (int i = 0; i < airways; ++i) {
        const int a = *rc::gen::inRange(0, 12);
        const int b = (a + *rc::gen::inRange(1, 12)) % 12;
        omniway::testing::AirwayDrawn look;
        look.direction =
            *rc::gen::element(navdata::AirwayDirection::both, navdata::AirwayDirection::forward_only,
                              navdata::AirwayDirection::backward_only);
        sketch.airway((i % 5 == 4 ? "T" : "V") + std::to_string(i + 1), {ident_of(a), ident_of(b)}, look);
    }
    return sketch;
}

}  // namespace

RC_GTEST_PROP(BruteNetwork, HoldsEachSegmentAtBothItsEndsAndNoOther, ()) {
    const auto world = any_sketch().world();
    const Network network(world);
    std::size_t segments = 0;
    for (const navdata::Airway& airway : world.airways()) {
        segments += airway.segments.size();
    }
    std::size_t seen = 0;
    for (std::size_t i = 0; i < network.nodes().size(); ++i) {
        for (const Network::Segment& each : network.leaving(i)) {
            const auto& segment = world.airways()[each.airway].segments[each.index];
            RC_ASSERT((each.forward ? segment.from : segment.to) == network.nodes()[i].point);
            RC_ASSERT((each.forward ? segment.to : segment.from) == network.nodes()[each.to].point);
            ++seen;
        }
    }
    RC_ASSERT(seen == 2 * segments);
}

RC_GTEST_PROP(BruteNetwork, FindsWhatIsWithinARadius, ()) {
    const Sketch sketch = any_sketch();
    const auto world = sketch.world();
    const Network network(world);
    const auto centre =
        earth::unit_vector(sketch.at({static_cast<double>(*rc::gen::inRange(-50, 450)), 200}));
    const Length radius = Length::nautical_miles(*rc::gen::inRange(1, 500));
    std::vector<std::uint32_t> expected;
    for (std::uint32_t i = 0; i < network.nodes().size(); ++i) {
        if (Network::apart(network.nodes()[i].unit, centre) <= radius) {
            expected.push_back(i);
        }
    }
    RC_ASSERT(network.within(centre, radius) == expected);
}

// All edges relaxed until nothing changes, in whole hundredths of a mile: Bellman and Ford.
RC_GTEST_PROP(BruteNetwork, NoChainOfEdgesIsShorterThanTheOneFound, ()) {
    const auto world = any_sketch().world();
    const Network network(world);
    struct Edge {
        navdata::Point from;
        navdata::Point to;
        std::int64_t cost = 0;
    };
    std::vector<Edge> edges;
    const auto hundredths = [](Length length) { return std::llround(length.nautical_miles() * 100.0); };
    for (const navdata::Airway& airway : world.airways()) {
        for (const navdata::AirwaySegment& segment : airway.segments) {
            const std::int64_t cost = hundredths(segment.distance);
            if (!airway.area_navigation && segment.direction != navdata::AirwayDirection::backward_only) {
                edges.push_back({segment.from, segment.to, cost});
            }
            if (!airway.area_navigation && segment.direction != navdata::AirwayDirection::forward_only) {
                edges.push_back({segment.to, segment.from, cost});
            }
        }
    }
    for (std::uint32_t a = 0; a < world.stations().size(); ++a) {
        for (std::uint32_t b = 0; b < world.stations().size(); ++b) {
            const navdata::Point from{navdata::StationId{a}}, to{navdata::StationId{b}};
            const Length apart = earth::distance(world.position(from), world.position(to));
            if (a != b && apart < Length::nautical_miles(130.0)) {
                edges.push_back({from, to, hundredths(apart)});
            }
        }
    }
    const navdata::Point begin{navdata::StationId{0}};
    const navdata::Point end = network.nodes().back().point;
    std::map<navdata::Point, std::int64_t> least{{begin, 0}};
    for (bool changed = true; changed;) {
        changed = false;
        for (const Edge& edge : edges) {
            const auto from = least.find(edge.from);
            if (from == least.end()) {
                continue;
            }
            const std::int64_t cost = from->second + edge.cost;
            const auto to = least.find(edge.to);
            if (to == least.end() || cost < to->second) {
                least[edge.to] = cost;
                changed = true;
            }
        }
    }
    const auto found = shortest(world, network, begin, end);
    RC_ASSERT(found.has_value() == least.contains(end));
    if (found) {
        RC_ASSERT(found->hundredths_nm == least.at(end));
        RC_ASSERT((found->points.front() == begin && found->points.back() == end));
    }
}

}  // namespace omniway::routing
