#include "plan/in_flight.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "fixing/telling.hpp"
#include "flight/departure.hpp"
#include "flight/en_route.hpp"
#include "flight/off_airway_minimum.hpp"
#include "procedure/climb.hpp"
#include "radio/reception.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Length;
using flight::Leg;
using navdata::StationId;
using procedure::PlacedFix;

namespace {

constexpr Length farthest_aid = Length::nautical_miles(130.0);  // of any standard volume
// Nearer than this one is over the aid: nothing is to be flown to it.
constexpr Length overhead = Length::nautical_miles(0.3);
constexpr Length shortest_stretch = Length::metres(1.0);
// In a minute of climb the air grows so much thinner, and the wind so much stronger.
constexpr double climbing_is_faster = 1.05;
constexpr base::Speed fastest_in_hold = base::Speed::knots(230.0);  // trade-facts 8.2

Length flown_by_heading(const std::vector<Leg>& legs) {
    Length sum;
    for (const Leg& leg : legs) {
        for (const flight::Stretch& each : leg.stretches) {
            if (std::holds_alternative<procedure::OnHeading>(each.guidance)) {
                sum += each.to - each.from;
            }
        }
    }
    return sum;
}

class Onward {
public:
    Onward(const flight::Circumstances& day, const InFlight& now, const routing::Constraints& asked)
        : day_(day), now_(now), asked_(asked), here_{now.at.name, now.at.place, std::nullopt, false} {}

    std::vector<routing::Chain> result() {
        if (!now_.ahead.empty()) {
            chains_.push_back({now_.ahead, Length()});
        }
        const auto near = day_.world.stations_within(now_.at.place, farthest_aid);
        for (const StationId id : near) {
            if (can_guide(id) && earth::distance(navdata::site(day_.world[id]), now_.at.place) < overhead) {
                here_.point = navdata::Point(id);
                break;
            }
        }
        for (const StationId id : near) {
            if (can_guide(id)) {
                to(id);
            }
        }
        return std::move(chains_);
    }

private:
    bool can_guide(StationId id) const {
        const navdata::Station& station = day_.world[id];
        return navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr;
    }

    base::Speed airspeed() const {
        const aircraft::Performance& performance = day_.aircraft.performance;
        return now_.climbing_out ? aircraft::true_airspeed_climb(performance, now_.at.altitude)
                                 : aircraft::true_airspeed_cruise(performance, now_.at.altitude);
    }

    base::Speed groundspeed(base::TrueBearing track, base::Speed through_air) const {
        const auto held = aircraft::hold_course(track, through_air, day_.winds.at(now_.at.altitude));
        return held ? held->groundspeed : base::Speed::knots(1.0);
    }

    // Whether what follows is a climb, level or a descent is not known yet: so far as the fastest of them flies in that minute.
    Length lead(base::TrueBearing track) const {
        const aircraft::Performance& performance = day_.aircraft.performance;
        const Altitude here = now_.at.altitude;
        const base::Speed fastest = std::max({aircraft::true_airspeed_climb(performance, here),
                                              aircraft::true_airspeed_cruise(performance, here),
                                              aircraft::true_airspeed_descent(performance, here)});
        return groundspeed(track, fastest * climbing_is_faster) * to_set_the_radios;
    }

    void to(StationId id) {
        const navdata::Station& station = day_.world[id];
        const PlacedFix aid{station.ident, navdata::site(station), navdata::Point(id), false};
        const base::TrueBearing track = earth::bearing(here_.position, aid.position);
        const Length minute = lead(track);
        // What would be reached before it is identified is no aid to fly to: one holds over it meanwhile.
        if (earth::distance(here_.position, aid.position) < minute * 1.5) {
            hold_over(id, aid);
            return;
        }
        const base::Speed speed = groundspeed(track, airspeed());
        std::vector<Leg> legs = now_.climbing_out ? climbing_to(aid, speed) : std::vector<Leg>();
        // High enough already one may as well go there level, farther than a departure leads.
        const bool level = legs.empty();
        if (level) {
            legs = level_to(aid, groundspeed(track, aircraft::true_airspeed_cruise(day_.aircraft.performance,
                                                                                   now_.at.altitude)));
        }
        if (legs.empty()) {
            return;
        }
        hold_the_heading(legs.front(), minute);
        if (asked_.no_dead_reckoning && flown_by_heading(legs) > minute + shortest_stretch) {
            return;
        }
        if (level && !is_high_enough(legs.front(), legs.front().start, legs.front().finish)) {
            return;
        }
        legs.back().ending = procedure::AtFix{
            aid, {fixing::Overhead{id}, Length::nautical_miles(0.2), base::Angle::degrees(90.0)}};
        chains_.push_back({std::move(legs), Length(), true});
    }

