#include "plan/what_would_do.hpp"

#include <algorithm>
#include <cmath>
#include <optional>
#include <utility>

#include <fmt/format.h>

#include "earth/geodesic.hpp"

namespace omniway::plan {

using base::Length;

namespace {

constexpr Length longest_reckoned = Length::nautical_miles(25.0);
constexpr base::Duration longest_reckoned_time = base::minutes(15.0);
constexpr double reckoned_step_nm = 0.5;
constexpr double reckoned_step_min = 0.5;
constexpr std::size_t most_stations = 6;

enum class Kind { altitude, asked, dead_reckoning, station, equipment };

// One thing that could be changed; `apply` is false where it is so already.
struct Change {
    Kind kind = Kind::asked;
    std::string text;
    std::function<bool(Request&)> apply;
    std::string station = {};
};

template <class Thing>
Change left_away(std::string text, Thing Request::*member) {
    return {Kind::asked, std::move(text), [member](Request& r) {
                r.*member = Thing();
                return true;
            }};
}

template <class Thing>
Change not_avoided(std::string text, std::vector<Thing> routing::Constraints::*list, std::size_t at) {
    return {Kind::asked, std::move(text), [list, at](Request& r) {
                auto& all = r.constraints.*list;
                all.erase(all.begin() + static_cast<std::ptrdiff_t>(at));
                return true;
            }};
}

void add_altitude(const Request& request, std::vector<Change>& changes) {
    if (request.cruise || request.constraints.highest) {
        changes.push_back({Kind::altitude, "another cruising altitude", [](Request& r) {
                               r.cruise.reset();
                               r.constraints.highest.reset();
                               return true;
                           }});
    }
}

void add_asked(const navdata::Snapshot& world, const Request& request, std::vector<Change>& changes) {
    const auto without = [](const std::string& what) { return what + " not asked for"; };
    if (request.approach) {
        changes.push_back(left_away(without("approach " + *request.approach), &Request::approach));
    }
    if (request.landing_runway) {
        changes.push_back(left_away(without("landing on " + world[*request.landing_runway].ident),
                                    &Request::landing_runway));
    }
    if (request.departure_runway) {
        changes.push_back(left_away(without("take-off from " + world[*request.departure_runway].ident),
                                    &Request::departure_runway));
    }
    if (request.departure) {
        changes.push_back(left_away(without("departure " + *request.departure), &Request::departure));
    }
    if (request.arrival) {
        changes.push_back(left_away(without("arrival " + *request.arrival), &Request::arrival));
    }
    const routing::Constraints& asked = request.constraints;
    for (std::size_t i = 0; i < asked.avoid_areas.size(); ++i) {
        changes.push_back(not_avoided("the area " + asked.avoid_areas[i].name + " not avoided",
                                      &routing::Constraints::avoid_areas, i));
    }
    for (std::size_t i = 0; i < asked.avoid_airways.size(); ++i) {
        changes.push_back(
            not_avoided(asked.avoid_airways[i] + " not avoided", &routing::Constraints::avoid_airways, i));
    }
    for (std::size_t i = 0; i < asked.avoid.size(); ++i) {
        changes.push_back(
            not_avoided(world.ident(asked.avoid[i]) + " not avoided", &routing::Constraints::avoid, i));
    }
    for (std::size_t i = 0; i < asked.via.size(); ++i) {
        changes.push_back(
            not_avoided(without("the way over " + world.ident(asked.via[i])), &routing::Constraints::via, i));
    }
    if (asked.no_beacon) {
        changes.push_back({Kind::asked, "NDBs allowed", [](Request& r) {
                               r.constraints.no_beacon = false;
                               return true;
                           }});
    }
    if (asked.no_dead_reckoning) {
        changes.push_back({Kind::asked, "dead reckoning allowed", [](Request& r) {
                               r.constraints.no_dead_reckoning = false;
                               return true;
                           }});
    }
}

void add_dead_reckoning(const Request& request, std::vector<Change>& changes) {
    const flight::Settings& now = request.settings;
    if (now.dead_reckoning_distance < longest_reckoned || now.dead_reckoning_time < longest_reckoned_time) {
        changes.push_back(
            {Kind::dead_reckoning, "a dead-reckoning allowance of 25 NM and 15 min", [](Request& r) {
                 flight::Settings& s = r.settings;
                 s.dead_reckoning_distance = std::max(s.dead_reckoning_distance, longest_reckoned);
                 s.dead_reckoning_time = std::max(s.dead_reckoning_time, longest_reckoned_time);
                 return true;
             }});
    }
}

// Near the way: where a detour over it is at most half as long again, or 80 NM more, as the search looks.
void add_stations(const navdata::Snapshot& world, const Request& request, std::vector<Change>& changes) {
    const earth::Position from = world[request.from].position;
    const earth::Position to = world[request.to].position;
    const Length direct = earth::distance(from, to);
    const Length most = std::max(direct * 1.5, direct + Length::nautical_miles(80.0));
    std::vector<std::pair<Length, std::string>> near;
    for (const navdata::Station& station : world.out_of_service()) {
        const earth::Position place = navdata::site(station);
        const Length over = earth::distance(from, place) + earth::distance(place, to);
        const bool known = std::any_of(near.begin(), near.end(),
                                       [&](const auto& each) { return each.second == station.ident; });
        if (over <= most && !known) {
            near.emplace_back(over, station.ident);
        }
    }
    std::sort(near.begin(), near.end());
    near.resize(std::min(near.size(), most_stations));
    for (const auto& [over, ident] : near) {
        changes.push_back({Kind::station, ident + " back in service", [](Request&) { return true; }, ident});
    }
}

void add_equipment(const Request& request, std::vector<Change>& changes) {
    const auto add = [&](std::string text, std::function<bool(cockpit::Equipment&)> apply) {
        changes.push_back({Kind::equipment, std::move(text),
                           [apply = std::move(apply)](Request& r) { return apply(r.aircraft.equipment); }});
    };
    add("a DME",
        [](cockpit::Equipment& e) { return !e.dme && (e.dme = cockpit::DmeControl::own_control, true); });
    add("a DME with a control of its own", [](cockpit::Equipment& e) {
        return e.dme && *e.dme != cockpit::DmeControl::own_control &&
               (e.dme = cockpit::DmeControl::own_control, true);
    });
    add("a localizer receiver", [](cockpit::Equipment& e) {
        return !e.receivers.empty() && !e.has_localizer() && (e.receivers.front().localizer = true);
    });
    add("a glideslope receiver", [](cockpit::Equipment& e) {
        return !e.receivers.empty() && !e.has_glideslope() &&
               (e.receivers.front().localizer = e.receivers.front().glideslope = true);
    });
    add(request.aircraft.equipment.receivers.empty() ? "a navigation receiver"
                                                     : "a second navigation receiver",
        [](cockpit::Equipment& e) {
            e.receivers.push_back({cockpit::CourseIndicator::cdi, true, false});
            return e.receivers.size() <= 2;
        });
    add("an ADF",
        [](cockpit::Equipment& e) { return !e.adf && (e.adf = cockpit::AdfIndicator::fixed_card, true); });
}

class Search {
public:
    Search(const navdata::Snapshot& world, const Request& request, const PlanOnce& plan_once,
           std::size_t most)
        : world_(world), request_(request), plan_once_(plan_once), most_(most) {
        add_altitude(request, changes_);
        add_asked(world, request, changes_);
        add_dead_reckoning(request, changes_);
        add_stations(world, request, changes_);
        add_equipment(request, changes_);
    }

