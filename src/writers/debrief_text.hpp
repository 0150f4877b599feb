#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "debrief/debrief.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"

namespace omniway::writers {

/// What was laid beside what, for a page.
struct DebriefPage {
    const plan::Request& request;
    const plan::Option& option;
    const flight::Card& card;
    std::string file;   // of the card
    std::string track;  // its file, with what became of its points
    const earth::FlownTrack& flown;
    std::string reception;
    const debrief::Debrief& debrief;
};

/// A debrief as text: what to practise, a line a step with its times, sides and heights, then how fixes were passed and steps ended, holds and
/// reversals, and what the needles showed as each step began.
///   Model     at most 104 columns.
///   Domain    a debrief of that card.
///   Accuracy  as printed: distances to a tenth of a mile, altitudes to ten feet.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 4.
std::string debrief_text(const navdata::Snapshot& world, const DebriefPage& page);

}  // namespace omniway::writers
