#include "flight/detail/heights.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "flight/detail/guidance_on_paper.hpp"
#include "flight/detail/paper.hpp"
#include "procedure/vertical.hpp"

namespace omniway::flight::detail {

using base::Altitude;
using base::Length;

namespace {

constexpr Length level_within = Length::feet(50.0);

Vertical vertical_of(const FlightTrack& track, const FlownStep& step) {
    if (on_glideslope(track, *step.track)) {
        return Vertical::on_glideslope;
    }
    const Length change = step.at_end - step.at_start;
    return change > level_within    ? Vertical::climb
           : change < -level_within ? Vertical::descend
                                    : Vertical::level;
}

std::string feet_text(Length length) {
    return thousands(Altitude::above_datum(length));
}

std::string origin_of(const LegMinimum& minimum) {
    switch (minimum.from) {
        case MinimumFrom::published_airway:
            return "MEA";
        case MinimumFrom::published_unknown:
            return "not published";
        case MinimumFrom::published_grid:
            return "grid MORA";
        case MinimumFrom::ground:
            return minimum.ground ? fmt::format("ground {} ft + {} + {}", thousands(minimum.ground->ground),
                                                feet_text(minimum.ground->allowance),
                                                feet_text(minimum.ground->clearance))
                                  : "ground";
        case MinimumFrom::given_by_user:
            return "yours";
        case MinimumFrom::coded_procedure:
            return "procedure";
        case MinimumFrom::not_known:
            return "not known";
    }
    return {};
}

// A climb away from the field has no minimum yet, and a final segment has the chart's, which ends the step.
bool asks_for_minimum(const FlownStep& step) {
    const LegMinimum& minimum = step.track->minimum;
    return minimum.altitude ||
           (step.track->phase != Phase::departure && minimum.from != MinimumFrom::coded_procedure);
}

// The altitude coded with a missed approach point on the runway is what a path aims at and no minimum.
std::optional<procedure::AltitudeWindow> window(const FlownStep& step) {
    const navdata::Leg* coded = step.leg->coded;
    if (coded == nullptr || coded->is_missed_approach_point()) {
        return std::nullopt;
    }
    return procedure::window_of(*coded);
}

std::optional<Altitude> feet(std::optional<Altitude> altitude) {
    return altitude ? std::optional(whole_feet(*altitude)) : std::nullopt;
}

std::optional<base::VerticalSpeed> rate_of(const Circumstances& in, const FlightTrack& track,
                                           const FlownStep& step, Vertical vertical) {
    const aircraft::Performance& performance = in.aircraft.performance;
    if (vertical == Vertical::level) {
        return std::nullopt;
    }
    if (vertical == Vertical::climb) {
        const Altitude middle = step.at_start + (step.at_end - step.at_start) * 0.5;
        return tens_of_feet_per_minute(aircraft::climb_rate(performance, middle));
    }
    const int number = step.track->number;
    if (track.final_approach && number >= track.final_approach->first_step &&
        number <= track.final_approach->last_step && track.final_approach->descent_rate) {
        return tens_of_feet_per_minute(*track.final_approach->descent_rate);
    }
    // An approach goes down evenly from one coded altitude to the next, any other descent as late as it can.
    if (step.track->phase == Phase::approach && step.takes().count() > 1.0) {
        return tens_of_feet_per_minute(base::VerticalSpeed::metres_per_second(
            (step.at_start - step.at_end).metres() / step.takes().count()));
    }
    return tens_of_feet_per_minute(performance.descent.rate);
}

}  // namespace

std::string thousands(Altitude altitude) {
    const long whole = std::lround(altitude.feet());
    if (whole < 1000) {
        return fmt::format("{}", whole);
    }
    return fmt::format("{},{:03}", whole / 1000, whole % 1000);
}

StepHeights heights_of(const Circumstances& in, const FlightTrack& track, const FlownStep& step) {
    StepHeights heights;
    heights.vertical = vertical_of(track, step);
    heights.at_end = whole_feet(step.at_end);
    const auto& lowest = step.track->lowest;
    if (lowest && *lowest < std::min(step.at_start, step.at_end) - level_within) {
        heights.between = whole_feet(*lowest);
    }
    if (step.track->level_at_end) {
        heights.level_at = step.track->to;
    }
    if (const auto coded = window(step)) {
        heights.at_or_above = feet(coded->at_or_above);
        heights.at_or_below = feet(coded->at_or_below);
    }
    heights.minimum = feet(step.track->minimum.altitude);
    if (asks_for_minimum(step)) {
        heights.minimum_from = origin_of(step.track->minimum);
    }
    heights.rate = rate_of(in, track, step, heights.vertical);
    return heights;
}

}  // namespace omniway::flight::detail
