// Holds the invented country to the rules of the trade. Everything is read back from the columns of the written rows and from
// the written terrain, with GeographicLib's geodesics as the yardstick; of the generator only the text is used.

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <fstream>
#include <map>
#include <optional>
#include <set>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include <gtest/gtest.h>

#include <fmt/format.h>
#include <GeographicLib/Geodesic.hpp>
#include <GeographicLib/MagneticModel.hpp>

#include "country.hpp"
#include "records.hpp"
#include "written_terrain.hpp"

namespace omniway::demo_region {

namespace {

constexpr double feet_per_mile = 1852.0 / 0.3048;

struct At {
    double latitude = 0.0;
    double longitude = 0.0;
};

struct Span {
    double leaving = 0.0;
    double arriving = 0.0;
    double miles = 0.0;
};

Span measured(At from, At to) {
    Span span;
    double metres = 0.0;
    GeographicLib::Geodesic::WGS84().Inverse(from.latitude, from.longitude, to.latitude, to.longitude, metres,
                                             span.leaving, span.arriving);
    span.miles = metres / 1852.0;
    return span;
}

At gone(At from, double azimuth, double miles) {
    At to;
    GeographicLib::Geodesic::WGS84().Direct(from.latitude, from.longitude, azimuth, miles * 1852.0,
                                            to.latitude, to.longitude);
    return to;
}

double turned(double a, double b) {
    return std::abs(std::remainder(a - b, 360.0));
}

/// One written row, by its columns.
struct Line132 {
    std::string text;

    std::string columns(std::size_t first, std::size_t last) const {
        return text.substr(first - 1, last - first + 1);
    }
    std::string word(std::size_t first, std::size_t last) const {
        std::string found = columns(first, last);
        found.erase(found.find_last_not_of(' ') + 1);
        found.erase(0, std::min(found.find_first_not_of(' '), found.size()));
        return found;
    }
    bool blank(std::size_t first, std::size_t last) const { return word(first, last).empty(); }
    double number(std::size_t first, std::size_t last) const { return std::stod(columns(first, last)); }
    double east(std::size_t first) const {
        return (text[first - 1] == 'W' ? -1.0 : 1.0) * number(first + 1, first + 4) / 10.0;
    }
    At place(std::size_t first) const {
        const auto angle = [&](std::size_t from, std::size_t degree_digits) {
            const double degrees = number(from + 1, from + degree_digits);
            const double minutes = number(from + degree_digits + 1, from + degree_digits + 2);
            const double seconds = number(from + degree_digits + 3, from + degree_digits + 6) / 100.0;
            const double value = degrees + minutes / 60.0 + seconds / 3600.0;
            const char letter = text[from - 1];
            return letter == 'S' || letter == 'W' ? -value : value;
        };
        return {angle(first, 2), angle(first + 9, 3)};
    }

    std::string section() const {
        const std::string two = columns(5, 6);
        return two == "P " ? std::string("P") + text[12] : two;
    }
};

/// Anything a leg may name, as its own record gives it.
struct Named {
    At place;
    double declination = 0.0;
    std::optional<double> localizer_course;
};

struct Book {
    std::vector<Line132> all;
    std::map<std::string, std::vector<Line132>> by_section;
    std::map<std::string, Named> named;  // section + airport of terminal points + ident

    static std::string key(const std::string& section, const std::string& airport, const std::string& ident) {
        const bool terminal = section == "PC" || section == "PN" || section == "PI" || section == "PG";
        return section + "/" + (terminal ? airport : std::string()) + "/" + ident;
    }

    explicit Book(const std::string& text) {
        std::istringstream stream(text);
        for (std::string line; std::getline(stream, line);) {
            all.push_back({line});
            if (line.substr(0, 3) != "HDR") {
                by_section[all.back().section()].push_back(all.back());
            }
        }
        for (const Line132& row : rows("D ")) {
            if (!row.blank(28, 28) || row.columns(29, 29) != "I") {
                const bool vor = row.columns(28, 28) == "V";
                named[key("D ", "", row.word(14, 17))] = {row.place(vor ? 33 : 56), row.east(75), {}};
            }
        }
        for (const std::string section : {"DB", "PN", "EA", "PC"}) {
            for (const Line132& row : rows(section)) {
                named[key(section, row.word(7, 10), row.word(14, 18))] = {row.place(33), row.east(75), {}};
            }
        }
        for (const Line132& row : rows("PI")) {
            named[key("PI", row.word(7, 10), row.word(14, 17))] = {row.place(33), row.east(91),
                                                                   row.number(52, 55) / 10.0};
        }
        for (const Line132& row : rows("PG")) {
            named[key("PG", row.word(7, 10), row.word(14, 18))] = {row.place(33), 0.0, {}};
        }
    }

    const std::vector<Line132>& rows(const std::string& section) const {
        static const std::vector<Line132> none;
        const auto found = by_section.find(section);
        return found == by_section.end() ? none : found->second;
    }

    const Named* find(const std::string& section, const std::string& airport,
                      const std::string& ident) const {
        const auto found = named.find(key(section, airport, ident));
        return found == named.end() ? nullptr : &found->second;
    }
    const Named* fix_of(const Line132& leg) const {
        return find(leg.columns(37, 38), leg.word(7, 10), leg.word(30, 34));
    }
    const Named* navaid_of(const Line132& leg) const {
        return find(leg.columns(79, 80), leg.word(7, 10), leg.word(51, 54));
    }

    /// The place of a leg's fix, from its record or from theta and rho.
    std::optional<At> place_of(const Line132& leg) const {
        if (leg.blank(30, 34)) {
            return std::nullopt;
        }
        if (const Named* fix = fix_of(leg)) {
            return fix->place;
        }
        const Named* navaid = navaid_of(leg);
        if (navaid == nullptr) {
            return std::nullopt;
        }
        return gone(navaid->place, leg.number(63, 66) / 10.0 + navaid->declination,
                    leg.number(67, 70) / 10.0);
    }

