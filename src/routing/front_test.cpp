#include "routing/front.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <thread>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "radio/error_budget.hpp"
#include "routing/roads.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::routing {

using base::Altitude;
using base::Length;
using base::Speed;
using omniway::testing::equipment;
using omniway::testing::Sketch;

namespace {

constexpr double knots_at(std::size_t level) {
    return 140.0 + 10.0 * static_cast<double>(level);
}
constexpr double climb_s_at(std::size_t level) {
    return 120.0 * static_cast<double>(level);
}
// Wind along the track: 20 kt from the west at every level.
double groundspeed_kt(std::size_t level, base::TrueBearing track) {
    return knots_at(level) + 20.0 * std::sin(track.degrees() * 3.14159265358979323846 / 180.0);
}

FrontQuestion question(const navdata::Snapshot& world, earth::Position departure, const std::string& entry,
                       const std::vector<double>& levels_ft) {
    FrontQuestion asked;
    asked.common.departure = departure;
    asked.common.departure_name = "XDEP";
    const auto point = world.named(entry).at(0);
    asked.common.arrival = world.position(point);
    Entry at;
    at.fix = {entry, world.position(point), point, false};
    at.any_direction = true;
    asked.common.entries.push_back(at);
    for (std::size_t i = 0; i < levels_ft.size(); ++i) {
        Level level;
        level.altitude = Altitude::feet(levels_ft[i]);
        level.climb = {
            [](Length) { return Altitude::feet(3000); },
            [](base::TrueBearing, Length from, Length to) { return (to - from) / Speed::knots(120); }};
        level.slower_groundspeed = [](base::TrueBearing) { return Speed::knots(120); };
        level.groundspeed = [i](base::TrueBearing track) { return Speed::knots(groundspeed_kt(i, track)); };
        level.climb_takes = base::Duration(climb_s_at(i));
        asked.levels.push_back(level);
    }
    asked.fastest = Speed::knots(knots_at(levels_ft.size() - 1) + 20.0);
    asked.on_approach = Speed::knots(90);
    asked.quantum = {base::Duration(0.0), 0.0, 0.0};
    asked.longest = 1.5;
    return asked;
}

Front front_of(const Sketch& sketch, const FrontQuestion& asked) {
    const auto world = sketch.world();
    Roads roads(world);
    return front(world, radio::Ground{}, equipment({.receivers = 2}), {}, asked, roads.network, roads.memo);
}

// "AAA V1 MMM V1@7000 ZZZ": the first aid, then each leg, with its level where that is not the first.
std::string text_of(const Way& way) {
    std::string text;
    for (const flight::Leg& leg : way.legs) {
        const std::string level =
            leg.level ? "@" + std::to_string(static_cast<int>(std::lround(leg.level->feet()))) : "";
        text += leg.phase == flight::Phase::departure ? leg.to->ident
                                                      : " " + leg.via + level + " " + leg.to->ident;
    }
    return text;
}

std::vector<std::string> texts_of(const Front& front) {
    std::vector<std::string> all;
    for (const Choosable& choosable : front.ways) {
        all.push_back(std::to_string(static_cast<int>(std::lround(choosable.level.feet()))) + ": " +
                      text_of(choosable.way));
    }
    return all;
}

const omniway::testing::VorDrawn terminal{.service = navdata::ServiceClass::terminal};

}  // namespace

//             MMM
//           /  V2  \.          the short way of one airway more, the long way with none of its turns
//  . AAA -V1- BBB -V3- ZZZ
TEST(CaseFront, TheQuickAndTheEasyWayAreBothOffered) {
    Sketch sketch;
    sketch.vor("AAA", {10, 0}, terminal).vor("BBB", {60, 0}, terminal).vor("CCC", {90, 6}, terminal);
    sketch.vor("ZZZ", {130, 0}, terminal).vor("MMM", {70, 26}, terminal);
    sketch.airway("V1", {"AAA", "BBB", "CCC", "ZZZ"}).airway("V2", {"AAA", "MMM", "ZZZ"});
    const auto world = sketch.world();
    const auto found = front_of(sketch, question(world, sketch.at({0, 0}), "ZZZ", {5000}));
    EXPECT_EQ(texts_of(found),
              (std::vector<std::string>{"5000: AAA V1 BBB V1 CCC V1 ZZZ", "5000: AAA V2 MMM V2 ZZZ"}));
    ASSERT_EQ(found.ways.size(), 2U);
    EXPECT_LT(found.ways[0].costs.time, found.ways[1].costs.time);
    EXPECT_GT(found.ways[0].costs.work, found.ways[1].costs.work);
}

