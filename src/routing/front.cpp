#include "routing/front.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <queue>
#include <span>
#include <tuple>

#include "base/contract.hpp"
#include "earth/geodesic.hpp"
#include "flight/work_scale.hpp"
#include "radio/error_budget.hpp"
#include "radio/reception.hpp"
#include "routing/detail/graph.hpp"
#include "routing/detail/least_to_go.hpp"

namespace omniway::routing {

using base::Length;
using detail::Graph;
using flight::Leg;
using flight::WorkScale;

namespace {

constexpr double never = std::numeric_limits<double>::infinity();
// Costs so close differ by rounding only: geodesics are good to some nanometres, which is less than 1e-9 s a leg.
constexpr double rounding = 1e-7;

bool has_course(const procedure::Guidance& guidance) {
    return std::holds_alternative<procedure::OnRadial>(guidance);
}

// From one guidance to the next: its station tuned and heard, its course set.
double work_between(const procedure::Guidance& before, const procedure::Guidance& after) {
    const auto next = procedure::station_of(after);
    if (!next || std::holds_alternative<procedure::OnLocalizer>(after)) {
        return next && procedure::station_of(before) != next ? WorkScale::retune + WorkScale::ident : 0.0;
    }
    const double tuned = procedure::station_of(before) == next ? 0.0 : WorkScale::retune + WorkScale::ident;
    return tuned + (has_course(after) ? WorkScale::retune : 0.0);
}

double work_of(const fixing::Telling& telling) {
    struct Work {
        double operator()(const fixing::Overhead&) const { return 0.0; }
        double operator()(const fixing::DmeReading& way) const {
            return way.at_guiding_station ? 0.0 : WorkScale::retune + WorkScale::ident;
        }
        double operator()(const fixing::CrossingRadial&) const {
            return WorkScale::retune + WorkScale::ident + WorkScale::retune;
        }
        double operator()(const fixing::CrossingBearing&) const {
            return WorkScale::retune + WorkScale::ident;
        }
        double operator()(const fixing::CrossingLocalizer&) const {
            return WorkScale::retune + WorkScale::ident;
        }
    };
    return std::visit(Work{}, telling.way);
}

double work_within(const Leg& leg, base::Speed groundspeed) {
    double work = 0.0;
    const procedure::Guidance* guided_by = nullptr;
    for (const flight::Stretch& stretch : leg.stretches) {
        if (std::holds_alternative<procedure::OnHeading>(stretch.guidance)) {
            work += WorkScale::dead_reckoning_minute *
                    base::in_minutes((stretch.to - stretch.from) / groundspeed);
        } else if (std::holds_alternative<procedure::OnArc>(stretch.guidance)) {
            work += WorkScale::arc;
        }
        // Behind a heading what guided before it counts; behind the one after take-off nothing, the radios stand as before it.
        if (procedure::station_of(stretch.guidance)) {
            if (guided_by != nullptr) {
                work += work_between(*guided_by, stretch.guidance);
            }
            guided_by = &stretch.guidance;
        }
    }
    if (leg.ending && std::holds_alternative<procedure::AtHold>(*leg.ending)) {
        work += WorkScale::hold;
    } else if (leg.ending && std::holds_alternative<procedure::AtCourseReversed>(*leg.ending)) {
        work += WorkScale::reversal;
    }
    return work;
}

double work_where_they_meet(const Leg& before, const Leg& after, const fixing::Telling* told) {
    double work =
        abs(after.track - before.arrival) > WorkScale::awkward_from ? WorkScale::awkward_intercept : 0.0;
    if (!flight::goes_straight_on(before, after)) {
        work += told != nullptr ? work_of(*told) : 0.0;
        if (!before.stretches.empty() && !after.stretches.empty()) {
            work += work_between(before.stretches.back().guidance, after.stretches.front().guidance);
        }
    }
    return work;
}

// What legs cost by themselves, at one level.
struct Estimate {
    double time_s = 0.0;
    double work = 0.0;
    double margin = 1.0;
};

// The fastest that a track which is known to half a degree can be flown at any of the levels.
class FastestByTrack {
public:
    explicit FastestByTrack(const FrontQuestion& question) : mps_(degrees) {
        std::array<double, degrees> at{};
        for (const Level& level : question.levels) {
            for (std::size_t degree = 0; degree < degrees; ++degree) {
                const auto track = base::TrueBearing::degrees(static_cast<double>(degree));
                at[degree] = std::max(at[degree], level.groundspeed(track).metres_per_second());
            }
        }
        // Between whole degrees it is more than at both by less than a ten-thousandth, in a wind as strong as the airspeed too.
        constexpr double between = 1.0001;
        for (std::size_t degree = 0; degree < degrees; ++degree) {
            double& fastest = mps_[degree];
            for (const std::size_t near : {degrees - 1, std::size_t{0}, std::size_t{1}, std::size_t{2}}) {
                fastest = std::max(fastest, between * at[(degree + near) % degrees]);
            }
        }
    }
    double mps(double track_deg) const {
        const double within = track_deg - 360.0 * std::floor(track_deg / 360.0);
        return mps_[static_cast<std::size_t>(within) % degrees];
    }

private:
    static constexpr std::size_t degrees = 360;
    std::vector<double> mps_;  // from each whole degree to the next
};

class Search {
public:
    Search(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
           const flight::Settings& settings, const FrontQuestion& question, const Network& network,
           EdgeMemo& memo)
        : world_(world),
          ground_(ground),
          settings_(settings),
          question_(question),
          graph_(world, ground, aboard, settings, question.common, network, memo, graph_levels(question)),
          points_(graph_.points() + 1),
          fastest_mps_(question.fastest.metres_per_second()),
          fastest_(question) {
        if (graph_.points() == 0) {
            ahead_.emplace(time_to_go());
        }
    }

