#include "flight/top_of_descent.hpp"

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "flight/flight.hpp"
#include "flight/level_change.hpp"
#include "radio/reception.hpp"

namespace omniway::flight {

using base::Altitude;
using base::Length;

namespace {

class Teller {
public:
    Teller(const navdata::Snapshot& world, const radio::Ground& ground, const aircraft::Aircraft& aircraft,
           const Settings& settings, const weather::WindsAloft& winds, const Leg& leg,
           const TopOfDescent& top)
        : world_(world),
          ground_(ground),
          aircraft_(aircraft),
          settings_(settings),
          winds_(winds),
          leg_(leg),
          top_(top),
          place_(earth::destination(leg.start, leg.track, top.into_leg)) {
        for (const Stretch& stretch : leg.stretches) {
            if (top.into_leg >= stretch.from) {
                guide_ = procedure::station_of(stretch.guidance);
            }
        }
    }

    DescentMark mark() const {
        if (const auto reading = guiding_dme()) {
            return fixing::Way(*reading);
        }
        fixing::FixQuestion question;
        question.fix = place_;
        question.altitude = top_.altitude;
        question.track = earth::bearing(place_, leg_.finish);
        question.guided_by = guide_;
        question.criteria = settings_.criteria;
        const auto found = fixing::tellings(world_, ground_, aircraft_.equipment, question);
        if (!found.ways.empty()) {
            return found.ways.front().way;
        }
        return by_time();
    }

private:
    std::optional<fixing::DmeReading> guiding_dme() const {
        if (!guide_ || !aircraft_.equipment.dme || !world_[*guide_].dme) {
            return std::nullopt;
        }
        const navdata::DistancePart& dme = *world_[*guide_].dme;
        const Altitude antenna = dme.elevation.value_or(Altitude());
        const Length over_ground = earth::distance(dme.position, place_);
        // Within 45 degrees of overhead a mile flown changes the reading by less than 0.7.
        if (over_ground < top_.altitude - antenna ||
            !radio::hear(world_[*guide_], radio::Part::distance, place_, top_.altitude, ground_).heard()) {
            return std::nullopt;
        }
        return fixing::DmeReading{
            *guide_,
            radio::slant_range(over_ground, {.aircraft = top_.altitude, .antenna = antenna}) - dme.bias,
            true};
    }

    TimeFromFix by_time() const {
        const base::Speed airspeed = aircraft::true_airspeed_cruise(aircraft_.performance, top_.altitude);
        const auto held = aircraft::hold_course(leg_.track, airspeed, winds_.at(top_.altitude));
        const base::Speed groundspeed = held ? held->groundspeed : base::Speed::knots(1.0);
        if (leg_.from) {
            return {leg_.from->ident, top_.into_leg / groundspeed, true};
        }
        return {leg_.to ? leg_.to->ident : std::string("its end"),
                (leg_.length - top_.into_leg) / groundspeed, false};
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const aircraft::Aircraft& aircraft_;
    const Settings& settings_;
    const weather::WindsAloft& winds_;
    const Leg& leg_;
    const TopOfDescent& top_;
    earth::Position place_;
    std::optional<navdata::StationId> guide_;
};

// The leg on which a place lies, and how far along it.
TopOfDescent placed(const Flight& flight, Length along) {
    TopOfDescent place;
    place.along = along;
    place.altitude = flight.altitude_at(along);
    Length begin;
    for (std::size_t i = 0; i < flight.legs.size(); ++i) {
        place.leg = i;
        place.into_leg = std::min(along - begin, flight.legs[i].length);
        if (along <= begin + flight.legs[i].length) {
            break;
        }
        begin += flight.legs[i].length;
    }
    return place;
}

// Where the last level begins to be flown: behind the descent to it, where it is a lower one.
Length last_level_begins(const Flight& flight) {
    Length along;
    Length begins;
    Altitude level = flight.cruise;
    bool lower = false;
    for (const Leg& leg : flight.legs) {
        if (leg.phase != Phase::approach && level_of(flight, leg) != level) {
            lower = level_of(flight, leg) < level;
            level = level_of(flight, leg);
            begins = along;
        }
        along += leg.length;
    }
    if (!lower) {
        return begins;
    }
    for (const ProfilePoint& point : flight.profile) {
        if (point.along >= begins && point.altitude <= level + Length::feet(1.0)) {
            return point.along;
        }
    }
    return begins;
}

}  // namespace

DescentMark mark_at(const navdata::Snapshot& world, const radio::Ground& ground,
                    const aircraft::Aircraft& aircraft, const Settings& settings,
                    const weather::WindsAloft& winds, const Flight& flight, Length along) {
    const TopOfDescent place = placed(flight, along);
    return Teller(world, ground, aircraft, settings, winds, flight.legs[place.leg], place).mark();
}

std::optional<TopOfDescent> top_of_descent(const navdata::Snapshot& world, const radio::Ground& ground,
                                           const aircraft::Aircraft& aircraft, const Settings& settings,
                                           const weather::WindsAloft& winds, const Flight& flight) {
    const Length since = last_level_begins(flight);
    std::size_t last = flight.profile.size();
    for (std::size_t i = 0; i + 1 < flight.profile.size(); ++i) {
        const bool higher = last == flight.profile.size() ||
                            flight.profile[i].altitude >= flight.profile[last].altitude - Length::feet(1.0);
        last = higher && flight.profile[i].along >= since ? i : last;
    }
    if (last == flight.profile.size() || last == 0 || flight.legs.empty() ||
        flight.profile.back().altitude > flight.profile[last].altitude - Length::feet(1.0)) {
        return std::nullopt;
    }
    TopOfDescent top = placed(flight, flight.profile[last].along);
    top.altitude = flight.profile[last].altitude;
    // Within an approach its own altitudes say where to go down.
    if (flight.legs[top.leg].phase == Phase::approach) {
        return std::nullopt;
    }
    top.mark = Teller(world, ground, aircraft, settings, winds, flight.legs[top.leg], top).mark();
    return top;
}

}  // namespace omniway::flight
