#pragma once

#include <boost/geometry.hpp>
#include <boost/geometry/geometries/point_xy.hpp>
#include <boost/geometry/geometries/polygon.hpp>

#include "fixing/belief.hpp"

namespace omniway::testing {

/// Whether a place lies in a region of a belief: within an odd number of its rings.
inline bool holds(const fixing::Belief& belief, const fixing::BelievedRegion& region, earth::Position place) {
    using Point = boost::geometry::model::d2::point_xy<double>;
    const earth::PlanePoint at = belief.frame.to_plane(place);
    int rings = 0;
    for (const auto& ring : region.rings) {
        boost::geometry::model::polygon<Point> polygon;
        for (const earth::Position& corner : ring) {
            const earth::PlanePoint point = belief.frame.to_plane(corner);
            boost::geometry::append(polygon.outer(), Point(point.east_m, point.north_m));
        }
        boost::geometry::correct(polygon);
        rings += boost::geometry::within(Point(at.east_m, at.north_m), polygon) ? 1 : 0;
    }
    return rings % 2 == 1;
}

}  // namespace omniway::testing