    // Gives the leg its minimum off the airways between two places.
    bool is_high_enough(Leg& leg, earth::Position from, earth::Position to) const {
        leg.minimum =
            flight::off_airway_minimum(day_.world, day_.ground, day_.settings, from, to, leg.stretches);
        return !leg.minimum.altitude || now_.at.altitude + Length::feet(1.0) >= *leg.minimum.altitude;
    }

    // Over an aid, or so near that it is reached before anything else is identified: once round in a hold over it, of which the outbound half
    // is by heading and time anyway. Four inbound courses, so that what follows is never far off one of them.
    void hold_over(StationId id, const PlacedFix& aid) {
        std::vector<Leg> legs;
        // Passed within the minute it is not identified, and the passage no end that is seen: straight into the hold.
        const Length away = earth::distance(here_.position, aid.position);
        const bool passage_is_seen =
            away <= overhead || away >= lead(earth::bearing(here_.position, aid.position));
        if (away > overhead) {
            Leg leg = flight::straight_leg(here_, aid);
            leg.phase = now_.climbing_out ? flight::Phase::departure : flight::Phase::en_route;
            leg.stretches = {{Length(), leg.length, procedure::OnHeading{leg.track}}};
            if (!now_.climbing_out && !is_high_enough(leg, leg.start, leg.finish)) {
                return;
            }
            if (passage_is_seen) {
                leg.ending = procedure::AtFix{
                    aid, {fixing::Overhead{id}, Length::nautical_miles(0.2), base::Angle::degrees(90.0)}};
            }
            legs.push_back(std::move(leg));
        }
        const base::TrueBearing first = !legs.empty()         ? legs.back().arrival
                                        : !now_.ahead.empty() ? now_.ahead.front().track
                                                              : base::TrueBearing::degrees(0.0);
        for (const double turned_deg : {0.0, 90.0, 180.0, 270.0}) {
            if (turned_deg > 0.0 && !passage_is_seen) {
                break;
            }
            Leg hold = held(id, aid, first + base::Angle::degrees(turned_deg));
            const earth::Position outer =
                earth::destination(aid.position, hold.track.reciprocal(), hold.length * 0.25);
            if (!now_.climbing_out && !is_high_enough(hold, aid.position, outer)) {
                continue;
            }
            if (hold.minimum.altitude) {
                std::get<procedure::AtHold>(*hold.ending).altitude = hold.minimum.altitude;
            }
            if (legs.empty()) {
                hold.start = here_.position;
            }
            std::vector<Leg> chain = legs;
            chain.push_back(std::move(hold));
            chains_.push_back({std::move(chain), Length(), true});
        }
    }

    Leg held(StationId id, const PlacedFix& aid, base::TrueBearing inbound) const {
        const auto* azimuth = navdata::vor(day_.world[id]);
        Leg hold;
        hold.phase = now_.climbing_out ? flight::Phase::departure : flight::Phase::en_route;
        hold.via = fmt::format("hold overhead {}, inbound {:03.0f} true", aid.ident, inbound.degrees());
        hold.from = hold.to = aid;
        hold.start = hold.finish = aid.position;
        hold.track = hold.arrival = inbound;
        hold.length = std::min(airspeed(), fastest_in_hold) * procedure::circuit_time(now_.at.altitude);
        const auto guidance = azimuth != nullptr
                                  ? procedure::Guidance(procedure::OnRadial{
                                        id, true, base::to_radial(inbound, azimuth->declination)})
                                  : procedure::Guidance(procedure::OnBeacon{id, true, inbound});
        hold.stretches = {{Length(), hold.length, guidance}};
        hold.ending = procedure::AtHold{aid, navdata::Turn::right, false, now_.at.altitude};
        return hold;
    }

    std::vector<Leg> level_to(const PlacedFix& aid, base::Speed speed) const {
        auto made = flight::direct_leg(day_.world, day_.ground, day_.aircraft.equipment, day_.settings, here_,
                                       aid, now_.at.altitude, speed);
        return made.leg ? std::vector{std::move(*made.leg)} : std::vector<Leg>();
    }

