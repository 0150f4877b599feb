#include "plan/plan.hpp"

#include <algorithm>
#include <cmath>
#include <deque>
#include <functional>
#include <limits>
#include <map>
#include <set>
#include <tuple>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "base/parallel.hpp"
#include "earth/geodesic.hpp"
#include "earth/surveyed_corridors.hpp"
#include "earth/terrain.hpp"
#include "flight/climb_overhead.hpp"
#include "flight/en_route.hpp"
#include "flight/judge.hpp"
#include "flight/own_legs.hpp"
#include "flight/route.hpp"
#include "plan/choices.hpp"
#include "plan/departure_choice.hpp"
#include "plan/finish_flight.hpp"
#include "plan/what_mattered.hpp"
#include "plan/what_would_do.hpp"
#include "routing/front.hpp"
#include "routing/way_search.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;

namespace {

constexpr double no_bound = std::numeric_limits<double>::infinity();
// Whole flights of one set of altitudes that the judge may refuse before no more are tried.
constexpr std::size_t most_refused = 12;
constexpr std::size_t most_refused_with_own_legs = 4;
// Pairs of places and altitudes between which own legs are looked for.
constexpr std::size_t most_own_legs = 1500;

struct Candidate {
    double cost_min = 0.0;
    Altitude cruise;
    const FlyableApproach* approach = nullptr;  // null: no procedure
    std::size_t landing = 0;                    // of its landings
    std::optional<std::size_t> start;           // of the SIDs; none: own departure
    std::optional<std::size_t> arrival;         // of the STARs; none: without
    std::vector<flight::Leg> legs;
    int pass = 0;  // 0: at levels of the semicircular rule
    bool judged = false;
    bool doubtful = false;  // holds what the judge refused at another altitude
};

// To the same approach, wherever it then lands.
bool is_same_way(const Candidate& a, const Candidate& b) {
    return a.cruise == b.cruise && a.approach == b.approach && a.start == b.start && a.arrival == b.arrival &&
           std::equal(a.legs.begin(), a.legs.end(), b.legs.begin(), b.legs.end(),
                      [](const flight::Leg& one, const flight::Leg& other) {
                          return routing::ForbiddenPair::of(one) == routing::ForbiddenPair::of(other);
                      });
}

bool holds(const Candidate& candidate, const routing::ForbiddenPair& pair) {
    for (std::size_t i = 0; i < candidate.legs.size(); ++i) {
        const bool before = pair.anywhere ? true
                            : pair.before
                                ? i > 0 && routing::ForbiddenPair::of(candidate.legs[i - 1]) == *pair.before
                                : i == 0;
        if (before && routing::ForbiddenPair::of(candidate.legs[i]) == pair.after) {
            return true;
        }
    }
    return false;
}

class Planner {
public:
    Planner(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request, routing::Roads& roads)
        : world_(world),
          ground_(ground),
          model_(model),
          request_(request),
          roads_(roads),
          circumstances_{world,        ground, model, request.today, request.aircraft, request.settings,
                         request.winds} {}

    Answer result() {
        answer_.departure_runways =
            flight::rank_runways(world_, request_.aircraft, request_.winds.surface(), request_.from, true);
        answer_.arrival_runways =
            flight::rank_runways(world_, request_.aircraft, request_.winds.surface(), request_.to, false);
        departing_ = asked_for(answer_.departure_runways, request_.departure_runway);
        landing_ = asked_for(answer_.arrival_runways, request_.landing_runway);
        ways_ = procedure::approach_ways(world_, ground_, request_.aircraft.equipment, request_.to,
                                         request_.settings.criteria);
        std::erase_if(ways_, [this](const procedure::ApproachWay& way) {
            return !is_asked_for(way, request_.approach, request_.approach_transition);
        });
        minima_ = procedure::held_against(world_, request_.minima, {request_.from, request_.to});
        approach_question_ = {request_.to, &request_.aircraft, request_.winds,      &request_.settings,
                              &minima_,    landing_,           request_.constraints};
        if (!choose_departure()) {
            return finish();
        }
        gather_entries();
        if (entries_.empty()) {
            return finish();
        }
        choose_procedures();
        search_levels();
        offer_choices();
        return finish();
    }

private:
    const navdata::Airport& departure() const { return world_[request_.from]; }
    const navdata::Airport& arrival() const { return world_[request_.to]; }

    void block(std::string code, std::string about, std::string text, std::string remedy = {}) {
        answer_.findings.push_back(
            {Grade::blocks, std::move(code), std::move(about), std::move(text), std::move(remedy)});
    }

    // All of an airport, or the one that the person wants, whatever the wind.
    static std::vector<flight::RunwayFit> asked_for(std::vector<flight::RunwayFit> all,
                                                    const std::optional<navdata::RunwayId>& asked) {
        if (asked) {
            std::erase_if(all, [&](const flight::RunwayFit& fit) { return fit.runway != *asked; });
        }
        return all;
    }

