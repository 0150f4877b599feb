#include "flight/step_radios.hpp"

#include <algorithm>
#include <cmath>

#include "flight/detail/paper.hpp"
#include "flight/identify_times.hpp"
#include "flight/name_of_aid.hpp"

namespace omniway::flight {

using base::Duration;
using detail::whole_degrees;
using navdata::StationId;

namespace {

constexpr Duration same_instant{1e-6};

// How the knobs stand, by stations.
struct Knobs {
    struct Receiver {
        std::optional<StationId> active;
        std::optional<base::Radial> course;
    };
    std::vector<Receiver> receivers;
    std::optional<StationId> own_dme;
    DistanceFrom distance_from = DistanceFrom::own_channel;
    int follows = 0;
    std::optional<StationId> held;
    std::optional<StationId> adf;

    Receiver& receiver(int number) { return receivers.at(static_cast<std::size_t>(number - 1)); }
    const Receiver& receiver(int number) const { return receivers.at(static_cast<std::size_t>(number - 1)); }

    std::optional<StationId> distance_of() const {
        switch (distance_from) {
            case DistanceFrom::own_channel:
                return own_dme;
            case DistanceFrom::held:
                return held;
            case DistanceFrom::receiver:
                break;
        }
        return follows > 0 ? receiver(follows).active : std::nullopt;
    }

    void turn(const RadioTurn& turned) {
        if (turned.distance) {
            if (*turned.distance == DistanceFrom::held && turned.follows > 0) {
                held = receiver(turned.follows).active;
            }
            distance_from = *turned.distance;
            follows = turned.follows;
        } else if (turned.set.kind == SetKind::receiver) {
            Receiver& set = receiver(turned.set.number);
            set.active = turned.tuned ? turned.tuned : set.active;
            set.course = turned.course ? turned.course : set.course;
        } else if (turned.set.kind == SetKind::dme) {
            own_dme = turned.tuned ? turned.tuned : own_dme;
        } else {
            adf = turned.tuned ? turned.tuned : adf;
        }
    }
};

class Teller {
public:
    Teller(const Circumstances& in, const std::vector<FlownStep>& steps, const ObservedEnds& ends,
           const RadioQuestion& question, const RadioSchedule& schedule)
        : in_(in),
          steps_(steps),
          ends_(ends),
          question_(question),
          schedule_(schedule),
          turns_(schedule.turns) {
        knobs_.receivers.resize(question.aboard.receivers.size());
        if (question.aboard.dme && *question.aboard.dme != cockpit::DmeControl::own_control) {
            knobs_.distance_from = DistanceFrom::receiver;
            knobs_.follows = knobs_.receivers.empty() ? 0 : 1;
        }
        for (const RadioTurn& turn : schedule.lined_up) {
            knobs_.turn(turn);
        }
    }

    StepsRadios all() {
        told_.work.resize(steps_.size());
        told_.lined_up = stand(Duration(-1.0), Duration(0.0), 0);
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            take_turns_before(i);
            told_.at_begin.push_back(stand(steps_[i].begin, steps_[i].end, i));
            take_turns_within(i);
        }
        for (const RadioMet& met : schedule_.met) {
            handed_over(met);
        }
        for (const RadioMet& met : schedule_.met) {
            held_heading(met);
        }
        for (auto& work : told_.work) {
            std::stable_sort(work.begin(), work.end(),
                             [](const TimedWork& a, const TimedWork& b) { return a.at < b.at; });
        }
        return std::move(told_);
    }

private:
    NamedAid aid(StationId id) const { return named(in_.world[id]); }
    std::optional<NamedAid> aid(std::optional<StationId> id) const {
        return id ? std::optional(named(in_.world[*id])) : std::nullopt;
    }
    const RadioNeed& need(std::size_t index) const { return question_.needs[index]; }

    CardEvent event(int end_of_step) const {
        if (end_of_step <= 0) {
            return {0, "lined up"};
        }
        return {end_of_step, event_name(ends_.of[static_cast<std::size_t>(end_of_step - 1)].end)};
    }
    CardEvent begin_of(std::size_t step) const { return event(steps_[step].track->number - 1); }
    const RadioMet* met_of(std::size_t need) const {
        const auto found = std::find_if(schedule_.met.begin(), schedule_.met.end(),
                                        [&](const RadioMet& met) { return met.need == need; });
        return found == schedule_.met.end() ? nullptr : &*found;
    }
    bool handed_over_later(const RadioTurn& turn) const {
        const RadioMet* met = met_of(turn.before_need);
        return met != nullptr && met->first_by_receiver && turn.set == met->set &&
               *met->handed_over > need(met->need).from + same_instant;
    }
    // Guidance that another receiver begins, or that begins late, has the step itself to be tuned in.
    bool during_its_step(const RadioTurn& turn) const {
        const RadioMet* met = met_of(turn.before_need);
        return handed_over_later(turn) || (met != nullptr && met->begins_late);
    }
    CardEvent before(const RadioTurn& turn) const {
        const RadioNeed& served = need(turn.before_need);
        const bool at_begin = served.use == RadioUse::guides && !during_its_step(turn) &&
                              turn.earliest + same_instant < served.from;
        return event(at_begin ? served.step - 1 : served.step);
    }

