// What one look at the ways off the airways costs: from aids and fixes of the demo region to the aids and fixes within 80 NM of each,
// over its terrain; beside it the direct leg alone.

#include <benchmark/benchmark.h>

#include <filesystem>
#include <optional>
#include <vector>

#include "app/plan_flight.hpp"
#include "earth/geodesic.hpp"
#include "flight/en_route.hpp"
#include "flight/own_legs.hpp"

namespace {

using namespace omniway;

std::optional<app::Planned> any_day() {
    app::PlanQuestion question;
    question.from = "XDOV";
    question.to = "XMRA";
    question.wind = "270/20";
    question.today = earth::DecimalYear{2026.0};
    auto planned = app::plan_flight(
        OMNIWAY_DEMO_ATLAS, {std::filesystem::path(OMNIWAY_DEMO_ATLAS).parent_path().string()}, question);
    return planned ? std::optional(std::move(*planned)) : std::nullopt;
}

// Every seventh pair of places of a kind from 10 to 80 NM apart, at most 600.
std::vector<flight::OwnLegsQuestion> pairs(const navdata::Snapshot& world, bool from_aid, bool to_aid) {
    const auto places = [&](bool aids) {
        std::vector<procedure::PlacedFix> all;
        const std::size_t count = aids ? world.stations().size() : world.fixes().size();
        for (std::size_t i = 0; i < count; ++i) {
            const auto number = static_cast<std::uint32_t>(i);
            const navdata::Point point =
                aids ? navdata::Point(navdata::StationId{number}) : navdata::Point(navdata::FixId{number});
            const bool guides = !aids || navdata::vor(world[navdata::StationId{number}]) != nullptr ||
                                navdata::ndb(world[navdata::StationId{number}]) != nullptr;
            if (guides) {
                all.push_back({world.ident(point), world.position(point), point, false});
            }
        }
        return all;
    };
    std::vector<flight::OwnLegsQuestion> all;
    std::size_t seen = 0;
    for (const procedure::PlacedFix& from : places(from_aid)) {
        for (const procedure::PlacedFix& to : places(to_aid)) {
            const double apart_nm = earth::distance(from.position, to.position).nautical_miles();
            if (apart_nm > 10.0 && apart_nm < 80.0 && seen++ % 7 == 0 && all.size() < 600) {
                all.push_back({from, std::nullopt, to, std::nullopt, base::Altitude::feet(9000.0)});
            }
        }
    }
    return all;
}

void own_legs(benchmark::State& state, bool from_aid, bool to_aid, bool only_direct) {
    const auto planned = any_day();
    if (!planned) {
        state.SkipWithError("no flight of the demo region is planned");
        return;
    }
    const plan::Request& request = planned->request;
    const radio::Ground ground = app::ground_of(planned->world, request.settings.reception);
    const flight::Circumstances day{
        *planned->world.snapshot, ground,           *planned->world.model, request.today,
        request.aircraft,         request.settings, request.winds};
    const auto questions = pairs(day.world, from_aid, to_aid);
    std::size_t ways = 0;
    std::size_t asked = 0;
    for (auto _ : state) {
        const flight::OwnLegsQuestion& question = questions[asked++ % questions.size()];
        if (only_direct) {
            const auto made =
                flight::direct_leg(day.world, day.ground, day.aircraft.equipment, day.settings, question.from,
                                   question.to, question.altitude, base::Speed::knots(150.0));
            ways += made.leg ? 1U : 0U;
        } else {
            for (const auto& way : flight::own_legs(day, question)) {
                ways += way.legs.empty() ? 0U : 1U;
            }
        }
    }
    state.counters["pairs"] = static_cast<double>(questions.size());
    state.counters["ways_each"] = static_cast<double>(ways) / static_cast<double>(asked);
}
BENCHMARK_CAPTURE(own_legs, aid_to_aid, true, true, false)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(own_legs, aid_to_fix, true, false, false)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(own_legs, fix_to_aid, false, true, false)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(own_legs, fix_to_fix, false, false, false)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(own_legs, direct_aid_to_fix, true, false, true)->Unit(benchmark::kMicrosecond);
BENCHMARK_CAPTURE(own_legs, direct_fix_to_fix, false, false, true)->Unit(benchmark::kMicrosecond);

}  // namespace
