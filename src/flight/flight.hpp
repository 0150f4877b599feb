#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/bearing.hpp"
#include "base/finding.hpp"
#include "flight/leg.hpp"
#include "flight/level_change.hpp"
#include "flight/settings.hpp"
#include "flight/top_of_descent.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/final_segment.hpp"
#include "procedure/minima.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::flight {

/// Height flown against distance from take-off: straight between its points.
struct ProfilePoint {
    base::Length along;
    base::Altitude altitude;
};

/// The approach by which the flight would come straight back after the take-off (plan/immediate_return.hpp chooses it).
struct ReturnApproach {
    std::string approach;  // "ILS RW25 via XOBAN"
    navdata::StationId station;
    std::optional<base::Radial> course;  // as set on the receiver; none of a beacon
    navdata::RunwayId runway;
};

/// Where a flight begins that is taken up in the air: no runway, no departure, and the radios set at once.
struct InTheAir {
    std::string name;  // "OTTAV", "XKE090015"
    earth::Position place;
    base::Altitude altitude;
};

/// A whole flight, however it was made: what the judge judges and the card is compiled from.
///   Model     legs in order from the runway to the missed approach point; the missed approach beside them.
///   Domain    built for one aircraft and wind; profile points ascend in distance.
///   Accuracy  geodesic; the profile is the aircraft's own climb and descent in the wind.
///   Cost      some kilobytes.
///   Fails     never.
///   Source    design section 2.
struct Flight {
    std::optional<InTheAir> begun;  // none: on the departure runway
    navdata::AirportId departure;
    navdata::RunwayId departure_runway;
    navdata::AirportId arrival;
    std::optional<navdata::RunwayId> arrival_runway;
    std::string sid;       // the published departure flown, empty for an own departure
    std::string star;      // the published arrival flown, empty for none
    std::string approach;  // its name, empty for an arrival without one
    procedure::Landing landing = procedure::Landing::straight_in;
    std::optional<procedure::ApproachMinimum> minimum;  // as the user gives it; none: asked for
    base::Altitude cruise;  // the first level; a leg may name its own (flight/level_change.hpp)
    std::vector<Leg> legs;
    std::vector<Leg> missed;
    std::vector<ProfilePoint> profile;
    std::vector<base::Finding> from_procedure;     // what the approach itself asks or warns of
    const navdata::Leg* approach_entry = nullptr;  // the row of the fix at which the approach is entered
    std::optional<procedure::FinalSegment> final_approach;
    std::optional<TopOfDescent> top_of_descent;
    std::vector<LevelChange> level_changes;
    std::vector<ProfilePoint>
        missed_profile;  // along the part of `missed` that is own navigation; empty: none is
    std::optional<ReturnApproach> immediate_return;
    std::optional<base::Mass>
        alternate_fuel;  // from the arrival to the alternate; none: no alternate is given

    base::Length length() const;
    base::Altitude altitude_at(base::Length along) const;
};

/// The height of a profile at a distance along it: the first or last one beyond its ends.
base::Altitude altitude_along(const std::vector<ProfilePoint>& profile, base::Length along);

/// The heights flown: a climb from the field in the wind, held down by what a departure crosses at or below, level at the
/// level of each leg (or lower where climb and descent meet before it), down as late as the aircraft's own descent in this wind allows,
/// then the coded altitudes of the approach.
///   Model     a climb to a higher level ends at the fix where that level begins, as the aircraft climbs in the wind; it runs over as many legs
///             before it as it needs, and no higher than their maximums. A descent to a lower level begins at the fix, or before it
///             where the maximum of the leg behind it asks for that and the minimum before it allows. Before the entry of the approach each altitude window of a coded leg and each minimum binds at the end of its leg;
///             where both cannot be had, a minimum comes before what is crossed at or below, and neither is flown steeper than
///             the aircraft descends. In the approach the lowest altitude coded at each leg's end, straight from one to the
///             next, never climbing. A minimum that is not known keeps the aircraft up.
///   Domain    any legs; the aircraft's ceiling above both fields.
///   Accuracy  descent by pieces of 250 ft; within 0.1 NM of a descent reckoned by hand (profile_test.cpp).
///   Cost      0.2 ms for 200 NM at 12,000 ft.
///   Fails     never: what cannot be held is a finding of the judge (altitude.constraint_missed).
///   Source    design section 3; docs/methods/vertical.md.
std::vector<ProfilePoint> profile_of(const Flight& flight, const aircraft::Aircraft& aircraft,
                                     base::Altitude departure_elevation, base::Altitude arrival_elevation,
                                     const weather::WindsAloft& winds = {});

/// Brings every DME reading that ends a leg to the altitude at which the leg really ends: a slant range read in the descent is
/// not the one at the cruising altitude.
void read_distances_in_profile(const navdata::Snapshot& world, Flight& flight);

}  // namespace omniway::flight
