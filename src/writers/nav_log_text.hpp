#pragma once

#include <string>

#include "navdata/snapshot.hpp"
#include "plan/nav_log.hpp"
#include "plan/plan.hpp"

namespace omniway::writers {

/// A nav log as lines for paper: a row a point, columns left for what comes of it, the fuel, the winds found, the findings.
///   Model     one line a row; figures right in their columns; what is not known is "-", what is to be filled in is blank.
///   Domain    a log of the answer's option; none: why there is no flight.
///   Accuracy  whole degrees, knots and pounds, tenths of a mile, minutes to the nearest half.
///   Cost      some kilobytes.
///   Fails     never.
///   Source    the columns of a nav log: PHAK, IFH; docs/nav-log.md.
std::string nav_log_text(const navdata::Snapshot& world, const plan::Request& request,
                         const plan::Answer& answer, const std::optional<plan::NavLog>& log,
                         const std::string& alternate);

/// The rows as comma-separated values (RFC 4180), a header row first, names as in JSON (api/navlog.schema.json).
std::string nav_log_csv(const plan::NavLog& log);

}  // namespace omniway::writers
