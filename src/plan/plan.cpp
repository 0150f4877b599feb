#include "plan/plan.hpp"

#include <algorithm>
#include <cmath>
#include <functional>
#include <set>

#include <fmt/format.h>

#include "aircraft/wind_triangle.hpp"
#include "earth/geodesic.hpp"
#include "earth/terrain.hpp"
#include "routing/search.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Finding;
using base::Grade;
using base::Length;

namespace {

// What makes one approach harder than another, in NM of detour an instructor would accept to avoid it. Common practice, no source.
Length approach_work(const procedure::ApproachWay& way) {
    double nm = 0.0;
    switch (way.route_type) {
        case 'I':
            nm = 0.0;
            break;
        case 'L':
        case 'X':
            nm = 6.0;
            break;
        case 'B':
        case 'U':
            nm = 10.0;
            break;
        case 'D':
        case 'S':
        case 'V':
            nm = 8.0;
            break;
        default:
            nm = 14.0;
            break;  // beacons
    }
    if (way.runway_ident.empty()) {
        nm += 10.0;  // circling
    }
    if (!way.published_entry) {
        nm += 15.0;  // entered by own navigation
    }
    return Length::nautical_miles(nm);
}

struct Candidate {
    double cost_min = 0.0;
    Altitude cruise;
    const procedure::ApproachWay* approach = nullptr;  // null: no procedure
    std::vector<flight::Leg> legs;
};

class Planner {
public:
    Planner(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const Request& request)
        : world_(world), ground_(ground), model_(model), request_(request) {}

    Answer result() {
        answer_.departure_runways =
            flight::rank_runways(world_, request_.aircraft, request_.wind, request_.from, true);
        answer_.arrival_runways =
            flight::rank_runways(world_, request_.aircraft, request_.wind, request_.to, false);
        ways_ = procedure::approach_ways(world_, ground_, request_.aircraft.equipment, request_.to,
                                         request_.settings.criteria);
        if (!choose_departure()) {
            return finish();
        }
        gather_entries();
        if (entries_.empty()) {
            return finish();
        }
        gather_candidates();
        take_first_admitted();
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
        const navdata::Runway& runway = world_[departure_runway_.runway];
        departure_place_ = runway.far_end     ? *runway.far_end
                           : runway.threshold ? *runway.threshold
                                              : departure().position;
        return true;
    }

    const flight::RunwayFit* landing_fit(navdata::RunwayId id) const {
        for (const auto& fit : answer_.arrival_runways) {
            if (fit.runway == id) {
                return &fit;
            }
        }
        return nullptr;
    }

    // The runway an approach ends on, if it fits; for a circling approach the best that fits.
    const flight::RunwayFit* runway_of(const procedure::ApproachWay& way) const {
        if (way.runway) {
            return landing_fit(*way.runway);
        }
        return answer_.arrival_runways.empty() ? nullptr : &answer_.arrival_runways.front();
    }

    void consider(const procedure::ApproachWay& way, const std::string& why_not) {
        answer_.approaches.push_back({way.name(), why_not.empty(), why_not});
    }

    void gather_entries() {
        for (const procedure::ApproachWay& way : ways_) {
            if (!way.flyable()) {
                const auto first = std::find_if(way.findings.begin(), way.findings.end(),
                                                [](const Finding& f) { return f.grade == Grade::blocks; });
                consider(way, first->text);
                answer_.refused.push_back(*first);
                continue;
            }
            const flight::RunwayFit* fit = runway_of(way);
            if (fit == nullptr || !fit->fits()) {
                const std::string why = fit == nullptr
                                            ? std::string("no runway of it is in the data")
                                            : fit->findings.front().about + ": " + fit->findings.front().text;
                consider(way, why);
                answer_.refused.push_back(
                    {Grade::blocks, "approach.runway", arrival().ident + " " + way.name(), why, ""});
                continue;
            }
            consider(way, "");
            entries_.push_back(entry_of(way, *fit));
            entry_ways_.push_back(&way);
        }
        if (entries_.empty()) {
            entries_without_procedure();
        }
    }

