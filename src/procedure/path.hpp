#pragma once

#include <optional>
#include <span>
#include <string>
#include <variant>
#include <vector>

#include "base/finding.hpp"
#include "cockpit/equipment.hpp"
#include "fixing/telling.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/guidance.hpp"
#include "radio/error_budget.hpp"
#include "radio/ground.hpp"

namespace omniway::procedure {

/// A named place of a procedure or route: a record's, or rebuilt from the theta and rho of the leg that names it.
struct PlacedFix {
    std::string ident;
    earth::Position position;
    std::optional<navdata::Point> point;
    bool rebuilt = false;
};

/// What ends a leg, observable in the cockpit.
struct AtFix {
    PlacedFix fix;
    fixing::Telling telling;
};
struct AtAltitude {
    base::Altitude altitude;
};
struct AtDistance {
    navdata::StationId station;
    base::Length shown;
};
struct AtRadial {
    navdata::StationId station;
    base::Radial radial;
};
struct AtIntercept {};     // the needle of the next guidance comes to the centre
struct AtCourseReversed {  // established inbound after a procedure turn
    std::string fix;
    base::Length within;                         // of the fix
    std::optional<navdata::CodedCourse> barb;    // 45 degrees off the outbound course, on the side to turn on
    navdata::Turn back = navdata::Turn::either;  // from there to the inbound course
};
struct AtGlideslopeIntercept {
    PlacedFix fix;
    std::optional<base::Altitude> altitude;
};
struct AtDecisionAltitude {                                 // on the glideslope
    std::optional<base::Altitude> altitude = std::nullopt;  // the chart's, where the user gives it
};
struct AtMissedApproachPoint {
    PlacedFix fix;
    std::optional<fixing::Telling> telling;  // none: by time from the final fix
};
struct AtHold {
    PlacedFix fix;
    navdata::Turn side = navdata::Turn::unspecified;
    bool one_circuit = false;                // HF: once round, then on inbound
    std::optional<base::Altitude> altitude;  // HA: until it is reached
};
using Ending = std::variant<AtFix, AtAltitude, AtDistance, AtRadial, AtIntercept, AtCourseReversed,
                            AtGlideslopeIntercept, AtDecisionAltitude, AtMissedApproachPoint, AtHold>;

/// A coded leg placed on the earth, with what guides it and what ends it.
struct PlacedLeg {
    const navdata::Leg* coded = nullptr;
    std::optional<PlacedFix> from;  // none where it begins wherever the leg before was left
    std::optional<PlacedFix> to;
    earth::Position start;  // best known place, for lengths and reception
    earth::Position finish;
    base::TrueBearing track;  // at the start
    base::Length length;
    Guidance guidance;
    Ending ending;
    bool missed = false;
    bool needs_area_navigation = false;  // no ground aid gives its line: refused by name
};

/// What a leg needs of ground aids, for a person to read: "VOR CRI", "DME CRI", "LOC IJOC", "NDB RON", "glideslope", each once,
/// what guides it first. Empty for a heading that ends at an altitude.
std::vector<std::string> needs_of(const navdata::Snapshot& world, const PlacedLeg& leg);

/// Legs of one way through a procedure, and every reason why it cannot be flown by the equipment aboard (none: it can).
struct PlacedPath {
    std::vector<PlacedLeg> legs;
    std::vector<base::Finding> findings;
    bool flyable() const;
};

/// What the legs are part of.
struct PathContext {
    std::string name;                             // for findings: "KJFK I22L via DPK"
    base::Variation variation;                    // of the airport, for headings
    std::optional<navdata::StationId> localizer;  // of the approach
    bool glideslope = false;                      // the final is flown on a glideslope
    base::Altitude airport_elevation;
    earth::Position start;  // where a path whose first leg has no fix begins (a missed approach: its point)
    bool missed = false;
    const navdata::Procedure* procedure = nullptr;  // whose other legs may place a fix that has no record
    radio::Criteria criteria = radio::Criteria::terps;
    /// True airspeed in holds and at turns, where it is known: a light aircraft's; common practice, no source.
    base::Speed holding_speed = base::Speed::knots(120.0);
};

/// Places coded legs in sequence and judges each: what guides it by geometry and recorded aids (never by its code alone), and
/// what ends it with the receivers aboard.
///   Model     straight lines between fixes, arcs, holds and reversals; turns take no room (flown.hpp flies them). A published
///             leg is taken as heard at its coded altitude. A hold's straight is its coded distance, or the time of its altitude
///             (hold_limits.hpp) at the speed held. Up to the final fix a turn over 120 degrees is refused, and one over 70
///             says its lead radial. Fixes by fixing/telling.hpp: the final fix within 1 NM, others within half the
///             next segment; a final fix on a glideslope is told by intercepting it.
///   Domain    the 23 path terminators; RF, FM and VM are refused by name. A refused leg whose fix is known is placed all the
///             same, straight where nothing better is known, so that it can be drawn.
///   Accuracy  positions as published; a fix without a record of its own is rebuilt from theta and rho within 0.1 NM and 0.1
///             degree.
///   Cost      under a millisecond for a procedure.
///   Fails     "no" is a finding that blocks, with the leg and the reason.
///   Source    design section 3; trade-facts 11.1, 13.9, 21.
PlacedPath place_legs(const navdata::Snapshot& world, const radio::Ground& ground,
                      const cockpit::Equipment& aboard, std::span<const navdata::Leg* const> legs,
                      const PathContext& context);

/// The place a leg's fix stands at: its record, or rebuilt from the theta and rho of this leg or, failing that, of another leg
/// of the same procedure that names the same fix. None where nothing places it.
std::optional<PlacedFix> place_fix(const navdata::Snapshot& world, const navdata::Leg& leg,
                                   const navdata::Procedure* procedure = nullptr);

/// True bearing of a coded course: against the zero of the recommended aid, else of the VOR that the leg's fix is, else the
/// airport's variation.
base::TrueBearing course_of(const navdata::Snapshot& world, const navdata::Leg& leg,
                            const navdata::CodedCourse& course, base::Variation airport);

/// The true bearing of a leg's theta from its recommended aid; none without one, or where the aid has no zero to count from.
std::optional<base::TrueBearing> bearing_from_aid(const navdata::Snapshot& world, const navdata::Leg& leg);

}  // namespace omniway::procedure
