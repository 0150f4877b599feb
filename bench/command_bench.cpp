// Figures and gates of the program as a process (issue: "Figures"): the memory that importing the real part takes, and how long
// a person waits for the shortest answer and for a plan. This file comes first in the alphabet and so runs before the others.

#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <string>
#include <vector>

#include <benchmark/benchmark.h>
#include <fmt/format.h>

#include "bench/run_program.hpp"

namespace {

namespace bench = omniway::bench;
namespace fs = std::filesystem;

constexpr double most_megabytes = 200.0;
constexpr int runs = 20;

double own_megabytes() {
    std::size_t size = 0;
    std::size_t resident = 0;
    std::ifstream("/proc/self/statm") >> size >> resident;
    return static_cast<double>(resident) * static_cast<double>(sysconf(_SC_PAGESIZE)) / 1e6;
}

// Gate: `omniway import` of the real part needs less than 200 MB at its peak.
void memory_of_the_real_part(benchmark::State& state) {
    const char* named = std::getenv("OMNIWAY_REAL_DATA");
    const fs::path real_part =
        fs::path(named != nullptr ? named : "../shared/navdata") / "cifp/faa_cifp_2101_part.txt";
    if (!fs::exists(real_part)) {
        state.SkipWithError("NOT MEASURED: the real data is absent (OMNIWAY_REAL_DATA)");
        return;
    }
    // The kernel counts what a child has before it becomes another program, which is what its parent has (fs/exec.c, exec_mmap).
    if (own_megabytes() > 50.0) {
        state.SkipWithError("NOT MEASURED: this process is too large itself; run it alone or first");
        return;
    }
    const std::string atlas =
        (fs::temp_directory_path() / fmt::format("omniway-bench-{}", getpid())).string();
    bench::ProgramRun import;
    for ([[maybe_unused]] const auto& one : state) {
        import = bench::run_program({"import", real_part.string(), "--out", atlas});
    }
    std::error_code failed;
    fs::remove(atlas, failed);
    if (import.status != 0) {
        state.SkipWithError("the import failed");
        return;
    }
    state.counters["peak_MB"] = import.peak_megabytes;
    if (import.peak_megabytes > most_megabytes) {
        state.SkipWithError(
            fmt::format("GATE: {:.0f} MB at the peak, allowed are {}", import.peak_megabytes, most_megabytes)
                .c_str());
    }
}
BENCHMARK(memory_of_the_real_part)->Iterations(1)->Unit(benchmark::kMillisecond);

void median_of_runs(benchmark::State& state, const std::vector<std::string>& arguments) {
    std::vector<double> taken_ms;
    for ([[maybe_unused]] const auto& one : state) {
        const bench::ProgramRun done = bench::run_program(arguments);
        if (done.status != 0) {
            state.SkipWithError(fmt::format("the program ended with status {}", done.status).c_str());
            return;
        }
        taken_ms.push_back(done.milliseconds);
    }
    std::sort(taken_ms.begin(), taken_ms.end());
    state.counters["median_ms"] = taken_ms[taken_ms.size() / 2];
}

// Figure: wanted are less than 10 ms.
void version_as_a_process(benchmark::State& state) {
    median_of_runs(state, {"--version"});
}
BENCHMARK(version_as_a_process)->Iterations(runs)->Unit(benchmark::kMillisecond);

// Figure: wanted are less than 100 ms.
void demo_plan_as_a_process(benchmark::State& state) {
    median_of_runs(state, {"plan", "XDOV", "XMRA", "--wind", "270/20", "--atlas", OMNIWAY_DEMO_ATLAS});
}
BENCHMARK(demo_plan_as_a_process)->Iterations(runs)->Unit(benchmark::kMillisecond);

}  // namespace
