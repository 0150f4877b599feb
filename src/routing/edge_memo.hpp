#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <variant>

#include "cockpit/equipment.hpp"
#include "fixing/telling.hpp"
#include "flight/en_route.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"

namespace omniway::routing {

/// Which edge was judged: a segment of an airway in one direction, or the straight line between two points.
struct AirwayEdge {
    std::uint32_t airway = 0;
    std::uint32_t index = 0;
    bool forward = true;
    friend bool operator==(const AirwayEdge&, const AirwayEdge&) = default;
};
struct DirectEdge {
    navdata::Point from;
    navdata::Point to;
    base::Length dead_reckoning;  // the longest stretch allowed along it (flight/en_route.hpp)
    friend bool operator==(const DirectEdge&, const DirectEdge&) = default;
};

/// Edges already judged, remembered: the leg or why there is none, and how its end is told.
///   Model     a memo of pure functions: all that an answer depends on is in the key (edge, altitude, and `rules`: equipment, settings
///             and ground), so that reading it never changes an answer. Full, it forgets what was not asked for since it was half full.
///   Domain    one snapshot, by its ids, and one terrain; any number of threads, the same edge may then be judged twice.
///   Accuracy  to the bit.
///   Cost      a lock and a hash look-up; about 2 kB an edge and altitude.
///   Fails     never. More than 256 different sets of rules are not remembered, but judged anew each time.
///   Source    design section 4, "Memory between calls".
class EdgeMemo {
public:
    static constexpr std::size_t default_bound = 65536;  // entries

    explicit EdgeMemo(std::size_t bound = default_bound);
    EdgeMemo(EdgeMemo&&) noexcept;
    EdgeMemo& operator=(EdgeMemo&&) noexcept;
    ~EdgeMemo();

    using Edge = std::variant<AirwayEdge, DirectEdge>;
    using Leg = std::shared_ptr<const flight::LegOrReason>;
    using Told = std::shared_ptr<const std::optional<fixing::Telling>>;

    /// A number that stands for the rules, the same for the same rules; none where too many are known.
    std::optional<std::uint32_t> rules(const cockpit::Equipment& aboard, const flight::Settings& settings,
                                       const radio::Ground& ground);

    Leg leg(std::uint32_t rules, const Edge& edge, base::Altitude altitude,
            const std::function<flight::LegOrReason()>& judge);
    Told told(std::uint32_t rules, const Edge& edge, base::Altitude altitude,
              const std::function<std::optional<fixing::Telling>()>& judge);

    std::size_t size() const;  // entries held

private:
    struct Memory;
    std::unique_ptr<Memory> memory_;
};

}  // namespace omniway::routing
