#include "flight/missed_climb.hpp"

#include <algorithm>

#include "earth/geodesic.hpp"

namespace omniway::flight {

using base::Length;

namespace {

// How near an aid a leg must end to be one that leads to it.
constexpr Length at_the_aid = Length::nautical_miles(0.2);

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

}  // namespace

void lay_missed_climb(const navdata::Snapshot& world, const procedure::ClimbInWind& climb,
                      base::Altitude from, std::vector<Leg>& missed) {
    for (std::size_t i = 0; i + 1 < missed.size() && by_heading_to_altitude(missed[i]); ++i) {
        Leg& leg = missed[i];
        Leg& next = missed[i + 1];
        const base::Altitude to = std::get<procedure::AtAltitude>(*leg.ending).altitude;
        if (to > climb.performance->service_ceiling) {
            return;
        }
        const Length flown = procedure::distance_to_climb(climb, leg.track, from, std::max(from, to));
        const earth::Position reached = earth::destination(leg.start, leg.track, flown);
        if (!may_begin_at(world, reached, next)) {
            return;
        }
        leg.length = flown;
        leg.stretches.front().to = flown;
        leg.finish = reached;
        from = std::max(from, to);
        if (homes_on(world, next)) {
            home_from(world, reached, next);
        } else {
            begin_at(reached, next);
        }
    }
}

}  // namespace omniway::flight
