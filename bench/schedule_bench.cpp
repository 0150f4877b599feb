// Figure: the radio schedule of a flight of 40 needs, two receivers, a DME that follows one and can be held.

#include <benchmark/benchmark.h>

#include "flight/radio_schedule.hpp"

namespace {

using namespace omniway;
using namespace omniway::flight;
using base::Duration;

RadioNeed need(RadioUse use, SetKind kind, std::uint32_t station, double from_s, double to_s) {
    RadioNeed out;
    out.use = use;
    out.kind = kind;
    out.station = navdata::StationId{station};
    out.from = Duration(from_s);
    out.to = Duration(to_s);
    out.heard_from = Duration(from_s - 400.0);
    out.to_identify = Duration(kind == SetKind::dme ? 60.0 : 40.0);
    if (kind == SetKind::receiver) {
        out.course = base::Radial::degrees(37.0 * station);
    }
    return out;
}

// Eight legs from VOR to VOR: each is guided by its own, told by a crossing radial or a distance, and checked by one of two.
RadioQuestion flight_of(int receivers, int legs) {
    RadioQuestion out;
    for (int r = 0; r < receivers; ++r) {
        out.aboard.receivers.push_back(
            {r == 0 ? cockpit::CourseIndicator::hsi : cockpit::CourseIndicator::cdi, true, r == 0});
    }
    out.aboard.dme = cockpit::DmeControl::follows_receiver_with_hold;
    for (int leg = 0; leg < legs; ++leg) {
        const double from_s = 60.0 + 500.0 * leg;
        const double to_s = from_s + 500.0;
        const auto own = static_cast<std::uint32_t>(leg + 1);
        const std::uint32_t other = own + 20;
        out.needs.push_back(need(RadioUse::guides, SetKind::receiver, own, from_s, to_s));
        out.needs.push_back(need(RadioUse::tells, SetKind::dme, own, from_s + 10.0, to_s - 100.0));
        out.needs.push_back(need(leg % 2 == 0 ? RadioUse::tells : RadioUse::checks, SetKind::receiver, other,
                                 to_s - 120.0, to_s - 60.0));
        for (const auto kind : {SetKind::receiver, SetKind::dme}) {
            out.needs.push_back(need(RadioUse::checks, kind, other + 20, to_s - 40.0, to_s));
            out.needs.back().one_of = leg;
        }
        out.no_retuning.push_back({Duration(to_s - 10.0), Duration(to_s + 15.0), "a turn"});
    }
    return out;
}

void schedule_of_a_flight(benchmark::State& state, int receivers, int legs) {
    const RadioQuestion question = flight_of(receivers, legs);
    for (auto _ : state) {
        const RadioAnswer answer = schedule(question);
        if (!std::holds_alternative<RadioSchedule>(answer)) {
            state.SkipWithError(std::get<NoSchedule>(answer).why.c_str());
            return;
        }
        benchmark::DoNotOptimize(&answer);
    }
}
BENCHMARK_CAPTURE(schedule_of_a_flight, two_receivers_40_needs, 2, 8)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(schedule_of_a_flight, two_receivers_80_needs, 2, 16)->Unit(benchmark::kMillisecond);
BENCHMARK_CAPTURE(schedule_of_a_flight, three_receivers_40_needs, 3, 8)->Unit(benchmark::kMillisecond);

}  // namespace
