#pragma once

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"

namespace omniway::earth {

/// The shortest line between two places on the WGS 84 ellipsoid.
///   Model     ellipsoidal geodesic; initial is the true bearing at the first place, arrival the one on passing the second.
///   Domain    any two places; at coincident or antipodal ones a bearing is one of many right ones.
///   Accuracy  15 nm (nanometres) and as good in bearing; geodesic_test.cpp holds it to the published test set.
///   Cost      about one microsecond, no allocation.
///   Fails     never.
///   Source    C. F. F. Karney, Algorithms for geodesics, J. Geodesy 87 (2013), through GeographicLib.
struct Geodesic {
    base::Length distance;
    base::TrueBearing initial;
    base::TrueBearing arrival;
};

Geodesic geodesic(Position from, Position to);
base::Length distance(Position from, Position to);
base::TrueBearing bearing(Position from, Position to);

/// The place reached from `from` on the true bearing `initial` after `length` (negative: behind).
Position destination(Position from, base::TrueBearing initial, base::Length length);

/// Where a place stands against the geodesic from `from` toward `to`: how far along it its foot lies (behind is
/// negative, beyond allowed) and how far to the right it stands (left is negative).
///   Model     the foot is where the perpendicular from the place meets the geodesic, which is drawn on past both ends.
///   Domain    `from` and `to` apart; the place within 2,000 NM of `from` and 1,000 NM of the line.
///   Accuracy  foot within 1 mm, offset within 1 micrometre (geodesic_test.cpp, against dense sampling).
///   Cost      about six geodesics.
///   Fails     never; `from` and `to` at one place point in a direction of the library's choice.
///   Source    steps by Napier's rule for the right-angled spherical triangle.
struct AlongAcross {
    base::Length along;
    base::Length across;
};
AlongAcross along_across(Position from, Position to, Position place);

}  // namespace omniway::earth
