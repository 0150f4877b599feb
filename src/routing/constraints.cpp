#include "routing/constraints.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <type_traits>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"

namespace omniway::routing {

using base::Finding;
using base::Grade;
using base::Length;
using flight::Leg;
using navdata::StationId;

namespace {

constexpr Length over = Length::nautical_miles(0.1);
// The turn of an own departure or missed approach onto its first aid takes as much by heading (flight/departure.hpp).
constexpr Length turning = Length::nautical_miles(1.0);
// One minute at 230 kt, and two radii of a turn at 3 degrees a second there: the widest hold up to 14,000 ft (trade-facts 8.2).
constexpr Length hold_straight = Length::nautical_miles(230.0 / 60.0);
constexpr Length hold_across = Length::nautical_miles(2.44);
constexpr Length reversal_aside = Length::nautical_miles(3.0);

Length distance_to_line(earth::Position from, earth::Position to, earth::Position place) {
    const Length length = earth::distance(from, to);
    if (length < Length::metres(1.0)) {
        return earth::distance(from, place);
    }
    const earth::AlongAcross foot = earth::along_across(from, to, place);
    if (foot.along < Length()) {
        return earth::distance(from, place);
    }
    return foot.along > length ? earth::distance(to, place) : Length::metres(std::abs(foot.across.metres()));
}

Length distance_to_lines(const std::vector<earth::Position>& corners, earth::Position place) {
    Length least = earth::distance(corners.front(), place);
    for (std::size_t i = 1; i < corners.size(); ++i) {
        least = std::min(least, distance_to_line(corners[i - 1], corners[i], place));
    }
    return least;
}

// The place of a circle nearest to another place lies on the geodesic from its centre: within the arc, or one of its ends is nearest.
Length distance_to_arc(const navdata::Station& station, const procedure::OnArc& arc, const Leg& leg,
                       earth::Position place) {
    const earth::Position centre = station.dme ? station.dme->position : navdata::site(station);
    const auto clockwise_rad = [&](base::TrueBearing to) {
        const double turned_deg =
            (to.degrees() - earth::bearing(centre, leg.start).degrees()) * (arc.clockwise ? 1.0 : -1.0);
        return (turned_deg - 360.0 * std::floor(turned_deg / 360.0)) * std::numbers::pi / 180.0;
    };
    const earth::Geodesic line = earth::geodesic(centre, place);
    if (clockwise_rad(line.initial) <= leg.length / arc.radius) {
        return Length::metres(std::abs((line.distance - arc.radius).metres()));
    }
    return std::min(earth::distance(leg.start, place), earth::distance(leg.finish, place));
}

std::vector<earth::Position> hold_drawn(const Leg& leg, const procedure::AtHold& hold) {
    const bool coded = leg.coded != nullptr && leg.coded->distance && *leg.coded->distance > Length();
    const base::TrueBearing out = leg.track.reciprocal();
    const base::TrueBearing side =
        leg.track + base::Angle::degrees(hold.side == navdata::Turn::left ? -90.0 : 90.0);
    const earth::Position fix = leg.finish;
    const earth::Position outer = earth::destination(fix, out, coded ? *leg.coded->distance : hold_straight);
    return {fix, earth::destination(fix, side, hold_across), earth::destination(outer, side, hold_across),
            outer, fix};
}

// A turn back to the right follows a barb on the left of the outbound course (trade-facts 13.9).
std::vector<earth::Position> reversal_drawn(const Leg& leg, const procedure::AtCourseReversed& reversal) {
    const earth::Position limit = earth::destination(leg.start, leg.track, reversal.within);
    std::vector<earth::Position> drawn{leg.start, limit};
    for (const double side_deg : {-90.0, 90.0}) {
        const bool other_side = (side_deg < 0.0 && reversal.back == navdata::Turn::left) ||
                                (side_deg > 0.0 && reversal.back == navdata::Turn::right);
        if (!other_side) {
            const base::TrueBearing side = leg.track + base::Angle::degrees(side_deg);
            const earth::Position half = earth::destination(leg.start, leg.track, reversal.within * 0.5);
            const std::vector<earth::Position> box{limit, earth::destination(limit, side, reversal_aside),
                                                   earth::destination(half, side, reversal_aside), half,
                                                   limit};
            drawn.insert(drawn.end(), box.begin(), box.end());
        }
    }
    return drawn;
}

Length distance_to(const navdata::Snapshot& world, const Leg& leg, earth::Position place) {
    if (!leg.stretches.empty()) {
        if (const auto* arc = std::get_if<procedure::OnArc>(&leg.stretches.front().guidance)) {
            return distance_to_arc(world[arc->station], *arc, leg, place);
        }
    }
    if (leg.ending) {
        const auto* hold = std::get_if<procedure::AtHold>(&*leg.ending);
        if (hold != nullptr && earth::distance(leg.start, leg.finish) < earth::same_place) {
            return distance_to_lines(hold_drawn(leg, *hold), place);
        }
        if (const auto* reversal = std::get_if<procedure::AtCourseReversed>(&*leg.ending)) {
            return distance_to_lines(reversal_drawn(leg, *reversal), place);
        }
    }
    return distance_to_line(leg.start, leg.finish, place);
}

StationId station_of(const fixing::Telling& telling) {
    return std::visit([](const auto& way) { return way.station; }, telling.way);
}

std::optional<StationId> tells_end(const Leg& leg) {
    struct Tells {
        std::optional<StationId> operator()(const procedure::AtFix& end) const {
            return station_of(end.telling);
        }
        std::optional<StationId> operator()(const procedure::AtDistance& end) const { return end.station; }
        std::optional<StationId> operator()(const procedure::AtRadial& end) const { return end.station; }
        std::optional<StationId> operator()(const procedure::AtMissedApproachPoint& end) const {
            return end.telling ? std::optional(station_of(*end.telling)) : std::nullopt;
        }
        std::optional<StationId> operator()(const procedure::AtAltitude&) const { return std::nullopt; }
        std::optional<StationId> operator()(const procedure::AtIntercept&) const { return std::nullopt; }
        std::optional<StationId> operator()(const procedure::AtCourseReversed&) const { return std::nullopt; }
        std::optional<StationId> operator()(const procedure::AtGlideslopeIntercept&) const {
            return std::nullopt;
        }
        std::optional<StationId> operator()(const procedure::AtDecisionAltitude&) const {
            return std::nullopt;
        }
        std::optional<StationId> operator()(const procedure::AtHold&) const { return std::nullopt; }
    };
    return leg.ending ? std::visit(Tells{}, *leg.ending) : std::nullopt;
}

bool is_avoided(const Constraints& constraints, StationId station) {
    return std::find(constraints.avoid.begin(), constraints.avoid.end(), navdata::Point(station)) !=
           constraints.avoid.end();
}

bool may_use(const Constraints& constraints, const navdata::Snapshot& world, StationId station) {
    return !is_avoided(constraints, station) &&
           !(constraints.no_beacon && navdata::ndb(world[station]) != nullptr);
}

std::string name_of(const Leg& leg) {
    return leg.via + (leg.from ? " from " + leg.from->ident : std::string()) +
           (leg.to ? " to " + leg.to->ident : std::string());
}

// By heading alone, but what the turn to the first aid after take-off or a missed approach takes.
Length by_heading(const Leg& leg) {
    if (leg.published || (leg.ending && std::holds_alternative<procedure::AtAltitude>(*leg.ending))) {
        return {};
    }
    const bool turns = leg.phase == flight::Phase::departure || leg.phase == flight::Phase::missed;
    Length sum;
    for (const flight::Stretch& stretch : leg.stretches) {
        const Length length = stretch.to - stretch.from;
        const bool is_turn = turns && stretch.from == Length() && length <= turning + Length::metres(1.0);
        if (std::holds_alternative<procedure::OnHeading>(stretch.guidance) && !is_turn) {
            sum += length;
        }
    }
    return sum;
}

class Check {
public:
    Check(const Constraints& constraints, const navdata::Snapshot& world, const Leg& leg)
        : constraints_(constraints), world_(world), leg_(leg) {}

