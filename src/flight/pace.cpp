#include "flight/pace.hpp"

namespace omniway::flight {

namespace {

constexpr base::Length level_within = base::Length::feet(50.0);

Manner manner_of(Phase phase, base::Length change) {
    if (change > level_within) {
        return Manner::climb;
    }
    if (phase == Phase::approach) {
        return Manner::approach;
    }
    return change < -level_within ? Manner::descent : Manner::level;
}

}  // namespace

Pace pace_between(const aircraft::Performance& performance, Phase phase, base::Altitude at_start,
                  base::Altitude at_end) {
    Pace pace;
    pace.manner = manner_of(phase, at_end - at_start);
    pace.middle = at_start + (at_end - at_start) * 0.5;
    switch (pace.manner) {
        case Manner::climb:
            pace.true_airspeed = aircraft::true_airspeed_climb(performance, pace.middle);
            pace.fuel_flow = performance.climb.fuel_flow;
            break;
        case Manner::approach:
            pace.true_airspeed = (aircraft::true_airspeed_descent(performance, pace.middle) +
                                  aircraft::true_airspeed_approach(performance, pace.middle)) *
                                 0.5;
            pace.fuel_flow = performance.descent.fuel_flow;
            break;
        case Manner::descent:
            pace.true_airspeed = aircraft::true_airspeed_descent(performance, pace.middle);
            pace.fuel_flow = performance.descent.fuel_flow;
            break;
        case Manner::level:
            pace.true_airspeed = aircraft::true_airspeed_cruise(performance, pace.middle);
            pace.fuel_flow = aircraft::fuel_flow_cruise(performance, pace.middle);
            break;
    }
    return pace;
}

}  // namespace omniway::flight
