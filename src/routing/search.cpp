#include "routing/search.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <queue>
#include <span>
#include <tuple>

#include <fmt/format.h>

#include "base/contract.hpp"
#include "routing/detail/graph.hpp"
#include "routing/detail/least_to_go.hpp"
#include "routing/way_search.hpp"

namespace omniway::routing {

using base::Angle;
using base::Length;
using detail::Graph;
using flight::Leg;

namespace {

constexpr double no_cost = std::numeric_limits<double>::infinity();
constexpr double any_cost = std::numeric_limits<double>::max();  // but none
// What a published departure is worth against an own one: common practice, no source.
constexpr double unsurveyed_nm = 10.0;
// Less than the mile that the work of its one leg costs at least: where an airway leads along the same line the arrival is taken, which
// is what is published for the purpose.
constexpr double published_for_it_nm = 0.5;

// What a direct leg costs: for the work of it, and for each mile where its minimum is known (search.hpp).
constexpr double direct_leg_nm = 6.0;
constexpr double with_minimum = 1.15;
// Besides its miles.
constexpr double on_heading = 2.0;
constexpr double by_beacon = 0.2;
double turn_cost(double turn_deg) {
    return std::max(0.0, turn_deg - 60.0) * 0.2;
}

double turn_cost(Angle turn) {
    return turn_cost(std::abs(turn.degrees()));
}

double weighted(const Leg& leg) {
    double cost = 0.0;
    for (const flight::Stretch& stretch : leg.stretches) {
        const double nm = (stretch.to - stretch.from).nautical_miles();
        cost += nm;
        if (std::holds_alternative<procedure::OnHeading>(stretch.guidance)) {
            cost += on_heading * nm;
        } else if (std::holds_alternative<procedure::OnBeacon>(stretch.guidance)) {
            cost += by_beacon * nm;
        }
    }
    if (leg.published) {
        return cost + 1.0 + (leg.minimum.altitude ? 0.0 : 0.3 * leg.length.nautical_miles());
    }
    return cost + direct_leg_nm +
           (leg.minimum.altitude ? with_minimum - 1.0 : 0.3) * leg.length.nautical_miles();
}

double weighted(const Chain& chain) {
    double cost = chain.extra.nautical_miles();
    for (std::size_t i = 0; i < chain.legs.size(); ++i) {
        const Leg& leg = chain.legs[i];
        // The headings of a publication are flown and checked as published.
        cost += leg.phase == flight::Phase::departure && leg.published ? leg.length.nautical_miles()
                                                                       : weighted(leg);
        if (i > 0) {
            cost += turn_cost(leg.track - chain.legs[i - 1].arrival);
        }
    }
    return cost;
}

// The least that a leg can cost.
double least_of_airway(double least_nm) {
    return least_nm + 1.0;
}

double least_of_direct(double least_nm, const Graph::Guided& guided) {
    return direct_leg_nm + with_minimum * least_nm + on_heading * guided.on_heading_nm +
           by_beacon * guided.by_beacon_nm;
}

// Two legs, of whose guidance nothing is known yet.
double least_of_own(double least_nm) {
    return 2.0 * direct_leg_nm + with_minimum * least_nm;
}

double weighted(std::span<const Leg> own) {
    return weighted(own.front()) + turn_cost(own.back().track - own.front().arrival) + weighted(own.back());
}

double least_of_arrival(const Chain& arrival) {
    return weighted(arrival) - published_for_it_nm;
}

// Without points asked for on the way. Of what is forbidden it knows what is so wherever it stands.
detail::LeastToGo least_to_go(Graph& graph, std::size_t level, const Question& question) {
    std::vector<double> arrivals;
    double discount_nm = 0.0;
    for (const Chain& arrival : question.arrivals) {
        arrivals.push_back(least_of_arrival(arrival));
        discount_nm = published_for_it_nm;
    }
    detail::LeastToGo::Entries entries;
    for (const Entry& entry : question.entries) {
        entries.cost_nm.push_back(entry.extra.nautical_miles());
    }
    return {graph, level, std::move(entries),
            [arrivals, &graph](const Graph::Before& edge, int to) {
                return graph.is_forbidden_anywhere(edge, to) ? no_cost
                       : edge.kind == Graph::Kind::arrival   ? arrivals[edge.chain]
                       : edge.kind == Graph::Kind::airway    ? least_of_airway(edge.least_nm)
                       : edge.kind == Graph::Kind::own       ? least_of_own(edge.least_nm)
                                                             : least_of_direct(edge.least_nm, edge.guided);
            },
            discount_nm};
}

class Search {
public:
    // Without `ahead` what is to go is the distance.
    Search(const Question& question, Graph& graph, std::size_t level, detail::LeastToGo* ahead,
           base::Length compared, std::optional<double> at_most_nm)
        : question_(question),
          graph_(graph),
          level_(level),
          ahead_(ahead),
          compared_(compared),
          states_(graph_.points() + 1),
          unit_(question.distance_only ? 100.0 : 1.0),
          entry_cost_(question.entries.size(), no_cost),
          entry_by_(question.entries.size(), -1),
          worst_entry_(std::min(at_most_nm.value_or(no_cost), any_cost)) {}

