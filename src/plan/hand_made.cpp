#include "plan/hand_made.hpp"

#include <algorithm>
#include <cmath>
#include <set>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "earth/same_place.hpp"
#include "earth/surveyed_corridors.hpp"
#include "fixing/catalogue.hpp"
#include "flight/departure.hpp"
#include "flight/departure_intercept.hpp"
#include "flight/en_route.hpp"
#include "flight/intercept.hpp"
#include "flight/off_airway_minimum.hpp"
#include "plan/departure_choice.hpp"
#include "plan/detail/named_route.hpp"
#include "plan/finish_flight.hpp"
#include "procedure/approach.hpp"
#include "procedure/reversal_rules.hpp"

namespace omniway::plan {

using base::Altitude;
using base::Error;
using base::Finding;
using base::Grade;
using base::Length;
using detail::Hop;
using detail::NamedRoute;
using detail::NamedSection;
using flight::Leg;
using flight::RouteElement;
using navdata::Airway;
using navdata::Point;
using navdata::StationId;
using procedure::PlacedFix;

namespace {

// Every radio there is: by what a leg would be flown that the equipment aboard cannot fly.
cockpit::Equipment every_radio() {
    const cockpit::NavigationReceiver receiver{cockpit::CourseIndicator::hsi, true, true};
    return {{receiver, receiver}, cockpit::DmeControl::own_control, cockpit::AdfIndicator::rmi, true};
}

bool any_blocks(const std::vector<Finding>& findings) {
    return std::any_of(findings.begin(), findings.end(),
                       [](const Finding& finding) { return finding.grade == Grade::blocks; });
}

std::size_t blocking(const Option& option) {
    return static_cast<std::size_t>(
        std::count_if(option.findings.begin(), option.findings.end(),
                      [](const Finding& finding) { return finding.grade == Grade::blocks; }));
}

// The steps that a leg is flown by: those that lie within it along the track.
std::pair<int, int> steps_of(const flight::Flight& flight, const std::vector<flight::TrackStep>& steps,
                             std::size_t leg) {
    constexpr Length margin = Length::metres(100.0);
    Length begins;
    for (std::size_t i = 0; i < leg; ++i) {
        begins += flight.legs[i].length;
    }
    const Length ends = begins + flight.legs[leg].length;
    std::pair<int, int> found{0, 0};
    Length along;
    for (const flight::TrackStep& step : steps) {
        const Length middle = along + step.length * 0.5;
        // A step may run on over points that are passed straight ahead: it belongs to the legs it ends.
        const bool within = middle > begins - margin && middle < ends + margin;
        const bool reaches_over = along < begins + margin && along + step.length > ends - margin;
        if (within || reaches_over) {
            found.first = found.first == 0 ? step.number : found.first;
            found.second = step.number;
        }
        along += step.length;
    }
    return found;
}

// Tells of each finding about a leg, or about the point at its end, to which step it belongs.
void place_findings(Option& option) {
    const flight::Flight& flight = option.flight;
    for (Finding& finding : option.findings) {
        for (std::size_t i = 0; i < flight.legs.size() && !finding.step; ++i) {
            const Leg& leg = flight.legs[i];
            const std::string to = leg.to ? " to " + leg.to->ident : std::string();
            const std::string from = leg.from ? leg.from->ident : std::string();
            const bool of_leg = finding.about == leg.via + (from.empty() ? "" : " from " + from) + to ||
                                (!from.empty() && finding.about == leg.via + " " + from + to);
            const bool of_end =
                leg.to && (finding.about == leg.to->ident || finding.about == "entering at " + leg.to->ident);
            if (of_leg || (of_end && finding.code.ends_with("not_told")) ||
                (of_end && finding.code.starts_with("entry."))) {
                const auto [first, last] = steps_of(flight, option.compiled.track.steps, i);
                const int step = of_leg ? first : last;
                finding.step = step == 0 ? std::nullopt : std::optional(step);
            }
        }
    }
}

// Lays a resolved route out at a cruising altitude and judges it.
class Builder {
public:
    Builder(const navdata::Snapshot& world, const radio::Ground& ground, const earth::MagneticModel& model,
            const HandMadeRequest& request, const NamedRoute& resolved)
        : world_(world),
          ground_(ground),
          model_(model),
          request_(request),
          flight_(request.flight),
          resolved_(resolved) {}

