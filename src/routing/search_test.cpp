#include "routing/search.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "fixing/telling.hpp"
#include "flight/en_route.hpp"
#include "flight/own_legs.hpp"
#include "routing/way_search.hpp"
#include "tests/magnetic_model.hpp"
#include "tests/sketch.hpp"
#include "tests/sketch_aircraft.hpp"
#include "tests/sketch_equipment.hpp"
#include "tests/sketch_terrain.hpp"

namespace omniway::routing {

using base::Altitude;
using base::Length;
using base::Speed;
using navdata::ServiceClass;
using omniway::testing::Aboard;
using omniway::testing::aircraft_with;
using omniway::testing::At;
using omniway::testing::equipment;
using omniway::testing::Sketch;
using ::testing::Contains;

namespace {

Question question(const navdata::Snapshot& world, earth::Position departure, const std::string& entry,
                  double cruise_ft = 5000) {
    Question asked;
    asked.departure = departure;
    asked.departure_name = "XDEP";
    asked.climb = {[cruise_ft](Length) { return Altitude::feet(std::min(cruise_ft, 3000.0)); },
                   [](base::TrueBearing, Length from, Length to) { return (to - from) / Speed::knots(150); }};
    const auto point = world.named(entry).at(0);
    asked.arrival = world.position(point);
    asked.cruise = Altitude::feet(cruise_ft);
    asked.groundspeed = [](base::TrueBearing) { return Speed::knots(150); };
    Entry at;
    at.fix = {entry, world.position(point), point, false};
    at.any_direction = true;
    asked.entries.push_back(at);
    return asked;
}

// "AAA V1 MMM V1 ZZZ": the first aid, then each leg.
std::string route(const Answer& answer) {
    if (answer.ways.empty()) {
        return "none";
    }
    std::string text;
    for (const flight::Leg& leg : answer.ways.front().legs) {
        text += leg.phase == flight::Phase::departure ? leg.to->ident : " " + leg.via + " " + leg.to->ident;
    }
    return text;
}

std::string route(const Sketch& sketch, double cruise_ft = 5000, const std::string& entry = "ZZZ",
                  const Aboard& aboard = {.receivers = 1}, const flight::Settings& settings = {}) {
    const auto world = sketch.world();
    return route(search(world, radio::Ground{}, equipment(aboard), settings,
                        question(world, sketch.at({0, 0}), entry, cruise_ft)));
}

// Terminal VORs (25 NM) so far apart that only airways join them:
//            MMM
//         /       \.
//   . AAA --------- ZZZ
Sketch triangle() {
    Sketch sketch;
    const omniway::testing::VorDrawn terminal{.service = ServiceClass::terminal};
    sketch.vor("AAA", {10, 0}, terminal).vor("MMM", {60, 45}, terminal).vor("ZZZ", {110, 0}, terminal);
    return sketch;
}

}  // namespace

TEST(CaseSearch, TheStraightAirwayIsTaken) {
    Sketch sketch = triangle();
    sketch.airway("V1", {"AAA", "MMM", "ZZZ"}).airway("V2", {"AAA", "ZZZ"});
    EXPECT_EQ(route(sketch), "AAA V2 ZZZ");
}

TEST(CaseSearch, TheAreaNavigationShortCutIsNeverTakenAndIsRefusedByName) {
    for (const std::string shortcut : {"T2", "UL607", "Q5"}) {
        Sketch sketch = triangle();
        sketch.airway("V1", {"AAA", "MMM", "ZZZ"}).airway(shortcut, {"AAA", "ZZZ"});
        EXPECT_EQ(route(sketch), "AAA V1 MMM V1 ZZZ");
        const auto world = sketch.world();
        const auto answer =
            search(world, radio::Ground{}, equipment({.receivers = 2, .dme = true, .adf = true}), {},
                   question(world, sketch.at({0, 0}), "ZZZ"));
        EXPECT_EQ(route(answer), "AAA V1 MMM V1 ZZZ");
        EXPECT_TRUE(std::any_of(answer.refused.begin(), answer.refused.end(), [&](const auto& finding) {
            return finding.code == "airway.area_navigation" && finding.about.starts_with(shortcut);
        }));
    }
    Sketch by_type = triangle();
    by_type.airway("V1", {"AAA", "MMM", "ZZZ"}).airway("V2", {"AAA", "ZZZ"}, {.route_type = 'R'});
    EXPECT_EQ(route(by_type), "AAA V1 MMM V1 ZZZ");
}

TEST(CaseSearch, AOneWayAirwayIsFlownOnlyItsWay) {
    Sketch against = triangle();
    against.airway("V1", {"AAA", "MMM", "ZZZ"});
    against.airway("V2", {"AAA", "ZZZ"}, {.direction = navdata::AirwayDirection::backward_only});
    EXPECT_EQ(route(against), "AAA V1 MMM V1 ZZZ");
    Sketch with = triangle();
    with.airway("V1", {"AAA", "MMM", "ZZZ"});
    with.airway("V2", {"AAA", "ZZZ"}, {.direction = navdata::AirwayDirection::forward_only});
    EXPECT_EQ(route(with), "AAA V2 ZZZ");
}

TEST(CaseSearch, BelowItsMinimumAnAirwayIsLeftForALongerOne) {
    Sketch sketch = triangle();
    sketch.airway("V1", {"AAA", "MMM", "ZZZ"}, {.minimum_ft = 4000});
    sketch.airway("V2", {"AAA", "ZZZ"}, {.minimum_ft = 8000});
    EXPECT_EQ(route(sketch, 3000), "none");
    EXPECT_EQ(route(sketch, 5000), "AAA V1 MMM V1 ZZZ");
    EXPECT_EQ(route(sketch, 9000), "AAA V2 ZZZ");
}

TEST(CaseSearch, TheMinimumOfTheDirectionFlownDecides) {
    Sketch sketch = triangle();
    sketch.airway("V1", {"AAA", "MMM", "ZZZ"});
    sketch.airway("V2", {"ZZZ", "AAA"}, {.minimum_ft = 3000, .minimum_backward_ft = 8000});
    EXPECT_EQ(route(sketch, 5000), "AAA V1 MMM V1 ZZZ");
    EXPECT_EQ(route(sketch, 8000), "AAA V2 ZZZ");
}

TEST(CaseSearch, AnAirwayWithARowMissingIsNotFlownAcrossTheHole) {
    Sketch sketch = triangle();
    sketch.fix("MIDAA", {60, 0});
    sketch.airway("V1", {"AAA", "MMM", "ZZZ"}).airway("V2", {"AAA", "MIDAA", "ZZZ"});
    EXPECT_EQ(route(sketch), "AAA V2 MIDAA V2 ZZZ");
    std::erase_if(sketch.records().airway_rows,
                  [](const navdata::AirwayRow& row) { return row.point.ident == "MIDAA"; });
    EXPECT_EQ(route(sketch), "AAA V1 MMM V1 ZZZ");
}

TEST(CaseSearch, ABeaconsAirwayIsTakenOnlyWithAnAdf) {
    Sketch sketch = triangle();
    sketch.ndb("BCN", {60, 0}, ServiceClass::compass_locator);
    sketch.airway("V1", {"AAA", "MMM", "ZZZ"}).airway("A2", {"AAA", "BCN", "ZZZ"});
    EXPECT_EQ(route(sketch, 5000, "ZZZ", {.receivers = 1, .adf = true}), "AAA A2 BCN A2 ZZZ");
    // Without one the needle of AAA and ZZZ still leads to and from the beacon, but nothing tells it; the legs are straight on
    // under different aids.
    EXPECT_EQ(route(sketch, 5000, "ZZZ", {.receivers = 1}), "AAA V1 MMM V1 ZZZ");
}

// Where airways cross at a fix a turn there must be told: by a second line, or by a DME.
TEST(CaseSearch, ATurnAtAFixIsFlownOnlyIfTheFixCanBeTold) {
    Sketch sketch;
    const omniway::testing::VorDrawn terminal{.service = ServiceClass::terminal, .dme = ServiceClass::low};
    sketch.vor("AAA", {10, 0}, terminal).vor("ZZZ", {45, 60}, terminal).fix("TRNAA", {45, 0});
    sketch.vor("END", {110, 0}, terminal);
    sketch.airway("V1", {"AAA", "TRNAA", "END"}).airway("V2", {"TRNAA", "ZZZ"});
    flight::Settings none;
    none.dead_reckoning_distance = Length::nautical_miles(2);
    EXPECT_EQ(route(sketch, 5000, "ZZZ", {.receivers = 1}, none), "none");
    EXPECT_EQ(route(sketch, 5000, "ZZZ", {.receivers = 1, .dme = true}, none), "AAA V1 TRNAA V2 ZZZ");
    // The crossing radial of ZZZ is 60 NM away, beyond what a terminal VOR promises.
    EXPECT_EQ(route(sketch, 5000, "ZZZ", {.receivers = 2}, none), "none");
    sketch.station("ZZZ").azimuth = [&] {
        auto azimuth = *navdata::vor(sketch.station("ZZZ"));
        azimuth.service = ServiceClass::vor_low;  // 70 NM from 5,000 ft up
        return azimuth;
    }();
    EXPECT_EQ(route(sketch, 5000, "TRNAA", {.receivers = 2}, none), "AAA V1 TRNAA");
}

TEST(CaseSearch, DirectLegsJoinAidsWhoseVolumesMeet) {
    Sketch sketch;
    sketch.vor("AAA", {10, 0}).vor("MMM", {85, 0}).vor("ZZZ", {160, 0});
    EXPECT_EQ(route(sketch), "AAA direct MMM direct ZZZ");
    Sketch gap;
    gap.vor("AAA", {10, 0}).vor("MMM", {85, 0}).vor("ZZZ", {180, 0});
    EXPECT_EQ(route(gap), "none");
    flight::Settings longer;
    longer.dead_reckoning_distance = Length::nautical_miles(20);
    longer.dead_reckoning_time = base::minutes(20);
    EXPECT_EQ(route(gap, 5000, "ZZZ", {.receivers = 1}, longer), "AAA direct MMM direct ZZZ");
}

// V2 is the shorter by 2 NM and comes to ZZZ without NNN; from there NNN is 17 NM back.
//                  NNN
//   . AAA ----------- ZZZ
TEST(CaseSearch, AWayGoesOverThePointAskedForThoughItIsTheLongerOne) {
    Sketch sketch = triangle();
    sketch.vor("NNN", {95, 8}, {.service = ServiceClass::terminal});
    sketch.airway("V1", {"AAA", "NNN", "ZZZ"}).airway("V2", {"AAA", "ZZZ"});
    const auto world = sketch.world();
    Question asked = question(world, sketch.at({0, 0}), "ZZZ");
    const auto found = [&] {
        return route(search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked));
    };
    EXPECT_EQ(found(), "AAA V2 ZZZ");
    asked.constraints.via = {world.named("NNN").at(0)};
    EXPECT_EQ(found(), "AAA V1 NNN V1 ZZZ");
}

