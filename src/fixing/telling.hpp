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
#include "radio/error_budget.hpp"
#include "radio/ground.hpp"
#include "radio/reception.hpp"

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
    base::Length
        along_error;       // how far along the track the fix may really be, by the criteria asked for (95 %)
    base::Angle crossing;  // 90 degrees where no second line is crossed
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
    radio::Criteria criteria = radio::Criteria::terps;
    /// Published procedures are flight-checked: aids they name are taken as heard where the volume says not.
    std::vector<navdata::StationId> published_aids;
    /// All ways wanted, and not only the best: without it the search ends with the guiding and published aids where one of
    /// them tells the fix overhead or by its own DME.
    bool every_way = false;
};

/// Why a station does not tell a fix.
enum class Obstacle {
    not_heard,
    dme_not_heard,
    crosses_too_shallow,  // its line crosses the one flown under too small an angle
    off_the_track,        // a DME not at the guiding station, too far off the track
    error_too_large,      // for the use that is made of the fix
    off_its_course,       // a localizer has one course line, and the fix is not on it
    lines_run_together,   // within their tolerances the two lines never part
    other_end_in_use,  // a localizer, or its DME, that is off the air while the other end of the runway has their frequency
    ring_closes,         // within the tolerance of what guides, the distance is read all around its station
    no_second_receiver,  // beside the one that guides
    no_localizer_receiver,
    no_dme,
    no_free_dme,  // it would follow the receiver that guides
    no_adf,
    no_second_adf,
    no_marker_records  // nothing of markers is recorded, so none is named
};

/// A station that was looked at and not taken, with the figures that decided.
struct Refusal {
    Obstacle obstacle = Obstacle::not_heard;
    navdata::StationId station;
    std::optional<base::Angle> angle = std::nullopt;
    std::optional<base::Angle> angle_limit = std::nullopt;  // least of a crossing, most off the track
    std::optional<base::Length> error = std::nullopt;
    std::optional<base::Length> error_limit = std::nullopt;
    std::optional<radio::Reception> reception = std::nullopt;  // where it is not heard
};

/// "VOR ALA crosses at 21 degrees, 30 needed".
std::string to_text(const navdata::Snapshot& world, const Refusal& refusal);

/// Every way the equipment has, best first, and why the near ones were not taken.
struct Tellings {
    std::vector<Telling> ways;
    std::vector<Refusal> refused;
};

/// How a fix can be told with the equipment aboard while the guiding receiver is left alone.
///   Model     a radial crosses the track with the error D sin(e) / sin(g - e); a DME reading errs by the ring over the ground
///             that its tolerance makes of the slant range, over the cosine of its angle off the track; overhead errs by the
///             zone of ambiguity (PANS-OPS), or by 0.2 NM (TERPS holds station passage for exact). Crossing angles: at least
///             30 degrees en route (45 where an NDB is a line), 45 in the terminal area and holding, and there 0.5 degrees more
///             for each NM that a VOR is farther than 45 NM, 1 degree for each that an NDB is farther than 30; a DME not at the
///             guiding station at most 23 degrees off the track. A localizer that shares its frequency with another of its airport, and
///             its DME, tell only what it guides to or a procedure names it for (navdata/interlocked.hpp). Best first: overhead, the guiding station's own DME, then by
///             error.
///   Domain    aids within 80 NM of the fix.
///   Accuracy  the tolerances are those of the criteria (95 %); ways_of_telling_test.cpp holds the rules to the tables.
///   Cost      some tens of geodesics.
///   Fails     "no" is an empty list of ways, with what was refused.
///   Source    TERPS 8260.3B para 285-287 and PANS-OPS I-2-2 (trade-facts 2, 3.2, 21); docs/methods/fixes.md.
Tellings tellings(const navdata::Snapshot& world, const radio::Ground& ground,
                  const cockpit::Equipment& aboard, const FixQuestion& question);

}  // namespace omniway::fixing