    Front result() {
        run();
        Front front;
        const double longest_s = quickest_s_ * question_.longest;
        std::stable_sort(ends_.begin(), ends_.end(),
                         [](const End& a, const End& b) { return a.costs.time_s < b.costs.time_s; });
        for (const End& end : ends_) {
            if (end.costs.time_s <= longest_s) {
                front.ways.push_back(way_to(end));
            }
        }
        front.refused = graph_.take_refused();
        front.legs_considered = graph_.legs_laid_out();
        front.labels = labels_.size();
        front.cut_short = cut_short_;
        return front;
    }

private:
    // A way up to the end of a leg.
    struct Label {
        std::uint32_t edge = 0;
        std::uint32_t level = 0;
        std::uint32_t passed = 0;
        std::int32_t by = -1;
        Estimate costs;
        bool beaten = false;
        bool by_arrival = false;
    };
    // What is looked at next: a label whose leg is to be left, or a leg to be laid out behind one.
    struct Waiting {
        double order = 0.0;
        double least_s = 0.0;  // the way whole
        double begun_s = 0.0;  // of it up to the end of the leg
        std::int32_t label = -1;
        std::int64_t next = -1;   // edge; -1: leave the label
        std::uint32_t level = 0;  // of a first leg
        bool operator>(const Waiting& other) const {
            return std::tie(order, label, next, level) >
                   std::tie(other.order, other.label, other.next, other.level);
        }
    };
    struct End {
        std::int32_t label = -1;
        std::size_t entry = 0;
        Estimate costs;
    };

    static std::vector<detail::GraphLevel> graph_levels(const FrontQuestion& question) {
        std::vector<detail::GraphLevel> levels;
        for (const Level& level : question.levels) {
            levels.push_back({level.altitude, level.climb, level.slower_groundspeed});
        }
        return levels;
    }

    // The cell of a cost: what lies in one cell is one. Without a quantum each cost is its own, but for rounding.
    static double cell(double cost, double quantum) {
        return quantum > 0.0 ? std::floor(cost / quantum) : cost;
    }

    bool is_covered(const Estimate& by, const Estimate& costs) const {
        const Quantum& q = question_.quantum;
        return cell(by.time_s, q.time.count()) <= cell(costs.time_s + rounding, q.time.count()) &&
               cell(by.work, q.work) <= cell(costs.work + rounding, q.work) &&
               cell(by.margin + rounding, q.margin) >= cell(costs.margin, q.margin);
    }