// V2 comes to ZZZ on 090 and V1 on 132: to an approach that goes on at 200 these are turns of 110 and of 68 degrees.
TEST(CaseSearch, AnEntryIsTurnedOntoByNoMoreThanItAllows) {
    Sketch sketch = triangle();
    sketch.airway("V1", {"AAA", "MMM", "ZZZ"}).airway("V2", {"AAA", "ZZZ"});
    const auto world = sketch.world();
    const auto found = [&](double first_track_deg, double largest_turn_deg) {
        Question asked = question(world, sketch.at({0, 0}), "ZZZ");
        asked.entries.front().any_direction = false;
        asked.entries.front().first_track = base::TrueBearing::degrees(first_track_deg);
        asked.entries.front().largest_turn = base::Angle::degrees(largest_turn_deg);
        return search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked);
    };
    EXPECT_EQ(route(found(200, 120)), "AAA V2 ZZZ");
    EXPECT_EQ(route(found(200, 90)), "AAA V1 MMM V1 ZZZ");
    const Answer none = found(290, 120);
    EXPECT_EQ(route(none), "none");
    EXPECT_TRUE(std::any_of(none.refused.begin(), none.refused.end(),
                            [](const auto& finding) { return finding.code == "entry.turn_too_great"; }));
}

// 87 NM between two VORs of 40 NM each leave 7 NM: at 150 kt within the five minutes of dead reckoning that are allowed, at 60 kt seven.
TEST(CaseSearch, WhatAFasterAircraftBridgedIsNotRememberedForASlowerOne) {
    Sketch sketch;
    sketch.vor("AAA", {10, 0}).vor("ZZZ", {97, 0});
    const auto world = sketch.world();
    const Network network(world);
    EdgeMemo memo;
    const auto found = [&](double groundspeed_kt) {
        Question asked = question(world, sketch.at({0, 0}), "ZZZ");
        asked.groundspeed = [=](base::TrueBearing) { return Speed::knots(groundspeed_kt); };
        return route(search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked, network, memo));
    };
    EXPECT_EQ(found(150), "AAA direct ZZZ");
    EXPECT_EQ(found(60), "none");
    EXPECT_EQ(found(150), "AAA direct ZZZ");
}

