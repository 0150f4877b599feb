#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/diversion.hpp"
#include "plan/station_loss.hpp"

namespace omniway::plan {

/// How a loss, what is left after it, and a diversion are said: one wording for screen and wire.
///   Model     clauses of the trade without a full stop.
///   Domain    of the same snapshot.
///   Accuracy  as printed.
///   Cost      a string.
///   Fails     never.
///   Source    common practice, no source.
/// "guides steps 2 and 3, ends step 4".
std::string uses_text(const StationLoss& loss);
/// "another way to XMRA: 4 NM before XKE DCT XHU ..., 45 NM, 26:10".
std::string fallback_text(const navdata::Snapshot& world, const StationLoss& loss, const Failure& failure);
/// "NAV1 VOR/DME XKE 113.40 -..- -.- ., course 090 to; heading 085 for 3.0 NM (1:30) meanwhile".
std::string first_text(const FirstOnTheRadios& first);

}  // namespace omniway::plan
