#include "routing/detail/least_to_go.hpp"

#include <algorithm>
#include <limits>

namespace omniway::routing::detail {

namespace {

constexpr double not_met = std::numeric_limits<double>::infinity();
}  // namespace

LeastToGo::LeastToGo(Graph& graph, std::size_t level, Entries entries, LeastCost least_cost,
                     double discount_nm)
    : graph_(graph),
      level_(level),
      straight_(entries.straight),
      least_cost_(std::move(least_cost)),
      discount_nm_(discount_nm) {
    for (int node = 0; node < static_cast<int>(graph_.nodes()); ++node) {
        for (const std::size_t e : graph_.entries_at(node)) {
            offer(graph_.shared(node), entries.cost_nm[e]);
        }
    }
}

double LeastToGo::from_departure_nm(int node) const {
    return Network::at_least * Network::apart(graph_.departure(), graph_.node(node).unit).nautical_miles();
}

double& LeastToGo::known(int node) {
    const auto at = static_cast<std::size_t>(node);
    if (at >= cost_.size()) {
        cost_.resize(graph_.nodes(), not_met);
        settled_.resize(graph_.nodes(), false);
    }
    return cost_[at];
}

void LeastToGo::offer(int node, double cost_nm) {
    double& cost = known(node);
    if (cost_nm < cost) {
        cost = cost_nm;
        open_.push({cost_nm + from_departure_nm(node), cost_nm, node});
    }
}

void LeastToGo::explore(double cost_nm) {
    while (!open_.empty() && open_.top().whole_nm <= cost_nm) {
        const Waiting here = open_.top();
        open_.pop();
        if (here.cost_nm > known(here.node)) {
            continue;
        }
        settled_[static_cast<std::size_t>(here.node)] = true;
        for (const Graph::Before& edge : graph_.before(here.node, level_)) {
            offer(graph_.shared(edge.from), here.cost_nm + least_cost_(edge, here.node));
        }
    }
    explored_nm_ = std::max(explored_nm_, open_.empty() ? not_met : cost_nm);
}

double LeastToGo::operator()(int node) const {
    const int at = graph_.shared(node);
    const auto index = static_cast<std::size_t>(at);
    const double straight_nm = graph_.bound(graph_.node(at).unit).*straight_;
    // An arrival that costs less than its miles may come to a node later than what costs more.
    const double least_nm =
        index < settled_.size() && settled_[index] ? cost_[index] : explored_nm_ - from_departure_nm(at);
    return std::max(straight_nm, least_nm - discount_nm_);
}

}  // namespace omniway::routing::detail
