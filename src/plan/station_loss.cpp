#include "plan/station_loss.hpp"

#include <algorithm>
#include <array>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "flight/flown_step.hpp"
#include "flight/name_of_aid.hpp"

namespace omniway::plan {

using base::Duration;
using base::Length;
using flight::RadioUse;
using navdata::AirportId;
using navdata::StationId;

namespace {

// So long before a step is "just before": a minute to set the radios, and half of one to see that something is wrong.
constexpr Duration just_before{90.0};
constexpr std::size_t most_nearby = 4;
constexpr Length farthest_nearby = Length::nautical_miles(100.0);

flight::Circumstances day_of(const navdata::Snapshot& world, const radio::Ground& ground,
                             const earth::MagneticModel& model, const Request& request) {
    return {world, ground, model, request.today, request.aircraft, request.settings, request.winds};
}

std::vector<StationLoss> stations_used(const navdata::Snapshot& world, const flight::Compiled& compiled) {
    std::vector<StationLoss> all;
    const auto* schedule = std::get_if<flight::RadioSchedule>(&compiled.schedule);
    const int last = compiled.track.steps.empty() ? 0 : compiled.track.steps.back().number;
    for (std::size_t i = 0; i < compiled.radios.needs.size(); ++i) {
        const flight::RadioNeed& need = compiled.radios.needs[i];
        // A check for which no set is free does not stand on the card.
        const bool met = schedule == nullptr || std::any_of(schedule->met.begin(), schedule->met.end(),
                                                            [&](const auto& each) { return each.need == i; });
        if (need.use == RadioUse::checks && !met) {
            continue;
        }
        auto found = std::find_if(all.begin(), all.end(),
                                  [&](const StationLoss& each) { return each.station == need.station; });
        if (found == all.end()) {
            StationLoss loss;
            loss.station = need.station;
            loss.aid = flight::named(world[need.station]);
            found = all.insert(all.end(), std::move(loss));
        }
        const UseOfStation use{need.use, need.step, need.step > last};
        if (std::find(found->uses.begin(), found->uses.end(), use) == found->uses.end()) {
            found->uses.push_back(use);
        }
    }
    return all;
}

class Losses {
public:
    Losses(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
           const Request& request, const Option& option, const std::vector<AirportId>& nearby)
        : world_(world),
          ground_(ground),
          model_(model),
          request_(request),
          option_(option),
          nearby_(nearby),
          steps_(flight::flown_steps(day_of(world, ground, model, request), option.flight,
                                     option.compiled.track)) {}

    void look_at(StationLoss& loss) {
        const std::array<StationId, 1> failed{loss.station};
        loss.without = std::make_shared<const navdata::Snapshot>(world_.without(failed));
        roads_.emplace(*loss.without);
        request_there_ = request_;
        request_there_.constraints = in_world(world_, request_.constraints, *loss.without);
        before_take_off(loss);
        std::size_t i = 0;
        while (i < steps_.size()) {
            std::size_t end = i;
            while (end < steps_.size() && needs(loss, end) && steps_[end].missed == steps_[i].missed) {
                ++end;
            }
            if (end > i) {
                run(loss, i, end);
            }
            i = std::max(end, i + 1);
        }
    }

private:
    bool used(const StationLoss& loss, std::size_t index, bool only_guides) const {
        return std::any_of(loss.uses.begin(), loss.uses.end(), [&](const UseOfStation& use) {
            return use.step == steps_[index].track->number &&
                   (use.use == RadioUse::guides || (use.use == RadioUse::tells && !only_guides));
        });
    }
    bool needs(const StationLoss& loss, std::size_t index) const { return used(loss, index, false); }

    void before_take_off(StationLoss& loss) {
        Request again = request_there_;
        again.cruise.reset();
        again.approach.reset();
        again.departure.reset();
        again.arrival.reset();
        again.most_choices = 1;
        again.choice = 1;
        again.most_lifts = 0;
        again.compare_approaches = false;
        again.ask_what_would_do = false;
        const Answer answer = plan(*loss.without, ground_, model_, again, *roads_);
        loss.flyable_from_the_ground = answer.verdict != base::Verdict::not_flyable;
        if (loss.flyable_from_the_ground) {
            loss.route_from_the_ground = route_text(*loss.without, answer.option->flight);
        }
    }

