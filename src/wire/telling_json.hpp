#pragma once

#include <string>
#include <vector>

#include "navdata/snapshot.hpp"
#include "plan/fix_report.hpp"

namespace omniway::wire {

/// How a fix can be told as JSON, as api/telling.schema.json describes it.
///   Model     one entry for each fix or station of the ident, and in it one for each line on which it is reached; areas as
///             rings of corners, clockwise, not closed.
///   Domain    reports of `world`, at least one.
///   Accuracy  rounded to what it is worth (0.01 NM, 0.1 degree); corners to 1e-7 degrees.
///   Cost      about a millisecond.
///   Fails     never.
///   Source    RFC 8259; api/telling.schema.json.
std::string telling_json(const navdata::Snapshot& world, const std::vector<plan::FixReport>& reports);

}  // namespace omniway::wire
