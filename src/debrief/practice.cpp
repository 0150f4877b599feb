#include "debrief/practice.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"

namespace omniway::debrief {

using base::Duration;
using base::Length;

namespace {

constexpr std::size_t most = 3;

// What is allowed. Three quarters of a needle, 100 ft and 1 NM on an arc: FAA-S-ACS-8, from memory; the rest common practice, no source.
constexpr double needle_share = 0.75;
constexpr double altitude_ft = 100.0;
constexpr double arc_nm = 1.0;
constexpr double drift_deg = 2.0;
constexpr double overshot_nm = 0.5;
constexpr double hold_inbound_s = 15.0;
constexpr double long_enough_s = 10.0;  // beyond what is allowed before it counts

const char* side_of(double value) {
    return value < 0.0 ? "left" : "right";
}

std::string where(const StepDebriefed& step) {
    return fmt::format("Step {}{}", step.number, step.to.empty() ? "" : " to " + step.to);
}

/// Gathers what is seen of each exercise.
class Gathered {
public:
    void add(const StepDebriefed& step, Exercise exercise, double times_allowed, std::string says) {
        if (!(times_allowed > 1.0)) {
            return;
        }
        const auto same = std::find_if(found_.begin(), found_.end(),
                                       [&](const Practice& one) { return one.exercise == exercise; });
        Practice& practice = same != found_.end() ? *same : found_.emplace_back();
        practice.exercise = exercise;
        if (practice.steps.empty() || practice.steps.back() != step.number) {
            practice.steps.push_back(step.number);
        }
        if (times_allowed > practice.times_allowed) {
            practice.times_allowed = times_allowed;
            practice.says = where(step) + ": " + std::move(says);
        }
    }
    std::vector<Practice> largest() && {
        // One step is chance, several are a habit: a quarter more for each beyond the first.
        const auto weight = [](const Practice& practice) {
            return std::min(practice.times_allowed, 10.0) *
                   (1.0 + 0.25 * static_cast<double>(practice.steps.size() - 1));
        };
        std::stable_sort(found_.begin(), found_.end(),
                         [&](const Practice& a, const Practice& b) { return weight(a) > weight(b); });
        found_.resize(std::min(found_.size(), most));
        return std::move(found_);
    }

private:
    std::vector<Practice> found_;
};

void look_at_line(Gathered& gathered, const StepDebriefed& step, const SideFlown& side) {
    if (side.of_full_scale && side.beyond_three_quarters.count() > long_enough_s) {
        gathered.add(
            step, Exercise::hold_the_line, 1.0 + side.beyond_three_quarters.count() / 30.0,
            fmt::format("the needle stood beyond three quarters of its scale for {}, at worst "
                        "{:.1f} NM {} of the line; correct toward it by twice what it is off, and "
                        "halve the cut as it comes back",
                        base::elapsed_text(side.beyond_three_quarters),
                        std::abs(side.aside.worst.nautical_miles()), side_of(side.aside.worst.metres())));
    }
    if (side.inside_primary < 1.0) {
        gathered.add(
            step, Exercise::hold_the_line, 1.0 + 4.0 * (1.0 - side.inside_primary),
            fmt::format("outside the protected width for {:.0f} % of the time, at worst {:.1f} NM {} "
                        "of the line; a needle at full scale says no more than that: cut 30 degrees "
                        "toward it at once",
                        (1.0 - side.inside_primary) * 100.0, std::abs(side.aside.worst.nautical_miles()),
                        side_of(side.aside.worst.metres())));
    }
    // A steady lean is wind that was not allowed for; only where it was flown long enough to be seen.
    constexpr Length long_enough = Length::nautical_miles(5.0);
    if (step.distance > long_enough && side.was_established) {
        const double off_deg = base::Angle::radians(std::atan(side.drifted / step.distance)).degrees();
        gathered.add(
            step, Exercise::allow_for_wind, off_deg / drift_deg,
            fmt::format("{:.1f} NM farther from the line in {:.1f}, {:.0f} degrees; find the heading that "
                        "stops the needle, and hold it",
                        side.drifted.nautical_miles(), step.distance.nautical_miles(), off_deg));
    }
    const double late = std::max(side.overshot.nautical_miles() / overshot_nm,
                                 side.was_established ? side.established / side.established_allowed : 0.0);
    gathered.add(
        step, Exercise::join_the_line, late,
        fmt::format(
            "{}established after {}; begin the turn as the needle starts to move, and hold a "
            "cut until it does",
            side.overshot > Length::nautical_miles(0.05)
                ? fmt::format("{:.1f} NM beyond the line on joining it, ", side.overshot.nautical_miles())
                : std::string(),
            base::elapsed_text(side.established)));
    if (side.glideslope_of_full_scale) {
        const auto& slope = *side.glideslope_of_full_scale;
        gathered.add(step, Exercise::follow_the_glideslope, slope.within_95 / needle_share,
                     fmt::format("the glideslope's needle kept within {:.0f} % of its scale, {:.0f} % {} at "
                                 "worst; change the rate of descent by 200 ft/min at most, and wait",
                                 slope.within_95 * 100.0, std::abs(slope.worst) * 100.0,
                                 slope.worst < 0.0 ? "down" : "up"));
    }
}

void look_at_arc(Gathered& gathered, const StepDebriefed& step, const SideFlown& side) {
    const double worst = side.aside.worst.nautical_miles();
    gathered.add(step, Exercise::fly_the_arc, std::abs(worst) / arc_nm,
                 fmt::format("{:.1f} NM {} the arc at worst; turn 10 degrees for each half mile that the "
                             "reading is off",
                             std::abs(worst), worst < 0.0 ? "inside" : "outside"));
}

void look_at_heights(Gathered& gathered, const StepDebriefed& step, const HeightsFlown& heights) {
    if (heights.below_minimum_for.count() > long_enough_s) {
        gathered.add(
            step, Exercise::keep_the_minimum, 2.0 + heights.below_minimum.feet() / altitude_ft,
            fmt::format("{:.0f} ft below the minimum of the step, for {}; before each descent say the "
                        "altitude that may not be left, and where it ends",
                        heights.below_minimum.feet(), base::elapsed_text(heights.below_minimum_for)));
    }
    if (heights.off_level && heights.off_by_100_ft.count() > long_enough_s) {
        const double worst = heights.off_level->worst.feet();
        gathered.add(step, Exercise::hold_the_altitude, std::abs(worst) / altitude_ft,
                     fmt::format("{:.0f} ft {} at worst, more than 100 ft off for {}; trim, and look at the "
                                 "altimeter before every turn of a knob",
                                 std::abs(worst), worst < 0.0 ? "low" : "high",
                                 base::elapsed_text(heights.off_by_100_ft)));
    }
}

void look_at_fix(Gathered& gathered, const StepDebriefed& step, const FixPassed& fix) {
    gathered.add(
        step, Exercise::tell_the_fix, fix.allowed_share,
        fmt::format("the fix was passed {:.1f} NM away; look at what tells it half a minute before, and "
                    "at its ident",
                    fix.missed_by.nautical_miles()));
    if (fix.turned_after) {
        const double late_s = fix.turned_after->count();
        gathered.add(
            step, Exercise::tell_the_fix, late_s / std::max(fix.turn_allowed.count(), 1.0),
            fmt::format("the turn was begun {:.0f} s after the fix; have the next heading and course "
                        "said before it comes",
                        late_s));
    }
}

void look_at_hold(Gathered& gathered, const StepDebriefed& step, const HoldFlown& hold) {
    if (hold.outside > Length()) {
        gathered.add(
            step, Exercise::fly_the_hold, 1.5 + hold.outside.nautical_miles(),
            fmt::format("{:.1f} NM outside its protected area; slow down before the fix, and take the "
                        "time from abeam it",
                        hold.outside.nautical_miles()));
    }
    if (hold.inbound_meant) {
        for (const Duration inbound : hold.inbound) {
            const double off_s = (inbound - *hold.inbound_meant).count();
            gathered.add(step, Exercise::fly_the_hold, std::abs(off_s) / hold_inbound_s,
                         fmt::format("inbound {} for {}; fly outbound {:.0f} s {} next time",
                                     base::elapsed_text(inbound), base::elapsed_text(*hold.inbound_meant),
                                     std::abs(off_s), off_s > 0.0 ? "less" : "more"));
        }
    }
}

void look_at_reversal(Gathered& gathered, const StepDebriefed& step, const ReversalFlown& reversal) {
    if (reversal.within > Length()) {
        gathered.add(
            step, Exercise::reverse_course, reversal.farthest / reversal.within,
            fmt::format("{:.1f} NM from the fix, and {:.1f} may not be left; in a wind from behind time "
                        "the outbound leg shorter",
                        reversal.farthest.nautical_miles(), reversal.within.nautical_miles()));
    }
}

}  // namespace

std::string to_text(Exercise exercise) {
    switch (exercise) {
        case Exercise::hold_the_line:
            return "Hold the line";
        case Exercise::allow_for_wind:
            return "Allow for the wind";
        case Exercise::join_the_line:
            return "Join the line";
        case Exercise::tell_the_fix:
            return "Tell the fix";
        case Exercise::hold_the_altitude:
            return "Hold the altitude";
        case Exercise::keep_the_minimum:
            return "Keep the minimum altitude";
        case Exercise::fly_the_arc:
            return "Fly the arc";
        case Exercise::fly_the_hold:
            return "Fly the hold";
        case Exercise::reverse_course:
            return "Reverse the course";
        case Exercise::follow_the_glideslope:
            return "Follow the glideslope";
        case Exercise::follow_the_card:
            break;
    }
    return "Follow the card";
}

std::vector<Practice> to_practise(std::span<const StepDebriefed> steps) {
    Gathered gathered;
    const auto flies = [](const StepDebriefed& step) { return step.flown; };
    const auto first = std::find_if(steps.begin(), steps.end(), flies);
    const auto last = std::find_if(steps.rbegin(), steps.rend(), flies).base();
    for (auto step = first; step < last; ++step) {
        if (!step->flown) {
            // Steps of a moment are passed between two points of the record.
            if (step->time_on_card && step->time_on_card->count() > 60.0) {
                gathered.add(*step, Exercise::follow_the_card, 5.0,
                             "it was left out; say each step aloud as it begins, with what ends it");
            }
            continue;
        }
        if (step->side) {
            if (step->side->of_an_arc) {
                look_at_arc(gathered, *step, *step->side);
            } else {
                look_at_line(gathered, *step, *step->side);
            }
        }
        if (step->heights) {
            look_at_heights(gathered, *step, *step->heights);
        }
        if (step->fix) {
            look_at_fix(gathered, *step, *step->fix);
        }
        if (step->hold) {
            look_at_hold(gathered, *step, *step->hold);
        }
        if (step->reversal) {
            look_at_reversal(gathered, *step, *step->reversal);
        }
    }
    return std::move(gathered).largest();
}

}  // namespace omniway::debrief
