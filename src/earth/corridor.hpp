#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <vector>

#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "earth/terrain.hpp"

namespace omniway::earth {

/// How wide a corridor is at a distance along its line: straight between two of these, as at the outermost ones beyond them.
struct HalfWidth {
    base::Length along;
    base::Length half_width;
};

/// The ground in one slice of a corridor, from one distance along its line to another.
struct GroundSlice {
    base::Length from;
    base::Length to;
    std::optional<base::Altitude> highest;  // of the ground that is known; none where nothing is
    std::optional<base::Altitude> lowest;
    Position highest_at;
    bool known = true;  // false: some of it is not
};

/// The highest and the lowest ground within a corridor about a line, slice by slice.
///   Model     the corridor is all that lies within the half-width right and left of the geodesic, and within the outermost
///             half-width round its two ends, which belongs to the first and last slice. Every node of the terrain inside counts,
///             and those up to one spacing outside, because the ground between two nodes is never above the higher of them.
///             Where no tile is, the ground is unknown.
///   Domain    lines up to 2,000 NM, half-widths up to 60 NM; slices of one nautical mile, the last one shorter. The given widths
///             ascend in distance; at least one is given.
///   Accuracy  the corridor's edge within 2 m and one spacing of the nodes (corridor_test.cpp, against every node by geodesics).
///             Between slices the edge is looser: ground within 0.4 NM of a slice may count in it as well (0.7
///             NM where nodes are 15 arc-seconds apart).
///   Cost      some 0.6 ms a leg of the demo region once its tiles are in memory (bench/, "ground_in_corridor").
///   Fails     never: unknown ground is said by `known`.
///   Source    14 CFR 91.177 (4 NM), design section 3.
std::vector<GroundSlice> ground_in_corridor(const Terrain& terrain, Position from, Position to,
                                            std::span<const HalfWidth> widths);

/// The highest and the lowest ground near a line, of no less than what lies within a distance of it.
struct RoughGround {
    std::int16_t highest_m;
    std::int16_t lowest_m;
};

/// What a look at the coarse relief tells of a corridor: enough to say of most lines that they clear the ground.
///   Model     the extremes of whole blocks, or of their patches of 2.5 arc-minutes (earth/relief.hpp), that may lie within the half-width of
///             the great circle, widened by a mile for the geodesic.
///   Domain    lines up to 300 NM.
///   Accuracy  the highest is at least that of ground_in_corridor() there, the lowest at most; by up to 3 NM of ground beside
///             it, of whole blocks 15 NM.
///   Cost      a few hundredths of ground_in_corridor().
///   Fails     none where some of that ground is not known, and within 10 degrees of the poles.
///   Source    common practice, no source (branch and bound).
enum class Roughness { blocks, patches };
std::optional<RoughGround> ground_about(const Terrain& terrain, Position from, Position to,
                                        base::Length half_width, Roughness roughness);

/// All of it as one: the highest of the slices, known only where every slice is.
GroundSlice highest_of(std::span<const GroundSlice> slices);

}  // namespace omniway::earth
