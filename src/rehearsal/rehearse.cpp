#include "rehearsal/rehearse.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

#include "base/parallel.hpp"

namespace omniway::rehearsal {

namespace {

constexpr double nm = 1852.0;
// Flights done by one piece of work before it is counted with the others.
constexpr std::size_t together = 32;
constexpr double long_dead_s = 30.0;

double wilson(const Chance& chance, double side) {
    if (chance.of == 0) {
        return side < 0.0 ? 0.0 : 1.0;
    }
    constexpr double z = 1.959964;
    const double n = static_cast<double>(chance.of);
    const double p = static_cast<double>(chance.did) / n;
    const double middle = p + z * z / (2.0 * n);
    const double half = z * std::sqrt(p * (1.0 - p) / n + z * z / (4.0 * n * n));
    return std::clamp((middle + side * half) / (1.0 + z * z / n), 0.0, 1.0);
}

/// What is counted of some flights.
struct Counted {
    Counted(const Stage& stage, Outcome as_asked)
        : asked(as_asked),
          begins_missed(stage.steps().size()),
          steps(begins_missed + stage.missed().size()) {}

    Outcome asked;
    std::size_t begins_missed;  // among the steps
    std::size_t flights = 0;
    std::array<std::size_t, outcome_count> outcomes{};
    Spread time_min = Spread(1.0);
    Spread fuel_lb = Spread(1.0);
    std::size_t reached_end = 0;
    std::size_t at_the_runway = 0;
    std::uint64_t tenths_flown = 0;  // of a second: whole numbers add up in any order

    struct Step {
        Chance as_meant;
        Chance dead_needle;
        Chance below_minimum;
        Chance above_maximum;
        Chance unidentified;
        std::size_t given_up = 0;
        std::array<std::size_t, outcome_count> failed{};
        Spread aside_nm = Spread(0.05);
        Spread missed_by_nm = Spread(0.05);
        Spread takes_min = Spread(0.25);
        std::uint64_t sampled = 0;
        std::uint64_t inside_primary = 0;
        std::uint64_t inside_total = 0;
    };
    std::vector<Step> steps;
    std::array<std::vector<std::size_t>, outcome_count> first_of;  // flights by outcome, the first few
    // Of the flights that end as asked, by how much of its protected width the widest step took: how many, and the first of them.
    static constexpr std::size_t widths = 200;
    std::array<std::size_t, widths> wide{};
    std::array<std::size_t, widths> first_wide{};

    void add_wide(std::size_t width, std::size_t many, std::size_t flight) {
        first_wide[width] = wide[width] == 0 ? flight : std::min(first_wide[width], flight);
        wide[width] += many;
    }

    void add(std::size_t flight, const Trial& trial) {
        ++flights;
        const auto outcome = static_cast<std::size_t>(trial.outcome);
        ++outcomes[outcome];
        if (first_of[outcome].size() < 4) {
            first_of[outcome].push_back(flight);
        }
        tenths_flown += static_cast<std::uint64_t>(std::llround(trial.time_s * 10.0));
        reached_end += trial.reached_end ? 1 : 0;
        at_the_runway += trial.at_the_runway ? 1 : 0;
        if (trial.outcome == asked) {
            double share = 0.0;
            for (const StepFlown& step : trial.steps) {
                share = std::max(share, step.widest_share);
            }
            add_wide(static_cast<std::size_t>(std::min(share * 100.0, static_cast<double>(widths - 1))), 1,
                     flight);
            time_min.add(trial.time_s / 60.0);
            fuel_lb.add(trial.fuel_lb);
        }
        for (std::size_t i = 0; i < steps.size(); ++i) {
            if (trial.steps[i].begun) {
                add(steps[i], trial.steps[i]);
            }
        }
        if (trial.outcome != Outcome::arrived && trial.outcome != Outcome::missed_flown) {
            ++steps[trial.failed_step].failed[outcome];
        }
    }

    static void add(Step& step, const StepFlown& flown) {
        ++step.as_meant.of;
        step.as_meant.did += flown.ended && flown.as_meant ? 1 : 0;
        ++step.dead_needle.of;
        step.dead_needle.did += flown.dead_needle_s > long_dead_s ? 1 : 0;
        ++step.below_minimum.of;
        step.below_minimum.did += flown.altitude_bust_s > 10.0 || flown.ends_low ? 1 : 0;
        ++step.above_maximum.of;
        step.above_maximum.did += flown.ends_high ? 1 : 0;
        ++step.unidentified.of;
        step.unidentified.did += flown.unidentified_s > long_dead_s ? 1 : 0;
        step.given_up += flown.given_up ? 1 : 0;
        const auto whole = [](double seconds) { return static_cast<std::uint64_t>(std::llround(seconds)); };
        step.sampled += whole(flown.sampled_s);
        step.inside_primary += whole(flown.inside_primary_s);
        step.inside_total += whole(flown.inside_total_s);
        if (flown.ended) {
            step.missed_by_nm.add(flown.missed_by_m / nm);
            step.takes_min.add((flown.ended_s - flown.began_s) / 60.0);
        }
    }

