#include "plan/finish_flight.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "flight/climb_overhead.hpp"
#include "flight/judge.hpp"
#include "flight/pace.hpp"
#include "plan/immediate_return.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Grade;
using base::Length;

namespace {

Altitude elevation(const navdata::Snapshot& world, navdata::AirportId airport) {
    return world[airport].elevation.value_or(Altitude());
}

flight::Circumstances circumstances_of(const navdata::Snapshot& world, const radio::Ground& ground,
                                       const earth::MagneticModel& model, const Request& request) {
    return {world, ground, model, request.today, request.aircraft, request.settings, request.winds};
}

std::vector<base::Finding> broken_constraints(const navdata::Snapshot& world,
                                              const routing::Constraints& constraints,
                                              const flight::Flight& flight) {
    std::vector<base::Finding> broken;
    // Taken up in the air the first minute is flown by heading, whatever is asked (plan/in_flight.hpp).
    routing::Constraints of_the_first = constraints;
    of_the_first.no_dead_reckoning = constraints.no_dead_reckoning && !flight.begun;
    for (const std::vector<flight::Leg>* legs : {&flight.legs, &flight.missed}) {
        for (const flight::Leg& leg : *legs) {
            const bool first = &leg == &flight.legs.front();
            if (auto found = routing::broken_by(first ? of_the_first : constraints, world, leg)) {
                broken.push_back(std::move(*found));
            }
        }
    }
    if (constraints.highest && flight.cruise > *constraints.highest) {
        broken.push_back(
            {Grade::blocks, "constraint.above_highest", fmt::format("{:.0f} ft", flight.cruise.feet()),
             fmt::format("is above the {:.0f} ft that are asked for", constraints.highest->feet()),
             "a lower cruising altitude"});
    }
    const auto missing = routing::not_flown_over(constraints, world, flight.legs);
    if (!missing.empty()) {
        broken.push_back({Grade::blocks, "constraint.via_not_flown", world.ident(missing.front()),
                          "is not flown over in the order that --via asks for", "leave it out of --via"});
    }
    return broken;
}

}  // namespace

void add_approach(const navdata::Snapshot& world, const ApproachQuestion& question,
                  const ApproachChoice& choice, const FlyableApproach& approach, const LandingOption& landing,
                  Option& option) {
    const procedure::ApproachWay& way = *approach.way;
    flight::Flight& flight = option.flight;
    flight.approach = way.name();
    flight.landing = landing.landing;
    flight.minimum = landing.minimum;
    flight.from_procedure = approach.findings;
    // The row of an arc names the fix at its end.
    if (!way.legs.empty() && way.legs.front().coded->terminator != navdata::PathTerminator::AF) {
        flight.approach_entry = way.legs.front().coded;
    }
    flight.final_approach = procedure::final_segment(world, way.legs, way.localizer, way.runway);
    option.arrival_runway = landing.runway;
    flight.arrival_runway = landing.runway.runway;
    flight.legs.insert(flight.legs.end(), approach.legs.begin(), approach.legs.end());
    flight.missed = approach.missed;
    flight.missed_profile = approach.missed_profile;
    auto& end = flight.legs.back().ending;
    auto* decision = end ? std::get_if<procedure::AtDecisionAltitude>(&*end) : nullptr;
    if (decision != nullptr && landing.minimum) {
        decision->altitude = landing.minimum->altitude;
    }
    if (!way.published_entry) {
        option.own_entry = true;
        flight.from_procedure.push_back(
            {Grade::warns, "approach.own_entry", flight.approach,
             fmt::format("{} is not coded as an initial approach fix: the procedure is entered there "
                         "by own navigation",
                         way.entry.ident),
             ""});
    }
    if (auto wind = wind_favours_other(world, question, choice, approach, landing)) {
        flight.from_procedure.push_back(std::move(*wind));
    }
}

void finish_flight(const navdata::Snapshot& world, const radio::Ground& ground, const Request& request,
                   flight::Flight& flight) {
    const Altitude from = flight.begun ? flight.begun->altitude : elevation(world, request.from);
    const Altitude to = elevation(world, request.to);
    flight.profile = flight::profile_of(flight, request.aircraft, from, to, request.winds);
    flight::climb_overhead(world, flight, request.aircraft, from, to, request.winds);
    flight.level_changes =
        flight::level_changes(world, ground, request.aircraft, request.settings, request.winds, flight);
    flight.top_of_descent =
        flight::top_of_descent(world, ground, request.aircraft, request.settings, request.winds, flight);
    flight::read_distances_in_profile(world, flight);
}