// The easy way of the drawing above asks for three points less. Four legs may lose four quanta: up to 0.7 point a quantum it is offered.
TEST(CaseFront, AQuantumALegHidesNoWayThatIsEasierByMore) {
    Sketch sketch;
    sketch.vor("AAA", {10, 0}, terminal).vor("BBB", {60, 0}, terminal).vor("CCC", {90, 6}, terminal);
    sketch.vor("ZZZ", {130, 0}, terminal).vor("MMM", {70, 26}, terminal);
    sketch.airway("V1", {"AAA", "BBB", "CCC", "ZZZ"}).airway("V2", {"AAA", "MMM", "ZZZ"});
    const auto world = sketch.world();
    FrontQuestion asked = question(world, sketch.at({0, 0}), "ZZZ", {5000});
    for (int tenths = 1; tenths <= 7; ++tenths) {
        asked.quantum.work = tenths / 10.0;
        EXPECT_EQ(texts_of(front_of(sketch, asked)),
                  (std::vector<std::string>{"5000: AAA V1 BBB V1 CCC V1 ZZZ", "5000: AAA V2 MMM V2 ZZZ"}))
            << tenths;
    }
}

//  . AAA -3000- BBB -7000- ZZZ, and the first airway ends at 4,000 ft: only by a climb over BBB
TEST(CaseFront, WhereAMinimumRisesTheWayClimbsAtTheFix) {
    Sketch sketch;
    sketch.vor("AAA", {10, 0}, terminal).vor("BBB", {76, 0}, terminal).vor("ZZZ", {142, 0}, terminal);
    sketch.airway("V1", {"AAA", "BBB"}, {.minimum_ft = 3000.0, .maximum_ft = 4000.0});
    sketch.airway("V2", {"BBB", "ZZZ"}, {.minimum_ft = 6500.0});
    const auto world = sketch.world();
    const auto found = front_of(sketch, question(world, sketch.at({0, 0}), "ZZZ", {4000, 6000, 7000, 8000}));
    EXPECT_EQ(texts_of(found), (std::vector<std::string>{"4000: AAA V1 BBB V2@7000 ZZZ"}));
}

TEST(CaseFront, AWayGoesOverThePointsAskedForInTheirOrder) {
    Sketch sketch;
    sketch.vor("AAA", {10, 0}, terminal).vor("MMM", {70, 26}, terminal).vor("ZZZ", {130, 0}, terminal);
    sketch.airway("V1", {"AAA", "ZZZ"}).airway("V2", {"AAA", "MMM", "ZZZ"});
    const auto world = sketch.world();
    auto asked = question(world, sketch.at({0, 0}), "ZZZ", {5000});
    // Without a point asked for the straight way is one of them: quicker, but with the farther changeover.
    EXPECT_EQ(texts_of(front_of(sketch, asked)),
              (std::vector<std::string>{"5000: AAA V1 ZZZ", "5000: AAA V2 MMM V2 ZZZ"}));
    asked.common.constraints.via = {world.named("MMM").at(0)};
    EXPECT_EQ(texts_of(front_of(sketch, asked)), (std::vector<std::string>{"5000: AAA V2 MMM V2 ZZZ"}));
}

