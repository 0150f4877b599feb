#include "plan/why.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "base/clock.hpp"
#include "earth/terrain.hpp"
#include "flight/climb_overhead.hpp"
#include "flight/en_route.hpp"
#include "plan/choices.hpp"

namespace omniway::plan {

using base::Finding;
using base::Grade;
using base::Length;

namespace {

// How many choices are asked for, where the request asks for fewer.
constexpr std::size_t choices_compared = 5;

struct Difference {
    base::Duration later{0.0};
    double more_work = 0.0;
    double less_margin = 0.0;

    bool any_worse() const {
        return later > equal_time || more_work > equal_work || less_margin > equal_margin;
    }
    bool any_better() const {
        return later < -equal_time || more_work < -equal_work || less_margin < -equal_margin;
    }
};

Difference between(const flight::Costs& by_hand, const flight::Costs& offered) {
    return {by_hand.time - offered.time, by_hand.work - offered.work,
            offered.margin.least() - by_hand.margin.least()};
}

bool same_leg(const flight::Leg& a, const flight::Leg& b) {
    const auto ident = [](const std::optional<procedure::PlacedFix>& fix) {
        return fix ? fix->ident : std::string();
    };
    return a.via == b.via && ident(a.from) == ident(b.from) && ident(a.to) == ident(b.to) &&
           abs(a.length - b.length) < Length::nautical_miles(0.05);
}

bool same_flight(const flight::Flight& a, const flight::Flight& b) {
    return a.legs.size() == b.legs.size() && a.cruise == b.cruise && a.landing == b.landing &&
           a.departure_runway == b.departure_runway && a.arrival_runway == b.arrival_runway &&
           std::equal(a.legs.begin(), a.legs.end(), b.legs.begin(), same_leg);
}

// The legs of the one that the other has not, those along one airway or line together.
std::vector<RunOfLegs> only_in(const flight::Flight& one, const flight::Flight& other) {
    std::vector<RunOfLegs> runs;
    bool goes_on = false;
    for (const flight::Leg& leg : one.legs) {
        // How high it is climbed overhead follows from the altitude.
        if (flight::is_climb_in_hold(leg)) {
            continue;
        }
        const bool shared = std::any_of(other.legs.begin(), other.legs.end(),
                                        [&](const flight::Leg& each) { return same_leg(leg, each); });
        const std::string to = leg.to ? leg.to->ident : std::string();
        if (!shared && goes_on && runs.back().via == leg.via && leg.via != flight::direct_via) {
            runs.back().to = to.empty() ? runs.back().to : to;
            runs.back().length += leg.length;
        } else if (!shared) {
            runs.push_back({leg.via, leg.from ? leg.from->ident : std::string(), to, leg.length,
                            leg.phase == flight::Phase::approach});
        }
        goes_on = !shared;
    }
    return runs;
}

std::string run_text(const RunOfLegs& run) {
    if (run.approach) {
        return run.via;
    }
    return run.via + (run.from.empty() ? "" : " from " + run.from) + (run.to.empty() ? "" : " to " + run.to);
}

std::string joined(const std::vector<std::string>& parts) {
    std::string text;
    for (std::size_t i = 0; i < parts.size(); ++i) {
        text += (i == 0 ? "" : i + 1 == parts.size() ? " and " : ", ") + parts[i];
    }
    return text;
}

std::string runs_text(const std::vector<RunOfLegs>& runs) {
    std::vector<std::string> parts;
    for (const RunOfLegs& run : runs) {
        parts.push_back(run_text(run));
    }
    return joined(parts);
}

std::string points(double work) {
    return fmt::format("{:.0f} point{}", work, std::lround(work) == 1 ? "" : "s");
}

std::string percent(double share) {
    return fmt::format("{:.0f} %", share * 100.0);
}

std::string step_text(const Finding& finding) {
    return finding.step ? fmt::format("step {}, ", *finding.step) : std::string();
}

class Comparison {
public:
    Comparison(const navdata::Snapshot& world, const flight::Circumstances& day, const Option& by_hand,
               const Answer& answer)
        : world_(world), day_(day), by_hand_(by_hand), answer_(answer) {}

    Why result() {
        why_.route = route_text(world_, by_hand_.flight);
        why_.costs = flight::costs_of(day_, by_hand_.flight, by_hand_.compiled);
        for (const Finding& finding : by_hand_.findings) {
            if (finding.grade == Grade::blocks) {
                why_.blocking.push_back(finding);
            }
        }
        if (answer_.option && answer_.verdict != base::Verdict::not_flyable) {
            beside(*answer_.option);
            for (const Choice& choice : answer_.others) {
                beside(choice.option);
            }
        } else {
            why_.nothing_offered = answer_.findings;
            why_.would_unblock = answer_.would_unblock;
        }
        why_.standing = !admitted()            ? Standing::not_flyable
                        : why_.offered.empty() ? Standing::better
                                               : why_.offered.front().standing;
        find_better();
        say();
        return std::move(why_);
    }

private:
    bool admitted() const { return by_hand_.verdict != base::Verdict::not_flyable; }

