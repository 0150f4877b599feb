#include "app/station_losses.hpp"

#include <fmt/format.h>

#include "app/detail/airports_near.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

constexpr base::Length worth_diverting = base::Length::nautical_miles(60.0);

struct Near {
    Planned planned;
    std::vector<navdata::AirportId> airports;
};

tl::expected<Near, Faults> plan_with_near_airports(const std::string& atlas, const Shipped& shipped,
                                                   PlanQuestion question) {
    std::vector<std::string> near;
    {
        // Airports are known without their procedures: so many of these are loaded as are near.
        const auto world = open_world(atlas, shipped, {{}, false, question.without});
        if (!world) {
            return tl::unexpected(Faults{world.error()});
        }
        const auto from = world->snapshot->airport(question.from);
        const auto to = world->snapshot->airport(question.to);
        if (from && to) {
            const navdata::Snapshot& snapshot = *world->snapshot;
            near = detail::airports_near(snapshot, snapshot[*from].position, snapshot[*to].position,
                                         worth_diverting);
        }
    }
    question.nearby = near;
    auto planned = plan_flight(atlas, shipped, question);
    if (!planned) {
        return tl::unexpected(planned.error());
    }
    std::vector<navdata::AirportId> airports = detail::airports_of(*planned->world.snapshot, near);
    return Near{std::move(*planned), std::move(airports)};
}

Error cancelled() {
    return {"app.cancelled", "cancelled before every station was looked at; nothing is printed", ""};
}

std::string idents_of(const std::vector<const plan::StationLoss*>& losses) {
    std::string text;
    for (const plan::StationLoss* loss : losses) {
        text += (text.empty() ? "" : ", ") + loss->aid.ident;
    }
    return text;
}

}  // namespace

tl::expected<LossesFound, Faults> station_losses(const std::string& atlas, const Shipped& shipped,
                                                 const PlanQuestion& question,
                                                 const base::Progress& progress) {
    auto near = plan_with_near_airports(atlas, shipped, question);
    if (!near) {
        return tl::unexpected(near.error());
    }
    LossesFound found{std::move(near->planned), std::nullopt};
    const Planned& planned = found.planned;
    if (planned.answer.option && planned.answer.verdict != base::Verdict::not_flyable) {
        found.report = plan::station_losses(
            *planned.world.snapshot, ground_of(planned.world, planned.request.settings.reception),
            *planned.world.model, planned.request, *planned.answer.option, near->airports, progress);
        if (found.report->cancelled) {
            return tl::unexpected(Faults{cancelled()});
        }
    }
    return found;
}

tl::expected<Planned, Faults> plan_to_survive_any(const std::string& atlas, const Shipped& shipped,
                                                  const PlanQuestion& question,
                                                  const base::Progress& progress) {
    auto near = plan_with_near_airports(atlas, shipped, question);
    if (!near) {
        return tl::unexpected(near.error());
    }
    Planned planned = std::move(near->planned);
    if (!planned.answer.option || planned.answer.verdict == base::Verdict::not_flyable) {
        return planned;
    }
    plan::Survivor found = plan::survive_any(
        *planned.world.snapshot, ground_of(planned.world, planned.request.settings.reception),
        *planned.world.model, planned.request, std::move(planned.answer), near->airports, progress);
    if (found.cancelled) {
        return tl::unexpected(Faults{cancelled()});
    }
    planned.answer = std::move(found.answer);
    std::string away;
    for (const std::string& ident : found.keeps_away_from) {
        away += (away.empty() ? "" : ", ") + ident;
    }
    if (found.survives()) {
        planned.answer.findings.push_back(
            {base::Grade::notes, "losses.survives_any", "every station",
             fmt::format("no single failure of the {} stations used strands it{}",
                         found.losses.stations.size(), away.empty() ? "" : "; it keeps away from " + away),
             ""});
    } else {
        planned.answer.verdict = base::Verdict::not_flyable;
        planned.answer.findings.push_back(
            {base::Grade::blocks, "losses.none_survives", idents_of(found.losses.stranding()),
             fmt::format(
                 "of {} flights looked at none survives every single failure; what fails here strands "
                 "the best of them{}",
                 found.flights_looked_at, away.empty() ? "" : ", which keeps away from " + away),
             "omniway losses says where and why"});
    }
    if (found.world) {
        planned.world.snapshot = found.world;
    }
    base::rank(planned.answer.findings);
    return planned;
}

}  // namespace omniway::app