    bool is_covered_by_an_end(const Estimate& least) const {
        return least.time_s > quickest_s_ * question_.longest ||
               std::any_of(ends_.begin(), ends_.end(),
                           [&](const End& end) { return is_covered(end.costs, least); });
    }

    // Times to go are reckoned in the miles that they are at the fastest groundspeed of all.
    double seconds(double miles) const { return miles * 1852.0 / fastest_mps_; }

    double least_nm_at_the_fastest(double least_nm, double track_deg) const {
        return least_nm * std::max(1.0, fastest_mps_ / fastest_.mps(track_deg));
    }

    detail::LeastToGo time_to_go() {
        detail::LeastToGo::Entries entries;
        entries.straight = &detail::ToGo::flown_nm;
        for (const Entry& entry : question_.common.entries) {
            entries.cost_nm.push_back(entry.length.nautical_miles() *
                                      (question_.fastest / question_.on_approach));
        }
        std::vector<double> arrivals;
        for (const Chain& arrival : question_.common.arrivals) {
            double least_nm = 0.0;
            for (const Leg& leg : arrival.legs) {
                least_nm += least_nm_at_the_fastest(leg.length.nautical_miles(), leg.track.degrees());
            }
            arrivals.push_back(least_nm);
        }
        return {graph_, graph_.any_level(), std::move(entries),
                [this, arrivals](const Graph::Before& edge, int to) {
                    // Own legs have two tracks.
                    return edge.kind == Graph::Kind::arrival ? arrivals[edge.chain]
                           : edge.kind == Graph::Kind::own
                               ? edge.least_nm
                               : least_nm_at_the_fastest(
                                     edge.least_nm,
                                     Network::track_deg(graph_.node(edge.from).unit, graph_.node(to).unit));
                },
                0.0};
    }

    double least_to_go_s(std::uint32_t edge, std::size_t passed) {
        const int to = graph_.edge(edge).to;
        return seconds(ahead_ ? (*ahead_)(to) : graph_.to_go(to, passed).flown_nm);
    }

    double least_s(const Graph::Edge& edge) const {
        // An own departure is flown at more than one track, a published departure or arrival on more than one leg.
        const bool straight = edge.kind == Graph::Kind::airway || edge.kind == Graph::Kind::direct;
        return seconds(straight ? least_nm_at_the_fastest(edge.least_nm, edge.track_deg) : edge.least_nm);
    }

    // Ways of little work are looked at early: they cover others soonest. Only the order rests on it.
    static double order_of(double least_s, double work) { return least_s + 30.0 * work; }

    double margin_of(const Leg& leg, std::size_t level) const {
        double margin = 1.0;
        for (const flight::Stretch& stretch : leg.stretches) {
            const auto id = procedure::station_of(stretch.guidance);
            const bool by_radial = has_course(stretch.guidance);
            if (!id || (!by_radial && !std::holds_alternative<procedure::OnBeacon>(stretch.guidance))) {
                continue;
            }
            const navdata::Station& station = world_[*id];
            const Length away = farthest_from(navdata::site(station), leg, stretch);
            const radio::AidKind kind = by_radial ? radio::AidKind::vor : radio::AidKind::ndb;
            const Length spread = radio::cross_track_spread(
                away, radio::bearing_tolerance(kind, radio::Line::tracking, settings_.criteria));
            margin = std::min(
                margin, 1.0 - spread / radio::protected_half_width(kind, settings_.criteria, away).primary);
            if (!leg.published) {
                const auto reach = radio::azimuth_reach(station, question_.levels[level].altitude, ground_);
                margin = std::min(margin, reach ? 1.0 - away / *reach : 0.0);
            }
        }
        return std::max(margin, 0.0);
    }

    // Along a radial it is farthest at one of its ends.
    static Length farthest_from(earth::Position aid, const Leg& leg, const flight::Stretch& stretch) {
        const auto away = [&](Length along) {
            return along <= Length() ? earth::distance(aid, leg.start)
                   : along >= leg.length
                       ? earth::distance(aid, leg.finish)
                       : earth::distance(aid, earth::destination(leg.start, leg.track, along));
        };
        return std::max(away(stretch.from), away(stretch.to));
    }

