#pragma once

#include <cstddef>

#include "cockpit/equipment.hpp"

namespace omniway::testing {

/// Equipment written down for a test in one line: that many receivers, all with localizer.
struct Aboard {
    std::size_t receivers = 1;
    bool dme = false;
    bool adf = false;
    bool glideslope = false;
};

inline cockpit::Equipment equipment(const Aboard& aboard) {
    cockpit::Equipment all;
    for (std::size_t i = 0; i < aboard.receivers; ++i) {
        cockpit::NavigationReceiver receiver;
        receiver.glideslope = aboard.glideslope && i == 0;
        all.receivers.push_back(receiver);
    }
    if (aboard.dme) {
        all.dme = cockpit::DmeControl::own_control;
    }
    if (aboard.adf) {
        all.adf = cockpit::AdfIndicator::fixed_card;
    }
    return all;
}

/// Whether `more` has all that `less` has.
inline bool contains(const Aboard& more, const Aboard& less) {
    return more.receivers >= less.receivers && more.dme >= less.dme && more.adf >= less.adf &&
           more.glideslope >= less.glideslope;
}

}  // namespace omniway::testing