    // The first fault of what the airports themselves lack.
    std::optional<Error> choose_runways() {
        departing_ = runways(flight_.from, flight_.departure_runway, true);
        landing_ = runways(flight_.to, flight_.landing_runway, false);
        for (const bool leaving : {true, false}) {
            if ((leaving ? departing_ : landing_).empty()) {
                const std::string& airport = world_[leaving ? flight_.from : flight_.to].ident;
                return Error{"route.no_runway",
                             fmt::format("no runway of {} is in the data: import its runways", airport),
                             request_.name};
            }
        }
        question_ = {flight_.to, &flight_.aircraft, flight_.winds, &flight_.settings, &minima_, landing_};
        ways_ = procedure::approach_ways(world_, ground_, flight_.aircraft.equipment, flight_.to,
                                         flight_.settings.criteria);
        std::erase_if(ways_, [&](const procedure::ApproachWay& way) {
            return !is_asked_for(way, flight_.approach, flight_.approach_transition);
        });
        minima_ = procedure::held_against(world_, with_own_minimum(), {flight_.from, flight_.to});
        choice_ = approach_choice(world_, ground_, question_, ways_);
        return std::nullopt;
    }

    Option at(Altitude cruise) {
        cruise_ = cruise;
        carried_ = resolved_.said;
        carried_.insert(carried_.end(), minima_.findings().begin(), minima_.findings().end());
        legs_.clear();
        sid_.clear();
        level_.reset();
        lay_departure();
        for (std::size_t i = 0; i < resolved_.sections.size(); ++i) {
            level_ = level_named(resolved_.sections[i].level);
            if (resolved_.star && resolved_.star_before == i) {
                lay_arrival(&resolved_.sections[i].to);
                // The arrival led to the end of this section.
                if (reached(resolved_.sections[i].to)) {
                    continue;
                }
            }
            lay_section(resolved_.sections[i]);
        }
        level_ = level_named(resolved_.last_level);
        if (resolved_.star && resolved_.star_before == resolved_.sections.size()) {
            return best_of(ends_by_arrival());
        }
        return best_of({End{legs_, star_, star_findings_}});
    }

private:
    // Legs to where an approach is to begin.
    struct End {
        std::vector<Leg> legs;
        std::string star;
        std::vector<Finding> findings;
    };
    // An approach begun at such an end.
    struct Begun {
        std::size_t end = 0;
        const FlyableApproach* approach = nullptr;
        std::size_t landing = 0;
        double cost_nm = 0.0;
        std::optional<Finding> refused;  // the way leads to it, but not as it should
    };

    std::vector<flight::RunwayFit> runways(navdata::AirportId airport, std::optional<navdata::RunwayId> asked,
                                           bool departing) const {
        std::vector<flight::RunwayFit> all =
            flight::rank_runways(world_, flight_.aircraft, flight_.winds.surface(), airport, departing);
        if (asked) {
            std::erase_if(all, [&](const flight::RunwayFit& fit) { return fit.runway != *asked; });
        }
        return all;
    }

    // The minimum that belongs to the approach asked for, as one more row.
    procedure::Minima with_own_minimum() const {
        std::vector<procedure::MinimumRow> rows = flight_.minima.rows();
        std::set<std::string> named;
        for (const procedure::ApproachWay& way : ways_) {
            if (request_.minimum && named.insert(way.procedure->ident).second) {
                rows.push_back({world_[flight_.to].ident,
                                way.procedure->ident,
                                {aircraft::approach_category(flight_.aircraft.performance.approach_speed)},
                                *request_.minimum});
            }
        }
        return {std::move(rows), flight_.minima.findings()};
    }

    void carry(Finding finding) { carried_.push_back(std::move(finding)); }

    bool reached(const PlacedFix& fix) const {
        return !legs_.empty() && earth::distance(legs_.back().finish, fix.position) < earth::same_place;
    }

    flight::Circumstances day() const {
        return {world_, ground_, model_, flight_.today, flight_.aircraft, flight_.settings, flight_.winds};
    }

    PlacedFix here() const { return *legs_.back().to; }

    // Departure

    void lay_departure() {
        departure_runway_ = departing_.front();
        if (resolved_.sid && lay_sid()) {
            return;
        }
        Request own = flight_;
        own.departure = std::string(own_departure);
        own.constraints = {};  // the judge finds what is not kept to
        const auto ahead = choose_departures(world_, ground_, own, departing_).straight_ahead;
        lay_own_departure(ahead);
    }

    bool lay_sid() {
        Request asked = flight_;
        asked.departure = resolved_.sid;
        asked.constraints = {};
        const Departures found = choose_departures(world_, ground_, asked, departing_);
        std::string ends;
        for (std::size_t i = 0; i < found.chains.size(); ++i) {
            const PlacedFix& end = *found.chains[i].legs.back().to;
            if (earth::distance(end.position, resolved_.first->position) < earth::same_place) {
                legs_ = found.chains[i].legs;
                sid_ = found.starts[i].sid;
                departure_runway_ = found.starts[i].runway;
                for (const Finding& finding : found.starts[i].findings) {
                    carry(finding);
                }
                return true;
            }
            if (ends.find(end.ident) == std::string::npos) {
                ends += (ends.empty() ? "" : ", ") + end.ident;
            }
        }
        std::string why;
        for (const ProcedureConsidered& each : found.considered) {
            const std::size_t name = each.name.find(*resolved_.sid);
            if (!each.flyable && name != std::string::npos && why.empty()) {
                why = each.name + ": " + each.why_not;
            }
        }
        carry({Grade::blocks, "departure.not_flown", world_[flight_.from].ident + " " + *resolved_.sid,
               (!ends.empty() ? fmt::format("does not lead to {}, but to {}", resolved_.first->ident, ends)
                : why.empty() ? std::string("cannot be flown from a runway that fits")
                              : "cannot be flown: " + why) +
                   "; the rest is judged behind an own departure",
               "--departure own, or another departure"});
        return false;
    }

