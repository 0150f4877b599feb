// What the belief of a place costs for each cell and reading, against one geodesic of GeographicLib in the same run (gate: a twentieth), and how long 200 by
// 200 NM take in cells of a quarter of a mile, every one looked at (aim: 50 ms on two processors).

#include <benchmark/benchmark.h>

#include <algorithm>
#include <chrono>
#include <filesystem>
#include <optional>

#include <fmt/format.h>

#include "base/parallel.hpp"
#include "bench/inverse.hpp"
#include "earth/geodesic.hpp"
#include "fixing/belief.hpp"
#include "fixing/detail/likelihood.hpp"
#include "store/atlas.hpp"

namespace {

using namespace omniway;

constexpr double cell_m = 0.25 * 1852.0;
constexpr std::size_t side = 800;
constexpr std::size_t tile = 16;

/// Two radials and a distance of the demo region, as read at a place, and the likelihood of them on a field about it.
class Asked {
public:
    static std::optional<Asked> any(benchmark::State& state) {
        const auto atlas = store::Atlas::open(OMNIWAY_DEMO_ATLAS);
        auto records = atlas ? atlas->records({true, {}}) : tl::unexpected(atlas.error());
        auto model = earth::MagneticModel::load(
            (std::filesystem::path(OMNIWAY_DEMO_ATLAS).parent_path() / "magnetic").string());
        if (!records || !model) {
            state.SkipWithError("the demo atlas cannot be read");
            return std::nullopt;
        }
        Asked asked(navdata::Snapshot::build(std::move(*records)).value, std::move(*model));
        if (asked.readings_.size() != 3) {
            state.SkipWithError("the demo region has no two VOR/DMEs");
            return std::nullopt;
        }
        return asked;
    }

    fixing::BeliefQuestion question() const {
        fixing::BeliefQuestion question{
            world_, ground_, model_, earth::DecimalYear{2026.0}, readings_, base::Altitude::feet(8000.0)};
        question.errors = fixing::ReadingErrors::of(radio::Criteria::terps);
        return question;
    }
    earth::Position place() const { return place_; }

private:
    Asked(navdata::Snapshot world, earth::MagneticModel model)
        : world_(std::move(world)), model_(std::move(model)) {
        for (std::size_t i = 0; i < world_.stations().size() && readings_.size() < 3; ++i) {
            const navdata::StationId id{static_cast<std::uint32_t>(i)};
            const auto* vor = navdata::vor(world_[id]);
            if (vor == nullptr || !world_[id].dme) {
                continue;
            }
            if (readings_.empty()) {
                place_ = earth::destination(vor->position, base::TrueBearing::degrees(40.0),
                                            base::Length::nautical_miles(20.0));
                readings_.push_back({fixing::DistanceRead{{id}, base::Length::nautical_miles(20.0)}, {}, ""});
            }
            readings_.push_back(
                {fixing::RadialRead{{id},
                                    base::to_radial(earth::bearing(vor->position, place_), vor->declination)},
                 {},
                 ""});
        }
    }

    navdata::Snapshot world_;
    earth::MagneticModel model_;
    radio::Ground ground_;
    std::vector<fixing::Reading> readings_;
    earth::Position place_;
};

// Every cell of the field, by rows of tiles.
double sum_of_field(const fixing::detail::Likelihood& likelihood, earth::PlanePoint corner,
                    unsigned threads) {
    std::vector<double> sums(side / tile);
    base::parallel_for(
        sums.size(),
        [&](std::size_t row) {
            for (std::size_t column = 0; column < side / tile; ++column) {
                const earth::PlanePoint first{corner.east_m + static_cast<double>(column * tile) * cell_m,
                                              corner.north_m + static_cast<double>(row * tile) * cell_m};
                auto about = likelihood.about(first);
                for (std::size_t cell = 0; cell < tile * tile; ++cell) {
                    sums[row] += likelihood.at({first.east_m + static_cast<double>(cell % tile) * cell_m,
                                                first.north_m + static_cast<double>(cell / tile) * cell_m},
                                               about);
                }
            }
        },
        threads);
    double all = 0.0;
    for (const double sum : sums) {
        all += sum;
    }
    return all;
}

void one_cell(benchmark::State& state) {
    const auto asked = Asked::any(state);
    if (!asked) {
        return;
    }
    const fixing::BeliefQuestion question = asked->question();
    const earth::LocalFrame frame(asked->place());
    const fixing::detail::Likelihood likelihood(question, frame, asked->place(), {{0}, {0}, {0}});
    const earth::PlanePoint middle = frame.to_plane(asked->place());
    const earth::PlanePoint corner{middle.east_m - cell_m * side / 2, middle.north_m - cell_m * side / 2};
    // The better of several, in turns, so that what else the machine does falls on both.
    double cell_ns = 1e9;
    double line_ns = 1e9;
    double field_ms = 1e9;
    for ([[maybe_unused]] const auto& one : state) {
        for (int i = 0; i < 5; ++i) {
            const auto begin = std::chrono::steady_clock::now();
            benchmark::DoNotOptimize(sum_of_field(likelihood, corner, 1));
            const std::chrono::duration<double, std::nano> alone = std::chrono::steady_clock::now() - begin;
            cell_ns = std::min(cell_ns, alone.count() / (side * side * 3));
            line_ns = std::min(line_ns, bench::inverse_ns());
            const auto again = std::chrono::steady_clock::now();
            benchmark::DoNotOptimize(sum_of_field(likelihood, corner, 0));
            const std::chrono::duration<double, std::milli> all = std::chrono::steady_clock::now() - again;
            field_ms = std::min(field_ms, all.count());
        }
    }
    state.counters["cell_and_reading_ns"] = cell_ns;
    state.counters["inverse_ns"] = line_ns;
    state.counters["inverses"] = cell_ns / line_ns;
    state.counters["field_ms"] = field_ms;
    if (cell_ns * 20.0 > line_ns) {
        state.SkipWithError(
            fmt::format("GATE: a cell and reading take {:.1f} ns, a twentieth of a geodesic is {:.1f} ns",
                        cell_ns, line_ns / 20.0)
                .c_str());
    }
}
BENCHMARK(one_cell)->Name("position/one_cell")->Iterations(1)->Unit(benchmark::kMillisecond);

void believed(benchmark::State& state) {
    const auto asked = Asked::any(state);
    if (!asked) {
        return;
    }
    for ([[maybe_unused]] const auto& one : state) {
        benchmark::DoNotOptimize(fixing::believe(asked->question()));
    }
}
BENCHMARK(believed)->Name("position/believed")->UseRealTime()->Unit(benchmark::kMillisecond);

}  // namespace