    std::optional<Shortest> shortest() {
        run();
        if (entry_by_.front() < 0 && entry_cost_.front() == no_cost) {
            return std::nullopt;
        }
        Shortest found;
        found.hundredths_nm = static_cast<std::int64_t>(entry_cost_.front());
        for (std::ptrdiff_t at = entry_by_.front(); at >= 0;) {
            const auto here = static_cast<std::size_t>(at);
            found.points.push_back(*graph_.node(graph_.edge(state(here).edge).to).fix.point);
            at = here < came_by_.size() ? came_by_[here] : -1;
        }
        std::reverse(found.points.begin(), found.points.end());
        return found;
    }

    Answer result() {
        run();
        Answer answer;
        for (std::size_t e = 0; e < entry_cost_.size(); ++e) {
            if (entry_cost_[e] < no_cost) {
                answer.ways.push_back(way_to(e));
            }
        }
        std::stable_sort(answer.ways.begin(), answer.ways.end(),
                         [](const Way& a, const Way& b) { return a.cost_nm < b.cost_nm; });
        answer.refused = graph_.take_refused();
        answer.legs_considered = graph_.legs_laid_out();
        return answer;
    }

private:
    // A leg as the end of a way, and how many of the points asked for are behind then.
    struct State {
        std::uint32_t edge = 0;
        std::size_t passed = 0;
    };
    std::size_t number(State state) const { return state.edge * states_ + state.passed; }
    State state(std::size_t number) const {
        return {static_cast<std::uint32_t>(number / states_), number % states_};
    }

    // What is known of a leg as the end of a way: how the way came to it, and what the way costs up to its end.
    struct Reached {
        double least_nm = 0.0;  // the way whole, at the least
        double cost_nm = 0.0;   // up to the end of the leg
        std::size_t state = 0;
        std::ptrdiff_t by = -1;
        bool settled = true;  // false: the leg is not laid out yet, or not yet as seen from `by`
        bool operator>(const Reached& other) const {
            return std::tie(least_nm, state, by) > std::tie(other.least_nm, other.state, other.by);
        }
    };

    // The least that a leg not laid out can cost; no cost where it cannot be there.
    double least_cost(const Graph::Edge& edge) {
        if (question_.distance_only) {
            return hundredths_of(edge);
        }
        switch (edge.kind) {
            case Graph::Kind::airway:
                return least_of_airway(edge.least_nm);
            case Graph::Kind::direct: {
                const auto guided = graph_.guided(edge.from, edge.to, edge.least_nm, level_);
                return guided ? least_of_direct(edge.least_nm, *guided) : no_cost;
            }
            case Graph::Kind::own:
                return least_of_own(edge.least_nm);
            case Graph::Kind::own_departure:
                return edge.least_nm + (question_.starts.empty() ? 0.0 : unsurveyed_nm);
            case Graph::Kind::start:
                return weighted(question_.starts[edge.chain]);
            case Graph::Kind::arrival:
                break;
        }
        return least_of_arrival(question_.arrivals[edge.chain]);
    }

    // Of a leg laid out; no cost where it cannot be flown.
    double cost_of(std::uint32_t index) {
        if (question_.distance_only) {
            return hundredths_of(graph_.edge(index));
        }
        if (index >= cost_.size()) {
            cost_.resize(graph_.edges(), -1.0);
        }
        if (cost_[index] < 0.0) {
            const auto legs = graph_.legs(index, level_);
            const Graph::Edge& edge = graph_.edge(index);
            if (legs.empty()) {
                cost_[index] = no_cost;
            } else if (edge.kind == Graph::Kind::own_departure) {
                cost_[index] = weighted(legs.back()) + (question_.starts.empty() ? 0.0 : unsurveyed_nm) +
                               (legs.size() > 1 ? ahead(legs) : 0.0);
            } else if (edge.kind == Graph::Kind::own) {
                cost_[index] = weighted(legs);
            } else {
                cost_[index] = edge.airway || edge.kind == Graph::Kind::direct ? weighted(legs.front())
                                                                               : least_cost(edge);
            }
        }
        return cost_[index];
    }

