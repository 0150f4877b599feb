#pragma once

#include <span>
#include <string>

#include "flight/groundspeed_check.hpp"

namespace omniway::wire {

/// What the time on each leg of a card tells, as api/groundspeed-check.schema.json describes it.
///   Model     a table by columns of one length: the row of a time is the first whose until_s is not below it.
///   Domain    the checks of one card.
///   Accuracy  0.1 s in until_s; whole seconds and knots.
///   Cost      some ten kilobytes.
///   Fails     never.
///   Source    RFC 8259; docs/card.md.
std::string groundspeed_check_json(std::span<const flight::GroundspeedCheck> checks);

}  // namespace omniway::wire
