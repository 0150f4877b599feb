#include "flight/groundspeed_check.hpp"

#include <algorithm>
#include <cmath>
#include <span>

#include "flight/detail/paper.hpp"

namespace omniway::flight {

using base::Angle;
using base::Duration;
using base::Length;
using base::Speed;

namespace {

constexpr Length shortest = Length::nautical_miles(5);
constexpr int apart_kt = 60;
constexpr int slowest_kt = 30;
constexpr Speed half_a_knot = Speed::knots(0.5);

bool flown_straight(const Step& step) {
    return std::holds_alternative<FollowRadial>(step.guidance) ||
           std::holds_alternative<FollowBearing>(step.guidance) ||
           std::holds_alternative<FollowLocalizer>(step.guidance) ||
           std::holds_alternative<FlyHeading>(step.guidance);
}

// A leg in its forecast wind, as the card has it.
struct LegInWind {
    const StepExpected& expected;
    Angle correction;
    Speed groundspeed;

    Speed through_air_along() const { return expected.true_airspeed * base::cos(correction); }
    Speed headwind() const { return through_air_along() - groundspeed; }
    // From the right it is corrected to the right.
    Speed crosswind() const { return expected.true_airspeed * base::sin(correction); }
};

std::optional<LegInWind> leg_in_wind(const Step& step) {
    const StepExpected& expected = step.expected;
    if (!flown_straight(step) || !expected.heading || !expected.groundspeed) {
        return std::nullopt;
    }
    return LegInWind{expected, *expected.heading - expected.course, *expected.groundspeed};
}

// What a leg takes where the wind ahead along another course is stronger than forecast by so much.
std::optional<Duration> time_in(const LegInWind& leg, base::MagneticBearing other_course, Speed more_ahead) {
    const Angle from = other_course - leg.expected.course;
    const Speed headwind = leg.headwind() + more_ahead * base::cos(from);
    const Speed crosswind = leg.crosswind() + more_ahead * base::sin(from);
    const double across = crosswind / leg.expected.true_airspeed;
    if (!leg.expected.time || std::abs(across) >= 1.0) {
        return std::nullopt;
    }
    const Speed groundspeed = leg.expected.true_airspeed * std::sqrt(1.0 - across * across) - headwind;
    if (groundspeed < Speed::knots(slowest_kt)) {
        return std::nullopt;
    }
    return detail::whole_seconds(*leg.expected.time * (leg.groundspeed / groundspeed));
}

std::optional<Duration> next_time(const Step* next, base::MagneticBearing course, Speed more_ahead) {
    if (next == nullptr) {
        return std::nullopt;
    }
    const auto leg = leg_in_wind(*next);
    return leg ? time_in(*leg, course, more_ahead) : next->expected.time;
}

std::optional<GroundspeedCheck> check_of(const Step& step, const Step* next) {
    const auto leg = leg_in_wind(step);
    if (!leg || step.expected.distance < shortest) {
        return std::nullopt;
    }
    const Length distance = step.expected.distance;
    const int planned_kt = static_cast<int>(std::lround(leg->groundspeed.knots()));
    const int fastest_kt = planned_kt + apart_kt;
    GroundspeedCheck check{step.number, distance / (Speed::knots(fastest_kt) + half_a_knot),
                           detail::whole_knots(leg->headwind())};
    for (int kt = fastest_kt; kt >= std::max(slowest_kt, planned_kt - apart_kt); --kt) {
        const Speed at = Speed::knots(kt);
        check.found.push_back({distance / (at - half_a_knot), at,
                               detail::whole_knots(leg->through_air_along() - at),
                               next_time(next, leg->expected.course, leg->groundspeed - at)});
    }
    return check;
}

void add(std::vector<GroundspeedCheck>& checks, std::span<const Step> steps) {
    for (std::size_t i = 0; i < steps.size(); ++i) {
        if (auto check = check_of(steps[i], i + 1 < steps.size() ? &steps[i + 1] : nullptr)) {
            checks.push_back(std::move(*check));
        }
    }
}

}  // namespace

std::vector<GroundspeedCheck> groundspeed_checks(const Card& card) {
    std::vector<GroundspeedCheck> checks;
    add(checks, card.steps);
    add(checks, card.missed);
    return checks;
}

}  // namespace omniway::flight