    // Along the runway there is nothing to choose: what is flown, and the turn that follows.
    static double ahead(std::span<const Leg> legs) {
        return legs.front().length.nautical_miles() + turn_cost(legs[1].track - legs.front().track);
    }

    double whole(State at, double cost) {
        const int to = graph_.edge(at.edge).to;
        return cost + (ahead_ != nullptr ? (*ahead_)(to) : graph_.to_go(to, at.passed).cost_nm * unit_);
    }

    // Whole hundredths of a mile, of an edge that is not judged.
    static double hundredths_of(const Graph::Edge& edge) { return std::round(edge.least_nm * 100.0); }

    void offer(State at, double cost, std::ptrdiff_t by) {
        const std::size_t index = number(at);
        if (index >= best_.size()) {
            best_.resize(graph_.edges() * states_, no_cost);
            came_by_.resize(graph_.edges() * states_, -1);
        }
        if (cost < best_[index]) {
            best_[index] = cost;
            came_by_[index] = by;
            open_.push({whole(at, cost), cost, index, by, true});
        }
    }

    void run() {
        for (const std::uint32_t edge : graph_.first()) {
            const State at{edge, graph_.passed(edge, 0)};
            const double least = least_cost(graph_.edge(edge));
            open_.push({whole(at, least), least, number(at), -1, false});
        }
        while (!open_.empty()) {
            const Reached reached = open_.top();
            open_.pop();
            if (reached.least_nm > worst_entry_) {
                break;
            }
            if (promised_too_much(reached)) {
                continue;
            }
            if (question_.distance_only) {
                if (!reached.settled || reached.cost_nm <= best_[reached.state]) {
                    enter_and_leave_unjudged(reached);
                }
            } else if (reached.settled) {
                if (reached.cost_nm <= best_[reached.state]) {
                    enter(reached);
                    leave(reached);
                }
            } else if (reached.by < 0) {
                begin(reached);
            } else {
                go_on(reached);
            }
        }
    }

    // What lies beyond what is explored of the way to go is asked for when the search comes to it.
    bool promised_too_much(Reached reached) {
        constexpr double ahead_of_the_search = 1.02;
        constexpr double ahead_nm = 4.0;
        if (ahead_ == nullptr || reached.least_nm <= ahead_->explored()) {
            return false;
        }
        ahead_->explore(reached.least_nm * ahead_of_the_search + ahead_nm);
        const double least_nm = whole(state(reached.state), reached.cost_nm);
        if (least_nm <= reached.least_nm) {
            return false;
        }
        reached.least_nm = least_nm;
        open_.push(reached);
        return true;
    }

    void begin(const Reached& reached) {
        const State at = state(reached.state);
        const double cost = cost_of(at.edge);
        if (cost == no_cost || is_forbidden_first(at.edge)) {
            return;
        }
        offer(at, cost, -1);
    }

    bool is_forbidden_first(std::uint32_t edge) {
        const auto first = ForbiddenPair::of(graph_.legs(edge, level_).front());
        return std::any_of(graph_.forbidden().begin(), graph_.forbidden().end(),
                           [&](const ForbiddenPair& pair) {
                               return (pair.anywhere || !pair.before) && pair.after == first;
                           });
    }

    // From a leg flown to the next one, which is laid out now.
    void go_on(const Reached& reached) {
        const State at = state(reached.state);
        const auto by = static_cast<std::size_t>(reached.by);
        const std::uint32_t before = state(by).edge;
        const double own = cost_of(at.edge);
        if (own == no_cost) {
            return;
        }
        const Angle turn =
            graph_.legs(at.edge, level_).front().track - graph_.legs(before, level_).back().arrival;
        const double cost = best_[by] + own + turn_cost(turn);
        if (number(at) < best_.size() && cost >= best_[number(at)]) {
            return;
        }
        if (graph_.goes_on(before, level_, at.edge, level_)) {
            offer(at, cost, reached.by);
        }
    }

