#include "plan/choices.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include <fmt/format.h>

#include "earth/position.hpp"
#include "flight/climb_overhead.hpp"
#include "plan/wording.hpp"

namespace omniway::plan {

using base::Length;

namespace {

constexpr double most_shared = 0.7;
// Ways are one where they are as near as this and lead the same way: half of what is protected to a side of an airway. Common practice, no
// source.
constexpr Length one_line = Length::nautical_miles(2.0);
constexpr double same_direction = 0.866;  // the cosine of 30 degrees
constexpr Length looked_at_every = Length::nautical_miles(2.0);
constexpr Length a_place = Length::metres(100.0);
constexpr Length mean_radius = Length::metres(6371008.8);

bool before_the_approach(const flight::Leg& leg) {
    return leg.phase != flight::Phase::approach && leg.phase != flight::Phase::missed;
}

using Vector = std::array<double, 3>;

double dot(const Vector& a, const Vector& b) {
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

Vector cross(const Vector& a, const Vector& b) {
    return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

Vector unit(const Vector& a) {
    const double length = std::sqrt(dot(a, a));
    return {a[0] / length, a[1] / length, a[2] / length};
}

// A leg as a piece of a great circle; an arc by its chord, which all who fly the arc have in common.
struct Line {
    Vector start;
    Vector finish;
    Vector pole;  // of the circle, on the left of the leg
    Vector ahead_at_start;
    Vector ahead_at_finish;
    Length length;

    Vector at(double share) const {
        return unit({start[0] + (finish[0] - start[0]) * share, start[1] + (finish[1] - start[1]) * share,
                     start[2] + (finish[2] - start[2]) * share});
    }
    bool passes(const Vector& place) const {
        return std::abs(dot(place, pole)) <= one_line / mean_radius && dot(place, ahead_at_start) >= 0.0 &&
               dot(place, ahead_at_finish) <= 0.0;
    }
};

std::vector<Line> lines_of(const flight::Flight& flight) {
    std::vector<Line> lines;
    for (const flight::Leg& leg : flight.legs) {
        Line line;
        line.start = earth::unit_vector(leg.start);
        line.finish = earth::unit_vector(leg.finish);
        const Vector normal = cross(line.start, line.finish);
        // A hold ends where it began.
        if (!before_the_approach(leg) || std::sqrt(dot(normal, normal)) * mean_radius < a_place) {
            continue;
        }
        line.pole = unit(normal);
        line.ahead_at_start = cross(line.pole, line.start);
        line.ahead_at_finish = cross(line.pole, line.finish);
        line.length = leg.length;
        lines.push_back(line);
    }
    return lines;
}

// Somewhere better by what counts, and nowhere worse by it.
bool beats(const flight::Costs& a, const flight::Costs& b) {
    const base::Duration sooner = b.time - a.time;
    const double less_work = b.work - a.work;
    const double more_margin = a.margin.least() - b.margin.least();
    return sooner >= -equal_time && less_work >= -equal_work && more_margin >= -equal_margin &&
           (sooner > equal_time || less_work > equal_work || more_margin > equal_margin);
}

bool is_like(const Choice& one, const Choice& other) {
    return one.option.flight.approach == other.option.flight.approach &&
           shared_distance(one.option.flight, other.option.flight) >= most_shared;
}

void add(std::string& sentence, const std::string& part) {
    sentence += (sentence.empty() ? "" : ", ") + part;
}

// Off airways and procedures nobody has published a minimum or checked what is heard. A climb overhead leads nowhere.
Length off_airways(const flight::Flight& flight) {
    Length all;
    for (const flight::Leg& leg : flight.legs) {
        const bool counts = before_the_approach(leg) && !leg.published && !flight::is_climb_in_hold(leg);
        all += counts ? leg.length : Length();
    }
    return all;
}

void add_off_airways(std::string& sentence, const flight::Flight& before, const flight::Flight& after) {
    const double more_nm = std::round((off_airways(after) - off_airways(before)).nautical_miles());
    if (std::abs(more_nm) >= 5.0) {
        add(sentence,
            fmt::format("{:.0f} NM {} off the airways", std::abs(more_nm), more_nm > 0.0 ? "more" : "less"));
    }
}

long retunes_of(const Choice& choice) {
    long retunes = 0;
    for (const flight::Step& step : choice.option.compiled.card.steps) {
        retunes += std::count_if(step.work.begin(), step.work.end(), [](const flight::StepWork& work) {
            return std::holds_alternative<flight::Tune>(work);
        });
    }
    return retunes;
}

std::string margin_part(const flight::Costs& first, const flight::Costs& other) {
    const double before = first.margin.least();
    const double after = other.margin.least();
    if (std::abs(before - after) < 0.02) {
        return "";
    }
    const auto left = [](const flight::Margin& margin) {
        return fmt::format("{:.0f} %{}", margin.least() * 100.0,
                           margin.tightest_at().empty() ? "" : " (" + margin.tightest_at() + ")");
    };
    return "of the margin " + left(other.margin) + " left where it is tightest instead of " +
           left(first.margin);
}

}  // namespace

double shared_distance(const flight::Flight& flight, const flight::Flight& other) {
    const std::vector<Line> lines = lines_of(other);
    Length all;
    Length shared;
    for (const Line& line : lines_of(flight)) {
        const int parts = static_cast<int>(std::ceil(line.length / looked_at_every));
        const Length part = line.length / parts;
        for (int i = 0; i < parts; ++i) {
            const Vector place = line.at((i + 0.5) / parts);
            const bool flown_too = std::any_of(lines.begin(), lines.end(), [&](const Line& each) {
                return dot(each.pole, line.pole) >= same_direction && each.passes(place);
            });
            all += part;
            shared += flown_too ? part : Length();
        }
    }
    return all > Length() ? shared / all : 1.0;
}

std::vector<Choice> worth_offering(const Choice& first, std::vector<Choice> found, std::size_t most) {
    std::stable_sort(found.begin(), found.end(),
                     [](const Choice& a, const Choice& b) { return a.costs.time < b.costs.time; });
    std::vector<Choice> taken;
    for (std::size_t i = 0; i < found.size() && taken.size() < most; ++i) {
        const Choice& here = found[i];
        if (here.option.verdict == base::Verdict::not_flyable || flight::dominates(first.costs, here.costs) ||
            beats(first.costs, here.costs) || is_like(here, first)) {
            continue;
        }
        const bool beaten = std::any_of(found.begin(), found.end(), [&](const Choice& other) {
            return other.option.verdict != base::Verdict::not_flyable &&
                   flight::dominates(other.costs, here.costs);
        });
        // The one taken is the quicker of the two: it stays unless it is beaten itself.
        const bool like = std::any_of(taken.begin(), taken.end(), [&](const Choice& other) {
            return is_like(here, other) || beats(other.costs, here.costs);
        });
        if (!beaten && !like) {
            std::erase_if(taken, [&](const Choice& other) { return beats(here.costs, other.costs); });
            taken.push_back(here);
            taken.back().difference = difference_of(first, here);
        }
    }
    return taken;
}

std::string difference_of(const Choice& first, const Choice& other) {
    std::string sentence;
    const double minutes = base::in_minutes(other.costs.time - first.costs.time);
    if (std::abs(minutes) >= 0.5) {
        add(sentence, fmt::format("{:.0f} min {}", std::abs(minutes), minutes > 0.0 ? "longer" : "shorter"));
    } else {
        add(sentence, "as long");
    }
    const long retunes = retunes_of(other) - retunes_of(first);
    if (retunes != 0) {
        add(sentence, fmt::format("{} {} retune{}", std::abs(retunes), retunes > 0 ? "more" : "fewer",
                                  std::abs(retunes) == 1 ? "" : "s"));
    }
    const double work = std::round(other.costs.work - first.costs.work);
    if (work != 0.0) {
        add(sentence, fmt::format("{:.0f} point{} {} work", std::abs(work), std::abs(work) == 1.0 ? "" : "s",
                                  work > 0.0 ? "more" : "less"));
    }
    const flight::Flight& before = first.option.flight;
    const flight::Flight& after = other.option.flight;
    if (const std::string levels = levels_text(after); levels != levels_text(before)) {
        add(sentence, fmt::format("at {} instead of {}", levels, levels_text(before)));
    }
    if (const std::string approach = approach_text(other.option); approach != approach_text(first.option)) {
        add(sentence, fmt::format("{} instead of {}", approach, approach_text(first.option)));
    }
    add_off_airways(sentence, before, after);
    if (const std::string margin = margin_part(first.costs, other.costs); !margin.empty()) {
        add(sentence, margin);
    }
    if (first.option.verdict != other.option.verdict) {
        add(sentence, std::string(base::to_text(other.option.verdict)));
    }
    return sentence;
}

}  // namespace omniway::plan
