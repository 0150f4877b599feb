#include "app/flight_views.hpp"

#include <algorithm>
#include <utility>

#include <fmt/format.h>

#include "app/world_memo.hpp"
#include "base/contract.hpp"

namespace omniway::app {

using base::Error;
using Faults = std::vector<Error>;

namespace {

bool can_be_flown(const FlightToRehearse& flight) {
    return flight.option && flight.verdict != base::Verdict::not_flyable;
}

tl::unexpected<Faults> no_flight(const FlightToRehearse& flight) {
    const auto blocks =
        std::find_if(flight.findings.begin(), flight.findings.end(),
                     [](const base::Finding& finding) { return finding.grade == base::Grade::blocks; });
    std::string message = "the flight of the card cannot be flown";
    if (blocks != flight.findings.end()) {
        message += ": " + blocks->text;
    }
    return tl::unexpected(Faults{{"app.no_flight", message, "card"}});
}

// Abeam which place of the ribbon a sample was; what is flown back before a turn is done does not go back on it.
std::vector<plan::RibbonPlace> places_of(const plan::Ribbon& ribbon, const rehearsal::AsFlown& flown) {
    std::vector<plan::RibbonPlace> places;
    plan::RibbonPlace last;
    for (const rehearsal::SampleFlown& sample : flown.samples) {
        const plan::RibbonStretch& where = ribbon.steps[sample.step].where;
        const auto at = [&](auto begins, auto ends) { return begins + (ends - begins) * sample.share; };
        last.along = std::max(last.along, at(where.begins.along, where.ends.along));
        last.time = std::max(last.time, at(where.begins.time, where.ends.time));
        places.push_back(last);
    }
    return places;
}

plan::Ribbon ribbon_by(decltype(&plan::ribbon_of) made, const FlightToRehearse& flight) {
    const radio::Ground ground = ground_of(flight.world, flight.request.settings.reception);
    return made(day_of(flight.world, ground, flight.request), flight.option->flight, flight.option->compiled);
}

using Viewed = tl::expected<FlightViewed, Faults>;

Viewed viewed_without_hearing(const std::string& atlas, const Shipped& shipped, const CardViewed& question) {
    auto made = flight_of_card(atlas, shipped, question.card, question.flight, question.aircraft_named);
    if (!made) {
        return tl::unexpected(made.error());
    }
    if (!made->option || made->option->compiled.card.steps.empty()) {
        return no_flight(*made);
    }
    FlightViewed view;
    view.flight = std::make_shared<const FlightToRehearse>(std::move(*made));
    const FlightToRehearse& flight = *view.flight;
    view.ribbon = ribbon_by(plan::ribbon_without_hearing, flight);
    if (can_be_flown(flight)) {
        view.on_stage = std::make_shared<const OnStage>(flight);
        view.flown = rehearsal::as_flown(view.on_stage->stage());
        view.places = places_of(view.ribbon, view.flown);
    }
    return view;
}

std::shared_ptr<const Viewed> viewed_lately(const std::string& atlas, const Shipped& shipped,
                                            const CardViewed& question) {
    const auto make = [&] { return viewed_without_hearing(atlas, shipped, question); };
    const auto stamp = shipped.flights_viewed ? atlas_stamp(atlas) : std::nullopt;
    const std::string* const card = question.flight.files.text(question.card);
    if (!stamp || card == nullptr) {
        return std::make_shared<const Viewed>(make());
    }
    const std::string* const aircraft = question.flight.files.text(question.flight.aircraft);
    std::string key = fmt::format("{}\n{}\n{}\n", *stamp, *card, question.flight.aircraft);
    key += aircraft != nullptr ? *aircraft : "";
    return shipped.flights_viewed->of(key, make, [](const Viewed& view) { return view.has_value(); });
}

FlightReplayed replayed(Rehearsed rehearsed, std::size_t number) {
    FlightReplayed replay;
    replay.rehearsed = std::move(rehearsed);
    replay.number = number;
    const FlightToRehearse& flight = *replay.rehearsed.flight;
    const rehearsal::Stage& stage = replay.rehearsed.on_stage->stage();
    replay.ribbon =
        plan::ribbon_without_hearing(stage.circumstances(), flight.option->flight, flight.option->compiled);
    replay.flown = rehearsal::as_flown(stage, replay.rehearsed.question, number - 1);
    replay.places = places_of(replay.ribbon, replay.flown);
    return replay;
}

}  // namespace

tl::expected<FlightViewed, Faults> ribbon_of_card(const std::string& atlas, const Shipped& shipped,
                                                  const CardViewed& question) {
    Viewed view = *viewed_lately(atlas, shipped, question);
    if (view) {
        view->ribbon = ribbon_by(plan::ribbon_of, *view->flight);
    }
    return view;
}

tl::expected<FlightViewed, Faults> panel_of_card(const std::string& atlas, const Shipped& shipped,
                                                 const CardViewed& question) {
    Viewed view = *viewed_lately(atlas, shipped, question);
    if (view && !view->on_stage) {
        return no_flight(*view->flight);
    }
    return view;
}

tl::expected<FlightReplayed, Faults> replay_flight(const std::string& atlas, const Shipped& shipped,
                                                   const RehearseQuestion& question) {
    OMNIWAY_EXPECTS(question.example);
    auto rehearsed = on_stage(atlas, shipped, question);
    if (!rehearsed) {
        return tl::unexpected(rehearsed.error());
    }
    if (!rehearsed->on_stage) {
        return no_flight(*rehearsed->flight);
    }
    return replayed(std::move(*rehearsed), static_cast<std::size_t>(*question.example));
}

}  // namespace omniway::app
