#include "flight/missed_climb.hpp"

#include <algorithm>

#include "earth/geodesic.hpp"
#include "earth/intersection.hpp"

namespace omniway::flight {

using base::Length;

namespace {

// How near an aid a leg must end to be one that leads to it.
constexpr Length at_the_aid = Length::nautical_miles(0.2);
// A missed approach point that stands so little before the aid belongs to it; so far a course's coded start is taken for its aid
// (procedure/path.cpp).
constexpr Length farthest_before_the_aid = Length::nautical_miles(1.0);
constexpr base::Angle ahead = base::Angle::degrees(45.0);

bool by_heading_to_altitude(const Leg& leg) {
    return leg.stretches.size() == 1 && leg.ending &&
           std::holds_alternative<procedure::AtAltitude>(*leg.ending) &&
           std::holds_alternative<procedure::OnHeading>(leg.stretches.front().guidance);
}

// The aid to which a leg goes straight, whatever the course to it is.
std::optional<navdata::StationId> homes_on(const navdata::Snapshot& world, const Leg& leg) {
    if (leg.stretches.size() != 1 || (leg.coded != nullptr && leg.coded->course)) {
        return std::nullopt;
    }
    const auto* radial = std::get_if<procedure::OnRadial>(&leg.stretches.front().guidance);
    const auto* beacon = std::get_if<procedure::OnBeacon>(&leg.stretches.front().guidance);
    const bool toward = (radial != nullptr && radial->toward) || (beacon != nullptr && beacon->toward);
    const auto station = procedure::station_of(leg.stretches.front().guidance);
    if (!toward || earth::distance(navdata::site(world[*station]), leg.finish) > at_the_aid) {
        return std::nullopt;
    }
    return station;
}

void home_from(const navdata::Snapshot& world, earth::Position start, Leg& leg) {
    leg.start = start;
    leg.track = earth::bearing(start, leg.finish);
    leg.arrival = earth::bearing(leg.finish, start).reciprocal();
    leg.length = earth::distance(start, leg.finish);
    Stretch& stretch = leg.stretches.front();
    stretch.to = leg.length;
    if (auto* radial = std::get_if<procedure::OnRadial>(&stretch.guidance)) {
        if (const auto from = navdata::radial_of(world[radial->station], start)) {
            radial->course = from->reciprocal();
        }
    } else if (auto* beacon = std::get_if<procedure::OnBeacon>(&stretch.guidance)) {
        beacon->track = leg.track;
    }
}

// Whether a leg may begin elsewhere: one that homes on an aid, and one whose coded course runs to its fix from there too. Another
// course is met where it lies, and the climb is left as it was placed.
bool may_begin_at(const navdata::Snapshot& world, earth::Position start, const Leg& leg) {
    return leg.stretches.size() == 1 &&
           (homes_on(world, leg) ||
            (leg.to && abs(earth::bearing(start, leg.finish) - leg.track) < base::Angle::degrees(0.5)));
}

void begin_at(earth::Position start, Leg& leg) {
    leg.start = start;
    leg.length = earth::distance(start, leg.finish);
    leg.stretches.front().to = leg.length;
}

void end_at(earth::Position finish, Leg& leg) {
    leg.finish = finish;
    leg.length = earth::distance(leg.start, finish);
    leg.stretches.front().to = leg.length;
}

bool by_heading_to_a_course(const Leg& leg) {
    return leg.stretches.size() == 1 && leg.ending &&
           std::holds_alternative<procedure::AtIntercept>(*leg.ending) &&
           std::holds_alternative<procedure::OnHeading>(leg.stretches.front().guidance);
}

// Where a leg's aid stands if the leg leads away from it.
std::optional<earth::Position> aid_behind(const navdata::Snapshot& world, const Leg& leg) {
    const procedure::Guidance& guidance = leg.stretches.front().guidance;
    const auto* radial = std::get_if<procedure::OnRadial>(&guidance);
    const auto* beacon = std::get_if<procedure::OnBeacon>(&guidance);
    if ((radial != nullptr && !radial->toward) || (beacon != nullptr && !beacon->toward)) {
        return navdata::site(world[*procedure::station_of(guidance)]);
    }
    return std::nullopt;
}

// Where a heading meets the course of the leg after it, before its fix and not behind the aid that the course leads away from.
std::optional<earth::Position> met(const navdata::Snapshot& world, earth::Position start,
                                   base::TrueBearing heading, const Leg& course) {
    if (course.stretches.size() != 1 || !course.to ||
        !procedure::station_of(course.stretches.front().guidance) ||
        earth::distance(course.start, course.finish) < at_the_aid) {
        return std::nullopt;
    }
    const auto aid = aid_behind(world, course);
    const auto place = earth::intersect(start, heading, course.finish,
                                        earth::bearing(course.finish, aid.value_or(course.start)));
    const bool behind_the_aid =
        aid && place && earth::distance(*place, course.finish) > earth::distance(*aid, course.finish);
    return behind_the_aid ? std::nullopt : place;
}

// Lays what follows a climb from where the climb ends; false where it lies elsewhere, and nothing is changed.
bool lay_from(const navdata::Snapshot& world, earth::Position start, std::vector<Leg>& missed,
              std::size_t at) {
    Leg& leg = missed[at];
    if (by_heading_to_a_course(leg)) {
        const auto meeting =
            at + 1 < missed.size() ? met(world, start, leg.track, missed[at + 1]) : std::nullopt;
        if (!meeting) {
            return false;
        }
        leg.start = start;
        end_at(*meeting, leg);
        begin_at(*meeting, missed[at + 1]);
        missed[at + 1].track = earth::bearing(*meeting, missed[at + 1].finish);
        return true;
    }
    if (!may_begin_at(world, start, leg)) {
        return false;
    }
    if (homes_on(world, leg)) {
        home_from(world, start, leg);
    } else {
        begin_at(start, leg);
    }
    return true;
}

}  // namespace

void lay_missed_climb(const navdata::Snapshot& world, const procedure::ClimbInWind& climb,
                      base::Altitude from, std::vector<Leg>& missed) {
    if (!missed.empty() && by_heading_to_a_course(missed.front())) {
        lay_from(world, missed.front().start, missed, 0);
    }
    for (std::size_t i = 0; i + 1 < missed.size() && by_heading_to_altitude(missed[i]);) {
        Leg& leg = missed[i];
        const base::Altitude to = std::get<procedure::AtAltitude>(*leg.ending).altitude;
        if (to > climb.performance->service_ceiling) {
            return;
        }
        const Length flown = procedure::distance_to_climb(climb, leg.track, from, std::max(from, to));
        const earth::Position reached = earth::destination(leg.start, leg.track, flown);
        if (!lay_from(world, reached, missed, i + 1)) {
            return;
        }
        if (to <= from) {
            missed.erase(missed.begin() + static_cast<std::ptrdiff_t>(i));  // high enough already
            continue;
        }
        leg.length = flown;
        leg.stretches.front().to = flown;
        leg.finish = reached;
        from = to;
        ++i;
    }
}

void lead_to_the_aid(const navdata::Snapshot& world, earth::Position missed_point, base::TrueBearing arriving,
                     std::vector<Leg>& missed) {
    if (missed.empty() || missed.front().stretches.empty()) {
        return;
    }
    const Leg& first = missed.front();
    const auto aid = aid_behind(world, first);
    if (!aid || earth::distance(*aid, first.start) > Length::metres(1.0)) {
        return;
    }
    const earth::Geodesic line = earth::geodesic(missed_point, *aid);
    if (line.distance <= Length::metres(1.0) || line.distance > farthest_before_the_aid ||
        abs(line.initial - arriving) > ahead) {
        return;
    }
    const procedure::Guidance& away = first.stretches.front().guidance;
    const navdata::StationId station = *procedure::station_of(away);
    const procedure::PlacedFix over{world[station].ident, *aid, navdata::Point(station), false};
    Leg leg;
    leg.phase = Phase::missed;
    leg.via = first.via;
    leg.published = true;
    leg.to = over;
    leg.start = missed_point;
    leg.finish = *aid;
    leg.track = line.initial;
    leg.arrival = line.arrival;
    leg.length = line.distance;
    leg.minimum = {MinimumFrom::coded_procedure, std::nullopt};
    if (std::holds_alternative<procedure::OnRadial>(away)) {
        leg.stretches.push_back(
            {Length(), leg.length,
             procedure::OnRadial{station, true,
                                 navdata::radial_of(world[station], missed_point)->reciprocal()}});
    } else {
        leg.stretches.push_back({Length(), leg.length, procedure::OnBeacon{station, true, line.initial}});
    }
    leg.ending = procedure::AtFix{over, {fixing::Overhead{station}, at_the_aid, base::Angle::degrees(90.0)}};
    missed.insert(missed.begin(), std::move(leg));
}

}  // namespace omniway::flight
