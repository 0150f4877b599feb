#include "routing/search.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <map>
#include <queue>
#include <set>
#include <tuple>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "fixing/telling.hpp"
#include "flight/departure.hpp"
#include "flight/en_route.hpp"
#include "radio/reception.hpp"

namespace omniway::routing {

using base::Angle;
using base::Length;
using flight::Leg;
using navdata::StationId;
using procedure::PlacedFix;

namespace {

constexpr double no_cost = std::numeric_limits<double>::infinity();
constexpr Length farthest_first_station = Length::nautical_miles(60.0);
// What a published departure is worth against an own one: common practice, no source.
constexpr double unsurveyed_nm = 10.0;
// Less than the mile that the work of its one leg costs at least.
constexpr double published_for_it_nm = 0.5;
// Beyond this a turn en route is a course reversal: the way came from the wrong side.
constexpr Angle largest_turn_en_route = Angle::degrees(120.0);

// What a direct leg costs: for the work of it, and for each mile where its minimum is known (search.hpp).
constexpr double direct_leg_nm = 6.0;
constexpr double with_minimum = 1.15;

struct Node {
    PlacedFix fix;
    std::optional<StationId> station;  // a VOR or NDB that can guide
    std::array<double, 3> unit{};
    double reach_nm = 0.0;  // of its azimuth at the cruising altitude
    double to_go_nm = 0.0;  // at least so much it costs from here to any entry, the entry's own cost included
};

struct Edge {
    int from = -1;  // -1: the departure
    int to = 0;
    std::vector<Leg> legs;  // one, but of an own or a published departure and of a published arrival
    double cost_nm = 0.0;
    // A direct leg is laid out only when the search comes to it: until then its track is known, and the least it can cost.
    bool laid_out = true;
    std::optional<bool> told;  // whether its end can be told, once asked
    std::optional<std::size_t> start;
    std::optional<std::size_t> arrival;

    const Leg& first() const { return legs.front(); }
    const Leg& last() const { return legs.back(); }
};

class Search {
public:
    Search(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
           const flight::Settings& settings, const Question& question)
        : world_(world), ground_(ground), aboard_(aboard), settings_(settings), question_(question) {}

    Answer result() {
        gather_nodes();
        gather_airways();
        gather_arrivals();
        gather_starts();
        if (question_.own_departure) {
            gather_departures();
        }
        run();
        std::sort(answer_.ways.begin(), answer_.ways.end(),
                  [](const Way& a, const Way& b) { return a.cost_nm < b.cost_nm; });
        answer_.legs_considered = static_cast<std::size_t>(
            std::count_if(edges_.begin(), edges_.end(), [](const Edge& edge) { return edge.laid_out; }));
        return std::move(answer_);
    }

private:
    // On the sphere of mean radius: within 0.6 % of the geodesic (earth/position.hpp), enough to leave places out by.
    static double about_nm(const std::array<double, 3>& a, const std::array<double, 3>& b) {
        constexpr double radius_nm = 6371008.8 / 1852.0;
        const double chord = std::hypot(a[0] - b[0], a[1] - b[1], a[2] - b[2]);
        return 2.0 * radius_nm * std::asin(std::min(1.0, chord / 2.0));
    }

    bool in_corridor(earth::Position place) const {
        const auto here = earth::unit_vector(place);
        const auto from = earth::unit_vector(question_.departure);
        const auto to = earth::unit_vector(question_.arrival);
        const double direct = about_nm(from, to);
        return about_nm(from, here) + about_nm(here, to) <= std::max(1.5 * direct, direct + 80.0);
    }

    static bool can_guide(const navdata::Station& station) {
        return navdata::vor(station) != nullptr || navdata::ndb(station) != nullptr;
    }

    int node_of(const navdata::Point& point) {
        const auto found = node_by_point_.find(point);
        if (found != node_by_point_.end()) {
            return found->second;
        }
        Node node;
        node.fix = {world_.ident(point), world_.position(point), point, false};
        if (const auto* id = std::get_if<StationId>(&point); id != nullptr && can_guide(world_[*id])) {
            node.station = *id;
        }
        const int index = in_corridor(node.fix.position) ? add(std::move(node)) : -1;
        node_by_point_.emplace(point, index);
        return index;
    }

