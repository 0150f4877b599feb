#pragma once

#include <variant>
#include <vector>

#include "flight/detail/radio_problem.hpp"
#include "flight/detail/radio_state.hpp"

namespace omniway::flight::detail {

// One choice of the search, in the order in which they are carried out.
struct TuneSet {
    int set = 0;
    int station = 0;
};
struct FollowReceiver {
    int receiver = 0;
};
struct HoldChannel {};
struct HoldOnGround {
    int need = 0;
};
struct LeaveOpen {  // guidance that is to begin late
    int need = 0;
};
struct BeginNeed {
    int set = 0;
    int need = 0;
    bool late = false;
};
struct BeginDistance {  // on the channel of a DME that follows
    int need = 0;
    bool late = false;
};
struct CloseOpen {  // it begins now, by the choice that follows
    int open = 0;
};
struct HandOver {
    int open = 0;
};
struct LetRun {  // not handed over any more
    int open = 0;
};
using RadioChoice = std::variant<TuneSet, FollowReceiver, HoldChannel, HoldOnGround, LeaveOpen, BeginNeed,
                                 BeginDistance, CloseOpen, HandOver, LetRun>;

struct CheapestChoices {
    std::vector<RadioChoice> choices;
    RadioCost cost;
};

/// Where every way has ended: the need that cannot be met, and how the sets may stand before it.
struct DeadEnd {
    int need = 0;
    std::vector<RadioState> before;
};

/// The choices of the cheapest schedule.
///   Model     need by need in their order, all states that may still become the best. Between two needs guidance may begin late, be
///             handed over, and a receiver may be put on a station only to be held. Of two states that stand alike the one that
///             is no cheaper and nowhere earlier is dropped; times so early that they no longer matter count as alike.
///   Domain    flight/radio_schedule.hpp.
///   Accuracy  exact.
///   Cost      bench/schedule_bench.cpp.
///   Fails     DeadEnd.
///   Source    docs/methods/radio-schedule.md.
std::variant<CheapestChoices, DeadEnd> cheapest_choices(const RadioProblem& problem);

}  // namespace omniway::flight::detail
