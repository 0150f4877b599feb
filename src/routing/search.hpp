#pragma once

#include <cstdint>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "base/finding.hpp"
#include "cockpit/equipment.hpp"
#include "flight/departure.hpp"
#include "flight/leg.hpp"
#include "flight/settings.hpp"
#include "navdata/snapshot.hpp"
#include "procedure/reversal_rules.hpp"
#include "radio/ground.hpp"
#include "routing/constraints.hpp"
#include "routing/edge_memo.hpp"
#include "routing/network.hpp"

namespace omniway::flight {
struct OwnLegsQuestion;
}  // namespace omniway::flight

namespace omniway::routing {

/// Where an approach can be begun, and what that asks of the way that leads to it.
struct Entry {
    procedure::PlacedFix fix;
    bool any_direction = false;     // a procedure turn or hold follows
    base::TrueBearing first_track;  // of what follows, unless any_direction
    base::Angle largest_turn = procedure::largest_turn_at_fix;
    std::optional<base::Length> allowed_error;
    std::vector<navdata::StationId> published_aids;
    base::Length extra;   // what choosing it costs beyond getting there
    base::Length length;  // from there to the missed approach point
    double work = 0.0;    // on the way there, in points (flight/work_scale.hpp)
};

/// A published departure or arrival as the search takes it: legs flown one after the other or not at all.
struct Chain {
    std::vector<flight::Leg>
        legs;            // at least one; the last ends at a fix, the first of an arrival begins at one
    base::Length extra;  // what choosing it costs beyond its legs
    bool taken_up_in_the_air =
        false;  // its heading is that of the minute in which the radios are set: no dead reckoning by choice
};

/// Two legs that may not follow each other, by their ends and names; without the first, one that may not be the way's first, or
/// not stand anywhere in it. What the judge refused of a whole flight is said to the search in this form.
struct ForbiddenPair {
    struct Named {
        earth::Position start;
        earth::Position finish;
        std::string via;
        friend bool operator==(const Named&, const Named&) = default;
    };
    std::optional<Named> before;
    Named after;
    bool anywhere = false;  // whatever it follows
    static Named of(const flight::Leg& leg) { return {leg.start, leg.finish, leg.via}; }
    friend bool operator==(const ForbiddenPair&, const ForbiddenPair&) = default;
};

/// What is asked of the search.
struct Question {
    earth::Position departure;
    std::string departure_name;
    std::optional<flight::StraightAhead> straight_ahead;  // of an own departure: none, straight for the aid
    bool own_departure = true;                            // whether one may be flown
    std::vector<Chain> starts;                            // published departures, each from its runway
    std::vector<Chain> arrivals;                          // published arrivals
    bool only_by_arrival = false;                         // an entry counts only behind one of them
    flight::Climbing climb;                               // of an own departure
    earth::Position arrival;
    base::Altitude cruise;
    std::function<base::Speed(base::TrueBearing)>
        groundspeed;  // along a track; bounds dead reckoning by time
    std::vector<Entry> entries;
    Constraints constraints;
    std::vector<ForbiddenPair> forbidden;
    // Ways to other entries are looked for as far as they cost so much more than the cheapest to any.
    base::Length compared = base::Length::nautical_miles(60.0);
    std::optional<double> at_most_nm;  // what costs more is not looked for
    bool distance_only = false;        // see shortest()
    // Ways of two legs where a direct leg does not serve (flight/own_legs.hpp); null: none are looked for.
    std::function<std::vector<flight::LegsOrReason>(const flight::OwnLegsQuestion&)> own_legs = {};
};

/// A way from the departure to one entry, with its cost: NM flown, weighted for what makes a leg harder.
struct Way {
    std::size_t entry = 0;
    std::optional<std::size_t> start;    // of Question::starts; none: an own departure
    std::optional<std::size_t> arrival;  // of Question::arrivals
    double cost_nm = 0.0;
    std::vector<flight::Leg> legs;
};

struct Answer {
    std::vector<Way> ways;  // at most one an entry, cheapest first
    std::vector<base::Finding> refused;
    std::size_t legs_considered = 0;
};

/// The cheapest ways from a departure to each of the entries at one cruising altitude, along conventional airways and legs
/// direct to, from and between aids.
///   Model     A* over legs (a state is a leg just flown and how many of the points asked for are behind; what is to go is at least the distance by
///             the points still asked for to an entry and the entry's own cost; an edge is judged when the search comes to it), so that
///             what a fix asks depends on how it is reached: it must be told while the guiding receiver is left alone, unless the next leg
///             goes straight on under the same aid. Cost: airway NM 1.0; direct 1.15 with a known minimum, 1.3 without; 6 NM a direct leg
///             and 1 NM an airway leg for the work; 0.2 NM a degree of turn beyond 60; an NDB as guide 1.2; 2 NM a mile of dead reckoning. A
///             published departure is one leg from the runway, a published arrival one leg between its first and last fix, from where the way
///             goes on like any other; an own departure beside a published one costs 10 NM, for the survey that nobody made. Where `own_legs` answers,
///             a way of its two legs is an edge too, of the cost of both and the turn between them, wherever no direct leg serves: none is flown at that altitude between these
///             places, it cannot be told at its end, or an entry there is not entered from it. To an entry or a point asked for at
///             most 100 NM; to an aid or a point of an airway 30, and only where no way without own legs leads there.
///   Domain    points within an ellipse about departure and arrival: the sum of distances at most 1.5 times the direct
///             distance, or 80 NM more; by the points asked for, where some are. `network` and `memo` are of this world and ground.
///   Accuracy  the cheapest under that cost, as far as `compared` and `at_most_nm` reach; nothing cheaper is missed but what the ellipse leaves out. What `memo` remembers changes nothing.
///   Cost      proportional to the edges looked at: a few milliseconds for 200 NM once they are remembered.
///   Fails     "no" is no way, with what was refused where the search came.
///   Source    design sections 3 and 4; docs/methods/routing.md; the weights: common practice, no source.
Answer search(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
              const flight::Settings& settings, const Question& question, const Network& network,
              EdgeMemo& memo);

/// The same with a network and a memo of its own.
Answer search(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
              const flight::Settings& settings, const Question& question);

/// The shortest chain of edges between two points when nothing is judged: the same search with whole hundredths of a mile for its cost, so
/// that it can be held against another program exactly.
///   Model     edges are the airway segments in the directions published, area navigation left out, and the lines between two VORs or NDBs
///             less than 130 NM apart, both ways; each costs its geodesic rounded to 0.01 NM. No corridor, turn, level or signal counts.
///   Domain    points of the network.
///   Accuracy  exact.
///   Cost      as search().
///   Fails     "no" is no chain; a point that the network has not is none.
///   Source    common practice, no source.
struct Shortest {
    std::int64_t hundredths_nm = 0;
    std::vector<navdata::Point> points;  // from the first to the last
};
std::optional<Shortest> shortest(const navdata::Snapshot& world, const Network& network,
                                 const navdata::Point& from, const navdata::Point& to);

}  // namespace omniway::routing