    int add(Node node) {
        node.unit = earth::unit_vector(node.fix.position);
        if (node.station) {
            node.reach_nm = radio::azimuth_reach(world_[*node.station], question_.cruise, ground_)
                                .value_or(Length())
                                .nautical_miles();
        }
        nodes_.push_back(std::move(node));
        leaving_.emplace_back();
        expanded_.push_back(false);
        return static_cast<int>(nodes_.size()) - 1;
    }

    void gather_nodes() {
        const Length direct = earth::distance(question_.departure, question_.arrival);
        const Length reach =
            Length::nautical_miles(std::max(1.5 * direct.nautical_miles(), direct.nautical_miles() + 80.0));
        for (const StationId id : world_.stations_within(question_.departure, reach)) {
            const navdata::Station& station = world_[id];
            if (can_guide(station)) {
                node_of(navdata::Point(id));
            }
        }
        for (const Entry& entry : question_.entries) {
            entry_nodes_.push_back(node_of_entry(entry.fix));
        }
    }

    int node_of_entry(const PlacedFix& fix) {
        if (fix.point) {
            const int index = node_of(*fix.point);
            if (index >= 0) {
                return index;
            }
        }
        for (std::size_t i = 0; i < nodes_.size(); ++i) {
            if (nodes_[i].fix.position == fix.position) {
                return static_cast<int>(i);
            }
        }
        Node node;
        node.fix = fix;
        return add(std::move(node));
    }

    void refuse_once(const base::Finding& finding, const std::string& key) {
        if (said_.insert(key).second) {
            answer_.refused.push_back(finding);
        }
    }

    void gather_airways() {
        for (const navdata::Airway& airway : world_.airways()) {
            for (std::size_t i = 0; i < airway.segments.size(); ++i) {
                const navdata::AirwaySegment& segment = airway.segments[i];
                const int a = node_of(segment.from);
                const int b = node_of(segment.to);
                if (a < 0 || b < 0) {
                    continue;
                }
                for (const bool forward : {true, false}) {
                    auto made = flight::airway_leg(world_, aboard_, airway, i, forward, question_.cruise);
                    if (made.refused) {
                        // One finding an airway and reason is enough to be read.
                        refuse_once(*made.refused, airway.designator + made.refused->code);
                        continue;
                    }
                    const double cost = weighted(*made.leg);
                    add_edge(edge_of(forward ? a : b, forward ? b : a, {std::move(*made.leg)}, cost));
                }
            }
        }
    }

    static Edge edge_of(int from, int to, std::vector<Leg> legs, double cost_nm) {
        Edge edge;
        edge.from = from;
        edge.to = to;
        edge.legs = std::move(legs);
        edge.cost_nm = cost_nm;
        return edge;
    }

    double weighted(const std::vector<Leg>& legs) const {
        double cost = 0.0;
        for (const Leg& leg : legs) {
            // The headings of a publication are flown and checked as published.
            cost += leg.phase == flight::Phase::departure && leg.published ? leg.length.nautical_miles()
                                                                           : weighted(leg);
        }
        return cost;
    }

    double weighted(const Leg& leg) const {
        double cost = 0.0;
        for (const flight::Stretch& stretch : leg.stretches) {
            const double nm = (stretch.to - stretch.from).nautical_miles();
            cost += nm;
            if (std::holds_alternative<procedure::OnHeading>(stretch.guidance)) {
                cost += 2.0 * nm;
            } else if (std::holds_alternative<procedure::OnBeacon>(stretch.guidance)) {
                cost += 0.2 * nm;
            }
        }
        if (leg.published) {
            return cost + 1.0 + (leg.minimum.altitude ? 0.0 : 0.3 * leg.length.nautical_miles());
        }
        return cost + direct_leg_nm +
               (leg.minimum.altitude ? with_minimum - 1.0 : 0.3) * leg.length.nautical_miles();
    }