    const Estimate& estimate(std::uint32_t edge, std::size_t level) {
        const std::size_t at = edge * question_.levels.size() + level;
        if (at >= estimates_.size()) {
            estimates_.resize(graph_.edges() * question_.levels.size());
        }
        if (!estimates_[at]) {
            estimates_[at] =
                estimate(graph_.legs(edge, level), level, graph_.edge(edge).kind == Graph::Kind::own);
        }
        return *estimates_[at];
    }

    // How the place between two own legs is told: those of a publication were judged with it.
    static const fixing::Telling* told_within(const Leg& leg) {
        const auto* fix = leg.ending ? std::get_if<procedure::AtFix>(&*leg.ending) : nullptr;
        return fix != nullptr ? &fix->telling : nullptr;
    }

    Estimate estimate(std::span<const Leg> legs, std::size_t level, bool own) const {
        Estimate costs;
        for (std::size_t i = 0; i < legs.size(); ++i) {
            const Leg& leg = legs[i];
            const base::Speed groundspeed = question_.levels[level].groundspeed(leg.track);
            costs.time_s += (leg.length / groundspeed).count();
            costs.work += work_within(leg, groundspeed);
            if (i > 0) {
                costs.work +=
                    work_where_they_meet(legs[i - 1], leg, own ? told_within(legs[i - 1]) : nullptr);
            }
            costs.margin = std::min(costs.margin, margin_of(leg, level));
        }
        return costs;
    }

    void run() {
        const std::size_t begun_at =
            std::min(question_.begun_at.value_or(question_.levels.size()), question_.levels.size());
        for (const std::uint32_t edge : graph_.first()) {
            for (std::uint32_t level = 0; level < begun_at; ++level) {
                const double begun_s =
                    least_s(graph_.edge(edge)) + question_.levels[level].climb_takes.count();
                const double whole_s = begun_s + least_to_go_s(edge, graph_.passed(edge, 0));
                open_.push({whole_s, whole_s, begun_s, -1, edge, level});
            }
        }
        while (!open_.empty()) {
            if (labels_.size() >= question_.most_labels) {
                cut_short_ = true;
                return;
            }
            const Waiting waiting = open_.top();
            open_.pop();
            if (promised_too_much(waiting)) {
                continue;
            }
            if (waiting.label < 0) {
                begin(static_cast<std::uint32_t>(waiting.next), waiting.level);
            } else if (!labels_[static_cast<std::size_t>(waiting.label)].beaten) {
                const Estimate& so_far = labels_[static_cast<std::size_t>(waiting.label)].costs;
                if (is_covered_by_an_end({waiting.least_s, so_far.work, so_far.margin})) {
                    continue;
                }
                if (waiting.next < 0) {
                    enter(waiting.label);
                    leave(waiting.label);
                } else {
                    go_on(waiting.label, static_cast<std::uint32_t>(waiting.next));
                }
            }
        }
    }

    // What lies beyond what is explored of the way to go is asked for when the search comes to it.
    bool promised_too_much(Waiting waiting) {
        constexpr double ahead_of_the_search = 1.05;
        const double least_nm = waiting.least_s * fastest_mps_ / 1852.0;
        if (!ahead_ || least_nm <= ahead_->explored()) {
            return false;
        }
        ahead_->explore(least_nm * ahead_of_the_search);
        const std::uint32_t edge = waiting.next >= 0 ? static_cast<std::uint32_t>(waiting.next)
                                                     : labels_[static_cast<std::size_t>(waiting.label)].edge;
        const double whole_s = waiting.begun_s + least_to_go_s(edge, 0);
        if (whole_s <= waiting.least_s) {
            return false;
        }
        waiting.order += whole_s - waiting.least_s;
        waiting.least_s = whole_s;
        open_.push(waiting);
        return true;
    }