    // Steps from `first` up to `end`, all of which need it.
    void run(StationLoss& loss, std::size_t first, std::size_t end) {
        if (steps_[first].missed) {
            going_around(loss, first);
            return;
        }
        if (first > 0) {
            just_before_step(loss, first);
        }
        std::optional<std::size_t> longest;
        for (std::size_t i = first; i < end; ++i) {
            if (used(loss, i, true) && (!longest || steps_[i].takes() > steps_[*longest].takes())) {
                longest = i;
            }
        }
        if (longest && !steps_[*longest].track->along_runway) {
            const flight::FlownStep& step = steps_[*longest];
            Failure failure;
            failure.when = fmt::format("half way along step {}", step.track->number);
            failure.step = step.track->number;
            look(loss, failure, step.begins_along + step.track->length * 0.5);
        }
    }

    void just_before_step(StationLoss& loss, std::size_t first) {
        const flight::FlownStep& before = steps_[first - 1];
        Failure failure;
        failure.step = steps_[first].track->number;
        failure.when = fmt::format("just before step {}", failure.step);
        const bool from_the_runway = before.track->along_runway;
        const double share = from_the_runway || before.takes() <= Duration(0.0)
                                 ? 1.0
                                 : std::max(0.0, 1.0 - just_before / before.takes());
        look(loss, failure, before.begins_along + before.track->length * share);
    }

    void look(StationLoss& loss, Failure failure, Length along) {
        failure.at = present_at(request_, option_, along);
        const auto day = day_of(*loss.without, ground_, model_, request_);
        failure.at.ahead = rest_of_way(day, world_, option_.flight, along);
        seek(loss, failure);
        if (failure.fallback == Fallback::none && in_approach(along)) {
            by_missed_approach(loss, failure, along);
        }
        loss.failures.push_back(std::move(failure));
    }

    bool in_approach(Length along) const {
        Length begin;
        for (const flight::Leg& leg : option_.flight.legs) {
            begin += leg.length;
            if (along < begin) {
                return leg.phase == flight::Phase::approach;
            }
        }
        return true;
    }

    std::optional<std::size_t> first_missed() const {
        const auto found =
            std::find_if(steps_.begin(), steps_.end(), [](const auto& step) { return step.missed; });
        return found == steps_.end() ? std::nullopt
                                     : std::optional(static_cast<std::size_t>(found - steps_.begin()));
    }

    // Where the last step of the missed approach ends: its hold.
    void by_missed_approach(StationLoss& loss, Failure& failure, Length along) {
        const auto missed = first_missed();
        if (!missed) {
            return;
        }
        for (std::size_t i = *missed; i < steps_.size(); ++i) {
            if (needs(loss, i)) {
                failure.why_not.push_back("the missed approach needs " + loss.aid.ident + " too");
                return;
            }
        }
        const Length to_go = option_.flight.length() - along;
        const base::Speed speed = steps_[*missed - 1].track->groundspeed.value_or(base::Speed::knots(60.0));
        const Length allowed = flight::dead_reckoning_limit(request_.settings, speed);
        if (to_go > allowed) {
            failure.why_not.push_back(
                fmt::format("the missed approach point is {:.1f} NM on by heading alone, {:.1f} NM allowed",
                            to_go.nautical_miles(), allowed.nautical_miles()));
            return;
        }
        Failure again = failure;
        again.at = after_step(steps_.size() - 1);
        again.by_missed_approach = true;
        seek(loss, again);
        if (again.fallback != Fallback::none) {
            failure = std::move(again);
        }
    }

    // Going around the station is needed: the climb goes on by own navigation from where it would have been.
    void going_around(StationLoss& loss, std::size_t first) {
        Failure failure;
        failure.step = steps_[first].track->number;
        failure.when = fmt::format("going around, just before step {}", failure.step);
        failure.at = after_step(first - 1);
        failure.at.climbing_out = true;
        seek(loss, failure);
        loss.failures.push_back(std::move(failure));
    }

    InFlight after_step(std::size_t index) const {
        const flight::FlownStep& step = steps_[index];
        InFlight now = present_at(request_, option_, option_.flight.length());
        for (std::size_t i = 0; i <= index; ++i) {
            if (steps_[i].missed) {
                now.fuel -= steps_[i].track->fuel;
            }
        }
        now.at.place = step.track->finish;
        now.at.altitude = step.at_end;
        now.at.name = step.track->to.empty() ? "missed approach" : step.track->to;
        now.climbing_out = false;
        now.level.reset();
        return now;
    }