    void add(const Counted& other) {
        flights += other.flights;
        tenths_flown += other.tenths_flown;
        reached_end += other.reached_end;
        at_the_runway += other.at_the_runway;
        time_min.add(other.time_min);
        fuel_lb.add(other.fuel_lb);
        for (std::size_t i = 0; i < outcomes.size(); ++i) {
            outcomes[i] += other.outcomes[i];
            auto& kept = first_of[i];
            kept.insert(kept.end(), other.first_of[i].begin(), other.first_of[i].end());
            std::sort(kept.begin(), kept.end());
            kept.resize(std::min<std::size_t>(kept.size(), 4));
        }
        for (std::size_t i = 0; i < widths; ++i) {
            if (other.wide[i] > 0) {
                add_wide(i, other.wide[i], other.first_wide[i]);
            }
        }
        const auto add_chance = [](Chance& sum, const Chance& more) {
            sum.of += more.of;
            sum.did += more.did;
        };
        for (std::size_t i = 0; i < steps.size(); ++i) {
            Step& sum = steps[i];
            const Step& more = other.steps[i];
            add_chance(sum.as_meant, more.as_meant);
            add_chance(sum.dead_needle, more.dead_needle);
            add_chance(sum.below_minimum, more.below_minimum);
            add_chance(sum.above_maximum, more.above_maximum);
            add_chance(sum.unidentified, more.unidentified);
            sum.given_up += more.given_up;
            for (std::size_t o = 0; o < sum.failed.size(); ++o) {
                sum.failed[o] += more.failed[o];
            }
            sum.aside_nm.add(more.aside_nm);
            sum.missed_by_nm.add(more.missed_by_nm);
            sum.takes_min.add(more.takes_min);
            sum.sampled += more.sampled;
            sum.inside_primary += more.inside_primary;
            sum.inside_total += more.inside_total;
        }
    }
};

TrialQuestion trial_of(const RehearsalQuestion& question, std::size_t flight) {
    TrialQuestion trial;
    trial.errors = question.errors;
    trial.failures = question.failures;
    trial.no_runway = question.no_runway;
    trial.skill = question.skill;
    trial.step = question.step;
    trial.seed = base::Seed{base::Random::mixed(base::Random::mixed(question.seed.value) + flight)};
    return trial;
}

std::string where_of(const flight::Step& step) {
    return fmt::format("step {}{}", step.number, step.to.empty() ? "" : " to " + step.to);
}

// What happened most, and how it shows.
std::string says_of(const flight::Step& step, Outcome outcome) {
    const std::string where = where_of(step);
    switch (outcome) {
        case Outcome::arrived:
        case Outcome::missed_flown:
        case Outcome::not_in_sight:
            break;
        case Outcome::lost:
            return where + ": its end is never seen";
        case Outcome::strayed:
            return where + ": strays beyond twice what is protected";
        case Outcome::hit_the_ground:
            return where + ": meets the ground";
        case Outcome::out_of_fuel:
            return where + ": never comes to an end";
    }
    return where;
}

// What a pilot follows on it; empty on a heading and where a hold has no aid.
std::string guide_of(const flight::Step& step) {
    return std::visit(
        [](const auto& guidance) -> std::string {
            if constexpr (requires { guidance.aid.ident; }) {
                return guidance.aid.ident;
            } else if constexpr (requires { guidance.aid->ident; }) {
                return guidance.aid ? guidance.aid->ident : "";
            } else {
                return "";
            }
        },
        step.guidance);
}

std::vector<WeakPoint> weak_points(const Stage& stage, const Counted& counted) {
    std::vector<WeakPoint> points;
    const double flights = static_cast<double>(std::max<std::size_t>(counted.flights, 1));
    if (counted.at_the_runway < counted.reached_end) {
        const flight::Step& last = stage.card().steps.back();
        points.push_back({last.number,
                          static_cast<double>(counted.reached_end - counted.at_the_runway) / flights,
                          where_of(last) + ": the runway is not where the needle leads"});
    }
    for (std::size_t i = 0; i < counted.steps.size(); ++i) {
        const Counted::Step& step = counted.steps[i];
        const flight::Step& on_card = step_at(stage.card(), i);
        for (std::size_t o = static_cast<std::size_t>(Outcome::lost); o < step.failed.size(); ++o) {
            if (step.failed[o] > 0) {
                points.push_back({on_card.number, static_cast<double>(step.failed[o]) / flights,
                                  says_of(on_card, static_cast<Outcome>(o))});
            }
        }
        const auto tell = [&](const Chance& chance, const std::string& what) {
            if (chance.did > 0 && chance.share() > 0.01) {
                points.push_back({on_card.number, static_cast<double>(chance.did) / flights,
                                  fmt::format("step {}: {}", on_card.number, what)});
            }
        };
        const std::string guide = guide_of(on_card);
        tell(step.dead_needle, fmt::format("{} is silent for more than half a minute",
                                           guide.empty() ? "what guides" : guide + ", which guides,"));
        tell(step.below_minimum, "more than 300 ft below its minimum");
        tell(step.above_maximum, "more than 300 ft above what it may be flown at");
        tell(step.unidentified,
             fmt::format("flown for more than half a minute without {} identified", guide));
        // Who gave up in the step before is still giving up in this one.
        const std::size_t before = i == 0 ? 0 : counted.steps[i - 1].given_up;
        if (step.given_up > before) {
            points.push_back({on_card.number, static_cast<double>(step.given_up - before) / flights,
                              where_of(on_card) + ": its glideslope is flagged, and the approach given up" +
                                  (stage.missed().empty() ? "" : " for the missed approach")});
        }
        Chance missed = step.as_meant;
        missed.did = missed.of - missed.did - std::min(missed.of - missed.did, step.given_up);
        for (const std::size_t failed : step.failed) {
            missed.did -= std::min(missed.did, failed);
        }
        tell(missed, "ends elsewhere than it is meant to");
    }
    std::stable_sort(points.begin(), points.end(),
                     [](const WeakPoint& a, const WeakPoint& b) { return a.share > b.share; });
    return points;
}

// The best, the median and the worst of those that end as asked, by the share of the protected width that they took.
void add_as_asked(std::vector<Example>& examples, const Counted& all) {
    const std::size_t as_asked = all.outcomes[static_cast<std::size_t>(all.asked)];
    std::size_t below = 0;
    const auto add = [&](const char* why, std::size_t width) {
        examples.push_back({why, all.first_wide[width], all.asked});
    };
    std::size_t worst = 0;
    for (std::size_t width = 0; width < Counted::widths; ++width) {
        const std::size_t here = all.wide[width];
        if (here == 0) {
            continue;
        }
        if (below == 0) {
            add("best", width);
        }
        if (below * 2 < as_asked && (below + here) * 2 >= as_asked) {
            add("median", width);
        }
        below += here;
        worst = width;
    }
    if (as_asked > 0) {
        add(all.asked == Outcome::arrived ? "worst that arrives" : "worst that flies it to its end", worst);
    }
}

}  // namespace

double Chance::share() const {
    return of == 0 ? 0.0 : static_cast<double>(did) / static_cast<double>(of);
}

double Chance::low() const {
    return wilson(*this, -1.0);
}

double Chance::high() const {
    return wilson(*this, 1.0);
}

void Spread::add(double value) {
    const double at = std::clamp(value / cell_, 0.0, static_cast<double>(cells - 1));
    ++counted_[static_cast<std::size_t>(at)];
    ++count_;
}

void Spread::add(const Spread& other) {
    for (std::size_t i = 0; i < cells; ++i) {
        counted_[i] += other.counted_[i];
    }
    count_ += other.count_;
}

std::optional<double> Spread::at(double share) const {
    if (count_ == 0) {
        return std::nullopt;
    }
    const double wanted = share * static_cast<double>(count_);
    double below = 0.0;
    for (std::size_t i = 0; i < cells; ++i) {
        const double here = counted_[i];
        if (below + here >= wanted && here > 0.0) {
            return (static_cast<double>(i) + std::max(wanted - below, 0.0) / here) * cell_;
        }
        below += here;
    }
    return static_cast<double>(cells) * cell_;
}

namespace {

StepRehearsed rehearsed_step(const Counted::Step& counted, int number) {
    StepRehearsed step;
    step.number = number;
    step.as_meant = counted.as_meant;
    step.aside_nm = counted.aside_nm;
    const auto share = [&](std::uint64_t inside) {
        return counted.sampled == 0 ? 1.0
                                    : static_cast<double>(inside) / static_cast<double>(counted.sampled);
    };
    step.inside_primary = share(counted.inside_primary);
    step.inside_total = share(counted.inside_total);
    step.missed_by_nm = counted.missed_by_nm;
    step.takes_min = counted.takes_min;
    step.dead_needle = counted.dead_needle;
    step.below_minimum = counted.below_minimum;
    step.above_maximum = counted.above_maximum;
    step.unidentified = counted.unidentified;
    step.failed = counted.failed;
    return step;
}

void take_from_the_card(Rehearsal& rehearsal, const flight::Card& card, bool with_missed) {
    rehearsal.time_on_card = card.time;
    rehearsal.fuel_on_card = card.fuel;
    if (!with_missed) {
        return;
    }
    for (const flight::Step& step : card.missed) {
        rehearsal.fuel_on_card = rehearsal.fuel_on_card + step.expected.fuel;
        if (rehearsal.time_on_card) {
            rehearsal.time_on_card = step.expected.time
                                         ? std::optional(*rehearsal.time_on_card + *step.expected.time)
                                         : std::nullopt;
        }
    }
}

}  // namespace

Outcome as_asked(const RehearsalQuestion& question) {
    return question.no_runway ? Outcome::missed_flown : Outcome::arrived;
}

Rehearsal rehearse(const Stage& stage, const RehearsalQuestion& question, const base::Progress& progress) {
    const Pilot pilot(stage.card(), question.skill);
    const Outcome asked = as_asked(question);
    Counted all(stage, asked);
    Rehearsal rehearsal;
    // A round of pieces at a time: what is told on the way and when it is enough depends on rounds, never on threads.
    constexpr std::size_t pieces_a_round = 16;
    for (std::size_t begin = 0; begin < question.flights && !progress.cancelled();) {
        const std::size_t end = std::min(begin + pieces_a_round * together, question.flights);
        const std::size_t pieces = (end - begin + together - 1) / together;
        std::vector<std::optional<Counted>> done(pieces);
        base::parallel_for(
            pieces,
            [&](std::size_t piece) {
                Counted counted(stage, asked);
                const std::size_t first = begin + piece * together;
                for (std::size_t i = first; i < std::min(first + together, end); ++i) {
                    if (progress.cancelled()) {
                        return;
                    }
                    Watch watch;
                    watch.aside = [&counted](std::size_t step, const Stage::Aside& aside) {
                        counted.steps[step].aside_nm.add(std::abs(aside.aside_m) / nm);
                    };
                    counted.add(i, fly_once(stage, pilot, trial_of(question, i), watch));
                }
                done[piece] = std::move(counted);
            },
            question.threads);
        for (const auto& counted : done) {
            if (counted) {
                all.add(*counted);
            }
        }
        begin = end;
        const Chance ended{all.flights, all.outcomes[static_cast<std::size_t>(asked)]};
        progress.at(
            fmt::format("{} flights, {:.1f} % {} ({:.1f} to {:.1f})", all.flights, ended.share() * 100.0,
                        question.no_runway ? "fly the missed approach" : "arrive", ended.low() * 100.0,
                        ended.high() * 100.0),
            static_cast<double>(end) / static_cast<double>(question.flights));
        if (question.narrow_enough && begin < question.flights &&
            (ended.high() - ended.low()) / 2.0 <= *question.narrow_enough) {
            rehearsal.narrow_enough = true;
            break;
        }
    }
    rehearsal.cut_short = progress.cancelled() && all.flights < question.flights;
    rehearsal.flights = all.flights;
    rehearsal.outcomes = all.outcomes;
    rehearsal.arrived = {all.flights, all.outcomes[0]};
    rehearsal.in_sight = {all.reached_end, question.no_runway ? 0 : all.at_the_runway};
    take_from_the_card(rehearsal, stage.card(), question.no_runway);
    rehearsal.time_min = all.time_min;
    rehearsal.fuel_lb = all.fuel_lb;
    rehearsal.seconds_flown = static_cast<double>(all.tenths_flown) / 10.0;
    for (std::size_t i = 0; i < all.steps.size(); ++i) {
        (i < all.begins_missed ? rehearsal.steps : rehearsal.missed)
            .push_back(rehearsed_step(all.steps[i], step_at(stage.card(), i).number));
    }
    if (!rehearsal.missed.empty()) {
        rehearsal.missed_flown = {rehearsal.missed.front().as_meant.of,
                                  all.outcomes[static_cast<std::size_t>(Outcome::missed_flown)]};
    }
    rehearsal.weak_points = weak_points(stage, all);
    for (std::size_t o = 1; o < all.first_of.size(); ++o) {
        if (static_cast<Outcome>(o) == asked) {
            continue;
        }
        for (const std::size_t flight : all.first_of[o]) {
            rehearsal.examples.push_back({to_text(static_cast<Outcome>(o)), flight, static_cast<Outcome>(o)});
        }
    }
    add_as_asked(rehearsal.examples, all);
    return rehearsal;
}

Trial fly_again(const Stage& stage, const RehearsalQuestion& question, std::size_t flight,
                const Watch& watch) {
    const Pilot pilot(stage.card(), question.skill);
    return fly_once(stage, pilot, trial_of(question, flight), watch);
}

}  // namespace omniway::rehearsal
