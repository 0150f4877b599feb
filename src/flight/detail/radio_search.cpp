#include "flight/detail/radio_search.hpp"

#include <algorithm>
#include <array>
#include <numeric>
#include <optional>
#include <utility>

namespace omniway::flight::detail {

namespace {

constexpr int of_no_more_use = -2;
using States = std::vector<RadioState>;

// What of the past still matters before each need.
class Outlook {
public:
    explicit Outlook(const RadioProblem& problem)
        : problem_(problem), early_s_(problem.needs().size()), early_to_let_go_s_(early_s_) {
        double all_s = never_s;
        for (std::size_t i = problem.needs().size(); i-- > 0;) {
            const NumberedNeed& need = problem.needs()[i];
            all_s = std::min(all_s, early_enough_s(need, need.from_s));
            double distances_s = all_s;
            if (problem.has_hold()) {
                distances_s = std::min(all_s, early_to_hold_s(i, all_s));
            }
            early_s_[i] = problem.last_allowed_s(distances_s);
            early_to_let_go_s_[i] = all_s;
        }
    }

    // A set tuned by then meets each need from this one on as if it had been tuned long ago.
    double early_s(std::size_t next) const { return early_s_[next]; }
    // Or put on a station by then: this later one is for a set that was only held for HOLD.
    double early_to_let_go_s(std::size_t next) const { return early_to_let_go_s_[next]; }

    // A receiver on any station whose distance is needed from this one on is let go by then, once held, if it was tuned by this.
    double early_to_hold_s(std::size_t next, double let_go_by_s) const {
        double tuned_s = never_s;
        for (std::size_t i = next; i < problem_.needs().size(); ++i) {
            if (problem_.needs()[i].kind == SetKind::dme) {
                tuned_s = std::min(tuned_s, early_enough_s(problem_.needs()[i], let_go_by_s));
            }
        }
        return tuned_s;
    }

    // Whether some need from this one on may be met in time only by what was tuned before lining up.
    bool ground_matters(std::size_t next) const {
        return any(next, [this](const NumberedNeed& need) {
            return problem_.latest_tuning_s(need.kind, need.station, need.from_s) == before_lining_up_s;
        });
    }
    bool may_be_held_on_ground(std::size_t next) const {
        return problem_.has_hold() && any(next, [this](const NumberedNeed& need) {
                   return need.kind == SetKind::dme &&
                          problem_.identified_s(SetKind::dme, need.station, before_lining_up_s) ==
                              before_lining_up_s;
               });
    }

    bool wants_station(std::size_t next, SetKind kind, int station) const {
        return any(next,
                   [&](const NumberedNeed& need) { return need.kind == kind && need.station == station; });
    }
    // The stations whose distance may be wanted next: what stands on another does not outlive a distance that must be met.
    std::vector<int> next_distances(std::size_t next) const {
        std::vector<int> out;
        for (std::size_t i = next; i < problem_.needs().size(); ++i) {
            const NumberedNeed& need = problem_.needs()[i];
            if (need.kind == SetKind::dme) {
                if (std::find(out.begin(), out.end(), need.station) == out.end()) {
                    out.push_back(need.station);
                }
                if (need.use == RadioUse::tells || (need.use == RadioUse::guides && need.late_s <= 0.0)) {
                    break;
                }
            }
        }
        return out;
    }
    bool wants_course(std::size_t next, int course_deg) const {
        return any(next, [&](const NumberedNeed& need) { return need.course_deg == course_deg; });
    }

private:
    // When it is identified does not depend on when it is tuned as long as that is before it is heard.
    double early_enough_s(const NumberedNeed& need, double by_s) const {
        const double latest_s = problem_.latest_tuning_s(need.kind, need.station, by_s);
        return latest_s != before_lining_up_s ? problem_.last_allowed_s(latest_s)
                                              : problem_.first_heard_s(need.kind, need.station);
    }
    template <class Fits>
    bool any(std::size_t next, const Fits& fits) const {
        return std::any_of(problem_.needs().begin() + static_cast<std::ptrdiff_t>(next),
                           problem_.needs().end(), fits);
    }

