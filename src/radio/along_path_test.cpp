#include "radio/along_path.hpp"

#include <algorithm>
#include <cmath>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "earth/geodesic.hpp"
#include "tests/sketch.hpp"

namespace omniway::radio {

using base::Altitude;
using base::Length;
using base::TrueBearing;
using navdata::ServiceClass;
using testing::Sketch;

namespace {

std::vector<PathPoint> path_of(const Sketch& sketch,
                               const std::vector<std::pair<testing::At, double>>& points) {
    std::vector<PathPoint> path;
    for (const auto& [at, feet] : points) {
        const earth::Position place = sketch.at(at);
        const Length along =
            path.empty() ? Length() : path.back().along + earth::distance(path.back().place, place);
        path.push_back({place, along, Altitude::feet(feet)});
    }
    return path;
}

// What a person with patience would do: hear() every 0.02 NM, on the geodesic between the points.
std::vector<HeardInterval> walked(const navdata::Station& station, Part part,
                                  const std::vector<PathPoint>& path, const Ground& ground) {
    std::vector<HeardInterval> heard;
    Silence last = Silence::none;
    bool first = true;
    for (std::size_t i = 0; i + 1 < path.size(); ++i) {
        const earth::Geodesic line = earth::geodesic(path[i].place, path[i + 1].place);
        const int steps = std::max(1, static_cast<int>(std::ceil(line.distance.nautical_miles() / 0.02)));
        for (int step = 0; step <= steps; ++step) {
            const double share = static_cast<double>(step) / steps;
            const Length along = path[i].along + line.distance * share;
            const earth::Position place =
                earth::destination(path[i].place, line.initial, line.distance * share);
            const Reception here =
                hear(station, part, place,
                     path[i].altitude + (path[i + 1].altitude - path[i].altitude) * share, ground);
            if (here.heard()) {
                if (first || last != Silence::none) {
                    heard.push_back({along, along, last, Silence::none, true});
                }
                heard.back().to = along;
            } else if (!first && last == Silence::none) {
                heard.back().after = here.silence;
            }
            last = here.silence;
            first = false;
        }
    }
    return heard;
}

}  // namespace

// AIM table 1-1-1: class L reaches 40 NM; PANS-OPS I-2-2: the cone is 50 degrees from the vertical (trade-facts 1.1, 2).
TEST(TruthAlongPath, OverAVorItsSignalComesDiesOverheadAndDiesAtFortyMiles) {
    Sketch sketch;
    sketch.vor("AAA", {60, 0});
    const auto heard = heard_along(sketch.station("AAA"), Part::azimuth,
                                   path_of(sketch, {{{0, 0}, 10000}, {{130, 0}, 10000}}), {});
    ASSERT_EQ(heard.size(), 2U);
    EXPECT_NEAR(heard[0].from.nautical_miles(), 20.0, 0.02);
    EXPECT_EQ(heard[0].before, Silence::beyond_service_volume);
    EXPECT_NEAR(heard[0].to.nautical_miles(), 60.0 - 1.96, 0.02);
    EXPECT_EQ(heard[0].after, Silence::overhead);
    EXPECT_NEAR(heard[1].from.nautical_miles(), 60.0 + 1.96, 0.02);
    EXPECT_NEAR(heard[1].to.nautical_miles(), 100.0, 0.02);
    EXPECT_EQ(heard[1].after, Silence::beyond_service_volume);
}

TEST(CaseAlongPath, HeardFromBeginningToEndItHasNoReasonAtEitherEnd) {
    Sketch sketch;
    sketch.vor("AAA", {0, 20});
    const auto heard = heard_along(sketch.station("AAA"), Part::azimuth,
                                   path_of(sketch, {{{0, 0}, 5000}, {{10, 0}, 5000}}), {});
    ASSERT_EQ(heard.size(), 1U);
    EXPECT_EQ(heard[0].from, Length());
    EXPECT_NEAR(heard[0].to.nautical_miles(), 10.0, 1e-6);
    EXPECT_EQ(heard[0].before, Silence::none);
    EXPECT_EQ(heard[0].after, Silence::none);
    EXPECT_TRUE(silent_along(sketch.station("AAA"), Part::azimuth,
                             path_of(sketch, {{{0, 0}, 5000}, {{10, 0}, 5000}}), {})
                    .empty());
}

TEST(CaseAlongPath, APathOfOnePlaceAndOneWithoutAnyAreAnsweredToo) {
    Sketch sketch;
    sketch.vor("AAA", {0, 20}).dme("BBB", {0, 20});
    EXPECT_EQ(heard_along(sketch.station("AAA"), Part::azimuth, path_of(sketch, {{{0, 0}, 5000}}), {}).size(),
              1U);
    EXPECT_TRUE(heard_along(sketch.station("AAA"), Part::azimuth, {}, {}).empty());
    const auto silent = silent_along(sketch.station("BBB"), Part::azimuth,
                                     path_of(sketch, {{{0, 0}, 5000}, {{10, 0}, 5000}}), {});
    ASSERT_EQ(silent.size(), 1U);
    EXPECT_EQ(silent[0].why.silence, Silence::no_such_part);
    EXPECT_NEAR(silent[0].to.nautical_miles(), 10.0, 1e-6);
}

TEST(CaseAlongPath, AVorAndItsDmeOfAnotherClassAreHeardApart) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.service = ServiceClass::low, .dme = ServiceClass::dme_high});
    const auto path = path_of(sketch, {{{0, 0}, 17000}, {{140, 0}, 17000}});
    const auto azimuth = heard_along(sketch.station("AAA"), Part::azimuth, path, {});
    const auto distance = heard_along(sketch.station("AAA"), Part::distance, path, {});
    ASSERT_EQ(azimuth.size(), 1U);
    ASSERT_EQ(distance.size(), 1U);
    EXPECT_NEAR(azimuth[0].to.nautical_miles(), 40.0, 0.02);
    EXPECT_NEAR(distance[0].to.nautical_miles(), 130.0, 0.02);
    EXPECT_EQ(distance[0].from, Length());  // a DME has no cone overhead
}