    void add_edge(Edge edge) {
        const auto index = edges_.size();
        if (edge.from >= 0) {
            leaving_[static_cast<std::size_t>(edge.from)].push_back(index);
        }
        edges_.push_back(std::move(edge));
    }

    Edge edge_of(int from, int to, const Chain& chain) const {
        Edge edge = edge_of(from, to, chain.legs, weighted(chain.legs) + chain.extra.nautical_miles());
        for (std::size_t i = 1; i < chain.legs.size(); ++i) {
            edge.cost_nm += turn_cost(chain.legs[i].track - chain.legs[i - 1].arrival);
        }
        edge.told = true;  // the procedure was judged with its fixes
        return edge;
    }

    // A published departure or arrival that asks for more than the cruising altitude is none at it.
    bool refused_for_its_altitude(const Chain& chain, const std::string& code) {
        for (const Leg& leg : chain.legs) {
            if (leg.minimum.altitude && *leg.minimum.altitude > question_.cruise) {
                refuse_once({base::Grade::blocks, code, leg.via,
                             fmt::format("asks for {:.0f} ft, {:.0f} ft is the cruising altitude",
                                         leg.minimum.altitude->feet(), question_.cruise.feet()),
                             fmt::format("cruise at {:.0f} ft or higher", leg.minimum.altitude->feet())},
                            leg.via + code);
                return true;
            }
        }
        return false;
    }

    void gather_starts() {
        for (std::size_t i = 0; i < question_.starts.size(); ++i) {
            if (refused_for_its_altitude(question_.starts[i], "departure.above_cruise")) {
                continue;
            }
            Edge edge = edge_of(-1, node_of_entry(*question_.starts[i].legs.back().to), question_.starts[i]);
            edge.start = i;
            first_.push_back(edges_.size());
            add_edge(std::move(edge));
        }
    }

    void gather_arrivals() {
        for (std::size_t i = 0; i < question_.arrivals.size(); ++i) {
            const Chain& chain = question_.arrivals[i];
            if (refused_for_its_altitude(chain, "arrival.above_cruise")) {
                continue;
            }
            const int from = node_of_entry(*chain.legs.front().from);
            Edge edge = edge_of(from, end_of(*chain.legs.back().to), chain);
            // Where an airway leads along the same line the arrival is taken: it is what is published for the purpose.
            edge.cost_nm -= published_for_it_nm;
            edge.arrival = i;
            add_edge(std::move(edge));
        }
    }

    // Where only what comes by an arrival counts, its end is a place of its own: no cheaper way to the same fix hides it.
    int end_of(const PlacedFix& fix) {
        const int shared = node_of_entry(fix);
        if (!question_.only_by_arrival) {
            return shared;
        }
        const int own = add(nodes_[static_cast<std::size_t>(shared)]);
        same_place_[own] = shared;
        return own;
    }

    int shared_node(int n) const {
        const auto found = same_place_.find(n);
        return found == same_place_.end() ? n : found->second;
    }

    void gather_departures() {
        for (std::size_t n = 0; n < nodes_.size(); ++n) {
            if (!nodes_[n].station ||
                earth::distance(question_.departure, nodes_[n].fix.position) > farthest_first_station) {
                continue;
            }
            auto made = flight::departure_legs(world_, ground_, aboard_, settings_, question_.departure,
                                               question_.departure_name, question_.straight_ahead,
                                               nodes_[n].fix, question_.climb);
            if (made.refused) {
                answer_.refused.push_back(*made.refused);
                continue;
            }
            const double cost = weighted(made.legs.back()) +
                                (question_.starts.empty() ? 0.0 : unsurveyed_nm) +
                                (made.legs.size() > 1 ? weighted_ahead(made.legs) : 0.0);
            first_.push_back(edges_.size());
            add_edge(edge_of(-1, static_cast<int>(n), std::move(made.legs), cost));
        }
    }

    // Along the runway there is nothing to choose: what is flown, and the turn that follows.
    double weighted_ahead(const std::vector<Leg>& legs) const {
        return legs.front().length.nautical_miles() + turn_cost(legs[1].track - legs.front().track);
    }