    const RadioProblem& problem_;
    std::vector<double> early_s_;
    std::vector<double> early_to_let_go_s_;
};

// A state in which two receivers have changed places.
RadioState exchanged(RadioState state, std::pair<int, int> receivers) {
    const auto [a, b] = receivers;
    const auto exchange = [a = a, b = b](int& receiver) {
        receiver = receiver == a ? b : receiver == b ? a : receiver;
    };
    std::swap(state.set(a), state.set(b));
    exchange(state.dme.position);
    exchange(state.dme.origin);
    for (OpenGuidance& open : state.open) {
        exchange(open.receiver);
    }
    return state;
}

// Whether one state can do all that another can, at no greater cost: where it stands otherwise, it is turned to stand likewise.
class Comparison {
public:
    Comparison(const RadioProblem& problem, const Outlook& outlook, std::size_t next)
        : problem_(problem),
          moves_(problem),
          early_s_(outlook.early_s(next)),
          now_s_(problem.needs()[next].from_s),
          ground_matters_(outlook.ground_matters(next)),
          held_on_ground_(outlook.may_be_held_on_ground(next)) {}

    bool makes_needless(const RadioState& a, const RadioState& b) const {
        if (!open_alike(a, b)) {
            return false;
        }
        RadioCost cost = a.cost;
        for (int set = 0; set < static_cast<int>(a.sets.size()); ++set) {
            const auto turns = turns_of_set(a, b, set);
            if (!turns) {
                return false;
            }
            cost.turns += *turns;
        }
        if (problem_.following_dme()) {
            const auto turns = turns_of_switch(a.dme, b.dme);
            if (!turns) {
                return false;
            }
            cost.turns += *turns;
        }
        return cost <= b.cost;
    }

private:
    static bool open_alike(const RadioState& a, const RadioState& b) {
        return a.groups_met == b.groups_met && a.open_count == b.open_count &&
               std::equal(a.open.begin(), a.open.begin() + a.open_count, b.open.begin(),
                          [](const OpenGuidance& x, const OpenGuidance& y) {
                              return x.need == y.need && x.receiver == y.receiver && x.begun_s <= y.begun_s;
                          });
    }

    // How many turns make the set of `a` as good as that of `b`; none where they cannot.
    std::optional<int> turns_of_set(const RadioState& a, const RadioState& b, int number) const {
        const SetState& x = a.set(number);
        const SetState& y = b.set(number);
        const bool switched_alike = a.dme.position == b.dme.position && a.dme.channel == b.dme.channel;
        const double needed_s = switched_alike ? x.needed_s : moves_.needed_s(a, number);
        // What was not used so far is as good as what is free early.
        const bool unused = y.station == -1;
        if (x.course_needed_s > (unused ? now_s_ : y.course_needed_s) ||
            needed_s > (unused ? early_s_ : y.needed_s)) {
            return std::nullopt;
        }
        const auto for_station = turns_of_station(a, x, y, number);
        const auto for_course = turns_of_course(a, x, y);
        return for_station && for_course ? std::optional(*for_station + *for_course) : std::nullopt;
    }

    std::optional<int> turns_of_station(const RadioState& a, const SetState& x, const SetState& y,
                                        int number) const {
        if (x.station == -1 || y.station == of_no_more_use ||
            (x.station == y.station && x.since_s <= y.since_s)) {
            return 0;
        }
        if (y.station == -1) {
            return !ground_matters_ && moves_.needed_s(a, number) <= early_s_ ? std::optional(1)
                                                                              : std::nullopt;
        }
        return problem_.first_allowed_s(moves_.needed_s(a, number)) <= y.since_s ? std::optional(1)
                                                                                 : std::nullopt;
    }