TEST(CaseFront, APairOfLegsThatIsForbiddenIsNotFlown) {
    Sketch sketch;
    sketch.vor("AAA", {10, 0}, terminal).vor("MMM", {70, 26}, terminal).vor("ZZZ", {130, 0}, terminal);
    sketch.airway("V1", {"AAA", "ZZZ"}).airway("V2", {"AAA", "MMM", "ZZZ"});
    const auto world = sketch.world();
    auto asked = question(world, sketch.at({0, 0}), "ZZZ", {5000});
    const auto first = front_of(sketch, asked);
    const auto& legs = first.ways.at(0).way.legs;
    asked.common.forbidden.push_back({ForbiddenPair::of(legs.at(0)), ForbiddenPair::of(legs.at(1))});
    EXPECT_EQ(texts_of(front_of(sketch, asked)), (std::vector<std::string>{"5000: AAA V2 MMM V2 ZZZ"}));
}

// AAA-MMM and AAA-NNN are equally long and longer than what follows: both ways have the same margin, as far as it can be reckoned. By
// NNN it is 20 NM farther, also where the drawing is mirrored.
//    MMM ---V1--- ZZZ
//     |             \.
//     V1            V2
//     |               \.
//    AAA -----V2----- NNN
//   .
TEST(CaseFront, AWayThatIsBetterOnlyByRoundingIsNotOffered) {
    const auto offered = [](double longest_nm, bool mirrored) {
        const auto at = [&](double east_nm, double north_nm) {
            return mirrored ? omniway::testing::At{north_nm, east_nm}
                            : omniway::testing::At{east_nm, north_nm};
        };
        Sketch sketch;
        sketch.vor("AAA", at(0, 0), terminal).vor("ZZZ", at(70, 90), terminal);
        sketch.vor("MMM", at(0, longest_nm), terminal).vor("NNN", at(longest_nm, 0), terminal);
        sketch.airway("V1", {"AAA", "MMM", "ZZZ"}).airway("V2", {"AAA", "NNN", "ZZZ"});
        const auto world = sketch.world();
        return texts_of(front_of(sketch, question(world, sketch.at({-1, -1}), "ZZZ", {5000})));
    };
    for (double longest_nm = 94.0; longest_nm < 102.0; longest_nm += 1.0) {
        for (const bool mirrored : {false, true}) {
            EXPECT_EQ(offered(longest_nm, mirrored), (std::vector<std::string>{"5000: AAA V1 MMM V1 ZZZ"}))
                << longest_nm << " NM" << (mirrored ? ", mirrored" : "");
        }
    }
}

// 160 NM apart: the corridor is 240 NM, which by MMM would be flown with MMM 89 NM beside the middle.
//        MMM
//      /     \.
//  . AAA     ZZZ
TEST(CaseFront, NoWayLeavesTheCorridor) {
    const auto found = [](double north_nm) {
        Sketch sketch;
        sketch.vor("AAA", {1, 0}, terminal).vor("MMM", {80, north_nm}, terminal);
        sketch.vor("ZZZ", {160, 0}, terminal);
        sketch.airway("V1", {"AAA", "MMM", "ZZZ"});
        const auto world = sketch.world();
        return texts_of(front_of(sketch, question(world, sketch.at({0, 0}), "ZZZ", {5000})));
    };
    EXPECT_EQ(found(87), (std::vector<std::string>{"5000: AAA V1 MMM V1 ZZZ"}));
    EXPECT_EQ(found(92), std::vector<std::string>());
}

