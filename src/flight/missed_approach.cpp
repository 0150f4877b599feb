#include "flight/missed_approach.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/corridor.hpp"
#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "flight/off_airway_minimum.hpp"
#include "radio/along_path.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;
using navdata::StationId;

namespace {

constexpr Length reach = Length::nautical_miles(40.0);
constexpr std::size_t most_stations = 12;
constexpr Length lowest_turn = Length::feet(400.0);    // AIM 5-2-9, from memory
constexpr Length lowest_retune = Length::feet(500.0);  // design section 3, Radios
constexpr base::Duration vor_tuning = base::Duration(40.0);
constexpr base::Duration localizer_tuning = base::Duration(20.0);
constexpr base::Duration beacon_tuning = base::Duration(45.0);
constexpr Length height_step = Length::feet(100.0);
constexpr Length hold_reach = Length::nautical_miles(5.0);

bool is_beacon(const navdata::Station& station) {
    return navdata::ndb(station) != nullptr;
}

// The aircraft's own climb over the ground along a track, from an altitude, by pieces of 100 ft, level at the top.
class Climb {
public:
    Climb(const aircraft::Aircraft& aircraft, const weather::WindsAloft& winds, Altitude top)
        : aircraft_(aircraft), winds_(winds), top_(std::min(top, aircraft.performance.service_ceiling)) {}

    base::Speed groundspeed(base::TrueBearing track, Altitude altitude) const {
        const auto held = aircraft::hold_course(
            track, aircraft::true_airspeed_climb(aircraft_.performance, altitude), winds_.at(altitude));
        return held ? held->groundspeed : base::Speed::knots(1.0);
    }

    Length distance(base::TrueBearing track, Altitude from, Altitude to) const {
        Length sum;
        for (Altitude at = from; at < std::min(to, top_);) {
            const Altitude next = std::min(at + height_step, std::min(to, top_));
            sum += groundspeed(track, at) * aircraft::climb_between(aircraft_.performance, at, next).time;
            at = next;
        }
        return sum;
    }

    // The heights along a line, from its start on; the last point is the line's end.
    std::vector<ProfilePoint> along(base::TrueBearing track, Altitude from, Length length) const {
        std::vector<ProfilePoint> points{{Length(), from}};
        while (points.back().along < length) {
            const Altitude at = points.back().altitude;
            if (at >= top_) {
                points.push_back({length, top_});
                break;
            }
            const Altitude next = std::min(at + Length::feet(500.0), top_);
            const Length flown = distance(track, at, next);
            const Length left = length - points.back().along;
            if (flown >= left) {
                points.push_back({length, at + (next - at) * (left / flown)});
            } else {
                points.push_back({points.back().along + flown, next});
            }
        }
        return points;
    }

    Altitude top() const { return top_; }

private:
    const aircraft::Aircraft& aircraft_;
    const weather::WindsAloft& winds_;
    Altitude top_;
};

procedure::Guidance toward(const navdata::Snapshot& world, StationId id, earth::Position from) {
    if (navdata::vor(world[id]) != nullptr) {
        return procedure::OnRadial{id, true, navdata::radial_of(world[id], from)->reciprocal()};
    }
    return procedure::OnBeacon{id, true, earth::bearing(from, navdata::site(world[id]))};
}

std::string aid_text(const navdata::Station& station) {
    return fmt::format("{} {}", navdata::kind_text(station), station.ident);
}

class Finder {
public:
    Finder(const navdata::Snapshot& world, const radio::Ground& ground, const aircraft::Aircraft& aircraft,
           const Settings& settings, const weather::WindsAloft& winds, const MissedStart& start)
        : world_(world),
          ground_(ground),
          aircraft_(aircraft),
          settings_(settings),
          winds_(winds),
          start_(start) {}

    OwnMissedOrReason result() {
        std::optional<double> best_cost;
        std::size_t tried = 0;
        for (const StationId id : world_.stations_within(start_.place, reach)) {
            const navdata::Station& station = world_[id];
            if (navdata::vor(station) == nullptr && !is_beacon(station)) {
                continue;
            }
            // No way over it is shorter than the straight line to it.
            const bool too_far =
                best_cost &&
                earth::distance(start_.place, navdata::site(station)).nautical_miles() > *best_cost;
            if (too_far || ++tried > most_stations) {
                break;
            }
            double cost = 0.0;
            auto made = over(id, cost);
            if (made && (!best_cost || cost < *best_cost)) {
                best_cost = cost;
                answer_.own = std::move(made);
            }
        }
        if (answer_.own) {
            answer_.refused.clear();
        } else if (tried == 0) {
            refuse("no VOR or NDB stands within 40 NM of it");
        }
        return std::move(answer_);
    }

private:
    void refuse(std::string text) {
        answer_.refused.push_back(
            {Grade::blocks, "missed.no_own_navigation", start_.approach, std::move(text), ""});
    }

