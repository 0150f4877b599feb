#include "earth/hillshade.hpp"

#include <algorithm>
#include <cmath>

namespace omniway::earth {

double hillshade(const NineHeights& heights, const Light& light) {
    const auto& [a, b, c, d, e, f, g, h, i] = heights.metres;
    static_cast<void>(e);
    const double eastward = ((c + 2.0 * f + i) - (a + 2.0 * d + g)) / (8.0 * heights.eastward.metres());
    const double northward = ((a + 2.0 * b + c) - (g + 2.0 * h + i)) / (8.0 * heights.southward.metres());
    // The normal of the plane (east, north, up) along the light.
    const double flat = base::cos(light.above_horizon);
    const double along = -eastward * base::sin(light.from.from_north()) * flat -
                         northward * base::cos(light.from.from_north()) * flat +
                         base::sin(light.above_horizon);
    return std::max(along / std::sqrt(1.0 + eastward * eastward + northward * northward), 0.0);
}

}  // namespace omniway::earth