    void begin(std::uint32_t edge, std::uint32_t level) {
        const auto legs = graph_.legs(edge, level);
        if (legs.empty() || is_forbidden_first(legs.front())) {
            return;
        }
        Label label;
        label.edge = edge;
        label.level = level;
        label.passed = static_cast<std::uint32_t>(graph_.passed(edge, 0));
        label.costs = estimate(edge, level);
        label.costs.time_s += question_.levels[level].climb_takes.count();
        offer(label);
    }

    bool is_forbidden_first(const Leg& leg) const {
        const auto first = ForbiddenPair::of(leg);
        return std::any_of(question_.common.forbidden.begin(), question_.common.forbidden.end(),
                           [&](const ForbiddenPair& pair) { return !pair.before && pair.after == first; });
    }

    void offer(Label label) {
        label.by_arrival = label.by_arrival || graph_.edge(label.edge).kind == Graph::Kind::arrival;
        const double least_s = label.costs.time_s + least_to_go_s(label.edge, label.passed);
        if (is_covered_by_an_end({least_s, label.costs.work, label.costs.margin})) {
            return;
        }
        const std::size_t state =
            (label.edge * question_.levels.size() + label.level) * points_ + label.passed;
        if (state >= known_.size()) {
            known_.resize(graph_.edges() * question_.levels.size() * points_);
        }
        auto& known = known_[state];
        for (const std::int32_t other : known) {
            const Label& kept = labels_[static_cast<std::size_t>(other)];
            if (kept.by_arrival >= label.by_arrival && is_covered(kept.costs, label.costs)) {
                return;
            }
        }
        std::erase_if(known, [&](std::int32_t other) {
            Label& kept = labels_[static_cast<std::size_t>(other)];
            const bool beaten = label.by_arrival >= kept.by_arrival && is_covered(label.costs, kept.costs);
            kept.beaten = kept.beaten || beaten;
            return beaten;
        });
        const auto index = static_cast<std::int32_t>(labels_.size());
        known.push_back(index);
        labels_.push_back(label);
        open_.push({order_of(least_s, label.costs.work), least_s, label.costs.time_s, index, -1, 0});
    }

    void enter(std::int32_t index) {
        const Label label = labels_[static_cast<std::size_t>(index)];
        if (label.passed + 1 < points_ || (question_.common.only_by_arrival && !label.by_arrival)) {
            return;
        }
        const Leg& last = graph_.legs(label.edge, label.level).back();
        for (const std::size_t e : graph_.entries_at(graph_.edge(label.edge).to)) {
            const Entry& entry = question_.common.entries[e];
            End end{index, e, label.costs};
            end.costs.time_s += (entry.length / question_.on_approach).count();
            end.costs.work += entry.work;
            if (!entry.any_direction && abs(entry.first_track - last.arrival) > WorkScale::awkward_from) {
                end.costs.work += WorkScale::awkward_intercept;
            }
            if (is_covered_by_an_end(end.costs) ||
                graph_.entering(label.edge, label.level, e) != Graph::Entering::allowed) {
                continue;
            }
            std::erase_if(ends_, [&](const End& other) { return is_covered(end.costs, other.costs); });
            ends_.push_back(end);
            quickest_s_ = std::min(quickest_s_, end.costs.time_s);
        }
    }

    void leave(std::int32_t index) {
        const Label label = labels_[static_cast<std::size_t>(index)];
        const Graph::Edge edge = graph_.edge(label.edge);
        const double arrival_deg = graph_.legs(label.edge, label.level).back().arrival.degrees();
        for (const std::uint32_t next : graph_.leaving(edge.to)) {
            const Graph::Edge& ahead = graph_.edge(next);
            if (ahead.to == edge.from) {
                continue;
            }
            const double turn_deg = Graph::least_turn_deg(ahead, arrival_deg);
            if (turn_deg > procedure::largest_turn_at_fix.degrees() &&
                edge.kind != Graph::Kind::own_departure) {
                continue;
            }
            const double begun_s = label.costs.time_s + least_s(ahead);
            const double whole_s = begun_s + least_to_go_s(next, graph_.passed(next, label.passed));
            if (!is_covered_by_an_end({whole_s, label.costs.work, label.costs.margin})) {
                open_.push({order_of(whole_s, label.costs.work), whole_s, begun_s, index, next, 0});
            }
        }
    }