    // No turn before: the height, and what it takes to have the only receiver on the station.
    std::pair<Altitude, Length> earliest(StationId id) const {
        const Altitude turn = start_.field + lowest_turn;
        const bool beacon = is_beacon(world_[id]);
        // An ADF is free unless a beacon guides; so is the only receiver where one does.
        const bool on_beacon = start_.tuned && is_beacon(world_[*start_.tuned]);
        const bool in_time =
            start_.tuned == id || (beacon ? !on_beacon : start_.receiver_to_spare || on_beacon);
        if (in_time) {
            return {turn, Length()};
        }
        const Altitude begins = std::max(start_.altitude, start_.field + lowest_retune);
        const Climb climb(aircraft_, winds_, aircraft_.performance.service_ceiling);
        return {turn, climb.distance(start_.track, start_.altitude, begins) +
                          climb.groundspeed(start_.track, begins) * (beacon ? beacon_tuning : vor_tuning)};
    }

    std::optional<OwnMissed> over(StationId id, double& cost) {
        const navdata::Station& station = world_[id];
        const earth::Position site = navdata::site(station);
        const procedure::Guidance guidance = toward(world_, id, start_.place);
        if (!procedure::can_follow(world_, aircraft_.equipment, guidance)) {
            refuse(fmt::format("{}: {}", aid_text(station), procedure::lack_text(world_, guidance)));
            return std::nullopt;
        }
        const auto [lowest, soonest] = earliest(id);
        Altitude turn = std::max(lowest, start_.altitude);
        turn = Altitude::feet(std::ceil(turn.feet() / 100.0 - 1e-6) * 100.0);
        const Climb climb(aircraft_, winds_, aircraft_.performance.service_ceiling);
        std::optional<radio::SilentInterval> lost;
        std::optional<ClimbOverGround::Below> ground_below;
        for (; turn < climb.top(); turn = turn + height_step) {
            const Length ahead = climb.distance(start_.track, start_.altitude, turn);
            const Length limit =
                dead_reckoning_limit(settings_, climb.groundspeed(start_.track, start_.altitude));
            if (ahead > limit) {
                break;
            }
            if (ahead < soonest) {
                continue;
            }
            const earth::Position from = earth::destination(start_.place, start_.track, ahead);
            if (earth::distance(from, site) < Length::nautical_miles(0.5)) {
                continue;  // too near to turn to
            }
            OwnMissed made = built(id, ahead, turn, from);
            lost = first_lost(id, made, ahead);
            if (lost) {
                continue;
            }
            const ClimbOverGround over_ground = climb_over_ground(ground_.terrain, made.legs, made.profile);
            ground_below = over_ground.below;
            if (ground_below) {
                continue;
            }
            settle_minima(made, ahead);
            if (ahead <= Length::metres(1.0)) {
                made.legs.erase(made.legs.begin());  // high enough already
            }
            const Length way = ahead + earth::distance(from, site);
            const double turned = std::abs((earth::bearing(from, site) - start_.track).degrees());
            cost = way.nautical_miles() + turned / 30.0 + (is_beacon(station) ? 5.0 : 0.0);
            return made;
        }
        refuse(why_not(station, lost, ground_below));
        return std::nullopt;
    }

    std::string why_not(const navdata::Station& station, const std::optional<radio::SilentInterval>& lost,
                        const std::optional<ClimbOverGround::Below>& below) const {
        if (below) {
            return fmt::format("{}: the climb to it is at {:.0f} ft {:.1f} NM on, over ground of {:.0f} ft",
                               aid_text(station), below->flown.feet(), below->along.nautical_miles(),
                               below->ground.feet());
        }
        if (lost) {
            return fmt::format(
                "{} is not heard on the way to it after a climb straight ahead as long as dead "
                "reckoning allows: {}",
                aid_text(station), radio::to_text(lost->why));
        }
        return fmt::format(
            "{} cannot be tuned, or the height for a turn reached, within what dead reckoning "
            "allows",
            aid_text(station));
    }

