#pragma once

#include <optional>
#include <span>
#include <vector>

#include "debrief/detail/laid.hpp"
#include "debrief/step_debriefed.hpp"

namespace omniway::debrief::detail {

// Each figure of a step (debrief/step_debriefed.hpp) from its stretch of the track, docs/methods/debrief.md saying how.

/// The course needle that guides, its set standing as the card has it; none where none does, it has no signal, or nobody follows it so near to the aid.
std::optional<cockpit::Needle> guiding_needle(Laid& laid, std::size_t step, const Sample& sample);
SideFlown side_flown(Laid& laid, const Stretch& stretch);
/// None where no aid guides.
std::optional<GuideShown> guide_shown(Laid& laid, const Stretch& stretch);
/// None where no altitude was recorded.
std::optional<HeightsFlown> heights_flown(const Laid& laid, const Stretch& stretch);
std::vector<ShownAt> instruments_shown(Laid& laid, const Stretch& stretch);
/// None where no fix stands at its end, or the track has nothing near it.
std::optional<FixPassed> fix_passed(const Laid& laid, const Stretch& stretch);
HoldFlown hold_flown(const Laid& laid, const Stretch& stretch);
/// None where the card has no reversal there.
std::optional<ReversalFlown> reversal_flown(const Laid& laid, const Stretch& stretch);
/// None where nothing that an instrument shows ends it, or the record ends before it does. `told`: what is known of the step; `earlier`: of those
/// before it, from whose fixes a clock may count.
std::optional<EndShown> end_shown(Laid& laid, const Stretch& stretch, const StepDebriefed& told,
                                  std::span<const StepDebriefed> earlier);

}  // namespace omniway::debrief::detail
