#include "app/answer_json.hpp"

#include <utility>
#include <vector>

#include "flight/protected_area.hpp"
#include "wire/card_json.hpp"
#include "wire/chart_raster_json.hpp"
#include "wire/debrief_json.hpp"
#include "wire/find_json.hpp"
#include "wire/flight_views_json.hpp"
#include "wire/hear_json.hpp"
#include "wire/judge_json.hpp"
#include "wire/plan_json.hpp"
#include "wire/rehearse_json.hpp"
#include "wire/show_json.hpp"
#include "wire/why_json.hpp"
#include "wire/world_json.hpp"

namespace omniway::app {

std::string answer_json(const Planned& planned, std::span<const rehearsal::Chance> proved) {
    return wire::plan_json(*planned.world.snapshot, planned.request, planned.answer, proved);
}

namespace {

std::string card_of(const navdata::Snapshot& world, const plan::Request& request,
                    const plan::Option& option) {
    return wire::card_json(world, wire::card_document(world, request, option), option.compiled.track);
}

}  // namespace

std::optional<std::string> card_json(const Planned& planned) {
    if (!planned.answer.option) {
        return std::nullopt;
    }
    return card_of(*planned.world.snapshot, planned.request, *planned.answer.option);
}

std::optional<std::string> card_json(const Judged& judged) {
    if (judged.option.compiled.card.steps.empty()) {
        return std::nullopt;
    }
    return card_of(*judged.world.snapshot, judged.request.flight, judged.option);
}

std::string answer_json(const Judged& judged) {
    return wire::judge_json(*judged.world.snapshot, {judged.request, judged.option, judged.file,
                                                     judged.of_card, judged.reception, judged.terrain_known});
}

std::string answer_json(const Explained& explained) {
    const Judged& judged = explained.judged;
    return wire::why_json(*judged.world.snapshot, {judged.request, judged.option, explained.why,
                                                   judged.reception, judged.terrain_known});
}

std::string answer_json(const HeardAlong& heard) {
    const navdata::Snapshot& world = *heard.world.snapshot;
    return heard.no_way.empty() ? wire::hear_along_json(world, heard.strip, heard.title, heard.planned)
                                : wire::hear_nothing_json(world, heard.strip.mode, heard.no_way);
}

std::string answer_json(const HeardPoints& heard) {
    std::vector<wire::HeardPoint> points;
    for (const HeardAt& point : heard.points) {
        wire::HeardPoint each{point.point.place, point.point.altitude, {}};
        for (const PartHeard& part : point.parts) {
            each.parts.push_back({part.station, part.part, part.reception});
        }
        points.push_back(std::move(each));
    }
    return wire::hear_points_json(*heard.world.snapshot, heard.mode, points);
}

std::string answer_json(const PositionFound& found) {
    return wire::find_json({found.question, found.setting, found.report,
                            found.now ? &found.now->what : nullptr,
                            found.now ? found.now->world.snapshot.get() : nullptr});
}

std::string answer_json(const Rehearsed& rehearsed, const RehearseQuestion& question,
                        const std::string& again) {
    const FlightToRehearse& flight = *rehearsed.flight;
    const navdata::Snapshot& world = *flight.world.snapshot;
    const rehearsal::Stage* stage = rehearsed.on_stage ? &rehearsed.on_stage->stage() : nullptr;
    const wire::RehearsalTold told{flight.request,      flight.option, flight.verdict,      flight.findings,
                                   flight.card,         flight.file,   question.errors,     again,
                                   rehearsed.question,  stage,         rehearsed.rehearsal, flight.reception,
                                   flight.terrain_known};
    const auto& replayed = rehearsed.replayed;
    return replayed ? wire::rehearsed_flight_json(world, told, replayed->flight, replayed->trial,
                                                  replayed->moments)
                    : wire::rehearse_json(world, told);
}

std::string answer_json(const Debriefed& debriefed, const DebriefQuestion& question) {
    const FlightToRehearse& flight = *debriefed.flight;
    const readers::TrackReading& track = debriefed.track;
    wire::TrackTold told{.file = question.track,
                         .form = readers::form_text(track.form),
                         .flight = track.flight,
                         .flights = track.flights,
                         .points = track.counts.rows,
                         .used = track.counts.used,
                         .not_used = {},
                         .diagnostics = track.diagnostics,
                         .flown = track.value};
    for (const auto& [reason, points] : track.counts.not_used) {
        told.not_used.emplace_back(reason, points);
    }
    return wire::debrief_json(
        *flight.world.snapshot,
        {flight.request, *flight.option, flight.findings, flight.verdict, flight.card, flight.file, told,
         base::Duration(question.longest_gap_s), debriefed.debrief, flight.reception, flight.terrain_known});
}

std::string answer_json(const Found& found, const std::string& ident) {
    std::vector<std::pair<navdata::RecordId, wire::ReadAs>> told;
    for (const navdata::RecordId& record : found.records) {
        Shown words = shown(*found.world.snapshot, record);
        told.emplace_back(record, wire::ReadAs{std::move(words.title), std::move(words.figures)});
    }
    return wire::show_json(*found.world.snapshot, ident, told);
}

std::string answer_json(const Charted& charted) {
    return wire::chart_json(*charted.world.snapshot, charted.features);
}

std::string answer_json(const Next& next) {
    return wire::next_json(*next.world.snapshot, next.question.at, next.next);
}

std::string answer_json(const Rastered& rastered) {
    return wire::chart_raster_json(rastered.raster, rastered.altitude, rastered.reception);
}

std::string answer_json(const Searched& searched, const std::string& words) {
    return wire::search_json(*searched.world.snapshot, words, searched.found, searched.only_near);
}

std::string answer_json(const About& about, const std::string& version) {
    wire::AboutAtlas told;
    told.version = version;
    for (const store::KindCount& count : about.atlas.counts) {
        told.counts.emplace_back(count.kind, count.number);
    }
    told.sources = about.atlas.sources;
    told.frame = about.frame;
    told.terrain = about.atlas.terrain.tiles > 0;
    if (const auto& first = about.first_question) {
        told.first = {first->from, first->to, first->aircraft, first->wind};
    }
    told.aircraft = about.aircraft;
    return wire::about_json(told);
}

std::string ribbon_json(const FlightViewed& viewed) {
    const FlightToRehearse& flight = *viewed.flight;
    const radio::Ground ground = ground_of(flight.world, flight.request.settings.reception);
    const auto areas = flight::protected_areas(day_of(flight.world, ground, flight.request),
                                               flight.option->flight, flight.option->compiled);
    return wire::ribbon_json(*flight.world.snapshot, viewed.ribbon, viewed.flown, viewed.places, areas);
}

std::string panel_json(const FlightViewed& viewed) {
    const aircraft::Aircraft& aircraft = viewed.flight->request.aircraft;
    return wire::panel_json(viewed.ribbon, viewed.flown, viewed.places, aircraft.name, aircraft.equipment);
}

std::string replay_json(const FlightReplayed& replayed) {
    const FlightToRehearse& flight = *replayed.rehearsed.flight;
    return wire::replay_json({flight.card, replayed.number, replayed.rehearsed.question, replayed.ribbon,
                              replayed.flown, replayed.places, flight.request.aircraft.name,
                              flight.request.aircraft.equipment});
}

}  // namespace omniway::app