    std::optional<radio::SilentInterval> first_lost(StationId id, const OwnMissed& made, Length ahead) const {
        std::vector<radio::PathPoint> path;
        for (const ProfilePoint& point : made.profile) {
            if (point.along >= ahead) {
                const Length along = point.along - ahead;
                path.push_back({earth::destination(made.legs[1].start, made.legs[1].track, along), along,
                                point.altitude});
            }
        }
        const auto lost = radio::lost_along(world_[id], radio::Part::azimuth, path, ground_);
        return lost.empty() ? std::nullopt : std::optional(lost.front());
    }

    OwnMissed built(StationId id, Length ahead, Altitude turn, earth::Position from) const {
        const navdata::Station& station = world_[id];
        const procedure::PlacedFix over{station.ident, navdata::site(station), navdata::Point(id), false};
        OwnMissed made;
        made.station = id;
        made.turns_at = turn;
        made.legs.push_back(straight_ahead(ahead, turn, from));
        made.legs.push_back(direct(id, over, from));
        made.holds_at = std::max(start_.published.value_or(turn), turn);
        fill_profile(made, ahead);
        return made;
    }

    // What the ground asks is looked up for the way that is taken alone; a higher hold changes nothing that was found heard or clear.
    void settle_minima(OwnMissed& made, Length ahead) const {
        Leg& to_station = made.legs.back();
        const procedure::PlacedFix over = *to_station.to;
        to_station.minimum = off_airway_minimum(world_, ground_, settings_, to_station.start,
                                                to_station.finish, to_station.stretches);
        const LegMinimum hold = hold_minimum(made.station, over.position, to_station.arrival);
        made.holds_at_known = to_station.minimum.altitude.has_value() && hold.altitude.has_value();
        if (made.holds_at_known) {
            made.holds_at = std::max({*to_station.minimum.altitude, *hold.altitude, made.holds_at});
            fill_profile(made, ahead);
        }
        made.legs.push_back(holding(made.legs.back(), over, hold, made));
    }

    Leg straight_ahead(Length ahead, Altitude turn, earth::Position from) const {
        Leg leg;
        leg.phase = Phase::missed;
        leg.via = "own missed approach";
        leg.from = procedure::PlacedFix{start_.name, start_.place, std::nullopt, false};
        leg.start = start_.place;
        leg.finish = from;
        leg.track = leg.arrival = start_.track;
        leg.length = ahead;
        leg.stretches.push_back({Length(), ahead, procedure::OnHeading{start_.track}});
        leg.ending = procedure::AtAltitude{turn};
        return leg;
    }

    Leg direct(StationId id, const procedure::PlacedFix& over, earth::Position from) const {
        const earth::Geodesic line = earth::geodesic(from, over.position);
        Leg leg;
        leg.phase = Phase::missed;
        leg.via = "own missed approach";
        leg.to = over;
        leg.start = from;
        leg.finish = over.position;
        leg.track = line.initial;
        leg.arrival = line.arrival;
        leg.length = line.distance;
        leg.stretches.push_back({Length(), line.distance, toward(world_, id, from)});
        leg.ending = procedure::AtFix{
            over, {fixing::Overhead{id}, Length::nautical_miles(0.2), base::Angle::degrees(90.0)}};
        return leg;
    }

    // The ground under the hold: 5 NM along its inbound course either side, 4 NM wide each side.
    LegMinimum hold_minimum(StationId id, earth::Position over, base::TrueBearing inbound) const {
        const earth::Position before = earth::destination(over, inbound.reciprocal(), hold_reach);
        const earth::Position beyond = earth::destination(over, inbound, hold_reach);
        return off_airway_minimum(world_, ground_, settings_, before, beyond,
                                  {{Length(), hold_reach * 2.0, toward(world_, id, before)}});
    }

    void fill_profile(OwnMissed& made, Length ahead) const {
        const Altitude turn = made.turns_at;
        const Climb climb(aircraft_, winds_, made.holds_at);
        made.profile = climb.along(start_.track, start_.altitude, ahead);
        made.profile.back().altitude = turn;
        for (const ProfilePoint& point : climb.along(made.legs[1].track, turn, made.legs[1].length)) {
            if (point.along > Length()) {
                made.profile.push_back({ahead + point.along, point.altitude});
            }
        }
    }

