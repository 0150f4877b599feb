#include "flight/strip.hpp"

#include <algorithm>
#include <cmath>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "flight/climb_overhead.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Angle;
using base::Length;
using radio::PathPoint;

namespace {

constexpr Length path_step = Length::nautical_miles(2.0);
constexpr Length arc_step = Length::nautical_miles(0.25);
constexpr Length margin_step = Length::nautical_miles(0.5);
constexpr Length ground_step = Length::nautical_miles(0.25);

// No class is promised farther than 130 NM but those promised by line of sight, up to 12,900 ft.
constexpr Length farthest = Length::nautical_miles(250.0);
constexpr Length search_step = Length::nautical_miles(50.0);

const procedure::OnArc* arc_of(const Leg& leg) {
    return leg.stretches.empty() ? nullptr : std::get_if<procedure::OnArc>(&leg.stretches.front().guidance);
}

// Where a leg is after so much of it.
earth::Position place_on(const navdata::Snapshot& world, const Leg& leg, Length at) {
    const procedure::OnArc* arc = arc_of(leg);
    if (arc != nullptr && world[arc->station].dme && arc->radius > Length()) {
        const earth::Position centre = world[arc->station].dme->position;
        const earth::Geodesic spoke = earth::geodesic(centre, leg.start);
        const Angle turned = Angle::radians(at / arc->radius) * (arc->clockwise ? 1.0 : -1.0);
        return earth::destination(centre, spoke.initial + turned, spoke.distance);
    }
    if (leg.ending && std::holds_alternative<procedure::AtCourseReversed>(*leg.ending)) {
        return earth::destination(leg.start, leg.track, std::min(at, leg.length - at));
    }
    if (is_climb_in_hold(leg)) {
        // Out from the aid and back, two miles at most: where in the circuit does not matter to who is heard.
        const double in_circuit_nm = std::fmod(at.nautical_miles(), 4.0);
        return earth::destination(leg.start, leg.track.reciprocal(),
                                  Length::nautical_miles(std::min(in_circuit_nm, 4.0 - in_circuit_nm)));
    }
    return earth::destination(leg.start, leg.track, at);
}

void add_point(std::vector<PathPoint>& path, const PathPoint& point) {
    if (path.empty() || point.along - path.back().along > Length::metres(1.0)) {
        path.push_back(point);
    }
}

earth::Position place_at(const std::vector<PathPoint>& path, Length along) {
    const auto after = std::find_if(path.begin() + 1, path.end() - 1,
                                    [along](const PathPoint& point) { return point.along >= along; });
    const PathPoint& from = *(after - 1);
    const earth::Geodesic line = earth::geodesic(from.place, after->place);
    const double share = (along - from.along) / (after->along - from.along);
    return earth::destination(from.place, line.initial, line.distance * share);
}

Altitude altitude_at(const std::vector<PathPoint>& path, Length along) {
    const auto after = std::find_if(path.begin() + 1, path.end() - 1,
                                    [along](const PathPoint& point) { return point.along >= along; });
    const PathPoint& from = *(after - 1);
    const double share = (along - from.along) / (after->along - from.along);
    return from.altitude + (after->altitude - from.altitude) * share;
}

std::vector<GroundUnder> ground_below(const std::vector<PathPoint>& path, const earth::Terrain* terrain) {
    std::vector<GroundUnder> below;
    if (terrain == nullptr || terrain->empty()) {
        return below;
    }
    const Length length = path.back().along;
    const int steps = std::max(1, static_cast<int>(std::ceil(length / ground_step)));
    for (int i = 0; i <= steps; ++i) {
        const Length along = length * (static_cast<double>(i) / steps);
        below.push_back({along, terrain->elevation(place_at(path, along))});
    }
    return below;
}

std::vector<navdata::StationId> within_reach(const navdata::Snapshot& world,
                                             const std::vector<PathPoint>& path) {
    std::vector<navdata::StationId> found;
    Length searched = Length() - search_step;
    for (const PathPoint& point : path) {
        if (point.along - searched < search_step && &point != &path.back()) {
            continue;
        }
        searched = point.along;
        for (const navdata::StationId id : world.stations_within(point.place, farthest)) {
            if (std::find(found.begin(), found.end(), id) == found.end()) {
                found.push_back(id);
            }
        }
    }
    return found;
}

StripBar bar_of(const navdata::Station& station, radio::Part part, const radio::HeardInterval& heard,
                const std::vector<PathPoint>& path, const radio::Ground& ground) {
    StripBar bar{heard, {}};
    const int steps = std::max(1, static_cast<int>(std::ceil((heard.to - heard.from) / margin_step)));
    for (int i = 0; i <= steps; ++i) {
        const Length along = heard.from + (heard.to - heard.from) * (static_cast<double>(i) / steps);
        const radio::Reception here =
            radio::hear(station, part, place_at(path, along), altitude_at(path, along), ground);
        bar.margins.push_back({along, here.above_sight(), here.within_limit()});
    }
    return bar;
}

// Lanes of one station stand together, placed by the one that comes alive first.
void add_lanes(const navdata::Snapshot& world, Strip& strip, const radio::Ground& ground) {
    struct Group {
        Length first;
        std::vector<StripLane> lanes;
    };
    std::vector<Group> groups;
    for (const navdata::StationId id : within_reach(world, strip.path)) {
        Group group;
        for (const radio::Part part :
             {radio::Part::azimuth, radio::Part::distance, radio::Part::glideslope}) {
            StripLane lane{id, part, {}, std::nullopt};
            for (const radio::HeardInterval& heard :
                 radio::heard_along(world[id], part, strip.path, ground)) {
                lane.bars.push_back(bar_of(world[id], part, heard, strip.path, ground));
            }
            if (!lane.bars.empty()) {
                const Length first = lane.bars.front().heard.from;
                group.first = group.lanes.empty() ? first : std::min(group.first, first);
                group.lanes.push_back(std::move(lane));
            }
        }
        if (!group.lanes.empty()) {
            groups.push_back(std::move(group));
        }
    }
    std::stable_sort(groups.begin(), groups.end(),
                     [](const Group& a, const Group& b) { return a.first < b.first; });
    for (Group& group : groups) {
        std::move(group.lanes.begin(), group.lanes.end(), std::back_inserter(strip.lanes));
    }
}

void finish(const navdata::Snapshot& world, Strip& strip, const radio::Ground& ground) {
    OMNIWAY_EXPECTS(strip.path.size() >= 2);
    strip.length = strip.path.back().along;
    strip.mode = ground.mode;
    strip.ground = ground_below(strip.path, ground.terrain);
    strip.terrain_known_somewhere = std::any_of(strip.ground.begin(), strip.ground.end(),
                                                [](const GroundUnder& g) { return g.ground.has_value(); });
    add_lanes(world, strip, ground);
}

}  // namespace

