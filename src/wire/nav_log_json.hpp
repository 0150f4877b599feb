#pragma once

#include <optional>
#include <string>

#include "navdata/snapshot.hpp"
#include "plan/nav_log.hpp"
#include "plan/plan.hpp"

namespace omniway::wire {

/// The alternate as it is told: which, and whether a flight leads there.
struct AlternateTold {
    std::string ident;
    const plan::Answer* answer = nullptr;
};

/// A nav log as one JSON document, named "navlog" (api/navlog.schema.json).
///   Model     a number's name ends in its unit; null is not known; moments are ISO 8601 UTC.
///   Domain    a log of the answer's option; none: there is no flight.
///   Accuracy  tenths, hundredths of miles and minutes.
///   Cost      some ten kilobytes.
///   Fails     never.
///   Source    docs/json.md.
std::string nav_log_json(const navdata::Snapshot& world, const plan::Request& request,
                         const plan::Answer& answer, const std::optional<plan::NavLog>& log,
                         const std::optional<AlternateTold>& alternate);

}  // namespace omniway::wire
