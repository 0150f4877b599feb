#pragma once

#include <optional>
#include <vector>

#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "navdata/procedure.hpp"
#include "procedure/motion.hpp"
#include "procedure/track_piece.hpp"
#include "weather/wind.hpp"

namespace omniway::procedure {

/// At an airspeed in a wind, turning as a flight is planned (aircraft::planned_turn).
Motion motion_at(base::Speed true_airspeed, const weather::Wind& wind);

/// A line over the ground: the geodesic through a place that has a track there.
struct Line {
    earth::Position through;
    base::TrueBearing track;
};

/// A circle over the ground, flown one way round.
struct Circle {
    earth::Position centre;
    base::Length radius;
    bool clockwise = true;
};

/// Joins of turns with lines and circles over the ground, exact in wind: where a turn has to begin so that it ends on what
/// comes next, on its track.
///   Model     one airspeed, wind and rate of turn, bank without delay (track_piece.hpp); solved in the plane that touches the
///             earth at the place joined, from displacement(turn) = what is missing. A coded side of a turn is kept where
///             more than five degrees are turned; otherwise the shorter way.
///   Domain    wind below the airspeed; joins within 60 NM of the place a line is given through.
///   Accuracy  ends within 2 m and 0.05 degrees of the line or circle (turning_test.cpp).
///   Cost      some microseconds; twenty for a join with a circle.
///   Fails     "no" is an empty optional: lines that run opposite ways or along each other, a circle or fix out of reach of
///             the turn, a track that no heading holds.
///   Source    plane kinematics; lead of an arc trade-facts 5; intercept angles trade-facts 21.
std::optional<AirTurn> turn_to_track(const OnTrack& from, base::TrueBearing track, navdata::Turn side,
                                     const Motion& motion);
std::optional<AirTurn> turn_to_heading(const OnTrack& from, base::TrueBearing heading, navdata::Turn side,
                                       const Motion& motion);

/// The one turn that ends with the nose's track on a fix: direct to it.
std::optional<AirTurn> turn_direct(const OnTrack& from, earth::Position fix, navdata::Turn side,
                                   const Motion& motion);

/// Straight on, then one turn onto a line.
struct TurnOntoLine {
    base::Length ahead;  // before it begins; negative: it should have begun so far behind
    AirTurn turn;
    base::Length along;  // from the place the line is given through to where it is joined
};
std::optional<TurnOntoLine> turn_onto_line(const OnTrack& from, const Line& line, navdata::Turn side,
                                           const Motion& motion);

/// Onto a line from anywhere: turn to an intercept, straight, turn onto it. Flown over a fix, a turn comes back so.
struct JoinRule {
    base::Angle steepest;  // intercept; a smaller one where there is no room for it
    navdata::Turn side = navdata::Turn::unspecified;
    std::optional<base::Length> not_beyond = std::nullopt;  // along the line from its place
};
struct LineJoin {
    std::vector<TrackPiece> pieces;  // none: on it already
    base::Length along;              // from the place the line is given through to where it is joined
    base::Angle intercept;
};
std::optional<LineJoin> join_line(const OnTrack& from, const Line& line, const JoinRule& rule,
                                  const Motion& motion);

/// Straight on, then one turn onto a circle.
struct TurnOntoCircle {
    base::Length ahead;  // before it begins; negative: behind
    AirTurn turn;
    base::TrueBearing joins;  // seen from the centre
};
struct Reach {
    base::Length least;
    base::Length most;
};
std::optional<TurnOntoCircle> turn_onto_circle(const OnTrack& from, const Circle& circle, const Reach& ahead,
                                               const Motion& motion);

/// The turn that leaves a circle for a line: the nearest before a bearing from the centre, or soon after it.
struct TurnOffCircle {
    base::TrueBearing leaves;  // seen from the centre
    AirTurn turn;
    base::Length along;  // from the place the line is given through to where it is joined
};
std::optional<TurnOffCircle> turn_off_circle(const Circle& circle, base::TrueBearing about, const Line& line,
                                             navdata::Turn side, const Motion& motion);

/// The track over the ground of a heading, and how fast.
struct GroundVelocity {
    base::TrueBearing track;
    base::Speed groundspeed;
};
GroundVelocity over_ground(base::TrueBearing heading, const Motion& motion);

}  // namespace omniway::procedure
