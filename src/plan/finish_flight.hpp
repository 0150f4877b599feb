#pragma once

#include <functional>

#include "earth/magnetic_model.hpp"
#include "flight/flight.hpp"
#include "flight/runway_choice.hpp"
#include "navdata/snapshot.hpp"
#include "plan/approach_choice.hpp"
#include "plan/plan.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// Of legs a whole flight that is judged: what is the same whether the planner found the way or a person named it.
///   Model     an approach laid behind the legs with its missed approach; then profile, climbs overhead, top of descent, DME readings at
///             the heights flown; then the judge.
///   Domain    legs of the snapshot, from the runway to the entry of the approach.
///   Accuracy  as flight/flight.hpp.
///   Cost      some milliseconds.
///   Fails     never: every doubt is a finding.
///   Source    design sections 2 and 3.

/// Lays the approach and its missed approach behind the legs of the flight.
void add_approach(const navdata::Snapshot& world, const ApproachQuestion& question,
                  const ApproachChoice& choice, const FlyableApproach& approach, const LandingOption& landing,
                  Option& option);

/// Heights, holds and readings of a flight whose legs are complete.
void finish_flight(const navdata::Snapshot& world, const radio::Ground& ground, const Request& request,
                   flight::Flight& flight);

/// Compiles and judges the option's flight: its line, findings and verdict. What of the request's constraints it does not keep to blocks,
/// a point of `via` that it does not fly over included (constraint.*).
void judge_option(const navdata::Snapshot& world, const radio::Ground& ground,
                  const earth::MagneticModel& model, const Request& request, Option& option);

/// Adds the approach by which the flight would come straight back, to the one flight that is answered: nothing of the verdict rests on it.
void add_immediate_return(const navdata::Snapshot& world, const radio::Ground& ground,
                          const earth::MagneticModel& model, const Request& request, Option& option);

/// The climb from the departure to the cruising altitude: its altitudes those of still air, its times by the pace (flight/pace.hpp)
/// of the climb and, where it is over, of the cruise, each in the wind midway, as the card's steps are timed.
flight::Climbing climbing(const navdata::Snapshot& world, const Request& request, base::Altitude cruise);

/// The groundspeed that bounds dead reckoning by time: the slower of what is flown low and what is flown high, in the wind along the
/// track, so that the judge, who tests it at the height really flown, finds no longer stretch than was drawn.
std::function<base::Speed(base::TrueBearing)> slower_groundspeed(const navdata::Snapshot& world,
                                                                 const Request& request,
                                                                 base::Altitude cruise);

/// As flight/judge.hpp has it, by the request.
bool suits_direction(const navdata::Snapshot& world, const radio::Ground& ground,
                     const earth::MagneticModel& model, const Request& request, base::Altitude cruise);

/// Over the far end of the runway, as far as it is known: where a departure begins.
earth::Position departure_place(const navdata::Snapshot& world, navdata::RunwayId runway);

}  // namespace omniway::plan
