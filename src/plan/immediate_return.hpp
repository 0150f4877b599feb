#pragma once

#include <optional>

#include "flight/circumstances.hpp"
#include "flight/flight.hpp"
#include "procedure/minima.hpp"

namespace omniway::plan {

/// The approach by which a flight would come straight back after the take-off.
///   Model     of the approaches to the departure airport that can be flown and landed in this wind (plan/approach_choice.hpp) the least
///             work by its scale: its length, its work and its best landing. One whose aid can stand on a set when lined up comes
///             first: it is what the flight is on there anyway, or the set is not needed for the departure.
///   Domain    any flight, however it was made.
///   Accuracy  as plan/approach_choice.hpp.
///   Cost      as that: some milliseconds.
///   Fails     "no" is an empty answer: no approach leads back that the equipment can fly.
///   Source    design section 2; the preference: common practice, no source.
std::optional<flight::ReturnApproach> immediate_return(const flight::Circumstances& day,
                                                       const procedure::Minima& minima,
                                                       const flight::Flight& flight);

}  // namespace omniway::plan
