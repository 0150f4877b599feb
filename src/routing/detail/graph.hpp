#pragma once

#include <cstddef>
#include <cstdint>
#include <deque>
#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <tuple>
#include <vector>

#include "routing/edge_memo.hpp"
#include "routing/network.hpp"
#include "routing/search.hpp"

namespace omniway::routing::detail {

constexpr base::Length farthest_first_station = base::Length::nautical_miles(60.0);
// How far an own way of two legs leads: to an entry or a point asked for, and to an aid or a point of an airway.
constexpr base::Length farthest_own_end = base::Length::nautical_miles(100.0);
constexpr base::Length farthest_own_beside = base::Length::nautical_miles(30.0);

/// At what a leg may be flown: an altitude, how it is climbed to from the field, and what bounds dead reckoning by time there.
struct GraphLevel {
    base::Altitude altitude;
    flight::Climbing climb;
    std::function<base::Speed(base::TrueBearing)> slower_groundspeed;
};

/// At least so much is still to come.
struct ToGo {
    double cost_nm = 0.0;   // with what the entry costs
    double flown_nm = 0.0;  // with the approach
};

/// The ways of one question as a graph that is laid out where a search comes to it.
///   Model     nodes are places, edges are what is flown from one to the next: an airway segment, a direct leg, an own way of two legs, an own departure, a
///             published departure or arrival. Leaving a node for the first time draws its edges with the least they can be; laying
///             an edge out at a level judges it. Nothing outside the ellipse of the question is drawn. What is drawn and laid out stays,
///             for another search of the same question.
///   Domain    one question; one thread.
///   Accuracy  least lengths are at most the geodesic's; tracks not laid out are within 0.5 degrees.
///   Cost      proportional to what is looked at.
///   Fails     never.
///   Source    -
class Graph {
public:
    enum class Kind { airway, direct, own, own_departure, start, arrival };
    struct Node {
        procedure::PlacedFix fix;
        std::optional<navdata::StationId> station;  // a VOR or NDB that can guide
        std::array<double, 3> unit{};
        std::optional<std::size_t> of_network;
        bool is_beacon = false;   // the station
        std::vector<ToGo> to_go;  // by how many of the points asked for are behind; empty: not asked yet
        bool expanded = false;
        std::vector<std::uint32_t> leaving;
    };
    struct Edge {
        Kind kind = Kind::direct;
        int from = -1;  // -1: the departure
        int to = 0;
        std::optional<AirwayEdge> airway;
        std::size_t chain = 0;  // of the question's starts or arrivals, or of the own ways from there to here
        double least_nm = 0.0;  // never more than what is flown
        double track_deg = 0.0;  // about; of an own way as the crow flies, which is not how it begins
    };
    static constexpr double track_slack_deg = 0.5;
    /// The least turn that there may be onto an edge that is not laid out.
    static double least_turn_deg(const Edge& onto, double arrival_deg);

    Graph(const navdata::Snapshot& world, const radio::Ground& ground, const cockpit::Equipment& aboard,
          const flight::Settings& settings, const Question& question, const Network& network, EdgeMemo& memo,
          std::vector<GraphLevel> levels);

    /// Another search begins: what it may not take, and nothing yet that was refused.
    void begin(std::vector<ForbiddenPair> forbidden);
    const std::vector<ForbiddenPair>& forbidden() const { return forbidden_; }

    const std::vector<std::uint32_t>& first() const { return first_; }
    const std::vector<std::uint32_t>& leaving(int node);
    const Edge& edge(std::uint32_t index) const { return edges_[index]; }
    std::size_t edges() const { return edges_.size(); }
    std::size_t levels() const { return levels_.size(); }
    /// In place of a level, where guided() and before() are to tell what may be at any of them.
    std::size_t any_level() const { return levels_.size(); }
    std::size_t nodes() const { return nodes_.size(); }
    const Node& node(int index) const { return nodes_[static_cast<std::size_t>(index)]; }

    /// A direct leg that its aids may make up at a level: so much of it at least is flown on heading, and so much by a beacon.
    struct Guided {
        double on_heading_nm = 0.0;
        double by_beacon_nm = 0.0;
    };
    /// None where what its aids reach and dead reckoning may bridge does not add up.
    std::optional<Guided> guided(int from, int to, double least_nm, std::size_t level);

