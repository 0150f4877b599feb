#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/finding.hpp"
#include "earth/terrain.hpp"
#include "flight/flight.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "radio/ground.hpp"
#include "weather/winds_aloft.hpp"

namespace omniway::flight {

/// Where a missed approach of one's own begins: the missed approach point, or where what is flown of the coded one ends.
struct MissedStart {
    std::string approach;  // "XSUL NDB RW26", for findings
    std::string name;      // of the place: "RW26"
    earth::Position place;
    base::TrueBearing track;
    base::Altitude altitude;
    base::Altitude field;
    std::optional<navdata::StationId> tuned;  // what the only receiver, or the ADF, is on until there
    bool receiver_to_spare = false;           // a second one, which the end of the approach does not need
    std::optional<base::Altitude> published;  // the altitude at which the coded one ends
};

/// A missed approach by own navigation: legs, and the heights flown along them from its start.
struct OwnMissed {
    std::vector<Leg> legs;
    std::vector<ProfilePoint> profile;
    navdata::StationId station;
    base::Altitude turns_at;
    base::Altitude holds_at;
    bool holds_at_known =
        false;  // the ground, the grid or the user gives it; else what the coded one ends at stands in, and it is asked
};

/// A climb out of a missed approach that the equipment can fly where it cannot fly the published one: straight ahead by heading to
/// the lowest altitude at which a VOR or NDB can be followed from there on, direct to it, and a hold over it, in which the minimum
/// is reached.
///   Model     the turn is not below 400 ft above the field, and where the only receiver has to be retuned not before 500 ft and 40
///             s (an ADF 45 s). The heading is no longer than dead reckoning allows. The station is heard from the turn to the
///             overhead at the heights of the climb; over terrain the climb stays above the ground by the 48 ft a NM that a
///             climb of 200 ft a NM leaves over a 40:1 surface, within 1 NM of the track at first and 15 degrees more. Of several
///             stations the one that is nearest by the way flown, a beacon 5 NM later and a turn of 90 degrees 3 NM later.
///   Domain    VORs and NDBs within 40 NM of the start.
///   Accuracy  the aircraft's own climb in the given wind; 100 ft in the height of the turn.
///   Cost      some ms a station.
///   Fails     "no" is no legs, with why the nearest stations will not do.
///   Source    design section 3 (Altitudes, Radios); trade-facts 7.3 [seen], 21; the preferences: common practice, no source.
struct OwnMissedOrReason {
    std::optional<OwnMissed> own;
    std::vector<base::Finding> refused;
};
OwnMissedOrReason own_missed_approach(const navdata::Snapshot& world, const radio::Ground& ground,
                                      const aircraft::Aircraft& aircraft, const Settings& settings,
                                      const weather::WindsAloft& winds, const MissedStart& start);

/// Whether a published missed approach takes the only receiver away from what guides: two aids follow on each other with less time
/// between them, by heading, than tuning and identifying the second takes. Tells the first such place.
///   Model     a receiver is tuned in 40 s, onto a localizer in 20 s (design section 3); heading legs last as long as the climb to their
///             altitude. An ADF has no part in it.
///   Domain    legs of a missed approach in order; `tuned` is what the receiver is on at its start.
///   Accuracy  the climb in still air.
///   Cost      O(legs).
///   Fails     "no" is an empty answer.
///   Source    design section 3, Radios; trade-facts 21.
std::optional<base::Finding> retunes_only_receiver(const navdata::Snapshot& world,
                                                   const aircraft::Aircraft& aircraft,
                                                   const std::vector<procedure::PlacedLeg>& missed,
                                                   std::optional<navdata::StationId> tuned,
                                                   base::Altitude from, const std::string& about);

/// The first place where a climb does not stay above the ground by what a 40:1 surface asks; `ground_known` is false where some of
/// the ground below it is not in the terrain.
struct ClimbOverGround {
    struct Below {
        base::Length along;  // from where the climb begins
        base::Altitude flown;
        base::Altitude ground;
    };
    std::optional<Below> below;
    bool ground_known = true;
};
ClimbOverGround climb_over_ground(const earth::Terrain* terrain, const std::vector<Leg>& legs,
                                  const std::vector<ProfilePoint>& profile);

}  // namespace omniway::flight
