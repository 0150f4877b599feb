#pragma once

#include <optional>
#include <string>
#include <vector>

#include "aircraft/performance.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/procedure.hpp"
#include "procedure/holding.hpp"
#include "procedure/motion.hpp"
#include "procedure/track_piece.hpp"

namespace omniway::procedure {

enum class ReversalManner { fortyfive_oneeighty, eighty_twosixty };

/// A procedure turn as published: out from a fix, and back on the inbound course within a distance.
struct ProcedureTurn {
    earth::Position fix;
    base::TrueBearing inbound;                  // final or intermediate course over the fix
    std::optional<base::TrueBearing> barb;      // 45 degrees off the outbound course; none: by `back`
    navdata::Turn back = navdata::Turn::right;  // the long turn that follows; either, without a barb: right
    base::Length within;                        // of the fix
};

/// The outbound course that a coded barb belongs to: a turn back to the right follows a barb 45 degrees left of it.
/// Source: three independent rows agree (trade-facts 13.9).
base::TrueBearing outbound_of_barb(base::TrueBearing barb, navdata::Turn back);

/// How a course reversal is flown: its track, and what paper can hold of it.
struct ReversalTrack {
    std::vector<TrackPiece> pieces;  // from over the fix to established on the inbound course
    base::Duration outbound;  // from over or abeam the fix, or the end of the first turn, whichever is later
    base::TrueBearing outbound_heading;
    std::optional<base::TrueBearing> away;  // course after the first turn (45 or 80 degrees)
    std::optional<base::TrueBearing> away_heading;
    base::Duration away_time{0.0};  // from the start of that turn; zero: the turn back follows at once
    navdata::Turn back = navdata::Turn::right;
    base::TrueBearing joining;  // course on which the inbound course is met
    base::Length farthest;      // from the fix, anywhere on the track
    base::Length joined_at;     // before the fix, where it is rolled out inbound
    bool stays_within = true;   // the coded distance, the join before the fix
};

/// The track of a procedure turn, from over the fix on any track.
///   Model     the shorter turn to meet the outbound course, outbound by the clock, then 45 degrees away for 1 minute
///             (categories A and B; 1 min 15 s others) from the start of the turn and 180 back, or 80 away and 260 back at once;
///             then the inbound course is met. Courses are held against the drift. The outbound time is 2 minutes, less in
///             quarter minutes where that would leave the coded distance, more where the outbound course is not yet met.
///   Domain    within 5 to 30 NM; wind up to three quarters of the true airspeed. At most 200 KIAS (the caller's speed).
///   Accuracy  pieces join within 1 m and 0.1 degree; the farthest point within 2 m.
///   Cost      about 30 microseconds, 75 to find that nothing fits (bench/reversals_bench.cpp).
///   Fails     empty where a course cannot be held in the wind. Where no outbound time keeps it within the distance the
///             shortest is given and `stays_within` is false.
///   Source    AIM 5-4-9; PANS-OPS by restatement (trade-facts 8.4). Two minutes outbound: common practice, no source.
std::optional<ReversalTrack> procedure_turn_pieces(const ProcedureTurn& turn, ReversalManner manner,
                                                   const Motion& motion, aircraft::ApproachCategory category,
                                                   base::TrueBearing arriving_track);

/// "outbound 1 min 30 s, then left to 237, 1 min, right to 057": courses magnetic, to the degree.
std::string to_text(const ReversalTrack& track, base::Variation variation);

/// A base turn: out on a course of its own for a time, and one turn back onto the inbound course.
struct BaseTurn {
    earth::Position fix;
    base::TrueBearing inbound;
    base::TrueBearing
        outbound;  // off the inbound course's reciprocal by base_turn_angle; on which side says which way to turn
    base::Duration time;
};
std::optional<ReversalTrack> base_turn_pieces(const BaseTurn& turn, const Motion& motion,
                                              base::TrueBearing arriving_track);

/// A racetrack: a hold timed outbound, 1 to 3 minutes in half minutes.
///   Model     entries as for a hold; the offset entry keeps its 30 degrees for 1 min 30 s at most (1 min where outbound is 1
///             min), then flies parallel to the outbound course for the rest of the time.
///   Domain    outbound time as said (`racetrack_time_allowed`).
///   Accuracy  as entry_pieces.
///   Cost      as entry_pieces.
///   Fails     as entry_pieces.
///   Source    PANS-OPS II I-4-3-4 (trade-facts 8.4).
bool racetrack_time_allowed(base::Duration outbound);
base::Duration longest_offset(base::Duration outbound);
std::optional<EntryTrack> racetrack_entry_pieces(const Hold& racetrack, HoldEntry entry, const Motion& motion,
                                                 base::TrueBearing arriving_track);

}  // namespace omniway::procedure
