#pragma once

#include <cstddef>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "aircraft/aircraft.hpp"
#include "base/altitude.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/course_reversal.hpp"
#include "procedure/path.hpp"
#include "procedure/track_piece.hpp"
#include "weather/wind.hpp"

namespace omniway::procedure {

/// Who flies: how it climbs and how fast it is, the wind it flies in, and how it reverses its course.
struct FlownBy {
    const aircraft::Aircraft* aircraft = nullptr;
    weather::Wind wind = {};
    ReversalManner reversal = ReversalManner::fortyfive_oneeighty;
    radio::Criteria criteria = radio::Criteria::terps;  // whose holding times and speeds
};

/// What the legs are flown for: what speed is held and whether altitudes are climbed to or descended to.
enum class FlownPhase { departure, arrival, approach };

/// Where the aircraft is before the first leg.
struct FlownStart {
    std::optional<earth::Position> place = std::nullopt;    // none: where the first leg begins
    std::optional<base::TrueBearing> track = std::nullopt;  // none: along the first leg
    base::Altitude altitude;
    FlownPhase phase = FlownPhase::approach;
};

/// Why a leg is drawn simpler than it is flown.
enum class Fallback {
    wind_too_strong,      // no heading holds the track in it: drawn in still air
    steep_intercept,      // its line is met before its end only at more than 45 degrees (30 onto a localizer)
    no_room_to_join,      // its line is not reached before its end: flown direct to its fix
    arc_not_joined,       // no turn leads onto the arc: drawn straight to where it begins
    fix_inside_the_turn,  // nothing leads back to it: drawn straight to it
    course_never_met,     // the course or heading flown does not meet the next leg
    distance_never_read,  // the DME never shows it on the course flown
    radial_never_crossed,    // by the course flown
    altitude_never_reached,  // it is above the ceiling
    aid_unknown,             // the aid that ends it, or the centre of its arc, has no record
    start_unknown,           // the leg before it is not in the data or not placed
    ending_not_coded,        // nothing coded ends it
    reversal_not_fitted,     // its pieces do not keep within what is coded
    hold_lengthened          // in this wind no hold of its time or distance returns to its fix
};
std::string to_text(Fallback reason);

/// One leg as flown: the pieces of the track over the ground, without a gap, from where the leg before ended.
struct FlownLeg {
    std::size_t leg = 0;             // index among the legs given
    std::vector<TrackPiece> pieces;  // none: an initial fix, or a leg that ends where it begins
    base::Altitude at_start;
    base::Altitude at_end;
    std::optional<Fallback> fallback;
    std::optional<earth::Position> coded_end;  // its fix; a turn that anticipates it belongs to the next leg
    bool anticipated = false;                  // the turn at its end begins before its fix

    base::Length length() const;
    base::Duration time() const;
};

/// Legs as one aircraft flies them in one wind.
struct FlownPath {
    std::vector<FlownLeg> legs;

    base::Length length() const;
    base::Duration time() const;
    /// Every piece in the order flown.
    std::vector<TrackPiece> pieces() const;
    /// Where it ends and where the track leads from there; none where nothing is drawn.
    std::optional<OnTrack> end() const;
    base::Altitude end_altitude() const;
};

/// Placed legs as they are flown, each of the 23 path terminators.
///   Model     level turns at one rate in one wind (track_piece.hpp, turning.hpp). A turn at a fix is anticipated unless the fix
///             is coded to be flown over, is an aid, is told by station passage, is the missed approach point, or the turn is
///             more than 120 degrees; after an overflight the next line is come back to at 45 degrees, 30 onto a localizer, less
///             where there is no room. A course is a track held in the wind, a heading drifts. Distances of a DME are slant
///             ranges. Arcs are joined and left by turns that touch them. Holds and reversals: holding.hpp,
///             course_reversal.hpp; a procedure turn goes out far enough to be inbound half a mile before the next fix. Speeds
///             and altitudes: an approach at 1.3 times the approach speed (common practice, no source), from the final fix
///             at that speed; departures and missed approaches at climb speed, climbing; coded limits kept.
///   Domain    legs of path.hpp, refused ones too; wind below nine tenths of the airspeed, else drawn in still air. A start
///             without a place begins where the first leg does.
///   Accuracy  pieces join within 5 m and 0.5 degrees; a leg ends within 0.1 NM of its fix (flown_test.cpp,
///             readers/flown_real_data_test.cpp).
///   Cost      under 200 microseconds for a procedure (bench/flown_bench.cpp).
///   Fails     never; a leg drawn simpler than it is flown says why in `fallback`.
///   Source    docs/methods/flown-legs.md; trade-facts 5, 7, 8, 11.1, 21.
FlownPath fly(const navdata::Snapshot& world, std::span<const PlacedLeg> legs, const FlownBy& by,
              const FlownStart& start);

}  // namespace omniway::procedure
