#include "cockpit/equipment.hpp"

#include <algorithm>

namespace omniway::cockpit {

bool Equipment::has_localizer() const {
    return std::any_of(receivers.begin(), receivers.end(), [](const auto& r) { return r.localizer; });
}

bool Equipment::has_glideslope() const {
    return std::any_of(receivers.begin(), receivers.end(),
                       [](const auto& r) { return r.localizer && r.glideslope; });
}

}  // namespace omniway::cockpit
