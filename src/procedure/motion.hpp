#pragma once

#include "aircraft/turn.hpp"
#include "base/quantity.hpp"
#include "weather/wind.hpp"

namespace omniway::procedure {

/// How an aircraft moves while a part of a procedure is flown: one true airspeed, one wind, one manner of turning.
///   Model     level flight; the turn's rate and radius belong to the airspeed.
///   Domain    true airspeed and rate of turn above zero.
///   Accuracy  exact.
///   Cost      a handful of numbers.
///   Fails     never.
///   Source    plane kinematics.
struct Motion {
    base::Speed true_airspeed;
    weather::Wind wind;
    aircraft::Turn turn;  // aircraft::planned_turn(true_airspeed), or holding's own
};

}  // namespace omniway::procedure