    WouldDo result() {
        for (std::size_t i = 0; i < changes_.size(); ++i) {
            try_with({i});
        }
        if (answer_.changes.empty()) {
            for (std::size_t i = 0; i < changes_.size(); ++i) {
                for (std::size_t j = i + 1; j < changes_.size(); ++j) {
                    try_with({i, j});
                }
            }
        }
        if (answer_.changes.empty()) {
            triples_of_equipment();
        }
        return std::move(answer_);
    }

private:
    void triples_of_equipment() {
        const auto of_equipment = [this](std::size_t i) { return changes_[i].kind == Kind::equipment; };
        for (std::size_t i = 0; i < changes_.size(); ++i) {
            for (std::size_t j = i + 1; j < changes_.size(); ++j) {
                for (std::size_t k = j + 1; k < changes_.size(); ++k) {
                    if (of_equipment(i) && of_equipment(j) && of_equipment(k)) {
                        try_with({i, j, k});
                    }
                }
            }
        }
    }

    void try_with(const std::vector<std::size_t>& which) {
        Request changed = request_;
        changed.compare_approaches = false;
        changed.own_legs = false;
        std::string station;
        // The last first: what stands behind another in a list keeps its place.
        for (auto at = which.rbegin(); at != which.rend(); ++at) {
            const Change& change = changes_[*at];
            // One station at a time: each is a world of its own.
            if ((!change.station.empty() && !station.empty()) || !change.apply(changed)) {
                return;
            }
            station = change.station.empty() ? station : change.station;
        }
        if (answer_.tried == most_) {
            ++answer_.not_tried;
            return;
        }
        ++answer_.tried;
        const Answer found = planned(station, changed);
        if (found.verdict == base::Verdict::not_flyable) {
            return;
        }
        std::string text;
        for (std::size_t i = 0; i < which.size(); ++i) {
            text += i == 0 ? "" : i + 1 == which.size() ? " and " : ", ";
            text += text_of(changes_[which[i]], which.size() == 1, changed, found);
        }
        answer_.changes.push_back(std::move(text));
    }