// V2 may be flown at 5,000 ft from ZZZ to AAA and not from AAA to ZZZ.
TEST(CaseSearch, WhatIsRememberedOfAnAirwayOneWayIsNotTakenForTheOther) {
    Sketch sketch = triangle();
    sketch.airway("V1", {"AAA", "MMM", "ZZZ"});
    sketch.airway("V2", {"ZZZ", "AAA"}, {.minimum_ft = 3000, .minimum_backward_ft = 8000});
    const auto world = sketch.world();
    const Network network(world);
    EdgeMemo memo;
    const auto found = [&](At departure, const std::string& entry) {
        return route(search(world, radio::Ground{}, equipment({.receivers = 1}), {},
                            question(world, sketch.at(departure), entry), network, memo));
    };
    for (int round = 0; round < 2; ++round) {
        EXPECT_EQ(found({0, 0}, "ZZZ"), "AAA V1 MMM V1 ZZZ");
        EXPECT_EQ(found({120, 0}, "AAA"), "ZZZ V2 AAA");
    }
}

// The turn at TRNAA is told by the radial of TEL, 20 NM south of it, and by nothing else.
TEST(CaseSearch, AFixToldByAStationIsNotRememberedForOneWhoAvoidsThatStation) {
    Sketch sketch;
    const omniway::testing::VorDrawn terminal{.service = ServiceClass::terminal};
    sketch.vor("AAA", {10, 0}, terminal).vor("ZZZ", {45, 60}, terminal).vor("END", {110, 0}, terminal);
    sketch.fix("TRNAA", {45, 0}).vor("TEL", {45, -20}, terminal);
    sketch.airway("V1", {"AAA", "TRNAA", "END"}).airway("V2", {"TRNAA", "ZZZ"});
    const auto world = sketch.world();
    const Network network(world);
    EdgeMemo memo;
    const auto found = [&](bool avoids) {
        Question asked = question(world, sketch.at({0, 0}), "ZZZ");
        if (avoids) {
            asked.constraints.avoid = {world.named("TEL").at(0)};
        }
        return route(search(world, radio::Ground{}, equipment({.receivers = 2}), {}, asked, network, memo));
    };
    EXPECT_EQ(found(false), "AAA V1 TRNAA V2 ZZZ");
    EXPECT_EQ(found(true), "none");
    EXPECT_EQ(found(false), "AAA V1 TRNAA V2 ZZZ");
}

namespace {

constexpr int side = 3;
constexpr double infinite = std::numeric_limits<double>::infinity();

std::string ident_of(int node) {
    return std::string("N") + static_cast<char>('A' + node / side) + static_cast<char>('A' + node % side);
}

struct Road {
    int from;
    int to;
};

struct Net {
    Sketch sketch;
    std::vector<Road> roads;  // both ways, one after the other
};

// Nine terminal VORs about 100 NM apart, some neighbours joined by airways, some of these one-way.
Net any_net() {
    Net net;
    for (int node = 0; node < side * side; ++node) {
        const auto jitter = [] { return static_cast<double>(*rc::gen::inRange(-8, 9)); };
        net.sketch.vor(ident_of(node), {100.0 * (node % side) + jitter(), 100.0 * (node / side) + jitter()},
                       {.service = ServiceClass::terminal});
    }
    int number = 1;
    const auto join = [&](int a, int b) {
        const int kind = *rc::gen::inRange(0, 6);
        if (kind == 0) {
            return;
        }
        omniway::testing::AirwayDrawn look;
        look.direction = kind == 1 ? navdata::AirwayDirection::forward_only : navdata::AirwayDirection::both;
        net.sketch.airway("V" + std::to_string(number++), {ident_of(a), ident_of(b)}, look);
        net.roads.push_back({a, b});
        if (kind != 1) {
            net.roads.push_back({b, a});
        }
    };
    for (int node = 0; node < side * side; ++node) {
        if (node % side + 1 < side) {
            join(node, node + 1);
        }
        if (node / side + 1 < side) {
            join(node, node + side);
        }
        if (node % side + 1 < side && node / side + 1 < side) {
            join(node, node + side + 1);
        }
    }
    return net;
}

double turn_cost(double turn_deg) {
    return 0.2 * std::max(0.0, std::abs(turn_deg) - 60.0);
}

}  // namespace

// The cost in the header: an airway's NM and 1 NM a leg, 0.2 NM a degree of turn beyond 60, no turn beyond 120; here summed over
// every sequence of legs by relaxing all of them until nothing changes.
RC_GTEST_PROP(BruteSearch, NoSequenceOfAirwaysIsCheaperThanTheOneFound, ()) {
    const Net net = any_net();
    const auto world = net.sketch.world();
    const earth::Position departure = net.sketch.at({-12, -12});
    const int goal = side * side - 1;
    auto asked = question(world, departure, ident_of(goal));
    const auto answer = search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked);

    const auto line = [&](int a, int b) {
        return earth::geodesic(net.sketch.place(ident_of(a)), net.sketch.place(ident_of(b)));
    };
    const auto first = earth::geodesic(departure, net.sketch.place(ident_of(0)));
    const double direct_nm = earth::distance(departure, asked.arrival).nautical_miles();
    const auto left_out = [&](int node) {
        const earth::Position place = net.sketch.place(ident_of(node));
        return earth::distance(departure, place).nautical_miles() +
                   earth::distance(place, asked.arrival).nautical_miles() >
               std::max(1.5 * direct_nm, direct_nm + 80.0);
    };
    std::vector<double> cost(net.roads.size(), infinite);
    for (bool changed = true; changed;) {
        changed = false;
        for (std::size_t i = 0; i < net.roads.size(); ++i) {
            const Road& road = net.roads[i];
            if (left_out(road.from) || left_out(road.to)) {
                continue;
            }
            const auto here = line(road.from, road.to);
            const double own = here.distance.nautical_miles() + 1.0;
            double best = infinite;
            if (road.from == 0) {
                best = own + turn_cost((here.initial - first.arrival).degrees());
            }
            for (std::size_t j = 0; j < net.roads.size(); ++j) {
                if (net.roads[j].to != road.from || net.roads[j].from == road.to) {
                    continue;
                }
                const double turn =
                    (here.initial - line(net.roads[j].from, net.roads[j].to).arrival).degrees();
                if (std::abs(turn) <= 120.0) {
                    best = std::min(best, cost[j] + own + turn_cost(turn));
                }
            }
            if (best < cost[i] - 1e-9) {
                cost[i] = best;
                changed = true;
            }
        }
    }
    double best = infinite;
    for (std::size_t i = 0; i < net.roads.size(); ++i) {
        if (net.roads[i].to == goal) {
            best = std::min(best, cost[i]);
        }
    }
    RC_ASSERT(answer.ways.empty() == (best == infinite));
    if (answer.ways.empty()) {
        return;
    }
    RC_TAG(answer.ways.front().legs.size());
    double found = 0.0;
    const auto& legs = answer.ways.front().legs;
    for (std::size_t i = 1; i < legs.size(); ++i) {
        RC_ASSERT(legs[i].via != "direct");
        found += legs[i].length.nautical_miles() + 1.0 +
                 turn_cost((legs[i].track - legs[i - 1].arrival).degrees());
    }
    RC_ASSERT(std::abs(found - best) < 1e-6);
}