    // Direct legs are made when a node is first left: to every aid, and from an aid to entries and to fixes on airways.
    void expand(int n) {
        const auto at = static_cast<std::size_t>(n);
        if (expanded_[at]) {
            return;
        }
        expanded_[at] = true;
        const double dead_reckoning_nm = settings_.dead_reckoning_distance.nautical_miles();
        for (std::size_t m = 0; m < nodes_.size(); ++m) {
            if (m == at || (!nodes_[at].station && !nodes_[m].station)) {
                continue;
            }
            // What the two aids reach, with what dead reckoning may bridge, bounds the leg: most pairs end here.
            const double apart_nm = about_nm(nodes_[at].unit, nodes_[m].unit) * 0.99;
            if (apart_nm > nodes_[at].reach_nm + nodes_[m].reach_nm + dead_reckoning_nm || apart_nm < 0.2) {
                continue;
            }
            const earth::Geodesic line = earth::geodesic(nodes_[at].fix.position, nodes_[m].fix.position);
            Leg leg;
            leg.track = line.initial;
            leg.length = line.distance;
            Edge edge = edge_of(n, static_cast<int>(m), {leg},
                                direct_leg_nm + with_minimum * line.distance.nautical_miles());
            edge.laid_out = false;
            add_edge(std::move(edge));
        }
    }

    // False where it cannot be flown.
    bool lay_out(std::size_t index) {
        const Edge& edge = edges_[index];
        auto made = flight::direct_leg(world_, ground_, aboard_, settings_,
                                       nodes_[static_cast<std::size_t>(edge.from)].fix,
                                       nodes_[static_cast<std::size_t>(edge.to)].fix, question_.cruise,
                                       question_.groundspeed(edge.first().track));
        if (!made.leg) {
            edges_[index].cost_nm = no_cost;
            return false;
        }
        edges_[index].cost_nm = weighted(*made.leg);
        edges_[index].legs = {std::move(*made.leg)};
        edges_[index].laid_out = true;
        return true;
    }

    fixing::FixQuestion fix_question(const Edge& edge) const {
        fixing::FixQuestion question;
        question.fix = edge.last().finish;
        question.altitude = question_.cruise;
        question.track = edge.last().arrival;
        question.guided_by = procedure::station_of(edge.last().stretches.back().guidance);
        question.criteria = settings_.criteria;
        return question;
    }

    bool tell(Edge& edge) {
        if (edge.told) {
            return *edge.told;
        }
        const auto found = fixing::tellings(world_, ground_, aboard_, fix_question(edge));
        edge.told = !found.ways.empty();
        if (!found.ways.empty()) {
            edge.legs.back().ending = procedure::AtFix{*edge.last().to, found.ways.front()};
        }
        return *edge.told;
    }

    double turn_cost(Angle turn) const { return std::max(0.0, std::abs(turn.degrees()) - 60.0) * 0.2; }

    // On a sphere, less what it can be wrong by: never more than what is really flown.
    void bound_what_is_to_go() {
        for (Node& node : nodes_) {
            double least = no_cost;
            for (std::size_t e = 0; e < question_.entries.size(); ++e) {
                const auto& entry = nodes_[static_cast<std::size_t>(entry_nodes_[e])];
                least = std::min(least, 0.99 * about_nm(node.unit, entry.unit) +
                                            question_.entries[e].extra.nautical_miles());
            }
            node.to_go_nm = least;
        }
    }

    // What is known of a leg as the end of a way: how the way came to it, and what the way costs up to its end.
    struct Reached {
        double least_nm = 0.0;  // the way whole, at the least
        double cost_nm = 0.0;   // up to the end of the leg
        std::size_t edge = 0;
        std::ptrdiff_t by = -1;
        bool settled = true;  // false: the leg is not laid out yet, or not yet as seen from `by`
        bool operator>(const Reached& other) const {
            return std::tie(least_nm, edge, by) > std::tie(other.least_nm, other.edge, other.by);
        }
    };

