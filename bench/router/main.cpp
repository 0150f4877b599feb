// The router on a continent: the gate against Boost.Graph's Dijkstra on the same network, and the figures of the atlas. A
// program of its own because it takes minutes and because its process has to be large. Ends with status 1 where the gate does
// not hold.
//
//   omniway_router_bench [--write ATLAS] [--atlas ATLAS] [--pairs N] [--aircraft NAME] [--only-opening]
//
// Without --atlas it makes the continent in the folder for temporary files. --write makes it and ends.

#include <sys/resource.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "app/plan_flight.hpp"
#include "app/world.hpp"
#include "base/random.hpp"
#include "bench/continent.hpp"
#include "bench/continent_ground.hpp"
#include "bench/published_graph.hpp"
#include "bench/run_program.hpp"
#include "earth/geodesic.hpp"
#include "plan/plan.hpp"
#include "routing/roads.hpp"
#include "store/atlas.hpp"

namespace {

using namespace omniway;
namespace fs = std::filesystem;

constexpr base::Seed seed{6};
constexpr double most_times_dijkstra = 2.0;

double milliseconds_of(const std::function<void()>& work) {
    const auto begin = std::chrono::steady_clock::now();
    work();
    return std::chrono::duration<double, std::milli>(std::chrono::steady_clock::now() - begin).count();
}

double at_share(std::vector<double> values, double share) {
    if (values.empty()) {
        return 0.0;
    }
    std::sort(values.begin(), values.end());
    return values[static_cast<std::size_t>(share * static_cast<double>(values.size() - 1) + 0.5)];
}

void figure(const std::string& name, const std::vector<double>& values, const char* unit) {
    fmt::print("figure {:<44} p50 {:>9.3f}  p95 {:>9.3f}  p99 {:>9.3f} {}\n", name, at_share(values, 0.50),
               at_share(values, 0.95), at_share(values, 0.99), unit);
}

app::Shipped shipped() {
    return {fs::path(OMNIWAY_DEMO_ATLAS).parent_path().string()};
}

bool write_continent(const std::string& path) {
    const auto model = earth::MagneticModel::load(shipped().magnetic());
    if (!model) {
        fmt::print(stderr, "{}\n", model.error().message);
        return false;
    }
    const bench::ContinentSize size;
    navdata::Records records;
    const double made_ms = milliseconds_of([&] {
        records = bench::continent_records(size, seed, [&model](earth::Position at) {
            return model->variation(at, earth::DecimalYear{2026.0});
        });
    });
    base::Result<store::WriteReport> written = base::failure("", "");
    const double written_ms = milliseconds_of(
        [&] { written = store::write_atlas(records, path, {}, bench::continent_ground(size, seed)); });
    if (!written) {
        fmt::print(stderr, "{}\n", written.error().message);
        return false;
    }
    fmt::print("continent made in {:.1f} s, written in {:.1f} s:", made_ms / 1e3, written_ms / 1e3);
    for (const store::KindCount& count : written->counts) {
        fmt::print(" {} {};", count.number, count.kind);
    }
    fmt::print(" {} tiles of terrain\n", written->terrain.tiles);
    return true;
}

// Before this process grows: the kernel counts what a child has before it becomes another program.
void figures_of_opening(const std::string& atlas) {
    fmt::print("figure {:<44} {:>9.1f} MB\n", "size of the atlas",
               static_cast<double>(fs::file_size(atlas)) / 1e6);
    std::vector<double> shown_ms;
    double peak = 0.0;
    for (int i = 0; i < 5; ++i) {
        const bench::ProgramRun shown = bench::run_program({"show", "XAAA", "--atlas", atlas});
        shown_ms.push_back(shown.milliseconds);
        peak = std::max(peak, shown.peak_megabytes);
    }
    figure("omniway show XAAA as a process", shown_ms, "ms");
    fmt::print("figure {:<44} {:>9.1f} MB\n", "its peak of memory", peak);
    std::vector<double> opened_ms;
    std::vector<double> read_ms;
    std::vector<double> built_ms;
    for (int i = 0; i < 5; ++i) {
        base::Result<store::Atlas> opened = base::failure("", "");
        opened_ms.push_back(milliseconds_of([&] { opened = store::Atlas::open(atlas); }));
        base::Result<navdata::Records> records = base::failure("", "");
        read_ms.push_back(milliseconds_of([&] { records = opened->records({false, {"XAAA", "XAAB"}}); }));
        built_ms.push_back(milliseconds_of([&] { navdata::Snapshot::build(std::move(*records)); }));
    }
    figure("proving the file whole", opened_ms, "ms");
    figure("reading the records for two airports", read_ms, "ms");
    figure("building the snapshot", built_ms, "ms");
    std::vector<double> whole_ms;
    for (int i = 0; i < 5; ++i) {
        whole_ms.push_back(milliseconds_of([&] {
            (void)app::open_world(atlas, shipped(), {{"XAAA", "XAAB"}, false, {}});
        }));
    }
    figure("opening for two airports (150 ms wanted)", whole_ms, "ms");
}

// Airports where the aircraft may land and take off and that have an approach by ground aids.
std::vector<navdata::AirportId> fields_for(const navdata::Snapshot& world,
                                           const aircraft::Aircraft& aircraft) {
    std::vector<navdata::AirportId> fields;
    for (std::uint32_t i = 0; i < world.airports().size(); ++i) {
        const navdata::AirportId id{i};
        const auto approaches = world.approaches_of(world[id].ident);
        const bool conventional = std::any_of(approaches.begin(), approaches.end(), [](const auto* approach) {
            return navdata::is_conventional_approach_type(approach->branches.back().route_type);
        });
        const auto runways = flight::rank_runways(world, aircraft, {}, id, true);
        const auto landing = flight::rank_runways(world, aircraft, {}, id, false);
        if (conventional && !runways.empty() && runways.front().fits() && !landing.empty() &&
            landing.front().fits()) {
            fields.push_back(id);
        }
    }
    return fields;
}

struct Pair {
    navdata::AirportId from;
    navdata::AirportId to;
    double apart_nm = 0.0;
};

// Distances evenly from 50 to 1,000 NM.
std::vector<Pair> pairs_of(const navdata::Snapshot& world, const std::vector<navdata::AirportId>& fields,
                           std::size_t count) {
    base::Random random(base::Seed{200});
    std::vector<Pair> pairs;
    while (pairs.size() < count) {
        const double wanted_nm = random.between(50.0, 1000.0);
        for (int tries = 0; tries < 2000; ++tries) {
            const Pair pair{fields[random.below(fields.size())], fields[random.below(fields.size())], 0.0};
            const double apart_nm =
                earth::distance(world[pair.from].position, world[pair.to].position).nautical_miles();
            if (pair.from != pair.to && std::abs(apart_nm - wanted_nm) < 25.0) {
                pairs.push_back({pair.from, pair.to, apart_nm});
                break;
            }
        }
    }
    return pairs;
}

struct Measured {
    std::vector<double> dijkstra_ms;
    std::vector<double> first_ms;  // stations met for the first time have no horizon yet
    std::vector<double> again_ms;
    std::vector<double> ratio;
    std::map<std::string, int> verdicts;
    std::vector<double> longer;  // legs flown by the shortest of the graph
};

void measure(const app::World& world, const bench::PublishedGraph& graph, const aircraft::Aircraft& aircraft,
             const Pair& pair, routing::Roads& roads, Measured& measured) {
    const navdata::Snapshot& snapshot = *world.snapshot;
    plan::Request request;
    request.from = pair.from;
    request.to = pair.to;
    request.aircraft = aircraft;
    request.winds = weather::Wind{base::TrueBearing::degrees(270.0), base::Speed::knots(10.0)};
    request.today = earth::DecimalYear{2026.0};
    request.compare_approaches = false;
    request.threads = 1;
    const radio::Ground ground = app::ground_of(world, std::nullopt);
    std::optional<bench::PublishedGraph::Hundredths> shortest;
    double dijkstra_ms = 1e9;
    for (int i = 0; i < 3; ++i) {
        dijkstra_ms = std::min(
            dijkstra_ms, milliseconds_of([&] { shortest = graph.between_airports(pair.from, pair.to); }));
    }
    plan::Answer answer;
    const double first_ms =
        milliseconds_of([&] { answer = plan::plan(snapshot, ground, *world.model, request, roads); });
    double again_ms = first_ms;
    // What is not flyable asks many times for what would unblock: it is counted, not timed again.
    const bool flyable = answer.verdict != base::Verdict::not_flyable;
    if (flyable) {
        again_ms =
            milliseconds_of([&] { answer = plan::plan(snapshot, ground, *world.model, request, roads); });
    }
    const std::string verdict =
        flyable ? (answer.verdict == base::Verdict::flyable ? "flyable" : "flyable if") : "not flyable";
    ++measured.verdicts[verdict];
    fmt::print("pair   {} {} {:>5.0f} NM  dijkstra {:>7.2f} ms  plan {:>9.1f} ms, again {:>9.1f} ms  {}{}\n",
               snapshot[pair.from].ident, snapshot[pair.to].ident, pair.apart_nm, dijkstra_ms, first_ms,
               again_ms, verdict,
               flyable || answer.findings.empty() ? "" : ": " + answer.findings.front().code);
    std::fflush(stdout);
    measured.dijkstra_ms.push_back(dijkstra_ms);
    measured.first_ms.push_back(first_ms);
    if (flyable) {
        measured.again_ms.push_back(again_ms);
        measured.ratio.push_back(again_ms / dijkstra_ms);
        if (shortest) {
            measured.longer.push_back(answer.option->flight.length().nautical_miles() * 100.0 /
                                      static_cast<double>(*shortest));
        }
    }
}

bool gate_of_pairs(const std::string& atlas, const std::string& aircraft_name, std::size_t count) {
    const auto aircraft = app::find_aircraft(shipped(), aircraft_name);
    const auto world = app::open_world(atlas, shipped(), {{}, true, {}});
    if (!aircraft || !world) {
        fmt::print(stderr, "the aircraft or the atlas cannot be read\n");
        return false;
    }
    fmt::print("{} of the data were told\n", world->diagnostics.size());
    const auto fields = fields_for(*world->snapshot, *aircraft);
    std::optional<bench::PublishedGraph> graph;
    const double built_ms = milliseconds_of([&] { graph.emplace(*world->snapshot, fields); });
    fmt::print("graph of {} vertices and {} edges built in {:.0f} ms; {} airports for {}\n",
               graph->vertices(), graph->edges(), built_ms, fields.size(), aircraft->name);
    Measured measured;
    std::vector<double> settled;
    routing::Roads roads(*world->snapshot);
    for (const Pair& pair : pairs_of(*world->snapshot, fields, count)) {
        settled.push_back(static_cast<double>(graph->settled(pair.from, pair.to)));
        measure(*world, *graph, *aircraft, pair, roads, measured);
    }
    for (const auto& [verdict, number] : measured.verdicts) {
        fmt::print("figure {:<44} {:>9}\n", "pairs " + verdict, number);
    }
    figure("Dijkstra of Boost.Graph", measured.dijkstra_ms, "ms");
    figure("vertices it settles", settled, "");
    figure("plan, first time", measured.first_ms, "ms");
    figure("plan, again", measured.again_ms, "ms");
    figure("length flown by the shortest of the graph", measured.longer, "times");
    rusage used = {};
    getrusage(RUSAGE_SELF, &used);
    fmt::print("figure {:<44} {:>9.1f} MB (500 MB wanted; all procedures loaded)\n", "peak of memory",
               static_cast<double>(used.ru_maxrss) * 1024.0 / 1e6);
    const double median = at_share(measured.ratio, 0.5);
    const bool holds = !measured.ratio.empty() && median <= most_times_dijkstra;
    figure("plan by Dijkstra", measured.ratio, "times");
    fmt::print("gate   {:<44} {:>9.2f} of {:.2f} times  {}\n", "continental: one flyable best route", median,
               most_times_dijkstra, holds ? "holds" : "DOES NOT HOLD");
    return holds;
}

std::string option(const std::vector<std::string>& words, const std::string& name,
                   const std::string& otherwise) {
    const auto found = std::find(words.begin(), words.end(), name);
    return found != words.end() && found + 1 != words.end() ? *(found + 1) : otherwise;
}

}  // namespace

int main(int count, char** arguments) {
    const std::vector<std::string> words(arguments + 1, arguments + count);
    const std::string write = option(words, "--write", "");
    if (!write.empty()) {
        return write_continent(write) ? 0 : 1;
    }
    std::string atlas = option(words, "--atlas", "");
    const bool own = atlas.empty();
    if (own) {
        atlas = (fs::temp_directory_path() / fmt::format("omniway-continent-{}", getpid())).string();
        // By a process of its own, so that this one stays small.
        const std::string self = fs::read_symlink("/proc/self/exe").string();
        const pid_t child = fork();
        if (child == 0) {
            execl(self.c_str(), self.c_str(), "--write", atlas.c_str(), nullptr);
            _exit(127);
        }
        int status = 0;
        waitpid(child, &status, 0);
        if (status != 0) {
            return 1;
        }
    }
    figures_of_opening(atlas);
    bool holds = true;
    if (std::find(words.begin(), words.end(), "--only-opening") == words.end()) {
        holds = gate_of_pairs(atlas, option(words, "--aircraft", "jet"),
                              std::stoul(option(words, "--pairs", "200")));
    }
    if (own) {
        std::error_code none;
        fs::remove(atlas, none);
    }
    return holds ? 0 : 1;
}