    void enter(const Reached& reached) {
        const State at = state(reached.state);
        if (at.passed + 1 < states_) {
            return;
        }
        for (const std::size_t e : graph_.entries_at(graph_.edge(at.edge).to)) {
            const Entry& entry = question_.entries[e];
            if (!may_enter(reached.state)) {
                continue;
            }
            const Angle turn = entry.first_track - graph_.legs(at.edge, level_).back().arrival;
            const double total = reached.cost_nm + entry.extra.nautical_miles() +
                                 (entry.any_direction ? 0.0 : turn_cost(turn));
            if (total >= entry_cost_[e]) {
                continue;
            }
            const Graph::Entering entering = graph_.entering(at.edge, level_, e);
            if (entering != Graph::Entering::allowed) {
                refuse_entry(at.edge, entry, entering);
                continue;
            }
            entry_cost_[e] = total;
            entry_by_[e] = static_cast<std::ptrdiff_t>(reached.state);
            worst_entry_ = std::min(worst_entry_, total + compared_.nautical_miles());
        }
    }

    // Nothing is judged: every edge goes on to every other.
    void enter_and_leave_unjudged(const Reached& reached) {
        const State at = state(reached.state);
        const int here = graph_.edge(at.edge).to;
        if (!graph_.entries_at(here).empty()) {
            entry_cost_.front() = reached.cost_nm;
            entry_by_.front() = static_cast<std::ptrdiff_t>(reached.state);
            worst_entry_ = -1.0;
            return;
        }
        for (const std::uint32_t next : graph_.leaving(here)) {
            offer({next, 0}, reached.cost_nm + hundredths_of(graph_.edge(next)),
                  static_cast<std::ptrdiff_t>(reached.state));
        }
    }

    void leave(const Reached& reached) {
        const State at = state(reached.state);
        const Graph::Edge edge = graph_.edge(at.edge);
        const double arrival_deg = graph_.legs(at.edge, level_).back().arrival.degrees();
        for (const std::uint32_t next : graph_.leaving(edge.to)) {
            const Graph::Edge& ahead = graph_.edge(next);
            const State to{next, graph_.passed(next, at.passed)};
            const double own = graph_.is_laid_out(next, level_) ? cost_of(next) : least_cost(ahead);
            // Most of what leaves an aid leads nowhere near: that is the cheapest thing to ask.
            const double straight_on = reached.cost_nm + own;
            if (ahead.to == edge.from || straight_on == no_cost || whole(to, straight_on) > worst_entry_) {
                continue;
            }
            const double turn_deg = Graph::least_turn_deg(ahead, arrival_deg);
            if (turn_deg > procedure::largest_turn_at_fix.degrees() &&
                edge.kind != Graph::Kind::own_departure) {
                continue;
            }
            const double least = straight_on + turn_cost(turn_deg);
            if (whole(to, least) <= worst_entry_ &&
                (number(to) >= best_.size() || least < best_[number(to)])) {
                open_.push(
                    {whole(to, least), least, number(to), static_cast<std::ptrdiff_t>(reached.state), false});
            }
        }
    }

    // Whether a way may end here: where an arrival is asked for, only behind it.
    bool may_enter(std::size_t index) const {
        if (!question_.only_by_arrival) {
            return true;
        }
        for (auto at = static_cast<std::ptrdiff_t>(index); at >= 0;
             at = came_by_[static_cast<std::size_t>(at)]) {
            if (graph_.edge(state(static_cast<std::size_t>(at)).edge).kind == Graph::Kind::arrival) {
                return true;
            }
        }
        return false;
    }

    void refuse_entry(std::uint32_t edge, const Entry& entry, Graph::Entering entering) {
        const Leg& last = graph_.legs(edge, level_).back();
        const std::string about = fmt::format("entering at {} from {}", entry.fix.ident,
                                              last.from ? last.from->ident : question_.departure_name);
        if (entering == Graph::Entering::turn_too_great) {
            const Angle turn = entry.first_track - last.arrival;
            graph_.refuse_once({base::Grade::blocks, "entry.turn_too_great", about,
                                fmt::format("the turn onto what follows is {:.0f} degrees, {:.0f} allowed",
                                            std::abs(turn.degrees()), entry.largest_turn.degrees()),
                                ""},
                               about + "turn");
        } else {
            graph_.refuse_once({base::Grade::blocks, "entry.not_told", about,
                                fmt::format("{} cannot be told on this way", entry.fix.ident), ""},
                               about + "told");
        }
    }

    Way way_to(std::size_t entry) {
        std::vector<Graph::Flown> flown;
        for (std::ptrdiff_t at = entry_by_[entry]; at >= 0; at = came_by_[static_cast<std::size_t>(at)]) {
            flown.push_back({state(static_cast<std::size_t>(at)).edge, level_});
        }
        std::reverse(flown.begin(), flown.end());
        Way way = graph_.way(flown, entry);
        way.cost_nm = entry_cost_[entry];
        return way;
    }

