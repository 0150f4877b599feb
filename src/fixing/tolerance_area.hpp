#pragma once

#include <span>
#include <variant>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"

namespace omniway::fixing {

/// A bearing that passes through a fix: how the station stands from the fix, and how far the bearing may be off to each side.
struct BearingLine {
    base::TrueBearing station_from_fix;
    base::Length away;
    base::Angle tolerance;
};

/// A distance that passes through a fix: how the antenna stands from the fix, and the ring over the ground that its reading may
/// mean. A `nearest` of zero: the reading may be had overhead.
struct DistanceLine {
    base::TrueBearing antenna_from_fix;
    base::Length away;
    base::Length nearest;
    base::Length farthest;
};

/// The zone over an aid in which its azimuth says nothing: how wide, where it may be entered, and how far off the track it
/// may be crossed.
struct OverheadZone {
    base::Length radius;
    base::Length entered_abeam;  // off the track, to each side
    base::Angle crossed_within;  // of the track, to each side
};

using PositionLine = std::variant<BearingLine, DistanceLine, OverheadZone>;

/// Where an aircraft may be that sees all its lines at a fix.
struct ToleranceArea {
    std::vector<earth::Position> corners;  // clockwise, the first not repeated
    // The farthest it reaches from the fix, along the track and across it.
    base::Length short_of;
    base::Length beyond;
    base::Length left;
    base::Length right;
    double square_nm = 0.0;

    base::Length along_half_size() const;
    base::Length across_half_size() const;
};

/// Why there is no such area: the lines run on side by side within their tolerances, or a ring closes about its station.
enum class NoArea { open, ring };

/// The tolerance area of a fix, told by the lines that meet there.
///   Model     the overlap of all lines, each as wide as its tolerance: a wedge from its station, a ring about its antenna, a
///             splay through the zone overhead. Clipped on a plane about the fix on which every line from the fix is true. Where
///             rings meet twice, it is the part that holds the fix. Half-planes and circles are cut exactly by own code: a
///             library of polygons would need the rings as polygons first, and would be slower than all the rest.
///   Domain    stations up to 150 NM away; at least one line; tolerances below 45 degrees.
///   Accuracy  corners within 0.03 % of their distance from the fix, or 5 m where that is more (tolerance_area_test.cpp, against
///             geodesics); arcs are drawn in chords that leave them by at most 0.002 NM.
///   Cost      2 to 5 microseconds and one geodesic a corner.
///   Fails     "no" is a NoArea.
///   Source    PANS-OPS II I-2-2 and TERPS 8260.3B para 285-287 (trade-facts 3.2): the area that the tolerances enclose.
std::variant<ToleranceArea, NoArea> tolerance_area(earth::Position fix, base::TrueBearing track,
                                                   std::span<const PositionLine> lines);

/// The zone overhead by the height of the aircraft above the aid.
///   Model     a cone of 50 degrees from the vertical over a VOR, entered within 0.2 of the height off the track; 40 degrees
///             over an NDB, entered within 15 degrees of it; both crossed within 5 degrees of the track.
///   Domain    heights from zero.
///   Accuracy  as printed.
///   Cost      two tangents.
///   Fails     never; below the aid the zone is a point.
///   Source    PANS-OPS I and II, I-2-2 (trade-facts 2, [seen]).
OverheadZone vor_zone(base::Length height_above_aid);
OverheadZone ndb_zone(base::Length height_above_aid);

}  // namespace omniway::fixing
