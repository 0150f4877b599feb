#pragma once

#include <optional>
#include <vector>

#include "flight/circumstances.hpp"
#include "flight/compile.hpp"
#include "flight/flight.hpp"
#include "flight/flown_step.hpp"
#include "flight/step_radios.hpp"

namespace omniway::flight::detail {

/// Puts the aid of an immediate return on a set for the departure: where it stands anyway, else on a receiver (or the ADF) that nothing
/// is asked of when lined up, else into a standby window, which gets its next frequency back when the departure is flown. None where no
/// set can take it. Common practice, no source.
std::optional<ImmediateReturn> way_back(const Circumstances& circumstances, const Flight& flight,
                                        const std::vector<FlownStep>& steps, StepsRadios& radios);

}  // namespace omniway::flight::detail