namespace {

// VORs and NDBs anywhere in a box of 260 by 140 NM, AAA in its west and ZZZ in its east.
Sketch any_aids(std::vector<std::string>& idents) {
    Sketch sketch;
    const auto miles = [](int from, int to) { return static_cast<double>(*rc::gen::inRange(from, to)); };
    const auto vor = [&](const std::string& ident, At at) {
        sketch.vor(
            ident, at,
            {.service = *rc::gen::element(ServiceClass::terminal, ServiceClass::low, ServiceClass::high)});
        idents.push_back(ident);
    };
    vor("AAA", {miles(5, 25), miles(-20, 20)});
    vor("ZZZ", {miles(200, 260), miles(-20, 20)});
    for (const std::string ident : {"BBB", "CCC", "DDD", "EEE"}) {
        vor(ident, {miles(20, 250), miles(-70, 70)});
    }
    for (const std::string ident : {"NB", "ND"}) {
        sketch.ndb(ident, {miles(20, 250), miles(-70, 70)});
        idents.push_back(ident);
    }
    return sketch;
}

flight::Leg begun_at(const navdata::Snapshot& world, earth::Position departure, const std::string& ident) {
    const auto point = world.named(ident).at(0);
    const procedure::PlacedFix to{ident, world.position(point), point, false};
    flight::Leg leg = flight::straight_leg({"XDEP", departure, std::nullopt, false}, to);
    leg.phase = flight::Phase::departure;
    leg.published = true;
    leg.via = "SID";
    const auto guidance =
        procedure::guidance_along(world, std::get<navdata::StationId>(point), departure, to.position);
    leg.stretches.push_back({Length(), leg.length, *guidance});
    return leg;
}

// The cost in the header, of a leg between two aids whose minimum is known.
double cost_of(const flight::Leg& leg) {
    double cost = 6.0 + 1.15 * leg.length.nautical_miles();
    for (const flight::Stretch& stretch : leg.stretches) {
        const double nm = (stretch.to - stretch.from).nautical_miles();
        cost += std::holds_alternative<procedure::OnHeading>(stretch.guidance)  ? 2.0 * nm
                : std::holds_alternative<procedure::OnBeacon>(stretch.guidance) ? 0.2 * nm
                                                                                : 0.0;
    }
    return cost;
}

// Every sequence of legs between aids, by relaxing all of them until nothing changes: the cost of the cheapest.
double cheapest(const navdata::Snapshot& world, const std::vector<std::string>& idents, const Question& asked,
                const cockpit::Equipment& aboard, const flight::Settings& settings, Altitude altitude,
                const std::vector<ForbiddenPair>& forbidden) {
    const flight::Leg first = asked.starts.at(0).legs.at(0);
    const double straight_nm = earth::distance(asked.departure, asked.arrival).nautical_miles();
    std::vector<flight::Leg> legs;
    for (const std::string& from : idents) {
        for (const std::string& to : idents) {
            const auto placed = [&](const std::string& ident) {
                const auto point = world.named(ident).at(0);
                return procedure::PlacedFix{ident, world.position(point), point, false};
            };
            const double about_nm = earth::distance(asked.departure, placed(to).position).nautical_miles() +
                                    earth::distance(placed(to).position, asked.arrival).nautical_miles();
            const double limit_nm = std::max(1.5 * straight_nm, straight_nm + 80.0);
            // The search measures on the sphere.
            RC_PRE(std::abs(about_nm - limit_nm) > 0.01 * limit_nm);
            if (from == to || about_nm > limit_nm) {
                continue;
            }
            auto made = flight::direct_leg(world, radio::Ground{}, aboard, settings, placed(from), placed(to),
                                           altitude, Speed::knots(150));
            const bool is_forbidden =
                made.leg && std::any_of(forbidden.begin(), forbidden.end(), [&](const ForbiddenPair& pair) {
                    return pair.after == ForbiddenPair::of(*made.leg);
                });
            if (made.leg && !is_forbidden) {
                legs.push_back(*made.leg);
            }
        }
    }
    std::vector<double> cost(legs.size(), infinite);
    double best = infinite;
    for (bool changed = true; changed;) {
        changed = false;
        for (std::size_t i = 0; i < legs.size(); ++i) {
            double least = infinite;
            const auto after = [&](const flight::Leg& before, double so_far) {
                const double turn_deg = (legs[i].track - before.arrival).degrees();
                if (before.to->ident == legs[i].from->ident && std::abs(turn_deg) <= 120.0 &&
                    (!before.from->point || before.from->ident != legs[i].to->ident)) {
                    least = std::min(least, so_far + cost_of(legs[i]) + turn_cost(turn_deg));
                }
            };
            after(first, first.length.nautical_miles());
            for (std::size_t j = 0; j < legs.size(); ++j) {
                after(legs[j], cost[j]);
            }
            if (least < cost[i] - 1e-9) {
                cost[i] = least;
                changed = true;
            }
            if (legs[i].to->ident == "ZZZ") {
                best = std::min(best, cost[i]);
            }
        }
    }
    return best;
}

}  // namespace

