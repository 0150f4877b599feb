#include "routing/network.hpp"

#include <algorithm>
#include <atomic>
#include <cmath>
#include <numbers>
#include <tuple>
#include <utility>

#include <boost/geometry.hpp>
#include <boost/geometry/index/rtree.hpp>

#include "base/contract.hpp"

namespace omniway::routing {

namespace bg = boost::geometry;
using base::Length;
using navdata::Point;
using navdata::StationId;

namespace {

using Spot = bg::model::point<double, 3, bg::cs::cartesian>;
using Placed = std::pair<Spot, std::uint32_t>;

constexpr double mean_radius_m = 6371008.8;

Spot spot_of(const std::array<double, 3>& unit) {
    return {unit[0], unit[1], unit[2]};
}

std::size_t index_of(const Point& point) {
    return std::visit([](auto id) { return static_cast<std::size_t>(id.index); }, point);
}

bool can_guide(const navdata::Station& station) {
    return navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr;
}

}  // namespace

struct Network::Places {
    using Lines = std::vector<Line>;

    explicit Places(std::size_t nodes) : lines(nodes) {}
    Places(const Places&) = delete;
    Places& operator=(const Places&) = delete;
    ~Places() {
        for (const auto& each : lines) {
            delete each.load();
        }
    }

    bg::index::rtree<Placed, bg::index::rstar<16>> tree;
    std::vector<std::atomic<const Lines*>> lines;  // by node; null: not drawn yet
};

Network::Network(const navdata::Snapshot& world) {
    by_point_[Point(navdata::FixId{}).index()].assign(world.fixes().size(), -1);
    by_point_[Point(StationId{}).index()].assign(world.stations().size(), -1);
    by_point_[Point(navdata::AirportId{}).index()].assign(world.airports().size(), -1);
    by_point_[Point(navdata::RunwayId{}).index()].assign(world.runways().size(), -1);
    const auto node_at = [&](const Point& point) {
        std::int32_t& known = by_point_[point.index()][index_of(point)];
        if (known < 0) {
            known = static_cast<std::int32_t>(nodes_.size());
            Node node{point, earth::unit_vector(world.position(point)), std::nullopt};
            if (const auto* id = std::get_if<StationId>(&point); id != nullptr && can_guide(world[*id])) {
                node.station = *id;
            }
            nodes_.push_back(node);
        }
        return static_cast<std::uint32_t>(known);
    };
    for (std::uint32_t i = 0; i < world.stations().size(); ++i) {
        if (can_guide(world.stations()[i])) {
            node_at(Point(StationId{i}));
        }
    }
    struct Leaving {
        std::uint32_t from;
        Segment segment;
    };
    std::vector<Leaving> all;
    for (std::uint32_t a = 0; a < world.airways().size(); ++a) {
        const auto& segments = world.airways()[a].segments;
        for (std::uint32_t i = 0; i < segments.size(); ++i) {
            const std::uint32_t from = node_at(segments[i].from);
            const std::uint32_t to = node_at(segments[i].to);
            all.push_back({from, {a, i, to, true}});
            all.push_back({to, {a, i, from, false}});
        }
    }
    first_.assign(nodes_.size() + 1, 0);
    for (const Leaving& each : all) {
        ++first_[each.from + 1];
    }
    for (std::size_t i = 1; i < first_.size(); ++i) {
        first_[i] += first_[i - 1];
    }
    segments_.resize(all.size());
    std::vector<std::uint32_t> next(first_.begin(), first_.end() - 1);
    for (const Leaving& each : all) {
        segments_[next[each.from]++] = each.segment;
    }
    std::vector<Placed> placed;
    placed.reserve(nodes_.size());
    for (std::uint32_t i = 0; i < nodes_.size(); ++i) {
        placed.emplace_back(spot_of(nodes_[i].unit), i);
    }
    places_ = std::make_unique<Places>(nodes_.size());
    places_->tree = decltype(places_->tree)(placed.begin(), placed.end());
}

Network::Network(Network&&) noexcept = default;
Network& Network::operator=(Network&&) noexcept = default;
Network::~Network() = default;

std::span<const Network::Segment> Network::leaving(std::size_t node) const {
    OMNIWAY_EXPECTS(node < nodes_.size());
    return std::span(segments_).subspan(first_[node], first_[node + 1] - first_[node]);
}

std::optional<std::size_t> Network::node_of(const Point& point) const {
    const auto& known = by_point_[point.index()];
    const std::size_t at = index_of(point);
    return at < known.size() && known[at] >= 0 ? std::optional(static_cast<std::size_t>(known[at]))
                                               : std::nullopt;
}

std::vector<std::uint32_t> Network::within(const std::array<double, 3>& unit, Length radius) const {
    const double chord = 2.0 * std::sin(std::min(radius.metres() / mean_radius_m, 3.14) / 2.0);
    const bg::model::box<Spot> around(Spot(unit[0] - chord, unit[1] - chord, unit[2] - chord),
                                      Spot(unit[0] + chord, unit[1] + chord, unit[2] + chord));
    std::vector<std::uint32_t> found;
    for (auto at = places_->tree.qbegin(bg::index::intersects(around)); at != places_->tree.qend(); ++at) {
        if (apart(nodes_[at->second].unit, unit) <= radius) {
            found.push_back(at->second);
        }
    }
    std::sort(found.begin(), found.end());
    return found;
}

std::vector<Network::Line> Network::lines_from(const std::array<double, 3>& unit, bool is_station,
                                               Length bridged) const {
    const Length to_any = (widest_volume + bridged) * (1.0 / at_least);
    const Length to_station = is_station ? to_any + widest_volume * (1.0 / at_least) : to_any;
    std::vector<Line> lines;
    for (const std::uint32_t to : within(unit, to_station)) {
        const Node& node = nodes_[to];
        const Length away = apart(unit, node.unit);
        if (node.station || (is_station && away <= to_any)) {
            lines.push_back({away.nautical_miles(), to, static_cast<float>(track_deg(unit, node.unit))});
        }
    }
    std::sort(lines.begin(), lines.end(), [](const Line& a, const Line& b) {
        return std::tie(a.apart_nm, a.to) < std::tie(b.apart_nm, b.to);
    });
    return lines;
}

std::span<const Network::Line> Network::lines(std::size_t node) const {
    OMNIWAY_EXPECTS(node < nodes_.size());
    auto& drawn = places_->lines[node];
    if (const auto* known = drawn.load(std::memory_order_acquire)) {
        return *known;
    }
    auto made = std::make_unique<const Places::Lines>(
        lines_from(nodes_[node].unit, nodes_[node].station.has_value(), farthest_bridged));
    const Places::Lines* known = nullptr;
    if (drawn.compare_exchange_strong(known, made.get(), std::memory_order_acq_rel)) {
        return *made.release();
    }
    return *known;  // another thread was first
}

double Network::track_deg(const std::array<double, 3>& from, const std::array<double, 3>& to) {
    const double across = std::max(std::hypot(from[0], from[1]), 1e-9);
    const double east = (from[0] * to[1] - from[1] * to[0]) / across;
    const double north = to[2] * across - from[2] * (from[0] * to[0] + from[1] * to[1]) / across;
    return std::atan2(east, north) * 180.0 / std::numbers::pi;
}

Length Network::apart(const std::array<double, 3>& a, const std::array<double, 3>& b) {
    const double x = a[0] - b[0];
    const double y = a[1] - b[1];
    const double z = a[2] - b[2];
    const double chord = std::sqrt(x * x + y * y + z * z);
    return Length::metres(2.0 * mean_radius_m * std::asin(std::min(1.0, chord / 2.0)));
}

}  // namespace omniway::routing