    bool at(const RadioTurn& turn, Duration when) const {
        return std::abs((turn.earliest - when).count()) < same_instant.count();
    }
    // A course or the DME's switch takes no time; a frequency that is still to be identified does.
    bool done_as_it_begins(const RadioTurn& turn, std::size_t step) const {
        const RadioNeed& served = need(turn.before_need);
        return served.step == steps_[step].track->number && !during_its_step(turn) &&
               (!turn.tuned || served.use == RadioUse::guides);
    }
    // Whether the order of two turns matters: the switch shows, or holds, what a receiver is on.
    static bool order_matters(const RadioTurn& a, const RadioTurn& b) {
        const bool same_knob = a.set == b.set && a.tuned.has_value() == b.tuned.has_value() &&
                               a.course.has_value() == b.course.has_value();
        return same_knob || (a.distance && b.tuned) || (a.tuned && b.distance);
    }

    // Of the turns on the event that begins a step those that it asks for at once come first, and are shown done.
    void take_turns_before(std::size_t step) {
        const Duration begin = steps_[step].begin;
        std::size_t end = next_;
        std::size_t at_once = next_;
        for (; end < turns_.size() && at(turns_[end], begin); ++end) {
            const auto waiting = turns_.begin() + static_cast<std::ptrdiff_t>(at_once);
            const auto turn = turns_.begin() + static_cast<std::ptrdiff_t>(end);
            const bool free = std::none_of(
                waiting, turn, [&](const RadioTurn& before) { return order_matters(before, *turn); });
            if (free && done_as_it_begins(*turn, step)) {
                std::rotate(waiting, turn, turn + 1);
                ++at_once;
            }
        }
        while (next_ < at_once) {
            take(turns_[next_], step);
        }
    }

    void take_turns_within(std::size_t step) {
        const bool last = step + 1 == steps_.size();
        while (next_ < turns_.size() && (last || turns_[next_].earliest + same_instant < steps_[step].end)) {
            take(turns_[next_], step);
        }
    }

    void take(const RadioTurn& turn, std::size_t step) {
        knobs_.turn(turn);
        ++next_;
        auto& work = told_.work[step];
        const CardEvent after = begin_of(step);
        if (turn.distance) {
            if (const auto of = knobs_.distance_of()) {
                work.push_back(
                    {turn.earliest, SelectDistance{*turn.distance, turn.follows, aid(*of), after}});
            }
        } else if (turn.course) {
            work.push_back({turn.earliest, SetCourse{turn.set.number, whole_degrees(*turn.course), after}});
        } else if (turn.tuned) {
            Tune tune{turn.set, aid(*turn.tuned), after, before(turn), Duration(0.0)};
            tune.slack = slack_before(turn, tune.before);
            work.push_back({turn.earliest, tune});
            if (const auto waits = turn.set.kind == SetKind::receiver ? next_on(turn.set) : std::nullopt) {
                work.push_back({turn.earliest, Preselect{turn.set, aid(*waits)}});
            }
        }
    }

    // What takes over as its step begins is identified by then, however long it might wait.
    Duration slack_before(const RadioTurn& turn, const CardEvent& before) const {
        const RadioNeed& served = need(turn.before_need);
        Duration latest = turn.latest;
        if (before.end_of_step < served.step) {
            latest = std::min(latest, served.from - identified_in(served.kind, in_.world[*turn.tuned]));
        }
        return Duration(std::max(0.0, std::floor((latest - turn.earliest).count() + 1e-6)));
    }

    // What a receiver is put on by the turns not yet made.
    std::optional<StationId> next_on(const RadioSet& set) const {
        for (std::size_t i = next_; i < turns_.size(); ++i) {
            if (turns_[i].set == set && turns_[i].tuned) {
                return turns_[i].tuned;
            }
        }
        return std::nullopt;
    }

