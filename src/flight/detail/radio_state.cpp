#include "flight/detail/radio_state.hpp"

#include <algorithm>

#include "base/contract.hpp"

namespace omniway::flight::detail {

void RadioState::add_open(OpenGuidance guidance) {
    OMNIWAY_EXPECTS(open_count < most_open);
    open[static_cast<std::size_t>(open_count++)] = guidance;
}

void RadioState::remove_open(int index) {
    std::copy(open.begin() + index + 1, open.begin() + open_count, open.begin() + index);
    --open_count;
}

double RadioMoves::needed_s(const RadioState& state, int set) const {
    double until_s = state.set(set).needed_s;
    if (problem_.following_dme() && state.dme.position == set) {
        until_s = std::max(until_s, state.dme.needed_s);
    }
    for (int i = 0; i < state.open_count; ++i) {
        const OpenGuidance& open = state.open[static_cast<std::size_t>(i)];
        if (open.receiver == set) {
            until_s = std::max(until_s, problem_.needs()[static_cast<std::size_t>(open.need)].to_s);
        }
    }
    return until_s;
}

double RadioMoves::course_needed_s(const RadioState& state, int set) const {
    double until_s = state.set(set).course_needed_s;
    for (int i = 0; i < state.open_count; ++i) {
        const OpenGuidance& open = state.open[static_cast<std::size_t>(i)];
        const NumberedNeed& need = problem_.needs()[static_cast<std::size_t>(open.need)];
        if (open.receiver == set && need.course_deg >= 0) {
            until_s = std::max(until_s, need.to_s);
        }
    }
    return until_s;
}

RadioMoves::Turned RadioMoves::tune(RadioState& state, int set, int station) const {
    SetState& tuned = state.set(set);
    const bool preset = tuned.station == -1;
    if (!preset) {
        tuned.since_s = problem_.first_allowed_s(needed_s(state, set));
        ++state.cost.turns;
    }
    tuned.station = station;
    if (problem_.following_dme() && state.dme.position == set) {
        state.dme.channel = station;
        state.dme.since_s = tuned.since_s;
    }
    return {preset, tuned.since_s};
}

RadioMoves::Turned RadioMoves::follow(RadioState& state, int receiver) const {
    SwitchState& dme = state.dme;
    const SetState& now = state.set(receiver);
    if (dme.position == SwitchState::not_used) {
        dme.position = receiver;
        dme.channel = now.station;
        dme.since_s = now.since_s;
        return {true, before_lining_up_s};
    }
    ++state.cost.turns;
    double earliest_s = dme.needed_s;
    SetState* before = dme.position == SwitchState::held ? nullptr : &state.set(dme.position);
    if (dme.channel == now.station) {
        earliest_s = std::max(now.since_s, dme.since_s);
        if (before != nullptr) {
            keep(*before, dme.needed_by, earliest_s);
        }
    } else {
        if (before != nullptr) {
            keep(*before, dme.needed_by, dme.needed_s);
        }
        dme.since_s = std::max(now.since_s, dme.needed_s);
        earliest_s = dme.since_s;  // sooner it would show what the receiver is still on
    }
    dme.position = receiver;
    dme.channel = now.station;
    return {false, earliest_s};
}

std::optional<RadioMoves::Turned> RadioMoves::hold(RadioState& state) const {
    SwitchState& dme = state.dme;
    const double identified_s = problem_.identified_s(SetKind::dme, dme.channel, dme.since_s);
    if (identified_s == never_s) {
        return std::nullopt;
    }
    keep(state.set(dme.position), dme.needed_by, identified_s);
    dme.origin = dme.position;
    dme.position = SwitchState::held;
    dme.needed_s = std::max(dme.needed_s, identified_s);
    ++state.cost.turns;
    return Turned{false, identified_s};
}

std::optional<RadioMoves::Turned> RadioMoves::hold_on_ground(RadioState& state,
                                                             const NumberedNeed& need) const {
    if (problem_.identified_s(SetKind::dme, need.station, before_lining_up_s) != before_lining_up_s) {
        return std::nullopt;
    }
    for (int r = 0; r < problem_.receivers(); ++r) {
        if (problem_.takes(r, need)) {
            state.dme.origin = r;
            state.dme.position = SwitchState::held;
            state.dme.channel = need.station;
            return Turned{true, before_lining_up_s};
        }
    }
    return std::nullopt;
}

void RadioMoves::keep(SetState& set, int need, double until_s) const {
    if (until_s > set.needed_s) {
        set.needed_s = until_s;
        set.needed_by = need;
    }
}

// The first course on a receiver stands there from before lining up.
void RadioMoves::set_course(RadioState& state, int set, const NumberedNeed& need, Begun& begun) const {
    if (need.course_deg < 0) {
        return;
    }
    SetState& receiver = state.set(set);
    if (receiver.course_deg != need.course_deg) {
        const bool preset = receiver.course_deg == -1;
        receiver.course_deg = need.course_deg;
        receiver.course_since_s = preset ? before_lining_up_s : course_needed_s(state, set);
        state.cost.turns += preset ? 0 : 1;
        begun.course = Turned{preset, receiver.course_since_s};
    }
    begun.at_s = std::max(begun.at_s, receiver.course_since_s);
}

namespace {

bool begins_in_time(const NumberedNeed& need, double at_s, bool late) {
    if (!late) {
        return at_s == need.from_s;
    }
    return at_s <= need.from_s + need.late_s && at_s < need.to_s;
}

}  // namespace

std::optional<RadioMoves::Begun> RadioMoves::begin(RadioState& state, int set, int index, bool late) const {
    const NumberedNeed& need = problem_.needs()[static_cast<std::size_t>(index)];
    SetState& on = state.set(set);
    Begun begun;
    begun.at_s = std::max(need.from_s, problem_.identified_s(need.kind, need.station, on.since_s));
    if (begun.at_s > need.latest_beginning_s()) {
        return std::nullopt;
    }
    set_course(state, set, need, begun);
    if (!begins_in_time(need, begun.at_s, late)) {
        return std::nullopt;
    }
    const bool receiver = need.kind == SetKind::receiver;
    if (receiver && need.use == RadioUse::guides && set != problem_.guiding()) {
        state.cost.out_of_role += 2;
        state.add_open({index, set, begun.at_s});
        return begun;
    }
    if (receiver && need.use != RadioUse::guides && set == problem_.guiding()) {
        ++state.cost.out_of_role;
    }
    keep(on, index, need.to_s);
    if (need.course_deg >= 0 && need.to_s > on.course_needed_s) {
        on.course_needed_s = need.to_s;
        on.course_needed_by = index;
    }
    return begun;
}

std::optional<RadioMoves::Begun> RadioMoves::begin_distance(RadioState& state, int index, bool late) const {
    const NumberedNeed& need = problem_.needs()[static_cast<std::size_t>(index)];
    Begun begun;
    begun.at_s = std::max(need.from_s, problem_.identified_s(SetKind::dme, need.station, state.dme.since_s));
    if (!begins_in_time(need, begun.at_s, late)) {
        return std::nullopt;
    }
    if (need.to_s > state.dme.needed_s) {
        state.dme.needed_s = need.to_s;
        state.dme.needed_by = index;
    }
    return begun;
}

std::optional<RadioMoves::Begun> RadioMoves::hand_over(RadioState& state, int open) const {
    const OpenGuidance guidance = state.open[static_cast<std::size_t>(open)];
    const NumberedNeed& need = problem_.needs()[static_cast<std::size_t>(guidance.need)];
    const int to = problem_.guiding();
    Begun begun;
    begun.at_s = std::max(guidance.begun_s,
                          problem_.identified_s(SetKind::receiver, need.station, state.set(to).since_s));
    if (begun.at_s >= need.to_s) {
        return std::nullopt;
    }
    set_course(state, to, need, begun);
    if (begun.at_s >= need.to_s) {
        return std::nullopt;
    }
    state.remove_open(open);
    SetState& let_go = state.set(guidance.receiver);
    keep(let_go, guidance.need, begun.at_s);
    SetState& takes = state.set(to);
    keep(takes, guidance.need, need.to_s);
    if (need.course_deg >= 0) {
        let_go.course_needed_s = std::max(let_go.course_needed_s, begun.at_s);
        if (need.to_s > takes.course_needed_s) {
            takes.course_needed_s = need.to_s;
            takes.course_needed_by = guidance.need;
        }
    }
    --state.cost.out_of_role;
    return begun;
}

void RadioMoves::let_run(RadioState& state, int open) const {
    const OpenGuidance guidance = state.open[static_cast<std::size_t>(open)];
    const NumberedNeed& need = problem_.needs()[static_cast<std::size_t>(guidance.need)];
    state.remove_open(open);
    SetState& set = state.set(guidance.receiver);
    keep(set, guidance.need, need.to_s);
    if (need.course_deg >= 0 && need.to_s > set.course_needed_s) {
        set.course_needed_s = need.to_s;
        set.course_needed_by = guidance.need;
    }
}

}  // namespace omniway::flight::detail