// One search asked at two altitudes and with legs forbidden: each answer costs what the cheapest of all sequences does.
RC_GTEST_PROP(BruteSearch, NoSequenceOfLegsBetweenAidsIsCheaperThanTheOneFound, ()) {
    std::vector<std::string> idents;
    const Sketch sketch = any_aids(idents);
    const auto world = sketch.world();
    const auto aboard = equipment({.receivers = 1, .adf = true});
    flight::Settings settings;
    settings.off_airway_minimum = Altitude::feet(1000);
    settings.dead_reckoning_distance = Length::nautical_miles(*rc::gen::element(0.0, 10.0, 20.0));
    settings.dead_reckoning_time = base::minutes(20);
    Question asked = question(world, sketch.at({0, 0}), "ZZZ");
    asked.own_departure = false;
    asked.starts.push_back({{begun_at(world, asked.departure, "AAA")}, Length()});
    const std::vector<Altitude> altitudes{Altitude::feet(3000), Altitude::feet(9000)};
    std::vector<Level> levels;
    for (const Altitude altitude : altitudes) {
        levels.push_back({altitude, asked.climb, asked.groundspeed, {}, {}});
    }
    const Network network(world);
    EdgeMemo memo;
    const radio::Ground ground;
    WaySearch ways(world, ground, aboard, settings, asked, levels, network, memo);
    std::vector<ForbiddenPair> forbidden;
    std::size_t found = 0;
    for (int time = 0; time < 4; ++time) {
        const std::size_t level = *rc::gen::inRange<std::size_t>(0, 2);
        const Answer answer = ways.at(level, {forbidden, Length(), std::nullopt});
        const double best = cheapest(world, idents, asked, aboard, settings, altitudes[level], forbidden);
        RC_ASSERT(answer.ways.empty() == (best == infinite));
        if (answer.ways.empty()) {
            continue;
        }
        ++found;
        RC_ASSERT(std::abs(answer.ways.front().cost_nm - best) < 1e-6);
        const auto& legs = answer.ways.front().legs;
        if (legs.size() > 1) {
            const std::size_t one = *rc::gen::inRange<std::size_t>(1, legs.size());
            forbidden.push_back({std::nullopt, ForbiddenPair::of(legs[one]), true});
        }
    }
    RC_TAG(found);
}

namespace {

// In what own legs are looked for: still air, on a day of 2026.
struct Day {
    const navdata::Snapshot& world;
    aircraft::Aircraft aircraft;
    flight::Settings settings = {};
    weather::WindsAloft winds = {};
    radio::Ground ground = {};

    std::vector<flight::LegsOrReason> ways(const flight::OwnLegsQuestion& asked) const {
        return flight::own_legs({world, ground, omniway::testing::magnetic_model(),
                                 earth::DecimalYear{2026.5}, aircraft, settings, winds},
                                asked);
    }
    Answer search(Question asked, bool with_own_legs) const {
        if (with_own_legs) {
            asked.own_legs = [this](const flight::OwnLegsQuestion& own) { return ways(own); };
        }
        return routing::search(world, ground, aircraft.equipment, settings, asked);
    }
};

void enter_on(Question& asked, double track_deg, double largest_turn_deg) {
    asked.entries.front().any_direction = false;
    asked.entries.front().first_track = base::TrueBearing::degrees(track_deg);
    asked.entries.front().largest_turn = base::Angle::degrees(largest_turn_deg);
}

}  // namespace

// What begins at TWOAA on 180 is not entered from AAA, on 090, and by BBB 130 degrees would be turned over it. Out along the radial of AAA to
// a place on the radial 180 of BBB, told by AAA's DME, and in along that.
//                 BBB
//                  |
//                  *
//    . AAA        TWOAA
TEST(CaseSearch, AnEntryThatNoDirectLegEntersIsComeToByTwoRadials) {
    Sketch sketch;
    sketch.vor("AAA", {32, 0}, {.dme = ServiceClass::low}).vor("BBB", {62, 25}).fix("TWOAA", {62, 0});
    const auto world = sketch.world();
    const Day day{world, aircraft_with({.receivers = 2, .dme = true})};
    Question asked = question(world, sketch.at({0, 0}), "TWOAA");
    enter_on(asked, 180, 60);
    EXPECT_EQ(route(day.search(asked, false)), "none");
    const Answer found = day.search(asked, true);
    ASSERT_EQ(found.ways.size(), 1U);
    const auto& legs = found.ways[0].legs;
    ASSERT_EQ(legs.size(), 3U);
    // Meridians converge by 0.8 degrees from the origin to BBB: what is drawn southward is its radial 181.
    EXPECT_EQ(legs[1].to->ident.substr(0, 6), "BBB181");
    const auto& told = std::get<procedure::AtFix>(*legs[1].ending).telling;
    EXPECT_TRUE(std::get<fixing::DmeReading>(told.way).at_guiding_station);
    EXPECT_EQ(procedure::station_of(legs[2].stretches.front().guidance),
              omniway::testing::station_of(world, "BBB"));
    EXPECT_NEAR(legs[2].arrival.degrees(), 180.0, 1.0);
    // No NDB is used; with BBB avoided nothing is left of it.
    asked.constraints.no_beacon = true;
    EXPECT_EQ(day.search(asked, true).ways.size(), 1U);
    asked.constraints.avoid = {world.named("BBB").at(0)};
    EXPECT_TRUE(day.search(asked, true).ways.empty());
}

// V1 leads over ONEAA past BBB, over which 132 degrees would be turned to TWOAA. From ONEAA a heading meets BBB's radial 090.
//   BBB ---*--- TWOAA
//      ONEAA
//          \.
//           AAA
TEST(CaseSearch, FromAnAirwayARadialIsMetByHeadingThatLeadsToTheEntry) {
    Sketch sketch;
    sketch.vor("AAA", {40, -45}).vor("BBB", {0, 0}, {.dme = ServiceClass::low});
    sketch.fix("ONEAA", {6, -5}).fix("TWOAA", {30, 0}).airway("V1", {"AAA", "ONEAA"});
    const auto world = sketch.world();
    Day day{world, aircraft_with({.receivers = 2, .dme = true})};
    Question asked = question(world, sketch.at({60, -70}), "TWOAA");
    EXPECT_EQ(route(day.search(asked, false)), "none");
    const Answer found = day.search(asked, true);
    EXPECT_EQ(route(found).substr(0, 26), "AAA V1 ONEAA direct BBB090");
    const auto& legs = found.ways.at(0).legs;
    EXPECT_TRUE(std::holds_alternative<procedure::AtIntercept>(*legs.at(2).ending));
    // It is dead reckoning: where none is wanted there is no way, and where none is allowed neither.
    asked.constraints.no_dead_reckoning = true;
    EXPECT_TRUE(day.search(asked, true).ways.empty());
    asked.constraints = {};
    day.settings.dead_reckoning_distance = Length::nautical_miles(3);
    EXPECT_TRUE(day.search(asked, true).ways.empty());
}

