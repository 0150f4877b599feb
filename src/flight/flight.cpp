#include "flight/flight.hpp"

#include <algorithm>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "radio/reception.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;

namespace {

// The cruising altitude at which climb and descent just meet over a distance.
Altitude reachable(const aircraft::Performance& performance, Altitude from, Altitude to, Altitude wanted,
                   Length room) {
    Altitude top = std::max(from, to);
    while (top < wanted) {
        const Altitude next = std::min(top + Length::feet(100), wanted);
        const Length needed = aircraft::climb_between(performance, from, next).distance +
                              aircraft::descent_between(performance, next, to).distance;
        if (needed > room) {
            break;
        }
        top = next;
    }
    return top;
}

}  // namespace

Length Flight::length() const {
    Length sum;
    for (const Leg& leg : legs) {
        sum += leg.length;
    }
    return sum;
}

Altitude Flight::altitude_at(Length along) const {
    OMNIWAY_EXPECTS(!profile.empty());
    if (along <= profile.front().along) {
        return profile.front().altitude;
    }
    for (std::size_t i = 1; i < profile.size(); ++i) {
        if (along <= profile[i].along) {
            const Length span = profile[i].along - profile[i - 1].along;
            const double share = span > Length() ? (along - profile[i - 1].along) / span : 1.0;
            return profile[i - 1].altitude + (profile[i].altitude - profile[i - 1].altitude) * share;
        }
    }
    return profile.back().altitude;
}

void read_distances_in_profile(const navdata::Snapshot& world, Flight& flight) {
    const auto bring = [&](fixing::Telling& telling, earth::Position place, Altitude altitude) {
        auto* reading = std::get_if<fixing::DmeReading>(&telling.way);
        if (reading == nullptr) {
            return;
        }
        const navdata::DistancePart& dme = *world[reading->station].dme;
        reading->slant_range =
            radio::slant_range(earth::distance(dme.position, place),
                               {.aircraft = altitude, .antenna = dme.elevation.value_or(Altitude())}) -
            dme.bias;
    };
    Length along;
    for (Leg& leg : flight.legs) {
        along += leg.length;
        if (!leg.ending) {
            continue;
        }
        if (auto* at_fix = std::get_if<procedure::AtFix>(&*leg.ending)) {
            bring(at_fix->telling, at_fix->fix.position, flight.altitude_at(along));
        } else if (auto* missed = std::get_if<procedure::AtMissedApproachPoint>(&*leg.ending);
                   missed && missed->telling) {
            bring(*missed->telling, missed->fix.position, flight.altitude_at(along));
        }
    }
}

std::vector<ProfilePoint> profile_of(const Flight& flight, const aircraft::Aircraft& aircraft,
                                     Altitude departure_elevation, Altitude arrival_elevation) {
    const aircraft::Performance& performance = aircraft.performance;
    // What is left of the way after each leg, and the altitudes that bind at its end.
    struct Bound {
        Length along;
        Altitude altitude;
    };
    std::vector<Bound> approach;  // coded altitudes at the ends of approach legs
    Length along;
    Length entry = Length();
    bool in_approach = false;
    Altitude last_minimum = arrival_elevation;
    for (const Leg& leg : flight.legs) {
        if (leg.phase == Phase::approach && !in_approach) {
            in_approach = true;
            entry = along;
        }
        if (!in_approach && leg.minimum.altitude) {
            last_minimum = *leg.minimum.altitude;
        } else if (!in_approach && leg.phase == Phase::en_route) {
            last_minimum = flight.cruise;  // not known: stay up
        }
        along += leg.length;
        if (in_approach && leg.coded != nullptr && leg.coded->altitude_1) {
            approach.push_back({along, *leg.coded->altitude_1});
        }
    }
    const Length total = along;
    if (!in_approach) {
        entry = total;
    }
    // A procedure is not climbed in before its end: at each point what any later point still asks.
    for (std::size_t i = approach.size(); i-- > 1;) {
        approach[i - 1].altitude = std::max(approach[i - 1].altitude, approach[i].altitude);
    }
    // At the entry: what the approach asks, but never below the minimum of the leg that leads there.
    const Altitude coded =
        approach.empty() ? arrival_elevation + Length::feet(1500) : approach.front().altitude;
    const Altitude at_entry = std::max(coded, std::min(last_minimum, flight.cruise));
    const Altitude top =
        std::max(at_entry, reachable(performance, departure_elevation, at_entry, flight.cruise, entry));

    std::vector<ProfilePoint> profile;
    profile.push_back({Length(), departure_elevation});
    // Climb by 1,000 ft pieces, so that its falling rate shows.
    Length flown;
    for (Altitude from = departure_elevation; from < top;) {
        const Altitude to = std::min(from + Length::feet(1000), top);
        flown += aircraft::climb_between(performance, from, to).distance;
        profile.push_back({std::min(flown, entry), to});
        from = to;
    }
    if (top > at_entry) {
        const Length down = aircraft::descent_between(performance, top, at_entry).distance;
        profile.push_back({std::max(entry - down, flown), top});
    }
    profile.push_back({std::max(entry, flown), at_entry});
    Altitude last = at_entry;
    for (const Bound& bound : approach) {
        last = std::min(last, std::max(bound.altitude, arrival_elevation));
        if (bound.along > profile.back().along) {
            profile.push_back({bound.along, last});
        }
    }
    if (total > profile.back().along) {
        profile.push_back({total, last});
    }
    return profile;
}

}  // namespace omniway::flight