    std::optional<int> turns_of_course(const RadioState& a, const SetState& x, const SetState& y) const {
        if (x.course_deg == -1 || y.course_deg == of_no_more_use) {
            return 0;
        }
        if (x.course_deg == y.course_deg) {
            return x.course_since_s <= y.course_since_s ? std::optional(0) : std::nullopt;
        }
        const bool in_time =
            (a.open_count == 0 && x.course_needed_s <= now_s_) ||
            (y.course_deg != -1 && x.course_needed_s <= y.course_since_s && x.course_needed_s <= now_s_);
        return in_time ? std::optional(1) : std::nullopt;
    }

    std::optional<int> turns_of_switch(const SwitchState& x, const SwitchState& y) const {
        if (x.needed_s > y.needed_s && y.position != SwitchState::not_used) {
            return std::nullopt;
        }
        if (x.position == y.position && x.channel == y.channel && x.since_s <= y.since_s) {
            return 0;
        }
        if (x.position == SwitchState::not_used) {
            return std::nullopt;
        }
        if (y.position == SwitchState::not_used) {
            return !ground_matters_ && !held_on_ground_ && x.needed_s <= early_s_ ? std::optional(1)
                                                                                  : std::nullopt;
        }
        if (y.channel == of_no_more_use) {
            return x.position == y.position || y.position == SwitchState::held ? 0 : 1;
        }
        const bool to_receiver = y.position != SwitchState::held;
        return to_receiver && x.position != y.position && x.needed_s <= y.since_s ? std::optional(1)
                                                                                  : std::nullopt;
    }

    const RadioProblem& problem_;
    RadioMoves moves_;
    double early_s_ = 0.0;
    double now_s_ = 0.0;
    bool ground_matters_ = false;
    bool held_on_ground_ = false;
};

class Search {
public:
    explicit Search(const RadioProblem& problem) : problem_(problem), moves_(problem), outlook_(problem) {
        for (std::size_t next = 0; next <= problem.needs().size(); ++next) {
            next_distances_.push_back(outlook_.next_distances(next));
        }
    }

    std::variant<CheapestChoices, DeadEnd> run() {
        States states(1);
        for (next_ = 0; next_ < problem_.needs().size(); ++next_) {
            States settled = settle(states);
            if (settled.empty()) {
                return dead_end_of_open(states);
            }
            States after = meet(settled);
            if (after.empty()) {
                return DeadEnd{static_cast<int>(next_), std::move(settled)};
            }
            states = best_of(std::move(after), next_ + 1);
        }
        States last = settle(states);
        std::erase_if(last, [](const RadioState& state) { return waits(state).has_value(); });
        if (last.empty()) {
            return dead_end_of_open(states);
        }
        const auto best =
            std::min_element(last.begin(), last.end(),
                             [](const RadioState& a, const RadioState& b) { return a.cost < b.cost; });
        return CheapestChoices{choices_to(best->choice), best->cost};
    }

private:
    struct Chosen {
        int before = -1;
        RadioChoice choice;
    };

    void chose(RadioState& state, RadioChoice choice) {
        chosen_.push_back({state.choice, choice});
        state.choice = static_cast<int>(chosen_.size()) - 1;
    }

    std::vector<RadioChoice> choices_to(int last) const {
        std::vector<RadioChoice> out;
        for (int at = last; at >= 0; at = chosen_[static_cast<std::size_t>(at)].before) {
            out.push_back(chosen_[static_cast<std::size_t>(at)].choice);
        }
        std::reverse(out.begin(), out.end());
        return out;
    }

    const NumberedNeed& need(int index) const { return problem_.needs()[static_cast<std::size_t>(index)]; }

    // The first open guidance that is still to begin.
    static std::optional<int> waits(const RadioState& state) {
        for (int i = 0; i < state.open_count; ++i) {
            if (state.open[static_cast<std::size_t>(i)].receiver < 0) {
                return i;
            }
        }
        return std::nullopt;
    }

