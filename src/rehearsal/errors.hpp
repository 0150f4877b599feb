#pragma once

#include "base/quantity.hpp"
#include "radio/error_budget.hpp"

namespace omniway::rehearsal {

/// How wrong the world of a rehearsal is: each figure is one standard deviation, drawn anew for each flight.
///   Model     independent normal errors. A station's bearing errs by a bias and by bends that change slowly with the azimuth, a receiver by a bias of
///             its own; the pilot is content with a needle that wanders; a DME reads off by a fixed part and a share of the distance, drawn
///             together. Wind errs by a vector that changes slowly along the flight.
///   Domain    zero and above; zero is without that error.
///   Accuracy  -
///   Cost      some numbers.
///   Fails     never.
///   Source    each beside its value in nominal(); docs/methods/rehearsal.md.
struct Errors {
    base::Angle vor_station;
    base::Angle vor_receiver;
    base::Angle ndb_station;
    base::Angle adf;
    base::Angle localizer;
    base::Angle wander;                               // flight technical error, as an angle of a VOR's needle
    base::Duration wander_for = base::minutes(10.0);  // how long one wander lasts
    base::Length dme_fixed;
    double dme_share = 0.0;  // of the distance
    base::Speed wind;        // each component
    base::Duration wind_for = base::minutes(20.0);
    base::Speed gusts;          // along and across
    base::Angle heading_drift;  // of the heading indicator in an hour
    base::Angle compass;
    base::Length altimeter;
    double airspeed_share = 0.0;
};

/// None at all: calm air as forecast, perfect instruments.
Errors no_errors();

/// What the criteria allow for: the parts add up to their 95 % tolerances.
///   Source    VOR by TERPS: 3.6 degrees crossing [seen], 4.5 tracking (from memory), parted into ground and receiver as PANS-OPS parts its own (3.5 with 1.0
///             of monitor, and 2.7: trade-facts 3.1 [seen]); the wander is what tracking has beyond crossing. PANS-OPS: its own parts. NDB: trade-facts
///             3.1. Localizer: trade-facts 3.2 (from memory). DME 0.25 NM + 1.25 % [seen]. Wind, gusts, drift, compass, altimeter, airspeed:
///             common practice, no source (altimeter 75 ft is what 14 CFR 91 practice allows on the ground, from memory).
Errors nominal_errors(radio::Criteria criteria);

}  // namespace omniway::rehearsal