    void beside(const Option& offered) {
        BesideOffered made;
        made.route = route_text(world_, offered.flight);
        made.approach = offered.flight.approach;
        made.take_off = world_[offered.flight.departure_runway].ident;
        if (offered.flight.arrival_runway) {
            made.landing = world_[*offered.flight.arrival_runway].ident;
        }
        made.cruise = offered.flight.cruise;
        made.distance = offered.compiled.track.length;
        made.costs = flight::costs_of(day_, offered.flight, offered.compiled);
        const Difference difference = between(why_.costs, made.costs);
        made.later = difference.later;
        made.more_work = difference.more_work;
        made.less_margin = difference.less_margin;
        made.standing = !admitted()                                         ? Standing::not_flyable
                        : same_flight(by_hand_.flight, offered.flight)      ? Standing::the_same
                        : difference.any_worse() == difference.any_better() ? Standing::neither
                        : difference.any_worse()                            ? Standing::worse
                                                                            : Standing::better;
        made.only_by_hand = only_in(by_hand_.flight, offered.flight);
        made.only_offered = only_in(offered.flight, by_hand_.flight);
        why_.offered.push_back(std::move(made));
    }

    void find_better() {
        if (!admitted() || why_.offered.empty()) {
            return;
        }
        const auto than_all = [this](const auto& is_better) {
            return std::all_of(why_.offered.begin(), why_.offered.end(), is_better);
        };
        if (than_all([](const BesideOffered& each) { return each.later < -equal_time; })) {
            why_.better_in.emplace_back("time");
        }
        if (than_all([](const BesideOffered& each) { return each.more_work < -equal_work; })) {
            why_.better_in.emplace_back("work");
        }
        if (than_all([](const BesideOffered& each) { return each.less_margin < -equal_margin; })) {
            why_.better_in.emplace_back("margin");
        }
    }

    // In sentences.

    void say() {
        if (!admitted()) {
            say_what_blocks();
        }
        if (why_.offered.empty()) {
            say_nothing_offered();
            return;
        }
        const BesideOffered& first = why_.offered.front();
        if (first.standing == Standing::the_same) {
            why_.says.emplace_back("This is the flight that is offered.");
            return;
        }
        say_legs(first);
        say_runways(first);
        if (!leads_there()) {
            why_.says.emplace_back("It does not lead to a landing: its costs are not compared.");
            return;
        }
        say_costs(first);
        say_tightest(first);
        if (admitted()) {
            say_standing();
        }
    }

    void say_what_blocks() {
        const std::size_t told = std::min(why_.blocking.size(), blocks_told);
        for (std::size_t i = 0; i < told; ++i) {
            const Finding& finding = why_.blocking[i];
            why_.says.push_back(fmt::format(
                "{}{}{}: {}{}.", i == 0 ? "This way cannot be flown: " : "Also: ", step_text(finding),
                finding.about, finding.text,
                finding.remedy.empty() ? std::string() : " (would help: " + finding.remedy + ")"));
        }
        if (const std::size_t more = why_.blocking.size() - told; more > 0) {
            why_.says.push_back(
                fmt::format("{} more finding{} it.", more, more == 1 ? " blocks" : "s block"));
        }
    }

    void say_nothing_offered() {
        const std::string because = why_.nothing_offered.empty() ? std::string("nothing leads there")
                                                                 : why_.nothing_offered.front().about + ": " +
                                                                       why_.nothing_offered.front().text;
        if (admitted()) {
            why_.says.push_back("Nothing is offered (" + because +
                                "), and yet this way can be flown: the router missed it.");
            return;
        }
        why_.says.push_back("Nothing is offered either: " + because + ".");
        if (!why_.would_unblock.empty()) {
            why_.says.push_back("What would make a flight possible: " + joined(why_.would_unblock) + ".");
        }
    }

    void say_legs(const BesideOffered& first) {
        std::string text = "Offered is " + first.route +
                           (first.approach.empty() ? std::string() : ", " + first.approach) +
                           fmt::format(" at {:.0f} ft", first.cruise.feet());
        if (first.only_by_hand.empty() && first.only_offered.empty()) {
            text += ", the same legs";
            if (first.cruise != by_hand_.flight.cruise) {
                text += fmt::format(" where this way is flown at {:.0f} ft", by_hand_.flight.cruise.feet());
            }
        } else if (first.only_by_hand.empty()) {
            text += ", which adds " + runs_text(first.only_offered);
        } else if (first.only_offered.empty()) {
            text += ", which leaves out " + runs_text(first.only_by_hand);
        } else {
            text += ": " + runs_text(first.only_offered) + " in place of " + runs_text(first.only_by_hand);
        }
        why_.says.push_back(text + ".");
    }

