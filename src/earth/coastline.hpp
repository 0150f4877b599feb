#pragma once

#include <vector>

#include "earth/position.hpp"

namespace omniway::earth {

/// The shore of one island or of one lake: a closed line.
///   Model     vertices in order, the last joined to the first (which is not repeated) by a straight line in latitude and
///             longitude; land on the left.
///   Domain    three vertices or more; a ring may cross the antimeridian, neighbouring vertices lie less than 180 degrees apart.
///   Accuracy  of the source.
///   Cost      two doubles a vertex.
///   Fails     never.
///   Source    RFC 7946, 3.1.6 (right-hand rule: an exterior ring runs anticlockwise).
struct CoastlineRing {
    std::vector<Position> vertices;
    friend bool operator==(const CoastlineRing&, const CoastlineRing&) = default;
};

}  // namespace omniway::earth