void judge_option(const navdata::Snapshot& world, const radio::Ground& ground,
                  const earth::MagneticModel& model, const Request& request, Option& option) {
    const flight::Circumstances day = circumstances_of(world, ground, model, request);
    option.compiled = flight::compile(day, option.flight);
    flight::Judgement judgement = flight::judge(day, option.flight, option.compiled);
    option.findings = std::move(judgement.findings);
    option.verdict = judgement.verdict;
    auto broken = broken_constraints(world, request.constraints, option.flight);
    if (!broken.empty()) {
        option.findings.insert(option.findings.end(), broken.begin(), broken.end());
        flight::rank_findings(option.findings);
        option.verdict = base::verdict_of(option.findings);
    }
}

void add_immediate_return(const navdata::Snapshot& world, const radio::Ground& ground,
                          const earth::MagneticModel& model, const Request& request, Option& option) {
    const flight::Circumstances day = circumstances_of(world, ground, model, request);
    option.flight.immediate_return = immediate_return(
        day, procedure::held_against(world, request.minima, {request.from, request.to}), option.flight);
    if (option.flight.immediate_return) {
        option.compiled = flight::compile(day, option.flight);
    }
}

flight::Climbing climbing(const navdata::Snapshot& world, const Request& request, Altitude cruise) {
    const aircraft::Performance& performance = request.aircraft.performance;
    const Altitude field = elevation(world, request.from);
    std::vector<std::pair<Length, Altitude>> table{{Length(), field}};
    for (Altitude from = field; from < cruise;) {
        const Altitude to = std::min(from + Length::feet(500), cruise);
        table.emplace_back(table.back().first + aircraft::climb_between(performance, from, to).distance, to);
        from = to;
    }
    const auto altitude = [table](Length along) {
        for (std::size_t i = 1; i < table.size(); ++i) {
            if (along <= table[i].first) {
                const double share = (along - table[i - 1].first) / (table[i].first - table[i - 1].first);
                return table[i - 1].second + (table[i].second - table[i - 1].second) * share;
            }
        }
        return table.back().second;
    };
    const auto time_flown = [performance, altitude, winds = request.winds, top = table.back().first](
                                base::TrueBearing track, Length from, Length to) {
        const Length change = std::clamp(top, from, to);
        base::Duration time(0.0);
        for (const auto& [begin, end] : {std::pair(from, change), std::pair(change, to)}) {
            const flight::Pace pace =
                flight::pace_between(performance, flight::Phase::departure, altitude(begin), altitude(end));
            const auto held = aircraft::hold_course(track, pace.true_airspeed, winds.at(pace.middle));
            time += (end - begin) / (held ? held->groundspeed : base::Speed::knots(1.0));
        }
        return time;
    };
    return {altitude, time_flown};
}

std::function<base::Speed(base::TrueBearing)> slower_groundspeed(const navdata::Snapshot& world,
                                                                 const Request& request, Altitude cruise) {
    const aircraft::Performance& performance = request.aircraft.performance;
    const base::Speed slower =
        std::min(aircraft::true_airspeed_cruise(performance, cruise),
                 aircraft::true_airspeed_cruise(performance, elevation(world, request.from)));
    return [slower, wind = request.winds.at(cruise)](base::TrueBearing track) {
        const auto held = aircraft::hold_course(track, slower, wind);
        return held ? held->groundspeed : base::Speed::knots(1.0);
    };
}

bool suits_direction(const navdata::Snapshot& world, const radio::Ground& ground,
                     const earth::MagneticModel& model, const Request& request, Altitude cruise) {
    return flight::suits_semicircular_rule(circumstances_of(world, ground, model, request), request.from,
                                           request.to, cruise);
}

earth::Position departure_place(const navdata::Snapshot& world, navdata::RunwayId id) {
    const navdata::Runway& runway = world[id];
    return runway.far_end     ? *runway.far_end
           : runway.threshold ? *runway.threshold
                              : world.position(navdata::Point(*world.airport(runway.airport)));
}

}  // namespace omniway::plan
