#include "plan/plan.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <functional>
#include <set>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "earth/surveyed_corridors.hpp"
#include "earth/terrain.hpp"
#include "flight/climb_overhead.hpp"
#include "flight/judge.hpp"
#include "plan/departure_choice.hpp"
#include "plan/finish_flight.hpp"
#include "routing/search.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;

namespace {

struct Candidate {
    double cost_min = 0.0;
    Altitude cruise;
    const FlyableApproach* approach = nullptr;  // null: no procedure
    std::size_t landing = 0;                    // of its landings
    std::optional<std::size_t> start;           // of the SIDs; none: own departure
    std::optional<std::size_t> arrival;         // of the STARs; none: without
    std::vector<flight::Leg> legs;
};

class Planner {
public:
    Planner(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request)
        : world_(world),
          ground_(ground),
          model_(model),
          request_(request),

          circumstances_{world,        ground, model, request.today, request.aircraft, request.settings,
                         request.winds} {}

    Answer result() {
        answer_.departure_runways =
            flight::rank_runways(world_, request_.aircraft, request_.winds.surface(), request_.from, true);
        answer_.arrival_runways =
            flight::rank_runways(world_, request_.aircraft, request_.winds.surface(), request_.to, false);
        ways_ = procedure::approach_ways(world_, ground_, request_.aircraft.equipment, request_.to,
                                         request_.settings.criteria);
        minima_ = procedure::held_against(world_, request_.minima, {request_.from, request_.to});
        approach_question_ = {request_.to,        &request_.aircraft, request_.winds,
                              &request_.settings, &minima_,           answer_.arrival_runways};
        if (!choose_departure()) {
            return finish();
        }
        gather_entries();
        if (entries_.empty()) {
            return finish();
        }
        choose_procedures();
        search_levels();
        return finish();
    }

private:
    const navdata::Airport& departure() const { return world_[request_.from]; }
    const navdata::Airport& arrival() const { return world_[request_.to]; }

    void block(std::string code, std::string about, std::string text, std::string remedy = {}) {
        answer_.findings.push_back(
            {Grade::blocks, std::move(code), std::move(about), std::move(text), std::move(remedy)});
    }

    bool choose_departure() {
        const auto& fits = answer_.departure_runways;
        if (fits.empty()) {
            block("runway.none", departure().ident, "no runway of it is in the data", "import its runways");
            return false;
        }
        if (!fits.front().fits()) {
            for (const auto& fit : fits) {
                answer_.findings.insert(answer_.findings.end(), fit.findings.begin(), fit.findings.end());
            }
            return false;
        }
        departure_runway_ = fits.front();
        departure_place_ = departure_place(world_, departure_runway_.runway);
        return true;
    }

    void choose_procedures() {
        departures_ = choose_departures(world_, ground_, request_, answer_.departure_runways);
        arrivals_ = choose_arrivals(world_, ground_, request_, entries_);
        answer_.departures = departures_.considered;
        answer_.arrivals = arrivals_.considered;
        if (!departures_.own_departure && departures_.chains.empty()) {
            block("departure.not_flown", departure().ident + " " + *request_.departure,
                  "the departure asked for cannot be flown", "--why tells why; --departure own");
        }
        if (only_by_arrival() && arrivals_.chains.empty()) {
            block("arrival.not_flown", arrival().ident + " " + *request_.arrival,
                  "the arrival asked for cannot be flown", "--why tells why; --arrival none");
        }
    }

    bool only_by_arrival() const { return request_.arrival && *request_.arrival != no_arrival; }

    void gather_entries() {
        choice_ = approach_choice(world_, ground_, approach_question_, ways_);
        for (const RefusedApproach& refused : choice_.refused) {
            answer_.refused.push_back(refused.reason);
        }
        for (const FlyableApproach& approach : choice_.flyable) {
            entries_.push_back(approach.entry);
            entry_approaches_.push_back(&approach);
        }
        if (entries_.empty()) {
            entries_without_procedure();
        }
    }

