#include "debrief/alignment.hpp"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <limits>
#include <numbers>

namespace omniway::debrief {

using earth::PlanePoint;
using Shape = flight::StepLine::Shape;

namespace {

constexpr double nm = 1852.0;
constexpr double pi = std::numbers::pi;
constexpr double farthest_m = 8.0 * nm;
constexpr double other_way_m = 1.0 * nm;
constexpr double inbound_in_a_reversal_m = 0.4 * nm;
// How wide a hold is flown is no reason to take it for another step.
constexpr double of_a_hold = 0.25;
constexpr double of_a_hold_up_to_m = 6.0 * nm;
constexpr double anywhere_in_a_turning_step_m = 0.05 * nm;
// In metres times seconds.
constexpr double step_passed_over = 0.5 * nm;
constexpr double missed_approach_begun = 30.0 * nm;
constexpr double begins_with_the_first_m = 3.0 * nm;
constexpr double joint_s =
    20.0;  // a mile off where two steps meet is as bad as a mile off the line for so long
constexpr double turning_joint_s = 60.0;
constexpr double reckoned_joint_s = 5.0;
constexpr double turning_step_m = 4.0 * nm;  // how long a hold or reversal is at least
constexpr double impossible = std::numeric_limits<double>::infinity();

double metres_between(PlanePoint a, PlanePoint b) {
    return std::hypot(a.east_m - b.east_m, a.north_m - b.north_m);
}

double direction_rad(PlanePoint from, PlanePoint to) {
    return std::atan2(to.east_m - from.east_m, to.north_m - from.north_m);
}

double metres_to_segment(PlanePoint from, PlanePoint to, PlanePoint place) {
    const double east = to.east_m - from.east_m;
    const double north = to.north_m - from.north_m;
    const double squared = east * east + north * north;
    if (squared < 1.0) {
        return metres_between(from, place);
    }
    const double share = std::clamp(
        ((place.east_m - from.east_m) * east + (place.north_m - from.north_m) * north) / squared, 0.0, 1.0);
    return metres_between({from.east_m + share * east, from.north_m + share * north}, place);
}

FromPath near_line(const flight::StepLine& line, PlanePoint place) {
    FromPath there{metres_to_segment(line.start, line.finish, place), std::nullopt};
    if (metres_between(line.start, line.finish) >= 1.0) {
        there.leads_rad = direction_rad(line.start, line.finish);
    }
    return there;
}

FromPath near_arc(const StepPath& step, PlanePoint place) {
    const flight::StepLine& line = step.line;
    const double way = step.clockwise ? 1.0 : -1.0;
    const double from = direction_rad(line.centre, line.start);
    const auto swept = [&](PlanePoint to) {
        const double turned = std::fmod(way * (direction_rad(line.centre, to) - from) + 4.0 * pi, 2.0 * pi);
        return turned;
    };
    const double here = swept(place);
    const double leads = direction_rad(line.centre, place) + way * pi / 2.0;
    if (here <= swept(line.finish)) {
        return {std::abs(metres_between(line.centre, place) - line.radius_m), leads};
    }
    return {std::min(metres_between(line.start, place), metres_between(line.finish, place)), leads};
}

double cost_of(const StepPath& step, const Sample& sample) {
    const FromPath there = from_path(step, sample.place);
    double metres = std::min(there.metres, farthest_m);
    if (there.leads_rad && sample.speed_mps > 0.0) {
        metres += other_way_m * (1.0 - std::cos(sample.track_rad - *there.leads_rad));
    }
    if (step.line.shape == Shape::turning && step.circuit.empty() && sample.speed_mps > 0.0) {
        // Inbound again a reversal is over, once the line is held.
        metres += inbound_in_a_reversal_m * (1.0 - std::cos(sample.track_rad - step.outbound_rad)) / 2.0;
    }
    return metres * std::max(sample.lasts_s, 0.1);
}

double length_of(const StepPath& step) {
    return step.line.shape == Shape::turning ? turning_step_m
                                             : metres_between(step.line.start, step.line.finish);
}

/// What the rules of an order of steps ask and cost.
class Rules {
public:
    Rules(std::span<const StepPath> steps, std::span<const Sample> samples, std::size_t missed)
        : steps_(steps), samples_(samples), missed_(missed), before_(steps.size() + 1, 0.0) {
        for (std::size_t s = 0; s < steps.size(); ++s) {
            before_[s + 1] = before_[s] + length_of(steps[s]);
        }
    }
    double at(std::size_t i, std::size_t step) const { return cost_of(steps_[step], samples_[i]); }
    double begins(std::size_t step) const {
        return step > 0 && from_path(steps_[0], samples_[0].place).metres <= begins_with_the_first_m
                   ? impossible
                   : into_the_missed_approach(0, step);
    }
    /// From one step at the sample before to another at this one.
    double goes(std::size_t i, std::size_t from, std::size_t to) const {
        if (to == from) {
            return 0.0;
        }
        const double over = static_cast<double>(to - from - 1) * step_passed_over;
        if (to > from + 1 && !samples_[i].after_gap) {
            constexpr double rather_more = 1.5;
            const double moved_m = metres_between(samples_[i - 1].place, samples_[i].place);
            if (before_[to] - before_[from + 1] > rather_more * moved_m) {
                return impossible;
            }
        }
        return over + off_the_joint(samples_[i], steps_[from], steps_[to]) +
               into_the_missed_approach(from, to);
    }

private:
    // One step ends and the next begins where they meet; a hold and a reversal over their fix; or at an altitude.
    static double off_the_joint(const Sample& sample, const StepPath& from, const StepPath& to) {
        const PlanePoint place = sample.place;
        if (from.ends_at && sample.altitude) {
            constexpr double as_a_mile_ft = 300.0;
            const double miles = std::abs((*sample.altitude - *from.ends_at).feet()) / as_a_mile_ft;
            return std::min(miles * nm, farthest_m) * turning_joint_s;
        }
        if (from.line.shape == Shape::turning && from.circuit.empty()) {
            return 0.0;  // a reversal, established inbound wherever that is
        }
        const bool turning = from.line.shape == Shape::turning || to.line.shape == Shape::turning;
        const PlanePoint left = from.line.shape == Shape::turning ? from.fix : from.line.finish;
        const PlanePoint begun = to.line.shape == Shape::turning ? to.fix : to.line.start;
        constexpr double halves = 2.0;
        return (std::min(metres_between(place, left), farthest_m) +
                std::min(metres_between(place, begun), farthest_m)) /
               halves *
               (turning              ? turning_joint_s
                : from.ends_anywhere ? reckoned_joint_s
                                     : joint_s);
    }
    double into_the_missed_approach(std::size_t from, std::size_t to) const {
        return from < missed_ && to >= missed_ ? missed_approach_begun : 0.0;
    }

