#pragma once

#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/finding.hpp"
#include "cockpit/equipment.hpp"
#include "flight/leg.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"

namespace omniway::flight {

/// What stands on either side of a part of a procedure that is flown by radar vectors.
struct JoinQuestion {
    std::string procedure;  // "XKEL LOC RW31 via XERNA", for findings and as the name of the legs
    procedure::PlacedFix from;
    std::optional<base::TrueBearing> arriving;  // the track over `from`
    procedure::PlacedFix to;
    base::TrueBearing inbound;     // the track beyond `to`
    procedure::Guidance guidance;  // what guides along it
    base::Altitude altitude;
    base::Length allowed_error;  // of `to`
    std::function<base::Speed(base::TrueBearing)> groundspeed;
};

/// Own navigation in place of vectors: straight along what a VOR or NDB at either end gives, or by a heading that meets the course
/// beyond, and along that course to the fix where the procedure goes on.
///   Model     the heading leaves within 120 degrees of the track before it, meets a localizer under at most 30 degrees and a radial
///             or bearing under at most 45, and is no longer than dead reckoning allows; what guides beyond is heard from where it
///             is met, and tells the fix. The shortest way of those.
///   Domain    fixes at most 60 NM apart.
///   Accuracy  the course is met at whole half miles before the fix.
///   Cost      some tens of geodesics and lines of sight.
///   Fails     "no" is no legs, with why.
///   Source    design section 3 (vectors; intercepts: trade-facts 21, common practice), trade-facts 8.4 (120 degrees).
struct JoinOrReason {
    std::vector<Leg> legs;
    std::string why_not;
};
JoinOrReason join_without_vectors(const navdata::Snapshot& world, const radio::Ground& ground,
                                  const cockpit::Equipment& aboard, const Settings& settings,
                                  const JoinQuestion& question);

}  // namespace omniway::flight
