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
std::vector<radio::PathPoint> climbing_path(earth::Position from, const earth::Geodesic& line,
                                            const std::function<base::Altitude(Length)>& climb) {
    constexpr Length step = Length::nautical_miles(0.5);
    std::vector<radio::PathPoint> path;
    for (Length at;; at += step) {
        at = std::min(at, line.distance);
        path.push_back({earth::destination(from, line.initial, at), at, climb(at)});
        if (at >= line.distance) {
            return path;
        }
    }
}

}  // namespace

LegOrReason departure_leg(const navdata::Snapshot& world, const radio::Ground& ground,
                          const cockpit::Equipment& aboard, const Settings& settings,
                          earth::Position departure, const std::string& departure_name,
                          const procedure::PlacedFix& first,
                          const std::function<base::Altitude(base::Length)>& climb, base::Speed groundspeed) {
    const std::string about = fmt::format("departure from {} to {}", departure_name, first.ident);
    const auto* station = first.point ? std::get_if<navdata::StationId>(&*first.point) : nullptr;
    if (station == nullptr ||
        (navdata::vor(world[*station]) == nullptr && navdata::ndb(world[*station]) == nullptr)) {
        return {std::nullopt,
                Finding{Grade::blocks, "departure.no_aid", about, "begins toward no VOR or NDB", ""}};
    }
    Leg leg;
    leg.phase = Phase::departure;
    leg.via = "own departure";
    leg.from = procedure::PlacedFix{departure_name, departure, std::nullopt, false};
    leg.to = first;
    leg.start = departure;
    leg.finish = first.position;
    const earth::Geodesic line = earth::geodesic(departure, first.position);
    leg.track = line.initial;
    leg.arrival = line.arrival;
    leg.length = line.distance;

    procedure::Guidance toward;
    if (navdata::vor(world[*station]) != nullptr) {
        toward =
            procedure::OnRadial{*station, true, navdata::radial_of(world[*station], departure)->reciprocal()};
    } else {
        toward = procedure::OnBeacon{*station, true, line.initial};
    }
    if (!procedure::can_follow(world, aboard, toward)) {
        return {std::nullopt, Finding{Grade::blocks, "departure.lacks_receiver", about,
                                      procedure::lack_text(world, toward), ""}};
    }
    // Its signal, once had in the climb, stays to the end: what counts is where it was lost last.
    const auto climbing = climbing_path(departure, line, climb);
    const auto lost = radio::lost_along(world[*station], radio::Part::azimuth, climbing, ground);
    Length alive = lost.empty() ? Length() : lost.back().to;
    // The aircraft leaves the ground on the runway's heading whatever is heard: the first mile is always a heading.
    alive = std::clamp(alive, std::min(Length::nautical_miles(1.0), leg.length * 0.5), leg.length);
    const Length limit = dead_reckoning_limit(settings, groundspeed);
    if (alive > limit) {
        const std::string before = lost.empty() ? "the runway's heading comes first"
                                                : "before that it is " + radio::to_text(lost.back().why);
        return {
            std::nullopt,
            Finding{Grade::blocks, "departure.no_signal", about,
                    fmt::format("{} would first be heard {:.1f} NM after take-off ({}); {:.1f} NM on heading "
                                "alone allowed",
                                first.ident, alive.nautical_miles(), before, limit.nautical_miles()),
                    "a longer dead-reckoning allowance"}};
    }
    leg.stretches.push_back({Length(), alive, procedure::OnHeading{line.initial}});
    if (alive < leg.length) {
        leg.stretches.push_back({alive, leg.length, toward});
    }
    leg.ending = procedure::AtFix{
        first, {fixing::Overhead{*station}, Length::nautical_miles(0.2), base::Angle::degrees(90.0)}};
    return {leg, std::nullopt};
}

}  // namespace omniway::flight