    /// An edge by which a node may be reached at a level, before it is drawn.
    struct Before {
        int from = 0;
        Kind kind = Kind::direct;
        double least_nm = 0.0;
        std::size_t chain = 0;     // of an arrival
        Guided guided;             // of a direct leg
        std::uint32_t airway = 0;  // of an airway segment
    };
    /// All of them but those from the departure; some may turn out not to be there.
    const std::vector<Before>& before(int node, std::size_t level);
    bool is_forbidden_anywhere(const Before& edge, int to) const;
    /// The node that stands where this one does: another only for the end of an arrival that is asked for.
    int shared(int node) const;
    const std::array<double, 3>& departure() const { return departure_; }
    /// At least so much from a place to any entry, as the crow flies.
    ToGo bound(const std::array<double, 3>& from) const;

    /// The legs of an edge at a level; none where it cannot be flown there.
    std::span<const flight::Leg> legs(std::uint32_t edge, std::size_t level);
    bool is_laid_out(std::uint32_t edge, std::size_t level) const;
    /// Why not, where the last asking of legs() gave none and an airway or direct leg says.
    const base::Finding* refusal(std::uint32_t edge, std::size_t level) const;

    /// Whether a way goes on from one leg laid out to another: the turn is flown, the pair is not forbidden, the fix is told or needs no
    /// telling.
    bool goes_on(std::uint32_t edge, std::size_t level, std::uint32_t next, std::size_t next_level);
    /// How the end of an edge is told; null: it cannot be told, or is told as the procedure has it.
    const fixing::Telling* telling(std::uint32_t edge, std::size_t level);

    /// How many of the points asked for are behind after an edge.
    std::size_t passed(std::uint32_t edge, std::size_t before) const;
    std::size_t points() const { return question_.constraints.via.size(); }
    /// From a node to any entry by the points still asked for.
    const ToGo& to_go(int node, std::size_t passed);

    /// Entries that stand at the end of an edge.
    std::span<const std::size_t> entries_at(int node) const;
    enum class Entering { allowed, turn_too_great, not_told };
    Entering entering(std::uint32_t edge, std::size_t level, std::size_t entry);
    std::optional<procedure::Ending> entry_ending(std::uint32_t edge, std::size_t level, std::size_t entry);

    /// The legs of a sequence of edges, each at its level, with their endings.
    struct Flown {
        std::uint32_t edge = 0;
        std::size_t level = 0;
    };
    Way way(std::span<const Flown> flown, std::size_t entry);

    void refuse_once(const base::Finding& finding, const std::string& key);
    std::vector<base::Finding> take_refused() { return std::move(refused_); }
    std::size_t legs_laid_out() const { return laid_out_; }

private:
    // How what follows an own way is gone on with: from an entry as its approach has it, else not known.
    using Onward = std::optional<base::TrueBearing>;

    struct Slot {
        enum class State : std::uint8_t { unknown, refused, laid } state = State::unknown;
        enum class Told : std::uint8_t { unknown, no, yes } told = Told::unknown;
        EdgeMemo::Leg judged;
        EdgeMemo::Told telling;
        std::vector<flight::Leg> own;  // of an own departure or way
    };

