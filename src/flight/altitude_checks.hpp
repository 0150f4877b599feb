#pragma once

#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/finding.hpp"
#include "flight/flight.hpp"
#include "navdata/snapshot.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::flight {

/// Which coded altitudes a flight does not hold, and by how much; what it must climb and descend more steeply than it can.
///   Model     the window of each coded leg at its end, in the profile flown: below a lowest altitude blocks, above a highest warns.
///             Descents of the approach from bound to bound, as a rate at the approach groundspeed: a rate above the aircraft's own
///             and above 1,000 ft/min warns. Climbs: 200 ft/NM in departure and missed approach against what the aircraft climbs at
///             the highest altitude asked there, and each lowest altitude coded on the way against the altitude reached, from the
///             altitude coded with the missed approach point; where a hold follows at the same fix, the climb goes on there.
///   Domain    a flight with its profile.
///   Accuracy  1 ft; gradients by the wind at their altitude and a standard day.
///   Cost      some microseconds a leg.
///   Fails     never: every doubt is a finding.
///   Source    trade-facts 7.3, 11.2 (200 ft/NM), 13.9 (windows). 1,000 ft/min as the steepest stabilised descent: FAA Instrument
///             Procedures Handbook, chapter 4, from memory.
std::vector<base::Finding> altitude_checks(const navdata::Snapshot& world, const aircraft::Aircraft& aircraft,
                                           const weather::WindsAloft& winds, const Flight& flight);

}  // namespace omniway::flight
