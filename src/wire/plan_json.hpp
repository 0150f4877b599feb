#pragma once

#include <span>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"
#include "rehearsal/rehearse.hpp"

namespace omniway::wire {

/// The version of every JSON document this program writes; raised when a field changes its meaning or goes away.
constexpr int schema_version = 1;

/// A plan as JSON, as api/plan.schema.json describes it: units stand in the names.
///   Model     one document, keys in a fixed order, numbers rounded to what they are worth (0.001 NM, 0.01 degree).
///   Domain    answers of the same snapshot; the chances to arrive of the flight and of the others, in this order, as far as they were
///             rehearsed.
///   Accuracy  as rounded.
///   Cost      about a millisecond.
///   Fails     never.
///   Source    RFC 8259; api/plan.schema.json.
std::string plan_json(const navdata::Snapshot& world, const plan::Request& request,
                      const plan::Answer& answer, std::span<const rehearsal::Chance> proved = {});

/// What is wrong with what was asked, as JSON: {"schema_version", "errors": [{"code", "message", "where"}]}.
std::string errors_json(const std::vector<base::Error>& errors);

}  // namespace omniway::wire
