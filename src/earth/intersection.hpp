#pragma once

#include <optional>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"

namespace omniway::earth {

/// Where two lines of position meet: two bearings, a bearing and a distance, two distances.
///   Model     geodesics and geodesic circles on WGS 84; a bearing is a ray from its station, never its reciprocal.
///   Domain    stations and meetings within a quarter of the earth (5,000 NM) of one another, poles and antimeridian included.
///   Accuracy  1 mm where the lines cross at 5 degrees or more; intersection_test.cpp holds it to direct geodesics.
///   Cost      under 20 microseconds.
///   Fails     "no" is an empty answer: rays diverge or are parallel within 0.01 degrees, circles do not meet.
///   Source    gnomonic iteration of Karney (2013) section 8, and Newton steps on the geodesic for the circles.
std::optional<Position> intersect(Position first, base::TrueBearing first_bearing, Position second,
                                  base::TrueBearing second_bearing);

/// The up to two places on the ray from `station` that lie `range` from `centre`, nearest to `station` first.
std::vector<Position> intersect(Position station, base::TrueBearing bearing, Position centre,
                                base::Length range);

/// The up to two places that lie at both ranges; the one left of the line from `first` to `second` comes first.
std::vector<Position> intersect(Position first, base::Length first_range, Position second,
                                base::Length second_range);

}  // namespace omniway::earth
