#pragma once

#include <optional>
#include <vector>

#include "base/quantity.hpp"
#include "flight/card.hpp"

namespace omniway::flight {

/// What one groundspeed tells, in whole knots.
struct GroundspeedFound {
    base::Duration until{0.0};  // the longest that the step takes at it; the quickest row before it is faster
    base::Speed groundspeed;
    base::Speed headwind;                // along the course; negative is a tailwind
    std::optional<base::Duration> next;  // what the step after it will take in that wind
};

/// Of a step that is long and straight enough to tell it.
struct GroundspeedCheck {
    int step = 0;
    base::Duration from{0.0};                  // what took no longer than this is faster than any row
    base::Speed headwind;                      // forecast, along the course
    std::vector<GroundspeedFound> found = {};  // slower and slower
};

/// What the time on a leg tells over its end: groundspeed, the wind along it, and how long the next leg will take. As a table for each step,
/// so that whoever flies the card reads a row off and reckons nothing.
///   Model     groundspeed is the card's distance over the time that was taken. Headwind is what the true airspeed, held on the card's
///             heading, has along the course, less the groundspeed. The wind is the forecast one with that along this course; the next leg is flown in
///             it at its own true airspeed, and its time is the card's in the ratio of the groundspeeds. A next step that turns keeps the card's time.
///   Domain    steps along a radial, a bearing, a localizer or a heading, of 5 NM and more (a time wrong by 2 s is then 2 % at most up to 180 kt);
///             groundspeeds within 60 kt of the card's, from 30 kt. Bearings are magnetic: variation is taken to be the same on both legs.
///   Accuracy  as the card is rounded: 1 kt, at 5 NM 2 kt; the next time 2 %. An airspeed not held is taken for wind.
///   Cost      some hundred rows a step.
///   Fails     never: other steps have none; no next where there is none, or no heading would hold it.
///   Source    trade-facts 7.1 (the wind triangle); FAA-H-8083-25, Navigation: groundspeed is distance over time.
std::vector<GroundspeedCheck> groundspeed_checks(const Card& card);

}  // namespace omniway::flight