    DeadEnd dead_end_of_open(States& states) const {
        int first = static_cast<int>(next_);
        for (const RadioState& state : states) {
            for (int i = 0; i < state.open_count; ++i) {
                const OpenGuidance& open = state.open[static_cast<std::size_t>(i)];
                first = open.receiver < 0 ? std::min(first, open.need) : first;
            }
        }
        return {first, std::move(states)};
    }

    // --- between two needs

    // All that open guidance may do before the next need.
    States settle(const States& states) {
        States out = states;
        for (std::size_t i = 0; i < out.size(); ++i) {
            for (int open = 0; open < out[i].open_count; ++open) {
                const RadioState state = out[i];
                States more = begin_or_hand_over(state, open);
                out.insert(out.end(), more.begin(), more.end());
            }
        }
        if (next_ < problem_.needs().size()) {
            const double now_s = problem_.needs()[next_].from_s;
            std::erase_if(out, [&](RadioState& state) { return !let_run(state, now_s); });
        }
        return best_of(std::move(out), next_);
    }

    States begin_or_hand_over(const RadioState& state, int open) {
        const OpenGuidance guidance = state.open[static_cast<std::size_t>(open)];
        if (guidance.receiver < 0) {
            RadioState closed = state;
            closed.remove_open(open);
            chose(closed, CloseOpen{open});
            return ways(closed, guidance.need, true);
        }
        States out;
        if (!problem_.takes(problem_.guiding(), need(guidance.need))) {
            return out;
        }
        for (RadioState& ready : put_on(state, problem_.guiding(), need(guidance.need).station, true)) {
            if (moves_.hand_over(ready, open)) {
                chose(ready, HandOver{open});
                out.push_back(ready);
            }
        }
        return out;
    }

    // Ends what can no longer be handed over; false where guidance has not begun in its time.
    bool let_run(RadioState& state, double now_s) {
        for (int i = state.open_count - 1; i >= 0; --i) {
            const OpenGuidance open = state.open[static_cast<std::size_t>(i)];
            const NumberedNeed& of = need(open.need);
            if (open.receiver < 0 && of.latest_beginning_s() < now_s) {
                return false;
            }
            if (open.receiver >= 0 && of.to_s <= now_s) {
                moves_.let_run(state, i);
                chose(state, LetRun{i});
            }
        }
        return true;
    }

    // --- the next need

    States meet(const States& states) {
        const int index = static_cast<int>(next_);
        const NumberedNeed& next = need(index);
        States out;
        for (const RadioState& state : states) {
            if (next.use == RadioUse::checks) {
                meet_check(state, index, out);
                continue;
            }
            States met = ways(state, index, false);
            out.insert(out.end(), met.begin(), met.end());
            if (next.late_s > 0.0) {
                RadioState late = state;
                late.add_open({index, -1, 0.0});
                ++late.cost.late;
                chose(late, LeaveOpen{index});
                out.push_back(late);
            }
        }
        return out;
    }

    void meet_check(const RadioState& state, int index, States& out) {
        const NumberedNeed& check = need(index);
        const bool group_met = (state.groups_met & check.group) != 0;
        RadioState without = state;
        if (check.last_of_group) {
            without.cost.checks_missed += group_met ? 0 : 1;
            without.groups_met &= ~check.group;
        }
        out.push_back(without);
        if (group_met) {
            return;
        }
        for (RadioState& met : ways(state, index, false)) {
            met.groups_met =
                check.last_of_group ? met.groups_met & ~check.group : met.groups_met | check.group;
            out.push_back(met);
        }
    }

    // Every state in which the need has begun.
    States ways(const RadioState& state, int index, bool late) {
        const NumberedNeed& wanted = need(index);
        if (wanted.kind == SetKind::dme && problem_.following_dme()) {
            return ways_of_distance(state, index, late);
        }
        States out;
        for (const int set : problem_.sets_for(wanted)) {
            for (RadioState& ready : put_on(state, set, wanted.station, true)) {
                if (moves_.begin(ready, set, index, late)) {
                    chose(ready, BeginNeed{set, index, late});
                    out.push_back(ready);
                }
            }
        }
        return out;
    }