RC_GTEST_PROP(BruteAlongPath, EndsAreWhereAWalkByFiftiethsOfAMileFindsThem, ()) {
    Sketch sketch(earth::Position::degrees(*rc::gen::inRange(-75, 76), *rc::gen::inRange(-180, 180)));
    const auto vor_class = *rc::gen::element(ServiceClass::terminal, ServiceClass::low, ServiceClass::high,
                                             ServiceClass::vor_low, ServiceClass::vor_high);
    sketch.vor("AAA", {0, 0}, {.service = vor_class, .dme = ServiceClass::high});
    sketch.ndb("BBB", {0, 0}, ServiceClass::ndb_medium);
    sketch.airport("XAAA", {0, 0}).runway("XAAA", 9, {0, 0}).ils("XAAA", "RW09", "IAAA");
    const auto side = [] { return static_cast<double>(*rc::gen::inRange(-60, 61)); };
    const auto feet = [] { return static_cast<double>(*rc::gen::inRange(0, 22000)); };
    const auto path =
        path_of(sketch, {{{side(), side()}, feet()}, {{side(), side()}, feet()}, {{side(), side()}, feet()}});
    const std::string ident = *rc::gen::element<std::string>("AAA", "BBB", "IAAA");
    const Part part = *rc::gen::element(Part::azimuth, Part::distance, Part::glideslope);
    const auto mode = *rc::gen::element(ReceptionMode::volume, ReceptionMode::horizon);
    const auto told = heard_along(sketch.station(ident), part, path, {.mode = mode});
    auto truth = walked(sketch.station(ident), part, path, {.mode = mode});
    // Strips and gaps narrower than 0.25 NM may be missed in climb: drawings that hold one say nothing.
    for (std::size_t i = 0; i < truth.size(); ++i) {
        RC_PRE(truth[i].to - truth[i].from > Length::nautical_miles(0.3));
        RC_PRE((i == 0 || truth[i].from - truth[i - 1].to > Length::nautical_miles(0.3)));
    }
    RC_ASSERT(told.size() == truth.size());
    for (std::size_t i = 0; i < told.size(); ++i) {
        RC_ASSERT(abs(told[i].from - truth[i].from) < Length::nautical_miles(0.1));
        RC_ASSERT(abs(told[i].to - truth[i].to) < Length::nautical_miles(0.1));
        RC_ASSERT((told[i].before == Silence::none) == (truth[i].before == Silence::none));
        RC_ASSERT((told[i].after == Silence::none) == (truth[i].after == Silence::none));
    }
}

