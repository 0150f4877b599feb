#pragma once

#include <array>
#include <cstdint>
#include <optional>

#include "flight/detail/radio_problem.hpp"

namespace omniway::flight::detail {

/// How a receiver, a DME of its own control or an ADF stands, and until when it must.
struct SetState {
    int station = -1;  // -1: not used so far; -2: on one that is of no more use
    int course_deg = -1;
    double since_s = before_lining_up_s;
    double needed_s = before_lining_up_s;
    double course_since_s = before_lining_up_s;
    double course_needed_s = before_lining_up_s;
    int needed_by = -1;
    int course_needed_by = -1;
};

/// The switch of a DME that follows a receiver, and the channel that this gives.
struct SwitchState {
    static constexpr int not_used = -1;
    static constexpr int held = 100;
    int position = not_used;  // a receiver, or held
    int origin = 0;           // the receiver followed when it was held
    int channel = -1;
    double since_s = before_lining_up_s;
    double needed_s = before_lining_up_s;
    int needed_by = -1;
};

/// Guidance under way that is still to begin (late), or that may still be handed over.
struct OpenGuidance {
    int need = 0;
    int receiver = -1;  // -1: still to begin
    double begun_s = 0.0;
};

/// All sets at one moment of the search, each as early and as free as the choices made so far allow.
struct RadioState {
    static constexpr int most_open = 8;
    std::array<SetState, 5> sets;
    SwitchState dme;
    std::array<OpenGuidance, most_open> open;
    int open_count = 0;
    std::uint64_t groups_met = 0;
    RadioCost cost;
    int choice = -1;  // the last that led here

    SetState& set(int number) { return sets[static_cast<std::size_t>(number)]; }
    const SetState& set(int number) const { return sets[static_cast<std::size_t>(number)]; }
    void add_open(OpenGuidance guidance);
    void remove_open(int index);
};

/// What can be done with the sets, each at the earliest instant: the search chooses among these, and the turns are read off them.
///   Model     flight/radio_schedule.hpp. Earlier is never worse: what is identified earlier, or let go earlier, allows all that came
///             later would have.
///   Domain    each function names what it expects of the state.
///   Accuracy  exact.
///   Cost      some comparisons each.
///   Fails     none where it cannot be done; the state is then of no use.
///   Source    docs/methods/radio-schedule.md.
class RadioMoves {
public:
    explicit RadioMoves(const RadioProblem& problem) : problem_(problem) {}

    /// Until when a set, or its course, is needed as it stands.
    double needed_s(const RadioState& state, int set) const;
    double course_needed_s(const RadioState& state, int set) const;

    struct Turned {
        bool preset = false;  // before lining up
        double earliest_s = 0.0;
    };
    /// Puts a set that is on another station on this one.
    Turned tune(RadioState& state, int set, int station) const;
    /// Turns the DME's switch to another receiver; on the same station, its channel does not change.
    Turned follow(RadioState& state, int receiver) const;
    /// Selects HOLD on a DME that follows a receiver.
    std::optional<Turned> hold(RadioState& state) const;
    /// Selects HOLD before lining up, where the DME has not been used.
    std::optional<Turned> hold_on_ground(RadioState& state, const NumberedNeed& need) const;

    struct Begun {
        double at_s = 0.0;
        std::optional<Turned> course;
    };
    /// Begins a need on a set, or on the channel of the DME that follows, that is on its station.
    std::optional<Begun> begin(RadioState& state, int set, int need, bool late) const;
    std::optional<Begun> begin_distance(RadioState& state, int need, bool late) const;
    /// Hands open guidance over to the guiding receiver, which is on its station.
    std::optional<Begun> hand_over(RadioState& state, int open) const;
    /// Leaves open guidance with the receiver that it is on.
    void let_run(RadioState& state, int open) const;

private:
    void set_course(RadioState& state, int set, const NumberedNeed& need, Begun& begun) const;
    void keep(SetState& set, int need, double until_s) const;

    const RadioProblem& problem_;
};

}  // namespace omniway::flight::detail
