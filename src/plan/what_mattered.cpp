#include "plan/what_mattered.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <string_view>
#include <utility>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "flight/costs.hpp"

namespace omniway::plan {

using base::Finding;
using base::Length;

namespace {

// Less than this is no gain to a pilot. Common practice, no source.
constexpr base::Duration least_gain = base::minutes(0.25);
constexpr double least_relief = 0.5;

// One change, and which refusals it is for.
struct Lift {
    std::string text;
    std::function<bool(const Finding&)> is_for;
    std::function<void(Request&)> apply = [](Request&) {};
    std::string airway = {};  // flown without its restrictions
};

bool is_one_of(const Finding& finding, std::initializer_list<std::string_view> endings) {
    return std::any_of(endings.begin(), endings.end(),
                       [&](std::string_view ending) { return finding.code.ends_with(ending); });
}

std::string designator_of(const Finding& finding) {
    return finding.about.substr(0, finding.about.find(' '));
}

bool is_of_airway(const Finding& finding) {
    return is_one_of(finding, {"airway.wrong_direction", "airway.above_maximum", "airway.area_navigation"});
}

// The least that a way over an airway could be: over the segment of it that leads aside least.
Length least_over(const navdata::Snapshot& world, const Request& request, std::string_view designator) {
    const earth::Position from = world[request.from].position;
    const earth::Position to = world[request.to].position;
    Length least = Length::nautical_miles(1e6);
    for (const navdata::Airway& airway : world.airways()) {
        if (airway.designator != designator) {
            continue;
        }
        for (const navdata::AirwaySegment& segment : airway.segments) {
            const earth::Position a = world.position(segment.from);
            const earth::Position b = world.position(segment.to);
            least = std::min({least, earth::distance(from, a) + segment.distance + earth::distance(b, to),
                              earth::distance(from, b) + segment.distance + earth::distance(a, to)});
        }
    }
    return least;
}

void add_altitude(const Request& request, std::vector<Lift>& lifts) {
    if (request.cruise || request.constraints.highest) {
        lifts.push_back(
            {"another cruising altitude",
             [](const Finding& f) {
                 return is_one_of(f, {".below_minimum", ".above_maximum", ".outside_band", ".above_cruise"});
             },
             [](Request& r) {
                 r.cruise.reset();
                 r.constraints.highest.reset();
             }});
    }
}

void add_allowances(std::vector<Lift>& lifts) {
    lifts.push_back({"a dead-reckoning allowance of 25 NM and 15 min",
                     [](const Finding& f) {
                         return is_one_of(f, {".no_signal", ".aid_too_near"}) &&
                                f.remedy.find("dead-reckoning") != std::string::npos;
                     },
                     [](Request& r) {
                         flight::Settings& s = r.settings;
                         s.dead_reckoning_distance =
                             std::max(s.dead_reckoning_distance, Length::nautical_miles(25.0));
                         s.dead_reckoning_time = std::max(s.dead_reckoning_time, base::minutes(15.0));
                     }});
    lifts.push_back({"runways of any length in any wind",
                     [](const Finding& f) { return f.code.find("runway") != std::string::npos; },
                     [](Request& r) {
                         r.aircraft.runway_need = {Length(), Length()};
                         r.aircraft.wind_limits = {base::Speed::knots(200.0), base::Speed::knots(200.0)};
                     }});
}

void add_equipment(const Request& request, std::vector<Lift>& lifts) {
    const cockpit::Equipment& aboard = request.aircraft.equipment;
    const auto add = [&](std::string text, std::function<void(cockpit::Equipment&)> apply) {
        lifts.push_back({std::move(text),
                         [](const Finding& f) {
                             return is_one_of(f, {".lacks_receiver", ".fix_not_told", ".no_glideslope",
                                                  ".step_down_not_told", ".not_told"});
                         },
                         [apply = std::move(apply)](Request& r) { apply(r.aircraft.equipment); }});
    };
    if (!aboard.dme) {
        add("a DME", [](cockpit::Equipment& e) { e.dme = cockpit::DmeControl::own_control; });
    }
    if (!aboard.receivers.empty() && !aboard.has_localizer()) {
        add("a localizer receiver", [](cockpit::Equipment& e) { e.receivers.front().localizer = true; });
    }
    if (!aboard.receivers.empty() && !aboard.has_glideslope()) {
        add("a glideslope receiver", [](cockpit::Equipment& e) {
            e.receivers.front().localizer = e.receivers.front().glideslope = true;
        });
    }
    if (aboard.receivers.size() < 2) {
        add(aboard.receivers.empty() ? "a navigation receiver" : "a second navigation receiver",
            [](cockpit::Equipment& e) {
                e.receivers.push_back({cockpit::CourseIndicator::cdi, true, false});
            });
    }
    if (!aboard.adf) {
        add("an ADF", [](cockpit::Equipment& e) { e.adf = cockpit::AdfIndicator::fixed_card; });
    }
}

void add_airways(const navdata::Snapshot& world, const Request& request, const Answer& answer,
                 std::vector<Lift>& lifts) {
    std::vector<std::pair<Length, std::string>> airways;
    for (const Finding& finding : answer.refused) {
        const std::string designator = designator_of(finding);
        const bool known = std::any_of(airways.begin(), airways.end(),
                                       [&](const auto& each) { return each.second == designator; });
        if (is_of_airway(finding) && !known) {
            airways.emplace_back(least_over(world, request, designator), designator);
        }
    }
    std::sort(airways.begin(), airways.end());
    for (const auto& [over, designator] : airways) {
        lifts.push_back({designator + " both ways, without a maximum, as a conventional airway",
                         [designator = designator](const Finding& f) {
                             return is_of_airway(f) && designator_of(f) == designator;
                         },
                         [](Request&) {}, designator});
    }
}

bool is_refused(const Answer& answer, const Finding& finding) {
    return std::any_of(answer.refused.begin(), answer.refused.end(), [&](const Finding& each) {
        return each.code == finding.code && each.about == finding.about;
    });
}

// Whether a flight is the same to the one who flies it.
bool is_another(const flight::Flight& a, const std::string& route_a, const flight::Flight& b,
                const std::string& route_b) {
    return route_a != route_b || a.approach != b.approach || a.landing != b.landing || a.cruise != b.cruise ||
           a.departure_runway != b.departure_runway || a.arrival_runway != b.arrival_runway;
}

// "4.0 min sooner, 3.0 points less work": what would print as nothing is left out.
std::string gains(const Mattered& made) {
    std::string text;
    const auto say = [&](double more, const char* unit, const char* less_word, const char* more_word) {
        if (std::abs(more) >= 0.05) {
            text += fmt::format("{}{:.1f} {} {}", text.empty() ? "" : ", ", std::abs(more), unit,
                                more > 0.0 ? more_word : less_word);
        }
    };
    say(-base::in_minutes(made.sooner), "min", "sooner", "later");
    say(-made.less_work, "points", "less work", "more work");
    say(made.more_margin * 100.0, "%", "less margin", "more margin");
    return text;
}

class Lifting {
public:
    Lifting(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request, const PlanOnce& plan_once, Answer& answer)
        : world_(world),
          ground_(ground),
          model_(model),
          request_(request),
          plan_once_(plan_once),
          answer_(answer) {
        if (flies(answer)) {
            costs_ = costs(world, request, *answer.option);
            route_ = route_text(world, answer.option->flight);
        }
    }