RC_GTEST_PROP(LawAlongPath, AtTheLowestAltitudeItIsHeardAndAFewFeetLowerItIsNot, ()) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0},
               {.service = *rc::gen::element(ServiceClass::unknown, ServiceClass::terminal, ServiceClass::low,
                                             ServiceClass::high, ServiceClass::vor_high),
                .dme = *rc::gen::element(ServiceClass::high, ServiceClass::dme_high)});
    sketch.station("AAA").dme->elevation = Altitude::feet(*rc::gen::inRange(0, 6000));
    const auto& station = sketch.station("AAA");
    const Part part = *rc::gen::element(Part::azimuth, Part::distance);
    const earth::Position place = sketch.at({*rc::gen::inRange(80, 1400) / 10.0, 0});
    const Ground ground{.mode = *rc::gen::element(ReceptionMode::volume, ReceptionMode::horizon)};
    const auto lowest = lowest_heard(station, part, place, ground);
    const auto silence_at = [&](Altitude altitude) {
        return hear(station, part, place, altitude, ground).silence;
    };
    if (lowest) {
        const Silence above = silence_at(lowest->altitude + Length::feet(1.0));
        RC_ASSERT(above == Silence::none || above == Silence::overhead);
    }
    for (double feet = 50.0; feet < 66000.0; feet += 250.0) {
        if (!lowest || Altitude::feet(feet) < lowest->altitude - Length::feet(2.0)) {
            RC_ASSERT(silence_at(Altitude::feet(feet)) != Silence::none);
        }
    }
}

TEST(CaseAlongPath, OverALineTheFarEndAsksForTheLowestAltitude) {
    Sketch sketch;
    sketch.vor("AAA", {0, 0}, {.service = ServiceClass::vor_high});
    const auto lowest =
        lowest_heard_along(sketch.station("AAA"), Part::azimuth, sketch.at({0, 0}), sketch.at({60, 0}), {});
    ASSERT_TRUE(lowest);
    EXPECT_NEAR(lowest->lowest.altitude.feet(), 5000.0, 1.0);  // VH: 40 NM below 5,000 ft, 70 from there
    EXPECT_NEAR(lowest->at.nautical_miles(), 40.1, 0.15);
    EXPECT_FALSE(
        lowest_heard_along(sketch.station("AAA"), Part::azimuth, sketch.at({0, 0}), sketch.at({131, 0}), {}));
}

// Crossing angles of design section 3: 30 degrees en route, 45 where one line is an NDB's.
TEST(CaseAlongPath, TwoLinesTellAPlaceOnlyWhereTheyCrossWell) {
    Sketch sketch;
    sketch.vor("WST", {-30, 0}).vor("WSW", {-28, -14}).vor("STH", {0, -30}).ndb("SWB", {-19, -20});
    const auto stations = [&](std::vector<std::string> idents) {
        std::vector<navdata::Station> drawn;
        for (const auto& ident : idents) {
            drawn.push_back(sketch.station(ident));
        }
        return drawn;
    };
    const auto lowest = [&](const std::vector<navdata::Station>& drawn) {
        std::vector<const navdata::Station*> pointers;
        for (const auto& station : drawn) {
            pointers.push_back(&station);
        }
        return lowest_two_lines(pointers, sketch.at({0, 0}), {});
    };
    EXPECT_FALSE(lowest(stations({"WST", "WSW"})));  // 26.6 degrees
    const auto square = lowest(stations({"WST", "WSW", "STH"}));
    ASSERT_TRUE(square);
    EXPECT_GT(square->crossing.degrees(), 30.0);
    const auto beacon = lowest(stations({"WSW", "SWB"}));
    EXPECT_FALSE(beacon);  // 18 degrees
    EXPECT_TRUE(lowest(stations({"WST", "SWB"})) &&
                lowest(stations({"WST", "SWB"}))->crossing.degrees() >= 45.0);
    EXPECT_FALSE(lowest(stations({"WST"})));
}

}  // namespace omniway::radio
