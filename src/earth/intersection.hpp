#pragma once

#include <optional>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"

namespace omniway::earth {

/// Where two lines of position meet: two bearings, a bearing and a distance, two distances.
///   Model     geodesics and geodesic circles on WGS 84; a bearing is a ray from its station, never its reciprocal; a place
///             within 1 m of a station is on every ray of it.
///   Domain    meetings within 5,000 NM of both stations, poles and antimeridian included; farther ones are not looked for.
///   Accuracy  1 mm where bearings cross at 0.02 degrees and more, where circles cross what they meet at 0.3 and more; below,
///             1 mm of both lines. Lines that miss by half a millimetre touch. intersection_test.cpp holds it to geodesics.
///   Cost      about twelve geodesics, no allocation but the answer.
///   Fails     "no" is an empty answer: rays diverge or run within 0.01 degrees of parallel, circles do not meet or share
///             their centre, a range is not above zero.
///   Source    Newton steps by the reduced length and the scale of Karney (2013), section 3; first guesses by spherical
///             triangles (four-part and half-angle formulas).
std::optional<Position> intersect(Position first, base::TrueBearing first_bearing, Position second,
                                  base::TrueBearing second_bearing);

/// The up to two places on the ray from `station` that lie `range` from `centre`, nearest to `station` first.
std::vector<Position> intersect(Position station, base::TrueBearing bearing, Position centre,
                                base::Length range);

/// The up to two places that lie at both ranges; the one left of the line from `first` to `second` comes first.
std::vector<Position> intersect(Position first, base::Length first_range, Position second,
                                base::Length second_range);

}  // namespace omniway::earth