    Slot& slot(std::uint32_t edge, std::size_t level);
    const Slot* known_slot(std::uint32_t edge, std::size_t level) const;
    bool is_beacon(std::optional<navdata::StationId> station) const;
    bool in_corridor(const std::array<double, 3>& place) const;
    int node_of(const navdata::Point& point);
    int node_of_network(std::size_t index);
    int node_of_entry(const procedure::PlacedFix& fix);
    int add(Node node);
    std::uint32_t add(Edge edge);
    double reach_nm(int node, std::size_t level);
    std::span<const Network::Line> lines(int node);
    void gather_entries();
    void gather_arrivals();
    void gather_starts();
    void gather_own_departures();
    int end_of(const procedure::PlacedFix& fix);
    void draw_airways(int node);
    bool is_published(const Network::Segment& of) const;
    void draw_lines(int node);
    void draw_direct(int node);
    void draw_direct(int from, int to, double about_nm, double track_deg);
    void gather_own_ends();
    void draw_own(int node);
    void draw_own(int from, int to, double about_nm, base::Length farthest);
    void lay_out_own(Slot& slot, const Edge& edge, std::size_t level);
    const std::vector<std::vector<flight::Leg>>& own_ways(const Edge& edge, std::size_t level);
    std::vector<std::vector<flight::Leg>> ask_own_ways(const Edge& edge, std::size_t level);
    bool is_own_end(int node) const;
    bool direct_serves(int from, int to, const Onward& onward, std::size_t level);
    bool is_reached_without(int node, std::size_t level);
    std::vector<bool> reached_without(std::size_t level);
    bool tell_within(std::vector<flight::Leg>& legs, std::size_t level) const;
    const std::vector<Onward>& onward_from(int node);
    void lay_out(std::uint32_t edge, std::size_t level);
    void lay_out_chain(Slot& slot, const Chain& chain, std::size_t level, const std::string& code);
    void judge(std::uint32_t edge, std::size_t level);
    bool keeps_to_constraints(std::span<const flight::Leg> legs);
    bool keeps_to(const Constraints& asked, std::span<const flight::Leg> legs);
    std::optional<EdgeMemo::Edge> key(std::uint32_t edge, base::Length dead_reckoning) const;
    fixing::FixQuestion fix_question(std::uint32_t edge, std::size_t level);
    fixing::FixQuestion fix_question(const flight::Leg& last, std::size_t level) const;
    std::optional<fixing::Telling> best_telling(fixing::FixQuestion question) const;
    bool is_forbidden(std::uint32_t edge, std::size_t level, std::uint32_t next, std::size_t next_level);

    const navdata::Snapshot& world_;
    const radio::Ground& ground_;
    const cockpit::Equipment& aboard_;
    const flight::Settings& settings_;
    const Question& question_;
    const Network& network_;
    EdgeMemo& memo_;
    std::optional<std::uint32_t> rules_;
    std::optional<std::uint32_t> rules_of_legs_;
    bool unconstrained_ = true;
    std::vector<GraphLevel> levels_;
    std::array<double, 3> departure_{};
    std::array<double, 3> arrival_{};
    double corridor_nm_ = 0.0;
    struct Goal {  // entries of one place, the one that costs least
        std::array<double, 3> unit{};
        double extra_nm = 0.0;
        double length_nm = 0.0;
    };
    std::vector<Goal> goals_;
    std::vector<std::array<double, 3>> via_;
    std::vector<ToGo>
        via_to_go_;  // by how many are behind: from the next one on, along the others, to any entry
    std::vector<Node> nodes_;
    std::vector<std::int32_t> of_network_;  // -2: not asked yet, -1: outside the corridor
    std::map<navdata::Point, int> others_;  // nodes that the network has not
    std::vector<int> others_without_network_;
    std::vector<std::vector<std::size_t>> entries_at_;
    std::map<int, int> same_place_;
    std::vector<Edge> edges_;
    std::deque<Slot> slots_;
    std::vector<std::vector<std::uint32_t>>
        slot_of_;  // by level, by edge: one more than of slots_; 0: none yet
    // By level and of any of them, by node; below zero: not asked yet.
    std::vector<std::vector<double>> reach_nm_;
    std::map<int, std::vector<Network::Line>> own_lines_;  // of nodes that the network keeps none for
    std::vector<Before> before_;
    std::vector<ForbiddenPair> forbidden_;
    std::vector<std::uint32_t> first_;
    std::vector<std::uint32_t> arrival_edges_;
    std::vector<int> own_ends_;  // entries and points asked for, which own ways may come to from afar
    std::map<int, std::vector<Onward>> onward_;
    std::vector<std::vector<bool>> reached_without_;  // by level, by node: by a way without own legs
    std::map<std::tuple<int, int, std::size_t, std::size_t>, std::vector<std::vector<flight::Leg>>>
        own_ways_;  // by ends, level and which onward: as they were answered
    std::set<std::string> said_;
    std::vector<base::Finding> refused_;
    std::size_t laid_out_ = 0;
};

}  // namespace omniway::routing::detail