    std::vector<Leg> climbing_to(const PlacedFix& aid, base::Speed speed) const {
        const aircraft::Performance& performance = day_.aircraft.performance;
        const Altitude top = std::min(performance.service_ceiling, now_.at.altitude + Length::feet(10000.0));
        const aircraft::Passage up = aircraft::climb_between(performance, now_.at.altitude, top);
        const flight::Climbing climb{
            [&, from = now_.at.altitude](Length along) {
                return up.distance > Length() ? from + (top - from) * std::min(1.0, along / up.distance)
                                              : from;
            },
            [speed](base::TrueBearing, Length from, Length to) { return (to - from) / speed; }};
        return flight::departure_legs(day_.world, day_.ground, day_.aircraft.equipment, day_.settings,
                                      here_.position, here_.ident, std::nullopt, aid, climb)
            .legs;
    }

    // The first minute is flown by heading, whatever is heard.
    static void hold_the_heading(Leg& leg, Length lead) {
        std::vector<flight::Stretch> stretches;
        Length by_heading = lead;
        if (!leg.stretches.empty() &&
            std::holds_alternative<procedure::OnHeading>(leg.stretches.front().guidance)) {
            by_heading = std::max(lead, leg.stretches.front().to);
        }
        by_heading = std::min(by_heading, leg.length);
        stretches.push_back({Length(), by_heading, procedure::OnHeading{leg.track}});
        for (const flight::Stretch& each : leg.stretches) {
            if (each.to > by_heading + shortest_stretch) {
                stretches.push_back({std::max(each.from, by_heading), each.to, each.guidance});
            }
        }
        leg.stretches = std::move(stretches);
    }

    const flight::Circumstances& day_;
    const InFlight& now_;
    const routing::Constraints& asked_;
    PlacedFix here_;
    std::vector<routing::Chain> chains_;
};

class RestOfWay {
public:
    RestOfWay(const flight::Circumstances& day, const navdata::Snapshot& made_in,
              const flight::Flight& flight)
        : day_(day), made_in_(made_in), flight_(flight) {}

    std::vector<Leg> from(Length along) const {
        std::vector<Leg> legs;
        Length begin;
        for (const Leg& leg : flight_.legs) {
            const Length end = begin + leg.length;
            if (end > along + earth::same_place) {
                if (leg.phase == flight::Phase::approach || !can_be_rebuilt(leg)) {
                    return {};
                }
                legs.push_back(rest_of(leg, std::max(along - begin, Length())));
                if (leg.to && tell(legs.back(), end)) {
                    return within_dead_reckoning(legs) ? legs : std::vector<Leg>();
                }
                legs.back().ending.reset();
            }
            begin = end;
        }
        return {};
    }

private:
    static bool can_be_rebuilt(const Leg& leg) {
        const bool by_a_fix =
            !leg.ending || std::holds_alternative<procedure::AtFix>(*leg.ending);  // or straight on
        return by_a_fix && leg.to &&
               std::all_of(leg.stretches.begin(), leg.stretches.end(), [](const flight::Stretch& each) {
                   return !std::holds_alternative<procedure::OnLocalizer>(each.guidance) &&
                          !std::holds_alternative<procedure::OnArc>(each.guidance);
               });
    }

    // A leg of a procedure is nobody's dead reckoning but by what has failed.
    bool within_dead_reckoning(const std::vector<Leg>& legs) const {
        const Altitude here = flight_.altitude_at(flight_.length() * 0.5);
        const base::Speed airspeed = aircraft::true_airspeed_cruise(
            day_.aircraft.performance, std::min(here, day_.aircraft.performance.service_ceiling));
        const auto held = aircraft::hold_course(legs.front().track, airspeed, day_.winds.at(here));
        return held &&
               flown_by_heading(legs) <= flight::dead_reckoning_limit(day_.settings, held->groundspeed);
    }

