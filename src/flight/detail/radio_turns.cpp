#include "flight/detail/radio_turns.hpp"

#include <algorithm>
#include <array>
#include <optional>
#include <utility>

#include "base/contract.hpp"

namespace omniway::flight::detail {

namespace {

using base::Duration;

// By when a turn must be done: by an instant or before another turn, or so long before that a station is identified by then.
struct Deadline {
    std::optional<std::pair<SetKind, int>> identified;
    double by_s = never_s;
    int before_turn = -1;
};

struct TurnInWork {
    RadioTurn turn;
    bool preset = false;
    bool retunes = false;
    bool serves = false;  // `before_need` is known
    double latest_s = never_s;
    std::vector<Deadline> deadlines;
};

struct DeadlineOf {
    int turn = 0;
    std::size_t deadline = 0;
};

class TurnReader {
public:
    TurnReader(const RadioQuestion& question, const RadioProblem& problem)
        : question_(question), problem_(problem), moves_(problem) {
        tuned_.fill(-1);
        course_.fill(-1);
    }

    RadioSchedule read(const std::vector<RadioChoice>& choices) {
        for (const RadioChoice& choice : choices) {
            std::visit([this](const auto& made) { carry_out(made); }, choice);
        }
        for (std::size_t i = turns_.size(); i-- > 0;) {
            put_off(turns_[i]);
        }
        return written();
    }

private:
    const NumberedNeed& need(int index) const { return problem_.needs()[static_cast<std::size_t>(index)]; }
    const RadioNeed& asked(int index) const { return question_.needs[static_cast<std::size_t>(index)]; }
    static std::size_t at(int index) { return static_cast<std::size_t>(index); }

    // --- the choices

    void carry_out(const TuneSet& choice) {
        const auto turned = moves_.tune(state_, choice.set, choice.station);
        RadioTurn turn;
        turn.set = problem_.named(choice.set);
        turn.tuned = station_named(choice.station);
        const int made = add(turn, turned, true);
        tuned_[at(choice.set)] = made;
        before(made, waits_for_tuning_[at(choice.set)]);
        if (problem_.following_dme() && state_.dme.position == choice.set) {
            begin_channel({made});
        }
    }

    void carry_out(const FollowReceiver& choice) {
        const int position = state_.dme.position;
        const bool same =
            position != SwitchState::not_used && state_.dme.channel == state_.set(choice.receiver).station;
        const auto turned = moves_.follow(state_, choice.receiver);
        const int made = add(switch_turn(DistanceFrom::receiver, choice.receiver), turned, false);
        const int tuned = tuned_[at(choice.receiver)];
        if (!same) {
            begin_channel({made, tuned});
            return;
        }
        served_by_channel(made);
        require(tuned, {std::nullopt, never_s, made});
        if (position != SwitchState::held) {
            wait(made, {}, waits_for_tuning_[at(position)]);
        }
    }

    void carry_out(const HoldChannel&) {
        const auto turned = moves_.hold(state_);
        OMNIWAY_EXPECTS(turned.has_value());
        const int made = add(switch_turn(DistanceFrom::held, state_.dme.origin), *turned, false);
        for (const int turn : channel_turns_) {
            require(turn, {std::pair(SetKind::dme, state_.dme.channel), never_s, made});
        }
        for (const std::size_t met : channel_met_) {
            if (question_.needs[out_.met[met].need].to.count() > turned->earliest_s) {
                out_.met[met].distance_from = DistanceFrom::held;
                out_.met[met].follows = state_.dme.origin + 1;
            }
        }
        served_by_channel(made);
        wait(made, {}, waits_for_tuning_[at(state_.dme.origin)]);
    }

    void carry_out(const HoldOnGround& choice) {
        const auto turned = moves_.hold_on_ground(state_, need(choice.need));
        OMNIWAY_EXPECTS(turned.has_value());
        RadioTurn turn = switch_turn(DistanceFrom::held, state_.dme.origin);
        begin_channel({add(turn, *turned, false)});
    }

    void carry_out(const LeaveOpen& choice) {
        state_.add_open({choice.need, -1, 0.0});
        ++state_.cost.late;
    }
    void carry_out(const CloseOpen& choice) { state_.remove_open(choice.open); }
    void carry_out(const LetRun& choice) { moves_.let_run(state_, choice.open); }

