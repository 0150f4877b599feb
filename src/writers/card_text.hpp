#pragma once

#include <span>
#include <string>

#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "rehearsal/rehearse.hpp"

namespace omniway::writers {

/// The caution that stands on everything that could be flown from.
extern const char* const not_for_navigation;

/// A plan as text for a terminal or a printer: the verdict, the flight in a line, the numbered steps, the missed approach and
/// the findings, worst first.
///   Model     at most 100 columns; three findings of each weight unless `everything`, the rest counted.
///   Domain    answers of the same snapshot; the chances to arrive of the flight and of the others, in this order, as far as they were
///             rehearsed.
///   Accuracy  as printed: whole degrees, knots, minutes with seconds, tenths of a mile.
///   Cost      some strings.
///   Fails     never.
///   Source    design section 2.
std::string card_text(const navdata::Snapshot& world, const plan::Request& request,
                      const plan::Answer& answer, bool everything,
                      std::span<const rehearsal::Chance> proved = {});

/// What was refused and why, grouped.
std::string refused_text(const navdata::Snapshot& world, const plan::Answer& answer);

}  // namespace omniway::writers
