#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "base/quantity.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::bench {

/// The network of a snapshot as a plain graph of distances, searched by Boost.Graph: what the router is held against.
///   Model     vertices: every VOR and NDB, every point of a conventional airway, and each airport named twice (once to leave, once
///             to come to, so that no way leads through one). Edges: every segment of a conventional airway in each direction
///             that its publication allows; every two stations with an azimuth less than 130 NM apart, both ways; from an airport
///             named to every VOR and NDB within 60 NM, and from every such station within 60 NM of it to the airport. Nothing is
///             asked of altitudes, reception, fixes or turns. Costs are distances in whole hundredths of a nautical mile.
///   Domain    the snapshot must outlive it.
///   Accuracy  geodesic distances, rounded to 0.01 NM.
///   Cost      building some 100 ms for a continent; a search one run of Dijkstra that ends when the destination is settled.
///   Fails     "no" is no way.
///   Source    Boost.Graph 1.74, compressed_sparse_row_graph and dijkstra_shortest_paths.
class PublishedGraph {
public:
    PublishedGraph(const navdata::Snapshot& world, std::span<const navdata::AirportId> airports);
    ~PublishedGraph();
    PublishedGraph(PublishedGraph&&) noexcept;
    PublishedGraph& operator=(PublishedGraph&&) noexcept;

    static constexpr base::Length farthest_between_stations = base::Length::nautical_miles(130.0);
    static constexpr base::Length farthest_to_airport = base::Length::nautical_miles(60.0);

    /// In hundredths of a nautical mile.
    using Hundredths = std::int64_t;
    std::optional<Hundredths> between_airports(navdata::AirportId from, navdata::AirportId to) const;
    std::optional<Hundredths> between_points(const navdata::Point& from, const navdata::Point& to) const;

    /// The stations and airway points that are vertices, in ascending order.
    const std::vector<navdata::Point>& points() const;
    std::size_t vertices() const;
    std::size_t edges() const;
    /// How many vertices a search between two airports settles.
    std::size_t settled(navdata::AirportId from, navdata::AirportId to) const;

private:
    struct Graph;
    std::unique_ptr<Graph> graph_;
};

/// A distance as an edge of the graph has it.
PublishedGraph::Hundredths hundredths(base::Length distance);

}  // namespace omniway::bench