    routing::Entry entry_of(const procedure::ApproachWay& way, const flight::RunwayFit& fit) const {
        routing::Entry entry;
        entry.fix = way.entry;
        entry.any_direction = way.reverses_course;
        Length first_length;
        for (const procedure::PlacedLeg& leg : way.legs) {
            if (leg.length > Length()) {
                entry.first_track = leg.track;
                first_length = leg.length;
                // Onto a localizer at most 30 degrees (trade-facts 21, common practice); elsewhere 120 (trade-facts 8.4).
                if (std::holds_alternative<procedure::OnLocalizer>(leg.guidance) && !way.published_entry) {
                    entry.largest_turn = base::Angle::degrees(30.0);
                }
                break;
            }
        }
        if (first_length > Length()) {
            entry.allowed_error = first_length * 0.5;
        }
        for (const procedure::PlacedLeg& leg : way.legs) {
            if (const auto station = procedure::station_of(leg.guidance)) {
                entry.published_aids.push_back(*station);
            }
        }
        entry.extra = way.length + approach_work(way);
        // A knot of tailwind is worth a mile and a half of detour: common practice, no source.
        entry.extra += Length::nautical_miles(1.5 * std::max(0.0, -fit.headwind.knots()));
        // Into wind is worth something even when tailwind is out of the question.
        entry.extra += Length::nautical_miles(0.3 * std::max(0.0, best_headwind() - fit.headwind.knots()));
        return entry;
    }