// From CCC nothing is heard of ZZZ, to which AAA leads and tells it: own legs are asked for from there and not from here.
TEST(CaseSearch, WhereADirectLegServesNobodyIsAskedForOwnLegs) {
    Sketch sketch;
    sketch.vor("AAA", {32, 0}).vor("ZZZ", {90, 0}).vor("CCC", {32, 50}, {.service = ServiceClass::terminal});
    const auto world = sketch.world();
    Question asked = question(world, sketch.at({0, 0}), "ZZZ");
    asked.compared = Length::nautical_miles(200);
    std::vector<std::string> from;
    asked.own_legs = [&](const flight::OwnLegsQuestion& own) {
        from.push_back(own.from.ident + " to " + own.to.ident);
        return std::vector<flight::LegsOrReason>{};
    };
    EXPECT_EQ(route(search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked)),
              "AAA direct ZZZ");
    EXPECT_THAT(from, ::testing::Not(Contains("AAA to ZZZ")));
    EXPECT_THAT(from, Contains("CCC to ZZZ"));
}

// What the judge refused of the two legs is not offered again, though they are one edge.
TEST(CaseSearch, APairOfOwnLegsThatIsForbiddenIsNotFlown) {
    Sketch sketch;
    sketch.vor("AAA", {32, 0}, {.dme = ServiceClass::low}).vor("BBB", {62, 25}).fix("TWOAA", {62, 0});
    const auto world = sketch.world();
    const Day day{world, aircraft_with({.receivers = 2, .dme = true})};
    Question asked = question(world, sketch.at({0, 0}), "TWOAA");
    enter_on(asked, 180, 60);
    for (int time = 0; time < 8; ++time) {
        const Answer found = day.search(asked, true);
        if (found.ways.empty()) {
            break;
        }
        const auto& legs = found.ways[0].legs;
        const ForbiddenPair pair{ForbiddenPair::of(legs[1]), ForbiddenPair::of(legs[2])};
        EXPECT_EQ(std::count(asked.forbidden.begin(), asked.forbidden.end(), pair), 0);
        asked.forbidden.push_back(pair);
    }
    EXPECT_GE(asked.forbidden.size(), 1U);
    EXPECT_TRUE(day.search(asked, true).ways.empty());
}

namespace {

// What the header says of ways of own legs, enumerated: every direct leg, and between any two places between which none serves whatever
// own_legs() answers.
class EveryWay {
public:
    EveryWay(const Day& day, const std::vector<std::string>& idents, const Question& asked)
        : day_(day), idents_(idents), asked_(asked), entry_(asked.entries.at(0)) {}

    double cheapest() {
        const auto each_pair = [&](const auto& join) {
            for (const std::string& from : idents_) {
                for (const std::string& to : idents_) {
                    if (from != to && is_inside(to)) {
                        join(from, to);
                    }
                }
            }
        };
        each_pair([&](const std::string& from, const std::string& to) { join_directly(from, to); });
        std::vector<double> cost = relaxed();
        for (std::size_t i = 0; i < cost.size(); ++i) {
            if (cost[i] < infinite) {
                reached_.push_back(pieces_[i].legs.back().to->ident);
            }
        }
        direct_pieces_ = pieces_.size();
        each_pair([&](const std::string& from, const std::string& to) { join_by_own_legs(from, to); });
        cost = relaxed();
        double best = infinite;
        for (std::size_t i = 0; i < cost.size(); ++i) {
            if (pieces_[i].enters) {
                const double turn_deg = (entry_.first_track - pieces_[i].legs.back().arrival).degrees();
                best = std::min(best, cost[i] + (entry_.any_direction ? 0.0 : turn_cost(turn_deg)));
            }
        }
        return best;
    }
    std::size_t own_ways() const { return own_ways_; }

private:
    struct Piece {
        std::vector<flight::Leg> legs;
        double cost_nm = 0.0;
        bool told = false;
        bool enters = false;
    };

    procedure::PlacedFix placed(const std::string& ident) const {
        const auto point = day_.world.named(ident).at(0);
        return {ident, day_.world.position(point), point, false};
    }

    // The search measures on the sphere: what is near a bound is not asked.
    static bool is_within(double nm, double limit_nm) {
        RC_PRE(std::abs(nm - limit_nm) > 0.02 * limit_nm);
        return nm < limit_nm;
    }

    bool is_inside(const std::string& ident) const {
        const double straight_nm = earth::distance(asked_.departure, asked_.arrival).nautical_miles();
        return is_within(earth::distance(asked_.departure, placed(ident).position).nautical_miles() +
                             earth::distance(placed(ident).position, asked_.arrival).nautical_miles(),
                         std::max(1.5 * straight_nm, straight_nm + 80.0));
    }

    bool is_told(const flight::Leg& last, bool at_entry) const {
        fixing::FixQuestion question;
        question.fix = last.finish;
        question.altitude = asked_.cruise;
        question.track = last.arrival;
        question.guided_by = procedure::station_of(last.stretches.back().guidance);
        question.criteria = day_.settings.criteria;
        question.use = at_entry ? fixing::FixUse::terminal : question.use;
        return !fixing::tellings(day_.world, day_.ground, day_.aircraft.equipment, question).ways.empty();
    }

    Piece piece(std::vector<flight::Leg> legs) const {
        Piece made;
        for (std::size_t i = 0; i < legs.size(); ++i) {
            made.cost_nm += cost_of(legs[i]);
            made.cost_nm += i == 0 ? 0.0 : turn_cost((legs[i].track - legs[i - 1].arrival).degrees());
        }
        const flight::Leg& last = legs.back();
        made.told = is_told(last, false);
        made.enters = last.finish == entry_.fix.position && is_told(last, true) &&
                      (entry_.any_direction || abs(entry_.first_track - last.arrival) <= entry_.largest_turn);
        made.legs = std::move(legs);
        return made;
    }

    void join_directly(const std::string& from, const std::string& to) {
        auto made = flight::direct_leg(day_.world, day_.ground, day_.aircraft.equipment, day_.settings,
                                       placed(from), placed(to), asked_.cruise, Speed::knots(150));
        if (made.leg) {
            pieces_.push_back(piece({*made.leg}));
        }
    }

