#pragma once

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "weather/wind.hpp"

namespace omniway::aircraft {

/// What carried an aircraft from its heading on to its track: the wind found in flight.
///   Model     plane vectors: ground velocity less air velocity.
///   Domain    any.
///   Accuracy  rounding; a degree of heading is 2.6 kt across at 150 kt.
///   Cost      some sines.
///   Fails     never; no wind blows from north.
///   Source    trade-facts 7.1 (wind finding).
weather::Wind found_wind(base::TrueBearing heading, base::Speed true_airspeed, base::TrueBearing track,
                         base::Speed groundspeed);

/// A wind with another added to it, as vectors.
weather::Wind added(const weather::Wind& wind, const weather::Wind& more);

}  // namespace omniway::aircraft
