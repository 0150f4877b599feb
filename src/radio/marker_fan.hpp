#pragma once

#include <optional>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "earth/position.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::radio {

/// The way the fan of a marker is narrow: as its record says, else along its localizer's course; none where neither is known.
std::optional<base::TrueBearing> minor_axis(const navdata::Snapshot& world, const navdata::Marker& marker);

/// Where a marker beacon is received: an upright fan, short along the approach and wide across it.
///   Model     both half widths grow with the height over its site. Along: Annex 10's coverage on the glide path, at the height of a three-degree path where
///             that marker usually stands (outer 3.9 NM, middle 1,050 m, inner 300 m before the threshold; the back course marker as an outer one). Across: an
///             ellipse as much wider as the FAA's is, 4,200 to 2,400 ft. Up to twice that height: Annex 10 asks 3 mV/m within and 1.5 at the edge, and
///             a field falls as the distance. Its site is as high as its record says, else as the threshold, else as the airport. Terrain is not asked.
///   Domain    markers with a minor axis or a localizer that gives one, and a site of known height; others have no fan.
///   Accuracy  the published lengths have tolerances of a third, the inner marker's too: 600 m +-200, 300 m +-100, 150 m +-50 (marker_fan_test.cpp).
///   Cost      a comparison of latitudes; one geodesic within a mile or so.
///   Fails     never: no fan where nothing can be said.
///   Source    ICAO Annex 10 Vol. I, 3.1.7.3.1 and 3.1.7.3.2 (from memory), 3.1.7.6 (sites, from memory); AIM 1-1-9 f for the ellipse (trade-facts 10.4).
class MarkerFan {
public:
    static std::optional<MarkerFan> of(const navdata::Snapshot& world, const navdata::Marker& marker);

    bool reaches(earth::Position place, base::Altitude altitude) const;
    const navdata::Marker& marker() const { return *marker_; }

private:
    MarkerFan(const navdata::Marker& marker, base::TrueBearing minor_axis, base::Altitude site)
        : marker_(&marker), minor_axis_(minor_axis), site_(site) {}

    const navdata::Marker* marker_;
    base::TrueBearing minor_axis_;
    base::Altitude site_;
};

/// Of every marker of a world that has one; the world must outlive them.
std::vector<MarkerFan> marker_fans(const navdata::Snapshot& world);

}  // namespace omniway::radio
