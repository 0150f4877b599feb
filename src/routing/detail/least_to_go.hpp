#pragma once

#include <cstddef>
#include <functional>
#include <queue>
#include <utility>
#include <vector>

#include "routing/detail/graph.hpp"

namespace omniway::routing::detail {

/// What it costs at least from the places of a graph to an entry, if every edge could be flown at its least cost: a search from the entries
/// back towards the departure that goes only as far as it is asked to.
///   Model     backward A*. Whatever is on a way whose least cost is below explored() is known exactly; of everything else is known that it is
///             not, or the distance as the crow flies.
///   Domain    one graph and level (or Graph::any_level()), without points asked for on the way; one thread.
///   Accuracy  never more than what a way costs.
///   Cost      proportional to what is explored.
///   Fails     never.
///   Source    "reverse resumable A*": D. Silver, "Cooperative Pathfinding", AIIDE 2005, from memory.
class LeastToGo {
public:
    /// The least that an edge to a node can cost, never less than its least length but for an arrival, which may by up to `discount_nm`;
    /// infinite where it cannot be flown.
    using LeastCost = std::function<double(const Graph::Before&, int to)>;

    /// What each entry adds, and by what is to go to it as the crow flies: the cost or the miles alone.
    struct Entries {
        std::vector<double> cost_nm;
        double ToGo::*straight = &ToGo::cost_nm;
    };

    LeastToGo(Graph& graph, std::size_t level, Entries entries, LeastCost least_cost, double discount_nm);

    double operator()(int node) const;
    double explored() const { return explored_nm_; }
    void explore(double cost_nm);

private:
    struct Waiting {
        double whole_nm = 0.0;
        double cost_nm = 0.0;
        int node = 0;
        bool operator>(const Waiting& other) const {
            return std::pair(whole_nm, node) > std::pair(other.whole_nm, other.node);
        }
    };
    double from_departure_nm(int node) const;
    double& known(int node);
    void offer(int node, double cost_nm);

    Graph& graph_;
    std::size_t level_;
    double ToGo::*straight_;
    LeastCost least_cost_;
    double discount_nm_;
    double explored_nm_ = 0.0;
    std::vector<double> cost_;  // by node; infinite: not met yet
    std::vector<bool> settled_;
    std::priority_queue<Waiting, std::vector<Waiting>, std::greater<>> open_;
};

}  // namespace omniway::routing::detail