namespace {

// Nine terminal VORs (25 NM) some 95 NM apart, so that only airways join them:
//   6 - 7 - 8      each with its neighbours to the right, above and on the rising diagonal, by chance, with a minimum each way
//   | / | / |
//   3 - 4 - 5
//   | / | / |
//   0 - 1 - 2      from beside 0 to 8
struct Road {
    int from = 0;
    int to = 0;
    double minimum_ft = 0.0;
    earth::Geodesic line;
};
struct Net {
    Sketch sketch;
    std::vector<Road> roads;
};

std::string ident_of(int node) {
    return std::string("XA") + static_cast<char>('A' + node);
}

Net any_net() {
    Net net;
    for (int node = 0; node < 9; ++node) {
        const double off_east = node == 0 ? 0 : *rc::gen::inRange(-12, 13);
        const double off_north = node == 0 ? 0 : *rc::gen::inRange(-12, 13);
        net.sketch.vor(ident_of(node), {95.0 * (node % 3) + off_east, 95.0 * (node / 3) + off_north},
                       terminal);
    }
    int number = 1;
    const auto join = [&](int a, int b) {
        if (*rc::gen::inRange(0, 4) == 0) {
            return;
        }
        const double there_ft = *rc::gen::element(3000.0, 3000.0, 5000.0, 7000.0);
        const double back_ft = *rc::gen::element(3000.0, 3000.0, 5000.0);
        omniway::testing::AirwayDrawn look;
        look.minimum_ft = there_ft;
        look.minimum_backward_ft = back_ft;
        net.sketch.airway("V" + std::to_string(number++), {ident_of(a), ident_of(b)}, look);
        const auto a_place = net.sketch.place(ident_of(a)), b_place = net.sketch.place(ident_of(b));
        net.roads.push_back({a, b, there_ft, earth::geodesic(a_place, b_place)});
        net.roads.push_back({b, a, back_ft, earth::geodesic(b_place, a_place)});
    };
    for (int node = 0; node < 9; ++node) {
        if (node % 3 < 2) {
            join(node, node + 1);
        }
        if (node / 3 < 2) {
            join(node, node + 3);
        }
        if (node % 3 < 2 && node / 3 < 2) {
            join(node, node + 4);
        }
    }
    return net;
}

struct Cost {
    double time_s = 0.0;
    double work = 0.0;
    double margin = 1.0;
};

// The way by a place, as a share of the longest that the corridor lets pass: 1.5 times the direct distance, or 80 NM more (search.hpp).
double share_of_corridor(earth::Position departure, earth::Position arrival, earth::Position place) {
    const double direct_nm = earth::distance(departure, arrival).nautical_miles();
    const Length by_place = earth::distance(departure, place) + earth::distance(place, arrival);
    return by_place.nautical_miles() / std::max(1.5 * direct_nm, direct_nm + 80.0);
}
// The search measures on the sphere, within 0.6 % of the geodesic (network.hpp): so near 1 a place may be in or out.
constexpr double corridor_in_doubt = 0.012;

// Every sequence of roads from 0 to 8 that flies no road twice and stays in the corridor, at every level, its costs
// summed by hand.
class Enumeration {
public:
    Enumeration(const Net& net, const std::vector<double>& levels_ft, earth::Position departure)
        : net_(net),
          levels_ft_(levels_ft),
          first_(earth::geodesic(departure, net.sketch.place(ident_of(0)))) {
        const earth::Position arrival = net.sketch.place(ident_of(8));
        for (int node = 0; node < 9; ++node) {
            const double of_corridor =
                share_of_corridor(departure, arrival, net.sketch.place(ident_of(node)));
            left_out_[static_cast<std::size_t>(node)] = of_corridor > 1.0;
            decided_ = decided_ && std::abs(of_corridor - 1.0) > corridor_in_doubt;
        }
    }

    bool is_decided() const { return decided_; }

    std::vector<Cost> all(std::size_t begun_at) {
        for (std::size_t level = 0; level < begun_at; ++level) {
            Cost begun;
            begun.time_s = seconds(first_, level) + climb_s_at(level);
            // The first half mile is flown by heading (flight/departure.hpp).
            begun.work = 0.5 / groundspeed_kt(level, first_.initial) * 60.0;
            // No airway: of the 25 NM to which a terminal VOR is heard (AIM 1-1-8), too.
            begun.margin = std::min(margin(first_.distance.nautical_miles()),
                                    1.0 - first_.distance.nautical_miles() / 25.0);
            go_on(0, -1, level, first_.arrival, begun);
        }
        return std::move(found_);
    }

private:
    static double seconds(const earth::Geodesic& line, std::size_t level) {
        return line.distance.nautical_miles() / groundspeed_kt(level, line.initial) * 3600.0;
    }
    // Of the protected width, so far from the VOR that guides (radio/error_budget.hpp).
    static double margin(double away_nm) {
        const Length away = Length::nautical_miles(away_nm);
        const auto spread = radio::cross_track_spread(
            away,
            radio::bearing_tolerance(radio::AidKind::vor, radio::Line::tracking, radio::Criteria::terps));
        return 1.0 -
               spread /
                   radio::protected_half_width(radio::AidKind::vor, radio::Criteria::terps, away).primary;
    }

