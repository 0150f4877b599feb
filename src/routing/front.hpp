#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

#include "flight/costs.hpp"
#include "routing/search.hpp"

namespace omniway::routing {

/// An altitude at which a way may be flown, and what flying there is like.
struct Level {
    base::Altitude altitude;
    flight::Climbing climb;                                            // of an own departure
    std::function<base::Speed(base::TrueBearing)> slower_groundspeed;  // bounds dead reckoning by time
    std::function<base::Speed(base::TrueBearing)> groundspeed;  // level there, in the wind along a track
    base::Duration climb_takes{0.0};  // from the field, more than the same miles level
};

/// Costs that differ by less than these are one: of several such ways to a leg the search keeps the first it finds.
struct Quantum {
    base::Duration time{30.0};
    double work = 1.0;
    double margin = 0.1;
};

/// What is asked of the search for choices. Of `common` the fields cruise, climb and groundspeed are not looked at.
struct FrontQuestion {
    Question common;
    std::vector<Level> levels;            // ascending
    std::optional<std::size_t> begun_at;  // a way begins at one of so many of the lowest; none: at any
    base::Speed fastest;                  // no groundspeed of any level is more
    base::Speed on_approach;              // groundspeed along the approaches, not more than `fastest`
    Quantum quantum;
    double longest = 1.3;  // no way that takes more than so many times the quickest is a choice
    std::size_t most_labels = 100'000;
};

/// A way and what it is estimated to cost, before it is compiled.
struct Choosable {
    Way way;               // its cost_nm is not set
    base::Altitude level;  // the first
    flight::Costs costs;
};

struct Front {
    std::vector<Choosable> ways;  // quickest first
    std::vector<base::Finding> refused;
    std::size_t legs_considered = 0;
    std::size_t labels = 0;
    bool cut_short = false;  // most_labels was reached: ways may be missing
};

/// The ways that no other is better than in time, work and margin at once.
///   Model     label setting over (leg just flown, level, points passed) with A* bounds on time; all levels in one search. A way goes on at the
///             level of its last leg, or climbs at the fix to the lowest level at which the next leg exists, where that leg has its minimum above
///             (airway.below_minimum, direct.below_minimum); it never descends on the way. Time is the length over the groundspeed of the level
///             along the track, and the climb; work is on the scale of flight/work_scale.hpp; the margin is the least of what is left of the
///             reception of off-airway legs and of the protected width (flight/costs.hpp). What a turn, a retune and a telling ask is
///             counted where two legs meet.
///   Domain    the corridor of search.hpp.
///   Accuracy  with a quantum of nothing exactly the front, costs within 1e-7 being one (front_test.cpp, BruteFront); else for each way of
///             the front one is found that is worse by at most one quantum a leg in each cost.
///   Cost      some ten milliseconds for 200 NM and three levels; see docs/benchmarks.md.
///   Fails     "no" is no way, with what was refused.
///   Source    label setting with lower bounds: L. Mandow, J. L. Perez de la Cruz, "Multiobjective A* search with consistent heuristics",
///             JACM 57 (2010), from memory; docs/methods/routing.md.
Front front(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
            const flight::Settings& settings, const FrontQuestion& question, const Network& network,
            EdgeMemo& memo);

/// The work of a way's legs, flown one after the other, in points: its radios, its dead reckoning at a groundspeed, its turns.
double work_of(const std::vector<flight::Leg>& legs,
               const std::function<base::Speed(base::TrueBearing)>& groundspeed);

}  // namespace omniway::routing
