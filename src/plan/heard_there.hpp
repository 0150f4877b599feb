#pragma once

#include "base/altitude.hpp"
#include "earth/position.hpp"
#include "fixing/belief.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"
#include "radio/reception.hpp"

namespace omniway::plan {

/// Whether an aid is heard where the aircraft may be.
struct HeardThere {
    base::Altitude altitude;
    radio::Reception here;  // at the likeliest place
    double share = 0.0;     // of the belief's probability, where it is heard
};

/// The azimuth of an aid, at the likeliest place and over all the belief.
///   Model     reception (radio/reception.hpp) at 400 cells of the belief, each standing for as much of its probability.
///   Domain    a belief of one cell at least; one without cells is its likeliest place.
///   Accuracy  the share: half a percent.
///   Cost      a horizon where there is terrain, then 400 looks of some microseconds.
///   Fails     never.
///   Source    common practice, no source (systematic sampling).
HeardThere heard_there(const navdata::Snapshot& world, const radio::Ground& ground,
                       navdata::StationId station, const fixing::Belief& belief, earth::Position likeliest,
                       base::Altitude altitude);

}  // namespace omniway::plan