    /// Legs of an approach by airport and ident, then by route type and transition.
    using Branches = std::map<std::string, std::vector<Line132>>;
    std::map<std::string, Branches> approaches() const { return procedures("PF"); }
    /// Of one section: departures PD, arrivals PE, approaches PF.
    std::map<std::string, Branches> procedures(const std::string& section) const {
        std::map<std::string, Branches> found;
        for (const Line132& row : rows(section)) {
            found[row.columns(7, 10) + " " + row.word(14, 19)][row.word(20, 25)].push_back(row);
        }
        return found;
    }
    std::map<std::string, std::vector<Line132>> airways() const {
        std::map<std::string, std::vector<Line132>> found;
        for (const Line132& row : rows("ER")) {
            found[row.word(14, 18)].push_back(row);
        }
        return found;
    }
};

const std::string& country_text() {
    static const std::string text = region_text(country_records(), 0);
    return text;
}

const Book& country() {
    static const Book book(country_text());
    return book;
}

/// By its route type or by its letter (ICAO Annex 11 appendix 1, trade-facts 9.2).
bool by_area_navigation(const std::vector<Line132>& airway) {
    const char letter = airway.front().columns(14, 14)[0];
    return airway.front().columns(45, 45) == "R" || std::string("LMNPQTYZ").find(letter) != std::string::npos;
}

bool published(const Line132& row, std::size_t first) {
    return !row.blank(first, first + 4) && row.columns(first, first + 4) != "UNKNN";
}

bool own_part(const std::string& branch) {
    return branch.size() == 1;  // route type alone, no transition
}

std::string description(const Line132& leg) {
    return leg.columns(40, 43);
}

constexpr double feet_per_metre = 1.0 / 0.3048;

const WrittenTerrain& terrain() {
    static const WrittenTerrain written = WrittenTerrain::from_file(DEMO_TERRAIN);
    return written;
}

double ground_ft(At at) {
    const double metres = terrain().height_m(at.latitude, at.longitude);
    EXPECT_FALSE(std::isnan(metres)) << at.latitude << ' ' << at.longitude;
    return metres * feet_per_metre;
}

/// The highest ground within a distance of a point, of every node there.
double ground_about(At middle, double miles) {
    return terrain().highest_m(middle.latitude, middle.longitude, miles) * feet_per_metre;
}

/// The highest node of a cell of one degree, its edges included; what the terrain does not reach is sea.
double highest_of_cell_ft(int south_deg, int west_deg) {
    const auto in_nodes = [](double degrees) {
        return static_cast<int>(std::lround(degrees / terrain().step_deg()));
    };
    const int north_row = in_nodes(terrain().north_deg() - (south_deg + 1));
    const int west_column = in_nodes(west_deg - terrain().west_deg());
    const int degree = in_nodes(1.0);
    double highest = 0.0;
    for (int row = std::max(north_row, 0); row <= std::min(north_row + degree, terrain().rows() - 1); ++row) {
        for (int column = std::max(west_column, 0);
             column <= std::min(west_column + degree, terrain().columns() - 1); ++column) {
            highest = std::max(highest, static_cast<double>(terrain().at(row, column)));
        }
    }
    return highest * feet_per_metre;
}

/// Along a line: circles so close that what lies between them is less than a tenth of a mile of its edge.
double ground_along(At from, At to, double aside) {
    const Span span = measured(from, to);
    double highest = ground_about(to, aside);
    for (double along = 0.0; along <= span.miles; along += 1.0) {
        highest = std::max(highest, ground_about(gone(from, span.leaving, along), aside));
    }
    return highest;
}

}  // namespace

// Trade-facts 13: 132 ASCII characters a record.
TEST(TruthDemoRegion, EveryRowHas132PrintableColumns) {
    for (const Line132& row : country().all) {
        EXPECT_EQ(row.text.size(), 132U) << row.text;
        EXPECT_TRUE(std::all_of(row.text.begin(), row.text.end(), [](char c) {
            return c >= ' ' && c <= '~';
        })) << row.text;
    }
}

// Trade-facts 13.0 and 13: the header tells how many records follow; each is numbered in columns 124-128.
TEST(TruthDemoRegion, TheHeaderCountsTheRecordsThatFollow) {
    long next = 0;
    for (const Line132& row : country().all) {
        if (row.text.substr(0, 3) != "HDR") {
            EXPECT_EQ(static_cast<long>(row.number(124, 128)), ++next) << row.text;
            EXPECT_EQ(row.columns(129, 132), "2612") << row.text;
        }
    }
    EXPECT_EQ(static_cast<long>(country().all.front().number(29, 35)), next);
}

TEST(LawDemoRegion, TheSameBytesAreWrittenEachTime) {
    EXPECT_EQ(region_text(country_records(), 0), country_text());
}

TEST(LawDemoRegion, EveryIdentBeginsWithXAndStandsOnceInItsKind) {
    std::map<std::string, std::set<std::string>> seen;
    const auto look = [&](const std::string& kind, const std::string& ident, const std::string& begin,
                          std::size_t length) {
        EXPECT_EQ(ident.substr(0, begin.size()), begin) << kind;
        EXPECT_EQ(ident.size(), length) << kind << ' ' << ident;
        EXPECT_TRUE(seen[kind].insert(ident).second) << kind << ' ' << ident << " stands twice";
    };
    for (const Line132& row : country().rows("D ")) {
        const bool of_localizer = row.columns(29, 29) == "I";
        look(of_localizer ? "DME of a localizer" : "VHF", row.word(14, 17), of_localizer ? "IX" : "X",
             of_localizer ? 4 : 3);
    }
    for (const Line132& row : country().rows("PI")) {
        look("localizer", row.word(14, 17), "IX", 4);
    }
    for (const Line132& row : country().rows("DB")) {
        look("NDB", row.word(14, 17), "X", 3);
    }
    for (const Line132& row : country().rows("PN")) {
        look("NDB", row.word(14, 17), "X", 2);
    }
    for (const std::string section : {"EA", "PC"}) {
        for (const Line132& row : country().rows(section)) {
            look("fix", row.word(14, 18), "X", 5);
        }
    }
    for (const Line132& row : country().rows("PA")) {
        look("airport", row.word(7, 10), "X", 4);
    }
    // Trap: one ident on a VOR and on a beacon.
    std::set<std::string> both;
    for (const std::string& ident : seen["NDB"]) {
        if (seen["VHF"].contains(ident)) {
            both.insert(ident);
        }
    }
    EXPECT_EQ(both, (std::set<std::string>{"XUR"}));
    EXPECT_GT(measured(country().find("D ", "", "XUR")->place, country().find("DB", "", "XUR")->place).miles,
              1.0);
}

TEST(LawDemoRegion, TheCountryHasWhatWasAskedFor) {
    EXPECT_EQ(country().rows("PA").size(), 15U);
    std::map<std::string, int> kinds;
    std::map<char, int> ranges;
    int en_route = 0;
    for (const Line132& row : country().rows("D ")) {
        ++kinds[row.columns(28, 29)];
        if (row.columns(29, 29) != "I") {
            ++en_route;
            ++ranges[row.columns(30, 30)[0]];
        }
    }
    EXPECT_EQ(en_route, 30);
    EXPECT_EQ(kinds["VT"], 9) << "VORTAC";
    EXPECT_EQ(kinds["VD"], 6) << "VOR/DME";
    EXPECT_EQ(kinds["V "], 9) << "VOR alone";
    EXPECT_EQ(kinds[" D"], 5) << "DME alone";
    EXPECT_EQ(kinds[" T"], 1) << "TACAN";
    EXPECT_EQ(kinds[" I"], 7) << "DME of a localizer";
    EXPECT_EQ(ranges, (std::map<char, int>{{'T', 4}, {'L', 14}, {'H', 12}}));
    // Beacons by power (trade-facts 13.5): HH, H, MH, compass locators.
    std::map<std::string, int> powers;
    for (const std::string section : {"DB", "PN"}) {
        for (const Line132& row : country().rows(section)) {
            ++powers[row.columns(30, 30)];
        }
    }
    EXPECT_EQ(powers, (std::map<std::string, int>{{"H", 2}, {" ", 3}, {"M", 1}, {"L", 3}}));
    std::map<std::string, int> categories;
    for (const Line132& row : country().rows("PI")) {
        ++categories[row.columns(18, 18)];
    }
    EXPECT_EQ(categories, (std::map<std::string, int>{{"0", 2}, {"1", 6}, {"A", 1}, {"L", 1}}));
    EXPECT_GE(country().rows("EA").size() + country().rows("PC").size(), 160U);
    std::map<std::string, int> routes;
    for (const auto& [designator, rows] : country().airways()) {
        ++routes[by_area_navigation(rows) ? "RNAV" : rows.front().columns(46, 46)];
    }
    EXPECT_GE(routes["L"], 24);
    EXPECT_GE(routes["H"], 6);
    EXPECT_EQ(routes["RNAV"], 8);
    std::set<std::string> types;
    std::set<std::string> terminators;
    std::map<std::string, std::size_t> procedures;
    for (const std::string section : {"PD", "PE", "PF"}) {
        procedures[section] = country().procedures(section).size();
        for (const Line132& row : country().rows(section)) {
            types.insert(section.substr(1) + row.columns(20, 20));
            terminators.insert(row.columns(48, 49));
        }
    }
    EXPECT_EQ(procedures, (std::map<std::string, std::size_t>{{"PD", 19}, {"PE", 16}, {"PF", 33}}));
    EXPECT_EQ(types, (std::set<std::string>{"D1", "D3", "D4", "D6", "DT", "E1", "E2", "E4", "E5", "FA",
                                            "FB", "FD", "FI", "FL", "FN", "FQ", "FR", "FS", "FV", "FX"}));
    // All 23 of trade-facts 11.1.
    EXPECT_EQ(terminators,
              (std::set<std::string>{"AF", "CA", "CD", "CF", "CI", "CR", "DF", "FA", "FC", "FD", "FM", "HA",
                                     "HF", "HM", "IF", "PI", "RF", "TF", "VA", "VD", "VI", "VM", "VR"}));
}

TEST(LawDemoRegion, EverythingLiesInEmptyOceanBetween38And43North165And173West) {
    for (const auto& [key, point] : country().named) {
        EXPECT_GE(point.place.latitude, 38.0) << key;
        EXPECT_LE(point.place.latitude, 43.0) << key;
        EXPECT_GE(point.place.longitude, -173.0) << key;
        EXPECT_LE(point.place.longitude, -165.0) << key;
    }
}

TEST(LawDemoRegion, AirportsStand20To310MilesApart) {
    const std::vector<Line132>& airports = country().rows("PA");
    double farthest = 0.0;
    for (std::size_t i = 0; i < airports.size(); ++i) {
        for (std::size_t j = i + 1; j < airports.size(); ++j) {
            const double miles = measured(airports[i].place(33), airports[j].place(33)).miles;
            EXPECT_GE(miles, 20.0) << airports[i].word(7, 10) << ' ' << airports[j].word(7, 10);
            farthest = std::max(farthest, miles);
        }
    }
    EXPECT_GE(farthest, 280.0);
    EXPECT_LE(farthest, 310.0);
}

// Trade-facts 10.1: VOR 108.00-117.95 in 50 kHz steps, even tenths below 112; NDB 190-535 kHz.
TEST(TruthDemoRegion, VorAndBeaconFrequenciesAreLegal) {
    for (const Line132& row : country().rows("D ")) {
        const long frequency = std::lround(row.number(23, 27));
        if (row.columns(29, 29) == "I") {
            continue;
        }
        EXPECT_GE(frequency, 10800) << row.text;
        EXPECT_LE(frequency, 11795) << row.text;
        EXPECT_EQ(frequency % 5, 0) << row.text;
        if (frequency < 11200) {
            EXPECT_EQ(frequency / 10 % 2, 0) << row.text;
        }
    }
    for (const std::string section : {"DB", "PN"}) {
        for (const Line132& row : country().rows(section)) {
            EXPECT_GE(row.number(23, 27), 1900) << row.text;
            EXPECT_LE(row.number(23, 27), 5350) << row.text;
        }
    }
}

// Trade-facts 10.2: the forty localizer channels, each paired with a glideslope (units of 0.01 MHz).
TEST(TruthDemoRegion, LocalizersHaveOneOfTheFortyChannels) {
    constexpr std::array channels = {10810, 10815, 10830, 10835, 10850, 10855, 10870, 10875, 10890, 10895,
                                     10910, 10915, 10930, 10935, 10950, 10955, 10970, 10975, 10990, 10995,
                                     11010, 11015, 11030, 11035, 11050, 11055, 11070, 11075, 11090, 11095,
                                     11110, 11115, 11130, 11135, 11150, 11155, 11170, 11175, 11190, 11195};
    for (const Line132& row : country().rows("PI")) {
        EXPECT_NE(std::find(channels.begin(), channels.end(), std::lround(row.number(23, 27))),
                  channels.end())
            << row.text;
    }
}

// ICAO Annex 10 keeps co-channel VORs some 150 to 500 NM apart [memory]; the demo region asks for 150.
TEST(LawDemoRegion, NoTwoAidsShareAFrequencyWithin150MilesButAtOppositeEndsOfARunway) {
    struct Aid {
        std::string ident;
        long frequency;
        At place;
    };
    std::vector<Aid> aids;
    for (const Line132& row : country().rows("D ")) {
        if (row.columns(29, 29) != "I") {
            aids.push_back({row.word(14, 17), std::lround(row.number(23, 27)),
                            row.place(row.columns(28, 28) == "V" ? 33 : 56)});
        }
    }
    for (const Line132& row : country().rows("PI")) {
        aids.push_back({row.word(14, 17), std::lround(row.number(23, 27)), row.place(33)});
    }
    for (const std::string section : {"DB", "PN"}) {
        for (const Line132& row : country().rows(section)) {
            aids.push_back({row.word(14, 17), std::lround(row.number(23, 27)), row.place(33)});
        }
    }
    std::set<std::string> shared;
    for (std::size_t i = 0; i < aids.size(); ++i) {
        for (std::size_t j = i + 1; j < aids.size(); ++j) {
            if (aids[i].frequency == aids[j].frequency) {
                shared.insert(aids[i].ident + " " + aids[j].ident);
                const bool opposite_ends = aids[i].ident == "IXIC" && aids[j].ident == "IXIE";
                EXPECT_TRUE(opposite_ends || measured(aids[i].place, aids[j].place).miles >= 150.0)
                    << aids[i].ident << ' ' << aids[j].ident;
            }
        }
    }
    // Traps: two VORs in one country on one frequency, and two localizers at opposite ends of one runway.
    EXPECT_EQ(shared, (std::set<std::string>{"IXIC IXIE", "XUR XOB"}));
    const auto approach_end = [](const std::string& ident) {
        for (const Line132& row : country().rows("PI")) {
            if (row.word(14, 17) == ident) {
                return row.word(7, 10) + "/" + row.word(28, 32);
            }
        }
        return std::string();
    };
    EXPECT_EQ(approach_end("IXIC"), "XICO/RW09");
    EXPECT_EQ(approach_end("IXIE"), "XICO/RW27");
}

// Trade-facts 13.3 with its worked check: length from threshold to threshold, bearing true less the airport's variation.
TEST(TruthDemoRegion, RunwaysMeasureWhatTheirRowsSay) {
    std::map<std::string, double> variation;
    for (const Line132& row : country().rows("PA")) {
        variation[row.word(7, 10)] = row.east(52);
    }
    const auto number_of = [](const Line132& row) { return static_cast<int>(row.number(16, 17)); };
    for (const Line132& row : country().rows("PG")) {
        bool opposite = false;
        for (const Line132& other : country().rows("PG")) {
            if (other.word(7, 10) == row.word(7, 10) && std::abs(number_of(other) - number_of(row)) == 18) {
                opposite = true;
                const Span span = measured(row.place(33), other.place(33));
                EXPECT_NEAR(span.miles * feet_per_mile, row.number(23, 27), 3.0) << row.text;
                EXPECT_LE(turned(span.leaving - variation[row.word(7, 10)], row.number(28, 31) / 10.0), 0.06)
                    << row.text;
            }
        }
        EXPECT_TRUE(opposite) << row.text;
        EXPECT_LE(turned(number_of(row) * 10.0, row.number(28, 31) / 10.0), 5.0) << row.text;
    }
}

namespace {

/// The line of an offset localizer meets the extended centreline between 0.4 and 1 mile before the threshold; there both are
/// within 100 ft of each other.
void expect_crossing_before_the_threshold(const Line132& end, const Line132& localizer) {
    const double along = end.number(28, 31) / 10.0 + localizer.east(91);
    const double course = localizer.number(52, 55) / 10.0 + localizer.east(91);
    double nearest_feet = 1.0e9;
    for (double out = 0.4; out <= 1.0; out += 0.02) {
        const At here = gone(end.place(33), along + 180.0, out);
        const Span seen = measured(localizer.place(33), here);
        const double beside =
            std::sin((seen.leaving - course - 180.0) * std::acos(-1.0) / 180.0) * seen.miles;
        nearest_feet = std::min(nearest_feet, std::abs(beside) * feet_per_mile);
    }
    EXPECT_LE(nearest_feet, 100.0) << localizer.text;
}

}  // namespace

// Trade-facts 13.10 with its worked check, and 1.3: course width 700 ft at the threshold, 3 to 6 degrees; the glideslope mast
// 750-1,250 ft from the approach end and 250-650 ft off the centreline.
TEST(TruthDemoRegion, LocalizersStandOnTheirCentrelinesOrAreOffset) {
    std::map<std::string, double> turned_off;
    for (const Line132& row : country().rows("PI")) {
        const std::string runway = row.word(28, 32);
        const auto end =
            std::find_if(country().rows("PG").begin(), country().rows("PG").end(), [&](const Line132& pg) {
                return pg.word(7, 10) == row.word(7, 10) && pg.word(14, 18) == runway;
            });
        ASSERT_NE(end, country().rows("PG").end()) << row.text;
        EXPECT_EQ(end->word(82, 85), row.word(14, 17));
        EXPECT_EQ(end->columns(86, 86), row.columns(18, 18));
        const Span span = measured(end->place(33), row.place(33));
        const double runway_deg = end->number(28, 31) / 10.0;
        const double off_deg = turned(row.number(52, 55) / 10.0, runway_deg);
        if (off_deg == 0.0) {
            EXPECT_NEAR(span.miles * feet_per_mile, end->number(23, 27) + row.number(75, 78), 3.0)
                << row.text;
            EXPECT_LE(turned(span.leaving - row.east(91), row.number(52, 55) / 10.0), 0.06) << row.text;
        } else {
            turned_off[row.word(14, 17)] = off_deg;
            expect_crossing_before_the_threshold(*end, row);
        }
        const double width =
            std::min(2.0 * std::atan(350.0 / (span.miles * feet_per_mile)) * 180.0 / std::acos(-1.0), 6.0);
        EXPECT_NEAR(row.number(84, 87) / 100.0, width, 0.01) << row.text;
        EXPECT_GE(row.number(84, 87), 300) << row.text;
        EXPECT_LE(row.number(84, 87), 600) << row.text;
        const bool glideslope = row.columns(18, 18) != "0" && row.columns(18, 18) != "A";
        EXPECT_EQ(glideslope, !row.blank(56, 74)) << row.text;
        EXPECT_EQ(glideslope, !row.blank(88, 90)) << row.text;
        if (glideslope) {
            const Span mast = measured(end->place(33), row.place(56));
            const double off = turned(mast.leaving - row.east(91), runway_deg) * std::acos(-1.0) / 180.0;
            const double feet = mast.miles * feet_per_mile;
            EXPECT_NEAR(feet * std::cos(off), row.number(80, 83), 3.0) << row.text;
            EXPECT_GE(feet * std::sin(off), 250.0) << row.text;
            EXPECT_LE(feet * std::sin(off), 650.0) << row.text;
            EXPECT_EQ(row.number(88, 90), 300) << row.text;
        }
    }
    // Traps: an offset localizer, at most 3 degrees; LDAs, more than 3 and at most 30 (AIM 1-1-9 c).
    ASSERT_EQ(turned_off.size(), 3U);
    EXPECT_NEAR(turned_off.at("IXAL"), 2.5, 0.1);
    EXPECT_NEAR(turned_off.at("IXUR"), 6.0, 0.1);
    EXPECT_NEAR(turned_off.at("IXOR"), 12.0, 0.1);
}

// ICAO Annex 10 Vol. I, 3.1.7.6 (from memory): the outer marker 3.9 NM before the threshold, at the least 2 and at the most 6, the middle one
// 1,050 +-150 m, both within 75 m of the line that is flown, here the localizer's course; the minor axis of a fan lies along it (ARINC 424 5.100).
TEST(TruthDemoRegion, MarkersStandBeforeEachGlidePathWhereAnnex10PutsThem) {
    std::map<std::string, std::vector<Line132>> markers;
    for (const Line132& row : country().rows("PM")) {
        markers[row.word(14, 17)].push_back(row);
    }
    std::size_t glide_paths = 0;
    std::size_t with_locator = 0;
    for (const Line132& localizer : country().rows("PI")) {
        const std::vector<Line132>& its = markers[localizer.word(14, 17)];
        if (localizer.blank(88, 90)) {
            EXPECT_TRUE(its.empty()) << localizer.text;
            continue;
        }
        ++glide_paths;
        ASSERT_EQ(its.size(), 2U) << localizer.text;
        const Named* threshold = country().find("PG", localizer.word(7, 10), localizer.word(28, 32));
        ASSERT_NE(threshold, nullptr);
        const double course = localizer.number(52, 55) / 10.0 + localizer.east(91);
        for (const Line132& marker : its) {
            const bool outer = marker.columns(19, 20) == "OM";
            EXPECT_EQ(outer ? "OM" : "MM", marker.columns(19, 20));
            const double miles = measured(threshold->place, marker.place(33)).miles;
            EXPECT_NEAR(miles, outer ? 4.0 : 1050.0 / 1852.0, outer ? 2.0 : 150.0 / 1852.0) << marker.text;
            const Span from_antenna = measured(localizer.place(33), marker.place(33));
            const double aside_deg = turned(from_antenna.leaving, course + 180.0);
            const double aside_m = from_antenna.miles * 1852.0 * aside_deg * std::acos(-1.0) / 180.0;
            EXPECT_NEAR(aside_m, 0.0, 75.0) << marker.text;
            EXPECT_NEAR(turned(marker.number(52, 55) / 10.0, course), 0.0, 0.11) << marker.text;
            if (marker.columns(18, 18) == "L") {
                ++with_locator;
                const Named* locator = country().find("PN", marker.word(7, 10), marker.word(85, 88));
                ASSERT_NE(locator, nullptr) << marker.text;
                EXPECT_LT(measured(locator->place, marker.place(33)).miles, 0.01);
            }
        }
    }
    EXPECT_EQ(glide_paths, 7U);
    EXPECT_EQ(country().rows("PM").size(), 14U);
    EXPECT_EQ(with_locator, 2U);
}

// Trade-facts 13.4 and 13.7: the DME of a localizer has its frequency and stands with it.
TEST(TruthDemoRegion, ADmeOfALocalizerHasItsFrequency) {
    for (const Line132& dme : country().rows("D ")) {
        if (dme.columns(29, 29) != "I") {
            continue;
        }
        bool found = false;
        for (const Line132& row : country().rows("PI")) {
            if (row.word(14, 17) == dme.word(14, 17)) {
                found = true;
                EXPECT_EQ(row.columns(23, 27), dme.columns(23, 27));
                EXPECT_LT(measured(row.place(33), dme.place(56)).miles, 0.1);
            }
        }
        EXPECT_TRUE(found) << dme.text;
    }
}

// The figures of an airway by trade-facts 13.7 and the proof of 15: distance along the geodesic; leaving a station by its own
// declination, arriving at one by its own.
TEST(TruthDemoRegion, AirwayLegsAgreeWithTheGeodesic) {
    for (const auto& [designator, rows] : country().airways()) {
        ASSERT_GE(rows.size(), 2U);
        for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
            const Named* from = country().fix_of(rows[i]);
            const Named* to = country().fix_of(rows[i + 1]);
            ASSERT_NE(from, nullptr) << rows[i].text;
            ASSERT_NE(to, nullptr) << rows[i + 1].text;
            const Span span = measured(from->place, to->place);
            EXPECT_NEAR(span.miles, rows[i].number(75, 78) / 10.0, 0.0501) << rows[i].text;
            // A fix has the variation of the day; the radial through it is its station's, up to 3 degrees off.
            const bool from_station = rows[i].columns(40, 40) != "E";
            const bool to_station = rows[i + 1].columns(40, 40) != "E";
            EXPECT_LE(turned(span.leaving - from->declination, rows[i].number(71, 74) / 10.0),
                      from_station ? 0.051 : 3.0)
                << rows[i].text;
            EXPECT_LE(turned(span.arriving - to->declination, rows[i + 1].number(79, 82) / 10.0),
                      to_station ? 0.051 : 3.0)
                << rows[i + 1].text;
            EXPECT_TRUE(!published(rows[i], 84) || rows[i].number(84, 88) > 0) << rows[i].text;
            EXPECT_EQ(rows[i].columns(41, 41), " ");
        }
        EXPECT_EQ(rows.back().columns(41, 41), "E") << designator;
        EXPECT_TRUE(rows.back().blank(71, 78)) << designator;
    }
}

