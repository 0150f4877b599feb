#pragma once

#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/procedure.hpp"
#include "procedure/hold_entry.hpp"
#include "procedure/motion.hpp"
#include "procedure/track_piece.hpp"

namespace omniway::procedure {

/// How a hold is entered, by the heading over the fix and the 70-degree line.
///   Model     theta = heading less inbound course. Right turns: direct for -70 < theta < 110, offset for 110 to 180,
///             parallel for -180 to -70; left turns are the mirror image. A heading within half a degree of a boundary counts
///             as on it, and there one side always wins: offset on the exact reciprocal and against direct, parallel against
///             direct. So an arrival along the reciprocal gets one answer however its bearing was rounded.
///   Domain    any heading; a side that is not coded, or either, is right (the standard hold).
///   Accuracy  exact.
///   Cost      a subtraction.
///   Fails     never.
///   Source    AIM 5-3-8 (the 70-degree line); trade-facts 8.1. The half degree: headings are read to a degree.
HoldEntry hold_entry(base::TrueBearing heading, base::TrueBearing inbound, navdata::Turn side);

/// The other entry that is as good, where the heading is within 5 degrees of a boundary. Source: AIM 5-3-8 (trade-facts 8.1).
std::optional<HoldEntry> also_acceptable(base::TrueBearing heading, base::TrueBearing inbound,
                                         navdata::Turn side);

/// Which straight the time of a hold belongs to: the inbound one (FAA), or the outbound one (ICAO).
enum class TimedLeg { inbound, outbound };

struct Hold {
    earth::Position fix;
    base::TrueBearing inbound;                       // course, over the fix
    navdata::Turn side = navdata::Turn::right;       // anything but left is right
    std::variant<base::Duration, base::Length> leg;  // a length is measured along the inbound course
    TimedLeg timed = TimedLeg::inbound;              // where `leg` is a time
};

/// One circuit of a hold, as flown in a wind.
///   Model     over the fix inbound, a turn to the outbound heading, that heading for a time, a turn to the heading that holds
///             the inbound course, rolled out on it, and along it back over the fix. Outbound heading and time follow from the
///             wind exactly: both turns make one full circle through the air, so the outbound straight must undo the inbound
///             straight and the drift of the circle.
///   Domain    legs of 10 s to 10 min or 0.5 to 50 NM; wind up to three quarters of the true airspeed.
///   Accuracy  returns over the fix within 0.05 NM, pieces join within 1 m; inbound time within 1 s.
///   Cost      about 12 microseconds for a time, 31 for a length or a time outbound (bench/reversals_bench.cpp).
///   Fails     empty where the wind is stronger. Where the wind leaves no such circuit (a headwind inbound in which the turns
///             alone drift farther than the inbound leg is long), the leg is lengthened until the outbound heading is within
///             75 degrees of the outbound course, and `as_asked` is false.
///   Source    plane kinematics, docs/methods/holds-and-reversals.md; AIM 5-3-8 (trade-facts 8.2).
struct HoldCircuit {
    std::vector<TrackPiece> pieces;  // turn, outbound, turn, inbound
    base::TrueBearing inbound_heading;
    base::TrueBearing outbound_heading;
    base::Angle inbound_correction;   // heading less inbound course; positive is to the right
    base::Angle outbound_correction;  // heading less outbound course
    base::Duration inbound;           // on the inbound course, wings level
    base::Duration outbound;  // as timed: from abeam the fix or the end of the turn, whichever is later
    base::Length
        outbound_end;       // along the inbound course, from abeam the start of the inbound turn to the fix
    base::Length farthest;  // from the fix
    bool as_asked = true;
};
std::optional<HoldCircuit> circuit(const Hold& hold, const Motion& motion);

/// What brings an aircraft from over the fix on any track to over the fix inbound on the inbound course.
///   Model     direct: a turn to the holding side onto the circuit's outbound heading, the circuit's outbound time, then
///             inbound. Parallel: the shorter turn onto the outbound course, the time of the hold, then a turn toward the
///             holding side through more than 180 degrees to meet the inbound course. Offset: the shorter turn onto a track 30
///             degrees off the outbound course on the holding side, the time of the hold, then a turn to the holding side. A
///             turn that does not roll out on the inbound course is ended at an intercept of 30 degrees, or steeper where that
///             is too late for the fix. Over 180 degrees either way, the turn is away from the holding side.
///   Domain    as the circuit; arriving tracks of every direction.
///   Accuracy  pieces join within 1 m and 0.1 degree of track; ends over the fix within 1 m.
///   Cost      about 34 microseconds (bench/reversals_bench.cpp).
///   Fails     empty where the wind is too strong for the circuit, or the arriving track cannot be held in it. Where no
///             intercept ends before the fix the outbound time is lengthened, and `as_asked` is false.
///   Source    AIM 5-3-8 (trade-facts 8.1, 8.2).
struct EntryTrack {
    std::vector<TrackPiece> pieces;
    base::TrueBearing outbound_heading;
    base::Duration outbound;  // as timed: from abeam the fix or the end of the first turn, whichever is later
    base::Length farthest;    // from the fix
    bool as_asked = true;
};
std::optional<EntryTrack> entry_pieces(const Hold& hold, HoldEntry entry, const Motion& motion,
                                       base::TrueBearing arriving_track);

/// How often the circuit is flown: once (HF), until an altitude is reached (HA), until told otherwise (HM: one is drawn).
/// At least one circuit; none where the aircraft does not climb.
std::optional<int> circuits_to_climb(const HoldCircuit& one, base::Length to_climb, base::VerticalSpeed rate);

/// Whether the inbound course of a hold leads toward the aid that gives it or away from it, which is legal and reverses
/// what a person expects of TO and FROM. Across: the aid lies more than 30 degrees off the course either way.
enum class CourseSense { toward_aid, away_from_aid, across };
CourseSense course_sense(const Hold& hold, earth::Position aid);
/// "toward the aid", "away from the aid: FROM on the inbound course", "across the bearing of the aid"
std::string to_text(CourseSense sense);

}  // namespace omniway::procedure