    bool choose_departure() {
        if (request_.in_flight) {
            departure_place_ = request_.in_flight->at.place;
            return true;
        }
        const auto& fits = departing_;
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
        if (request_.in_flight) {
            departures_.own_departure = false;
            departures_.chains = ways_on(circumstances_, *request_.in_flight, request_.constraints);
            departures_.starts.resize(departures_.chains.size());
        } else {
            departures_ = choose_departures(world_, ground_, request_, departing_);
        }
        arrivals_ = choose_arrivals(world_, ground_, request_, entries_);
        answer_.departures = departures_.considered;
        answer_.arrivals = arrivals_.considered;
        answer_.refused.insert(answer_.refused.end(), departures_.refused.begin(), departures_.refused.end());
        answer_.refused.insert(answer_.refused.end(), arrivals_.refused.begin(), arrivals_.refused.end());
        if (request_.in_flight && departures_.chains.empty()) {
            block(
                "in_flight.no_signal", request_.in_flight->at.name,
                "from there no station can be flown to, within what dead reckoning and the minimums off the "
                "airways allow");
        } else if (!departures_.own_departure && departures_.chains.empty()) {
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
        const bool runway_fits = !landing_.empty() && landing_.front().fits();
        if (!any_conventional && runway_fits && !request_.approach) {
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
        if (landing_.empty()) {
            block("runway.none", arrival().ident, "no runway of it is in the data", "import its runways");
        } else if (!runway_fits) {
            for (const auto& fit : landing_) {
                answer_.findings.insert(answer_.findings.end(), fit.findings.begin(), fit.findings.end());
            }
            return;  // whatever its approaches are, none has where to land
        }
        if (ways_.empty()) {
            block(
                "arrival.no_procedure", arrival().ident,
                fmt::format("has no approach in the data, and no VOR or NDB within {:.0f} NM to arrive over",
                            request_.settings.arrival_radius.nautical_miles()),
                "a longer arrival radius, or data that holds its procedures");
        } else {
            block("arrival.no_flyable_approach", arrival().ident,
                  (request_.approach ? *request_.approach + ", which is asked for, cannot be flown"
                   : distinct_procedures() == 1
                       ? std::string("its only approach cannot be flown")
                       : fmt::format("none of its {} approaches can be flown", distinct_procedures())) +
                      (request_.constraints.asks_of_legs()
                           ? " with the equipment aboard, the data and what is asked"
                           : " with the equipment aboard and the data"),
                  "--why lists each with its reason");
            nearest_broken_constraints();
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

    void nearest_broken_constraints() {
        std::set<std::string> said;
        for (const RefusedApproach& refused : choice_.refused) {
            if (refused.reason.code.starts_with("constraint.") && said.insert(refused.reason.text).second &&
                said.size() <= 3) {
                answer_.findings.push_back(refused.reason);
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
            if (level > performance.service_ceiling || level > request_.constraints.highest.value_or(level)) {
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
        if (all.empty() && request_.constraints.highest) {
            block(
                "constraint.above_highest", departure().ident + " to " + arrival().ident,
                fmt::format("no whole thousand of feet lies between 1,500 ft above the fields and the {:.0f} "
                            "ft that are asked for",
                            request_.constraints.highest->feet()),
                "a higher --highest, or --altitude");
        }
        begin_search(all);
        search_at(all);
        if (taken_ == nullptr && !request_.cruise && !all.empty()) {
            take_climbing();
        }
        if (taken_ == nullptr && request_.own_legs && !all.empty()) {
            search_with_own_legs(all);
        }
        if (taken_ != nullptr && request_.compare_approaches) {
            search_wide(taken_->cruise);
        }
        answer_.routes_considered = candidates_.size();
        if (candidates_.empty()) {
            block("route.none", departure().ident + " to " + arrival().ident,
                  "no way along conventional airways or legs that can be received leads to an entry of an "
                  "approach",
                  "--why lists what was refused");
        }
    }

    void search_at(const std::vector<Altitude>& all) {
        for (const bool suited : {true, false}) {
            pass_ = suited ? 0 : 1;
            const std::size_t first = candidates_.size();
            for (const Altitude cruise : all) {
                if (suits_direction(cruise) == suited || request_.cruise) {
                    ahead_.push_back({cruise, minutes_of(least_nm(), cruise), false});
                }
            }
            std::stable_sort(ahead_.begin(), ahead_.end(), [](const LevelAhead& a, const LevelAhead& b) {
                return a.least_min > b.least_min;
            });
            take_best_admitted(first);
            if (taken_ != nullptr || request_.cruise) {
                break;
            }
        }
    }

    // To the entries that no way was found to; but not where every flight was refused as a whole, as for its fuel: another way to another
    // entry does not mend that.
    void search_with_own_legs(const std::vector<Altitude>& all) {
        if (!not_admitted_.empty() && !refused_at_a_step_) {
            return;
        }
        std::size_t kept = 0;
        for (std::size_t e = 0; e < entries_.size(); ++e) {
            if (!come_to_.contains(e)) {
                entries_[kept] = entries_[e];
                entry_approaches_[kept++] = entry_approaches_[e];
            }
        }
        if (kept == 0) {
            return;
        }
        entries_.resize(kept);
        entry_approaches_.resize(kept);
        with_own_legs_ = true;
        own_legs_ = [this](const flight::OwnLegsQuestion& asked) { return own_legs(asked); };
        wide_.clear();
        begin_search(all);
        search_at(all);
        if (own_legs_not_asked_ > 0) {
            beyond_bound_.push_back(
                {Grade::warns, "route.bound_met", departure().ident + " to " + arrival().ident,
                 fmt::format("between {} pairs of places own legs were looked for, and between {} more not",
                             own_legs_asked_, own_legs_not_asked_),
                 "--approach, --via or --altitude asks for fewer"});
        }
    }

    // What no way costs less than: straight to the entry that asks least.
    double least_nm() const {
        double least = no_bound;
        for (std::size_t e = 0; e < entries_.size(); ++e) {
            const Length straight = earth::distance(departure_place_, entries_[e].fix.position);
            least = std::min(least, routing::Network::at_least * straight.nautical_miles() +
                                        (entries_[e].extra + easiest_weight(e)).nautical_miles());
        }
        return least;
    }

    // What the landing that speaks least against it adds to an entry.
    Length easiest_weight(std::size_t entry) const {
        const FlyableApproach* approach = entry_approaches_[entry];
        return approach != nullptr ? approach->landings[easiest_landing(*approach)].weight() : Length();
    }

    void keep_refused(Altitude cruise, std::vector<Finding> refused) {
        const auto known = std::find_if(refused_at_.begin(), refused_at_.end(),
                                        [&](const auto& each) { return each.first == cruise; });
        if (known == refused_at_.end()) {
            refused_at_.emplace_back(cruise, std::move(refused));
            return;
        }
        for (Finding& finding : refused) {
            if (std::find(known->second.begin(), known->second.end(), finding) == known->second.end()) {
                known->second.push_back(std::move(finding));
            }
        }
    }

    routing::Question question_at(Altitude cruise,
                                  const std::vector<routing::ForbiddenPair>& forbidden) const {
        routing::Question question;
        question.departure = departure_place_;
        question.departure_name = departure().ident;
        question.climb = climbing(world_, request_, cruise);
        question.arrival = arrival().position;
        question.cruise = cruise;
        question.groundspeed = slower_groundspeed(world_, request_, cruise);
        question.entries = entries_;
        for (std::size_t e = 0; e < entries_.size(); ++e) {
            question.entries[e].extra += easiest_weight(e);
        }
        question.straight_ahead = departures_.straight_ahead;
        question.own_departure = departures_.own_departure;
        question.starts = departures_.chains;
        question.arrivals = arrivals_.chains;
        question.only_by_arrival = only_by_arrival();
        question.constraints = request_.constraints;
        question.forbidden = forbidden;
        if (with_own_legs_) {
            question.own_legs = own_legs_;
        }
        return question;
    }

    std::vector<flight::LegsOrReason> own_legs(const flight::OwnLegsQuestion& asked) {
        if (own_legs_asked_ == most_own_legs) {
            ++own_legs_not_asked_;
            return {};
        }
        ++own_legs_asked_;
        return flight::own_legs(circumstances_, asked);
    }

    // The cheapest way at a level that is not known yet, as far as it costs less than `most_min`. Near the straight line first: where
    // nothing is found there, the level waits for what promises more to be looked at.
    bool search_cheapest(Altitude cruise, double most_min, bool to_the_end = false) {
        const double most_nm = miles_for(most_min, cruise);
        const double near_nm = near_the_line_nm();
        const bool is_near = !to_the_end && near_nm < most_nm;
        const bool found = search(cruise, {forbidden_[cruise], Length(), is_near ? near_nm : most_nm});
        if (!found && is_near) {
            put_off(cruise, near_nm);
        }
        return found;
    }

    double near_the_line_nm() const { return 1.25 * least_nm() + 60.0; }

    // What is left to be found at a level costs more than so many miles.
    void put_off(Altitude cruise, double at_least_nm) {
        const bool waits = std::any_of(ahead_.begin(), ahead_.end(),
                                       [&](const LevelAhead& level) { return level.cruise == cruise; });
        if (!waits) {
            const LevelAhead level{cruise, minutes_of(at_least_nm, cruise), true};
            ahead_.insert(std::upper_bound(ahead_.begin(), ahead_.end(), level,
                                           [](const LevelAhead& a, const LevelAhead& b) {
                                               return a.least_min > b.least_min;
                                           }),
                          level);
        }
    }

    // To every entry at a level, as far as they are worth comparing.
    bool search_wide(Altitude cruise) {
        return search(cruise, {forbidden_[cruise], routing::Question().compared,
                               taken_ != nullptr ? no_bound : near_the_line_nm()});
    }

    bool search(Altitude cruise, const routing::WaySearch::Asked& asked) {
        const auto level = std::find(searchable_.begin(), searchable_.end(), cruise);
        routing::Answer found = search_->at(static_cast<std::size_t>(level - searchable_.begin()), asked);
        keep_refused(cruise, std::move(found.refused));
        return keep_ways(std::move(found.ways), cruise);
    }

    void begin_search(const std::vector<Altitude>& all) {
        if (all.empty()) {
            return;
        }
        searchable_ = all;
        std::vector<routing::Level> levels;
        for (const Altitude altitude : all) {
            levels.push_back(level_at(altitude));
        }
        search_.emplace(world_, ground_, request_.aircraft.equipment, request_.settings,
                        question_at(all.front(), {}), levels, roads_.network, roads_.memo);
    }

    // Whether one of them was not known.
    bool keep_ways(std::vector<routing::Way> ways, Altitude cruise) {
        const std::size_t before = candidates_.size();
        for (routing::Way& way : ways) {
            come_to_.insert(way.entry);
            Candidate candidate;
            candidate.cruise = cruise;
            candidate.approach = entry_approaches_[way.entry];
            candidate.start = way.start;
            candidate.arrival = way.arrival;
            candidate.legs = std::move(way.legs);
            candidate.pass = pass_;
            candidate.doubtful = is_doubtful(candidate);
            const double without_landing_nm = way.cost_nm - easiest_weight(way.entry).nautical_miles();
            const std::size_t landings = candidate.approach ? candidate.approach->landings.size() : 1;
            for (std::size_t i = 0; i < landings; ++i) {
                const double harder_nm =
                    candidate.approach ? candidate.approach->landings[i].weight().nautical_miles() : 0.0;
                candidate.landing = i;
                candidate.cost_min = minutes_of(without_landing_nm + harder_nm, cruise);
                const bool known =
                    std::any_of(candidates_.begin(), candidates_.end(), [&](const Candidate& each) {
                        return each.landing == candidate.landing && is_same_way(each, candidate);
                    });
                if (!known) {
                    candidates_.push_back(candidate);
                }
            }
        }
        return candidates_.size() > before;
    }

    // Time at cruise, what the climb adds, and a minute for a level against the semicircular rule (trade-facts 9.4).
    double minutes_of(double cost_nm, Altitude cruise) const {
        return cost_nm / airspeed_at(cruise).knots() * 60.0 + minutes_besides_cruise(cruise);
    }

    // The other way round.
    double miles_for(double minutes, Altitude cruise) const {
        return (minutes - minutes_besides_cruise(cruise)) / 60.0 * airspeed_at(cruise).knots();
    }

    base::Speed airspeed_at(Altitude cruise) const {
        return aircraft::true_airspeed_cruise(request_.aircraft.performance, cruise);
    }

    double minutes_besides_cruise(Altitude cruise) const {
        const Altitude field = departure().elevation.value_or(Altitude());
        const double climb_min =
            cruise > field
                ? base::in_minutes(aircraft::climb_between(request_.aircraft.performance, field, cruise).time)
                : 0.0;
        return 0.4 * climb_min + (suits_direction(cruise) ? 0.0 : 1.0);
    }

    bool suits_direction(Altitude cruise) const {
        return flight::suits_semicircular_rule(circumstances_, request_.from, request_.to, cruise);
    }

    // A climb overhead shows only in the whole flight: what costs more before it is looked at need not be.
    Candidate* next_to_judge(std::size_t first, const std::optional<Option>& best) {
        Candidate* next = nullptr;
        for (std::size_t i = first; i < candidates_.size(); ++i) {
            Candidate& here = candidates_[i];
            if (here.judged || (best && here.cost_min >= best->cost_min) || is_refused_already(here)) {
                continue;
            }
            if (next == nullptr ||
                std::tie(here.doubtful, here.cost_min) < std::tie(next->doubtful, next->cost_min)) {
                next = &here;
            }
        }
        return next;
    }

    // A runway that does not fit is no landing here, so that where one landing is refused the others of the same way are.
    bool is_refused_already(const Candidate& candidate) const {
        return std::any_of(not_admitted_.begin(), not_admitted_.end(),
                           [&](const auto& each) { return is_same_way(*each.first, candidate); });
    }

    static std::optional<routing::ForbiddenPair> refused_pair(const Candidate& candidate,
                                                              const Option& option) {
        const Finding& worst = option.findings.front();
        const auto& steps = option.compiled.track.steps;
        const auto step = std::find_if(steps.begin(), steps.end(), [&](const flight::TrackStep& each) {
            return worst.step && each.number == *worst.step;
        });
        // Legs of a flight and of its way are the same but for holds that were put in for it to climb.
        std::size_t leg = 0;
        for (std::size_t i = 0; step != steps.end() && i < step->leg; ++i) {
            const bool own = leg < candidate.legs.size() && flight::is_climb_in_hold(candidate.legs[leg]);
            leg += flight::is_climb_in_hold(option.flight.legs[i]) && !own ? 0 : 1;
        }
        if (step == steps.end() || leg >= candidate.legs.size()) {
            return std::nullopt;
        }
        routing::ForbiddenPair pair;
        pair.after = routing::ForbiddenPair::of(candidate.legs[leg]);
        // What is not received or too low once the climb is done is so whatever came before.
        Length start;
        for (std::size_t i = 0; i < step->leg; ++i) {
            start += option.flight.legs[i].length;
        }
        const auto& profile = option.flight.profile;
        const bool climbed =
            std::any_of(profile.begin(), profile.end(), [&](const flight::ProfilePoint& point) {
                return point.along <= start && point.altitude >= candidate.cruise;
            });
        pair.anywhere =
            climbed && (worst.code.starts_with("guidance.") || worst.code.starts_with("altitude."));
        if (leg > 0 && !pair.anywhere) {
            pair.before = routing::ForbiddenPair::of(candidate.legs[leg - 1]);
        }
        return pair;
    }

    void keep_refused_flight(const Candidate& candidate, const Option& option) {
        not_admitted_.emplace_back(&candidate, option.findings.front());
        refused_at_a_step_ = refused_at_a_step_ || option.findings.front().step.has_value();
    }

    // Another way at the level of one that was refused: without the pair of legs that ends where it was refused; where no pair is to
    // blame, or nothing new is found so, to another entry.
    void search_without(const Candidate& candidate, const Option& option) {
        const auto pair = refused_pair(candidate, option);
        auto& forbidden = forbidden_[candidate.cruise];
        bool found = false;
        if (!pair) {
            doubtful_approaches_.insert(candidate.approach);
        } else if (std::find(forbidden.begin(), forbidden.end(), *pair) == forbidden.end()) {
            forbidden.push_back(*pair);
            doubtful_pairs_.push_back(*pair);
            ++answer_.searched_again;
            found = search_cheapest(candidate.cruise, no_bound);
        }
        for (Candidate& other : candidates_) {
            other.doubtful = is_doubtful(other);
        }
        if (!found && wide_.insert(candidate.cruise).second) {
            search_wide(candidate.cruise);
        }
    }

    // Holds what the judge refused at another altitude, or on the way to another landing.
    bool is_doubtful(const Candidate& candidate) const {
        return doubtful_approaches_.contains(candidate.approach) ||
               std::any_of(doubtful_pairs_.begin(), doubtful_pairs_.end(),
                           [&](const routing::ForbiddenPair& pair) { return holds(candidate, pair); });
    }

    // The level that promises most, where it promises more than what is known.
    bool search_ahead(const Candidate* next, const std::optional<Option>& best) {
        const double most_min = best ? best->cost_min : no_bound;
        const bool promising = next != nullptr && !next->doubtful;
        if (ahead_.empty() || ahead_.back().least_min >= most_min || (!best && promising)) {
            return false;
        }
        const auto [cruise, least_min, to_the_end] = ahead_.back();
        ahead_.pop_back();
        if (search_cheapest(cruise, most_min, to_the_end) && is_doubtful(candidates_.back())) {
            search_beside_doubts(cruise, most_min);
        }
        return true;
    }

    // The cheapest way at a level that holds nothing the judge refused at another. Where one level has none, the others hardly have: what
    // holds a doubt there is judged in its turn.
    void search_beside_doubts(Altitude cruise, double most_min) {
        if (doubtful_pairs_.size() <= doubts_met_everywhere_) {
            return;
        }
        auto forbidden = forbidden_[cruise];
        forbidden.insert(forbidden.end(), doubtful_pairs_.begin(), doubtful_pairs_.end());
        ++answer_.searched_again;
        const double most_nm = std::min(miles_for(most_min, cruise), near_the_line_nm());
        if (!search(cruise, {std::move(forbidden), Length(), most_nm})) {
            doubts_met_everywhere_ = doubtful_pairs_.size();
        }
    }

    // A level is searched when what is known costs more than it may; what is found is judged in the order of its cost. One that is refused
    // for a leg of its way has its level searched again without the pair of legs that ends there, and others that hold the
    // pair wait until none is left that does not (docs/methods/routing.md).
    void take_best_admitted(std::size_t first) {
        std::optional<Option> best;
        std::optional<Option> best_blocked;
        for (std::size_t refused = 0; refused < most_refused_now();) {
            Candidate* next = next_to_judge(first, best);
            if (search_ahead(next, best)) {
                continue;
            }
            if (next == nullptr) {
                break;
            }
            next->judged = true;
            ++answer_.routes_judged;
            Option option = option_of(*next, ground_);
            if (option.verdict != base::Verdict::not_flyable) {
                if (!best || option.cost_min < best->cost_min) {
                    taken_ = next;
                    best = std::move(option);
                }
                continue;
            }
            ++refused;
            keep_refused_flight(*next, option);
            search_without(*next, option);
            if (!best_blocked) {
                best_blocked = std::move(option);
            }
        }
        say_what_was_left(first, best);
        ahead_.clear();
        if (best || !answer_.option) {
            answer_.option = best ? std::move(best) : std::move(best_blocked);
        }
    }

    std::size_t most_refused_now() const {
        return with_own_legs_ ? most_refused_with_own_legs : most_refused;
    }

    // The bound of refused flights is no reason to be silent about the ways beyond it.
    void say_what_was_left(std::size_t first, const std::optional<Option>& best) {
        const auto left = std::count_if(candidates_.begin() + static_cast<std::ptrdiff_t>(first),
                                        candidates_.end(), [&](const Candidate& here) {
                                            return !here.judged &&
                                                   !(best && here.cost_min >= best->cost_min) &&
                                                   !is_refused_already(here);
                                        });
        const auto ahead = std::count_if(ahead_.begin(), ahead_.end(), [&](const LevelAhead& level) {
            return level.least_min < (best ? best->cost_min : no_bound);
        });
        if (left == 0 && ahead == 0) {
            return;
        }
        const std::string unsearched =
            ahead == 0 ? "" : fmt::format(", {} altitude{} not searched", ahead, ahead == 1 ? "" : "s");
        beyond_bound_.push_back(
            {Grade::warns, "route.bound_met", departure().ident + " to " + arrival().ident,
             fmt::format(
                 "{} whole flights{}{} were judged and refused, and no more are tried: {} other way{} {} "
                 "not judged{}",
                 most_refused_now(), with_own_legs_ ? " to other entries, by own legs too," : "",
                 request_.cruise ? ""
                 : pass_ == 0    ? " at altitudes that suit the direction"
                                 : " at the other altitudes",
                 left, left == 1 ? "" : "s", left == 1 ? "was" : "were", unsearched),
             "--approach, --via or --altitude asks for fewer"});
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
        for (const Candidate* candidate : by_cost()) {
            add(*candidate);
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

    std::vector<const Candidate*> by_cost() const {
        std::vector<const Candidate*> all;
        for (const Candidate& candidate : candidates_) {
            all.push_back(&candidate);
        }
        std::stable_sort(all.begin(), all.end(), [](const Candidate* a, const Candidate* b) {
            return std::tie(a->pass, a->cost_min) < std::tie(b->pass, b->cost_min);
        });
        return all;
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
        for (const std::string prefix :
             {"constraint.", "entry.", "departure.", "airway.below", "airway.above", "airway."}) {
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

    routing::Level level_at(Altitude altitude) const {
        const aircraft::Performance& performance = request_.aircraft.performance;
        const Altitude field = departure().elevation.value_or(Altitude());
        const base::Speed airspeed = aircraft::true_airspeed_cruise(performance, altitude);
        routing::Level level;
        level.altitude = altitude;
        level.climb = climbing(world_, request_, altitude);
        level.slower_groundspeed = slower_groundspeed(world_, request_, altitude);
        level.groundspeed = [airspeed, wind = request_.winds.at(altitude)](base::TrueBearing track) {
            const auto held = aircraft::hold_course(track, airspeed, wind);
            return held ? held->groundspeed : base::Speed::knots(1.0);
        };
        if (altitude > field) {
            const auto climb = aircraft::climb_between(performance, field, altitude);
            level.climb_takes = std::max(base::Duration(0.0), climb.time - climb.distance / airspeed);
        }
        return level;
    }

    routing::FrontQuestion front_question(int pass) const {
        const aircraft::Performance& performance = request_.aircraft.performance;
        routing::FrontQuestion question;
        question.common = question_at(altitudes().front(), {});
        for (const auto& [cruise, forbidden] : forbidden_) {
            question.common.forbidden.insert(question.common.forbidden.end(), forbidden.begin(),
                                             forbidden.end());
        }
        for (const Altitude altitude : altitudes()) {
            if (request_.cruise || suits_direction(altitude) == (pass == 0)) {
                question.levels.push_back(level_at(altitude));
                question.fastest =
                    std::max(question.fastest, aircraft::true_airspeed_cruise(performance, altitude) +
                                                   request_.winds.at(altitude).speed);
            }
        }
        question.on_approach =
            std::min(question.fastest,
                     aircraft::true_airspeed_approach(performance, arrival().elevation.value_or(Altitude())));
        return question;
    }

    routing::Front front_of(const routing::FrontQuestion& question) const {
        return routing::front(world_, ground_, request_.aircraft.equipment, request_.settings, question,
                              roads_.network, roads_.memo);
    }

    // Ways that begin at an altitude, the one below or the one above, of those that suit the direction: other ways are looked for, not
    // the same way at each altitude.
    routing::FrontQuestion front_near(Altitude cruise) const {
        routing::FrontQuestion question = front_question(taken_->pass);
        const auto at = std::find_if(question.levels.begin(), question.levels.end(),
                                     [&](const routing::Level& level) { return level.altitude == cruise; });
        const auto lowest = at == question.levels.begin() || at == question.levels.end() ? at : at - 1;
        question.begun_at = static_cast<std::size_t>(at - lowest) + 2;
        question.levels.erase(question.levels.begin(), lowest);
        return question;
    }

    // No altitude serves for all of the way: the quickest flight that the judge admits of those that climb where a minimum asks for it.
    void take_climbing() {
        for (const int pass : {0, 1}) {
            pass_ = pass;
            const routing::FrontQuestion question = front_question(pass);
            if (question.levels.size() < 2) {
                continue;
            }
            routing::Front front = front_of(question);
            for (Candidate& way : ways_to_compile(front, most_refused)) {
                const bool climbs = std::any_of(way.legs.begin(), way.legs.end(),
                                                [](const flight::Leg& leg) { return leg.level.has_value(); });
                if (!climbs) {
                    continue;  // known from its altitude
                }
                candidates_.push_back(std::move(way));
                Candidate& here = candidates_.back();
                here.judged = true;
                here.pass = pass;
                ++answer_.routes_judged;
                Option option = option_of(here, ground_);
                if (option.verdict != base::Verdict::not_flyable) {
                    taken_ = &here;
                    answer_.option = std::move(option);
                    return;
                }
                keep_refused_flight(here, option);
            }
        }
    }

    // Straight onto the runway where it can be, with the least that speaks against it.
    static std::size_t easiest_landing(const FlyableApproach& approach) {
        const auto easiest = std::min_element(
            approach.landings.begin(), approach.landings.end(),
            [](const LandingOption& a, const LandingOption& b) { return a.weight() < b.weight(); });
        return static_cast<std::size_t>(easiest - approach.landings.begin());
    }

    // The front's ways, quickest first, but for those that are the first flight over again or nearly one that is compiled already.
    std::vector<Candidate> ways_to_compile(routing::Front& front, std::size_t most) const {
        constexpr double nearly_the_same = 0.9;
        std::vector<Candidate> ways;
        flight::Flight like_the_first;
        if (taken_ != nullptr) {
            like_the_first.legs = taken_->legs;
        }
        for (routing::Choosable& found : front.ways) {
            Candidate candidate;
            candidate.cruise = found.level;
            candidate.cost_min = base::in_minutes(found.costs.time);
            candidate.approach = entry_approaches_[found.way.entry];
            candidate.landing = candidate.approach != nullptr ? easiest_landing(*candidate.approach) : 0;
            candidate.start = found.way.start;
            candidate.arrival = found.way.arrival;
            candidate.legs = std::move(found.way.legs);
            flight::Flight flight;
            flight.legs = candidate.legs;
            const bool known = std::any_of(ways.begin(), ways.end(), [&](const Candidate& other) {
                flight::Flight kept;
                kept.legs = other.legs;
                return other.approach == candidate.approach &&
                       shared_distance(flight, kept) >= nearly_the_same;
            });
            const bool first_again = taken_ != nullptr && candidate.approach == taken_->approach &&
                                     shared_distance(flight, like_the_first) >= nearly_the_same;
            if (!known && !first_again && ways.size() < most) {
                ways.push_back(std::move(candidate));
            }
        }
        return ways;
    }

    // Each is compiled and judged by itself, so that the answer does not depend on how many are at once.
    void offer_choices() {
        if (request_.most_choices < 2 || taken_ == nullptr) {
            return;
        }
        constexpr std::size_t most_compiled_a_choice = 4;
        routing::Front front = front_of(front_near(taken_->cruise));
        answer_.choices_cut_short = front.cut_short;
        const std::vector<Candidate> ways =
            ways_to_compile(front, most_compiled_a_choice * (request_.most_choices - 1));
        std::vector<Choice> found(ways.size());
        base::parallel_for(
            ways.size(),
            [&](std::size_t i) {
                earth::SurveyedCorridors corridors;
                radio::Ground ground = ground_;
                ground.corridors = &corridors;
                found[i].option = option_of(ways[i], ground);
                found[i].costs = costs_of(found[i].option);
            },
            request_.threads);
        answer_.routes_judged += ways.size();
        answer_.costs = costs_of(*answer_.option);
        answer_.others = worth_offering({*answer_.option, *answer_.costs, ""}, std::move(found),
                                        request_.most_choices - 1);
    }

    flight::Costs costs_of(const Option& option) const {
        return flight::costs_of(circumstances_, option.flight, option.compiled);
    }

    Option option_of(const Candidate& candidate, const radio::Ground& ground) const {
        Option option;
        option.cost_min = candidate.cost_min;
        option.departure_runway =
            candidate.start ? departures_.starts[*candidate.start].runway : departure_runway_;
        flight::Flight& flight = option.flight;
        flight.departure = request_.from;
        if (request_.in_flight) {
            flight.begun = request_.in_flight->at;
        }
        flight.departure_runway = option.departure_runway.runway;
        flight.arrival = request_.to;
        flight.cruise = candidate.cruise;
        flight.alternate_fuel = request_.alternate_fuel;
        flight.legs = candidate.legs;
        if (candidate.approach != nullptr) {
            add_approach(world_, approach_question_, choice_, *candidate.approach,
                         candidate.approach->landings[candidate.landing], option);
            take_findings(candidate, flight);
        } else if (!landing_.empty()) {
            take_findings(candidate, flight);
            option.arrival_runway = landing_.front();
            flight.arrival_runway = option.arrival_runway->runway;
        }
        const Length without_holds = flight.length();
        finish_flight(world_, ground, request_, flight);
        option.cost_min +=
            base::in_minutes((flight.length() - without_holds) /
                             aircraft::true_airspeed_climb(request_.aircraft.performance, flight.cruise));
        judge_option(world_, ground, model_, request_, option);
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
        answer_.findings.insert(answer_.findings.end(), beyond_bound_.begin(), beyond_bound_.end());
        flight::rank_findings(answer_.findings);
        answer_.verdict = answer_.option ? answer_.option->verdict : base::Verdict::not_flyable;
        return std::move(answer_);
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const Request& request_;
    routing::Roads& roads_;
    flight::Circumstances circumstances_;
    flight::RunwayFit departure_runway_;
    earth::Position departure_place_;
    std::vector<flight::RunwayFit> departing_;  // that are looked at
    std::vector<flight::RunwayFit> landing_;
    std::vector<procedure::ApproachWay> ways_;
    std::vector<routing::Entry> entries_;
    procedure::Minima minima_;
    ApproachQuestion approach_question_;
    ApproachChoice choice_;
    std::vector<const FlyableApproach*> entry_approaches_;
    Departures departures_;
    Arrivals arrivals_;
    std::deque<Candidate> candidates_;  // a deque: what is judged is pointed at while more come
    int pass_ = 0;
    struct LevelAhead {
        Altitude cruise;
        double least_min = 0.0;   // no flight at it costs less
        bool to_the_end = false;  // near the straight line nothing was found
    };
    std::vector<LevelAhead> ahead_;  // not searched to the end yet, the one that promises most at the end
    std::vector<Altitude> searchable_;
    std::optional<routing::WaySearch> search_;  // by place among searchable_
    bool with_own_legs_ = false;                // nothing was admitted without them
    std::set<std::size_t> come_to_;             // entries that a way was found to
    std::function<std::vector<flight::LegsOrReason>(const flight::OwnLegsQuestion&)> own_legs_;
    std::size_t own_legs_asked_ = 0;
    std::size_t own_legs_not_asked_ = 0;
    bool refused_at_a_step_ = false;                      // any flight
    std::set<Altitude> wide_;                             // searched to every entry
    std::vector<routing::ForbiddenPair> doubtful_pairs_;  // refused at some altitude
    std::size_t doubts_met_everywhere_ = 0;               // so many of them leave no way at some level
    std::set<const FlyableApproach*> doubtful_approaches_;
    std::map<Altitude, std::vector<routing::ForbiddenPair>> forbidden_;
    const Candidate* taken_ = nullptr;
    std::vector<std::pair<const Candidate*, Finding>> not_admitted_;
    std::vector<Finding> beyond_bound_;
    std::vector<std::pair<Altitude, std::vector<Finding>>> refused_at_;
    Answer answer_;
};

// The flight asked for takes the place of the first, which then stands among the others.
void take_choice(std::size_t choice, Answer& answer) {
    if (choice < 2 || choice - 2 >= answer.others.size()) {
        return;
    }
    Choice taken = std::move(answer.others[choice - 2]);
    Choice first{std::move(*answer.option), *answer.costs, ""};
    answer.others.erase(answer.others.begin() + static_cast<std::ptrdiff_t>(choice - 2));
    answer.others.insert(answer.others.begin(), std::move(first));
    for (Choice& other : answer.others) {
        other.difference = difference_of(taken, other);
    }
    const auto& of_the_first = answer.others.front().option.findings;
    std::erase_if(answer.findings, [&](const Finding& finding) {
        return std::find(of_the_first.begin(), of_the_first.end(), finding) != of_the_first.end();
    });
    answer.option = std::move(taken.option);
    answer.costs = std::move(taken.costs);
    answer.verdict = answer.option->verdict;
    answer.findings.insert(answer.findings.begin(), answer.option->findings.begin(),
                           answer.option->findings.end());
    flight::rank_findings(answer.findings);
}

}  // namespace

Answer plan(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request) {
    routing::Roads roads(world);
    return plan(world, ground, model, request, roads);
}

Answer plan(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request, routing::Roads& roads) {
    // One line is asked about at every altitude, and again for everything that might unblock.
    earth::SurveyedCorridors corridors;
    radio::Ground surveyed = ground;
    surveyed.corridors = &corridors;
    const PlanOnce once = [&](const navdata::Snapshot& other, const Request& changed) {
        if (&other == &world) {
            return Planner(world, surveyed, model, changed, roads).result();
        }
        routing::Roads there(other);
        return Planner(other, surveyed, model, changed, there).result();
    };
    Answer answer = once(world, request);
    take_choice(request.choice, answer);
    if (answer.option && !request.in_flight) {
        add_immediate_return(world, surveyed, model, request, *answer.option);
    }
    answer.reception = ground.mode;
    answer.terrain_known = ground.terrain != nullptr && !ground.terrain->empty();
    if (answer.verdict == base::Verdict::not_flyable && !request.in_flight && request.ask_what_would_do) {
        WouldDo would_do = what_would_do(world, request, once);
        answer.would_unblock = std::move(would_do.changes);
        answer.changes_tried = would_do.tried;
        answer.changes_not_tried = would_do.not_tried;
    }
    if (request.most_lifts > 0) {
        what_mattered(world, surveyed, model, request, once, answer);
    }
    return answer;
}

std::string route_text(const navdata::Snapshot& world, const flight::Flight& flight) {
    // "12 NM after XDV" is no point of a route.
    const bool is_word = flight.begun && flight.begun->name.find(' ') == std::string::npos;
    std::string text = !flight.begun ? world[flight.departure].ident
                       : is_word     ? flight.begun->name
                                     : "(" + flight.begun->name + ")";
    for (std::size_t i = 0; i < flight.legs.size(); ++i) {
        const flight::Leg& leg = flight.legs[i];
        if (leg.phase == flight::Phase::approach) {
            break;
        }
        if (flight::is_climb_in_hold(leg)) {
            continue;
        }
        const bool direct =
            leg.via == flight::direct_via || (leg.phase == flight::Phase::departure && !leg.published);
        std::size_t next = i + 1;
        while (next < flight.legs.size() && flight::is_climb_in_hold(flight.legs[next])) {
            ++next;
        }
        const auto change =
            std::find_if(flight.level_changes.begin(), flight.level_changes.end(),
                         [&](const flight::LevelChange& each) { return each.leg > i && each.leg <= next; });
        const bool changes = change != flight.level_changes.end();
        const bool goes_on =
            next < flight.legs.size() && flight.legs[next].via == leg.via && !direct && !changes;
        if (goes_on || !leg.to) {
            continue;
        }
        text += " " + (direct ? std::string("DCT") : leg.via);
        // A STAR that leads to the approach itself ends the route: its last fix is not named again.
        const bool ends_the_route =
            leg.phase == flight::Phase::arrival &&
            (next == flight.legs.size() || flight.legs[next].phase == flight::Phase::approach);
        text += ends_the_route ? std::string() : " " + leg.to->ident;
        if (changes && !ends_the_route) {
            flight::RouteSpeedLevel word;
            word.changes = true;
            word.true_airspeed = base::Speed::knots(std::round(change->true_airspeed.knots()));
            word.altitude = change->to;
            text += flight::to_text(flight::RouteElement{{}, word});
        }
    }
    return text + " " + world[flight.arrival].ident;
}

}  // namespace omniway::plan