    void join_by_own_legs(const std::string& from, const std::string& to) {
        const bool to_entry = to == entry_.fix.ident;
        const bool direct_serves = std::any_of(
            pieces_.begin(), pieces_.begin() + static_cast<std::ptrdiff_t>(direct_pieces_),
            [&](const Piece& direct) {
                return direct.legs.front().from->ident == from && direct.legs.back().to->ident == to &&
                       (to_entry ? direct.enters : direct.told);
            });
        const bool is_reached =
            !to_entry && (to == "AAA" || std::count(reached_.begin(), reached_.end(), to) > 0);
        const double apart_nm = earth::distance(placed(from).position, placed(to).position).nautical_miles();
        if (direct_serves || is_reached || !is_within(apart_nm, (to_entry ? 100.0 : 30.0) / 0.99)) {
            return;
        }
        flight::OwnLegsQuestion own;
        own.from = placed(from);
        own.to = placed(to);
        own.altitude = asked_.cruise;
        if (to_entry && !entry_.any_direction) {
            own.onward = entry_.first_track;
        }
        for (flight::LegsOrReason& way : day_.ways(own)) {
            if (way.legs.size() == 2) {
                pieces_.push_back(piece(std::move(way.legs)));
                ++own_ways_;
            }
        }
    }

    // Up to the end of each piece.
    std::vector<double> relaxed() const {
        const flight::Leg first = asked_.starts.at(0).legs.at(0);
        std::vector<double> cost(pieces_.size(), infinite);
        for (bool changed = true; changed;) {
            changed = false;
            for (std::size_t i = 0; i < pieces_.size(); ++i) {
                const flight::Leg& onto = pieces_[i].legs.front();
                double least = infinite;
                const auto after = [&](const std::string& back, const flight::Leg& before, double so_far) {
                    const double turn_deg = (onto.track - before.arrival).degrees();
                    if (before.to->ident == onto.from->ident && std::abs(turn_deg) <= 120.0 &&
                        back != pieces_[i].legs.back().to->ident) {
                        least = std::min(least, so_far + pieces_[i].cost_nm + turn_cost(turn_deg));
                    }
                };
                after("", first, first.length.nautical_miles());
                for (std::size_t j = 0; j < pieces_.size(); ++j) {
                    const flight::Leg& before = pieces_[j].legs.back();
                    if (pieces_[j].told || flight::goes_straight_on(before, onto)) {
                        after(pieces_[j].legs.front().from->ident, before, cost[j]);
                    }
                }
                if (least < cost[i] - 1e-9) {
                    cost[i] = least;
                    changed = true;
                }
            }
        }
        return cost;
    }

    const Day& day_;
    const std::vector<std::string>& idents_;
    const Question& asked_;
    const Entry& entry_;
    std::vector<Piece> pieces_;
    std::size_t direct_pieces_ = 0;
    std::vector<std::string> reached_;  // without own legs
    std::size_t own_ways_ = 0;
};

}  // namespace

// Every sequence of direct legs and own legs on small networks, the entry a fix that is entered within some turn.
RC_GTEST_PROP(BruteSearch, NoSequenceWithOwnLegsIsCheaperThanTheOneFound, ()) {
    const auto miles = [](int from, int to) { return static_cast<double>(*rc::gen::inRange(from, to)); };
    Sketch sketch;
    std::vector<std::string> idents{"AAA", "BBB", "CCC", "NB", "TWOAA"};
    const auto vor = [&](const std::string& ident, At at) {
        sketch.vor(ident, at,
                   {.service = *rc::gen::element(ServiceClass::terminal, ServiceClass::low),
                    .dme = *rc::gen::arbitrary<bool>() ? std::optional(ServiceClass::low) : std::nullopt});
    };
    vor("AAA", {miles(5, 25), miles(-20, 20)});
    vor("BBB", {miles(30, 90), miles(-30, 30)});
    vor("CCC", {miles(60, 120), miles(-30, 30)});
    sketch.ndb("NB", {miles(30, 110), miles(-30, 30)});
    sketch.fix("TWOAA", {miles(60, 110), miles(-20, 20)});
    for (std::size_t i = 1; i < idents.size(); ++i) {
        for (std::size_t j = 0; j < i; ++j) {  // places of one position are one to the search
            RC_PRE(sketch.place(idents[i]) != sketch.place(idents[j]));
        }
    }
    const auto world = sketch.world();
    Day day{world,
            aircraft_with({.receivers = *rc::gen::inRange<std::size_t>(1, 3), .dme = true, .adf = true})};
    day.settings.off_airway_minimum = Altitude::feet(1000);
    Question asked = question(world, sketch.at({0, 0}), "TWOAA");
    asked.own_departure = false;
    asked.starts.push_back({{begun_at(world, asked.departure, "AAA")}, Length()});
    if (*rc::gen::inRange(0, 4) != 0) {
        enter_on(asked, static_cast<double>(*rc::gen::inRange(0, 360)), *rc::gen::element(60.0, 90.0, 120.0));
    }
    EveryWay every(day, idents, asked);
    const double best = every.cheapest();
    const Answer found = day.search(asked, true);
    RC_ASSERT(found.ways.empty() == (best == infinite));
    if (found.ways.empty()) {
        return;
    }
    RC_ASSERT(std::abs(found.ways.front().cost_nm - best) < 1e-6);
    const Answer without = day.search(asked, false);
    RC_ASSERT((without.ways.empty() || without.ways.front().cost_nm > best - 1e-6));
    RC_TAG(every.own_ways() == 0                        ? "none are offered"
           : without.ways.empty()                       ? "needed"
           : without.ways.front().cost_nm > best + 1e-6 ? "cheaper"
                                                        : "not taken");
}