    double best_headwind() const {
        return answer_.arrival_runways.empty() ? 0.0 : answer_.arrival_runways.front().headwind.knots();
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
                entry_ways_.push_back(nullptr);
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

    std::function<Altitude(Length)> climb_to(Altitude cruise) const {
        const aircraft::Performance& performance = request_.aircraft.performance;
        const Altitude field = departure().elevation.value_or(Altitude());
        std::vector<std::pair<Length, Altitude>> table{{Length(), field}};
        for (Altitude from = field; from < cruise;) {
            const Altitude to = std::min(from + Length::feet(500), cruise);
            table.emplace_back(table.back().first + aircraft::climb_between(performance, from, to).distance,
                               to);
            from = to;
        }
        return [table](Length along) {
            for (std::size_t i = 1; i < table.size(); ++i) {
                if (along <= table[i].first) {
                    const double share = (along - table[i - 1].first) / (table[i].first - table[i - 1].first);
                    return table[i - 1].second + (table[i].second - table[i - 1].second) * share;
                }
            }
            return table.back().second;
        };
    }

    void gather_candidates() {
        // Levels of the semicircular rule first (trade-facts 9.4): the others only where those lead nowhere.
        const std::vector<Altitude> all = altitudes();
        for (const bool suited : {true, false}) {
            for (const Altitude cruise : all) {
                if (suits_direction(cruise) == suited || request_.cruise) {
                    search_at(cruise);
                }
            }
            if (!candidates_.empty() || request_.cruise) {
                break;
            }
        }
        std::stable_sort(candidates_.begin(), candidates_.end(),
                         [](const Candidate& a, const Candidate& b) { return a.cost_min < b.cost_min; });
        answer_.routes_considered = candidates_.size();
    }

    void search_at(Altitude cruise) {
        routing::Question question;
        question.departure = departure_place_;
        question.departure_name = departure().ident;
        question.climb = climb_to(cruise);
        question.arrival = arrival().position;
        question.cruise = cruise;
        const base::Speed airspeed = aircraft::true_airspeed_cruise(request_.aircraft.performance, cruise);
        // Dead reckoning is bounded by the slower of what is flown low and what is flown high, in the wind along the track: the
        // judge, who tests it at the height really flown, then finds no longer stretch than was drawn.
        const base::Speed slower =
            std::min(airspeed, aircraft::true_airspeed_cruise(request_.aircraft.performance,
                                                              departure().elevation.value_or(Altitude())));
        question.groundspeed = [this, slower](base::TrueBearing track) {
            const auto held = aircraft::hold_course(track, slower, request_.wind);
            return held ? held->groundspeed : base::Speed::knots(1.0);
        };
        question.entries = entries_;
        routing::Answer found =
            routing::search(world_, ground_, request_.aircraft.equipment, request_.settings, question);
        refused_at_.emplace_back(cruise, std::move(found.refused));
        for (routing::Way& way : found.ways) {
            Candidate candidate;
            candidate.cruise = cruise;
            candidate.approach = entry_ways_[way.entry];
            candidate.legs = std::move(way.legs);
            candidate.cost_min = minutes_of(way.cost_nm, cruise, airspeed);
            candidates_.push_back(std::move(candidate));
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
        const earth::Position from = departure().position;
        const base::MagneticBearing course = base::to_magnetic(earth::bearing(from, arrival().position),
                                                               model_.variation(from, request_.today));
        const long thousands = std::lround(cruise.feet() / 1000.0);
        const bool eastbound = course.degrees() < 180.0;
        if (thousands >= 29) {
            return eastbound ? (thousands - 29) % 4 == 0 : (thousands - 31) % 4 == 0;
        }
        return (thousands % 2 == 1) == eastbound;
    }

    void take_first_admitted() {
        if (candidates_.empty()) {
            block("route.none", departure().ident + " to " + arrival().ident,
                  "no way along conventional airways or legs that can be received leads to an entry of an "
                  "approach",
                  "--why lists what was refused");
            return;
        }
        constexpr std::size_t most_judged = 12;
        std::optional<Option> best_blocked;
        for (std::size_t i = 0; i < std::min(candidates_.size(), most_judged); ++i) {
            Option option = option_of(candidates_[i]);
            if (option.verdict != base::Verdict::not_flyable) {
                answer_.option = std::move(option);
                return;
            }
            if (!best_blocked) {
                best_blocked = std::move(option);
            }
        }
        answer_.option = std::move(best_blocked);
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

    static flight::Leg leg_of(const procedure::PlacedLeg& placed, const std::string& via,
                              flight::Phase phase) {
        flight::Leg leg;
        leg.phase = phase;
        leg.via = via;
        leg.published = true;
        leg.from = placed.from;
        leg.to = placed.to;
        leg.start = placed.start;
        leg.finish = placed.finish;
        leg.track = placed.track;
        leg.arrival = placed.track;
        leg.length = placed.length;
        leg.stretches.push_back({Length(), placed.length, placed.guidance});
        leg.ending = placed.ending;
        leg.minimum = {flight::MinimumFrom::coded_procedure, placed.coded->altitude_1};
        leg.coded = placed.coded;
        return leg;
    }

    Option option_of(const Candidate& candidate) const {
        Option option;
        option.cost_min = candidate.cost_min;
        option.departure_runway = departure_runway_;
        flight::Flight& flight = option.flight;
        flight.departure = request_.from;
        flight.departure_runway = departure_runway_.runway;
        flight.arrival = request_.to;
        flight.cruise = candidate.cruise;
        flight.legs = candidate.legs;
        if (candidate.approach != nullptr) {
            const procedure::ApproachWay& way = *candidate.approach;
            flight.approach = way.name();
            flight.from_procedure = way.findings;
            if (const flight::RunwayFit* fit = runway_of(way)) {
                option.arrival_runway = *fit;
                flight.arrival_runway = fit->runway;
            }
            for (const procedure::PlacedLeg& placed : way.legs) {
                if (placed.coded->terminator != navdata::PathTerminator::IF) {
                    flight.legs.push_back(leg_of(placed, flight.approach, flight::Phase::approach));
                }
            }
            for (const procedure::PlacedLeg& placed : way.missed) {
                flight.missed.push_back(leg_of(placed, "missed approach", flight::Phase::missed));
            }
            if (!way.published_entry) {
                option.own_entry = true;
                flight.from_procedure.push_back(
                    {Grade::warns, "approach.own_entry", flight.approach,
                     fmt::format("{} is not coded as an initial approach fix: the procedure is entered there "
                                 "by own navigation",
                                 way.entry.ident),
                     ""});
            }
        } else if (!answer_.arrival_runways.empty()) {
            option.arrival_runway = answer_.arrival_runways.front();
            flight.arrival_runway = option.arrival_runway->runway;
        }
        flight.profile =
            flight::profile_of(flight, request_.aircraft, departure().elevation.value_or(Altitude()),
                               arrival().elevation.value_or(Altitude()));
        flight::read_distances_in_profile(world_, flight);
        option.card =
            flight::card_of(world_, request_.aircraft, model_, request_.today, request_.wind, flight);
        option.findings =
            flight::judge(world_, ground_, request_.aircraft, request_.settings, request_.wind, flight);
        card_findings(option);
        if (!suits_direction(candidate.cruise)) {
            option.findings.push_back({Grade::notes, "altitude.semicircular",
                                       fmt::format("{:.0f} ft", candidate.cruise.feet()),
                                       "is not a level of the semicircular rule for this direction", ""});
        }
        base::rank(option.findings);
        option.verdict = base::verdict_of(option.findings);
        return option;
    }

    void card_findings(Option& option) const {
        const aircraft::Fuel& fuel = request_.aircraft.fuel;
        if (!option.card.time) {
            option.findings.push_back({Grade::blocks, "wind.too_strong", weather::to_text(request_.wind),
                                       "no heading holds a course of the way in this wind", ""});
        } else if (option.card.fuel_needed > fuel.usable) {
            option.findings.push_back({Grade::blocks, "fuel.too_little", request_.aircraft.name,
                                       fmt::format("{:.0f} lb needed with reserve, {:.0f} lb usable",
                                                   option.card.fuel_needed.pounds(), fuel.usable.pounds()),
                                       ""});
        }
        for (const navdata::Source& source : world_.sources()) {
            if (!source.cycle.empty() && request_.today.value - source.reference_year > 0.2) {
                option.findings.push_back({Grade::warns, "data.expired", source.file,
                                           fmt::format("cycle {} has expired", source.cycle),
                                           "import current data"});
            }
        }
    }

    Answer finish() {
        gather_refused();
        if (candidates_.empty() && !refused_at_.empty()) {
            nearest_refusals();
        }
        if (answer_.option) {
            answer_.findings = answer_.option->findings;
        }
        base::rank(answer_.findings);
        answer_.verdict = answer_.option ? answer_.option->verdict : base::Verdict::not_flyable;
        return std::move(answer_);
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const Request& request_;
    flight::RunwayFit departure_runway_;
    earth::Position departure_place_;
    std::vector<procedure::ApproachWay> ways_;
    std::vector<routing::Entry> entries_;
    std::vector<const procedure::ApproachWay*> entry_ways_;
    std::vector<Candidate> candidates_;
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
    Answer answer = Planner(world, ground, model, request).result();
    answer.reception = ground.mode;
    answer.terrain_known = ground.terrain != nullptr && !ground.terrain->empty();
    if (answer.verdict == base::Verdict::not_flyable) {
        answer.would_unblock = unblockers(world, ground, model, request);
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
        const bool direct = leg.phase == flight::Phase::departure || leg.via == "direct";
        const bool goes_on = i + 1 < flight.legs.size() && flight.legs[i + 1].via == leg.via && !direct;
        if (!goes_on && leg.to) {
            text += " " + (direct ? std::string("DCT") : leg.via) + " " + leg.to->ident;
        }
    }
    return text + " " + world[flight.arrival].ident;
}

}  // namespace omniway::plan