    void go_on(int node, int came_from, std::size_t level, base::TrueBearing arrival, const Cost& so_far) {
        if (node == 8) {
            found_.push_back(so_far);
            return;
        }
        for (std::size_t i = 0; i < net_.roads.size(); ++i) {
            const Road& road = net_.roads[i];
            if (road.from != node || road.to == came_from || flown_[i] ||
                left_out_[static_cast<std::size_t>(road.to)]) {
                continue;
            }
            const double turn_deg = std::abs((road.line.initial - arrival).degrees());
            if (turn_deg > 120.0 && came_from >= 0) {
                continue;
            }
            std::size_t at = level;
            while (at < levels_ft_.size() && levels_ft_[at] < road.minimum_ft) {
                ++at;
            }
            if (at == levels_ft_.size()) {
                continue;
            }
            Cost next = so_far;
            next.time_s += seconds(road.line, at) + climb_s_at(at) - climb_s_at(level);
            // Over the VOR a new course is set, unless it goes straight on; midway the next VOR is tuned, heard and its course set.
            next.work += (turn_deg > 2.0 ? 1.0 : 0.0) + 3.0 + (turn_deg > 60.0 ? 1.0 : 0.0);
            next.margin = std::min(next.margin, margin(road.line.distance.nautical_miles() / 2.0));
            flown_[i] = true;
            go_on(road.to, node, at, road.line.arrival, next);
            flown_[i] = false;
        }
    }

    const Net& net_;
    const std::vector<double>& levels_ft_;
    earth::Geodesic first_;
    std::array<bool, 9> left_out_{};
    bool decided_ = true;
    std::array<bool, 64> flown_{};
    std::vector<Cost> found_;
};

constexpr double about = 1e-6;
constexpr double rounding = 1e-9;

bool no_worse(const Cost& a, const Cost& b, double by) {
    return a.time_s <= b.time_s + by && a.work <= b.work + by && a.margin >= b.margin - by;
}

bool better(const Cost& a, const Cost& b) {
    return no_worse(a, b, rounding) &&
           (a.time_s < b.time_s - about || a.work < b.work - about || a.margin > b.margin + about);
}

std::vector<Cost> costs_of(const Front& front) {
    std::vector<Cost> all;
    for (const Choosable& each : front.ways) {
        all.push_back({each.costs.time.count(), each.costs.work, each.costs.margin.least()});
    }
    return all;
}

bool any(const std::vector<Cost>& all, const auto& test) {
    return std::any_of(all.begin(), all.end(), test);
}

}  // namespace

RC_GTEST_PROP(BruteFront, IsWhatEverySequenceOfAirwaysAtEveryLevelLeaves, ()) {
    const Net net = any_net();
    const std::vector<double> levels_ft{4000, 6000, 8000};
    const auto world = net.sketch.world();
    const earth::Position departure = net.sketch.at({-1, 0});
    Enumeration enumeration(net, levels_ft, departure);
    RC_PRE(enumeration.is_decided());
    auto asked = question(world, departure, ident_of(8), levels_ft);
    asked.longest = 1.4;
    asked.begun_at = *rc::gen::inRange<std::size_t>(1, 4);
    Roads roads(world);
    const auto found =
        front(world, radio::Ground{}, equipment({.receivers = 2}), {}, asked, roads.network, roads.memo);
    RC_ASSERT(!found.cut_short);
    const std::vector<Cost> offered = costs_of(found);
    const std::vector<Cost> all = enumeration.all(*asked.begun_at);
    RC_ASSERT(offered.empty() == all.empty());
    double quickest_s = std::numeric_limits<double>::infinity();
    for (const Cost& each : all) {
        quickest_s = std::min(quickest_s, each.time_s);
    }
    RC_TAG(offered.size());
    for (const Cost& each : all) {
        if (each.time_s > quickest_s * asked.longest - about) {
            continue;
        }
        RC_ASSERT(any(offered, [&](const Cost& other) { return no_worse(other, each, about); }));
    }
    for (const Cost& each : offered) {
        RC_ASSERT(any(all, [&](const Cost& other) {
            return no_worse(other, each, about) && no_worse(each, other, about);
        }));
        RC_ASSERT(!any(all, [&](const Cost& other) { return better(other, each); }));
    }
}