    void lay_own_departure(const std::optional<flight::StraightAhead>& ahead) {
        const PlacedFix& first = *resolved_.first;
        const earth::Position place = departure_place(world_, departure_runway_.runway);
        const std::string& name = world_[flight_.from].ident;
        const flight::Climbing climb = climbing(world_, flight_, cruise_);
        const auto lay = [&](const cockpit::Equipment& aboard, const flight::Settings& settings) {
            return flight::departure_legs(world_, ground_, aboard, settings, place, name, ahead, first,
                                          climb);
        };
        flight::LegsOrReason made = lay(flight_.aircraft.equipment, flight_.settings);
        if (made.refused) {
            made = lay(every_radio(), relaxed());
        }
        // A near place of its own making is where the heading meets a line.
        const bool is_where_it_meets = !first.point && earth::distance(place, first.position) <=
                                                           flight_.settings.dead_reckoning_distance;
        if (made.refused && made.refused->code == "departure.no_aid" && !is_where_it_meets) {
            made = flight::departure_intercept(day(), {place, name, ahead, first, cruise_, climb.altitude});
        }
        if (made.refused) {
            made.legs = headings_to(first, place, name, ahead);
        }
        legs_ = std::move(made.legs);
    }

    // Toward what is no VOR and no NDB: by a radial of an aid it lies on, else by heading.
    std::vector<Leg> headings_to(const PlacedFix& first, earth::Position place, const std::string& name,
                                 const std::optional<flight::StraightAhead>& ahead) const {
        std::vector<Leg> legs;
        PlacedFix from{name, place, std::nullopt, false};
        if (ahead) {
            Leg leg =
                plain_leg(from, {"", earth::destination(place, ahead->track, ahead->length), {}, false});
            leg.to.reset();
            leg.ending = procedure::AtAltitude{ahead->altitude};
            leg.stretches = {{Length(), leg.length, procedure::OnHeading{ahead->track}}};
            from.position = leg.finish;
            legs.push_back(std::move(leg));
        }
        Leg leg = plain_leg(from, first);
        if (ahead) {
            leg.from.reset();
        }
        legs.push_back(std::move(leg));
        for (Leg& each : legs) {
            each.phase = flight::Phase::departure;
            each.via = "own departure";
        }
        return legs;
    }

    // Legs between points

    flight::Settings relaxed() const {
        flight::Settings settings = flight_.settings;
        settings.dead_reckoning_distance = Length::nautical_miles(10000.0);
        settings.dead_reckoning_time = base::minutes(6000.0);
        settings.off_airway_minimum = Altitude::feet(0.0);
        return settings;
    }

    // A level that is the flight's own is none of a leg's.
    std::optional<Altitude> level_named(std::optional<Altitude> level) const {
        return level == cruise_ ? std::nullopt : level;
    }
    Altitude level() const { return level_.value_or(cruise_); }

    void lay_section(const NamedSection& section) {
        for (const Hop& hop : section.hops) {
            legs_.push_back(airway_leg(hop));
            legs_.back().level = level_;
        }
        if (section.hops.empty()) {
            for (const PlacedFix& to : section.along_direct) {
                Leg leg = direct_leg(here(), to);
                // What the take-off's heading meets is still its climb.
                if (legs_.back().phase == flight::Phase::departure && is_met_by_heading(legs_.back(), leg)) {
                    leg.phase = flight::Phase::departure;
                    leg.via = "own departure";
                    leg.minimum = {};
                }
                leg.level = level_;
                legs_.push_back(std::move(leg));
            }
        }
    }

    void lay(const std::vector<Leg>& arrival, std::vector<Leg>& legs) const {
        for (const Leg& leg : arrival) {
            legs.push_back(leg);
            legs.back().level = level_;
        }
    }

