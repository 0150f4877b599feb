// docs/service-classes.md against the readers and the service volumes: its tables are read here and tried row by row.
#include <algorithm>
#include <fstream>
#include <map>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include <fmt/format.h>
#include <gtest/gtest.h>

#include "radio/line_of_sight.hpp"
#include "radio/service_volume.hpp"
#include "readers/arinc424.hpp"
#include "readers/ourairports.hpp"

namespace omniway::readers {

namespace {

using navdata::ServiceClass;
using Cells = std::vector<std::string>;

const std::map<std::string, ServiceClass> classes = {
    {"unknown", ServiceClass::unknown},
    {"terminal", ServiceClass::terminal},
    {"low", ServiceClass::low},
    {"high", ServiceClass::high},
    {"vor_low", ServiceClass::vor_low},
    {"vor_high", ServiceClass::vor_high},
    {"dme_low", ServiceClass::dme_low},
    {"dme_high", ServiceClass::dme_high},
    {"ndb_medium", ServiceClass::ndb_medium},
    {"ndb", ServiceClass::ndb},
    {"ndb_high", ServiceClass::ndb_high},
    {"compass_locator", ServiceClass::compass_locator},
    {"localizer", ServiceClass::localizer},
};

/// The rows of the page's table whose header row begins with these words; code quotes are taken off.
std::vector<Cells> table(const std::string& head) {
    std::ifstream page("docs/service-classes.md");
    EXPECT_TRUE(page) << "run in the root of the repository";
    std::vector<Cells> rows;
    bool inside = false;
    for (std::string line; std::getline(page, line);) {
        inside = line.starts_with(head) || (inside && line.starts_with('|'));
        if (!inside || line.starts_with(head) || line.starts_with("|---")) {
            continue;
        }
        Cells cells;
        std::stringstream text(line.substr(1));
        for (std::string cell; std::getline(text, cell, '|');) {
            std::erase(cell, '`');
            const std::size_t first = cell.find_first_not_of(' ');
            cells.push_back(first == std::string::npos
                                ? std::string()
                                : cell.substr(first, cell.find_last_not_of(' ') - first + 1));
        }
        rows.push_back(cells);
    }
    EXPECT_FALSE(rows.empty()) << head;
    return rows;
}

ServiceClass class_of(const std::string& word) {
    EXPECT_TRUE(classes.contains(word)) << word;
    return classes.contains(word) ? classes.at(word) : ServiceClass::unknown;
}

std::string published_row(const std::string& beginning) {
    std::ifstream stream("tests/reference/faa_cifp_rows.txt");
    for (std::string line; std::getline(stream, line);) {
        if (line.starts_with(beginning)) {
            return line;
        }
    }
    ADD_FAILURE() << beginning;
    return {};
}

/// The classes that a station's record gave: of its azimuth where that has one, and of its distance.
std::set<ServiceClass> classes_in(const Reading& reading) {
    EXPECT_EQ(reading.value.stations.size(), 1U);
    std::set<ServiceClass> found;
    for (const navdata::Station& station : reading.value.stations) {
        if (const auto* azimuth = vor(station)) {
            found.insert(azimuth->service);
        }
        if (const auto* azimuth = ndb(station)) {
            found.insert(azimuth->service);
        }
        if (station.dme) {
            found.insert(station.dme->service);
        }
    }
    return found;
}

void expect_letters(const std::string& record, const std::vector<std::string>& published) {
    std::map<char, ServiceClass> letters;
    ServiceClass any_other = ServiceClass::localizer;
    for (const Cells& row : table("| record | letter | class |")) {
        if (!row.at(0).starts_with(record)) {
            continue;
        }
        if (row.at(1) == "any other") {
            any_other = class_of(row.at(2));
        } else {
            letters[row.at(1) == "blank" ? ' ' : row.at(1).at(0)] = class_of(row.at(2));
        }
    }
    ASSERT_FALSE(letters.empty()) << record;
    for (std::string row : published) {
        for (char letter = ' '; letter <= '~'; ++letter) {
            row[29] = letter;
            const auto told = letters.find(letter);
            EXPECT_EQ(classes_in(read_arinc424(row + '\n', {}, {})),
                      std::set<ServiceClass>{told == letters.end() ? any_other : told->second})
                << record << " '" << letter << "'";
        }
    }
}

std::vector<std::string> words_of(const std::string& cell) {
    std::vector<std::string> words;
    std::stringstream text(cell);
    for (std::string word; std::getline(text, word, ',');) {
        words.push_back(word.substr(word.find_first_not_of(' ')));
    }
    return words;
}

double feet_of(std::string cell) {
    std::erase(cell, ',');
    return std::stod(cell.substr(cell.find_first_of("0123456789")));
}

}  // namespace

// A VORTAC, a lone DME and two NDBs as the FAA publishes them, each with every letter in column 30.
TEST(CaseServiceClassPage, EachLetterOfAnArincRecordMeansWhatThePageSays) {
    expect_letters("VHF navaid", {published_row("SUSAD        ABI"), published_row("SUSAD        AAT")});
    expect_letters("NDB", {published_row("SUSADB       AA"), published_row("SUSAPNKABIK4 AB")});
}

TEST(CaseServiceClassPage, EachPowerAndUseOfTheTableMeansWhatThePageSays) {
    // The first row that fits holds, as a person reads the page.
    const std::vector<Cells> rows = table("| type | power | usageType | class |");
    const auto told = [&](const std::string& type, const std::string& power, const std::string& use) {
        for (const Cells& row : rows) {
            const std::vector<std::string> types = words_of(row.at(0));
            if (std::find(types.begin(), types.end(), type) != types.end() &&
                (row.at(1) == power || row.at(1) == "any other") &&
                (row.at(2) == use || row.at(2) == "any" || row.at(2) == "any other")) {
                return class_of(row.at(3));
            }
        }
        ADD_FAILURE() << type << ' ' << power << ' ' << use;
        return ServiceClass::unknown;
    };
    for (const std::string type : {"VOR", "VOR-DME", "VORTAC", "TACAN", "DME", "NDB", "NDB-DME"}) {
        for (const std::string power : {"HIGH", "MEDIUM", "LOW", "UNKNOWN", ""}) {
            for (const std::string use : {"BOTH", "HI", "LO", "RNAV", "TERMINAL", ""}) {
                const bool beacon = type.starts_with("NDB");
                const std::string text = fmt::format(
                    "ident,type,frequency_khz,latitude_deg,longitude_deg,power,usageType,dme_channel,"
                    "magnetic_variation_deg\nXAA,{},{},40,-168,{},{},080X,8\n",
                    type, beacon ? "365" : "113300", power, use);
                const auto reading = read_ourairports(text, {}, {}, {});
                ASSERT_TRUE(reading);
                std::set<ServiceClass> found;
                for (const navdata::Station& station : reading->value.stations) {
                    Reading one;
                    one.value.stations = {station};
                    found.merge(classes_in(one));
                }
                std::set<ServiceClass> expected = {told(type, power, use)};
                if (type == "NDB-DME") {
                    expected.insert(told("DME", power, use));
                }
                EXPECT_EQ(found, expected) << text;
            }
        }
    }
}

// The radii are those of AIM tables 1-1-1 and 1-1-2 as the page copies them, the largest of the rows that hold a height.
TEST(BruteServiceClassPage, EachRadiusIsTheLargestOfThePagesRowsForThatHeight) {
    std::map<std::string, std::vector<Cells>> by_class;
    for (const Cells& row : table("| class | from ft | to ft | radius NM |")) {
        by_class[row.at(0)].push_back(row);
    }
    EXPECT_EQ(by_class.size(), classes.size() - 1) << "every class but unknown";
    for (const auto& [word, rows] : by_class) {
        for (int height_ft = 1000; height_ft <= 70000; height_ft += 100) {
            const base::Length height = base::Length::feet(height_ft);
            double radius_nm = 0.0;
            for (const Cells& row : rows) {
                const std::string& to = row.at(2);
                const bool below = to.starts_with("below");
                const bool holds =
                    height_ft >= feet_of(row.at(1)) &&
                    (to == "any" || (below ? height_ft < feet_of(to) : height_ft <= feet_of(to)));
                if (holds) {
                    radius_nm = std::max(radius_nm,
                                         row.at(3) == "line of sight"
                                             ? radio::line_of_sight(height, base::Length()).nautical_miles()
                                             : std::stod(row.at(3)));
                }
            }
            const auto found = radio::service_radius(class_of(word), height);
            EXPECT_NEAR(found ? found->nautical_miles() : 0.0, radius_nm, 1e-9) << word << ' ' << height_ft;
        }
    }
}

TEST(CaseServiceClassPage, EachSectorOfALocalizerReachesAsFarAsThePageSays) {
    double from_deg = 0.0;
    for (const Cells& row : table("| off the course line | radius NM |")) {
        const std::string& sector = row.at(0);
        const std::size_t to = sector.find(" to ");
        const bool last = to == std::string::npos;
        const double to_deg = last ? 90.0 : std::stod(sector.substr(to + 4));
        EXPECT_EQ(feet_of(sector), from_deg) << "the sectors follow one another";
        for (const double off_deg : {from_deg + 0.01, (from_deg + to_deg) / 2, to_deg}) {
            const auto radius = radio::localizer_radius(base::Angle::degrees(off_deg));
            EXPECT_EQ(radius.has_value(), !last) << off_deg;
            if (radius) {
                EXPECT_NEAR(radius->nautical_miles(), std::stod(row.at(1)), 1e-9) << off_deg;
            }
        }
        from_deg = to_deg;
    }
    EXPECT_EQ(from_deg, 90.0);
}

TEST(CaseServiceClassPage, AnUnknownClassIsTheSmallestOfItsKind) {
    const auto radius = [](ServiceClass service) {
        return radio::service_radius(service, base::Length::feet(5000))->nautical_miles();
    };
    for (const auto kind : {radio::AidKind::vor, radio::AidKind::distance}) {
        EXPECT_EQ(radio::smallest_of(kind), ServiceClass::terminal);
    }
    EXPECT_EQ(radio::smallest_of(radio::AidKind::ndb), ServiceClass::compass_locator);
    for (const auto larger : {ServiceClass::low, ServiceClass::high, ServiceClass::vor_low}) {
        EXPECT_LT(radius(ServiceClass::terminal), radius(larger));
    }
    for (const auto larger : {ServiceClass::ndb_medium, ServiceClass::ndb, ServiceClass::ndb_high}) {
        EXPECT_LT(radius(ServiceClass::compass_locator), radius(larger));
    }
}

}  // namespace omniway::readers