    const Question& question_;
    Graph& graph_;
    std::size_t level_;
    detail::LeastToGo* ahead_;
    base::Length compared_;
    std::size_t states_;  // by leg
    double unit_;         // of costs, to the nautical mile
    std::vector<double> cost_;
    std::vector<double> best_;
    std::vector<std::ptrdiff_t> came_by_;
    std::priority_queue<Reached, std::vector<Reached>, std::greater<>> open_;
    std::vector<double> entry_cost_;
    std::vector<std::ptrdiff_t> entry_by_;
    double worst_entry_;  // what costs more at the least is not looked at
};

}  // namespace

// Stays where it is made: the graph refers to the question beside it.
struct WaySearch::Drawn {
    Drawn(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
          const flight::Settings& settings, Question asked, std::vector<detail::GraphLevel> levels,
          const Network& network, EdgeMemo& memo)
        : question(std::move(asked)),
          ahead(levels.size()),
          graph(world, ground, aboard, settings, question, network, memo, std::move(levels)) {}
    Drawn(const Drawn&) = delete;
    Drawn& operator=(const Drawn&) = delete;
    ~Drawn() = default;

    const Question question;
    std::vector<std::optional<detail::LeastToGo>> ahead;  // by level
    Graph graph;
};

WaySearch::WaySearch(const navdata::Snapshot& world, const radio::Ground& ground,
                     const cockpit::Equipment& aboard, const flight::Settings& settings, Question question,
                     const std::vector<Level>& levels, const Network& network, EdgeMemo& memo) {
    std::vector<detail::GraphLevel> of_graph;
    for (const Level& level : levels) {
        of_graph.push_back({level.altitude, level.climb, level.slower_groundspeed});
    }
    drawn_ = std::make_unique<Drawn>(world, ground, aboard, settings, std::move(question),
                                     std::move(of_graph), network, memo);
}
WaySearch::WaySearch(WaySearch&&) noexcept = default;
WaySearch& WaySearch::operator=(WaySearch&&) noexcept = default;
WaySearch::~WaySearch() = default;

Answer WaySearch::at(std::size_t level, const Asked& asked) {
    OMNIWAY_EXPECTS(level < drawn_->graph.levels());
    const Question& question = drawn_->question;
    drawn_->graph.begin(asked.forbidden);
    // What is forbidden anywhere lengthens the way to go; what is kept of it is the way of the question as it stands.
    std::optional<detail::LeastToGo> other;
    const bool is_longer = std::any_of(asked.forbidden.begin(), asked.forbidden.end(),
                                       [](const ForbiddenPair& pair) { return pair.anywhere; });
    auto& ahead = is_longer ? other : drawn_->ahead[level];
    if (!ahead && question.constraints.via.empty()) {
        ahead.emplace(least_to_go(drawn_->graph, level, question));
    }
    return Search(question, drawn_->graph, level, ahead ? &*ahead : nullptr, asked.compared, asked.at_most_nm)
        .result();
}

Answer search(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
              const flight::Settings& settings, const Question& question, const Network& network,
              EdgeMemo& memo) {
    WaySearch ways(world, ground, aboard, settings, question,
                   {{question.cruise, question.climb, question.groundspeed, {}, {}}}, network, memo);
    return ways.at(0, {question.forbidden, question.compared, question.at_most_nm});
}

Answer search(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
              const flight::Settings& settings, const Question& question) {
    EdgeMemo memo;
    return search(world, ground, aboard, settings, question, Network(world), memo);
}

std::optional<Shortest> shortest(const navdata::Snapshot& world, const Network& network,
                                 const navdata::Point& from, const navdata::Point& to) {
    if (!network.node_of(from) || !network.node_of(to)) {
        return std::nullopt;
    }
    const auto placed = [&](const navdata::Point& point) {
        return procedure::PlacedFix{world.ident(point), world.position(point), point, false};
    };
    Question question;
    question.distance_only = true;
    question.own_departure = false;
    question.departure = world.position(from);
    question.arrival = world.position(to);
    Leg begin;  // of no length: the way begins over the point
    begin.to = placed(from);
    question.starts.push_back({{begin}, Length()});
    Entry entry;
    entry.fix = placed(to);
    entry.any_direction = true;
    question.entries.push_back(entry);
    EdgeMemo memo(1);
    const radio::Ground ground;
    const cockpit::Equipment aboard;
    const flight::Settings settings;
    Graph graph(world, ground, aboard, settings, question, network, memo, {{}});
    return Search(question, graph, 0, nullptr, question.compared, std::nullopt).shortest();
}

}  // namespace omniway::routing
