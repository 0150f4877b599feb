#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/result.hpp"
#include "navdata/snapshot.hpp"
#include "plan/plan.hpp"

namespace omniway::app::detail {

/// The runway of an airport that was typed, "RW25" or "25", if one was; one that is not there is a fault, app.unknown_runway.
std::optional<navdata::RunwayId> runway_asked(std::vector<base::Error>& faults,
                                              const navdata::Snapshot& world, navdata::AirportId airport,
                                              const std::optional<std::string>& ident, std::string where);

/// Takes the approach that was typed, "I27", "I27/XOBAN" or "ILS RW27 via XOBAN", into the request; one that is not there is a fault,
/// app.unknown_approach.
void take_approach(std::vector<base::Error>& faults, const navdata::Snapshot& world,
                   const std::optional<std::string>& asked, plan::Request& request);

}  // namespace omniway::app::detail