    std::optional<Finding> first_broken() const {
        for (const auto& rule : {&Check::point, &Check::airway, &Check::stations, &Check::area,
                                 &Check::dead_reckoning, &Check::level}) {
            if (auto broken = (this->*rule)()) {
                return broken;
            }
        }
        return std::nullopt;
    }

private:
    Finding broken(const char* code, std::string text, std::string remedy) const {
        return {Grade::blocks, code, name_of(leg_), std::move(text), std::move(remedy)};
    }

    std::optional<Finding> point() const {
        for (const navdata::Point& point : constraints_.avoid) {
            if (distance_to(world_, leg_, world_.position(point)) <= over) {
                return broken("constraint.avoided_point",
                              "goes over " + world_.ident(point) + ", which is to be avoided",
                              "leave it out of --avoid");
            }
        }
        return std::nullopt;
    }

    std::optional<Finding> airway() const {
        const auto& avoided = constraints_.avoid_airways;
        if (std::find(avoided.begin(), avoided.end(), leg_.via) == avoided.end()) {
            return std::nullopt;
        }
        return broken("constraint.avoided_airway", leg_.via + " is to be avoided",
                      "leave it out of --avoid-airway");
    }

    std::optional<Finding> stations() const {
        for (const flight::Stretch& stretch : leg_.stretches) {
            const auto station = procedure::station_of(stretch.guidance);
            if (station && !may_use(constraints_, world_, *station)) {
                return not_to_be_used(*station, "is guided by");
            }
        }
        const auto tells = tells_end(leg_);
        return tells && !may_use(constraints_, world_, *tells) ? not_to_be_used(*tells, "its end is told by")
                                                               : std::nullopt;
    }