    // Design section 3: overhead, or to a point within 5 NM. Only where the airport has no conventional approach at all: one
    // that the equipment cannot fly is refused with its reason instead.
    void entries_without_procedure() {
        const bool any_conventional =
            std::any_of(ways_.begin(), ways_.end(), [](const procedure::ApproachWay& way) {
                return std::none_of(way.findings.begin(), way.findings.end(), [](const Finding& f) {
                    return f.code == "approach.area_navigation" || f.code == "approach.not_whole";
                });
            });
        const bool runway_fits = !answer_.arrival_runways.empty() && answer_.arrival_runways.front().fits();
        if (!any_conventional && runway_fits) {
            for (const navdata::StationId id :
                 world_.stations_within(arrival().position, request_.settings.arrival_radius)) {
                const navdata::Station& station = world_[id];
                if (navdata::vor(station) == nullptr && navdata::ndb(station) == nullptr) {
                    continue;
                }
                routing::Entry entry;
                entry.fix = {station.ident, navdata::site(station), navdata::Point(id), false};
                entry.any_direction = true;
                entries_.push_back(entry);
                entry_approaches_.push_back(nullptr);
            }
        }
        if (!entries_.empty()) {
            return;
        }
        if (answer_.arrival_runways.empty()) {
            block("runway.none", arrival().ident, "no runway of it is in the data", "import its runways");
        } else if (!runway_fits) {
            for (const auto& fit : answer_.arrival_runways) {
                answer_.findings.insert(answer_.findings.end(), fit.findings.begin(), fit.findings.end());
            }
        }
        if (ways_.empty()) {
            block(
                "arrival.no_procedure", arrival().ident,
                fmt::format("has no approach in the data, and no VOR or NDB within {:.0f} NM to arrive over",
                            request_.settings.arrival_radius.nautical_miles()),
                "a longer arrival radius, or data that holds its procedures");
        } else {
            block("arrival.no_flyable_approach", arrival().ident,
                  (distinct_procedures() == 1
                       ? std::string("its only approach cannot be flown")
                       : fmt::format("none of its {} approaches can be flown", distinct_procedures())) +
                      " with the equipment aboard and the data",
                  "--why lists each with its reason");
            // The nearest misses: approaches that are conventional and whole, but for one thing.
            std::set<std::string> said;
            for (const procedure::ApproachWay& way : ways_) {
                const auto first =
                    std::find_if(way.findings.begin(), way.findings.end(), [](const Finding& f) {
                        return f.grade == Grade::blocks && f.code != "approach.area_navigation";
                    });
                if (first != way.findings.end() && said.insert(first->text).second && said.size() <= 3) {
                    answer_.findings.push_back(*first);
                }
            }
        }
    }

    std::size_t distinct_procedures() const {
        std::set<const navdata::Procedure*> all;
        for (const procedure::ApproachWay& way : ways_) {
            all.insert(way.procedure);
        }
        return all.size();
    }

    std::vector<Altitude> altitudes() const {
        if (request_.cruise) {
            return {*request_.cruise};
        }
        const aircraft::Performance& performance = request_.aircraft.performance;
        const Altitude low =
            std::max(departure().elevation.value_or(Altitude()), arrival().elevation.value_or(Altitude()));
        const Length direct = earth::distance(departure().position, arrival().position);
        std::vector<Altitude> all;
        for (int thousands = 2; thousands <= 45; ++thousands) {
            const Altitude level = Altitude::feet(thousands * 1000.0);
            if (level > performance.service_ceiling) {
                break;
            }
            if (level < low + Length::feet(1500.0)) {
                continue;
            }
            // No higher than climb and descent leave a fifth of the way level.
            const Length used = aircraft::climb_between(performance, low, level).distance +
                                aircraft::descent_between(performance, level, low).distance;
            if (used > direct * 0.8 && all.size() >= 3) {
                break;
            }
            all.push_back(level);
        }
        return all;
    }

    // Levels of the semicircular rule first (trade-facts 9.4): the others only where those lead to no flight that is admitted.
    void search_levels() {
        const std::vector<Altitude> all = altitudes();
        for (const bool suited : {true, false}) {
            const auto first = static_cast<std::ptrdiff_t>(candidates_.size());
            for (const Altitude cruise : all) {
                if (suits_direction(cruise) == suited || request_.cruise) {
                    search_at(cruise);
                }
            }
            std::stable_sort(candidates_.begin() + first, candidates_.end(),
                             [](const Candidate& a, const Candidate& b) { return a.cost_min < b.cost_min; });
            take_best_admitted(first);
            if (taken_ != nullptr || request_.cruise) {
                break;
            }
        }
        answer_.routes_considered = candidates_.size();
        if (candidates_.empty()) {
            block("route.none", departure().ident + " to " + arrival().ident,
                  "no way along conventional airways or legs that can be received leads to an entry of an "
                  "approach",
                  "--why lists what was refused");
        }
    }

