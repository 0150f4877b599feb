#include "flight/climb_overhead.hpp"

#include <algorithm>

#include "procedure/climb.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;
using navdata::StationId;

namespace {

constexpr int most_circuits = 10;
constexpr Length margin = Length::feet(1.0);  // as the judge's

std::optional<StationId> aid_at(const navdata::Snapshot& world,
                                const std::optional<procedure::PlacedFix>& fix) {
    const auto* id = fix && fix->point ? std::get_if<StationId>(&*fix->point) : nullptr;
    const bool guides =
        id != nullptr && (navdata::vor(world[*id]) != nullptr || navdata::ndb(world[*id]) != nullptr);
    return guides ? std::optional(*id) : std::nullopt;
}

bool has_minimum_to_reach(const Leg& leg) {
    return (leg.phase == Phase::en_route || leg.phase == Phase::arrival) && leg.minimum.altitude &&
           !is_climb_in_hold(leg);
}

Length begin_of(const Flight& flight, std::size_t index) {
    Length along;
    for (std::size_t i = 0; i < index; ++i) {
        along += flight.legs[i].length;
    }
    return along;
}

// The first leg that begins below its minimum while the aircraft still climbs to its cruising altitude.
std::optional<std::size_t> first_too_low(const Flight& flight) {
    Length along;
    for (std::size_t i = 0; i < flight.legs.size(); ++i) {
        const Leg& leg = flight.legs[i];
        const Altitude at_start = flight.altitude_at(along);
        const bool climbing = flight.altitude_at(along + leg.length) > at_start;
        if (has_minimum_to_reach(leg) && at_start + margin < *leg.minimum.altitude && climbing) {
            return i;
        }
        along += leg.length;
    }
    return std::nullopt;
}

// The latest leg from an aid, at or before that one: never before the first that leaves an aid.
std::optional<std::size_t> hold_before(const navdata::Snapshot& world, const Flight& flight,
                                       std::size_t index) {
    for (std::size_t i = index + 1; i-- > 1;) {
        const Leg& leg = flight.legs[i];
        if (leg.phase != Phase::departure && leg.phase != Phase::approach && aid_at(world, leg.from)) {
            return i;
        }
    }
    return std::nullopt;
}

Leg hold_over(const navdata::Snapshot& world, const Leg& arriving, const Leg& leaving, StationId aid,
              Altitude altitude) {
    Leg hold;
    hold.phase = arriving.phase;
    hold.via = "climb overhead";
    hold.from = hold.to = leaving.from;
    hold.start = hold.finish = leaving.start;
    hold.track = hold.arrival = arriving.arrival;
    hold.level = leaving.level;
    hold.ending = procedure::AtHold{*leaving.from, navdata::Turn::right, false, altitude};
    if (const auto* azimuth = navdata::vor(world[aid])) {
        hold.stretches.push_back(
            {Length(), Length(),
             procedure::OnRadial{aid, true, base::to_radial(hold.track, azimuth->declination)}});
    } else {
        hold.stretches.push_back({Length(), Length(), procedure::OnBeacon{aid, true, hold.track}});
    }
    return hold;
}

// The length of a hold goes with the airspeed, which goes with how high it leads: twice round is near enough.
void fly_circuits(Flight& flight, std::size_t index, int circuits, const aircraft::Aircraft& aircraft,
                  Altitude departure_elevation, Altitude arrival_elevation,
                  const weather::WindsAloft& winds) {
    const Length begin = begin_of(flight, index);
    for (int pass = 0; pass < 3; ++pass) {
        Leg& hold = flight.legs[index];
        const Altitude over = flight.altitude_at(begin);
        const Altitude after = flight.altitude_at(begin + hold.length);
        const base::Speed airspeed =
            aircraft::true_airspeed_climb(aircraft.performance, over + (after - over) * 0.5);
        hold.length = airspeed * (procedure::circuit_time(over) * circuits);
        hold.stretches.front().to = hold.length;
        flight.profile = profile_of(flight, aircraft, departure_elevation, arrival_elevation, winds);
    }
}

// Taken up in the air a flight may begin with a hold over an aid, perhaps behind the leg that leads there: that one is gone on with.
bool begins_with_hold(const Flight& flight, std::size_t leaving) {
    return flight.begun && leaving <= 2 && is_climb_in_hold(flight.legs[leaving - 1]);
}

}  // namespace

bool is_climb_in_hold(const Leg& leg) {
    const auto* hold = leg.ending ? std::get_if<procedure::AtHold>(&*leg.ending) : nullptr;
    return hold != nullptr && hold->altitude && leg.length > Length();
}

void climb_overhead(const navdata::Snapshot& world, Flight& flight, const aircraft::Aircraft& aircraft,
                    Altitude departure_elevation, Altitude arrival_elevation,
                    const weather::WindsAloft& winds) {
    // Each hold lifts all that follows: no flight asks for more of them than it has legs.
    for (std::size_t asked = flight.legs.size(); asked > 0; --asked) {
        const auto low = first_too_low(flight);
        const auto at = low ? hold_before(world, flight, *low) : std::nullopt;
        const bool held = at && begins_with_hold(flight, *at);
        if (!at || (is_climb_in_hold(flight.legs[*at - 1]) && !held)) {
            return;
        }
        const Altitude minimum = *flight.legs[*low].minimum.altitude;
        // The hold is left at that altitude, as its card says: what the legs between would still climb is not counted on. None is flown through
        // above the level of what follows it.
        const Altitude left_at = std::min(minimum, level_of(flight, flight.legs[*at]));
        const Flight before = flight;
        const std::size_t hold = held ? *at - 1 : *at;
        const std::size_t limited = held ? *low : *low + 1;
        if (held) {
            std::get<procedure::AtHold>(*flight.legs[hold].ending).altitude = left_at;
        } else {
            const StationId aid = *aid_at(world, flight.legs[*at].from);
            flight.legs.insert(flight.legs.begin() + static_cast<std::ptrdiff_t>(*at),
                               hold_over(world, flight.legs[*at - 1], flight.legs[*at], aid, left_at));
        }
        bool reached = false;
        for (int circuits = 1; circuits <= most_circuits && !reached; ++circuits) {
            fly_circuits(flight, hold, circuits, aircraft, departure_elevation, arrival_elevation, winds);
            reached = flight.altitude_at(begin_of(flight, hold + 1)) + margin >= left_at &&
                      flight.altitude_at(begin_of(flight, limited)) + margin >= minimum;
        }
        if (!reached) {
            flight = before;
            return;
        }
    }
}

}  // namespace omniway::flight