    std::optional<Finding> not_to_be_used(StationId id, const char* how) const {
        const navdata::Station& station = world_[id];
        const std::string text = fmt::format("{} {} {}", how, navdata::kind_text(station), station.ident);
        return is_avoided(constraints_, id)
                   ? broken("constraint.avoided_station", text + ", which is to be avoided",
                            "leave it out of --avoid")
                   : broken("constraint.beacon", text + ", and no NDB is to be used", "leave out --no-ndb");
    }

    std::optional<Finding> area() const {
        for (const Circle& circle : constraints_.avoid_areas) {
            const Length nearest = distance_to(world_, leg_, circle.centre);
            if (nearest < circle.radius) {
                return broken(
                    "constraint.avoided_area",
                    fmt::format("comes within {:.1f} NM of the middle of {}, {:.1f} NM are to be kept",
                                nearest.nautical_miles(), circle.name, circle.radius.nautical_miles()),
                    "a smaller area, or none");
            }
        }
        return std::nullopt;
    }

    std::optional<Finding> dead_reckoning() const {
        const Length heading = constraints_.no_dead_reckoning ? by_heading(leg_) : Length();
        if (heading <= Length()) {
            return std::nullopt;
        }
        return broken("constraint.dead_reckoning",
                      fmt::format("{:.1f} NM of it are flown by heading alone, and none is to be",
                                  heading.nautical_miles()),
                      "leave out --no-dead-reckoning");
    }

    std::optional<Finding> level() const {
        if (!constraints_.highest || !leg_.level || *leg_.level <= *constraints_.highest) {
            return std::nullopt;
        }
        return broken("constraint.above_highest",
                      fmt::format("is flown at {:.0f} ft, at most {:.0f} ft are asked for",
                                  leg_.level->feet(), constraints_.highest->feet()),
                      fmt::format("--highest {:.0f}", leg_.level->feet()));
    }

    const Constraints& constraints_;
    const navdata::Snapshot& world_;
    const Leg& leg_;
};

}  // namespace

bool Constraints::asks_of_legs() const {
    return !avoid.empty() || !avoid_airways.empty() || !avoid_areas.empty() || highest || no_beacon ||
           no_dead_reckoning;
}

std::optional<Finding> broken_by(const Constraints& constraints, const navdata::Snapshot& world,
                                 const Leg& leg) {
    return constraints.asks_of_legs() ? Check(constraints, world, leg).first_broken() : std::nullopt;
}

bool allows(const Constraints& constraints, const navdata::Snapshot& world, const Leg& leg) {
    return !broken_by(constraints, world, leg);
}

std::optional<fixing::Telling> allowed_telling(const Constraints& constraints, const navdata::Snapshot& world,
                                               const std::vector<fixing::Telling>& ways) {
    const auto first = std::find_if(ways.begin(), ways.end(), [&](const fixing::Telling& telling) {
        return may_use(constraints, world, station_of(telling));
    });
    return first == ways.end() ? std::nullopt : std::optional(*first);
}

std::vector<navdata::Point> not_flown_over(const Constraints& constraints, const navdata::Snapshot& world,
                                           const std::vector<Leg>& legs) {
    std::size_t next = 0;
    for (const Leg& leg : legs) {
        // One leg may pass several, each farther from its start than the one before.
        Length passed;
        while (next < constraints.via.size()) {
            const earth::Position place = world.position(constraints.via[next]);
            const Length along = earth::distance(leg.start, place);
            if (distance_to(world, leg, place) > over || along + over < passed) {
                break;
            }
            passed = along;
            ++next;
        }
    }
    return {constraints.via.begin() + static_cast<std::ptrdiff_t>(next), constraints.via.end()};
}

Length longest_way(Length direct) {
    return std::max(direct * 1.5, direct + Length::nautical_miles(80.0));
}

}  // namespace omniway::routing