    States ways_of_distance(const RadioState& state, int index, bool late) {
        const NumberedNeed& wanted = need(index);
        States out;
        const auto begin = [&](RadioState ready) {
            if (moves_.begin_distance(ready, index, late)) {
                chose(ready, BeginDistance{index, late});
                out.push_back(ready);
            }
        };
        const bool used = state.dme.position != SwitchState::not_used;
        if (used && state.dme.channel == wanted.station) {
            begin(state);
        }
        for (int r = 0; r < problem_.receivers(); ++r) {
            if (!problem_.takes(r, wanted) ||
                (state.dme.position == r && state.dme.channel == wanted.station)) {
                continue;
            }
            for (RadioState& ready : put_on(state, r, wanted.station, false)) {
                follow(ready, r);
                begin(ready);
            }
        }
        if (!used && problem_.has_hold()) {
            RadioState held = state;
            if (moves_.hold_on_ground(held, wanted)) {
                chose(held, HoldOnGround{index});
                begin(held);
            }
        }
        return out;
    }

    // --- the sets

    void tune(RadioState& state, int set, int station) {
        moves_.tune(state, set, station);
        chose(state, TuneSet{set, station});
    }

    void follow(RadioState& state, int receiver) {
        if (state.dme.position != receiver) {
            moves_.follow(state, receiver);
            chose(state, FollowReceiver{receiver});
        }
    }

    bool hold(RadioState& state) {
        if (!moves_.hold(state)) {
            return false;
        }
        chose(state, HoldChannel{});
        return true;
    }

    // The set on the station, with all that may be done with the DME before it leaves the one it is on.
    States put_on(const RadioState& state, int set, int station, bool may_load) {
        if (state.set(set).station == station) {
            return already_on(state, set, may_load);
        }
        States out = {state};
        if (problem_.following_dme() && set < problem_.receivers()) {
            keep_distance(state, set, out);
            if (may_load && problem_.has_hold()) {
                const States free = out;
                for (const RadioState& before : free) {
                    load_and_hold(before, set, out);
                }
            }
        }
        for (RadioState& ready : out) {
            tune(ready, set, station);
        }
        return out;
    }

    // Or it goes to another and back, to have that held.
    States already_on(const RadioState& state, int set, bool may_load) {
        States out = {state};
        if (!may_load || !problem_.has_hold() || set >= problem_.receivers()) {
            return out;
        }
        States free = {state};
        keep_distance(state, set, free);
        for (const RadioState& before : free) {
            load_and_hold(before, set, out);
        }
        for (std::size_t i = 1; i < out.size(); ++i) {
            tune(out[i], set, state.set(set).station);
        }
        return out;
    }

    bool wants_distance(const RadioState& state, int station, std::size_t next) const {
        const std::vector<int>& soon = next_distances_[next];
        return std::find(soon.begin(), soon.end(), station) != soon.end() ||
               any_open(state, [&](const NumberedNeed& of) {
                   return of.kind == SetKind::dme && of.station == station;
               });
    }

    template <class Fits>
    bool any_open(const RadioState& state, const Fits& fits) const {
        return std::any_of(state.open.begin(), state.open.begin() + state.open_count,
                           [&](const OpenGuidance& open) { return fits(need(open.need)); });
    }