    // The chief use between two times of what a receiver is on.
    ReceiverRole role(int number, Duration from, Duration to) const {
        ReceiverRole role = ReceiverRole::waits;
        for (const RadioMet& met : schedule_.met) {
            const RadioNeed& use = need(met.need);
            const bool in_time = use.from < to && use.to > from + same_instant;
            const bool on_it = knobs_.receiver(number).active == use.station;
            const bool taken_over_later = met.first_by_receiver.has_value() && use.from >= from;
            const bool by_receiver =
                (met.set.kind == SetKind::receiver && met.set.number == number && !taken_over_later) ||
                met.first_by_receiver == number ||
                (met.set.kind == SetKind::dme && met.distance_from == DistanceFrom::receiver &&
                 met.follows == number);
            if (!in_time || !on_it || !by_receiver) {
                continue;
            }
            const ReceiverRole as = use.use == RadioUse::checks ? ReceiverRole::checks
                                    : use.use == RadioUse::guides && met.set.kind == SetKind::receiver
                                        ? ReceiverRole::guides
                                        : ReceiverRole::tells;
            role = std::min(role, as);
        }
        return role;
    }

    StepRadios stand(Duration from, Duration to, std::size_t step) const {
        StepRadios radios;
        for (std::size_t i = 0; i < knobs_.receivers.size(); ++i) {
            ReceiverStands stands;
            stands.number = static_cast<int>(i) + 1;
            stands.role = role(stands.number, from, to);
            stands.active = aid(knobs_.receivers[i].active);
            stands.standby = aid(next_on({SetKind::receiver, stands.number}));
            if (const auto& course = knobs_.receivers[i].course) {
                stands.course = whole_degrees(*course);
            }
            radios.receivers.push_back(stands);
        }
        if (question_.aboard.dme) {
            DistanceStands distance{knobs_.distance_from, 0, std::nullopt};
            distance.receiver = knobs_.distance_from == DistanceFrom::own_channel ? 0 : knobs_.follows;
            const auto of = knobs_.distance_of();
            distance.of = of && in_.world[*of].dme ? aid(of) : std::nullopt;
            radios.distance = distance;
        }
        if (question_.aboard.adf) {
            AdfStands adf{aid(knobs_.adf), std::nullopt};
            if (*question_.aboard.adf == cockpit::AdfIndicator::movable_card && adf.aid && !steps_.empty()) {
                const TrackStep& track = *steps_[step].track;
                adf.card = whole_degrees(track.heading.value_or(track.course));
            }
            radios.adf = adf;
        }
        return radios;
    }

    std::size_t step_at(Duration at) const {
        std::size_t step = 0;
        while (step + 1 < steps_.size() && steps_[step].end <= at + same_instant) {
            ++step;
        }
        return step;
    }

    void held_heading(const RadioMet& met) {
        if (met.begins_late) {
            const RadioNeed& late = need(met.need);
            told_.work[step_at(late.from)].push_back(
                {late.from, HoldHeadingWhileTuning{aid(late.station),
                                                   Duration(std::ceil(met.begins_late->count() - 1e-6))}});
        }
    }
    // Tuned, identified, then guided by; what the receiver that is let go does next comes after that.
    void handed_over(const RadioMet& met) {
        if (!met.handed_over) {
            return;
        }
        auto& work = told_.work[step_at(*met.handed_over)];
        const RadioSet let_go{SetKind::receiver, *met.first_by_receiver};
        const auto place = std::find_if(work.begin(), work.end(), [&](const TimedWork& each) {
            const bool same = std::abs((each.at - *met.handed_over).count()) < same_instant.count();
            return each.at > *met.handed_over + same_instant || (same && turns(each.work, let_go));
        });
        work.insert(place, {*met.handed_over, GuideBy{met.set.number, aid(need(met.need).station)}});
    }
    static bool turns(const StepWork& work, const RadioSet& set) {
        if (const auto* tune = std::get_if<Tune>(&work)) {
            return tune->set == set;
        }
        const auto* course = std::get_if<SetCourse>(&work);
        return course != nullptr && set == RadioSet{SetKind::receiver, course->receiver};
    }

    const Circumstances& in_;
    const std::vector<FlownStep>& steps_;
    const ObservedEnds& ends_;
    const RadioQuestion& question_;
    const RadioSchedule& schedule_;
    std::vector<RadioTurn> turns_;
    Knobs knobs_;
    std::size_t next_ = 0;  // of the turns
    StepsRadios told_;
};

}  // namespace

StepsRadios radios_of_steps(const Circumstances& circumstances, const std::vector<FlownStep>& steps,
                            const ObservedEnds& ends, const RadioQuestion& question,
                            const RadioSchedule& schedule) {
    return Teller(circumstances, steps, ends, question, schedule).all();
}

}  // namespace omniway::flight
