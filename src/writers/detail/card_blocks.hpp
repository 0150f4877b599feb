#pragma once

#include <string>

#include "flight/compile.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"

namespace omniway::writers::detail {

/// "asked: via XKE, avoiding V12" in a line of its own; empty where nothing is asked beyond the airports.
std::string asked_text(const navdata::Snapshot& world, const plan::Request& request);

/// What stands before the take-off: every knob, what is called, and the way straight back. Where the radios have no schedule it says
/// so and names the step and the fix.
std::string lined_up_text(const flight::Compiled& compiled);

/// The numbered steps by phase, then the missed approach: a line for what guides, and under it, each after its word, what ends it, the
/// heights, what to expect, how the radios stand, what to do and when, the check, and what might deceive.
std::string steps_text(const navdata::Snapshot& world, const flight::Compiled& compiled);

}  // namespace omniway::writers::detail