    void run() {
        bound_what_is_to_go();
        std::vector<double> best(edges_.size(), no_cost);
        std::vector<std::ptrdiff_t> came_by(edges_.size(), -1);
        std::priority_queue<Reached, std::vector<Reached>, std::greater<>> open;
        const auto whole = [&](std::size_t edge, double cost) {
            return cost + nodes_[static_cast<std::size_t>(edges_[edge].to)].to_go_nm;
        };
        const auto offer = [&](std::size_t edge, double cost, std::ptrdiff_t by) {
            if (edge >= best.size()) {
                best.resize(edges_.size(), no_cost);
                came_by.resize(edges_.size(), -1);
            }
            if (cost < best[edge]) {
                best[edge] = cost;
                came_by[edge] = by;
                open.push({whole(edge, cost), cost, edge, by, true});
            }
        };
        // From a leg flown to the next one, which is laid out.
        const auto go_on = [&](std::size_t index, std::size_t next, double cost) {
            if (!flight::goes_straight_on(edges_[index].last(), edges_[next].first()) &&
                !tell(edges_[index])) {
                return;
            }
            const Angle turn = edges_[next].first().track - edges_[index].last().arrival;
            offer(next, cost + edges_[next].cost_nm + turn_cost(turn), static_cast<std::ptrdiff_t>(index));
        };
        for (const std::size_t edge : first_) {
            offer(edge, edges_[edge].cost_nm, -1);
        }
        std::vector<double> entry_cost(question_.entries.size(), no_cost);
        std::vector<std::ptrdiff_t> entry_by(question_.entries.size(), -1);
        double worst_entry = no_cost;
        while (!open.empty()) {
            const Reached reached = open.top();
            open.pop();
            if (reached.least_nm > worst_entry) {
                break;
            }
            const std::size_t index = reached.edge;
            if (!reached.settled) {
                if (edges_[index].laid_out || (edges_[index].cost_nm < no_cost && lay_out(index))) {
                    const auto by = static_cast<std::size_t>(reached.by);
                    go_on(by, index, best[by]);
                }
                continue;
            }
            const double cost = reached.cost_nm;
            if (cost > best[index]) {
                continue;
            }
            const int n = edges_[index].to;
            for (std::size_t e = 0; e < entry_nodes_.size(); ++e) {
                if (entry_nodes_[e] == shared_node(n) && may_enter(edges_, came_by, index)) {
                    const double total = cost + entering(edges_[index], question_.entries[e]);
                    if (total == no_cost) {
                        refuse_entry(edges_[index], question_.entries[e]);
                    }
                    if (total < entry_cost[e]) {
                        entry_cost[e] = total;
                        entry_by[e] = static_cast<std::ptrdiff_t>(index);
                    }
                }
            }
            // Nothing that costs more than the best entry by a wide margin will be chosen or compared.
            worst_entry = *std::min_element(entry_cost.begin(), entry_cost.end()) + 60.0;
            expand(n);
            const std::vector<std::size_t> leaving = leaving_[static_cast<std::size_t>(n)];
            for (const std::size_t next : leaving) {
                if (edges_[next].to == edges_[index].from || edges_[next].cost_nm == no_cost) {
                    continue;
                }
                const Angle turn = edges_[next].first().track - edges_[index].last().arrival;
                const bool own_departure = edges_[index].from < 0 && !edges_[index].start;
                if (abs(turn) > largest_turn_en_route && !own_departure) {
                    continue;
                }
                if (edges_[next].laid_out) {
                    go_on(index, next, cost);
                    continue;
                }
                const double least = cost + edges_[next].cost_nm + turn_cost(turn);
                if (whole(next, least) <= worst_entry) {
                    open.push({whole(next, least), least, next, static_cast<std::ptrdiff_t>(index), false});
                }
            }
        }
        for (std::size_t e = 0; e < entry_cost.size(); ++e) {
            if (entry_cost[e] < no_cost) {
                answer_.ways.push_back(way_to(e, entry_cost[e], entry_by[e], came_by));
            }
        }
    }

