#include "flight/detail/way_back.hpp"

#include <algorithm>

#include "flight/detail/paper.hpp"
#include "flight/name_of_aid.hpp"

namespace omniway::flight::detail {

namespace {

class WayBack {
public:
    WayBack(const Circumstances& circumstances, const Flight& flight, const std::vector<FlownStep>& steps,
            StepsRadios& radios)
        : in_(circumstances),
          back_(*flight.immediate_return),
          station_(in_.world[back_.station]),
          steps_(steps),
          radios_(radios) {}

    std::optional<ImmediateReturn> result() {
        if (navdata::ndb(station_) != nullptr) {
            return on_adf();
        }
        const auto receivers = able();
        for (const int number : receivers) {
            if (stands(number).active == named(station_)) {
                return on(number, false);
            }
        }
        for (const int number : receivers) {
            if (!stands(number).active) {
                take(number);
                return on(number, false);
            }
        }
        // The last of them: the first one guides.
        if (receivers.empty()) {
            return std::nullopt;
        }
        wait_in_standby(receivers.back());
        return on(receivers.back(), true);
    }

private:
    ReceiverStands& stands(int number) {
        return radios_.lined_up.receivers[static_cast<std::size_t>(number - 1)];
    }

    // Those that can take it; one with a glideslope needle first where it sends one.
    std::vector<int> able() const {
        const navdata::LocalizerAzimuth* localizer = navdata::localizer(station_);
        const auto& aboard = in_.aircraft.equipment.receivers;
        std::vector<int> with_glideslope;
        std::vector<int> others;
        for (std::size_t i = 0; i < radios_.lined_up.receivers.size(); ++i) {
            if (localizer == nullptr || aboard[i].localizer) {
                const bool whole = localizer != nullptr && localizer->glideslope && aboard[i].glideslope;
                (whole ? with_glideslope : others).push_back(static_cast<int>(i) + 1);
            }
        }
        return with_glideslope.empty() ? others : with_glideslope;
    }

    std::optional<ImmediateReturn> on_adf() {
        auto& adf = radios_.lined_up.adf;
        if (!adf || (adf->aid && *adf->aid != named(station_))) {
            return std::nullopt;
        }
        adf->aid = named(station_);
        for (StepRadios& radios : radios_.at_begin) {
            if (!radios.adf || radios.adf->aid) {
                break;
            }
            radios.adf->aid = named(station_);
        }
        return ImmediateReturn{back_.approach, named(station_), {}, {SetKind::adf, 1}, false};
    }

    ImmediateReturn on(int number, bool in_standby) const {
        return {back_.approach, named(station_), course(), {SetKind::receiver, number}, in_standby};
    }
    base::Radial course() const { return whole_degrees(back_.course.value_or(base::Radial())); }

    // It stands there until something is asked of the receiver; a DME that follows it shows its distance.
    void take(int number) {
        const auto set = [&](StepRadios& radios) {
            ReceiverStands& receiver = radios.receivers[static_cast<std::size_t>(number - 1)];
            if (receiver.active) {
                return false;
            }
            receiver.active = named(station_);
            receiver.course = receiver.course ? receiver.course : course();
            auto& distance = radios.distance;
            if (distance && distance->from == DistanceFrom::receiver && distance->receiver == number &&
                station_.dme) {
                distance->of = named(station_);
            }
            return true;
        };
        set(radios_.lined_up);
        for (StepRadios& radios : radios_.at_begin) {
            if (!set(radios)) {
                break;
            }
        }
    }

    void wait_in_standby(int number) {
        const auto index = static_cast<std::size_t>(number - 1);
        const std::optional<NamedAid> active = stands(number).active;
        std::optional<NamedAid> next = stands(number).standby;
        stands(number).standby = named(station_);
        std::size_t first_without = 0;
        for (; first_without < steps_.size(); ++first_without) {
            ReceiverStands& receiver = radios_.at_begin[first_without].receivers[index];
            if (!departs(first_without) || receiver.active != active) {
                break;
            }
            receiver.standby = named(station_);
        }
        const bool still_waits = first_without < steps_.size() &&
                                 radios_.at_begin[first_without].receivers[index].active == active;
        if (next && still_waits) {
            auto& work = radios_.work[first_without];
            work.insert(work.begin(), {steps_[first_without].begin,
                                       Preselect{{SetKind::receiver, number}, *std::move(next)}});
            radios_.at_begin[first_without].receivers[index].standby = named(station_);
        }
    }

    bool departs(std::size_t step) const { return steps_[step].track->phase == Phase::departure; }

    const Circumstances& in_;
    const ReturnApproach& back_;
    const navdata::Station& station_;
    const std::vector<FlownStep>& steps_;
    StepsRadios& radios_;
};

}  // namespace

std::optional<ImmediateReturn> way_back(const Circumstances& circumstances, const Flight& flight,
                                        const std::vector<FlownStep>& steps, StepsRadios& radios) {
    if (!flight.immediate_return || radios.at_begin.size() != steps.size()) {
        return std::nullopt;
    }
    return WayBack(circumstances, flight, steps, radios).result();
}

}  // namespace omniway::flight::detail
