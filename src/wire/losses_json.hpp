#pragma once

#include <optional>
#include <string>

#include "navdata/snapshot.hpp"
#include "plan/station_loss.hpp"

namespace omniway::wire {

/// What the failure of each station of a flight means, as JSON, as api/losses.schema.json describes it.
///   Model     one document, keys in a fixed order; the report is none where there is no flight.
///   Domain    an answer of the same snapshot.
///   Accuracy  as rounded.
///   Cost      some milliseconds.
///   Fails     never.
///   Source    RFC 8259; api/losses.schema.json.
std::string losses_json(const navdata::Snapshot& world, const plan::Request& request,
                        const plan::Answer& answer, const std::optional<plan::LossReport>& report);

}  // namespace omniway::wire