std::vector<PathPoint> path_of(const navdata::Snapshot& world, const Flight& flight) {
    std::vector<PathPoint> path;
    Length begin;
    for (const Leg& leg : flight.legs) {
        // Where the heights bend, so that straight lines between points are the heights flown.
        std::vector<Length> at{Length(), leg.length};
        for (const ProfilePoint& bend : flight.profile) {
            if (bend.along > begin && bend.along < begin + leg.length) {
                at.push_back(bend.along - begin);
            }
        }
        const Length step = arc_of(leg) != nullptr ? arc_step : path_step;
        for (Length next = step; next < leg.length; next += step) {
            at.push_back(next);
        }
        if (leg.ending && std::holds_alternative<procedure::AtCourseReversed>(*leg.ending)) {
            at.push_back(leg.length * 0.5);
        }
        std::sort(at.begin(), at.end());
        for (const Length along : at) {
            add_point(path, {place_on(world, leg, along), begin + along, flight.altitude_at(begin + along)});
        }
        begin += leg.length;
    }
    return path;
}

Strip strip_of(const navdata::Snapshot& world, const Flight& flight, const radio::Ground& ground,
               std::span<const PathPoint> beyond) {
    Strip strip;
    strip.path = path_of(world, flight);
    for (const PathPoint& point : beyond) {
        add_point(strip.path, point);
    }
    strip.marks.push_back({world[flight.departure].ident, Length()});
    Length along;
    for (const Leg& leg : flight.legs) {
        const Length from = along;
        along += leg.length;
        if (leg.to && !leg.to->ident.empty() && leg.to->ident != strip.marks.back().ident) {
            strip.marks.push_back({leg.to->ident, along});
        }
        if (leg.phase != Phase::departure && leg.length > Length()) {
            strip.minimums.push_back({from, along, leg.minimum.altitude});
        }
    }
    finish(world, strip, ground);
    return strip;
}

Strip strip_of(const navdata::Snapshot& world, const StraightWay& way, const radio::Ground& ground) {
    Strip strip;
    const earth::Geodesic line = earth::geodesic(way.from, way.to);
    const int pieces = std::max(1, static_cast<int>(std::ceil(line.distance / search_step)));
    for (int i = 0; i <= pieces; ++i) {
        const Length along = line.distance * (static_cast<double>(i) / pieces);
        strip.path.push_back({earth::destination(way.from, line.initial, along), along, way.altitude});
    }
    strip.marks = {{way.from_ident, Length()}, {way.to_ident, line.distance}};
    finish(world, strip, ground);
    for (StripLane& lane : strip.lanes) {
        lane.over_all = radio::lowest_heard_along(world[lane.station], lane.part, way.from, way.to, ground);
    }
    return strip;
}

double strength(const HeardMargin& margin) {
    double left = 1.0;
    if (margin.above_sight) {
        left = std::min(left, margin.above_sight->feet() / 2000.0);
    }
    if (margin.within_limit) {
        left = std::min(left, margin.within_limit->nautical_miles() / 10.0);
    }
    return std::clamp(left, 0.0, 1.0);
}

}  // namespace omniway::flight
