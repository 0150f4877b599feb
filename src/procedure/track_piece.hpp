#pragma once

#include <span>
#include <variant>
#include <vector>

#include "aircraft/turn.hpp"
#include "base/bearing.hpp"
#include "base/quantity.hpp"
#include "earth/position.hpp"
#include "weather/wind.hpp"

namespace omniway::procedure {

/// A straight ground track: a geodesic, flown at one groundspeed.
struct Straight {
    earth::Position from;
    base::TrueBearing track;  // at `from`
    base::Length length;
    base::Speed groundspeed;
};

/// An arc over the ground about a centre: a DME arc, or the constant radius of an RF leg.
struct GroundArc {
    earth::Position centre;
    base::Length radius;
    base::TrueBearing from;  // bearing of its start, from the centre
    base::Angle swept;       // positive is clockwise
    base::Speed groundspeed;
};

/// A turn in the air at one rate: over the ground a circle that the wind carries along.
struct AirTurn {
    earth::Position from;
    base::TrueBearing heading;  // at its start
    base::Angle turned;         // positive is to the right
    aircraft::TurnRate rate;
    base::Speed true_airspeed;
    weather::Wind wind;
};

/// A piece of the track over the ground that an aircraft flies without changing what it does.
///   Model     level, one true airspeed and one wind a piece; bank takes no time. Turns are exact in the plane that touches the
///             earth where they begin.
///   Domain    lengths and radii not negative, groundspeeds, airspeeds and rates above zero; turns of up to 20 NM across.
///   Accuracy  1 m in a turn of 20 NM across, millimetres in a straight or an arc; length of a turn within 0.01 %.
///   Cost      one or two geodesics a place; nothing is allocated but by `drawn`.
///   Fails     breaks the contract outside the domain.
///   Source    plane kinematics; C. F. F. Karney (2013) for the geodesics (earth/geodesic.hpp).
using TrackPiece = std::variant<Straight, GroundArc, AirTurn>;

/// Where an aircraft is on a piece, and where its ground track leads from there.
struct OnTrack {
    earth::Position place;
    base::TrueBearing track;
};

base::Duration time_of(const TrackPiece& piece);
base::Length length_of(const TrackPiece& piece);  // over the ground
OnTrack start_of(const TrackPiece& piece);
OnTrack finish_of(const TrackPiece& piece);
/// After a time on the piece, from zero to time_of(piece).
OnTrack at(const TrackPiece& piece, base::Duration since_start);

/// The pieces as a line of places no chord of which leaves the track by more than `within`.
std::vector<earth::Position> drawn(std::span<const TrackPiece> pieces,
                                   base::Length within = base::Length::metres(30.0));

/// How far the ground track of a turn carries the aircraft: north and east of where it began, in the plane that touches the
/// earth there. What every join of a turn with a line is solved from.
struct Displacement {
    base::Length north;
    base::Length east;
};
Displacement displacement(const AirTurn& turn, base::Duration since_start);
base::Duration time_of(const AirTurn& turn);

}  // namespace omniway::procedure
