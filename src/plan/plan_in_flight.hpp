#pragma once

#include "earth/magnetic_model.hpp"
#include "navdata/snapshot.hpp"
#include "plan/in_flight.hpp"
#include "plan/plan.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// Where an aircraft is after a distance of a flight, with what is left in its tanks; what is ahead of it is not filled in.
InFlight present_at(const Request& request, const Option& option, base::Length along);

/// A flight from a place in the air to an airport, as the planner finds it (plan/plan.hpp): "no" is its verdict.
///   Model     the planner with the ways on from there in place of a departure (plan/in_flight.hpp). To the destination of the flight at the level
///             to which it climbs first; at the present one, then 1,000, 2,000 and 4,000 ft higher, then at the level to which it climbs:
///             the first that the judge admits. The fuel is what is left, the reserve for such a need included; no alternate is asked for.
///             Runways, procedures and points to fly over were chosen for the flight that is left: they bind no other. What is to be kept away from, NDBs and
///             the highest altitude included, and dead reckoning but in the first minute, binds all the same.
///   Domain    a place in the air not above the ceiling; constraints by the ids of `world` (in_world() of plan/in_flight.hpp); `roads` of
///             this world and ground, or none.
///   Accuracy  as plan/plan.hpp.
///   Cost      some tens of milliseconds a level.
///   Fails     never.
///   Source    design section 3; docs/station-loss.md.
Answer plan_in_flight(const navdata::Snapshot& world, const radio::Ground& ground,
                      const earth::MagneticModel& model, const Request& request, const InFlight& now,
                      navdata::AirportId to, routing::Roads& roads);
Answer plan_in_flight(const navdata::Snapshot& world, const radio::Ground& ground,
                      const earth::MagneticModel& model, const Request& request, const InFlight& now,
                      navdata::AirportId to);

/// Why an answer is no flight, in one sentence: of no way at all that, of a way that the judge refuses what blocks it.
std::string why_no_flight(const Answer& answer);

/// So much of a flight is by heading alone.
base::Length by_heading(const flight::Flight& flight);

}  // namespace omniway::plan