    // What its builder refuses is laid out without what it was refused for, for the judge to find in it.
    Leg airway_leg(const Hop& hop) const {
        const auto made = flight::airway_leg(world_, flight_.aircraft.equipment, *hop.airway, hop.index,
                                             hop.forward, level());
        if (made.leg) {
            return *made.leg;
        }
        const navdata::AirwaySegment& published = hop.airway->segments[hop.index];
        const auto& minimum = hop.forward ? published.minimum_forward : published.minimum_backward;
        Airway open = *hop.airway;
        navdata::AirwaySegment& segment = open.segments[hop.index];
        segment.direction = navdata::AirwayDirection::both;
        segment.minimum_forward = segment.minimum_backward = navdata::NotKnown{};
        segment.maximum.reset();
        std::optional<Leg> leg;
        for (const Altitude altitude : {level(), Altitude::feet(10000.0), Altitude::feet(20000.0)}) {
            if (!leg) {
                leg = flight::airway_leg(world_, every_radio(), open, hop.index, hop.forward, altitude).leg;
            }
        }
        if (!leg) {
            leg = plain_leg(placed(hop.forward ? published.from : published.to),
                            placed(hop.forward ? published.to : published.from));
            leg->via = open.designator;
            leg->published = true;
        }
        const auto* altitude = std::get_if<Altitude>(&minimum);
        leg->minimum = {altitude != nullptr ? flight::MinimumFrom::published_airway
                                            : flight::MinimumFrom::published_unknown,
                        altitude != nullptr ? std::optional(*altitude) : std::nullopt};
        leg->maximum = published.maximum;
        return *leg;
    }

    PlacedFix placed(const Point& point) const {
        return {world_.ident(point), world_.position(point), point, false};
    }

    Leg direct_leg(const PlacedFix& from, const PlacedFix& to) const {
        if (flight::is_flown_by_heading(day(), from, to, level())) {
            const Leg leg = flight::straight_leg(from, to);
            return guided(leg, procedure::OnHeading{leg.track});
        }
        const base::Speed speed =
            slower_groundspeed(world_, flight_, level())(earth::bearing(from.position, to.position));
        auto made = flight::direct_leg(world_, ground_, flight_.aircraft.equipment, flight_.settings, from,
                                       to, level(), speed);
        if (made.leg) {
            return *made.leg;
        }
        made = flight::direct_leg(world_, ground_, every_radio(), relaxed(), from, to, level(), speed);
        if (!made.leg) {
            return plain_leg(from, to);
        }
        made.leg->minimum = flight::off_airway_minimum(world_, ground_, flight_.settings, made.leg->start,
                                                       made.leg->finish, made.leg->stretches);
        return *made.leg;
    }

    // A straight line between two places: by an aid at its end, by one whose radial it lies on, else by heading.
    Leg plain_leg(const PlacedFix& from, const PlacedFix& to) const {
        return guided(flight::straight_leg(from, to), guidance_along(from, to));
    }

    Leg guided(Leg leg, const procedure::Guidance& guidance) const {
        leg.stretches.push_back({Length(), leg.length, guidance});
        leg.minimum = flight::off_airway_minimum(world_, ground_, flight_.settings, leg.start, leg.finish,
                                                 leg.stretches);
        return leg;
    }

    procedure::Guidance guidance_along(const PlacedFix& from, const PlacedFix& to) const {
        std::vector<StationId> aids;
        for (const PlacedFix* end : {&from, &to}) {
            if (const auto* id = end->point ? std::get_if<StationId>(&*end->point) : nullptr) {
                aids.push_back(*id);
            }
        }
        constexpr Length reach = Length::nautical_miles(130.0);  // of any standard volume
        for (const StationId id : world_.stations_within(to.position, reach)) {
            if (navdata::vor(world_[id]) != nullptr || navdata::ndb(world_[id]) != nullptr) {
                aids.push_back(id);
            }
        }
        const auto found =
            procedure::find_guidance(world_, flight_.aircraft.equipment, aids, from.position, to.position);
        return found.guidance ? *found.guidance
               : found.unfollowed
                   ? *found.unfollowed
                   : procedure::Guidance(procedure::OnHeading{earth::bearing(from.position, to.position)});
    }

    // Arrival

    Arrivals arrivals_at_hand() const {
        Request asked = flight_;
        asked.arrival = resolved_.star;
        asked.constraints = {};
        asked.cruise = level();
        std::vector<routing::Entry> entries;
        for (const FlyableApproach& approach : choice_.flyable) {
            entries.push_back(approach.entry);
        }
        if (!resolved_.sections.empty() || resolved_.first) {
            // Wherever the route goes on from: choose_arrivals() asks for an entry there.
            for (const NamedSection& section : resolved_.sections) {
                routing::Entry entry;
                entry.fix = section.to;
                entry.any_direction = true;
                entries.push_back(entry);
            }
        }
        return choose_arrivals(world_, ground_, asked, entries);
    }

    bool begins_here(const routing::Chain& chain) const {
        return chain.legs.front().from &&
               earth::distance(chain.legs.front().from->position, legs_.back().finish) < earth::same_place;
    }

