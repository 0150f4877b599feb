#pragma once

#include <memory>

#include "plan/station_loss.hpp"

namespace omniway::plan {

/// A flight that survives the failure of any one station it uses, or the best of those that do not.
struct Survivor {
    std::shared_ptr<const navdata::Snapshot>
        world;  // none: the one that was asked about; else without those it keeps away from
    std::vector<std::string> keeps_away_from;  // idents of stations
    Answer answer;
    LossReport losses;
    std::size_t flights_looked_at = 0;
    bool cancelled = false;
    bool survives() const;
};

/// Looks for a flight that no single failure strands.
///   Model     the flight offered, then the others offered, in order; then, nearest to these first, the flights that keep away from one,
///             two and more of the stations that stranded those before: planned in a world in which these are out of service, where
///             what is left after another failure does without them too, so that what survives there survives in the whole world. The first
///             that no failure strands (plan/station_loss.hpp); else the one that the fewest strand, the earlier where equal.
///   Domain    `answer`: of plan() in this world for this request, not refused.
///   Accuracy  as plan/station_loss.hpp. That none is found does not prove that there is none: at most 12 flights are looked at.
///   Cost      twelve times that of station_losses() at most.
///   Fails     never; cancelled it gives the best until then.
///   Source    the issue of the router, section 2; docs/station-loss.md.
Survivor survive_any(const navdata::Snapshot& world, const radio::Ground& ground,
                     const earth::MagneticModel& model, const Request& request, Answer answer,
                     const std::vector<navdata::AirportId>& nearby, const base::Progress& progress = {});

}  // namespace omniway::plan
