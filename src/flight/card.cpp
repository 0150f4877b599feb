#include "flight/compile.hpp"

#include <algorithm>

#include "flight/detail/calls.hpp"
#include "flight/detail/check_candidates.hpp"
#include "flight/detail/descent_mark.hpp"
#include "flight/detail/expectation.hpp"
#include "flight/detail/guidance_on_paper.hpp"
#include "flight/detail/heights.hpp"
#include "flight/detail/paper.hpp"
#include "flight/detail/way_back.hpp"
#include "flight/flown_step.hpp"
#include "flight/observed_end.hpp"
#include "flight/radio_needs.hpp"
#include "flight/step_radios.hpp"

namespace omniway::flight {

using namespace detail;

namespace {

/// What the card is made from: the flight in time, its ends, and what is asked of the radios.
struct Draft {
    ObservedEnds ends;
    std::vector<AltitudeLeft> left;
    AskedOfRadios asked;
    RadioAnswer answer;
};

class Compiler {
public:
    Compiler(const Circumstances& circumstances, const Flight& flight)
        : in_(circumstances),
          flight_(flight),
          track_(track_of(in_.world, in_.aircraft, in_.model, in_.today, in_.winds, flight)),
          steps_(flown_steps(in_, flight, track_)) {}

    Compiled compiled() {
        draft_ = draft(Changeovers::by_reading);
        // A reading that tells no fix is not worth a flight: where the radios cannot be had for it, the clock tells.
        if (std::holds_alternative<NoSchedule>(draft_.answer)) {
            Draft by_time = draft(Changeovers::by_time);
            if (std::holds_alternative<RadioSchedule>(by_time.answer)) {
                draft_ = std::move(by_time);
            }
        }
        Compiled all;
        all.card = card(all.work_at);
        all.track = std::move(track_);
        all.radios = std::move(draft_.asked.question);
        all.schedule = std::move(draft_.answer);
        return all;
    }

private:
    Draft draft(Changeovers changeovers) const {
        Draft made;
        made.ends = observed_ends(in_, track_, steps_, changeovers);
        made.left = altitudes_left(in_, track_, steps_, changeovers, made.ends);
        made.asked = radio_needs(in_, flight_, track_, steps_, made.ends, made.left);
        made.answer = schedule(made.asked.question);
        return made;
    }

    Card card(std::vector<std::vector<base::Duration>>& work_at) const {
        Card card;
        const auto* schedule = std::get_if<RadioSchedule>(&draft_.answer);
        StepsRadios radios;
        radios.work.resize(steps_.size());
        if (schedule != nullptr) {
            radios = radios_of_steps(in_, steps_, draft_.ends, draft_.asked.question, *schedule);
            card.immediate_return = way_back(in_, flight_, steps_, radios);
        }
        add_events(radios);
        add_calls(card, radios);
        card.lined_up = radios.lined_up;
        for (std::size_t i = 0; i < steps_.size(); ++i) {
            Step step = step_of(i);
            if (schedule != nullptr) {
                step.radios = radios.at_begin[i];
                check(step, i, *schedule);
                needle_as_scheduled(step, *schedule);
            }
            std::stable_sort(radios.work[i].begin(), radios.work[i].end(),
                             [](const TimedWork& a, const TimedWork& b) { return a.at < b.at; });
            work_at.emplace_back();
            for (TimedWork& each : radios.work[i]) {
                work_at.back().push_back(each.at);
                step.work.push_back(std::move(each.work));
            }
            (steps_[i].missed ? card.missed : card.steps).push_back(std::move(step));
        }
        card.distance = tenths_of_a_mile(track_.length);
        card.time = track_.time ? std::optional(whole_seconds(*track_.time)) : std::nullopt;
        card.fuel = whole_pounds(track_.fuel);
        card.fuel_needed = whole_pounds(track_.fuel_needed);
        return card;
    }

    Step step_of(std::size_t index) const {
        const FlownStep& flown = steps_[index];
        Step step;
        step.number = flown.track->number;
        step.phase = flown.track->phase;
        step.via = flown.track->via;
        step.from = flown.track->from;
        step.to = flown.track->to;
        step.guidance = guidance_on_paper(in_, track_, flown, index > 0 ? &steps_[index - 1] : nullptr);
        step.end = draft_.ends.of[index].end;
        step.heights = heights_of(in_, track_, flown);
        step.expected = expectation(in_, flown, draft_.ends.of[index]);
        return step;
    }