    void arrival_not_flown(const Arrivals& arrivals) {
        std::string why;
        std::string begins;
        for (const ProcedureConsidered& each : arrivals.considered) {
            if (!each.flyable && each.name.starts_with(*resolved_.star) && why.empty()) {
                why = each.name + ": " + each.why_not;
            }
        }
        for (const routing::Chain& chain : arrivals.chains) {
            const std::string& ident = chain.legs.front().from->ident;
            if (begins.find(ident) == std::string::npos) {
                begins += (begins.empty() ? "" : ", ") + ident;
            }
        }
        carry({Grade::blocks, "arrival.not_flown", world_[flight_.to].ident + " " + *resolved_.star,
               !begins.empty() ? fmt::format("does not begin at {}, but at {}", here().ident, begins)
               : why.empty()   ? std::string("cannot be flown")
                               : "cannot be flown: " + why,
               "--arrival none, or another arrival"});
    }

    // To the point that follows it.
    void lay_arrival(const PlacedFix* next) {
        const Arrivals arrivals = arrivals_at_hand();
        for (std::size_t i = 0; i < arrivals.chains.size(); ++i) {
            const routing::Chain& chain = arrivals.chains[i];
            if (begins_here(chain) &&
                earth::distance(chain.legs.back().to->position, next->position) < earth::same_place) {
                lay(chain.legs, legs_);
                star_ = arrivals.stars[i];
                star_findings_ = arrivals.findings[i];
                return;
            }
        }
        arrival_not_flown(arrivals);
    }

    std::vector<End> ends_by_arrival() {
        const Arrivals arrivals = arrivals_at_hand();
        std::vector<End> ends;
        for (std::size_t i = 0; i < arrivals.chains.size(); ++i) {
            if (begins_here(arrivals.chains[i])) {
                End end{legs_, arrivals.stars[i], arrivals.findings[i]};
                lay(arrivals.chains[i].legs, end.legs);
                ends.push_back(std::move(end));
            }
        }
        if (ends.empty()) {
            arrival_not_flown(arrivals);
            ends.push_back({legs_, "", {}});
        }
        return ends;
    }

    // Approach

    fixing::FixQuestion fix_question(const Leg& leg) const {
        fixing::FixQuestion question;
        question.fix = leg.finish;
        question.altitude = leg.level.value_or(cruise_);
        question.track = leg.arrival;
        question.guided_by = procedure::station_of(leg.stretches.back().guidance);
        question.criteria = flight_.settings.criteria;
        return question;
    }

    static fixing::FixQuestion at_entry(fixing::FixQuestion question, const routing::Entry& entry) {
        question.use = fixing::FixUse::terminal;
        question.allowed_error = entry.allowed_error;
        question.published_aids = entry.published_aids;
        return question;
    }

    bool is_told(const fixing::FixQuestion& question) const {
        return !fixing::tellings(world_, ground_, flight_.aircraft.equipment, question).ways.empty();
    }

    // By the equipment; else by what the sky offers, and the judge finds what is lacking aboard.
    void tell_end(Leg& leg, const routing::Entry* entry) {
        const fixing::FixQuestion question =
            entry != nullptr ? at_entry(fix_question(leg), *entry) : fix_question(leg);
        const auto told = fixing::tellings(world_, ground_, flight_.aircraft.equipment, question);
        if (!told.ways.empty()) {
            leg.ending = procedure::AtFix{*leg.to, told.ways.front()};
            return;
        }
        const auto sky = fixing::catalogue(world_, ground_, question);
        if (!sky.ways.empty()) {
            leg.ending = procedure::AtFix{*leg.to, sky.ways.front().telling};
            return;
        }
        leg.ending.reset();  // the judge finds what turns there
        if (entry != nullptr) {
            carry({Grade::blocks, "fix.not_told", leg.to->ident,
                   sky.refused.empty() ? "no aid gives a second line there"
                                       : fixing::to_text(world_, sky.refused.front()),
                   "a point that an aid tells"});
        }
    }

    // By heading to a place without a record, and on by an aid: there its needle comes alive (flight/intercept.hpp).
    static bool is_met_by_heading(const Leg& leg, const Leg& after) {
        return leg.to && !leg.to->point &&
               std::holds_alternative<procedure::OnHeading>(leg.stretches.back().guidance) &&
               procedure::station_of(after.stretches.front().guidance).has_value();
    }

    void tell_ends(std::vector<Leg>& legs, const routing::Entry* entry) {
        for (std::size_t i = 0; i < legs.size(); ++i) {
            Leg& leg = legs[i];
            const bool last = i + 1 == legs.size();
            if (last && entry != nullptr) {
                tell_end(leg, entry);
            } else if (leg.coded != nullptr || !leg.to ||
                       (leg.phase == flight::Phase::departure && leg.published)) {
                continue;  // a procedure was judged with its fixes
            } else if (!last && flight::goes_straight_on(leg, legs[i + 1])) {
                leg.ending.reset();
            } else if (!last && is_met_by_heading(leg, legs[i + 1])) {
                leg.ending = procedure::AtIntercept{};
            } else if (!leg.ending) {
                tell_end(leg, nullptr);
            }
        }
    }