    // To the destination, back, or to the nearest there is.
    void seek(StationLoss& loss, Failure& failure) {
        failure.to = request_.to;
        if (try_to(loss, failure, request_.to)) {
            failure.fallback = kind_of(failure);
            return;
        }
        if (try_to(loss, failure, request_.from)) {
            failure.fallback = Fallback::turn_back;
            return;
        }
        for (const AirportId airport : nearest(failure.at.at.place)) {
            if (try_to(loss, failure, airport)) {
                failure.fallback = Fallback::divert;
                return;
            }
        }
        failure.to = request_.to;
    }

    bool try_to(const StationLoss& loss, Failure& failure, AirportId airport) {
        Answer answer =
            plan_in_flight(*loss.without, ground_, model_, request_there_, failure.at, airport, *roads_);
        if (answer.verdict == base::Verdict::not_flyable || !answer.option) {
            failure.why_not.push_back(world_[airport].ident + ": " + why_no_flight(answer));
            return false;
        }
        failure.to = airport;
        failure.by_heading = by_heading(answer.option->flight);
        failure.into_reserve = failure.at.fuel - answer.option->compiled.track.fuel <
                               aircraft::reserve_fuel(request_.aircraft, answer.option->flight.cruise);
        failure.option = std::move(answer.option);
        return true;
    }

    std::vector<AirportId> nearest(earth::Position place) const {
        std::vector<std::pair<double, AirportId>> all;
        for (const AirportId airport : nearby_) {
            const Length away = earth::distance(place, world_[airport].position);
            if (airport != request_.from && airport != request_.to && away <= farthest_nearby) {
                all.emplace_back(away.metres(), airport);
            }
        }
        std::sort(all.begin(), all.end());
        std::vector<AirportId> found;
        for (std::size_t i = 0; i < std::min(all.size(), most_nearby); ++i) {
            found.push_back(all[i].second);
        }
        return found;
    }

    static std::vector<std::string> points_of(const flight::Flight& flight) {
        std::vector<std::string> points;
        for (const flight::Leg& leg : flight.legs) {
            if (leg.to && (points.empty() || points.back() != leg.to->ident)) {
                points.push_back(leg.to->ident);
            }
        }
        return points;
    }

    // The same where the points left are the last of those planned, and so is the approach.
    Fallback kind_of(const Failure& failure) const {
        const flight::Flight& found = failure.option->flight;
        if (found.approach != option_.flight.approach) {
            return Fallback::another_approach;
        }
        const auto planned = points_of(option_.flight);
        const auto left = points_of(found);
        const bool same =
            left.size() <= planned.size() && std::equal(left.rbegin(), left.rend(), planned.rbegin());
        return same ? Fallback::as_planned : Fallback::another_way;
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const Request& request_;
    const Option& option_;
    const std::vector<AirportId>& nearby_;
    std::vector<flight::FlownStep> steps_;
    Request request_there_;                // in the world without the station that is looked at
    std::optional<routing::Roads> roads_;  // of that world
};

}  // namespace

bool StationLoss::only_checks() const {
    return std::all_of(uses.begin(), uses.end(),
                       [](const UseOfStation& use) { return use.use == RadioUse::checks; });
}

bool StationLoss::strands() const {
    return std::any_of(failures.begin(), failures.end(),
                       [](const Failure& failure) { return failure.fallback == Fallback::none; });
}

std::vector<const StationLoss*> LossReport::stranding() const {
    std::vector<const StationLoss*> all;
    for (const StationLoss& loss : stations) {
        if (loss.strands()) {
            all.push_back(&loss);
        }
    }
    return all;
}

LossReport station_losses(const navdata::Snapshot& world, const radio::Ground& ground,
                          const earth::MagneticModel& model, const Request& request, const Option& option,
                          const std::vector<AirportId>& nearby, const base::Progress& progress) {
    LossReport report;
    Losses losses(world, ground, model, request, option, nearby);
    std::vector<StationLoss> used = stations_used(world, option.compiled);
    for (std::size_t i = 0; i < used.size(); ++i) {
        if (progress.cancelled()) {
            report.cancelled = true;
            break;
        }
        progress.at("looking at what is left without " + used[i].aid.ident,
                    static_cast<double>(i) / static_cast<double>(used.size()));
        if (!used[i].only_checks()) {
            losses.look_at(used[i]);
        }
        report.stations.push_back(std::move(used[i]));
    }
    return report;
}

}  // namespace omniway::plan
