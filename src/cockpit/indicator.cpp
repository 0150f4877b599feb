#include "cockpit/indicator.hpp"

#include <algorithm>

namespace omniway::cockpit {

double Needle::of_full_scale() const {
    return std::clamp(deflection / full_scale, -1.0, 1.0);
}

bool Needle::pegged() const {
    return abs(deflection) >= full_scale;
}

}  // namespace omniway::cockpit