    Option best_of(const std::vector<End>& ends) {
        std::vector<Begun> begun = approaches_begun(ends);
        if (begun.empty()) {
            return without_approach(ends.front());
        }
        constexpr std::size_t most_judged = 12;
        // Where none is admitted the one with the least against it: what another approach would spare is not the route's fault.
        std::optional<Option> least_blocked;
        for (std::size_t i = 0; i < std::min(begun.size(), most_judged); ++i) {
            Option option = option_of(ends[begun[i].end], &begun[i]);
            if (option.verdict != base::Verdict::not_flyable) {
                return option;
            }
            if (!least_blocked || blocking(option) < blocking(*least_blocked)) {
                least_blocked = std::move(option);
            }
        }
        return std::move(*least_blocked);
    }

    static double turn_cost(base::Angle turn) { return std::max(0.0, std::abs(turn.degrees()) - 60.0) * 0.2; }

    // In the planner's order; those that the way leads to as it should before the others.
    std::vector<Begun> approaches_begun(const std::vector<End>& ends) {
        add_refused_approaches();
        std::vector<Begun> all;
        for (std::size_t e = 0; e < ends.size(); ++e) {
            const Leg& last = ends[e].legs.back();
            Length flown;
            for (const Leg& leg : ends[e].legs) {
                flown += leg.length;
            }
            for (const FlyableApproach* approach : approaches_) {
                const routing::Entry& entry = approach->entry;
                if (earth::distance(entry.fix.position, last.finish) > earth::same_place) {
                    continue;
                }
                const base::Angle turn = entry.first_track - last.arrival;
                Begun begun{e, approach, 0, 0.0, std::nullopt};
                const bool judged = abs(turn) > procedure::largest_turn_at_fix;  // fix.turn_too_great
                if (!entry.any_direction && abs(turn) > entry.largest_turn && !judged) {
                    begun.refused = Finding{
                        Grade::blocks, "entry.turn_too_great", fmt::format("entering at {}", entry.fix.ident),
                        fmt::format("the turn onto what follows is {:.0f} degrees, {:.0f} allowed",
                                    std::abs(turn.degrees()), entry.largest_turn.degrees()),
                        "another way to it, or another approach"};
                }
                const bool told = is_told(at_entry(fix_question(last), entry));
                for (std::size_t i = 0; i < approach->landings.size(); ++i) {
                    if (request_.landing && approach->landings[i].landing != *request_.landing) {
                        continue;
                    }
                    begun.landing = i;
                    begun.cost_nm = flown.nautical_miles() + entry.extra.nautical_miles() +
                                    (entry.any_direction ? 0.0 : turn_cost(turn)) +
                                    approach->landings[i].weight().nautical_miles() + (told ? 0.0 : 1000.0) +
                                    (begun.refused || (judged && !entry.any_direction) ? 2000.0 : 0.0) +
                                    (any_blocks(approach->findings) ? 4000.0 : 0.0);
                    all.push_back(begun);
                }
            }
        }
        std::stable_sort(all.begin(), all.end(),
                         [](const Begun& a, const Begun& b) { return a.cost_nm < b.cost_nm; });
        return all;
    }

    // An approach that cannot be flown is judged with what stands against it, where the way leads to no other.
    void add_refused_approaches() {
        if (!approaches_.empty()) {
            return;
        }
        for (const FlyableApproach& approach : choice_.flyable) {
            approaches_.push_back(&approach);
        }
        refused_.reserve(choice_.refused.size());
        for (const RefusedApproach& refused : choice_.refused) {
            FlyableApproach made;
            made.way = refused.way;
            made.findings = refused.way->findings;
            if (std::find(made.findings.begin(), made.findings.end(), refused.reason) ==
                made.findings.end()) {
                made.findings.push_back(refused.reason);
            }
            for (const procedure::PlacedLeg& placed : refused.way->legs) {
                if (placed.coded->terminator != navdata::PathTerminator::IF || placed.length > Length()) {
                    made.legs.push_back(leg_of(placed, refused.way->name(), flight::Phase::approach));
                    made.length += placed.length;
                }
            }
            for (const procedure::PlacedLeg& placed : refused.way->missed) {
                made.missed.push_back(leg_of(placed, "missed approach", flight::Phase::missed));
            }
            if (made.legs.empty()) {
                continue;
            }
            made.entry.fix = refused.way->entry;
            made.entry.any_direction = refused.way->reverses_course;
            made.entry.first_track = made.legs.front().track;
            made.entry.extra = made.length;
            LandingOption landing;
            landing.landing =
                refused.way->runway ? procedure::Landing::straight_in : procedure::Landing::circling;
            landing.runway = landing_.front();
            for (const flight::RunwayFit& fit : landing_) {
                landing.runway =
                    refused.way->runway && fit.runway == *refused.way->runway ? fit : landing.runway;
            }
            made.landings.push_back(landing);
            refused_.push_back(std::move(made));
        }
        for (const FlyableApproach& approach : refused_) {
            approaches_.push_back(&approach);
        }
    }

