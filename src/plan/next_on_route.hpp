#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/path.hpp"
#include "radio/ground.hpp"

namespace omniway::plan {

/// A point further along an airway, as its publication has it.
struct PointAlong {
    navdata::Point point;
    base::Length distance;                  // from where one joins, along the airway
    std::optional<base::Altitude> minimum;  // the highest published on the way to it, in this direction
    bool against_one_way = false;           // some of the way to it may be flown the other way only
};

/// An airway one way from a point: where it leads.
struct AirwayOn {
    std::string designator;
    bool area_navigation = false;
    std::optional<base::Radial> course;  // as published where one joins
    std::vector<PointAlong> points;      // in order
};

/// A procedure and the point where a route meets it: a SID's end, the first point of a STAR or an approach.
struct ProcedureMet {
    std::string ident;       // as a route or --approach names it
    std::string transition;  // of a STAR or an approach
    std::string name;        // "ILS RW27 via XOBAN"
    procedure::PlacedFix where;
    std::string why_not;  // with this equipment; empty: it can be flown
};

/// What may stand behind a point of a route that is built by hand.
///   Model     as published: whether a leg can be flown is judged once it is chosen (plan/hand_made.hpp). Airways both ways from every point of
///             that ident; SIDs that need no area navigation, where the route has no point yet; STARs and approaches of the destination, each
///             from each of its first points.
///   Domain    an ident of the snapshot, or empty: nothing but the departure airport stands there. Of an ident that names nothing, no airways.
///   Accuracy  as published.
///   Cost      under 10 ms for 40 approaches.
///   Fails     never.
///   Source    design section 6; route types of ARINC 424-18 (trade-facts 13.9).
struct NextOnRoute {
    std::vector<AirwayOn> airways;
    std::vector<ProcedureMet> departures;
    std::vector<ProcedureMet> arrivals;
    std::vector<ProcedureMet> approaches;
};
NextOnRoute next_on_route(const navdata::Snapshot& world, const radio::Ground& ground,
                          const cockpit::Equipment& aboard, const std::string& at, navdata::AirportId from,
                          navdata::AirportId to);

}  // namespace omniway::plan