// Between fixes the coded courses are radials: with a conventional airway straight between stations each fix lies on the line.
TEST(TruthDemoRegion, FixesOfConventionalAirwaysLieOnTheRadialsOfTheirStations) {
    for (const auto& [designator, rows] : country().airways()) {
        if (by_area_navigation(rows)) {
            continue;
        }
        std::optional<std::size_t> behind;
        for (std::size_t i = 0; i < rows.size(); ++i) {
            if (rows[i].columns(40, 40) == "E") {
                continue;
            }
            if (behind) {
                const Named* a = country().fix_of(rows[*behind]);
                const Named* b = country().fix_of(rows[i]);
                const double line = measured(a->place, b->place).leaving;
                for (std::size_t k = *behind + 1; k < i; ++k) {
                    const At fix = country().fix_of(rows[k])->place;
                    if (designator == "V39") {
                        // The dog-leg: on the radial of the bend instead.
                        const At bend = country().find("EA", "", "XARAT")->place;
                        EXPECT_LE(turned(measured(a->place, fix).leaving, measured(a->place, bend).leaving),
                                  0.05);
                        continue;
                    }
                    EXPECT_LE(turned(measured(a->place, fix).leaving, line), 0.05) << rows[k].text;
                }
            }
            behind = i;
        }
    }
}

