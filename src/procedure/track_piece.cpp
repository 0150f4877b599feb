#include "procedure/track_piece.hpp"

#include <algorithm>
#include <cmath>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"

namespace omniway::procedure {

using base::Angle;
using base::Duration;
using base::Length;
using base::Speed;
using base::TrueBearing;

namespace {

struct Velocity {
    double north_mps = 0.0;
    double east_mps = 0.0;
};

Velocity of_wind(const weather::Wind& wind) {
    const Angle toward = wind.from.reciprocal().from_north();
    const double speed = wind.speed.metres_per_second();
    return {speed * base::cos(toward), speed * base::sin(toward)};
}

double signed_rate(const AirTurn& turn) {
    const double rate = turn.rate.radians_per_second();
    return turn.turned < Angle() ? -rate : rate;
}

Velocity over_ground(const AirTurn& turn, Duration since_start) {
    const double heading = turn.heading.from_north().radians() + signed_rate(turn) * since_start.count();
    const double airspeed = turn.true_airspeed.metres_per_second();
    const Velocity wind = of_wind(turn.wind);
    return {airspeed * std::cos(heading) + wind.north_mps, airspeed * std::sin(heading) + wind.east_mps};
}

struct At {
    Duration since_start;

    OnTrack operator()(const Straight& piece) const {
        const Length flown =
            piece.groundspeed > Speed() ? std::min(piece.groundspeed * since_start, piece.length) : Length();
        const earth::Position place = earth::destination(piece.from, piece.track, flown);
        // Where two places are one, a geodesic has no direction of its own.
        return {place,
                flown > Length::metres(1.0) ? earth::geodesic(piece.from, place).arrival : piece.track};
    }

    OnTrack operator()(const GroundArc& piece) const {
        const double all = time_of(TrackPiece(piece)).count();
        const double share = all > 0.0 ? std::clamp(since_start.count() / all, 0.0, 1.0) : 0.0;
        const TrueBearing out = piece.from + piece.swept * share;
        const earth::Position place = earth::destination(piece.centre, out, piece.radius);
        const TrueBearing outward = earth::geodesic(piece.centre, place).arrival;
        return {place, outward + Angle::degrees(piece.swept < Angle() ? -90.0 : 90.0)};
    }

    OnTrack operator()(const AirTurn& piece) const {
        const Displacement moved = displacement(piece, since_start);
        const Velocity velocity = over_ground(piece, since_start);
        const TrueBearing track =
            TrueBearing::from_north(Angle::radians(std::atan2(velocity.east_mps, velocity.north_mps)));
        const double north_m = moved.north.metres();
        const double east_m = moved.east.metres();
        const Length away = Length::metres(std::hypot(north_m, east_m));
        if (away < Length::metres(1.0)) {
            return {piece.from, track};
        }
        const TrueBearing toward = TrueBearing::from_north(Angle::radians(std::atan2(east_m, north_m)));
        const earth::Position place = earth::destination(piece.from, toward, away);
        // Meridians converge: the same direction bears otherwise at the end of the turn than at its start.
        return {place, track + (earth::geodesic(piece.from, place).arrival - toward)};
    }
};

struct TimeOf {
    Duration operator()(const Straight& piece) const {
        return piece.length > Length() ? piece.length / piece.groundspeed : Duration(0.0);
    }
    Duration operator()(const GroundArc& piece) const {
        return Length::metres(piece.radius.metres() * std::abs(piece.swept.radians())) / piece.groundspeed;
    }
    Duration operator()(const AirTurn& piece) const { return time_of(piece); }
};

struct LengthOf {
    Length operator()(const Straight& piece) const { return piece.length; }
    Length operator()(const GroundArc& piece) const {
        return Length::metres(piece.radius.metres() * std::abs(piece.swept.radians()));
    }
    // Simpson's rule over the speed, which is smooth: a step for each 15 degrees.
    Length operator()(const AirTurn& piece) const {
        const double all_s = time_of(piece).count();
        const int steps =
            2 * std::max(1, static_cast<int>(std::ceil(std::abs(piece.turned.degrees()) / 30.0)));
        double sum = 0.0;
        for (int i = 0; i <= steps; ++i) {
            const Velocity v = over_ground(piece, Duration(all_s * i / steps));
            const double weight = i == 0 || i == steps ? 1.0 : i % 2 == 1 ? 4.0 : 2.0;
            sum += weight * std::hypot(v.north_mps, v.east_mps);
        }
        return Length::metres(sum * all_s / (3.0 * steps));
    }
};

// How many chords keep within a distance of a curve that turns by an angle on a radius: sagitta = r (1 - cos(half a chord's angle)).
int chords(Angle turned, Length radius, Length within) {
    const double ratio = std::clamp(1.0 - within / std::max(radius, within), -1.0, 1.0);
    const double largest_rad = std::max(2.0 * std::acos(ratio), 0.01);
    return std::max(1, static_cast<int>(std::ceil(std::abs(turned.radians()) / largest_rad)));
}

struct Chords {
    Length within;
    // A chord of a long geodesic is drawn by whoever projects it; 20 NM leave less than 30 m in any projection of a region.
    int operator()(const Straight& piece) const {
        return std::max(1, static_cast<int>(std::ceil(piece.length.nautical_miles() / 20.0)));
    }
    int operator()(const GroundArc& piece) const { return chords(piece.swept, piece.radius, within); }
    int operator()(const AirTurn& piece) const {
        // Downwind the circle is drawn out: its largest radius of curvature is that of the fastest part.
        const Speed fastest = piece.true_airspeed + piece.wind.speed;
        const Length radius = Length::metres(fastest.metres_per_second() / piece.rate.radians_per_second());
        return chords(piece.turned, radius, within);
    }
};

}  // namespace

Duration time_of(const AirTurn& turn) {
    OMNIWAY_EXPECTS(turn.rate > aircraft::TurnRate());
    return abs(turn.turned) / turn.rate;
}

Displacement displacement(const AirTurn& turn, Duration since_start) {
    OMNIWAY_EXPECTS(turn.true_airspeed > Speed() && turn.rate > aircraft::TurnRate());
    const double rate = signed_rate(turn);
    const double t = since_start.count();
    const double start = turn.heading.from_north().radians();
    const double end = start + rate * t;
    const double radius_m = turn.true_airspeed.metres_per_second() / rate;
    const Velocity wind = of_wind(turn.wind);
    return {Length::metres(radius_m * (std::sin(end) - std::sin(start)) + wind.north_mps * t),
            Length::metres(radius_m * (std::cos(start) - std::cos(end)) + wind.east_mps * t)};
}

Duration time_of(const TrackPiece& piece) {
    return std::visit(TimeOf{}, piece);
}

Length length_of(const TrackPiece& piece) {
    return std::visit(LengthOf{}, piece);
}

OnTrack at(const TrackPiece& piece, Duration since_start) {
    return std::visit(At{since_start}, piece);
}

OnTrack start_of(const TrackPiece& piece) {
    return at(piece, Duration(0.0));
}

OnTrack finish_of(const TrackPiece& piece) {
    return at(piece, time_of(piece));
}

std::vector<earth::Position> drawn(std::span<const TrackPiece> pieces, Length within) {
    std::vector<earth::Position> line;
    for (const TrackPiece& piece : pieces) {
        const int count = std::visit(Chords{within}, piece);
        const Duration all = time_of(piece);
        for (int i = line.empty() ? 0 : 1; i <= count; ++i) {
            line.push_back(at(piece, all * (static_cast<double>(i) / count)).place);
        }
    }
    return line;
}

}  // namespace omniway::procedure