    void carry_out(const BeginNeed& choice) {
        const auto begun = moves_.begin(state_, choice.set, choice.need, choice.late);
        OMNIWAY_EXPECTS(begun.has_value());
        const double by_s = begins_by_s(choice.need, begun->at_s);
        const NumberedNeed& of = need(choice.need);
        const int tuned = tuned_[at(choice.set)];
        require(tuned, {std::pair(of.kind, of.station), by_s, -1});
        serve(tuned, choice.need);
        turn_course(choice.set, of, *begun);
        if (of.course_deg >= 0) {
            require(course_[at(choice.set)], {std::nullopt, by_s, -1});
            serve(course_[at(choice.set)], choice.need);
        }
        RadioMet met;
        met.need = at(choice.need);
        met.set = problem_.named(choice.set);
        meet(met, begun->at_s);
    }

    void carry_out(const BeginDistance& choice) {
        const auto begun = moves_.begin_distance(state_, choice.need, choice.late);
        OMNIWAY_EXPECTS(begun.has_value());
        const double by_s = begins_by_s(choice.need, begun->at_s);
        for (const int turn : channel_turns_) {
            require(turn, {std::pair(SetKind::dme, need(choice.need).station), by_s, -1});
            serve(turn, choice.need);
        }
        for (const int turn : channel_kept_by_) {
            serve(turn, choice.need);
        }
        RadioMet met;
        met.need = at(choice.need);
        met.set = {SetKind::dme, 1};
        const bool held = state_.dme.position == SwitchState::held;
        met.distance_from = held ? DistanceFrom::held : DistanceFrom::receiver;
        met.follows = (held ? state_.dme.origin : state_.dme.position) + 1;
        channel_met_.push_back(out_.met.size());
        meet(met, begun->at_s);
    }

    void carry_out(const HandOver& choice) {
        const OpenGuidance guidance = state_.open[at(choice.open)];
        const auto begun = moves_.hand_over(state_, choice.open);
        OMNIWAY_EXPECTS(begun.has_value());
        const NumberedNeed& of = need(guidance.need);
        const int to = problem_.guiding();
        turn_course(to, of, *begun);
        // What takes over guides for as long at least as it took to identify, where that is possible.
        const double by_s = std::max(begun->at_s, of.to_s - of.identify_s);
        hand_over_by(tuned_[at(to)], std::pair(of.kind, of.station), by_s, guidance.receiver);
        serve(tuned_[at(to)], guidance.need);
        if (of.course_deg >= 0) {
            hand_over_by(course_[at(to)], std::nullopt, by_s, guidance.receiver);
            serve(course_[at(to)], guidance.need);
        }
        const auto met = std::find_if(out_.met.begin(), out_.met.end(),
                                      [&](const RadioMet& each) { return each.need == at(guidance.need); });
        met->first_by_receiver = guidance.receiver + 1;
        met->set = problem_.named(to);
        met->handed_over = Duration(begun->at_s);
    }

    // --- what depends on what

    int add(const RadioTurn& turn, const RadioMoves::Turned& turned, bool retunes) {
        TurnInWork work;
        work.turn = turn;
        work.preset = turned.preset;
        work.retunes = retunes;
        work.turn.earliest = Duration(turned.preset ? 0.0 : turned.earliest_s);
        turns_.push_back(work);
        return static_cast<int>(turns_.size()) - 1;
    }

    void require(int turn, const Deadline& deadline) {
        if (turn >= 0) {
            turns_[at(turn)].deadlines.push_back(deadline);
        }
    }

    // A deadline that is not known before another set is next turned.
    void wait(int turn, const std::optional<std::pair<SetKind, int>>& identified,
              std::vector<DeadlineOf>& waiting) {
        if (turn >= 0) {
            waiting.push_back({turn, turns_[at(turn)].deadlines.size()});
            require(turn, {identified, never_s, -1});
        }
    }

    void before(int turn, std::vector<DeadlineOf>& waiting) {
        for (const DeadlineOf& each : waiting) {
            turns_[at(each.turn)].deadlines[each.deadline].before_turn = turn;
        }
        waiting.clear();
    }

    void hand_over_by(int turn, const std::optional<std::pair<SetKind, int>>& identified, double by_s,
                      int from) {
        require(turn, {identified, by_s, -1});
        wait(turn, identified, waits_for_tuning_[at(from)]);
        wait(turn, identified, waits_for_course_[at(from)]);
    }

    void begin_channel(std::vector<int> turns) {
        channel_turns_ = std::move(turns);
        channel_kept_by_.clear();
        channel_met_.clear();
    }