// What is promised with the quantum: for each way one that is worse by at most a quantum a leg.
RC_GTEST_PROP(BruteFront, WithAQuantumNoneIsMissedByMoreThanOneALeg, ()) {
    const Net net = any_net();
    const std::vector<double> levels_ft{4000, 8000};
    const auto world = net.sketch.world();
    const earth::Position departure = net.sketch.at({-1, 0});
    Enumeration enumeration(net, levels_ft, departure);
    RC_PRE(enumeration.is_decided());
    auto asked = question(world, departure, ident_of(8), levels_ft);
    asked.quantum = {base::Duration(60.0), 0.5, 0.05};
    asked.longest = 1.6;
    Roads roads(world);
    const std::vector<Cost> offered = costs_of(
        front(world, radio::Ground{}, equipment({.receivers = 2}), {}, asked, roads.network, roads.memo));
    const std::vector<Cost> all = enumeration.all(levels_ft.size());
    double quickest_s = std::numeric_limits<double>::infinity();
    for (const Cost& each : all) {
        quickest_s = std::min(quickest_s, each.time_s);
    }
    for (const Cost& each : all) {
        const double legs = each.work / 3.0 + 2.0;  // at least as many as there are
        if (each.time_s < quickest_s * 1.3) {
            RC_ASSERT(any(offered, [&](const Cost& other) {
                return other.time_s <= each.time_s + 60.0 * legs && other.work <= each.work + 0.5 * legs &&
                       other.margin >= each.margin - 0.05 * legs;
            }));
        }
    }
}

namespace {

std::string bytes_of(const Front& front) {
    std::string text;
    for (const Choosable& each : front.ways) {
        text += text_of(each.way) + " " + std::to_string(each.costs.time.count()) + " " +
                std::to_string(each.costs.work) + " " + std::to_string(each.costs.margin.least()) + "\n";
    }
    return text;
}

}  // namespace

// One memo, small enough to forget all the while, read and written by eight threads at once.
TEST(LawFront, EightThreadsWithOneMemoFindWhatOneFinds) {
    Sketch sketch;
    for (int node = 0; node < 16; ++node) {
        sketch.vor(ident_of(node), {32.0 * (node % 4) + node, 32.0 * (node / 4) - node});
    }
    const auto world = sketch.world();
    FrontQuestion asked = question(world, sketch.at({-8, -5}), ident_of(15), {4000, 6000});
    asked.quantum = {};
    const auto ask = [&](Roads& roads) {
        return bytes_of(front(world, radio::Ground{}, equipment({.receivers = 2, .dme = true}), {}, asked,
                              roads.network, roads.memo));
    };
    Roads alone(world);
    const std::string expected = ask(alone);
    ASSERT_FALSE(expected.empty());
    EXPECT_EQ(ask(alone), expected);  // what is remembered changes nothing
    for (const std::size_t bound : {std::size_t{32}, EdgeMemo::default_bound}) {
        Roads shared(world);
        shared.memo = EdgeMemo(bound);
        std::array<std::string, 8> answers;
        {
            std::vector<std::jthread> threads;
            for (std::string& answer : answers) {
                threads.emplace_back([&] { answer = ask(shared); });
            }
        }
        for (const std::string& answer : answers) {
            EXPECT_EQ(answer, expected);
        }
        EXPECT_LE(shared.memo.size(), std::max<std::size_t>(bound, 2 * 16));
    }
}

}  // namespace omniway::routing