// Trade-facts 13.9: theta and rho are from the recommended aid to the fix, in the aid's own degrees.
TEST(TruthDemoRegion, ThetaAndRhoOfEveryLegAgreeWithTheGeodesic) {
    int checked = 0;
    for (const std::string section : {"PD", "PE", "PF"}) {
        for (const Line132& leg : country().rows(section)) {
            if (leg.blank(51, 54)) {
                continue;
            }
            const Named* navaid = country().navaid_of(leg);
            ASSERT_NE(navaid, nullptr) << leg.text;
            if (leg.blank(30, 34)) {
                continue;  // it ends at a radial or a reading, not at a fix
            }
            const std::optional<At> fix = country().place_of(leg);
            ASSERT_TRUE(fix.has_value()) << leg.text;
            const Span span = measured(navaid->place, *fix);
            EXPECT_NEAR(span.miles, leg.number(67, 70) / 10.0, 0.0501) << leg.text;
            if (span.miles > 0.5) {
                EXPECT_LE(turned(span.leaving - navaid->declination, leg.number(63, 66) / 10.0), 0.101)
                    << leg.text;
            }
            ++checked;
        }
    }
    EXPECT_GE(checked, 180);
}

// Trade-facts 13.9: the distance of a leg is that from the fix before; along a radial or localizer the coded course is the line
// flown within the rounding of places and degrees and what the meridians close in over 16 miles, 0.2 degrees at 41 N.
TEST(TruthDemoRegion, CourseAndDistanceOfEveryCourseToFixLegAgreeWithTheGeodesic) {
    int checked = 0;
    for (const std::string section : {"PD", "PE", "PF"}) {
        for (const auto& [procedure, branches] : country().procedures(section)) {
            for (const auto& [name, legs] : branches) {
                for (std::size_t i = 1; i < legs.size(); ++i) {
                    const std::optional<At> before = country().place_of(legs[i - 1]);
                    if (legs[i].columns(48, 49) != "CF" || !before || legs[i].blank(75, 78)) {
                        continue;
                    }
                    ++checked;
                    const Span span = measured(*before, *country().place_of(legs[i]));
                    EXPECT_NEAR(span.miles, legs[i].number(75, 78) / 10.0, 0.0501) << legs[i].text;
                    // Along longer lines than those of an approach the meridians close in by as much more.
                    const double declination = country().navaid_of(legs[i])->declination;
                    const double from_aid = std::max(legs[i].number(67, 70) / 10.0, span.miles);
                    EXPECT_LE(turned(span.arriving - declination, legs[i].number(71, 74) / 10.0),
                              section == "PF" ? 0.25 : 0.08 + 0.0148 * from_aid)
                        << legs[i].text;
                }
            }
        }
    }
    EXPECT_GE(checked, 90);
}

// A course to a fix that is joined from anywhere is the radial of the navaid out to the fix, or in from it.
TEST(TruthDemoRegion, CoursesOfDeparturesAndArrivalsAreRadials) {
    int checked = 0;
    for (const std::string section : {"PD", "PE"}) {
        for (const Line132& leg : country().rows(section)) {
            if (leg.columns(48, 49) != "CF") {
                continue;
            }
            ++checked;
            const Named* navaid = country().navaid_of(leg);
            const Span span = measured(navaid->place, *country().place_of(leg));
            if (span.miles > 0.5) {
                const double off = turned(span.leaving - navaid->declination, leg.number(71, 74) / 10.0);
                EXPECT_LE(std::min(off, 180.0 - off), 0.06) << leg.text;
            }
        }
    }
    EXPECT_GE(checked, 60);
}

TEST(LawDemoRegion, EveryNamedFixHasARecordButTheTrap) {
    std::set<std::string> without;
    for (const std::string section : {"PD", "PE", "PF", "ER"}) {
        for (const Line132& row : country().rows(section)) {
            if (!row.blank(30, 34) && country().fix_of(row) == nullptr) {
                without.insert(row.word(30, 34));
            }
        }
    }
    EXPECT_EQ(without, (std::set<std::string>{"XIVOK"}));
}

// Trade-facts 13.9 (reading of AF): both ends at the radius. Arcs of 10 to 15 NM: common practice, no source.
TEST(TruthDemoRegion, ArcsJoinTwoPlacesAtOneDistance) {
    int arcs = 0;
    for (const auto& [approach, branches] : country().approaches()) {
        for (const auto& [name, legs] : branches) {
            for (std::size_t i = 1; i < legs.size(); ++i) {
                if (legs[i].columns(48, 49) != "AF") {
                    continue;
                }
                ++arcs;
                const Named* aid = country().navaid_of(legs[i]);
                const Span start = measured(aid->place, *country().place_of(legs[i - 1]));
                const Span end = measured(aid->place, *country().place_of(legs[i]));
                EXPECT_NEAR(start.miles, legs[i].number(67, 70) / 10.0, 0.05) << legs[i].text;
                EXPECT_NEAR(end.miles, legs[i].number(67, 70) / 10.0, 0.05) << legs[i].text;
                EXPECT_GE(end.miles, 10.0);
                EXPECT_LE(end.miles, 15.0);
                EXPECT_LE(turned(start.leaving - aid->declination, legs[i].number(71, 74) / 10.0), 0.06)
                    << legs[i].text;
                // The way round that is coded is the shorter one, and it is not a full half circle.
                const double clockwise = std::remainder(end.leaving - start.leaving, 360.0);
                EXPECT_EQ(clockwise > 0.0 ? "R" : "L", legs[i].columns(44, 44)) << legs[i].text;
                EXPECT_GE(std::abs(clockwise), 15.0) << legs[i].text;
                EXPECT_LE(std::abs(clockwise), 130.0) << legs[i].text;
            }
        }
    }
    EXPECT_GE(arcs, 10);
}

// Trade-facts 13.9 (three independent rows): the course of a PI is the outbound course less or plus 45 degrees, on the side away
// from the coded turn.
TEST(TruthDemoRegion, ProcedureTurnsBeginOnTheSideAwayFromTheirTurn) {
    int found = 0;
    for (const auto& [approach, branches] : country().approaches()) {
        // The final approach course, inbound.
        std::optional<double> inbound;
        for (const auto& [name, legs] : branches) {
            for (const Line132& leg : legs) {
                if (own_part(name) && leg.columns(48, 49) == "CF" && description(leg)[3] == 'M') {
                    inbound = leg.number(71, 74) / 10.0;
                }
            }
        }
        for (const auto& [name, legs] : branches) {
            for (const Line132& leg : legs) {
                if (leg.columns(48, 49) != "PI") {
                    continue;
                }
                ++found;
                ASSERT_TRUE(inbound.has_value()) << leg.text;
                const double side = leg.columns(44, 44) == "R" ? -45.0 : 45.0;
                EXPECT_LE(turned(leg.number(71, 74) / 10.0, *inbound + 180.0 + side), 0.11) << leg.text;
                EXPECT_EQ(leg.number(75, 78), 100) << "within 10 NM";
            }
        }
    }
    EXPECT_GE(found, 8);
}

namespace {

struct Final {
    std::string approach;
    Line132 final_fix;
    Line132 missed_point;
};

std::vector<Final> finals() {
    std::vector<Final> found;
    for (const auto& [approach, branches] : country().approaches()) {
        for (const auto& [name, legs] : branches) {
            if (!own_part(name)) {
                continue;
            }
            Final final{approach, {}, {}};
            for (const Line132& leg : legs) {
                if (description(leg)[3] == 'F') {
                    final.final_fix = leg;
                }
                if (description(leg)[3] == 'M') {
                    final.missed_point = leg;
                }
            }
            found.push_back(final);
        }
    }
    return found;
}

bool circles(const Final& final) {
    return final.missed_point.columns(120, 120) == "C";
}

/// The landing threshold of a straight-in approach.
At threshold(const Final& final) {
    const std::string runway = "RW" + final.approach.substr(6, 2);
    return country().find("PG", final.approach.substr(0, 4), runway)->place;
}

double threshold_elevation(const Final& final) {
    for (const Line132& row : country().rows("PG")) {
        if (row.word(7, 10) == final.approach.substr(0, 4) &&
            row.word(14, 18) == "RW" + final.approach.substr(6, 2)) {
            return row.number(67, 71) + row.number(76, 77);
        }
    }
    return 0.0;
}

}  // namespace

// Trade-facts 11.2: 3 degrees from the threshold crossing height through the final fix; final fixes 4 to 6 NM out are common
// practice, no source. A final of at most 3.77 degrees and at most 10 NM: TERPS [memory].
TEST(TruthDemoRegion, FinalFixesStandFourToSixMilesOutAtAHeightThatFitsThreeDegrees) {
    constexpr double degrees_per_radian = 57.29577951308232;
    for (const Final& final : finals()) {
        ASSERT_FALSE(final.final_fix.text.empty()) << final.approach;
        ASSERT_FALSE(final.missed_point.text.empty()) << final.approach;
        const At fix = *country().place_of(final.final_fix);
        const double altitude = final.final_fix.number(85, 89);
        if (circles(final)) {
            const double miles = measured(fix, *country().place_of(final.missed_point)).miles;
            EXPECT_LE(miles, 10.0) << final.approach;
            EXPECT_LE((altitude - final.missed_point.number(85, 89)) / miles, 400.0)
                << final.approach;  // ft/NM
            continue;
        }
        const double miles = measured(fix, threshold(final)).miles;
        EXPECT_GE(miles, 4.0) << final.approach;
        EXPECT_LE(miles, 6.0) << final.approach;
        const double climb = altitude - threshold_elevation(final);
        const double angle = std::atan(climb / (miles * feet_per_mile)) * degrees_per_radian;
        if (final.approach[5] == 'I') {
            EXPECT_NEAR(climb, miles * feet_per_mile * std::tan(3.0 / degrees_per_radian), 10.0)
                << final.approach;
        } else {
            EXPECT_NEAR(angle, 3.0, 0.1) << final.approach;
        }
    }
}

// Straight-in: final course within 30 degrees of the runway (TERPS [memory]); here localizers have none and VORs at most 4.
TEST(TruthDemoRegion, FinalCoursesMeetTheRunway) {
    for (const Final& final : finals()) {
        if (circles(final)) {
            continue;
        }
        for (const Line132& row : country().rows("PG")) {
            if (row.word(7, 10) != final.approach.substr(0, 4) ||
                row.word(14, 18) != "RW" + final.approach.substr(6, 2)) {
                continue;
            }
            const At end =
                final.approach[5] == 'X' ? *country().place_of(final.missed_point) : threshold(final);
            const double flown = measured(*country().place_of(final.final_fix), end).arriving;
            const double variation =
                final.approach[5] == 'R' ? 0.0 : country().navaid_of(final.missed_point)->declination;
            if (final.approach[5] != 'R') {
                EXPECT_LE(turned(flown - variation, final.missed_point.number(71, 74) / 10.0), 1.0)
                    << final.approach;
            }
            const char type = final.approach[5];
            const bool along_localizer = type == 'I' || type == 'L' || type == 'B';
            const bool offset = final.approach.substr(0, 4) == "XALD" && along_localizer;
            EXPECT_LE(turned(flown - row.number(28, 31) / 10.0, 7.0), type == 'X'       ? 13.1
                                                                      : offset          ? 3.6
                                                                      : along_localizer ? 1.1
                                                                                        : 4.1)
                << final.approach;
        }
        // An LDA ends where it crosses the centreline.
        EXPECT_LE(measured(*country().place_of(final.missed_point), threshold(final)).miles,
                  final.approach[5] == 'X' ? 0.9 : 0.1)
            << final.approach;
    }
}

