#include "plan/loss_wording.hpp"

#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "plan/plan.hpp"
#include "plan/step_wording.hpp"
#include "plan/wording.hpp"

namespace omniway::plan {

using flight::RadioUse;

namespace {

std::string steps_text(const StationLoss& loss, RadioUse use) {
    std::vector<int> steps;
    for (const UseOfStation& each : loss.uses) {
        if (each.use == use) {
            steps.push_back(each.step);
        }
    }
    std::string text;
    for (std::size_t i = 0; i < steps.size(); ++i) {
        text += (i == 0 ? "" : i + 1 == steps.size() ? " and " : ", ") + std::to_string(steps[i]);
    }
    return text.empty() ? text : (steps.size() == 1 ? "step " : "steps ") + text;
}

std::string way_text(const StationLoss& loss, const Failure& failure) {
    const Option& option = *failure.option;
    std::string text = route_text(*loss.without, option.flight);
    text += option.flight.approach.empty() ? std::string(", no approach") : ", " + option.flight.approach;
    text += fmt::format(", {:.0f} ft, {:.0f} NM", option.flight.cruise.feet(),
                        option.compiled.track.length.nautical_miles());
    if (option.compiled.track.time) {
        text += ", " + base::elapsed_text(*option.compiled.track.time);
    }
    if (failure.by_heading > base::Length::nautical_miles(0.05)) {
        text += fmt::format(", {:.1f} NM of it by heading", failure.by_heading.nautical_miles());
    }
    text += failure.into_reserve ? ", into the reserve" : "";
    return text;
}

}  // namespace

std::string uses_text(const StationLoss& loss) {
    std::string text;
    for (const auto& [use, verb] :
         {std::pair(RadioUse::guides, "guides "), std::pair(RadioUse::tells, "ends "),
          std::pair(RadioUse::checks, "checks ")}) {
        const std::string steps = steps_text(loss, use);
        if (!steps.empty()) {
            text += (text.empty() ? "" : ", ") + std::string(verb) + steps;
        }
    }
    return text;
}

std::string fallback_text(const navdata::Snapshot& world, const StationLoss& loss, const Failure& failure) {
    const std::string first =
        failure.by_missed_approach ? "by the missed approach to its hold, then " : std::string();
    const std::string& to = world[failure.to].ident;
    switch (failure.fallback) {
        case Fallback::as_planned:
            return first + "goes on as planned, by other aids: " + way_text(loss, failure);
        case Fallback::another_way:
            return first + "another way to " + to + ": " + way_text(loss, failure);
        case Fallback::another_approach:
            return first + "another approach at " + to + ": " + way_text(loss, failure);
        case Fallback::turn_back:
            return first + "turns back to " + to + ": " + way_text(loss, failure);
        case Fallback::divert:
            return first + "diverts to " + to + ": " + way_text(loss, failure);
        case Fallback::none:
            break;
    }
    std::string why;
    for (const std::string& each : failure.why_not) {
        why += (why.empty() ? ": " : "; ") + each;
    }
    return "stranded" + why;
}

std::string first_text(const FirstOnTheRadios& first) {
    std::string text = set_text(first.set) + " " + tuning_text(first.aid);
    if (first.course) {
        text += ", course " + three_figures(first.course->degrees());
    }
    text += first.hold ? " inbound, in a hold over it, right turns"
                       : (first.toward ? ", to it" : ", away from it");
    if (first.by_heading > base::Length()) {
        text += "; meanwhile ";
        text += first.heading ? "heading " + three_figures(first.heading->degrees())
                              : "track " + three_figures(first.track.degrees());
        text += fmt::format(" for {:.1f} NM", first.by_heading.nautical_miles());
        if (first.heading_time) {
            text += " (" + base::elapsed_text(*first.heading_time) + ")";
        }
    } else if (!first.hold) {
        text += "; it guides already";
    }
    return text;
}

}  // namespace omniway::plan
