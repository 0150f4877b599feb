#pragma once

#include <string>

#include "base/clock.hpp"
#include "base/quantity.hpp"
#include "flight/circumstances.hpp"
#include "flight/compile.hpp"
#include "flight/flight.hpp"

namespace omniway::flight {

/// How much is left of what a flight may use up where it is tightest: 1 is all, 0 is nothing.
struct Margin {
    double reception = 1.0;  // of the range to which the guiding station is heard at that height
    double fix = 1.0;        // of the error that the fix allows
    double width = 1.0;      // of the protected half width, by the spread of the guidance (2 sigma)
    // Where each is tightest, in words: "XKE heard at 38.0 of 40.0 NM, direct from XRG to XBN". Empty where nothing is used up.
    std::string reception_at = {};
    std::string fix_at = {};
    std::string width_at = {};
    double least() const;
    const std::string& tightest_at() const;  // of the least of the three
};

/// What a flight costs, in three measures that are never added: the time, the work, and how tight it is.
///   Model     time from take-off to the missed approach point in the wind by level, climbs and holds included. Work in points on the scale of
///             flight/work_scale.hpp: each knob turned and each ident heard after take-off, each minute of dead reckoning, each hold,
///             reversal and arc, each intercept or turn beyond 60 degrees; a frequency preselected is turned once. Reception: of
///             what guides off the publications, the share left of the range to which it is heard at that height in that direction;
///             a published segment has the reception that its publication gives it. Fix: of those with an allowance (the final fix,
///             those of a procedure and its entry). Width: along VORs and NDBs before the approach, by radio/error_budget.hpp; a
///             stretch of dead reckoning has its splay protected and uses nothing up.
///   Domain    a flight and what compile() made of it in the same circumstances. Without a radio schedule no radio work is in it.
///   Accuracy  time as flight/pace.hpp; work exact on its scale; margin 0.01.
///   Cost      a millisecond; some over terrain.
///   Fails     never: where no heading holds a track its time is that of its airspeed.
///   Source    the scale: common practice, no source. Widths and errors: trade-facts 3.
struct Costs {
    base::Duration time{0.0};
    double work = 0.0;
    Margin margin;
};

Costs costs_of(const Circumstances& circumstances, const Flight& flight, const Compiled& compiled);

/// Nowhere worse and somewhere better, in time, work and the least margin.
bool dominates(const Costs& a, const Costs& b);

}  // namespace omniway::flight
