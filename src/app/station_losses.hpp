#pragma once

#include <optional>

#include "app/plan_flight.hpp"
#include "base/progress.hpp"
#include "plan/station_loss.hpp"
#include "plan/survive_any.hpp"

namespace omniway::app {

/// A planned flight and what the failure of each of its stations means.
struct LossesFound {
    Planned planned;
    std::optional<plan::LossReport> report;  // none: there is no flight
};

/// Plans, and takes each station away.
///   Model     plan/station_loss.hpp; the procedures of airports within 60 NM of the straight way are loaded too, at most 60 of them.
///   Domain    as app/plan_flight.hpp.
///   Accuracy  as plan/station_loss.hpp.
///   Cost      opening the atlas twice, one plan, and some tenths of a second a station.
///   Fails     as plan_flight(); cancelled: app.cancelled.
///   Source    the issue of the router, section 2.
tl::expected<LossesFound, std::vector<base::Error>> station_losses(const std::string& atlas,
                                                                   const Shipped& shipped,
                                                                   const PlanQuestion& question,
                                                                   const base::Progress& progress);

/// A flight that no single loss strands in place of the one that plan_flight() gives; where there is none, the best of those
/// looked at, not flyable as asked, with which losses strand it.
tl::expected<Planned, std::vector<base::Error>> plan_to_survive_any(const std::string& atlas,
                                                                    const Shipped& shipped,
                                                                    const PlanQuestion& question,
                                                                    const base::Progress& progress);

}  // namespace omniway::app