    void search_at(Altitude cruise) {
        routing::Question question;
        question.departure = departure_place_;
        question.departure_name = departure().ident;
        question.climb = climbing(world_, request_, cruise);
        question.arrival = arrival().position;
        question.cruise = cruise;
        const base::Speed airspeed = aircraft::true_airspeed_cruise(request_.aircraft.performance, cruise);
        question.groundspeed = slower_groundspeed(world_, request_, cruise);
        question.entries = entries_;
        question.straight_ahead = departures_.straight_ahead;
        question.own_departure = departures_.own_departure;
        question.starts = departures_.chains;
        question.arrivals = arrivals_.chains;
        question.only_by_arrival = only_by_arrival();
        routing::Answer found =
            routing::search(world_, ground_, request_.aircraft.equipment, request_.settings, question);
        refused_at_.emplace_back(cruise, std::move(found.refused));
        for (routing::Way& way : found.ways) {
            Candidate candidate;
            candidate.cruise = cruise;
            candidate.approach = entry_approaches_[way.entry];
            candidate.start = way.start;
            candidate.arrival = way.arrival;
            candidate.legs = std::move(way.legs);
            const std::size_t landings = candidate.approach ? candidate.approach->landings.size() : 1;
            for (std::size_t i = 0; i < landings; ++i) {
                const double harder_nm =
                    candidate.approach ? candidate.approach->landings[i].weight().nautical_miles() : 0.0;
                candidate.landing = i;
                candidate.cost_min = minutes_of(way.cost_nm + harder_nm, cruise, airspeed);
                candidates_.push_back(candidate);
            }
        }
    }

    // Time at cruise, what the climb adds, and a minute for a level against the semicircular rule (trade-facts 9.4).
    double minutes_of(double cost_nm, Altitude cruise, base::Speed airspeed) const {
        const Altitude field = departure().elevation.value_or(Altitude());
        const double climb_min =
            cruise > field
                ? base::in_minutes(aircraft::climb_between(request_.aircraft.performance, field, cruise).time)
                : 0.0;
        return cost_nm / airspeed.knots() * 60.0 + 0.4 * climb_min + (suits_direction(cruise) ? 0.0 : 1.0);
    }

    bool suits_direction(Altitude cruise) const {
        return flight::suits_semicircular_rule(circumstances_, request_.from, request_.to, cruise);
    }

    void take_best_admitted(std::ptrdiff_t first) {
        constexpr std::size_t most_judged = 12;
        const std::size_t judged_before = not_admitted_.size();
        std::optional<Option> best;
        std::optional<Option> best_blocked;
        for (auto at = candidates_.begin() + first; at != candidates_.end(); ++at) {
            const Candidate& candidate = *at;
            // A climb overhead shows only in the whole flight: what costs more before it is looked at need not be.
            if ((best && candidate.cost_min >= best->cost_min) ||
                not_admitted_.size() == judged_before + most_judged) {
                break;
            }
            // A runway that does not fit is no landing here, so that where one landing is refused the others of the same way
            // are.
            const bool refused_already =
                std::any_of(not_admitted_.begin(), not_admitted_.end(), [&](const auto& each) {
                    return each.first->approach == candidate.approach &&
                           each.first->cruise == candidate.cruise && each.first->start == candidate.start &&
                           each.first->arrival == candidate.arrival;
                });
            if (refused_already) {
                continue;
            }
            Option option = option_of(candidate);
            if (option.verdict == base::Verdict::not_flyable) {
                not_admitted_.emplace_back(&candidate, option.findings.front());
                if (!best_blocked) {
                    best_blocked = std::move(option);
                }
            } else if (!best || option.cost_min < best->cost_min) {
                taken_ = &candidate;
                best = std::move(option);
            }
        }
        if (best || !answer_.option) {
            answer_.option = best ? std::move(best) : std::move(best_blocked);
        }
    }

