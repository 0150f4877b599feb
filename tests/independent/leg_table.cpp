// Prints docs/reports/legs.md: the table of legs of the ARINC 424 files named, flown in still air and in wind.
#include <cstdio>
#include <fstream>
#include <sstream>
#include <string>

#include "readers/arinc424.hpp"
#include "tests/leg_table.hpp"

namespace {

using namespace omniway;

std::string contents(const char* file) {
    std::ifstream stream(file, std::ios::binary);
    std::stringstream text;
    text << stream.rdbuf();
    return text.str();
}

void print_fallbacks(const std::string& name, const std::vector<procedure::PlacedLeg>& placed,
                     const procedure::FlownPath& path) {
    for (const procedure::FlownLeg& leg : path.legs) {
        if (leg.fallback) {
            const navdata::Leg& coded = *placed[leg.leg].coded;
            std::printf("- %s leg %03u %s%s%s: %s\n", name.c_str(), coded.sequence,
                        navdata::to_text(coded.terminator).c_str(), coded.fix ? " " : "",
                        coded.fix ? coded.fix->ident.c_str() : "", procedure::to_text(*leg.fallback).c_str());
        }
    }
}

void print_approaches(const std::vector<navdata::Snapshot>& worlds, const aircraft::Aircraft& aircraft,
                      const weather::Wind& wind) {
    testing::LegCount legs;
    std::vector<std::vector<testing::FlownWay>> all;
    for (const navdata::Snapshot& world : worlds) {
        all.push_back(testing::fly_every_approach(world, aircraft, wind,
                                                  procedure::ReversalManner::fortyfive_oneeighty));
        legs.add(all.back());
    }
    const testing::LegTable table = legs.table();
    std::printf(
        "\n## Approaches, wind %s\n\n%zu ways through conventional approaches, each with its missed "
        "approach.\n\n%s\n",
        weather::to_text(wind).c_str(), table.ways, testing::to_text(table).c_str());
    for (const auto& each : all) {
        for (const testing::FlownWay& flown : each) {
            const std::string name = flown.way.procedure->airport + " " + flown.way.procedure->ident +
                                     (flown.way.transition.empty() ? "" : " via " + flown.way.transition) +
                                     ",";
            print_fallbacks(name, flown.way.legs, flown.approach);
            print_fallbacks(name + " missed,", flown.way.missed, flown.missed);
        }
    }
}

void print_branches(const std::vector<navdata::Snapshot>& worlds, const aircraft::Aircraft& aircraft,
                    const weather::Wind& wind) {
    testing::LegCount legs;
    std::vector<std::vector<testing::FlownBranch>> all;
    for (const navdata::Snapshot& world : worlds) {
        all.push_back(testing::fly_every_branch(world, aircraft, wind));
        legs.add(all.back());
    }
    const testing::LegTable table = legs.table();
    std::printf("\n## Departures and arrivals, wind %s\n\n%zu branches, each by itself.\n\n%s\n",
                weather::to_text(wind).c_str(), table.ways, testing::to_text(table).c_str());
    for (const auto& each : all) {
        for (const testing::FlownBranch& flown : each) {
            print_fallbacks(flown.procedure->airport + " " + flown.procedure->ident + " " +
                                flown.branch->transition + ",",
                            flown.legs, flown.path);
        }
    }
}

}  // namespace

int main(int count, char** arguments) {
    const aircraft::Aircraft aircraft =
        testing::aircraft_with({.receivers = 2, .dme = true, .adf = true, .glideslope = true});
    std::vector<navdata::Snapshot> worlds;
    for (int i = 1; i < count; ++i) {
        worlds.push_back(
            navdata::Snapshot::build(readers::read_arinc424(contents(arguments[i]), {}, {}).value).value);
    }
    for (const double speed_kt : {0.0, 25.0}) {
        const weather::Wind wind{base::TrueBearing::degrees(270.0), base::Speed::knots(speed_kt)};
        print_approaches(worlds, aircraft, wind);
        print_branches(worlds, aircraft, wind);
    }
    return 0;
}
