#include "readers/item15.hpp"

#include <algorithm>
#include <fstream>
#include <iterator>
#include <map>
#include <random>
#include <sstream>

#include <fmt/format.h>
#include <gtest/gtest.h>
#include <rapidcheck/gtest.h>

#include "readers/file_bytes.hpp"

namespace omniway::readers {

namespace {

using flight::Route;

Route good(const std::string& text) {
    auto read = read_item15(text, "ROUTE");
    if (!read) {
        ADD_FAILURE() << text << ": " << base::to_text(read.error().front());
        return {};
    }
    return *read;
}

template <class Said>
Said word(const Route& route, std::size_t at) {
    const auto* said = at < route.elements.size() ? std::get_if<Said>(&route.elements[at].word) : nullptr;
    if (said == nullptr) {
        ADD_FAILURE() << "word " << at << " of \"" << flight::to_text(route) << "\" is something else";
        return {};
    }
    return *said;
}

std::vector<base::Error> bad(const std::string& text) {
    auto read = read_item15(text, "ROUTE");
    EXPECT_FALSE(read) << text;
    return read ? std::vector<base::Error>{} : read.error();
}

struct Fault {
    std::string text;
    std::string code;
    std::string where;
    std::string says;
};

}  // namespace

// The examples of ICAO Doc 4444 appendix 2, item 15, as trade-facts 12 has them [seen].

TEST(TruthItem15, ASpeedIsFourFiguresOfKilometresOrKnotsOrThreeOfMach) {
    EXPECT_NEAR(word<flight::RouteSpeedLevel>(good("K0830F330 LN"), 0).true_airspeed->metres_per_second(),
                830.0 / 3.6, 1e-9);
    EXPECT_NEAR(word<flight::RouteSpeedLevel>(good("N0485F330 LN"), 0).true_airspeed->knots(), 485.0, 1e-9);
    EXPECT_NEAR(*word<flight::RouteSpeedLevel>(good("M082F330 LN"), 0).mach, 0.82, 1e-12);
}

TEST(TruthItem15, ALevelIsOfPressureOrAltitudeInHundredsOfFeetOrTensOfMetresOrVfr) {
    const auto level = [](const std::string& text) {
        return word<flight::RouteSpeedLevel>(good("N0485" + text + " LN"), 0);
    };
    EXPECT_NEAR(level("F330").level->feet(), 33000.0, 1e-6);
    EXPECT_NEAR(level("S1130").level->metres(), 11300.0, 1e-9);
    EXPECT_NEAR(level("A045").altitude->feet(), 4500.0, 1e-6);
    EXPECT_NEAR(level("M0840").altitude->metres(), 8400.0, 1e-9);
    EXPECT_FALSE(level("VFR").altitude || level("VFR").level);
}

TEST(TruthItem15, ADesignatorHasTwoToSevenCharacters) {
    for (const std::string text : {"BCN1", "B1", "R14", "UB10", "KODAP2A"}) {
        EXPECT_EQ(word<flight::RouteAirway>(good(text + " LN"), 0).designator, text);
    }
}

TEST(TruthItem15, ASignificantPointIsANameOrCoordinatesOrABearingAndDistance) {
    for (const std::string text : {"LN", "MAY", "HADDY"}) {
        EXPECT_EQ(word<flight::RoutePoint>(good(text), 0).ident, text);
    }
    const auto degrees = word<flight::RouteCoordinates>(good("46N078W"), 0).position;
    EXPECT_DOUBLE_EQ(degrees.latitude_deg(), 46.0);
    EXPECT_DOUBLE_EQ(degrees.longitude_deg(), -78.0);
    const auto minutes = word<flight::RouteCoordinates>(good("4620N07805W"), 0).position;
    EXPECT_NEAR(minutes.latitude_deg(), 46.3333, 5e-5);
    EXPECT_NEAR(minutes.longitude_deg(), -78.0833, 5e-5);
}

TEST(TruthItem15, ABearingIsMagneticAndThreeFiguresAndTheDistanceThreeMore) {
    const auto dublin = word<flight::RouteBearingDistance>(good("DUB180040"), 0);
    EXPECT_EQ(dublin.ident, "DUB");
    EXPECT_DOUBLE_EQ(dublin.bearing.degrees(), 180.0);
    EXPECT_NEAR(dublin.distance.nautical_miles(), 40.0, 1e-9);
    const auto near = word<flight::RouteBearingDistance>(good("DUB005007"), 0);
    EXPECT_DOUBLE_EQ(near.bearing.degrees(), 5.0);
    EXPECT_NEAR(near.distance.nautical_miles(), 7.0, 1e-9);
    const auto faults = bad("DTY18020");  // two figures of distance: wrong
    ASSERT_EQ(faults.size(), 1U);
    EXPECT_EQ(faults.front().code, "route.bearing_distance");
    EXPECT_NE(faults.front().message.find("20 NM would be DTY180020"), std::string::npos)
        << faults.front().message;
}

TEST(TruthItem15, ASpeedAndLevelChangeAfterThePointAndItsObliqueStroke) {
    for (const std::string text : {"LN/N0284A045", "MAY/N0305F180", "HADDY/N0420F330",
                                   "4602N07805W/N0500F350", "46N078W/M082F330", "DUB180040/N0350M0840"}) {
        const Route route = good(text);
        ASSERT_EQ(route.elements.size(), 2U) << text;
        EXPECT_TRUE(word<flight::RouteSpeedLevel>(route, 1).changes) << text;
        EXPECT_EQ(flight::to_text(route), text);
    }
}

TEST(TruthItem15, AWholeRouteOfEntriesIsRead) {  // the worked example, without the arrow of the form
    const std::string text =
        "GELKI UP600 GOW/N0473F360 UN615 STN UN601 AKIVO UP60 ATSIX/M081F360 DCT 62N020W";
    const Route route = good(text);
    ASSERT_EQ(route.elements.size(), 13U);
    EXPECT_EQ(word<flight::RoutePoint>(route, 0).ident, "GELKI");
    EXPECT_EQ(word<flight::RouteAirway>(route, 1).designator, "UP600");
    EXPECT_NEAR(word<flight::RouteSpeedLevel>(route, 3).true_airspeed->knots(), 473.0, 1e-9);
    EXPECT_TRUE(std::holds_alternative<flight::RouteDirect>(route.elements[11].word));
    EXPECT_EQ(flight::to_text(route), text);
}

TEST(TruthItem15, TwoPointsWithoutARouteOrDctAreAnError) {
    const auto faults = bad("HADDY LN MAY");
    ASSERT_EQ(faults.size(), 2U);
    EXPECT_EQ(faults[0].code, "route.order");
    EXPECT_EQ(faults[0].where, "ROUTE:1:7");
    EXPECT_EQ(faults[1].where, "ROUTE:1:10");
    EXPECT_NE(faults[0].message.find("HADDY DCT LN"), std::string::npos) << faults[0].message;
}

TEST(TruthItem15, PointsInCoordinatesNeedNoDct) {
    good("46N078W 46N076W 46N074W");
    good("DUB180040 DUB150040");
    good("LN 46N078W");
    EXPECT_EQ(bad("46N078W LN").front().code, "route.order");
    EXPECT_EQ(bad("LN DUB180040").front().code, "route.order");
}

TEST(LawItem15, AnAirportMayStandBeforeAndBehindTheItem) {
    for (const std::string text :
         {"XDOV N0110A080 XDV V14 XKE DCT XHU V53 XEB XMRA", "XDOV DCT XDV V14 XKE XMRA",
          "XDOV XULVE1 XULVE V12 XRG XEMIR1 XMRA", "1G3 DCT XDV V14 XKE C83", "C83 V14 XKE XMRA",
          "N0110A080 XDV V14 XKE", "XDOV DCT XDV DCT XMRA"}) {
        EXPECT_EQ(flight::to_text(good(text)), text);
    }
    EXPECT_EQ(word<flight::RoutePoint>(good("C83 V14 XKE"), 0).ident, "C83");
    EXPECT_EQ(word<flight::RouteAirway>(good("BCN1 BCN"), 0).designator, "BCN1");
}

TEST(LawItem15, RulesChangeBehindAPoint) {
    const Route route = good("LN VFR DCT MAY/N0305F180 IFR B1 HADDY");
    EXPECT_TRUE(word<flight::RouteRules>(route, 1).visual);
    EXPECT_FALSE(word<flight::RouteRules>(route, 5).visual);
    EXPECT_EQ(bad("LN DCT VFR MAY").front().code, "route.order");
}

TEST(LawItem15, SmallLettersAndLinesAreTakenAsTheyAreMeant) {
    const Route route = good("xdov dct xdv\n  v14 xke xmra\n");
    EXPECT_EQ(flight::to_text(route), "XDOV DCT XDV V14 XKE XMRA");
    EXPECT_EQ(route.elements[3].token.line, 2);
    EXPECT_EQ(route.elements[3].token.column, 3);
}

TEST(LawItem15, EachFaultIsToldAtItsWordWithWhatWouldDo) {
    const std::vector<Fault> faults = {
        {"XDV V14 XK-E", "route.character", "ROUTE:1:11", "no letter, digit or oblique stroke"},
        {"XDV V14 X", "route.word", "ROUTE:1:9", "one letter: a point has 2 to 5"},
        {"XDV V14 XANDOVEL", "route.word", "ROUTE:1:9", "8 letters: a point has 2 to 5"},
        {"XDV V014 XKE", "route.word", "ROUTE:1:5", "no word of a route"},
        {"XDV V12345 XKE", "route.word", "ROUTE:1:5", "no word of a route"},
        {"N0110 XDV", "route.speed_level", "ROUTE:1:1", "has no level"},
        {"N0110A80 XDV", "route.speed_level", "ROUTE:1:1", "ends in no level: 'A80'"},
        {"N0000A080 XDV", "route.speed_level", "ROUTE:1:1", "is zero"},
        {"XDV/N0110 V14 XKE", "route.speed_level", "ROUTE:1:5", "has no level"},
        {"XDV/A080 V14 XKE", "route.speed_level", "ROUTE:1:5", "begins with no speed"},
        {"XDV/N0110A08 V14 XKE", "route.speed_level", "ROUTE:1:5", "ends in no level: 'A08'"},
        {"/N0110A080 XDV", "route.word", "ROUTE:1:1", "names no point"},
        {"XDV/N0110A080/A090", "route.speed_level", "ROUTE:1:5", "ends in no level"},
        {"46N78W DCT XKE", "route.coordinates", "ROUTE:1:1", "46N078W"},
        {"XDV DCT 4660N07805W", "route.coordinates", "ROUTE:1:9", "60 minutes: allowed 00 to 59"},
        {"XDV DCT 91N078W", "route.coordinates", "ROUTE:1:9", "above 90 degrees"},
        {"XDV DCT 9001N07805W", "route.coordinates", "ROUTE:1:9", "above 90 degrees"},
        {"XDV DCT 46N181W", "route.coordinates", "ROUTE:1:12", "above 180 degrees"},
        {"XDV DCT XKE361040", "route.bearing_distance", "ROUTE:1:12", "allowed 000 to 360"},
        {"XDV DCT XKE180000", "route.bearing_distance", "ROUTE:1:15", "allowed 001 to 999"},
        {"XDV DCT XKE1800400", "route.bearing_distance", "ROUTE:1:9", "7 figures"},
        {"C/48N050W/M082F290F350", "route.cruise_climb", "ROUTE:1:1", "cruise climb"},
        {"XDV V14 V12 XRG", "route.order", "ROUTE:1:9", "name the point between the two"},
        {"XDV DCT V14 XKE", "route.order", "ROUTE:1:9", "name the point between the two"},
        {"XDV DCT", "route.order", "ROUTE:1:5", "it leads to nothing"},
        {"XDV N0110A080 V14 XKE", "route.order", "ROUTE:1:5", "XDV/N0110A080"},
        {"V14", "route.order", "ROUTE:1:1", "the route names no point"},
        {"", "route.empty", "ROUTE:1:1", "is empty"},
        {" \n ", "route.empty", "ROUTE:1:1", "is empty"},
    };
    for (const Fault& each : faults) {
        const auto found = bad(each.text);
        ASSERT_FALSE(found.empty()) << each.text;
        EXPECT_EQ(found.front().code, each.code) << each.text << ": " << found.front().message;
        EXPECT_EQ(found.front().where, each.where) << each.text << ": " << found.front().message;
        EXPECT_NE(found.front().message.find(each.says), std::string::npos)
            << each.text << ": " << found.front().message;
    }
}

TEST(LawItem15, EveryFaultIsToldAndNotOnlyTheFirst) {
    const auto faults = bad("XD-V DCT XANDOVEL DTY18020 N0110");
    ASSERT_EQ(faults.size(), 4U);
    EXPECT_EQ(faults[3].where, "ROUTE:1:28");
}

TEST(LawItem15, ARouteTooLongForAFormIsRefused) {
    std::string words = "XKE";
    for (int i = 0; i < 150; ++i) {
        words += " DCT XKE";
    }
    EXPECT_EQ(bad(words).front().code, "route.too_long");
    EXPECT_EQ(bad(std::string(5000, 'X')).front().code, "route.too_long");
}

RC_GTEST_PROP(LawItem15, WhatIsPrintedIsReadAsTheSameRoute, ()) {
    const auto letters = [](int least, int most) {
        return *rc::gen::resize(100, rc::gen::mapcat(rc::gen::inRange(least, most + 1), [](int size) {
                                    return rc::gen::container<std::string>(
                                        static_cast<std::size_t>(size),
                                        rc::gen::inRange('A', static_cast<char>('Z' + 1)));
                                }));
    };
    const auto point = [&]() -> std::string {
        switch (*rc::gen::inRange(0, 4)) {
            case 0:
                return fmt::format("{:02}{}{:03}{}", *rc::gen::inRange(1, 91), *rc::gen::element('N', 'S'),
                                   *rc::gen::inRange(1, 180), *rc::gen::element('E', 'W'));
            case 1:
                return fmt::format("{:02}{:02}{}{:03}{:02}{}", *rc::gen::inRange(1, 90),
                                   *rc::gen::inRange(1, 60), *rc::gen::element('N', 'S'),
                                   *rc::gen::inRange(1, 179), *rc::gen::inRange(0, 60),
                                   *rc::gen::element('E', 'W'));
            case 2:
                return fmt::format("{}{:03}{:03}", letters(2, 5), *rc::gen::inRange(1, 361),
                                   *rc::gen::inRange(1, 1000));
            default:
                return letters(2, 5);
        }
    };
    // 250 kt are 463 km/h, and 12,500 ft are 3,810 m: of two ways to say the same only one is printed.
    const auto speed_level = [&]() -> std::string {
        const int figure = *rc::gen::inRange(1, 999);
        const int level = *rc::gen::inRange(1, 999);
        const std::string speed =
            *rc::gen::element(fmt::format("N{:04}", figure), fmt::format("M{:03}", figure),
                              fmt::format("K{:04}", figure == 463 || figure == 926 ? figure + 1 : figure));
        const int metres = level % 381 == 0 ? level + 1 : level;
        return speed + *rc::gen::element(fmt::format("F{:03}", level), fmt::format("A{:03}", level),
                                         fmt::format("S{:04}", metres), fmt::format("M{:04}", metres),
                                         std::string("VFR"));
    };
    std::string text = *rc::gen::arbitrary<bool>() ? "" : speed_level() + " ";
    text += point();
    for (int i = 0, entries = *rc::gen::inRange(0, 8); i < entries; ++i) {
        text += *rc::gen::arbitrary<bool>() ? " " + letters(1, 2) + std::to_string(*rc::gen::inRange(1, 1000))
                                            : std::string(" DCT");
        text += " " + point();
        text += *rc::gen::inRange(0, 4) == 0 ? "/" + speed_level() : "";
        text += *rc::gen::inRange(0, 6) == 0 ? " VFR" : "";
    }
    const auto read = read_item15(text, "ROUTE");
    // A name of letters may happen to be a word of the form.
    RC_PRE(text.find("DCT") == std::string::npos || read.has_value());
    RC_ASSERT(read.has_value());
    RC_ASSERT(flight::to_text(*read) == text);
    RC_ASSERT(*read_item15(flight::to_text(*read), "ROUTE") == *read);
}

// Files of tests/broken that a reader of routes refuses, with what it says of each (route-expected.txt).
TEST(LawItem15, BrokenFilesAreRefusedWithEveryFaultAtItsPlace) {
    std::ifstream expected("tests/broken/route-expected.txt");
    ASSERT_TRUE(expected);
    std::map<std::string, std::vector<std::string>> faults;
    for (std::string line; std::getline(expected, line);) {
        std::istringstream words(line);
        std::string file;
        std::string fault;
        if (words >> file >> fault && file.front() != '#') {
            faults[file].push_back(fault);
        }
    }
    EXPECT_GE(faults.size(), 8U);
    for (const auto& [file, all] : faults) {
        std::ifstream stream("tests/broken/" + file, std::ios::binary);
        ASSERT_TRUE(stream) << file;
        const std::string text{std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>()};
        const auto read = read_item15(text, file);
        ASSERT_FALSE(read) << file;
        std::vector<std::string> found;
        for (const base::Error& error : read.error()) {
            found.push_back(error.code + "@" + error.where.substr(file.size() + 1));
        }
        EXPECT_EQ(found, all) << file;
    }
}

TEST(LawMutation, ASpoiledRouteIsReadOrRefusedWithCodesAndPlaces) {
    const std::vector<std::string> good_routes = {
        "XDOV N0110A080 DCT XDV V14 XKE DCT XHU DCT XODEL V12 XOBAN XMRA",
        "GELKI UP600 GOW/N0473F360 UN615 STN UN601 AKIVO UP60 ATSIX/M081F360 DCT 62N020W",
        "LN VFR DCT DUB180040/N0350M0840 IFR DCT 4620N07805W 46N078W/K0830S1130 B1 HADDY"};
    const std::string telling = " 0123456789NSEWAFMKVR/DCT\n\t-\x80\xff\x01";
    std::mt19937_64 random(20261126);
    const auto below = [&](std::size_t n) { return n == 0 ? 0 : random() % n; };
    std::size_t read_all_the_same = 0;
    std::map<std::string, int> codes;
    constexpr std::size_t routes = 20000;
    for (std::size_t i = 0; i < routes && !::testing::Test::HasFailure(); ++i) {
        std::string text = good_routes[i % good_routes.size()];
        for (std::size_t change = 0, changes = 1 + below(4); change < changes && !text.empty(); ++change) {
            const std::size_t at = below(text.size());
            switch (below(4)) {
                case 0:
                    text[at] = telling[below(telling.size())];
                    break;
                case 1:
                    text.insert(at, 1, telling[below(telling.size())]);
                    break;
                case 2:
                    text.erase(at, 1 + below(6));
                    break;
                default:
                    std::swap(text[at], text[below(text.size())]);
            }
        }
        SCOPED_TRACE(text);
        const auto read = read_item15(text, "ROUTE");
        if (read) {
            ++read_all_the_same;
            EXPECT_TRUE(read_item15(flight::to_text(*read), "ROUTE"));
            continue;
        }
        EXPECT_FALSE(read.error().empty());
        for (const base::Error& error : read.error()) {
            EXPECT_TRUE(error.code.starts_with("route.") && !error.message.empty() &&
                        error.where.starts_with("ROUTE:"))
                << base::to_text(error);
            ++codes[error.code];
        }
    }
    std::printf("item 15: %zu spoiled routes, %zu read all the same; %zu codes\n", routes, read_all_the_same,
                codes.size());
    EXPECT_GE(codes.size(), 6U);
    EXPECT_GT(read_all_the_same, 100U);
}

}  // namespace omniway::readers