    // The DME follows this receiver and its station is still wanted: held, or by another receiver on the same.
    void keep_distance(const RadioState& state, int set, States& out) {
        const int channel = state.dme.channel;
        if (state.dme.position != set || channel < 0 ||
            (state.dme.needed_s <= state.set(set).needed_s && !wants_distance(state, channel, next_))) {
            return;
        }
        for (int other = 0; other < problem_.receivers(); ++other) {
            if (other == set || !may_show(other, channel)) {
                continue;
            }
            RadioState moved = state;
            if (moved.set(other).station != channel) {
                tune(moved, other, channel);
            }
            follow(moved, other);
            out.push_back(moved);
        }
        // Of equal cost, what is shown beside its station comes before what is held.
        if (problem_.has_hold()) {
            RadioState held = state;
            if (hold(held)) {
                out.push_back(held);
            }
        }
    }

    // Whether the receiver may be followed for the distance of a station.
    bool may_show(int receiver, int station) const {
        return std::all_of(problem_.needs().begin(), problem_.needs().end(), [&](const NumberedNeed& each) {
            return each.kind != SetKind::dme || each.station != station || problem_.takes(receiver, each);
        });
    }

    // A receiver put on a station for no other reason than to be held there for a later need.
    void load_and_hold(const RadioState& state, int set, States& out) {
        std::vector<int> stations = next_distances_[next_];
        for (int i = 0; i < state.open_count; ++i) {
            const NumberedNeed& of = need(state.open[static_cast<std::size_t>(i)].need);
            if (of.kind == SetKind::dme &&
                std::find(stations.begin(), stations.end(), of.station) == stations.end()) {
                stations.push_back(of.station);
            }
        }
        for (const int station : stations) {
            if (station == state.dme.channel || !may_show(set, station)) {
                continue;
            }
            RadioState held = state;
            if (held.set(set).station != station) {
                tune(held, set, station);
            }
            follow(held, set);
            if (hold(held)) {
                out.push_back(held);
            }
        }
    }

    // --- which states to keep

    States best_of(States states, std::size_t next) const {
        if (next >= problem_.needs().size()) {
            return states;
        }
        std::vector<RadioState*> cheapest_first;
        cheapest_first.reserve(states.size());
        for (RadioState& state : states) {
            cheapest_first.push_back(&state);
        }
        std::stable_sort(cheapest_first.begin(), cheapest_first.end(),
                         [](const RadioState* a, const RadioState* b) { return a->cost < b->cost; });
        const Comparison comparison(problem_, outlook_, next);
        // Receivers that are fitted alike may change places in all that follows.
        const auto alike = problem_.receivers_alike();
        States out;
        for (RadioState* each : cheapest_first) {
            RadioState& state = *each;
            forget(state, next);
            const auto needless = [&](const RadioState& as) {
                return std::any_of(out.begin(), out.end(), [&](const RadioState& kept) {
                    return comparison.makes_needless(kept, as);
                });
            };
            if (!needless(state) && (!alike || !needless(exchanged(state, *alike)))) {
                out.push_back(state);
            }
        }
        return out;
    }

    // Makes alike what is alike for all that is still to come, from need `next` on.
    void forget(RadioState& state, std::size_t next) const {
        if (next >= problem_.needs().size()) {
            return;
        }
        forget_times(state, next);
        forget_channel(state, next);
        for (int set = 0; set < static_cast<int>(state.sets.size()); ++set) {
            forget_set(state, set, next);
        }
    }

    // A receiver that would have been free earlier had HOLD been selected may still profit from that.
    void forget_channel(RadioState& state, std::size_t next) const {
        SwitchState& dme = state.dme;
        const bool binds = dme.position != SwitchState::not_used && dme.position != SwitchState::held &&
                           dme.needed_s > state.set(dme.position).needed_s;
        if (dme.channel >= 0 && !binds && !wants_distance(state, dme.channel, next)) {
            dme.channel = of_no_more_use;
            dme.since_s = 0.0;
        }
    }