    std::string text_of(const Change& change, bool alone, const Request& changed, const Answer& found) const {
        if (change.kind == Kind::altitude) {
            return fmt::format("{} ({:.0f} ft)", change.text, found.option->flight.cruise.feet());
        }
        return change.kind == Kind::dead_reckoning && alone ? least_allowance(changed) : change.text;
    }

    Answer planned(const std::string& station, const Request& changed) {
        if (station.empty()) {
            return plan_once_(world_, changed);
        }
        auto known = std::find_if(worlds_.begin(), worlds_.end(),
                                  [&](const auto& each) { return each.first == station; });
        if (known == worlds_.end()) {
            worlds_.emplace_back(station, world_.back_in_service(station));
            known = worlds_.end() - 1;
        }
        return plan_once_(known->second, changed);
    }

    bool does(Length distance, base::Duration time) const {
        Request changed = request_;
        changed.compare_approaches = false;
        changed.own_legs = false;
        changed.settings.dead_reckoning_distance = distance;
        changed.settings.dead_reckoning_time = time;
        return plan_once_(world_, changed).verdict != base::Verdict::not_flyable;
    }

    // The least distance in the longest time, then the least time for that distance.
    std::string least_allowance(const Request& most) const {
        // In whole steps: what is allowed now is too little, what was tried is enough.
        const auto least = [](double too_little, double enough, double step, const auto& suffices) {
            auto below = static_cast<long>(std::floor(too_little / step));
            auto above = static_cast<long>(std::ceil(enough / step));
            while (above - below > 1) {
                const long middle = (above + below) / 2;
                (suffices(static_cast<double>(middle) * step) ? above : below) = middle;
            }
            return static_cast<double>(above) * step;
        };
        const flight::Settings& now = request_.settings;
        const base::Duration longest = most.settings.dead_reckoning_time;
        const double nm = least(now.dead_reckoning_distance.nautical_miles(),
                                most.settings.dead_reckoning_distance.nautical_miles(), reckoned_step_nm,
                                [&](double tried) { return does(Length::nautical_miles(tried), longest); });
        // Where the distance allowed is enough, the time alone was too short.
        const bool distance_enough = does(now.dead_reckoning_distance, longest);
        const Length distance = distance_enough ? now.dead_reckoning_distance : Length::nautical_miles(nm);
        if (!distance_enough && does(distance, now.dead_reckoning_time)) {
            return fmt::format("a dead-reckoning allowance of {:.1f} NM", nm);
        }
        const double min =
            least(base::in_minutes(now.dead_reckoning_time), base::in_minutes(longest), reckoned_step_min,
                  [&](double tried) { return does(distance, base::minutes(tried)); });
        return fmt::format("a dead-reckoning allowance of {:.1f} NM and {:.1f} min",
                           distance.nautical_miles(), min);
    }

    const navdata::Snapshot& world_;
    const Request& request_;
    const PlanOnce& plan_once_;
    std::size_t most_ = 0;
    std::vector<Change> changes_;
    std::vector<std::pair<std::string, navdata::Snapshot>> worlds_;
    WouldDo answer_;
};

}  // namespace

WouldDo what_would_do(const navdata::Snapshot& world, const Request& request, const PlanOnce& plan_once,
                      std::size_t most_tries) {
    return Search(world, request, plan_once, most_tries).result();
}

}  // namespace omniway::plan
