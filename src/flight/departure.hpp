#pragma once

#include <functional>
#include <string>

#include "flight/en_route.hpp"

namespace omniway::flight {

/// The first leg: from the runway to a VOR or NDB, on a heading until the aid is heard in the climb, then toward it.
///   Model     straight from the departure to the aid; reception is that of radio/along_path.hpp in the climb, and once heard it must stay. The heading part is dead reckoning: as long as the settings allow, no longer.
///   Domain    aids within 60 NM.
///   Accuracy  0.1 NM in where the aid comes alive.
///   Cost      under a millisecond.
///   Fails     "no" is a finding with the distance at which the aid would be heard.
///   Source    design section 3 ("airport to the first station").
LegOrReason departure_leg(const navdata::Snapshot& world, const radio::Ground& ground,
                          const cockpit::Equipment& aboard, const Settings& settings,
                          earth::Position departure, const std::string& departure_name,
                          const procedure::PlacedFix& first,
                          const std::function<base::Altitude(base::Length)>& climb, base::Speed groundspeed);

}  // namespace omniway::flight
