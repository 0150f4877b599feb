#include "radio/line_of_sight.hpp"

#include <algorithm>
#include <cmath>

namespace omniway::radio {

base::Length line_of_sight(base::Length one_height, base::Length other_height) {
    const auto root_feet = [](base::Length height) { return std::sqrt(std::max(height.feet(), 0.0)); };
    return base::Length::nautical_miles(1.23 * (root_feet(one_height) + root_feet(other_height)));
}

}  // namespace omniway::radio
