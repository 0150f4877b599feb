#pragma once

#include <optional>
#include <string>
#include <vector>

#include "base/finding.hpp"
#include "cockpit/equipment.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/path.hpp"
#include "radio/ground.hpp"

namespace omniway::procedure {

/// Where radar vectors would lead an approach on: the one part of it that nothing in the cockpit ends.
struct VectorsGap {
    std::size_t before = 0;  // the leg of the way that begins where they end
    const navdata::Leg* coded = nullptr;
    PlacedFix from;
    std::optional<base::TrueBearing> arriving;  // the track over `from`; none where the way begins there
};

/// One way of flying a published approach: from one entry, through its legs, to the missed approach point and beyond.
struct ApproachWay {
    const navdata::Procedure* procedure = nullptr;
    char route_type = ' ';
    std::string transition;                   // as coded; empty: from the first fix of its own part
    std::optional<navdata::RunwayId> runway;  // none: circling
    std::string runway_ident;                 // "RW22L", empty when circling
    std::optional<navdata::StationId> localizer;
    PlacedFix entry;
    std::optional<base::Altitude> entry_altitude;
    bool published_entry = false;  // the entry is coded as an initial approach fix
    bool reverses_course = false;  // a procedure turn or a hold brings it inbound
    std::vector<PlacedLeg> legs;
    std::vector<PlacedLeg> missed;
    base::Length length;
    std::vector<base::Finding> findings;  // any that blocks: not flyable by the equipment aboard

    std::vector<base::Finding> missed_findings;  // those of them about the missed approach
    std::vector<PlacedLeg>
        missed_flyable;  // of a missed approach that blocks: its legs before the first that does
    std::optional<VectorsGap> vectors;  // blocks, unless own navigation closes it
    std::vector<std::string>
        step_downs_not_told;  // step-down fixes of the final that the equipment cannot tell: they block

    bool flyable() const;
    /// Whether nothing but its missed approach blocks.
    bool flyable_to_missed_point() const;
    /// Idents of the fixes that its legs tell.
    std::vector<std::string> told() const;
    /// "ILS RW22L via DPK"
    std::string name() const;
};

/// Every way of flying every approach of an airport, flyable or not, with the reasons of those that are not.
///   Model     an approach is conventional by its route type and by every leg (path.hpp); RNAV approaches are refused by name.
///             An approach without its first legs or its missed approach point is no whole approach and refused as such. A
///             missed approach that cannot be flown blocks; one that is not in the data is asked for.
///   Domain    procedures of the snapshot.
///   Accuracy  as path.hpp.
///   Cost      under 10 ms for 40 approaches.
///   Fails     never.
///   Source    design section 3; trade-facts 11, 13.9.
std::vector<ApproachWay> approach_ways(const navdata::Snapshot& world, const radio::Ground& ground,
                                       const cockpit::Equipment& aboard, navdata::AirportId airport,
                                       radio::Criteria criteria = radio::Criteria::terps);

/// "RW22L" of "I22L", "L31RY", "D31-Y"; empty for a circling approach ("VDM-A").
std::string runway_of_approach(const std::string& ident);

}  // namespace omniway::procedure
