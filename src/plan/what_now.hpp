#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/finding.hpp"
#include "base/progress.hpp"
#include "earth/magnetic_model.hpp"
#include "fixing/belief.hpp"
#include "navdata/snapshot.hpp"
#include "plan/back_to_card.hpp"
#include "plan/diversion.hpp"
#include "plan/plan.hpp"
#include "plan/safe_altitude.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// What an aircraft that has lost its way has to go on with.
struct WhatNowQuestion {
    const Request&
        request;  // aircraft, winds, day, settings, minima, constraints; its airports and cruise are of no account
    const fixing::Belief& belief;  // of one mode at least
    base::Altitude altitude;
    std::optional<base::MagneticBearing> heading = std::nullopt;
    base::Mass fuel = {};                          // left on board
    std::string place_name = "here";               // what the ways from there call it: "XAB123020"
    std::optional<FlownCard> card = std::nullopt;  // that was being flown
    DiversionQuestion land = {};                   // no airports: none is looked for
};

/// How sure the place is that all of it begins at.
struct Sureness {
    earth::Position place;     // the likeliest
    double probability = 0.0;  // of it
    base::Length extent;       // of the 95 % region
    bool enough = false;       // else: tune what tells more first (fixing/next_reading.hpp)
};

/// What to do now.
struct WhatNow {
    Sureness sure;
    SafeAltitude safe;
    base::Altitude go_on_at;         // at which the rest is reckoned: the present altitude, or a higher one
    bool climb_first = false;        // to that
    std::optional<BackToCard> back;  // none where no card was flown, or nothing of it is left
    Diversions land;
    std::optional<HeardThere>
        first_heard;  // what is to be set first of the first of these, there at that altitude
    std::vector<base::Finding> findings;  // worst first
};

/// What to do now where it is not known where one is.
///   Model     first the altitude that is safe over all of the 95 % region (plan/safe_altitude.hpp); then from the likeliest place, at the present altitude
///             where that is as high, else at the safe one or the lower bound of it, the way back to the card (plan/back_to_card.hpp) and the airports
///             that can be flown to (plan/diversion.hpp). The place is sure enough where 80 % stand for it and the region is no longer than 10 NM;
///             where it is not the same is answered, and said not to be sure.
///   Domain    a belief of believe(); altitudes up to the ceiling: one above it is reckoned at it.
///   Accuracy  as the three.
///   Cost      as plan/diversion.hpp, and some tens of microseconds a square mile of the region.
///   Fails     never: what is not known is a finding (now.not_sure, now.climb_first, now.no_safe_altitude, now.only_a_bound,
///             now.above_the_ceiling, now.card_is_over, now.no_airport, now.first_not_heard).
///   Source    design section 3; 80 % and 10 NM: common practice, no source; docs/methods/what-now.md.
WhatNow what_now(const navdata::Snapshot& world, const radio::Ground& ground,
                 const earth::MagneticModel& model, const WhatNowQuestion& question,
                 const base::Progress& progress = {});

}  // namespace omniway::plan
