#include "flight/en_route.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "flight/off_airway_minimum.hpp"
#include "flight/radial_fix.hpp"
#include "radio/along_path.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;
using navdata::AirwaySegment;
using navdata::StationId;
using procedure::PlacedFix;

namespace {

LegOrReason refused(std::string code, std::string about, std::string text, std::string remedy = {}) {
    return {std::nullopt,
            Finding{Grade::blocks, std::move(code), std::move(about), std::move(text), std::move(remedy)}};
}

std::string ground_text(const LegMinimum& minimum) {
    return minimum.ground ? fmt::format(" over ground of {:.0f} ft", minimum.ground->ground.feet())
                          : std::string();
}

bool leads_toward(const procedure::Guidance& guidance) {
    const auto* radial = std::get_if<procedure::OnRadial>(&guidance);
    const auto* beacon = std::get_if<procedure::OnBeacon>(&guidance);
    return (radial != nullptr && radial->toward) || (beacon != nullptr && beacon->toward);
}

bool guides(const navdata::Station& station) {
    return navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr;
}

std::optional<StationId> guiding_station(const navdata::Snapshot& world, const navdata::Point& point) {
    const auto* id = std::get_if<StationId>(&point);
    return id != nullptr && guides(world[*id]) ? std::optional(*id) : std::nullopt;
}

PlacedFix placed(const navdata::Snapshot& world, const navdata::Point& point) {
    return {world.ident(point), world.position(point), point, false};
}

// The band of a designator's letter: AIM 5-3-4 (trade-facts 9.1). Other letters: by the row's level alone.
bool in_band(const navdata::Airway& airway, Altitude altitude) {
    const char letter = airway.designator.empty() ? ' ' : airway.designator.front();
    const bool low = letter == 'V' || airway.level == 'L';
    const bool high = letter == 'J' || airway.level == 'H';
    if (low && !high) {
        return altitude < Altitude::feet(18000);
    }
    if (high && !low) {
        return altitude >= Altitude::feet(18000) && altitude <= Altitude::feet(45000);
    }
    return true;
}

// The aids at the two ends of the stretch that a segment belongs to, seen in the direction of flight, with the distance
// from each to the segment's near end along the airway.
struct StretchEnd {
    StationId station;
    Length away;
};
struct StretchEnds {
    std::optional<StretchEnd> behind;
    std::optional<StretchEnd> ahead;
};

std::optional<StretchEnd> seek(const navdata::Snapshot& world, const navdata::Airway& airway,
                               std::size_t index, bool upward) {
    Length away;
    for (std::size_t i = index;;) {
        const AirwaySegment& segment = airway.segments[i];
        if (const auto station = guiding_station(world, upward ? segment.to : segment.from)) {
            return StretchEnd{*station, away};
        }
        if (upward ? i + 1 >= airway.segments.size() : i == 0) {
            return std::nullopt;
        }
        i = upward ? i + 1 : i - 1;
        away += airway.segments[i].distance;
    }
}

// How far along a leg the aid behind it is followed until it is first lost, and for how much of its end the aid ahead after it
// was lost last; why, where terrain is in it.
struct Heard {
    Length from_behind;
    Length to_ahead;
    std::string why;
};

Heard heard_from_ends(const navdata::Snapshot& world, const radio::Ground& ground, const Leg& leg,
                      const std::optional<procedure::Guidance>& behind,
                      const std::optional<procedure::Guidance>& ahead, Altitude altitude) {
    const std::array<radio::PathPoint, 2> line = {radio::PathPoint{leg.start, Length(), altitude},
                                                  radio::PathPoint{leg.finish, leg.length, altitude}};
    Heard heard;
    const auto lost_of = [&](const procedure::Guidance& guidance) {
        return radio::lost_along(world[*procedure::station_of(guidance)], radio::Part::azimuth, line, ground);
    };
    const auto because = [&](const procedure::Guidance& guidance, const radio::Reception& why) {
        if (why.silence == radio::Silence::behind_terrain) {
            heard.why += fmt::format("{} {} is {}", heard.why.empty() ? ":" : ",",
                                     world[*procedure::station_of(guidance)].ident, radio::to_text(why));
        }
    };
    if (behind) {
        const auto lost = lost_of(*behind);
        heard.from_behind = lost.empty() ? leg.length : lost.front().from;
        if (!lost.empty()) {
            because(*behind, lost.front().why);
        }
    }
    if (ahead) {
        const auto lost = lost_of(*ahead);
        heard.to_ahead = lost.empty() ? leg.length : leg.length - lost.back().to;
        if (!lost.empty()) {
            because(*ahead, lost.back().why);
        }
    }
    return heard;
}

// Within which an aid may stand whose line a leg lies on: the volume of a high VOR reaches no farther.
constexpr Length farthest_aid = Length::nautical_miles(130.0);

std::array<double, 3> less(const std::array<double, 3>& a, const std::array<double, 3>& b) {
    return {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
}

double dot(const std::array<double, 3>& a, const std::array<double, 3>& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

// Whether two places may lie in one direction from an aid: by chords, wide enough that none is lost for which guidance_along()
// asks geodesics. Within 10 NM it says yes.
bool may_lie_in_line(const std::array<double, 3>& aid, const std::array<double, 3>& a,
                     const std::array<double, 3>& b) {
    constexpr double near = 10.0 / 3440.0;
    constexpr double least_cosine = 0.998;  // 3.6 degrees; one chord of 130 NM dips by 1.1
    const auto to_a = less(a, aid);
    const auto to_b = less(b, aid);
    const double a_long = std::sqrt(dot(to_a, to_a));
    const double b_long = std::sqrt(dot(to_b, to_b));
    return std::min(a_long, b_long) < near || dot(to_a, to_b) > least_cosine * a_long * b_long;
}

// What guides along a leg from behind it and from ahead of it.
struct FromEnds {
    std::optional<procedure::Guidance> behind;
    std::optional<procedure::Guidance> ahead;
};

// The aids on whose one line the leg lies, away from its ends: of those behind the one that is heard farthest along it, of those ahead
// the one from which it is heard soonest; a VOR before a beacon, the nearer before the farther.
FromEnds from_aids_in_line(const navdata::Snapshot& world, const radio::Ground& ground,
                           const cockpit::Equipment& aboard, const Leg& leg, Altitude altitude) {
    const auto start = earth::unit_vector(leg.start);
    const auto finish = earth::unit_vector(leg.finish);
    std::vector<StationId> near = world.stations_within(leg.finish, farthest_aid + leg.length);
    std::erase_if(near, [&](StationId id) {
        return !guides(world[id]) ||
               !may_lie_in_line(earth::unit_vector(navdata::site(world[id])), start, finish);
    });
    std::stable_sort(near.begin(), near.end(), [&](StationId a, StationId b) {
        const bool a_is_beacon = navdata::ndb(world[a]) != nullptr;
        const bool b_is_beacon = navdata::ndb(world[b]) != nullptr;
        return a_is_beacon != b_is_beacon ? b_is_beacon
                                          : earth::distance(navdata::site(world[a]), leg.finish) <
                                                earth::distance(navdata::site(world[b]), leg.finish);
    });
    FromEnds found;
    Length from_behind;
    Length to_ahead;
    for (const StationId id : near) {
        const auto line = procedure::guidance_along(world, id, leg.start, leg.finish);
        if (!line || !procedure::can_follow(world, aboard, *line)) {
            continue;
        }
        const Heard behind = heard_from_ends(world, ground, leg, line, std::nullopt, altitude);
        const Heard ahead = heard_from_ends(world, ground, leg, std::nullopt, line, altitude);
        const bool toward = leads_toward(*line);
        if (!toward && (!found.behind || behind.from_behind > from_behind)) {
            found.behind = line;
            from_behind = behind.from_behind;
        }
        if (toward && (!found.ahead || ahead.to_ahead > to_ahead)) {
            found.ahead = line;
            to_ahead = ahead.to_ahead;
        }
    }
    return found;
}

std::string about_direct(const PlacedFix& from, const PlacedFix& to) {
    return fmt::format("direct {} to {}", from.ident, to.ident);
}

// A straight leg with the stretches over which its aids guide.
LegOrReason guided_by(const navdata::Snapshot& world, const radio::Ground& ground, const Settings& settings,
                      const Leg& straight, const FromEnds& aids, Altitude altitude, base::Speed groundspeed) {
    Leg leg = straight;
    const PlacedFix& to = *leg.to;
    const auto& [behind, ahead] = aids;
    const std::string about = about_direct(*leg.from, to);
    if (!behind && !ahead) {
        return refused(
            "direct.no_aid", about,
            "has no aid at either end, and lies on no radial or bearing of one, that the equipment "
            "can follow");
    }
    const Heard heard = heard_from_ends(world, ground, leg, behind, ahead, altitude);
    const Length from_behind = heard.from_behind;
    const Length to_ahead = heard.to_ahead;
    const Length gap = leg.length - from_behind - to_ahead;
    const Length limit = dead_reckoning_limit(settings, groundspeed);
    if (gap > limit) {
        return refused(
            "direct.no_signal", about,
            fmt::format("no signal from {:.1f} to {:.1f} NM at {:.0f} ft{}: {:.1f} NM on heading alone, "
                        "{:.1f} NM allowed",
                        from_behind.nautical_miles(), (leg.length - to_ahead).nautical_miles(),
                        altitude.feet(), heard.why, gap.nautical_miles(), limit.nautical_miles()),
            "a higher cruising altitude, or a longer dead-reckoning allowance");
    }
    if (!ahead && gap > Length::nautical_miles(0.01)) {
        return refused(
            "direct.no_signal", about,
            fmt::format("{} is lost {:.1f} NM before {}, and nothing else guides there",
                        world[*procedure::station_of(*behind)].ident, gap.nautical_miles(), to.ident));
    }
    if (gap > Length()) {
        if (from_behind > Length()) {
            leg.stretches.push_back({Length(), from_behind, *behind});
        }
        // The track turns along a geodesic: 1.3 degrees in 45 NM at 64 degrees north.
        const earth::Position lost = earth::destination(leg.start, leg.track, from_behind);
        leg.stretches.push_back(
            {from_behind, from_behind + gap, procedure::OnHeading{earth::bearing(lost, leg.finish)}});
        if (to_ahead > Length()) {
            leg.stretches.push_back({from_behind + gap, leg.length, *ahead});
        }
    } else if (behind && ahead) {
        const Length change = std::clamp(leg.length * 0.5, leg.length - to_ahead, from_behind);
        if (change > Length()) {
            leg.stretches.push_back({Length(), change, *behind});
        }
        if (change < leg.length) {
            leg.stretches.push_back({change, leg.length, *ahead});
        }
    } else {
        leg.stretches.push_back({Length(), leg.length, behind ? *behind : *ahead});
    }
    const std::array<radio::PathPoint, 2> line = {radio::PathPoint{leg.start, Length(), altitude},
                                                  radio::PathPoint{leg.finish, leg.length, altitude}};
    if (lies_in_cones(world, ground, leg, line)) {
        return refused(
            "direct.in_cones", about,
            fmt::format("is {:.1f} NM long and leaves less than {:.0f} NM between the cones overhead "
                        "at {:.0f} ft to be guided along",
                        leg.length.nautical_miles(), shortest_guided.nautical_miles(), altitude.feet()),
            "cross one of the two alone");
    }
    return {std::move(leg), std::nullopt};
}

// How much of a stretch lies in the cone of what guides it.
Length overhead_within(const navdata::Station& station, const radio::Ground& ground, const Stretch& stretch,
                       std::span<const radio::PathPoint> path) {
    Length overhead;
    for (const radio::SilentInterval& interval :
         radio::silent_along(station, radio::Part::azimuth, path, ground)) {
        const Length from = std::max(interval.from, stretch.from);
        const Length to = std::min(interval.to, stretch.to);
        if (interval.why.silence == radio::Silence::overhead && to > from) {
            overhead += to - from;
        }
    }
    return overhead;
}

}  // namespace

bool lies_in_cones(const navdata::Snapshot& world, const radio::Ground& ground, const Leg& leg,
                   std::span<const radio::PathPoint> path) {
    const auto over_an_aid = [&](const std::optional<PlacedFix>& fix) {
        return fix && fix->point && guiding_station(world, *fix->point);
    };
    if (!over_an_aid(leg.from) || !over_an_aid(leg.to) || path.empty()) {
        return false;
    }
    // Both cones together reach 2.4 times the height (50 degrees from the vertical).
    constexpr double reach = 2.5;
    const Altitude highest = std::max_element(path.begin(), path.end(), [](const auto& a, const auto& b) {
                                 return a.altitude < b.altitude;
                             })->altitude;
    if (leg.length > (highest - Altitude()) * reach + shortest_guided) {
        return false;
    }
    Length guided;
    for (const Stretch& stretch : leg.stretches) {
        if (const auto station = procedure::station_of(stretch.guidance)) {
            guided += stretch.to - stretch.from - overhead_within(world[*station], ground, stretch, path);
        }
    }
    return guided < shortest_guided;
}

LegOrReason airway_leg(const navdata::Snapshot& world, const cockpit::Equipment& aboard,
                       const navdata::Airway& airway, std::size_t index, bool forward, Altitude altitude) {
    const AirwaySegment& segment = airway.segments[index];
    const navdata::Point from = forward ? segment.from : segment.to;
    const navdata::Point to = forward ? segment.to : segment.from;
    const std::string about =
        fmt::format("{} {} to {}", airway.designator, world.ident(from), world.ident(to));
    if (airway.area_navigation) {
        return refused("airway.area_navigation", about, "is an RNAV route");
    }
    if ((segment.direction == navdata::AirwayDirection::forward_only && !forward) ||
        (segment.direction == navdata::AirwayDirection::backward_only && forward)) {
        return refused("airway.wrong_direction", about, "is one-way the other way");
    }
    if (!in_band(airway, altitude)) {
        return refused("airway.outside_band", about,
                       fmt::format("does not exist at {:.0f} ft", altitude.feet()),
                       "another cruising altitude");
    }
    Leg leg;
    const navdata::PublishedMinimum& published = forward ? segment.minimum_forward : segment.minimum_backward;
    if (const auto* minimum = std::get_if<Altitude>(&published)) {
        if (altitude < *minimum) {
            return refused("airway.below_minimum", about,
                           fmt::format("has its minimum at {:.0f} ft, {:.0f} ft is asked", minimum->feet(),
                                       altitude.feet()),
                           fmt::format("cruise at {:.0f} ft or higher", minimum->feet()));
        }
        leg.minimum = {MinimumFrom::published_airway, *minimum};
    } else {
        leg.minimum = {MinimumFrom::published_unknown, std::nullopt};
    }
    if (segment.maximum && altitude > *segment.maximum) {
        return refused("airway.above_maximum", about,
                       fmt::format("has its maximum at {:.0f} ft, {:.0f} ft is asked",
                                   segment.maximum->feet(), altitude.feet()),
                       fmt::format("cruise at {:.0f} ft or lower", segment.maximum->feet()));
    }
    leg.maximum = segment.maximum;
    leg.phase = Phase::en_route;
    leg.via = airway.designator;
    leg.published = true;
    leg.from = placed(world, from);
    leg.to = placed(world, to);
    leg.start = leg.from->position;
    leg.finish = leg.to->position;
    const earth::Geodesic line = earth::geodesic(leg.start, leg.finish);
    leg.track = line.initial;
    leg.arrival = line.arrival;
    leg.length = line.distance;

    StretchEnds ends{seek(world, airway, index, false), seek(world, airway, index, true)};
    if (!forward) {
        std::swap(ends.behind, ends.ahead);
    }
    std::optional<procedure::Guidance> unfollowed;
    const auto guidance_of = [&](const std::optional<StretchEnd>& end) -> std::optional<procedure::Guidance> {
        if (!end) {
            return std::nullopt;
        }
        const auto guidance = procedure::guidance_along(world, end->station, leg.start, leg.finish);
        if (guidance && !procedure::can_follow(world, aboard, *guidance)) {
            unfollowed = guidance;
            return std::nullopt;
        }
        return guidance;
    };
    const auto behind = guidance_of(ends.behind);
    const auto ahead = guidance_of(ends.ahead);
    if (!behind && !ahead) {
        if (unfollowed) {
            return refused("airway.lacks_receiver", about, procedure::lack_text(world, *unfollowed));
        }
        return refused("airway.no_aid", about,
                       "lies on no radial or bearing of a recorded aid at either end of its stretch",
                       "import the data that holds its stations");
    }
    if (behind && ahead) {
        // 14 CFR 95.8001: midway between the aids of a straight stretch. Where it bends, only one aid's line fits a segment.
        const Length half = (ends.behind->away + leg.length + ends.ahead->away) * 0.5;
        const Length change = std::clamp(half - ends.behind->away, Length(), leg.length);
        if (change > Length()) {
            leg.stretches.push_back({Length(), change, *behind});
        }
        if (change < leg.length) {
            leg.stretches.push_back({change, leg.length, *ahead});
        }
    } else {
        leg.stretches.push_back({Length(), leg.length, behind ? *behind : *ahead});
    }
    return {leg, std::nullopt};
}

bool goes_straight_on(const Leg& before, const Leg& after) {
    constexpr base::Angle straight_on = base::Angle::degrees(2.0);
    const auto a = procedure::station_of(before.stretches.back().guidance);
    const auto b = procedure::station_of(after.stretches.front().guidance);
    return a && b && *a == *b && abs(after.track - before.arrival) <= straight_on &&
           before.level == after.level;
}

base::Length dead_reckoning_limit(const Settings& settings, base::Speed groundspeed) {
    return std::min(settings.dead_reckoning_distance, groundspeed * settings.dead_reckoning_time);
}

std::optional<Altitude> grid_minimum_along(const navdata::Snapshot& world, earth::Position from,
                                           earth::Position to) {
    const earth::Geodesic line = earth::geodesic(from, to);
    std::optional<Altitude> highest;
    // Cells are a degree wide; 4 NM either side of the course also counts (14 CFR 91.177).
    for (Length at;; at += Length::nautical_miles(4.0)) {
        at = std::min(at, line.distance);
        const earth::Position here = earth::destination(from, line.initial, at);
        for (const double side_nm : {-4.0, 0.0, 4.0}) {
            const earth::Position place = earth::destination(here, line.initial + base::Angle::degrees(90.0),
                                                             Length::nautical_miles(side_nm));
            const auto minimum = world.grid_minimum(place);
            if (!minimum) {
                return std::nullopt;
            }
            highest = highest ? std::max(*highest, *minimum) : *minimum;
        }
        if (at >= line.distance) {
            return highest;
        }
    }
}

Leg straight_leg(const PlacedFix& from, const PlacedFix& to) {
    Leg leg;
    leg.phase = Phase::en_route;
    leg.via = direct_via;
    leg.from = from;
    leg.to = to;
    leg.start = from.position;
    leg.finish = to.position;
    const earth::Geodesic line = earth::geodesic(leg.start, leg.finish);
    leg.track = line.initial;
    leg.arrival = line.arrival;
    leg.length = line.distance;
    return leg;
}

LegOrReason guided_leg(const navdata::Snapshot& world, const radio::Ground& ground,
                       const cockpit::Equipment& aboard, const Settings& settings, const PlacedFix& from,
                       const PlacedFix& to, Altitude altitude, base::Speed groundspeed) {
    const Leg leg = straight_leg(from, to);
    const auto station_of = [&](const PlacedFix& fix) {
        return fix.point ? guiding_station(world, *fix.point) : std::nullopt;
    };
    const auto follow = [&](std::optional<StationId> id) -> std::optional<procedure::Guidance> {
        if (!id) {
            return std::nullopt;
        }
        const auto guidance = procedure::guidance_along(world, *id, leg.start, leg.finish);
        return guidance && procedure::can_follow(world, aboard, *guidance) ? guidance : std::nullopt;
    };
    FromEnds aids{follow(station_of(from)), follow(station_of(to))};
    if (!station_of(from) && !station_of(to)) {
        aids = from_aids_in_line(world, ground, aboard, leg, altitude);
    }
    for (const StationId id : named_from(world, from)) {
        const auto named = follow(id);
        if (!named) {
            continue;
        }
        const FromEnds on_it =
            leads_toward(*named) ? FromEnds{std::nullopt, named} : FromEnds{named, aids.ahead};
        auto made = guided_by(world, ground, settings, leg, on_it, altitude, groundspeed);
        // Not heard there, or lost on the way with nothing ahead, it leaves the leg to the others.
        if (made.leg && procedure::station_of(made.leg->stretches.front().guidance) == id) {
            return made;
        }
    }
    return guided_by(world, ground, settings, leg, aids, altitude, groundspeed);
}

LegOrReason direct_leg(const navdata::Snapshot& world, const radio::Ground& ground,
                       const cockpit::Equipment& aboard, const Settings& settings, const PlacedFix& from,
                       const PlacedFix& to, Altitude altitude, base::Speed groundspeed, Minimum minimum) {
    LegOrReason made = guided_leg(world, ground, aboard, settings, from, to, altitude, groundspeed);
    if (!made.leg) {
        return made;
    }
    Leg& leg = *made.leg;
    leg.minimum = minimum == Minimum::whole
                      ? off_airway_minimum(world, ground, settings, leg.start, leg.finish, leg.stretches)
                      : minimum_for(altitude, world, ground, settings, leg.start, leg.finish, leg.stretches);
    if (leg.minimum.altitude && altitude < *leg.minimum.altitude) {
        return refused("direct.below_minimum", about_direct(from, to),
                       fmt::format("has its minimum at {:.0f} ft{}, {:.0f} ft is asked",
                                   leg.minimum.altitude->feet(), ground_text(leg.minimum), altitude.feet()),
                       fmt::format("cruise at {:.0f} ft or higher", leg.minimum.altitude->feet()));
    }
    return made;
}

}  // namespace omniway::flight