    // Where its minimum asks for it, a leg is climbed to: at the lowest level at which it exists.
    std::optional<std::size_t> level_of(std::uint32_t next, std::size_t level) {
        if (!graph_.legs(next, level).empty()) {
            return level;
        }
        const auto is_low = [&](std::size_t at) {
            const base::Finding* refusal = graph_.refusal(next, at);
            return refusal != nullptr &&
                   (refusal->code == "airway.below_minimum" || refusal->code == "direct.below_minimum");
        };
        while (is_low(level) && ++level < question_.levels.size()) {
            if (!graph_.legs(next, level).empty()) {
                return level;
            }
        }
        return std::nullopt;
    }

    void go_on(std::int32_t index, std::uint32_t next) {
        const Label before = labels_[static_cast<std::size_t>(index)];
        const auto level = level_of(next, before.level);
        if (!level || !graph_.goes_on(before.edge, before.level, next, *level)) {
            return;
        }
        const Estimate& own = estimate(next, *level);
        const Leg& flown = graph_.legs(before.edge, before.level).back();
        const Leg& ahead = graph_.legs(next, *level).front();
        const fixing::Telling* told =
            flight::goes_straight_on(flown, ahead) ? nullptr : graph_.telling(before.edge, before.level);
        Label label;
        label.edge = next;
        label.level = static_cast<std::uint32_t>(*level);
        label.passed = static_cast<std::uint32_t>(graph_.passed(next, before.passed));
        label.by = index;
        label.by_arrival = before.by_arrival;
        label.costs.time_s =
            before.costs.time_s + own.time_s +
            (question_.levels[*level].climb_takes - question_.levels[before.level].climb_takes).count();
        label.costs.work = before.costs.work + own.work + work_where_they_meet(flown, ahead, told);
        label.costs.margin = std::min(before.costs.margin, own.margin);
        offer(label);
    }

    Choosable way_to(const End& end) {
        std::vector<Graph::Flown> flown;
        for (std::int32_t at = end.label; at >= 0; at = labels_[static_cast<std::size_t>(at)].by) {
            const Label& label = labels_[static_cast<std::size_t>(at)];
            flown.push_back({label.edge, label.level});
        }
        std::reverse(flown.begin(), flown.end());
        Choosable made;
        made.way = graph_.way(flown, end.entry);
        made.level = question_.levels[flown.front().level].altitude;
        made.costs.time = base::Duration(end.costs.time_s);
        made.costs.work = end.costs.work;
        made.costs.margin.reception = end.costs.margin;
        return made;
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const flight::Settings& settings_;
    const FrontQuestion& question_;
    Graph graph_;
    std::size_t points_;
    double fastest_mps_;
    FastestByTrack fastest_;
    std::optional<detail::LeastToGo> ahead_;
    double quickest_s_ = never;
    bool cut_short_ = false;
    std::vector<Label> labels_;
    std::vector<std::vector<std::int32_t>> known_;
    std::vector<std::optional<Estimate>> estimates_;
    std::vector<End> ends_;
    std::priority_queue<Waiting, std::vector<Waiting>, std::greater<>> open_;
};

}  // namespace

Front front(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
            const flight::Settings& settings, const FrontQuestion& question, const Network& network,
            EdgeMemo& memo) {
    OMNIWAY_EXPECTS(!question.levels.empty() && question.fastest > base::Speed());
    return Search(world, ground, aboard, settings, question, network, memo).result();
}

double work_of(const std::vector<Leg>& legs,
               const std::function<base::Speed(base::TrueBearing)>& groundspeed) {
    double work = 0.0;
    for (std::size_t i = 0; i < legs.size(); ++i) {
        work += work_within(legs[i], groundspeed(legs[i].track));
        if (i > 0) {
            work += work_where_they_meet(legs[i - 1], legs[i], nullptr);
        }
    }
    return work;
}

}  // namespace omniway::routing