    // Every approach with its figures and why it was not taken: the one taken, the others by cost, those without a way to them,
    // those that cannot be flown.
    void list_approaches() {
        std::vector<std::pair<const FlyableApproach*, std::size_t>> listed;
        std::vector<ApproachConsidered> with_way;
        const auto add = [&](const Candidate& candidate) {
            const std::pair key(candidate.approach, candidate.landing);
            if (candidate.approach == nullptr ||
                std::find(listed.begin(), listed.end(), key) != listed.end()) {
                return;
            }
            listed.push_back(key);
            with_way.push_back(considered_candidate(candidate));
        };
        if (taken_ != nullptr) {
            add(*taken_);
        }
        for (const Candidate& candidate : candidates_) {
            add(candidate);
        }
        for (std::size_t i = 0; i < with_way.size(); ++i) {
            with_way[i].rank = i + 1;
        }
        answer_.approaches = std::move(with_way);
        for (const FlyableApproach& approach : choice_.flyable) {
            for (std::size_t i = 0; i < approach.landings.size(); ++i) {
                if (std::find(listed.begin(), listed.end(), std::pair(&approach, i)) == listed.end()) {
                    answer_.approaches.push_back(considered(world_, approach, approach.landings[i]));
                    answer_.approaches.back().why_not = why_no_way(approach);
                }
            }
        }
        for (const RefusedApproach& refused : choice_.refused) {
            answer_.approaches.push_back(considered(refused));
        }
    }

    ApproachConsidered considered_candidate(const Candidate& candidate) const {
        const FlyableApproach& approach = *candidate.approach;
        ApproachConsidered made = considered(world_, approach, approach.landings[candidate.landing]);
        Length flown = approach.length;
        for (const flight::Leg& leg : candidate.legs) {
            flown += leg.length;
        }
        made.track_miles = flown;
        if (&candidate == taken_) {
            return made;
        }
        for (const auto& [refused, why] : not_admitted_) {
            if (refused->approach == candidate.approach && refused->cruise == candidate.cruise) {
                made.why_not = why.about + ": " + why.text;
                return made;
            }
        }
        made.why_not = taken_ != nullptr && taken_->approach != nullptr
                           ? difference(considered_candidate(*taken_), made)
                           : "none that was judged is admitted";
        return made;
    }

    std::string why_no_way(const FlyableApproach& approach) const {
        for (const auto& [cruise, findings] : refused_at_) {
            for (const Finding& finding : findings) {
                if (finding.code.starts_with("entry.") &&
                    finding.about.find(approach.entry.fix.ident) != std::string::npos) {
                    return "no way leads to " + approach.entry.fix.ident + ": " + finding.text;
                }
            }
        }
        return "no way that can be flown leads to " + approach.entry.fix.ident +
               ", or none within 60 NM of the best";
    }

    // What was refused on the way: at the altitude flown, or where nothing is flown, what was refused at every altitude tried.
    void gather_refused() {
        if (refused_at_.empty()) {
            return;
        }
        if (answer_.option) {
            for (auto& [cruise, findings] : refused_at_) {
                if (cruise == answer_.option->flight.cruise) {
                    answer_.refused.insert(answer_.refused.end(), findings.begin(), findings.end());
                }
            }
            return;
        }
        for (const Finding& finding : refused_at_.back().second) {
            const bool everywhere =
                std::all_of(refused_at_.begin(), refused_at_.end(), [&](const auto& tried) {
                    return std::any_of(tried.second.begin(), tried.second.end(), [&](const Finding& other) {
                        return other.code == finding.code && other.about == finding.about;
                    });
                });
            if (everywhere) {
                answer_.refused.push_back(finding);
            }
        }
    }

    // Of what was refused, what stood nearest to the airports speaks first.
    void nearest_refusals() {
        std::size_t said = 0;
        for (const std::string prefix : {"entry.", "departure.", "airway.below", "airway.above", "airway."}) {
            for (const Finding& finding : answer_.refused) {
                const bool told = std::find(answer_.findings.begin(), answer_.findings.end(), finding) !=
                                  answer_.findings.end();
                if (said < 3 && finding.code.starts_with(prefix) &&
                    finding.code != "airway.area_navigation" && !told) {
                    answer_.findings.push_back(finding);
                    ++said;
                }
            }
        }
    }

