#pragma once

#include <array>
#include <cstddef>

#include "base/bearing.hpp"
#include "base/quantity.hpp"

namespace omniway::cockpit {

/// Which frequency, course or switch is turned.
enum class Knob { receiver_frequency, receiver_course, distance_frequency, distance_switch, adf_frequency };

/// One turn of a knob or switch.
struct KnobTurn {
    Knob knob = Knob::receiver_frequency;
    int receiver = 1;  // whose; of the DME's switch: the one it is to follow, 0: HOLD
    base::Frequency frequency;
    base::Radial course;
};

/// What hands do in one moment: the wheel, the power and pitch for a climb or descent and an airspeed, and the knobs of the radios.
///   Model     what is asked for; the aircraft follows within its limits.
///   Domain    turn -1 (left, the rate of a planned turn) to 1.
///   Accuracy  exact.
///   Cost      some hundred bytes.
///   Fails     never.
///   Source    common practice, no source.
struct Controls {
    double turn = 0.0;
    base::VerticalSpeed climb;   // negative: down; more than the aircraft can is all it can
    base::Speed airspeed;        // true
    bool heading_reset = false;  // the heading indicator is set to the compass
    std::array<KnobTurn, 2> knobs;
    std::size_t knob_count = 0;
};

}  // namespace omniway::cockpit
