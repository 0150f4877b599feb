// Figures: one circuit of a hold, its entry, and a procedure turn, in wind, from every arriving track in turn.

#include <benchmark/benchmark.h>

#include "procedure/course_reversal.hpp"
#include "procedure/holding.hpp"

namespace {

using namespace omniway;
using namespace omniway::procedure;
using base::TrueBearing;

const earth::Position fix = earth::Position::degrees(40.0, -169.0);

Motion motion_at(double knots, double wind_knots) {
    const auto speed = base::Speed::knots(knots);
    return {
        speed, {TrueBearing::degrees(130.0), base::Speed::knots(wind_knots)}, aircraft::planned_turn(speed)};
}

Hold hold_of(std::variant<base::Duration, base::Length> leg) {
    return {.fix = fix, .inbound = TrueBearing::degrees(70.0), .side = navdata::Turn::right, .leg = leg};
}

TrueBearing next_arrival(TrueBearing arriving) {
    return arriving + base::Angle::degrees(7.0);
}

void circuit_by_time(benchmark::State& state) {
    for (auto _ : state) {
        benchmark::DoNotOptimize(circuit(hold_of(base::minutes(1)), motion_at(120.0, 25.0)));
    }
}
BENCHMARK(circuit_by_time)->Unit(benchmark::kMicrosecond);

void circuit_by_distance(benchmark::State& state) {
    for (auto _ : state) {
        benchmark::DoNotOptimize(circuit(hold_of(base::Length::nautical_miles(4.0)), motion_at(120.0, 25.0)));
    }
}
BENCHMARK(circuit_by_distance)->Unit(benchmark::kMicrosecond);

void hold_entered(benchmark::State& state) {
    const Hold hold = hold_of(base::minutes(1));
    TrueBearing arriving;
    for (auto _ : state) {
        arriving = next_arrival(arriving);
        const HoldEntry entry = hold_entry(arriving, hold.inbound, hold.side);
        benchmark::DoNotOptimize(entry_pieces(hold, entry, motion_at(120.0, 25.0), arriving));
    }
}
BENCHMARK(hold_entered)->Unit(benchmark::kMicrosecond);

void procedure_turn(benchmark::State& state, double knots, double wind_knots,
                    aircraft::ApproachCategory category) {
    const ProcedureTurn turn{.fix = fix,
                             .inbound = TrueBearing::degrees(70.0),
                             .barb = std::nullopt,
                             .back = navdata::Turn::right,
                             .within = base::Length::nautical_miles(10.0)};
    TrueBearing arriving;
    for (auto _ : state) {
        arriving = next_arrival(arriving);
        benchmark::DoNotOptimize(procedure_turn_pieces(turn, ReversalManner::fortyfive_oneeighty,
                                                       motion_at(knots, wind_knots), category, arriving));
    }
}
BENCHMARK_CAPTURE(procedure_turn, that_fits, 120.0, 25.0, aircraft::ApproachCategory::a)
    ->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(procedure_turn, that_mostly_does_not, 220.0, 60.0, aircraft::ApproachCategory::c)
    ->Unit(benchmark::kMicrosecond);

}  // namespace
