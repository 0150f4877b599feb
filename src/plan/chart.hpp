#pragma once

#include <cstddef>
#include <span>
#include <string>
#include <vector>

#include "earth/coastline.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::plan {

/// Part of the earth between two meridians and two parallels; where `west_deg` is more than `east_deg` it holds the antimeridian.
struct ChartArea {
    double west_deg = 0.0;
    double south_deg = 0.0;
    double east_deg = 0.0;
    double north_deg = 0.0;
    bool holds(earth::Position place) const;
};

/// The segment of an airway as it may be flown.
struct ChartAirway {
    std::string designator;
    bool area_navigation_only = false;
    navdata::AirwaySegment segment;  // where it may be flown one way only: `from` to `to`
};

/// What a chart of an area shows of an atlas.
///   Model     stations, fixes, airports and markers within the area; segments of airways of which an end lies within, or that pass through it; rings of the coast that touch
///             it, without the vertices that could not be told apart at its scale. Fixes of airways come before others, and `fixes_left_out` counts those beyond `most_fixes`.
///   Domain    areas up to the whole earth, their south below their north.
///   Accuracy  as recorded; the coast within a 2,000th of the area's height.
///   Cost      linear in what the world holds.
///   Fails     never.
///   Source    ICAO Annex 4 for what a chart shows; common practice, no source, for how much.
struct ChartFeatures {
    ChartArea area;
    std::vector<navdata::StationId> stations;
    std::vector<ChartAirway> airways;
    std::vector<navdata::FixId> fixes;
    std::vector<navdata::AirportId> airports;
    std::vector<const navdata::Marker*> markers;  // of the world, which must outlive them
    std::vector<earth::CoastlineRing> coast;
    std::size_t fixes_left_out = 0;
};
inline constexpr std::size_t most_fixes = 1500;
ChartFeatures chart_features(const navdata::Snapshot& world, std::span<const earth::CoastlineRing> coast,
                             const ChartArea& area);

/// Where what a world holds lies, a little wider, and the cone onto which it is best laid.
///   Model     the least area that holds all stations and airports with a runway, wider by a tenth; of a world too wide for one chart (more than 30 degrees of latitude or
///             60 of longitude) the ends of its airways, and of those too so much about the one in the middle. Standard parallels at a sixth of its height from its
///             lower and upper edges, the upper one a degree farther north where the two would make a cylinder.
///   Domain    a world with one of these at least; of an empty one all is zero.
///   Accuracy  exact.
///   Cost      sorts its places.
///   Fails     never.
///   Source    the rule of sixths: Snyder, Map Projections: A Working Manual (USGS 1395), chapter 15, from memory.
struct ChartFrame {
    ChartArea area;
    double first_parallel_deg = 0.0;
    double second_parallel_deg = 0.0;
    double centre_latitude_deg = 0.0;
    double centre_longitude_deg = 0.0;
};
ChartFrame chart_frame(const navdata::Snapshot& world);

}  // namespace omniway::plan