// Altitudes never rise on the way in.
TEST(LawDemoRegion, MinimumAltitudesFallInSteps) {
    for (const auto& [approach, branches] : country().approaches()) {
        std::vector<double> own;
        for (const auto& [name, legs] : branches) {
            double last = 1.0e6;
            double joined_at = 0.0;
            for (const Line132& leg : legs) {
                if (description(leg)[2] == 'M') {
                    break;  // the missed approach climbs
                }
                if (!leg.blank(85, 89)) {
                    EXPECT_LE(leg.number(85, 89), last) << leg.text;
                    last = leg.number(85, 89);
                    if (own_part(name)) {
                        own.push_back(last);
                    }
                }
                joined_at = last;
            }
            EXPECT_GT(joined_at, 0.0);
        }
        ASSERT_FALSE(own.empty()) << approach;
        for (const auto& [name, legs] : branches) {
            if (!own_part(name)) {
                // A procedure turn or hold over the final fix leads to its altitude, an arc to the first fix's.
                const double goal =
                    legs.back().columns(48, 49) == "PI" ? own.at(own.size() - 2) : own.front();
                EXPECT_GE(legs.back().number(85, 89), goal) << approach << ' ' << name;
            }
        }
    }
}

// Transition rows end where the approach's own part begins, or at the final fix with a procedure turn.
TEST(LawDemoRegion, TransitionsJoinTheApproach) {
    for (const auto& [approach, branches] : country().approaches()) {
        const std::vector<Line132>* own = nullptr;
        for (const auto& [name, legs] : branches) {
            if (own_part(name)) {
                own = &legs;
            }
        }
        ASSERT_NE(own, nullptr) << approach;
        for (const auto& [name, legs] : branches) {
            if (own_part(name)) {
                continue;
            }
            EXPECT_EQ(name[0], 'A') << approach;
            EXPECT_EQ(name.substr(1), legs.front().word(30, 34)) << approach;
            EXPECT_EQ(description(legs.back())[1], 'E') << approach;
            const std::string end = legs.back().word(30, 34);
            const bool at_first = end == own->front().word(30, 34);
            const bool at_final = std::any_of(own->begin(), own->end(), [&](const Line132& leg) {
                return description(leg)[3] == 'F' && leg.word(30, 34) == end;
            });
            EXPECT_TRUE(at_first || (at_final && legs.back().columns(48, 49) == "PI"))
                << approach << ' ' << name;
            EXPECT_EQ(std::count_if(legs.begin(), legs.end(),
                                    [](const Line132& leg) { return description(leg)[3] == 'A'; }),
                      1)
                << approach << ' ' << name << ": one initial approach fix";
        }
        // Sequence numbers ascend; the missed approach is marked once and ends in a hold.
        for (const auto& [name, legs] : branches) {
            for (std::size_t i = 1; i < legs.size(); ++i) {
                EXPECT_GT(legs[i].number(27, 29), legs[i - 1].number(27, 29)) << legs[i].text;
            }
        }
        EXPECT_EQ(std::count_if(own->begin(), own->end(),
                                [](const Line132& leg) { return description(leg)[2] == 'M'; }),
                  1)
            << approach;
        EXPECT_EQ(own->back().columns(48, 49), "HM") << approach;
    }
}

// Altitude descriptions of trade-facts 13.9: J on the intercept fix and H on the final fix of an ILS with the glide path's
// altitude second; + on a localizer.
TEST(TruthDemoRegion, IlsFixesCarryTheGlidePathAltitude) {
    for (const auto& [approach, branches] : country().approaches()) {
        for (const auto& [name, legs] : branches) {
            if (!own_part(name)) {
                continue;
            }
            for (const Line132& leg : legs) {
                const char mark = description(leg)[3];
                if (mark != 'I' && mark != 'F') {
                    continue;
                }
                if (name == "I" || approach == "XURL X27") {
                    EXPECT_EQ(leg.columns(83, 83), mark == 'I' ? "J" : "H") << leg.text;
                    EXPECT_FALSE(leg.blank(90, 94)) << leg.text;
                } else {
                    EXPECT_EQ(leg.columns(83, 83), "+") << leg.text;
                }
            }
        }
    }
}

// The terminal crossing angle of at least 45 degrees (trade-facts 21) at the two fixes that only the localizer and a radial tell.
TEST(TruthDemoRegion, TheFixesOfTheBasinLocalizerAreCrossedAtAWideAngle) {
    const Named* localizer = country().find("PI", "XKEL", "IXKE");
    const Named* vor = country().find("D ", "", "XKE");
    for (const std::string ident : {"XOGRI", "XULAK"}) {
        const At fix = country().find("PC", "XKEL", ident)->place;
        const double one = measured(fix, localizer->place).leaving;
        const double other = measured(fix, vor->place).leaving;
        const double angle = turned(one, other);
        EXPECT_GE(std::min(angle, 180.0 - angle), 45.0) << ident;
    }
}

// Trade-facts 9.3 and 3.3: 1,000 ft above the ground within 4 NM, 2,000 ft in mountains; mountains are more than 3,000 ft of
// change within 10 NM (trade-facts 21, [memory]).
TEST(TruthDemoRegion, MinimumEnRouteAltitudesClearTheGround) {
    for (const auto& [designator, rows] : country().airways()) {
        for (std::size_t i = 0; i + 1 < rows.size(); ++i) {
            if (!published(rows[i], 84)) {
                continue;
            }
            const At from = country().fix_of(rows[i])->place;
            const At to = country().fix_of(rows[i + 1])->place;
            const double ground = ground_along(from, to, 4.0);
            const double clearance = ground > 3000.0 ? 2000.0 : 1000.0;
            double lowest = rows[i].number(84, 88);
            if (!rows[i].blank(89, 93)) {
                lowest = std::min(lowest, rows[i].number(89, 93));
            }
            EXPECT_GE(lowest, ground + clearance) << rows[i].text;
        }
    }
}

// Required clearance of trade-facts 11.2 [memory]: initial 1,000 ft, intermediate 500, final 250 within 2 NM here.
TEST(TruthDemoRegion, ApproachAltitudesClearTheGround) {
    for (const auto& [approach, branches] : country().approaches()) {
        for (const auto& [name, legs] : branches) {
            bool missed = false;
            for (std::size_t i = 0; i < legs.size(); ++i) {
                const Line132& leg = legs[i];
                const std::string path = leg.columns(48, 49);
                missed = missed || description(leg)[2] == 'M';
                const std::optional<At> here = country().place_of(leg);
                if (leg.blank(85, 89) || !here) {
                    continue;
                }
                const double altitude = leg.number(85, 89);
                if (path == "PI") {
                    // Ten miles outbound and six to the side of the turn.
                    const double side = leg.columns(44, 44) == "R" ? 45.0 : -45.0;
                    const double variation = country().navaid_of(leg)->declination;
                    const double outbound = leg.number(71, 74) / 10.0 + variation + side;
                    double ground = 0.0;
                    for (double along = 0.0; along <= 10.0; along += 1.0) {
                        const At middle = gone(*here, outbound, along);
                        for (double aside = -2.0; aside <= 6.0; aside += 1.0) {
                            ground = std::max(ground,
                                              ground_about(gone(middle, outbound - 2.0 * side, aside), 0.75));
                        }
                    }
                    EXPECT_GE(altitude, ground + 1000.0) << leg.text;
                } else if (path == "HM" || path == "HF") {
                    EXPECT_GE(altitude, ground_about(*here, 6.0) + 1000.0) << leg.text;
                } else if (path == "AF") {
                    const Named* aid = country().navaid_of(leg);
                    const Span start = measured(aid->place, *country().place_of(legs[i - 1]));
                    const Span end = measured(aid->place, *here);
                    const double round = std::remainder(end.leaving - start.leaving, 360.0);
                    for (double part = 0.0; part <= 1.001; part += 0.025) {
                        const At on_arc = gone(aid->place, start.leaving + part * round, end.miles);
                        EXPECT_GE(altitude, ground_about(on_arc, 4.0) + 1000.0) << leg.text;
                    }
                } else if (i > 0 && !missed && country().place_of(legs[i - 1]) &&
                           description(leg)[3] != 'M') {
                    const bool own = own_part(name);
                    const double ground =
                        ground_along(*country().place_of(legs[i - 1]), *here, own ? 2.0 : 4.0);
                    EXPECT_GE(altitude, ground + (!own                         ? 1000.0
                                                  : description(leg)[3] == 'F' ? 500.0
                                                                               : 250.0))
                        << leg.text << " ground " << ground;
                }
            }
        }
    }
}

// Trade-facts 9.3: minimum sector altitudes clear everything within 25 NM of the centre by 1,000 ft; bearings are to the centre.
TEST(TruthDemoRegion, SectorAltitudesClearTheGround) {
    for (const Line132& row : country().rows("PS")) {
        const Named* centre = country().find(row.columns(21, 22), row.word(7, 10), row.word(14, 18));
        ASSERT_NE(centre, nullptr) << row.text;
        double covered = 0.0;
        for (std::size_t at = 43; at <= 109 && !row.blank(at, at + 10); at += 11) {
            const double from = row.number(at, at + 2);
            const double to = row.number(at + 3, at + 5);
            const double width = to > from ? to - from : to - from + 360.0;
            covered += width;
            double ground = 0.0;
            for (double bearing = from; bearing <= from + width; bearing += 2.5) {
                const double reach = row.number(at + 9, at + 10);
                for (double miles = 0.0; miles <= reach; miles += 0.5) {
                    const double away = bearing + 180.0 + centre->declination;
                    ground = std::max(ground, ground_about(gone(centre->place, away, miles),
                                                           std::min(0.75, reach - miles + 0.1)));
                }
            }
            EXPECT_GE(row.number(at + 6, at + 8) * 100.0, ground + 1000.0)
                << row.text << " ground " << ground;
            EXPECT_LE(row.number(at + 6, at + 8) * 100.0, ground + 2500.0)
                << row.text << " ground " << ground;
        }
        EXPECT_EQ(covered, 360.0) << row.text;
    }
}

// Trade-facts 9.3 and 13.12: each cell from its south-west corner; 1,000 ft above ground up to 5,000 ft, 2,000 ft above that.
TEST(TruthDemoRegion, GridMinimumsClearTheGround) {
    int known = 0;
    for (const Line132& row : country().rows("AS")) {
        const int south = static_cast<int>(row.number(15, 16));
        for (int cell = 0; cell < 30; ++cell) {
            const int west = -static_cast<int>(row.number(18, 20)) + cell;
            const std::string value =
                row.columns(31 + 3 * static_cast<std::size_t>(cell), 33 + 3 * static_cast<std::size_t>(cell));
            const double ground = highest_of_cell_ft(south, west);
            if (value == "UNK") {
                EXPECT_EQ(ground, 0.0) << south << ' ' << west;
            } else {
                ++known;
                EXPECT_GE(std::stod(value) * 100.0, ground + (ground > 5000.0 ? 2000.0 : 1000.0))
                    << south << ' ' << west;
            }
        }
    }
    EXPECT_GE(known, 30);
}