    void forget_set(RadioState& state, int number, std::size_t next) const {
        SetState& set = state.set(number);
        if (set.station >= 0 && !wants_set(state, number, next)) {
            set.station = of_no_more_use;
            set.since_s = 0.0;
        }
        if (set.course_deg >= 0 && !outlook_.wants_course(next, set.course_deg) &&
            !any_open(state, [&](const NumberedNeed& of) { return of.course_deg == set.course_deg; })) {
            set.course_deg = of_no_more_use;
            set.course_since_s = 0.0;
        }
    }

    bool wants_set(const RadioState& state, int number, std::size_t next) const {
        const int station = state.set(number).station;
        if (number < problem_.receivers()) {
            return outlook_.wants_station(next, SetKind::receiver, station) ||
                   (problem_.following_dme() &&
                    (station == state.dme.channel || outlook_.wants_station(next, SetKind::dme, station))) ||
                   any_open(state, [&](const NumberedNeed& of) { return of.station == station; });
        }
        const SetKind kind = problem_.named(number).kind;
        return outlook_.wants_station(next, kind, station) ||
               any_open(state, [&](const NumberedNeed& of) { return of.station == station; });
    }

    // So early that it no longer matters how early, for what is open too: what is handed over by then is let go early enough.
    double early_s(const RadioState& state, std::size_t next) const {
        const double early_s = outlook_.early_s(next);
        double tuned_s = early_s;
        for (int i = 0; i < state.open_count; ++i) {
            const OpenGuidance& open = state.open[static_cast<std::size_t>(i)];
            const NumberedNeed& of = need(open.need);
            const double by_s = open.receiver < 0 ? std::min(early_s, of.from_s + of.late_s) : early_s;
            if (by_s >= of.to_s) {
                return before_lining_up_s;
            }
            tuned_s = std::min(tuned_s, problem_.latest_tuning_s(of.kind, of.station, by_s));
        }
        // What is held for a distance must be let go early enough for that.
        if (problem_.has_hold() && state.open_count > 0) {
            tuned_s = std::min(tuned_s, outlook_.early_to_hold_s(next, tuned_s));
        }
        return problem_.last_allowed_s(tuned_s);
    }

    // What is early enough for all that follows is as good as any earlier.
    void forget_times(RadioState& state, std::size_t next) const {
        const double early = early_s(state, next);
        if (early == before_lining_up_s) {
            return;
        }
        const bool ground_too = !outlook_.ground_matters(next);
        const auto no_earlier = [ground_too](double& time_s, double than_s) {
            if (ground_too || time_s != before_lining_up_s) {
                time_s = std::max(time_s, than_s);
            }
        };
        for (SetState& set : state.sets) {
            if (set.station != -1) {
                no_earlier(set.since_s, early);
                no_earlier(set.needed_s, early);
                const double course_early = std::min(early, problem_.needs()[next].from_s);
                no_earlier(set.course_needed_s, course_early);
                no_earlier(set.course_since_s, course_early);
            }
        }
        for (int i = 0; i < state.open_count; ++i) {
            no_earlier(state.open[static_cast<std::size_t>(i)].begun_s, early);
        }
        forget_times_of_switch(state.dme, early,
                               state.open_count > 0 ? early : outlook_.early_to_let_go_s(next));
    }

    void forget_times_of_switch(SwitchState& dme, double early, double let_go_by_s) const {
        if (dme.position == SwitchState::not_used) {
            return;
        }
        dme.needed_s = std::max(dme.needed_s, early);
        const double since_s = std::max(dme.since_s, early);
        if (dme.channel < 0 || problem_.identified_s(SetKind::dme, dme.channel, since_s) <= let_go_by_s) {
            dme.since_s = since_s;
        }
    }

    const RadioProblem& problem_;
    RadioMoves moves_;
    Outlook outlook_;
    std::vector<std::vector<int>> next_distances_;  // before each need
    std::vector<Chosen> chosen_;
    std::size_t next_ = 0;
};

}  // namespace

std::variant<CheapestChoices, DeadEnd> cheapest_choices(const RadioProblem& problem) {
    return Search(problem).run();
}

}  // namespace omniway::flight::detail
