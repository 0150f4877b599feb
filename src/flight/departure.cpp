#include "flight/departure.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "radio/along_path.hpp"

namespace omniway::flight {

using base::Finding;
using base::Grade;
using base::Length;

namespace {

// The climb as a path: the aircraft's own climb is smooth, half a mile of it straight within some feet.
std::vector<radio::PathPoint> climbing_path(earth::Position from, const earth::Geodesic& line, Length before,
                                            const std::function<base::Altitude(Length)>& climb) {
    constexpr Length step = Length::nautical_miles(0.5);
    std::vector<radio::PathPoint> path;
    for (Length at;; at += step) {
        at = std::min(at, line.distance);
        path.push_back({earth::destination(from, line.initial, at), at, climb(before + at)});
        if (at >= line.distance) {
            return path;
        }
    }
}

std::optional<navdata::StationId> guiding_aid(const navdata::Snapshot& world,
                                              const procedure::PlacedFix& first) {
    const auto* id = first.point ? std::get_if<navdata::StationId>(&*first.point) : nullptr;
    const bool guides =
        id != nullptr && (navdata::vor(world[*id]) != nullptr || navdata::ndb(world[*id]) != nullptr);
    return guides ? std::optional(*id) : std::nullopt;
}

}  // namespace

StraightAhead straight_ahead(const procedure::TakeOff& take_off) {
    const base::Altitude turn = take_off.elevation + procedure::lowest_turn;
    return {take_off.track,
            procedure::distance_to_climb(take_off.climb, take_off.track, take_off.elevation, turn), turn};
}

Leg along_the_runway(earth::Position departure, const std::string& name, const StraightAhead& ahead) {
    Leg leg;
    leg.phase = Phase::departure;
    leg.via = "own departure";
    leg.from = procedure::PlacedFix{name, departure, std::nullopt, false};
    leg.start = departure;
    leg.finish = earth::destination(departure, ahead.track, ahead.length);
    leg.track = ahead.track;
    leg.arrival = ahead.track;
    leg.length = ahead.length;
    leg.stretches.push_back({Length(), ahead.length, procedure::OnHeading{ahead.track}});
    leg.ending = procedure::AtAltitude{ahead.altitude};
    return leg;
}

LegsOrReason departure_legs(const navdata::Snapshot& world, const radio::Ground& ground,
                            const cockpit::Equipment& aboard, const Settings& settings,
                            earth::Position departure, const std::string& departure_name,
                            const std::optional<StraightAhead>& ahead, const procedure::PlacedFix& first,
                            const Climbing& climb) {
    const std::string about = fmt::format("departure from {} to {}", departure_name, first.ident);
    const auto station = guiding_aid(world, first);
    if (!station) {
        return {{}, Finding{Grade::blocks, "departure.no_aid", about, "begins toward no VOR or NDB", ""}};
    }
    std::vector<Leg> legs;
    Leg leg;
    leg.phase = Phase::departure;
    leg.via = "own departure";
    leg.from = procedure::PlacedFix{departure_name, departure, std::nullopt, false};
    leg.to = first;
    leg.start = departure;
    leg.finish = first.position;
    Length before;  // flown when this leg begins
    if (ahead) {
        legs.push_back(along_the_runway(departure, departure_name, *ahead));
        before = ahead->length;
        leg.start = legs.back().finish;
        leg.from.reset();
    }
    const earth::Geodesic line = earth::geodesic(leg.start, first.position);
    leg.track = line.initial;
    leg.arrival = line.arrival;
    leg.length = line.distance;

    procedure::Guidance toward;
    if (navdata::vor(world[*station]) != nullptr) {
        const auto radial = navdata::radial_of(world[*station], leg.start);
        if (!radial) {
            return {{},
                    Finding{Grade::blocks, "departure.aid_too_near", about,
                            "stands where the turn after take-off begins", "another first aid"}};
        }
        toward = procedure::OnRadial{*station, true, radial->reciprocal()};
    } else {
        toward = procedure::OnBeacon{*station, true, line.initial};
    }
    if (!procedure::can_follow(world, aboard, toward)) {
        return {{},
                Finding{Grade::blocks, "departure.lacks_receiver", about, procedure::lack_text(world, toward),
                        ""}};
    }
    // Its signal, once had in the climb, stays to the end: what counts is where it was lost last.
    const auto climbing = climbing_path(leg.start, line, before, climb.altitude);
    const auto lost = radio::lost_along(world[*station], radio::Part::azimuth, climbing, ground);
    Length alive = lost.empty() ? Length() : lost.back().to;
    // The aircraft leaves the ground on the runway's heading whatever is heard, and turns on its own: the first mile, or half a mile
    // after the turn has begun, is always a heading.
    const Length by_heading = Length::nautical_miles(ahead ? 0.5 : 1.0);
    alive = std::clamp(alive, std::min(by_heading, leg.length * 0.5), leg.length);
    base::Duration time = climb.time(line.initial, before, before + alive);
    if (ahead) {
        time += climb.time(ahead->track, Length(), before);
    }
    const Length limit = dead_reckoning_limit(settings, (before + alive) / time);
    if (before + alive > limit) {
        const std::string why = lost.empty() ? "the runway's heading comes first"
                                             : "before that it is " + radio::to_text(lost.back().why);
        return {
            {},
            Finding{Grade::blocks, "departure.no_signal", about,
                    fmt::format("{} would first be heard {:.1f} NM after take-off ({}); {:.1f} NM on heading "
                                "alone allowed",
                                first.ident, (before + alive).nautical_miles(), why, limit.nautical_miles()),
                    "a longer dead-reckoning allowance"}};
    }
    leg.stretches.push_back({Length(), alive, procedure::OnHeading{line.initial}});
    if (alive < leg.length) {
        leg.stretches.push_back({alive, leg.length, toward});
    }
    leg.ending = procedure::AtFix{
        first, {fixing::Overhead{*station}, Length::nautical_miles(0.2), base::Angle::degrees(90.0)}};
    legs.push_back(std::move(leg));
    return {std::move(legs), std::nullopt};
}

}  // namespace omniway::flight
