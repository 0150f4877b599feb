#pragma once

#include "aircraft/performance.hpp"
#include "base/altitude.hpp"
#include "base/quantity.hpp"
#include "flight/leg.hpp"

namespace omniway::flight {

/// How a part of a flight is flown in the vertical.
enum class Manner { climb, level, descent, approach };

/// How fast through the air, and how thirsty, a part of a flight is flown between two altitudes.
///   Model     at the altitude midway; a change of up to 50 ft is level. A procedure is flown between the speed of the descent and
///             the one over the threshold: midway stands for both.
///   Domain    altitudes up to the ceiling.
///   Accuracy  as aircraft/performance.hpp; over a climb of 10,000 ft the airspeed midway is within 1 % of the mean.
///   Cost      a microsecond.
///   Fails     never.
///   Source    trade-facts 7.3, 7.5; speeds of a procedure: common practice, no source.
struct Pace {
    Manner manner = Manner::level;
    base::Altitude middle;
    base::Speed true_airspeed;
    base::MassFlow fuel_flow;
};
Pace pace_between(const aircraft::Performance& performance, Phase phase, base::Altitude at_start,
                  base::Altitude at_end);

}  // namespace omniway::flight