    Option option_of(const Candidate& candidate) const {
        Option option;
        option.cost_min = candidate.cost_min;
        option.departure_runway =
            candidate.start ? departures_.starts[*candidate.start].runway : departure_runway_;
        flight::Flight& flight = option.flight;
        flight.departure = request_.from;
        flight.departure_runway = option.departure_runway.runway;
        flight.arrival = request_.to;
        flight.cruise = candidate.cruise;
        flight.alternate_fuel = request_.alternate_fuel;
        flight.legs = candidate.legs;
        if (candidate.approach != nullptr) {
            add_approach(world_, approach_question_, choice_, *candidate.approach,
                         candidate.approach->landings[candidate.landing], option);
            take_findings(candidate, flight);
        } else if (!answer_.arrival_runways.empty()) {
            take_findings(candidate, flight);
            option.arrival_runway = answer_.arrival_runways.front();
            flight.arrival_runway = option.arrival_runway->runway;
        }
        const Length without_holds = flight.length();
        finish_flight(world_, ground_, request_, flight);
        option.cost_min +=
            base::in_minutes((flight.length() - without_holds) /
                             aircraft::true_airspeed_climb(request_.aircraft.performance, flight.cruise));
        judge_option(world_, ground_, model_, request_, option);
        return option;
    }

    void take_findings(const Candidate& candidate, flight::Flight& flight) const {
        if (candidate.start) {
            const Departures::Start& start = departures_.starts[*candidate.start];
            flight.sid = start.sid;
            flight.from_procedure.insert(flight.from_procedure.end(), start.findings.begin(),
                                         start.findings.end());
        }
        if (candidate.arrival) {
            const auto& findings = arrivals_.findings[*candidate.arrival];
            flight.star = arrivals_.stars[*candidate.arrival];
            flight.from_procedure.insert(flight.from_procedure.end(), findings.begin(), findings.end());
        }
    }

