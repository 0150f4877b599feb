#pragma once

#include <array>
#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <vector>

#include "base/quantity.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::routing {

/// What of a snapshot's ways does not depend on who asks: the points that a way can pass, the airway segments that leave each, and where
/// the points stand.
///   Model     a point is a VOR or NDB, or a point of an airway; a segment leaves both its ends, flown forward or backward. Other
///             fixes are no points: only a question that names one makes it one.
///   Domain    one snapshot, by its ids; it may be shared by any number of threads.
///   Accuracy  exact; distances between points are on the sphere (earth/position.hpp), within 0.6 % of the geodesic.
///   Cost      some tens of bytes a point and segment, and 16 a line that was asked for; for figures see docs/benchmarks.md.
///   Fails     never.
///   Source    common practice, no source.
class Network {
public:
    struct Node {
        navdata::Point point;
        std::array<double, 3> unit{};
        std::optional<navdata::StationId> station;  // a VOR or NDB: it can guide
    };
    struct Segment {
        std::uint32_t airway = 0;  // of Snapshot::airways()
        std::uint32_t index = 0;   // of its segments
        std::uint32_t to = 0;      // node
        bool forward = true;
    };

    explicit Network(const navdata::Snapshot& world);
    Network(Network&&) noexcept;
    Network& operator=(Network&&) noexcept;
    ~Network();

    std::span<const Node> nodes() const { return nodes_; }
    std::span<const Segment> leaving(std::size_t node) const;
    std::optional<std::size_t> node_of(const navdata::Point& point) const;
    /// The nodes within a distance on the sphere of a place, in the order of their numbers.
    std::vector<std::uint32_t> within(const std::array<double, 3>& unit, base::Length radius) const;

    /// A node that a direct leg may join to another: one of the two is a station.
    struct Line {
        double apart_nm = 0.0;
        std::uint32_t to = 0;
        float track_deg = 0.0F;
    };
    /// From a node to all that a direct leg may join it to while `bridged` is not more than farthest_bridged: the nearest first. Drawn
    /// by whoever asks first, and kept.
    std::span<const Line> lines(std::size_t node) const;
    /// No service volume of a VOR or NDB is wider (AIM 1-1-8; trade-facts 1).
    static constexpr base::Length widest_volume = base::Length::nautical_miles(130.0);
    static constexpr base::Length farthest_bridged = base::Length::nautical_miles(25.0);
    /// The same from a place that is no node, or as far as is asked for, not kept.
    std::vector<Line> lines_from(const std::array<double, 3>& unit, bool is_station,
                                 base::Length bridged) const;

    /// The true track along the great circle, in degrees, on the sphere.
    static double track_deg(const std::array<double, 3>& from, const std::array<double, 3>& to);
    /// So much of a distance on the sphere is never more than the geodesic (earth/position.hpp).
    static constexpr double at_least = 0.99;
    /// On the sphere of mean radius.
    static base::Length apart(const std::array<double, 3>& a, const std::array<double, 3>& b);

private:
    struct Places;
    std::vector<Node> nodes_;
    std::vector<std::uint32_t> first_;  // segments of node i are [first_[i], first_[i + 1])
    std::vector<Segment> segments_;
    std::array<std::vector<std::int32_t>, 4> by_point_;  // by kind of point, then by its index; -1: no node
    std::unique_ptr<Places> places_;
};

}  // namespace omniway::routing
