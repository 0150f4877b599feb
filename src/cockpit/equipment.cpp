#include "cockpit/equipment.hpp"

#include <algorithm>

namespace omniway::cockpit {

bool Equipment::has_localizer() const {
    return std::any_of(receivers.begin(), receivers.end(), [](const auto& r) { return r.localizer; });
}

std::optional<CourseIndicator> Equipment::localizer_indicator() const {
    std::optional<CourseIndicator> found;
    for (const NavigationReceiver& receiver : receivers) {
        if (receiver.localizer && found != CourseIndicator::hsi) {
            found = receiver.indicator;
        }
    }
    return found;
}

bool Equipment::has_glideslope() const {
    return std::any_of(receivers.begin(), receivers.end(),
                       [](const auto& r) { return r.localizer && r.glideslope; });
}

}  // namespace omniway::cockpit
