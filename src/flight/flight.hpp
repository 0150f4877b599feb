#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/finding.hpp"
#include "flight/leg.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"
#include "weather/wind.hpp"

namespace omniway::flight {

/// Height flown against distance from take-off: straight between its points.
struct ProfilePoint {
    base::Length along;
    base::Altitude altitude;
};

/// A whole flight, however it was made: what the judge judges and the card is compiled from.
///   Model     legs in order from the runway to the missed approach point; the missed approach beside them.
///   Domain    built for one aircraft and wind; profile points ascend in distance.
///   Accuracy  geodesic; the profile is the aircraft's own climb and descent in still air.
///   Cost      some kilobytes.
///   Fails     never.
///   Source    design section 2.
struct Flight {
    navdata::AirportId departure;
    navdata::RunwayId departure_runway;
    navdata::AirportId arrival;
    std::optional<navdata::RunwayId> arrival_runway;
    std::string approach;  // its name, empty for an arrival without one
    base::Altitude cruise;
    std::vector<Leg> legs;
    std::vector<Leg> missed;
    std::vector<ProfilePoint> profile;
    std::vector<base::Finding> from_procedure;  // what the approach itself asks or warns of

    base::Length length() const;
    base::Altitude altitude_at(base::Length along) const;
};

/// The heights flown: a climb from the field, level at the cruising altitude (or lower where the way is too short), down to
/// the entry of the approach at its coded altitude but never below the last leg's minimum before it, then the coded altitudes.
std::vector<ProfilePoint> profile_of(const Flight& flight, const aircraft::Aircraft& aircraft,
                                     base::Altitude departure_elevation, base::Altitude arrival_elevation);

/// Brings every DME reading that ends a leg to the altitude at which the leg really ends: a slant range read in the descent is
/// not the one at the cruising altitude.
void read_distances_in_profile(const navdata::Snapshot& world, Flight& flight);

/// The verdict of design section 3 on a flight, as far as it is built: guidance received, fixes told, altitudes, radios
/// aboard, dead reckoning, fuel, runway and wind. Findings come worst first.
///   Model     everything is tested again from the flight itself, whoever made it; reception is that of radio/along_path.hpp along each
///             stretch at the heights flown there.
///   Domain    flights of the same snapshot.
///   Accuracy  0.1 NM in where a signal is lost.
///   Cost      a few milliseconds.
///   Fails     never: every doubt is a finding.
///   Source    design section 3.
std::vector<base::Finding> judge(const navdata::Snapshot& world, const radio::Ground& ground,
                                 const aircraft::Aircraft& aircraft, const Settings& settings,
                                 const weather::Wind& wind, const Flight& flight);

}  // namespace omniway::flight
