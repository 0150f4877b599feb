#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "navdata/point_name.hpp"
#include "navdata/provenance.hpp"

namespace omniway::navdata {

/// A minimum as published: an altitude, or the publication's own word that it is not known.
struct NotKnown {
    friend bool operator==(NotKnown, NotKnown) = default;
};
using PublishedMinimum = std::variant<std::monostate, NotKnown, base::Altitude>;

enum class AirwayDirection { both, forward_only, backward_only };

/// One row of an airway: a point and what is published of the leg from it to the next.
///   Model     rows of one airway in ascending sequence; a leg exists only where geometry bears out its coded distance.
///   Domain    courses are radials of the aids at the leg's ends; altitudes above mean sea level.
///   Accuracy  0.1 degree, 0.1 NM, 1 ft as coded.
///   Cost      about 200 bytes.
///   Fails     never.
///   Source    ARINC 424-18 enroute airway record (trade-facts 13.7).
struct AirwayRow {
    std::string area;
    std::string designator;
    std::uint32_t sequence = 0;
    PointName point;
    bool ends_continuous_part = false;  // description column 41 is E
    char route_type = ' ';              // O, R, ...
    char level = ' ';                   // H, L, B or blank
    AirwayDirection direction = AirwayDirection::both;
    std::optional<base::Radial> outbound_course;
    std::optional<base::Length> distance_to_next;
    std::optional<base::Radial> inbound_course;  // of the leg that arrives here
    PublishedMinimum minimum;  // both ways, or the direction of the rows where backward differs
    PublishedMinimum minimum_backward;
    std::optional<base::Altitude> maximum;
    Origin origin;
    friend bool operator==(const AirwayRow&, const AirwayRow&) = default;
};

/// Whether a designator's letter names an area-navigation route: L M N P Q T Y Z after any prefix U, K or S, and the FAA's TK.
/// Source: ICAO Annex 11 appendix 1; AIM 5-3-4 (trade-facts 9.1, 9.2).
bool is_area_navigation_designator(const std::string& designator);

}  // namespace omniway::navdata