    // The way by hand ends where a landing begins.
    bool leads_there() const {
        return std::none_of(why_.blocking.begin(), why_.blocking.end(), [](const Finding& finding) {
            return finding.code == "approach.not_begun" || finding.code == "arrival.too_far";
        });
    }

    void say_runways(const BesideOffered& first) {
        const flight::Flight& mine = by_hand_.flight;
        const std::string take_off = world_[mine.departure_runway].ident;
        const std::string landing = mine.arrival_runway ? world_[*mine.arrival_runway].ident : std::string();
        std::vector<std::string> parts;
        if (take_off != first.take_off) {
            parts.push_back("takes off from " + first.take_off + ", this way from " + take_off);
        }
        if (landing != first.landing && !landing.empty() && !first.landing.empty()) {
            parts.push_back("lands on " + first.landing + ", this way on " + landing);
        }
        if (!parts.empty()) {
            why_.says.push_back("The one offered " + parts.front() +
                                (parts.size() > 1 ? "; it " + parts.back() : std::string()) + ".");
        }
    }

    void say_costs(const BesideOffered& first) {
        const double later_min = base::in_minutes(first.later);
        const std::string time =
            std::abs(later_min) <= base::in_minutes(equal_time)
                ? std::string("as long as the one offered")
                : fmt::format("{:.1f} min {}", std::abs(later_min), later_min > 0.0 ? "longer" : "less");
        const std::string work =
            std::abs(first.more_work) <= equal_work
                ? std::string("the same")
                : points(std::abs(first.more_work)) + (first.more_work > 0.0 ? " more" : " fewer");
        const std::string margin =
            std::abs(first.less_margin) <= equal_margin
                ? std::string("the same")
                : percent(std::abs(first.less_margin)) + (first.less_margin > 0.0 ? " less" : " more");
        why_.says.push_back(fmt::format(
            "{} {}, {}; its work is {}, {}; where it is tightest {} of the margin is left, {}.",
            admitted() ? "It takes" : "Flown all the same it takes", base::elapsed_text(why_.costs.time),
            time, points(why_.costs.work), work, percent(why_.costs.margin.least()), margin));
    }

    void say_tightest(const BesideOffered& first) {
        const std::string& here = why_.costs.margin.tightest_at();
        const std::string& there = first.costs.margin.tightest_at();
        if (here.empty() || here == there) {
            return;
        }
        why_.says.push_back("Tightest for it: " + here +
                            (there.empty() ? std::string() : "; for the one offered: " + there) + ".");
    }

    void say_standing() {
        if (!why_.better_in.empty()) {
            why_.says.push_back("In " + joined(why_.better_in) +
                                " it is better than everything that is offered: the router missed it.");
        }
        const auto worse =
            std::find_if(why_.offered.begin(), why_.offered.end(),
                         [](const BesideOffered& each) { return each.standing == Standing::worse; });
        if (worse != why_.offered.end()) {
            why_.says.push_back(worse == why_.offered.begin()
                                    ? "In no cost is it better than the one offered."
                                    : "In no cost is it better than " + worse->route +
                                          (worse->approach.empty() ? "" : ", " + worse->approach) +
                                          ", which is offered too.");
        } else if (why_.better_in.empty()) {
            const BesideOffered& first = why_.offered.front();
            const Difference difference{first.later, first.more_work, first.less_margin};
            why_.says.emplace_back(
                difference.any_better()
                    ? "In some costs it is better than the one offered first, in others not."
                    : "In no cost is there a difference that counts.");
        }
    }

    const navdata::Snapshot& world_;
    const flight::Circumstances& day_;
    const Option& by_hand_;
    const Answer& answer_;
    Why why_;
};

}  // namespace

std::string_view to_text(Standing standing) {
    constexpr std::array<std::string_view, 5> words = {"not flyable", "the same", "worse", "better",
                                                       "neither"};
    return words[static_cast<std::size_t>(standing)];
}

Why why(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
        const HandMadeRequest& request, const Option& by_hand) {
    Request asked = request.flight;
    // These complete the way by hand; what is offered may use others, or "why not this approach?" has no answer.
    asked.departure_runway.reset();
    asked.landing_runway.reset();
    asked.approach.reset();
    asked.approach_transition.reset();
    asked.most_choices = std::max(asked.most_choices, choices_compared);
    const Answer answer = plan(world, ground, model, asked);
    const flight::Circumstances day{world,          ground,         model,      asked.today,
                                    asked.aircraft, asked.settings, asked.winds};
    return Comparison(world, day, by_hand, answer).result();
}

}  // namespace omniway::plan
