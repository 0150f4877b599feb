#include "bench/published_graph.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <map>
#include <set>
#include <utility>

#include <boost/graph/compressed_sparse_row_graph.hpp>
#include <boost/graph/dijkstra_shortest_paths.hpp>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"

namespace omniway::bench {

using base::Length;
using navdata::Point;
using navdata::StationId;

namespace {

struct Cost {
    PublishedGraph::Hundredths hundredths = 0;
};
using Csr = boost::compressed_sparse_row_graph<boost::directedS, boost::no_property, Cost>;
using Vertex = boost::graph_traits<Csr>::vertex_descriptor;

struct Arrived {};

// Ends the search when the destination is about to be settled: its distance is then final.
class StopAt : public boost::default_dijkstra_visitor {
public:
    StopAt(Vertex destination, std::size_t& settled) : destination_(destination), settled_(&settled) {}
    void examine_vertex(Vertex vertex, const Csr& /*graph*/) {
        ++*settled_;
        if (vertex == destination_) {
            throw Arrived();
        }
    }

private:
    Vertex destination_;
    std::size_t* settled_;
};

bool guides(const navdata::Station& station) {
    return navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr;
}

}  // namespace

PublishedGraph::Hundredths hundredths(Length distance) {
    return std::llround(distance.nautical_miles() * 100.0);
}

struct PublishedGraph::Graph {
    std::vector<Point> points;
    std::map<navdata::AirportId, Vertex> leaving;
    std::map<navdata::AirportId, Vertex> coming;
    Csr csr;

    std::optional<Vertex> vertex_of(const Point& point) const {
        const auto found = std::lower_bound(points.begin(), points.end(), point);
        return found != points.end() && *found == point
                   ? std::optional(static_cast<Vertex>(found - points.begin()))
                   : std::nullopt;
    }

    std::pair<std::optional<Hundredths>, std::size_t> search(Vertex from, Vertex to) const {
        std::vector<Hundredths> distance(boost::num_vertices(csr), std::numeric_limits<Hundredths>::max());
        std::size_t settled = 0;
        try {
            boost::dijkstra_shortest_paths(csr, from,
                                           boost::weight_map(boost::get(&Cost::hundredths, csr))
                                               .distance_map(boost::make_iterator_property_map(
                                                   distance.begin(), boost::get(boost::vertex_index, csr)))
                                               .visitor(StopAt(to, settled)));
        } catch (const Arrived&) {
            return {distance[to], settled};
        }
        return {std::nullopt, settled};
    }
};

namespace {

struct Edges {
    std::vector<std::pair<Vertex, Vertex>> ends;
    std::vector<Cost> costs;

    void add(Vertex from, Vertex to, Length distance) {
        ends.emplace_back(from, to);
        costs.push_back({hundredths(distance)});
    }
};

std::vector<Point> points_of(const navdata::Snapshot& world) {
    std::set<Point> points;
    for (std::uint32_t i = 0; i < world.stations().size(); ++i) {
        if (guides(world.stations()[i])) {
            points.insert(StationId{i});
        }
    }
    for (const navdata::Airway& airway : world.airways()) {
        for (const navdata::AirwaySegment& segment : airway.segments) {
            if (!airway.area_navigation) {
                points.insert(segment.from);
                points.insert(segment.to);
            }
        }
    }
    return {points.begin(), points.end()};
}

}  // namespace

PublishedGraph::PublishedGraph(const navdata::Snapshot& world, std::span<const navdata::AirportId> airports)
    : graph_(std::make_unique<Graph>()) {
    Graph& graph = *graph_;
    graph.points = points_of(world);
    Edges edges;
    for (const navdata::Airway& airway : world.airways()) {
        for (const navdata::AirwaySegment& segment : airway.segments) {
            if (airway.area_navigation) {
                continue;
            }
            const Vertex from = *graph.vertex_of(segment.from);
            const Vertex to = *graph.vertex_of(segment.to);
            if (segment.direction != navdata::AirwayDirection::backward_only) {
                edges.add(from, to, segment.distance);
            }
            if (segment.direction != navdata::AirwayDirection::forward_only) {
                edges.add(to, from, segment.distance);
            }
        }
    }
    for (const Point& point : graph.points) {
        const auto* station = std::get_if<StationId>(&point);
        if (station == nullptr || !guides(world[*station])) {
            continue;
        }
        const earth::Position here = world.position(point);
        for (const StationId other : world.stations_within(here, farthest_between_stations)) {
            if (other != *station && guides(world[other])) {
                edges.add(*graph.vertex_of(point), *graph.vertex_of(other),
                          earth::distance(here, world.position(other)));
            }
        }
    }
    Vertex next = graph.points.size();
    for (const navdata::AirportId airport : airports) {
        const earth::Position here = world[airport].position;
        graph.leaving[airport] = next;
        graph.coming[airport] = next + 1;
        for (const StationId station : world.stations_within(here, farthest_to_airport)) {
            if (guides(world[station])) {
                const Length distance = earth::distance(here, world.position(station));
                edges.add(next, *graph.vertex_of(station), distance);
                edges.add(*graph.vertex_of(station), next + 1, distance);
            }
        }
        next += 2;
    }
    graph.csr = Csr(boost::edges_are_unsorted_multi_pass, edges.ends.begin(), edges.ends.end(),
                    edges.costs.begin(), next);
}

PublishedGraph::~PublishedGraph() = default;
PublishedGraph::PublishedGraph(PublishedGraph&&) noexcept = default;
PublishedGraph& PublishedGraph::operator=(PublishedGraph&&) noexcept = default;

std::optional<PublishedGraph::Hundredths> PublishedGraph::between_airports(navdata::AirportId from,
                                                                           navdata::AirportId to) const {
    return graph_->search(graph_->leaving.at(from), graph_->coming.at(to)).first;
}

std::size_t PublishedGraph::settled(navdata::AirportId from, navdata::AirportId to) const {
    return graph_->search(graph_->leaving.at(from), graph_->coming.at(to)).second;
}

std::optional<PublishedGraph::Hundredths> PublishedGraph::between_points(const Point& from,
                                                                         const Point& to) const {
    const auto a = graph_->vertex_of(from);
    const auto b = graph_->vertex_of(to);
    OMNIWAY_EXPECTS(a && b);
    return graph_->search(*a, *b).first;
}

const std::vector<Point>& PublishedGraph::points() const {
    return graph_->points;
}
std::size_t PublishedGraph::vertices() const {
    return boost::num_vertices(graph_->csr);
}
std::size_t PublishedGraph::edges() const {
    return boost::num_edges(graph_->csr);
}

}  // namespace omniway::bench
