#pragma once

#include "flight/flight.hpp"

namespace omniway::flight {

/// Where a segment would begin below its minimum in the climb: the climb goes on in a hold over the VOR or NDB behind it.
///   Model     a leg of whole circuits (four minutes each, five above 14,000 ft), inbound as the aid is reached, right turns: entered directly. It has the
///             length flown through the air in them, so that profile, time and fuel count it; as many circuits as lead to the minimum of the
///             segment in the hold itself, which is left there. Over the last aid at or before the segment's beginning; where there is none the judge finds the segment below
///             its minimum. A flight taken up in the air that begins with a hold there goes on with that one.
///   Domain    flights with their profile; the aircraft's climb as in it.
///   Accuracy  that of the profile.
///   Cost      one profile a circuit.
///   Fails     never: what ten circuits do not reach is left to the judge.
///   Source    design section 3 ("a climb overhead to the segment's minimum"); timing: trade-facts 8.2.
void climb_overhead(const navdata::Snapshot& world, Flight& flight, const aircraft::Aircraft& aircraft,
                    base::Altitude departure_elevation, base::Altitude arrival_elevation,
                    const weather::WindsAloft& winds);

/// A leg that is a climb in a hold.
bool is_climb_in_hold(const Leg& leg);

}  // namespace omniway::flight
