#pragma once

#include <optional>
#include <string>
#include <vector>

#include "flight/step.hpp"

namespace omniway::flight {

/// An approach back to the field with the radios already set for it.
struct ImmediateReturn {
    std::string approach;  // "ILS RW25 via XOBAN"
    NamedAid aid;
    base::Radial course;
    RadioSet set;  // on which it stands when lined up
    bool in_standby = false;
    friend bool operator==(const ImmediateReturn&, const ImmediateReturn&) = default;
};

/// A flight as a program for a cockpit: what paper holds, from lining up to the runway, and the missed approach as a branch.
///   Model     steps in order; the missed approach is entered at the end of the last of `steps` and numbered on from it. The geometry
///             it was made from is the flight track, keyed by the same numbers.
///   Domain    one aircraft, one atlas.
///   Accuracy  as flight/step.hpp.
///   Cost      some tens of kilobytes.
///   Fails     never.
///   Source    design section 2, idea 2.
struct Card {
    StepRadios lined_up;                    // every knob before the take-off
    std::vector<StepWork> before_take_off;  // calls, the clock
    std::optional<ImmediateReturn> immediate_return;
    std::vector<Step> steps;
    std::vector<Step> missed;
    base::Length distance;
    std::optional<base::Duration> time;
    base::Mass fuel;         // from take-off to the missed approach point
    base::Mass fuel_needed;  // with taxi and reserve
    friend bool operator==(const Card&, const Card&) = default;
};

}  // namespace omniway::flight
