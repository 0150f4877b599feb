#include "routing/detail/graph.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <string_view>

#include <fmt/format.h>

#include "earth/geodesic.hpp"
#include "flight/climb_overhead.hpp"
#include "flight/departure.hpp"
#include "flight/off_airway_minimum.hpp"
#include "flight/own_legs.hpp"
#include "radio/reception.hpp"

namespace omniway::routing::detail {

using base::Angle;
using base::Length;
using flight::Leg;
using navdata::StationId;
using procedure::PlacedFix;

namespace {

constexpr double no_way = std::numeric_limits<double>::infinity();
constexpr double at_least = Network::at_least;
// Of shortest(): search.hpp.
constexpr double longest_line_nm = 130.0;
// Own ways from one place to another: two by heading and two by radials (flight/own_legs.hpp).
constexpr std::size_t most_own_ways = 4;
double about_nm(const std::array<double, 3>& a, const std::array<double, 3>& b) {
    return Network::apart(a, b).nautical_miles();
}

// Whether radials and bearings can be followed: how many receivers there are, and whether a DME, decides only how a fix is told.
cockpit::Equipment what_legs_ask_of(const cockpit::Equipment& aboard) {
    cockpit::Equipment asked;
    asked.receivers.resize(std::min<std::size_t>(aboard.receivers.size(), 1));
    for (cockpit::NavigationReceiver& receiver : asked.receivers) {
        receiver.localizer = aboard.has_localizer();
    }
    if (aboard.adf) {
        asked.adf = cockpit::AdfIndicator{};
    }
    return asked;
}

}  // namespace

Graph::Graph(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
             const flight::Settings& settings, const Question& question, const Network& network,
             EdgeMemo& memo, std::vector<GraphLevel> levels)
    : world_(world),
      ground_(ground),
      aboard_(aboard),
      settings_(settings),
      question_(question),
      network_(network),
      memo_(memo),
      rules_(memo.rules(aboard, settings, ground)),
      rules_of_legs_(memo.rules(what_legs_ask_of(aboard), settings, ground)),
      unconstrained_(!question.constraints.asks_of_legs()),
      levels_(std::move(levels)),
      departure_(earth::unit_vector(question.departure)),
      arrival_(earth::unit_vector(question.arrival)),
      of_network_(network.nodes().size(), -2),
      slot_of_(levels_.size()),
      reach_nm_(levels_.size() + 1),
      forbidden_(question.forbidden),
      reached_without_(levels_.size()) {
    if (question_.distance_only) {
        gather_entries();
        gather_starts();
        return;
    }
    double along_nm = 0.0;
    std::array<double, 3> before = departure_;
    for (const navdata::Point& point : question.constraints.via) {
        via_.push_back(earth::unit_vector(world.position(point)));
        along_nm += about_nm(before, via_.back());
        before = via_.back();
    }
    along_nm += about_nm(before, arrival_);
    corridor_nm_ = longest_way(Length::nautical_miles(along_nm)).nautical_miles();
    gather_entries();
    gather_arrivals();
    gather_starts();
    if (question_.own_departure) {
        gather_own_departures();
    }
    if (question_.own_legs) {
        gather_own_ends();
    }
}

double Graph::least_turn_deg(const Edge& onto, double arrival_deg) {
    return onto.kind == Kind::own
               ? 0.0
               : std::abs(std::remainder(onto.track_deg - arrival_deg, 360.0)) - track_slack_deg;
}

void Graph::begin(std::vector<ForbiddenPair> forbidden) {
    forbidden_ = std::move(forbidden);
    said_.clear();
    refused_.clear();
    laid_out_ = 0;
}

bool Graph::in_corridor(const std::array<double, 3>& place) const {
    return question_.distance_only || about_nm(departure_, place) + about_nm(place, arrival_) <= corridor_nm_;
}

Graph::Slot& Graph::slot(std::uint32_t edge, std::size_t level) {
    auto& of_level = slot_of_[level];
    if (edge >= of_level.size()) {
        of_level.resize(edges_.size());
    }
    if (of_level[edge] == 0) {
        slots_.emplace_back();
        of_level[edge] = static_cast<std::uint32_t>(slots_.size());
    }
    return slots_[of_level[edge] - 1];
}

const Graph::Slot* Graph::known_slot(std::uint32_t edge, std::size_t level) const {
    const auto& of_level = slot_of_[level];
    return edge < of_level.size() && of_level[edge] != 0 ? &slots_[of_level[edge] - 1] : nullptr;
}

bool Graph::is_beacon(std::optional<StationId> station) const {
    return station && navdata::ndb(world_[*station]) != nullptr;
}

int Graph::node_of_network(std::size_t index) {
    std::int32_t& known = of_network_[index];
    if (known == -2) {
        const Network::Node& of = network_.nodes()[index];
        known = -1;
        if (in_corridor(of.unit)) {
            Node node;
            node.fix = {world_.ident(of.point), world_.position(of.point), of.point, false};
            node.station = of.station;
            node.is_beacon = is_beacon(of.station);
            node.unit = of.unit;
            node.of_network = index;
            known = add(std::move(node));
        }
    }
    return known;
}

int Graph::node_of(const navdata::Point& point) {
    if (const auto index = network_.node_of(point)) {
        return node_of_network(*index);
    }
    const auto found = others_.find(point);
    if (found != others_.end()) {
        return found->second;
    }
    Node node;
    node.fix = {world_.ident(point), world_.position(point), point, false};
    node.unit = earth::unit_vector(node.fix.position);
    const int made = in_corridor(node.unit) ? add(std::move(node)) : -1;
    others_.emplace(point, made);
    if (made >= 0) {
        others_without_network_.push_back(made);
    }
    return made;
}

int Graph::add(Node node) {
    nodes_.push_back(std::move(node));
    entries_at_.emplace_back();
    return static_cast<int>(nodes_.size()) - 1;
}

int Graph::node_of_entry(const PlacedFix& fix) {
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
    node.unit = earth::unit_vector(fix.position);
    for (const std::uint32_t near : network_.within(node.unit, Length::metres(1.0))) {
        const int known =
            world_.position(network_.nodes()[near].point) == fix.position ? node_of_network(near) : -1;
        if (known >= 0) {
            return known;
        }
    }
    if (fix.point) {
        if (const auto* id = std::get_if<StationId>(&*fix.point);
            id != nullptr && (navdata::vor(world_[*id]) != nullptr || navdata::ndb(world_[*id]) != nullptr)) {
            node.station = *id;
            node.is_beacon = is_beacon(*id);
        }
    }
    const int made = add(std::move(node));
    others_without_network_.push_back(made);
    return made;
}

void Graph::gather_entries() {
    for (const Entry& entry : question_.entries) {
        const Goal goal{earth::unit_vector(entry.fix.position), entry.extra.nautical_miles(),
                        entry.length.nautical_miles()};
        const auto same = std::find_if(goals_.begin(), goals_.end(),
                                       [&](const Goal& other) { return other.unit == goal.unit; });
        if (same == goals_.end()) {
            goals_.push_back(goal);
        } else {
            same->extra_nm = std::min(same->extra_nm, goal.extra_nm);
            same->length_nm = std::min(same->length_nm, goal.length_nm);
        }
    }
    for (std::size_t e = 0; e < question_.entries.size(); ++e) {
        const int node = node_of_entry(question_.entries[e].fix);
        entries_at_[static_cast<std::size_t>(node)].push_back(e);
    }
    for (const navdata::Point& point : question_.constraints.via) {
        node_of(point);
    }
}

std::span<const std::size_t> Graph::entries_at(int node) const {
    const auto found = same_place_.find(node);
    return entries_at_[static_cast<std::size_t>(found == same_place_.end() ? node : found->second)];
}

// Where only what comes by an arrival counts, its end is a place of its own: no cheaper way to the same fix hides it.
int Graph::end_of(const PlacedFix& fix) {
    const int shared = node_of_entry(fix);
    if (!question_.only_by_arrival) {
        return shared;
    }
    Node own_place = nodes_[static_cast<std::size_t>(shared)];
    own_place.leaving.clear();
    own_place.expanded = false;
    const int own = add(std::move(own_place));
    same_place_[own] = shared;
    return own;
}

std::uint32_t Graph::add(Edge edge) {
    const auto index = static_cast<std::uint32_t>(edges_.size());
    if (edge.from >= 0) {
        nodes_[static_cast<std::size_t>(edge.from)].leaving.push_back(index);
    } else {
        first_.push_back(index);
    }
    edges_.push_back(edge);
    return index;
}

namespace {

double length_nm(const Chain& chain) {
    Length all;
    for (const Leg& leg : chain.legs) {
        all += leg.length;
    }
    return all.nautical_miles();
}

}  // namespace

void Graph::gather_arrivals() {
    for (std::size_t i = 0; i < question_.arrivals.size(); ++i) {
        const Chain& chain = question_.arrivals[i];
        Edge edge;
        edge.kind = Kind::arrival;
        edge.from = node_of_entry(*chain.legs.front().from);
        edge.to = end_of(*chain.legs.back().to);
        edge.chain = i;
        edge.least_nm = length_nm(chain);
        edge.track_deg = chain.legs.front().track.degrees();
        arrival_edges_.push_back(add(edge));
    }
}

void Graph::gather_starts() {
    for (std::size_t i = 0; i < question_.starts.size(); ++i) {
        const Chain& chain = question_.starts[i];
        Edge edge;
        edge.kind = Kind::start;
        edge.to = node_of_entry(*chain.legs.back().to);
        edge.chain = i;
        edge.least_nm = length_nm(chain);
        edge.track_deg = chain.legs.front().track.degrees();
        add(edge);
    }
}

void Graph::gather_own_departures() {
    const Length about = farthest_first_station * 1.01;
    for (const std::uint32_t index : network_.within(departure_, about)) {
        const int to = network_.nodes()[index].station ? node_of_network(index) : -1;
        if (to < 0 ||
            earth::distance(question_.departure, nodes_[static_cast<std::size_t>(to)].fix.position) >
                farthest_first_station) {
            continue;
        }
        Edge edge;
        edge.kind = Kind::own_departure;
        edge.to = to;
        edge.least_nm = at_least * about_nm(departure_, nodes_[static_cast<std::size_t>(to)].unit);
        edge.track_deg = Network::track_deg(departure_, nodes_[static_cast<std::size_t>(to)].unit);
        add(edge);
    }
}

const std::vector<std::uint32_t>& Graph::leaving(int n) {
    const auto at = static_cast<std::size_t>(n);
    if (!nodes_[at].expanded) {
        nodes_[at].expanded = true;
        draw_airways(n);
        draw_direct(n);
        if (question_.own_legs) {
            draw_own(n);
        }
    }
    return nodes_[at].leaving;
}

bool Graph::is_published(const Network::Segment& of) const {
    const navdata::Airway& airway = world_.airways()[of.airway];
    const auto direction = airway.segments[of.index].direction;
    return !airway.area_navigation && direction != (of.forward ? navdata::AirwayDirection::backward_only
                                                               : navdata::AirwayDirection::forward_only);
}

void Graph::draw_airways(int n) {
    const auto of = nodes_[static_cast<std::size_t>(n)].of_network;
    if (!of || same_place_.contains(n)) {
        return;
    }
    for (const Network::Segment& segment : network_.leaving(*of)) {
        const int to = node_of_network(segment.to);
        if (to < 0 || (question_.distance_only && !is_published(segment))) {
            continue;
        }
        Edge edge;
        edge.kind = Kind::airway;
        edge.from = n;
        edge.to = to;
        edge.airway = AirwayEdge{segment.airway, segment.index, segment.forward};
        edge.least_nm = world_.airways()[segment.airway].segments[segment.index].distance.nautical_miles();
        edge.track_deg = Network::track_deg(nodes_[static_cast<std::size_t>(n)].unit,
                                            nodes_[static_cast<std::size_t>(to)].unit);
        add(edge);
    }
}

// Of the azimuth of a station that the receivers aboard can follow.
double Graph::reach_nm(int n, std::size_t level) {
    const auto at = static_cast<std::size_t>(n);
    auto& of_level = reach_nm_[level];
    if (at >= of_level.size()) {
        of_level.resize(nodes_.size(), -1.0);
    }
    double& known = of_level[at];
    if (known < 0.0 && level == any_level()) {
        known = 0.0;
        for (std::size_t each = 0; each < levels_.size(); ++each) {
            known = std::max(known, reach_nm(n, each));
        }
    } else if (known < 0.0) {
        const Node& node = nodes_[at];
        const bool followed = node.is_beacon ? aboard_.adf.has_value() : !aboard_.receivers.empty();
        known = node.station && followed
                    ? radio::azimuth_reach(world_[*node.station], levels_[level].altitude, ground_)
                          .value_or(Length())
                          .nautical_miles()
                    : 0.0;
    }
    return known;
}

std::optional<Graph::Guided> Graph::guided(int from, int to, double least_nm, std::size_t level) {
    constexpr double no_gap_nm =
        0.01;  // flight/en_route.cpp: what an aid behind may lack where nothing is ahead
    const double behind_nm = reach_nm(from, level);
    const double ahead_nm = reach_nm(to, level);
    const double gap_nm = std::max(0.0, least_nm - behind_nm - ahead_nm);
    if (gap_nm > (ahead_nm > 0.0 ? settings_.dead_reckoning_distance.nautical_miles() : no_gap_nm)) {
        return std::nullopt;
    }
    // What a VOR at the other end does not reach is flown by the beacon.
    const auto beyond = [&](int n, double reach_nm) {
        const Node& node = nodes_[static_cast<std::size_t>(n)];
        return node.station && !node.is_beacon ? reach_nm : 0.0;
    };
    return Guided{gap_nm, std::max(0.0, least_nm - gap_nm - beyond(from, behind_nm) - beyond(to, ahead_nm))};
}

// To every aid, and from an aid to every place.
std::span<const Network::Line> Graph::lines(int n) {
    const Node& node = nodes_[static_cast<std::size_t>(n)];
    const Length bridged = settings_.dead_reckoning_distance;
    if (node.of_network && bridged <= Network::farthest_bridged) {
        return network_.lines(*node.of_network);
    }
    const auto known = own_lines_.find(n);
    return known != own_lines_.end()
               ? known->second
               : own_lines_.emplace(n, network_.lines_from(node.unit, node.station.has_value(), bridged))
                     .first->second;
}

// What the two reach, with what dead reckoning may bridge, bounds the leg.
void Graph::draw_direct(int n) {
    if (question_.distance_only) {
        draw_lines(n);
        return;
    }
    for (const Network::Line& line : lines(n)) {
        const int to = node_of_network(line.to);
        if (to >= 0) {
            draw_direct(n, to, line.apart_nm, line.track_deg);
        }
    }
    const auto at = static_cast<std::size_t>(n);
    for (const int to : others_without_network_) {
        const Node& other = nodes_[static_cast<std::size_t>(to)];
        if (nodes_[at].station || other.station) {
            draw_direct(n, to, about_nm(nodes_[at].unit, other.unit),
                        Network::track_deg(nodes_[at].unit, other.unit));
        }
    }
}

void Graph::draw_lines(int n) {
    const auto at = static_cast<std::size_t>(n);
    if (!nodes_[at].station) {
        return;
    }
    const auto here = nodes_[at].unit;
    const Length about = Length::nautical_miles(longest_line_nm / at_least);
    for (const std::uint32_t index : network_.within(here, about)) {
        const int to = network_.nodes()[index].station ? node_of_network(index) : -1;
        if (to < 0 || to == n) {
            continue;
        }
        Edge edge;
        edge.from = n;
        edge.to = to;
        edge.least_nm =
            earth::distance(nodes_[at].fix.position, nodes_[static_cast<std::size_t>(to)].fix.position)
                .nautical_miles();
        if (edge.least_nm < longest_line_nm) {
            add(edge);
        }
    }
}

void Graph::draw_direct(int from, int to, double about_nm, double track_deg) {
    if (from == to || nodes_[static_cast<std::size_t>(from)].fix.position ==
                          nodes_[static_cast<std::size_t>(to)].fix.position) {
        return;
    }
    const double least_nm = at_least * about_nm;
    if (least_nm < 0.2 || least_nm > reach_nm(from, any_level()) + reach_nm(to, any_level()) +
                                         settings_.dead_reckoning_distance.nautical_miles()) {
        return;
    }
    Edge edge;
    edge.from = from;
    edge.to = to;
    edge.least_nm = least_nm;
    edge.track_deg = track_deg;
    add(edge);
}

// Where only what comes by an arrival counts, what leads to the beginning of one does.
void Graph::gather_own_ends() {
    const auto add_end = [&](int node) {
        if (node >= 0 && !is_own_end(node)) {
            own_ends_.push_back(node);
        }
    };
    for (const Entry& entry : question_.entries) {
        if (!question_.only_by_arrival) {
            add_end(node_of_entry(entry.fix));
        }
    }
    for (const std::uint32_t arrival : arrival_edges_) {
        if (question_.only_by_arrival) {
            add_end(edges_[arrival].from);
        }
    }
    for (const navdata::Point& point : question_.constraints.via) {
        add_end(node_of(point));
    }
}

bool Graph::is_own_end(int node) const {
    return std::find(own_ends_.begin(), own_ends_.end(), node) != own_ends_.end();
}

void Graph::draw_own(int n) {
    const auto here = nodes_[static_cast<std::size_t>(n)].unit;
    for (const int to : own_ends_) {
        draw_own(n, to, about_nm(here, nodes_[static_cast<std::size_t>(to)].unit), farthest_own_end);
    }
    for (const std::uint32_t index : network_.within(here, farthest_own_beside * (1.0 / at_least))) {
        const int to = node_of_network(index);
        if (to >= 0 && !is_own_end(to)) {
            draw_own(n, to, about_nm(here, nodes_[static_cast<std::size_t>(to)].unit), farthest_own_beside);
        }
    }
}

void Graph::draw_own(int from, int to, double about_nm, Length farthest) {
    const double least_nm = at_least * about_nm;
    if (from == to || least_nm < 0.2 || least_nm > farthest.nautical_miles()) {
        return;
    }
    Edge edge;
    edge.kind = Kind::own;
    edge.from = from;
    edge.to = to;
    edge.least_nm = least_nm;
    edge.track_deg = Network::track_deg(nodes_[static_cast<std::size_t>(from)].unit,
                                        nodes_[static_cast<std::size_t>(to)].unit);
    const std::size_t all = onward_from(to).size() * most_own_ways;
    for (edge.chain = 0; edge.chain < all; ++edge.chain) {
        add(edge);
    }
}

// As the approaches that are entered there go on; not known where a way may go on by itself or an approach in any direction.
const std::vector<Graph::Onward>& Graph::onward_from(int node) {
    const auto known = onward_.find(node);
    if (known != onward_.end()) {
        return known->second;
    }
    std::vector<Onward>& all = onward_[node];
    const auto entries = entries_at(node);
    const bool any_direction = std::any_of(entries.begin(), entries.end(),
                                           [&](std::size_t e) { return question_.entries[e].any_direction; });
    if (entries.empty() || any_direction || nodes_[static_cast<std::size_t>(node)].of_network) {
        all.emplace_back();
    }
    for (const std::size_t e : entries) {
        const Onward onward(question_.entries[e].first_track);
        if (!question_.entries[e].any_direction && std::find(all.begin(), all.end(), onward) == all.end()) {
            all.push_back(onward);
        }
    }
    return all;
}

int Graph::shared(int node) const {
    const auto found = same_place_.find(node);
    return found == same_place_.end() ? node : found->second;
}

const std::vector<Graph::Before>& Graph::before(int n, std::size_t level) {
    before_.clear();
    const auto at = static_cast<std::size_t>(n);
    const auto direct = [&](int from, double about_nm) {
        const double least_nm = at_least * about_nm;
        const auto legs = from == n ? std::nullopt : guided(from, n, least_nm, level);
        if (legs) {
            before_.push_back({from, Kind::direct, least_nm, 0, *legs, 0});
        }
    };
    const double farthest_nm =
        (reach_nm(n, level) + (Network::widest_volume + settings_.dead_reckoning_distance).nautical_miles()) /
        at_least;
    for (const Network::Line& line : lines(n)) {
        if (line.apart_nm > farthest_nm) {
            break;
        }
        const int from = node_of_network(line.to);
        if (from >= 0) {
            direct(from, line.apart_nm);
        }
    }
    for (const int from : others_without_network_) {
        const Node& other = nodes_[static_cast<std::size_t>(from)];
        if (nodes_[at].station || other.station) {
            direct(from, about_nm(nodes_[at].unit, other.unit));
        }
    }
    if (const auto of = nodes_[at].of_network) {
        // Every segment leaves both its ends.
        for (const Network::Segment& segment : network_.leaving(*of)) {
            const int from = node_of_network(segment.to);
            if (from >= 0) {
                before_.push_back(
                    {from,
                     Kind::airway,
                     world_.airways()[segment.airway].segments[segment.index].distance.nautical_miles(),
                     0,
                     {},
                     segment.airway});
            }
        }
    }
    if (question_.own_legs) {
        const Length farthest = is_own_end(n)           ? farthest_own_end
                                : nodes_[at].of_network ? farthest_own_beside
                                                        : Length();
        const auto own = [&](int from) {
            const double least_nm = at_least * about_nm(nodes_[at].unit, node(from).unit);
            if (from != n && least_nm <= farthest.nautical_miles()) {
                before_.push_back({from, Kind::own, least_nm, 0, {}, 0});
            }
        };
        for (const std::uint32_t index : network_.within(nodes_[at].unit, farthest * (1.0 / at_least))) {
            const int from = node_of_network(index);
            if (from >= 0) {
                own(from);
            }
        }
        std::for_each(others_without_network_.begin(), others_without_network_.end(), own);
    }
    for (const std::uint32_t index : arrival_edges_) {
        const Edge& edge = edges_[index];
        if (shared(edge.to) == n) {
            before_.push_back({edge.from, Kind::arrival, edge.least_nm, edge.chain, {}, 0});
        }
    }
    return before_;
}

bool Graph::is_laid_out(std::uint32_t edge, std::size_t level) const {
    const Slot* known = known_slot(edge, level);
    return known != nullptr && known->state != Slot::State::unknown;
}

std::span<const Leg> Graph::legs(std::uint32_t index, std::size_t level) {
    if (slot(index, level).state == Slot::State::unknown) {
        lay_out(index, level);
    }
    const Slot& at = slot(index, level);
    if (at.state == Slot::State::refused) {
        return {};
    }
    const Edge& edge = edges_[index];
    switch (edge.kind) {
        case Kind::airway:
        case Kind::direct:
            return {&*at.judged->leg, 1};
        case Kind::own:
        case Kind::own_departure:
            return at.own;
        case Kind::start:
            return question_.starts[edge.chain].legs;
        case Kind::arrival:
            break;
    }
    return question_.arrivals[edge.chain].legs;
}

const base::Finding* Graph::refusal(std::uint32_t edge, std::size_t level) const {
    const Slot* at = known_slot(edge, level);
    return at != nullptr && at->judged && at->judged->refused ? &*at->judged->refused : nullptr;
}

bool Graph::keeps_to_constraints(std::span<const Leg> legs) {
    return unconstrained_ || keeps_to(question_.constraints, legs);
}

bool Graph::keeps_to(const Constraints& asked, std::span<const Leg> legs) {
    for (const Leg& leg : legs) {
        if (const auto broken = broken_by(asked, world_, leg)) {
            refuse_once(*broken, (leg.published ? broken->about : std::string()) + broken->code);
            return false;
        }
    }
    return true;
}

void Graph::lay_out(std::uint32_t index, std::size_t level) {
    const Edge edge = edges_[index];
    Slot& at = slot(index, level);
    if (question_.distance_only) {
        at.state = Slot::State::laid;
        return;
    }
    at.state = Slot::State::refused;
    switch (edge.kind) {
        case Kind::start:
            lay_out_chain(at, question_.starts[edge.chain], level, "departure.above_cruise");
            break;
        case Kind::arrival:
            lay_out_chain(at, question_.arrivals[edge.chain], level, "arrival.above_cruise");
            break;
        case Kind::own_departure: {
            const GraphLevel& flown = levels_[level];
            const PlacedFix& to = nodes_[static_cast<std::size_t>(edge.to)].fix;
            auto made =
                flight::departure_legs(world_, ground_, aboard_, settings_, question_.departure,
                                       question_.departure_name, question_.straight_ahead, to, flown.climb);
            if (made.refused) {
                refuse_once(*made.refused, made.refused->about + made.refused->code);
            } else if (keeps_to_constraints(made.legs)) {
                at.own = std::move(made.legs);
                at.state = Slot::State::laid;
                ++laid_out_;
            }
            break;
        }
        case Kind::own:
            lay_out_own(at, edge, level);
            break;
        case Kind::airway:
        case Kind::direct:
            judge(index, level);
    }
}

void Graph::lay_out_own(Slot& at, const Edge& edge, std::size_t level) {
    const auto& ways = own_ways(edge, level);
    const std::size_t which = edge.chain % most_own_ways;
    if (which >= ways.size()) {
        return;
    }
    std::vector<Leg> legs = ways[which];
    if (tell_within(legs, level) && keeps_to_constraints(legs)) {
        at.own = std::move(legs);
        at.state = Slot::State::laid;
        ++laid_out_;
    }
}

// Told as it is answered, but where that station may not be one to use.
bool Graph::tell_within(std::vector<Leg>& legs, std::size_t level) const {
    auto* fix = unconstrained_ ? nullptr : std::get_if<procedure::AtFix>(&*legs.front().ending);
    if (fix == nullptr) {
        return true;
    }
    const auto told = best_telling(fix_question(legs.front(), level));
    if (told) {
        fix->telling = *told;
    }
    return told.has_value();
}

const std::vector<std::vector<Leg>>& Graph::own_ways(const Edge& edge, std::size_t level) {
    const std::tuple key(edge.from, edge.to, level, edge.chain / most_own_ways);
    const auto known = own_ways_.find(key);
    return known != own_ways_.end() ? known->second
                                    : own_ways_.emplace(key, ask_own_ways(edge, level)).first->second;
}

std::vector<std::vector<Leg>> Graph::ask_own_ways(const Edge& edge, std::size_t level) {
    std::vector<std::vector<Leg>> ways;
    if (!is_own_end(edge.to) && is_reached_without(edge.to, level)) {
        return ways;
    }
    const Onward onward = onward_from(edge.to)[edge.chain / most_own_ways];
    if (direct_serves(edge.from, edge.to, onward, level)) {
        return ways;
    }
    flight::OwnLegsQuestion asked;
    asked.from = node(edge.from).fix;
    asked.to = node(edge.to).fix;
    asked.onward = onward;
    asked.altitude = levels_[level].altitude;
    asked.without_direct = true;
    for (flight::LegsOrReason& made : question_.own_legs(asked)) {
        if (made.legs.size() == 2 && ways.size() < most_own_ways) {
            ways.push_back(std::move(made.legs));
        }
    }
    return ways;
}

bool Graph::is_reached_without(int node, std::size_t level) {
    auto& known = reached_without_[level];
    if (known.empty()) {
        known = reached_without(level);
    }
    const auto at = static_cast<std::size_t>(node);
    return at < known.size() && known[at];
}

// Whatever it costs, and whatever the judge refused of it.
std::vector<bool> Graph::reached_without(std::size_t level) {
    std::vector<ForbiddenPair> forbidden;
    forbidden.swap(forbidden_);
    std::vector<bool> nodes(nodes_.size());
    std::vector<bool> flown(edges_.size());
    std::vector<std::uint32_t> open;
    const auto fly = [&](std::uint32_t edge) {
        const auto to = static_cast<std::size_t>(edges_[edge].to);
        nodes.resize(std::max(nodes.size(), to + 1));
        nodes[to] = true;
        flown[edge] = true;
        open.push_back(edge);
    };
    for (const std::uint32_t edge : first_) {
        if (!legs(edge, level).empty()) {
            fly(edge);
        }
    }
    while (!open.empty()) {
        const std::uint32_t before = open.back();
        open.pop_back();
        const auto& ahead = leaving(edges_[before].to);
        flown.resize(edges_.size());
        for (const std::uint32_t next : ahead) {
            if (!flown[next] && edges_[next].kind != Kind::own && edges_[next].to != edges_[before].from &&
                !legs(next, level).empty() && goes_on(before, level, next, level)) {
                fly(next);
            }
        }
    }
    forbidden_ = std::move(forbidden);
    return nodes;
}

// Whether a direct leg leads there and enters what goes on so; where nothing is entered so, whether it can be gone on from.
bool Graph::direct_serves(int from, int to, const Onward& onward, std::size_t level) {
    const auto& leaving = nodes_[static_cast<std::size_t>(from)].leaving;
    const auto direct = std::find_if(leaving.begin(), leaving.end(), [&](std::uint32_t index) {
        return edges_[index].kind == Kind::direct && edges_[index].to == to;
    });
    if (direct == leaving.end() || legs(*direct, level).empty()) {
        return false;
    }
    bool enters_all = true;
    bool enters_any = false;
    for (const std::size_t e : entries_at(to)) {
        const Entry& entry = question_.entries[e];
        if (entry.any_direction ? !onward : onward == entry.first_track) {
            enters_any = true;
            enters_all = enters_all && entering(*direct, level, e) == Entering::allowed;
        }
    }
    const bool is_gone_on_from = !enters_any || (!onward && node(to).of_network);
    return enters_all && (!is_gone_on_from || telling(*direct, level) != nullptr);
}

// A published departure or arrival that asks for more than the cruising altitude is none at it.
void Graph::lay_out_chain(Slot& at, const Chain& chain, std::size_t level, const std::string& code) {
    const base::Altitude cruise = levels_[level].altitude;
    for (const Leg& leg : chain.legs) {
        if (leg.minimum.altitude && *leg.minimum.altitude > cruise) {
            refuse_once({base::Grade::blocks, code, leg.via,
                         fmt::format("asks for {:.0f} ft, {:.0f} ft is the cruising altitude",
                                     leg.minimum.altitude->feet(), cruise.feet()),
                         fmt::format("cruise at {:.0f} ft or higher", leg.minimum.altitude->feet())},
                        leg.via + code);
            return;
        }
    }
    Constraints asked = question_.constraints;
    asked.no_dead_reckoning = asked.no_dead_reckoning && !chain.taken_up_in_the_air;
    if (keeps_to(asked, chain.legs)) {
        at.state = Slot::State::laid;
        at.told = Slot::Told::yes;  // the procedure was judged with its fixes
        ++laid_out_;
    }
}

std::optional<EdgeMemo::Edge> Graph::key(std::uint32_t index, Length dead_reckoning) const {
    const Edge& edge = edges_[index];
    if (edge.airway) {
        return EdgeMemo::Edge(*edge.airway);
    }
    const auto& from = nodes_[static_cast<std::size_t>(edge.from)].fix;
    const auto& to = nodes_[static_cast<std::size_t>(edge.to)].fix;
    // A fix that a procedure rebuilt has no name that another question would know it by.
    if (edge.kind != Kind::direct || !from.point || !to.point || from.rebuilt || to.rebuilt) {
        return std::nullopt;
    }
    return EdgeMemo::Edge(DirectEdge{*from.point, *to.point, dead_reckoning});
}

void Graph::judge(std::uint32_t index, std::size_t level) {
    const Edge edge = edges_[index];
    const base::Altitude altitude = levels_[level].altitude;
    const PlacedFix& from = nodes_[static_cast<std::size_t>(edge.from)].fix;
    const PlacedFix& to = nodes_[static_cast<std::size_t>(edge.to)].fix;
    base::Speed groundspeed;
    if (!edge.airway) {
        if (edge.from >= 0 && !guided(edge.from, edge.to, edge.least_nm, level)) {
            return;
        }
        groundspeed = levels_[level].slower_groundspeed(earth::bearing(from.position, to.position));
    }
    const auto judged = [&] {
        return edge.airway ? flight::airway_leg(world_, aboard_, world_.airways()[edge.airway->airway],
                                                edge.airway->index, edge.airway->forward, altitude)
                           : flight::direct_leg(world_, ground_, aboard_, settings_, from, to, altitude,
                                                groundspeed, flight::Minimum::for_a_search);
    };
    const auto known_by = key(index, flight::dead_reckoning_limit(settings_, groundspeed));
    Slot& at = slot(index, level);
    at.judged = known_by && rules_of_legs_ ? memo_.leg(*rules_of_legs_, *known_by, altitude, judged)
                                           : std::make_shared<const flight::LegOrReason>(judged());
    if (at.judged->leg) {
        if (keeps_to_constraints({&*at.judged->leg, 1})) {
            at.state = Slot::State::laid;
            ++laid_out_;
        }
    } else if (edge.airway && at.judged->refused) {
        // One finding an airway and reason is enough to be read.
        refuse_once(*at.judged->refused,
                    world_.airways()[edge.airway->airway].designator + at.judged->refused->code);
    }
}

fixing::FixQuestion Graph::fix_question(std::uint32_t edge, std::size_t level) {
    return fix_question(legs(edge, level).back(), level);
}

fixing::FixQuestion Graph::fix_question(const Leg& last, std::size_t level) const {
    fixing::FixQuestion question;
    question.fix = last.finish;
    question.altitude = levels_[level].altitude;
    question.track = last.arrival;
    question.guided_by = procedure::station_of(last.stretches.back().guidance);
    question.criteria = settings_.criteria;
    return question;
}

// All ways are looked at only where the best may be one that is not to be used.
std::optional<fixing::Telling> Graph::best_telling(fixing::FixQuestion question) const {
    question.every_way = !unconstrained_;
    return allowed_telling(question_.constraints, world_,
                           fixing::tellings(world_, ground_, aboard_, question).ways);
}

const fixing::Telling* Graph::telling(std::uint32_t index, std::size_t level) {
    if (slot(index, level).told == Slot::Told::unknown) {
        const Leg& last = legs(index, level).back();
        const auto judged = [&] { return best_telling(fix_question(index, level)); };
        // What is avoided is not among the rules that the memo knows.
        const auto known_by =
            unconstrained_ && rules_ && edges_[index].kind != Kind::own_departure
                ? key(index, edges_[index].airway
                                 ? Length()
                                 : flight::dead_reckoning_limit(
                                       settings_, levels_[level].slower_groundspeed(last.track)))
                : std::nullopt;
        Slot& at = slot(index, level);
        at.telling = known_by ? memo_.told(*rules_, *known_by, levels_[level].altitude, judged)
                              : std::make_shared<const std::optional<fixing::Telling>>(judged());
        at.told = *at.telling ? Slot::Told::yes : Slot::Told::no;
    }
    const Slot& at = slot(index, level);
    return at.telling && *at.telling ? &**at.telling : nullptr;
}

bool Graph::is_forbidden_anywhere(const Before& edge, int to) const {
    if (edge.kind == Kind::arrival || edge.kind == Kind::own) {
        return false;
    }
    return std::any_of(forbidden_.begin(), forbidden_.end(), [&](const ForbiddenPair& pair) {
        return pair.anywhere && pair.after.start == node(edge.from).fix.position &&
               pair.after.finish == node(to).fix.position &&
               pair.after.via == (edge.kind == Kind::airway
                                      ? std::string_view(world_.airways()[edge.airway].designator)
                                      : flight::direct_via);
    });
}

bool Graph::is_forbidden(std::uint32_t edge, std::size_t level, std::uint32_t next, std::size_t next_level) {
    if (forbidden_.empty()) {
        return false;
    }
    const auto follows = [&](const Leg& one, const Leg& other) {
        const auto before = ForbiddenPair::of(one);
        const auto after = ForbiddenPair::of(other);
        return std::any_of(forbidden_.begin(), forbidden_.end(), [&](const ForbiddenPair& pair) {
            return (pair.anywhere || (pair.before && *pair.before == before)) && pair.after == after;
        });
    };
    const auto ahead = legs(next, next_level);
    return follows(legs(edge, level).back(), ahead.front()) ||
           (edges_[next].kind == Kind::own && follows(ahead.front(), ahead.back()));
}

bool Graph::goes_on(std::uint32_t edge, std::size_t level, std::uint32_t next, std::size_t next_level) {
    const Leg& before = legs(edge, level).back();
    const Leg& after = legs(next, next_level).front();
    if (edges_[edge].kind != Kind::own_departure &&
        abs(after.track - before.arrival) > procedure::largest_turn_at_fix) {
        return false;
    }
    if (is_forbidden(edge, level, next, next_level)) {
        return false;
    }
    if (flight::goes_straight_on(before, after)) {
        return true;
    }
    telling(edge, level);
    return slot(edge, level).told == Slot::Told::yes;
}

std::size_t Graph::passed(std::uint32_t index, std::size_t before) const {
    const auto& via = question_.constraints.via;
    if (before == via.size()) {
        return before;
    }
    const Edge& edge = edges_[index];
    const auto over = [&](const std::optional<PlacedFix>& fix) {
        while (before < via.size() && fix && fix->point == via[before]) {
            ++before;
        }
    };
    if (edge.kind == Kind::start || edge.kind == Kind::arrival) {
        const auto& chain =
            edge.kind == Kind::start ? question_.starts[edge.chain] : question_.arrivals[edge.chain];
        for (const Leg& leg : chain.legs) {
            over(leg.to);
        }
    } else {
        over(nodes_[static_cast<std::size_t>(edge.to)].fix);
    }
    return before;
}

ToGo Graph::bound(const std::array<double, 3>& from) const {
    ToGo least{no_way, no_way};
    for (const Goal& goal : goals_) {
        const double away_nm = at_least * about_nm(from, goal.unit);
        least.cost_nm = std::min(least.cost_nm, away_nm + goal.extra_nm);
        least.flown_nm = std::min(least.flown_nm, away_nm + goal.length_nm);
    }
    return least;
}

const ToGo& Graph::to_go(int n, std::size_t passed) {
    if (via_to_go_.empty()) {
        via_to_go_.resize(via_.size() + 1);
        for (std::size_t i = via_.size(); i-- > 0;) {
            if (i + 1 == via_.size()) {
                via_to_go_[i] = bound(via_[i]);
            } else {
                const double apart_nm = at_least * about_nm(via_[i], via_[i + 1]);
                via_to_go_[i] = {via_to_go_[i + 1].cost_nm + apart_nm, via_to_go_[i + 1].flown_nm + apart_nm};
            }
        }
    }
    Node& node = nodes_[static_cast<std::size_t>(n)];
    if (node.to_go.empty()) {
        node.to_go.resize(via_.size() + 1);
        for (std::size_t i = 0; i < via_.size(); ++i) {
            const double away_nm = at_least * about_nm(node.unit, via_[i]);
            node.to_go[i] = {via_to_go_[i].cost_nm + away_nm, via_to_go_[i].flown_nm + away_nm};
        }
        node.to_go.back() = bound(node.unit);
    }
    return node.to_go[passed];
}

Graph::Entering Graph::entering(std::uint32_t edge, std::size_t level, std::size_t e) {
    const Entry& entry = question_.entries[e];
    const Angle turn = entry.first_track - legs(edge, level).back().arrival;
    if (!entry.any_direction && abs(turn) > entry.largest_turn) {
        return Entering::turn_too_great;
    }
    return entry_ending(edge, level, e) ? Entering::allowed : Entering::not_told;
}

std::optional<procedure::Ending> Graph::entry_ending(std::uint32_t edge, std::size_t level, std::size_t e) {
    const Entry& entry = question_.entries[e];
    fixing::FixQuestion question = fix_question(edge, level);
    question.use = fixing::FixUse::terminal;
    question.allowed_error = entry.allowed_error;
    question.published_aids = entry.published_aids;
    const Leg& last = legs(edge, level).back();
    const auto told = best_telling(std::move(question));
    if (!told) {
        return std::nullopt;
    }
    return procedure::AtFix{*last.to, *told};
}

Way Graph::way(std::span<const Flown> flown, std::size_t entry) {
    Way way;
    way.entry = entry;
    for (const Flown& each : flown) {
        const Edge& edge = edges_[each.edge];
        const auto piece = legs(each.edge, each.level);
        way.legs.insert(way.legs.end(), piece.begin(), piece.end());
        if (const fixing::Telling* told = slot(each.edge, each.level).told == Slot::Told::yes
                                              ? telling(each.edge, each.level)
                                              : nullptr) {
            way.legs.back().ending = procedure::AtFix{*way.legs.back().to, *told};
        }
        if (edge.kind == Kind::start) {
            way.start = edge.chain;
        } else if (edge.kind == Kind::arrival) {
            way.arrival = edge.chain;
        }
        if (each.level != flown.front().level) {
            for (std::size_t i = way.legs.size() - piece.size(); i < way.legs.size(); ++i) {
                way.legs[i].level = levels_[each.level].altitude;
            }
        }
    }
    for (Leg& leg : way.legs) {
        if (flight::is_rough(leg.minimum)) {
            leg.minimum =
                flight::off_airway_minimum(world_, ground_, settings_, leg.start, leg.finish, leg.stretches);
        }
    }
    if (!flight::is_climb_in_hold(way.legs.back())) {
        way.legs.back().ending = entry_ending(flown.back().edge, flown.back().level, entry);
    }
    // The rows of a procedure bind at their fixes even on a straight line, and a hold is left at its own.
    for (std::size_t i = 0; i + 1 < way.legs.size(); ++i) {
        if (way.legs[i].coded == nullptr && !flight::is_climb_in_hold(way.legs[i]) &&
            flight::goes_straight_on(way.legs[i], way.legs[i + 1])) {
            way.legs[i].ending.reset();
        }
    }
    return way;
}

void Graph::refuse_once(const base::Finding& finding, const std::string& key) {
    if (said_.insert(key).second) {
        refused_.push_back(finding);
    }
}

}  // namespace omniway::routing::detail