    Option option_of(const End& end, const Begun* begun) {
        const std::vector<Finding> carried_before = carried_;
        Option option;
        option.departure_runway = departure_runway_;
        flight::Flight& flight = option.flight;
        flight.departure = flight_.from;
        flight.departure_runway = departure_runway_.runway;
        flight.arrival = flight_.to;
        flight.cruise = cruise_;
        flight.sid = sid_;
        flight.star = end.star;
        flight.legs = end.legs;
        tell_ends(flight.legs, begun != nullptr ? &begun->approach->entry : nullptr);
        if (begun != nullptr) {
            add_approach(world_, question_, choice_, *begun->approach,
                         begun->approach->landings[begun->landing], option);
            if (begun->refused) {
                flight.from_procedure.push_back(*begun->refused);
            }
        } else {
            option.arrival_runway = landing_.front();
            flight.arrival_runway = landing_.front().runway;
        }
        flight.from_procedure.insert(flight.from_procedure.end(), carried_.begin(), carried_.end());
        flight.from_procedure.insert(flight.from_procedure.end(), end.findings.begin(), end.findings.end());
        carried_ = carried_before;
        finish_flight(world_, ground_, flight_, flight);
        say_where_higher(flight);
        judge_option(world_, ground_, model_, flight_, option);
        place_findings(option);
        return option;
    }

    // An approach that begins above the altitude asked for lifts the whole way to it.
    static void say_where_higher(flight::Flight& flight) {
        const Altitude asked = flight::highest_level(flight);
        Altitude highest = asked;
        for (const flight::ProfilePoint& point : flight.profile) {
            highest = std::max(highest, point.altitude);
        }
        if (highest > asked + Length::feet(1.0)) {
            flight.from_procedure.push_back(
                {Grade::warns, "way.higher_than_asked", fmt::format("{:.0f} ft", asked.feet()),
                 fmt::format("{:.0f} ft is flown and judged: the approach is not begun lower",
                             highest.feet()),
                 ""});
        }
    }

    // Design section 3: overhead, or to a point within 5 NM, only where the airport has no conventional approach at all.
    Option without_approach(const End& end) {
        const navdata::Airport& airport = world_[flight_.to];
        const PlacedFix& last = *end.legs.back().to;
        const Length away = earth::distance(last.position, airport.position);
        const bool any_conventional =
            std::any_of(ways_.begin(), ways_.end(), [](const procedure::ApproachWay& way) {
                return std::none_of(way.findings.begin(), way.findings.end(), [](const Finding& f) {
                    return f.code == "approach.area_navigation" || f.code == "approach.not_whole";
                });
            });
        if (any_conventional || flight_.approach) {
            carry({Grade::blocks, "approach.not_begun", airport.ident,
                   fmt::format("no approach {}begins at {}, where the route ends: {}",
                               flight_.approach ? *flight_.approach + " " : std::string(), last.ident,
                               entries_text()),
                   "lead the route to one of these"});
        } else if (away > flight_.settings.arrival_radius) {
            carry({Grade::blocks, "arrival.too_far", airport.ident,
                   fmt::format(
                       "has no conventional approach, and the route ends at {}, {:.1f} NM from it: {:.0f} "
                       "NM allowed",
                       last.ident, away.nautical_miles(), flight_.settings.arrival_radius.nautical_miles()),
                   "lead the route overhead, or to an aid near the airport"});
        }
        return option_of(end, nullptr);
    }

