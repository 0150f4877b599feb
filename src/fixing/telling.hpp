#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "cockpit/equipment.hpp"
#include "earth/position.hpp"
#include "navdata/snapshot.hpp"

namespace omniway::fixing {

/// The ways a cockpit can tell that it has reached a fix on the line it is flying.
struct Overhead {  // the full TO/FROM reversal, or a beacon's pointer past abeam
    navdata::StationId station;
};
struct DmeReading {
    navdata::StationId station;
    base::Length slant_range;
    bool at_guiding_station = false;
};
struct CrossingRadial {  // a second receiver's needle centres
    navdata::StationId station;
    base::Radial radial;
};
struct CrossingBearing {  // the ADF pointer reads the bearing to a beacon
    navdata::StationId station;
    base::TrueBearing to_station;
};
struct CrossingLocalizer {
    navdata::StationId station;
};
using Way = std::variant<Overhead, DmeReading, CrossingRadial, CrossingBearing, CrossingLocalizer>;

/// One way of telling a fix with what it is worth.
struct Telling {
    Way way;
    base::Length along_error;  // how far along the track the fix may really be, TERPS tolerance
    base::Angle crossing;      // 90 degrees where no second line is crossed
};

enum class FixUse { en_route, terminal, holding };

/// What is asked of a fix: where, at what altitude, and on what line it is reached.
struct FixQuestion {
    earth::Position fix;
    base::Altitude altitude;
    base::TrueBearing track;  // on arriving
    std::optional<navdata::StationId>
        guided_by;                 // whose azimuth guides now; none while on a heading or an arc
    bool arc_about_guide = false;  // its distance guides instead (a DME arc)
    FixUse use = FixUse::en_route;
    std::optional<base::Length> allowed_error;
    /// Published procedures are flight-checked: aids they name are taken as heard where the volume says not.
    std::vector<navdata::StationId> published_aids;
    /// All ways wanted, and not only the best: without it the search ends with the guiding and published aids where one of
    /// them tells the fix overhead or by its own DME.
    bool every_way = false;
};

/// Every way the equipment has, best first, and why the near ones were not taken.
struct Tellings {
    std::vector<Telling> ways;
    std::vector<std::string> refused;
};

/// How a fix can be told with the equipment aboard while the guiding receiver is left alone.
///   Model     a radial crosses the track with the error D sin(e) / sin(g - e); a DME reading errs by 0.25 NM + 1.25 % of
///             its slant range over the cosine of its angle off the track; e is 3.6 degrees for a VOR, 5 for an NDB, 0.5 for
///             a localizer. Crossing angles: at least 30 degrees en route (45 where an NDB is a line), 45 in the terminal
///             area and holding; a DME not at the guiding station at most 23 degrees off the track.
///   Domain    aids within 80 NM of the fix.
///   Accuracy  the tolerances are those of the criteria (95 %); telling_test.cpp holds the errors to the tables.
///   Cost      some tens of geodesics.
///   Fails     "no" is an empty list of ways, with what was refused.
///   Source    TERPS 8260.3B para 286-287 and PANS-OPS I-2-2 (trade-facts 3.2, 21).
Tellings tellings(const navdata::Snapshot& world, const cockpit::Equipment& aboard,
                  const FixQuestion& question);

/// The error along the track of a crossing line `range` away, at crossing angle `crossing`, for a bearing error `error`
/// (the greater, far side). Infinite where the lines could be parallel within the error.
base::Length crossing_error(base::Length range, base::Angle crossing, base::Angle error);

/// 0.25 NM + 1.25 % of the distance. Source: PANS-OPS Vol I I-2-2 2.4.2 (trade-facts 3.2, [seen]).
base::Length dme_error(base::Length slant_range);

}  // namespace omniway::fixing