    // Which way a reversed needle is followed hangs on the indicator of the receiver that guides, and of the one it is handed to.
    void needle_as_scheduled(Step& step, const RadioSchedule& schedule) const {
        auto* localizer = std::get_if<FollowLocalizer>(&step.guidance);
        if (localizer == nullptr || localizer->needle == NeedleSense::toward_the_line) {
            return;
        }
        const auto sense = [&](int receiver) {
            return reversed_needle_sense(
                in_.aircraft.equipment.receivers[static_cast<std::size_t>(receiver - 1)].indicator);
        };
        for (const RadioMet& met : schedule.met) {
            const RadioNeed& need = draft_.asked.question.needs[met.need];
            if (need.use != RadioUse::guides || need.step != step.number || need.kind != SetKind::receiver) {
                continue;
            }
            const NeedleSense first = sense(met.first_by_receiver.value_or(met.set.number));
            const NeedleSense then = sense(met.set.number);
            localizer->needle = first;
            std::erase_if(step.expected.notices, [](const Notice& notice) {
                return std::holds_alternative<NeedleDeceives>(notice);
            });
            step.expected.notices.push_back(NeedleDeceives{localizer->aid, first});
            if (then != first) {
                step.expected.notices.push_back(NeedleDeceives{localizer->aid, then});
            }
            return;
        }
    }

    // The glideslope's over the final fix, else the one of the candidates for which the schedule has a set.
    void check(Step& step, std::size_t index, const RadioSchedule& schedule) const {
        if (const auto glideslope = glideslope_check(in_, track_, steps_[index], draft_.ends.of[index])) {
            step.check = glideslope;
            return;
        }
        for (const RadioMet& met : schedule.met) {
            const RadioNeed& need = draft_.asked.question.needs[met.need];
            if (need.use != RadioUse::checks || need.step != step.number) {
                continue;
            }
            step.check = draft_.asked.checks[met.need];
            if (need.kind == SetKind::dme) {
                note_reading(in_, steps_[index], need.station, step.expected);
            } else if (need.kind == SetKind::adf) {
                note_bearing(in_.world[need.station], step.expected);
            }
        }
    }

    void add_events(StepsRadios& radios) const {
        for (std::size_t i = 0; i + 1 < steps_.size(); ++i) {
            if (draft_.ends.of[i].starts_clock) {
                auto& work = radios.work[i + 1];
                work.insert(work.begin(), {steps_[i + 1].begin, StartClock{}});
            }
        }
        for (const AltitudeLeft& left : draft_.left) {
            radios.work[left.step].push_back({left.at, LeaveAltitude{left.says}});
        }
    }

    // Departure is called once airborne, approach where the arrival begins, the tower on the final.
    void add_calls(Card& card, StepsRadios& radios) const {
        const Calls calls = calls_of(in_.world, flight_);
        card.before_take_off.assign(calls.before_take_off.begin(), calls.before_take_off.end());
        card.before_take_off.insert(card.before_take_off.end(), calls.departing.begin(),
                                    calls.departing.end());
        if (draft_.ends.clock_when_lined_up) {
            card.before_take_off.push_back(StartClock{});
        }
        add_calls(radios, calls.arriving, first_of_arrival());
        add_calls(radios, calls.landing, first_of_final());
    }
    void add_calls(StepsRadios& radios, const std::vector<Call>& calls, std::size_t step) const {
        if (step < steps_.size()) {
            for (const Call& call : calls) {
                radios.work[step].push_back({steps_[step].begin, call});
            }
        }
    }

    std::size_t last_before_missed() const {
        const auto missed =
            std::find_if(steps_.begin(), steps_.end(), [](const FlownStep& step) { return step.missed; });
        return static_cast<std::size_t>(missed - steps_.begin()) - (missed == steps_.begin() ? 0U : 1U);
    }
    std::size_t first_of_arrival() const {
        const auto first = std::find_if(steps_.begin(), steps_.end(), [](const FlownStep& step) {
            return step.track->phase == Phase::arrival || step.track->phase == Phase::approach;
        });
        return first == steps_.end() ? last_before_missed()
                                     : static_cast<std::size_t>(first - steps_.begin());
    }
    // The step that leads to the final fix: the call is made before the work of the final.
    std::size_t first_of_final() const {
        if (track_.final_approach && track_.final_approach->first_step > 1) {
            return static_cast<std::size_t>(track_.final_approach->first_step) - 2;
        }
        return last_before_missed();
    }

    const Circumstances& in_;
    const Flight& flight_;
    FlightTrack track_;
    std::vector<FlownStep> steps_;
    Draft draft_;
};

}  // namespace

Compiled compile(const Circumstances& circumstances, const Flight& flight) {
    return Compiler(circumstances, flight).compiled();
}

}  // namespace omniway::flight
