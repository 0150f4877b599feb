// The minimums of airway segments by direction against the columns of the FAA's own rows.
#include <cstdio>
#include <fstream>
#include <map>
#include <sstream>
#include <string>
#include <vector>

#include <gtest/gtest.h>

#include "flight/en_route.hpp"
#include "readers/arinc424.hpp"
#include "tests/real_data.hpp"
#include "tests/sketch_equipment.hpp"

namespace omniway::readers {

using base::Altitude;

namespace {

// A row as its columns stand (ARINC 424-18 section 4.1.6, trade-facts 13.7 [seen]; counted from 0 here).
struct Published {
    std::string designator;
    std::string from;
    std::string to;
    std::string minimum;
    std::string minimum_backward;
};

std::string word(const std::string& line, std::size_t first, std::size_t length) {
    const std::string raw = line.substr(first, length);
    return raw.substr(0, raw.find_last_not_of(' ') + 1);
}

// Each row with the point of the row after it: what its minimums are of.
std::vector<Published> published_rows(const std::string& text) {
    std::vector<Published> all;
    std::istringstream lines(text);
    for (std::string line; std::getline(lines, line);) {
        if (line.size() < 98 || line[0] != 'S' || line.substr(4, 2) != "ER") {
            continue;
        }
        const std::string designator = word(line, 13, 5);
        const std::string point = word(line, 29, 5);
        if (!all.empty() && all.back().designator == designator) {
            all.back().to = point;
        }
        all.push_back({designator, point, "", word(line, 83, 5), word(line, 88, 5)});
    }
    return all;
}

struct Segment {
    const navdata::Airway* airway = nullptr;
    std::size_t index = 0;
};

std::vector<Segment> segments_of(const navdata::Snapshot& world, const Published& row) {
    std::vector<Segment> found;
    for (const navdata::Airway& airway : world.airways()) {
        for (std::size_t i = 0; airway.designator == row.designator && i < airway.segments.size(); ++i) {
            if (world.ident(airway.segments[i].from) == row.from &&
                world.ident(airway.segments[i].to) == row.to) {
                found.push_back({&airway, i});
            }
        }
    }
    return found;
}

std::string refusal(const navdata::Snapshot& world, const Segment& segment, bool forward,
                    double altitude_ft) {
    const auto made =
        flight::airway_leg(world, omniway::testing::equipment({.receivers = 2, .dme = true, .adf = true}),
                           *segment.airway, segment.index, forward, Altitude::feet(altitude_ft));
    return made.refused ? made.refused->code : "";
}

}  // namespace

// The first minimum binds in the direction of the rows, the second the other way; where there is one, it binds both ways.
TEST(TruthAirwayMinimumsRealData, EachDirectionHasTheMinimumOfItsOwnColumns) {
    OMNIWAY_NEEDS_REAL_DATA(folder);
    std::ifstream stream(folder / "cifp" / "faa_cifp_2101_part.txt", std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    const auto world = navdata::Snapshot::build(read_arinc424(text.str(), navdata::Source{}, {}).value).value;
    int both = 0;
    int one = 0;
    int unknown = 0;
    for (const Published& row : published_rows(text.str())) {
        for (const Segment& segment : segments_of(world, row)) {
            if (segment.airway->area_navigation || row.minimum.empty()) {
                continue;
            }
            if (row.minimum == "UNKNN") {
                const auto& minimum = segment.airway->segments[segment.index].minimum_forward;
                EXPECT_FALSE(std::holds_alternative<Altitude>(minimum)) << row.designator << " " << row.from;
                ++unknown;
                continue;
            }
            const bool split = !row.minimum_backward.empty();
            split ? ++both : ++one;
            for (const bool forward : {true, false}) {
                const bool second = split && !forward;
                const std::string& minimum = second ? row.minimum_backward : row.minimum;
                const double minimum_ft =
                    minimum.starts_with("FL") ? std::stod(minimum.substr(2)) * 100.0 : std::stod(minimum);
                const auto direction = segment.airway->segments[segment.index].direction;
                const bool open = direction == navdata::AirwayDirection::both ||
                                  (direction == navdata::AirwayDirection::forward_only) == forward;
                if (open && refusal(world, segment, forward, minimum_ft) != "airway.outside_band") {
                    // A minimum of FL180 is where the jet routes themselves begin (AIM 5-3-4).
                    const bool lowest_of_band = minimum_ft == 18000.0;
                    EXPECT_EQ(refusal(world, segment, forward, minimum_ft - 1.0),
                              lowest_of_band ? "airway.outside_band" : "airway.below_minimum")
                        << row.designator << " " << row.from << " " << row.to << " " << forward;
                    EXPECT_NE(refusal(world, segment, forward, minimum_ft), "airway.below_minimum")
                        << row.designator << " " << row.from << " " << row.to << " " << forward;
                }
            }
        }
    }
    std::printf("[          ] %d segments with a minimum each way, %d with one, %d not known\n", both, one,
                unknown);
    // None of the 23 rows of the part that have a second minimum is followed by its next point: segments with two are drawn by hand
    // (flight/en_route_test.cpp).
    EXPECT_GE(one, 40);
}

}  // namespace omniway::readers