// A station's elevation is that of its ground within 10 m, a threshold's within 2 m and so is all of the runway between its two
// (the limits are this project's); beacons and localizers stand on land.
TEST(LawDemoRegion, StationsStandOnTheGroundOfTheirRecords) {
    int seen = 0;
    for (const Line132& row : country().rows("D ")) {
        const At place = row.place(row.columns(28, 28) == "V" ? 33 : 56);
        EXPECT_GT(ground_ft(place), 3.0) << row.text;
        if (!row.blank(80, 84)) {
            ++seen;
            EXPECT_NEAR(row.number(80, 84), ground_ft(row.place(56)), 10.0 * feet_per_metre) << row.text;
        }
    }
    EXPECT_GE(seen, 8);
    for (const std::string section : {"DB", "PN", "PI"}) {
        for (const Line132& row : country().rows(section)) {
            EXPECT_GT(ground_ft(row.place(33)), 3.0) << row.text;
        }
    }
    for (const Line132& row : country().rows("PI")) {
        if (!row.blank(98, 102)) {
            EXPECT_NEAR(row.number(98, 102), ground_ft(row.place(56)), 2.0 * feet_per_metre) << row.text;
        }
    }
}

TEST(LawDemoRegion, RunwaysLieOnTheGroundOfTheirThresholds) {
    for (const Line132& row : country().rows("PG")) {
        for (const Line132& other : country().rows("PG")) {
            if (other.word(7, 10) != row.word(7, 10) ||
                std::abs(std::lround(other.number(16, 17) - row.number(16, 17))) != 18) {
                continue;
            }
            const Span span = measured(row.place(33), other.place(33));
            for (double part = 0.0; part <= 1.001; part += 0.05) {
                const double paved = row.number(67, 71) + part * (other.number(67, 71) - row.number(67, 71));
                const At here = gone(row.place(33), span.leaving, part * span.miles);
                EXPECT_NEAR(ground_ft(here), paved, 2.0 * feet_per_metre) << row.text << ' ' << part;
            }
        }
    }
}

// TERPS 8260.3 obstacle clearance surface of a glide path [memory]: 102 to 1 over the angle, 34 to 1 at three degrees, from the
// threshold outwards; here under the straight-in part of every approach, a third of a mile to either side, to the final fix.
TEST(TruthDemoRegion, NoGroundStandsInAFinalApproach) {
    for (const Final& final : finals()) {
        if (circles(final)) {
            continue;
        }
        const At end = threshold(final);
        const Span span = measured(end, *country().place_of(final.final_fix));
        double base = 0.0;
        for (const Line132& row : country().rows("PG")) {
            if (row.word(7, 10) == final.approach.substr(0, 4) &&
                row.word(14, 18) == "RW" + final.approach.substr(6, 2)) {
                base = row.number(67, 71);
            }
        }
        for (double out = 0.4; out <= span.miles; out += 0.1) {
            EXPECT_LE(ground_about(gone(end, span.leaving, out), 0.33),
                      base + (out - 0.33) * feet_per_mile / 34.0 + 10.0)
                << final.approach << ' ' << out;
        }
    }
}

// WMM2025 through GeographicLib: the variation of fixes is today's, some stations are aged.
TEST(TruthDemoRegion, VariationsAreThoseOfTheMagneticModelAndSomeStationsAreAged) {
    const GeographicLib::MagneticModel model("wmm2025", "data/magnetic");
    const auto variation = [&](At at) {
        double east = 0.0;
        double north = 0.0;
        double up = 0.0;
        model(2026.9, at.latitude, at.longitude, 0.0, east, north, up);
        return std::atan2(east, north) * 57.29577951308232;
    };
    for (const std::string section : {"EA", "PC"}) {
        for (const Line132& row : country().rows(section)) {
            EXPECT_NEAR(row.east(75), variation(row.place(33)), 0.25) << row.text;
        }
    }
    int aged = 0;
    for (const Line132& row : country().rows("D ")) {
        if (row.columns(28, 28) == "V") {
            const double age = std::abs(row.east(75) - variation(row.place(33)));
            EXPECT_LE(age, 3.0) << row.text;
            aged += age >= 1.0 ? 1 : 0;
        }
    }
    EXPECT_EQ(aged, 5);
}

TEST(LawDemoRegion, MovingTheRegionInLongitudeChangesNothingButLongitudes) {
    for (const int east : {13, -9, -20, 172, 350}) {
        const Book moved(region_text(country_records(), east));
        ASSERT_EQ(moved.all.size(), country().all.size());
        for (std::size_t i = 0; i < moved.all.size(); ++i) {
            const std::string& was = country().all[i].text;
            const std::string& is = moved.all[i].text;
            ASSERT_EQ(is.size(), was.size());
            const auto blanked = [&](std::string text) {
                const std::string section = country().all[i].section();
                const auto hide = [&](std::size_t first, std::size_t last) {
                    std::fill(text.begin() + static_cast<long>(first) - 1,
                              text.begin() + static_cast<long>(last), '?');
                };
                if (section == "AS") {
                    hide(17, 20);
                } else if (section == "D " || section == "PI" ||
                           (section == "PM" && !country().all[i].blank(65, 74))) {
                    hide(42, 51);
                    hide(65, 74);
                } else if (section != "ER" && section != "PD" && section != "PE" && section != "PF" &&
                           section != "PS") {
                    hide(42, 51);
                }
                return text;
            };
            if (was.substr(0, 3) == "HDR") {
                EXPECT_EQ(is, was);
            } else {
                EXPECT_EQ(blanked(is), blanked(was));
            }
        }
        for (const auto& [key, point] : country().named) {
            const At now = moved.named.at(key).place;
            EXPECT_EQ(now.latitude, point.place.latitude);
            EXPECT_NEAR(std::remainder(now.longitude - point.place.longitude - east, 360.0), 0.0, 1.0e-9)
                << key;
            EXPECT_LE(std::abs(now.longitude), 180.0);
        }
    }
}

// The traps, one by one.

TEST(LawDemoRegion, TrapAnRnavAirwayIsTheShortCut) {
    const auto length = [](const std::string& designator) {
        double miles = 0.0;
        const std::vector<Line132> rows = country().airways().at(designator);
        for (const Line132& row : rows) {
            miles += row.blank(75, 78) ? 0.0 : row.number(75, 78) / 10.0;
        }
        return miles;
    };
    const std::vector<Line132> t301 = country().airways().at("T301");
    const std::vector<Line132> v12 = country().airways().at("V12");
    EXPECT_EQ(t301.front().columns(45, 45), "R");
    EXPECT_EQ(t301.front().word(30, 34), v12.front().word(30, 34));
    EXPECT_EQ(t301.back().word(30, 34), v12.back().word(30, 34));
    EXPECT_LT(length("T301") + 5.0, length("V12"));
    const auto highest = [](const std::vector<Line132>& rows) {
        double feet = 0.0;
        for (const Line132& row : rows) {
            feet = std::max(feet, row.blank(84, 88) ? 0.0 : row.number(84, 88));
        }
        return feet;
    };
    EXPECT_LT(highest(t301), highest(v12)) << "and lower too";
}

TEST(LawDemoRegion, TrapAnInitialFixIsDefinedByARadialAndADistanceOnly) {
    int seen = 0;
    for (const Line132& row : country().rows("PF")) {
        if (row.word(30, 34) == "XIVOK") {
            ++seen;
            EXPECT_EQ(description(row)[3], 'A') << row.text;
            EXPECT_EQ(row.word(51, 54), "XPI");
            EXPECT_EQ(row.columns(63, 70), "31800120");
        }
    }
    EXPECT_EQ(seen, 2);
    EXPECT_EQ(country().find("EA", "", "XIVOK"), nullptr);
}

TEST(LawDemoRegion, TrapsOfAirportsWithoutAConventionalWayIn) {
    std::map<std::string, std::string> types;
    for (const auto& [approach, branches] : country().approaches()) {
        types[approach.substr(0, 4)] += approach[5];
    }
    EXPECT_EQ(types["XGIL"], "R");
    EXPECT_EQ(types.count("XBRE"), 0U);
    EXPECT_TRUE(std::any_of(country().rows("PG").begin(), country().rows("PG").end(),
                            [](const Line132& row) { return row.word(7, 10) == "XBRE"; }));
}

TEST(LawDemoRegion, TrapsOfAirways) {
    for (const auto& [designator, rows] : country().airways()) {
        for (const Line132& row : rows) {
            EXPECT_EQ(row.columns(47, 47), designator == "V45" ? "F" : " ") << row.text;
        }
    }
    std::set<std::string> directional;
    std::set<std::string> limited;
    for (const Line132& row : country().rows("ER")) {
        if (!row.blank(89, 93)) {
            EXPECT_NE(row.columns(84, 88), row.columns(89, 93)) << row.text;
            directional.insert(row.word(14, 18));
        }
        if (!row.blank(94, 98) && row.number(94, 98) < 17000) {
            limited.insert(row.word(14, 18));
        }
    }
    EXPECT_EQ(directional, (std::set<std::string>{"V12", "V14", "V21", "V30"}));
    EXPECT_EQ(limited, (std::set<std::string>{"V33", "V41"}));
}

namespace {

const std::vector<Line132>& airway(const std::string& designator) {
    static const std::map<std::string, std::vector<Line132>> all = country().airways();
    return all.at(designator);
}

std::vector<Line132> legs_of(const std::string& section, const std::string& procedure,
                             const std::string& branch) {
    const auto all = country().procedures(section);
    const auto found = all.find(procedure);
    EXPECT_NE(found, all.end()) << procedure;
    return found == all.end() || !found->second.contains(branch) ? std::vector<Line132>{}
                                                                 : found->second.at(branch);
}

/// The missed approach: from the leg marked as its first.
std::vector<Line132> missed_approach(const std::string& approach) {
    std::vector<Line132> found;
    for (const Line132& leg : legs_of("PF", approach, approach.substr(5, 1))) {
        if (!found.empty() || description(leg)[2] == 'M') {
            found.push_back(leg);
        }
    }
    return found;
}

/// The altitude in feet above which an aid stands over the horizon of a smooth earth: 1.23 times the roots of both heights in miles
/// (trade-facts 2; AIM 1-1-8's line of sight).
double heard_from_ft(const std::string& ident, At here) {
    const Named* aid = country().find("D ", "", ident);
    const double miles = measured(aid->place, here).miles;
    const double rest = miles - 1.23 * std::sqrt(ground_ft(aid->place) + 15.0);
    return rest <= 0.0 ? 0.0 : rest * rest / (1.23 * 1.23);
}

}  // namespace

// Open sea below, so that the ground asks for 1,000 ft; yet in the middle no end is heard that low.
TEST(LawDemoRegion, TrapMinimumAltitudesForTheSignalAlone) {
    for (const std::size_t row : {2U, 3U}) {
        const Line132& leg = airway("V50")[row];
        const At from = country().fix_of(leg)->place;
        const At to = country().fix_of(airway("V50")[row + 1])->place;
        EXPECT_EQ(ground_along(from, to, 4.0), 0.0) << leg.text;
        EXPECT_EQ(leg.number(84, 88), 8000.0) << leg.text;
        const Span span = measured(from, to);
        double worst = 0.0;
        for (double along = 0.0; along <= span.miles; along += 1.0) {
            const At here = gone(from, span.leaving, along);
            worst = std::max(worst, std::min(heard_from_ft("XPI", here), heard_from_ft("XOB", here)));
        }
        EXPECT_GE(worst, 1400.0) << leg.text;
        EXPECT_LE(worst, leg.number(84, 88)) << leg.text;
    }
}