    // Whether a way may end here: where an arrival is asked for, only behind it.
    bool may_enter(const std::vector<Edge>& edges, const std::vector<std::ptrdiff_t>& came_by,
                   std::size_t index) const {
        if (!question_.only_by_arrival) {
            return true;
        }
        for (auto at = static_cast<std::ptrdiff_t>(index); at >= 0;
             at = came_by[static_cast<std::size_t>(at)]) {
            if (edges[static_cast<std::size_t>(at)].arrival) {
                return true;
            }
        }
        return false;
    }

    // What entering costs beyond the way there; infinite where the entry cannot be told or the turn is too great.
    double entering(const Edge& edge, const Entry& entry) const {
        const Angle turn = entry.first_track - edge.last().arrival;
        if (!entry.any_direction && abs(turn) > entry.largest_turn) {
            return no_cost;
        }
        if (!entry_ending(edge, entry)) {
            return no_cost;
        }
        return entry.extra.nautical_miles() + (entry.any_direction ? 0.0 : turn_cost(turn));
    }

    void refuse_entry(const Edge& edge, const Entry& entry) {
        const Angle turn = entry.first_track - edge.last().arrival;
        const std::string about =
            fmt::format("entering at {} from {}", entry.fix.ident,
                        edge.last().from ? edge.last().from->ident : question_.departure_name);
        if (!entry.any_direction && abs(turn) > entry.largest_turn) {
            refuse_once({base::Grade::blocks, "entry.turn_too_great", about,
                         fmt::format("the turn onto what follows is {:.0f} degrees, {:.0f} allowed",
                                     std::abs(turn.degrees()), entry.largest_turn.degrees()),
                         ""},
                        about + "turn");
        } else {
            refuse_once({base::Grade::blocks, "entry.not_told", about,
                         fmt::format("{} cannot be told on this way", entry.fix.ident), ""},
                        about + "told");
        }
    }

    std::optional<procedure::Ending> entry_ending(const Edge& edge, const Entry& entry) const {
        fixing::FixQuestion question = fix_question(edge);
        question.use = fixing::FixUse::terminal;
        question.allowed_error = entry.allowed_error;
        question.published_aids = entry.published_aids;
        const auto found = fixing::tellings(world_, ground_, aboard_, question);
        if (found.ways.empty()) {
            return std::nullopt;
        }
        return procedure::AtFix{*edge.last().to, found.ways.front()};
    }

    Way way_to(std::size_t entry, double cost_nm, std::ptrdiff_t last,
               const std::vector<std::ptrdiff_t>& came_by) const {
        std::vector<const Edge*> edges;
        for (std::ptrdiff_t at = last; at >= 0; at = came_by[static_cast<std::size_t>(at)]) {
            edges.push_back(&edges_[static_cast<std::size_t>(at)]);
        }
        std::reverse(edges.begin(), edges.end());
        Way way;
        way.entry = entry;
        way.cost_nm = cost_nm;
        for (const Edge* edge : edges) {
            way.legs.insert(way.legs.end(), edge->legs.begin(), edge->legs.end());
            way.start = edge->start ? edge->start : way.start;
            way.arrival = edge->arrival ? edge->arrival : way.arrival;
        }
        way.legs.back().ending = entry_ending(*edges.back(), question_.entries[entry]);
        // The rows of a procedure bind at their fixes even on a straight line.
        for (std::size_t i = 0; i + 1 < way.legs.size(); ++i) {
            if (way.legs[i].coded == nullptr && flight::goes_straight_on(way.legs[i], way.legs[i + 1])) {
                way.legs[i].ending.reset();
            }
        }
        return way;
    }

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment& aboard_;
    const flight::Settings& settings_;
    const Question& question_;
    std::vector<Node> nodes_;
    std::map<navdata::Point, int> node_by_point_;
    std::vector<int> entry_nodes_;
    std::map<int, int> same_place_;
    std::vector<Edge> edges_;
    std::vector<std::vector<std::size_t>> leaving_;
    std::vector<bool> expanded_;
    std::vector<std::size_t> first_;
    std::set<std::string> said_;
    Answer answer_;
};

}  // namespace

Answer search(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
              const flight::Settings& settings, const Question& question) {
    return Search(world, ground, aboard, settings, question).result();
}

}  // namespace omniway::routing