// A ridge of 1,500 m across the straight way, 24 NM from north to south:
//              NNN
//            /     \.
//   . AAA --- ^ ---- ZZZ
TEST(CaseSearch, ARidgeBetweenTwoAidsSendsTheWayRoundIt) {
    Sketch sketch;
    sketch.vor("AAA", {5, 0}).vor("ZZZ", {75, 0}).vor("NNN", {40, 32});
    const earth::Position ridge = sketch.at({22, 0});
    const omniway::testing::DrawnGround drawn(
        sketch.at({40, 10}), 6, [ridge](double latitude_deg, double longitude_deg) {
            const double north_nm = (latitude_deg - ridge.latitude_deg()) * 60.0;
            const double east_nm = (longitude_deg - ridge.longitude_deg()) * 46.0;
            return std::optional(std::abs(north_nm) < 12.0 && std::abs(east_nm) < 1.0 ? 1500.0 : 0.0);
        });
    const auto world = sketch.world();
    // Reception alone decides here: what the ground itself asks for is given by hand.
    flight::Settings settings;
    settings.off_airway_minimum = base::Altitude::feet(3000);
    const auto answer = [&](radio::ReceptionMode mode, double cruise_ft) {
        return route(search(world, drawn.ground(mode), equipment({.receivers = 1}), settings,
                            question(world, sketch.at({0, 0}), "ZZZ", cruise_ft)));
    };
    EXPECT_EQ(answer(radio::ReceptionMode::horizon, 6000), "AAA direct ZZZ");
    EXPECT_EQ(answer(radio::ReceptionMode::terrain, 6000), "AAA direct NNN direct ZZZ");
    EXPECT_EQ(answer(radio::ReceptionMode::terrain, 14000), "AAA direct ZZZ");  // over it
    // The ridge is 4,921 ft: 200 ft for what stands on it and 2,000 ft in mountains ask for 7,200 ft. The way round passes its end
    // by 2.6 NM, which is within the 4 NM that count.
    settings.off_airway_minimum.reset();
    EXPECT_EQ(answer(radio::ReceptionMode::horizon, 7000), "none");
    EXPECT_EQ(answer(radio::ReceptionMode::horizon, 7200), "AAA direct ZZZ");
    // High above it a coarse look at the ground is enough for the search, but what is told of the leg is its whole minimum.
    const auto high = search(world, drawn.ground(radio::ReceptionMode::horizon), equipment({.receivers = 1}),
                             settings, question(world, sketch.at({0, 0}), "ZZZ", 14000));
    ASSERT_FALSE(high.ways.empty());
    const flight::LegMinimum& told = high.ways.front().legs.back().minimum;
    ASSERT_TRUE(told.ground);
    EXPECT_NEAR(told.ground->ground.feet(), 4921.0, 2.0);
    EXPECT_EQ(told.altitude, Altitude::feet(7200));
}

namespace {

procedure::PlacedFix fix_at(const navdata::Snapshot& world, const std::string& ident) {
    const auto point = world.named(ident).at(0);
    return {ident, world.position(point), point, false};
}

// A published line from one drawn point to another, on a radial of an aid.
flight::Leg published(const navdata::Snapshot& world, const std::string& via, flight::Phase phase,
                      const std::string& from, const std::string& to, const std::string& aid) {
    const auto one = fix_at(world, from), other = fix_at(world, to);
    const earth::Geodesic line = earth::geodesic(one.position, other.position);
    flight::Leg leg;
    leg.phase = phase;
    leg.via = via;
    leg.published = true;
    leg.from = one;
    leg.to = other;
    leg.start = one.position;
    leg.finish = other.position;
    leg.track = line.initial;
    leg.arrival = line.arrival;
    leg.length = line.distance;
    leg.stretches.push_back({Length(), leg.length,
                             *procedure::guidance_along(world, omniway::testing::station_of(world, aid),
                                                        one.position, other.position)});
    leg.minimum = {flight::MinimumFrom::coded_procedure, Altitude::feet(3000)};
    return leg;
}

}  // namespace

//   . AAA ---V1--- MMM ~~STAR~~ ZZZ: no airway and no signal joins MMM and ZZZ but the arrival.
TEST(CaseSearch, AnArrivalIsFlownWhereItAloneLeadsToTheEntry) {
    Sketch sketch = triangle();
    sketch.airway("V1", {"AAA", "MMM"});
    const auto world = sketch.world();
    Question asked = question(world, sketch.at({0, 0}), "ZZZ");
    EXPECT_EQ(route(search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked)), "none");
    asked.arrivals.push_back(
        {{published(world, "STRA1", flight::Phase::arrival, "MMM", "ZZZ", "ZZZ")}, Length()});
    const Answer answer = search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked);
    EXPECT_EQ(route(answer), "AAA V1 MMM STRA1 ZZZ");
    EXPECT_EQ(answer.ways.at(0).arrival, 0U);
    EXPECT_FALSE(answer.ways[0].start);
}

// An airway of the same length is as good; asked for, the arrival is flown all the same, and the entry counts only behind it.
TEST(CaseSearch, WhereAnArrivalIsAskedForTheEntryCountsOnlyBehindIt) {
    Sketch sketch = triangle();
    sketch.airway("V1", {"AAA", "MMM"}).airway("V2", {"AAA", "ZZZ"});
    const auto world = sketch.world();
    Question asked = question(world, sketch.at({0, 0}), "ZZZ");
    asked.arrivals.push_back(
        {{published(world, "STRA1", flight::Phase::arrival, "MMM", "ZZZ", "ZZZ")}, Length()});
    EXPECT_EQ(route(search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked)), "AAA V2 ZZZ");
    asked.only_by_arrival = true;
    EXPECT_EQ(route(search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked)),
              "AAA V1 MMM STRA1 ZZZ");
}

// A published departure to MMM beside an own one to AAA, whose airway is the shorter by some miles: the survey is worth them.
TEST(CaseSearch, APublishedDepartureIsWorthTenMilesAgainstAnOwnOne) {
    const auto way_at = [](double detour_nm) {
        Sketch sketch;
        const omniway::testing::VorDrawn terminal{.service = ServiceClass::terminal};
        sketch.vor("AAA", {10, 0}, terminal)
            .vor("MMM", {10, detour_nm}, terminal)
            .vor("ZZZ", {110, 0}, terminal);
        sketch.airport("XDEP", {0, 0}).airway("V1", {"AAA", "ZZZ"}).airway("V2", {"MMM", "ZZZ"});
        const auto world = sketch.world();
        Question asked = question(world, sketch.at({0, 0}), "ZZZ");
        flight::Leg leg = published(world, "SIDA1", flight::Phase::departure, "XDEP", "MMM", "MMM");
        leg.ending = procedure::AtFix{*leg.to,
                                      {fixing::Overhead{omniway::testing::station_of(world, "MMM")}, Length(),
                                       base::Angle::degrees(90)}};
        asked.starts.push_back({{leg}, Length()});
        const Answer answer = search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked);
        return answer.ways.at(0).start.has_value();
    };
    EXPECT_TRUE(way_at(12));
    EXPECT_FALSE(way_at(40));
}

TEST(CaseSearch, WithoutAnOwnDepartureOnlyPublishedOnesAreBegun) {
    Sketch sketch = triangle();
    sketch.airway("V1", {"AAA", "ZZZ"});
    const auto world = sketch.world();
    Question asked = question(world, sketch.at({0, 0}), "ZZZ");
    asked.own_departure = false;
    EXPECT_EQ(route(search(world, radio::Ground{}, equipment({.receivers = 1}), {}, asked)), "none");
}

}  // namespace omniway::routing