TEST(LawDemoRegion, TrapAMinimumAltitudeIsNotKnown) {
    std::set<std::string> unknown;
    for (const Line132& row : country().rows("ER")) {
        if (row.columns(84, 88) == "UNKNN") {
            unknown.insert(row.word(14, 18) + " " + row.word(30, 34));
        }
    }
    EXPECT_EQ(unknown, (std::set<std::string>{"V47 XINUR", "V47 XIREB"}));
}

// ER rows have no column for a minimum crossing altitude (trade-facts 13.7): the ground tells it. Climbing on from XIRAS at the
// minimum of the leg before it by 200 ft/NM up to 5,000 ft and 150 above (AIM 4-4-9's rate for a crossing altitude, from memory) the
// North shoulder would be passed by less than 1,000 ft.
TEST(LawDemoRegion, TrapACrossingAltitudeThatNoColumnTells) {
    const std::vector<Line132>& v18 = airway("V18");
    ASSERT_EQ(v18[1].word(30, 34), "XIRAS");
    const At from = country().fix_of(v18[1])->place;
    const Span span = measured(from, country().fix_of(v18[2])->place);
    double altitude = v18[0].number(84, 88);
    double least = 1.0e9;
    for (double along = 0.0; along <= span.miles; along += 0.5) {
        least = std::min(least, altitude - ground_about(gone(from, span.leaving, along), 4.0));
        altitude = std::min(altitude + (altitude < 5000.0 ? 100.0 : 75.0), v18[1].number(84, 88));
    }
    EXPECT_LT(least, 1000.0);
}

// Nor for a minimum reception altitude: XELAS lies on the radial of one VOR without DME; the one aid within 40 miles that crosses it
// by 30 degrees or more is XRG, on a ridge so high that its service volume begins (1,000 ft above it, AIM 1-1-8) over the airway's minimum.
TEST(LawDemoRegion, TrapAFixThatIsToldOnlyFromHigherUp) {
    const At fix = country().find("EA", "", "XELAS")->place;
    const double along = measured(country().find("D ", "", "XAL")->place, fix).arriving;
    std::set<std::string> crossing;
    for (const Line132& row : country().rows("D ")) {
        if (row.columns(28, 28) != "V") {
            continue;
        }
        const Span span = measured(row.place(33), fix);
        const double cut = turned(span.arriving, along);
        if (span.miles <= (row.columns(30, 30) == "T" ? 25.0 : 40.0) && std::min(cut, 180.0 - cut) >= 30.0) {
            crossing.insert(row.word(14, 17));
        }
        if (row.word(14, 17) == "XAL") {
            EXPECT_EQ(row.columns(29, 29), " ");
        }
    }
    EXPECT_EQ(crossing, (std::set<std::string>{"XRG"}));
    const Line132& leg = airway("V39")[1];
    ASSERT_EQ(leg.word(30, 34), "XELAS");
    EXPECT_GT(ground_ft(country().find("D ", "", "XRG")->place) + 1000.0, leg.number(84, 88) + 3000.0);
    for (const Line132& row : country().rows("DB")) {
        EXPECT_GT(measured(row.place(33), fix).miles, row.columns(30, 30) == "M" ? 25.0 : 50.0) << row.text;
    }
}

TEST(LawDemoRegion, TrapADogLegHasItsChangeoverWhereTheRadialsMeet) {
    const std::vector<Line132>& v39 = airway("V39");
    ASSERT_EQ(v39[2].word(30, 34), "XARAT");
    const At bend = country().fix_of(v39[2])->place;
    const Span in = measured(country().fix_of(v39[0])->place, bend);
    const Span out = measured(bend, country().fix_of(v39[3])->place);
    EXPECT_GE(turned(out.leaving, in.arriving), 15.0);
    // Not midway: five miles or more from the middle between the two.
    EXPECT_GE(std::abs(in.miles - out.miles), 5.0);
}

TEST(LawDemoRegion, TrapTheEndsOfAnAirwayAreNotReciprocal) {
    std::set<std::string> found;
    for (const auto& [designator, rows] : country().airways()) {
        if (by_area_navigation(rows) || rows.front().columns(40, 40) != "V") {
            continue;
        }
        std::size_t next = 1;
        while (next + 1 < rows.size() && rows[next].columns(40, 40) != "V") {
            ++next;
        }
        if (designator == "V39" || rows[next].columns(40, 40) != "V") {
            continue;
        }
        // What the meridians close in by is no fault of the aids.
        const Span span =
            measured(country().fix_of(rows.front())->place, country().fix_of(rows[next])->place);
        const double closing = std::remainder(span.arriving - span.leaving, 360.0);
        const double coded =
            std::remainder(rows[next].number(79, 82) / 10.0 - rows.front().number(71, 74) / 10.0, 360.0);
        if (std::abs(coded - closing) >= 1.9) {
            found.insert(designator);
        }
    }
    EXPECT_EQ(found, (std::set<std::string>{"J13", "J7", "J9", "V14", "V16", "V21", "V26", "V29", "V38",
                                            "V41", "V45", "V47"}));
}

TEST(LawDemoRegion, TrapAnRnavAirwayIsCodedAsOfficial) {
    std::set<std::string> found;
    for (const auto& [designator, rows] : country().airways()) {
        if (by_area_navigation(rows) && rows.front().columns(45, 45) == "O") {
            found.insert(designator);
        }
    }
    EXPECT_EQ(found, (std::set<std::string>{"T305"}));
    const auto leads = [](const std::string& designator, const std::string& ident) {
        return airway(designator).front().word(30, 34) == ident ||
               airway(designator).back().word(30, 34) == ident;
    };
    EXPECT_TRUE(leads("T305", "XIC") && leads("T305", "XDV"));
}

// Two ways of standing apart: one record with N in column 32, two records of different class.
TEST(LawDemoRegion, TrapsOfAVorAndADmeApart) {
    std::map<std::string, Line132> aids;
    std::set<std::string> not_collocated;
    for (const Line132& row : country().rows("D ")) {
        aids.emplace(row.word(14, 17), row);
        if (row.columns(28, 28) == "V" && row.columns(29, 29) != " ") {
            const bool apart = measured(row.place(33), row.place(56)).miles > 0.1;
            EXPECT_EQ(apart, row.columns(32, 32) == "N") << row.text;
            if (apart) {
                not_collocated.insert(row.word(14, 17));
            }
        }
    }
    EXPECT_EQ(not_collocated, (std::set<std::string>{"XEB"}));
    EXPECT_NEAR(measured(aids.at("XEB").place(33), aids.at("XEB").place(56)).miles, 1.2, 0.01);
    for (const auto& [vor, dme] : {std::pair{"XED", "XEW"}, std::pair{"XLO", "XGI"}}) {
        EXPECT_EQ(aids.at(vor).columns(28, 29), "V ");
        EXPECT_EQ(aids.at(dme).columns(28, 29), " D");
        EXPECT_NE(aids.at(vor).columns(30, 30), aids.at(dme).columns(30, 30));
        EXPECT_LT(measured(aids.at(vor).place(33), aids.at(dme).place(56)).miles, 10.0);
    }
}

// On one frequency, and both over the horizon of one place at FL350; an H class aid promises 130 miles there (AIM 1-1-8).
TEST(LawDemoRegion, TrapTwoVorsOfOneFrequencyAreHeardAtOnce) {
    const At between_them = country().find("D ", "", "XRG")->place;
    for (const std::string ident : {"XUR", "XOB"}) {
        EXPECT_LE(heard_from_ft(ident, between_them), 35000.0);
    }
    EXPECT_LE(measured(country().find("D ", "", "XUR")->place, between_them).miles, 130.0);
}

TEST(LawDemoRegion, TrapTheOnlyApproachHasThePrevailingWindBehind) {
    std::set<std::string> approaches;
    for (const auto& [approach, branches] : country().approaches()) {
        if (approach.substr(0, 4) == "XEDD") {
            approaches.insert(approach);
        }
    }
    EXPECT_EQ(approaches, (std::set<std::string>{"XEDD S10"}));
    const At near = country().find("PG", "XEDD", "RW10")->place;
    const At far = country().find("PG", "XEDD", "RW28")->place;
    constexpr double wind_from = 270.0;
    EXPECT_LE(turned(measured(near, far).leaving, wind_from + 180.0), 20.0);
}

TEST(LawDemoRegion, TrapTheBackCourseIsTheReciprocalOfTheFrontCourse) {
    int seen = 0;
    for (const Line132& leg : legs_of("PF", "XMRA B09", "B")) {
        if (leg.columns(48, 49) == "CF") {
            ++seen;
            EXPECT_EQ(leg.word(51, 54), "IXMR");
            EXPECT_LE(turned(leg.number(71, 74) / 10.0, *country().navaid_of(leg)->localizer_course + 180.0),
                      0.01);
        }
    }
    EXPECT_EQ(seen, 2);
}

TEST(LawDemoRegion, TrapAStepDownNeedsTheSecondReceiver) {
    int seen = 0;
    for (const Line132& leg : legs_of("PF", "XALD S27", "S")) {
        if (description(leg)[2] != 'S') {
            continue;
        }
        ++seen;
        EXPECT_EQ(leg.word(51, 54), "XAL");
        const At fix = *country().place_of(leg);
        const Span guided = measured(country().find("D ", "", "XAL")->place, fix);
        const Span crossed = measured(country().find("D ", "", "XRG")->place, fix);
        const double cut = turned(guided.arriving, crossed.arriving);
        EXPECT_GE(std::min(cut, 180.0 - cut), 45.0);
        EXPECT_LE(crossed.miles, 40.0);
    }
    EXPECT_EQ(seen, 1);
    for (const Line132& row : country().rows("D ")) {
        if (row.word(14, 17) == "XAL") {
            EXPECT_EQ(row.columns(29, 29), " ") << "no DME that would tell it";
        }
    }
}

TEST(LawDemoRegion, TrapsOfMissedApproaches) {
    const auto aids = [](const std::string& approach) {
        std::set<std::string> found;
        for (const Line132& leg : missed_approach(approach)) {
            if (!leg.blank(30, 34)) {
                found.insert(leg.columns(37, 38) + leg.word(30, 34));
            }
        }
        return found;
    };
    // On the localizer and a locator with one receiver, then a VOR.
    EXPECT_EQ(aids("XICO L09"), (std::set<std::string>{"D XIC"}));
    const std::vector<Line132> own = legs_of("PF", "XICO L09", "L");
    EXPECT_TRUE(std::any_of(own.begin(), own.end(), [](const Line132& leg) {
        return description(leg)[3] == 'F' && leg.columns(37, 38) == "PN" && leg.word(51, 54) == "IXIC";
    }));
    // From an ILS to a beacon.
    EXPECT_EQ(aids("XICO I27"), (std::set<std::string>{"DBXCO"}));
}