    std::string entries_text() const {
        std::string text;
        std::set<std::string> said;
        for (const FlyableApproach* approach : approaches_) {
            const bool blocked = any_blocks(approach->findings);
            const std::string each =
                fmt::format("{} at {}", approach->way->procedure->ident, approach->way->entry.ident);
            if (!blocked && said.insert(each).second && said.size() <= 8) {
                text += (text.empty() ? "" : ", ") + each;
            }
        }
        if (!text.empty()) {
            return text + " do";
        }
        text = "none of its approaches can be flown with the equipment aboard";
        for (std::size_t i = 0; i < choice_.refused.size() && i < 3; ++i) {
            const Finding& reason = choice_.refused[i].reason;
            text += (i == 0 ? " (" : "; ") + reason.about + ": " + reason.text;
        }
        return text + (choice_.refused.empty() ? "" : ")");
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const earth::MagneticModel& model_;
    const HandMadeRequest& request_;
    const Request& flight_;
    const NamedRoute& resolved_;
    Altitude cruise_;
    std::optional<Altitude> level_;  // of what is laid now; none: cruise_
    std::vector<flight::RunwayFit> departing_;
    std::vector<flight::RunwayFit> landing_;
    procedure::Minima minima_;
    ApproachQuestion question_;
    std::vector<procedure::ApproachWay> ways_;
    ApproachChoice choice_;
    std::vector<FlyableApproach> refused_;
    std::vector<const FlyableApproach*> approaches_;
    flight::RunwayFit departure_runway_;
    std::vector<Leg> legs_;
    std::string sid_;
    std::string star_;
    std::vector<Finding> star_findings_;
    std::vector<Finding> carried_;  // what the builders found that the judge does not see in the legs
};

// Levels of the semicircular rule first, the lowest first: thousands above both fields.
std::vector<Altitude> levels(const navdata::Snapshot& world, const radio::Ground& ground,
                             const earth::MagneticModel& model, const Request& request) {
    const Altitude low = std::max(world[request.from].elevation.value_or(Altitude()),
                                  world[request.to].elevation.value_or(Altitude()));
    std::vector<Altitude> all;
    for (const bool suited : {true, false}) {
        for (int thousands = 2; thousands <= 45; ++thousands) {
            const Altitude level = Altitude::feet(thousands * 1000.0);
            if (level <= request.aircraft.performance.service_ceiling &&
                level >= low + Length::feet(1500.0) &&
                suits_direction(world, ground, model, request, level) == suited) {
                all.push_back(level);
            }
        }
    }
    return all;
}

}  // namespace

RouteEnds ends_of(const flight::Route& route) {
    RouteEnds ends;
    if (route.elements.empty()) {
        return ends;
    }
    const RouteElement& first = route.elements.front();
    const RouteElement& last = route.elements.back();
    if (std::holds_alternative<flight::RoutePoint>(first.word)) {
        ends.from = first.token;
    }
    if (route.elements.size() > 1 && (std::holds_alternative<flight::RoutePoint>(last.word) ||
                                      std::holds_alternative<flight::RouteAirway>(last.word))) {
        ends.to = last.token;
    }
    return ends;
}

std::vector<PointMeant> points_meant(const navdata::Snapshot& world, const flight::Flight& flight) {
    std::vector<PointMeant> meant;
    for (const Leg& leg : flight.legs) {
        if (leg.phase == flight::Phase::approach || !leg.to || !leg.to->point) {
            continue;
        }
        const auto named = world.named(leg.to->ident);
        const auto others = std::count_if(named.begin(), named.end(), [](const Point& point) {
            return std::holds_alternative<StationId>(point) || std::holds_alternative<navdata::FixId>(point);
        });
        const PointMeant point{leg.to->ident, detail::kind_text(world, *leg.to->point), leg.to->position};
        if (others > 1 && std::find(meant.begin(), meant.end(), point) == meant.end()) {
            meant.push_back(point);
        }
    }
    return meant;
}

tl::expected<Option, std::vector<Error>> hand_made(const navdata::Snapshot& world,
                                                   const radio::Ground& ground,
                                                   const earth::MagneticModel& model,
                                                   const HandMadeRequest& request) {
    // One line is asked about at every altitude.
    earth::SurveyedCorridors corridors;
    radio::Ground surveyed = ground;
    surveyed.corridors = &corridors;
    const auto resolved = detail::name_route(world, model, request);
    if (!resolved) {
        return tl::unexpected(resolved.error());
    }
    Builder builder(world, surveyed, model, request, *resolved);
    if (const auto fault = builder.choose_runways()) {
        return tl::unexpected(std::vector{*fault});
    }
    const std::optional<Altitude> asked = request.flight.cruise ? request.flight.cruise : resolved->cruise;
    if (asked) {
        Option option = builder.at(*asked);
        add_immediate_return(world, surveyed, model, request.flight, option);
        return option;
    }
    std::optional<Option> best;
    for (const Altitude level : levels(world, surveyed, model, request.flight)) {
        Option option = builder.at(level);
        const bool admitted = option.verdict != base::Verdict::not_flyable;
        if (admitted || !best || blocking(option) < blocking(*best)) {
            best = std::move(option);
        }
        if (admitted) {
            break;
        }
    }
    if (!best) {
        return tl::unexpected(std::vector{Error{
            "app.above_ceiling",
            fmt::format("no whole thousand of feet lies between the airports and the ceiling of {}: give "
                        "the cruising altitude",
                        request.flight.aircraft.name),
            "--altitude"}});
    }
    add_immediate_return(world, surveyed, model, request.flight, *best);
    best->flight.from_procedure.push_back({Grade::notes, "way.altitude_chosen",
                                           fmt::format("{:.0f} ft", best->flight.cruise.feet()),
                                           "is the lowest level that does: the route names none", ""});
    best->findings.push_back(best->flight.from_procedure.back());
    return std::move(*best);
}

}  // namespace omniway::plan