    std::span<const StepPath> steps_;
    std::span<const Sample> samples_;
    std::size_t missed_;
    std::vector<double> before_;
};

}  // namespace

FromPath from_path(const StepPath& step, PlanePoint place) {
    switch (step.line.shape) {
        case Shape::line:
            return near_line(step.line, place);
        case Shape::arc:
            return near_arc(step, place);
        case Shape::turning:
            break;
    }
    if (!step.circuit.empty()) {
        double least_m = metres_between(step.fix, place);
        for (std::size_t i = 0; i + 1 < step.circuit.size(); ++i) {
            least_m = std::min(least_m, metres_to_segment(step.circuit[i], step.circuit[i + 1], place));
        }
        return {std::min(least_m, of_a_hold_up_to_m) * of_a_hold +
                    std::max(least_m - of_a_hold_up_to_m, 0.0) + anywhere_in_a_turning_step_m,
                std::nullopt};
    }
    // A reversal: anywhere within its distance on the outbound side, half a mile short of the fix too.
    const double away_m = metres_between(step.fix, place);
    const double out_m = (place.east_m - step.fix.east_m) * std::sin(step.outbound_rad) +
                         (place.north_m - step.fix.north_m) * std::cos(step.outbound_rad);
    const double beyond_m = std::max({away_m - step.within_m, -out_m - 0.5 * nm, 0.0});
    return {std::min(beyond_m, away_m) + anywhere_in_a_turning_step_m, std::nullopt};
}

std::vector<std::size_t> align(std::span<const StepPath> steps, std::span<const Sample> samples,
                               std::size_t missed) {
    std::vector<std::size_t> of(samples.size());
    if (samples.empty()) {
        return of;
    }
    const std::size_t count = steps.size();
    const Rules rules(steps, samples, missed);
    std::vector<double> least(count);
    std::vector<double> next(count);
    std::vector<std::uint16_t> came_from(samples.size() * count);
    for (std::size_t s = 0; s < count; ++s) {
        least[s] = rules.begins(s) + rules.at(0, s);
    }
    for (std::size_t i = 1; i < samples.size(); ++i) {
        for (std::size_t s = 0; s < count; ++s) {
            double best = least[s];
            std::size_t from = s;
            for (std::size_t r = s; r-- > 0;) {
                const double goes = rules.goes(i, r, s);
                if (goes == impossible) {
                    break;  // farther back lies more between
                }
                if (least[r] + goes < best) {
                    best = least[r] + goes;
                    from = r;
                }
            }
            next[s] = best + rules.at(i, s);
            came_from[i * count + s] = static_cast<std::uint16_t>(from);
        }
        std::swap(least, next);
    }
    auto at = static_cast<std::size_t>(std::min_element(least.begin(), least.end()) - least.begin());
    for (std::size_t i = samples.size(); i-- > 0;) {
        of[i] = at;
        at = came_from[i * count + at];
    }
    return of;
}

double cost_of_order(std::span<const StepPath> steps, std::span<const Sample> samples, std::size_t missed,
                     std::span<const std::size_t> order) {
    const Rules rules(steps, samples, missed);
    double cost = rules.begins(order[0]) + rules.at(0, order[0]);
    for (std::size_t i = 1; i < order.size(); ++i) {
        cost += order[i] < order[i - 1] ? impossible : rules.goes(i, order[i - 1], order[i]);
        cost += rules.at(i, order[i]);
    }
    return cost;
}

}  // namespace omniway::debrief