    Answer finish() {
        gather_refused();
        if (candidates_.empty() && !refused_at_.empty()) {
            nearest_refusals();
        }
        list_approaches();
        if (answer_.option) {
            answer_.findings = answer_.option->findings;
        }
        answer_.findings.insert(answer_.findings.end(), minima_.findings().begin(), minima_.findings().end());
        flight::rank_findings(answer_.findings);
        answer_.verdict = answer_.option ? answer_.option->verdict : base::Verdict::not_flyable;
        return std::move(answer_);
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const Request& request_;
    flight::Circumstances circumstances_;
    flight::RunwayFit departure_runway_;
    earth::Position departure_place_;
    std::vector<procedure::ApproachWay> ways_;
    std::vector<routing::Entry> entries_;
    procedure::Minima minima_;
    ApproachQuestion approach_question_;
    ApproachChoice choice_;
    std::vector<const FlyableApproach*> entry_approaches_;
    Departures departures_;
    Arrivals arrivals_;
    std::deque<Candidate> candidates_;  // a deque: what is judged is pointed at while more come
    const Candidate* taken_ = nullptr;
    std::vector<std::pair<const Candidate*, Finding>> not_admitted_;
    std::vector<std::pair<Altitude, std::vector<Finding>>> refused_at_;
    Answer answer_;
};

// One thing that the user could change; false where it is so already.
struct Change {
    std::string text;
    std::function<bool(Request&)> apply;
    bool of_equipment = true;
};

std::vector<Change> changes_of(const Request& request) {
    std::vector<Change> changes;
    if (request.cruise) {
        changes.push_back({"another cruising altitude",
                           [](Request& r) {
                               r.cruise.reset();
                               return true;
                           },
                           false});
    }
    changes.push_back({"a DME", [](Request& r) {
                           return !r.aircraft.equipment.dme.has_value() &&
                                  (r.aircraft.equipment.dme = cockpit::DmeControl::own_control, true);
                       }});
    changes.push_back({"a glideslope receiver", [](Request& r) {
                           if (r.aircraft.equipment.receivers.empty() ||
                               r.aircraft.equipment.has_glideslope()) {
                               return false;
                           }
                           r.aircraft.equipment.receivers.front().localizer = true;
                           r.aircraft.equipment.receivers.front().glideslope = true;
                           return true;
                       }});
    changes.push_back(
        {request.aircraft.equipment.receivers.empty() ? "a navigation receiver"
                                                      : "a second navigation receiver",
         [](Request& r) {
             r.aircraft.equipment.receivers.push_back({cockpit::CourseIndicator::cdi, true, false});
             return r.aircraft.equipment.receivers.size() <= 2;
         }});
    changes.push_back({"an ADF", [](Request& r) {
                           return !r.aircraft.equipment.adf.has_value() &&
                                  (r.aircraft.equipment.adf = cockpit::AdfIndicator::fixed_card, true);
                       }});
    changes.push_back({"a dead-reckoning allowance of 25 NM",
                       [](Request& r) {
                           r.settings.dead_reckoning_distance = Length::nautical_miles(25.0);
                           r.settings.dead_reckoning_time = base::minutes(15.0);
                           return true;
                       },
                       false});
    return changes;
}

// The fewest changes that make the flight flyable: each one that does alone; where none does each two, then each three of the
// equipment.
std::vector<std::string> unblockers(const navdata::Snapshot& world, const radio::Ground& ground,
                                    const earth::MagneticModel& model, const Request& request) {
    const std::vector<Change> changes = changes_of(request);
    std::vector<std::string> found;
    const auto try_with = [&](const std::vector<std::size_t>& which) {
        Request changed = request;
        std::string text;
        for (std::size_t i = 0; i < which.size(); ++i) {
            if (!changes[which[i]].apply(changed)) {
                return;
            }
            text += (i == 0 ? "" : i + 1 == which.size() ? " and " : ", ") + changes[which[i]].text;
        }
        if (Planner(world, ground, model, changed).result().verdict != base::Verdict::not_flyable) {
            found.push_back(text);
        }
    };
    const std::size_t all = changes.size();
    for (std::size_t i = 0; i < all; ++i) {
        try_with({i});
    }
    if (!found.empty()) {
        return found;
    }
    for (std::size_t i = 0; i < all; ++i) {
        for (std::size_t j = i + 1; j < all; ++j) {
            try_with({i, j});
        }
    }
    if (!found.empty()) {
        return found;
    }
    for (std::size_t i = 0; i < all; ++i) {
        for (std::size_t j = i + 1; j < all; ++j) {
            for (std::size_t k = j + 1; k < all; ++k) {
                if (changes[i].of_equipment && changes[j].of_equipment && changes[k].of_equipment) {
                    try_with({i, j, k});
                }
            }
        }
    }
    return found;
}

}  // namespace

Answer plan(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request) {
    // One line is asked about at every altitude, and again for everything that might unblock.
    earth::SurveyedCorridors corridors;
    radio::Ground surveyed = ground;
    surveyed.corridors = &corridors;
    Answer answer = Planner(world, surveyed, model, request).result();
    if (answer.option) {
        add_immediate_return(world, surveyed, model, request, *answer.option);
    }
    answer.reception = ground.mode;
    answer.terrain_known = ground.terrain != nullptr && !ground.terrain->empty();
    if (answer.verdict == base::Verdict::not_flyable) {
        answer.would_unblock = unblockers(world, surveyed, model, request);
    }
    return answer;
}

std::string route_text(const navdata::Snapshot& world, const flight::Flight& flight) {
    std::string text = world[flight.departure].ident;
    for (std::size_t i = 0; i < flight.legs.size(); ++i) {
        const flight::Leg& leg = flight.legs[i];
        if (leg.phase == flight::Phase::approach) {
            break;
        }
        if (flight::is_climb_in_hold(leg)) {
            continue;
        }
        const bool direct = leg.via == "direct" || (leg.phase == flight::Phase::departure && !leg.published);
        std::size_t next = i + 1;
        while (next < flight.legs.size() && flight::is_climb_in_hold(flight.legs[next])) {
            ++next;
        }
        const bool goes_on = next < flight.legs.size() && flight.legs[next].via == leg.via && !direct;
        if (goes_on || !leg.to) {
            continue;
        }
        text += " " + (direct ? std::string("DCT") : leg.via);
        // A STAR that leads to the approach itself ends the route: its last fix is not named again.
        const bool ends_the_route =
            leg.phase == flight::Phase::arrival &&
            (next == flight.legs.size() || flight.legs[next].phase == flight::Phase::approach);
        text += ends_the_route ? std::string() : " " + leg.to->ident;
    }
    return text + " " + world[flight.arrival].ident;
}

}  // namespace omniway::plan