    Leg rest_of(const Leg& leg, Length into) const {
        Leg rest = leg;
        if (into > earth::same_place) {
            rest.start = earth::destination(leg.start, leg.track, into);
            rest.from = PlacedFix{"", rest.start, std::nullopt, false};
            rest.track = earth::bearing(rest.start, leg.finish);
            rest.length = leg.length - into;
        } else {
            into = Length();
            rest.from = leg.from ? in_this_world(*leg.from) : leg.from;
        }
        rest.to = in_this_world(*leg.to);
        rest.stretches.clear();
        for (const flight::Stretch& each : leg.stretches) {
            if (each.to > into + shortest_stretch) {
                const Length begin = std::max(each.from - into, Length());
                rest.stretches.push_back({begin, each.to - into, guidance_of(each.guidance, rest, begin)});
            }
        }
        return rest;
    }

    PlacedFix in_this_world(PlacedFix fix) const {
        if (const auto* id = fix.point ? std::get_if<StationId>(&*fix.point) : nullptr) {
            const auto same = same_station(made_in_, *id, day_.world);
            fix.point = same ? std::optional(navdata::Point(*same)) : std::nullopt;
        }
        return fix;
    }

    procedure::Guidance guidance_of(procedure::Guidance guidance, const Leg& rest, Length begin) const {
        const auto id = procedure::station_of(guidance);
        const auto same = id ? same_station(made_in_, *id, day_.world) : std::nullopt;
        if (auto* radial = std::get_if<procedure::OnRadial>(&guidance); radial != nullptr && same) {
            radial->station = *same;
            return guidance;
        }
        if (auto* beacon = std::get_if<procedure::OnBeacon>(&guidance); beacon != nullptr && same) {
            beacon->station = *same;
            return guidance;
        }
        const earth::Position here = earth::destination(rest.start, rest.track, begin);
        const bool at_end = earth::distance(here, rest.finish) < earth::same_place;
        return procedure::OnHeading{at_end ? rest.arrival : earth::bearing(here, rest.finish)};
    }

    bool tell(Leg& leg, Length end) const {
        fixing::FixQuestion question;
        question.fix = leg.finish;
        question.altitude = flight_.altitude_at(end);
        question.track = leg.arrival;
        question.guided_by = procedure::station_of(leg.stretches.back().guidance);
        question.criteria = day_.settings.criteria;
        const auto found = fixing::tellings(day_.world, day_.ground, day_.aircraft.equipment, question);
        if (found.ways.empty()) {
            return false;
        }
        leg.ending = procedure::AtFix{*leg.to, found.ways.front()};
        return true;
    }

    const flight::Circumstances& day_;
    const navdata::Snapshot& made_in_;
    const flight::Flight& flight_;
};

std::optional<navdata::Point> same_point(const navdata::Snapshot& made_in, const navdata::Point& point,
                                         const navdata::Snapshot& world) {
    if (const auto* station = std::get_if<StationId>(&point)) {
        const auto same = same_station(made_in, *station, world);
        return same ? std::optional(navdata::Point(*same)) : std::nullopt;
    }
    for (const navdata::Point& other : world.named(made_in.ident(point))) {
        if (other.index() == point.index() && world.position(other) == made_in.position(point)) {
            return other;
        }
    }
    return std::nullopt;
}

}  // namespace

std::vector<routing::Chain> ways_on(const flight::Circumstances& day, const InFlight& now,
                                    const routing::Constraints& asked) {
    return Onward(day, now, asked).result();
}

std::vector<Leg> rest_of_way(const flight::Circumstances& day, const navdata::Snapshot& made_in,
                             const flight::Flight& flight, Length along) {
    return RestOfWay(day, made_in, flight).from(along);
}

std::optional<StationId> same_station(const navdata::Snapshot& made_in, StationId station,
                                      const navdata::Snapshot& world) {
    const navdata::Station& wanted = made_in[station];
    for (const navdata::Point& point : world.named(wanted.ident)) {
        const auto* id = std::get_if<StationId>(&point);
        if (id != nullptr && navdata::kind_text(world[*id]) == navdata::kind_text(wanted) &&
            navdata::site(world[*id]) == navdata::site(wanted)) {
            return *id;
        }
    }
    return std::nullopt;
}

routing::Constraints in_world(const navdata::Snapshot& made_in, routing::Constraints asked,
                              const navdata::Snapshot& world) {
    for (std::vector<navdata::Point>* points : {&asked.via, &asked.avoid}) {
        std::vector<navdata::Point> kept;
        for (const navdata::Point& point : *points) {
            if (const auto same = same_point(made_in, point, world)) {
                kept.push_back(*same);
            }
        }
        *points = std::move(kept);
    }
    return asked;
}

}  // namespace omniway::plan
