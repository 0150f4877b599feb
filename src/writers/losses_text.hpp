#pragma once

#include <optional>
#include <string>

#include "navdata/snapshot.hpp"
#include "plan/station_loss.hpp"

namespace omniway::writers {

/// What the failure of each station of a flight means, as text: each station with what is lost, then for each moment what is left.
///   Model     at most 100 columns.
///   Domain    an answer of the same snapshot; the report is none where there is no flight.
///   Accuracy  as printed.
///   Cost      some strings.
///   Fails     never.
///   Source    the issue of the router, section 2.
std::string losses_text(const navdata::Snapshot& world, const plan::Request& request,
                        const plan::Answer& answer, const std::optional<plan::LossReport>& report);

}  // namespace omniway::writers