TEST(LawDemoRegion, TrapAHoldInLieuIsEnteredOnTheReciprocal) {
    const std::vector<Line132> legs = legs_of("PF", "XADR D26", "AXAD");
    ASSERT_EQ(legs.size(), 3U);
    EXPECT_EQ(legs[2].columns(48, 49), "HF");
    EXPECT_LE(turned(legs[1].number(71, 74) / 10.0, legs[2].number(71, 74) / 10.0 + 180.0), 0.01);
}

TEST(LawDemoRegion, TrapALeftHoldLeadsInboundAwayFromItsAid) {
    const Line132 leg = missed_approach("XADR D26").back();
    EXPECT_EQ(leg.columns(48, 49), "HM");
    EXPECT_EQ(leg.columns(44, 44), "L");
    const Named* aid = country().find("D ", "", "XAD");
    const Span span = measured(aid->place, *country().place_of(leg));
    EXPECT_NEAR(span.miles, 10.0, 0.1);
    EXPECT_LE(turned(leg.number(71, 74) / 10.0, span.leaving - aid->declination), 0.06);
}

TEST(LawDemoRegion, TrapADepartureIsByVectorsOnly) {
    std::set<std::string> found;
    for (const auto& [departure, branches] : country().procedures("PD")) {
        bool vectors = true;
        for (const auto& [name, legs] : branches) {
            vectors =
                vectors && legs.back().columns(48, 49) == "VM" &&
                std::all_of(legs.begin(), legs.end(), [](const Line132& leg) { return leg.blank(30, 34); });
        }
        if (vectors) {
            found.insert(departure);
        }
    }
    EXPECT_EQ(found, (std::set<std::string>{"XMRA XAMAR1"}));
}

TEST(LawDemoRegion, TrapsOfHowArrivalsEnd) {
    std::set<std::string> in_vectors;
    std::set<std::string> at_an_initial_fix;
    for (const auto& [arrival, branches] : country().procedures("PE")) {
        const Line132& last = branches.rbegin()->second.back();
        const std::string path = last.columns(48, 49);
        if (path == "FM" || path == "VM") {
            in_vectors.insert(arrival);
        }
        for (const Line132& leg : country().rows("PF")) {
            if (leg.word(7, 10) == last.word(7, 10) && description(leg)[3] == 'A' && !leg.blank(30, 34) &&
                leg.columns(30, 38) == last.columns(30, 38)) {
                at_an_initial_fix.insert(arrival);
            }
        }
    }
    EXPECT_EQ(in_vectors, (std::set<std::string>{"XDOV XITOM1", "XMRA XALBO1", "XMRA XWOLA1"}));
    for (const std::string arrival : {"XMRA XEMIR1", "XDOV XELDA1", "XNOR XYLEN1", "XOMB XURAR1"}) {
        EXPECT_TRUE(at_an_initial_fix.contains(arrival)) << arrival;
    }
}

// Branches follow one another: sequence numbers ascend, and each part of an arrival or departure begins where another ends.
TEST(LawDemoRegion, PartsOfDeparturesAndArrivalsJoin) {
    for (const std::string section : {"PD", "PE"}) {
        for (const auto& [procedure, branches] : country().procedures(section)) {
            std::set<std::string> ends;
            for (const auto& [name, legs] : branches) {
                ends.insert(legs.back().word(30, 34));
                for (std::size_t i = 1; i < legs.size(); ++i) {
                    EXPECT_GT(legs[i].number(27, 29), legs[i - 1].number(27, 29)) << legs[i].text;
                }
            }
            for (const auto& [name, legs] : branches) {
                const bool first = section == "PD" ? name[0] == '1' || name[0] == '4' || name[0] == 'T'
                                                   : name[0] == '1' || name[0] == '4' || branches.size() == 1;
                EXPECT_TRUE(first || ends.contains(legs.front().word(30, 34))) << legs.front().text;
            }
        }
    }
}

// Arrivals as airways are (above): 1,000 ft above the ground within 4 NM, 2,000 ft in mountains.
TEST(TruthDemoRegion, ArrivalsClearTheGround) {
    for (const auto& [arrival, branches] : country().procedures("PE")) {
        for (const auto& [name, legs] : branches) {
            for (std::size_t i = 0; i < legs.size(); ++i) {
                if (legs[i].blank(85, 89)) {
                    continue;
                }
                const double altitude = legs[i].number(85, 89);
                const std::optional<At> here = country().place_of(legs[i]);
                if (!here) {
                    continue;
                }
                const std::optional<At> before = i > 0 ? country().place_of(legs[i - 1]) : std::nullopt;
                double ground = ground_along(before.value_or(*here), *here, 4.0);
                if (legs[i].columns(48, 49) == "FM") {
                    const double variation = country().navaid_of(legs[i])->declination;
                    ground = ground_along(*here, gone(*here, legs[i].number(71, 74) / 10.0 + variation, 10.0),
                                          4.0);
                }
                EXPECT_GE(altitude, ground + (ground > 3000.0 ? 2000.0 : 1000.0)) << legs[i].text << ground;
            }
        }
    }
}

// Departures climb by 200 ft/NM at least from each altitude they code toward the next (AIM 5-2-9); the ground within 2 NM leaves
// 500 ft below that, and 1,000 ft within 4 NM at the fixes.
TEST(TruthDemoRegion, DeparturesClearTheGround) {
    int checked = 0;
    for (const auto& [departure, branches] : country().procedures("PD")) {
        for (const auto& [name, legs] : branches) {
            for (std::size_t i = 0; i < legs.size(); ++i) {
                const std::optional<At> here = country().place_of(legs[i]);
                if (!here || legs[i].blank(85, 89)) {
                    continue;
                }
                const double altitude = legs[i].number(85, 89);
                // Over an aid a climb goes on; a fix along the way is passed at its altitude.
                if (legs[i].columns(37, 37) == "E") {
                    EXPECT_GE(altitude, ground_about(*here, 4.0) + 1000.0) << legs[i].text;
                }
                const std::optional<At> before = i > 0 ? country().place_of(legs[i - 1]) : std::nullopt;
                if (!before || legs[i - 1].blank(85, 89)) {
                    continue;
                }
                ++checked;
                const Span span = measured(*before, *here);
                for (double along = 0.0; along <= span.miles; along += 1.0) {
                    const double climbed = std::min(legs[i - 1].number(85, 89) + 200.0 * along, altitude);
                    EXPECT_GE(climbed, ground_about(gone(*before, span.leaving, along), 2.0) + 500.0)
                        << legs[i].text << ' ' << along;
                }
            }
        }
    }
    EXPECT_GE(checked, 8);
}

// docs/demo-region.md says what the rows say: idents, frequencies, airways with their altitudes, approaches.
TEST(GoldenDemoRegion, ThePageOnTheCountryAgreesWithTheRows) {
    std::ifstream file("docs/demo-region.md");
    ASSERT_TRUE(file.good()) << "run in the root of the repository";
    std::stringstream page;
    page << file.rdbuf();
    const std::string text = page.str();
    const auto says = [&](const std::string& words) {
        EXPECT_NE(text.find(words), std::string::npos) << words;
    };
    const auto line_says = [&](const std::string& begin, const std::string& words) {
        const std::size_t line = text.find(begin);
        ASSERT_NE(line, std::string::npos) << begin;
        EXPECT_NE(text.substr(line, text.find('\n', line) - line).find(words), std::string::npos)
            << begin << words;
    };
    const auto megahertz = [](const Line132& row) {
        return fmt::format("{:.2f}", row.number(23, 27) / 100.0);
    };
    for (const Line132& row : country().rows("D ")) {
        if (row.columns(29, 29) != "I") {
            line_says(fmt::format("| {} | ", row.word(14, 17)), fmt::format("| {} |", megahertz(row)));
        }
    }
    for (const Line132& row : country().rows("PI")) {
        says(fmt::format("| {} | {} {} | {} | {} |", row.word(14, 17), row.word(7, 10), row.word(30, 32),
                         megahertz(row), row.columns(52, 54)));
    }
    for (const std::string section : {"DB", "PN"}) {
        for (const Line132& row : country().rows(section)) {
            line_says(fmt::format("| {} | NDB | ", row.word(14, 17)),
                      fmt::format("| {} |", row.columns(24, 26)));
        }
    }
    for (const auto& [designator, rows] : country().airways()) {
        std::vector<std::string> points;
        for (const Line132& row : rows) {
            points.push_back(row.word(30, 34));
            if (!row.blank(84, 88) && row.columns(46, 46) == "L") {
                points.push_back(published(row, 84) ? fmt::format("{:.0f}", row.number(84, 88)) : "unknown");
                if (!row.blank(89, 93)) {
                    points.back() += fmt::format("·{:.0f}", row.number(89, 93));
                }
            }
        }
        line_says(fmt::format("| {} | ", designator), fmt::format("| {} |", fmt::join(points, " ")));
    }
    for (const std::string section : {"PD", "PE", "PF"}) {
        for (const auto& [procedure, branches] : country().procedures(section)) {
            says(fmt::format("| {} |", procedure));
        }
    }
    for (const Line132& row : country().rows("PF")) {
        if (description(row)[3] == 'F') {
            const long altitude = std::lround(row.number(85, 89));
            says(fmt::format("{} {},{:03}", row.word(30, 34), altitude / 1000, altitude % 1000));
        }
    }
}

// A directional minimum is lower where the way leads off the mountains: toward the lower of the neighbouring legs.
TEST(LawDemoRegion, DirectionalMinimumsAreLowerAwayFromTheMountains) {
    for (const auto& [designator, rows] : country().airways()) {
        for (std::size_t i = 1; i + 1 < rows.size(); ++i) {
            if (rows[i].blank(89, 93)) {
                continue;
            }
            const double before = rows[i - 1].number(84, 88);
            const double after = rows[i + 1].blank(84, 88) ? 0.0 : rows[i + 1].number(84, 88);
            EXPECT_EQ(rows[i].number(84, 88) < rows[i].number(89, 93), after < before) << rows[i].text;
        }
    }
}

TEST(LawDemoRegion, TrapALocalizerWithCodedDistancesHasNoDme) {
    std::set<std::string> with_dme;
    for (const Line132& row : country().rows("D ")) {
        if (row.columns(29, 29) == "I") {
            with_dme.insert(row.word(14, 17));
        }
    }
    EXPECT_EQ(with_dme, (std::set<std::string>{"IXAD", "IXAL", "IXDV", "IXIE", "IXMR", "IXOR", "IXUR"}));
    std::set<std::string> coded_without;
    for (const Line132& row : country().rows("PF")) {
        if (row.columns(79, 80) == "PI" && row.number(67, 70) > 0 && !with_dme.contains(row.word(51, 54))) {
            coded_without.insert(row.word(51, 54));
        }
    }
    EXPECT_EQ(coded_without, (std::set<std::string>{"IXIC", "IXKE", "IXNR"}));
}

}  // namespace omniway::demo_region