    void run() {
        std::vector<Lift> lifts;
        add_altitude(request_, lifts);
        add_equipment(request_, lifts);
        add_allowances(lifts);
        add_airways(world_, request_, answer_, lifts);
        for (const Lift& lift : lifts) {
            const bool any = std::any_of(answer_.refused.begin(), answer_.refused.end(), lift.is_for);
            if (!any) {
                continue;
            }
            if (answer_.lifts_tried == request_.most_lifts) {
                ++answer_.lifts_not_tried;
                continue;
            }
            ++answer_.lifts_tried;
            attempt(lift);
        }
        std::stable_sort(answer_.mattered.begin(), answer_.mattered.end(),
                         [](const Mattered& a, const Mattered& b) { return a.sooner > b.sooner; });
        mattered_first();
    }

private:
    static bool flies(const Answer& answer) {
        return answer.option && answer.verdict != base::Verdict::not_flyable;
    }

    flight::Costs costs(const navdata::Snapshot& world, const Request& request, const Option& option) const {
        const flight::Circumstances day{
            world, ground_, model_, request.today, request.aircraft, request.settings, request.winds};
        return flight::costs_of(day, option.flight, option.compiled);
    }

    void attempt(const Lift& lift) {
        Request changed = request_;
        lift.apply(changed);
        if (lift.airway.empty()) {
            take(lift, world_, changed);
        } else {
            const navdata::Snapshot other = world_.unrestricted(lift.airway);
            take(lift, other, changed);
        }
    }

    void take(const Lift& lift, const navdata::Snapshot& world, const Request& changed) {
        const Answer found = plan_once_(world, changed);
        if (!flies(found)) {
            return;
        }
        const std::string route = route_text(world, found.option->flight);
        Mattered made;
        made.lifted = lift.text;
        made.flyable_before = costs_.has_value();
        if (costs_ && !is_another(answer_.option->flight, route_, found.option->flight, route)) {
            return;
        }
        for (const Finding& finding : answer_.refused) {
            if (lift.is_for(finding) && !is_refused(found, finding)) {
                made.refused.push_back(finding);
            }
        }
        if (made.refused.empty()) {
            return;
        }
        made.with_it =
            route + (found.option->flight.approach.empty() ? "" : ", " + found.option->flight.approach);
        if (costs_) {
            const flight::Costs with_it = costs(world, changed, *found.option);
            made.sooner = costs_->time - with_it.time;
            made.less_work = costs_->work - with_it.work;
            made.more_margin = with_it.margin.least() - costs_->margin.least();
            // Another flight that is no gain: what was refused is not missed.
            if (made.sooner < least_gain && made.less_work < least_relief) {
                return;
            }
            made.with_it += ": " + gains(made);
        } else {
            made.with_it += ": without it there is no flight";
        }
        answer_.mattered.push_back(std::move(made));
    }

    void mattered_first() {
        std::stable_partition(answer_.refused.begin(), answer_.refused.end(), [this](const Finding& finding) {
            return std::any_of(answer_.mattered.begin(), answer_.mattered.end(), [&](const Mattered& each) {
                return std::find(each.refused.begin(), each.refused.end(), finding) != each.refused.end();
            });
        });
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const Request& request_;
    const PlanOnce& plan_once_;
    Answer& answer_;
    std::optional<flight::Costs> costs_;
    std::string route_;
};

}  // namespace

void what_mattered(const navdata::Snapshot& world, const radio::Ground& ground,
                   const earth::MagneticModel& model, const Request& request, const PlanOnce& plan_once,
                   Answer& answer) {
    Lifting(world, ground, model, request, plan_once, answer).run();
}

}  // namespace omniway::plan