    Leg holding(const Leg& to_station, const procedure::PlacedFix& over, const LegMinimum& minimum,
                const OwnMissed& made) const {
        Leg leg;
        leg.phase = Phase::missed;
        leg.via = "own missed approach";
        leg.from = leg.to = over;
        leg.start = leg.finish = over.position;
        leg.track = leg.arrival = to_station.arrival;
        leg.stretches.push_back({Length(), Length(), to_station.stretches.front().guidance});
        leg.minimum = minimum;
        const bool still_climbing = made.profile.back().altitude + Length::feet(50.0) < made.holds_at;
        leg.ending = procedure::AtHold{over, navdata::Turn::right, false,
                                       still_climbing ? std::optional(made.holds_at) : std::nullopt};
        return leg;
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const aircraft::Aircraft& aircraft_;
    const Settings& settings_;
    const weather::WindsAloft& winds_;
    const MissedStart& start_;
    OwnMissedOrReason answer_;
};

}  // namespace

OwnMissedOrReason own_missed_approach(const navdata::Snapshot& world, const radio::Ground& ground,
                                      const aircraft::Aircraft& aircraft, const Settings& settings,
                                      const weather::WindsAloft& winds, const MissedStart& start) {
    return Finder(world, ground, aircraft, settings, winds, start).result();
}

std::optional<Finding> retunes_only_receiver(const navdata::Snapshot& world,
                                             const aircraft::Aircraft& aircraft,
                                             const std::vector<procedure::PlacedLeg>& missed,
                                             std::optional<StationId> tuned, Altitude from,
                                             const std::string& about) {
    if (aircraft.equipment.receivers.size() != 1) {
        return std::nullopt;
    }
    // Nothing is tuned by the missed approach point alone: whoever goes on by heading has from there on.
    base::Duration free(0.0);
    Altitude at = from;
    for (const procedure::PlacedLeg& leg : missed) {
        const auto* climbs = std::get_if<procedure::AtAltitude>(&leg.ending);
        const auto station = procedure::station_of(leg.guidance);
        const Altitude top =
            climbs != nullptr ? std::min(climbs->altitude, aircraft.performance.service_ceiling) : at;
        const base::Duration time =
            top > at ? aircraft::climb_between(aircraft.performance, at, top).time : base::Duration(0.0);
        at = std::max(at, top);
        if (!station) {
            const base::Speed speed = aircraft::true_airspeed_climb(aircraft.performance, at);
            free += climbs != nullptr ? time : leg.length / speed;
            continue;
        }
        if (navdata::ndb(world[*station]) != nullptr) {
            free = base::minutes(60.0);  // the receiver guides nothing meanwhile
            continue;
        }
        const base::Duration needed =
            navdata::localizer(world[*station]) != nullptr ? localizer_tuning : vor_tuning;
        if (tuned && *tuned != *station && free < needed) {
            return Finding{
                Grade::blocks, "missed.retunes_only_receiver", about,
                fmt::format("the only receiver must go from {} to {} with {:.0f} s by heading between them; "
                            "tuning and identifying takes {:.0f} s",
                            world[*tuned].ident, world[*station].ident, free.count(), needed.count()),
                "a second navigation receiver"};
        }
        tuned = station;
        free = base::Duration(0.0);
    }
    return std::nullopt;
}

ClimbOverGround climb_over_ground(const earth::Terrain* terrain, const std::vector<Leg>& legs,
                                  const std::vector<ProfilePoint>& profile) {
    ClimbOverGround answer;
    if (terrain == nullptr || terrain->empty() || profile.empty()) {
        answer.ground_known = false;
        return answer;
    }
    constexpr Length first_width = Length::nautical_miles(1.0);
    constexpr double kept_ft_per_nm = 48.0;  // of a climb of 200 ft a NM over 152 (trade-facts 7.3)
    const double splay = base::tan(base::Angle::degrees(15.0));
    Length begun;
    for (const Leg& leg : legs) {
        if (leg.length <= Length()) {
            continue;
        }
        const std::vector<earth::HalfWidth> widths{{Length(), first_width + begun * splay},
                                                   {leg.length, first_width + (begun + leg.length) * splay}};
        for (const earth::GroundSlice& slice :
             earth::ground_in_corridor(*terrain, leg.start, leg.finish, widths)) {
            answer.ground_known = answer.ground_known && slice.known;
            const Length along = begun + slice.from;
            const Altitude flown = altitude_along(profile, along);
            const Length kept = Length::feet(kept_ft_per_nm * along.nautical_miles());
            if (slice.highest && !answer.below && flown < *slice.highest + kept) {
                answer.below = ClimbOverGround::Below{along, flown, *slice.highest};
            }
        }
        begun += leg.length;
    }
    return answer;
}

}  // namespace omniway::flight