    void serve(int turn, int by_need) {
        if (turn >= 0 && !turns_[at(turn)].serves) {
            turns_[at(turn)].serves = true;
            turns_[at(turn)].turn.before_need = at(by_need);
        }
    }

    // A turn of the switch that keeps the channel: for what is being met by it, else for what will be.
    void served_by_channel(int turn) {
        for (const std::size_t met : channel_met_) {
            const std::size_t index = out_.met[met].need;
            if (question_.needs[index].to > turns_[at(turn)].turn.earliest) {
                serve(turn, static_cast<int>(index));
            }
        }
        channel_kept_by_.push_back(turn);
    }

    void turn_course(int set, const NumberedNeed& of, const RadioMoves::Begun& begun) {
        if (!begun.course) {
            return;
        }
        RadioTurn turn;
        turn.set = problem_.named(set);
        turn.course = base::Radial::degrees(of.course_deg);
        course_[at(set)] = add(turn, *begun.course, false);
        before(course_[at(set)], waits_for_course_[at(set)]);
    }

    RadioTurn switch_turn(DistanceFrom from, int receiver) const {
        RadioTurn turn;
        turn.set = {SetKind::dme, 1};
        turn.distance = from;
        turn.follows = receiver + 1;
        return turn;
    }

    double begins_by_s(int index, double begun_s) const {
        const NumberedNeed& of = need(index);
        const double by_s = of.from_s + of.late_s;
        return begun_s > of.from_s ? (by_s < of.to_s ? by_s : begun_s) : of.from_s;
    }

    void meet(RadioMet met, double begun_s) {
        const double late_s = begun_s - question_.needs[met.need].from.count();
        if (late_s > 0.0) {
            met.begins_late = Duration(late_s);
        }
        out_.met.push_back(met);
    }

    navdata::StationId station_named(int number) const {
        for (std::size_t i = 0; i < problem_.needs().size(); ++i) {
            if (problem_.needs()[i].station == number) {
                return question_.needs[i].station;
            }
        }
        return {};
    }

    // --- the times

    void put_off(TurnInWork& work) const {
        double latest_s = never_s;
        for (const Deadline& deadline : work.deadlines) {
            double by_s = deadline.by_s;
            if (deadline.before_turn >= 0) {
                by_s = std::min(by_s, turns_[at(deadline.before_turn)].latest_s);
            }
            if (deadline.identified && by_s != never_s) {
                by_s =
                    problem_.latest_tuning_s(deadline.identified->first, deadline.identified->second, by_s);
            }
            latest_s = std::min(latest_s, by_s);
        }
        if (work.retunes && latest_s != never_s) {
            latest_s = problem_.last_allowed_s(latest_s);
        }
        // A sum and a difference of the same figures may differ in their last digit.
        const double earliest_s = work.turn.earliest.count();
        work.latest_s = latest_s == never_s ? earliest_s : std::max(earliest_s, latest_s);
    }

    RadioSchedule written() {
        for (TurnInWork& work : turns_) {
            work.turn.latest = work.preset ? Duration(0.0) : Duration(work.latest_s);
            (work.preset ? out_.lined_up : out_.turns).push_back(work.turn);
        }
        std::stable_sort(out_.turns.begin(), out_.turns.end(),
                         [](const RadioTurn& a, const RadioTurn& b) { return a.earliest < b.earliest; });
        std::stable_sort(out_.met.begin(), out_.met.end(),
                         [](const RadioMet& a, const RadioMet& b) { return a.need < b.need; });
        return std::move(out_);
    }

    const RadioQuestion& question_;
    const RadioProblem& problem_;
    RadioMoves moves_;
    RadioState state_;
    RadioSchedule out_;
    std::vector<TurnInWork> turns_;
    std::array<int, 5> tuned_{};
    std::array<int, 5> course_{};
    std::array<std::vector<DeadlineOf>, 5> waits_for_tuning_;
    std::array<std::vector<DeadlineOf>, 5> waits_for_course_;
    std::vector<int> channel_turns_;        // with which the DME's channel began
    std::vector<int> channel_kept_by_;      // turns of its switch since
    std::vector<std::size_t> channel_met_;  // by this channel
};

}  // namespace

RadioSchedule schedule_of(const RadioQuestion& question, const RadioProblem& problem,
                          const CheapestChoices& cheapest) {
    RadioSchedule out = TurnReader(question, problem).read(cheapest.choices);
    out.cost = cheapest.cost;
    return out;
}

}  // namespace omniway::flight::detail
